//! The sheet as plain text, for a message or a file.

use super::Sheet;
use crate::document::Moment;

/// The sheet as plain text. `when` writes a moment: the core has no clock and no place.
pub fn plain_text(sheet: &Sheet, when: &dyn Fn(Moment) -> String) -> String {
    let mut text = format!("BASELINE SHEET\n{}\nKit card: {}\n", sheet.car, sheet.card);
    let mut line = |line: String| {
        text.push_str(line.trim_end());
        text.push('\n');
    };
    for (name, value) in [("Order", &sheet.order), ("Done by", &sheet.by)] {
        if !value.is_empty() {
            line(format!("{name}: {value}"));
        }
    }
    line(format!("Changed: {}", when(sheet.changed)));
    for (name, value) in &sheet.facts {
        line(format!("{name}: {value}"));
    }
    line("\nTOE AND CAMBER, AS FOUND AND AS LEFT".into());
    sheet.targets.iter().for_each(|target| line(target.clone()));
    for wheel in &sheet.wheels {
        line(format!(
            "{}: toe {} -> {}, camber {} -> {}, {}",
            wheel.corner,
            wheel.toe_found,
            wheel.toe_left,
            wheel.camber_found,
            wheel.camber_left,
            wheel.verdict
        ));
    }
    sheet.axles.iter().for_each(|axle| line(axle.clone()));
    line("\nADJUSTERS: BASE, NOW, ENGAGED, ONE STEP, LOCK".into());
    for adjuster in &sheet.adjusters {
        let parts = [
            &adjuster.base,
            &adjuster.now,
            &adjuster.engaged,
            &adjuster.rate,
            &adjuster.lock,
        ];
        let parts: Vec<_> = parts
            .into_iter()
            .filter(|part| !part.is_empty())
            .map(String::as_str)
            .collect();
        line(format!("{}: {}", adjuster.name, parts.join("; ")));
    }
    line("\nJOINTS: TORQUE, STATE, SET, SIGNED OFF, CHECK AGAIN".into());
    for joint in &sheet.joints {
        let mut text = format!(
            "{}: {} {}, set {}",
            joint.name, joint.torque, joint.tighten, joint.set
        );
        if let Some(at) = joint.at {
            text = format!("{text}, signed {} {}", joint.by, when(at));
        }
        if !joint.recheck.is_empty() {
            text = format!("{text}, {}", joint.recheck);
        }
        line(text);
    }
    line("\nOPEN".into());
    if sheet.open.is_empty() {
        line("Nothing.".into());
    }
    sheet.open.iter().for_each(|item| line(format!("- {item}")));
    if sheet.open_more > 0 {
        line(format!("- and {} more", sheet.open_more));
    }
    if !sheet.notes.trim().is_empty() {
        line(format!("\nNOTES\n{}", sheet.notes.trim()));
    }
    line(String::new());
    sheet.advice.iter().for_each(|advice| line(advice.clone()));
    sheet
        .cautions
        .iter()
        .for_each(|caution| line((*caution).to_owned()));
    text
}
