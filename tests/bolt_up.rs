//! Torques: the working, what a joint of a card is tightened to and why, sign-off, jam nuts, and the chart for the wall.

use halfturn::hardware::{Condition, Fastening, Grade, Mate, Nut, Thread, tighten};

fn fastening(thread: &str, grade: Grade, mate: Mate, condition: Condition) -> Fastening {
    Fastening::new(Thread::parse(thread).unwrap(), grade, mate, condition)
}

/// By hand: 0.1599 in² (ASME B1.1) × 120 ksi (SAE J429) = 19 190 lbf = 85.4 kN; bearing ring (0.93 × 19.05 + 14.29) / 2 = 16.00 mm.
#[test]
fn the_working_puts_the_numbers_in() {
    let nut = Mate::Nut(Nut::LockC);
    let bolt = fastening("1/2-20", Grade::Sae8, nut, Condition::ZincDry);
    let working = tighten(&bolt).unwrap().working();
    let lines: Vec<_> = working.lines().collect();
    assert_eq!(
        lines,
        [
            "F = 75 % of 85.4 kN, which the bolt bears = 64.0 kN",
            "T = K d F = 0.20 × 12.70 mm × 64.0 kN = 163 N·m, 120 lbf·ft",
            "scatter ±35 %: 106 N·m to 220 N·m may as well be right",
            "163 N·m gives 39.5 kN to 86.4 kN of clamp load: ±35 %, less 5 % of settling at the low end",
            "by friction: T = F (P/2π + 0.577 μ d2 + 0.5 μ Db)",
            "= 64.0 kN × (1.27 mm/2π + 0.577 × 0.20 × 11.88 mm + 0.5 × 0.20 × 16.00 mm) = 203 N·m",
            "= 64.0 kN × (1.27 mm/2π + 0.577 × 0.35 × 11.88 mm + 0.5 × 0.35 × 16.00 mm) = 346 N·m",
        ]
    );
    // No class of VDI 2230, no friction form.
    let cadmium = fastening("M12x1.25", Grade::Iso10_9, nut, Condition::CadmiumDry);
    assert_eq!(tighten(&cadmium).unwrap().working().lines().count(), 4);
}
