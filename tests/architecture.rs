//! What the code must not contain: the invariants that no type can hold.

use std::fs;
use std::path::{Path, PathBuf};

/// The core's rooms in the order of dependence: a room uses only those before it.
const ROOMS: [&str; 11] = [
    "quantity", "hardware", "adjuster", "reading", "linkage", "plan", "document", "station",
    "sheet", "drawing", "app",
];

/// Crates and names that belong to a browser.
const BROWSER: [&str; 7] = [
    "leptos",
    "reactive_graph",
    "web_sys",
    "wasm_bindgen",
    "js_sys",
    "gloo",
    "localStorage",
];

#[test]
fn the_core_names_no_browser_crate() {
    let core: Vec<_> = files_below("src")
        .into_iter()
        .filter(|(path, _)| !path.starts_with("src/app/"))
        .collect();
    assert!(core.len() > 5, "the core has files: {}", core.len());
    nothing_found(&core, |_, text| browser_names(text));
}

#[test]
fn a_browser_name_in_the_core_is_found() {
    for bad in [
        "use leptos::prelude::*;",
        "fn now() -> f64 { js_sys::Date::now() }",
        "pub use gloo as g;",
        "/// Kept in localStorage.",
    ] {
        assert_eq!(browser_names(bad).len(), 1, "{bad}");
    }
    assert_eq!(browser_names("let gloomy = igloo;"), Vec::<String>::new());
}

#[test]
fn rooms_use_only_rooms_before_them() {
    let rooms = files_below("src");
    assert!(
        rooms
            .iter()
            .filter(|(path, _)| room_of(path).is_some())
            .count()
            > 5,
        "rooms have files"
    );
    nothing_found(&rooms, |path, text| match room_of(path) {
        Some(room) => rooms_after(room, text),
        None => Vec::new(),
    });
}

#[test]
fn a_room_that_uses_a_later_one_is_found() {
    let place = |room| ROOMS.iter().position(|&name| name == room).unwrap();
    for bad in [
        "use crate::plan::Plan;",
        "use crate::{\n    quantity::Length,\n    plan::{Plan, Step},\n};",
        "let plan = crate::plan::make();",
        "use super::super::plan;",
        "pub(in crate::plan) fn f() {}",
    ] {
        assert_eq!(rooms_after(place("reading"), bad), ["plan"], "{bad}");
    }
    let good = "use crate::quantity::{Length, plan};\nuse crate::reading::Toe;\n// crate::plan comes later";
    assert_eq!(rooms_after(place("reading"), good), Vec::<String>::new());
    assert_eq!(room_of("src/plan/lattice.rs"), Some(place("plan")));
    assert_eq!(room_of("src/lib.rs"), None);
}

#[test]
fn nothing_points_outside_the_project() {
    let outside = concat!("..", "/shared");
    let mut files: Vec<_> = ["src", "tests", "public"]
        .into_iter()
        .flat_map(files_below)
        .collect();
    for page in ["README.md", "DEVELOPERS.md"] {
        if let Ok(text) = fs::read_to_string(root().join(page)) {
            files.push((page.to_owned(), text));
        }
    }
    let names = |text: &str| -> Vec<String> {
        text.contains(outside)
            .then(|| outside.to_owned())
            .into_iter()
            .collect()
    };
    assert_eq!(
        names(&format!("see {outside}/design")),
        [outside],
        "a name of it is found"
    );
    nothing_found(&files, |_, text| names(text));
}

/// Runs a check over files and fails with everything it found, file by file.
#[track_caller]
fn nothing_found(files: &[(String, String)], check: impl Fn(&str, &str) -> Vec<String>) {
    let found: Vec<_> = files
        .iter()
        .flat_map(|(path, text)| {
            check(path, text)
                .into_iter()
                .map(move |what| format!("{path}: {what}"))
        })
        .collect();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

/// The browser's names that stand in the text as whole words, comments included.
fn browser_names(text: &str) -> Vec<String> {
    let words: Vec<&str> = words(text).collect();
    BROWSER
        .iter()
        .filter(|name| words.contains(name))
        .map(|&name| name.to_owned())
        .collect()
}

/// The later rooms that the code of a room uses by a path from the crate's root; comments do not count.
fn rooms_after(room: usize, text: &str) -> Vec<String> {
    let code: String = text
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join(" ");
    paths_from_the_root(&code)
        .into_iter()
        .filter(|used| ROOMS[room + 1..].contains(&used.as_str()))
        .collect()
}

/// The first names after `crate::`, and after `super::`, which at the top of a room is the same.
fn paths_from_the_root(code: &str) -> Vec<String> {
    let mut found = Vec::new();
    for prefix in ["crate::", "super::"] {
        for (at, _) in code.match_indices(prefix) {
            found.extend(first_names(code[at + prefix.len()..].trim_start()));
        }
    }
    found
}

/// `a::b` names `a`; `{a::{b, c}, d}` names `a` and `d`.
fn first_names(path: &str) -> Vec<String> {
    let Some(group) = path.strip_prefix('{') else {
        return words(path).take(1).map(str::to_owned).collect();
    };
    let mut depth = 0;
    let mut top = String::new();
    for letter in group.chars() {
        match letter {
            '{' => depth += 1,
            '}' if depth == 0 => break,
            '}' => depth -= 1,
            _ if depth == 0 => top.push(letter),
            _ => {}
        }
    }
    top.split(',')
        .flat_map(|item| words(item).take(1))
        .map(str::to_owned)
        .collect()
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric() && letter != '_')
        .filter(|word| !word.is_empty())
}

/// The place in [`ROOMS`] of the room that a file belongs to.
fn room_of(path: &str) -> Option<usize> {
    let name = path.strip_prefix("src/")?.split(['/', '.']).next()?;
    ROOMS.iter().position(|&room| room == name)
}

/// Every text file below a folder of the project, with its path from the project's root.
fn files_below(folder: &str) -> Vec<(String, String)> {
    let mut files = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if let Ok(text) = fs::read_to_string(&path) {
                files.push((
                    path.strip_prefix(root())
                        .unwrap()
                        .to_str()
                        .unwrap()
                        .to_owned(),
                    text,
                ));
            }
        }
    }
    files
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}
