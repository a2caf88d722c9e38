//! Which wrench: across flats by standard, and sockets.

use super::{Thread, hex_nut, jam_nut};
use crate::quantity::Length;

/// What a wrench for a size measures across the flats.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wrenches {
    /// Hex bolt (ISO 4014, ASME B18.2.1).
    pub bolt: Length,
    /// Hex nut (ISO 4032, ASME B18.2.2).
    pub nut: Length,
    /// Jam nut (ISO 4035, ASME B18.2.2).
    pub jam_nut: Length,
    /// Key of a socket head cap screw (ISO 4762, ASME B18.3), where the standard has one.
    pub key: Option<Length>,
    /// Bolt and nut by the older DIN 931 and DIN 934, where they differ: still common on cars.
    pub old: Option<Length>,
}

/// ASME B18.2.1 and B18.3: size in sixteenths; hex bolt in sixteenths; key in thirty-seconds, zero where there is none.
const INCH: [(u8, u8, u8); 12] = [
    (4, 7, 6),
    (5, 8, 8),
    (6, 9, 10),
    (7, 10, 12),
    (8, 12, 12),
    (9, 13, 14),
    (10, 15, 16),
    (12, 18, 20),
    (14, 21, 24),
    (16, 24, 24),
    (18, 27, 28),
    (20, 30, 28),
];

/// ISO 4762: size; key, zero where there is none; hex of DIN 931 and DIN 934 where it is another, in millimetres.
const METRIC: [(u8, u8, u8); 13] = [
    (5, 4, 0),
    (6, 5, 0),
    (8, 6, 0),
    (10, 8, 17),
    (12, 10, 19),
    (14, 12, 22),
    (16, 14, 0),
    (18, 14, 0),
    (20, 17, 0),
    (22, 17, 32),
    (24, 19, 0),
    (27, 19, 0),
    (30, 22, 0),
];

/// The wrenches for a thread's size; none for sizes the standards leave out.
pub fn wrenches(thread: Thread) -> Option<Wrenches> {
    let nut = hex_nut(thread)?.across_flats;
    let jam_nut = jam_nut(thread)?.across_flats;
    let size = thread.size();
    let given = |count: u8, unit: Length| (count > 0).then(|| unit * f64::from(count));
    if thread.is_inch() {
        let row = INCH.iter().find(|row| row.0 == size)?;
        Some(Wrenches {
            bolt: Length::inches(f64::from(row.1) / 16.0),
            nut,
            jam_nut,
            key: given(row.2, Length::inches(1.0 / 32.0)),
            old: None,
        })
    } else {
        let row = METRIC.iter().find(|row| row.0 == size)?;
        Some(Wrenches {
            // A metric bolt has the hex of its nut.
            bolt: nut,
            nut,
            jam_nut,
            key: given(row.1, Length::mm(1.0)),
            old: given(row.2, Length::mm(1.0)),
        })
    }
}
