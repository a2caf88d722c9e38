//! How a kit card is written by hand: every field with its label, what it holds and a sentence of help.
//!
//! A form over this list edits the untyped JSON, so that what is half written is kept as it was typed. The tests hold the list to the
//! published schema.

use super::json::Step;
use super::{Json, Named};

/// A field of a record.
#[derive(Debug)]
pub struct Field {
    /// Its name in the document.
    pub name: &'static str,
    /// Its label.
    pub label: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// Whether it must be there.
    pub needed: bool,
    /// A sentence of help; may be empty.
    pub help: &'static str,
}

/// What a field holds.
#[derive(Debug)]
pub enum Holds {
    /// A name made from what the person writes, and never asked for.
    Id,
    /// A line of text.
    Line,
    /// Some lines of text.
    Text,
    /// A whole number.
    Count,
    /// Yes or no; no where it is left out.
    Tick,
    /// A thread by its designation.
    Thread,
    /// A quantity written with its unit.
    Quantity,
    /// One of these words, each with what it is called.
    Word(&'static [(&'static str, &'static str)]),
    /// A list of texts, each called this.
    Texts(&'static str),
    /// A record; where it may be left out, its name is what it is added as.
    Record(&'static [Field]),
    /// A list of records, each called this.
    Records(&'static str, &'static [Field]),
    /// Two records of these names.
    Pair([&'static str; 2], &'static [Field]),
    /// An object of one field, whose name says which of these it is.
    Kind(&'static [Field]),
    /// The choices under which something belongs to an order.
    When,
    /// The id of a joint.
    Joint,
    /// The ids of two of the car's points.
    Points,
    /// Ids of uses.
    Uses,
}

const fn needed(
    name: &'static str,
    label: &'static str,
    holds: Holds,
    help: &'static str,
) -> Field {
    Field {
        name,
        label,
        holds,
        needed: true,
        help,
    }
}

const fn may(name: &'static str, label: &'static str, holds: Holds, help: &'static str) -> Field {
    Field {
        name,
        label,
        holds,
        needed: false,
        help,
    }
}

use Holds::{Count, Id, Kind, Line, Pair, Quantity, Record, Records, Text, Thread, Tick, Word};

const ID: Field = needed("id", "", Id, "");
const WHEN: Field = may("when", "Only in orders with", Holds::When, "");

const CHOICE: &[Field] = &[ID, needed("name", "Name", Line, "")];

const OPTION: &[Field] = &[
    ID,
    needed(
        "name",
        "What the order asks",
        Line,
        "Such as: Rod-end boots.",
    ),
    needed(
        "choices",
        "Choices",
        Records("choice", CHOICE),
        "At least two, the usual one first.",
    ),
];

const PART: &[Field] = &[
    ID,
    needed("name", "What it is", Line, ""),
    needed("count", "How many", Count, ""),
    may(
        "hand",
        "Made for",
        Word(&[
            ("either", "either side"),
            ("left", "the left side"),
            ("right", "the right side"),
        ]),
        "",
    ),
    WHEN,
];

const ITEM: &[Field] = &[
    ID,
    needed(
        "name",
        "What it is",
        Line,
        "Such as: Hex bolt, zinc plated: upper link. The words bolt, nut and jam nut are what the checks go by.",
    ),
    needed("count", "How many", Count, ""),
    may(
        "thread",
        "Thread",
        Thread,
        "Such as 1/2-20 UNF or M12x1.25.",
    ),
    may(
        "length",
        "Length under the head",
        Quantity,
        "Such as 2 1/2 in or 70 mm.",
    ),
    may("grade", "Grade or class", Line, "As marked: 8, 10.9, C."),
    WHEN,
];

const BAG: &[Field] = &[
    needed(
        "name",
        "What is written on it",
        Line,
        "Such as: Bag A: link bolts.",
    ),
    needed(
        "items",
        "What it holds",
        Records("kind of hardware", ITEM),
        "",
    ),
    WHEN,
];

const FIT_CHECK: &[Field] = &[
    ID,
    needed(
        "name",
        "What to try",
        Line,
        "Such as: Lower bracket hole on its 1/2 in bolt.",
    ),
    needed(
        "kind",
        "Kind",
        Word(&[
            ("hole", "a bolt in its hole"),
            ("thread", "a thread run by hand"),
            ("spline", "a slip fit on a spline"),
            ("bushing", "a bushing"),
            ("finish", "the finish"),
        ]),
        "",
    ),
    may(
        "bolt",
        "The hole's bolt",
        Thread,
        "Only for a hole that locates something: it is measured too.",
    ),
    may("slot", "It is a slot: only its width locates", Tick, ""),
    may(
        "on_car",
        "It is on the car: tried by the fitter, not before the box ships",
        Tick,
        "",
    ),
    WHEN,
];

const CAR_CHECK: &[Field] = &[
    ID,
    needed(
        "name",
        "From where to where",
        Line,
        "Centre to centre, diagonals included.",
    ),
    needed("distance", "Distance", Quantity, "Such as 640 mm."),
    needed(
        "tolerance",
        "May be off by, either way",
        Quantity,
        "Such as 3 mm.",
    ),
    may(
        "between",
        "Between the points",
        Holds::Points,
        "Left out, the distance stands by itself.",
    ),
    WHEN,
];

const CAR_POINT: &[Field] = &[
    ID,
    needed(
        "name",
        "What it is",
        Line,
        "Such as: Left lower inner bolt.",
    ),
    needed("at", "Where it is on a sound car", Quantity, POINT),
];

const JOINT: &[Field] = &[
    ID,
    needed(
        "name",
        "What it joins",
        Line,
        "Such as: Upper link to bracket, left.",
    ),
    needed("count", "How many bolts", Count, ""),
    needed(
        "thread",
        "Thread",
        Thread,
        "Such as 1/2-20 UNF or M12x1.25.",
    ),
    may(
        "length",
        "Bolt length under the head",
        Quantity,
        "Such as 2 1/2 in or 70 mm.",
    ),
    needed(
        "grade",
        "Bolt grade or class",
        Line,
        "Such as 8, 10.9 or A2-70.",
    ),
    needed(
        "nut",
        "Nut, or what is tapped",
        Line,
        "Such as: lock nut, grade C. Or: tapped in steel, 20 mm deep.",
    ),
    needed(
        "condition",
        "Finish and lubricant",
        Line,
        "Such as: zinc plated, dry.",
    ),
    may(
        "torque",
        "Torque",
        Quantity,
        "Such as 75 N·m or 55 lbf·ft. Left out, it is computed where grade, nut and finish are understood.",
    ),
    needed(
        "tighten",
        "Tightened",
        Word(&[
            ("on-stands", "with the car on stands"),
            ("at-ride-height", "at ride height, as rubber bushings need"),
        ]),
        "",
    ),
    may(
        "tools",
        "Tools",
        Line,
        "Left out, those that the standards give the size.",
    ),
    may(
        "pattern",
        "Order of several bolts",
        Line,
        "Such as: crosswise, in two passes.",
    ),
    may("locking", "What keeps it tight", Line, ""),
    may("recheck", "Check again", Line, "Such as: after 80 km."),
    WHEN,
];

const END: &[Field] = &[
    needed("name", "Which end", Line, "Such as: outer."),
    needed("thread", "Thread", Thread, "Such as 1/2-20 UNF or M14x1.5."),
    may(
        "hand",
        "Hand",
        Word(&[("right", "right-hand"), ("left", "left-hand")]),
        "",
    ),
    needed(
        "shank",
        "Shank, shoulder to tip",
        Quantity,
        "Such as 42 mm.",
    ),
    needed("jam_nut", "Jam nut thickness", Quantity, "Such as 5/16 in."),
    needed(
        "unthreaded_lead",
        "Tip without a full thread",
        Quantity,
        "Such as 1.3 mm.",
    ),
    needed(
        "insert_depth",
        "Threaded depth of the insert",
        Quantity,
        "Such as 34 mm.",
    ),
    may(
        "insert",
        "Insert of",
        Word(&[("steel", "steel"), ("aluminium", "aluminium")]),
        "",
    ),
    may(
        "shank_strength",
        "Strength of the shank",
        Quantity,
        "Left out, 800 MPa.",
    ),
    may(
        "insert_strength",
        "Strength of the insert",
        Quantity,
        "Left out, 470 MPa for steel and 260 MPa for aluminium.",
    ),
    needed(
        "base_showing",
        "Thread showing at the base setting",
        Quantity,
        "Bare thread between jam nut and shoulder, such as 1/4 in.",
    ),
];

const ENDS: &[Field] = &[needed(
    "ends",
    "Ends",
    Pair(["One end", "The other end"], END),
    "",
)];

const MECHANISM: &[Field] = &[
    may(
        "rod-end",
        "Rod end on its shank",
        Record(&[
            needed(
                "turned",
                "What is turned",
                Word(&[
                    ("eye", "its eye, off its bolt"),
                    ("bar", "the bar it sits in"),
                ]),
                "",
            ),
            needed("end", "Threaded end", Record(END), ""),
        ]),
        "",
    ),
    may(
        "sleeve",
        "Sleeve between a left-hand and a right-hand end",
        Record(ENDS),
        "",
    ),
    may(
        "differential-sleeve",
        "Differential sleeve: two ends of one hand and two pitches",
        Record(ENDS),
        "",
    ),
    may(
        "cam-bolt",
        "Cam bolt",
        Record(&[
            needed(
                "eccentricity",
                "Bolt axis to middle of the cam",
                Quantity,
                "Such as 6 mm.",
            ),
            needed("notch", "One mark of the cam", Quantity, "Such as 15 deg."),
            needed(
                "range",
                "Turns either way from its middle",
                Quantity,
                "90 deg at most.",
            ),
        ]),
        "",
    ),
    may(
        "slot",
        "Slotted hole",
        Record(&[
            needed(
                "range",
                "Slides either way from its middle",
                Quantity,
                "Such as 8 mm.",
            ),
            needed(
                "step",
                "Smallest move a hand can set",
                Quantity,
                "Such as 1 mm.",
            ),
        ]),
        "",
    ),
    may(
        "shims",
        "Shims",
        Record(&[
            needed("thinnest", "Thinnest shim", Quantity, "Such as 0.5 mm."),
            needed("most", "Thickest stack", Quantity, "Such as 6 mm."),
        ]),
        "",
    ),
];

const CORNERS: &[(&str, &str)] = &[
    ("left-front", "left front"),
    ("right-front", "right front"),
    ("left-rear", "left rear"),
    ("right-rear", "right rear"),
];

const ADJUSTER: &[Field] = &[
    ID,
    needed("name", "What it is called", Line, "The same on both sides."),
    needed("corner", "Corner", Word(CORNERS), ""),
    needed("mechanism", "What adjusts", Kind(MECHANISM), ""),
    may(
        "step",
        "Step a hand makes",
        Word(&[
            ("flat", "a flat"),
            ("half-flat", "half a flat"),
            ("half-turn", "half a turn"),
            ("turn", "a turn"),
        ]),
        "Left out, the usual one.",
    ),
    may(
        "role",
        "Turned",
        Word(&[
            ("first", "first"),
            (
                "further",
                "only where the first ones do not reach the target",
            ),
        ]),
        "",
    ),
    may(
        "toe",
        "lever on toe",
        Record(&[
            needed(
                "arm",
                "Lever on toe",
                Quantity,
                "Square distance from the adjuster's line to the axis the wheel toes about.",
            ),
            needed(
                "lengthening",
                "Lengthening gives",
                Word(&[("toe-in", "toe-in"), ("toe-out", "toe-out")]),
                "",
            ),
        ]),
        "",
    ),
    may(
        "camber",
        "lever on camber",
        Record(&[
            needed(
                "arm",
                "Lever on camber",
                Quantity,
                "In the front view, square from the adjuster's line to the joint the wheel tips about.",
            ),
            needed(
                "lengthening",
                "Lengthening moves",
                Word(&[("top-in", "the top in"), ("top-out", "the top out")]),
                "",
            ),
        ]),
        "",
    ),
    may(
        "moves",
        "part in the geometry",
        Record(&[
            may(
                "links",
                "Links it lengthens",
                Holds::Texts("lengthened link"),
                "By their names in the geometry.",
            ),
            may(
                "joints",
                "Links whose joint at the car it shifts",
                Holds::Texts("shifted link"),
                "By their names in the geometry.",
            ),
            may("strut_top", "It shifts the strut's top", Tick, ""),
            may(
                "towards",
                "Way of the shift",
                Quantity,
                "Left out, straight outwards.",
            ),
        ]),
        "",
    ),
    may(
        "lock_torque",
        "Torque that locks it again",
        Quantity,
        "Such as 40 lbf·ft. Left out, the jam nut's own is computed.",
    ),
    may(
        "how",
        "How to turn and lock it",
        Text,
        "What to hold, what to loosen first, which nut is left-handed.",
    ),
];

/// What a point is written as.
const POINT: &str = "In car axes: forward, left, up, such as -2375 350 426 mm.";

const GEOMETRY: &[Field] = &[
    needed(
        "corner",
        "Corner",
        Word(CORNERS),
        "The other side is this one mirrored, unless it is given too.",
    ),
    needed(
        "wheel",
        "Wheel",
        Record(&[
            needed("centre", "Centre", Quantity, POINT),
            needed(
                "radius",
                "Radius to the ground",
                Quantity,
                "Such as 304 mm.",
            ),
            needed(
                "toe",
                "Toe as drawn, toe-in positive",
                Quantity,
                "Such as 0.25 deg.",
            ),
            needed(
                "camber",
                "Camber as drawn, top in negative",
                Quantity,
                "Such as -0.9 deg.",
            ),
        ]),
        "",
    ),
    needed(
        "links",
        "Links",
        Records(
            "link",
            &[
                needed(
                    "name",
                    "Name",
                    Line,
                    "An A-arm is two links that share their joint at the carrier.",
                ),
                needed("car", "Joint at the car", Quantity, POINT),
                needed("carrier", "Joint at the carrier", Quantity, POINT),
            ],
        ),
        "Five, or three beside a strut, with every adjuster at its base.",
    ),
    may(
        "strut",
        "strut",
        Record(&[
            needed("top", "Its top, at the car", Quantity, POINT),
            needed(
                "on_axis",
                "Another point of its axis, on the carrier",
                Quantity,
                POINT,
            ),
        ]),
        "",
    ),
    may(
        "steering_axis",
        "steering axis",
        Record(&[
            needed("lower", "Lower end", Kind(AXIS_END), ""),
            needed("upper", "Upper end", Kind(AXIS_END), ""),
        ]),
        "",
    ),
    may(
        "accuracy",
        "A car's points may be off by",
        Quantity,
        "Left out, 5 mm.",
    ),
    may(
        "rod_ends",
        "Rod ends that lean",
        Records(
            "rod end",
            &[
                needed("link", "On the link", Line, "By the link's name."),
                needed(
                    "at",
                    "At its end",
                    Word(&[("car", "at the car"), ("carrier", "at the carrier")]),
                    "",
                ),
                needed(
                    "bolt",
                    "Way of its bolt, from the joint",
                    Quantity,
                    "Of any length, such as 100 0 0 mm.",
                ),
                needed("most", "May lean by", Quantity, "Such as 18 deg."),
            ],
        ),
        "",
    ),
    may(
        "travel",
        "wheel travel",
        Record(&[
            needed(
                "bump",
                "Bump, up from the drawn height",
                Quantity,
                "To the stop, such as 60 mm.",
            ),
            needed(
                "droop",
                "Droop, down from the drawn height",
                Quantity,
                "To the stop, such as 70 mm.",
            ),
        ]),
        "Rod ends and half-shaft are looked at over all of it. Left out, at the drawn height alone.",
    ),
    may(
        "rack",
        "steering rack",
        Record(&[
            needed("link", "Its tie rod", Line, "By the link's name."),
            needed(
                "each_way",
                "Moves to each side by",
                Quantity,
                "From straight ahead, such as 68 mm.",
            ),
        ]),
        "",
    ),
    may(
        "half_shaft",
        "half-shaft",
        Record(&[
            needed(
                "inner",
                "Middle of its inner joint, at the car",
                Quantity,
                POINT,
            ),
            needed(
                "outer",
                "Middle of its outer joint, at the carrier",
                Quantity,
                POINT,
            ),
            needed(
                "shorter",
                "May get shorter than drawn by",
                Quantity,
                "Such as 20 mm.",
            ),
            needed(
                "longer",
                "May get longer than drawn by",
                Quantity,
                "Such as 15 mm.",
            ),
        ]),
        "",
    ),
];

const AXIS_END: &[Field] = &[
    may("carrier", "A point of the carrier", Quantity, POINT),
    may("car", "A point of the car", Quantity, POINT),
];

const PICKUP: &[Field] = &[
    ID,
    needed("name", "Which bracket", Line, ""),
    needed(
        "choices",
        "Its holes",
        Records("hole", CHOICE),
        "At least two, the base choice first.",
    ),
];

const AIM: &[Field] = &[
    needed("aim", "Aim", Quantity, "Such as 0.10 deg or -1.2 deg."),
    needed(
        "tolerance",
        "May be off by, either way",
        Quantity,
        "Such as 0.05 deg.",
    ),
];

const TARGET: &[Field] = &[
    needed(
        "axle",
        "Axle",
        Word(&[("rear", "rear"), ("front", "front")]),
        "",
    ),
    needed("toe", "Toe of each wheel, toe-in positive", Record(AIM), ""),
    needed(
        "camber",
        "Camber of each wheel, top in negative",
        Record(AIM),
        "",
    ),
    may(
        "total_toe",
        "Total toe may be off by",
        Quantity,
        "Left out, it is not asked.",
    ),
    may(
        "thrust",
        "Half of left less right toe may be off by",
        Quantity,
        "A rear axle's thrust angle. Left out, it is not asked.",
    ),
    may(
        "cross_camber",
        "Left less right camber may be off by",
        Quantity,
        "Left out, it is not asked.",
    ),
];

const CAUTION: &[Field] = &[
    needed(
        "signal",
        "How bad it is",
        Word(&[
            ("danger", "DANGER: will kill or seriously injure"),
            ("warning", "WARNING: could kill or seriously injure"),
            ("caution", "CAUTION: minor or moderate injury"),
            ("notice", "NOTICE: damage, no injury"),
        ]),
        "",
    ),
    needed("hazard", "The hazard", Line, "A sentence."),
    needed("consequence", "What happens", Line, "A sentence."),
    needed(
        "avoid",
        "How to avoid it",
        Line,
        "A sentence. What is to be done is a step of its own.",
    ),
];

const STEP: &[Field] = &[
    ID,
    needed("text", "What to do", Line, "One action, the verb first."),
    may("detail", "How, in more words", Text, ""),
    may("caution", "caution before it", Record(CAUTION), ""),
    may("joint", "Joint it signs off", Holds::Joint, ""),
    may(
        "observe",
        "What is observed and typed",
        Line,
        "Instead of a bare tick, such as: Pressure found.",
    ),
    may(
        "support",
        "It holds the car up: asked again after a break",
        Tick,
        "",
    ),
    WHEN,
];

const SECTION: &[Field] = &[
    needed(
        "name",
        "Where on the car",
        Line,
        "Such as: Left rear, rod-end joints.",
    ),
    may("raised", "The car is raised meanwhile", Tick, ""),
    needed(
        "steps",
        "Steps",
        Records("step", STEP),
        "Five to nine, the most critical first, the last one confirming that the section is complete.",
    ),
    WHEN,
];

const USE: &[Field] = &[
    ID,
    needed("name", "Use", Line, "Such as: driven all winter."),
];

const ADVICE: &[Field] = &[
    needed("uses", "For", Holds::Uses, ""),
    needed("text", "Advice", Text, "Such as: Fit the boots."),
    WHEN,
];

const REVISION: &[Field] = &[
    needed("revision", "Revision", Line, ""),
    may("date", "Date", Line, ""),
    needed("note", "What changed", Text, ""),
];

/// The fields of a kit card, in the order in which they are written.
pub const CARD: &[Field] = &[
    needed("name", "What the kit is called", Line, ""),
    needed("maker", "Who makes it", Line, ""),
    needed(
        "revision",
        "Revision of this card",
        Line,
        "Such as 1, or B.",
    ),
    needed("fits", "The car it fits", Line, ""),
    may(
        "notes",
        "Notes before starting",
        Holds::Texts("note"),
        "What the fitter should know before anything is unpacked.",
    ),
    may(
        "options",
        "Options of an order",
        Records("option", OPTION),
        "What a customer may choose; parts, bags, joints and steps can depend on it.",
    ),
    needed(
        "parts",
        "Loose parts",
        Records("part", PART),
        "What lies in the box outside the bags.",
    ),
    may("bags", "Bags of hardware", Records("bag", BAG), ""),
    may(
        "fit_checks",
        "Tried by hand",
        Records("fit check", FIT_CHECK),
        "Holes, threads, splines, bushings and finish, before anything is fitted.",
    ),
    may(
        "car_points",
        "The car's own points",
        Records("point", CAR_POINT),
        "With them, distances say together which point is off, which way, and what that does.",
    ),
    may(
        "car_checks",
        "Distances between them",
        Records("distance", CAR_CHECK),
        "Distances that show a bent shell before the kit is blamed.",
    ),
    needed(
        "joints",
        "Joints",
        Records("joint", JOINT),
        "Everything that is tightened.",
    ),
    needed(
        "adjusters",
        "Adjusters",
        Records("adjuster", ADJUSTER),
        "Corner by corner, left and right alike.",
    ),
    may(
        "geometry",
        "Geometry, where you give it",
        Records("corner", GEOMETRY),
        "Hardpoints, for exact rates; without them the levers of the adjusters stand in.",
    ),
    may(
        "pickups",
        "Brackets with several holes",
        Records("bracket", PICKUP),
        "",
    ),
    needed(
        "targets",
        "Targets",
        Records("axle's target", TARGET),
        "One for each axle with adjusters.",
    ),
    needed(
        "sections",
        "Fitting, section by section",
        Records("section", SECTION),
        "",
    ),
    needed(
        "before_load",
        "Before the wheels take load",
        Records("step", STEP),
        "Gone over afresh, hand on each thing.",
    ),
    needed(
        "before_drive",
        "Before the first drive",
        Records("step", STEP),
        "Gone over afresh, hand on each thing.",
    ),
    may(
        "uses",
        "Uses",
        Records("use", USE),
        "How a car may be used, where your advice depends on it.",
    ),
    may(
        "advice",
        "Advice by use",
        Records("piece of advice", ADVICE),
        "Shown where the job says so.",
    ),
    may(
        "revisions",
        "Revisions",
        Records("revision", REVISION),
        "What changed, shown to the fitter.",
    ),
];

/// The most characters of a name in a heading or an id.
const SHORT: usize = 48;

/// A blank record: what it must hold of records and lists, blank.
pub fn blank(fields: &[Field]) -> Json {
    let mut record = Json::Object(Named::default());
    for field in fields.iter().filter(|field| field.needed) {
        let value = match &field.holds {
            Holds::Record(fields) => blank(fields),
            Holds::Records(..) | Holds::Uses => Json::List(Vec::new()),
            Holds::Pair(_, fields) => Json::List(vec![blank(fields), blank(fields)]),
            _ => continue,
        };
        record.set("", field.name, Some(value));
    }
    record
}

/// A blank card, which is revision 1.
pub fn blank_card() -> Json {
    let mut card = blank(CARD);
    card.set("", "revision", Some(Json::Text("1".into())));
    card
}

/// What was typed into a field, as it stands in the document; none where nothing was.
pub fn typed_value(holds: &Holds, text: String) -> Option<Json> {
    let digits = |text: &str| text.len() < 10 && text.bytes().all(|byte| byte.is_ascii_digit());
    match holds {
        _ if text.is_empty() => None,
        Count if digits(&text) && (text == "0" || !text.starts_with('0')) => {
            Some(Json::Number(text))
        }
        _ => Some(Json::Text(text)),
    }
}

/// What a record is called: by its name or text, or else by what it is one of and its place.
pub fn title(record: &Json, one: &str, place: usize) -> String {
    let name = ["name", "text", "revision", "axle", "corner", "link"]
        .iter()
        .map(|field| record.text_at(field).trim())
        .find(|text| !text.is_empty());
    match name {
        Some(name) if name.chars().count() > SHORT => {
            let start: String = name.chars().take(SHORT).collect();
            format!("{}…", start.trim_end())
        }
        Some(name) => name.to_owned(),
        None => format!("{one} {}", place + 1),
    }
}

/// Where a way through a card leads, in words: its group, what it is called, its label.
pub fn way_words(card: &Json, way: &str) -> String {
    let (mut fields, mut here) = (CARD, String::new());
    let (mut one, mut pair) = ("", None::<[&str; 2]>);
    let mut words: Vec<String> = Vec::new();
    for step in super::json::steps(way) {
        match step {
            Step::Place(place) => {
                here.push_str(&format!("[{place}]"));
                words.push(match pair {
                    Some([first, second]) => if place == 0 { first } else { second }.to_owned(),
                    None => title(card.at(&here).unwrap_or(&Json::Null), one, place),
                });
            }
            Step::Name(name) => {
                let Some(field) = fields.iter().find(|field| field.name == name) else {
                    words.push(name.to_owned());
                    break;
                };
                let top = here.is_empty();
                here = match top {
                    true => name.to_owned(),
                    false => format!("{here}.{name}"),
                };
                pair = None;
                fields = &[];
                match &field.holds {
                    Records(word, of) => {
                        (one, fields) = (word, of);
                        if top {
                            words.push(field.label.to_owned());
                        }
                    }
                    Pair(names, of) => (pair, fields) = (Some(*names), of),
                    Record(of) | Kind(of) => fields = of,
                    Holds::Texts(word) => one = word,
                    Id => {}
                    _ => words.push(field.label.to_owned()),
                }
            }
        }
    }
    match words.is_empty() {
        true => "The card".to_owned(),
        false => words.join(": "),
    }
}

/// Whether a form over the fields shows what stands at a way: a field that is listed, or a place in a list, holding what it should. What it does
/// not show can only be taken out.
pub fn is_shown(card: &Json, way: &str) -> bool {
    let (mut fields, mut here) = (CARD, String::new());
    let mut fits: fn(&Json) -> bool = |value| matches!(value, Json::Object(_));
    for step in super::json::steps(way) {
        match step {
            Step::Place(place) => {
                here.push_str(&format!("[{place}]"));
                fits = match fields.is_empty() {
                    true => |value| matches!(value, Json::Text(_)),
                    false => |value| matches!(value, Json::Object(_)),
                };
            }
            Step::Name(name) => {
                let Some(field) = fields.iter().find(|field| field.name == name) else {
                    // The choices of a `when` are named by the card's options.
                    return fields.is_empty() && fits(&Json::Object(Named::default()));
                };
                here = match here.as_str() {
                    "" => name.to_owned(),
                    outer => format!("{outer}.{name}"),
                };
                fields = match &field.holds {
                    Records(_, of) | Pair(_, of) | Record(of) | Kind(of) => of,
                    _ => &[],
                };
                fits = match &field.holds {
                    Records(..) | Pair(..) | Holds::Texts(_) | Holds::Uses | Holds::Points => {
                        |value| matches!(value, Json::List(_))
                    }
                    Record(_) | Kind(_) | Holds::When => |value| matches!(value, Json::Object(_)),
                    Tick => |value| matches!(value, Json::Bool(_)),
                    _ => |value| matches!(value, Json::Text(_) | Json::Number(_)),
                };
            }
        }
    }
    card.at(&here).is_none_or(fits)
}

/// Takes out what stands at a way.
pub fn take_out(card: &mut Json, way: &str) {
    if let Some((list, place)) = way.strip_suffix(']').and_then(|way| way.rsplit_once('[')) {
        if let (Some(Json::List(list)), Ok(place)) = (card.at_mut(list), place.parse::<usize>())
            && place < list.len()
        {
            list.remove(place);
        }
        return;
    }
    let (outer, name) = way.rsplit_once('.').unwrap_or(("", way));
    card.set(outer, name, None);
}

/// Gives a name to everything that has to have one and has none: made from what it is called, and like no other. What is not called anything
/// yet is left alone unless `all` is to have one.
pub fn give_ids(card: &mut Json, all: bool) {
    let mut known = Vec::new();
    each(card, CARD, "", &mut |record, _| {
        known.push(record.text_at("id").to_owned());
    });
    each(card, CARD, "", &mut |record, one| {
        let called = slug(record.text_at("name"), record.text_at("text"));
        if !record.text_at("id").is_empty() || called.is_none() && !all {
            return;
        }
        let called = called.or_else(|| slug(one, "")).unwrap_or_default();
        let mut id = called.clone();
        let mut number = 1_usize;
        while known.contains(&id) {
            number += 1;
            id = format!("{called}-{number}");
        }
        known.push(id.clone());
        record.set("", "id", Some(Json::Text(id)));
    });
}

/// Takes the names out of a record and of all it holds, so that a copy of it gets its own.
pub fn take_ids(record: &mut Json, fields: &'static [Field]) {
    each(record, fields, "", &mut |record, _| {
        record.set("", "id", None)
    });
}

/// Every record that has a name of its own, from within outwards, with what it is one of.
fn each(
    record: &mut Json,
    fields: &'static [Field],
    one: &str,
    see: &mut dyn FnMut(&mut Json, &str),
) {
    for field in fields {
        match &field.holds {
            Records(one, fields) => {
                if let Some(Json::List(list)) = record.at_mut(field.name) {
                    list.iter_mut()
                        .for_each(|item| each(item, fields, one, see));
                }
            }
            Id if matches!(record, Json::Object(_)) => see(record, one),
            _ => {}
        }
    }
}

/// The first of the texts that says anything as letters and digits between hyphens.
fn slug(name: &str, text: &str) -> Option<String> {
    let mut slug = String::new();
    let from = if name.trim().is_empty() { text } else { name };
    for c in from.chars().take(SHORT) {
        match c {
            c if c.is_ascii_alphanumeric() => slug.push(c.to_ascii_lowercase()),
            _ if slug.is_empty() || slug.ends_with('-') => {}
            _ => slug.push('-'),
        }
    }
    while slug.ends_with('-') {
        slug.pop();
    }
    (!slug.is_empty()).then_some(slug)
}

/// The revision after one, as shops count them: the number or letter at its end goes up, or else a 2 is added.
pub fn next_revision(revision: &str) -> String {
    let revision = revision.trim();
    let start = revision.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = revision.strip_prefix(start).unwrap_or_default();
    if let Ok(number) = number.parse::<u32>() {
        return format!("{start}{}", number.saturating_add(1));
    }
    let mut letters = revision.chars();
    match letters.next_back() {
        Some(last @ ('A'..='Y' | 'a'..='y'))
            if letters.next_back().is_none_or(|c| !c.is_ascii_alphabetic()) =>
        {
            let next = char::from_u32(u32::from(last) + 1).unwrap_or(last);
            let kept: String = revision
                .chars()
                .take(revision.chars().count() - 1)
                .collect();
            format!("{kept}{next}")
        }
        None => "1".to_owned(),
        Some(_) => format!("{revision} 2"),
    }
}

/// The card's next revision: its number up, and what changed noted for the fitter.
pub fn revise(card: &mut Json, note: &str, date: &str) {
    let revision = next_revision(card.text_at("revision"));
    let mut entry = Json::Object(Named::default());
    for (name, text) in [
        ("revision", revision.as_str()),
        ("date", date),
        ("note", note),
    ] {
        entry.set("", name, Some(Json::Text(text.to_owned())));
    }
    let mut revisions = card.list_at("revisions").to_vec();
    revisions.push(entry);
    card.set("", "revision", Some(Json::Text(revision)));
    card.set("", "revisions", Some(Json::List(revisions)));
}
