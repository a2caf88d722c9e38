//! A corner's geometry: hardpoints typed, the linkage drawn, and what each link and the travel do to toe and camber.

mod answer;
mod joints;

use super::{Pick, empty, field, length_field, list, pick, place_of, spoken, thread_list, typed};
use crate::app::device;
use crate::app::dom::{Derived, El, div, el, p, result};
use crate::app::field::{EntryField, choices};
use crate::app::parts::{Working, body};
use crate::app::shell::link;
use crate::app::signal::RwSignal;
use crate::document::{Axle, CornerGeometry, Entry, Preferences, Sense, Unit, read_corner};
use crate::drawing::CornerViews;
use crate::hardware::Thread;
use crate::linkage::{
    Geometry, GeometryError, Hardpoints, JointLimit, LAYOUTS, Linkage, MOST_SPOTS, Mover, Pitch,
    Range, Side, Vector, Wheel, mirrored, read_point, write_point,
};
use crate::quantity::{
    Angle, Fixed, Length, LengthUnit, Limit, ReadError, read_number_of, write_made_length,
};
use crate::station::length_of;
use joints::Joints;
use std::cell::RefCell;
use std::rc::Rc;

/// Before a corner in the address.
const HANDED: &str = "#/geometry/";
const TOE: [&str; 2] = ["toe-in", "toe-out"];
const CAMBER: [&str; 2] = ["top out", "top in"];

/// What is asked.
#[derive(Clone, Copy)]
struct Asked {
    preferences: RwSignal<Preferences>,
    /// The corner of a kit card, where the address holds one.
    given: Option<&'static CornerGeometry>,
    /// A place among the layouts, or the one behind them for the kit card's corner.
    layout: Pick,
    /// 0 for the left side.
    side: Pick,
    points: [RwSignal<Entry>; MOST_SPOTS],
    centre: RwSignal<Entry>,
    radius: RwSignal<Entry>,
    toe: RwSignal<Entry>,
    camber: RwSignal<Entry>,
    thread: Pick,
    double: Pick,
    /// 0 for none, then the links, then the strut's top.
    moved: Pick,
    hole: RwSignal<Entry>,
    /// 0 for the front axle.
    axle: Pick,
    wheelbase: RwSignal<Entry>,
    gravity: RwSignal<Entry>,
    share: RwSignal<Entry>,
    joints: Joints,
}

/// A corner that can be solved.
struct Corner {
    name: String,
    asked: Hardpoints,
    geometry: Geometry,
    linkage: Linkage,
    /// The travel and steer over which it is looked at.
    range: Range,
    /// What its joints may do, or what of it cannot be read.
    limits: Result<Vec<JointLimit>, Vec<String>>,
    /// The corner with one joint in another hole; or why there is none.
    other: Option<Result<Other, String>>,
}

/// A joint at the car.
#[derive(Clone, Copy)]
enum Joint {
    /// A link's.
    Link(usize),
    /// The strut's top.
    StrutTop,
}

/// A corner with one joint in another hole. A link is set anew there, so that the wheel stands as typed; a strut's top moves the wheel.
struct Other {
    joint: Joint,
    /// The hole, and the joint at the carrier that it is joined to.
    drawn: (Vector, Vector),
    geometry: Geometry,
    linkage: Linkage,
}

/// What was typed as a corner, or why there is none.
type Found = Derived<Result<Corner, Vec<String>>>;

/// A corner's geometry.
pub fn geometry(preferences: RwSignal<Preferences>) -> [El; 2] {
    let usual = Thread::parse("5/8-18 UNF").unwrap_or_default();
    let (given, refused) = match given() {
        None => (None, None),
        // It lives as long as the page, as all that the page owns.
        Some(Ok(corner)) => (Some(&*Box::leak(Box::new(corner))), None),
        Some(Err(reason)) => (None, Some(reason)),
    };
    let asked = Asked {
        preferences,
        layout: RwSignal::new(if given.is_some() { LAYOUTS.len() } else { 0 }),
        given,
        side: RwSignal::new(0),
        points: [(); MOST_SPOTS].map(|()| empty()),
        centre: empty(),
        radius: empty(),
        toe: empty(),
        camber: empty(),
        thread: RwSignal::new(place_of(usual)),
        double: RwSignal::new(0),
        moved: RwSignal::new(0),
        hole: empty(),
        axle: RwSignal::new(0),
        wheelbase: typed("2540", Unit::Millimetre),
        gravity: typed("480", Unit::Millimetre),
        share: empty(),
        joints: Joints::new(preferences),
    };
    asked.begin();
    let found = result(move || asked.corner());
    let (working, folded) = (Working::new(), answer::Folded::new());
    let answer = spoken(move || asked.answer(found, &working, &folded));
    [asked.known(found, refused), answer]
}

/// The corner that the address holds, or why it cannot be read; none where it holds none.
fn given() -> Option<Result<CornerGeometry, String>> {
    let hash = device::hash();
    let text = device::decoded(hash.strip_prefix(HANDED)?);
    Some(read_corner(&text).map_err(|problems| {
        let problems: Vec<_> = problems.iter().map(ToString::to_string).collect();
        format!(
            "The address holds no corner that can be read: {}",
            problems.join(" ")
        )
    }))
}

fn put(entry: RwSignal<Entry>, text: String, unit: Unit, sense: Option<Sense>) {
    entry.set(Entry { text, unit, sense });
}

/// A number as it is put into a field: to a thousandth, without trailing zeros.
fn short(value: f64) -> String {
    let text = Fixed(value, 3).to_string();
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn put_point(entry: RwSignal<Entry>, point: Vector) {
    put(entry, write_point(point), Unit::Millimetre, None);
}

fn point_of(entry: &Entry) -> Result<Vector, String> {
    read_point(&entry.text).map_err(|error| error.to_string())
}

fn angle_of(entry: &Entry, ways: [&'static str; 2], limit: Limit) -> Result<Angle, String> {
    let angle = entry.angle(ways).and_then(|angle| limit.hold_angle(angle));
    angle.map_err(|error| error.to_string())
}

fn radius_of(entry: &Entry) -> Result<Length, String> {
    let radius = entry.length().map_err(|error| error.to_string())?;
    if (150.0..=600.0).contains(&radius.as_mm()) {
        Ok(radius)
    } else {
        Err(GeometryError::Radius.to_string())
    }
}

fn gravity_of(entry: &Entry) -> Result<Length, String> {
    let gravity = entry.length().map_err(|error| error.to_string())?;
    if (100.0..=1500.0).contains(&gravity.as_mm()) {
        Ok(gravity)
    } else {
        Err("The centre of gravity lies between 100 and 1500 mm above the ground.".into())
    }
}

fn share_of(entry: &Entry) -> Result<f64, String> {
    let percent = read_number_of(&entry.text, "%").map_err(|error: ReadError| error.to_string())?;
    if percent <= 100.0 {
        Ok(percent / 100.0)
    } else {
        Err("The share of the brakes lies between 0 and 100 %.".into())
    }
}

impl Asked {
    /// The points that are asked for; none of them where the card's corner is gone.
    fn asked(self) -> Hardpoints {
        match LAYOUTS.get(self.layout.get()) {
            Some(layout) => layout.hardpoints(),
            None => self.given.map_or_else(Hardpoints::default, |given| {
                Hardpoints::of(&given.geometry()).0
            }),
        }
    }

    /// What the layout is called.
    fn name(self) -> String {
        match LAYOUTS.get(self.layout.get()) {
            Some(layout) => layout.name.to_owned(),
            None => self.card_name().unwrap_or_default(),
        }
    }

    /// What the kit card's corner is called.
    fn card_name(self) -> Option<String> {
        self.given
            .map(|given| format!("kit card, {}", given.corner.words().to_ascii_lowercase()))
    }

    /// Puts the invented corner of the layout, or the kit card's, into the fields, following nothing.
    fn begin(self) {
        self.moved.set(0);
        self.joints.begin();
        if let Some(layout) = LAYOUTS.get(self.layout.get_untracked()) {
            let side = side_at(self.side.get_untracked());
            return self.fill(&layout.example(side), &layout.wheel(side));
        }
        let Some(given) = self.given else {
            return;
        };
        let geometry = given.geometry();
        self.side.set(usize::from(geometry.side == Side::Right));
        self.fill(&Hardpoints::of(&geometry).1, &geometry.wheel);
        self.axle
            .set(usize::from(given.corner.axle() == Axle::Rear));
        self.joints.take(given);
    }

    fn fill(self, points: &[Vector], wheel: &Wheel) {
        for (entry, point) in self.points.into_iter().zip(points) {
            put_point(entry, *point);
        }
        put_point(self.centre, wheel.centre);
        joints::put_length(self.radius, wheel.radius);
        for (entry, angle) in [(self.toe, wheel.toe), (self.camber, wheel.camber)] {
            let sense = if angle.as_radians() < 0.0 {
                Sense::Minus
            } else {
                Sense::Plus
            };
            put(
                entry,
                short(angle.abs().as_degrees()),
                Unit::Degree,
                Some(sense),
            );
        }
        let rear = wheel.centre.x < -1.0;
        self.axle.set(usize::from(rear));
        let share = if rear { "35" } else { "65" };
        put(self.share, share.to_owned(), Unit::Count, None);
    }

    /// Takes what can be read to the other side of the car.
    fn mirror(self) {
        for entry in self.points.into_iter().chain([self.centre, self.hole]) {
            if let Ok(point) = point_of(&entry.get_untracked()) {
                put_point(entry, mirrored(point));
            }
        }
        self.joints.mirror();
    }

    fn wheel(self) -> Result<Wheel, Vec<String>> {
        let mut unread = Vec::new();
        let mut note = |name: &str| {
            unread.push(no_answer(name));
        };
        let centre = point_of(&self.centre.get()).map_err(|_| note("the wheel's centre"));
        let radius = radius_of(&self.radius.get()).map_err(|_| note("the wheel's radius"));
        let toe = angle_of(&self.toe.get(), TOE, Limit::Toe).map_err(|_| note("toe"));
        let camber = angle_of(&self.camber.get(), CAMBER, Limit::Camber);
        let camber = camber.map_err(|_| note("camber"));
        match (centre, radius, toe, camber) {
            (Ok(centre), Ok(radius), Ok(toe), Ok(camber)) => Ok(Wheel {
                centre,
                radius,
                toe,
                camber,
            }),
            _ => Err(unread),
        }
    }

    /// The corner as typed, or everything that is wrong with it.
    fn corner(self) -> Result<Corner, Vec<String>> {
        let asked = self.asked();
        let (mut points, mut unread) = (Vec::new(), Vec::new());
        for (label, entry) in asked.labels.iter().zip(self.points) {
            match point_of(&entry.get()) {
                Ok(point) => points.push(point),
                Err(_) => unread.push(no_answer(label)),
            }
        }
        let range = self.joints.range(&mut unread);
        let wheel = match self.wheel() {
            Ok(wheel) => wheel,
            Err(others) => {
                unread.extend(others);
                return Err(unread);
            }
        };
        if !unread.is_empty() {
            return Err(unread);
        }
        let Some(geometry) = asked.geometry(side_at(self.side.get()), &points, wheel) else {
            return Err(vec![
                "No answer: this corner asks for more points.".to_owned(),
            ]);
        };
        let linkage = solvable(&geometry)?;
        let other = self.other(&asked, &geometry, &linkage);
        Ok(Corner {
            name: self.name(),
            asked,
            geometry,
            linkage,
            other,
            range,
            limits: self.joints.limits(),
        })
    }

    /// The corner with one joint in another hole.
    fn other(
        self,
        asked: &Hardpoints,
        geometry: &Geometry,
        drawn: &Linkage,
    ) -> Option<Result<Other, String>> {
        let joint = joint_at(self.moved.get(), asked)?;
        let hole = match point_of(&self.hole.get()) {
            Ok(hole) => hole,
            Err(_) => return Some(Err(no_answer("the other hole"))),
        };
        let mut geometry = geometry.clone();
        let (carrier, linkage) = match joint {
            Joint::Link(link) => {
                let link = geometry.links.get_mut(link)?;
                link.car = hole;
                (link.carrier, solvable(&geometry))
            }
            Joint::StrutTop => {
                let strut = geometry.strut.as_mut()?;
                let by = hole - strut.top;
                // So many times its way: from no hole to another it has none.
                let mover = Mover {
                    strut_top: true,
                    way: by,
                    ..Mover::default()
                };
                strut.top = hole;
                let moved = drawn.set(&[mover], &[Length::metres(1.0)]);
                let stands = moved
                    .pose(&Default::default(), Length::ZERO)
                    .and_then(|pose| moved.rates(&pose));
                let moved = match stands {
                    Ok(_) => Ok(moved),
                    Err(error) => Err(vec![error.words(&geometry)]),
                };
                (geometry.strut?.on_axis, moved)
            }
        };
        Some(match linkage {
            Ok(linkage) => Ok(Other {
                joint,
                drawn: (hole, carrier),
                geometry,
                linkage,
            }),
            Err(problems) => Err(format!("With the other hole: {}", problems.join(" "))),
        })
    }

    /// What the side view is asked about, where it can be read.
    fn pitch(self) -> Option<Pitch> {
        Some(Pitch {
            wheelbase: length_of(&self.wheelbase.get(), Limit::Wheelbase).ok()?,
            gravity: gravity_of(&self.gravity.get()).ok()?,
            share: share_of(&self.share.get()).ok()?,
            front: self.axle.get() == 0,
            inboard: false,
        })
    }

    /// How far a whole turn takes a link.
    fn per_turn(self) -> Length {
        let pitches = if self.double.get() == 1 { 2.0 } else { 1.0 };
        super::thread_at(self.thread.get()).pitch() * pitches
    }

    fn known(self, found: Found, refused: Option<String>) -> El {
        let names = LAYOUTS.iter().map(|layout| layout.name.to_owned());
        let names: Vec<_> = names
            .chain(self.card_name())
            .enumerate()
            .map(|(place, name)| (place.to_string(), name))
            .collect();
        let layout = choices(
            "layout",
            "Layout",
            &names,
            move || self.layout.get().to_string(),
            move |place| {
                super::take(self.layout, &place);
                self.begin();
            },
        );
        let sides = ["left", "right"].map(|side| (side.to_owned(), side.to_owned()));
        let side = choices(
            "side",
            "Side of the car",
            &sides,
            move || sides_word(self.side.get()).to_owned(),
            move |side| {
                let right = usize::from(side == "right");
                if self.side.get_untracked() != right {
                    self.side.set(right);
                    self.mirror();
                }
            },
        );
        body()
            .children(refused.map(|reason| p(&reason).class("reason").attr("role", "alert")))
            .child(layout)
            .child(side)
            .child(drawing(found))
            .child(p("").class("small soft").live_text(move || {
                let whose = if self.layout.get() < LAYOUTS.len() {
                    "The corner in the fields is invented: type yours over it."
                } else {
                    "The corner in the fields is the kit card's, with every adjuster at its base. What is typed here leaves the card as it is."
                };
                format!("Every point is x, y, z in mm: x forward, y to the left, z up. {whose}")
            }))
            .child(
                p("A kit card's corner opens from Turn of its job, or from the card at the desk.")
                    .class("small soft"),
            )
            .child(link("../desk/", "Open a kit card at the desk").class("button"))
            .child(div("fields wide").live(move || {
                let labels = self.asked().labels.into_iter().enumerate();
                labels
                    .zip(self.points)
                    .map(|((place, label), entry)| {
                        point_field(&format!("point-{place}"), &label, entry)
                    })
                    .collect()
            }))
            .child(self.wheel_fields())
            .child(self.adjuster())
            .child(self.other_hole())
            .child(self.joints.known(move || self.asked()))
            .child(self.more())
    }

    fn wheel_fields(self) -> El {
        let angle = |id: &'static str,
                     label: &str,
                     entry: RwSignal<Entry>,
                     ways: [&'static str; 2],
                     limit: Limit| {
            let preferences = self.preferences;
            EntryField {
                id: id.to_owned(),
                label: label.to_owned(),
                ways: Some(ways),
                get: Rc::new(move || entry.get()),
                set: Rc::new(move |typed| entry.set(typed)),
                unit: Rc::new(move || preferences.get().angle.into()),
                understood: Rc::new(move |entry| {
                    let words = preferences.get();
                    angle_of(entry, ways, limit).map(|angle| words.way(angle, ways))
                }),
            }
            .view()
        };
        div("stack")
            .child(point_field("centre", "Wheel: its centre", self.centre))
            .child(
                div("fields")
                    .child(field(
                        self.preferences,
                        "radius",
                        "Wheel: radius to the ground",
                        self.radius,
                        |words| words.length.into(),
                        |entry, words| {
                            radius_of(entry).map(|length| write_made_length(length, words.length))
                        },
                    ))
                    .child(angle(
                        "toe",
                        "Wheel: toe as drawn",
                        self.toe,
                        TOE,
                        Limit::Toe,
                    ))
                    .child(angle(
                        "camber",
                        "Wheel: camber as drawn",
                        self.camber,
                        CAMBER,
                        Limit::Camber,
                    )),
            )
    }

    fn adjuster(self) -> El {
        div("stack")
            .child(thread_list("Thread of the adjusters", self.thread))
            .child(pick(
                "kind",
                "Adjuster",
                &[
                    "rod end on its shank: one pitch a turn",
                    "sleeve, left- and right-hand: two pitches a turn",
                ],
                self.double,
            ))
    }

    /// Another hole for one joint at the car, which begins where the joint is.
    fn other_hole(self) -> El {
        div("stack").live(move || {
            let asked = self.asked();
            let links = (1..).zip(&asked.links);
            let mut options = vec![(0, "none".to_owned())];
            options.extend(links.map(|(place, (name, ..))| (place, format!("{place} {name}"))));
            if asked.strut.is_some() {
                options.push((options.len(), "S Strut: top".to_owned()));
            }
            let select = list("moved", "Another hole for", [("", options)], self.moved)
                // It comes after the list took its value.
                .on("change", move |_| {
                    let here = match joint_at(self.moved.get_untracked(), &asked) {
                        Some(Joint::Link(link)) => asked.car_joint(link),
                        Some(Joint::StrutTop) => asked.strut.map(|[top, _]| top),
                        None => None,
                    };
                    if let Some(here) = here.and_then(|place| self.points.get(place)) {
                        self.hole.set(here.get_untracked());
                    }
                });
            let hole = div("").live(move || {
                let asked = (self.moved.get() > 0)
                    .then(|| point_field("hole", "The other hole, at the car", self.hole));
                asked.into_iter().collect()
            });
            vec![select, hole]
        })
    }

    fn more(self) -> El {
        let preferences = self.preferences;
        el("details")
            .class("working")
            .child(el("summary").text("More: axle, wheelbase, centre of gravity, brakes"))
            .child(
                div("stack")
                    .child(pick("axle", "Axle", &["front", "rear"], self.axle))
                    .child(
                        div("fields")
                            .child(length_field(
                                preferences,
                                "wheelbase",
                                "Wheelbase",
                                self.wheelbase,
                                Limit::Wheelbase,
                            ))
                            .child(field(
                                preferences,
                                "gravity",
                                "Centre of gravity over the ground",
                                self.gravity,
                                |words| words.length.into(),
                                |entry, words| {
                                    gravity_of(entry)
                                        .map(|length| write_made_length(length, words.length))
                                },
                            ))
                            .child(field(
                                preferences,
                                "share",
                                "Share of the brakes at this axle, %",
                                self.share,
                                |_| Unit::Count,
                                |entry, _| {
                                    share_of(entry)
                                        .map(|share| format!("{} %", Fixed(share * 100.0, 0)))
                                },
                            )),
                    )
                    .child(p("Brakes at the wheels, not inboard.").class("small soft")),
            )
    }
}

/// The joint at a place of the list of those that may have another hole.
fn joint_at(place: usize, asked: &Hardpoints) -> Option<Joint> {
    let link = place.checked_sub(1)?;
    if link < asked.links.len() {
        Some(Joint::Link(link))
    } else {
        asked.strut.map(|_| Joint::StrutTop)
    }
}

const fn side_at(place: usize) -> Side {
    if place == 0 { Side::Left } else { Side::Right }
}

const fn sides_word(side: usize) -> &'static str {
    if side == 0 { "left" } else { "right" }
}

fn no_answer(name: &str) -> String {
    format!("No answer: {name} cannot be right. See the reason there.")
}

/// Ready to be solved, or everything that is wrong with it.
fn solvable(geometry: &Geometry) -> Result<Linkage, Vec<String>> {
    let linkage = Linkage::new(geometry).map_err(|_| {
        let problems = geometry.problems();
        problems
            .iter()
            .map(GeometryError::to_string)
            .collect::<Vec<_>>()
    })?;
    match linkage.rates(&linkage.drawn()) {
        Ok(_) => Ok(linkage),
        Err(error) => Err(vec![error.words(geometry)]),
    }
}

/// The views of the corner, or of the last one that could be read.
fn drawing(found: Found) -> El {
    let last = RefCell::new(String::new());
    div("").live(move || {
        let views = found.with(|found| {
            let corner = found.as_ref().ok()?;
            let mut views = CornerViews::new(&corner.geometry).ok()?;
            if let Some(Ok(other)) = &corner.other {
                views.other = Some(other.drawn);
            }
            Some(views.svg())
        });
        let stale = views.is_none();
        if let Some(views) = views {
            *last.borrow_mut() = views;
        }
        let mut drawn = vec![div("").markup(&last.borrow())];
        if stale {
            drawn.push(
                p("Drawn as it last could be: what stands in the fields now cannot be drawn.")
                    .class("reason"),
            );
        }
        drawn
    })
}

/// A field for a point. Its keyboard has a minus and a space.
fn point_field(id: &str, label: &str, entry: RwSignal<Entry>) -> El {
    checked_point_field(id, label, entry, |entry| point_of(entry).err())
}

/// A field for a point or a direction, and what is wrong with it.
fn checked_point_field(
    id: &str,
    label: &str,
    entry: RwSignal<Entry>,
    wrong: fn(&Entry) -> Option<String>,
) -> El {
    let note = format!("{id}-note");
    let input = el("input")
        .attr("id", id)
        .attr("type", "text")
        .attr("autocomplete", "off")
        .attr("spellcheck", "false")
        .attr("aria-describedby", &note)
        .live_attr("aria-invalid", move || {
            wrong(&entry.get()).map(|_| "true".to_owned())
        })
        .live_value(move || entry.get().text)
        .on_value("input", move |text| {
            put(entry, text, Unit::Millimetre, None);
        });
    div("field")
        .child(el("label").attr("for", id).text(label))
        .child(
            div("box").child(input).child(
                el("span")
                    .class("unit")
                    .text(LengthUnit::Millimetre.symbol()),
            ),
        )
        .child(
            p("")
                .attr("id", &note)
                .class("reason")
                .live_text(move || wrong(&entry.get()).unwrap_or_default()),
        )
}
