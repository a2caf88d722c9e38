//! Hex nuts and jam nuts: thickness and across flats.

use super::Thread;
use crate::quantity::Length;

/// A hex nut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HexNut {
    /// Across flats, nominal.
    pub across_flats: Length,
    /// Largest thickness.
    pub thickness: Length,
    /// Basic thickness of an inch nut; the largest of a metric one.
    pub basic: Length,
}

/// ASME B18.2.2, by Machinery's Handbook 31st ed. Table 7: size in sixteenths, across flats, nut largest and basic, jam nut
/// largest and basic, in inches.
const INCH: [(u8, f64, f64, f64, f64, f64); 12] = [
    (4, 7.0 / 16.0, 0.226, 7.0 / 32.0, 0.163, 5.0 / 32.0),
    (5, 0.5, 0.273, 17.0 / 64.0, 0.195, 3.0 / 16.0),
    (6, 9.0 / 16.0, 0.337, 21.0 / 64.0, 0.227, 7.0 / 32.0),
    (7, 11.0 / 16.0, 0.385, 3.0 / 8.0, 0.260, 0.25),
    (8, 0.75, 0.448, 7.0 / 16.0, 0.323, 5.0 / 16.0),
    (9, 0.875, 0.496, 31.0 / 64.0, 0.324, 5.0 / 16.0),
    (10, 15.0 / 16.0, 0.559, 35.0 / 64.0, 0.387, 3.0 / 8.0),
    (12, 1.125, 0.665, 41.0 / 64.0, 0.446, 27.0 / 64.0),
    (14, 21.0 / 16.0, 0.776, 0.75, 0.510, 31.0 / 64.0),
    (16, 1.5, 0.887, 55.0 / 64.0, 0.575, 35.0 / 64.0),
    (18, 27.0 / 16.0, 0.999, 31.0 / 32.0, 0.639, 39.0 / 64.0),
    (20, 1.875, 1.094, 17.0 / 16.0, 0.751, 23.0 / 32.0),
];

/// ISO 4032 and ISO 4035: size, across flats, nut largest, thin nut largest, in millimetres.
const METRIC: [(u8, f64, f64, f64); 13] = [
    (5, 8.0, 4.7, 2.7),
    (6, 10.0, 5.2, 3.2),
    (8, 13.0, 6.8, 4.0),
    (10, 16.0, 8.4, 5.0),
    (12, 18.0, 10.8, 6.0),
    (14, 21.0, 12.8, 7.0),
    (16, 24.0, 14.8, 8.0),
    (18, 27.0, 15.8, 9.0),
    (20, 30.0, 18.0, 10.0),
    (22, 34.0, 19.4, 11.0),
    (24, 36.0, 21.5, 12.0),
    (27, 41.0, 23.8, 13.5),
    (30, 46.0, 25.6, 15.0),
];

/// The standard hex nut of a thread's size (ASME B18.2.2, ISO 4032); none for sizes the standards leave out.
pub fn hex_nut(thread: Thread) -> Option<HexNut> {
    pick(thread, |row| (row.2, row.3), |row| row.2)
}

/// The standard jam or thin nut of a thread's size (ASME B18.2.2, ISO 4035); none for sizes the standards leave out.
pub fn jam_nut(thread: Thread) -> Option<HexNut> {
    pick(thread, |row| (row.4, row.5), |row| row.3)
}

type InchRow = (u8, f64, f64, f64, f64, f64);
type MetricRow = (u8, f64, f64, f64);

fn pick(
    thread: Thread,
    inch: fn(&InchRow) -> (f64, f64),
    metric: fn(&MetricRow) -> f64,
) -> Option<HexNut> {
    if thread.is_inch() {
        let row = INCH
            .iter()
            .find(|row| Length::inches(f64::from(row.0) / 16.0) == thread.diameter())?;
        let (thickness, basic) = inch(row);
        Some(HexNut {
            across_flats: Length::inches(row.1),
            thickness: Length::inches(thickness),
            basic: Length::inches(basic),
        })
    } else {
        let row = METRIC
            .iter()
            .find(|row| Length::mm(f64::from(row.0)) == thread.diameter())?;
        let thickness = Length::mm(metric(row));
        Some(HexNut {
            across_flats: Length::mm(row.1),
            thickness,
            basic: thickness,
        })
    }
}
