//! How quickly a yard is read: our reader (cut, grammar, tables, exact values)
//! beside serde_json into typed structs on the same content, in one run.
//!
//! `cargo bench --bench reading [FIGURES]` prints the best of five each, in
//! processor time.

#![allow(clippy::print_stdout, clippy::unwrap_used, clippy::disallowed_methods, missing_docs)]

use std::sync::Arc;
use std::time::{Duration, Instant};

use rayon::prelude::*;
use serde::Deserialize;
use yardwright::finding::ItemId;
use yardwright::source::{Cut, split};
use yardwright::syntax::{read, top_words};

#[path = "../words.rs"]
mod words;

type Xy = [f64; 2];

#[derive(Deserialize)]
#[allow(dead_code)]
struct File {
    r#use: Vec<String>,
    figures: Vec<Figure>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Figure {
    name: String,
    board: Board,
    frame: Frame,
    anchor: Anchor,
    power: Power,
    limbs: Vec<Limb>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Board {
    sheet: String,
    outline_mm: Vec<Xy>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Frame {
    width_mm: f64,
    depth_mm: f64,
    members: Vec<Member>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Member {
    from_mm: Xy,
    to_mm: Xy,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Anchor {
    kind: String,
    count: u32,
    spacing_mm: f64,
    depth_mm: f64,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Power {
    supply: String,
    run_m: f64,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Limb {
    name: String,
    pivot_mm: Xy,
    bolt: String,
    bushing: String,
    tip_mm: Xy,
    mount: String,
    clamp: String,
    washer_mm: f64,
    sheet: String,
    paint_g_per_m2: f64,
    outline_mm: Vec<Xy>,
    carry: Vec<Load>,
    drive: Drive,
    rest_deg: f64,
    parks_at_deg: f64,
    gestures: Vec<Gesture>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Load {
    name: String,
    mass_kg: f64,
    at_mm: Xy,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Drive {
    kind: String,
    motor: Motor,
    crank: Size,
    rod: Size,
    lever: Size,
    lever_at_deg: f64,
    standoff_in: f64,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Motor {
    name: String,
    at_mm: Xy,
    turns: String,
    from_behind: bool,
    limit_a: f64,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Size {
    open: bool,
    mm: Option<f64>,
    from_mm: Option<f64>,
    to_mm: Option<f64>,
    step_mm: Option<f64>,
}

#[derive(Deserialize)]
#[allow(dead_code)]
struct Gesture {
    name: String,
    from_deg: f64,
    to_deg: f64,
    within_deg: f64,
    cycle_s: f64,
    accent_at_deg: f64,
}

/// The content of [`words::generated`] as JSON, compact: without blanks JSON is at
/// its quickest.
fn as_json(figures: usize) -> String {
    let limb = |j: usize, k: f64| {
        serde_json::json!({
            "name": format!("l{j}"), "pivot_mm": [150.0 + k + j as f64, 880],
            "bolt": "M8", "bushing": "nylon", "tip_mm": [-250.0 - k / 4.0, 1150],
            "mount": "front", "clamp": "plain", "washer_mm": 30,
            "sheet": "plywood-6", "paint_g_per_m2": 150,
            "outline_mm": [[190, 850], [110, 840], [-270.0 - k, 1130], [-230, 1180], [180, 930]],
            "carry": [{"name": "drumstick", "mass_kg": 0.1, "at_mm": [-250, 1150]}],
            "drive": {
                "kind": "four-bar",
                "motor": {"name": "wiper", "at_mm": [310, 806], "turns": "ccw", "from_behind": true, "limit_a": 4},
                "crank": {"open": true, "from_mm": 30, "to_mm": 60, "step_mm": 10},
                "rod": {"open": true}, "lever": {"open": false, "mm": 70.0 + k},
                "lever_at_deg": -52.5, "standoff_in": 3.5
            },
            "rest_deg": 150, "parks_at_deg": 165,
            "gestures": [{"name": "hit", "from_deg": 121, "to_deg": 165, "within_deg": 2,
                          "cycle_s": (200.0 + k) / 100.0, "accent_at_deg": 165}]
        })
    };
    let all: Vec<_> = (0..figures)
        .map(|i| {
            let k = (i % 97) as f64;
            serde_json::json!({
                "name": format!("f{i}"),
                "board": {"sheet": "plywood-9", "outline_mm":
                    [[0, 0], [600.0 + k, 0], [700, 900], [310, 1300.0 + k / 2.0], [-40, 900]]},
                "frame": {"width_mm": 38, "depth_mm": 38, "members": [
                    {"from_mm": [150, 0], "to_mm": [150, 960]}, {"from_mm": [470, 0], "to_mm": [470, 960]}]},
                "anchor": {"kind": "stakes", "count": 2, "spacing_mm": 500, "depth_mm": 600},
                "power": {"supply": "shed", "run_m": (50.0 + k) / 10.0},
                "limbs": (0..3).map(|j| limb(j, k)).collect::<Vec<_>>()
            })
        })
        .collect();
    serde_json::json!({ "use": ["parts"], "figures": all }).to_string()
}

/// Processor time this thread has used, so that a busy machine does not blur the
/// figures; the wall clock where the system does not say.
fn used() -> Duration {
    static START: std::sync::OnceLock<Instant> = std::sync::OnceLock::new();
    // The system brings the figure up to date at its own ticks, 4 ms apart, and where
    // a thread yields: without this a short time is wrong by a twentieth.
    std::thread::yield_now();
    let said = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    said.split(' ')
        .next()
        .and_then(|ns| ns.parse().ok())
        .map_or_else(|| START.get_or_init(Instant::now).elapsed(), Duration::from_nanos)
}

/// The least time of five runs.
fn best<T>(mut run: impl FnMut() -> T) -> Duration {
    let mut least = Duration::MAX;
    for _ in 0..5 {
        let start = used();
        let kept = run();
        least = least.min(used().saturating_sub(start));
        drop(kept);
    }
    least
}

/// The same on a pool: the time of its busiest thread.
fn best_of_pool<T: Send>(pool: &rayon::ThreadPool, run: impl Fn() -> T + Sync) -> Duration {
    let mut least = Duration::MAX;
    for _ in 0..5 {
        let before = pool.broadcast(|_| used());
        let kept = pool.install(&run);
        let after = pool.broadcast(|_| used());
        let busiest = after.iter().zip(&before).map(|(a, b)| a.saturating_sub(*b)).max();
        least = least.min(busiest.unwrap_or_default());
        drop(kept);
    }
    least
}

fn read_cut(text: &str, cut: Cut, id: usize) -> (yardwright::syntax::Reading, usize) {
    let mut findings = Vec::new();
    let item: Arc<str> = text[cut.lo as usize..cut.hi as usize].into();
    let reading = read(ItemId(id as u32), item, &words::ROOT, &mut findings);
    (reading, findings.len())
}

fn main() {
    let figures = std::env::args().filter_map(|a| a.parse().ok()).next().unwrap_or(10_000);
    let text = words::generated(figures);
    let json = as_json(figures);
    let top = top_words(&words::ROOT);
    let two = rayon::ThreadPoolBuilder::new().num_threads(2).build().unwrap();
    let mb = |bytes: usize, t: Duration| bytes as f64 / 1e6 / t.as_secs_f64();
    println!(
        "{figures} figures x 3 limbs: {:.1} MB text, {:.1} MB JSON",
        text.len() as f64 / 1e6,
        json.len() as f64 / 1e6
    );

    let cuts = split(&text, &top);
    let cut = best(|| split(&text, &top));
    println!(
        "cut into {} items           {:8.1} ms  {:6.0} MB/s",
        cuts.len(),
        cut.as_secs_f64() * 1e3,
        mb(text.len(), cut)
    );
    let shapes = best(|| {
        cuts.iter()
            .map(|c| yardwright::syntax::shapes(&text[c.lo as usize..c.hi as usize]).len())
            .sum::<usize>()
    });
    let nodes: usize = cuts
        .iter()
        .map(|c| yardwright::syntax::shapes(&text[c.lo as usize..c.hi as usize]).len())
        .sum();
    println!(
        "shapes ({nodes} of them)      {:8.1} ms  {:6.0} MB/s",
        shapes.as_secs_f64() * 1e3,
        mb(text.len(), shapes)
    );
    let one = best(|| {
        let cuts = split(&text, &top);
        let read: Vec<_> = cuts.iter().enumerate().map(|(i, c)| read_cut(&text, *c, i)).collect();
        assert!(read.iter().all(|(_, faults)| *faults == 0));
        read
    });
    println!(
        "read whole, one thread      {:8.1} ms  {:6.0} MB/s",
        one.as_secs_f64() * 1e3,
        mb(text.len(), one)
    );
    let pair = best_of_pool(&two, || {
        let cuts = split(&text, &top);
        cuts.par_iter().enumerate().map(|(i, c)| read_cut(&text, *c, i)).collect::<Vec<_>>()
    });
    println!(
        "read whole, two threads     {:8.1} ms  {:6.0} MB/s",
        pair.as_secs_f64() * 1e3,
        mb(text.len(), pair)
    );
    let typed = best(|| serde_json::from_str::<File>(&json).unwrap());
    println!(
        "serde_json typed            {:8.1} ms  {:6.0} MB/s",
        typed.as_secs_f64() * 1e3,
        mb(json.len(), typed)
    );
    let value = best(|| serde_json::from_str::<serde_json::Value>(&json).unwrap());
    println!(
        "serde_json Value            {:8.1} ms  {:6.0} MB/s",
        value.as_secs_f64() * 1e3,
        mb(json.len(), value)
    );
    let ratio = |a: Duration, b: Duration| a.as_secs_f64() / b.as_secs_f64();
    println!(
        "ratio to typed: one thread {:.2}, two {:.2}; to Value: {:.2}, {:.2}",
        ratio(one, typed),
        ratio(pair, typed),
        ratio(one, value),
        ratio(pair, value)
    );
}
