//! Advice that depends on how the car is used, and what the card's last revision changed.

use crate::document::{Job, KitCard, applies};

/// What the card's maker advises for the uses of a job and its order.
pub fn advice(job: &Job) -> Vec<String> {
    let called = |id: &String| {
        let one = job.card.uses.iter().find(|one| one.id == *id)?;
        job.uses.contains(id).then_some(one.name.as_str())
    };
    let line = |advice: &crate::document::Advice| {
        let uses: Vec<_> = advice.uses.iter().filter_map(called).collect();
        let fits = !uses.is_empty() && applies(&advice.when, &job.order);
        fits.then(|| format!("{}: {}", capital(&uses.join(", ")), advice.text.trim()))
    };
    job.card.advice.iter().filter_map(line).collect()
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        std::iter::once(first.to_ascii_uppercase())
            .chain(letters)
            .collect()
    })
}

/// What the card's own revision changed, in a line; none where the maker says nothing of it.
pub fn revision_note(card: &KitCard) -> Option<String> {
    let of_this = card
        .revisions
        .iter()
        .rev()
        .find(|entry| entry.revision == card.revision)?;
    let date = match of_this.date.trim() {
        "" => String::new(),
        date => format!(" ({date})"),
    };
    Some(format!(
        "New in revision {}{date}: {}",
        card.revision,
        of_this.note.trim()
    ))
}
