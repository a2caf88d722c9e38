//! Hex nuts and jam nuts: size, class and strength.

use super::{Grade, Thread};
use crate::quantity::{Length, Stress, StressUnit, Torque, TorqueUnit, write_torque};

/// A hex nut's size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HexNut {
    /// Across flats, nominal.
    pub across_flats: Length,
    /// Largest thickness.
    pub thickness: Length,
    /// Smallest thickness.
    pub thinnest: Length,
    /// Basic thickness of an inch nut; the largest of a metric one.
    pub basic: Length,
}

/// Thicknesses: largest, smallest, and in sixty-fourths of an inch basic.
type Thickness = (f64, f64, u8);

/// ASME B18.2.2, by Machinery's Handbook 31st ed. Table 7: size in sixteenths, across flats in sixteenths, nut, jam nut; the smallest
/// thicknesses from memory. In inches.
const INCH: [(u8, u8, Thickness, Thickness); 12] = [
    (4, 7, (0.226, 0.212, 14), (0.163, 0.150, 10)),
    (5, 8, (0.273, 0.258, 17), (0.195, 0.180, 12)),
    (6, 9, (0.337, 0.320, 21), (0.227, 0.210, 14)),
    (7, 11, (0.385, 0.365, 24), (0.260, 0.240, 16)),
    (8, 12, (0.448, 0.427, 28), (0.323, 0.302, 20)),
    (9, 14, (0.496, 0.473, 31), (0.324, 0.301, 20)),
    (10, 15, (0.559, 0.535, 35), (0.387, 0.363, 24)),
    (12, 18, (0.665, 0.617, 41), (0.446, 0.398, 27)),
    (14, 21, (0.776, 0.724, 48), (0.510, 0.458, 31)),
    (16, 24, (0.887, 0.831, 55), (0.575, 0.519, 35)),
    (18, 27, (0.999, 0.939, 62), (0.639, 0.579, 39)),
    (20, 30, (1.094, 1.030, 68), (0.751, 0.687, 46)),
];

/// ISO 4032 and ISO 4035: size, across flats, nut largest and smallest, thin nut largest and smallest, in millimetres.
const METRIC: [(u8, u8, [f64; 2], [f64; 2]); 13] = [
    (5, 8, [4.7, 4.4], [2.7, 2.45]),
    (6, 10, [5.2, 4.9], [3.2, 2.9]),
    (8, 13, [6.8, 6.44], [4.0, 3.7]),
    (10, 16, [8.4, 8.04], [5.0, 4.7]),
    (12, 18, [10.8, 10.37], [6.0, 5.7]),
    (14, 21, [12.8, 12.1], [7.0, 6.42]),
    (16, 24, [14.8, 14.1], [8.0, 7.42]),
    (18, 27, [15.8, 15.1], [9.0, 8.42]),
    (20, 30, [18.0, 16.9], [10.0, 9.1]),
    (22, 34, [19.4, 18.1], [11.0, 9.9]),
    (24, 36, [21.5, 20.2], [12.0, 10.9]),
    (27, 41, [23.8, 22.5], [13.5, 12.4]),
    (30, 46, [25.6, 24.3], [15.0, 13.9]),
];

/// The standard hex nut of a thread's size (ASME B18.2.2, ISO 4032); none for sizes the standards leave out.
pub fn hex_nut(thread: Thread) -> Option<HexNut> {
    pick(thread, false)
}

/// The standard jam or thin nut of a thread's size (ASME B18.2.2, ISO 4035); none for sizes the standards leave out.
pub fn jam_nut(thread: Thread) -> Option<HexNut> {
    pick(thread, true)
}

fn pick(thread: Thread, jam: bool) -> Option<HexNut> {
    let size = thread.size();
    if thread.is_inch() {
        let row = INCH.iter().find(|row| row.0 == size)?;
        let (thickness, thinnest, basic) = if jam { row.3 } else { row.2 };
        Some(HexNut {
            across_flats: Length::inches(f64::from(row.1) / 16.0),
            thickness: Length::inches(thickness),
            thinnest: Length::inches(thinnest),
            basic: Length::inches(f64::from(basic) / 64.0),
        })
    } else {
        let row = METRIC.iter().find(|row| row.0 == size)?;
        let [thickness, thinnest] = if jam { row.3 } else { row.2 };
        Some(HexNut {
            across_flats: Length::mm(f64::from(row.1)),
            thickness: Length::mm(thickness),
            thinnest: Length::mm(thinnest),
            basic: Length::mm(thickness),
        })
    }
}

/// A grade or class of a nut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Nut {
    /// SAE J995 grade 2.
    Grade2,
    /// SAE J995 grade 5.
    Grade5,
    /// SAE J995 grade 8.
    #[default]
    Grade8,
    /// Prevailing-torque lock nut grade B (ASME B18.16.6), for grade 5 bolts.
    LockB,
    /// Prevailing-torque lock nut grade C (ASME B18.16.6), for grade 8 bolts.
    LockC,
    /// ISO 898-2 class 5.
    Class5,
    /// ISO 898-2 class 6.
    Class6,
    /// ISO 898-2 class 8.
    Class8,
    /// ISO 898-2 class 10.
    Class10,
    /// ISO 898-2 class 12.
    Class12,
    /// ISO 3506-2 stainless, class 50.
    Stainless50,
    /// ISO 3506-2 stainless, class 70.
    Stainless70,
    /// ISO 3506-2 stainless, class 80.
    Stainless80,
    /// Jam nut, SAE J995 grade 5.
    Jam5,
    /// Jam nut, SAE J995 grade 8.
    Jam8,
    /// Thin nut, ISO 898-2 class 04.
    Thin04,
    /// Thin nut, ISO 898-2 class 05.
    Thin05,
}

impl Nut {
    /// All of them: inch, metric, stainless, thin.
    pub const ALL: [Self; 17] = [
        Self::Grade2,
        Self::Grade5,
        Self::Grade8,
        Self::LockB,
        Self::LockC,
        Self::Class5,
        Self::Class6,
        Self::Class8,
        Self::Class10,
        Self::Class12,
        Self::Stainless50,
        Self::Stainless70,
        Self::Stainless80,
        Self::Jam5,
        Self::Jam8,
        Self::Thin04,
        Self::Thin05,
    ];

    /// In words, unique among nuts: `nut grade 8`, `lock nut grade C`, `nut class 10`, `thin nut class 04`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Grade2 => "nut grade 2",
            Self::Grade5 => "nut grade 5",
            Self::Grade8 => "nut grade 8",
            Self::LockB => "lock nut grade B",
            Self::LockC => "lock nut grade C",
            Self::Class5 => "nut class 5",
            Self::Class6 => "nut class 6",
            Self::Class8 => "nut class 8",
            Self::Class10 => "nut class 10",
            Self::Class12 => "nut class 12",
            Self::Stainless50 => "nut A2-50 or A4-50",
            Self::Stainless70 => "nut A2-70 or A4-70",
            Self::Stainless80 => "nut A2-80 or A4-80",
            Self::Jam5 => "jam nut grade 5",
            Self::Jam8 => "jam nut grade 8",
            Self::Thin04 => "thin nut class 04",
            Self::Thin05 => "thin nut class 05",
        }
    }

    /// Whether it is a thin (jam) nut, which strips before it loads a bolt fully.
    pub const fn is_thin(self) -> bool {
        matches!(self, Self::Jam5 | Self::Jam8 | Self::Thin04 | Self::Thin05)
    }

    /// The strongest bolt that a full nut may load to proof without stripping (ISO 898-2, SAE J995); none for a thin nut.
    pub const fn made_for(self) -> Option<Grade> {
        Some(match self {
            Self::Grade2 => Grade::Sae2,
            Self::Grade5 | Self::LockB => Grade::Sae5,
            Self::Grade8 | Self::LockC => Grade::Sae8,
            Self::Class5 => Grade::Iso5_8,
            Self::Class6 => Grade::Iso6_8,
            Self::Class8 => Grade::Iso8_8,
            Self::Class10 => Grade::Iso10_9,
            Self::Class12 => Grade::Iso12_9,
            Self::Stainless50 => Grade::A2_50,
            Self::Stainless70 => Grade::A2_70,
            Self::Stainless80 => Grade::A2_80,
            Self::Jam5 | Self::Jam8 | Self::Thin04 | Self::Thin05 => return None,
        })
    }

    /// The nut that goes with a bolt of a grade: the one whose threads outlast that bolt.
    pub const fn for_bolt(grade: Grade) -> Self {
        match grade {
            Grade::Sae2 => Self::Grade2,
            Grade::Sae5 => Self::Grade5,
            Grade::Sae8 | Grade::A574 => Self::Grade8,
            Grade::Iso4_6 | Grade::Iso4_8 | Grade::Iso5_6 | Grade::Iso5_8 => Self::Class5,
            Grade::Iso6_8 => Self::Class6,
            Grade::Iso8_8 => Self::Class8,
            Grade::Iso9_8 | Grade::Iso10_9 => Self::Class10,
            Grade::Iso12_9 => Self::Class12,
            Grade::A2_50 | Grade::A4_50 => Self::Stainless50,
            Grade::A2_70 | Grade::A4_70 => Self::Stainless70,
            Grade::A2_80 | Grade::A4_80 => Self::Stainless80,
        }
    }

    /// The stress, over the bolt's tensile stress area, that it must bear without stripping.
    ///
    /// SAE J995 by size and pitch; ISO 898-2:1992; ISO 3506-2. From memory: ISO 898-6 for fine pitches above class 5, and lock nut grades.
    pub fn proof(self, thread: Thread) -> Stress {
        let coarse = thread.is_coarse();
        let small = thread.diameter() <= Length::inches(1.0) + Length::metres(1e-9);
        let ksi = |of: [f64; 4]| {
            let [coarse_small, fine_small, coarse_large, fine_large] = of;
            StressUnit::Ksi.of(match (coarse, small) {
                (true, true) => coarse_small,
                (false, true) => fine_small,
                (true, false) => coarse_large,
                (false, false) => fine_large,
            })
        };
        // Sizes up to M7, M10, M16 and above; then the fine pitches up to M10, M16 and above.
        let mm = thread.diameter().as_mm();
        let mpa = |coarse_of: [f64; 4], fine_of: [f64; 3]| {
            let [to_7, to_10, to_16, above] = coarse_of;
            let [fine_10, fine_16, fine_above] = fine_of;
            Stress::mpa(match (coarse, mm) {
                (true, ..=7.0) => to_7,
                (true, ..=10.0) => to_10,
                (true, ..=16.0) => to_16,
                (true, _) => above,
                (false, ..=10.0) => fine_10,
                (false, ..=16.0) => fine_16,
                (false, _) => fine_above,
            })
        };
        match self {
            Self::Grade2 => ksi([90.0; 4]),
            Self::Grade5 | Self::LockB => ksi([120.0, 109.0, 105.0, 94.0]),
            Self::Grade8 | Self::LockC => ksi([150.0; 4]),
            Self::Jam5 => ksi([72.0, 65.0, 63.0, 57.0]),
            Self::Jam8 => ksi([90.0; 4]),
            Self::Class5 => mpa([580.0, 590.0, 610.0, 630.0], [690.0, 690.0, 720.0]),
            Self::Class6 => mpa([670.0, 680.0, 700.0, 720.0], [770.0, 780.0, 870.0]),
            Self::Class8 => mpa([855.0, 870.0, 880.0, 920.0], [955.0, 955.0, 1030.0]),
            Self::Class10 => mpa([1040.0, 1040.0, 1050.0, 1060.0], [1100.0, 1110.0, 1080.0]),
            Self::Class12 => mpa([1150.0, 1160.0, 1190.0, 1200.0], [1200.0; 3]),
            Self::Stainless50 => Stress::mpa(500.0),
            Self::Stainless70 => Stress::mpa(700.0),
            Self::Stainless80 => Stress::mpa(800.0),
            Self::Thin04 => Stress::mpa(380.0),
            Self::Thin05 => Stress::mpa(500.0),
        }
    }
}

/// MIL-N-25027 for fine inch threads, as US Army TM 55-1520-240-23-1 prints it; sizes other than 3/8-24 and 3/4-16 from memory: size in
/// sixteenths, threads per inch, tenths of lbf·in.
const PREVAILING: [(u8, u8, u16); 12] = [
    (4, 28, 35),
    (5, 24, 65),
    (6, 24, 95),
    (7, 20, 140),
    (8, 20, 180),
    (9, 18, 240),
    (10, 18, 320),
    (12, 16, 500),
    (14, 14, 700),
    (16, 12, 900),
    (18, 12, 1170),
    (20, 12, 1430),
];

/// The torque that a self-locking nut must still take to turn on a thread before it clamps: with less it is worn out and must be replaced. None
/// where no value is known here.
pub fn least_prevailing_torque(thread: Thread) -> Option<Torque> {
    let row = PREVAILING.iter().find(|row| {
        thread.is_inch()
            && row.0 == thread.size()
            && (thread.pitch() - Length::inches(1.0 / f64::from(row.1))).abs() < Length::mm(1e-6)
    })?;
    Some(TorqueUnit::PoundInch.of(f64::from(row.2) / 10.0))
}

/// What a self-locking nut asks of the hand, in a sentence or two.
pub fn lock_nut_note(thread: Thread) -> String {
    let turns =
        "The lock nut turns hard before it clamps: add the torque that running it down takes.";
    match least_prevailing_torque(thread) {
        None => turns.to_owned(),
        Some(least) => format!(
            "{turns} One that turns on with less than {} ({}) is worn out: use a new one.",
            write_torque(least, TorqueUnit::PoundInch),
            write_torque(least, TorqueUnit::NewtonMetre)
        ),
    }
}
