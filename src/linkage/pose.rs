//! Where a corner's wheel stands for given link lengths and travel, and how fast it moves with each.

use super::geometry::{AxisEnd, Geometry, GeometryError, Side, SteeringAxis, Strut};
use super::vector::{Dependent, Rotation, System, Vector};
use crate::quantity::{Angle, Length, LengthUnit, write_length};

/// A pose is taken when every link is as long as it should be within a ten-millionth of a millionth of a metre: far below anything measured, and
/// above what floating point loses.
const TOLERANCE: f64 = 1e-13;
/// Steps of Newton's method before it is given up. A corner within reach takes four to six.
const MOST_STEPS: u32 = 25;
/// A pivot below this leaves the carrier free to move, or held twice. Rows are unit vectors and arms in metres.
const LEAST_PIVOT: f64 = 1e-9;
/// No step turns the carrier further than this, in radians: beyond it Newton's method would guess.
const LONGEST_TURN: f64 = 0.3;

/// A link as it is solved: joint at the car, joint from the wheel's centre as drawn, length as drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Rod {
    car: Vector,
    arm: Vector,
    length: f64,
}

/// A strut as it is solved: top at the car, a point of its axis from the wheel's centre, and two directions square to the axis, as drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Slide {
    top: Vector,
    arm: Vector,
    square: [Vector; 2],
}

/// A corner ready to be solved. It lives on the stack, and solving allocates nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Linkage {
    side: Side,
    centre: Vector,
    radius: f64,
    spin: Vector,
    rods: [Rod; 5],
    count: usize,
    slide: Option<Slide>,
    axis: Option<SteeringAxis>,
    contact: f64,
}

/// How much longer than drawn each link is, in the order of the geometry; those beyond its links mean nothing.
pub type Changes = [Length; 5];

/// A pose of the wheel carrier.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// How it has turned since it was drawn.
    pub rotation: Rotation,
    /// Where the wheel's centre is.
    pub centre: Vector,
    /// By how much the worst link is off its length.
    pub residual: Length,
    /// Steps of Newton's method taken.
    pub steps: u32,
}

/// Why there is no pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PoseError {
    /// The lengths do not go together.
    OutOfReach {
        /// The constraint that is furthest off: the place of a link, or 5 for the strut.
        link: usize,
        /// By how much.
        gap: Length,
    },
    /// The links leave the carrier free to move, or hold it twice.
    Singular {
        /// The constraint that the others already say: the place of a link, 5 for the strut, 6 for the ride height.
        link: usize,
    },
}

impl PoseError {
    /// In a sentence, with the names of this geometry.
    pub fn words(&self, geometry: &Geometry) -> String {
        let name = |place: usize| match place {
            5 => "the strut",
            6 => "the ride height",
            place => geometry
                .links
                .get(place)
                .map_or("a link", |link| &link.name),
        };
        match *self {
            Self::OutOfReach { link, gap } if !gap.as_metres().is_finite() => {
                format!("{}: its length is not a number.", name(link))
            }
            Self::OutOfReach { link, gap } => {
                let least = Length::mm(0.1);
                format!(
                    "These lengths do not go together: {} is off by {}{}.",
                    name(link),
                    if gap < least { "less than " } else { "" },
                    write_length(
                        if gap < least { least } else { gap },
                        LengthUnit::Millimetre
                    )
                )
            }
            Self::Singular { link } => format!(
                "The links do not hold the wheel: {} adds nothing to the others.",
                name(link)
            ),
        }
    }
}

/// What a wheel does in a pose.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WheelPose {
    /// Toe, toe-in positive.
    pub toe: Angle,
    /// Camber, negative where the top leans in.
    pub camber: Angle,
    /// Caster, where there is a steering axis: positive where its top leans back.
    pub caster: Option<Angle>,
    /// Kingpin inclination, where there is a steering axis: positive where its top leans in.
    pub kingpin: Option<Angle>,
    /// The spin axis, outwards.
    pub spin: Vector,
    /// The wheel's centre.
    pub centre: Vector,
    /// The wheel's lowest point.
    pub contact: Vector,
    /// By how much its contact has moved outwards since it was drawn.
    pub half_track: Length,
    /// By how much its centre has moved forward since it was drawn: at the front axle the wheelbase grows by it, at the rear it shrinks.
    pub forward: Length,
}

/// How fast the carrier and its wheel move with one quantity: a link's length or the travel. Angles in radians a metre, points in metres a metre.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Toe.
    pub toe: f64,
    /// Camber.
    pub camber: f64,
    /// Caster, where there is a steering axis.
    pub caster: Option<f64>,
    /// Kingpin inclination, where there is a steering axis.
    pub kingpin: Option<f64>,
    /// The carrier's turning.
    pub turning: Vector,
    /// The wheel's centre.
    pub centre: Vector,
    /// The point of the carrier that is the contact now, as if the wheel were locked: what braking outboard acts on.
    pub contact_of_carrier: Vector,
    /// The contact, wherever on the tyre it is.
    pub contact: Vector,
}

/// The rates at a pose: by each link's length, and by the travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// By each link's length, in the order of the geometry.
    pub links: [Rate; 5],
    /// By the travel of the wheel's centre.
    pub travel: Rate,
}

impl Linkage {
    /// Makes a corner ready.
    ///
    /// # Errors
    /// The first problem of its geometry.
    pub fn new(geometry: &Geometry) -> Result<Self, GeometryError> {
        if let Some(problem) = geometry.problems().into_iter().next() {
            return Err(problem);
        }
        let centre = geometry.wheel.centre;
        let mut rods = [Rod::default(); 5];
        for (rod, link) in rods.iter_mut().zip(&geometry.links) {
            *rod = Rod {
                car: link.car,
                arm: link.carrier - centre,
                length: (link.carrier - link.car).length(),
            };
        }
        let (toe, camber) = (geometry.wheel.toe, geometry.wheel.camber);
        let out = geometry.side.outwards();
        let spin = Vector::new(
            toe.sin() * camber.cos(),
            out * toe.cos() * camber.cos(),
            -camber.sin(),
        );
        let mut linkage = Self {
            side: geometry.side,
            centre,
            radius: geometry.wheel.radius.as_metres(),
            spin,
            rods,
            count: geometry.links.len(),
            slide: geometry.strut.map(|strut| slide(&strut, centre)),
            axis: geometry.steering_axis,
            contact: 0.0,
        };
        let drawn = linkage.drawn();
        linkage.contact = linkage.wheel(&drawn).contact.y * out;
        Ok(linkage)
    }

    /// The pose as drawn.
    pub const fn drawn(&self) -> Pose {
        Pose {
            rotation: Rotation::NONE,
            centre: self.centre,
            residual: Length::ZERO,
            steps: 0,
        }
    }

    /// How many links it has.
    pub const fn links(&self) -> usize {
        self.count
    }

    /// The pose for these changes of length with the wheel's centre so far above where it is drawn, by Newton's method from the drawn pose.
    ///
    /// # Errors
    /// Lengths that do not go together, or links that do not hold the wheel.
    pub fn pose(&self, changes: &Changes, travel: Length) -> Result<Pose, PoseError> {
        self.pose_from(&self.drawn(), changes, travel)
    }

    /// The same from a pose nearby, which takes fewer steps.
    ///
    /// # Errors
    /// As [`Linkage::pose`].
    pub fn pose_from(
        &self,
        from: &Pose,
        changes: &Changes,
        travel: Length,
    ) -> Result<Pose, PoseError> {
        let mut pose = *from;
        let height = self.centre.z + travel.as_metres();
        let mut steps = 0;
        loop {
            let (rows, off) = self.equations(&pose, changes, height);
            let worst = worst(&off);
            pose.residual = Length::metres(off[worst].abs());
            pose.steps = steps;
            let close = off[worst].abs() <= TOLERANCE;
            // A pose to which no step led may be one in which the links hold nothing.
            if close && steps > 0 {
                return Ok(pose);
            }
            let out_of_reach = PoseError::OutOfReach {
                link: self.constraint(worst),
                gap: pose.residual,
            };
            if steps == MOST_STEPS || off[worst].is_nan() {
                return Err(out_of_reach);
            }
            let system = System::new(rows, LEAST_PIVOT).map_err(|Dependent(row)| {
                // Where the lengths are far off, it is they that cannot be met.
                if pose.residual > Length::mm(0.1) {
                    out_of_reach
                } else {
                    PoseError::Singular {
                        link: self.constraint(row),
                    }
                }
            })?;
            if close {
                return Ok(pose);
            }
            let [wx, wy, wz, tx, ty, tz] = system.solve(&off.map(|off| -off));
            let (turn, shift) = (Vector::new(wx, wy, wz), Vector::new(tx, ty, tz));
            let scale = (LONGEST_TURN / turn.length()).min(1.0);
            // No turn at all leaves nothing to scale.
            let scale = if scale.is_nan() { 1.0 } else { scale };
            pose.rotation = pose.rotation.then(turn * scale);
            pose.centre = pose.centre + shift * scale;
            steps += 1;
        }
    }

    /// The same corner with a link's joint at the car moved. Nothing moves where there is no such link.
    pub(super) fn with_car_joint(&self, link: usize, by: Vector) -> Self {
        let mut moved = self.clone();
        if let Some(rod) = moved.rods.get_mut(link) {
            rod.car = rod.car + by;
        }
        moved
    }

    /// Makes a link longer. Nothing moves where there is no such link.
    pub(super) fn lengthen(&mut self, link: usize, by: Length) {
        if let Some(rod) = self.rods.get_mut(link) {
            rod.length += by.as_metres();
        }
    }

    /// The same corner with the strut's top moved, and with it an end of the steering axis that is there. Nothing moves where there is no strut.
    pub(super) fn with_strut_top(&self, by: Vector) -> Self {
        let mut moved = self.clone();
        if let Some(slide) = &mut moved.slide {
            let ends = moved.axis.iter_mut();
            for end in ends.flat_map(|axis| [&mut axis.lower, &mut axis.upper]) {
                if let AxisEnd::Car(point) = end
                    && *point == slide.top
                {
                    *point = *point + by;
                }
            }
            slide.top = slide.top + by;
        }
        moved
    }

    /// The same corner with every joint elsewhere, and each link as long as it was.
    pub fn with_joints(&self, geometry: &Geometry, place: &dyn Fn(Vector) -> Vector) -> Self {
        let mut moved = self.clone();
        for (rod, link) in moved.rods.iter_mut().zip(&geometry.links) {
            rod.car = rod.car + (place(link.car) - link.car);
            rod.arm = rod.arm + (place(link.carrier) - link.carrier);
        }
        moved.slide = geometry.strut.map(|strut| {
            let strut = Strut {
                top: place(strut.top),
                on_axis: place(strut.on_axis),
            };
            slide(&strut, self.centre)
        });
        moved
    }

    /// What a shift of the strut's top does to the right sides of the derivatives.
    pub(super) fn strut_top_rights(&self, pose: &Pose, way: Vector, right: &mut [f64; 6]) {
        if let Some(slide) = &self.slide {
            for (square, right) in slide.square.iter().zip(right.iter_mut().skip(self.count)) {
                *right = -pose.rotation.of(*square).dot(way);
            }
        }
    }

    /// The sine of the angle by which a rod end on a link leans on its ball in a pose: between the link and the plane square to the bolt through the eye,
    /// positive where the link leans along the bolt. The bolt is held by the carrier or by the car, and points along `bolt` as drawn. None where there is
    /// no such link.
    pub fn lean(&self, pose: &Pose, link: usize, bolt: Vector, on_carrier: bool) -> Option<f64> {
        let along = self.link_now(pose, link)?.unit();
        let bolt = if on_carrier {
            pose.rotation.of(bolt)
        } else {
            bolt
        };
        Some(along.dot(bolt.unit()))
    }

    /// The angle of [`Linkage::lean`], whichever way.
    pub fn misalignment(
        &self,
        pose: &Pose,
        link: usize,
        bolt: Vector,
        on_carrier: bool,
    ) -> Option<Angle> {
        let sine = self.lean(pose, link, bolt, on_carrier)?;
        Some(Angle::radians(sine.abs().min(1.0).asin()))
    }

    /// Where a point of the carrier, as drawn, is in a pose.
    pub fn point(&self, pose: &Pose, drawn: Vector) -> Vector {
        pose.centre + pose.rotation.of(drawn - self.centre)
    }

    /// A link in a pose, from the car to the carrier; none where there is no such link.
    pub fn link_now(&self, pose: &Pose, link: usize) -> Option<Vector> {
        let rod = self.rods.get(link).filter(|_| link < self.count)?;
        Some(pose.centre + pose.rotation.of(rod.arm) - rod.car)
    }

    /// The name of an equation's row: its link, 5 for the strut, 6 for the ride height.
    const fn constraint(&self, row: usize) -> usize {
        if row < self.count {
            row
        } else if row < 5 {
            5
        } else {
            6
        }
    }

    /// Each constraint's derivative by turn and shift of the carrier, and by how much it is off.
    fn equations(&self, pose: &Pose, changes: &Changes, height: f64) -> ([[f64; 6]; 6], [f64; 6]) {
        let mut rows = [[0.0; 6]; 6];
        let mut off = [0.0; 6];
        let row = |by_turn: Vector, by_shift: Vector| {
            [
                by_turn.x, by_turn.y, by_turn.z, by_shift.x, by_shift.y, by_shift.z,
            ]
        };
        let rods = self.rods.iter().zip(changes).take(self.count);
        for ((rod, change), (place, off)) in rods.zip(rows.iter_mut().zip(&mut off)) {
            let arm = pose.rotation.of(rod.arm);
            let along = pose.centre + arm - rod.car;
            let length = along.length();
            let way = along * (1.0 / length);
            *place = row(arm.cross(way), way);
            *off = length - rod.length - change.as_metres();
        }
        if let Some(slide) = &self.slide {
            let arm = pose.rotation.of(slide.arm);
            let to_top = slide.top - pose.centre - arm;
            for (k, square) in slide.square.iter().enumerate() {
                let square = pose.rotation.of(*square);
                let place = self.count + k;
                // The top as a point of the carrier turns about the wheel's centre.
                rows[place] = row(square.cross(to_top + arm), -square);
                off[place] = square.dot(to_top);
            }
        }
        rows[5] = row(Vector::default(), Vector::UP);
        off[5] = pose.centre.z - height;
        (rows, off)
    }

    /// What the wheel does in a pose.
    pub fn wheel(&self, pose: &Pose) -> WheelPose {
        let out = self.side.outwards();
        let spin = pose.rotation.of(self.spin);
        let angles = self.axis_now(pose).map(|axis| {
            (
                Angle::radians((-axis.x).atan2(axis.z)),
                Angle::radians((-out * axis.y).atan2(axis.z)),
            )
        });
        let contact = pose.centre + down(spin) * self.radius;
        WheelPose {
            toe: Angle::radians(spin.x.atan2(out * spin.y)),
            camber: Angle::radians(-spin.z.asin()),
            caster: angles.map(|angles| angles.0),
            kingpin: angles.map(|angles| angles.1),
            spin,
            centre: pose.centre,
            contact,
            half_track: Length::metres(contact.y * out - self.contact),
            forward: Length::metres(pose.centre.x - self.drawn().centre.x),
        }
    }

    /// From the lower end of the steering axis to the upper.
    fn axis_now(&self, pose: &Pose) -> Option<Vector> {
        let [lower, upper] = self.axis_ends(pose)?;
        Some(upper - lower)
    }

    /// The lower and the upper end of the steering axis in a pose.
    pub(super) fn axis_ends(&self, pose: &Pose) -> Option<[Vector; 2]> {
        let axis = self.axis?;
        let at = |end: AxisEnd| match end {
            AxisEnd::Car(point) => point,
            AxisEnd::Carrier(point) => self.point(pose, point),
        };
        Some([at(axis.lower), at(axis.upper)])
    }

    /// The way outwards along y on its side.
    pub(super) const fn outwards(&self) -> f64 {
        self.side.outwards()
    }

    /// The exact rates at a pose, by the implicit function theorem: the constraints hold while one quantity changes, so the carrier moves by what
    /// solves their derivatives for it.
    ///
    /// # Errors
    /// Links that do not hold the wheel in this pose.
    pub fn rates(&self, pose: &Pose) -> Result<Rates, PoseError> {
        let mut rights = [[0.0; 6]; 6];
        for (row, right) in rights.iter_mut().enumerate() {
            right[row] = 1.0;
        }
        let system = self.system(pose)?;
        let [a, b, c, d, e, travel] = rights.map(|right| self.rate(pose, system.solve(&right)));
        let mut links = [a, b, c, d, e];
        for unused in links.iter_mut().skip(self.count) {
            *unused = travel;
        }
        Ok(Rates { links, travel })
    }

    /// The rates for these right sides of the constraints' derivatives.
    pub(super) fn rates_for(
        &self,
        pose: &Pose,
        rights: &[[f64; 6]],
    ) -> Result<Vec<Rate>, PoseError> {
        let system = self.system(pose)?;
        Ok(rights
            .iter()
            .map(|right| self.rate(pose, system.solve(right)))
            .collect())
    }

    fn system(&self, pose: &Pose) -> Result<System, PoseError> {
        let (rows, _) = self.equations(pose, &[Length::ZERO; 5], 0.0);
        System::new(rows, LEAST_PIVOT).map_err(|Dependent(row)| PoseError::Singular {
            link: self.constraint(row),
        })
    }

    fn rate(&self, pose: &Pose, [wx, wy, wz, tx, ty, tz]: [f64; 6]) -> Rate {
        let out = self.side.outwards();
        let (turning, centre) = (Vector::new(wx, wy, wz), Vector::new(tx, ty, tz));
        let spin = pose.rotation.of(self.spin);
        let spin_rate = turning.cross(spin);
        // Of an angle atan2(a, b).
        let angle = |a: f64, b: f64, da: f64, db: f64| (b * da - a * db) / (a * a + b * b);
        let level = (1.0 - spin.z * spin.z).sqrt();
        let axis = self.axis_now(pose).zip(self.axis).map(|(axis, ends)| {
            let at = |end: AxisEnd| match end {
                AxisEnd::Car(_) => Vector::default(),
                AxisEnd::Carrier(point) => {
                    centre + turning.cross(pose.rotation.of(point - self.centre))
                }
            };
            let rate = at(ends.upper) - at(ends.lower);
            (
                angle(-axis.x, axis.z, -rate.x, rate.z),
                angle(-out * axis.y, axis.z, -out * rate.y, rate.z),
            )
        });
        let to_contact = down(spin) * self.radius;
        let down_rate = (spin * spin_rate.z + spin_rate * spin.z) * (1.0 / level)
            + down(spin) * (spin.z * spin_rate.z / (level * level));
        Rate {
            toe: angle(spin.x, out * spin.y, spin_rate.x, out * spin_rate.y),
            camber: -spin_rate.z / level,
            caster: axis.map(|axis| axis.0),
            kingpin: axis.map(|axis| axis.1),
            turning,
            centre,
            contact_of_carrier: centre + turning.cross(to_contact),
            contact: centre + down_rate * self.radius,
        }
    }
}

/// The way down in the plane of a wheel with this spin axis.
fn down(spin: Vector) -> Vector {
    (spin * spin.z - Vector::UP).unit()
}

/// The place of the largest.
fn worst(off: &[f64; 6]) -> usize {
    let mut worst = 0;
    for (place, value) in off.iter().enumerate() {
        if value.is_nan() || value.abs() > off[worst].abs() {
            worst = place;
        }
    }
    worst
}

fn slide(strut: &Strut, centre: Vector) -> Slide {
    let axis = (strut.top - strut.on_axis).unit();
    // Any direction that is not nearly along the axis.
    let other = if axis.x.abs() < 0.5 {
        Vector::new(1.0, 0.0, 0.0)
    } else {
        Vector::new(0.0, 1.0, 0.0)
    };
    let first = axis.cross(other).unit();
    Slide {
        top: strut.top,
        arm: strut.on_axis - centre,
        square: [first, axis.cross(first)],
    }
}
