//! Limit diameters of the usual tolerance classes, and the areas in which a thread shears.

use super::Thread;
use crate::quantity::Length;
use std::f64::consts::PI;

/// Largest and smallest of a diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// The largest.
    pub most: Length,
    /// The smallest.
    pub least: Length,
}

/// The limits of a thread: 2A and 2B for inch threads, 6g and 6H for metric ones, before plating.
///
/// Rounded once, at the end, as the standards print them: to 0.0001 in (the minor diameter of an inch nut to 0.001 in) or to 0.001 mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThreadLimits {
    /// Major diameter of the bolt: what a caliper reads over the crests.
    pub bolt_major: Span,
    /// Pitch diameter of the bolt.
    pub bolt_pitch: Span,
    /// Pitch diameter of the nut.
    pub nut_pitch: Span,
    /// Minor diameter of the nut: what a caliper reads across the bore.
    pub nut_minor: Span,
}

/// ISO 965-1, tolerances in micrometres by pitch in hundredths of a millimetre: pitch, fundamental deviation g, major diameter grade 6 (Td),
/// minor diameter of the nut grade 6 (TD1).
const BY_PITCH: [(u16, f64, f64, f64); 11] = [
    (50, 20.0, 106.0, 140.0),
    (75, 22.0, 140.0, 190.0),
    (80, 24.0, 150.0, 200.0),
    (100, 26.0, 180.0, 236.0),
    (125, 28.0, 212.0, 265.0),
    (150, 32.0, 236.0, 300.0),
    (175, 34.0, 265.0, 335.0),
    (200, 38.0, 280.0, 375.0),
    (250, 42.0, 335.0, 450.0),
    (300, 48.0, 375.0, 500.0),
    (350, 53.0, 425.0, 560.0),
];

/// ISO 965-1, pitch diameter tolerances grade 6 in micrometres: up to which size in millimetres, pitch in hundredths, bolt (Td2), nut (TD2).
const BY_SIZE: [(u8, u16, f64, f64); 17] = [
    (5, 50, 75.0, 100.0),
    (5, 80, 95.0, 125.0),
    (11, 75, 100.0, 132.0),
    (11, 100, 112.0, 150.0),
    (11, 125, 118.0, 160.0),
    (11, 150, 132.0, 180.0),
    (22, 100, 118.0, 160.0),
    (22, 125, 132.0, 180.0),
    (22, 150, 140.0, 190.0),
    (22, 175, 150.0, 200.0),
    (22, 200, 160.0, 212.0),
    (22, 250, 170.0, 224.0),
    (45, 100, 125.0, 170.0),
    (45, 150, 150.0, 200.0),
    (45, 200, 170.0, 224.0),
    (45, 300, 200.0, 265.0),
    (45, 350, 212.0, 280.0),
];

impl Thread {
    /// The limits of this thread's usual class.
    ///
    /// Inch, ASME B1.1: with D, P and the length of engagement L in inches (D for the coarse and fine series, 9 P for the others) the pitch
    /// diameter tolerance of a 2A bolt is `0.0015 ∛D + 0.0015 √L + 0.015 ∛P²`, its allowance 0.3 of that, its major diameter tolerance
    /// `0.06 ∛P²`, the pitch diameter tolerance of a 2B nut 1.3 of the bolt's, its minor diameter tolerance `0.25 P − 0.4 P²`.
    ///
    /// Metric, ISO 965-1: that standard's tables, which are its formulas rounded to preferred numbers, and not always to the nearest.
    pub fn limits(self) -> ThreadLimits {
        if self.is_inch() {
            self.inch_limits()
        } else {
            self.metric_limits()
        }
    }

    /// Pitch diameter tolerance of the bolt's usual class, 2A or 6g, not rounded for an inch thread.
    pub fn pitch_tolerance(self) -> Length {
        if !self.is_inch() {
            return Length::mm(self.metric_pitch_tolerances().0 / 1e3);
        }
        let (d, p) = (self.diameter().as_inches(), self.pitch().as_inches());
        let engaged = if self.is_standard_length() {
            d
        } else {
            9.0 * p
        };
        Length::inches(0.0015 * cube_root(d) + 0.0015 * engaged.sqrt() + 0.015 * cube_root(p * p))
    }

    /// Of bolt and nut, in micrometres.
    fn metric_pitch_tolerances(self) -> (f64, f64) {
        let (size, pitch) = (self.diameter().as_mm(), self.hundredths());
        BY_SIZE
            .iter()
            .find(|row| f64::from(row.1) == pitch && size <= f64::from(row.0))
            .map_or((0.0, 0.0), |row| (row.2, row.3))
    }

    /// The pitch in hundredths of a millimetre.
    fn hundredths(self) -> f64 {
        (self.pitch().as_mm() * 100.0).round()
    }

    fn inch_limits(self) -> ThreadLimits {
        let (d, p) = (self.diameter().as_inches(), self.pitch().as_inches());
        let pitch_tolerance = self.pitch_tolerance().as_inches();
        let allowance = 0.3 * pitch_tolerance;
        let major_tolerance = 0.06 * cube_root(p * p);
        let pitch = self.pitch_diameter().as_inches();
        let minor = self.minor_diameter().as_inches();
        let span = |least: f64, most: f64, scale: f64| Span {
            least: Length::inches((least * scale).round() / scale),
            most: Length::inches((most * scale).round() / scale),
        };
        let fine = 1e4;
        ThreadLimits {
            bolt_major: span(d - allowance - major_tolerance, d - allowance, fine),
            bolt_pitch: span(pitch - allowance - pitch_tolerance, pitch - allowance, fine),
            nut_pitch: span(pitch, pitch + 1.3 * pitch_tolerance, fine),
            nut_minor: span(minor, minor + 0.25 * p - 0.4 * p * p, 1e3),
        }
    }

    fn metric_limits(self) -> ThreadLimits {
        let size = self.diameter().as_mm();
        let of_pitch = BY_PITCH
            .iter()
            .find(|row| f64::from(row.0) == self.hundredths())
            .map_or((0.0, 0.0, 0.0), |row| (row.1, row.2, row.3));
        let of_size = self.metric_pitch_tolerances();
        let (deviation, major, minor) = of_pitch;
        let span = |from: f64, least: f64, most: f64| Span {
            least: Length::mm((from * 1e3 + least).round() / 1e3),
            most: Length::mm((from * 1e3 + most).round() / 1e3),
        };
        let pitch_diameter = self.pitch_diameter().as_mm();
        ThreadLimits {
            bolt_major: span(size, -deviation - major, -deviation),
            bolt_pitch: span(pitch_diameter, -deviation - of_size.0, -deviation),
            nut_pitch: span(pitch_diameter, 0.0, of_size.1),
            nut_minor: span(self.minor_diameter().as_mm(), 0.0, minor),
        }
    }

    /// The area in which the bolt's thread shears off per engaged length, in the worst case of the limits:
    /// `π n K (1/2n + tan 30° (E − K))` with K the nut's largest minor and E the bolt's smallest pitch diameter (FED-STD-H28/2, ASME B1.1
    /// appendix B).
    pub fn bolt_shear_per_length(self) -> Length {
        let limits = self.limits();
        self.shear(
            limits.nut_minor.most,
            limits.bolt_pitch.least - limits.nut_minor.most,
        )
    }

    /// The area in which the nut's thread shears off per engaged length, in the worst case of the limits:
    /// `π n D (1/2n + tan 30° (D − E))` with D the bolt's smallest major and E the nut's largest pitch diameter (FED-STD-H28/2, ASME B1.1
    /// appendix B).
    pub fn nut_shear_per_length(self) -> Length {
        let limits = self.limits();
        self.shear(
            limits.bolt_major.least,
            limits.bolt_major.least - limits.nut_pitch.most,
        )
    }

    fn shear(self, across: Length, overlap: Length) -> Length {
        let pitch = self.pitch();
        // The tangent of half the thread angle.
        let tan_30 = 1.0 / 3.0_f64.sqrt();
        across * (PI * ((pitch / 2.0 + overlap * tan_30) / pitch))
    }
}

/// The cube root of a number from a millionth to ten, by Newton's method. The standard library's serves every number there is, and brings more
/// code to the page than this room's formulas.
fn cube_root(x: f64) -> f64 {
    let mut root = 3.0;
    // From above, each step leaves two thirds of it at most, until it doubles its digits; in the end it no longer falls.
    for _ in 0..40 {
        let next = (2.0 * root + x / (root * root)) / 3.0;
        if next >= root {
            break;
        }
        root = next;
    }
    root
}
