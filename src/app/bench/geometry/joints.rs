//! What is asked of a corner's joints over travel and steer: rod ends, a half-shaft, and how far the wheel and the rack go.

use super::super::{Pick, empty, field, length_field, list, pick, typed};
use super::{no_answer, point_of, put_point, short};
use crate::app::dom::{El, button, div, el, p};
use crate::app::signal::RwSignal;
use crate::document::{CornerGeometry, Entry, LinkEnd, Preferences, Unit};
use crate::linkage::{Hardpoints, JointLimit, Rack, Range, mirrored};
use crate::quantity::{Angle, Length, Limit};
use crate::station::length_of;

/// How far the curves go each way where nothing else is said, in millimetres.
const REACH: &str = "60";
/// The most rod ends that are asked: both ends of five links.
const MOST: usize = 10;

/// A rod end.
#[derive(Clone, Copy)]
struct RodEnd {
    link: Pick,
    /// 0 for the end at the car.
    end: Pick,
    bolt: RwSignal<Entry>,
    most: RwSignal<Entry>,
}

/// What is asked of the joints.
#[derive(Clone, Copy)]
pub(super) struct Joints {
    preferences: RwSignal<Preferences>,
    bump: RwSignal<Entry>,
    droop: RwSignal<Entry>,
    /// 0 for none, then the links.
    tie_rod: Pick,
    each_way: RwSignal<Entry>,
    rod_ends: RwSignal<Vec<RodEnd>>,
    inner: RwSignal<Entry>,
    outer: RwSignal<Entry>,
    shorter: RwSignal<Entry>,
    longer: RwSignal<Entry>,
}

fn lean_of(entry: &Entry) -> Result<Angle, String> {
    let lean = entry
        .division()
        .and_then(|lean| Limit::Lean.hold_angle(lean));
    lean.map_err(|error| error.to_string())
}

/// The way of a bolt, of any length but none.
fn way_of(entry: &Entry) -> Result<crate::linkage::Vector, String> {
    let way = point_of(entry)?;
    if way.length() > 0.0 {
        Ok(way)
    } else {
        Err("Write the way along the bolt, such as 100 0 0 for one along the car.".into())
    }
}

/// A length in a field, in millimetres.
pub(super) fn put_length(entry: RwSignal<Entry>, length: Length) {
    super::put(entry, short(length.as_mm()), Unit::Millimetre, None);
}

impl Joints {
    pub(super) fn new(preferences: RwSignal<Preferences>) -> Self {
        Self {
            preferences,
            bump: typed(REACH, Unit::Millimetre),
            droop: typed(REACH, Unit::Millimetre),
            tie_rod: RwSignal::new(0),
            each_way: typed("60", Unit::Millimetre),
            rod_ends: RwSignal::new(Vec::new()),
            inner: empty(),
            outer: empty(),
            shorter: typed("20", Unit::Millimetre),
            longer: typed("20", Unit::Millimetre),
        }
    }

    /// Asks nothing of the joints, over the usual travel.
    pub(super) fn begin(self) {
        for entry in [self.bump, self.droop] {
            super::put(entry, REACH.to_owned(), Unit::Millimetre, None);
        }
        self.tie_rod.set(0);
        self.rod_ends.set(Vec::new());
        for entry in [self.inner, self.outer] {
            entry.set(Entry::default());
        }
    }

    /// Asks what a kit card gives.
    pub(super) fn take(self, corner: &CornerGeometry) {
        self.begin();
        if let Some(travel) = corner.travel {
            put_length(self.bump, travel.bump);
            put_length(self.droop, travel.droop);
        }
        if let Some(Rack { link, each_way }) = corner.range().rack {
            self.tie_rod.set(link + 1);
            put_length(self.each_way, each_way);
        }
        let rod_ends = corner.rod_ends.iter().filter_map(|given| {
            let rod_end = RodEnd {
                link: RwSignal::new(corner.link(&given.link)?),
                end: RwSignal::new(usize::from(given.at == LinkEnd::Carrier)),
                bolt: empty(),
                most: empty(),
            };
            put_point(rod_end.bolt, given.bolt);
            super::put(
                rod_end.most,
                short(given.most.as_degrees()),
                Unit::Degree,
                None,
            );
            Some(rod_end)
        });
        self.rod_ends.set(rod_ends.take(MOST).collect());
        if let Some(shaft) = corner.half_shaft {
            put_point(self.inner, shaft.inner);
            put_point(self.outer, shaft.outer);
            put_length(self.shorter, shaft.shorter);
            put_length(self.longer, shaft.longer);
        }
    }

    /// Takes what can be read to the other side of the car.
    pub(super) fn mirror(self) {
        let bolts = self.rod_ends.get_untracked();
        let bolts = bolts.iter().map(|rod_end| rod_end.bolt);
        for entry in bolts.chain([self.inner, self.outer]) {
            if let Ok(point) = point_of(&entry.get_untracked()) {
                put_point(entry, mirrored(point));
            }
        }
    }

    /// The stretch that is asked; what of it cannot be read is named.
    pub(super) fn range(self, unread: &mut Vec<String>) -> Range {
        let mut length = |entry: RwSignal<Entry>, limit: Limit, name: &str| {
            length_of(&entry.get(), limit).unwrap_or_else(|_| {
                unread.push(no_answer(name));
                Length::ZERO
            })
        };
        Range {
            bump: length(self.bump, Limit::WheelTravel, "bump"),
            droop: length(self.droop, Limit::WheelTravel, "droop"),
            rack: self.tie_rod.get().checked_sub(1).map(|link| Rack {
                link,
                each_way: length(self.each_way, Limit::RackTravel, "the rack's travel"),
            }),
        }
    }

    /// What the joints may do, or what of it cannot be read.
    pub(super) fn limits(self) -> Result<Vec<JointLimit>, Vec<String>> {
        let (mut limits, mut unread) = (Vec::new(), Vec::new());
        for (place, rod_end) in self.rod_ends.get().iter().enumerate() {
            match (way_of(&rod_end.bolt.get()), lean_of(&rod_end.most.get())) {
                (Ok(bolt), Ok(most)) => limits.push(JointLimit::RodEnd {
                    link: rod_end.link.get(),
                    on_carrier: rod_end.end.get() == 1,
                    bolt,
                    most,
                }),
                _ => unread.push(no_answer(&format!("rod end {}", place + 1))),
            }
        }
        let ends = [self.inner, self.outer].map(|entry| entry.get());
        if !ends.iter().all(Entry::is_empty) {
            let [inner, outer] = ends.map(|entry| point_of(&entry));
            let [shorter, longer] =
                [self.shorter, self.longer].map(|entry| length_of(&entry.get(), Limit::Plunge));
            match (inner, outer, shorter, longer) {
                (Ok(inner), Ok(outer), Ok(shorter), Ok(longer)) => {
                    limits.push(JointLimit::HalfShaft {
                        inner,
                        outer,
                        shorter,
                        longer,
                    });
                }
                _ => unread.push(no_answer("the half-shaft")),
            }
        }
        if unread.is_empty() {
            Ok(limits)
        } else {
            Err(unread)
        }
    }

    /// The fields, folded away.
    pub(super) fn known(self, asked: impl Fn() -> Hardpoints + Clone + 'static) -> El {
        let travel = |id: &str, label: &str, entry| {
            length_field(self.preferences, id, label, entry, Limit::WheelTravel)
        };
        let rack = div("stack").live({
            let asked = asked.clone();
            move || {
                let mut options = vec![(0, "none".to_owned())];
                options.extend(
                    (1..)
                        .zip(asked().links)
                        .map(|(place, (name, ..))| (place, format!("{place} {name}"))),
                );
                let tie_rod = list("tie-rod", "Rack moves", [("", options)], self.tie_rod);
                let each_way = div("").live(move || {
                    let asked = (self.tie_rod.get() > 0).then(|| {
                        length_field(
                            self.preferences,
                            "each-way",
                            "Rack: to each side",
                            self.each_way,
                            Limit::RackTravel,
                        )
                    });
                    asked.into_iter().collect()
                });
                vec![tie_rod, each_way]
            }
        });
        let rod_ends = div("stack").live(move || {
            let asked = asked();
            let rod_ends = self.rod_ends.get();
            let count = rod_ends.len();
            let mut rows: Vec<El> = rod_ends
                .into_iter()
                .enumerate()
                .map(|(place, rod_end)| self.rod_end(place, rod_end, &asked))
                .collect();
            if count < MOST {
                rows.push(button("Add a rod end", move || self.add()));
            }
            rows
        });
        let plunge = |id: &str, label: &str, entry| {
            length_field(self.preferences, id, label, entry, Limit::Plunge)
        };
        let shaft = div("stack")
            .child(el("h3").text("Half-shaft"))
            .child(optional_point(
                "inner",
                "Half-shaft: inner joint, at the car",
                self.inner,
            ))
            .child(optional_point(
                "outer",
                "Half-shaft: outer joint, at the carrier",
                self.outer,
            ))
            .child(
                div("fields")
                    .child(plunge("shorter", "It may get shorter by", self.shorter))
                    .child(plunge("longer", "It may get longer by", self.longer)),
            );
        el("details")
            .class("working")
            .child(el("summary").text("Travel, steer and limits: rod ends, half-shaft"))
            .child(
                div("stack")
                    .child(
                        div("fields")
                            .child(travel("bump", "Bump, up from here", self.bump))
                            .child(travel("droop", "Droop, down from here", self.droop)),
                    )
                    .child(rack)
                    .child(el("h3").text("Rod ends"))
                    .child(
                        p("How far each may lean on its ball, from the plane square to its bolt.")
                            .class("small soft"),
                    )
                    .child(rod_ends)
                    .child(shaft),
            )
    }

    fn add(self) {
        let rod_end = RodEnd {
            link: RwSignal::new(0),
            end: RwSignal::new(0),
            bolt: typed("100 0 0", Unit::Millimetre),
            most: typed("15", Unit::Degree),
        };
        self.rod_ends.update(|rod_ends| rod_ends.push(rod_end));
    }

    fn rod_end(self, place: usize, rod_end: RodEnd, asked: &Hardpoints) -> El {
        let number = place + 1;
        let id = |what: &str| format!("rod-end-{number}-{what}");
        let links = asked.links.iter().enumerate();
        let links = links.map(|(place, (name, ..))| (place, format!("{} {name}", place + 1)));
        div("stack part")
            .child(list(
                &id("link"),
                &format!("Rod end {number}, on"),
                [("", links.collect())],
                rod_end.link,
            ))
            .child(pick(
                &id("at"),
                "Its end",
                &["at the car", "at the carrier"],
                rod_end.end,
            ))
            .child(
                div("fields")
                    .child(super::checked_point_field(
                        &id("bolt"),
                        &format!("Way of bolt {number}"),
                        rod_end.bolt,
                        |entry| way_of(entry).err(),
                    ))
                    .child(field(
                        self.preferences,
                        &id("most"),
                        &format!("Rod end {number} may lean by"),
                        rod_end.most,
                        |_| Unit::Degree,
                        |entry, words| lean_of(entry).map(|lean| words.angle(lean)),
                    )),
            )
            .child(
                button(&format!("Take out rod end {number}"), move || {
                    self.rod_ends.update(|rod_ends| {
                        if place < rod_ends.len() {
                            rod_ends.remove(place);
                        }
                    });
                })
                .class("quiet"),
            )
    }
}

/// A field for a point that may be left out.
fn optional_point(id: &str, label: &str, entry: RwSignal<Entry>) -> El {
    super::checked_point_field(id, label, entry, |entry| {
        if entry.is_empty() {
            return None;
        }
        point_of(entry).err()
    })
}
