//! The phone's tilt as the browser tells it, while a station is open and the person asked for it.

use super::device;
use super::signal::RwSignal;
use crate::reading::{Held, Seen, TiltError, Watch};
use gloo::timers::callback::Interval;
use gloo::utils::window;
use js_sys::{Function, Promise, Reflect};
use reactive_graph::owner::on_cleanup;
use std::cell::RefCell;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Event;

const EVENT: &str = "deviceorientation";
/// How long a sensor may take to say anything.
const PATIENCE: u32 = 2000;

/// Whether the phone tells how it is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sensor {
    /// It was not asked yet.
    Off,
    /// It was asked.
    Asked,
    /// It tells.
    On,
    /// The person or the browser refused.
    Refused,
    /// There is none.
    Absent,
}

/// A phone that is watched, as long as the owner lives in which this was made.
#[derive(Clone, Copy)]
pub struct Gauge {
    /// Whether it tells.
    pub sensor: RwSignal<Sensor>,
    /// What it says now.
    pub seen: RwSignal<Result<Seen, TiltError>>,
    watch: RwSignal<Watch>,
}

thread_local! {
    /// The one that listens. It is no part of a gauge: the reactive graph keeps what may cross threads, and this may not.
    static LISTENING: RefCell<Option<Listening>> = const { RefCell::new(None) };
}

fn listen_with(listening: Option<Listening>) {
    LISTENING.with_borrow_mut(|place| *place = listening);
}

/// What hears the sensor, and looks at it at even times.
struct Listening {
    hear: Closure<dyn Fn(Event)>,
    _look: Interval,
}

impl Drop for Listening {
    fn drop(&mut self) {
        let _ =
            window().remove_event_listener_with_callback(EVENT, self.hear.as_ref().unchecked_ref());
    }
}

impl Gauge {
    /// A phone that is not asked yet.
    pub fn new() -> Self {
        on_cleanup(|| listen_with(None));
        Self {
            sensor: RwSignal::new(Sensor::Off),
            seen: RwSignal::new(Err(TiltError::Short)),
            watch: RwSignal::new(Watch::default()),
        }
    }

    /// Asks to be told, from a tap: some browsers ask the person, and only then.
    pub fn ask(self) {
        self.sensor.set(Sensor::Asked);
        let Some(kind) = of(&window(), "DeviceOrientationEvent") else {
            return self.sensor.set(Sensor::Absent);
        };
        let Some(ask) =
            of(&kind, "requestPermission").and_then(|ask| ask.dyn_into::<Function>().ok())
        else {
            return self.listen();
        };
        let answer = ask.call0(&kind);
        spawn_local(async move {
            let granted = match answer {
                Ok(answer) => JsFuture::from(Promise::resolve(&answer)).await,
                Err(error) => Err(error),
            };
            if granted.is_ok_and(|word| word == "granted") {
                self.listen();
            } else {
                self.say(Sensor::Refused);
            }
        });
    }

    /// Forgets what was seen, so that the next reading begins now.
    pub fn again(self) {
        self.watch.update(Watch::again);
    }

    /// Nothing where the station was left meanwhile.
    fn say(self, sensor: Sensor) {
        if !self.sensor.is_gone() {
            self.sensor.set(sensor);
        }
    }

    fn listen(self) {
        if self.sensor.is_gone() {
            return;
        }
        let hear = Closure::<dyn Fn(Event)>::new(move |event: Event| self.hear(&event));
        let added = window().add_event_listener_with_callback(EVENT, hear.as_ref().unchecked_ref());
        if added.is_err() {
            return self.sensor.set(Sensor::Absent);
        }
        let look = Interval::new(Watch::EVERY, move || self.look());
        listen_with(Some(Listening { hear, _look: look }));
        device::after(PATIENCE, move || {
            if !self.sensor.is_gone() && self.sensor.get_untracked() == Sensor::Asked {
                self.sensor.set(Sensor::Absent);
            }
        });
    }

    fn hear(self, event: &JsValue) {
        let angle = |name| of(event, name).and_then(|angle| angle.as_f64());
        match Held::of_degrees(angle("alpha"), angle("beta"), angle("gamma")) {
            Ok(held) => {
                self.watch.update(|watch| watch.told(held));
                if self.sensor.get_untracked() != Sensor::On {
                    self.sensor.set(Sensor::On);
                }
            }
            // A sensor that stops saying how the phone is held makes what it said before worthless.
            Err(error) => {
                self.watch.update(Watch::lost);
                self.seen.set(Err(error));
                self.sensor.set(Sensor::Absent);
            }
        }
    }

    fn look(self) {
        if self.sensor.get_untracked() != Sensor::On {
            return;
        }
        self.watch.update(|watch| {
            // A hidden page is not told.
            if super::device::hidden() {
                watch.again();
            } else {
                watch.look();
            }
        });
        self.seen.set(self.watch.with_untracked(Watch::seen));
    }
}

/// A property that is there.
fn of(object: &JsValue, name: &str) -> Option<JsValue> {
    Reflect::get(object, &name.into())
        .ok()
        .filter(|value| !value.is_undefined() && !value.is_null())
}
