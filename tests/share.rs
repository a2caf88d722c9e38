//! Jobs and kit cards as links: what goes in comes out, and what is not whole is said to be so.

mod common;

use common::{CARDS, card, moment, typed, whole};
use flate2::Compression;
use flate2::read::{DeflateDecoder, DeflateEncoder};
use halfturn::document::{
    Job, Json, LONGEST_LINK, Letter, LinkError, NamedCard, OWN_KIT_CARDS, Shared, Unit, card_named,
    differences, fingerprint, load_job, load_kit_card, open_packed, pack_job, pack_kit_card,
    save_job, save_kit_card,
};
use halfturn::drawing::QrDrawing;
use proptest::prelude::*;
use std::io::Read;
use std::sync::LazyLock;

/// The address a page has at some host.
const ADDRESS: &str = "https://kits.example.com/halfturn/share/#/open/";

/// A job as it stands in storage, with moments as they come.
fn kept(name: &str) -> Job {
    static KEPT: LazyLock<[Job; 2]> = LazyLock::new(|| CARDS.map(lived));
    let place = CARDS.iter().position(|known| *known == name).unwrap();
    KEPT[place].clone()
}

fn lived(name: &str) -> Job {
    let mut job = whole(name);
    let ids: Vec<_> = job.marks.iter().map(|(id, _)| id.to_owned()).collect();
    let mut at = job.started;
    for (id, step) in ids.iter().zip(1..) {
        // Twenty seconds to seven minutes apart, to the millisecond.
        at += 20_000 + (step * 7_919_317) % 400_009;
        job.marks.place(id).at = at;
    }
    load_job(&save_job(&job)).unwrap()
}

/// A job that names its card.
fn alone(job: &Job) -> Vec<u8> {
    NamedCard::of(&job.card).pack_job(job)
}

/// As zlib deflates, which is what browsers have.
fn letter(packed: &[u8]) -> Letter {
    let mut bytes = Vec::new();
    let mut encoder = DeflateEncoder::new(packed, Compression::default());
    encoder.read_to_end(&mut bytes).unwrap();
    Letter {
        deflated: true,
        bytes,
    }
}

fn inflate(letter: &Letter) -> Vec<u8> {
    assert!(letter.deflated);
    let mut packed = Vec::new();
    DeflateDecoder::new(&*letter.bytes)
        .read_to_end(&mut packed)
        .unwrap();
    packed
}

/// The job that a link holds.
fn job_in(link: &str, card: Option<&halfturn::document::KitCard>) -> Job {
    match open_packed(&inflate(&Letter::read(link).unwrap()), card) {
        Ok(Shared::Job(job)) => *job,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_card_that_comes_with_the_pages_is_known_by_its_fingerprint() {
    let own = OWN_KIT_CARDS.map(|(address, known)| {
        let text = std::fs::read_to_string(format!("public/{address}")).unwrap();
        let is = fingerprint(&load_kit_card(&text).unwrap());
        assert_eq!(known, is, "{address} has {is:#018x}");
        address
    });
    let mut all: Vec<_> = std::fs::read_dir("public/cards")
        .unwrap()
        .map(|file| format!("cards/{}", file.unwrap().file_name().display()))
        .collect();
    all.sort_by(|one, other| other.cmp(one));
    assert_eq!(own.as_slice(), all);
}

#[test]
fn a_job_comes_out_of_a_link_as_it_went_in() {
    for name in CARDS {
        let job = kept(name);
        let carried = letter(&pack_job(&job));
        let alone = letter(&alone(&job));
        for link in [carried.to_link(), carried.to_digits()] {
            assert!(job_in(&link, None) == job, "{name}");
        }
        for link in [alone.to_link(), alone.to_digits()] {
            assert!(job_in(&link, Some(&job.card)) == job, "{name}");
        }
    }
}

#[test]
fn a_kit_card_comes_out_of_a_link_as_it_went_in() {
    for name in CARDS {
        let card = load_kit_card(&save_kit_card(&card(name))).unwrap();
        let link = letter(&pack_kit_card(&card)).to_link();
        let Ok(Shared::KitCard(came)) = open_packed(&inflate(&Letter::read(&link).unwrap()), None)
        else {
            panic!("{name}");
        };
        assert!(*came == card, "{name}");
    }
}

#[test]
fn a_whole_job_fits_a_code_on_paper_and_one_with_its_card_none() {
    for name in CARDS {
        let job = kept(name);
        let alone = letter(&alone(&job));
        let code = QrDrawing::of(&format!("{ADDRESS}{}", alone.to_digits())).unwrap();
        assert!(code.on_paper("").is_some(), "{name}: {}", code.modules());
        let carried = letter(&pack_job(&job));
        assert!(QrDrawing::of(&format!("{ADDRESS}{}", carried.to_digits())).is_none());
        let link = carried.to_link().len();
        assert!(link < 16_000, "{name}: {link}");
        println!(
            "{name}: job alone {} bytes, {} characters as a link, code of {} modules; with its card {} bytes, {link} characters; JSON {} bytes",
            alone.bytes.len(),
            alone.to_link().len(),
            code.modules() - 8,
            carried.bytes.len(),
            save_job(&job).len()
        );
    }
}

#[test]
fn a_card_is_the_same_when_it_was_saved_and_loaded() {
    for name in CARDS {
        let fresh = card(name);
        let mut again = load_kit_card(&save_kit_card(&fresh)).unwrap();
        assert_eq!(fingerprint(&again), fingerprint(&fresh), "{name}");
        again.joints[0].count += 1;
        assert_ne!(fingerprint(&again), fingerprint(&fresh), "{name}");
    }
}

#[test]
fn a_job_is_not_opened_on_another_card() {
    let job = kept("rear");
    let packed = alone(&job);
    let named = card_named(&packed).unwrap().unwrap();
    assert_eq!(named.name, job.card.name);
    assert_eq!(named.revision, job.card.revision);
    assert_eq!(named.fingerprint, fingerprint(&job.card));
    let mut slip = job.card.clone();
    slip.joints[0].torque = None;
    for other in [None, Some(&slip), Some(&card("front"))] {
        assert_eq!(open_packed(&packed, other), Err(LinkError::OtherCard));
    }
    assert_eq!(card_named(&pack_job(&job)), Ok(None));
}

#[test]
fn a_link_cut_anywhere_is_said_to_be_cut() {
    let letter = letter(&alone(&kept("front")));
    for link in [letter.to_link(), letter.to_digits()] {
        for cut in 1..link.len() {
            let error = Letter::read(&link[..cut]).unwrap_err();
            assert_eq!(error, LinkError::CutShort, "{cut} of {link}");
        }
        assert_eq!(Letter::read(""), Err(LinkError::NotOurs));
    }
    assert!(LinkError::CutShort.to_string().contains("cut short"));
}

#[test]
fn what_a_message_puts_after_a_link_is_not_of_it() {
    let letter = letter(&alone(&kept("front")));
    for link in [letter.to_link(), letter.to_digits()] {
        for after in [".", ")", "%20", "&from=mail", "\n"] {
            assert_eq!(
                Letter::read(&format!("{link}{after}")).as_ref(),
                Ok(&letter)
            );
        }
    }
}

#[test]
fn a_character_changed_is_noticed() {
    let letter = letter(&alone(&kept("front")));
    for link in [letter.to_link(), letter.to_digits()] {
        for place in (2..link.len()).step_by(7) {
            let mut changed = link.clone().into_bytes();
            changed[place] = if changed[place] == b'7' { b'3' } else { b'7' };
            let read = Letter::read(std::str::from_utf8(&changed).unwrap());
            assert!(
                matches!(read, Err(LinkError::Changed | LinkError::CutShort))
                    || read.as_ref()
                        == Ok(&Letter {
                            deflated: !letter.deflated,
                            ..letter.clone()
                        }),
                "{place}: {read:?}"
            );
        }
    }
}

#[test]
fn links_that_are_none_are_refused_in_words() {
    let long = format!("1.{}", "A".repeat(LONGEST_LINK));
    for (link, error) in [
        ("hello", LinkError::NotOurs),
        ("<script>alert(1)</script>", LinkError::NotOurs),
        ("1", LinkError::CutShort),
        ("1.", LinkError::CutShort),
        ("1-", LinkError::CutShort),
        ("1~AAAA", LinkError::NotOurs),
        ("2.AAAA", LinkError::Newer),
        ("10-000", LinkError::Newer),
        ("1.AgAAAAAA", LinkError::Changed),
        (
            &*long,
            LinkError::TooLong {
                characters: LONGEST_LINK + 2,
            },
        ),
    ] {
        let got = Letter::read(link).unwrap_err();
        assert_eq!(got, error, "{}", &link[..link.len().min(40)]);
        let words = got.to_string();
        assert!(words.ends_with('.') && !words.contains("alert"), "{words}");
    }
}

/// Packed bytes by hand: nothing named, then the three columns.
fn by_hand(tree: &[u8], texts: &[u8], moments: &[u8]) -> Vec<u8> {
    let mut packed = vec![0];
    for length in [tree.len(), texts.len()] {
        let mut rest = length;
        while rest > 0x7f {
            packed.push(rest as u8 | 0x80);
            rest >>= 7;
        }
        packed.push(rest as u8);
    }
    for column in [tree, texts, moments] {
        packed.extend(column);
    }
    packed
}

#[test]
fn what_unfolds_without_end_is_refused() {
    // A list of half a million short words, lists within lists, and an object of five thousand names.
    let mut wide = vec![4];
    wide.extend(vec![16; 500_000]);
    wide.push(5);
    let mut names = vec![3];
    let mut texts = Vec::new();
    for name in 0..5000 {
        names.extend([6, 0]);
        texts.extend(
            format!("{name}\u{0}")
                .bytes()
                .map(|byte| if byte == 0 { 0xff } else { byte }),
        );
    }
    names.push(5);
    for packed in [
        by_hand(&wide, &[], &[]),
        by_hand(&vec![4; 100_000], &[], &[]),
        by_hand(&names, &texts, &[]),
    ] {
        assert_eq!(open_packed(&packed, None), Err(LinkError::TooLarge));
    }
    // As text it is refused too.
    let names: Vec<_> = (0..5000).map(|name| format!("\"{name}\":0")).collect();
    assert!(Json::parse(&format!("{{{}}}", names.join(","))).is_err());
}

#[test]
fn what_a_link_holds_is_checked_as_a_file_is() {
    let mut job = kept("rear");
    job.card.joints[0].count = 0;
    let error = open_packed(&pack_job(&job), None).unwrap_err().to_string();
    assert!(error.contains("card.joints[0].count"), "{error}");
    job = kept("rear");
    job.id = "../7".into();
    let error = open_packed(&alone(&job), Some(&job.card)).unwrap_err();
    assert!(error.to_string().contains("id: must be"), "{error}");
    let error = open_packed(&by_hand(&[3, 5], &[], &[]), None).unwrap_err();
    assert!(
        error.to_string().contains("the field halfturn is missing"),
        "{error}"
    );
}

#[test]
fn the_same_job_has_no_difference() {
    for name in CARDS {
        let job = kept(name);
        let again = Job {
            id: "other".into(),
            changed: moment(99_999),
            ..job.clone()
        };
        assert_eq!(differences(&job, &again), Vec::new());
    }
}

#[test]
fn what_differs_is_told_by_its_place_and_name() {
    let here = kept("rear");
    let mut there = here.clone();
    there.settings.place("lr-camber")[0] = typed("7.1", Unit::Millimetre);
    there.counts.place("a1").text = "3".into();
    there.marks.remove("s101");
    there.rounds.push(there.rounds[0].clone());
    there.rounds[0].rule = typed("0.25", Unit::Millimetre);
    there.car.pressures = "2.2 bar".into();
    there.notes = String::new();
    let told: Vec<_> = differences(&here, &there)
        .iter()
        .map(ToString::to_string)
        .collect();
    insta::assert_snapshot!(told.join("\n"));
    let mut card = here.clone();
    card.card.revision = "9".into();
    let told = differences(&here, &card)[0].to_string();
    assert_eq!(
        told,
        format!(
            "Kit card: 1 only on this device (revision {}); 1 only in what came (revision 9).",
            here.card.revision
        )
    );
}

/// The authors' test vectors of FNV-1a in 32 bits: "a" is e40c292c, "foobar" bf9cf968 (RFC 9923). In 64 bits, its constants as they are given in decimal.
#[test]
fn sums_are_fnv_1a() {
    for (bytes, link) in [("a", "1.AAHkDCksYQ"), ("foobar", "1.AAa_nPloZm9vYmFy")] {
        let letter = Letter {
            deflated: false,
            bytes: bytes.into(),
        };
        assert_eq!(letter.to_link(), link);
    }
    let card = card("rear");
    let sum = save_kit_card(&card)
        .bytes()
        .fold(14_695_981_039_346_656_037_u64, |sum, byte| {
            (sum ^ u64::from(byte)).wrapping_mul(1_099_511_628_211)
        });
    assert_eq!(fingerprint(&card), sum);
}

#[test]
fn codes_are_read_by_another_reader() {
    for name in CARDS {
        let link = format!("{ADDRESS}{}", letter(&alone(&kept(name))).to_digits());
        assert_eq!(read_code(&QrDrawing::of(&link).unwrap()), link);
    }
    for text in ["https://a.example/#", "0123456789", "no digits at the end?"] {
        assert_eq!(read_code(&QrDrawing::of(text).unwrap()), text);
    }
    assert!(QrDrawing::of(&"7".repeat(7090)).is_none());
    let largest = QrDrawing::of(&"7".repeat(7080)).unwrap();
    assert!(largest.modules() == 177 + 8 && largest.on_paper("").is_none());
    let small = QrDrawing::of("7").unwrap();
    assert!(small.modules() == 21 + 8 && small.on_paper("").unwrap().contains("width='30.0mm'"));
}

/// What another reader finds in the drawing: its lines are painted, five pixels a module.
fn read_code(code: &QrDrawing) -> String {
    let svg = code.svg("50mm", "a <code>");
    assert!(svg.contains("aria-label=\"a &lt;code&gt;\""));
    let side = code.modules() as usize;
    let lines = svg.split("stroke='#000' d='").nth(1).unwrap();
    let lines = lines.split('\'').next().unwrap();
    let mut dark = vec![false; side * side];
    for line in lines.split('M').skip(1) {
        let (start, rest) = line.split_once('h').unwrap_or((line, ""));
        let (x, y) = start.split_once(' ').unwrap();
        let (mut x, y): (usize, f64) = (x.parse().unwrap(), y.parse().unwrap());
        let row = y as usize * side;
        assert_eq!(y.fract(), 0.5);
        for part in rest.split('h').filter(|part| !part.is_empty()) {
            let (length, gap) = part.split_once('m').unwrap_or((part, "0 0"));
            let (length, gap): (usize, usize) = (
                length.parse().unwrap(),
                gap.strip_suffix(" 0").unwrap().parse().unwrap(),
            );
            dark[row + x..row + x + length].fill(true);
            x += length + gap;
        }
    }
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(side * 5, side * 5, |x, y| {
        if dark[y / 5 * side + x / 5] { 0 } else { 255 }
    });
    let found = picture.detect_grids();
    assert_eq!(found.len(), 1, "one code is found");
    found[0].decode().unwrap().1
}

fn texts() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[0-9]{1,3}[.,][0-9]",
        Just("<img src=x onerror=alert(1)>".to_owned()),
        Just("\u{0}\u{ff}\u{10ffff}".to_owned())
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn any_text_goes_through(texts in prop::collection::vec((texts(), texts()), 0..12), at in any::<u64>(), steps in any::<i32>()) {
        let mut job = kept("front");
        for (name, text) in &texts {
            job.counts.insert(name.clone(), typed(text, Unit::Count));
            job.marks.place(name).at = at;
            job.rounds[0].taken.place(name).steps = steps;
        }
        job.notes = texts.iter().map(|(_, text)| text.as_str()).collect();
        for (packed, card) in [(pack_job(&job), None), (alone(&job), Some(&job.card))] {
            let letter = Letter { deflated: false, bytes: packed };
            for link in [letter.to_link(), letter.to_digits()] {
                prop_assert!(Letter::read(&link).as_ref() == Ok(&letter));
            }
            let came = open_packed(&letter.bytes, card);
            prop_assert!(came == Ok(Shared::Job(Box::new(job.clone()))), "{came:?}");
        }
    }

    #[test]
    fn any_bytes_are_sealed_and_opened(bytes in prop::collection::vec(any::<u8>(), 0..300), deflated in any::<bool>()) {
        let letter = Letter { deflated, bytes };
        for link in [letter.to_link(), letter.to_digits()] {
            prop_assert!(Letter::read(&link).as_ref() == Ok(&letter));
        }
    }

    #[test]
    fn base_64_is_as_rfc_4648_has_it(bytes in prop::collection::vec(any::<u8>(), 0..60)) {
        let link = Letter { deflated: false, bytes: bytes.clone() }.to_link();
        let mut sealed = vec![0, bytes.len() as u8];
        let sum = bytes.iter().fold(0x811c_9dc5_u32, |sum, byte| (sum ^ u32::from(*byte)).wrapping_mul(0x0100_0193));
        sealed.extend(sum.to_be_bytes());
        sealed.extend(&bytes);
        // Bit by bit: six make a digit.
        let bits: String = sealed.iter().map(|byte| format!("{byte:08b}")).collect();
        let digits: Vec<u8> = bits.as_bytes().chunks(6).map(|six| {
            let text = format!("{:0<6}", std::str::from_utf8(six).unwrap());
            u8::from_str_radix(&text, 2).unwrap()
        }).collect();
        let alphabet = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
        let expected: String = digits.iter().map(|digit| char::from(alphabet[usize::from(*digit)])).collect();
        prop_assert_eq!(link, format!("1.{expected}"));
    }

    #[test]
    fn no_link_stops_the_page(link in any::<String>(), bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = Letter::read(&link);
        let _ = Letter::read(&format!("1.{link}"));
        let _ = Letter::read(&format!("1-{link}"));
        let job = kept("rear");
        for start in [&[][..], &[0], &[1], &alone(&job)[..40]] {
            let packed = [start, &bytes].concat();
            let _ = card_named(&packed);
            let _ = open_packed(&packed, Some(&job.card));
        }
    }

    #[test]
    fn a_packed_job_with_a_byte_changed_is_read_or_refused(place in any::<prop::sample::Index>(), byte in any::<u8>()) {
        let job = kept("rear");
        for (mut packed, card) in [(pack_job(&job), None), (alone(&job), Some(&job.card))] {
            let place = place.index(packed.len());
            packed[place] = byte;
            let _ = open_packed(&packed, card);
        }
    }
}
