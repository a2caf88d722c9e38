//! Grades and classes: how strong a bolt, screw or nut is, and how its head says so.

use super::Thread;
use crate::quantity::{Length, LengthUnit, Stress, StressUnit, write_made_length};
use std::fmt;

/// A grade or property class of a bolt or screw.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Grade {
    /// SAE J429 grade 2.
    Sae2,
    /// SAE J429 grade 5.
    Sae5,
    /// SAE J429 grade 8.
    #[default]
    Sae8,
    /// ASTM A574 socket head cap screw.
    A574,
    /// ISO 898-1 class 4.6.
    Iso4_6,
    /// ISO 898-1 class 4.8.
    Iso4_8,
    /// ISO 898-1 class 5.6.
    Iso5_6,
    /// ISO 898-1 class 5.8.
    Iso5_8,
    /// ISO 898-1 class 6.8.
    Iso6_8,
    /// ISO 898-1 class 8.8.
    Iso8_8,
    /// ISO 898-1 class 9.8.
    Iso9_8,
    /// ISO 898-1 class 10.9.
    Iso10_9,
    /// ISO 898-1 class 12.9.
    Iso12_9,
    /// ISO 3506-1 austenitic stainless A2, class 50.
    A2_50,
    /// ISO 3506-1 austenitic stainless A2, class 70.
    A2_70,
    /// ISO 3506-1 austenitic stainless A2, class 80.
    A2_80,
    /// ISO 3506-1 austenitic stainless A4, class 50.
    A4_50,
    /// ISO 3506-1 austenitic stainless A4, class 70.
    A4_70,
    /// ISO 3506-1 austenitic stainless A4, class 80.
    A4_80,
}

/// What a bolt or screw of a grade and size bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strength {
    /// The stress it bears without lasting set. For stainless steel, whose standard has no proof load, the 0.2 % yield strength.
    pub proof: Stress,
    /// Yield strength, at 0.2 % of lasting strain or at the standard's lower yield.
    pub yielding: Stress,
    /// Tensile strength, the least.
    pub tensile: Stress,
}

/// How the head of a bolt says its grade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadMark {
    /// So many raised radial lines, evenly spaced; none at all on the softest grade.
    Lines(u8),
    /// Characters, such as `10.9` or `A2-70`.
    Words(&'static str),
    /// A socket head: knurled, the class on the head or on the box.
    Socket,
}

/// Why a grade says nothing about a bolt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum GradeError {
    /// The words name no grade known here.
    Unknown,
    /// The standard does not make this grade in this size.
    Size {
        /// The grade.
        grade: Grade,
        /// The largest diameter it is made in.
        most: Length,
    },
}

impl fmt::Display for GradeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => f.write_str(
                "The grade is not known here: write 2, 5 or 8 (SAE J429), 4.6 to 12.9 (ISO 898-1), A574, or A2-70 and its like (ISO 3506).",
            ),
            Self::Size { grade, most } => {
                let unit = if grade.is_inch() {
                    LengthUnit::Inch
                } else {
                    LengthUnit::Millimetre
                };
                write!(
                    f,
                    "{} is not made above {} ({}): check grade and thread.",
                    grade.name(),
                    write_made_length(*most, unit),
                    grade.standard()
                )
            }
        }
    }
}

impl Grade {
    /// All of them: inch, metric, stainless.
    pub const ALL: [Self; 19] = [
        Self::Sae2,
        Self::Sae5,
        Self::Sae8,
        Self::A574,
        Self::Iso4_6,
        Self::Iso4_8,
        Self::Iso5_6,
        Self::Iso5_8,
        Self::Iso6_8,
        Self::Iso8_8,
        Self::Iso9_8,
        Self::Iso10_9,
        Self::Iso12_9,
        Self::A2_50,
        Self::A2_70,
        Self::A2_80,
        Self::A4_50,
        Self::A4_70,
        Self::A4_80,
    ];

    /// As it is written on a card and in a list.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Sae2 => "2",
            Self::Sae5 => "5",
            Self::Sae8 => "8",
            Self::A574 => "A574",
            Self::Iso4_6 => "4.6",
            Self::Iso4_8 => "4.8",
            Self::Iso5_6 => "5.6",
            Self::Iso5_8 => "5.8",
            Self::Iso6_8 => "6.8",
            Self::Iso8_8 => "8.8",
            Self::Iso9_8 => "9.8",
            Self::Iso10_9 => "10.9",
            Self::Iso12_9 => "12.9",
            Self::A2_50 => "A2-50",
            Self::A2_70 => "A2-70",
            Self::A2_80 => "A2-80",
            Self::A4_50 => "A4-50",
            Self::A4_70 => "A4-70",
            Self::A4_80 => "A4-80",
        }
    }

    /// The grade of these words: `8`, `grade 8`, `SAE 8`, `8.8`, `class 10.9`, `A574`, `a2-70`.
    ///
    /// # Errors
    /// Words that name no grade.
    pub fn parse(text: &str) -> Result<Self, GradeError> {
        let words = text.trim().to_ascii_uppercase();
        let last = words
            .rsplit([' ', '\u{a0}'])
            .next()
            .unwrap_or_default()
            .trim_start_matches("GR")
            .trim_start_matches('.');
        let before = words.get(..words.len() - last.len()).unwrap_or_default();
        let fits = |grade: &Self| {
            before.split([' ', '.']).all(|word| match word {
                "" | "SAE" | "GRADE" | "GR" | "ASTM" | "J429" => true,
                // No inch standard has classes: class 8 is no grade 8.
                "CLASS" | "ISO" => !grade.is_inch(),
                _ => false,
            })
        };
        Self::ALL
            .into_iter()
            .find(|grade| grade.key() == last && fits(grade))
            .ok_or(GradeError::Unknown)
    }

    /// In words: `grade 8`, `class 10.9`, `A2-70`.
    pub fn name(self) -> String {
        let before = match self {
            Self::Sae2 | Self::Sae5 | Self::Sae8 => "grade ",
            _ if self.is_stainless() || self == Self::A574 => "",
            _ => "class ",
        };
        format!("{before}{}", self.key())
    }

    /// The standard it belongs to.
    pub const fn standard(self) -> &'static str {
        match self {
            Self::Sae2 | Self::Sae5 | Self::Sae8 => "SAE J429",
            Self::A574 => "ASTM A574",
            _ if self.is_stainless() => "ISO 3506-1",
            _ => "ISO 898-1",
        }
    }

    /// Whether it is of an inch standard.
    pub const fn is_inch(self) -> bool {
        matches!(self, Self::Sae2 | Self::Sae5 | Self::Sae8 | Self::A574)
    }

    /// Whether it is austenitic stainless steel.
    pub const fn is_stainless(self) -> bool {
        matches!(
            self,
            Self::A2_50 | Self::A2_70 | Self::A2_80 | Self::A4_50 | Self::A4_70 | Self::A4_80
        )
    }

    /// How a head says it: SAE J429 by radial lines, ISO 898-1 and ISO 3506-1 by characters.
    pub const fn head_mark(self) -> HeadMark {
        match self {
            Self::Sae2 => HeadMark::Lines(0),
            Self::Sae5 => HeadMark::Lines(3),
            Self::Sae8 => HeadMark::Lines(6),
            Self::A574 => HeadMark::Socket,
            _ => HeadMark::Words(self.key()),
        }
    }

    /// What a bolt of this grade bears on this thread. An unknown length under the head is taken as 6 in or shorter, which matters for
    /// grade 2 alone.
    ///
    /// SAE J429, ASTM A574, ISO 898-1:2013, ISO 3506-1:2009, with their size steps: grade 2 above 3/4 in or longer than 6 in, grade 5 above
    /// 1 in, A574 above 1/2 in, 8.8 above 16 mm. A grade of one system on a thread of the other is allowed: the size decides the step.
    ///
    /// # Errors
    /// A size in which the standard does not make this grade.
    pub fn strength(self, thread: Thread, length: Option<Length>) -> Result<Strength, GradeError> {
        let d = thread.diameter();
        let inches = |count: f64| d <= Length::inches(count) + Length::metres(1e-9);
        let mm = |count: f64| d <= Length::mm(count) + Length::metres(1e-9);
        let long = length.is_some_and(|length| length > Length::inches(6.0));
        let most = match self {
            Self::Sae2 | Self::Sae5 | Self::Sae8 | Self::A574 => Length::inches(1.5),
            Self::Iso4_8 | Self::Iso9_8 => Length::mm(16.0),
            Self::Iso5_8 | Self::A2_70 | Self::A2_80 | Self::A4_70 | Self::A4_80 => {
                Length::mm(24.0)
            }
            _ => Length::mm(39.0),
        };
        if d > most + Length::metres(1e-9) {
            return Err(GradeError::Size { grade: self, most });
        }
        let ksi = |count: f64| StressUnit::Ksi.of(count);
        let of = |[proof, yielding, tensile]: [f64; 3], unit: fn(f64) -> Stress| Strength {
            proof: unit(proof),
            yielding: unit(yielding),
            tensile: unit(tensile),
        };
        let mpa = |values| of(values, Stress::mpa);
        Ok(match self {
            Self::Sae2 if inches(0.75) && !long => of([55.0, 57.0, 74.0], ksi),
            Self::Sae2 => of([33.0, 36.0, 60.0], ksi),
            Self::Sae5 if inches(1.0) => of([85.0, 92.0, 120.0], ksi),
            Self::Sae5 => of([74.0, 81.0, 105.0], ksi),
            Self::Sae8 => of([120.0, 130.0, 150.0], ksi),
            Self::A574 if inches(0.5) => of([140.0, 153.0, 180.0], ksi),
            Self::A574 => of([135.0, 153.0, 170.0], ksi),
            Self::Iso4_6 => mpa([225.0, 240.0, 400.0]),
            Self::Iso4_8 => mpa([310.0, 340.0, 420.0]),
            Self::Iso5_6 => mpa([280.0, 300.0, 500.0]),
            Self::Iso5_8 => mpa([380.0, 420.0, 520.0]),
            Self::Iso6_8 => mpa([440.0, 480.0, 600.0]),
            Self::Iso8_8 if mm(16.0) => mpa([580.0, 640.0, 800.0]),
            Self::Iso8_8 => mpa([600.0, 660.0, 830.0]),
            Self::Iso9_8 => mpa([650.0, 720.0, 900.0]),
            Self::Iso10_9 => mpa([830.0, 940.0, 1040.0]),
            Self::Iso12_9 => mpa([970.0, 1100.0, 1220.0]),
            Self::A2_50 | Self::A4_50 => mpa([210.0, 210.0, 500.0]),
            Self::A2_70 | Self::A4_70 => mpa([450.0, 450.0, 700.0]),
            Self::A2_80 | Self::A4_80 => mpa([600.0, 600.0, 800.0]),
        })
    }
}
