//! JSON (RFC 8259) as it is read: text to a tree of values.
//!
//! A document is small and holds text, whole numbers and names, so a reader for that is a fraction of a general one, whose tables
//! for decimal numbers alone cost the page as much as all of this.

use super::Named;
use super::typed::{comma, is_escaped, key, quoted};

/// The most lists and objects within each other. A document has a tenth of it.
pub(super) const DEEPEST: u32 = 128;
/// The most names in one object: a job holds at most half of it. Each stands at its place in order, so very many would take very long.
pub(super) const WIDEST: usize = 1000;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Json {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number, as it is written.
    Number(String),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Json>),
    /// An object. A name that stands twice has its last value.
    Object(Named<Json>),
}

/// Why a text is not JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JsonError {
    /// It ends in the middle.
    Truncated,
    /// What stands there cannot stand there.
    At {
        /// The line, from 1.
        line: usize,
        /// The character in its line, from 1.
        column: usize,
    },
}

impl Json {
    /// Reads one value and nothing after it.
    ///
    /// # Errors
    /// The text ends early, or where it stops being JSON.
    pub fn parse(text: &str) -> Result<Self, JsonError> {
        let mut reader = Reader { text, at: 0 };
        let value = reader.value(0)?;
        match reader.past_space() {
            None => Ok(value),
            Some(_) => Err(reader.wrong()),
        }
    }

    /// The text in quotes that some JSON begins with; none where it begins with something else.
    pub(super) fn leading_text(text: &str) -> Option<String> {
        Reader { text, at: 0 }.text().ok()
    }
}

impl From<Named<Json>> for Json {
    fn from(fields: Named<Json>) -> Self {
        Self::Object(fields)
    }
}

impl Json {
    /// Writes it as text.
    pub fn write(&self, json: &mut String) {
        match self {
            Self::Null => json.push_str("null"),
            Self::Bool(true) => json.push_str("true"),
            Self::Bool(false) => json.push_str("false"),
            Self::Number(number) => json.push_str(number),
            Self::Text(text) => quoted(json, text),
            Self::List(list) => {
                json.push('[');
                for item in list {
                    comma(json);
                    item.write(json);
                }
                json.push(']');
            }
            Self::Object(fields) => {
                json.push('{');
                for (name, value) in fields.iter() {
                    key(json, name);
                    value.write(json);
                }
                json.push('}');
            }
        }
    }

    /// What stands at a way such as `bags[0].items[2].name`, from here; none where nothing does.
    pub fn at(&self, way: &str) -> Option<&Self> {
        steps(way).try_fold(self, |here, step| match (here, step) {
            (Self::Object(fields), Step::Name(name)) => fields.get(name),
            (Self::List(list), Step::Place(place)) => list.get(place),
            _ => None,
        })
    }

    /// What stands at a way, to be changed; none where nothing does.
    pub fn at_mut(&mut self, way: &str) -> Option<&mut Self> {
        steps(way).try_fold(self, |here, step| match (here, step) {
            (Self::Object(fields), Step::Name(name)) => fields.get_mut(name),
            (Self::List(list), Step::Place(place)) => list.get_mut(place),
            _ => None,
        })
    }

    /// The text that stands at a way; nothing where none does.
    pub fn text_at(&self, way: &str) -> &str {
        match self.at(way) {
            Some(Self::Text(text) | Self::Number(text)) => text,
            _ => "",
        }
    }

    /// The list that stands at a way; nothing where none does.
    pub fn list_at(&self, way: &str) -> &[Self] {
        match self.at(way) {
            Some(Self::List(list)) => list,
            _ => &[],
        }
    }

    /// Lets a field of the object at a way be this, or takes it out. Where nothing stands at the way, an object is put there if its own
    /// place can hold one.
    pub fn set(&mut self, way: &str, name: &str, value: Option<Self>) {
        if self.at(way).is_none() {
            let (parent, last) = way.rsplit_once('.').unwrap_or(("", way));
            if last.ends_with(']') {
                return;
            }
            self.set(parent, last, Some(Self::Object(Named::default())));
        }
        if let Some(Self::Object(fields)) = self.at_mut(way) {
            match value {
                Some(value) => fields.insert(name.to_owned(), value),
                None => {
                    fields.remove(name);
                }
            }
        }
    }
}

/// A step of a way.
pub(super) enum Step<'a> {
    /// To the field of an object.
    Name(&'a str),
    /// To a place in a list, from 0.
    Place(usize),
}

/// The steps of a way.
pub(super) fn steps(way: &str) -> impl Iterator<Item = Step<'_>> {
    way.split(['.', '['])
        .filter(|step| !step.is_empty())
        .map(|step| match step.strip_suffix(']') {
            Some(place) => Step::Place(place.parse().unwrap_or(usize::MAX)),
            None => Step::Name(step),
        })
}

struct Reader<'a> {
    text: &'a str,
    /// How many bytes are read: all of some characters.
    at: usize,
}

impl Reader<'_> {
    /// The byte that comes next. What JSON itself is written in has one for each character.
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    /// What is wrong at the character that comes next.
    #[inline(never)]
    fn wrong(&self) -> JsonError {
        if self.peek().is_none() {
            return JsonError::Truncated;
        }
        let (mut line, mut column) = (1, 1);
        for byte in self.since(0).bytes() {
            match byte {
                b'\n' => (line, column) = (line + 1, 1),
                // Within a character (RFC 3629).
                0x80..=0xbf => {}
                _ => column += 1,
            }
        }
        JsonError::At { line, column }
    }

    #[inline(never)]
    fn past_space(&mut self) -> Option<u8> {
        while let Some(b' ' | b'\t' | b'\n' | b'\r') = self.peek() {
            self.at += 1;
        }
        self.peek()
    }

    /// Takes a character if it comes next.
    fn take(&mut self, wanted: u8) -> bool {
        let comes = self.peek() == Some(wanted);
        self.at += usize::from(comes);
        comes
    }

    #[inline(never)]
    fn need(&mut self, wanted: &str) -> Result<(), JsonError> {
        match wanted.bytes().all(|byte| self.take(byte)) {
            true => Ok(()),
            false => Err(self.wrong()),
        }
    }

    /// What was read from a place on.
    #[inline(never)]
    fn since(&self, start: usize) -> &str {
        self.text.get(start..self.at).unwrap_or_default()
    }

    fn value(&mut self, depth: u32) -> Result<Json, JsonError> {
        match self.past_space() {
            Some(b'n') => self.need("null").map(|()| Json::Null),
            Some(b't') => self.need("true").map(|()| Json::Bool(true)),
            Some(b'f') => self.need("false").map(|()| Json::Bool(false)),
            Some(b'"') => self.text().map(Json::Text),
            Some(b'-' | b'0'..=b'9') => self.number().map(Json::Number),
            Some(b'[') if depth < DEEPEST => self.list(depth + 1).map(Json::List),
            Some(b'{') if depth < DEEPEST => self.object(depth + 1).map(Json::Object),
            _ => Err(self.wrong()),
        }
    }

    /// Whether another item comes, and what stands before it is taken.
    fn more(&mut self, first: bool, end: u8) -> Result<bool, JsonError> {
        self.past_space();
        if self.take(end) {
            return Ok(false);
        }
        if !first {
            self.need(",")?;
        }
        Ok(true)
    }

    fn list(&mut self, depth: u32) -> Result<Vec<Json>, JsonError> {
        self.need("[")?;
        let mut list = Vec::new();
        while self.more(list.is_empty(), b']')? {
            list.push(self.value(depth)?);
        }
        Ok(list)
    }

    fn object(&mut self, depth: u32) -> Result<Named<Json>, JsonError> {
        self.need("{")?;
        let mut object = Named::default();
        while self.more(object.is_empty(), b'}')? {
            if object.len() >= WIDEST {
                return Err(self.wrong());
            }
            self.past_space();
            let name = self.text()?;
            self.past_space();
            self.need(":")?;
            object.insert(name, self.value(depth)?);
        }
        Ok(object)
    }

    fn number(&mut self) -> Result<String, JsonError> {
        let start = self.at;
        self.take(b'-');
        if !self.take(b'0') {
            self.digits()?;
        }
        if self.take(b'.') {
            self.digits()?;
        }
        if self.take(b'e') || self.take(b'E') {
            let _ = self.take(b'+') || self.take(b'-');
            self.digits()?;
        }
        Ok(self.since(start).to_owned())
    }

    /// One digit or more.
    fn digits(&mut self) -> Result<(), JsonError> {
        let start = self.at;
        while let Some(b'0'..=b'9') = self.peek() {
            self.at += 1;
        }
        match self.at > start {
            true => Ok(()),
            false => Err(self.wrong()),
        }
    }

    fn text(&mut self) -> Result<String, JsonError> {
        self.need("\"")?;
        let mut text = String::new();
        loop {
            let start = self.at;
            while let Some(byte) = self.peek()
                && !is_escaped(byte)
            {
                self.at += 1;
            }
            text.push_str(self.since(start));
            if self.take(b'"') {
                return Ok(text);
            }
            if !self.take(b'\\') {
                return Err(self.wrong());
            }
            text.push(self.escaped()?);
        }
    }

    fn escaped(&mut self) -> Result<char, JsonError> {
        let c = match self.peek() {
            Some(c @ (b'"' | b'\\' | b'/')) => char::from(c),
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => {
                self.at += 1;
                return self.code_point();
            }
            _ => return Err(self.wrong()),
        };
        self.at += 1;
        Ok(c)
    }

    /// A code point in four hexadecimal digits, or a pair of surrogates (RFC 8259, section 7).
    fn code_point(&mut self) -> Result<char, JsonError> {
        let mut code = self.unit()?;
        if (0xd800..0xdc00).contains(&code) {
            self.need("\\u")?;
            let low = self.unit()?;
            if !(0xdc00..0xe000).contains(&low) {
                return Err(self.wrong());
            }
            code = 0x10000 + ((code - 0xd800) << 10) + (low - 0xdc00);
        }
        char::from_u32(code).ok_or_else(|| self.wrong())
    }

    fn unit(&mut self) -> Result<u32, JsonError> {
        let mut unit = 0;
        for _ in 0..4 {
            let digit = self.peek().and_then(|byte| char::from(byte).to_digit(16));
            unit = unit * 16 + digit.ok_or_else(|| self.wrong())?;
            self.at += 1;
        }
        Ok(unit)
    }
}
