//! Where a page of jobs is: addresses after the `#`, so that the back button works on any static host.

use crate::station::Station;

/// The pages that show a job. Each loads only the code of its own stations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Page {
    /// The list of jobs and the preferences.
    Home,
    /// Unpack, in the folder `unpack/`.
    Unpack,
    /// Bolt up, Base and the torque chart, in the folder `fit/`.
    Fit,
    /// Read, in the folder `read/`.
    Read,
    /// Turn, in the folder `align/`.
    Align,
    /// Sheet, in the folder `sheet/`.
    Sheet,
    /// What is sent and what came, in the folder `share/`.
    Share,
    /// The kit maker's desk, in the folder `desk/`. It shows no job.
    Desk,
    /// Boxes checked before they ship, in the folder `box/`. A check is a job too, but the shop's.
    Box,
}

impl Page {
    /// Its folder among the pages.
    const fn folder(self) -> &'static str {
        match self {
            Self::Home => "",
            Self::Unpack => "unpack/",
            Self::Fit => "fit/",
            Self::Read => "read/",
            Self::Align => "align/",
            Self::Sheet => "sheet/",
            Self::Share => "share/",
            Self::Desk => "desk/",
            Self::Box => "box/",
        }
    }

    /// The folder of the pages as it is named from this one.
    pub const fn home(self) -> &'static str {
        match self {
            Self::Home => "",
            _ => "../",
        }
    }
}

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
    /// A job to be sent.
    Send(String),
    /// The kit card of a job to be sent.
    SendCard(String),
    /// What came with a link: what stands in it.
    Came(String),
    /// A job that came in a file, and is here already.
    CameInFile,
    /// The boxes checked before they ship.
    Boxes,
    /// The check of a box.
    Box(String),
}

impl Route {
    /// From the part of an address after `#`. An unknown address is the job list, or that of boxes on their page.
    pub fn from_hash(hash: &str, here: Page) -> Self {
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
            (Some("send"), Some(id), None) => Self::Send(id.to_owned()),
            (Some("send"), Some(id), Some(_)) => Self::SendCard(id.to_owned()),
            (Some("open"), link, _) => Self::Came(link.unwrap_or_default().to_owned()),
            (Some("file"), ..) => Self::CameInFile,
            (Some("box"), Some(id), _) => Self::Box(id.to_owned()),
            _ if here == Page::Box => Self::Boxes,
            _ => Self::Jobs,
        }
    }

    /// The job that it opens, or the check of a box.
    pub const fn job(&self) -> Option<&String> {
        match self {
            Self::Job(id, _)
            | Self::Torques(id)
            | Self::Send(id)
            | Self::SendCard(id)
            | Self::Box(id) => Some(id),
            _ => None,
        }
    }

    /// The page that shows it.
    pub const fn page(&self) -> Page {
        match self {
            Self::Job(_, Station::Unpack) => Page::Unpack,
            Self::Job(_, Station::Read) => Page::Read,
            Self::Job(_, Station::Turn) => Page::Align,
            Self::Job(_, Station::Sheet) => Page::Sheet,
            Self::Send(_) | Self::SendCard(_) | Self::Came(_) | Self::CameInFile => Page::Share,
            Self::Job(..) | Self::Torques(_) => Page::Fit,
            Self::Jobs | Self::Preferences => Page::Home,
            Self::Boxes | Self::Box(_) => Page::Box,
        }
    }

    /// As a link on a page.
    pub fn href(&self, here: Page) -> String {
        let there = self.page();
        let folder = match there == here {
            true => String::new(),
            false => format!("{}{}", here.home(), there.folder()),
        };
        match self {
            Self::Jobs => format!("{folder}#/"),
            Self::Job(id, station) => format!("{folder}#/job/{id}/{}", station.slug()),
            Self::Torques(id) => format!("{folder}#/job/{id}/torques"),
            Self::Preferences => format!("{folder}#/preferences"),
            Self::Send(id) => format!("{folder}#/send/{id}"),
            Self::SendCard(id) => format!("{folder}#/send/{id}/card"),
            Self::Came(link) => format!("{folder}#/open/{link}"),
            Self::CameInFile => format!("{folder}#/file"),
            Self::Boxes => format!("{folder}#/"),
            Self::Box(id) => format!("{folder}#/box/{id}"),
        }
    }
}
