//! Whether rod ends and a half-shaft keep their limits everywhere in a corner's travel and steer.

use super::geometry::Geometry;
use super::pose::{Linkage, Pose, PoseError};
use super::vector::Vector;
use crate::quantity::{Angle, AngleUnit, Length, LengthUnit, write_angle, write_length};

/// The stretch over which a corner is asked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// How far the wheel's centre goes below where it is drawn, zero or more.
    pub droop: Length,
    /// How far it goes above, zero or more.
    pub bump: Length,
    /// How it is steered, where it is.
    pub rack: Option<Rack>,
}

/// A rack that moves a tie rod's joint at the car across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rack {
    /// The place of the tie rod among the links.
    pub link: usize,
    /// How far it moves to each side from where it is drawn, zero or more.
    pub each_way: Length,
}

/// What a joint of a corner may do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum JointLimit {
    /// How far a rod end may lean on its ball, either way from the plane square to its bolt.
    RodEnd {
        /// The place of its link.
        link: usize,
        /// Whether it is the link's joint at the carrier, and its bolt the carrier's.
        on_carrier: bool,
        /// The way of its bolt as drawn, of any length but none.
        bolt: Vector,
        /// The most it may lean, more than zero and less than a right angle.
        most: Angle,
    },
    /// How far a half-shaft may plunge from its drawn length.
    HalfShaft {
        /// The middle of its inner joint, at the car.
        inner: Vector,
        /// The middle of its outer joint, at the carrier, as drawn.
        outer: Vector,
        /// By how much it may get shorter, more than zero.
        shorter: Length,
        /// By how much it may get longer, more than zero.
        longer: Length,
    },
}

/// A place in the travel and the steer.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct At {
    /// How far the wheel's centre is above where it is drawn.
    pub travel: Length,
    /// How far the rack is to the left of where it is drawn.
    pub rack: Length,
}

/// How a limit is kept over a range.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Kept {
    /// The value nearest to its bound, or furthest past it: the sine of a rod end's lean, or by how many metres a half-shaft is longer than drawn.
    pub extreme: f64,
    /// Where that is.
    pub at: At,
    /// The extreme as a share of its bound: above 1 it is passed. Not a number where the limit cannot be reckoned, which counts as passed.
    pub share: f64,
    /// Where it is passed first: with the wheels straight each way from the drawn height; where it is kept there, at the drawn height each way of the
    /// rack; where it is kept there too, with the least rack at which it is passed. None where it is kept.
    pub passed: Vec<At>,
}

/// How the limits are kept over a range.
#[derive(Clone, Debug, PartialEq)]
pub struct OverRange {
    /// Limit by limit, in the order they were asked.
    pub limits: Vec<Kept>,
    /// Where the linkage itself comes to its end before the range does, and why.
    pub end: Option<(At, PoseError)>,
}

impl OverRange {
    /// The limits that are passed, and where the linkage ends before the range does, in sentences; nothing where all is well.
    pub fn problems(
        &self,
        limits: &[JointLimit],
        geometry: &Geometry,
        unit: LengthUnit,
    ) -> Vec<String> {
        let limits = limits.iter().zip(&self.limits);
        let mut problems: Vec<String> = limits
            .filter(|(_, kept)| !kept.passed.is_empty())
            .map(|(limit, kept)| limit.words(kept, geometry, unit))
            .collect();
        if let Some((at, error)) = &self.end {
            problems.push(format!(
                "The links come to their end {}. {}",
                at.words(unit),
                error.words(geometry)
            ));
        }
        problems
    }

    /// The limit with the least to spare, in a sentence, where all are kept; none where one is not, or where there is none.
    pub fn nearest(
        &self,
        limits: &[JointLimit],
        geometry: &Geometry,
        unit: LengthUnit,
    ) -> Option<String> {
        if !self.problems(limits, geometry, unit).is_empty() {
            return None;
        }
        let limits = limits.iter().zip(&self.limits);
        let (limit, kept) = limits.max_by(|(_, a), (_, b)| a.share.total_cmp(&b.share))?;
        Some(limit.words(kept, geometry, unit))
    }
}

/// Places are looked at no further apart than this along the travel, and along the rack. What a lean does between two of them is less than 0.03° for
/// links of 100 mm and more: a sine of `h / L` bends by `step² / 8 L²`.
const TRAVEL_STEP: f64 = 0.005;
const RACK_STEP: f64 = 0.02;
/// The most steps each way, so that no range takes long.
const MOST_STEPS: f64 = 60.0;
/// Halvings of a step in which a limit is passed: 5 mm to below a thousandth.
const HALVINGS: u32 = 13;

impl JointLimit {
    /// What is limited, in a pose.
    pub fn value(&self, linkage: &Linkage, pose: &Pose) -> f64 {
        match *self {
            Self::RodEnd {
                link,
                on_carrier,
                bolt,
                ..
            } => linkage
                .lean(pose, link, bolt, on_carrier)
                .unwrap_or(f64::NAN),
            Self::HalfShaft { inner, outer, .. } => {
                let now = linkage.point(pose, outer);
                (now - inner).length() - (outer - inner).length()
            }
        }
    }

    /// The least and the most that it may be.
    pub fn bounds(&self) -> [f64; 2] {
        match *self {
            Self::RodEnd { most, .. } => [-most.sin(), most.sin()],
            Self::HalfShaft {
                shorter, longer, ..
            } => [-shorter.as_metres(), longer.as_metres()],
        }
    }

    /// A value as a share of the bound on its side.
    fn share(&self, value: f64) -> f64 {
        let [least, most] = self.bounds();
        value / if value < 0.0 { least } else { most }
    }

    /// What it limits, at the beginning of a sentence.
    pub fn subject(&self, geometry: &Geometry) -> String {
        match *self {
            Self::RodEnd {
                link, on_carrier, ..
            } => {
                let name = geometry.links.get(link).map_or("A link", |link| &link.name);
                let end = if on_carrier { "carrier" } else { "car" };
                format!("{name}: the rod end at the {end}")
            }
            Self::HalfShaft { .. } => "The half-shaft".to_owned(),
        }
    }

    /// A value in words.
    fn amount(&self, value: f64, unit: LengthUnit) -> String {
        match self {
            Self::RodEnd { .. } => write_angle(
                Angle::radians(value.abs().min(1.0).asin()),
                AngleUnit::Degree,
            ),
            Self::HalfShaft { .. } => {
                let way = if value < 0.0 { "shorter" } else { "longer" };
                format!(
                    "{} {way} than drawn",
                    write_length(Length::metres(value.abs()), unit)
                )
            }
        }
    }

    /// How it is kept, in a sentence or two.
    pub fn words(&self, kept: &Kept, geometry: &Geometry, unit: LengthUnit) -> String {
        let subject = self.subject(geometry);
        let does = match self {
            Self::RodEnd { .. } => "leans",
            Self::HalfShaft { .. } => "gets",
        };
        let on_ball = match self {
            Self::RodEnd { .. } => " on its ball",
            Self::HalfShaft { .. } => "",
        };
        if kept.share.is_nan() {
            return format!("{subject}: its limit cannot be reckoned.");
        }
        let [least, most] = self.bounds();
        let bound = if kept.extreme < 0.0 { least } else { most };
        let (reached, bound) = (self.amount(kept.extreme, unit), self.amount(bound, unit));
        let at = |at: &At| at.words(unit);
        match kept.passed.as_slice() {
            [] => format!(
                "{subject} {does} {reached}{on_ball} at most, {}; {bound} is the most it may.",
                at(&kept.at)
            ),
            [first, ..] if *first == At::default() && kept.at == *first => {
                format!("{subject} {does} {reached}{on_ball}, and {bound} is the most.")
            }
            passed => {
                let places: Vec<String> = passed.iter().map(at).collect();
                format!(
                    "{subject} passes its {bound} {}: it {does} {reached}{on_ball} {}.",
                    places.join(" and "),
                    at(&kept.at)
                )
            }
        }
    }
}

impl At {
    /// In words, such as `at 38.0 mm of bump, the rack 20.0 mm to the left`.
    pub fn words(&self, unit: LengthUnit) -> String {
        let size = |length: Length| write_length(length.abs(), unit);
        let nothing = size(Length::ZERO);
        let travel = size(self.travel);
        let mut words = if travel == nothing {
            "at the drawn height".to_owned()
        } else {
            let way = if self.travel < Length::ZERO {
                "droop"
            } else {
                "bump"
            };
            format!("at {travel} of {way}")
        };
        let rack = size(self.rack);
        if rack != nothing {
            let way = if self.rack < Length::ZERO {
                "right"
            } else {
                "left"
            };
            words.push_str(&format!(" with the rack {rack} to the {way}"));
        }
        words
    }
}

/// A corner with its rack somewhere, solved from the drawn height outwards.
struct Column {
    rack: Length,
    linkage: Linkage,
    /// Upwards, then downwards, each from the drawn height.
    ways: [Vec<(Length, Pose)>; 2],
}

impl Column {
    fn steps(reach: Length, step: f64) -> u32 {
        // At most sixty.
        (reach.as_metres().abs() / step)
            .ceil()
            .clamp(1.0, MOST_STEPS) as u32
    }

    /// From a pose nearby; where it comes to its end, why.
    fn solve(
        linkage: Linkage,
        rack: Length,
        near: &Pose,
        range: &Range,
    ) -> (Self, Option<(At, PoseError)>) {
        let mut end = None;
        let mut way = |reach: Length| {
            let mut places: Vec<(Length, Pose)> = Vec::new();
            let steps = if reach == Length::ZERO {
                0
            } else {
                Self::steps(reach, TRAVEL_STEP)
            };
            let mut near = *near;
            for step in 0..=steps {
                let travel = reach * (f64::from(step) / f64::from(steps.max(1)));
                match linkage.pose_from(&near, &Default::default(), travel) {
                    Ok(pose) => {
                        near = pose;
                        places.push((travel, pose));
                    }
                    Err(error) => {
                        end = end.or(Some((At { travel, rack }, error)));
                        break;
                    }
                }
            }
            places
        };
        let ways = [way(range.bump), way(-range.droop)];
        (
            Self {
                rack,
                linkage,
                ways,
            },
            end,
        )
    }

    fn drawn_height(&self) -> Option<&Pose> {
        self.ways[0].first().map(|(_, pose)| pose)
    }

    fn places(&self) -> impl Iterator<Item = &(Length, Pose)> {
        self.ways.iter().flatten()
    }
}

/// Whether a share is past its bound. What is not a number is not kept.
fn is_past(share: f64) -> bool {
    share.is_nan() || share > 1.0
}

impl Linkage {
    /// How joints keep their limits everywhere in a range: at every place of the travel and, where it is steered, of the rack. The linkage stands as it
    /// is set, its links as long as they are.
    pub fn over(&self, range: &Range, limits: &[JointLimit]) -> OverRange {
        let (columns, end) = self.columns(range);
        let tie_rod = range.rack.map_or(0, |rack| rack.link);
        let kept = limits
            .iter()
            .map(|limit| keeps(limit, &columns, tie_rod))
            .collect();
        OverRange { limits: kept, end }
    }

    /// The poses of a corner over a range, straight first, then with the rack further and further each way.
    fn columns(&self, range: &Range) -> (Vec<Column>, Option<(At, PoseError)>) {
        let (straight, mut end) = Column::solve(self.clone(), Length::ZERO, &self.drawn(), range);
        let mut columns = vec![straight];
        let Some(rack) = range.rack.filter(|rack| rack.each_way > Length::ZERO) else {
            return (columns, end);
        };
        let steps = Column::steps(rack.each_way, RACK_STEP);
        let mut near = [self.drawn(); 2];
        for step in 1..=steps {
            let shift = rack.each_way * (f64::from(step) / f64::from(steps));
            for (near, shift) in near.iter_mut().zip([shift, -shift]) {
                let racked = self.racked(rack.link, shift);
                let (column, stops) = Column::solve(racked, shift, near, range);
                end = end.or(stops);
                if let Some(pose) = column.drawn_height() {
                    *near = *pose;
                }
                columns.push(column);
            }
        }
        (columns, end)
    }

    /// Poses of a corner at the ends and in the middle of a range, each with the corner as it is steered there: what a limit does between them is
    /// nearly straight. Those that the linkage does not reach are left out.
    pub fn ends_of(&self, range: &Range) -> Vec<(Self, Pose)> {
        let travels = [
            Length::ZERO,
            range.bump * 0.5,
            range.bump,
            -range.droop * 0.5,
            -range.droop,
        ];
        let rack = range.rack.map(|rack| (rack.link, rack.each_way));
        let shifts = match rack {
            Some((_, each_way)) if each_way > Length::ZERO => {
                vec![Length::ZERO, each_way, -each_way]
            }
            _ => vec![Length::ZERO],
        };
        let mut poses = Vec::new();
        for shift in shifts {
            let link = rack.map_or(0, |(link, _)| link);
            let half = self.racked(link, shift * 0.5);
            let racked = self.racked(link, shift);
            // Half way first: a whole lock is far from straight.
            let near = half
                .pose(&Default::default(), Length::ZERO)
                .unwrap_or(self.drawn());
            for (place, travel) in travels.into_iter().enumerate() {
                if place > 0 && travel == Length::ZERO {
                    continue;
                }
                if let Ok(pose) = racked.pose_from(&near, &Default::default(), travel) {
                    poses.push((racked.clone(), pose));
                }
            }
        }
        poses
    }
}

fn keeps(limit: &JointLimit, columns: &[Column], tie_rod: usize) -> Kept {
    let mut kept = Kept::default();
    for column in columns {
        for (travel, pose) in column.places() {
            let value = limit.value(&column.linkage, pose);
            let share = limit.share(value);
            if share.is_nan() || share > kept.share {
                kept.extreme = value;
                kept.share = share;
                kept.at = At {
                    travel: *travel,
                    rack: column.rack,
                };
            }
            if share.is_nan() {
                kept.passed = vec![kept.at];
                return kept;
            }
        }
    }
    if is_past(kept.share) {
        kept.passed = passed(limit, columns, tie_rod);
    }
    kept
}

/// Where a limit is passed first.
fn passed(limit: &JointLimit, columns: &[Column], tie_rod: usize) -> Vec<At> {
    let Some(straight) = columns.first() else {
        return Vec::new();
    };
    let past =
        |column: &Column, pose: &Pose| is_past(limit.share(limit.value(&column.linkage, pose)));
    // Where it is passed on a way from the drawn height.
    let on_way = |column: &Column, way: &[(Length, Pose)]| -> Option<At> {
        let rack = column.rack;
        let place = way.iter().position(|(_, pose)| past(column, pose))?;
        let (far, _) = *way.get(place)?;
        let Some((near, pose)) = place.checked_sub(1).and_then(|before| way.get(before)) else {
            return Some(At { travel: far, rack });
        };
        let travel = halved(*near, far, |travel| {
            let pose = column
                .linkage
                .pose_from(pose, &Default::default(), travel)
                .ok()?;
            Some(past(column, &pose))
        });
        Some(At { travel, rack })
    };
    let ways: Vec<At> = straight
        .ways
        .iter()
        .filter_map(|way| on_way(straight, way))
        .collect();
    if let Some(first) = ways.first() {
        return if *first == At::default() {
            vec![*first]
        } else {
            ways
        };
    }
    let mut by_rack = Vec::new();
    for left in [true, false] {
        let mut near = straight;
        let side = columns
            .iter()
            .skip(1)
            .filter(|column| (column.rack > Length::ZERO) == left);
        for column in side {
            let Some(pose) = column.drawn_height() else {
                break;
            };
            if past(column, pose) {
                by_rack.push(At {
                    travel: Length::ZERO,
                    rack: between(limit, near, column, tie_rod),
                });
                break;
            }
            near = column;
        }
    }
    if !by_rack.is_empty() {
        return by_rack;
    }
    // Straight first, then further and further: the first found has the least rack.
    columns
        .iter()
        .flat_map(|column| column.ways.iter().map(move |way| (column, way)))
        .find_map(|(column, way)| on_way(column, way))
        .into_iter()
        .collect()
}

/// The rack at which a limit is passed at the drawn height, between a column that keeps it and one that does not.
fn between(limit: &JointLimit, near: &Column, far: &Column, tie_rod: usize) -> Length {
    let Some(pose) = near.drawn_height() else {
        return far.rack;
    };
    halved(near.rack, far.rack, |rack| {
        let linkage = near.linkage.racked(tie_rod, rack - near.rack);
        let pose = linkage
            .pose_from(pose, &Default::default(), Length::ZERO)
            .ok()?;
        Some(is_past(limit.share(limit.value(&linkage, &pose))))
    })
}

/// Where something begins between a place without it and a place with it. Where that cannot be told, the place with it.
fn halved(mut near: Length, mut far: Length, past: impl Fn(Length) -> Option<bool>) -> Length {
    for _ in 0..HALVINGS {
        let middle = near + (far - near) * 0.5;
        match past(middle) {
            Some(true) => far = middle,
            Some(false) => near = middle,
            None => break,
        }
    }
    far
}
