//! The phone as a gauge: orientation events as a phone would send them, good and bad.

use serde_json::json;

use crate::page::{Page, Screen};
use crate::site::Site;

/// A phone of the test's own: `hold(lean, forward, quarter)` lays it along a bar that leans to the right by so much, `step` is its sensor's.
/// Upright with its screen to the rear its angles are alpha 0, beta 90; the rest follows from its rotation matrix (W3C, *Device Orientation and
/// Motion*), worked out here anew and apart from the page.
const PHONE: &str = r"
window.phone = (() => {
    const rad = Math.PI / 180, times = (a, b) => a.map((row) => [0, 1, 2].map((c) => row.reduce((sum, x, k) => sum + x * b[k][c], 0)));
    const z = (d) => [[Math.cos(d * rad), -Math.sin(d * rad), 0], [Math.sin(d * rad), Math.cos(d * rad), 0], [0, 0, 1]];
    const x = (d) => [[1, 0, 0], [0, Math.cos(d * rad), -Math.sin(d * rad)], [0, Math.sin(d * rad), Math.cos(d * rad)]];
    // This machine has no sensor, and Chromium says so with nulls of its own: only the phone made here is heard.
    window.addEventListener('deviceorientation', (event) => { if (event.isTrusted) event.stopImmediatePropagation(); }, true);
    const zero = 0.7, step = 0.1;
    let timer, jitter = 0;
    const send = (alpha, beta, gamma) => window.dispatchEvent(new DeviceOrientationEvent('deviceorientation', { alpha, beta, gamma }));
    const event = (lean, forward, quarter) => {
        const m = times(z(forward ? 180 : 0), times(x(90), z(-((forward ? -lean : lean) + zero + 90 * quarter))));
        const up = m[2], level = up[2] < 0 || (up[2] === 0 && up[0] > 0) ? -1 : 1;
        const angles = [Math.atan2(-m[0][1] * level, m[1][1] * level), Math.atan2(up[1], level * Math.hypot(up[0], up[2])), Math.atan2(-up[0] * level, up[2] * level)];
        send(...angles.map((angle) => Math.round(angle / rad / step) * step));
    };
    const stop = () => clearInterval(timer);
    const hold = (lean, forward, quarter = 0, sway = 0) => {
        stop();
        // It is brought there first, so that the sensor shows its step.
        for (let turn = 0; turn < 40; turn++) event(lean + turn * 0.137 - 5.4, forward, quarter);
        timer = setInterval(() => event(lean + sway * Math.sin(jitter++), forward, quarter), 40);
    };
    return { hold, send, stop };
})();
";

fn at_camber_by_phone(page: &Page) {
    page.open("");
    page.click("Demo: front strut kit, metric tie rods");
    page.arrives("Unpack");
    page.script("location.hash = location.hash.replace('unpack', 'read')");
    page.arrives("Read");
    page.script(PHONE);
    page.click("Start round 1");
    page.part("fieldset:has(input[name='camber-by-front'])")
        .click("this phone as a gauge");
}

const LEFT: &str = "[data-phone='left front']";
const RIGHT: &str = "[data-phone='right front']";
const FLOOR: &str = "[data-phone='the floor, front axle']";

/// Asks for the phone at a spot, and waits until it is heard.
fn use_phone(page: &Page, spot: &str) {
    page.part(spot).click("Use this phone");
    page.script("phone.hold(0, false)");
    page.part(spot).shows("sensor");
}

/// Takes A and B at a spot for a lean to the right.
fn take(page: &Page, spot: &str, lean: f64, quarters: [i32; 2]) {
    let part = page.part(spot);
    let [a, b] = quarters;
    page.script(&format!("phone.hold({lean}, false, {a})"));
    part.click("Take A");
    part.shows("A is read.");
    page.script(&format!("phone.hold({lean}, true, {b})"));
    part.click("Take B");
    part.shows("A and B are kept");
}

#[test]
fn camber_and_floor_come_from_two_positions() {
    Site::release().visit(Screen::PHONE, |page| {
        at_camber_by_phone(page);
        use_phone(page, LEFT);
        page.script("phone.hold(-1.2, false)");
        page.part(LEFT).shows("still");
        page.part(LEFT).shows("the sensor steps by 0.10°");
        page.fits();
        // The left wheel's bar leans left by 1.2°: out. The phone is upright, then on its head.
        take(page, LEFT, -1.2, [0, 2]);
        page.part(LEFT).shows("1.20° top out");
        page.part(LEFT).shows("The phone's zero, taken out");
        page.part(LEFT).shows("0.70°");
        take(page, RIGHT, -1.5, [0, 2]);
        page.part(RIGHT).shows("1.50° top in");
        page.look("front-read-phone");
        // In landscape, and with the page itself turned.
        page.click("Floor slope by phone");
        take(page, FLOOR, 0.4, [1, 1]);
        page.part(FLOOR).shows("0.40° left side higher");
        let result = page.part("section[aria-label='What the readings come to']");
        result.shows("1.60° top out");
        result.shows("1.90° top in");
        page.fits();
        // It is kept, and recomputed from what was kept.
        page.reload();
        page.part(RIGHT).shows("1.50° top in");
        page.part("section[aria-label='What the readings come to']")
            .shows("1.90° top in");
        page.part(RIGHT).click("Take the last A and B away");
        page.part(RIGHT).lacks("1.50° top in");
    });
}

/// Chromium's own events, from an orientation that its developer tools put in place of a sensor.
#[test]
fn the_browsers_own_events_are_heard() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("");
        page.click("Demo: front strut kit, metric tie rods");
        page.arrives("Unpack");
        page.script("location.hash = location.hash.replace('unpack', 'read')");
        page.click("Start round 1");
        page.part("fieldset:has(input[name='camber-by-front'])")
            .click("this phone as a gauge");
        page.hold_device(0.0, 70.0, 89.9);
        page.part(LEFT).click("Use this phone");
        // Upright with its screen to the rear, or on its head with its screen to the front: gamma at a right angle, beta says the lean.
        page.part(LEFT).shows("one number only");
        for beta in [88.1, 88.0] {
            page.hold_device(0.0, beta, 89.9);
            page.script("return new Promise((done) => setTimeout(done, 300))");
        }
        page.part(LEFT).shows("the sensor steps by");
        page.part(LEFT).click("Take A");
        page.part(LEFT).shows("A is read.");
        page.hold_device(180.0, -88.0, 89.9);
        page.part(LEFT).click("Take B");
        page.part(LEFT).shows("A and B are kept");
        page.part(LEFT).shows("2.00° top in");
    });
}

#[test]
fn landscape_turns_the_picture_and_not_the_reading() {
    Site::release().visit(Screen::PHONE, |page| {
        at_camber_by_phone(page);
        use_phone(page, RIGHT);
        page.turn_screen(90);
        assert_eq!(page.script("return screen.orientation.angle"), json!(90));
        take(page, RIGHT, 2.0, [1, 3]);
        page.part(RIGHT).shows("2.00° top out");
        page.turn_screen(0);
        take(page, RIGHT, 2.0, [0, 2]);
        page.part(RIGHT).shows("2.00° top out");
        page.part("section[aria-label='What the readings come to']")
            .lacks("taken once");
    });
}

#[test]
fn what_is_no_reading_is_not_taken() {
    Site::release().visit(Screen::PHONE, |page| {
        at_camber_by_phone(page);
        page.part(LEFT).click("Use this phone");
        // A sensor that has said one thing only.
        page.script("window.one = setInterval(() => phone.send(0, 90, 0), 40)");
        page.part(LEFT)
            .shows("The sensor has given one number only");
        // It lies on its back, then stands across the bar.
        page.script("clearInterval(one); phone.send(0, 1, 2)");
        page.part(LEFT).shows("The phone lies flat");
        page.script("phone.hold(35, false)");
        page.part(LEFT).shows("more than 20° off");
        // A hand that shakes: nothing is taken however long one waits.
        page.script("phone.hold(1, false, 0, 1.5)");
        page.part(LEFT).click("Take A");
        page.part(LEFT).shows("moving");
        page.script("return new Promise((done) => setTimeout(done, 3600))");
        page.part(LEFT).shows("A is taken by itself");
        page.script("phone.hold(1, false)");
        page.part(LEFT).shows("A is read.");
        // B with the screen the same way, turned in its own plane.
        page.script("phone.hold(1, false, 2)");
        page.part(LEFT).click("Take B");
        page.part(LEFT)
            .shows("Not kept. In B the screen must look the other way");
        page.part(LEFT).lacks("Half the difference");
        // Nulls, in the middle of it: said, and the way to type stays.
        page.script("phone.stop(); phone.send(null, null, null)");
        page.part(LEFT).shows("does not say how it is held");
        page.part("fieldset:has(input[name='camber-by-front'])")
            .click("level or angle gauge");
        page.part("[data-wheel='left-front']")
            .fill("Camber", "-1.1");
        page.part("[data-wheel='left-front']").shows("1.10° top in");
    });
}

#[test]
fn refused_or_absent_is_said_and_the_manual_way_stays() {
    for (stub, words) in [
        (
            "DeviceOrientationEvent.requestPermission = () => Promise.resolve('denied')",
            "The browser was told not to say",
        ),
        (
            "DeviceOrientationEvent.requestPermission = () => Promise.reject(new Error('no'))",
            "The browser was told not to say",
        ),
        (
            "delete window.DeviceOrientationEvent",
            "does not say how it is held",
        ),
        (
            // Nothing ever comes.
            "window.addEventListener('deviceorientation', (event) => event.stopImmediatePropagation(), true)",
            "does not say how it is held",
        ),
    ] {
        Site::release().visit(Screen::PHONE, |page| {
            page.before_load(stub);
            page.open("");
            page.click("Demo: front strut kit, metric tie rods");
            page.arrives("Unpack");
            page.script("location.hash = location.hash.replace('unpack', 'read')");
            page.click("Start round 1");
            page.part("fieldset:has(input[name='camber-by-front'])")
                .click("this phone as a gauge");
            page.part(LEFT).click("Use this phone");
            page.part(LEFT).shows(words);
            page.part("fieldset:has(input[name='camber-by-front'])")
                .shows("level or angle gauge");
        });
    }
}

/// A granted permission is asked for once, from the tap; the listener goes with the station's page.
#[test]
fn permission_is_asked_from_a_tap_and_leaving_stops_listening() {
    Site::release().visit(Screen::PHONE, |page| {
        page.before_load(
            "window.asked = 0; window.heard = 0;
             DeviceOrientationEvent.requestPermission = () => { asked++; return Promise.resolve('granted'); };
             const [add, remove] = [window.addEventListener, window.removeEventListener];
             window.addEventListener = function (type, ...rest) { if (type === 'deviceorientation') heard++; return add.call(this, type, ...rest); };
             window.removeEventListener = function (type, ...rest) { if (type === 'deviceorientation') heard--; return remove.call(this, type, ...rest); };",
        );
        at_camber_by_phone(page);
        // The test's own phone listens too.
        assert_eq!(page.script("return [asked, heard]"), json!([0, 1]));
        use_phone(page, LEFT);
        page.script("phone.hold(1, false)");
        page.part(LEFT).shows("still");
        assert_eq!(page.script("return [asked, heard]"), json!([1, 2]));
        page.click("Go on to Turn");
        page.arrives("Turn");
        assert_eq!(page.script("return [asked, heard]"), json!([0, 0]));
    });
}

#[test]
fn caster_comes_from_a_swing() {
    Site::release().visit(Screen::PHONE, |page| {
        at_camber_by_phone(page);
        let wheel = page.part("[data-wheel='right-front']");
        wheel.click("Measure caster by a steer swing");
        assert_eq!(wheel.value("Steered each way"), "20");
        // The right wheel's front turns outward to the right. NAVEDTRA 14273's procedure: 3.42° of change over 2 sin 20° is 5°.
        wheel.fill("Camber, steered to the left", "-2.21");
        wheel.fill("Camber, steered to the right", "+1.21");
        let result = page.part("section[aria-label='What the readings come to']");
        result.shows("Caster");
        result.shows("5.0");
        wheel.fill("Camber, straight ahead (for kingpin inclination)", "-1");
        result.shows("Kingpin inclination");
        wheel.fill("Steered each way", "60");
        wheel.shows("The steer each way lies between");
        result.lacks("Kingpin inclination");
        page.fits();
    });
}

#[test]
fn a_verdict_waits_for_the_checks() {
    Site::release().visit(Screen::PHONE, |page| {
        at_camber_by_phone(page);
        for name in ["toe-by-front", "camber-by-front"] {
            page.part(&format!("fieldset:has(input[name='{name}'])"))
                .click("figures from a rack");
        }
        let left = page.part("[data-wheel='left-front']");
        left.fill("Toe", "+0.3");
        left.fill("Camber", "-1");
        let result = page.part("section[aria-label='What the readings come to']");
        result.shows("not settled: do the checks first");
        let before = page.part("[data-before]");
        before.shows("It is not typed yet");
        page.fill("Tyre pressures", "2.0 bar all round");
        page.fill("Fuel and ballast", "half a tank");
        for corner in ["left front", "right front", "left rear", "right rear"] {
            page.fill(&format!("Ride height, {corner}"), "352");
        }
        page.fits();
        page.look("front-read-checks");
        for words in [
            "Tyre pressures set",
            "Fuel, ballast",
            "Steering wheel centred",
            "Car settled",
            "Ride heights",
            "Rims looked at",
        ] {
            before.shows(words);
            before.click("Done");
        }
        before.shows("settled: all checks are done");
        // What was pressed is folded away now: the focus is on what folds it.
        assert_eq!(
            page.script("return document.activeElement.innerText"),
            "Show the checks"
        );
        before.shows("settled: all checks are done");
        result.lacks("not settled");
        page.reload();
        page.part("[data-before]")
            .shows("settled: all checks are done");
        // The next round asks again.
        page.click("Turned something? Start round 2");
        page.part("[data-before]")
            .lacks("settled: all checks are done");
    });
}
