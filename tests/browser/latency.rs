//! How long a keystroke takes to its new answer on a slow device: `make latency`.

use std::thread;
use std::time::Duration;

use crate::page::{Page, Screen};
use crate::site::Site;
use crate::tour::{address, read_once, store_job};

/// Keystrokes timed, after a few that warm up.
const TIMED: usize = 60;
const WARM: usize = 10;

/// Types into a field, again and again, one digit in place of the last after what always stands there, and times from each key's own time
/// stamp to what then changes in the answer, and to the end of the frame that paints it.
fn time(page: &Page, name: &str, field: &str, before: &str, answer: &str) {
    page.slow_down(4);
    page.script(&format!(
        "const field = document.querySelector({field:?});
         const answer = document.querySelector({answer:?});
         window.answered = [];
         window.painted = [];
         let pressed = 0;
         addEventListener('keydown', (event) => {{ pressed = event.timeStamp; }}, true);
         new MutationObserver(() => {{
           if (!pressed) return;
           const since = pressed;
           pressed = 0;
           answered.push(performance.now() - since);
           requestAnimationFrame(() => {{
             const {{ port1, port2 }} = new MessageChannel();
             port1.onmessage = () => painted.push(performance.now() - since);
             port2.postMessage(0);
           }});
         }}).observe(answer, {{ childList: true, subtree: true, characterData: true }});
         field.value = {before:?};
         field.dispatchEvent(new Event('input', {{ bubbles: true }}));
         field.focus();"
    ));
    for press in 0..TIMED + WARM {
        // One of the digits 1 to 9: each answer differs from the one before it.
        page.script(&format!(
            "const field = document.querySelector({field:?}); field.value = {before:?}; field.setSelectionRange(9, 9)"
        ));
        page.press(char::from(b'1' + (press % 9) as u8));
        // To ask the page sooner would hold it up.
        thread::sleep(Duration::from_millis(400));
        page.waits_for("the frame", || {
            let count = page.script("return painted.length").as_u64()?;
            (count > press as u64).then_some(())
        });
    }
    for (what, list, budget) in [
        ("to the new answer", "answered", ", budget 50 ms"),
        ("to its frame", "painted", ""),
    ] {
        let times = page.script(&format!("return {list}"));
        let mut times: Vec<f64> = times
            .as_array()
            .unwrap()
            .iter()
            .skip(WARM)
            .map(|time| time.as_f64().unwrap())
            .collect();
        times.sort_by(f64::total_cmp);
        let at = |share: usize| times[(times.len() - 1) * share / 100];
        println!(
            "{name}, keystroke {what}, CPU slowed 4 times: median {:.1} ms, 95th percentile {:.1} ms ({} keystrokes{budget})",
            at(50),
            at(95),
            times.len()
        );
    }
    page.slow_down(1);
}

#[test]
#[ignore = "times this machine and proves nothing: `make latency`"]
fn keystrokes() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/torque");
        page.click("More: share, K, bolt length, extension");
        time(
            page,
            "bench, torque factor",
            "#factor",
            "0.2",
            "section[aria-label=Answer]",
        );

        let job = read_once("rear");
        store_job(page, &job);
        page.open(&address("7", "read"));
        let reading = "#string-left-rear-0-first";
        time(
            page,
            "Read, a string reading to toe",
            reading,
            "181.",
            ":has(> section[aria-label='What the readings come to'])",
        );
        // The plan as it is asked for, and where every combination of steps must be weighed: toe far finer than a step, camber as wide as all.
        for (name, of_toe, of_camber) in [
            ("Turn, a lever arm to the new plan", 1.0, 1.0),
            ("Turn, the same for absurd tolerances", 0.01, 100.0),
        ] {
            let mut job = job.clone();
            for target in &mut job.card.targets {
                target.toe.tolerance = target.toe.tolerance * of_toe;
                target.camber.tolerance = target.camber.tolerance * of_camber;
            }
            page.open("bench/");
            store_job(page, &job);
            page.open(&address("7", "turn"));
            page.arrives("Turn");
            page.click("Lever arms by tape, instead of the card's");
            time(
                page,
                name,
                "#arm-toe-lr-toe",
                "32",
                ":has(> .two section[aria-label='Left rear'])",
            );
        }
    });
}
