//! A document in few bytes, before it is compressed: what stands in every document is named by its place in a list.
//!
//! Three columns follow each other, so that like stands beside like, which is what a compressor feeds on: the tree, its texts, and its large
//! whole numbers (moments), each as the difference from the one before. It packs the untyped tree, so that a link written by an older page is
//! unpacked, then migrated, as a file is.

use super::json::{DEEPEST, WIDEST};
use super::{Json, MAX_BYTES, Named};

/// Names of fields and words of choices. Links written long ago count on their places: words are only ever added, at the end.
const WORDS: &[&str] = &[
    "name",
    "maker",
    "revision",
    "fits",
    "parts",
    "joints",
    "adjusters",
    "targets",
    "sections",
    "before_load",
    "before_drive",
    "notes",
    "options",
    "bags",
    "fit_checks",
    "car_checks",
    "pickups",
    "id",
    "choices",
    "count",
    "hand",
    "when",
    "items",
    "thread",
    "length",
    "grade",
    "kind",
    "bolt",
    "slot",
    "distance",
    "tolerance",
    "nut",
    "condition",
    "tools",
    "tighten",
    "torque",
    "pattern",
    "locking",
    "recheck",
    "arm",
    "lengthening",
    "corner",
    "mechanism",
    "step",
    "role",
    "toe",
    "camber",
    "lock_torque",
    "how",
    "axle",
    "aim",
    "steps",
    "raised",
    "text",
    "detail",
    "caution",
    "joint",
    "observe",
    "support",
    "signal",
    "hazard",
    "consequence",
    "avoid",
    "shank",
    "jam_nut",
    "unthreaded_lead",
    "insert_depth",
    "base_showing",
    "insert",
    "shank_strength",
    "insert_strength",
    "turned",
    "end",
    "ends",
    "eccentricity",
    "notch",
    "range",
    "thinnest",
    "most",
    "unit",
    "sense",
    "started",
    "changed",
    "card",
    "order",
    "car",
    "counts",
    "findings",
    "distances",
    "marks",
    "torques",
    "settings",
    "arms",
    "rounds",
    "by",
    "pressures",
    "load",
    "ride_heights",
    "rim",
    "front_track",
    "rear_track",
    "wheelbase",
    "answer",
    "hole",
    "note",
    "at",
    "observed",
    "skipped",
    "set",
    "rule",
    "gauge",
    "strings",
    "front",
    "rear",
    "taken",
    "left_front",
    "left_rear",
    "right_front",
    "right_rear",
    "ahead",
    "behind",
    "apart",
    "toe_by",
    "camber_by",
    "treads",
    "tread_points",
    "floor",
    "left",
    "right",
    "string",
    "plumb",
    "first",
    "second",
    "rolled",
    "now",
    "either",
    "spline",
    "bushing",
    "finish",
    "on-stands",
    "at-ride-height",
    "left-front",
    "right-front",
    "left-rear",
    "right-rear",
    "further",
    "toe-in",
    "toe-out",
    "top-in",
    "top-out",
    "danger",
    "warning",
    "notice",
    "mm",
    "in",
    "deg",
    "min",
    "N·m",
    "lbf·ft",
    "lbf·in",
    "kgf·m",
    "plus",
    "minus",
    "usable",
    "wrong",
    "rack",
    "eye",
    "bar",
    "flat",
    "half-turn",
    "turn",
    "steel",
    "aluminium",
    "rod-end",
    "sleeve",
    "differential-sleeve",
    "cam-bolt",
    "shims",
    "halfturn",
    "version",
    "kit card",
    "job",
    "geometry",
    "uses",
    "advice",
    "revisions",
    "date",
    "on_car",
    "moves",
    "links",
    "strut_top",
    "towards",
    "wheel",
    "strut",
    "steering_axis",
    "accuracy",
    "rod_ends",
    "link",
    "centre",
    "radius",
    "carrier",
    "top",
    "on_axis",
    "lower",
    "upper",
    "total_toe",
    "thrust",
    "cross_camber",
    "archived",
    "outgoing",
    "held",
    "way",
    "checks",
    "floor_phone",
    "phone",
    "swing",
    "a",
    "b",
    "mean",
    "spread",
    "looks",
    "steer",
    "straight",
    "hold",
    "back-order",
    "half-flat",
    "travel",
    "each_way",
    "half_shaft",
    "bump",
    "droop",
    "inner",
    "outer",
    "shorter",
    "longer",
];

// What a byte of the tree says. From `WORD` on it is a word of the list itself.
const NULL: u8 = 0;
const FALSE: u8 = 1;
const TRUE: u8 = 2;
const OBJECT: u8 = 3;
const LIST: u8 = 4;
const END: u8 = 5;
const TEXT: u8 = 6;
const NUMBER: u8 = 7;
const WHOLE: u8 = 8;
const MOMENT: u8 = 9;
const FAR_WORD: u8 = 10;
const NEXT_WORD: u8 = 11;
const WORD: u8 = 16;
/// How many words one byte names.
const NEAR: usize = 256 - WORD as usize;
/// Whole numbers from here on are written as a difference: in a job they are moments, and lie close to each other.
const LARGE: u64 = 10_000_000_000;
/// What a value counts for besides its text, in bytes of the document.
const VALUE: usize = 8;
/// What ends a text. No text holds it: it is no byte of UTF-8.
const STOP: u8 = 0xff;

/// Why bytes are not a packed tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unpacked {
    /// They do not follow the form.
    Malformed,
    /// The tree is larger, deeper or wider than any document.
    TooLarge,
}

/// The words that packed bytes may name: those of every document, and the names that a kit card gives its things.
#[derive(Default)]
pub struct Words {
    ids: Named<()>,
}

impl Words {
    /// Those of every document, and each `id` within a kit card, as [`super::save_kit_card`] writes it.
    pub fn with_card(card: &str) -> Self {
        let mut words = Self::default();
        // A quote within a text is escaped, so this stands before the value of a field alone. To search text for text costs the page more than all else here.
        for (at, byte) in card.bytes().enumerate() {
            let value = (byte == b'"').then(|| card.get(at..)?.strip_prefix("\"id\":"));
            if let Some(id) = value.flatten().and_then(Json::leading_text) {
                words.ids.insert(id, ());
            }
        }
        words
    }

    fn at(&self, place: usize) -> Option<&str> {
        match place.checked_sub(WORDS.len()) {
            None => WORDS.get(place).copied(),
            Some(place) => self.ids.name_at(place),
        }
    }
}

/// Packs a tree.
pub fn pack(value: &Json, words: &Words) -> Vec<u8> {
    let places = WORDS.iter().zip(0..);
    let mut writer = Writer {
        words,
        places: places
            .map(|(word, place)| ((*word).to_owned(), place))
            .collect(),
        tree: Vec::new(),
        texts: Vec::new(),
        moments: Vec::new(),
        last: 0,
    };
    writer.value(value);
    let mut packed = Vec::new();
    whole(&mut packed, writer.tree.len() as u64);
    whole(&mut packed, writer.texts.len() as u64);
    for column in [writer.tree, writer.texts, writer.moments] {
        packed.extend(column);
    }
    packed
}

/// Unpacks a tree and nothing after it.
///
/// # Errors
/// The bytes do not follow the form, or name more than a document holds.
pub fn unpack(packed: &[u8], words: &Words) -> Result<Json, Unpacked> {
    let mut all = Bytes(packed);
    let (tree, texts) = (all.length()?, all.length()?);
    let mut reader = Reader {
        words,
        tree: all.take(tree)?,
        texts: all.take(texts)?,
        moments: all,
        last: 0,
        left: MAX_BYTES,
    };
    let tag = reader.tree.next()?;
    let value = reader.value(tag, 0)?;
    match (reader.tree.0, reader.texts.0, reader.moments.0) {
        ([], [], []) => Ok(value),
        _ => Err(Unpacked::Malformed),
    }
}

/// Writes a whole number seven bits a byte, the lowest first, as LEB128 does.
pub fn whole(bytes: &mut Vec<u8>, mut number: u64) {
    while number > 0x7f {
        bytes.push(number as u8 | 0x80);
        number >>= 7;
    }
    bytes.push(number as u8);
}

/// Writes a text and what ends it.
pub fn text(bytes: &mut Vec<u8>, text: &str) {
    bytes.extend(text.as_bytes());
    bytes.push(STOP);
}

struct Writer<'a> {
    words: &'a Words,
    /// The place of each of [`WORDS`], to be found without going through them all.
    places: Named<usize>,
    tree: Vec<u8>,
    texts: Vec<u8>,
    moments: Vec<u8>,
    last: u64,
}

impl Writer<'_> {
    fn value(&mut self, value: &Json) {
        match value {
            Json::Null => self.tree.push(NULL),
            Json::Bool(false) => self.tree.push(FALSE),
            Json::Bool(true) => self.tree.push(TRUE),
            Json::Number(number) => self.number(number),
            Json::Text(held) => {
                self.text(held, None);
            }
            Json::List(values) => {
                self.tree.push(LIST);
                values.iter().for_each(|value| self.value(value));
                self.tree.push(END);
            }
            Json::Object(fields) => {
                self.tree.push(OBJECT);
                let mut before = None;
                for (name, value) in fields.iter() {
                    before = self.text(name, before);
                    self.value(value);
                }
                self.tree.push(END);
            }
        }
    }

    fn number(&mut self, number: &str) {
        match number.parse::<u64>() {
            // Only what comes back as it was written.
            Ok(small) if small < LARGE && small.to_string() == number => {
                self.tree.push(WHOLE);
                whole(&mut self.tree, small);
            }
            Ok(moment) if moment.to_string() == number => {
                let apart = moment.wrapping_sub(self.last);
                self.last = moment;
                self.tree.push(MOMENT);
                // Small either way is a small number.
                whole(&mut self.moments, apart << 1 ^ (apart as i64 >> 63) as u64);
            }
            _ => {
                self.tree.push(NUMBER);
                text(&mut self.texts, number);
            }
        }
    }

    fn place(&self, text: &str) -> Option<usize> {
        let of_card = || Some(WORDS.len() + self.words.ids.place_of(text)?);
        self.places.get(text).copied().or_else(of_card)
    }

    /// Its place among the words, if it has one.
    fn text(&mut self, held: &str, before: Option<usize>) -> Option<usize> {
        let place = self.place(held);
        match place {
            Some(place) if before.is_some_and(|before| before + 1 == place) => {
                self.tree.push(NEXT_WORD);
            }
            Some(place) if place < NEAR => self.tree.push(WORD + place as u8),
            Some(place) => {
                self.tree.push(FAR_WORD);
                whole(&mut self.tree, (place - NEAR) as u64);
            }
            None => {
                self.tree.push(TEXT);
                text(&mut self.texts, held);
            }
        }
        place
    }
}

/// Bytes that are taken from the front.
#[derive(Clone, Copy)]
pub struct Bytes<'a>(pub &'a [u8]);

impl<'a> Bytes<'a> {
    /// The next byte.
    pub fn next(&mut self) -> Result<u8, Unpacked> {
        let (first, rest) = self.0.split_first().ok_or(Unpacked::Malformed)?;
        self.0 = rest;
        Ok(*first)
    }

    /// The next so many bytes.
    pub fn take(&mut self, count: usize) -> Result<Self, Unpacked> {
        let (first, rest) = self.0.split_at_checked(count).ok_or(Unpacked::Malformed)?;
        self.0 = rest;
        Ok(Self(first))
    }

    /// A whole number as [`whole`] writes it.
    pub fn whole(&mut self) -> Result<u64, Unpacked> {
        let mut number = 0;
        for shift in (0..64).step_by(7) {
            let byte = self.next()?;
            number |= u64::from(byte & 0x7f) << shift;
            if byte < 0x80 {
                return Ok(number);
            }
        }
        Err(Unpacked::Malformed)
    }

    /// A number of bytes.
    pub fn length(&mut self) -> Result<usize, Unpacked> {
        usize::try_from(self.whole()?).map_err(|_| Unpacked::Malformed)
    }

    /// A text as [`text`] writes it.
    pub fn text(&mut self) -> Result<&'a str, Unpacked> {
        let end = self.0.iter().position(|byte| *byte == STOP);
        let held = self.take(end.ok_or(Unpacked::Malformed)?)?;
        self.next()?;
        std::str::from_utf8(held.0).map_err(|_| Unpacked::Malformed)
    }
}

struct Reader<'a> {
    words: &'a Words,
    tree: Bytes<'a>,
    texts: Bytes<'a>,
    moments: Bytes<'a>,
    last: u64,
    /// How many bytes the document may still have.
    left: usize,
}

impl Reader<'_> {
    fn value(&mut self, tag: u8, depth: u32) -> Result<Json, Unpacked> {
        self.spend(VALUE)?;
        match tag {
            NULL => Ok(Json::Null),
            FALSE => Ok(Json::Bool(false)),
            TRUE => Ok(Json::Bool(true)),
            WHOLE => Ok(Json::Number(self.tree.whole()?.to_string())),
            MOMENT => {
                let apart = self.moments.whole()?;
                let apart = apart >> 1 ^ (apart & 1).wrapping_neg();
                self.last = self.last.wrapping_add(apart);
                Ok(Json::Number(self.last.to_string()))
            }
            NUMBER => {
                let number = self.texts.text()?;
                self.spend(number.len())?;
                match Json::parse(number) {
                    Ok(Json::Number(number)) => Ok(Json::Number(number)),
                    _ => Err(Unpacked::Malformed),
                }
            }
            LIST | OBJECT if depth >= DEEPEST => Err(Unpacked::TooLarge),
            LIST => {
                let mut values = Vec::new();
                loop {
                    match self.tree.next()? {
                        END => return Ok(Json::List(values)),
                        tag => values.push(self.value(tag, depth + 1)?),
                    }
                }
            }
            OBJECT => self.object(depth + 1).map(Json::Object),
            _ => Ok(Json::Text(self.text(tag, None)?.0)),
        }
    }

    fn object(&mut self, depth: u32) -> Result<Named<Json>, Unpacked> {
        let mut fields = Named::default();
        let mut before = None;
        loop {
            let tag = match self.tree.next()? {
                END => return Ok(fields),
                tag => tag,
            };
            if fields.len() >= WIDEST {
                return Err(Unpacked::TooLarge);
            }
            let (name, place) = self.text(tag, before)?;
            before = place;
            let tag = self.tree.next()?;
            fields.insert(name, self.value(tag, depth)?);
        }
    }

    /// A text, and its place among the words if it has one.
    fn text(
        &mut self,
        tag: u8,
        before: Option<usize>,
    ) -> Result<(String, Option<usize>), Unpacked> {
        let place = match (tag, before) {
            (TEXT, _) => {
                let held = self.texts.text()?;
                self.spend(held.len())?;
                return Ok((held.to_owned(), None));
            }
            (NEXT_WORD, Some(before)) => before + 1,
            (FAR_WORD, _) => self.tree.length()?.saturating_add(NEAR),
            (WORD.., _) => usize::from(tag - WORD),
            _ => return Err(Unpacked::Malformed),
        };
        let word = self.words.at(place).ok_or(Unpacked::Malformed)?;
        self.spend(word.len())?;
        Ok((word.to_owned(), Some(place)))
    }

    fn spend(&mut self, bytes: usize) -> Result<(), Unpacked> {
        self.left = self.left.checked_sub(bytes).ok_or(Unpacked::TooLarge)?;
        Ok(())
    }
}
