//! A job or a kit card as a link: what a link holds, how it is written, and what may be wrong with one that comes.
//!
//! What a link holds is packed ([`super::pack`]), deflated by whoever can (RFC 1951), and sealed: a head says how long it is and what it adds
//! up to, so that a link that was cut is told from one that was changed. Nothing of it is believed before it was read as a file is read.
//!
//! A job may name its kit card instead of carrying it: a job alone fits a printed code, and a job with its card does not. Who opens it must have
//! that card, to the letter: a job on another revision would show wrong numbers.

use super::envelope::{job_of, kit_card_of, save_job_alone};
use super::pack::{Bytes, Unpacked, Words, pack, text, unpack, whole};
use super::{Job, Json, Kind, KitCard, LoadError, Named, save_job, save_kit_card};
use std::fmt;

/// The longest link that is read, in characters. A job with its card is a hundredth of it.
pub const LONGEST_LINK: usize = 1_000_000;

/// The kit cards that come with the pages: where each lies below their folder, and its [`fingerprint`], so that none need be read to tell whether a job names it.
pub const OWN_KIT_CARDS: [(&str, u64); 2] = [
    ("cards/rear.json", 0xb64d_118a_f25a_307c),
    ("cards/front.json", 0x3eb8_cd77_f099_8881),
];

/// The form that is written today. A link says its own first.
const FORM: &str = "1";
/// The first byte of what is packed: whether the kit card is named, or carried.
const CARRIED: u8 = 0;
const NAMED: u8 = 1;

/// What came with a link.
#[derive(Clone, Debug, PartialEq)]
pub enum Shared {
    /// A job.
    Job(Box<Job>),
    /// A kit card.
    KitCard(Box<KitCard>),
}

/// The kit card that a job names: which one, and in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardName {
    /// What its contents add up to.
    pub fingerprint: u64,
    /// What the kit is called.
    pub name: String,
    /// The revision of the card.
    pub revision: String,
}

/// Why a link was not taken.
#[derive(Clone, Debug, PartialEq)]
pub enum LinkError {
    /// It is longer than any link of ours.
    TooLong {
        /// Its length in characters.
        characters: usize,
    },
    /// It does not begin as our links do.
    NotOurs,
    /// It was written by a newer page.
    Newer,
    /// It ends before what it says it holds.
    CutShort,
    /// It is not what it was when it was written.
    Changed,
    /// What it holds is larger than any document.
    TooLarge,
    /// This browser cannot read what was compressed.
    NoInflate,
    /// The job names a kit card, and another one was given.
    OtherCard,
    /// What it holds is no document that can be used.
    Document(LoadError),
}

impl fmt::Display for LinkError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = match self {
            Self::TooLong { characters } => {
                return write!(
                    f,
                    "This link is {characters} characters long, and none of ours is longer than {LONGEST_LINK}. Ask for it again, or for the file."
                );
            }
            Self::Document(error) => {
                return write!(
                    f,
                    "The link is whole, and what it holds cannot be used. {error}"
                );
            }
            Self::NotOurs => {
                "This link does not hold a job or a kit card. Copy the whole of it, from https to its last character."
            }
            Self::Newer => {
                "This link was made by a newer page. Reload this page to get the newer one, then open the link again."
            }
            Self::CutShort => {
                "This link was cut short: its end is missing. Copy the whole of it, or ask for the file instead."
            }
            Self::Changed => {
                "This link is not as it was made: some of its characters were changed on the way. Copy it again, or ask for the file instead."
            }
            Self::TooLarge => {
                "This link holds more than any job or kit card does, so it was not opened."
            }
            Self::NoInflate => {
                "This browser cannot unfold links. Update it, or ask for the file instead."
            }
            Self::OtherCard => "This job was done on another kit card than the one given.",
        };
        f.write_str(words)
    }
}

impl From<Unpacked> for LinkError {
    fn from(error: Unpacked) -> Self {
        match error {
            Unpacked::Malformed => Self::Changed,
            Unpacked::TooLarge => Self::TooLarge,
        }
    }
}

/// A kit card, packed.
pub fn pack_kit_card(card: &KitCard) -> Vec<u8> {
    let mut packed = vec![CARRIED];
    packed.extend(pack(&tree(&save_kit_card(card)), &Words::default()));
    packed
}

/// A job with its kit card, packed.
pub fn pack_job(job: &Job) -> Vec<u8> {
    let mut packed = vec![CARRIED];
    packed.extend(pack(&tree(&save_job(job)), &Words::default()));
    packed
}

/// A kit card, to be named by jobs on it.
pub struct NamedCard {
    name: CardName,
    words: Words,
}

impl NamedCard {
    /// The name of a card.
    pub fn of(card: &KitCard) -> Self {
        let saved = save_kit_card(card);
        Self {
            name: CardName {
                fingerprint: sum_of(&saved),
                name: card.name.clone(),
                revision: card.revision.clone(),
            },
            words: Words::with_card(&saved),
        }
    }

    /// What the card's contents add up to, as [`fingerprint`] says it.
    pub fn fingerprint(&self) -> u64 {
        self.name.fingerprint
    }

    /// A job on this card, packed, its card named alone.
    pub fn pack_job(&self, job: &Job) -> Vec<u8> {
        self.pack_saved(&save_job_alone(job))
    }

    /// The same of what [`save_job_alone`] wrote of a job on this card.
    pub fn pack_saved(&self, saved: &str) -> Vec<u8> {
        let mut packed = vec![NAMED];
        packed.extend(self.name.fingerprint.to_be_bytes());
        text(&mut packed, &self.name.name);
        text(&mut packed, &self.name.revision);
        packed.extend(pack(&tree(saved), &self.words));
        packed
    }
}

/// The kit card that packed bytes name; none if they carry what they need.
///
/// # Errors
/// The bytes do not follow the form.
pub fn card_named(packed: &[u8]) -> Result<Option<CardName>, LinkError> {
    Ok(head(packed)?.0)
}

/// What was packed, on the kit card that it names.
///
/// # Errors
/// Why it cannot be used.
pub fn open_packed(packed: &[u8], card: Option<&KitCard>) -> Result<Shared, LinkError> {
    let (named, rest) = head(packed)?;
    let Some(named) = named else {
        let value = unpack(rest, &Words::default())?;
        return match &value {
            Json::Object(fields) if is_job(fields) => job_of(value, None).map(job),
            _ => kit_card_of(value).map(|card| Shared::KitCard(Box::new(card))),
        }
        .map_err(LinkError::Document);
    };
    let card = card
        .map(save_kit_card)
        .filter(|card| sum_of(card) == named.fingerprint)
        .ok_or(LinkError::OtherCard)?;
    let value = unpack(rest, &Words::with_card(&card))?;
    let Json::Object(mut card) = tree(&card) else {
        return Err(LinkError::OtherCard);
    };
    // Within a job the card has no envelope of its own.
    card.remove("halfturn");
    card.remove("version");
    job_of(value, Some(card))
        .map(job)
        .map_err(LinkError::Document)
}

fn job(job: Job) -> Shared {
    Shared::Job(Box::new(job))
}

fn is_job(fields: &Named<Json>) -> bool {
    matches!(fields.get("halfturn"), Some(Json::Text(kind)) if kind == Kind::Job.name())
}

/// The tree of a document that was just written.
fn tree(text: &str) -> Json {
    Json::parse(text).unwrap_or(Json::Null)
}

fn head(packed: &[u8]) -> Result<(Option<CardName>, &[u8]), LinkError> {
    let mut bytes = Bytes(packed);
    match bytes.next()? {
        CARRIED => Ok((None, bytes.0)),
        NAMED => {
            let mut fingerprint = 0;
            for _ in 0..8 {
                fingerprint = fingerprint << 8 | u64::from(bytes.next()?);
            }
            let named = CardName {
                fingerprint,
                name: bytes.text()?.to_owned(),
                revision: bytes.text()?.to_owned(),
            };
            Ok((Some(named), bytes.0))
        }
        _ => Err(LinkError::Changed),
    }
}

/// What the contents of a kit card add up to: FNV-1a (RFC 9923) of the card as it is saved. It tells cards apart that differ by a slip, not one that was forged:
/// who can forge a link can send any card.
pub fn fingerprint(card: &KitCard) -> u64 {
    sum_of(&save_kit_card(card))
}

fn sum_of(saved: &str) -> u64 {
    saved.bytes().fold(0xcbf2_9ce4_8422_2325, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// FNV-1a in 32 bits.
fn checksum(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0x811c_9dc5, |sum, byte| {
        (sum ^ u32::from(*byte)).wrapping_mul(0x0100_0193)
    })
}

/// What a link carries: packed bytes, deflated or as they are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Letter {
    /// Whether the bytes are deflated (RFC 1951).
    pub deflated: bool,
    /// The bytes.
    pub bytes: Vec<u8>,
}

impl Letter {
    /// As it stands in a link: base 64 for addresses (RFC 4648, section 5), after its form and a dot.
    pub fn to_link(&self) -> String {
        format!("{FORM}.{}", to_base64(&self.sealed()))
    }

    /// As it stands in a code: digits, of which a QR code holds more than of letters, after its form and a hyphen.
    pub fn to_digits(&self) -> String {
        format!("{FORM}-{}", to_digits(&self.sealed()))
    }

    /// Out of a link or a code.
    ///
    /// # Errors
    /// Why it is none, or not the whole of one.
    pub fn read(link: &str) -> Result<Self, LinkError> {
        if link.len() > LONGEST_LINK {
            return Err(LinkError::TooLong {
                characters: link.chars().count(),
            });
        }
        let digits = link.chars().take_while(char::is_ascii_digit).count();
        let (form, rest) = link.split_at_checked(digits).unwrap_or((link, ""));
        let mut rest = rest.chars();
        match (form, rest.next()) {
            ("", _) => Err(LinkError::NotOurs),
            (FORM, None) => Err(LinkError::CutShort),
            (FORM, Some('.')) => Self::opened(&from_base64(rest.as_str())),
            (FORM, Some('-')) => Self::opened(&from_digits(rest.as_str())?),
            (FORM, _) => Err(LinkError::NotOurs),
            _ => Err(LinkError::Newer),
        }
    }

    /// Deflated or not, how many bytes follow, what they add up to, and they themselves.
    fn sealed(&self) -> Vec<u8> {
        let mut sealed = vec![u8::from(self.deflated)];
        whole(&mut sealed, self.bytes.len() as u64);
        sealed.extend(checksum(&self.bytes).to_be_bytes());
        sealed.extend(&self.bytes);
        sealed
    }

    fn opened(sealed: &[u8]) -> Result<Self, LinkError> {
        let cut = |_| LinkError::CutShort;
        let mut bytes = Bytes(sealed);
        let deflated = bytes.next().map_err(cut)?;
        let length = bytes.length().map_err(cut)?;
        let mut sum = 0;
        for _ in 0..4 {
            sum = sum << 8 | u32::from(bytes.next().map_err(cut)?);
        }
        let held = bytes.take(length).map_err(cut)?.0;
        if checksum(held) != sum || !bytes.0.is_empty() || deflated > 1 {
            return Err(LinkError::Changed);
        }
        Ok(Self {
            deflated: deflated == 1,
            bytes: held.to_vec(),
        })
    }
}

const BASE64: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

fn to_base64(bytes: &[u8]) -> String {
    let mut written = String::with_capacity(bytes.len() * 4 / 3 + 3);
    for group in bytes.chunks(3) {
        let three = group
            .iter()
            .fold(0, |three, byte| three << 8 | u32::from(*byte))
            << (8 * (3 - group.len()));
        for place in 0..=group.len() {
            let digit = three >> (18 - 6 * place) & 63;
            written.push(char::from(
                BASE64.get(digit as usize).copied().unwrap_or(b'A'),
            ));
        }
    }
    written
}

fn from_base64(written: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(written.len() * 3 / 4);
    let (mut held, mut bits) = (0_u32, 0);
    for letter in written.bytes() {
        let digit = match letter {
            b'A'..=b'Z' => letter - b'A',
            b'a'..=b'z' => letter - b'a' + 26,
            b'0'..=b'9' => letter - b'0' + 52,
            b'-' => 62,
            b'_' => 63,
            // What was put after the link, such as the full stop of a sentence.
            _ => break,
        };
        held = held << 6 | u32::from(digit);
        bits += 6;
        if bits >= 8 {
            bits -= 8;
            bytes.push((held >> bits) as u8);
            held &= (1 << bits) - 1;
        }
    }
    bytes
}

/// How many digits so many bytes take: the least that hold every value of them. Seven bytes fill seventeen digits best.
const DIGITS: [usize; 8] = [0, 3, 5, 8, 10, 13, 15, 17];

fn to_digits(bytes: &[u8]) -> String {
    let mut written = String::with_capacity(bytes.len() * 17 / 7 + 3);
    for group in bytes.chunks(7) {
        let number = group
            .iter()
            .fold(0, |number, byte| number << 8 | u64::from(*byte));
        let width = DIGITS.get(group.len()).copied().unwrap_or_default();
        written.push_str(&format!("{number:0width$}"));
    }
    written
}

fn from_digits(written: &str) -> Result<Vec<u8>, LinkError> {
    let end = written.find(|c: char| !c.is_ascii_digit());
    let written = written
        .get(..end.unwrap_or(written.len()))
        .unwrap_or_default();
    let mut bytes = Vec::with_capacity(written.len() * 7 / 17);
    for group in written.as_bytes().chunks(17) {
        let number = group
            .iter()
            .fold(0, |number, digit| number * 10 + u64::from(digit - b'0'));
        match DIGITS.iter().position(|digits| *digits == group.len()) {
            Some(count) if number >> (8 * count) == 0 => {
                bytes.extend(number.to_be_bytes().iter().skip(8 - count));
            }
            Some(7) => return Err(LinkError::Changed),
            // Only the last group can be short, and this one ends within a byte.
            _ => return Err(LinkError::CutShort),
        }
    }
    Ok(bytes)
}
