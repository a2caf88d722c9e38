//! JSON (RFC 8259) as it is read: text to a tree of values.
//!
//! A document is small and holds text, whole numbers and names, so a reader for that is a fraction of a general one, whose tables
//! for decimal numbers alone cost the page as much as all of this.

use super::Named;
use super::typed::{comma, key, quoted};
use std::iter::Peekable;
use std::str::Chars;

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
        let mut reader = Reader {
            left: text.chars().peekable(),
            line: 1,
            column: 1,
        };
        let value = reader.value(0)?;
        match reader.past_space() {
            None => Ok(value),
            Some(_) => Err(reader.wrong()),
        }
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
    left: Peekable<Chars<'a>>,
    line: usize,
    column: usize,
}

impl Reader<'_> {
    fn peek(&mut self) -> Option<char> {
        self.left.peek().copied()
    }

    #[inline(never)]
    fn next(&mut self) -> Option<char> {
        let c = self.left.next()?;
        if c == '\n' {
            self.line += 1;
            self.column = 1;
        } else {
            self.column += 1;
        }
        Some(c)
    }

    /// What is wrong at the character that comes next.
    fn wrong(&mut self) -> JsonError {
        match self.peek() {
            None => JsonError::Truncated,
            Some(_) => JsonError::At {
                line: self.line,
                column: self.column,
            },
        }
    }

    #[inline(never)]
    fn past_space(&mut self) -> Option<char> {
        while let Some(' ' | '\t' | '\n' | '\r') = self.peek() {
            self.next();
        }
        self.peek()
    }

    /// Takes a character if it comes next.
    fn take(&mut self, wanted: char) -> bool {
        let comes = self.peek() == Some(wanted);
        if comes {
            self.next();
        }
        comes
    }

    #[inline(never)]
    fn need(&mut self, wanted: &str) -> Result<(), JsonError> {
        match wanted.chars().all(|c| self.take(c)) {
            true => Ok(()),
            false => Err(self.wrong()),
        }
    }

    fn value(&mut self, depth: u32) -> Result<Json, JsonError> {
        match self.past_space() {
            Some('n') => self.need("null").map(|()| Json::Null),
            Some('t') => self.need("true").map(|()| Json::Bool(true)),
            Some('f') => self.need("false").map(|()| Json::Bool(false)),
            Some('"') => self.text().map(Json::Text),
            Some('-' | '0'..='9') => self.number().map(Json::Number),
            Some('[') if depth < DEEPEST => self.list(depth + 1).map(Json::List),
            Some('{') if depth < DEEPEST => self.object(depth + 1).map(Json::Object),
            _ => Err(self.wrong()),
        }
    }

    /// Whether another item comes, and what stands before it is taken.
    fn more(&mut self, first: bool, end: char) -> Result<bool, JsonError> {
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
        while self.more(list.is_empty(), ']')? {
            list.push(self.value(depth)?);
        }
        Ok(list)
    }

    fn object(&mut self, depth: u32) -> Result<Named<Json>, JsonError> {
        self.need("{")?;
        let mut object = Named::default();
        while self.more(object.is_empty(), '}')? {
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
        let mut number = String::new();
        self.keep('-', &mut number);
        if !self.keep('0', &mut number) {
            self.digits(&mut number)?;
        }
        if self.keep('.', &mut number) {
            self.digits(&mut number)?;
        }
        if self.keep('e', &mut number) || self.keep('E', &mut number) {
            let _ = self.keep('+', &mut number) || self.keep('-', &mut number);
            self.digits(&mut number)?;
        }
        Ok(number)
    }

    fn keep(&mut self, wanted: char, number: &mut String) -> bool {
        let comes = self.take(wanted);
        if comes {
            number.push(wanted);
        }
        comes
    }

    /// One digit or more.
    fn digits(&mut self, number: &mut String) -> Result<(), JsonError> {
        let before = number.len();
        while let Some(digit @ '0'..='9') = self.peek() {
            self.next();
            number.push(digit);
        }
        match number.len() > before {
            true => Ok(()),
            false => Err(self.wrong()),
        }
    }

    fn text(&mut self) -> Result<String, JsonError> {
        self.need("\"")?;
        let mut text = String::new();
        loop {
            match self.peek() {
                None | Some('\0'..='\u{1f}') => return Err(self.wrong()),
                Some('"') => {
                    self.next();
                    return Ok(text);
                }
                Some('\\') => {
                    self.next();
                    text.push(self.escaped()?);
                }
                Some(c) => {
                    self.next();
                    text.push(c);
                }
            }
        }
    }

    fn escaped(&mut self) -> Result<char, JsonError> {
        let c = match self.peek() {
            Some(c @ ('"' | '\\' | '/')) => c,
            Some('b') => '\u{8}',
            Some('f') => '\u{c}',
            Some('n') => '\n',
            Some('r') => '\r',
            Some('t') => '\t',
            Some('u') => {
                self.next();
                return self.code_point();
            }
            _ => return Err(self.wrong()),
        };
        self.next();
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
            let digit = self.peek().and_then(|c| c.to_digit(16));
            unit = unit * 16 + digit.ok_or_else(|| self.wrong())?;
            self.next();
        }
        Ok(unit)
    }
}
