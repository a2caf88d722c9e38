//! One threaded end of an adjuster: thread showing to engaged thread, and what is left each way.

use crate::hardware::{
    Engagement, Hand, Material, Pair, SHANK, Thread, engagement, equal_strength_length,
};
use crate::quantity::{Fixed, Length, LengthUnit, Stress, fixed, write_length};
use serde::Serialize;
use std::fmt;

/// What sums of lengths may be off by in floating point: far below anything measured.
pub(super) const SLACK: Length = Length::metres(1e-9);

/// A shank in its insert, locked by a jam nut.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ThreadedEnd {
    /// Which end it is, such as `outer`.
    pub name: String,
    /// Its thread.
    pub thread: Thread,
    /// Which way it screws in.
    #[serde(default)]
    pub hand: Hand,
    /// From the shoulder to the tip of the shank.
    pub shank: Length,
    /// Thickness of the jam nut.
    pub jam_nut: Length,
    /// Tip of the shank without a full thread.
    pub unthreaded_lead: Length,
    /// Threaded depth of the insert.
    pub insert_depth: Length,
    /// What the insert is made of.
    #[serde(default)]
    pub insert: Material,
    /// Tensile strength of the shank. Left out: that of class 8.8, 800 MPa.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shank_strength: Option<Stress>,
    /// Tensile strength of the insert. Left out: 470 MPa for steel, 260 MPa for aluminium.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insert_strength: Option<Stress>,
    /// Thread showing at which a new kit is set to be driven to alignment.
    pub base_showing: Length,
}

/// Why an end has no state.
#[derive(Clone, Debug, PartialEq)]
pub enum EndError {
    /// More thread shows than the shank has outside its jam nut.
    LongerThanShank {
        /// The most that can show.
        most: Length,
    },
    /// A length of the end that must be more than zero is not.
    NotPositive {
        /// Its name.
        field: &'static str,
    },
    /// A strength that no metal of an adjuster has.
    NoStrength {
        /// Its name.
        field: &'static str,
    },
    /// The insert is too short for the least, whatever shows.
    ShallowInsert {
        /// How deep it is.
        depth: Length,
        /// What must be engaged.
        least: Length,
    },
    /// At the base setting too little is engaged.
    BaseTooLong {
        /// What is engaged at the base.
        engaged: Length,
        /// The thread's diameter.
        diameter: Length,
        /// What must be.
        least: Length,
    },
}

impl fmt::Display for EndError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: &Length| write_length(*length, LengthUnit::Millimetre);
        match self {
            Self::LongerThanShank { most } => {
                write!(
                    f,
                    "More thread shows than this shank has. At most {} can show: measure from the jam nut to the shoulder.",
                    mm(most)
                )
            }
            Self::NotPositive { field } => {
                write!(f, "{field} must be more than zero, such as \"40 mm\".")
            }
            Self::NoStrength { field } => {
                write!(f, "{field} must be 50 MPa or more, such as \"800 MPa\".")
            }
            Self::ShallowInsert { depth, least } => {
                write!(
                    f,
                    "The insert is {} deep, and at least {} must be engaged: check thread, insert and its depth.",
                    mm(depth),
                    mm(least)
                )
            }
            Self::BaseTooLong {
                engaged,
                diameter,
                least,
            } => {
                write!(
                    f,
                    "At the base setting only {} is engaged, {} d, and {} is the least: show less thread.",
                    mm(engaged),
                    Fixed(*engaged / *diameter, 1),
                    mm(least)
                )
            }
        }
    }
}

/// How an end stands at a thread showing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EndState {
    /// Bare thread between jam nut and shoulder.
    pub showing: Length,
    /// Thread inside the insert.
    pub engaged: Length,
    /// What must be engaged.
    pub needed: Engagement,
    /// How much more may show before too little is engaged. Negative where too little is engaged now.
    pub spare: Length,
    /// How much less may show before the nut meets the shoulder or the tip meets the bottom of the insert.
    pub inward: Length,
}

impl EndState {
    /// Whether enough is engaged.
    pub fn is_safe(&self) -> bool {
        self.spare >= -SLACK
    }
}

impl ThreadedEnd {
    /// The strengths of shank and insert, as given or as taken.
    fn pair(&self) -> Pair {
        Pair {
            shank: self.shank_strength.unwrap_or(SHANK),
            material: self.insert,
            insert: self.insert_strength.unwrap_or(self.insert.tensile()),
        }
    }

    /// What must be engaged here.
    pub fn needed(&self) -> Engagement {
        engagement(self.thread, self.pair())
    }

    /// `engaged = shank − showing − jam nut − unthreaded lead`, with the numbers put in, and what is left each way, in millimetres and turns.
    pub fn engaged_working(&self, state: &EndState) -> String {
        format!(
            "{}: engaged = shank − showing − jam nut − lead = {} − {} − {} − {} = {} mm; the insert is {} mm deep\nspare before the least: {} mm = {} turns; room inwards: {} mm = {} turns",
            self.name,
            Fixed(self.shank.as_mm(), 1),
            Fixed(state.showing.as_mm(), 1),
            Fixed(self.jam_nut.as_mm(), 1),
            Fixed(self.unthreaded_lead.as_mm(), 1),
            Fixed(state.engaged.as_mm(), 1),
            Fixed(self.insert_depth.as_mm(), 1),
            fixed(state.spare.as_mm(), 1),
            fixed(state.spare / self.thread.pitch(), 1),
            fixed(state.inward.as_mm(), 1),
            fixed(state.inward / self.thread.pitch(), 1)
        )
    }

    /// How what must be engaged comes about: the shop rule and the strip length with the numbers put in, a line each, in millimetres and megapascals.
    pub fn needed_working(&self) -> String {
        let (thread, pair, needed) = (self.thread, self.pair(), self.needed());
        let mm = |length: Length| Fixed(length.as_mm(), 2);
        let mpa = |stress: Stress| Fixed(stress.as_mpa(), 0);
        let (bolt, nut) = (
            thread.bolt_shear_per_length(),
            thread.nut_shear_per_length(),
        );
        format!(
            "shop rule: {times} × d = {times} × {d} = {shop} mm\n\
             equal strength: Le = 2 At / (As/L) = 2 × {area} / {bolt} = {equal} mm\n\
             J = (As/L × shank) / (An/L × insert) = ({bolt} × {shank}) / ({nut} × {insert}) = {weaker}\n\
             strip length = Le × J, J at least 1 = {strip} mm\n\
             least = the longer = {least} mm: {rule}",
            times = Fixed(needed.shop / thread.diameter(), 0),
            d = mm(thread.diameter()),
            shop = mm(needed.shop),
            area = Fixed(thread.stress_area().as_square_metres() * 1e6, 2),
            bolt = mm(bolt),
            equal = mm(equal_strength_length(thread)),
            shank = mpa(pair.shank),
            nut = mm(nut),
            insert = mpa(pair.insert),
            weaker = Fixed(needed.weaker, 3),
            strip = mm(needed.strip),
            least = mm(needed.least),
            rule = needed.rule,
        )
    }

    /// Shank that could be engaged if nothing showed, beyond what the insert holds included.
    fn reach(&self) -> Length {
        self.shank - self.jam_nut - self.unthreaded_lead
    }

    /// Whether the insert is too short for the least, whatever shows.
    fn is_shallow(&self, needed: &Engagement) -> bool {
        self.insert_depth < needed.least - SLACK
    }

    /// How the end stands: `engaged = shank − showing − jam nut − unthreaded lead`, never more than the insert holds.
    ///
    /// # Errors
    /// More thread showing than the shank has.
    pub fn state(&self, showing: Length) -> Result<EndState, EndError> {
        self.state_by(self.needed(), showing)
    }

    /// The same, given what must be engaged: it is reckoned once for many showings.
    pub(super) fn state_by(
        &self,
        needed: Engagement,
        showing: Length,
    ) -> Result<EndState, EndError> {
        let inside = self.reach() - showing;
        if inside < -SLACK {
            return Err(EndError::LongerThanShank {
                most: self.reach().max(Length::ZERO),
            });
        }
        let engaged = inside.min(self.insert_depth);
        // An insert too short to hold the least never does, however far the shank goes through it.
        let spare = if self.is_shallow(&needed) {
            self.insert_depth
        } else {
            inside
        } - needed.least;
        Ok(EndState {
            showing,
            engaged,
            needed,
            spare,
            inward: self.inward(showing),
        })
    }

    /// How much less may show. A blind insert is taken to end a lead beyond its threads, so the tip never has to cut.
    fn inward(&self, showing: Length) -> Length {
        let bottom =
            self.insert_depth + self.unthreaded_lead - (self.shank - self.jam_nut - showing);
        showing.min(bottom.max(Length::ZERO))
    }

    /// What is wrong with the end as a card describes it.
    pub fn problems(&self) -> Vec<EndError> {
        let mut problems = Vec::new();
        for (field, length) in [
            ("shank", self.shank),
            ("jam nut", self.jam_nut),
            ("insert depth", self.insert_depth),
        ] {
            if length <= Length::ZERO {
                problems.push(EndError::NotPositive { field });
            }
        }
        for (field, strength) in [
            ("shank strength", self.shank_strength),
            ("insert strength", self.insert_strength),
        ] {
            if strength.is_some_and(|strength| strength < Stress::mpa(50.0)) {
                problems.push(EndError::NoStrength { field });
            }
        }
        match self.state(self.base_showing) {
            Err(error) => problems.push(error),
            Ok(state) if self.is_shallow(&state.needed) => {
                problems.push(EndError::ShallowInsert {
                    depth: self.insert_depth,
                    least: state.needed.least,
                });
            }
            Ok(state) if !state.is_safe() => {
                problems.push(EndError::BaseTooLong {
                    engaged: state.engaged,
                    diameter: self.thread.diameter(),
                    least: state.needed.least,
                });
            }
            Ok(_) => {}
        }
        problems
    }
}
