//! Read: the phone as a gauge, laid along a bar in two positions.

use super::read::edit_round;
use crate::app::dom::{El, button, derived, div, effect, el, p};
use crate::app::gauge::{Gauge, Sensor};
use crate::app::parts::{facts, live_mark, sentences};
use crate::app::signal::RwSignal;
use crate::app::store::Store;
use crate::document::{Axle, PhonePair, Round, Side};
use crate::drawing::PhoneGauge;
use crate::quantity::Angle;
use crate::reading::{Seen, Tilt, TiltError, Watch, turned_between};
use crate::station::{CAMBER_WAYS, FLOOR_WAYS, State, phone_pair, reversal_of};
use reactive_graph::graph::untrack;

/// Where a bar is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// Across the rim of a wheel.
    Wheel(Axle, Side),
    /// Across the floor under an axle.
    Floor(Axle),
}

impl Spot {
    fn pairs(self, round: &Round) -> &Vec<PhonePair> {
        match self {
            Self::Wheel(axle, side) => &round.axle(axle).wheel(side).phone,
            Self::Floor(axle) => &round.axle(axle).floor_phone,
        }
    }

    fn pairs_mut(self, round: &mut Round) -> &mut Vec<PhonePair> {
        match self {
            Self::Wheel(axle, side) => &mut round.axle_mut(axle).wheel_mut(side).phone,
            Self::Floor(axle) => &mut round.axle_mut(axle).floor_phone,
        }
    }

    /// A lean to the right, with the sign that it has here and the ways it goes.
    const fn ways(self) -> (f64, [&'static str; 2]) {
        match self {
            Self::Wheel(_, Side::Left) => (-1.0, CAMBER_WAYS),
            Self::Wheel(_, Side::Right) => (1.0, CAMBER_WAYS),
            Self::Floor(_) => (1.0, FLOOR_WAYS),
        }
    }

    const fn drawing(self) -> PhoneGauge {
        match self {
            Self::Wheel(_, Side::Left) => PhoneGauge::LeftWheel,
            Self::Wheel(_, Side::Right) => PhoneGauge::RightWheel,
            Self::Floor(_) => PhoneGauge::Floor,
        }
    }

    fn name(self) -> String {
        match self {
            Self::Wheel(axle, side) => axle.corner(side).words().to_ascii_lowercase(),
            Self::Floor(axle) => format!("the floor, {} axle", axle.words()),
        }
    }
}

/// What is being taken.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Taking {
    spot: Spot,
    /// Position A, once it is read, with the way the screen looked.
    a: Option<(Tilt, Angle)>,
    /// Whether a position is being read right now.
    now: bool,
}

/// The phone of a station: it is asked once, and then serves every wheel.
#[derive(Clone, Copy)]
pub struct Phone {
    store: Store,
    gauge: Gauge,
    taking: RwSignal<Option<Taking>>,
    /// What just happened and where, for eyes that are on the phone's edge.
    told: RwSignal<(Option<Spot>, String)>,
}

impl Phone {
    /// The phone of this station, which takes a reading by itself once it is held still.
    pub fn new(store: Store) -> Self {
        let phone = Self {
            store,
            gauge: Gauge::new(),
            taking: RwSignal::new(None),
            told: RwSignal::new((None, String::new())),
        };
        effect(move || {
            let seen = phone.gauge.seen.get();
            untrack(|| phone.follow(seen));
        });
        phone
    }

    fn follow(self, seen: Result<Seen, TiltError>) {
        let Some(taking) = self.taking.get_untracked().filter(|taking| taking.now) else {
            return;
        };
        let Some((seen, tilt)) = seen
            .ok()
            .and_then(|seen| Some((seen, seen.tilt.reading().ok()?)))
        else {
            return;
        };
        match taking.a {
            None => {
                self.taking.set(Some(Taking {
                    a: Some((tilt, seen.facing)),
                    now: false,
                    ..taking
                }));
                self.tell(taking.spot, "A is read. Turn the phone round, the same edge on the bar, then take B: both are kept together.");
            }
            Some((a, facing)) => {
                let pair = phone_pair(&a, &tilt, turned_between(facing, seen.facing));
                self.taking.set(None);
                match reversal_of(&pair) {
                    Ok(_) => {
                        edit_round(self.store, |round| taking.spot.pairs_mut(round).push(pair));
                        self.tell(
                            taking.spot,
                            &format!("A and B are kept for {}.", taking.spot.name()),
                        );
                    }
                    Err(reason) => self.tell(taking.spot, &format!("Not kept. {reason}")),
                }
            }
        }
    }

    fn tell(self, spot: Spot, words: &str) {
        self.told.set((Some(spot), words.to_owned()));
    }

    /// Begins to read a position. What was seen until now was a phone on its way there.
    fn take(self, taking: Taking) {
        self.gauge.again();
        let name = if taking.a.is_none() { "A" } else { "B" };
        let words = format!(
            "Hold it still for {} seconds: {name} is taken by itself.",
            Watch::SECONDS
        );
        self.tell(taking.spot, &words);
        self.taking.set(Some(Taking {
            now: true,
            ..taking
        }));
    }

    /// The phone at a spot: how it is laid, what it says, the way to take it, and what was taken.
    pub fn view(self, spot: Spot) -> El {
        let how = match spot {
            Spot::Wheel(..) => {
                "Stand a straight bar across the outside of the rim, top and bottom lip, clear of the tyre's bulge. Take the phone out of its case. Lay a long edge without buttons along the bar, square to the car."
            }
            Spot::Floor(_) => {
                "Lay a straight bar across the floor from tyre to tyre. Take the phone out of its case. Stand it on the bar on a long edge without buttons."
            }
        };
        let again = match spot {
            Spot::Wheel(..) => {
                "A: its screen looks to the rear of the car. B: turn it end for end, so that the screen looks to the front and the same edge is on the bar."
            }
            Spot::Floor(_) => {
                "A: its screen looks to the rear of the car. B: turn it about the vertical, so that the screen looks to the front and the same edge is on the bar."
            }
        };
        let sensor = self.gauge.sensor;
        let live = div("stack").live(move || match sensor.get() {
            Sensor::Off => vec![button("Use this phone", move || self.gauge.ask())],
            Sensor::Asked => vec![p("Asking the phone how it is held…")],
            Sensor::Refused => vec![
                p("The browser was told not to say how the phone is held. Allow motion sensors for this page in its settings, or read with a level and type it.").class("reason"),
                button("Ask again", move || self.gauge.ask()),
            ],
            Sensor::Absent => vec![
                p(&TiltError::Absent.to_string()).class("reason"),
                button("Ask again", move || self.gauge.ask()),
            ],
            Sensor::On => vec![self.says(), self.buttons(spot)],
        });
        let kept = div("stack").live(move || self.kept(spot));
        div("stack")
            .attr("data-phone", &spot.name())
            .child(div("").markup(&spot.drawing().svg()))
            .child(p(again).class("small"))
            .child(
                el("details")
                    .child(el("summary").text("How to lay it"))
                    .child(p(how).class("small")),
            )
            .child(live)
            .child(
                p("")
                    .attr("role", "status")
                    .class("echo")
                    .live_text(move || match self.told.get() {
                        (Some(place), words) if place == spot => words,
                        _ => String::new(),
                    }),
            )
            .child(kept)
    }

    /// What the phone says now: value, spread and step, and whether it is still.
    fn says(self) -> El {
        let seen = self.gauge.seen;
        let store = self.store;
        let state = live_mark(move || {
            let reading = seen.get().and_then(|seen| seen.tilt.reading());
            let (state, words) = match reading {
                Ok(_) => (State::Done, "still"),
                Err(TiltError::Short) => (State::Begun, "looking"),
                Err(TiltError::Moving) => (State::Open, "moving"),
                Err(_) => (State::Wrong, "no reading"),
            };
            (state, words.to_owned())
        });
        let value = p("").live_text(move || {
            let words = store.preferences.get();
            let seen = match seen.get() {
                Err(reason) => return reason.to_string(),
                Ok(Seen { tilt, .. }) => tilt,
            };
            match seen.reading() {
                Err(reason @ (TiltError::Coarse | TiltError::Frozen)) => reason.to_string(),
                _ => format!(
                    "{}, spread {}; the sensor steps by {}",
                    words.way(seen.mean, ["clockwise", "anticlockwise"]),
                    words.angle(seen.spread),
                    words.angle(seen.step)
                ),
            }
        });
        div("row").child(state).child(value)
    }

    fn buttons(self, spot: Spot) -> El {
        let taking = derived(move || {
            self.taking
                .get()
                .map(|taking| (taking.spot, taking.a.is_some(), taking.now))
        });
        div("row").live(move || {
            let cancel = move || {
                button("Leave it", move || {
                    self.taking.set(None);
                    self.tell(spot, "Nothing is kept.");
                })
                .class("quiet")
            };
            let take_a = move || {
                let begun = Taking {
                    spot,
                    a: None,
                    now: true,
                };
                button("Take A", move || self.take(begun)).class("main")
            };
            match taking.get() {
                Some((other, ..)) if other != spot => vec![take_a()],
                Some((_, _, true)) => vec![cancel()],
                Some((_, true, false)) => vec![
                    button("Take B", move || {
                        if let Some(taking) = self.taking.get_untracked() {
                            self.take(taking);
                        }
                    })
                    .class("main"),
                    cancel(),
                ],
                _ => vec![take_a()],
            }
        })
    }

    /// What was taken here, with what it comes to.
    fn kept(self, spot: Spot) -> Vec<El> {
        let words = self.store.preferences.get();
        let pairs = self
            .store
            .read(|job| job.rounds.last().map(|round| spot.pairs(round).clone()))
            .unwrap_or_default();
        let (sign, ways) = spot.ways();
        let mut rows: Vec<_> = pairs
            .iter()
            .map(|pair| match reversal_of(pair) {
                Ok(reversal) => {
                    let lean = reversal.lean.times(sign);
                    let value = format!(
                        "{} ± {}",
                        words.way(lean.value, ways),
                        words.angle(lean.uncertainty)
                    );
                    let [a, b] = reversal.positions().map(|angle| words.angle(angle));
                    facts([
                        ("A and B", format!("{a} and {b}")),
                        ("Half the difference", value),
                        (
                            "The phone's zero, taken out",
                            words.angle_with(reversal.zero),
                        ),
                    ])
                }
                Err(reason) => sentences("reason", [&reason]),
            })
            .collect();
        if !pairs.is_empty() {
            rows.push(p("Look at it too: does it lean so?").class("small"));
            let away = move || edit_round(self.store, |round| drop(spot.pairs_mut(round).pop()));
            rows.push(button("Take the last A and B away", away).class("quiet"));
        }
        rows
    }
}
