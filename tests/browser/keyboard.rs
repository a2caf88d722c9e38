//! The job by keyboard alone: Tab, Enter, Space and what is typed. The focus is seen, goes in the order of reading, and is held nowhere.
//! WCAG 2.2: 2.1.1 Keyboard, 2.1.2 No Keyboard Trap, 2.4.3 Focus Order, 2.4.7 Focus Visible, 2.4.11 Focus Not Obscured.

use crate::common::whole;
use crate::page::{Page, Screen};
use crate::site::Site;
use crate::tour::{OF_A_JOB, WITHOUT, address, unfold};
use halfturn::document::save_job;
use serde_json::{Value, json};

/// More keys than any page asks for from its top to its end.
const MANY: usize = 400;

/// What has the focus: what it is called, whether it is seen to have it, and whether it comes after what had it before.
fn focused(page: &Page) -> Value {
    page.script(
        "const at = document.activeElement;
         if (at === document.body) return null;
         const label = at.labels?.[0];
         const seen = [at, label].filter(Boolean).some((one) => {
             const style = getComputedStyle(one);
             return style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
         });
         const box = (label && at.type === 'radio' ? label : at).getBoundingClientRect();
         const before = window.before;
         const answer = {
             name: at.getAttribute('aria-label') ?? (label ?? at).textContent.trim(),
             group: at.closest('fieldset')?.querySelector('legend')?.textContent ?? '',
             seen,
             inView: box.bottom > 0 && box.top < innerHeight && box.height > 0,
             onward: !before?.isConnected || Boolean(before.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_FOLLOWING),
         };
         window.before = at;
         return answer;",
    )
}

/// Presses Tab once. `None`: the page has no more to offer.
#[track_caller]
fn tab(page: &Page) -> Option<Value> {
    page.key("Tab");
    let now = focused(page);
    if now.is_null() {
        return None;
    }
    let name = &now["name"];
    assert_ne!(*name, "", "what has the focus has no name: {now}");
    assert_eq!(now["seen"], true, "{name} is not seen to have the focus");
    assert_eq!(now["inView"], true, "{name} has the focus out of sight");
    assert_eq!(now["onward"], true, "{name} comes before what was read");
    Some(now)
}

/// Presses Tab until something has the focus whose name begins so.
#[track_caller]
fn tab_to(page: &Page, name: &str) {
    let mut passed = Vec::new();
    while let Some(now) = tab(page) {
        if now["name"].as_str().unwrap().starts_with(name) {
            return;
        }
        passed.push(now["name"].clone());
        assert!(passed.len() < MANY, "{passed:?}");
    }
    panic!("no {name:?} after what has the focus; passed were {passed:?}");
}

/// A page that took the place of another is read from its heading on.
#[track_caller]
fn heading_has_focus(page: &Page, name: &str) {
    page.waits_for("the focus on the heading", || {
        (focused(page)["name"] == name).then_some(())
    });
}

#[track_caller]
fn types(page: &Page, text: &str) {
    for letter in text.chars() {
        page.press(letter);
    }
}

#[test]
fn a_job_is_begun_and_unpacked_without_a_pointer() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.arrives("From the box");
        tab_to(page, "Demo: rear");
        page.key("Enter");
        page.arrives("Unpack");
        page.arrives("Unpack");
        tab_to(page, "Who does the work");
        types(page, "Bay 2");
        // One stop for the choices of an option: the one that is taken.
        tab_to(page, "Without boots");
        tab_to(page, "Toe-link sleeve");
        types(page, "1");
        page.shows("expected 2, received 1");
        tab_to(page, "Try by hand");
        page.key("Enter");
        page.shows("turns by hand along its whole length");
        let mut checks = 0;
        while let Some(now) = tab(page) {
            let group = now["group"].as_str().unwrap();
            if group.starts_with("Upper link, left: 5/8-18") {
                page.key(" ");
                checks += 1;
                break;
            }
        }
        assert_eq!(checks, 1);
        page.part("li:has(input[name='fit-fit-upper-thread-l'])")
            .shows("Undo");
        tab_to(page, "Undo");
        page.key("Enter");
        page.part("li:has(input[name='fit-fit-upper-thread-l'])")
            .lacks("Undo");
        tab_to(page, "Go on to Bolt up");
        page.key("Enter");
        heading_has_focus(page, "Bolt up");
    });
}

#[test]
fn a_section_is_bolted_up_and_undone_without_a_pointer() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'bolt-up')");
        page.arrives("Bolt up");
        let steps = page
            .script("return document.querySelectorAll('ol.lines > li').length")
            .as_u64()
            .unwrap();
        for step in 1..=steps {
            let asks = page.script(
                "return document.querySelector('li.step.next input[id^=observe]')?.labels[0].textContent ?? ''",
            );
            if let Some(asks) = asks.as_str().filter(|asks| !asks.is_empty()) {
                tab_to(page, asks);
                types(page, "350 mm");
            }
            tab_to(page, "Done");
            page.key("Enter");
            page.shows(&format!("{step} of 97 steps"));
            // What was pressed is gone; what stands in its place has the focus, and not the top of the page.
            assert_ne!(page.script("return document.activeElement.tagName"), "BODY");
        }
        page.script("window.before = null");
        tab_to(page, "Raising the rear");
        page.key("Enter");
        tab_to(page, "Left rear, taking off");
        page.script("window.before = null; document.querySelector('button.head').focus()");
        page.key("Enter");
        tab_to(page, "Undo");
        page.key(" ");
        page.shows(&format!("{} of 97 steps", steps - 1));
        assert_eq!(focused(page)["name"], "Done");
    });
}

#[test]
fn a_base_is_set_without_a_pointer() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: rear double-wishbone kit, inch rod ends");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'base')");
        page.arrives("Base");
        let fields = page
            .script("return document.querySelectorAll('main input').length")
            .as_u64()
            .unwrap();
        let mut filled = 0;
        while let Some(now) = tab(page) {
            if now["name"].as_str().unwrap().starts_with("Thread showing")
                || page.script("return document.activeElement.tagName") == "INPUT"
            {
                types(page, "6.35");
                filled += 1;
            }
        }
        assert_eq!(filled, fields);
        page.part("section[aria-label='May it be driven to alignment?']")
            .shows("It may be driven to alignment.");
        assert_eq!(
            page.script("return [...document.querySelectorAll('main input')].every((one) => one.value === '6.35')"),
            true
        );
    });
}

#[test]
fn no_page_holds_the_focus() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        page.open("");
        page.script(&format!(
            "localStorage.setItem('halfturn.job.7', {})",
            json!(save_job(&whole("rear")))
        ));
        let jobs = OF_A_JOB.map(|station| address("7", station));
        let others = WITHOUT.map(|(address, _)| address.to_owned());
        for address in jobs.into_iter().chain(others) {
            page.open("bench/");
            page.open(&address);
            unfold(page);
            let mut stops = 0;
            while tab(page).is_some() {
                stops += 1;
                assert!(stops < MANY, "{address} holds the focus");
            }
            assert!(stops > 3, "{address}: {stops} stops");
        }
    });
}
