//! How long a keystroke takes to its new answer on a slow device: `make latency`.

use std::thread;
use std::time::Duration;

use crate::page::Screen;
use crate::site::Site;

/// Keystrokes timed, after a few that warm up.
const TIMED: usize = 60;
const WARM: usize = 10;

#[test]
#[ignore = "times this machine and proves nothing: `make latency`"]
fn keystrokes() {
    Site::release().visit(Screen::PHONE, |page| {
        page.open("bench/#/torque");
        page.click("More: share, K, bolt length, extension");
        page.slow_down(4);
        // From the key's own time stamp to the new answer in the page, and to the end of the frame that paints it.
        page.script(
            "const field = document.querySelector('#factor');
             const answer = document.querySelector('section[aria-label=Answer]');
             window.answered = [];
             window.painted = [];
             let pressed = 0;
             addEventListener('keydown', (event) => { pressed = event.timeStamp; }, true);
             new MutationObserver(() => {
               if (!pressed) return;
               const since = pressed;
               pressed = 0;
               answered.push(performance.now() - since);
               requestAnimationFrame(() => {
                 const { port1, port2 } = new MessageChannel();
                 port1.onmessage = () => painted.push(performance.now() - since);
                 port2.postMessage(0);
               });
             }).observe(answer, { childList: true, subtree: true });
             field.value = '0.2';
             field.dispatchEvent(new Event('input', { bubbles: true }));
             field.focus();",
        );
        for press in 0..TIMED + WARM {
            // 0.21 to 0.29: each answer differs from the one before it.
            page.script("const field = document.querySelector('#factor'); field.value = '0.2'; field.setSelectionRange(3, 3)");
            page.press(char::from(b'1' + (press % 9) as u8));
            // To ask the page sooner would hold it up.
            thread::sleep(Duration::from_millis(300));
            page.waits_for("the frame", || {
                let count = page.script("return painted.length").as_u64()?;
                (count > press as u64).then_some(())
            });
        }
        for (name, list) in [("to the new answer", "answered"), ("to its frame", "painted")] {
            let times = page.script(&format!("return {list}"));
            let mut times: Vec<f64> = times
                .as_array()
                .unwrap()
                .iter()
                .skip(WARM)
                .map(|time| time.as_f64().unwrap())
                .collect();
            times.sort_by(f64::total_cmp);
            let at = |share: usize| times[(times.len() - 1) * share / 100];
            println!(
                "keystroke {name}, CPU slowed 4 times: median {:.1} ms, 95th percentile {:.1} ms ({} keystrokes, budget 50 ms)",
                at(50),
                at(95),
                times.len()
            );
        }
    });
}
