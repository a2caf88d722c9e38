//! Where the page of jobs is: addresses after the `#`, so that the back button works on any static host.

use crate::station::Station;

/// What it shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Route {
    /// The list of jobs, and the start of a new one.
    #[default]
    Jobs,
    /// A station of a job.
    Job(String, Station),
    /// The torque chart of a job.
    Torques(String),
    /// Preferences.
    Preferences,
}

impl Route {
    /// From the part of an address after `#`. An unknown address is the job list.
    pub fn from_hash(hash: &str) -> Self {
        let mut parts = hash.trim_start_matches('#').trim_matches('/').split('/');
        match (parts.next(), parts.next(), parts.next()) {
            (Some("job"), Some(id), Some("torques")) => Self::Torques(id.to_owned()),
            (Some("job"), Some(id), station) => {
                let station = station
                    .and_then(Station::from_slug)
                    .unwrap_or(Station::Unpack);
                Self::Job(id.to_owned(), station)
            }
            (Some("preferences"), ..) => Self::Preferences,
            _ => Self::Jobs,
        }
    }

    /// As a link.
    pub fn href(&self) -> String {
        match self {
            Self::Jobs => "#/".to_owned(),
            Self::Job(id, station) => format!("#/job/{id}/{}", station.slug()),
            Self::Torques(id) => format!("#/job/{id}/torques"),
            Self::Preferences => "#/preferences".to_owned(),
        }
    }
}
