//! A static file server on loopback that the test owns: it counts what it is asked for, and can be stopped.

use std::collections::HashMap;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, RwLock};
use std::thread;
use std::time::Duration;

use flate2::{Compression, write::GzEncoder};

use crate::page::{Page, Screen};

/// A folder of files, served from memory as a plain static host would serve them.
pub struct Site {
    address: SocketAddr,
    shared: Arc<Shared>,
}

struct Shared {
    /// The folder in which the host keeps the site, such as `/some/folder`.
    base: String,
    files: RwLock<Files>,
    gzipped: bool,
    requests: Mutex<Vec<Request>>,
    stopped: AtomicBool,
}

/// The bytes of each file by its path on the host.
type Files = HashMap<String, Vec<u8>>;

/// One request that reached the server.
#[derive(Clone, Debug)]
pub struct Request {
    pub path: String,
    pub found: bool,
}

impl Site {
    /// The release build in `dist/`.
    pub fn release() -> Self {
        Self::of("dist")
    }

    /// The release build, compressed on its way as public hosts do.
    pub fn gzipped() -> Self {
        let zip = |text: &[u8]| {
            let mut zipped = GzEncoder::new(Vec::new(), Compression::best());
            zipped.write_all(text).unwrap();
            zipped.finish().unwrap()
        };
        let files = files_of("", "dist").into_iter();
        let zipped = files.map(|(path, text)| (path, zip(&text))).collect();
        Self::serve("", zipped, true)
    }

    /// The files below `folder`, a path from the project's root.
    #[track_caller]
    pub fn of(folder: &str) -> Self {
        Self::below("", folder)
    }

    /// The files below `folder`, served from a folder of the host such as `/some/folder`.
    #[track_caller]
    pub fn below(base: &str, folder: &str) -> Self {
        Self::serve(base, files_of(base, folder), false)
    }

    fn serve(base: &str, files: Files, gzipped: bool) -> Self {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap();
        let address = listener.local_addr().unwrap();
        let shared = Arc::new(Shared {
            base: base.to_owned(),
            files: RwLock::new(files),
            gzipped,
            requests: Mutex::default(),
            stopped: AtomicBool::new(false),
        });
        let serving = Arc::clone(&shared);
        thread::spawn(move || {
            for stream in listener.incoming() {
                if serving.stopped.load(Ordering::SeqCst) {
                    return; // the listener closes: from here on a connection is refused
                }
                let shared = Arc::clone(&serving);
                // A browser may open a connection and leave it idle, so each has a thread of its own.
                thread::spawn(move || stream.and_then(|stream| shared.answer(stream)));
            }
        });
        Self { address, shared }
    }

    /// Puts the files of another folder in place of all that were served.
    #[track_caller]
    pub fn replace(&self, folder: &str) {
        *self.shared.files.write().unwrap() = files_of(&self.shared.base, folder);
    }

    /// Has no longer the file of this path below its folder.
    #[track_caller]
    pub fn lose(&self, path: &str) {
        let path = format!("{}/{path}", self.shared.base);
        let lost = self.shared.files.write().unwrap().remove(&path);
        assert!(lost.is_some(), "there was no {path}");
    }

    /// Where the site is, without a slash at the end.
    pub fn address(&self) -> String {
        format!("{}{}", self.origin(), self.shared.base)
    }

    /// The path of its page of jobs.
    pub fn path(&self) -> String {
        format!("{}/", self.shared.base)
    }

    /// The origin of the site, without a slash at the end.
    pub fn origin(&self) -> String {
        format!("http://{}", self.address)
    }

    /// What has been asked for so far, in order.
    pub fn requests(&self) -> Vec<Request> {
        self.shared.requests.lock().unwrap().clone()
    }

    /// Takes the site off the air for good.
    pub fn stop(&self) {
        self.shared.stopped.store(true, Ordering::SeqCst);
        let _ = TcpStream::connect(self.address); // wakes the listener; it is gone when it was stopped before
        while TcpStream::connect(self.address).is_ok() {
            thread::sleep(Duration::from_millis(5));
        }
    }

    /// Runs `story` in a browser that has seen nothing of this site, then checks that the page behaved: see [`Page::faults`].
    #[track_caller]
    pub fn visit(&self, screen: Screen, story: impl FnOnce(&mut Page)) {
        let mut page = Page::new(self, screen);
        story(&mut page);
        page.behaved();
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        self.stop();
    }
}

impl Shared {
    fn answer(&self, mut stream: TcpStream) -> std::io::Result<()> {
        stream.set_read_timeout(Some(Duration::from_secs(30)))?;
        let mut lines = BufReader::new(&stream).lines();
        let Some(first) = lines.next().transpose()? else {
            return Ok(());
        };
        for line in lines {
            if line?.is_empty() {
                break;
            }
        }

        if self.stopped.load(Ordering::SeqCst) {
            return Ok(()); // a connection opened in good time and used too late
        }

        let path = first.split(' ').nth(1).unwrap_or_default();
        let path = path.split(['?', '#']).next().unwrap_or_default();
        let file = if path.ends_with('/') {
            format!("{path}index.html")
        } else {
            path.to_owned()
        };
        let files = self.files.read().unwrap();
        let body = files.get(&file).cloned();
        drop(files);
        self.requests.lock().unwrap().push(Request {
            path: path.to_owned(),
            found: body.is_some(),
        });

        let status = if body.is_some() {
            "200 OK"
        } else {
            "404 Not Found"
        };
        let body = body.unwrap_or_default();
        write!(
            stream,
            "HTTP/1.1 {status}\r\n{}Content-Type: {}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            if self.gzipped {
                "Content-Encoding: gzip\r\n"
            } else {
                ""
            },
            media_type(&file),
            body.len()
        )?;
        stream.write_all(&body)
    }
}

fn media_type(file: &str) -> &'static str {
    match file.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("js") => "text/javascript; charset=utf-8",
        Some("json") => "application/json",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

/// Every file of a folder of the project, by its path on the host.
#[track_caller]
fn files_of(base: &str, folder: &str) -> Files {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let files: Files = files_below(&root)
        .into_iter()
        .map(|file| {
            let path = file.strip_prefix(&root).unwrap().to_str().unwrap();
            (format!("{base}/{path}"), fs::read(&file).unwrap())
        })
        .collect();
    assert!(
        files.contains_key(&format!("{base}/index.html")),
        "{folder} holds no index.html: run `make build`"
    );
    files
}

fn files_below(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(folder) else {
        return Vec::new();
    };
    entries
        .map(|entry| entry.unwrap().path())
        .flat_map(|path| {
            if path.is_dir() {
                files_below(&path)
            } else {
                vec![path]
            }
        })
        .collect()
}
