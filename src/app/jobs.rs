//! The list of jobs on this device, and the start of a new one from a kit card.

use super::device;
use super::parts::Mark;
use super::route::Route;
use super::store::{Listed, file_name, use_store};
use crate::document::{Job, Kind, KitCard, LoadError, MAX_BYTES, load_job, load_kit_card, save_job};
use crate::station::{Station, stations};
use gloo::file::futures::read_as_text;
use gloo::net::http::Request;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The kit cards that come with the page.
const DEMO: [(&str, &str); 2] = [
    ("cards/rear.json", "Demo: rear double-wishbone kit, inch rod ends"),
    ("cards/front.json", "Demo: front strut kit, metric tie rods"),
];

/// The list of jobs, and the start of a new one.
#[component]
pub fn Jobs() -> impl IntoView {
    let store = use_store();
    let listed = RwSignal::new(store.list());
    let problem = RwSignal::new(None::<String>);
    let start = move |card: KitCard| {
        let id = store.begin(Job::new(store.new_id(), card, device::now()));
        device::go(&Route::Job(id, Station::Unpack).href());
    };
    let demo = move |address: &'static str| {
        spawn_local(async move {
            match fetch(address).await {
                Ok(text) => match load_kit_card(&text) {
                    Ok(card) => start(card),
                    Err(error) => problem.set(Some(error.to_string())),
                },
                Err(reason) => problem.set(Some(reason)),
            }
        });
    };
    let take = move |text: String| match load_kit_card(&text) {
        Ok(card) => start(card),
        // The same button takes a job that was saved to a file.
        Err(LoadError::OtherKind { found, .. }) if found == Kind::Job.name() => match load_job(&text) {
            Ok(job) => {
                let taken = store.list().iter().any(|listed| listed.job.as_ref().is_ok_and(|known| known.id == job.id));
                let id = if taken { store.new_id() } else { job.id.clone() };
                let id = store.begin(Job { id, ..job });
                device::go(&Route::Job(id, Station::Unpack).href());
            }
            Err(error) => problem.set(Some(error.to_string())),
        },
        Err(error) => problem.set(Some(error.to_string())),
    };
    let open_file = move |input: web_sys::HtmlInputElement| {
        let Some(file) = input.files().and_then(|files| files.get(0)) else { return };
        let file = gloo::file::File::from(file);
        // The same file can be chosen again after it was mended.
        input.set_value("");
        if file.size() as usize > MAX_BYTES {
            problem.set(Some(LoadError::TooLarge { bytes: file.size() as usize }.to_string()));
            return;
        }
        spawn_local(async move {
            match read_as_text(&file).await {
                Ok(text) => take(text),
                Err(_) => problem.set(Some("This file cannot be read. Choose it again, or save it anew where it came from.".into())),
            }
        });
    };
    view! {
        <header>
            <h1 id="top" tabindex="-1">"From the box to a printed baseline sheet"</h1>
            <p class="soft">"Count and check the kit, bolt it on, set a safe base, read toe and camber, turn, print."</p>
        </header>
        <main class="two">
            <div class="stack">
                <section class="frame next">
                    <h2>"Start a job"</h2>
                    <div class="body">
                        {DEMO.map(|(address, words)| view! {
                            <button type="button" class="main" on:click=move |_| demo(address)>{words}</button>
                        })}
                        <div class="field">
                            <label for="open-file">"Open a kit card or a saved job"</label>
                            <input id="open-file" type="file" accept=".json,application/json,text/plain" on:change:target=move |event| open_file(event.target()) />
                        </div>
                        <div role="alert">
                            {move || problem.get().map(|words| view! {
                                <div class="banner">
                                    <h3>"The file was not opened"</h3>
                                    {words.lines().map(|line| view! { <p>{line.to_owned()}</p> }).collect_view()}
                                </div>
                            })}
                        </div>
                    </div>
                </section>
                <section class="frame">
                    <h2>"Before anything else"</h2>
                    <div class="body">
                        <p>"The vehicle maker's and the kit maker's instructions and local law come first. Alignment and brake work may need a licensed person. Never go under a car that stands on a jack alone."</p>
                    </div>
                </section>
            </div>
            <section class="frame">
                <h2>"Jobs on this device"</h2>
                <div class="body">
                    {move || {
                        let jobs = listed.get();
                        if jobs.is_empty() {
                            view! { <p class="soft">"None yet. A job stays on this device; save it to a file to keep it elsewhere."</p> }.into_any()
                        } else {
                            let refresh = Callback::new(move |()| listed.set(store.list()));
                            let rows = jobs.into_iter().map(|listed| view! { <JobRow listed=listed refresh=refresh /> }).collect_view();
                            view! { <ul class="lines">{rows}</ul> }.into_any()
                        }
                    }}
                </div>
            </section>
        </main>
    }
}

async fn fetch(address: &str) -> Result<String, String> {
    let failed = || format!("The card {address} could not be fetched. Check the connection and try again, or open a kit card from a file.");
    let response = Request::get(address).send().await.map_err(|_| failed())?;
    if !response.ok() {
        return Err(failed());
    }
    response.text().await.map_err(|_| failed())
}

#[component]
fn JobRow(listed: Listed, refresh: Callback<()>) -> impl IntoView {
    let store = use_store();
    let asking = RwSignal::new(false);
    let key = listed.key.clone();
    let remove = move |_| {
        store.forget(&key);
        refresh.run(());
    };
    let (title, actions) = match listed.job {
        Ok(job) => {
            let at = Station::ALL.into_iter().zip(stations(&job)).find(|(_, state)| *state != crate::station::State::Done);
            let (station, state) = at.unwrap_or((Station::Sheet, crate::station::State::Done));
            let href = Route::Job(job.id.clone(), station).href();
            let line = format!("{}, {} revision {}. Changed {}.", job.card.maker, job.card.name, job.card.revision, device::local_time(job.changed, true));
            let title = view! {
                <a class="button main" href=href>{format!("{} — {}", job.car.name, station.name())}</a>
                <p class="small soft">{line}</p>
                <Mark state=state words=format!("{}: {}", station.name(), state.word()) />
            }
            .into_any();
            let save = move |_| device::save_file(&file_name(Kind::Job, &job.car.name), &save_job(&job));
            (title, view! { <button type="button" on:click=save>"Save to a file"</button> }.into_any())
        }
        Err(error) => {
            let text = store.kept_text(&listed.key).unwrap_or_default();
            let title = view! {
                <p><strong>"A job that cannot be read. It is kept as it is."</strong></p>
                <p class="reason">{error.to_string()}</p>
            }
            .into_any();
            let save = move |_| device::save_file("halfturn-unreadable-job.json", &text);
            (title, view! { <button type="button" on:click=save>"Save what is there to a file"</button> }.into_any())
        }
    };
    view! {
        <li>
            {title}
            <div class="row">
                {actions}
                <Show
                    when=move || asking.get()
                    fallback=move || view! { <button type="button" class="quiet" on:click=move |_| asking.set(true)>"Remove"</button> }
                >
                    <span class="row">
                        <button type="button" on:click=remove.clone()>"Remove it for good"</button>
                        <button type="button" class="quiet" on:click=move |_| asking.set(false)>"Keep it"</button>
                    </span>
                </Show>
            </div>
        </li>
    }
}
