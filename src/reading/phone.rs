//! A phone as a gauge: the tilt of its edge, and what two positions of it come to.
//!
//! The phone's edge lies along a straight bar that stands across a rim, or lies across the floor, so that its screen looks backward or forward
//! along the car. What is read is the angle, in the plane of the screen, between that edge and the vertical or the horizontal.
//!
//! Of the two ways in which a page is told how a phone is held, `deviceorientation` is read: its angles are reported to 0.1°, while the gravity of
//! `devicemotion` is reported to 0.1 m/s², which is 0.6° (W3C, *Device Orientation and Motion*, the events' own sections).

use super::Estimate;
use crate::quantity::Angle;
use std::f64::consts::FRAC_PI_2;
use std::fmt;

/// How many looks, spread evenly over [`Watch::SECONDS`], make one reading.
const LOOKS: u32 = 30;
/// The largest standard deviation of a phone that is held still (common practice, no source).
const STILL: Angle = Angle::degrees(0.1);
/// The coarsest step of which a camber is worth reading (common practice, no source).
const COARSE: Angle = Angle::degrees(1.0);
/// How far an edge may be off the vertical and the horizontal, and the screen off upright. No wheel and no floor to be measured is further off,
/// and it keeps the angle that is read within 6 % of what a step of the sensor is worth.
const ASKEW: Angle = Angle::degrees(20.0);
/// How far a screen that was turned round may be off half a turn: the sensor's heading drifts, and is no part of the result.
const TURNED: Angle = Angle::degrees(45.0);
/// No phone's own zero is larger (common practice, no source).
const ZERO: Angle = Angle::degrees(5.0);
/// How squarely a phone is held along the car, as 1 − cos 10°: so much of a lean may be missing (common practice, no source).
const SQUARE: f64 = 0.015;

/// Why a phone's tilt is not a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TiltError {
    /// An angle is not there.
    Absent,
    /// An angle is no angle.
    NoAngle,
    /// The screen looks up or down.
    Lying,
    /// The edge is along neither the vertical nor the horizontal.
    Askew,
    /// The sensor has given one value only.
    Frozen,
    /// The sensor steps too coarsely, or moved too little to show its step.
    Coarse,
    /// Not yet looked at for long enough.
    Short,
    /// The phone moves.
    Moving,
    /// The screen was not turned to look the other way.
    NotTurned,
    /// The two positions are further apart than any phone's own zero.
    OtherEdge,
}

impl fmt::Display for TiltError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Absent => "This phone or browser does not say how it is held. Use a level or a plumb line.",
            Self::NoAngle => "The phone gives no sensible angle. Take both positions again, or use a level.",
            Self::Lying => "The phone lies flat. Stand it on its edge, the screen looking backward or forward along the car.",
            Self::Askew => "The phone's edge is more than 20° off. Lay a long edge along the bar.",
            Self::Frozen => "The sensor has given one number only. Move the phone about; if the number stays, use a level.",
            Self::Coarse => "The sensor was only seen to step by more than 1°. Move the phone about; if it stays so, use a level.",
            Self::Short => "Hold it still a little longer.",
            Self::Moving => "The phone moves. Hold it against the bar.",
            Self::NotTurned => "In B the screen must look the other way than in A. Turn the phone round, then take A and B again.",
            Self::OtherEdge => "A and B differ by more than a phone's own zero. Keep the same edge on the bar, without its case, and take both again.",
        })
    }
}

/// How a phone is held, as `deviceorientation` says it: turned about its z axis by alpha, then about its x by beta, then about its y by gamma,
/// from lying face up with its top to the north; x is to the right of its screen, y to its top, z out of it. The axes stay with the phone when
/// its picture turns to landscape (W3C, *Device Orientation and Motion*, `deviceorientation` event).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// About z. Its beginning is arbitrary.
    pub alpha: Angle,
    /// About x.
    pub beta: Angle,
    /// About y.
    pub gamma: Angle,
}

impl Held {
    /// From an event's angles, in degrees.
    ///
    /// # Errors
    /// An angle is missing or is none.
    pub fn of_degrees(
        alpha: Option<f64>,
        beta: Option<f64>,
        gamma: Option<f64>,
    ) -> Result<Self, TiltError> {
        let angle = |degrees: Option<f64>| match degrees {
            None => Err(TiltError::Absent),
            Some(degrees) if degrees.abs() <= 360.0 => Ok(Angle::degrees(degrees)),
            Some(_) => Err(TiltError::NoAngle),
        };
        Ok(Self {
            alpha: angle(alpha)?,
            beta: angle(beta)?,
            gamma: angle(gamma)?,
        })
    }

    /// By how much the phone is turned clockwise in the plane of its screen, seen by who looks at it, from standing upright.
    ///
    /// Up in the phone's own axes is `(−cos β sin γ, sin β, cos β cos γ)`, the last row of the rotation's matrix, so the angle is
    /// `atan2(cos β sin γ, sin β)`. It stays defined where beta is a right angle, at which alpha and gamma alone are not.
    fn turn(&self) -> Result<Angle, TiltError> {
        let (across, along) = (self.beta.cos() * self.gamma.sin(), self.beta.sin());
        let out = self.beta.cos() * self.gamma.cos();
        if out.abs() > ASKEW.sin() {
            return Err(TiltError::Lying);
        }
        Ok(Angle::radians(across.atan2(along)))
    }

    /// The way the screen looks, counted anticlockwise from above: of the z axis in the ground's plane.
    fn facing(&self) -> Angle {
        let Self { alpha, beta, gamma } = self;
        let east = alpha.cos() * gamma.sin() + alpha.sin() * beta.sin() * gamma.cos();
        let north = alpha.sin() * gamma.sin() - alpha.cos() * beta.sin() * gamma.cos();
        Angle::radians(north.atan2(east))
    }
}

/// What is left of an angle after whole right angles: from −45° to 45°.
fn off_square(angle: Angle) -> Angle {
    let radians = angle.as_radians();
    Angle::radians(radians - (radians / FRAC_PI_2).round() * FRAC_PI_2)
}

/// What one position of the phone was read as.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tilt {
    /// The mean angle of its edges off the vertical and the horizontal, clockwise positive, seen by who looks at the screen.
    pub mean: Angle,
    /// The standard deviation.
    pub spread: Angle,
    /// The least step by which the sensor's angles were seen to differ.
    pub step: Angle,
    /// How many looks went into it.
    pub looks: u32,
}

impl Tilt {
    /// The standard uncertainty, `√(step²/12 + spread²)`: the step as a rectangular distribution (JCGM 100:2008, F.2.2.1). The spread is not
    /// divided by the number of looks: a phone filters its sensor, so that they are not independent.
    fn uncertainty(&self) -> Angle {
        let step = self.step.as_radians() / 12.0_f64.sqrt();
        Angle::radians(step.hypot(self.spread.as_radians()))
    }

    /// Whether it was held still. A sensor of coarse steps flickers by them.
    pub fn is_still(&self) -> bool {
        self.spread <= STILL.max(self.step)
    }

    /// Itself, where it is a reading.
    ///
    /// # Errors
    /// Not still, looked at too short, off the bar, or of a sensor without a step or with a coarse one.
    pub fn reading(&self) -> Result<Self, TiltError> {
        if self.step <= Angle::ZERO {
            Err(TiltError::Frozen)
        } else if self.step > COARSE {
            Err(TiltError::Coarse)
        } else if self.mean.abs() > ASKEW {
            Err(TiltError::Askew)
        } else if !self.is_still() {
            Err(TiltError::Moving)
        } else if self.looks < LOOKS {
            Err(TiltError::Short)
        } else {
            Ok(*self)
        }
    }
}

/// What a phone says while it is watched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// Its tilt over the last seconds.
    pub tilt: Tilt,
    /// The way its screen looks, counted anticlockwise from above.
    pub facing: Angle,
}

/// A phone that is watched, by a look at even times: a browser need not report a phone that stays as it is.
#[derive(Clone, Debug, Default)]
pub struct Watch {
    last: Option<Held>,
    recent: Vec<Held>,
    step: Option<f64>,
}

impl Watch {
    /// How long one reading takes.
    pub const SECONDS: u32 = 3;
    /// From one look to the next, in milliseconds.
    pub const EVERY: u32 = 1000 * Self::SECONDS / LOOKS;

    /// Takes what an event told.
    pub fn told(&mut self, held: Held) {
        if let Some(last) = self.last {
            for (now, before) in [(held.beta, last.beta), (held.gamma, last.gamma)] {
                let step = (now - before).abs().as_radians();
                // What differs by less than a billionth was rounded differently, not measured so.
                if step > 1e-9 && self.step.is_none_or(|least| step < least) {
                    self.step = Some(step);
                }
            }
        }
        self.last = Some(held);
    }

    /// Looks at how it is held now.
    pub fn look(&mut self) {
        if let Some(held) = self.last {
            if self.recent.len() >= LOOKS as usize {
                self.recent.remove(0);
            }
            self.recent.push(held);
        }
    }

    /// Forgets what was seen, but not the sensor's step.
    pub fn again(&mut self) {
        self.recent.clear();
    }

    /// Forgets how it was held: it no longer says so.
    pub fn lost(&mut self) {
        self.last = None;
        self.again();
    }

    /// What it says over the last seconds.
    ///
    /// # Errors
    /// Nothing is told yet, the sensor never changed, or the phone is not held on its edge.
    pub fn seen(&self) -> Result<Seen, TiltError> {
        let (Some(first), Some(last)) = (self.recent.first(), self.recent.last()) else {
            return Err(TiltError::Short);
        };
        let step = Angle::radians(self.step.ok_or(TiltError::Frozen)?);
        let base = first.turn()?;
        let mut offs = Vec::with_capacity(LOOKS as usize);
        for held in &self.recent {
            // A turn in between shows as spread, not as another edge.
            let from = held.turn()? - base;
            let whole = (from.as_radians() / (4.0 * FRAC_PI_2)).round() * 4.0 * FRAC_PI_2;
            offs.push((off_square(base) + from).as_radians() - whole);
        }
        let count = offs.len() as f64;
        let mean = offs.iter().sum::<f64>() / count;
        if Angle::radians(mean).abs() > ASKEW {
            return Err(TiltError::Askew);
        }
        let squares = offs.iter().map(|off| (off - mean).powi(2)).sum::<f64>();
        Ok(Seen {
            tilt: Tilt {
                mean: Angle::radians(mean),
                spread: Angle::radians((squares / (count - 1.0).max(1.0)).sqrt()),
                step,
                looks: u32::try_from(offs.len()).unwrap_or(u32::MAX),
            },
            facing: last.facing(),
        })
    }
}

/// By how much the screen was turned between two headings: from nothing to half a turn.
pub fn turned_between(a: Angle, b: Angle) -> Angle {
    let radians = (a - b).as_radians();
    let whole = (radians / (4.0 * FRAC_PI_2)).round() * 4.0 * FRAC_PI_2;
    Angle::radians(radians - whole).abs()
}

/// What two positions of a phone come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reversal {
    /// The lean of the bar to the right, seen from behind the car: of a bar that stands, by how far its top is to the right; of a bar across the
    /// floor, by how much its left side is higher.
    pub lean: Estimate,
    /// The phone's own zero, which is not in it.
    pub zero: Estimate,
}

impl Reversal {
    /// From position A, in which the screen looks backward along the car, and position B, in which it looks forward with the same edge on the
    /// bar. Seen from in front of the screen the lean is to the other side in B, and the phone's own zero is to the same:
    /// `lean = (A − B) / 2` and `zero = (A + B) / 2`, the reversal of a level. `turned` is how far the screen was turned between the two.
    ///
    /// A phone that is not quite square to the car sees the lean smaller by the cosine of what it is off: 10° are allowed for, as a
    /// rectangular distribution. What the sensor's own scale is off by is not known and not in the uncertainty.
    ///
    /// # Errors
    /// A position in which the phone moved, a frozen sensor, a screen that was not turned round, or a zero that no phone has.
    pub fn of(a: &Tilt, b: &Tilt, turned: Angle) -> Result<Self, TiltError> {
        let (a, b) = (a.reading()?, b.reading()?);
        if (turned - Angle::degrees(180.0)).abs() > TURNED {
            return Err(TiltError::NotTurned);
        }
        let value = (a.mean - b.mean) / 2.0;
        let zero = (a.mean + b.mean) / 2.0;
        if zero.abs() > ZERO {
            return Err(TiltError::OtherEdge);
        }
        let both = a
            .uncertainty()
            .as_radians()
            .hypot(b.uncertainty().as_radians())
            / 2.0;
        let square = SQUARE / 3.0_f64.sqrt() * value.as_radians();
        Ok(Self {
            lean: Estimate::new(value, Angle::radians(both.hypot(square))),
            zero: Estimate::new(zero, Angle::radians(both)),
        })
    }

    /// What the phone read in A and in B.
    pub fn positions(&self) -> [Angle; 2] {
        let (lean, zero) = (self.lean.value, self.zero.value);
        [zero + lean, zero - lean]
    }
}
