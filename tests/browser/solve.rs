//! How long a solve of a corner takes in wasm, beside the same solve natively: `make solve`.

use std::hint::black_box;
use std::time::Instant;

use crate::page::Screen;
use crate::site::Site;

#[path = "../common/solve.rs"]
mod case;

/// So many rounds, in each of which every build is timed once: what else the machine does meets them all alike.
const ROUNDS: usize = 50;
/// Solves in a round: enough for the coarse clock of a page.
const SOLVES: u32 = 20_000;
/// Makes the modules ready, `time(name)` to give the microseconds of a solve, and `toes` by name.
const READY: &str = "
    window.modules = {};
    const ready = async (name) => {
      const module = await WebAssembly.compileStreaming(fetch(name + '.wasm'));
      // The browser's part of the library is in the module too, and never called.
      const imports = {};
      for (const { module: from, name, kind } of WebAssembly.Module.imports(module)) {
        if (kind !== 'function') throw new Error(`the module wants a ${kind}, ${name}`);
        (imports[from] ??= {})[name] = () => { throw new Error(`${name} was called`); };
      }
      modules[name] = (await WebAssembly.instantiate(module, imports)).exports;
    };
    window.time = (name, count) => {
      const start = performance.now();
      modules[name].solves(count);
      return (performance.now() - start) * 1e3 / count;
    };
    return Promise.all(['fast', 'small'].map(ready)).then(() => null);";

fn median(times: &mut [f64]) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

#[test]
#[ignore = "times this machine and proves nothing: `make solve`"]
fn solves() {
    if cfg!(debug_assertions) {
        panic!("the native solve is not optimised here: run `make solve`");
    }
    let wasm = [
        ("fast", "wasm, opt-level 3"),
        ("small", "wasm, as the pages are built"),
    ];
    Site::of("target/solve").visit(Screen::DESK, |page| {
        page.open("");
        page.script(READY);
        let native = case::solves(SOLVES);
        for (build, _) in wasm {
            // Twice the rounds' solves, so that Chromium's optimising compiler has done its work.
            let toe = page.script(&format!("return modules.{build}.solves({})", 2 * SOLVES));
            let toe = toe.as_f64().expect("a toe");
            assert!(
                (toe - native).abs() < 1e-12,
                "{build}: {toe}, natively {native}"
            );
        }
        let mut times = [const { Vec::new() }; 3];
        for _ in 0..ROUNDS {
            let start = Instant::now();
            black_box(case::solves(SOLVES));
            times[0].push(start.elapsed().as_secs_f64() * 1e6 / f64::from(SOLVES));
            for (times, (build, _)) in times[1..].iter_mut().zip(wasm) {
                let time = page.script(&format!("return time('{build}', {SOLVES})"));
                times.push(time.as_f64().expect("a time"));
            }
        }
        let [native, fast, small] = times.each_mut().map(|times| median(times));
        println!("one solve with rates, cold, 5 mm away: medians of {ROUNDS} rounds of {SOLVES}");
        println!("  native, opt-level 3: {native:.2} µs (budget 5 µs)");
        for (time, (_, name)) in [fast, small].into_iter().zip(wasm) {
            println!(
                "  {name}: {time:.2} µs, {:.2} times native (budget 2.5 times)",
                time / native
            );
        }
    });
}
