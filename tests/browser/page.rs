//! What a person does on the page and sees of it.

use std::cell::Cell;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};
use std::{env, fs};

use serde_json::{Value, json};

use crate::browser::{Browser, ELEMENT, Profile};
use crate::paper::{Paper, Printed, decode_base64};
use crate::site::Site;

/// How long a person would wait before calling the page broken, on a device that does much else: this machine may run other tests beside.
const PATIENCE: Duration = Duration::from_secs(15);

thread_local! {
    /// How long this test waits.
    static PATIENCE_HERE: Cell<Duration> = const { Cell::new(PATIENCE) };
}

/// Waits no longer than this from here on in this test: for what is not to come.
pub fn hurry(patience: Duration) {
    PATIENCE_HERE.set(patience);
}

/// The size of the window's inside, in CSS pixels.
#[derive(Clone, Copy)]
pub struct Screen {
    pub name: &'static str,
    pub width: u32,
    pub height: u32,
}

impl Screen {
    pub const PHONE: Self = Self {
        name: "phone",
        width: 390,
        height: 844,
    };
    pub const DESK: Self = Self {
        name: "desk",
        width: 1280,
        height: 800,
    };
}

/// A page in a browser that no other test has at the time, on an origin of its own.
pub struct Page<'site> {
    site: &'site Site,
    screen: Screen,
    /// Where its files are saved.
    saved: PathBuf,
    /// `None` only between closing the browser and coming back.
    browser: Option<Browser>,
}

/// A stretch of the page, so that "Done" in one row is not "Done" in the next.
pub struct Part<'page> {
    browser: &'page Browser,
    selector: String,
}

impl<'site> Page<'site> {
    pub fn new(site: &'site Site, screen: Screen) -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let saved = Path::new(env!("CARGO_TARGET_TMPDIR"))
            .join(format!("saved-{}-{number}", std::process::id()));
        let mut page = Self {
            site,
            screen,
            saved,
            browser: None,
        };
        page.take(Browser::any());
        page
    }

    fn take(&mut self, browser: Browser) {
        let Screen { width, height, .. } = self.screen;
        // A headless window has a least width, so the page is told its size instead.
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        browser.devtools("Emulation.setDeviceMetricsOverride", metrics);
        let downloads = json!({ "behavior": "allow", "downloadPath": self.saved });
        browser.devtools("Browser.setDownloadBehavior", downloads);
        self.browser = Some(browser);
    }

    fn browser(&self) -> &Browser {
        self.browser.as_ref().expect("the browser is open")
    }

    /// Opens an address of the site and waits until its page stands there: `""` is the page of jobs, `"align/"` that of the plan, `"bench/"` the bench,
    /// `"#/preferences"` a hash address, which may lead on to the page that shows it.
    #[track_caller]
    pub fn open(&self, address: &str) {
        self.open_elsewhere(&format!("{}/{address}", self.site.address()));
        self.is_up();
    }

    /// Opens any address.
    #[track_caller]
    pub fn open_elsewhere(&self, url: &str) {
        if let Err(why) = self
            .browser()
            .command("POST", "/url", &json!({ "url": url }))
        {
            panic!("{url} does not open: {why}");
        }
    }

    /// Loads the page again and waits until it stands there.
    #[track_caller]
    pub fn reload(&self) {
        if let Err(why) = self.browser().command("POST", "/refresh", &json!({})) {
            panic!("the page does not reload: {why}");
        }
        self.is_up();
    }

    /// Goes back as the browser's own button does. A script may be run twice when the page changes under it.
    #[track_caller]
    pub fn back(&self) {
        if let Err(why) = self.browser().command("POST", "/back", &json!({})) {
            panic!("the browser does not go back: {why}");
        }
    }

    /// Closes the browser for good, and leaves what the page stored to another program.
    pub fn leave(mut self) -> Profile {
        self.browser.take().expect("the browser is open").closed()
    }

    /// Closes the browser and starts it again on the same profile, then opens the address.
    #[track_caller]
    pub fn come_back(&mut self, address: &str) {
        self.behaved();
        let browser = self.browser.take().expect("the browser is open");
        self.take(browser.restarted());
        self.open(address);
    }

    /// Runs a script in every document before the page's own: to take storage away, for one.
    pub fn before_load(&self, script: &str) {
        self.browser().devtools(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({ "source": script }),
        );
    }

    /// Runs the body of a JavaScript function in the page and returns what it returns.
    #[track_caller]
    pub fn script(&self, body: &str) -> Value {
        self.browser().script(body, json!([]))
    }

    /// A command of the Chrome DevTools Protocol.
    #[track_caller]
    pub fn devtools(&self, command: &str) -> Value {
        self.browser().devtools(command, json!({}))
    }

    /// The stretch of the page that a CSS selector names.
    pub fn part(&self, selector: &str) -> Part<'_> {
        Part {
            browser: self.browser(),
            selector: selector.to_owned(),
        }
    }

    #[track_caller]
    pub fn click(&self, name: &str) {
        self.part("body").click(name);
    }

    #[track_caller]
    pub fn fill(&self, label: &str, value: &str) {
        self.part("body").fill(label, value);
    }

    #[track_caller]
    pub fn choose(&self, label: &str, option: &str) {
        self.part("body").choose(label, option);
    }

    #[track_caller]
    pub fn attach(&self, label: &str, file: &Path) {
        self.part("body").attach(label, file);
    }

    #[track_caller]
    pub fn shows(&self, text: &str) {
        self.part("body").shows(text);
    }

    #[track_caller]
    pub fn lacks(&self, text: &str) {
        self.part("body").lacks(text);
    }

    /// Waits until the page of this heading stands there, all of it.
    #[track_caller]
    pub fn arrives(&self, heading: &str) {
        self.part("h1").shows(heading);
        self.is_up();
    }

    /// Waits until there is an answer.
    #[track_caller]
    pub fn waits_for(&self, what: &str, ask: impl FnMut() -> Option<()>) {
        assert!(
            patiently(ask).is_some(),
            "{what} does not come; the page shows: {}",
            self.part("main").text()
        );
    }

    /// Waits until the page that the address leads to stands there: it does not when the browser has loaded it, for its code comes after. A job's
    /// address at the page of jobs leads to another page. What is no page of Halfturn is not waited for.
    #[track_caller]
    fn is_up(&self) {
        let home = self.site.path();
        self.waits_for("the page", || {
            let up = format!(
                "const leads_on = location.pathname === '{home}' && /^#\\/(job|send|open|file)\\b/.test(location.hash);
                 const here = document.querySelector('#top') && !document.querySelector('#skeleton, [aria-busy=true]');
                 return !leads_on && Boolean(here || !document.querySelector('link[rel=manifest]'))",
            );
            (self.browser().try_script(&up, json!([])) == Ok(json!(true))).then_some(())
        });
    }

    /// What the field of this label holds.
    #[track_caller]
    pub fn value(&self, label: &str) -> String {
        self.part("body").value(label)
    }

    /// Waits for the one file that the page saves, and takes it: its name and its bytes.
    #[track_caller]
    pub fn saved_file(&self) -> (String, Vec<u8>) {
        let finished = || {
            let path = fs::read_dir(&self.saved).ok()?.next()?.ok()?.path();
            // Chromium writes under a name of its own until the file is whole, and keeps the file's own name free with an empty one. The page saves none that is empty.
            let is_whole = path.extension() != Some("crdownload".as_ref());
            (is_whole && fs::metadata(&path).ok()?.len() > 0).then_some(path)
        };
        let path = patiently(finished).expect("the page saves a file");
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let bytes = fs::read(&path).unwrap();
        fs::remove_file(&path).unwrap();
        (name, bytes)
    }

    /// A picture of the whole page, from top to bottom, at `target/screens/NAME-SCREEN.png`.
    pub fn picture(&self, name: &str) -> PathBuf {
        let height = self
            .script("return document.documentElement.scrollHeight")
            .as_u64()
            .unwrap_or_default();
        let clip =
            json!({ "x": 0, "y": 0, "width": self.screen.width, "height": height, "scale": 1 });
        let taken = self.browser().devtools(
            "Page.captureScreenshot",
            json!({ "clip": clip, "captureBeyondViewport": true }),
        );
        let path = target_folder("screens").join(format!("{name}-{}.png", self.screen.name));
        fs::write(&path, decode_base64(taken["data"].as_str().unwrap())).unwrap();
        path
    }

    /// Keeps a picture of the whole page for a person to look at, when `PICTURES` is set: it takes a second, and proves nothing.
    pub fn look(&self, name: &str) {
        if env::var_os("PICTURES").is_some() {
            self.picture(name);
        }
    }

    /// Nothing reaches beyond the window's side: no second hand is needed to scroll across.
    #[track_caller]
    pub fn fits(&self) {
        let widths = self.script(
            "const page = document.documentElement; return [page.clientWidth, page.scrollWidth]",
        );
        assert_eq!(widths[0], widths[1], "visible and scroll width");
    }

    /// A picture of what the window shows, at `target/screens/NAME-SCREEN.png`.
    pub fn view(&self, name: &str) -> PathBuf {
        let taken = self.browser().devtools("Page.captureScreenshot", json!({}));
        let path = target_folder("screens").join(format!("{name}-{}.png", self.screen.name));
        fs::write(&path, decode_base64(taken["data"].as_str().unwrap())).unwrap();
        path
    }

    /// Holds the device so, in degrees of the `deviceorientation` event.
    pub fn hold_device(&self, alpha: f64, beta: f64, gamma: f64) {
        self.browser().devtools(
            "DeviceOrientation.setDeviceOrientationOverride",
            json!({ "alpha": alpha, "beta": beta, "gamma": gamma }),
        );
    }

    /// Turns the screen's picture: a phone on its side at 90 degrees.
    pub fn turn_screen(&self, degrees: u32) {
        let Screen { width, height, .. } = self.screen;
        let (kind, width, height) = if degrees == 0 {
            ("portraitPrimary", width, height)
        } else {
            ("landscapePrimary", height, width)
        };
        self.browser().devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({
                "width": width, "height": height, "deviceScaleFactor": 1, "mobile": true,
                "screenOrientation": { "type": kind, "angle": degrees },
            }),
        );
    }

    /// Makes the device so many times slower than this machine.
    pub fn slow_down(&self, times: u32) {
        self.browser()
            .devtools("Emulation.setCPUThrottlingRate", json!({ "rate": times }));
    }

    /// Sets type larger: what a person has set as the browser's own size of type, in pixels.
    pub fn type_size(&self, pixels: u32) {
        let sizes = json!({ "fontSizes": { "standard": pixels } });
        self.browser().devtools("Page.setFontSizes", sizes);
    }

    /// Makes the window's inside that wide, in CSS pixels.
    pub fn widen(&self, width: u32) {
        let metrics = json!({ "width": width, "height": self.screen.height, "deviceScaleFactor": 1, "mobile": false });
        self.browser()
            .devtools("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// Opens another tab on an address of the site, and turns to it. Gives the name of the tab that was left.
    #[track_caller]
    pub fn open_tab(&self, address: &str) -> String {
        let here = self.browser().command("GET", "/window", &Value::Null);
        let tab = self
            .browser()
            .command("POST", "/window/new", &json!({ "type": "tab" }));
        let (here, tab) = (here.unwrap(), tab.unwrap());
        self.turn_to(tab["handle"].as_str().unwrap());
        self.widen(self.screen.width);
        self.open(address);
        here.as_str().unwrap().to_owned()
    }

    /// Turns to another tab, and gives the name of the one that was left.
    #[track_caller]
    pub fn turn_to(&self, tab: &str) -> String {
        let here = self.browser().command("GET", "/window", &Value::Null);
        self.browser()
            .command("POST", "/window", &json!({ "handle": tab }))
            .unwrap_or_else(|why| panic!("no such tab: {why}"));
        here.unwrap().as_str().unwrap().to_owned()
    }

    /// Presses a key by its name: `Tab`, `Enter`, ` `.
    pub fn key(&self, name: &str) {
        let (code, text) = match name {
            "Tab" => (9, ""),
            "Enter" => (13, "\r"),
            _ => (32, " "),
        };
        for kind in ["keyDown", "keyUp"] {
            let mut key = json!({ "type": kind, "key": name, "windowsVirtualKeyCode": code });
            if kind == "keyDown" && !text.is_empty() {
                key["text"] = json!(text);
            }
            self.browser().devtools("Input.dispatchKeyEvent", key);
        }
    }

    /// Presses a key that types a character into what has the focus.
    pub fn press(&self, character: char) {
        let text = character.to_string();
        for kind in ["keyDown", "keyUp"] {
            let mut key = json!({ "type": kind, "key": text });
            if kind == "keyDown" {
                key["text"] = json!(text);
            }
            self.browser().devtools("Input.dispatchKeyEvent", key);
        }
    }

    /// Prints the page as a person would who changes nothing in the dialog but the paper, to `target/print/`.
    pub fn print(&self, paper: Paper, name: &str) -> Printed {
        let (width, height) = paper.inches();
        let printed = self.browser().devtools(
            "Page.printToPDF",
            json!({
                "paperWidth": width,
                "paperHeight": height,
                "preferCSSPageSize": false,
                "printBackground": false,
                "scale": 1,
            }),
        );
        let path = target_folder("print").join(format!("{name}-{}.pdf", paper.name()));
        fs::write(&path, decode_base64(printed["data"].as_str().unwrap())).unwrap();
        Printed::read(path)
    }

    /// What went wrong: warnings and errors of the console (a breach of the content security policy is one) and requests
    /// to another origin since this was last asked, and every file asked for that the site does not have.
    pub fn faults(&self) -> Vec<String> {
        let console = self
            .browser()
            .log("browser")
            .into_iter()
            .filter_map(|entry| {
                let level = entry["level"].as_str()?;
                matches!(level, "SEVERE" | "WARNING")
                    .then(|| format!("console: {}", entry["message"]))
            });
        let origin = self.site.origin();
        let strays = self
            .browser()
            .log("performance")
            .into_iter()
            .filter_map(|entry| {
                let url = requested(entry["message"].as_str()?)?;
                let own = url == origin || url.starts_with(&format!("{origin}/"));
                // None of these leaves the browser; `chrome:` is its own new-tab page.
                let local = ["about:", "blob:", "chrome:", "data:"]
                    .iter()
                    .any(|scheme| url.starts_with(scheme));
                (!own && !local).then(|| format!("request to another origin: {url}"))
            });
        let missing = self
            .site
            .requests()
            .into_iter()
            .filter(|request| !request.found);
        console
            .chain(strays)
            .chain(missing.map(|request| format!("no such file: {}", request.path)))
            .collect()
    }

    #[track_caller]
    pub fn behaved(&self) {
        let faults = self.faults();
        assert!(
            faults.is_empty(),
            "the page misbehaved:\n{}",
            faults.join("\n")
        );
    }
}

impl Drop for Page<'_> {
    fn drop(&mut self) {
        if thread::panicking() && self.browser.is_some() {
            let test = thread::current()
                .name()
                .unwrap_or("test")
                .replace("::", "-");
            let text = self.browser().command(
                "POST",
                "/execute/sync",
                &json!({ "script": SEEN, "args": ["body"] }),
            );
            eprintln!("the page showed: {}", text.unwrap_or_default());
            if let Ok(picture) = self.browser().command("GET", "/screenshot", &Value::Null) {
                let path = target_folder("screens").join(format!("failed-{test}.png"));
                let _ = fs::write(&path, decode_base64(picture.as_str().unwrap_or_default()));
                eprintln!("its picture: {}", path.display());
            }
        }
        if let Some(browser) = self.browser.take()
            && !thread::panicking()
        {
            browser.give_back(&self.site.origin());
        }
        let _ = fs::remove_dir_all(&self.saved);
    }
}

/// The visible text of the part of the page that a selector names.
const SEEN: &str =
    "return [...document.querySelectorAll(arguments[0])].map((e) => e.innerText).join(' ')";

impl Part<'_> {
    /// Clicks the link, button, tab or label of this name; something lying over it is a failure.
    #[track_caller]
    pub fn click(&self, name: &str) {
        self.act("press", name, |element| {
            self.browser
                .command("POST", &format!("/element/{element}/click"), &json!({}))
        });
    }

    /// Types the value into the field of this label, in place of what stands there: in one go, as a phone's keyboard hands over a word.
    #[track_caller]
    pub fn fill(&self, label: &str, value: &str) {
        const BACKSPACE: &str = "\u{E003}"; // W3C WebDriver, section 17.4.2
        self.act("field to fill", label, |element| match value {
            "" => self.browser.command(
                "POST",
                &format!("/element/{element}/value"),
                &json!({ "text": BACKSPACE }),
            ),
            text => {
                let typed = json!({ "text": text });
                self.browser.try_devtools("Input.insertText", typed)
            }
        });
    }

    /// Picks an option, by its text, in the list of this label.
    #[track_caller]
    pub fn choose(&self, label: &str, option: &str) {
        self.act("list", label, |element| {
            let find = json!({ "using": "xpath", "value": format!(".//option[normalize-space()='{option}']") });
            let found = self.browser.command("POST", &format!("/element/{element}/element"), &find)?;
            let option = found[ELEMENT].as_str().unwrap_or_default();
            self.browser.command("POST", &format!("/element/{option}/click"), &json!({}))
        });
    }

    /// Gives a file to the file field of this label.
    #[track_caller]
    pub fn attach(&self, label: &str, file: &Path) {
        self.act("file", label, |element| {
            self.browser.command(
                "POST",
                &format!("/element/{element}/value"),
                &json!({ "text": file }),
            )
        });
    }

    /// What the field of this label holds.
    #[track_caller]
    pub fn value(&self, label: &str) -> String {
        let value = self.act("field", label, |element| {
            self.browser.command(
                "GET",
                &format!("/element/{element}/property/value"),
                &Value::Null,
            )
        });
        value.as_str().unwrap_or_default().to_owned()
    }

    /// The visible text, each run of white space as one space.
    pub fn text(&self) -> String {
        tidy(
            self.browser
                .script(SEEN, json!([self.selector]))
                .as_str()
                .unwrap_or_default(),
        )
    }

    /// Waits until the text can be seen.
    #[track_caller]
    pub fn shows(&self, text: &str) {
        let seen = patiently(|| self.text().contains(&tidy(text)).then_some(()));
        assert!(
            seen.is_some(),
            "`{}` does not show {text:?}; it shows: {}",
            self.selector,
            self.text()
        );
    }

    /// Waits until the text cannot be seen.
    #[track_caller]
    pub fn lacks(&self, text: &str) {
        let gone = patiently(|| (!self.text().contains(&tidy(text))).then_some(()));
        assert!(
            gone.is_some(),
            "`{}` still shows {text:?}: {}",
            self.selector,
            self.text()
        );
    }

    /// Waits for the one thing of that kind and name, and does something with it; again when the page replaced it
    /// in between.
    #[track_caller]
    fn act(&self, kind: &str, name: &str, action: impl Fn(&str) -> Result<Value, String>) -> Value {
        let mut trouble = String::new();
        let done = patiently(|| {
            let answer = self.browser.script(
                include_str!("finder.js"),
                json!([self.selector, kind, name]),
            );
            match answer["found"]
                .as_array()
                .map(Vec::as_slice)
                .unwrap_or_default()
            {
                [element] => match action(element[ELEMENT].as_str()?) {
                    Ok(value) => return Some(value),
                    Err(why) => trouble = why,
                },
                found => {
                    trouble = format!(
                        "{} of that name; the page has {}",
                        found.len(),
                        answer["names"]
                    )
                }
            }
            None
        });
        done.unwrap_or_else(|| panic!("{kind} {name:?} in `{}`: {trouble}", self.selector))
    }
}

/// The address in a performance log entry that announces a request or a socket.
fn requested(entry: &str) -> Option<String> {
    let entry: Value = serde_json::from_str(entry).ok()?;
    let message = &entry["message"];
    let url = match message["method"].as_str()? {
        "Network.requestWillBeSent" => &message["params"]["request"]["url"],
        "Network.webSocketCreated" | "Network.webTransportCreated" => &message["params"]["url"],
        _ => return None,
    };
    Some(url.as_str()?.to_owned())
}

/// Asks again and again until there is an answer or patience ends.
fn patiently<T>(mut ask: impl FnMut() -> Option<T>) -> Option<T> {
    let start = Instant::now();
    loop {
        if let Some(answer) = ask() {
            return Some(answer);
        }
        if start.elapsed() > PATIENCE_HERE.get() {
            return None;
        }
        thread::sleep(Duration::from_millis(40));
    }
}

fn tidy(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn target_folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name(name);
    fs::create_dir_all(&folder).unwrap();
    folder
}
