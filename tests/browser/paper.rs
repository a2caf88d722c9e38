//! The printed page, read back with poppler's tools.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A sheet in the printer.
#[derive(Clone, Copy)]
pub enum Paper {
    A4,
    Letter,
}

impl Paper {
    pub const BOTH: [Self; 2] = [Self::A4, Self::Letter];

    pub fn name(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// Width and height: ISO 216 and ANSI/ASME Y14.1.
    pub fn inches(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0 / 25.4, 297.0 / 25.4),
            Self::Letter => (8.5, 11.0),
        }
    }
}

/// A printed PDF: how many pages it has, of what size, and what it says.
pub struct Printed {
    pub path: PathBuf,
    pub pages: u32,
    /// Width and height of the first page in PDF points, 1/72 inch.
    pub points: (f64, f64),
    /// The text in reading order, each run of white space as one space.
    pub text: String,
}

impl Printed {
    pub fn read(path: PathBuf) -> Self {
        let info = output_of(Command::new("pdfinfo").arg(&path));
        let said = |key: &str| {
            let line = info
                .lines()
                .find_map(|line| line.strip_prefix(key))
                .map(str::trim);
            line.unwrap_or_else(|| panic!("pdfinfo says no {key} of {}", path.display()))
        };
        let size: Vec<f64> = said("Page size:")
            .split(' ')
            .filter_map(|word| word.parse().ok())
            .collect();
        Self {
            pages: said("Pages:").parse().expect("a count of pages"),
            points: (size[0], size[1]),
            text: text_of(&path),
            path,
        }
    }

    /// One page of the right paper that holds every one of these texts.
    #[track_caller]
    pub fn is_one_page_with(&self, paper: Paper, texts: &[&str]) {
        let path = self.path.display();
        let (width, height) = paper.inches();
        let (w, h) = self.points;
        assert!(
            (w - width * 72.0).abs() < 1.0 && (h - height * 72.0).abs() < 1.0,
            "{path} is {w} by {h} points, not {}",
            paper.name()
        );
        assert_eq!(self.pages, 1, "{path} has {} pages", self.pages);
        for text in texts {
            assert!(
                self.text.contains(text),
                "{path} does not say {text:?}; it says: {}",
                self.text
            );
        }
    }
}

impl Printed {
    /// What the QR codes on the page say, as a camera at 300 dots an inch would see it.
    pub fn codes(&self) -> Vec<String> {
        let picture = Command::new("pdftoppm")
            .args(["-gray", "-r", "300"])
            .arg(&self.path)
            .output()
            .expect("poppler's tools are there: `make test` installs them");
        // A portable graymap: P5, width, height, 255, then a byte for each dot.
        let mut rest = &picture.stdout[..];
        let mut head = Vec::new();
        while head.len() < 4 {
            let end = rest.iter().position(u8::is_ascii_whitespace).unwrap();
            head.push(String::from_utf8(rest[..end].to_vec()).unwrap());
            rest = &rest[end + 1..];
        }
        assert_eq!((&*head[0], &*head[3]), ("P5", "255"));
        codes_in(head[1].parse().unwrap(), rest)
    }
}

/// What the QR codes in a grey picture of this width say. The reader is another library than the one that draws them.
pub fn codes_in(width: usize, grey: &[u8]) -> Vec<String> {
    let height = grey.len() / width;
    let mut picture =
        rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| grey[y * width + x]);
    let found = picture.detect_grids();
    found
        .iter()
        .map(|code| code.decode().expect("the code is readable").1)
        .collect()
}

/// What the QR codes in a PNG file say.
pub fn codes_in_png(path: &Path) -> Vec<String> {
    let file = std::io::BufReader::new(std::fs::File::open(path).unwrap());
    let mut reader = png::Decoder::new(file).read_info().unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    let grey: Vec<u8> = bytes
        .chunks(info.color_type.samples())
        .map(|dot| dot[0])
        .collect();
    codes_in(info.width as usize, &grey)
}

fn text_of(path: &Path) -> String {
    let text = output_of(Command::new("pdftotext").arg("-layout").arg(path).arg("-"));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn output_of(command: &mut Command) -> String {
    let output = command
        .output()
        .expect("poppler's tools are there: `make test` installs them");
    assert!(
        output.status.success(),
        "{command:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("poppler writes UTF-8")
}

/// Base 64 as DevTools sends pictures and PDFs (RFC 4648, section 4).
pub fn decode_base64(text: &str) -> Vec<u8> {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut bytes = Vec::with_capacity(text.len() / 4 * 3);
    let (mut held, mut bits) = (0_u32, 0);
    for letter in text.bytes().take_while(|&letter| letter != b'=') {
        let digit = DIGITS
            .iter()
            .position(|&digit| digit == letter)
            .expect("a base 64 digit");
        held = (held << 6 | digit as u32) & 0xFFFF;
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
        }
    }
    bytes
}
