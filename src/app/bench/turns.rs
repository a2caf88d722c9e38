//! Turns for an angle: degrees from a rack to turns of a wrench, in ten seconds.

use super::{empty, field, length_field, pick, place_of, spoken, thread_at, thread_list};
use crate::adjuster::{Step, camber_turns, step_words, toe_turns};
use crate::app::dom::{El, el, p};
use crate::app::parts::{Working, body, facts};
use crate::app::signal::RwSignal;
use crate::document::{Entry, Preferences};
use crate::hardware::Thread;
use crate::quantity::{Angle, Fixed, Length, Limit};
use crate::station::length_of;

/// An angle without a way: how far to go.
fn change_of(entry: &Entry) -> Result<Angle, String> {
    entry
        .division()
        .and_then(|angle| Limit::Camber.hold_angle(angle))
        .map_err(|error| error.to_string())
}

/// Turns for an angle.
pub fn turns(preferences: RwSignal<Preferences>) -> [El; 2] {
    let (change, arm) = (empty(), empty());
    let thread = RwSignal::new(place_of(Thread::default()));
    let (kind, double) = (RwSignal::new(0), RwSignal::new(0));
    let known = body()
        .child(pick(
            "what",
            "What changes",
            &["toe, by a toe link", "camber, by an upper or lower link"],
            kind,
        ))
        .child(field(
            preferences,
            "change",
            "By how much",
            change,
            |words| words.angle.into(),
            |entry, words| change_of(entry).map(|angle| words.angle(angle)),
        ))
        .child(length_field(
            preferences,
            "arm",
            "Lever arm, square to the link",
            arm,
            Limit::LeverArm,
        ))
        .child(thread_list("Thread", thread))
        .child(pick(
            "kind",
            "Adjuster",
            &[
                "rod end on its shank: one pitch a turn",
                "sleeve, left- and right-hand: two pitches a turn",
            ],
            double,
        ));
    let working = Working::new();
    let answer = spoken(move || {
        let words = preferences.get();
        let per_turn = thread_at(thread.get()).pitch() * if double.get() == 1 { 2.0 } else { 1.0 };
        let (Ok(angle), Ok(arm)) = (
            change_of(&change.get()),
            length_of(&arm.get(), Limit::LeverArm),
        ) else {
            return vec![p("Type by how much and the lever arm.").class("soft")];
        };
        let camber = kind.get() == 1;
        let turns = if camber {
            camber_turns(angle, arm, per_turn)
        } else {
            toe_turns(angle, arm, per_turn)
        };
        turns
            .map(|turns| answer(turns, angle, arm, per_turn, camber, &working, &words))
            .unwrap_or_default()
    });
    [known, answer]
}

fn answer(
    turns: f64,
    angle: Angle,
    arm: Length,
    per_turn: Length,
    camber: bool,
    working: &Working,
    words: &Preferences,
) -> Vec<El> {
    let whole = |step: Step| {
        let count = (turns / step.turns()).round().clamp(0.0, 100_000.0);
        let off = per_turn * (count * step.turns() - turns);
        // The count is a whole number that fits.
        format!(
            "{}, {} {}",
            step_words(step, count as u32),
            words.length(off.abs()),
            if off.as_metres() < 0.0 {
                "short"
            } else {
                "over"
            }
        )
    };
    let (name, form) = if camber { ("h", "tan") } else { ("r", "sin") };
    let formula = format!(
        "turns = {name} {form} Δ / travel per turn\n= {} mm × {form} {}° / {} mm\n= {turns}",
        Fixed(arm.as_mm(), 2),
        Fixed(angle.as_degrees(), 4),
        Fixed(per_turn.as_mm(), 4),
        turns = Fixed(turns, 4)
    );
    vec![
        el("strong")
            .class("big")
            .text(&format!("{turns} turns", turns = Fixed(turns, 2))),
        facts([
            ("Length", words.length(per_turn * turns)),
            ("In whole flats", whole(Step::Flat)),
            ("In half turns", whole(Step::HalfTurn)),
        ]),
        working.says(
            &formula,
            "Plane trigonometry; the link square to its arm. Check the thread that is left before turning.",
        ),
    ]
}
