//! What the list of jobs says of each: where it stands, how long ago it was changed, and whether a search finds it.

use super::{Progress, State, Station, base_progress, bolt_up_progress, stations, unpack_progress};
use crate::document::{Job, Moment};

const MINUTE: Moment = 60 * 1000;
const HOUR: Moment = 60 * MINUTE;
const DAY: Moment = 24 * HOUR;

/// Where a job stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The first station that is not done; the sheet where all are.
    pub station: Station,
    /// Its state.
    pub state: State,
    /// How far it has come, for a station that counts.
    pub progress: Option<Progress>,
}

/// Where a job stands.
pub fn standing(job: &Job) -> Standing {
    let states = Station::ALL.into_iter().zip(stations(job));
    let (station, state) = states
        .into_iter()
        .find(|(_, state)| *state != State::Done)
        .unwrap_or((Station::Sheet, State::Done));
    let progress = match station {
        Station::Unpack => Some(unpack_progress(job)),
        Station::BoltUp => Some(bolt_up_progress(job)),
        Station::Base => Some(base_progress(job)),
        Station::Read | Station::Turn | Station::Sheet => None,
    };
    Standing {
        station,
        state,
        progress,
    }
}

/// How long ago a moment was, in the largest whole unit; none where the device's clock says that it is still to come, because it was
/// set back.
pub fn age(then: Moment, now: Moment) -> Option<String> {
    let past = now.checked_sub(then)?;
    let (count, unit) = if past < MINUTE {
        return Some("just now".into());
    } else if past < HOUR {
        (past / MINUTE, "minute")
    } else if past < DAY {
        (past / HOUR, "hour")
    } else {
        (past / DAY, "day")
    };
    let plural = if count == 1 { "" } else { "s" };
    Some(format!("{count} {unit}{plural} ago"))
}

/// Whether every word of a search stands in what names a job: the car, who works on it, the card and its maker, the notes. Large and small
/// letters of the Latin alphabet without marks are the same.
pub fn is_found(job: &Job, search: &str) -> bool {
    let card = &job.card;
    let texts = [
        &job.car.name,
        &job.car.by,
        &card.name,
        &card.maker,
        &card.fits,
        &job.notes,
    ];
    let stands = |word: &str| {
        texts
            .iter()
            .any(|text| holds(text.as_bytes(), word.as_bytes()))
    };
    search
        .split(' ')
        .filter(|word| !word.is_empty())
        .all(stands)
}

fn holds(text: &[u8], word: &[u8]) -> bool {
    text.windows(word.len())
        .any(|here| here.eq_ignore_ascii_case(word))
}
