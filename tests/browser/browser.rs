//! One headless Chromium under its own chromedriver, spoken to in plain WebDriver.
//!
//! WebDriver is JSON over HTTP on loopback, so the standard library and serde_json are enough. A client crate would
//! bring an async runtime, and switches serde_json's `preserve_order` on for every native test of the core.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, TcpStream};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use serde_json::{Value, json};

/// The key under which WebDriver names an element (W3C WebDriver, section 12.1).
pub const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

/// A session; dropping it closes the browser in good order, so that what the page stored is on disk.
pub struct Browser {
    driver: Child,
    /// Held open: chromedriver may still write to it.
    _driver_output: BufReader<ChildStdout>,
    port: u16,
    session: String,
    /// `None` only while it is started.
    profile: Option<Profile>,
}

/// A profile folder, which goes when it is dropped.
pub struct Profile(PathBuf);

impl Profile {
    /// One that holds nothing yet.
    pub fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let name = format!("profile-{}-{number}", std::process::id());
        Self(Path::new(env!("CARGO_TARGET_TMPDIR")).join(name))
    }

    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Profile {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// Browsers that a test is done with. To start one takes longer than most tests, and the next test has an origin of its own.
static IDLE: Mutex<Vec<Browser>> = Mutex::new(Vec::new());

fn idle() -> MutexGuard<'static, Vec<Browser>> {
    IDLE.lock().unwrap_or_else(PoisonError::into_inner)
}

unsafe extern "C" {
    /// Runs something when the process ends in good order (ISO C, section 7.24.4.2): a static is not dropped.
    safe fn atexit(run: extern "C" fn()) -> std::ffi::c_int;
}

extern "C" fn close_idle() {
    idle().clear();
}

impl Browser {
    /// One that has seen nothing of the origin to come.
    pub fn any() -> Self {
        let known = idle().pop();
        known.unwrap_or_else(Self::new)
    }

    /// One that has seen nothing at all.
    fn new() -> Self {
        Self::start(Profile::new())
    }

    /// What it holds once it is closed.
    pub fn closed(mut self) -> Profile {
        self.profile.take().expect("it is started")
    }

    /// The same profile in a browser that was closed and started again.
    pub fn restarted(self) -> Self {
        Self::start(self.closed())
    }

    /// Lets the next test have it: nothing is left of what was stored at the origin, and all tabs of this test are closed, with
    /// what was said to each about its size, its speed and its scripts.
    pub fn give_back(self, origin: &str) {
        if self.forget(origin).is_ok() {
            static AT_EXIT: Once = Once::new();
            AT_EXIT.call_once(|| assert_eq!(atexit(close_idle), 0));
            idle().push(self);
        }
    }

    fn forget(&self, origin: &str) -> Result<(), String> {
        let clear = json!({ "origin": origin, "storageTypes": "all" });
        self.try_devtools("Storage.clearDataForOrigin", clear)?;
        self.try_devtools("Network.clearBrowserCache", json!({}))?;
        let old = self.command("GET", "/window/handles", &Value::Null)?;
        let new = self.command("POST", "/window/new", &json!({ "type": "tab" }))?;
        for tab in old.as_array().into_iter().flatten() {
            self.command("POST", "/window", &json!({ "handle": tab }))?;
            self.command("DELETE", "/window", &Value::Null)?;
        }
        self.command("POST", "/window", &json!({ "handle": new["handle"] }))?;
        // A tab behind another has no focus to give.
        self.try_devtools("Page.bringToFront", json!({}))?;
        for log in ["browser", "performance"] {
            self.command("POST", "/se/log", &json!({ "type": log }))?;
        }
        Ok(())
    }

    /// Starts chromedriver on a free port, and Chromium on a profile.
    fn start(profile: Profile) -> Self {
        // chromedriver chooses a port before it takes it, and another may take it in between.
        let mut browser = Self::driver()
            .or_else(|_| Self::driver())
            .or_else(|_| Self::driver())
            .unwrap_or_else(|said| panic!("chromedriver announced no port; it said: {said}"));

        let arguments = [
            "--headless=new",
            "--no-sandbox", // the tests may run as root
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            &format!("--user-data-dir={}", profile.0.display()),
        ];
        let created = browser.send(
            "POST",
            "/session",
            &json!({ "capabilities": { "alwaysMatch": {
                "browserName": "chrome",
                "goog:chromeOptions": { "args": arguments },
                "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
            } } }),
        );
        let created = created.unwrap_or_else(|why| panic!("Chromium does not start: {why}"));
        browser.session = created["sessionId"].as_str().unwrap().to_owned();
        browser.profile = Some(profile);
        browser
    }

    /// chromedriver on a free port, without a browser yet; `Err` holds what it said instead of its port.
    fn driver() -> Result<Self, String> {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .spawn()
            .expect("chromedriver starts: `make test` installs Debian's chromium-driver");
        let mut output = BufReader::new(driver.stdout.take().unwrap());
        match port_announced(&mut output) {
            Ok(port) => Ok(Self {
                driver,
                _driver_output: output,
                port,
                session: String::new(),
                profile: None,
            }),
            Err(said) => {
                // It has ended, or is of no use.
                let _ = driver.kill();
                let _ = driver.wait();
                Err(said)
            }
        }
    }

    /// A WebDriver command of this session; `Err` holds WebDriver's own words.
    pub fn command(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        self.send(method, &format!("/session/{}{path}", self.session), body)
    }

    /// A command of the Chrome DevTools Protocol.
    #[track_caller]
    pub fn devtools(&self, command: &str, parameters: Value) -> Value {
        self.try_devtools(command, parameters)
            .unwrap_or_else(|why| panic!("{command}: {why}"))
    }

    pub fn try_devtools(&self, command: &str, parameters: Value) -> Result<Value, String> {
        self.command(
            "POST",
            "/goog/cdp/execute",
            &json!({ "cmd": command, "params": parameters }),
        )
    }

    /// Runs the body of a JavaScript function in the page and returns what it returns.
    #[track_caller]
    pub fn script(&self, body: &str, arguments: Value) -> Value {
        self.try_script(body, arguments)
            .unwrap_or_else(|why| panic!("a script of the test failed: {why}"))
    }

    /// The same while the page may change under it.
    pub fn try_script(&self, body: &str, arguments: Value) -> Result<Value, String> {
        self.command(
            "POST",
            "/execute/sync",
            &json!({ "script": body, "args": arguments }),
        )
    }

    /// The log of the given kind, "browser" or "performance", since it was last asked for.
    pub fn log(&self, kind: &str) -> Vec<Value> {
        match self.command("POST", "/se/log", &json!({ "type": kind })) {
            Ok(Value::Array(entries)) => entries,
            other => panic!("chromedriver gives no {kind} log: {other:?}"),
        }
    }

    fn send(&self, method: &str, path: &str, body: &Value) -> Result<Value, String> {
        let answer = self
            .exchange(method, path, body)
            .map_err(|why| format!("chromedriver does not answer: {why}"))?;
        let value = answer.get("value").cloned().unwrap_or_default();
        match value["error"].as_str() {
            Some(error) => Err(format!(
                "{error}: {}",
                value["message"].as_str().unwrap_or_default()
            )),
            None => Ok(value),
        }
    }

    fn exchange(&self, method: &str, path: &str, body: &Value) -> std::io::Result<Value> {
        let mut stream = TcpStream::connect((Ipv4Addr::LOCALHOST, self.port))?;
        let body = if method == "POST" {
            body.to_string()
        } else {
            String::new()
        };
        write!(
            stream,
            "{method} {path} HTTP/1.1\r\nHost: localhost:{}\r\nContent-Type: application/json\r\n\
             Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
            self.port,
            body.len()
        )?;
        let mut stream = BufReader::new(stream);
        let mut length = 0;
        loop {
            let mut line = String::new();
            if stream.read_line(&mut line)? == 0 || line == "\r\n" {
                break;
            }
            if let Some((name, value)) = line.split_once(':')
                && name.eq_ignore_ascii_case("content-length")
            {
                length = value.trim().parse().map_err(std::io::Error::other)?;
            }
        }
        let mut answer = vec![0; length];
        stream.read_exact(&mut answer)?;
        Ok(serde_json::from_slice(&answer)?)
    }
}

impl Drop for Browser {
    fn drop(&mut self) {
        if !self.session.is_empty() {
            let _ = self.command("DELETE", "", &Value::Null);
        }
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}

/// The port that chromedriver says it has; `Err` holds all that it said instead.
fn port_announced(output: &mut impl BufRead) -> Result<u16, String> {
    let mut said = String::new();
    while output.read_line(&mut said).is_ok_and(|read| read > 0) {
        let last = said.lines().next_back().unwrap_or_default();
        if let Some((_, port)) = last.split_once("started successfully on port ") {
            return Ok(port
                .trim_end_matches('.')
                .parse()
                .expect("chromedriver announces a port"));
        }
    }
    Err(said)
}
