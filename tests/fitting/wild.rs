//! Mechanisms of random and hostile sizes: nothing panics, and every number that is
//! told is one.

use super::compile;
use yardwright::emit::numbers::mechanism_numbers;
use yardwright::fit::{Fitted, Measure, builds};

/// Numbers from a seed, the same every time.
pub(super) struct Random(pub(super) u64);

impl Random {
    pub(super) fn unit(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A size as a maker might write it, open or out of all reason.
    fn length(&mut self, usual: f64) -> String {
        match (self.unit() * 8.0) as u32 {
            0 => "?".to_owned(),
            1 => format!("? {:.0} to {:.0} mm by 5 mm", usual * 0.5, usual * 1.5),
            2 => "0.01 mm".to_owned(),
            3 => format!("{:.1} mm", usual * 20.0),
            _ => format!("{:.1} mm", usual * (0.5 + self.unit())),
        }
    }

    fn angle(&mut self) -> String {
        if self.unit() < 0.4 {
            "?".to_owned()
        } else {
            format!("{:.1} deg", 720.0 * self.unit() - 360.0)
        }
    }

    fn point(&mut self) -> String {
        let mut at = || 50.0 * (20.0 * self.unit()).floor();
        format!("({}, {}) mm", at(), at())
    }
}

fn finite(text: &str) -> usize {
    let compiled = compile(text);
    let mut told = 0;
    for limb in compiled.figures.iter().flat_map(|f| &f.limbs) {
        let Some(mechanism) = &limb.mechanism else { continue };
        told += 1;
        let json = serde_json::to_string(&mechanism_numbers(mechanism)).unwrap();
        assert!(!json.contains("null"), "{json}\n{text}");
        let Some(drive) = Fitted::as_drive(mechanism) else { continue };
        assert!(drive.sizes.iter().all(|s| s.exact.is_finite() && s.drilled.is_finite()), "{text}");
        for figure in &drive.figures {
            let value = match figure.value {
                Measure::Energy(e) => e.0,
                Measure::Air(a) => a.0,
                Measure::Length(l) => l.0,
                Measure::Angle(a) => a.0,
                Measure::Force(n) => n.0,
                Measure::Time(t) => t.0,
                Measure::Number(n) => n,
            };
            assert!(value.is_finite(), "{}: {text}", figure.name);
        }
    }
    for figure in &compiled.figures {
        for (limb, fitted) in figure.figure.limbs.iter().zip(&figure.limbs) {
            let Some(care) = builds::care(limb, fitted) else { continue };
            let spreads = [care.worst, care.rss].into_iter().flat_map(|s| [s.low, s.high, s.range]);
            let slopes = care.slopes.iter().flat_map(|s| [s.low, s.high]);
            let all: Vec<f64> = spreads.chain(slopes).chain(care.share).collect();
            assert!(all.iter().all(|v| v.is_finite()), "{care:?}\n{text}");
        }
    }
    for finding in &compiled.findings {
        let told = format!("{} {:?}", finding.message, finding.help);
        assert!(
            !told.contains("NaN") && !told.contains("inf ") && !told.contains("unknown deg"),
            "{told}\n{text}"
        );
    }
    told
}

#[test]
fn no_nan_leaves_a_forearm_in_a_yard() {
    let mut random = Random(7);
    let mut told = 0;
    for round in 0..150 {
        let on = if round % 2 == 0 { " on a" } else { "" };
        let (low, swing) = (600.0 * random.unit() - 300.0, 5.0 + 150.0 * random.unit());
        let verb = if round % 3 == 0 { "bend" } else { "sweep" };
        let text = format!(
            "figure f {{ board plywood-9 900 mm by 1000 mm
  limb a {{ pivot (300, 700) mm  tip {}
    drive four-bar {{ motor wiper at (420, 500) mm  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }} }}
  limb b{on} {{ pivot {}  tip {}
    drive four-bar from a {{ anchor {}  rod {}  lever {} at {} }}
    gesture g {{ {verb} {low:.0} deg to {:.0} deg }} }} }}",
            random.point(),
            random.point(),
            random.point(),
            random.point(),
            random.length(150.0),
            random.length(60.0),
            random.angle(),
            low.round() + swing.round(),
        );
        told += finite(&text);
    }
    assert!(told > 150, "{told}: most forearms are no mechanism");
}

#[test]
fn no_nan_leaves_a_cord_in_a_yard() {
    let mut random = Random(11);
    let mut told = 0;
    let motors = ["wiper", "servo-standard", "servo-micro", "winch", "ram-100"];
    for round in 0..600 {
        let (low, swing) = (600.0 * random.unit() - 300.0, 5.0 + 120.0 * random.unit());
        let guides = match round % 4 {
            0 => String::new(),
            1 => format!("guides {}", random.point()),
            _ => format!("guides {} {}", random.point(), random.point()),
        };
        let back = ["", "return gravity", "return spring 0.1 N.m"][round % 3];
        let size = match round % 7 {
            0 => String::new(),
            _ => format!("length {}", random.length(400.0)),
        };
        let drum = |length: String| match motors[round % 5] {
            "winch" => format!("spool {length}"),
            "ram-100" => String::new(),
            _ => format!("crank {length}"),
        };
        let text = format!(
            "motor winch {{ kind spool }}
figure f {{ board plywood-9 900 mm by 1000 mm
  limb a {{ pivot (300, 700) mm  tip {}  weighed {:.2} kg  balances {:.0} mm
    drive cord {{ motor {} at {}  {}  lever {} at {}  {guides}  {size}  {back} }}
    gesture g {{ sweep {low:.0} deg to {:.0} deg  cycle 3 s }} }} }}",
            random.point(),
            0.01 + random.unit(),
            200.0 * random.unit(),
            motors[round % 5],
            random.point(),
            drum(random.length(30.0)),
            random.length(70.0),
            random.angle(),
            low.round() + swing.round(),
        );
        told += finite(&text);
    }
    assert!(told > 50, "{told}: most cords are no mechanism");
}

/// Every other kind, of sizes from nothing to out of all reason and places that may
/// fall together.
#[test]
fn no_nan_leaves_any_other_kind_in_a_yard() {
    let mut random = Random(23);
    let mut told = 0;
    for round in 0..900 {
        // One round in five stands on its own pivot.
        let pivot = random.point();
        let at = if round % 5 == 0 { pivot.clone() } else { random.point() };
        let (l, a) = (random.length(60.0), random.angle());
        let (rod, crank) = (random.length(200.0), random.length(30.0));
        let drive = match round % 9 {
            0 => format!(
                "four-bar {{ motor wiper at {at}  crank {crank}  rod {rod}  lever {l} at {a} }}"
            ),
            1 => format!(
                "slotted-arm {{ motor wiper at {at}  crank {crank}  slot offset 5 mm at {a} }}"
            ),
            2 => format!("slider-crank {{ motor wiper at {at}  crank {crank}  rod {rod} }}"),
            3 => format!("scotch-yoke {{ motor wiper at {at}  crank {crank} }}"),
            4 => format!("cam {{ motor wiper at {at}  base {crank}  lever {rod} at {a} }}"),
            5 => format!("cam {{ motor wiper at {at}  base {crank}  follower flat }}"),
            6 => format!(
                "servo {{ motor servo-standard at {at}  arm {crank}  rod {rod}  lever {l} at {a} }}"
            ),
            7 => format!("ram {{ motor ram-100  lever {l} at {a}  anchor {at} }}"),
            _ => format!(
                "cylinder {{ motor cylinder-16  length 200 to 300 mm  lever {l} at {a}  anchor {at} }}"
            ),
        };
        let slides = matches!(round % 9, 2 | 3) || (round % 9 == 5 && round % 2 == 0);
        let (low, swing) = (600.0 * random.unit() - 300.0, 1.0 + 120.0 * random.unit());
        let (low, high) = (low.round(), low.round() + swing.round());
        let limb = if slides {
            let other = if round % 7 == 0 { pivot.clone() } else { random.point() };
            format!(
                "slide from {pivot} to {other}  drive {drive}
    gesture g {{ stroke {low:.0} mm to {high:.0} mm  cycle 3 s }}"
            )
        } else {
            let tip = random.point();
            format!(
                "pivot {pivot}  tip {tip}  drive {drive}
    gesture g {{ sweep {low:.0} deg to {high:.0} deg  cycle 3 s }}"
            )
        };
        told += finite(&format!(
            "figure f {{ board plywood-9 900 mm by 1000 mm\n  limb a {{ {limb} }} }}"
        ));
    }
    assert!(told > 150, "{told}: most are no mechanism");
}
