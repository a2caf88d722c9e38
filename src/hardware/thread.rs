//! Screw threads: unified inch and ISO metric, 1/4 to 1 1/4 in and M5 to M30.

use crate::quantity::{Area, Length, LengthUnit, write_length};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::f64::consts::PI;
use std::fmt;
use std::sync::OnceLock;

/// A thread series.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// Unified coarse (ASME B1.1).
    Unc,
    /// Unified fine (ASME B1.1).
    Unf,
    /// Unified extra fine (ASME B1.1).
    Unef,
    /// Unified constant pitch, 8 and 12 threads per inch, where neither coarse nor fine has it (ASME B1.1).
    Un,
    /// Unified special, here 1-14, which is sold beside the 1-12 UNF.
    Uns,
    /// ISO metric, coarse pitch (ISO 261).
    MetricCoarse,
    /// ISO metric, fine pitch (ISO 261).
    MetricFine,
}

/// Which way a thread screws in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Clockwise.
    #[default]
    Right,
    /// Counter-clockwise.
    Left,
}

/// A thread of a series. Only threads of the table exist.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thread {
    series: Series,
    /// Nominal diameter in sixteenths of an inch, or in millimetres.
    size: u8,
    /// Threads per inch, or pitch in hundredths of a millimetre.
    pitch: u16,
}

impl Default for Thread {
    /// 5/8-18 UNF, a usual rod end.
    fn default() -> Self {
        Self {
            series: Series::Unf,
            size: 10,
            pitch: 18,
        }
    }
}

const fn rows<const N: usize>(series: Series, rows: [(u8, u16); N]) -> [Thread; N] {
    let mut threads = [Thread {
        series,
        size: 0,
        pitch: 1,
    }; N];
    let mut i = 0;
    while i < N {
        threads[i] = Thread {
            series,
            size: rows[i].0,
            pitch: rows[i].1,
        };
        i += 1;
    }
    threads
}

/// ASME B1.1, constant pitch: 12-UN and 8-UN beside the coarse and fine series.
const UN: [Thread; 12] = rows(
    Series::Un,
    [
        (10, 12),
        (11, 12),
        (12, 12),
        (13, 12),
        (14, 12),
        (15, 12),
        (17, 12),
        (19, 12),
        (17, 8),
        (18, 8),
        (19, 8),
        (20, 8),
    ],
);
/// ASME B1.1, coarse series.
const UNC: [Thread; 12] = rows(
    Series::Unc,
    [
        (4, 20),
        (5, 18),
        (6, 16),
        (7, 14),
        (8, 13),
        (9, 12),
        (10, 11),
        (12, 10),
        (14, 9),
        (16, 8),
        (18, 7),
        (20, 7),
    ],
);
/// ASME B1.1, fine series.
const UNF: [Thread; 12] = rows(
    Series::Unf,
    [
        (4, 28),
        (5, 24),
        (6, 24),
        (7, 20),
        (8, 20),
        (9, 18),
        (10, 18),
        (12, 16),
        (14, 14),
        (16, 12),
        (18, 12),
        (20, 12),
    ],
);
/// ASME B1.1, extra-fine series.
const UNEF: [Thread; 17] = rows(
    Series::Unef,
    [
        (4, 32),
        (5, 32),
        (6, 32),
        (7, 28),
        (8, 28),
        (9, 24),
        (10, 24),
        (11, 24),
        (12, 20),
        (13, 20),
        (14, 20),
        (15, 20),
        (16, 20),
        (17, 18),
        (18, 18),
        (19, 18),
        (20, 18),
    ],
);
/// 1-14 UNS: sold as "1 in fine" beside the 1-12 UNF.
const UNS: [Thread; 1] = rows(Series::Uns, [(16, 14)]);
/// ISO 261, coarse pitches.
const COARSE: [Thread; 14] = rows(
    Series::MetricCoarse,
    [
        (5, 80),
        (6, 100),
        (7, 100),
        (8, 125),
        (10, 150),
        (12, 175),
        (14, 200),
        (16, 200),
        (18, 250),
        (20, 250),
        (22, 250),
        (24, 300),
        (27, 300),
        (30, 350),
    ],
);
/// ISO 261, fine pitches.
const FINE: [Thread; 27] = rows(
    Series::MetricFine,
    [
        (5, 50),
        (6, 75),
        (8, 100),
        (8, 75),
        (10, 125),
        (10, 100),
        (10, 75),
        (12, 150),
        (12, 125),
        (12, 100),
        (14, 150),
        (14, 125),
        (16, 150),
        (16, 100),
        (18, 200),
        (18, 150),
        (20, 200),
        (20, 150),
        (22, 200),
        (22, 150),
        (24, 200),
        (24, 150),
        (27, 200),
        (27, 150),
        (30, 300),
        (30, 200),
        (30, 150),
    ],
);

/// Every thread known here.
pub fn threads() -> impl Iterator<Item = Thread> + Clone {
    UNC.into_iter()
        .chain(UNF)
        .chain(UNEF)
        .chain(UN)
        .chain(UNS)
        .chain(COARSE)
        .chain(FINE)
}

/// Every thread known here with its designation, written once: a card names dozens of threads.
fn designations() -> &'static [(Thread, String)] {
    static ALL: OnceLock<Vec<(Thread, String)>> = OnceLock::new();
    ALL.get_or_init(|| {
        threads()
            .map(|thread| (thread, thread.designation()))
            .collect()
    })
}

/// A designation that no table holds.
#[derive(Clone, Debug, PartialEq)]
pub struct UnknownThread {
    /// Threads of the same size, or none where the size is unknown too.
    pub near: Vec<Thread>,
}

impl fmt::Display for UnknownThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.near.is_empty() {
            return f.write_str(
                "is not a thread known here: write one such as 5/8-18 UNF, 1/2-20 or M12x1.25",
            );
        }
        f.write_str("is not a thread known here: this size comes as ")?;
        for (index, thread) in self.near.iter().enumerate() {
            write!(
                f,
                "{}{}",
                if index == 0 { "" } else { ", " },
                thread.designation()
            )?;
        }
        Ok(())
    }
}

impl Thread {
    /// Reads a designation: `5/8-18 UNF`, `5/8-18`, `M12x1.25`, `M12` (coarse).
    ///
    /// # Errors
    /// The threads of the same size, where the designation is in no table.
    pub fn parse(text: &str) -> Result<Self, UnknownThread> {
        let upper = text.trim().chars().map(|c| c.to_ascii_uppercase());
        let plain: String = upper
            .map(|c| if c == 'X' || c == '×' { 'x' } else { c })
            .collect();
        let known = designations().iter().find(|(thread, full)| {
            // The series is the last word of an inch designation; the coarse metric pitch may be left away.
            let short = match thread.series {
                Series::MetricCoarse => full.split_once('x'),
                Series::MetricFine => None,
                _ => full.rsplit_once(' '),
            };
            plain == *full || short.is_some_and(|(short, _)| plain == short)
        });
        if let Some((thread, _)) = known {
            return Ok(*thread);
        }
        let same_size = |full: &str| {
            let size = full.split(['-', 'x']).next().unwrap_or_default();
            // What follows the size is no part of it: 1 1/8-12 is not a 1.
            let rest = plain.strip_prefix(size);
            rest.is_some_and(|rest| {
                rest.is_empty() || rest.starts_with(['-', 'x', ' ']) && !rest.contains('/')
            })
        };
        Err(UnknownThread {
            near: designations()
                .iter()
                .filter(|(_, full)| same_size(full))
                .map(|(thread, _)| *thread)
                .collect(),
        })
    }

    /// Its series.
    pub const fn series(self) -> Series {
        self.series
    }

    /// Whether its tolerances are those of an engagement of one diameter (ASME B1.1): the coarse and the fine series.
    pub(super) const fn is_standard_length(self) -> bool {
        matches!(self.series, Series::Unc | Series::Unf)
    }

    /// Whether its pitch is the coarse one of its size, which nuts are graded by.
    pub(super) const fn is_coarse(self) -> bool {
        matches!(self.series, Series::Unc | Series::MetricCoarse)
            || matches!(self.series, Series::Un) && self.pitch == 8
    }

    /// Nominal diameter in sixteenths of an inch, or in millimetres.
    pub(super) const fn size(self) -> u8 {
        self.size
    }

    /// Whether it is an inch thread.
    pub const fn is_inch(self) -> bool {
        !matches!(self.series, Series::MetricCoarse | Series::MetricFine)
    }

    /// Nominal major diameter.
    pub const fn diameter(self) -> Length {
        if self.is_inch() {
            Length::inches(self.size as f64 / 16.0)
        } else {
            Length::mm(self.size as f64)
        }
    }

    /// Pitch: what one turn advances.
    pub const fn pitch(self) -> Length {
        if self.is_inch() {
            Length::inches(1.0 / self.pitch as f64)
        } else {
            Length::mm(self.pitch as f64 / 100.0)
        }
    }

    /// The standard designation: `5/8-18 UNF`, `M12x1.25`.
    pub fn designation(self) -> String {
        let series = match self.series {
            Series::Unc => "UNC",
            Series::Unf => "UNF",
            Series::Unef => "UNEF",
            Series::Un => "UN",
            Series::Uns => "UNS",
            Series::MetricCoarse | Series::MetricFine => {
                let (whole, part) = (self.pitch / 100, self.pitch % 100);
                let pitch = if part == 0 {
                    whole.to_string()
                } else {
                    format!("{whole}.{part:02}")
                };
                return format!(
                    "M{}x{}",
                    self.size,
                    if part == 0 {
                        &pitch
                    } else {
                        pitch.trim_end_matches('0')
                    }
                );
            }
        };
        let (whole, part) = (self.size / 16, self.size % 16);
        let shift = part.trailing_zeros().min(4);
        let size = match (whole, part) {
            (whole, 0) => whole.to_string(),
            (0, part) => format!("{}/{}", part >> shift, 16u8 >> shift),
            (whole, part) => format!("{whole} {}/{}", part >> shift, 16u8 >> shift),
        };
        format!("{size}-{} {series}", self.pitch)
    }

    /// Basic pitch diameter, `d − 3/4 H` with `H = √3/2 P` (ISO 68-1, ISO 724, ASME B1.1).
    pub fn pitch_diameter(self) -> Length {
        self.diameter() - self.pitch() * (3.0_f64.sqrt() * 0.375)
    }

    /// Basic minor diameter of the nut, `d − 5/4 H` (ISO 68-1, ISO 724, ASME B1.1).
    pub fn minor_diameter(self) -> Length {
        self.diameter() - self.pitch() * (3.0_f64.sqrt() * 0.625)
    }

    /// Tensile stress area, `π/4 (d − 0.9382 P)²` for metric (ISO 898-1) and `π/4 (D − 0.9743/n)²` for inch (ASME B1.1).
    pub fn stress_area(self) -> Area {
        let share = if self.is_inch() { 0.9743 } else { 0.9382 };
        let across = self.diameter() - self.pitch() * share;
        across * across * (PI / 4.0)
    }

    /// The stress area as the standards print it, which is the one that loads are reckoned with: to three digits for metric (ISO 898-1); for inch
    /// to 0.0001 in², by `π (E/2 − 3/16 H)²` from the pitch diameter E rounded to 0.0001 in (ASME B1.1).
    pub fn nominal_stress_area(self) -> Area {
        let (area, unit) = if self.is_inch() {
            let unit = Length::inches(0.01);
            let pitch_diameter = (self.pitch_diameter().as_inches() * 1e4).round() / 1e4;
            let half = Length::inches(pitch_diameter / 2.0)
                - self.pitch() * (3.0_f64.sqrt() / 2.0 * 3.0 / 16.0);
            (half * half * PI, unit * unit)
        } else {
            let area = self.stress_area();
            let small = area < Length::mm(10.0) * Length::mm(10.0);
            (
                area,
                Length::mm(1.0) * Length::mm(if small { 0.1 } else { 1.0 }),
            )
        };
        unit * (area / unit).round()
    }

    /// The unit that hardware of this thread is sold by.
    pub const fn unit(self) -> LengthUnit {
        if self.is_inch() {
            LengthUnit::Inch
        } else {
            LengthUnit::Millimetre
        }
    }

    /// A length as hardware of this thread is sold by: inch hardware in inches.
    pub fn written_length(self, length: Length) -> String {
        write_length(length, self.unit())
    }
}

impl Thread {
    /// As it stands in a document.
    pub(crate) fn to_document(self) -> String {
        self.designation()
    }

    /// Out of a document.
    pub(crate) fn from_document(text: &str) -> Result<Self, String> {
        Self::parse(text).map_err(|error| {
            let shown: String = text.chars().take(40).collect();
            format!("\"{shown}\" {error}")
        })
    }
}

impl Serialize for Thread {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.designation())
    }
}

impl<'de> Deserialize<'de> for Thread {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::from_document(&String::deserialize(deserializer)?).map_err(de::Error::custom)
    }
}

#[cfg(not(target_arch = "wasm32"))]
impl schemars::JsonSchema for Thread {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Thread".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let known: Vec<_> = threads().map(Self::designation).collect();
        schemars::json_schema!({ "type": "string", "description": "A thread by its standard designation.", "enum": known })
    }
}
