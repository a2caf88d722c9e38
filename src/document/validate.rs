//! What the types cannot say: names that must be unique, references that must exist, values that must make sense.

use super::{
    Adjuster, Axle, CamberSense, CarCheck, CarPoint, Corner, CornerGeometry, FitKind, Job, KitCard,
    Moves, Problem, Step, ToeSense, When, applies,
};
use crate::linkage::{Geometry, Linkage};
use crate::quantity::{
    Angle, AngleUnit, Length, LengthUnit, Limit, Torque, write_angle, write_length,
};

/// The most things of one kind that a card or job holds. A larger list is not a kit.
const MOST: usize = 500;
/// The longest text of a card, in characters.
const LONGEST: usize = 2000;

/// The most points and distances of a car that a card holds: every one more is weighed against all others.
const MOST_POINTS: usize = 30;
const MOST_DISTANCES: usize = 40;
/// Points of the car nearer than this are one point to a tape.
const ONE_POINT: Length = Length::mm(5.0);

/// Points known worse than this give no rates.
const MOST_ACCURACY: Length = Length::mm(20.0);
/// A half-shaft is no shorter, and no longer, than these: common practice, no source.
const SHAFT: [Length; 2] = [Length::mm(100.0), Length::mm(1500.0)];
/// No lever arm is shorter: common practice, no source.
const LEAST_ARM: Length = Length::mm(20.0);
/// A rate below this moves nothing that is read: a hundredth of a degree in 20 mm, in radians a metre.
const LEAST_RATE: f64 = 0.01;

/// Whether the links hold the wheel.
fn held(geometry: &Geometry) -> Result<(), String> {
    let linkage = Linkage::new(geometry).map_err(|error| error.to_string())?;
    linkage
        .rates(&linkage.drawn())
        .map(|_| ())
        .map_err(|error| error.words(geometry))
}

/// Everything wrong with a kit card.
pub fn problems_of_card(card: &KitCard) -> Vec<Problem> {
    let mut check = Check::default();
    for (field, text) in [
        ("name", &card.name),
        ("maker", &card.maker),
        ("revision", &card.revision),
        ("fits", &card.fits),
    ] {
        check.text(field, text);
    }
    check.options(card);
    check.contents(card);
    check.car(card);
    check.joints(card);
    check.geometry(card);
    check.ahead(card);
    check.adjusters(card);
    check.targets(card);
    check.steps(card);
    check.advice(card);
    check.problems
}

/// Everything wrong with a job beyond its card.
pub fn problems_of_job(job: &Job) -> Vec<Problem> {
    let mut problems: Vec<_> = problems_of_card(&job.card)
        .into_iter()
        .map(|problem| Problem {
            field: format!("card.{}", problem.field),
            ..problem
        })
        .collect();
    if job.id.is_empty()
        || job.id.len() > 40
        || !job.id.bytes().all(|byte| byte.is_ascii_alphanumeric())
    {
        problems.push(Problem::at(
            "id",
            "must be 1 to 40 letters and digits, such as 12.",
        ));
    }
    for (corner, _) in job.car.ride_heights.iter() {
        if Corner::ALL.iter().all(|known| known.key() != corner) {
            problems.push(Problem::at(
                format!("car.ride_heights.{corner}"),
                "must be a corner, such as left-front.",
            ));
        }
    }
    for option in &job.card.options {
        if !job
            .order
            .get(&option.id)
            .is_some_and(|taken| option.choices.iter().any(|choice| choice.id == *taken))
        {
            problems.push(Problem::at(
                format!("order.{}", option.id),
                "must be one of the choices of the card's option.",
            ));
        }
    }
    for (field, count) in [
        ("rounds", job.rounds.len()),
        ("counts", job.counts.len()),
        ("marks", job.marks.len()),
    ] {
        if count > MOST {
            problems.push(Problem::at(
                field,
                format!("has {count} entries, and a job has at most {MOST}."),
            ));
        }
    }
    problems
}

#[derive(Default)]
struct Check {
    problems: Vec<Problem>,
}

impl Check {
    fn say(&mut self, field: impl Into<String>, message: impl Into<String>) {
        self.add(field.into(), message.into());
    }

    #[inline(never)]
    fn add(&mut self, field: String, message: String) {
        self.problems.push(Problem { field, message });
    }

    fn text(&mut self, field: &str, text: &str) {
        if text.trim().is_empty() {
            self.say(field, "must not be empty.");
        } else if text.chars().count() > LONGEST {
            self.say(field, format!("is longer than {LONGEST} characters."));
        }
    }

    fn not_too_many(&mut self, field: &str, count: usize) {
        if count > MOST {
            self.say(
                field,
                format!("has {count} entries, and a kit has at most {MOST}."),
            );
        }
    }

    fn positive(&mut self, field: String, length: Length) {
        if length <= Length::ZERO {
            self.say(field, "must be more than zero, such as \"150 mm\".");
        }
    }

    fn unique(&mut self, ids: &mut dyn Iterator<Item = (String, &str)>) {
        let mut seen = Vec::new();
        for (field, id) in ids {
            if id.trim().is_empty() {
                self.say(field, "must not be empty.");
            } else if !seen.contains(&id) {
                seen.push(id);
            } else {
                self.say(
                    field,
                    format!("\"{id}\" stands twice: give one of them another id."),
                );
            }
        }
    }

    fn when(&mut self, field: &str, when: &When, card: &KitCard) {
        for (id, choice) in when.iter() {
            match card.options.iter().find(|option| option.id == *id) {
                None => self.say(
                    format!("{field}.when"),
                    format!("names the option \"{id}\", which the card does not have."),
                ),
                Some(option) if !option.choices.iter().any(|known| known.id == *choice) => {
                    self.say(
                        format!("{field}.when.{id}"),
                        format!("names the choice \"{choice}\", which the option does not have."),
                    );
                }
                Some(_) => {}
            }
        }
    }

    fn options(&mut self, card: &KitCard) {
        self.not_too_many("options", card.options.len());
        self.unique(
            &mut card
                .options
                .iter()
                .enumerate()
                .map(|(i, option)| (format!("options[{i}].id"), option.id.as_str())),
        );
        for (i, option) in card.options.iter().enumerate() {
            if option.choices.len() < 2 {
                self.say(
                    format!("options[{i}].choices"),
                    "must hold at least two choices, the usual one first.",
                );
            }
            self.unique(
                &mut option.choices.iter().enumerate().map(|(k, choice)| {
                    (format!("options[{i}].choices[{k}].id"), choice.id.as_str())
                }),
            );
        }
        self.unique(
            &mut card
                .pickups
                .iter()
                .enumerate()
                .map(|(i, pickup)| (format!("pickups[{i}].id"), pickup.id.as_str())),
        );
        for (i, pickup) in card.pickups.iter().enumerate() {
            if pickup.choices.len() < 2 {
                self.say(
                    format!("pickups[{i}].choices"),
                    "must hold at least two holes, the base choice first.",
                );
            }
        }
    }

    fn contents(&mut self, card: &KitCard) {
        let parts = card
            .parts
            .iter()
            .enumerate()
            .map(|(i, part)| (format!("parts[{i}]"), part.id.as_str()));
        let items = card.bags.iter().enumerate().flat_map(|(b, bag)| {
            bag.items
                .iter()
                .enumerate()
                .map(move |(i, item)| (format!("bags[{b}].items[{i}]"), item.id.as_str()))
        });
        let fits = card
            .fit_checks
            .iter()
            .enumerate()
            .map(|(i, check)| (format!("fit_checks[{i}]"), check.id.as_str()));
        let car = card
            .car_checks
            .iter()
            .enumerate()
            .map(|(i, check)| (format!("car_checks[{i}]"), check.id.as_str()));
        let all: Vec<_> = parts
            .chain(items)
            .chain(fits)
            .chain(car)
            .map(|(field, id)| (format!("{field}.id"), id))
            .collect();
        self.not_too_many("parts, bags and checks", all.len());
        self.unique(&mut all.into_iter());
        for (i, part) in card.parts.iter().enumerate() {
            let field = format!("parts[{i}]");
            self.count(&field, part.count);
            self.when(&field, &part.when, card);
        }
        for (b, bag) in card.bags.iter().enumerate() {
            self.when(&format!("bags[{b}]"), &bag.when, card);
            for (i, item) in bag.items.iter().enumerate() {
                let field = format!("bags[{b}].items[{i}]");
                self.count(&field, item.count);
                self.when(&field, &item.when, card);
            }
        }
        for (i, check) in card.fit_checks.iter().enumerate() {
            let field = format!("fit_checks[{i}]");
            if check.kind != FitKind::Hole && (check.bolt.is_some() || check.slot) {
                self.say(
                    format!("{field}.kind"),
                    "must be hole where a bolt or a slot is given.",
                );
            }
            self.when(&field, &check.when, card);
        }
    }

    fn car(&mut self, card: &KitCard) {
        let most = [
            ("car_points", card.car_points.len(), MOST_POINTS),
            ("car_checks", card.car_checks.len(), MOST_DISTANCES),
        ];
        for (field, count, most) in most {
            if count > most {
                self.say(
                    field,
                    format!("has {count} entries, and a tape is held to at most {most}."),
                );
            }
        }
        self.unique(
            &mut card
                .car_points
                .iter()
                .enumerate()
                .map(|(i, point)| (format!("car_points[{i}].id"), point.id.as_str())),
        );
        for (i, point) in card.car_points.iter().enumerate() {
            self.text(&format!("car_points[{i}].name"), &point.name);
            let near = |other: &&CarPoint| (other.at - point.at).length() < ONE_POINT.as_metres();
            if let Some(other) = card.car_points.iter().take(i).find(near) {
                self.say(
                    format!("car_points[{i}].at"),
                    format!("lies where \"{}\" lies: one of the two is wrong.", other.id),
                );
            }
        }
        for (i, check) in card.car_checks.iter().enumerate() {
            let field = format!("car_checks[{i}]");
            self.positive(format!("{field}.distance"), check.distance);
            self.positive(format!("{field}.tolerance"), check.tolerance);
            self.when(&field, &check.when, card);
            if let Some(between) = &check.between {
                self.between(card, check, between, &field);
            }
        }
    }

    /// The two points of a distance must be there, and as far apart as it says.
    fn between(&mut self, card: &KitCard, check: &CarCheck, between: &[String; 2], field: &str) {
        for (k, id) in between.iter().enumerate() {
            if id.is_empty() {
                self.say(
                    format!("{field}.between[{k}]"),
                    "must be one of the car's points: choose it, or leave out both.",
                );
            } else if card.car_point(id).is_none() {
                self.say(
                    format!("{field}.between[{k}]"),
                    format!("names the point \"{id}\", which the card does not have."),
                );
            }
        }
        let [one, other] = between;
        if one == other && !one.is_empty() {
            self.say(
                format!("{field}.between"),
                "names one point twice: a distance is between two.",
            );
        } else if let (Some(one), Some(other)) = (card.car_point(one), card.car_point(other)) {
            let at = |place: usize| card.car_points.get(place).map(|point| point.at);
            let Some((one, other)) = at(one).zip(at(other)) else {
                return;
            };
            let apart = Length::metres((one - other).length());
            if (apart - check.distance).abs() > check.tolerance {
                let mm = |length: Length| write_length(length, LengthUnit::Millimetre);
                self.say(
                    format!("{field}.distance"),
                    format!(
                        "says {}, and the two points are {} apart: one of them is wrong.",
                        mm(check.distance),
                        mm(apart)
                    ),
                );
            }
        }
    }

    fn count(&mut self, field: &str, count: u32) {
        if count == 0 || count > 999 {
            self.say(
                format!("{field}.count"),
                "must be a whole number from 1 to 999.",
            );
        }
    }

    fn joints(&mut self, card: &KitCard) {
        self.not_too_many("joints", card.joints.len());
        self.unique(
            &mut card
                .joints
                .iter()
                .enumerate()
                .map(|(i, joint)| (format!("joints[{i}].id"), joint.id.as_str())),
        );
        for (i, joint) in card.joints.iter().enumerate() {
            let field = format!("joints[{i}]");
            self.count(&field, joint.count);
            self.when(&field, &joint.when, card);
            self.torque(format!("{field}.torque"), joint.torque);
        }
    }

    fn torque(&mut self, field: String, torque: Option<Torque>) {
        let fine =
            |torque: Torque| torque > Torque::ZERO && torque <= Torque::newton_metres(1000.0);
        if !torque.is_none_or(fine) {
            self.say(field, "must be between 0 and 1000 N·m, such as \"75 N·m\".");
        }
    }

    fn adjusters(&mut self, card: &KitCard) {
        self.not_too_many("adjusters", card.adjusters.len());
        self.unique(
            &mut card
                .adjusters
                .iter()
                .enumerate()
                .map(|(i, adjuster)| (format!("adjusters[{i}].id"), adjuster.id.as_str())),
        );
        for (i, adjuster) in card.adjusters.iter().enumerate() {
            let field = format!("adjusters[{i}]");
            for problem in adjuster.mechanism.problems() {
                self.say(format!("{field}.mechanism"), problem.to_string());
            }
            self.torque(format!("{field}.lock_torque"), adjuster.lock_torque);
            let toe = adjuster.toe.map(|toe| ("toe", toe.arm));
            let camber = adjuster.camber.map(|camber| ("camber", camber.arm));
            for (name, arm) in toe.into_iter().chain(camber) {
                // A long one stands for what is hardly moved.
                if arm < LEAST_ARM {
                    self.say(
                        format!("{field}.{name}.arm"),
                        "must be 20 mm or more, such as \"150 mm\".",
                    );
                }
            }
            if let Some(moves) = &adjuster.moves {
                self.moves(card, adjuster, moves, &field);
            } else if adjuster.toe.is_none() && adjuster.camber.is_none() {
                self.say(
                    &field,
                    "moves neither toe nor camber: give it a toe or a camber arm.",
                );
            }
        }
        self.pairs(card);
    }

    fn geometry(&mut self, card: &KitCard) {
        for (i, corner) in card.geometry.iter().enumerate() {
            let field = format!("geometry[{i}]");
            if card
                .geometry
                .iter()
                .take(i)
                .any(|other| other.corner == corner.corner)
            {
                self.say(format!("{field}.corner"), "has two geometries: leave one.");
            }
            self.unique(
                &mut corner
                    .links
                    .iter()
                    .enumerate()
                    .map(|(k, link)| (format!("{field}.links[{k}].name"), link.name.as_str())),
            );
            let problems = corner.geometry().problems();
            for problem in &problems {
                self.say(&field, problem.to_string());
            }
            if let Some(accuracy) = corner.accuracy {
                self.positive(format!("{field}.accuracy"), accuracy);
                if accuracy > MOST_ACCURACY {
                    self.say(
                        format!("{field}.accuracy"),
                        "must be 20 mm at most: points known worse tell nothing.",
                    );
                }
            }
            for (k, rod_end) in corner.rod_ends.iter().enumerate() {
                let field = format!("{field}.rod_ends[{k}]");
                if corner.link(&rod_end.link).is_none() {
                    self.unknown_link(format!("{field}.link"), &rod_end.link);
                }
                if rod_end.bolt.length() == 0.0 {
                    self.say(
                        format!("{field}.bolt"),
                        "must point along the bolt, such as \"100 0 0 mm\".",
                    );
                }
                if rod_end.most <= Angle::ZERO || rod_end.most > Angle::degrees(45.0) {
                    self.say(
                        format!("{field}.most"),
                        "must be more than zero and at most 45 deg.",
                    );
                }
            }
            self.range(corner, &field);
            if problems.is_empty() {
                match held(&corner.geometry()) {
                    Err(error) => self.say(&field, error),
                    Ok(()) => self.reached(corner, &field),
                }
            }
        }
    }

    /// A front wheel stands ahead of a rear one, or x was counted backwards.
    fn ahead(&mut self, card: &KitCard) {
        let x = |axle: Axle| {
            let mut corners = card.geometry.iter();
            corners
                .find(|corner| corner.corner.axle() == axle)
                .map(|corner| corner.wheel.centre.x)
        };
        if let (Some(front), Some(rear)) = (x(Axle::Front), x(Axle::Rear))
            && front <= rear
        {
            self.say(
                "geometry",
                "has its front wheels behind its rear ones: x is positive forwards.",
            );
        }
    }

    /// Travel, rack and half-shaft must make sense.
    fn range(&mut self, corner: &CornerGeometry, field: &str) {
        let mut lengths = Vec::new();
        if let Some(travel) = &corner.travel {
            lengths.push(("travel.bump", travel.bump, Limit::WheelTravel));
            lengths.push(("travel.droop", travel.droop, Limit::WheelTravel));
        }
        if let Some(rack) = &corner.rack {
            lengths.push(("rack.each_way", rack.each_way, Limit::RackTravel));
            if corner.link(&rack.link).is_none() {
                self.unknown_link(format!("{field}.rack.link"), &rack.link);
            }
        }
        if let Some(shaft) = &corner.half_shaft {
            lengths.push(("half_shaft.shorter", shaft.shorter, Limit::Plunge));
            lengths.push(("half_shaft.longer", shaft.longer, Limit::Plunge));
            let long = Length::metres((shaft.outer - shaft.inner).length());
            if long < SHAFT[0] || long > SHAFT[1] {
                self.say(
                    format!("{field}.half_shaft"),
                    format!(
                        "is {} from joint to joint, and a half-shaft between 100 and 1500 mm: a unit or a digit may be wrong.",
                        write_length(long, LengthUnit::Millimetre)
                    ),
                );
            }
            if shaft.inner.y * shaft.outer.y < 0.0 {
                self.say(
                    format!("{field}.half_shaft"),
                    "has its joints on two sides of the car: y is positive to the left.",
                );
            }
        }
        for (name, length, limit) in lengths {
            if let Err(error) = limit.hold_length(length, LengthUnit::Millimetre) {
                self.say(format!("{field}.{name}"), error.to_string());
            }
        }
    }

    /// The corner must be able to go where its travel and its rack take it.
    fn reached(&mut self, corner: &CornerGeometry, field: &str) {
        let geometry = corner.geometry();
        let Ok(drawn) = Linkage::new(&geometry) else {
            return;
        };
        let range = corner.range();
        let (tie_rod, lock) = range
            .rack
            .map_or((0, Length::ZERO), |rack| (rack.link, rack.each_way));
        for (name, rack, travel) in [
            ("travel.bump", Length::ZERO, range.bump),
            ("travel.droop", Length::ZERO, -range.droop),
            ("rack.each_way", lock, Length::ZERO),
            ("rack.each_way", -lock, Length::ZERO),
        ] {
            // Half way first: Newton's method does not find the end of a long way at once.
            let half = drawn
                .racked(tie_rod, rack * 0.5)
                .pose(&Default::default(), travel * 0.5);
            let whole = half.and_then(|half| {
                drawn
                    .racked(tie_rod, rack)
                    .pose_from(&half, &Default::default(), travel)
            });
            if let Err(error) = whole {
                self.say(
                    format!("{field}.{name}"),
                    format!("goes further than the links do. {}", error.words(&geometry)),
                );
            }
        }
    }

    fn unknown_link(&mut self, field: String, name: &str) {
        self.say(
            field,
            format!("names the link \"{name}\", which the corner's geometry does not have."),
        );
    }

    /// What an adjuster moves must be there, must move the wheel, and must move it the way its lever arms say.
    fn moves(&mut self, card: &KitCard, adjuster: &Adjuster, moves: &Moves, field: &str) {
        let Some(corner) = card.geometry_of(adjuster.corner) else {
            return self.say(
                format!("{field}.moves"),
                "needs the corner's geometry, which the card does not have.",
            );
        };
        for (list, names) in [("links", &moves.links), ("joints", &moves.joints)] {
            for (k, name) in names.iter().enumerate() {
                let field = format!("{field}.moves.{list}[{k}]");
                if corner.link(name).is_none() {
                    self.unknown_link(field, name);
                } else if names.iter().take(k).any(|other| other == name) {
                    self.say(field, "stands twice: leave one.");
                }
            }
        }
        if moves.strut_top && corner.strut.is_none() {
            self.say(
                format!("{field}.moves.strut_top"),
                "needs a strut, which the corner's geometry does not have.",
            );
        }
        let geometry = corner.geometry();
        let mover = corner.mover(moves);
        // What is wrong with the geometry is said where it stands.
        let Ok(linkage) = Linkage::new(&geometry) else {
            return;
        };
        let Ok(rates) = linkage.rates_of(&linkage.drawn(), std::slice::from_ref(&mover)) else {
            return;
        };
        let Some(rate) = rates.first().filter(|rate| {
            mover.moves(geometry.links.len(), geometry.strut.is_some())
                && rate.toe.abs().max(rate.camber.abs()) > LEAST_RATE
        }) else {
            return self.say(
                format!("{field}.moves"),
                "moves neither toe nor camber: name the links that it lengthens, or the joints at the car that it shifts and towards where.",
            );
        };
        let toe = adjuster
            .toe
            .map(|arm| (arm.lengthening == ToeSense::ToeIn, ["toe-in", "toe-out"]));
        let camber = adjuster.camber.map(|arm| {
            (
                arm.lengthening == CamberSense::TopOut,
                ["top out", "top in"],
            )
        });
        for (name, said, rate) in [("toe", toe, rate.toe), ("camber", camber, rate.camber)] {
            if let Some((plus, [more, less])) = said
                && rate.abs() > LEAST_RATE
                && plus != (rate > 0.0)
            {
                let (says, gives) = if plus { (more, less) } else { (less, more) };
                self.say(
                    format!("{field}.{name}.lengthening"),
                    format!(
                        "says {says}, and by the geometry of the {} what it moves gives {gives}, {} for each mm: one of the two is wrong.",
                        adjuster.corner.words().to_ascii_lowercase(),
                        write_angle(Angle::radians(rate.abs() / 1e3), AngleUnit::Degree)
                    ),
                );
            }
        }
    }

    fn advice(&mut self, card: &KitCard) {
        self.not_too_many("uses", card.uses.len());
        self.not_too_many("advice", card.advice.len());
        self.not_too_many("revisions", card.revisions.len());
        self.unique(
            &mut card
                .uses
                .iter()
                .enumerate()
                .map(|(i, one)| (format!("uses[{i}].id"), one.id.as_str())),
        );
        for (i, advice) in card.advice.iter().enumerate() {
            let field = format!("advice[{i}]");
            self.text(&format!("{field}.text"), &advice.text);
            self.when(&field, &advice.when, card);
            if advice.uses.is_empty() {
                self.say(
                    format!("{field}.uses"),
                    "must name the use it is for, or more.",
                );
            }
            for id in &advice.uses {
                if card.uses.iter().all(|known| known.id != *id) {
                    self.say(
                        format!("{field}.uses"),
                        format!("names the use \"{id}\", which the card does not have."),
                    );
                }
            }
        }
    }

    /// A corner has each adjuster once, or left and right could not be compared.
    fn pairs(&mut self, card: &KitCard) {
        for (i, adjuster) in card.adjusters.iter().enumerate() {
            if card
                .adjusters
                .iter()
                .take(i)
                .any(|other| other.corner == adjuster.corner && other.name == adjuster.name)
            {
                self.say(
                    format!("adjusters[{i}].name"),
                    format!(
                        "\"{}\" stands twice at this corner: give one of them another name.",
                        adjuster.name
                    ),
                );
            }
        }
    }

    fn targets(&mut self, card: &KitCard) {
        for (i, target) in card.targets.iter().enumerate() {
            for (name, one, limit) in [
                ("toe", target.toe, Limit::Toe),
                ("camber", target.camber, Limit::Camber),
            ] {
                if let Err(error) = limit.hold_angle(one.aim) {
                    self.say(format!("targets[{i}].{name}.aim"), error.to_string());
                }
                if one.tolerance <= Angle::ZERO {
                    self.say(
                        format!("targets[{i}].{name}.tolerance"),
                        "must be more than zero, such as \"0.05 deg\".",
                    );
                }
            }
            let both = [
                ("total_toe", target.total_toe),
                ("thrust", target.thrust),
                ("cross_camber", target.cross_camber),
            ];
            for (name, tolerance) in both {
                if tolerance.is_some_and(|tolerance| tolerance <= Angle::ZERO) {
                    self.say(
                        format!("targets[{i}].{name}"),
                        "must be more than zero, such as \"0.05 deg\".",
                    );
                }
            }
            if card
                .targets
                .iter()
                .filter(|other| other.axle == target.axle)
                .count()
                > 1
            {
                self.say(format!("targets[{i}].axle"), "has two targets: leave one.");
            }
        }
        for (i, adjuster) in card.adjusters.iter().enumerate() {
            if card.target(adjuster.corner.axle()).is_none() {
                self.say(
                    format!("adjusters[{i}].corner"),
                    "is on an axle without a target: add one to targets.",
                );
            }
        }
    }

    fn steps(&mut self, card: &KitCard) {
        let nothing = When::default();
        let all: Vec<(String, &Step, &When)> = {
            let nothing = &nothing;
            let sections = card.sections.iter().enumerate().flat_map(|(s, section)| {
                section.steps.iter().enumerate().map(move |(i, step)| {
                    (format!("sections[{s}].steps[{i}]"), step, &section.when)
                })
            });
            let load = card
                .before_load
                .iter()
                .enumerate()
                .map(|(i, step)| (format!("before_load[{i}]"), step, nothing));
            let drive = card
                .before_drive
                .iter()
                .enumerate()
                .map(|(i, step)| (format!("before_drive[{i}]"), step, nothing));
            sections.chain(load).chain(drive).collect()
        };
        self.not_too_many("steps", all.len());
        self.unique(
            &mut all
                .iter()
                .map(|(field, step, _)| (format!("{field}.id"), step.id.as_str())),
        );
        for (s, section) in card.sections.iter().enumerate() {
            self.when(&format!("sections[{s}]"), &section.when, card);
        }
        for (field, step, _) in &all {
            self.text(&format!("{field}.text"), &step.text);
            self.when(field, &step.when, card);
            if let Some(id) = &step.joint
                && card.joint(id).is_none()
            {
                self.say(
                    format!("{field}.joint"),
                    format!("names the joint \"{id}\", which the card does not have."),
                );
            }
        }
        for order in card.orders() {
            for (i, joint) in card
                .joints
                .iter()
                .enumerate()
                .filter(|(_, joint)| applies(&joint.when, &order))
            {
                let signs = |(_, step, section): &&(String, &Step, &When)| {
                    step.joint.as_deref() == Some(joint.id.as_str())
                        && applies(&step.when, &order)
                        && applies(section, &order)
                };
                if all.iter().find(signs).is_none() {
                    let order: Vec<_> = order
                        .iter()
                        .map(|(option, choice)| format!("{option}: {choice}"))
                        .collect();
                    self.say(
                        format!("joints[{i}]"),
                        format!(
                            "no step signs off \"{}\" for the order {}.",
                            joint.name,
                            order.join(", ")
                        ),
                    );
                }
            }
        }
    }
}
