//! A job and a kit card as a link, as a code and as a file; and what comes with a link is asked about before anything is written.

use crate::common::{card, typed, whole};
use crate::page::{Page, Screen};
use crate::paper::{Paper, codes_in_png};
use crate::site::Site;
use crate::tour::{alone, link};
use halfturn::document::{
    Job, Letter, Unit, fingerprint, load_job, load_kit_card, pack_job, pack_kit_card, save_job,
    save_kit_card,
};
use std::fs;
use std::path::PathBuf;

const FILE: &str = "Open a kit card or a saved job";

fn file(name: &str, text: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("shared");
    fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path
}

/// Opens a job from a file, as the first one on this device.
fn begin(page: &Page, job: &Job, name: &str) {
    page.open("");
    page.attach(FILE, &file(name, &save_job(job)));
    page.arrives("Unpack");
}

/// The jobs that are stored, by their key.
fn stored(page: &Page) -> Vec<Job> {
    let texts = page.script(
        "return Object.keys(localStorage).filter(key => key.startsWith('halfturn.job.')).sort().map(key => localStorage.getItem(key))",
    );
    let texts: Vec<String> = serde_json::from_value(texts).unwrap();
    texts.iter().map(|text| load_job(text).unwrap()).collect()
}

fn sheet_of(page: &Page) -> String {
    page.arrives("Sheet");
    page.part(".sheet").text()
}

/// The job with other values here and there.
fn changed(job: &Job) -> Job {
    let mut job = job.clone();
    job.settings.place("lr-camber")[0] = typed("7.1", Unit::Millimetre);
    job.notes = "Read again on Monday.".into();
    job.changed += 60_000;
    job
}

#[test]
fn a_job_goes_from_paper_to_another_phone() {
    for kit in ["rear", "front"] {
        let site = Site::release();
        let mut link = String::new();
        let mut sheet = String::new();
        site.visit(Screen::PHONE, |page| {
            begin(page, &whole(kit), &format!("{kit}-whole.json"));
            page.open("align/#/job/7/sheet");
            page.waits_for("the code", || {
                (page.script("return !!document.querySelector('.sheet svg.qr')") == true)
                    .then_some(())
            });
            sheet = sheet_of(page);
            for paper in Paper::BOTH {
                let printed = page.print(paper, &format!("{kit}-code"));
                printed.is_one_page_with(paper, &["Baseline sheet", "another phone"]);
                let codes = printed.codes();
                assert_eq!(
                    codes.len(),
                    1,
                    "one code stands on {}",
                    printed.path.display()
                );
                link = codes[0].clone();
            }
            assert!(
                link.starts_with(&format!("{}/share/#/open/1-", site.origin())),
                "{link}"
            );
            page.fits();
        });
        // A phone that has never seen the page.
        site.visit(Screen::PHONE, |page| {
            page.open_elsewhere(&link);
            page.arrives("A job came with this address");
            page.shows("This job is not on this device yet.");
            page.part("dl").shows("Thistle Yard Fabrication");
            page.fits();
            page.look(&format!("came-{kit}"));
            assert_eq!(
                stored(page).len(),
                0,
                "nothing is written before the choice"
            );
            page.click("Keep it on this device");
            assert_eq!(sheet_of(page), sheet);
            let kept = stored(page);
            assert_eq!(save_job(&kept[0]), save_job(&whole(kit)));
            page.reload();
            assert_eq!(sheet_of(page), sheet);
            page.back();
            page.lacks("came with this address");
        });
    }
}

#[test]
fn a_link_is_made_on_the_page_and_opens_elsewhere() {
    let site = Site::release();
    let mut made = String::new();
    site.visit(Screen::DESK, |page| {
        begin(page, &whole("rear"), "rear-link.json");
        page.open("align/#/job/7/sheet");
        page.click("Share this job");
        page.arrives("Share this job");
        page.shows("Its kit card comes with this page.");
        page.shows("characters.");
        made = page.value("The link");
        assert!(made.contains("/share/#/open/1."), "{made}");
        page.fits();
        let picture = page.picture("share-job");
        let codes = codes_in_png(&picture);
        assert_eq!(codes.len(), 1, "the code on the screen is read");
        let (_, digits) = codes[0].split_once("#/open/").unwrap();
        let (_, letters) = made.split_once("#/open/").unwrap();
        assert_eq!(Letter::read(digits), Letter::read(letters));
        // Black on white in the dark too.
        page.script("document.documentElement.dataset.theme = 'dark'");
        assert_eq!(codes_in_png(&page.picture("share-job-dark")), codes);
        page.click("Save to a file");
        assert_eq!(page.saved_file().1, save_job(&whole("rear")).into_bytes());
    });
    assert!(
        !site
            .requests()
            .iter()
            .any(|request| request.path.contains("open")),
        "nothing of the link reaches a server"
    );
    site.visit(Screen::PHONE, |page| {
        page.open_elsewhere(&made);
        page.click("Keep it on this device");
        page.part(".sheet")
            .shows("Left rear wheel has a mark on its rim.");
        // The first page leads on to the one that opens it.
        page.open_elsewhere(&made.replace("/share/#", "/#"));
        page.shows("This job is on this device already, and nothing differs.");
        page.click("Open the one here");
        page.part(".sheet")
            .shows("Left rear wheel has a mark on its rim.");
        assert_eq!(stored(page).len(), 1);
    });
}

#[test]
fn a_job_that_is_here_is_never_written_over_unasked() {
    let job = whole("rear");
    let came = link(&alone(&changed(&job)));
    Site::release().visit(Screen::PHONE, |page| {
        begin(page, &job, "rear-here.json");
        let untouched = save_job(&job);
        page.open(&came);
        page.arrives("A job came with this address");
        page.shows("Base settings: 1 of 6 differ (left rear Upper link).");
        page.shows("Notes: 1 of 1 differ (the text for the sheet).");
        page.shows("The one that came was changed later.");
        page.fits();
        page.look("came-differs");
        page.click("Leave it");
        page.arrives("From the box");
        page.back();
        page.lacks("came with this address");
        let kept = stored(page);
        assert_eq!(
            kept.iter().map(save_job).collect::<Vec<_>>(),
            std::slice::from_ref(&untouched)
        );

        page.open(&came);
        page.click("Keep both");
        page.part(".sheet").shows("Read again on Monday.");
        let kept = stored(page);
        assert_eq!(kept.len(), 2);
        assert!(kept.iter().any(|kept| save_job(kept) == untouched));
        let other = kept.iter().find(|kept| kept.id != job.id).unwrap();
        assert!(
            *other
                == Job {
                    id: other.id.clone(),
                    ..load_job(&save_job(&changed(&job))).unwrap()
                }
        );
        page.script(&format!(
            "localStorage.removeItem('halfturn.job.{}')",
            other.id
        ));

        page.open(&came);
        page.click("Take the one that came; keep the one here as a copy");
        page.part(".sheet").shows("Read again on Monday.");
        let kept = stored(page);
        assert_eq!(kept.len(), 2);
        let taken = kept.iter().find(|kept| kept.id == job.id).unwrap();
        assert_eq!(save_job(taken), save_job(&changed(&job)));
        let copy = kept.iter().find(|kept| kept.id != job.id).unwrap();
        assert_eq!(
            save_job(&Job {
                id: job.id.clone(),
                ..copy.clone()
            }),
            untouched
        );
        page.reload();
        page.part(".sheet").shows("Read again on Monday.");
    });
}

#[test]
fn a_job_of_another_car_with_the_same_number_is_kept_beside_it() {
    let other = Job {
        started: 1,
        ..whole("front")
    };
    Site::release().visit(Screen::PHONE, |page| {
        begin(page, &whole("rear"), "rear-first.json");
        page.open(&link(&alone(&other)));
        page.shows("This job is not on this device yet.");
        page.click("Keep it on this device");
        page.part(".sheet").shows("Tie rod");
        let kept = stored(page);
        assert_eq!(kept.len(), 2);
        assert!(
            kept.iter()
                .any(|kept| save_job(kept) == save_job(&whole("rear")))
        );
    });
}

#[test]
fn a_job_from_a_file_that_is_here_asks_too() {
    let job = whole("rear");
    Site::release().visit(Screen::PHONE, |page| {
        begin(page, &job, "rear-again.json");
        page.open("#/");
        page.attach(FILE, &file("rear-changed.json", &save_job(&changed(&job))));
        page.arrives("A job came in this file");
        page.shows("Base settings: 1 of 6 differ");
        assert_eq!(stored(page).len(), 1);
        page.reload();
        page.arrives("A job came in this file");
        page.click("Keep both");
        page.part(".sheet").shows("Read again on Monday.");
        assert_eq!(stored(page).len(), 2);
        assert_eq!(page.script("return window.name"), "");
    });
}

#[test]
fn a_kit_card_goes_as_a_link() {
    let site = Site::release();
    let mut made = String::new();
    site.visit(Screen::PHONE, |page| {
        begin(page, &whole("front"), "front-card.json");
        page.open("#/");
        page.part(".lines").click("More");
        page.click("Share its kit card");
        page.arrives("Share this kit card");
        page.shows("Too large for a code");
        page.shows("Some programs cut links as long as this");
        made = page.value("The link");
        page.fits();
        page.look("share-card");
    });
    site.visit(Screen::PHONE, |page| {
        page.open_elsewhere(&made);
        page.arrives("A kit card came with this address");
        page.part("dl").shows("Thistle Yard Fabrication");
        assert_eq!(stored(page).len(), 0);
        page.click("Start a job on it");
        page.arrives("Unpack");
        let kept = stored(page);
        assert_eq!(fingerprint(&kept[0].card), fingerprint(&card("front")));
    });
}

#[test]
fn a_job_on_a_card_that_is_not_here_waits_for_it() {
    let mut job = whole("rear");
    job.card.revision = "maker's own".into();
    Site::release().visit(Screen::PHONE, |page| {
        page.open(&link(&alone(&job)));
        page.arrives("A kit card is missing");
        page.shows("revision maker's own");
        page.attach(
            "Open the kit card, or a job on it",
            &file("other-card.json", &save_kit_card(&card("rear"))),
        );
        page.part(".banner")
            .shows("it is not the card that is needed");
        page.fits();
        page.look("came-needs-card");
        assert_eq!(stored(page).len(), 0);
        let text = save_kit_card(&job.card);
        page.attach(
            "Open the kit card, or a job on it",
            &file("its-card.json", &text),
        );
        page.arrives("A job came with this address");
        page.click("Keep it on this device");
        page.part(".sheet").shows("rev maker's own");

        // On such a card the link carries it, and the code says that it does not.
        page.click("Share this job");
        page.shows("The code holds the whole job but not its kit card");
        let made = page.value("The link");
        page.script("localStorage.clear()");
        page.open_elsewhere(&made);
        page.click("Keep it on this device");
        page.part(".sheet").shows("rev maker's own");
        assert!(load_kit_card(&text).unwrap() == stored(page)[0].card);
    });
}

#[test]
fn links_that_cannot_be_right_are_refused_in_words() {
    let whole_link = link(&alone(&whole("rear")));
    let mut wrong = whole("rear");
    wrong.card.joints[0].count = 0;
    // Fifty megabytes of lists that open deflate to fifty thousand bytes.
    let bomb = link(&vec![4; 50_000_000]);
    let long = format!("share/#/open/1.{}", "A".repeat(1_000_000));
    let mut flipped = whole_link.clone().into_bytes();
    let place = flipped.len() - 40;
    flipped[place] = if flipped[place] == b'A' { b'B' } else { b'A' };
    let flipped = String::from_utf8(flipped).unwrap();
    let cases = [
        (&whole_link[..whole_link.len() / 2], "was cut short"),
        (&flipped, "not as it was made"),
        (&long, "1000002 characters long"),
        (&bomb, "more than any job or kit card"),
        ("share/#/open/2.AAAA", "made by a newer page"),
        ("share/#/open/", "does not hold a job or a kit card"),
        (
            "share/#/open/%3Cimg%20src=x%20onerror=alert(1)%3E",
            "does not hold a job or a kit card",
        ),
        (&link(&pack_job(&wrong)), "card.joints[0].count"),
        (&link(&[9, 9, 9]), "not as it was made"),
    ];
    Site::release().visit(Screen::PHONE, |page| {
        for (address, words) in cases {
            page.open("bench/");
            page.open(address);
            page.arrives("This was not opened");
            page.part(".banner").shows(words);
            page.fits();
        }
        assert_eq!(stored(page).len(), 0);
        page.click("Go to the list of jobs");
        page.shows("None yet.");
    });
}

#[test]
fn what_stands_in_a_link_is_text_and_no_markup() {
    let evil = "<img src=x onerror=\"document.title='run'\"><script>document.title='run'</script>";
    let mut job = whole("rear");
    job.car.name = evil.into();
    job.car.by = evil.into();
    job.notes = evil.into();
    job.card.name = evil.into();
    job.card.maker = evil.into();
    Site::release().visit(Screen::PHONE, |page| {
        page.open(&link(&pack_kit_card(&job.card)));
        page.part("dl").shows("<img src=x");
        page.open("bench/");
        page.open(&link(&pack_job(&job)));
        page.part("dl").shows("<img src=x");
        page.fits();
        page.click("Keep it on this device");
        page.part(".sheet").shows("<img src=x");
        page.click("Share this job");
        page.shows("characters.");
        assert_ne!(page.script("return document.title"), "run");
        assert_eq!(
            page.script("return document.querySelectorAll('img').length"),
            0
        );
    });
}

#[test]
fn a_browser_without_streams_makes_longer_links_and_says_what_it_cannot_open() {
    let site = Site::release();
    let mut made = String::new();
    site.visit(Screen::PHONE, |page| {
        page.before_load("delete window.CompressionStream; delete window.DecompressionStream");
        begin(page, &whole("rear"), "rear-old.json");
        page.open("share/#/send/7");
        page.shows("characters");
        made = page.value("The link");
        page.open("bench/");
        page.open(&link(&alone(&whole("rear"))));
        page.part(".banner")
            .shows("This browser cannot unfold links");
    });
    assert!(made.len() > link(&alone(&whole("rear"))).len() + 1000);
    site.visit(Screen::PHONE, |page| {
        page.open_elsewhere(&made);
        page.click("Keep it on this device");
        page.part(".sheet")
            .shows("Left rear wheel has a mark on its rim.");
    });
}

#[test]
fn other_programs_are_handed_the_link_and_the_file() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load("navigator.share = async (data) => { window.handed = { url: data.url, title: data.title, file: data.files && [data.files[0].name, await data.files[0].text()] } }");
        begin(page, &whole("rear"), "rear-handed.json");
        page.open("share/#/send/7");
        page.shows("characters.");
        page.click("Share the link…");
        page.shows("Handed over.");
        assert_eq!(page.script("return handed.url"), page.value("The link"));
        page.click("Share the file…");
        page.waits_for("the file", || page.script("return handed.file || null").is_array().then_some(()));
        let handed: (String, String) = serde_json::from_value(page.script("return handed.file")).unwrap();
        assert!(handed.0.ends_with(".json.txt"), "{}", handed.0);
        assert_eq!(handed.1, save_job(&whole("rear")));
        page.script("navigator.share = () => Promise.reject(new DOMException('no', 'NotAllowedError'))");
        page.click("Share the link…");
        page.shows("Not handed over.");
    });
}

#[test]
fn a_job_that_is_nowhere_kept_is_shared_and_taken_in() {
    let site = Site::release();
    let off = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('off', 'SecurityError') } })";
    site.visit(Screen::PHONE, |page| {
        page.before_load(off);
        page.open(&link(&alone(&whole("rear"))));
        page.click("Keep it on this device");
        page.part(".sheet")
            .shows("Left rear wheel has a mark on its rim.");
        page.click("Share this job");
        page.shows("Its kit card comes with this page.");
        assert!(page.value("The link").contains("#/open/1."));
    });
}
