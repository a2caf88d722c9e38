//! Read: the car as it stands, the strings, each wheel, and what toe and camber come to with their uncertainty.

use crate::app::device;
use crate::app::field::{Choices, EntryField, TextField, Understood};
use crate::app::parts::{Mark, Working};
use crate::app::store::{Store, use_store};
use crate::document::{Axle, AxleRound, CamberBy, Car, Corner, Entry, Job, Pair, Round, Side, ToeBy, Unit, WheelRound};
use crate::quantity::Limit;
use crate::station::{AxleResult, ReadResult, State, angle_of, axles, length_of, new_round, read, toe_of, verdict_words};
use leptos::prelude::*;
use std::sync::Arc;

/// A place in the job that holds an entry.
#[derive(Clone)]
struct Place {
    get: Arc<dyn Fn(&Job) -> Option<&Entry> + Send + Sync>,
    set: Arc<dyn Fn(&mut Job, Entry) + Send + Sync>,
}

impl Place {
    fn of_car(get: fn(&Car) -> &Entry, set: fn(&mut Car) -> &mut Entry) -> Self {
        Self { get: Arc::new(move |job| Some(get(&job.car))), set: Arc::new(move |job, entry| *set(&mut job.car) = entry) }
    }

    fn of_round(get: impl Fn(&Round) -> Option<&Entry> + Send + Sync + 'static, set: impl Fn(&mut Round) -> Option<&mut Entry> + Send + Sync + 'static) -> Self {
        Self {
            get: Arc::new(move |job| job.rounds.last().and_then(&get)),
            set: Arc::new(move |job, entry| {
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
}

#[component]
fn PlaceField(#[prop(into)] id: String, #[prop(into)] label: String, place: Place, kind: Kind) -> impl IntoView {
    let store = use_store();
    let get = place.get.clone();
    let entry = Signal::derive(move || store.read(|job| get(job).cloned().unwrap_or_default()));
    let set = place.set;
    let on_change = Callback::new(move |entry: Entry| store.edit(|job| set(job, entry)));
    let unit = Signal::derive(move || {
        let preferences = store.preferences.get();
        match kind {
            Kind::Length(_) => preferences.length.into(),
            Kind::Toe => preferences.toe_unit(),
            Kind::Angle(..) => preferences.angle.into(),
            Kind::Division => Unit::Degree,
        }
    });
    let understood = Callback::new(move |entry: Entry| -> Understood {
        let preferences = store.preferences.get();
        match kind {
            Kind::Length(limit) => length_of(&entry, limit).map(|length| preferences.length(length)),
            Kind::Toe => {
                let rim = store.read(|job| job.car.rim.length().ok());
                toe_of(&entry, rim).map(|toe| preferences.toe(toe, rim))
            }
            Kind::Angle(limit, [plus, minus]) => angle_of(&entry, limit).map(|angle| {
                let word = if angle.as_radians() < 0.0 { minus } else { plus };
                format!("{} {word}", preferences.angle(angle.abs()))
            }),
            Kind::Division => angle_of(&entry, Limit::GaugeDivision).map(|angle| preferences.angle(angle)),
        }
    });
    match kind {
        Kind::Toe => view! { <EntryField id=id label=label entry=entry unit=unit on_change=on_change understood=understood senses=["toe-in", "toe-out"] /> }.into_any(),
        Kind::Angle(_, words) => view! { <EntryField id=id label=label entry=entry unit=unit on_change=on_change understood=understood senses=words /> }.into_any(),
        _ => view! { <EntryField id=id label=label entry=entry unit=unit on_change=on_change understood=understood /> }.into_any(),
    }
}

/// The Read station.
#[component]
pub fn Read() -> impl IntoView {
    let store = use_store();
    // The fields follow the count of rounds and of repeats; what stands in them follows by itself.
    let shape = Memo::new(move |_| store.read(|job| job.rounds.last().map(shape_of)));
    let count = Memo::new(move |_| store.read(|job| job.rounds.len()));
    let begin = move |_| {
        let at = device::now();
        store.edit(|job| {
            let round = new_round(job, at);
            job.rounds.push(round);
        });
    };
    view! {
        <CarFields />
        {move || match shape.get() {
            None => view! {
                <section class="frame next">
                    <h2>"Round 1"</h2>
                    <div class="body">
                        <p>"Roll the car back and forth, settle it on its springs, wheels straight. Then read."</p>
                        <button type="button" class="main" on:click=begin>"Start round 1"</button>
                    </div>
                </section>
            }.into_any(),
            Some(shape) => view! { <RoundFields shape=shape /> }.into_any(),
        }}
        {move || (count.get() > 0).then(|| view! {
            <Results />
            <button type="button" on:click=begin>{format!("Turned something? Start round {}", count.get() + 1)}</button>
        })}
    }
}

#[component]
fn CarFields() -> impl IntoView {
    let store = use_store();
    let strings = Memo::new(move |_| store.read(|job| job.rounds.last().is_none_or(|round| uses_strings(job, round))));
    let free = |id: &'static str, label: &'static str, get: fn(&Car) -> String, set: fn(&mut Car, String)| {
        view! {
            <TextField id=id.to_owned() label=label text=Signal::derive(move || store.read(|job| get(&job.car))) on_change=Callback::new(move |text| store.edit(|job| set(&mut job.car, text))) />
        }
    };
    let heights = [Corner::LeftFront, Corner::RightFront, Corner::LeftRear, Corner::RightRear].map(|corner| {
        let place = Place {
            get: Arc::new(move |job| job.car.ride_heights.get(&corner)),
            set: Arc::new(move |job, entry| drop(job.car.ride_heights.insert(corner, entry))),
        };
        view! { <PlaceField id=format!("ride-{}", corner.words().to_lowercase().replace(' ', "-")) label=format!("Ride height, {}", corner.words().to_lowercase()) place=place kind=Kind::Length(Limit::RideHeight) /> }
    });
    view! {
        <section class="frame">
            <h2>"The car as it stands"</h2>
            <div class="body">
                <div class="fields wide">
                    {free("pressures", "Tyre pressures", |car| car.pressures.clone(), |car, text| car.pressures = text)}
                    {free("load", "Fuel and ballast", |car| car.load.clone(), |car, text| car.load = text)}
                </div>
                <div class="fields">
                    {heights}
                </div>
                <div class="fields">
                    <PlaceField id="rim" label="Across the rim, edge to edge" place=Place::of_car(|car| &car.rim, |car| &mut car.rim) kind=Kind::Length(Limit::RimDiameter) />
                    <PlaceField id="wheelbase" label="Wheelbase, axle to axle" place=Place::of_car(|car| &car.wheelbase, |car| &mut car.wheelbase) kind=Kind::Length(Limit::Wheelbase) />
                    {move || strings.get().then(|| view! {
                        <PlaceField id="front-track" label="Front track, hub face to hub face" place=Place::of_car(|car| &car.front_track, |car| &mut car.front_track) kind=Kind::Length(Limit::Track) />
                        <PlaceField id="rear-track" label="Rear track, hub face to hub face" place=Place::of_car(|car| &car.rear_track, |car| &mut car.rear_track) kind=Kind::Length(Limit::Track) />
                    })}
                </div>
            </div>
        </section>
    }
}

fn uses_strings(job: &Job, round: &Round) -> bool {
    axles(&job.card).into_iter().any(|axle| of_axle(round, axle).toe_by == ToeBy::Strings)
}

fn of_axle(round: &Round, axle: Axle) -> &AxleRound {
    match axle {
        Axle::Front => &round.front,
        Axle::Rear => &round.rear,
    }
}

fn of_axle_mut(round: &mut Round, axle: Axle) -> &mut AxleRound {
    match axle {
        Axle::Front => &mut round.front,
        Axle::Rear => &mut round.rear,
    }
}

fn of_wheel(round: &Round, axle: Axle, side: Side) -> &WheelRound {
    let axle = of_axle(round, axle);
    match side {
        Side::Left => &axle.left,
        Side::Right => &axle.right,
    }
}

fn of_wheel_mut(round: &mut Round, axle: Axle, side: Side) -> &mut WheelRound {
    let axle = of_axle_mut(round, axle);
    match side {
        Side::Left => &mut axle.left,
        Side::Right => &mut axle.right,
    }
}

/// What decides which fields there are: instruments and counts of repeats, not what stands in them.
#[derive(Clone, PartialEq)]
struct Shape {
    front: AxleShape,
    rear: AxleShape,
}

#[derive(Clone, PartialEq)]
struct AxleShape {
    toe_by: ToeBy,
    camber_by: CamberBy,
    treads: Vec<bool>,
    wheels: [WheelShape; 2],
}

#[derive(Clone, PartialEq)]
struct WheelShape {
    string: Vec<bool>,
    toe: usize,
    plumb: Vec<bool>,
    camber: usize,
}

fn shape_of(round: &Round) -> Shape {
    let rolled = |pairs: &[Pair]| pairs.iter().map(|pair| pair.rolled).collect();
    let wheel = |wheel: &WheelRound| WheelShape { string: rolled(&wheel.string), toe: wheel.toe.len(), plumb: rolled(&wheel.plumb), camber: wheel.camber.len() };
    let axle = |axle: &AxleRound| AxleShape { toe_by: axle.toe_by, camber_by: axle.camber_by, treads: rolled(&axle.treads), wheels: [wheel(&axle.left), wheel(&axle.right)] };
    Shape { front: axle(&round.front), rear: axle(&round.rear) }
}

#[component]
fn RoundFields(shape: Shape) -> impl IntoView {
    let store = use_store();
    let (read_axles, number, strings) = store.job.with_untracked(|job| {
        let Some(job) = job else { return (Vec::new(), 0, false) };
        (axles(&job.card), job.rounds.len(), job.rounds.last().is_some_and(|round| uses_strings(job, round)))
    });
    let gauge = read_axles.iter().any(|axle| {
        let shape = if *axle == Axle::Front { &shape.front } else { &shape.rear };
        shape.toe_by == ToeBy::Rack || shape.camber_by != CamberBy::Plumb
    });
    let axle_frames = read_axles
        .into_iter()
        .map(|axle| {
            let shape = if axle == Axle::Front { shape.front.clone() } else { shape.rear.clone() };
            view! { <AxleFields axle=axle shape=shape /> }
        })
        .collect_view();
    view! {
        <section class="frame">
            <h2>{format!("Round {number}: the instruments")}</h2>
            <div class="body">
                <div class="fields">
                    <PlaceField id="rule" label="Smallest division of the rule or tape" place=Place::of_round(|round| Some(&round.rule), |round| Some(&mut round.rule)) kind=Kind::Length(Limit::RuleDivision) />
                    {gauge.then(|| view! {
                        <PlaceField id="gauge" label="Smallest division of the gauge or rack" place=Place::of_round(|round| Some(&round.gauge), |round| Some(&mut round.gauge)) kind=Kind::Division />
                    })}
                </div>
            </div>
        </section>
        {strings.then(|| view! { <StringFields /> })}
        {axle_frames}
    }
}

#[component]
fn StringFields() -> impl IntoView {
    let hub = |id: &'static str, label: &'static str, get: fn(&Round) -> &Entry, set: fn(&mut Round) -> &mut Entry| {
        view! { <PlaceField id=id label=label place=Place::of_round(move |round| Some(get(round)), move |round| Some(set(round))) kind=Kind::Length(Limit::StringDistance) /> }
    };
    let spacing = |id: &'static str, label: &'static str, limit: Limit, get: fn(&Round) -> &Entry, set: fn(&mut Round) -> &mut Entry| {
        view! { <PlaceField id=id label=label place=Place::of_round(move |round| Some(get(round)), move |round| Some(set(round))) kind=Kind::Length(limit) /> }
    };
    view! {
        <section class="frame">
            <h2>"Strings to hub faces"</h2>
            <div class="body two">
                <div class="stack">
                    <p>"A string along each side at hub height. They need not be parallel, nor square to the car: these four distances take that out."</p>
                    <svg class="drawing" viewBox="0 0 340 190" role="img" aria-label="Plan of the car between two strings: from each string a distance to each of the four hub faces">
                        <path d="M10 22L330 14M10 168L330 178" class="ink"></path>
                        <rect x="60" y="62" width="220" height="66" rx="20" class="ink"></rect>
                        <path d="M280 84l14 11-14 11" class="ink"></path>
                        <g class="ink heavy body-fill">
                            <rect x="66" y="46" width="56" height="18"></rect><rect x="218" y="46" width="56" height="18"></rect>
                            <rect x="66" y="126" width="56" height="18"></rect><rect x="218" y="126" width="56" height="18"></rect>
                        </g>
                        <g class="accent-hatch"><path d="M94 46V20M246 46V16M94 144V170.600M246 144V175.400"></path></g>
                        <text x="100" y="38">"left rear"</text><text x="252" y="34">"left front"</text>
                        <text x="100" y="162">"right rear"</text><text x="252" y="164">"right front"</text>
                        <text x="170" y="99" text-anchor="middle">"forward →"</text>
                    </svg>
                </div>
                <div class="stack">
                    <div class="fields">
                        {hub("hub-lf", "Left front hub", |r| &r.strings.left_front, |r| &mut r.strings.left_front)}
                        {hub("hub-rf", "Right front hub", |r| &r.strings.right_front, |r| &mut r.strings.right_front)}
                        {hub("hub-lr", "Left rear hub", |r| &r.strings.left_rear, |r| &mut r.strings.left_rear)}
                        {hub("hub-rr", "Right rear hub", |r| &r.strings.right_rear, |r| &mut r.strings.right_rear)}
                    </div>
                    <p class="small">"If you do not know both tracks, tape from string to string ahead of and behind the car instead, and how far apart those two places are."</p>
                    <div class="fields">
                        {spacing("ahead", "String to string, ahead", Limit::StringSpacing, |r| &r.strings.ahead, |r| &mut r.strings.ahead)}
                        {spacing("behind", "String to string, behind", Limit::StringSpacing, |r| &r.strings.behind, |r| &mut r.strings.behind)}
                        {spacing("apart", "From there to there", Limit::SpacingApart, |r| &r.strings.apart, |r| &mut r.strings.apart)}
                    </div>
                </div>
            </div>
        </section>
    }
}

/// Adds or changes something of the last round.
fn edit_round(store: Store, change: impl FnOnce(&mut Round)) {
    store.edit(|job| {
        if let Some(round) = job.rounds.last_mut() {
            change(round);
        }
    });
}

#[component]
fn AxleFields(axle: Axle, shape: AxleShape) -> impl IntoView {
    let store = use_store();
    let name = axle.words();
    let (toe_by, camber_by) = (shape.toe_by, shape.camber_by);
    let toe_ways = [(ToeBy::Strings, "strings", "strings on both sides"), (ToeBy::Treads, "treads", "tape across the treads"), (ToeBy::Rack, "rack", "figures from a rack")];
    let camber_ways = [(CamberBy::Plumb, "plumb", "plumb line or straightedge"), (CamberBy::Gauge, "gauge", "level or angle gauge"), (CamberBy::Rack, "rack", "figures from a rack")];
    let toe_chosen = toe_ways.iter().find(|(way, ..)| *way == toe_by).map(|(_, value, _)| (*value).to_owned()).unwrap_or_default();
    let camber_chosen = camber_ways.iter().find(|(way, ..)| *way == camber_by).map(|(_, value, _)| (*value).to_owned()).unwrap_or_default();
    let on_toe = Callback::new(move |value: String| {
        if let Some((way, ..)) = toe_ways.iter().find(|(_, known, _)| *known == value) {
            edit_round(store, |round| of_axle_mut(round, axle).toe_by = *way);
        }
    });
    let on_camber = Callback::new(move |value: String| {
        if let Some((way, ..)) = camber_ways.iter().find(|(_, known, _)| *known == value) {
            edit_round(store, |round| of_axle_mut(round, axle).camber_by = *way);
        }
    });
    let wheels = Side::BOTH.into_iter().zip(shape.wheels).map(|(side, wheel)| view! { <WheelFields axle=axle side=side toe_by=toe_by camber_by=camber_by shape=wheel /> }).collect_view();
    let treads = (toe_by == ToeBy::Treads).then(|| {
        let pairs = pair_fields(
            format!("tread-{name}"),
            ["Between treads, ahead", "Between treads, behind"],
            Limit::TreadDistance,
            &shape.treads,
            move |round| &of_axle(round, axle).treads,
            move |round| &mut of_axle_mut(round, axle).treads,
        );
        view! {
            <div class="stack">
                <h3>"Across the treads"</h3>
                <p class="small">"Mark the same groove on both tyres at hub height, tape across ahead of the axle, roll half a wheel turn, tape across behind it. It gives total toe only, taken as half to each wheel."</p>
                {pairs}
                <div class="fields">
                    <PlaceField
                        id=format!("tread-points-{name}")
                        label="Between the two marks of one tyre"
                        place=Place::of_round(move |round| Some(&of_axle(round, axle).tread_points), move |round| Some(&mut of_axle_mut(round, axle).tread_points))
                        kind=Kind::Length(Limit::TyreDiameter)
                    />
                </div>
            </div>
        }
    });
    let floor = (camber_by != CamberBy::Rack).then(|| {
        view! {
            <div class="fields wide">
                <PlaceField
                    id=format!("floor-{name}")
                    label="Floor across this axle (leave empty when level)"
                    place=Place::of_round(move |round| Some(&of_axle(round, axle).floor), move |round| Some(&mut of_axle_mut(round, axle).floor))
                    kind=Kind::Angle(Limit::FloorSlope, ["left side higher", "right side higher"])
                />
            </div>
        }
    });
    view! {
        <section class="frame">
            <h2>{format!("{} axle", if axle == Axle::Rear { "Rear" } else { "Front" })}</h2>
            <div class="body">
                <Choices id=format!("toe-by-{name}") label="Toe is read by" options=toe_ways.map(|(_, value, words)| (value.to_owned(), words.to_owned())).to_vec() chosen=toe_chosen on_change=on_toe />
                <Choices id=format!("camber-by-{name}") label="Camber is read by" options=camber_ways.map(|(_, value, words)| (value.to_owned(), words.to_owned())).to_vec() chosen=camber_chosen on_change=on_camber />
                {treads}
                <div class="two">{wheels}</div>
                {floor}
            </div>
        </section>
    }
    .into_any()
}

/// The fields of pairs read together, with the ways to repeat.
fn pair_fields(
    id: String,
    labels: [&'static str; 2],
    limit: Limit,
    rolled: &[bool],
    get: impl Fn(&Round) -> &Vec<Pair> + Copy + Send + Sync + 'static,
    set: impl Fn(&mut Round) -> &mut Vec<Pair> + Copy + Send + Sync + 'static,
) -> AnyView {
    let store = use_store();
    let rows = rolled
        .iter()
        .enumerate()
        .map(|(index, rolled)| {
            let note = match (index, rolled) {
                (0, false) => String::new(),
                (_, true) => ", rolled half a wheel turn".into(),
                (_, false) => format!(", reading {}", index + 1),
            };
            let first = Place::of_round(move |round| get(round).get(index).map(|pair| &pair.first), move |round| set(round).get_mut(index).map(|pair| &mut pair.first));
            let second = Place::of_round(move |round| get(round).get(index).map(|pair| &pair.second), move |round| set(round).get_mut(index).map(|pair| &mut pair.second));
            let [one, two] = labels;
            view! {
                <div class="fields">
                    <PlaceField id=format!("{id}-{index}-first") label=format!("{one}{note}") place=first kind=Kind::Length(limit) />
                    <PlaceField id=format!("{id}-{index}-second") label=format!("{two}{note}") place=second kind=Kind::Length(limit) />
                </div>
            }
        })
        .collect_view();
    let add = move |rolled: bool| edit_round(store, |round| set(round).push(Pair { rolled, ..Pair::default() }));
    let drop_last = (rolled.len() > 1).then(|| {
        view! { <button type="button" class="quiet" on:click=move |_| edit_round(store, |round| drop(set(round).pop()))>"Take the last away"</button> }
    });
    view! {
        {rows}
        <div class="row">
            <button type="button" on:click=move |_| add(false)>"Read again"</button>
            <button type="button" on:click=move |_| add(true)>"Rolled half a wheel turn"</button>
            {drop_last}
        </div>
    }
    .into_any()
}

/// The fields of angles typed, with the way to repeat.
fn angle_fields(
    id: String,
    label: &'static str,
    kind: Kind,
    count: usize,
    get: impl Fn(&Round) -> &Vec<Entry> + Copy + Send + Sync + 'static,
    set: impl Fn(&mut Round) -> &mut Vec<Entry> + Copy + Send + Sync + 'static,
) -> AnyView {
    let store = use_store();
    let rows = (0..count)
        .map(|index| {
            let place = Place::of_round(move |round| get(round).get(index), move |round| set(round).get_mut(index));
            let label = if index == 0 { label.to_owned() } else { format!("{label}, reading {}", index + 1) };
            view! { <PlaceField id=format!("{id}-{index}") label=label place=place kind=kind /> }
        })
        .collect_view();
    let drop_last = (count > 1).then(|| {
        view! { <button type="button" class="quiet" on:click=move |_| edit_round(store, |round| drop(set(round).pop()))>"Take the last away"</button> }
    });
    view! {
        {rows}
        <div class="row">
            <button type="button" on:click=move |_| edit_round(store, |round| set(round).push(Entry::default()))>"Read again"</button>
            {drop_last}
        </div>
    }
    .into_any()
}

#[component]
fn WheelFields(axle: Axle, side: Side, toe_by: ToeBy, camber_by: CamberBy, shape: WheelShape) -> impl IntoView {
    let corner = axle.corner(side);
    let id = corner.words().to_lowercase().replace(' ', "-");
    let toe = match toe_by {
        ToeBy::Strings => pair_fields(
            format!("string-{id}"),
            ["String to rim, front edge", "String to rim, rear edge"],
            Limit::StringDistance,
            &shape.string,
            move |round| &of_wheel(round, axle, side).string,
            move |round| &mut of_wheel_mut(round, axle, side).string,
        ),
        ToeBy::Rack => angle_fields(format!("toe-{id}"), "Toe", Kind::Toe, shape.toe, move |round| &of_wheel(round, axle, side).toe, move |round| &mut of_wheel_mut(round, axle, side).toe),
        ToeBy::Treads => ().into_any(),
    };
    let camber = match camber_by {
        CamberBy::Plumb => pair_fields(
            format!("plumb-{id}"),
            ["Plumb line to rim, top edge", "Plumb line to rim, bottom edge"],
            Limit::PlumbOffset,
            &shape.plumb,
            move |round| &of_wheel(round, axle, side).plumb,
            move |round| &mut of_wheel_mut(round, axle, side).plumb,
        ),
        CamberBy::Gauge | CamberBy::Rack => angle_fields(
            format!("camber-{id}"),
            "Camber",
            Kind::Angle(Limit::Camber, ["top out", "top in"]),
            shape.camber,
            move |round| &of_wheel(round, axle, side).camber,
            move |round| &mut of_wheel_mut(round, axle, side).camber,
        ),
    };
    view! {
        <div class="stack">
            <h3>{corner.words()}</h3>
            {toe}
            {camber}
        </div>
    }
    .into_any()
}

/// What the last round comes to.
#[component]
fn Results() -> impl IntoView {
    let store = use_store();
    let result = Memo::new(move |_| store.job.with(|job| job.as_ref().and_then(|job| read(job, job.rounds.len().checked_sub(1)?))));
    view! {
        <section class="frame next" aria-label="What the readings come to">
            <h2>"What the readings come to"</h2>
            <div class="body">
                {move || result.get().map(|result| view! { <ResultBody result=result /> })}
            </div>
        </section>
    }
}

#[component]
fn ResultBody(result: ReadResult) -> impl IntoView {
    let axles = result.axles.iter().map(|axle| view! { <AxleTable axle=axle.clone() /> }).collect_view();
    let problems = result.problems.iter().map(|problem| view! { <li class="reason">{problem.to_string()}</li> }).collect_view();
    let notes = result.notes.iter().map(|note| view! { <li class="note">{note.clone()}</li> }).collect_view();
    let (formula, source) = (result.working.clone(), result.source);
    view! {
        {axles}
        {(!result.problems.is_empty()).then(|| view! { <h3>"Still missing or not readable"</h3><ul class="plain stack">{problems}</ul> })}
        {(!result.notes.is_empty()).then(|| view! { <ul class="plain stack">{notes}</ul> })}
        {(!formula.is_empty()).then(|| view! { <Working formula=formula source=source /> })}
    }
    .into_any()
}

#[component]
fn AxleTable(axle: AxleResult) -> impl IntoView {
    let store = use_store();
    let rim = store.read(|job| job.car.rim.length().ok());
    let preferences = store.preferences.get();
    let rows = [&axle.left, &axle.right].map(|wheel| {
        let toe = wheel.toe.map_or_else(|| "—".to_owned(), |toe| preferences.toe_with(toe, rim));
        let camber = wheel.camber.map_or_else(|| "—".to_owned(), |camber| preferences.camber_with(camber));
        let mark = wheel.verdict.map(|verdict| view! { <Mark state=verdict.state() words=verdict_words(verdict).to_owned() /> });
        view! {
            <li>
                <div class="row spread"><h3>{wheel.corner.words()}</h3>{mark}</div>
                <dl class="facts"><dt>"Toe"</dt><dd>{toe}</dd><dt>"Camber"</dt><dd>{camber}</dd></dl>
            </li>
        }
    });
    let mut facts = Vec::new();
    if let Some(total) = axle.total_toe {
        facts.push(("Total toe", preferences.toe_with(total, rim)));
    }
    if let Some(cross) = axle.cross_camber {
        facts.push(("Camber, left less right", preferences.angle_with(cross)));
    }
    if let Some(thrust) = axle.thrust {
        facts.push(("Thrust angle", preferences.thrust_with(thrust)));
    }
    let target = axle.target.as_ref().map(|target| {
        let toe = format!("{} ± {}", preferences.toe(target.toe.aim, rim), preferences.angle(target.toe.tolerance));
        let camber = format!("{} ± {}", preferences.camber(target.camber.aim), preferences.angle(target.camber.tolerance));
        format!("Target for each wheel: toe {toe}, camber {camber}.")
    });
    let name = if axle.axle == Axle::Rear { "Rear axle" } else { "Front axle" };
    view! {
        <div class="stack">
            <h3>{name}</h3>
            {target.map(|target| view! { <p class="soft">{target}</p> })}
            <ul class="lines">{rows}</ul>
            <dl class="facts">{facts.into_iter().map(|(name, value)| view! { <dt>{name}</dt><dd>{value}</dd> }).collect_view()}</dl>
        </div>
    }
    .into_any()
}

/// A state for the head of a wheel's result.
trait VerdictState {
    fn state(self) -> State;
}

impl VerdictState for crate::plan::Verdict {
    fn state(self) -> State {
        crate::station::verdict_state(self)
    }
}
