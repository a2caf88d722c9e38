//! How a person wants numbers typed and shown. Kept on the device, never part of a job.

use super::Unit;
use crate::quantity::{
    Angle, AngleUnit, Force, Length, LengthUnit, Torque, TorqueUnit, write_angle, write_force,
    write_length, write_torque, write_way,
};
use crate::reading::Estimate;
use serde::{Deserialize, Serialize};

/// What toe is typed and shown as.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToeShown {
    /// As an angle.
    #[default]
    Angle,
    /// As a length at the rim.
    Rim,
}

/// Ink on paper, or paper on ink.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Theme {
    /// Dark ink on light paper, which stays readable in sunlight.
    #[default]
    Light,
    /// Light ink on dark paper.
    Dark,
}

/// How large what is touched and read is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hands {
    /// As usual.
    #[default]
    Usual,
    /// Larger, for gloves, or for eyes without their glasses.
    Big,
}

/// How a person wants numbers typed and shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(deny_unknown_fields, default)]
pub struct Preferences {
    /// Lengths.
    pub length: LengthUnit,
    /// Angles.
    pub angle: AngleUnit,
    /// Toe.
    pub toe: ToeShown,
    /// Torques.
    pub torque: TorqueUnit,
    /// Colours.
    pub theme: Theme,
    /// Sizes.
    pub hands: Hands,
}

impl Preferences {
    /// A length as preferred.
    pub fn length(&self, length: Length) -> String {
        write_length(length, self.length)
    }

    /// A torque as preferred.
    pub fn torque(&self, torque: Torque) -> String {
        write_torque(torque, self.torque)
    }

    /// A force in the unit that goes with the preferred torque.
    pub fn force(&self, force: Force) -> String {
        write_force(force, self.torque.forces())
    }

    /// An angle as preferred.
    pub fn angle(&self, angle: Angle) -> String {
        write_angle(angle, self.angle)
    }

    /// An angle with its way in words.
    pub fn way(&self, angle: Angle, ways: [&str; 2]) -> String {
        write_way(angle, self.angle, ways)
    }

    /// Toe of one wheel as preferred. As a length it needs the distance across the rim; without it, it is written as an angle.
    pub fn toe(&self, toe: Angle, across: Option<Length>) -> String {
        let ways = ["toe-in", "toe-out"];
        let (ToeShown::Rim, Some(across)) = (self.toe, across) else {
            return self.way(toe, ways);
        };
        let length = self.length(across * toe.sin().abs());
        let [plus, minus] = ways;
        let way = match toe < Angle::ZERO {
            // What rounds to nothing has no way.
            _ if length == self.length(Length::ZERO) => return length,
            true => minus,
            false => plus,
        };
        format!("{length} {way}")
    }

    /// Camber as preferred.
    pub fn camber(&self, camber: Angle) -> String {
        self.way(camber, ["top out", "top in"])
    }

    /// A standard uncertainty, as it stands after `±`: one too small to be written is not written as none.
    pub fn doubt(&self, uncertainty: Angle) -> String {
        let least = match self.angle {
            AngleUnit::Degree => Angle::degrees(0.01),
            AngleUnit::Minute => Angle::degrees(1.0 / 60.0),
        };
        not_as_none(
            uncertainty,
            [uncertainty, Angle::ZERO, least].map(|one| self.angle(one)),
        )
    }

    /// Toe with its standard uncertainty.
    pub fn toe_with(&self, toe: Estimate, across: Option<Length>) -> String {
        let doubt = match (self.toe, across) {
            (ToeShown::Rim, Some(across)) => {
                let least = match self.length {
                    LengthUnit::Millimetre => Length::mm(0.1),
                    LengthUnit::Inch => Length::inches(0.001),
                };
                let at_rim = across * toe.uncertainty.sin();
                not_as_none(
                    toe.uncertainty,
                    [at_rim, Length::ZERO, least].map(|one| self.length(one)),
                )
            }
            _ => self.doubt(toe.uncertainty),
        };
        format!("{} ± {doubt}", self.toe(toe.value, across))
    }

    /// Camber with its standard uncertainty.
    pub fn camber_with(&self, camber: Estimate) -> String {
        format!(
            "{} ± {}",
            self.camber(camber.value),
            self.doubt(camber.uncertainty)
        )
    }

    /// A thrust angle with its standard uncertainty.
    pub fn thrust_with(&self, thrust: Estimate) -> String {
        format!(
            "{} ± {}",
            self.way(thrust.value, ["to the right", "to the left"]),
            self.doubt(thrust.uncertainty)
        )
    }

    /// A plain angle with its standard uncertainty.
    pub fn angle_with(&self, angle: Estimate) -> String {
        format!(
            "{} ± {}",
            self.angle(angle.value),
            self.doubt(angle.uncertainty)
        )
    }

    /// What a toe typed without a unit is in.
    pub fn toe_unit(&self) -> Unit {
        match self.toe {
            ToeShown::Angle => self.angle.into(),
            ToeShown::Rim => self.length.into(),
        }
    }
}

/// The words of an uncertainty, unless they are those of none: then it is less than the least that can be written.
fn not_as_none(uncertainty: Angle, [words, none, least]: [String; 3]) -> String {
    match uncertainty > Angle::ZERO && words == none {
        true => format!("less than {least}"),
        false => words,
    }
}
