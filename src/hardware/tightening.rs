//! Tightening torque: what a wrench is set to, what clamp load that gives, and which member limits it.

use super::{Fit, Grade, GradeError, Nut, Thread, clearance_hole};
use crate::quantity::{
    Area, Fixed, Force, ForceUnit, Length, LengthUnit, Stress, StressUnit, Torque, TorqueUnit,
    read_length, write_force, write_torque,
};
use std::f64::consts::PI;
use std::fmt;

/// Finish and lubricant of threads and bearing faces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Condition {
    /// Plain or black steel, as received, dry.
    #[default]
    PlainDry,
    /// Zinc plated, dry.
    ZincDry,
    /// Cadmium plated, dry.
    CadmiumDry,
    /// Oiled, whatever the finish.
    Oiled,
    /// Molybdenum disulphide paste or anti-seize.
    AntiSeize,
    /// Waxed, or plated with a wax finish.
    Waxed,
    /// Liquid threadlocker.
    Threadlocker,
}

/// How much of a torque turns into clamp load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Nut factor K of `T = K d F`, from 0.05 to 0.5.
    pub nut_factor: f64,
    /// By what share the clamp load of one torque scatters either way.
    pub scatter: f64,
    /// Least and most friction coefficient of thread and bearing face, where VDI 2230 has a class for it.
    pub coefficient: Option<(f64, f64)>,
    /// Where the nut factor comes from.
    pub source: &'static str,
}

impl Condition {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::PlainDry,
        Self::ZincDry,
        Self::CadmiumDry,
        Self::Oiled,
        Self::AntiSeize,
        Self::Waxed,
        Self::Threadlocker,
    ];

    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::PlainDry => "plain steel, dry",
            Self::ZincDry => "zinc plated, dry",
            Self::CadmiumDry => "cadmium plated, dry",
            Self::Oiled => "oiled",
            Self::AntiSeize => "moly or anti-seize",
            Self::Waxed => "waxed",
            Self::Threadlocker => "threadlocker",
        }
    }

    /// The condition of these words of a card, such as `zinc plated, oiled`. The lubricant counts before the finish. None for words that are not
    /// understood, and for coatings whose friction is their maker's to tell.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.to_ascii_lowercase();
        let says = |words: &[&str]| words.iter().any(|word| holds(&text, word));
        // A finish that some word takes back is not the bolt's.
        let is_bare = says(&[
            "not plated",
            "unplated",
            "without plating",
            "no zinc",
            "not zinc",
            "without zinc",
            "zinc-free",
            "no cadmium",
            "not cadmium",
            "without cadmium",
            "cadmium-free",
        ]);
        let condition = if says(&["threadlock", "thread lock"]) {
            Self::Threadlocker
        } else if says(&["anti-seize", "anti seize", "antiseize"])
            // Chromoly is a steel.
            || (says(&["moly"]) && !says(&["chrom"]))
        {
            Self::AntiSeize
        } else if says(&["wax"]) {
            Self::Waxed
        } else if says(&[
            "ptfe",
            "film",
            "lubricant",
            "flake",
            "nickel",
            "chrom",
            "copper",
            "silver",
        ]) || (says(&["coat"]) && !says(&["uncoated"]))
        {
            // Finishes with a friction of their own, which only their makers know.
            return None;
        } else if says(&["oil", "lubricated", "grease"])
            && !says(&[
                "not oiled",
                "no oil",
                "never oil",
                "free of oil",
                "oil-free",
                "not lubricated",
                "unlubricated",
            ])
        {
            Self::Oiled
        } else if says(&["cadmium"]) && !is_bare {
            Self::CadmiumDry
        } else if says(&["zinc", "plated"]) && !is_bare {
            Self::ZincDry
        } else if says(&["plain", "black", "dry"]) {
            Self::PlainDry
        } else {
            return None;
        };
        // A lubricant that some word takes back may be there or not: nothing is guessed.
        let taken_back = says(&[
            "no ",
            "not ",
            "never",
            "without",
            "free of",
            "grease-free",
            "degreas",
            "unoil",
            "ungreas",
            "unwax",
        ]);
        (condition.is_dry() || !taken_back).then_some(condition)
    }

    /// Whether nothing eases the threads.
    const fn is_dry(self) -> bool {
        matches!(self, Self::PlainDry | Self::ZincDry | Self::CadmiumDry)
    }

    /// Its friction, on steel or on stainless steel.
    ///
    /// The scatter is that of a torque wrench by hand: ±35 % unlubricated, ±30 % cadmium plated, ±25 % lubricated (NASA TM-106943 and the
    /// criteria it quotes). Friction coefficients are the classes of VDI 2230.
    pub const fn friction(self, stainless: bool) -> Friction {
        let (nut_factor, scatter, coefficient, source) = match self {
            _ if stainless && self.is_dry() => (
                0.35,
                0.35,
                Some((0.30, 0.45)),
                "stainless on stainless, dry: K 0.30 to 0.50 published",
            ),
            Self::PlainDry => (
                0.20,
                0.35,
                Some((0.14, 0.24)),
                "K 0.20 for plain steel as received (IFI; NASA TM-106943)",
            ),
            Self::ZincDry => (
                0.20,
                0.35,
                Some((0.20, 0.35)),
                "K 0.20 for zinc plated (Shigley and Mischke, Mechanical Engineering Design)",
            ),
            Self::CadmiumDry => (
                0.16,
                0.30,
                None,
                "K 0.16 for cadmium plated (Shigley and Mischke, Mechanical Engineering Design)",
            ),
            Self::Oiled => (
                0.15,
                0.25,
                Some((0.08, 0.16)),
                "K 0.15 for lubricated steel (IFI; the upper end of NASA TM-106943)",
            ),
            Self::AntiSeize => (
                0.12,
                0.25,
                Some((0.04, 0.10)),
                "K 0.12 for anti-seize (Shigley and Mischke, Mechanical Engineering Design); NASA TM-106943 has 0.11 at the low end",
            ),
            Self::Waxed => (
                0.10,
                0.25,
                Some((0.04, 0.10)),
                "K 0.10 for waxed nuts (IFI)",
            ),
            Self::Threadlocker => (
                0.17,
                0.35,
                Some((0.14, 0.24)),
                "K 0.17, the middle of published values from 0.14 to 0.20: ask the adhesive's maker",
            ),
        };
        Friction {
            nut_factor,
            scatter,
            coefficient,
            source,
        }
    }
}

/// Whether words hold a word. The standard library's search is made for long texts, and larger than all that is searched here.
pub(crate) fn holds(text: &str, word: &str) -> bool {
    text.as_bytes()
        .windows(word.len())
        .any(|here| here == word.as_bytes())
}

/// What a bolt screws into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Mate {
    /// A nut.
    Nut(Nut),
    /// A tapped hole.
    Tapped {
        /// Tensile strength of what it is tapped in.
        tensile: Stress,
        /// Full thread engaged.
        engaged: Length,
    },
    /// Not said, or not understood: the bolt alone is counted.
    Unknown,
}

impl Mate {
    /// What these words of a card name, such as `all-metal lock nut, grade C`, `thin nut, class 05` or `tapped in aluminium, 24 mm deep`.
    pub fn parse(text: &str) -> Self {
        let text = text.to_ascii_lowercase();
        if holds(&text, "tapped") {
            let tensile = if holds(&text, "alumin") {
                super::ALUMINIUM
            } else if holds(&text, "iron") {
                super::CAST_IRON
            } else if holds(&text, "steel") {
                super::STEEL
            } else {
                return Self::Unknown;
            };
            return depth(&text).map_or(Self::Unknown, |engaged| Self::Tapped { tensile, engaged });
        }
        let mut words = text.split([' ', ',', ';']);
        while let Some(word) = words.next() {
            let class = match word {
                "class" | "grade" => words.next().unwrap_or_default(),
                _ => continue,
            };
            let thin = holds(&text, "jam") || holds(&text, "thin");
            let nut = match (word, class) {
                (_, "04") => Nut::Thin04,
                (_, "05") => Nut::Thin05,
                ("grade", "5") if thin => Nut::Jam5,
                ("grade", "8") if thin => Nut::Jam8,
                _ if thin => return Self::Unknown,
                ("grade", "2") => Nut::Grade2,
                ("grade", "5") => Nut::Grade5,
                ("grade", "8") => Nut::Grade8,
                ("grade", "b") => Nut::LockB,
                ("grade", "c") => Nut::LockC,
                ("class", "5") => Nut::Class5,
                ("class", "6") => Nut::Class6,
                ("class", "8") => Nut::Class8,
                ("class", "10") => Nut::Class10,
                ("class", "12") => Nut::Class12,
                (_, "a2-50" | "a4-50") => Nut::Stainless50,
                (_, "a2-70" | "a4-70") => Nut::Stainless70,
                (_, "a2-80" | "a4-80") => Nut::Stainless80,
                _ => return Self::Unknown,
            };
            return Self::Nut(nut);
        }
        Self::Unknown
    }
}

/// The depth that words give between the last comma and its word: `24 mm deep`. A comma between two digits is a decimal one.
fn depth(text: &str) -> Option<Length> {
    let at = text
        .as_bytes()
        .windows(4)
        .position(|word| word == b"deep")?;
    let before = text.get(..at)?;
    let parts = |three: &[u8]| match three {
        [a, b',', b] => !(a.is_ascii_digit() && b.is_ascii_digit()),
        [_, middle, _] => *middle == b';',
        _ => false,
    };
    let comma = before.as_bytes().windows(3).rposition(parts);
    let depth = before.get(comma.map_or(0, |comma| comma + 2)..)?;
    read_length(depth, LengthUnit::Millimetre).ok()
}

/// A joint to be tightened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fastening {
    /// Its thread.
    pub thread: Thread,
    /// Grade of the bolt or screw.
    pub grade: Grade,
    /// Length under the head, where known.
    pub length: Option<Length>,
    /// What it screws into.
    pub mate: Mate,
    /// Finish and lubricant.
    pub condition: Condition,
    /// Share of the weakest member's load to be reached, from 0.1 to 0.9.
    pub share: f64,
    /// A nut factor of one's own instead of the condition's, from 0.05 to 0.5.
    pub nut_factor: Option<f64>,
}

/// The usual share of proof load for a joint that may be taken apart again (SAE, IFI and ISO 898 based tables).
pub const USUAL_SHARE: f64 = 0.75;

impl Fastening {
    /// A joint in the usual share of proof and the condition's own nut factor.
    pub const fn new(thread: Thread, grade: Grade, mate: Mate, condition: Condition) -> Self {
        Self {
            thread,
            grade,
            length: None,
            mate,
            condition,
            share: USUAL_SHARE,
            nut_factor: None,
        }
    }
}

/// A member of a joint that can fail first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Member {
    /// The bolt or screw.
    Bolt,
    /// A full nut, weaker than the bolt.
    Nut,
    /// A thin nut.
    ThinNut,
    /// The thread in a tapped hole.
    TappedHole,
}

impl Member {
    /// In words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bolt => "the bolt",
            Self::Nut => "the nut",
            Self::ThinNut => "the thin nut",
            Self::TappedHole => "the tapped hole",
        }
    }
}

/// What the friction form asks for the same clamp load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrictionForm {
    /// At the least and the most friction of the class.
    pub torque: (Torque, Torque),
    /// Those friction coefficients.
    pub coefficient: (f64, f64),
    /// Mean diameter of the bearing face.
    pub bearing: Length,
}

/// A tightening torque with everything it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightening {
    /// The joint.
    pub joint: Fastening,
    /// What the wrench is set to.
    pub torque: Torque,
    /// Torques that may as well be right, for the published scatter.
    pub range: (Torque, Torque),
    /// Clamp load at that torque and the usual friction.
    pub clamp: Force,
    /// Clamp load that the same torque may give: least, after 5 % of settling, and most.
    pub clamp_range: (Force, Force),
    /// Proof load of the bolt.
    pub proof: Force,
    /// Load at which the bolt yields.
    pub yielding: Force,
    /// What limits the joint.
    pub weakest: Member,
    /// Its load: proof load of bolt or nut, or what a tapped thread bears with a bolt's own margin before it strips.
    pub limit: Force,
    /// Nut factor taken.
    pub nut_factor: f64,
    /// The same clamp load by coefficients of friction, where VDI 2230 has a class for the condition.
    pub friction: Option<FrictionForm>,
    /// What it rests on, in words.
    pub basis: String,
    /// What should be known, in sentences.
    pub notes: Vec<String>,
}

/// Why there is no torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TighteningError {
    /// The grade does not fit the size.
    Grade(GradeError),
    /// The share of proof is outside 10 to 90 %.
    Share,
    /// The nut factor is outside 0.05 to 0.5.
    NutFactor,
    /// Nothing of the tapped hole is engaged, or more than three diameters, or the metal has no strength.
    Tapped,
}

impl fmt::Display for TighteningError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Grade(error) => return error.fmt(f),
            Self::Share => "The share of proof load lies between 10 % and 90 %: 75 % is usual.",
            Self::NutFactor => "The nut factor K lies between 0.05 (slippery) and 0.5 (galling): 0.2 is usual for dry steel.",
            Self::Tapped => "Thread engaged in a tapped hole lies between half a diameter and three, in metal of 50 to 2000 MPa.",
        })
    }
}

/// The torque of a joint: `T = K d F`, with F the asked share of the load that its weakest member bears.
///
/// The bolt's load is its proof load; a full nut's is the proof load of the strongest bolt it is made for (ISO 898-2, SAE J995); a thin nut's
/// is its own proof load, so that a jam nut never gets the torque of a full one; a tapped hole's is the load at which its thread shears at half
/// the metal's tensile strength (Machinery's Handbook), kept as far from that as the bolt's proof is from its tensile strength.
///
/// # Errors
/// A grade not made in this size; a share, nut factor or tapped hole out of range.
pub fn tighten(joint: &Fastening) -> Result<Tightening, TighteningError> {
    let Fastening {
        thread,
        grade,
        share,
        ..
    } = *joint;
    if !(0.1..=0.9).contains(&share) {
        return Err(TighteningError::Share);
    }
    let strength = grade
        .strength(thread, joint.length)
        .map_err(TighteningError::Grade)?;
    let friction = joint.condition.friction(grade.is_stainless());
    let nut_factor = joint.nut_factor.unwrap_or(friction.nut_factor);
    if !(0.05..=0.5).contains(&nut_factor) {
        return Err(TighteningError::NutFactor);
    }
    let area = thread.nominal_stress_area();
    let proof = strength.proof * area;
    let mut notes = Vec::new();
    let (member, load) = match joint.mate {
        Mate::Unknown => {
            notes.push(MATE_UNKNOWN.into());
            (Member::Bolt, proof)
        }
        Mate::Nut(nut) => match nut.made_for() {
            None => (Member::ThinNut, nut.proof(thread) * area),
            // Where its bolt is not made in this size, what the nut itself bears.
            Some(made_for) => (
                Member::Nut,
                made_for
                    .strength(thread, None)
                    .map_or(nut.proof(thread), |strength| strength.proof)
                    * area,
            ),
        },
        Mate::Tapped { tensile, engaged } => {
            let d = thread.diameter();
            let fits = engaged >= d * 0.5 && engaged <= d * 3.0;
            if !fits || !(50.0..=2000.0).contains(&tensile.as_mpa()) {
                return Err(TighteningError::Tapped);
            }
            let strip = tensile / 2.0 * (thread.nut_shear_per_length() * engaged);
            (
                Member::TappedHole,
                strip * (strength.proof / strength.tensile),
            )
        }
    };
    let (weakest, limit) = if load < proof {
        (member, load)
    } else {
        (Member::Bolt, proof)
    };
    let clamp = limit * share;
    let d = thread.diameter();
    let torque = clamp * (d * nut_factor);
    let yielding = strength.yielding * area;
    let scatter = friction.scatter;
    let clamp_range = (clamp * ((1.0 - scatter) * SETTLED), clamp * (1.0 + scatter));
    if clamp_range.1 > yielding {
        notes.push("With the least friction published this torque can yield the bolt: take a smaller share of proof.".into());
    }
    notes.extend(warnings(joint, weakest));
    let percent = Fixed(share * 100.0, 0);
    let own = if joint.nut_factor.is_some() {
        "a nut factor of your own"
    } else {
        friction.source
    };
    let limited = match weakest {
        Member::Bolt => format!(
            "{percent} % of the proof load of {} ({})",
            grade.name(),
            grade.standard()
        ),
        Member::Nut | Member::ThinNut => format!(
            "{percent} % of what {} bears, not of the bolt's proof load",
            weakest.name()
        ),
        Member::TappedHole => {
            format!("{percent} % of what the tapped thread bears with the bolt's own margin")
        }
    };
    Ok(Tightening {
        joint: *joint,
        torque,
        range: (torque * (1.0 - scatter), torque * (1.0 + scatter)),
        clamp,
        clamp_range,
        proof,
        yielding,
        weakest,
        limit,
        nut_factor,
        friction: friction.coefficient.map(|coefficient| {
            let bearing = bearing_diameter(thread);
            let at = |coefficient: f64| {
                torque_by_friction(thread, clamp, coefficient, coefficient, bearing)
            };
            FrictionForm {
                torque: (at(coefficient.0), at(coefficient.1)),
                coefficient,
                bearing,
            }
        }),
        basis: format!("{limited}; {}: {own}", joint.condition.name()),
        notes,
    })
}

/// The note where a bolt alone is counted.
pub const MATE_UNKNOWN: &str = "The nut or tapped hole is not known: only the bolt is counted. Use a nut made for this grade, or ask the kit's maker.";

/// What stays of the clamp load after the faces have settled by 5 % (NASA TM-106943, equation 16).
const SETTLED: f64 = 1.0 / 1.05;

fn warnings(joint: &Fastening, weakest: Member) -> Vec<String> {
    let (thread, grade) = (joint.thread, joint.grade);
    let mut notes = Vec::new();
    let mut say = |text: &str| notes.push(text.to_owned());
    match weakest {
        Member::ThinNut => say(
            "A thin nut strips long before the bolt is loaded: it locks, it does not clamp a joint. Never give it a full nut's torque.",
        ),
        Member::Nut => say(
            "The nut is weaker than the bolt and sets the limit: fit the nut made for this grade to use the bolt.",
        ),
        Member::TappedHole => say("The tapped thread is weaker than the bolt and sets the limit."),
        Member::Bolt => {}
    }
    if grade.is_inch() != thread.is_inch() && !grade.is_stainless() {
        say(
            "Grade and thread are of two systems. That is allowed: the strength is the grade's, the area the thread's. Make sure that the head says so.",
        );
    }
    if grade == Grade::Sae2 && joint.length.is_none() {
        say("Grade 2 longer than 6 in is weaker: this is for 6 in or shorter.");
    }
    if grade.is_stainless() {
        say(
            "Stainless threads gall: use anti-seize, turn slowly, and replace what has seized. The standard has no proof load: the 0.2 % yield strength stands for it.",
        );
    }
    let plated = matches!(joint.condition, Condition::ZincDry | Condition::CadmiumDry);
    if matches!(grade, Grade::Iso12_9 | Grade::A574) && plated {
        say(
            "Plating can embrittle a steel as hard as this, and it then breaks hours after tightening (ISO 4042): use it plain, or zinc flake coated.",
        );
    }
    notes
}

/// Mean diameter of the ring on which a hex head or nut turns: between its washer face, 0.93 of the flats (ISO 4014), and a hole of the
/// normal series.
pub fn bearing_diameter(thread: Thread) -> Length {
    let d = thread.diameter();
    let across = super::hex_nut(thread).map_or(d * 1.5, |nut| nut.across_flats);
    let hole = clearance_hole(thread, Fit::Normal).map_or(d * 1.1, |hole| hole.nominal);
    (across * 0.93 + hole) / 2.0
}

/// Torque for a clamp load by coefficients of friction, `T = F (P/2π + 0.577 μt d2 + μb Db/2)` for 60° threads (VDI 2230, Machinery's Handbook,
/// NASA RP-1228).
pub fn torque_by_friction(
    thread: Thread,
    clamp: Force,
    thread_friction: f64,
    bearing_friction: f64,
    bearing: Length,
) -> Torque {
    clamp
        * (thread.pitch() / (2.0 * PI)
            + thread.pitch_diameter() * (thread_friction / 3.0_f64.sqrt())
            + bearing * (bearing_friction / 2.0))
}

/// The clamp load at which tension and torsion together use so much of the yield strength, by von Mises (VDI 2230):
/// `ν Rp0.2 A0 / √(1 + 3 (3/2 · d2/d0 · (P/π d2 + 1.155 μ))²)` over the circle between pitch and root diameter, `d0 = (d2 + d3)/2`.
pub fn assembly_preload(
    thread: Thread,
    yielding: Stress,
    thread_friction: f64,
    utilisation: f64,
) -> Force {
    let pitch_diameter = thread.pitch_diameter();
    // d3 = d − 17/24 √3 P, the root of the bolt (ISO 724).
    let root = thread.diameter() - thread.pitch() * (17.0 / 24.0 * 3.0_f64.sqrt());
    let across = (pitch_diameter + root) / 2.0;
    let lead = thread.pitch() / (pitch_diameter * PI) + 2.0 / 3.0_f64.sqrt() * thread_friction;
    let torsion = 1.5 * (pitch_diameter / across) * lead;
    yielding * utilisation * (across * across * (PI / 4.0)) / (1.0 + 3.0 * torsion * torsion).sqrt()
}

/// What a torque given by a kit's maker says beside the computed one. The maker's torque holds all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Given {
    /// Within the scatter of the computed one.
    Agrees,
    /// Below the scatter.
    Low,
    /// Above the scatter.
    High,
    /// At the usual friction it loads the weakest member above its limit.
    AboveLimit,
    /// At the usual friction it yields the bolt.
    AboveYield,
}

impl Tightening {
    /// How it comes about: the formulas with the numbers put in, a line each, in units that multiply as they stand: newton metres, or pounds and inches
    /// where those are preferred.
    pub fn working(&self, preferred: TorqueUnit) -> String {
        let inch = preferred.forces() == ForceUnit::PoundForce;
        let unit = if inch {
            TorqueUnit::PoundInch
        } else {
            TorqueUnit::NewtonMetre
        };
        let force = |force: Force| write_force(force, unit.forces());
        let torque = |torque: Torque| write_torque(torque, unit);
        let (size, across) = if inch { (4, "in") } else { (3, "mm") };
        let length = |length: Length| {
            Fixed(
                if inch {
                    length.as_inches()
                } else {
                    length.as_mm()
                },
                size,
            )
        };
        let stress = |stress: Stress| {
            if inch {
                format!("{} ksi", Fixed(StressUnit::Ksi.count(stress), 1))
            } else {
                format!("{} MPa", Fixed(stress.as_mpa(), 0))
            }
        };
        let area = |area: Area| {
            let area = area.as_square_metres();
            if inch {
                format!("{} in²", Fixed(area / (0.0254 * 0.0254), 4))
            } else {
                format!("{} mm²", Fixed(area * 1e6, 1))
            }
        };
        let thread = self.joint.thread;
        let stress_area = thread.nominal_stress_area();
        let limit = match (
            self.joint.mate,
            self.joint.grade.strength(thread, self.joint.length),
        ) {
            (Mate::Tapped { tensile, engaged }, Ok(strength))
                if self.weakest == Member::TappedHole =>
            {
                format!(
                    "strips at Rm/2 × An × proof/tensile = {}/2 × {} × {}",
                    stress(tensile),
                    area(thread.nut_shear_per_length() * engaged),
                    Fixed(strength.proof / strength.tensile, 3)
                )
            }
            _ => {
                let proof =
                    Stress::pascals(self.limit.as_newtons() / stress_area.as_square_metres());
                format!(
                    "proof stress × As = {} × {}",
                    stress(proof),
                    area(stress_area)
                )
            }
        };
        let mut formula = format!(
            "{}: {limit} = {}\nF = share × that = {} × {} = {}\nT = K d F = {} × {} {across} × {} = {}",
            self.weakest.name(),
            force(self.limit),
            Fixed(self.joint.share, 2),
            force(self.limit),
            force(self.clamp),
            Fixed(self.nut_factor, 3),
            length(thread.diameter()),
            force(self.clamp),
            torque(self.torque)
        );
        if preferred != unit {
            formula = format!("{formula} = {}", write_torque(self.torque, preferred));
        }
        let (least, most) = self.clamp_range;
        formula.push_str(&format!(
            "\nthat torque clamps {} to {}: ±{} %, less 5 % of settling at the low end",
            force(least),
            force(most),
            Fixed((self.range.1 / self.torque - 1.0) * 100.0, 0)
        ));
        if let Some(friction) = self.friction {
            formula.push_str("\n\nby friction, the same F:\nT = F (P/2π + 0.577 μ d2 + μ Db/2)");
            let (least, most) = friction.coefficient;
            for (coefficient, asked) in [(least, friction.torque.0), (most, friction.torque.1)] {
                formula.push_str(&format!(
                    "\nμ {mu}: {} × ({}/6.283 + 0.577 × {mu} × {} + {mu} × {}/2) {across} = {}",
                    force(self.clamp),
                    length(thread.pitch()),
                    length(thread.pitch_diameter()),
                    length(friction.bearing),
                    torque(asked),
                    mu = Fixed(coefficient, 2)
                ));
            }
        }
        formula
    }

    /// What a given torque says beside this one.
    pub fn judge(&self, given: Torque) -> Given {
        let clamp = self.clamp * (given / self.torque);
        if clamp > self.yielding {
            Given::AboveYield
        } else if clamp > self.limit {
            Given::AboveLimit
        } else if given > self.range.1 {
            Given::High
        } else if given < self.range.0 {
            Given::Low
        } else {
            Given::Agrees
        }
    }

    /// That in a sentence; nothing where they agree.
    pub fn judgement(&self, given: Torque) -> Option<String> {
        let weakest = self.weakest.name();
        Some(match self.judge(given) {
            Given::Agrees => return None,
            Given::Low => "It is below the published scatter of the computed torque: the joint may loosen. Ask the kit's maker.".to_owned(),
            Given::High => "It is above the published scatter of the computed torque. Ask the kit's maker.".to_owned(),
            Given::AboveLimit => format!("At usual friction it loads {weakest} beyond what it is proved for. Ask the kit's maker before tightening."),
            Given::AboveYield => "At usual friction it yields the bolt. Do not tighten to it: ask the kit's maker.".to_owned(),
        })
    }
}
