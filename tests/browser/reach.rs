//! Every page for every hand and eye: narrow windows, large type, big hands.
//! WCAG 2.2: 1.4.4 Resize Text (200 %), 1.4.10 Reflow (320 px), 2.5.8 Target Size; the sizes of targets are the page's own.

use crate::common::whole;
use crate::page::{Page, Screen};
use crate::site::Site;
use crate::tour::{AT_DESK, OF_A_JOB, WITHOUT, address, read_once, store_desk, unfold, unopened};
use halfturn::document::save_job;
use serde_json::{Value, json};

/// A phone of the least width that a page must reflow to.
const NARROW: Screen = Screen {
    name: "narrow",
    width: 320,
    height: 640,
};

/// The stations of jobs, each by its address: 1 is a whole job, 2 is new, 3 waits to be turned.
fn of_jobs() -> Vec<String> {
    let stations = |job: u32| OF_A_JOB.map(|station| address(&job.to_string(), station));
    (1..=3).flat_map(stations).collect()
}

/// The other pages and their states, each by its address.
fn others() -> Vec<String> {
    let mut others: Vec<String> = Vec::new();
    others.extend(WITHOUT.map(|(address, _)| address.to_owned()));
    others.extend(AT_DESK.map(|(address, _)| address.to_owned()));
    others.push("desk/#/card/none/write".into());
    others.push("box/#/box/none".into());
    others
}

fn store_jobs(page: &Page) {
    page.open("");
    store_desk(page);
    let jobs = [whole("rear"), unopened("front"), read_once("front")];
    for (mut job, id) in jobs.into_iter().zip(1..) {
        job.id = id.to_string();
        page.script(&format!(
            "localStorage.setItem('halfturn.job.{id}', {})",
            json!(save_job(&job))
        ));
    }
}

/// Goes through states, with each of their groups open in turn and all that folds, and looks at each.
fn each_state(page: &Page, states: Vec<String>, look: impl Fn(&Page, &str)) {
    for state in states {
        // So that the next is loaded, not gone to within a page.
        page.open_elsewhere("about:blank");
        page.open(&state);
        let heads = page
            .script("return document.querySelectorAll('button.head').length")
            .as_u64()
            .unwrap();
        for head in 0..heads.max(1) {
            page.script(&format!(
                "const head = document.querySelectorAll('button.head')[{head}];
                 if (head?.ariaExpanded === 'false') head.click();
                 return new Promise(done => setTimeout(done, 0))"
            ));
            unfold(page);
            look(page, &format!("{state}, group {head}"));
        }
    }
}

/// Nothing reaches beyond the window's side, and nothing is cut off. The sheets of paper may be moved sideways in their frame: tables of
/// figures are not reflowed.
fn is_whole(page: &Page, state: &str) {
    let off = page.script(
        "const page = document.documentElement;
         const off = page.scrollWidth > page.clientWidth ? ['the page is ' + page.scrollWidth + ' wide'] : [];
         for (const one of document.querySelectorAll('.page *')) {
             if (one.closest('.sheet, .scroll') || one.parentElement.closest('svg') || one.tagName === 'INPUT') continue;
             const box = one.getBoundingClientRect();
             if (!box.width || !box.height) continue;
             const said = one.tagName + '.' + one.className + ' ' + one.textContent.slice(0, 40);
             if (box.right > page.clientWidth + 0.5 || box.left < -0.5) off.push('beyond the side: ' + said);
             if (one.scrollWidth > one.clientWidth + 1 && !one.closest('.visually-hidden, svg') && getComputedStyle(one).overflowX !== 'visible') off.push('cut off: ' + said);
         }
         const pressed = [...document.querySelectorAll('.page *')].filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth);
         if (off.length) off.push('fuller than its box: ' + pressed.map((one) => one.tagName + '.' + one.className + ' ' + one.textContent.slice(0, 40)).slice(-3));
         return off.slice(0, 5)",
    );
    assert_eq!(off, json!([]), "{state}");
}

/// What is touched and is lower than so many pixels.
fn too_small(page: &Page, least: u32) -> Value {
    page.script(&format!(
        "return [...document.querySelectorAll('button, summary, .top a, .rail a, a.button, .choices label, .box input, select')]
             .filter((one) => one.getBoundingClientRect().height > 0)
             .filter((one) => one.getBoundingClientRect().height < {least} - 0.5 || one.getBoundingClientRect().width < {least} - 12)
             .map((one) => one.textContent + ' ' + one.getBoundingClientRect().width + ' × ' + one.getBoundingClientRect().height)
             .slice(0, 5)"
    ))
}

/// What is read out has a name, and there is one of what there should be one of.
fn is_said(page: &Page, state: &str) {
    let nameless = page.script(
        "const named = (one) => one.ariaLabel || one.labels?.[0]?.textContent.trim() || one.textContent.trim() || one.title;
         const controls = [...document.querySelectorAll('a, button, input, select, textarea, summary, section.next, nav, [role=img]')];
         const ids = [...document.querySelectorAll('[id]')].map((one) => one.id);
         return [
             ...controls.filter((one) => !named(one)).map((one) => one.outerHTML.slice(0, 80)),
             ...ids.filter((id, index) => ids.indexOf(id) !== index).map((id) => 'twice: ' + id),
             ...[...document.querySelectorAll('[aria-describedby]')].filter((one) => !document.getElementById(one.getAttribute('aria-describedby'))).map((one) => 'describes nothing: ' + one.id),
             ...(document.querySelectorAll('h1').length === 1 ? [] : ['not one heading of the page']),
             ...(document.querySelectorAll('main').length === 1 ? [] : ['not one main part']),
         ].slice(0, 5)",
    );
    assert_eq!(nameless, json!([]), "{state}");
}

/// How large the type of the page is.
fn type_of(page: &Page) -> Value {
    page.script("return getComputedStyle(document.body).fontSize")
}

/// Each state as it comes, for big hands, and in type of twice the size: what is set is style alone, so it need not be loaded for each.
fn serves_every_hand_and_eye(states: Vec<String>) {
    Site::release().visit(NARROW, |page| {
        store_jobs(page);
        assert_eq!(page.script("return document.documentElement.lang"), "en");
        each_state(page, states, |page, state| {
            is_said(page, state);
            is_whole(page, state);
            assert_eq!(too_small(page, 48), json!([]), "{state}");

            page.script("document.documentElement.dataset.hands = 'big'");
            assert_eq!(type_of(page), "21.6px", "18 px and a fifth of it");
            let big = format!("{state}, big hands");
            is_whole(page, &big);
            assert_eq!(too_small(page, 72), json!([]), "{big}");
            page.script("document.documentElement.dataset.hands = 'usual'");

            page.type_size(32);
            assert_eq!(type_of(page), "36px", "twice 18 px");
            is_whole(page, &format!("{state}, large type"));
            page.type_size(16);
        });
    });
}

#[test]
fn a_job_is_whole_at_320_px_for_every_hand_and_eye() {
    serves_every_hand_and_eye(of_jobs());
}

#[test]
fn the_other_pages_are_whole_at_320_px_for_every_hand_and_eye() {
    serves_every_hand_and_eye(others());
}

#[test]
fn big_hands_are_asked_for_once_and_have_one_column() {
    Site::release().visit(NARROW, |page| {
        store_jobs(page);
        page.open("#/preferences");
        page.click("Big hands: larger targets and type");
        page.reload();
        assert_eq!(type_of(page), "21.6px");
        page.open("#/job/3/bolt-up");
        page.arrives("Bolt up");
        assert_eq!(too_small(page, 72), json!([]));
        page.look("big-hands-bolt-up");
    });
    Site::release().visit(Screen::DESK, |page| {
        store_jobs(page);
        page.open("#/preferences");
        page.click("Big hands: larger targets and type");
        page.open("#/job/1/base");
        page.arrives("Base");
        let columns = "return getComputedStyle(document.querySelector('.two')).gridTemplateColumns.split(' ').length";
        assert_eq!(page.script(columns), 1);
        page.open("#/preferences");
        page.click("As usual");
        page.open("#/job/1/base");
        page.arrives("Base");
        assert_eq!(page.script(columns), 2);
    });
}
