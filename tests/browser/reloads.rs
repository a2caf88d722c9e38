//! Reloads at a random moment, during typing and signing off: nothing that was taken is lost.
//!
//! Taken is what was typed or marked before the page went, where the browser said that it goes; where it did not, as when it is ended
//! or the battery is empty, what was done more than 300 ms before. What is done after a rest of 300 ms is taken at once.
//! `make reloads` does it 200 times, a seed may be given: `HALFTURN_SEED=7 make reloads`.

use crate::page::{Page, Screen};
use crate::site::Site;
use crate::tour::address;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// How long the page may hold back what it writes, in milliseconds, and how late a busy browser may call it for that.
const HELD_BACK: u64 = 300;
const LATE: u64 = 150;

/// xorshift64* (Marsaglia 2003, Vigna 2016): good enough to choose moments with.
struct Random(u64);

impl Random {
    fn below(&mut self, end: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % end
    }
}

/// What a hand does on the page until it is gone, each thing noted with its moment in what a reload leaves alone.
const HAND: &str = "
    const [seed, moves, reload, told] = HALFTURN;
    const note = (what) => {
        const log = JSON.parse(sessionStorage.log ?? '[]');
        log.push({ at: Date.now(), ...what });
        sessionStorage.log = JSON.stringify(log);
    };
    const type = (field, text) => {
        field.value = text;
        field.dispatchEvent(new Event('input', { bubbles: true }));
        note({ field: field.id, text });
    };
    sessionStorage.log = '[]';
    if (told) delete sessionStorage.untold; else sessionStorage.untold = 'yes';
    window.old = true;
    let at = 0;
    for (const [choice, pause] of moves) {
        at += pause;
        setTimeout(() => {
            const next = document.querySelector('li.step.next');
            if (!next) {
                const fields = [...document.querySelectorAll('main input[type=text], main textarea')];
                return type(fields[choice % fields.length], [choice, seed, at].join(' '));
            }
            for (const field of next.querySelectorAll('input[type=text]')) {
                if (field.value) continue;
                field.value = field.id.startsWith('torque') ? '60' : 'seen ' + choice;
                field.dispatchEvent(new Event('input', { bubbles: true }));
            }
            // Effects run before the next task.
            setTimeout(() => {
                const done = next.querySelector('button.main');
                if (!done || done.disabled) return;
                done.click();
                note({ mark: next.querySelector('h3').textContent });
            }, 0);
        }, at);
    }
    setTimeout(() => { sessionStorage.went = String(Date.now()); location.reload(); }, reload);
    return null";

/// Keeps from the page that it goes, as a browser does that is ended.
const UNTOLD: &str = "
    for (const name of ['pagehide', 'visibilitychange', 'beforeunload']) {
        window.addEventListener(name, (event) => { if (sessionStorage.untold) event.stopImmediatePropagation(); }, true);
    }";

fn reloads(count: u64, seed: u64) {
    println!("{count} reloads, seed {seed}");
    let mut random = Random(seed.max(1));
    let (mut typed, mut marked, mut held, mut lost) = (0, 0, 0, 0);
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load(UNTOLD);
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        let key = "halfturn.job.1";
        for turn in 0..count {
            let station = ["unpack", "bolt-up", "base", "read", "bolt-up", "sheet"]
                [usize::try_from(random.below(6)).unwrap()];
            page.open(&address("1", station));
            page.script(
                "const begin = [...document.querySelectorAll('button.main')].find((one) => one.textContent === 'Start round 1');
                 begin?.click()",
            );
            let mut before = marks(page, key);
            if before > 80 {
                // All is done: it is begun anew, where no page of the job is open.
                page.open("bench/");
                page.script(&format!(
                    "const job = JSON.parse(localStorage.getItem('{key}'));
                     delete job.marks; delete job.torques;
                     localStorage.setItem('{key}', JSON.stringify(job))"
                ));
                before = 0;
                page.open(&address("1", station));
            }
            let moves: Vec<[u64; 2]> = (0..1 + random.below(8))
                .map(|_| [random.below(1000), random.below(250)])
                .collect();
            let told = random.below(2) == 0;
            let reload = random.below(1500);
            let asked = json!([turn, moves, reload, told]);
            page.script(&HAND.replace("HALFTURN", &asked.to_string()));
            page.waits_for("the page after its reload", || {
                let fresh = page.script("return !window.old && Boolean(document.querySelector('#top'))");
                (fresh == true).then_some(())
            });
            let what = format!("seed {seed}, reload {turn} of {station}, told {told}");
            let went = page.script("return Number(sessionStorage.went)").as_u64().unwrap();
            let log = page.script("return JSON.parse(sessionStorage.log)");
            let log = log.as_array().unwrap();
            let is_taken = |done: &Value| told || done["at"].as_u64().unwrap() + HELD_BACK + LATE < went;
            // Of each field what was typed last must stand there, or, when that was not taken yet, any that came before.
            for (place, done) in log.iter().enumerate() {
                let Some(field) = done["field"].as_str() else {
                    continue;
                };
                typed += 1;
                let now = page.script(&format!(
                    "const field = document.getElementById({field:?});
                     return [field?.value ?? null, localStorage.getItem('{key}')]"
                ));
                // A group that is complete has closed; its fields stand in what is stored.
                let stored = now[1].as_str().unwrap();
                let is_there = |text: &Value| match now[0].as_str() {
                    Some(shown) => text == shown,
                    None => stored.contains(&text.to_string()),
                };
                let mut later = log[place..].iter().filter(|later| later["field"] == done["field"]);
                let is_kept = later.any(|later| is_there(&later["text"]));
                if !is_taken(done) {
                    held += 1;
                    lost += u64::from(!is_kept);
                    continue;
                }
                assert!(
                    is_kept,
                    "{what}: {field} shows {}\n{}",
                    now[0],
                    told_of(log, went)
                );
            }
            let mut kept = marks(page, key);
            let taken = log.iter().filter(|done| done["mark"].is_string()).filter(|done| is_taken(done));
            let taken = u64::try_from(taken.count()).unwrap();
            marked += taken;
            kept -= before;
            assert!(kept >= taken, "{what}: {kept} marks of {taken} taken\n{}", told_of(log, went));
            page.lacks("Typed in two tabs");
        }
    });
    println!(
        "{count} reloads: {typed} values typed, {marked} steps marked: nothing taken was lost. Of {held} values typed less than {} ms before a page was ended untold, {lost} were lost",
        HELD_BACK + LATE
    );
    assert!(typed > count / 2 && marked > 0, "little was done");
}

fn marks(page: &Page, key: &str) -> u64 {
    let count = page.script(&format!(
        "return Object.keys(JSON.parse(localStorage.getItem('{key}')).marks ?? {{}}).length"
    ));
    count.as_u64().unwrap()
}

fn told_of(log: &[Value], went: u64) -> String {
    let mut text = String::new();
    for done in log {
        let before = went.saturating_sub(done["at"].as_u64().unwrap());
        let _ = writeln!(text, "{before} ms before: {done}");
    }
    text
}

#[test]
fn ten_reloads_lose_nothing() {
    reloads(10, 1);
}

#[test]
#[ignore = "takes minutes: `make reloads`"]
fn two_hundred_reloads_lose_nothing() {
    let seed = std::env::var("HALFTURN_SEED").ok();
    reloads(200, seed.and_then(|seed| seed.parse().ok()).unwrap_or(2));
}
