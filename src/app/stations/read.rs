//! Read: the car as it stands, the strings, each wheel, and what toe and camber come to with their uncertainty.

use super::before::before;
use super::phone::{Phone, Spot};
use crate::app::device;
use crate::app::dom::{Derived, El, button, derived, div, el, folded, later, p, result};
use crate::app::field::{EntryField, Understood, asking, choices, options, text_field};
use crate::app::parts::{body, facts, frame, live_working, mark, next_frame, sentences};
use crate::app::store::{Store, use_store};
use crate::document::{
    Axle, AxleRound, CamberBy, Car, Corner, Entry, Job, Pair, Preferences, Round, Side, SwingRead,
    ToeBy, Unit, WheelRound,
};
use crate::quantity::{Length, Limit};
use crate::station::{
    self, AxleResult, CAMBER_WAYS, FLOOR_WAYS, ReadResult, TOE_WAYS, angle_of, axles, length_of,
    new_round, toe_of, verdict_state, verdict_words,
};
use std::rc::Rc;

/// A plan of the car between its strings, with the four distances.
const STRINGS: &str = "<svg class='drawing' viewBox='0 0 340 190' role='img' aria-label='Plan of the car between two strings: from each string a distance to each of the four hub faces'>\
<path d='M10 22L330 14M10 168L330 178' class='ink'/><rect x='60' y='62' width='220' height='66' rx='20' class='ink'/><path d='M280 84l14 11-14 11' class='ink'/>\
<g class='ink heavy solid'><rect x='66' y='46' width='56' height='18'/><rect x='218' y='46' width='56' height='18'/><rect x='66' y='126' width='56' height='18'/><rect x='218' y='126' width='56' height='18'/></g>\
<path class='accent-hatch' d='M94 46V20M246 46V16M94 144V170.600M246 144V175.400'/>\
<text x='100' y='38'>left rear</text><text x='252' y='34'>left front</text><text x='100' y='162'>right rear</text><text x='252' y='164'>right front</text><text x='170' y='99' text-anchor='middle'>forward →</text></svg>";

/// A wheel from above beside its string, with the two distances to its rim.
const TO_STRING: &str = "<svg class='drawing' viewBox='0 0 340 106' role='img' aria-label='A wheel from above beside its string: a distance to the front edge of the rim and one to its rear edge'>\
<path d='M10 20H330' class='ink'/><g transform='rotate(4 170 74)'><rect x='78' y='58' width='184' height='38' rx='8' class='ink solid'/><path d='M110 58v-5h120v5' class='ink heavy'/></g>\
<path class='accent-hatch' d='M112 20V49M232 20V57'/><text x='12' y='15'>string</text><text x='104' y='40' text-anchor='end'>rear edge</text><text x='240' y='44'>front edge</text><text x='170' y='84' text-anchor='middle'>forward →</text></svg>";

/// A wheel from behind beside its plumb line, with the two distances to its rim.
const TO_PLUMB: &str = "<svg class='drawing' viewBox='0 0 340 156' role='img' aria-label='A wheel from behind beside a plumb line: a distance to the top edge of the rim and one to its bottom edge'>\
<path d='M10 148H330M128 8V124' class='ink'/><path d='M122 124h12l-6 16z' class='ink solid'/><g transform='rotate(5 190 148)'><rect x='168' y='24' width='46' height='124' rx='9' class='ink solid'/><path d='M168 48h-5v76h5' class='ink heavy'/></g>\
<path class='accent-hatch' d='M128 46H172M128 121H166'/><text x='120' y='18' text-anchor='end'>plumb line</text><text x='120' y='50' text-anchor='end'>top edge</text><text x='120' y='116' text-anchor='end'>bottom edge</text><text x='246' y='92'>car</text></svg>";

type EntryOf = dyn Fn(&Job) -> Option<&Entry>;
type EntryTo = dyn Fn(&mut Job, Entry);
type PairsOf = dyn Fn(&Round) -> &Vec<Pair>;
type PairsOfMut = dyn Fn(&mut Round) -> &mut Vec<Pair>;

/// A place in the job that holds an entry.
#[derive(Clone)]
struct Place {
    get: Rc<EntryOf>,
    set: Rc<EntryTo>,
}

impl Place {
    fn of_car(get: fn(&Car) -> &Entry, set: fn(&mut Car) -> &mut Entry) -> Self {
        Self {
            get: Rc::new(move |job| Some(get(&job.car))),
            set: Rc::new(move |job, entry| *set(&mut job.car) = entry),
        }
    }

    fn of_round(
        get: impl Fn(&Round) -> Option<&Entry> + 'static,
        set: impl Fn(&mut Round) -> Option<&mut Entry> + 'static,
    ) -> Self {
        Self {
            get: Rc::new(move |job| job.rounds.last().and_then(&get)),
            set: Rc::new(move |job, entry| {
                if let Some(place) = job.rounds.last_mut().and_then(&set) {
                    *place = entry;
                }
            }),
        }
    }
}

/// How an entry is read.
#[derive(Clone, Copy)]
enum Kind {
    Length(Limit),
    Toe,
    Angle(Limit, [&'static str; 2]),
    /// A division of a gauge: an angle without a way.
    Division,
    /// A steer to either side.
    Steer,
}

fn understood(kind: Kind, entry: &Entry, rim: Option<Length>, words: &Preferences) -> Understood {
    match kind {
        Kind::Length(limit) => length_of(entry, limit).map(|length| words.length(length)),
        Kind::Toe => toe_of(entry, rim).map(|toe| words.toe(toe, rim)),
        Kind::Angle(limit, ways) => angle_of(entry, limit).map(|angle| words.way(angle, ways)),
        Kind::Division => angle_of(entry, Limit::GaugeDivision).map(|angle| words.angle(angle)),
        Kind::Steer => angle_of(entry, Limit::Steer).map(|angle| words.angle(angle)),
    }
}

fn field(store: Store, id: &str, label: &str, place: Place, kind: Kind) -> El {
    let Place { get, set } = place;
    EntryField {
        id: id.to_owned(),
        label: label.to_owned(),
        ways: match kind {
            Kind::Toe => Some(TOE_WAYS),
            Kind::Angle(_, ways) => Some(ways),
            Kind::Length(_) | Kind::Division | Kind::Steer => None,
        },
        get: Rc::new(move || store.read(|job| get(job).cloned()).unwrap_or_default()),
        set: Rc::new(move |entry| store.edit(|job| set(job, entry))),
        unit: Rc::new(move || {
            let words = store.preferences.get();
            match kind {
                Kind::Length(_) => words.length.into(),
                Kind::Toe => words.toe_unit(),
                Kind::Angle(..) => words.angle.into(),
                Kind::Division | Kind::Steer => Unit::Degree,
            }
        }),
        understood: Rc::new(move |entry| {
            understood(
                kind,
                entry,
                store.read(station::rim_of),
                &store.preferences.get(),
            )
        }),
    }
    .view()
}

/// The Read station.
pub fn read() -> Vec<El> {
    let store = use_store();
    let phone = Phone::new(store);
    let count = derived(move || store.read(|job| job.rounds.len()));
    let begin = move || {
        let at = device::now();
        store.edit(|job| {
            let round = new_round(job, at);
            job.rounds.push(round);
        });
    };
    let result =
        result(move || store.read(|job| station::read(job, job.rounds.len().checked_sub(1)?)));
    let begun = derived(move || count.get() > 0);
    let fields = move || {
        div("stack").live(move || match begun.get() {
            false => {
                vec![next_frame(
                "Round 1",
                body()
                    .child(p(
                        "A round begins with the checks that make its readings worth something.",
                    ))
                    .child(button("Start round 1", begin).class("main")),
            )]
            }
            true => round_fields(store, phone),
        })
    };
    let results = move || {
        div("stack").live(move || {
            let number = count.get();
            if number == 0 {
                return Vec::new();
            }
            vec![
                next_frame("What the readings come to", result_body(store, result)),
                button(
                    &format!("Turned something? Start round {}", number + 1),
                    begin,
                ),
                asking(
                    "Take this round away",
                    "Take it away, with its readings",
                    "Keep it",
                    move || store.edit(|job| drop(job.rounds.pop())),
                ),
            ]
        })
    };
    let checks =
        derived(move || result.with(|result| result.as_ref().map(|result| result.checks.clone())));
    let before = move || {
        div("stack").live(move || {
            let checks = checks.get();
            checks
                .map(|checks| before(store, &checks))
                .into_iter()
                .collect()
        })
    };
    vec![
        later(before),
        later(move || car_fields(store)),
        later(fields),
        later(results),
    ]
}

/// A field: its name in the page, its label, how it is read, and its place.
type FieldOf<T> = (
    &'static str,
    &'static str,
    Kind,
    fn(&T) -> &Entry,
    fn(&mut T) -> &mut Entry,
);

/// Fields, one a line.
macro_rules! fields_of {
    ($($id:literal, $label:literal, $kind:expr, $($place:ident).+;)*) => {
        [$(($id, $label, $kind, |of| &of.$($place).+, |of| &mut of.$($place).+)),*]
    };
}

const SIZES: [FieldOf<Car>; 2] = fields_of! {
    "rim", "Across the rim, edge to edge", Kind::Length(Limit::RimDiameter), rim;
    "wheelbase", "Wheelbase, axle to axle", Kind::Length(Limit::Wheelbase), wheelbase;
};

const TRACKS: [FieldOf<Car>; 2] = fields_of! {
    "front-track", "Front track, hub face to hub face", Kind::Length(Limit::Track), front_track;
    "rear-track", "Rear track, hub face to hub face", Kind::Length(Limit::Track), rear_track;
};

const HUBS: [FieldOf<Round>; 4] = fields_of! {
    "hub-lf", "Left front hub", Kind::Length(Limit::StringDistance), strings.left_front;
    "hub-rf", "Right front hub", Kind::Length(Limit::StringDistance), strings.right_front;
    "hub-lr", "Left rear hub", Kind::Length(Limit::StringDistance), strings.left_rear;
    "hub-rr", "Right rear hub", Kind::Length(Limit::StringDistance), strings.right_rear;
};

const SPACING: [FieldOf<Round>; 3] = fields_of! {
    "ahead", "String to string, ahead", Kind::Length(Limit::StringSpacing), strings.ahead;
    "behind", "String to string, behind", Kind::Length(Limit::StringSpacing), strings.behind;
    "apart", "From there to there", Kind::Length(Limit::SpacingApart), strings.apart;
};

const STEERED: Kind = Kind::Angle(Limit::SteeredCamber, CAMBER_WAYS);

const SWING: [FieldOf<SwingRead>; 4] = fields_of! {
    "steer", "Steered each way", Kind::Steer, steer;
    "left", "Camber, steered to the left", STEERED, left;
    "right", "Camber, steered to the right", STEERED, right;
    "straight", "Camber, straight ahead (for kingpin inclination)", STEERED, straight;
};

fn car_fields(store: Store) -> El {
    let strings = derived(move || {
        store.read(|job| {
            job.rounds
                .last()
                .is_none_or(|round| uses_strings(job, round))
        })
    });
    let free = |id: &str, label: &str, get: fn(&Car) -> String, set: fn(&mut Car, String)| {
        text_field(
            id,
            label,
            move || store.read(|job| get(&job.car)),
            move |text| store.edit(|job| set(&mut job.car, text)),
        )
    };
    let heights = Corner::ALL.map(|corner| {
        let name = corner.words().to_ascii_lowercase();
        let place = Place {
            get: Rc::new(move |job| job.car.ride_heights.get(corner.key())),
            set: Rc::new(move |job, entry| {
                job.car.ride_heights.insert(corner.key().to_owned(), entry)
            }),
        };
        field(
            store,
            &format!("ride-{}", name.replace(' ', "-")),
            &format!("Ride height, {name}"),
            place,
            Kind::Length(Limit::RideHeight),
        )
    });
    let car = move |fields: &'static [FieldOf<Car>]| {
        fields.iter().map(move |&(id, label, kind, get, set)| {
            field(store, id, label, Place::of_car(get, set), kind)
        })
    };
    let tracks = div("fields").live(move || {
        if strings.get() {
            car(&TRACKS).collect()
        } else {
            Vec::new()
        }
    });
    let wide = div("fields wide")
        .child(free(
            "pressures",
            "Tyre pressures",
            |car| car.pressures.clone(),
            |car, text| car.pressures = text,
        ))
        .child(free(
            "load",
            "Fuel and ballast",
            |car| car.load.clone(),
            |car, text| car.load = text,
        ));
    let sizes = div("fields").children(car(&SIZES));
    frame(
        "The car as it stands",
        body()
            .child(wide)
            .child(div("fields").children(heights))
            .child(sizes)
            .child(tracks),
    )
}

fn uses_strings(job: &Job, round: &Round) -> bool {
    axles(&job.card)
        .into_iter()
        .any(|axle| round.axle(axle).toe_by == ToeBy::Strings)
}

/// What decides which fields an axle has: instruments and counts of repeats, not what stands in them.
#[derive(Clone, PartialEq)]
struct AxleShape {
    toe_by: ToeBy,
    camber_by: CamberBy,
    treads: Vec<bool>,
    wheels: [WheelShape; 2],
    /// Whether a phone reads the floor.
    floor_phone: bool,
}

#[derive(Clone, PartialEq)]
struct WheelShape {
    string: Vec<bool>,
    toe: usize,
    plumb: Vec<bool>,
    camber: usize,
    swing: bool,
}

fn shape_of(axle: &AxleRound) -> AxleShape {
    let rolled = |pairs: &[Pair]| pairs.iter().map(|pair| pair.rolled).collect();
    let wheel = |wheel: &WheelRound| WheelShape {
        string: rolled(&wheel.string),
        toe: wheel.toe.len(),
        plumb: rolled(&wheel.plumb),
        camber: wheel.camber.len(),
        swing: wheel.swing.is_some(),
    };
    AxleShape {
        toe_by: axle.toe_by,
        camber_by: axle.camber_by,
        treads: rolled(&axle.treads),
        wheels: [wheel(&axle.left), wheel(&axle.right)],
        floor_phone: !axle.floor_phone.is_empty(),
    }
}

/// What decides which fields of the whole round there are.
#[derive(Clone, PartialEq)]
struct RoundShape {
    number: usize,
    /// Whether something is read by a gauge or a rack.
    gauge: bool,
    strings: bool,
}

fn round_shape_of(job: &Job) -> Option<RoundShape> {
    let round = job.rounds.last()?;
    let by_gauge = |axle: &AxleRound| {
        axle.toe_by == ToeBy::Rack
            || matches!(axle.camber_by, CamberBy::Gauge | CamberBy::Rack)
            || axle.left.swing.is_some()
            || axle.right.swing.is_some()
    };
    Some(RoundShape {
        number: job.rounds.len(),
        gauge: axles(&job.card)
            .into_iter()
            .any(|axle| by_gauge(round.axle(axle))),
        strings: uses_strings(job, round),
    })
}

/// The fields of the last round. Those of an axle follow its own instruments and counts of repeats alone; what stands in them follows by itself.
fn round_fields(store: Store, phone: Phone) -> Vec<El> {
    let shape = derived(move || store.read(round_shape_of));
    let whole = move || {
        div("stack").live(move || {
            shape.with(|shape| {
                shape
                    .iter()
                    .flat_map(|shape| whole_fields(store, shape))
                    .collect()
            })
        })
    };
    let of_axle = |axle: Axle| {
        later(move || {
            let shape = derived(move || {
                store.read(|job| job.rounds.last().map(|round| shape_of(round.axle(axle))))
            });
            div("").live(move || {
                let fields = |shape: &AxleShape| axle_fields(store, phone, axle, shape);
                shape.with(|shape| shape.iter().map(fields).collect())
            })
        })
    };
    let read_axles = store.peek(|job| axles(&job.card));
    [later(whole)]
        .into_iter()
        .chain(read_axles.into_iter().map(of_axle))
        .collect()
}

/// The fields of the instruments, and of the strings where toe is read by them.
fn whole_fields(store: Store, shape: &RoundShape) -> Vec<El> {
    let mut instruments = div("fields").child(field(
        store,
        "rule",
        "Smallest division of the rule or tape",
        Place::of_round(|round| Some(&round.rule), |round| Some(&mut round.rule)),
        Kind::Length(Limit::RuleDivision),
    ));
    if shape.gauge {
        let place = Place::of_round(|round| Some(&round.gauge), |round| Some(&mut round.gauge));
        instruments = instruments.child(field(
            store,
            "gauge",
            "Smallest division of the gauge or rack",
            place,
            Kind::Division,
        ));
    }
    let instruments = frame(
        &format!("Round {}: the instruments", shape.number),
        body().child(instruments),
    );
    let strings = shape.strings.then(|| string_fields(store));
    [instruments].into_iter().chain(strings).collect()
}

fn string_fields(store: Store) -> El {
    let all = |fields: &[FieldOf<Round>]| {
        div("fields").children(fields.iter().map(|&(id, label, kind, get, set)| {
            let place =
                Place::of_round(move |round| Some(get(round)), move |round| Some(set(round)));
            field(store, id, label, place, kind)
        }))
    };
    let (hubs, spacing) = (all(&HUBS), all(&SPACING));
    let how = div("stack")
        .child(p("A string along each side at hub height. They need not be parallel, nor square to the car: these four distances take that out."))
        .child(div("").markup(STRINGS));
    let numbers = div("stack")
        .child(hubs)
        .child(p("If you do not know both tracks, tape from string to string ahead of and behind the car instead, and how far apart those two places are.").class("small"))
        .child(spacing);
    frame(
        "Strings to hub faces",
        div("body two").child(how).child(numbers),
    )
}

/// Adds or changes something of the last round.
pub(super) fn edit_round(store: Store, change: impl FnOnce(&mut Round)) {
    store.edit(|job| {
        if let Some(round) = job.rounds.last_mut() {
            change(round);
        }
    });
}

fn axle_fields(store: Store, phone: Phone, axle: Axle, shape: &AxleShape) -> El {
    const TOE: [(ToeBy, &str, &str); 3] = [
        (ToeBy::Strings, "strings", "strings on both sides"),
        (ToeBy::Treads, "treads", "tape across the treads"),
        (ToeBy::Rack, "rack", "figures from a rack"),
    ];
    const CAMBER: [(CamberBy, &str, &str); 4] = [
        (CamberBy::Plumb, "plumb", "plumb line or straightedge"),
        (CamberBy::Gauge, "gauge", "level or angle gauge"),
        (CamberBy::Phone, "phone", "this phone as a gauge"),
        (CamberBy::Rack, "rack", "figures from a rack"),
    ];
    let name = axle.words();
    let (toe_by, camber_by) = (shape.toe_by, shape.camber_by);
    let toe = choices(
        &format!("toe-by-{name}"),
        "Toe is read by",
        &options(&TOE.map(|(_, value, words)| (value, words))),
        move || {
            TOE.iter()
                .find(|(way, ..)| *way == toe_by)
                .map(|(_, value, _)| (*value).to_owned())
                .unwrap_or_default()
        },
        move |value| {
            if let Some((way, ..)) = TOE.iter().find(|(_, known, _)| *known == value) {
                edit_round(store, |round| round.axle_mut(axle).toe_by = *way);
            }
        },
    );
    let camber = choices(
        &format!("camber-by-{name}"),
        "Camber is read by",
        &options(&CAMBER.map(|(_, value, words)| (value, words))),
        move || {
            CAMBER
                .iter()
                .find(|(way, ..)| *way == camber_by)
                .map(|(_, value, _)| (*value).to_owned())
                .unwrap_or_default()
        },
        move |value| {
            if let Some((way, ..)) = CAMBER.iter().find(|(_, known, _)| *known == value) {
                edit_round(store, |round| round.axle_mut(axle).camber_by = *way);
            }
        },
    );
    let mut content = body().child(toe).child(camber);
    if toe_by == ToeBy::Treads {
        content = content.child(tread_fields(store, axle, shape));
    }
    if toe_by == ToeBy::Strings {
        content = content.child(div("").markup(TO_STRING));
    }
    if camber_by == CamberBy::Plumb {
        content = content.child(div("").markup(TO_PLUMB));
    }
    content = content.child(
        div("two").children(
            Side::BOTH
                .into_iter()
                .zip(&shape.wheels)
                .map(|(side, wheel)| wheel_fields(store, phone, axle, side, shape, wheel)),
        ),
    );
    if camber_by != CamberBy::Rack {
        let place = Place::of_round(
            move |round| Some(&round.axle(axle).floor),
            move |round| Some(&mut round.axle_mut(axle).floor),
        );
        let label = "Floor across this axle (leave empty when level)";
        if !shape.floor_phone {
            content = content.child(div("fields wide").child(field(
                store,
                &format!("floor-{name}"),
                label,
                place,
                Kind::Angle(Limit::FloorSlope, FLOOR_WAYS),
            )));
        }
        content = content.child(folded(
            "Floor slope by phone",
            shape.floor_phone,
            move || phone.view(Spot::Floor(axle)),
        ));
    }
    frame(
        if axle == Axle::Rear {
            "Rear axle"
        } else {
            "Front axle"
        },
        content,
    )
}

fn tread_fields(store: Store, axle: Axle, shape: &AxleShape) -> El {
    let name = axle.words();
    let pairs = Pairs {
        id: format!("tread-{name}"),
        labels: ["Between treads, ahead", "Between treads, behind"],
        limit: Limit::TreadDistance,
        get: Rc::new(move |round| &round.axle(axle).treads),
        set: Rc::new(move |round| &mut round.axle_mut(axle).treads),
    };
    let place = Place::of_round(
        move |round| Some(&round.axle(axle).tread_points),
        move |round| Some(&mut round.axle_mut(axle).tread_points),
    );
    let how = "Mark the same groove on both tyres at hub height, tape across ahead of the axle, roll half a wheel turn, tape across behind it. It gives total toe only, taken as half to each wheel.";
    div("stack")
        .child(el("h3").text("Across the treads"))
        .child(p(how).class("small"))
        .child(pairs.view(store, &shape.treads))
        .child(div("fields").child(field(
            store,
            &format!("tread-points-{name}"),
            "Between the two marks of one tyre",
            place,
            Kind::Length(Limit::TyreDiameter),
        )))
}

/// Pairs of distances read together, and their place in the round.
struct Pairs {
    id: String,
    labels: [&'static str; 2],
    limit: Limit,
    get: Rc<PairsOf>,
    set: Rc<PairsOfMut>,
}

impl Pairs {
    /// The fields, and the ways to repeat them.
    fn view(&self, store: Store, rolled: &[bool]) -> El {
        let rows = rolled.iter().enumerate().map(|(index, rolled)| {
            let note = match (index, rolled) {
                (0, false) => String::new(),
                (_, true) => ", rolled half a wheel turn".into(),
                (_, false) => format!(", reading {}", index + 1),
            };
            let half = |key: &str,
                        label: &str,
                        get: fn(&Pair) -> &Entry,
                        set: fn(&mut Pair) -> &mut Entry| {
                let (list, list_mut) = (self.get.clone(), self.set.clone());
                let place = Place::of_round(
                    move |round| list(round).get(index).map(get),
                    move |round| list_mut(round).get_mut(index).map(set),
                );
                field(
                    store,
                    &format!("{}-{index}-{key}", self.id),
                    &format!("{label}{note}"),
                    place,
                    Kind::Length(self.limit),
                )
            };
            let [one, two] = self.labels;
            div("fields")
                .child(half(
                    "first",
                    one,
                    |pair| &pair.first,
                    |pair| &mut pair.first,
                ))
                .child(half(
                    "second",
                    two,
                    |pair| &pair.second,
                    |pair| &mut pair.second,
                ))
        });
        let add = |words: &str, rolled: bool| {
            let set = self.set.clone();
            button(words, move || {
                edit_round(store, |round| {
                    set(round).push(Pair {
                        rolled,
                        ..Pair::default()
                    })
                })
            })
        };
        let mut ways = div("row")
            .child(add("Read again", false))
            .child(add("Rolled half a wheel turn", true));
        if rolled.len() > 1 {
            let set = self.set.clone();
            ways = ways.child(
                button("Take the last away", move || {
                    edit_round(store, |round| drop(set(round).pop()))
                })
                .class("quiet"),
            );
        }
        div("stack").children(rows).child(ways)
    }
}

/// Angles typed, and their place in the round.
struct Angles {
    id: String,
    label: &'static str,
    kind: Kind,
    get: fn(&WheelRound) -> &Vec<Entry>,
    set: fn(&mut WheelRound) -> &mut Vec<Entry>,
}

impl Angles {
    /// The fields, and the way to repeat them.
    fn view(&self, store: Store, axle: Axle, side: Side, count: usize) -> El {
        let (get, set) = (self.get, self.set);
        let rows = (0..count).map(|index| {
            let place = Place::of_round(
                move |round| get(round.axle(axle).wheel(side)).get(index),
                move |round| set(round.axle_mut(axle).wheel_mut(side)).get_mut(index),
            );
            let label = if index == 0 {
                self.label.to_owned()
            } else {
                format!("{}, reading {}", self.label, index + 1)
            };
            field(
                store,
                &format!("{}-{index}", self.id),
                &label,
                place,
                self.kind,
            )
        });
        let mut ways = div("row").child(button("Read again", move || {
            edit_round(store, |round| {
                set(round.axle_mut(axle).wheel_mut(side)).push(Entry::default())
            })
        }));
        if count > 1 {
            ways = ways.child(
                button("Take the last away", move || {
                    edit_round(store, |round| {
                        drop(set(round.axle_mut(axle).wheel_mut(side)).pop())
                    })
                })
                .class("quiet"),
            );
        }
        div("stack").children(rows).child(ways)
    }
}

fn wheel_fields(
    store: Store,
    phone: Phone,
    axle: Axle,
    side: Side,
    of_axle: &AxleShape,
    shape: &WheelShape,
) -> El {
    let corner = axle.corner(side);
    let id = corner.words().to_ascii_lowercase().replace(' ', "-");
    let mut fields = div("stack")
        .attr("data-wheel", &id)
        .child(el("h3").text(corner.words()));
    match of_axle.toe_by {
        ToeBy::Strings => {
            let pairs = Pairs {
                id: format!("string-{id}"),
                labels: ["String to rim, front edge", "String to rim, rear edge"],
                limit: Limit::StringDistance,
                get: Rc::new(move |round| &round.axle(axle).wheel(side).string),
                set: Rc::new(move |round| &mut round.axle_mut(axle).wheel_mut(side).string),
            };
            fields = fields.child(pairs.view(store, &shape.string));
        }
        ToeBy::Rack => {
            let angles = Angles {
                id: format!("toe-{id}"),
                label: "Toe",
                kind: Kind::Toe,
                get: |wheel| &wheel.toe,
                set: |wheel| &mut wheel.toe,
            };
            fields = fields.child(angles.view(store, axle, side, shape.toe));
        }
        ToeBy::Treads => {}
    }
    fields = match of_axle.camber_by {
        CamberBy::Phone => fields.child(phone.view(Spot::Wheel(axle, side))),
        CamberBy::Plumb => {
            let pairs = Pairs {
                id: format!("plumb-{id}"),
                labels: [
                    "Plumb line to rim, top edge",
                    "Plumb line to rim, bottom edge",
                ],
                limit: Limit::PlumbOffset,
                get: Rc::new(move |round| &round.axle(axle).wheel(side).plumb),
                set: Rc::new(move |round| &mut round.axle_mut(axle).wheel_mut(side).plumb),
            };
            fields.child(pairs.view(store, &shape.plumb))
        }
        CamberBy::Gauge | CamberBy::Rack => {
            let angles = Angles {
                id: format!("camber-{id}"),
                label: "Camber",
                kind: Kind::Angle(Limit::Camber, CAMBER_WAYS),
                get: |wheel| &wheel.camber,
                set: |wheel| &mut wheel.camber,
            };
            fields.child(angles.view(store, axle, side, shape.camber))
        }
    };
    if axle == Axle::Front {
        fields.child(swing_fields(store, axle, side, &id, shape.swing))
    } else {
        fields
    }
}

/// Camber at a steer to either side, which gives caster: asked for only where somebody wants it.
fn swing_fields(store: Store, axle: Axle, side: Side, id: &str, open: bool) -> El {
    let put = move |swing: Option<SwingRead>| {
        edit_round(store, |round| {
            round.axle_mut(axle).wheel_mut(side).swing = swing;
        })
    };
    if !open {
        let swing = SwingRead {
            steer: Entry {
                text: "20".into(),
                unit: Unit::Degree,
                sense: None,
            },
            ..SwingRead::default()
        };
        return button("Measure caster by a steer swing", move || {
            put(Some(swing.clone()))
        });
    }
    let fields = SWING.map(|(name, label, kind, get, set)| {
        let place = Place::of_round(
            move |round| round.axle(axle).wheel(side).swing.as_ref().map(get),
            move |round| round.axle_mut(axle).wheel_mut(side).swing.as_mut().map(set),
        );
        field(store, &format!("swing-{id}-{name}"), label, place, kind)
    });
    let how = "Wheels on turn plates or greased sheets, brake pedal held down. Steer this wheel by the same angle each way, usually 20°, and read its camber there with a level or gauge.";
    div("stack part")
        .child(el("h4").text("Caster by a steer swing"))
        .child(p(how).class("small"))
        .child(div("fields").children(fields))
        .child(asking(
            "Take the swing away",
            "Yes, take it away",
            "Keep it",
            move || put(None),
        ))
}

/// What the last round comes to.
fn result_body(store: Store, result: Derived<Option<ReadResult>>) -> El {
    let rim = derived(move || store.read(station::rim_of));
    let shown = move || {
        let (words, rim) = (store.preferences.get(), rim.get());
        result.with(|result| {
            let shown = |result| result_lines(result, rim, &words);
            result.iter().flat_map(shown).collect()
        })
    };
    let is_read = move || {
        let read = |result: &ReadResult| !result.working.is_empty();
        result.with(|result| result.as_ref().is_some_and(read))
    };
    let worked = move || {
        let worked = result.with(|result| Some(result.as_ref()?.working.clone()));
        worked.unwrap_or_default()
    };
    body()
        .child(div("stack").live(shown))
        .child(live_working(is_read, worked, ReadResult::SOURCE))
}

fn result_lines(result: &ReadResult, rim: Option<Length>, words: &Preferences) -> Vec<El> {
    let axles = result.axles.iter();
    let mut lines: Vec<El> = axles
        .map(|axle| axle_result(result, axle, rim, words))
        .collect();
    if !result.problems.is_empty() {
        let problems: Vec<_> = result.problems.iter().map(ToString::to_string).collect();
        lines.push(el("h3").text("Still missing or not readable"));
        lines.push(sentences("reason", &problems));
    }
    lines.push(sentences("note", &result.notes));
    lines
}

fn axle_result(
    result: &ReadResult,
    axle: &AxleResult,
    rim: Option<Length>,
    words: &Preferences,
) -> El {
    let wheels = [&axle.left, &axle.right].map(|wheel| {
        let toe = wheel
            .toe
            .map_or_else(|| "—".to_owned(), |toe| words.toe_with(toe, rim));
        let camber = wheel
            .camber
            .map_or_else(|| "—".to_owned(), |camber| words.camber_with(camber));
        let mut head = div("row spread").child(el("h3").text(wheel.corner.words()));
        if let Some(verdict) = wheel.verdict {
            let (state, says) = result.says(verdict);
            head = head.child(mark(state, says));
        }
        let axis = wheel.axis.map(|axis| {
            let kingpin = axis
                .kingpin
                .map(|kingpin| ("Kingpin inclination", words.angle_with(kingpin)));
            [Some(("Caster", words.angle_with(axis.caster))), kingpin]
        });
        let axis = axis.into_iter().flatten().flatten();
        el("li").child(head).child(facts(
            [("Toe", toe), ("Camber", camber)].into_iter().chain(axis),
        ))
    });
    let both = [
        (
            "Total toe",
            axle.total_toe.map(|total| words.toe_with(total, rim)),
        ),
        (
            "Camber, left less right",
            axle.cross_camber.map(|cross| words.angle_with(cross)),
        ),
        (
            "Thrust angle",
            axle.thrust.map(|thrust| words.thrust_with(thrust)),
        ),
    ];
    let mut view = div("stack").child(el("h3").text(if axle.axle == Axle::Rear {
        "Rear axle"
    } else {
        "Front axle"
    }));
    if let Some(target) = &axle.target {
        let toe = format!(
            "{} ± {}",
            words.toe(target.toe.aim, rim),
            words.angle(target.toe.tolerance)
        );
        let camber = format!(
            "{} ± {}",
            words.camber(target.camber.aim),
            words.angle(target.camber.tolerance)
        );
        view = view.child(
            p(&format!(
                "Target for each wheel: toe {toe}, camber {camber}."
            ))
            .class("soft"),
        );
    }
    let ties = axle.ties.iter().filter_map(|tie| {
        let verdict = tie.verdict?;
        let words = format!(
            "{}, ± {}: {}",
            tie.what.words(),
            words.angle(tie.target.tolerance),
            verdict_words(verdict)
        );
        Some(p("").child(mark(verdict_state(verdict), &words)))
    });
    view.child(el("ul").class("lines").children(wheels))
        .child(facts(
            both.into_iter()
                .filter_map(|(name, value)| Some((name, value?))),
        ))
        .children(ties)
}
