//! Once seen, no server is needed; what is kept is one whole build, and another is taken when it is asked for.

use crate::journey;
use crate::page::{Page, Screen};
use crate::paper::Paper;
use crate::site::Site;
use serde_json::{Value, json};
use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::process::Command;

/// A browser without service workers.
pub const WITHOUT_WORKER: &str = "delete Navigator.prototype.serviceWorker";

const REAR: &str = "Demo: rear double-wishbone kit, inch rod ends";
const FIELD: &str = "Toe-link sleeve, groove at its left-hand end";
const OFFER: &str = "A new version of Halfturn is ready";
const TAKE: &str = "Change to the new version";

/// Opens the list of jobs and waits until the worker keeps the build and answers for it.
#[track_caller]
fn first_visit(page: &Page) {
    page.open("");
    is_true(
        page,
        "the worker",
        "return navigator.serviceWorker.controller !== null",
    );
}

/// Waits until a script says true.
#[track_caller]
fn is_true(page: &Page, what: &str, script: &str) {
    page.waits_for(what, || page.script(script).as_bool()?.then_some(()));
}

fn pause(page: &Page) {
    page.script("return new Promise(done => setTimeout(() => done(true), 1500))");
}

/// Which build the document of the window is of.
fn build(page: &Page) -> Value {
    page.script("return document.documentElement.dataset.build ?? 'first'")
}

/// A build like that in `dist/`, in which every file that has a hash in its name has another, and each page says which it is.
fn another_build(name: &str) -> String {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("build-{name}"));
    let _ = fs::remove_dir_all(&target);
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut names = Vec::new();
    copy(&root.join("dist"), &target, name, &mut names);
    assert!(names.len() > 10, "files with a hash: {names:?}");
    for folder in [
        "", "unpack", "fit", "read", "align", "sheet", "share", "bench", "desk", "box",
    ] {
        let folder = target.join(folder);
        let path = folder.join("index.html");
        let mut page = fs::read_to_string(&path).unwrap();
        for (old, new) in &names {
            page = page.replace(old, new);
        }
        // The inline script names other files now, so the hashes are to be written anew.
        for kind in ["script", "style"] {
            let (before, rest) = page.split_once("'sha256-").unwrap();
            let (_, after) = rest.split_once('\'').unwrap();
            page = format!("{before}'inline-{kind}-hashes'{after}");
        }
        let marked = page.replacen("<html", &format!("<html data-build={name}"), 1);
        assert_ne!(marked, page);
        fs::write(&path, marked).unwrap();
        hook("csp.mjs", &folder);
    }
    fs::copy(root.join("public/worker.js"), target.join("worker.js")).unwrap();
    hook("worker.mjs", &target);
    target.to_str().unwrap().to_owned()
}

/// Copies a folder. A hash in a file's name gets the build's name before it; what was renamed is noted.
fn copy(from: &Path, to: &Path, build: &str, names: &mut Vec<(String, String)>) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap();
        if path.is_dir() {
            copy(&path, &to.join(name), build, names);
            continue;
        }
        let new = match name.split_once('-') {
            Some((stem, hash)) if hash.len() > 16 => format!("{stem}-{build}-{hash}"),
            _ => name.to_owned(),
        };
        fs::copy(&path, to.join(&new)).unwrap();
        if new != name {
            names.push((name.to_owned(), new));
        }
    }
}

/// Runs a part of the build's hook on a folder of built files.
fn hook(name: &str, folder: &Path) {
    let done = Command::new("node")
        .arg(format!("{}/.ci/{name}", env!("CARGO_MANIFEST_DIR")))
        .env("TRUNK_STAGING_DIR", folder)
        .status();
    assert!(done.unwrap().success(), "{name} on {}", folder.display());
}

/// Starts the demo job and leaves something typed in it.
#[track_caller]
fn begin_job(page: &Page) {
    page.click(REAR);
    page.arrives("Unpack");
    page.fill(FIELD, "2");
}

/// What keeps the build would take its share of a slow line and of a slow phone.
#[test]
fn the_build_is_fetched_only_once_the_page_stands() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        page.before_load(
            "new MutationObserver(() => {
                 window.stands ??= document.querySelector('#top') && !document.querySelector('#skeleton, [aria-busy]') ? performance.now() : undefined;
             }).observe(document, { childList: true, subtree: true, attributes: true });
             const register = navigator.serviceWorker.register;
             navigator.serviceWorker.register = function (...all) {
                 window.registered = performance.now();
                 return register.apply(this, all);
             }",
        );
        first_visit(page);
        is_true(page, "the page first", "return window.stands < window.registered");
    });
    let requests = site.requests();
    let asked = |end: &str| {
        requests
            .iter()
            .position(|request| request.path.ends_with(end))
    };
    assert!(asked(".wasm").is_some() && asked(".wasm") < asked("/worker.js"));
}

#[test]
fn the_page_can_be_installed_with_icons_of_its_own() {
    Site::below("/some/folder", "dist").visit(Screen::PHONE, |page| {
        for address in ["", "align/#/job/1/read", "bench/", "share/#/send/1"] {
            page.open(address);
            page.part(".page").shows("Jobs");
            let manifest = page.devtools("Page.getAppManifest");
            assert_eq!(manifest["errors"], json!([]), "{address}");
            let url = manifest["url"].as_str().unwrap();
            assert!(url.ends_with("/some/folder/halfturn.webmanifest"), "{url}");
            // What Chromium itself asks of a page that it installs.
            let errors = page.devtools("Page.getInstallabilityErrors");
            assert_eq!(errors["installabilityErrors"], json!([]), "{address}");
        }
        let icons = page.script(
            "const address = document.querySelector('link[rel=manifest]').href;
             return fetch(address).then(answer => answer.json()).then(({ icons }) => Promise.all(icons.map(async icon => {
                 const image = new Image();
                 image.src = new URL(icon.src, address);
                 await image.decode();
                 return icon.sizes === 'any' || icon.sizes === `${image.naturalWidth}x${image.naturalHeight}`;
             })))",
        );
        assert_eq!(icons, json!([true, true, true, true]));
    });
}

#[test]
fn after_one_visit_the_whole_job_is_done_and_printed_without_a_server() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        let requests = site.requests().len();
        site.stop();
        journey::whole_job(page, &journey::REAR);
        page.click("Bench");
        page.arrives("Turns for an angle");
        page.click("Jobs");
        page.shows("Orrin 1600 coupe");
        // Each address as it may have been kept among the bookmarks.
        for address in [
            "index.html?from=elsewhere",
            "align/index.html#/job/1/sheet",
            "align/?a=b#/job/1/sheet",
            "bench/index.html",
            "bench",
        ] {
            page.open(address);
            page.part(".page").shows("Jobs");
        }
        page.come_back("align/#/job/1/sheet");
        page.part(".sheet").shows("Tow hook left in the boot.");
        page.print(Paper::A4, "offline")
            .is_one_page_with(Paper::A4, &["Tow hook left in the boot."]);
        assert_eq!(site.requests().len(), requests);
    });
}

#[test]
fn without_the_worker_nothing_opens_without_a_server() {
    let site = Site::release();
    let page = Page::new(&site, Screen::PHONE);
    page.before_load(WITHOUT_WORKER);
    page.open("");
    page.part(".page").shows("Jobs");
    pause(&page);
    page.behaved();
    site.stop();
    page.click(REAR);
    page.shows("could not be fetched");
    for address in ["align/", "bench/", "share/", ""] {
        let opened = catch_unwind(AssertUnwindSafe(|| page.open(address)));
        assert!(opened.is_err(), "{address:?} opened");
    }
}

#[test]
fn what_is_kept_is_not_asked_for_again() {
    let site = Site::below("/some/folder", "dist");
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        let before = site.requests().len();
        assert!(before > 20, "the first visit fetches: {before}");
        begin_job(page);
        for address in [
            "align/#/job/1/read",
            "bench/",
            "share/#/send/1",
            "",
            "#/preferences",
        ] {
            page.open(address);
            page.part(".page").shows("Jobs");
            page.reload();
        }
        pause(page);
        // Whether there is a newer worker is the one question left.
        let asked: Vec<_> = site.requests().split_off(before);
        let other = asked
            .iter()
            .find(|request| request.path != "/some/folder/worker.js");
        assert!(other.is_none(), "{asked:?}");
    });
}

#[test]
fn another_page_of_the_origin_is_left_alone() {
    let site = Site::below("/some/folder", "dist");
    let page = Page::new(&site, Screen::PHONE);
    first_visit(&page);
    let own = page.script("return caches.open('their own').then(() => caches.keys())");
    assert_eq!(own.as_array().unwrap().len(), 2, "{own}");
    // Not a file of the build, within the worker's folder and outside: each time it is the server that answers.
    for address in ["/some/folder/absent.json", "/elsewhere/", "/some/folder"] {
        let status = page.script(&format!(
            "return fetch('{address}').then(answer => answer.status)"
        ));
        assert_eq!(status, 404, "{address}");
        assert!(
            site.requests().iter().any(|asked| asked.path == address),
            "{address}"
        );
    }
    let kept = page.script("return caches.has('their own')");
    assert_eq!(kept, true);
}

#[test]
fn a_newer_build_is_offered_off_the_job_and_taken_when_asked_for() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        page.lacks(OFFER);
        begin_job(page);
        site.replace(&another_build("second"));
        // The page of the first build goes on, through every page, and is not spoken to at its work.
        page.reload();
        is_true(
            page,
            "the second build",
            "return caches.keys().then(names => names.length === 2)",
        );
        assert_eq!(page.value(FIELD), "2");
        for station in ["bolt-up", "base", "read", "turn", "sheet"] {
            let folder = if ["bolt-up", "base"].contains(&station) {
                ""
            } else {
                "align/"
            };
            page.open(&format!("{folder}#/job/1/{station}"));
            page.part(".rail a[aria-current]").shows("");
            assert_eq!(build(page), "first", "{station}");
            page.lacks(OFFER);
        }
        // Nor does the build change when every window was closed.
        page.come_back("bench/");
        page.shows(OFFER);
        assert_eq!(build(page), "first");
        page.come_back("#/preferences");
        page.shows(OFFER);
        page.fits();
        page.come_back("");
        page.part("main").shows(OFFER);
        page.fits();
        page.look("new-version");
        assert_eq!(build(page), "first");
        page.click(TAKE);
        is_true(
            page,
            "the second build",
            "return document.documentElement.dataset.build === 'second'",
        );
        page.shows("Orrin 1600 coupe — Unpack");
        page.lacks(OFFER);
        // And it is there without a server.
        site.stop();
        for address in ["align/#/job/1/sheet", "bench/", "#/job/1/unpack"] {
            page.open(address);
            page.part(".page").shows("Jobs");
            assert_eq!(build(page), "second", "{address}");
        }
        assert_eq!(page.value(FIELD), "2");
    });
}

#[test]
fn a_newer_build_that_comes_while_the_list_is_open_is_offered_there() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        site.replace(&another_build("live"));
        page.script("navigator.serviceWorker.ready.then(registration => registration.update())");
        page.shows(OFFER);
        page.click(TAKE);
        is_true(
            page,
            "the other build",
            "return document.documentElement.dataset.build === 'live'",
        );
    });
}

#[test]
fn a_newer_build_that_was_here_before_the_page_could_watch_for_it_is_offered() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        site.replace(&another_build("early"));
        // The page hears of the worker only when the newer build is kept.
        page.before_load(
            "const { serviceWorker } = navigator;
             const register = serviceWorker.register.bind(serviceWorker);
             serviceWorker.register = async (...what) => {
                 const registration = await register(...what);
                 while ((await caches.keys()).length < 2) await new Promise(done => setTimeout(done, 50));
                 window.heard = true;
                 return registration;
             }",
        );
        page.reload();
        is_true(page, "the worker", "return window.heard === true");
        page.shows(OFFER);
    });
}

#[test]
fn a_job_open_in_another_window_goes_on_when_the_newer_build_is_taken() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        begin_job(page);
        site.replace(&another_build("beside"));
        page.script("window.beside = window.open('../bench/')");
        let offer = "window.beside.document.querySelector('new-version button')";
        is_true(page, "the offer", &format!("return {offer} !== null"));
        page.script(&format!("{offer}.click()"));
        is_true(
            page,
            "the newer build in the other window",
            "return window.beside.document.documentElement?.dataset.build === 'beside'",
        );
        assert_eq!(build(page), "first");
        assert_eq!(page.value(FIELD), "2");
        page.script("window.beside.close()");
        page.fill(FIELD, "1");
        page.click("Go on to Bolt up");
        page.arrives("Bolt up");
        // The next page is of the newer build, with all its files.
        page.open("align/#/job/1/sheet");
        page.arrives("Sheet");
        assert_eq!(build(page), "beside");
        page.open("#/job/1/unpack");
        assert_eq!(page.value(FIELD), "1");
    });
}

#[test]
fn a_build_of_which_a_file_is_missing_or_another_is_not_taken() {
    for torn in ["missing", "other"] {
        let site = Site::release();
        let page = Page::new(&site, Screen::PHONE);
        first_visit(&page);
        let whole = another_build(torn);
        site.replace(&whole);
        if torn == "missing" {
            site.lose("cards/front.json");
        } else {
            // The worker of the new build is there already, and a page is still the old one.
            let mixed = format!("{whole}-mixed");
            let _ = fs::remove_dir_all(&mixed);
            copy(Path::new(&whole), Path::new(&mixed), "", &mut Vec::new());
            let root = Path::new(env!("CARGO_MANIFEST_DIR"));
            let page = Path::new(&mixed).join("bench/index.html");
            fs::copy(root.join("dist/bench/index.html"), page).unwrap();
            site.replace(&mixed);
        }
        page.reload();
        page.waits_for("a request for the new build", || {
            let asked = site.requests();
            asked
                .iter()
                .any(|request| request.path.contains(torn))
                .then_some(())
        });
        pause(&page);
        page.reload();
        page.lacks(OFFER);
        assert_eq!(
            page.script("return caches.keys()")
                .as_array()
                .unwrap()
                .len(),
            1
        );
        for address in ["bench/", "align/#/job/1/read", ""] {
            page.open(address);
            page.part(".page").shows("Jobs");
            assert_eq!(build(&page), "first", "{address}");
        }
        // Once the upload is whole it is taken.
        site.replace(&whole);
        page.reload();
        page.part("main").shows(OFFER);
        page.click(TAKE);
        is_true(
            &page,
            "the whole build",
            &format!("return document.documentElement.dataset.build === '{torn}'"),
        );
    }
}

#[test]
fn what_the_browser_cleared_is_kept_anew() {
    let site = Site::release();
    site.visit(Screen::PHONE, |page| {
        first_visit(page);
        page.script("return caches.keys().then(names => Promise.all(names.map(name => caches.delete(name))))");
        page.reload();
        is_true(
            page,
            "the build",
            "return caches.match('./').then(kept => kept !== undefined)",
        );
        site.stop();
        page.open("bench/");
        page.arrives("Turns for an angle");
    });
}

#[test]
fn the_screen_stays_on_at_a_station_and_storage_is_asked_to_last() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load(
            "window.locks = []; window.asked = 0; let hidden = false;
             WakeLock.prototype.request = async kind => {
                 const lock = { kind, held: true, release: async () => { lock.held = false; } };
                 window.locks.push(lock);
                 return lock;
             };
             StorageManager.prototype.persist = async () => { window.asked += 1; return true; };
             Object.defineProperty(Document.prototype, 'hidden', { get: () => hidden });
             window.hide = now => {
                 hidden = now;
                 if (now) window.locks.forEach(lock => { lock.held = false; });
                 document.dispatchEvent(new Event('visibilitychange'));
             };",
        );
        let held = "return window.locks.filter(lock => lock.held && lock.kind === 'screen').length";
        page.open("");
        page.click("Preferences");
        page.arrives("Preferences");
        assert_eq!(page.script(held), 0);
        assert_eq!(page.script("return window.asked"), 0);
        page.click("Jobs");
        begin_job(page);
        assert_eq!(page.script(held), 1);
        page.click("With boots");
        page.click("Spacer pack included");
        assert_eq!(page.script("return window.asked"), 1);
        // Another station is still one lock; a page that was away takes it again, and lets go with the job.
        page.click("Go on to Bolt up");
        page.arrives("Bolt up");
        is_true(page, "one lock", &format!("{held} === 1"));
        page.script("window.hide(true)");
        assert_eq!(page.script(held), 0);
        page.script("window.hide(false)");
        is_true(page, "the lock again", &format!("{held} === 1"));
        page.click("Jobs");
        page.arrives("From the box");
        is_true(page, "no lock", &format!("{held} === 0"));
        page.script("window.hide(true); window.hide(false)");
        assert_eq!(page.script(held), 0);
    });
}

#[test]
fn what_a_browser_does_not_know_is_quietly_absent() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load(
            "delete Navigator.prototype.serviceWorker; delete Navigator.prototype.wakeLock; delete Navigator.prototype.storage; delete window.caches;",
        );
        page.before_load("window.troubles = []; addEventListener('unhandledrejection', event => window.troubles.push(String(event.reason)))");
        page.open("");
        begin_job(page);
        page.click("With boots");
        assert_eq!(page.value(FIELD), "2");
        page.click("Jobs");
        page.shows("Orrin 1600 coupe — Unpack");
        pause(page);
        assert_eq!(page.script("return window.troubles"), json!([]));
    });
}

#[test]
fn a_job_of_a_newer_build_is_kept_as_it_is_by_an_older_page() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        begin_job(page);
        page.open("bench/");
        let newer = page.script(
            "const key = Object.keys(localStorage).find(key => key.startsWith('halfturn.job.'));
             const newer = localStorage.getItem(key).replace(/\"version\":\\d+/, '\"version\":99').replace('\"id\"', '\"unheard_of\":[1],\"id\"');
             localStorage.setItem(key, newer);
             return newer",
        );
        for address in ["#/job/1/unpack", "align/#/job/1/read"] {
            page.open(address);
            page.shows("This job cannot be read. It is kept as it is");
            page.shows("The field version is 99");
            page.shows("change to the new version");
        }
        page.open("");
        page.shows("A job that cannot be read. It is kept as it is.");
        page.click("Save what is there to a file");
        assert_eq!(page.saved_file().1, newer.as_str().unwrap().as_bytes());
        assert_eq!(page.script("return localStorage.getItem('halfturn.job.1')"), newer);
    });
}

#[test]
fn a_job_changed_in_the_future_is_a_job() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        begin_job(page);
        page.open("bench/");
        for (moment, date) in [
            ("18446744073709551615", "Changed 275760-09-"),
            ("4118083200000", "Changed 2100-"),
        ] {
            page.script(&format!(
                "localStorage.setItem('halfturn.job.1', localStorage.getItem('halfturn.job.1').replace(/\"(changed|started)\":\\d+/g, '\"$1\":{moment}'))"
            ));
            page.open("");
            page.reload();
            page.shows(date);
            page.lacks("cannot be read");
            page.open("#/job/1/unpack");
            assert_eq!(page.value(FIELD), "2");
            page.open("bench/");
        }
        page.open("#/job/1/unpack");
        page.fill(FIELD, "1");
        page.reload();
        assert_eq!(page.value(FIELD), "1");
    });
}
