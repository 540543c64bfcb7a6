//! Helps of yards that ask for what cannot be: drawn at random, of every kind of drive, with
//! sizes that are given and that are open, at places that are given. What a help names is typed, to the letter, and the
//! error it stands with is gone.

use super::super::linkages::reference::Rng;
use super::typed::{done, ways};
use yardwright::finding::{Finding, Severity};

/// A yard of each kind, asked for something at random.
type Draw = fn(&mut Dice) -> String;

/// Random numbers as people write them.
pub struct Dice(Rng);

impl Dice {
    fn between(&mut self, lo: f64, hi: f64) -> f64 {
        libm::round(lo + (hi - lo) * self.0.unit())
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[((self.0.unit() * of.len() as f64) as usize).min(of.len() - 1)]
    }

    /// A size that is given, open, in a range or one of a row.
    fn size(&mut self, lo: f64, hi: f64) -> String {
        let (a, b) = (self.between(lo, hi), self.between(lo, hi));
        let (a, b) = (a.min(b), a.max(b));
        match (self.0.unit() * 8.0) as usize {
            0..=3 => format!("{a} mm"),
            4 | 5 => "?".to_owned(),
            6 => format!("? {a} to {} mm", b + 5.0),
            _ => format!("? {a} to {} mm by 5 mm", a + 5.0 * libm::floor((b - a) / 5.0)),
        }
    }

    fn angle(&mut self) -> String {
        match (self.0.unit() * 4.0) as usize {
            0 => format!("{} deg", self.between(-180.0, 180.0)),
            1 => format!("? {} to {} deg", self.between(-180.0, 0.0), self.between(0.0, 180.0)),
            _ => "?".to_owned(),
        }
    }

    /// A place about another.
    fn place(&mut self, (x, y): (f64, f64), far: f64) -> String {
        let (x, y) = (x + self.between(-far, far), y + self.between(-far, far));
        format!("({x}, {y}) mm")
    }

    fn sweep(&mut self, widest: f64) -> String {
        let (from, wide) = (self.between(-60.0, 60.0), self.between(6.0, widest));
        format!("sweep {from} deg to {} deg  cycle 60 s", from + wide)
    }

    fn stroke(&mut self, longest: f64) -> String {
        let from = self.between(0.0, 40.0);
        format!("stroke {from} mm to {} mm  cycle 60 s", from + self.between(8.0, longest))
    }
}

fn turns(drive: &str, asked: &str) -> String {
    format!(
        "figure f {{ board plywood-9 1400 mm by 1600 mm\n limb l {{ pivot (600, 800) mm  tip (900, 800) mm  weighed 0.02 kg  balances 5 mm  friction 0.0002 N.m\n  \
         drive {drive}\n  gesture g {{ {asked} }} }} }}"
    )
}

fn slides(drive: &str, asked: &str) -> String {
    format!(
        "figure f {{ board plywood-9 1400 mm by 1600 mm\n limb l {{ slide from (600, 800) mm to (600, 1000) mm  weighed 0.02 kg\n  \
         drive {drive}\n  gesture g {{ {asked} }} }} }}"
    )
}

const PIVOT: (f64, f64) = (600.0, 800.0);

fn four_bar(d: &mut Dice) -> String {
    let at = d.place(PIVOT, 350.0);
    let sizes = (d.size(10.0, 90.0), d.size(60.0, 450.0), d.size(30.0, 150.0), d.angle());
    let drive = format!(
        "four-bar {{ motor wiper at {at}  crank {}  rod {}  lever {} at {} }}",
        sizes.0, sizes.1, sizes.2, sizes.3
    );
    turns(&drive, &d.sweep(140.0))
}

fn slotted_arm(d: &mut Dice) -> String {
    let at = d.place(PIVOT, 150.0);
    let (crank, slot) = (d.size(10.0, 90.0), d.angle());
    turns(
        &format!("slotted-arm {{ motor wiper at {at}  crank {crank}  slot at {slot} }}"),
        &d.sweep(140.0),
    )
}

fn slider_crank(d: &mut Dice) -> String {
    let at = d.place((600.0, 620.0), 150.0);
    let (crank, rod) = (d.size(10.0, 90.0), d.size(80.0, 400.0));
    let offset = d.one(&["", "", "offset 0 mm", "offset -12 mm"]);
    slides(
        &format!("slider-crank {{ motor wiper at {at}  crank {crank}  rod {rod}  {offset} }}"),
        &d.stroke(150.0),
    )
}

fn scotch_yoke(d: &mut Dice) -> String {
    let at = d.place((600.0, 880.0), 80.0);
    let crank = d.size(10.0, 90.0);
    slides(&format!("scotch-yoke {{ motor wiper at {at}  crank {crank} }}"), &d.stroke(150.0))
}

fn cam_of_slide(d: &mut Dice) -> String {
    let at = d.place((600.0, 700.0), 60.0);
    let (base, foot) = (
        d.size(20.0, 90.0),
        d.one(&["roller 8 mm", "roller 20 mm", "follower flat", "follower knife"]),
    );
    let rise = d.one(&["", "rise 40 deg dwell 140 deg  fall 60 deg dwell 120 deg"]);
    slides(
        &format!("cam {{ motor wiper at {at}  base {base}  {foot}  {rise}  return gravity }}"),
        &d.stroke(60.0),
    )
}

fn cam_of_pivot(d: &mut Dice) -> String {
    let at = d.place((480.0, 800.0), 80.0);
    let (base, lever, clamp) = (d.size(20.0, 90.0), d.size(40.0, 150.0), d.angle());
    let foot = match d.one(&[true, true, false]) {
        true => format!("roller 8 mm  lever {lever} at {clamp}"),
        false => "follower flat".to_owned(),
    };
    turns(
        &format!("cam {{ motor wiper at {at}  base {base}  {foot}  return gravity }}"),
        &d.sweep(40.0),
    )
}

fn servo_rod(d: &mut Dice) -> String {
    let at = d.place((600.0, 700.0), 80.0);
    let sizes = (d.size(10.0, 40.0), d.size(40.0, 150.0), d.size(10.0, 60.0), d.angle());
    let drive = format!(
        "servo {{ motor servo-standard at {at}  crank {}  rod {}  lever {} at {} }}",
        sizes.0, sizes.1, sizes.2, sizes.3
    );
    turns(&drive, &d.sweep(130.0))
}

fn strut(d: &mut Dice, word: &str) -> String {
    let at = d.place((600.0, 560.0), 150.0);
    let (lever, clamp) = (d.size(40.0, 150.0), d.angle());
    let short = d.between(120.0, 260.0);
    let long = short + d.between(40.0, 140.0);
    let motor = match word {
        "ram" => "ram-100",
        _ => "cylinder-16",
    };
    let stroke = if word == "ram" { String::new() } else { format!("stroke {} mm", long - short) };
    let long = if word == "ram" { short + 100.0 } else { long };
    turns(
        &format!(
            "{word} {{ motor {motor}  anchor {at}  length {short} to {long} mm {stroke}  lever {lever} at {clamp} }}"
        ),
        &d.sweep(120.0),
    )
}

fn ram(d: &mut Dice) -> String {
    strut(d, "ram")
}

fn cylinder(d: &mut Dice) -> String {
    strut(d, "cylinder")
}

fn ram_of_slide(d: &mut Dice) -> String {
    let at = d.place((600.0, 620.0), 120.0);
    let lever = d.one(&["", "lever ?", "lever ? 10 to 60 mm by 5 mm", "lever 25 mm"]);
    slides(&format!("ram {{ motor ram-100  anchor {at}  {lever} }}"), &d.stroke(150.0))
}

fn cord(d: &mut Dice) -> String {
    let at = d.place((600.0, 500.0), 150.0);
    let (crank, lever, clamp) = (d.size(10.0, 60.0), d.size(15.0, 90.0), d.angle());
    let guide = (600.0 + d.between(-80.0, 80.0), 800.0 - d.between(30.0, 160.0));
    turns(
        &format!(
            "cord {{ motor wiper at {at}  crank {crank}  lever {lever} at {clamp}  guides ({}, {}) mm  return spring 0.4 N.m }}",
            guide.0, guide.1
        ),
        &d.sweep(120.0),
    )
}

fn cord_of_servo(d: &mut Dice) -> String {
    let at = d.place((600.0, 700.0), 60.0);
    let (horn, lever, clamp) = (d.size(6.0, 30.0), d.size(10.0, 50.0), d.angle());
    turns(
        &format!(
            "cord {{ motor servo-standard at {at}  horn {horn}  lever {lever} at {clamp}  guides (590, 770) mm  return spring 0.02 N.m }}"
        ),
        &d.sweep(120.0),
    )
}

fn belt(d: &mut Dice) -> String {
    let at = d.place((600.0, 640.0), 60.0);
    let length = match d.one(&[0, 1, 2]) {
        0 => format!("length {} mm", d.between(300.0, 700.0)),
        1 => "length ?".to_owned(),
        _ => format!("length ? {} to 700 mm by 50 mm", 50.0 * d.between(4.0, 10.0)),
    };
    turns(
        &format!(
            "spin {{ motor wiper at {at}  belt 20 {} pitch 5 mm {length} }}",
            d.between(12.0, 60.0)
        ),
        "spin 1 turn per 4 s",
    )
}

fn gears(d: &mut Dice) -> String {
    let at = d.place((600.0, 750.0), 40.0);
    turns(
        &format!(
            "spin {{ motor wiper at {at}  gears 20 {} module 1.5 mm }}",
            d.between(12.0, 60.0)
        ),
        "spin 1 turn per 4 s",
    )
}

fn forearm(d: &mut Dice) -> String {
    let at = d.place((250.0, 650.0), 60.0);
    let (rod, lever, clamp) = (d.size(60.0, 200.0), d.size(20.0, 90.0), d.angle());
    let (from, wide) = (d.between(200.0, 300.0), d.between(6.0, 120.0));
    format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm  motor elbow wiper at (420, 500) mm
 limb up {{ pivot (300, 700) mm  tip (120, 700) mm
  drive four-bar {{ motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }}
  gesture bow {{ sweep 195 deg to 235 deg  cycle 60 s }} }}
 limb l on up {{ pivot (120, 700) mm  tip (120, 500) mm
  drive four-bar from up {{ anchor {at}  rod {rod}  lever {lever} at {clamp} }}
  gesture g {{ sweep {from} deg to {} deg }} }} }}",
        from + wide
    )
}

const KINDS: [(&str, Draw); 15] = [
    ("four-bar", four_bar),
    ("slotted arm", slotted_arm),
    ("slider-crank", slider_crank),
    ("Scotch yoke", scotch_yoke),
    ("cam of a slide", cam_of_slide),
    ("cam of a pivot", cam_of_pivot),
    ("servo's rod", servo_rod),
    ("ram", ram),
    ("cylinder", cylinder),
    ("ram of a slide", ram_of_slide),
    ("cord", cord),
    ("cord of a servo", cord_of_servo),
    ("belt", belt),
    ("gears", gears),
    ("forearm", forearm),
];

/// Whose help says what does all that is asked.
const WHOLE: [&str; 7] = [
    "nothing-fits",
    "no-place-fits",
    "sweep-missed",
    "stroke-missed",
    "cam-impossible",
    "cam-nothing-fits",
    "cam-pressure",
];

/// The errors that sizes, places and what is asked for make.
fn told<'f>(all: &'f [Finding], limb: &str) -> Vec<&'f Finding> {
    let own = |f: &&Finding| f.severity == Severity::Error && f.limb.as_deref() == Some(limb);
    all.iter().filter(own).collect()
}

/// Yards of each kind. Of 250 each none fails either.
const TRIES: usize = 20;

#[test]
fn what_is_named_where_nothing_works_does_it_as_it_is_written() {
    let mut faults = Vec::new();
    let mut typed = 0;
    for (n, (kind, draw)) in KINDS.iter().enumerate() {
        let mut dice = Dice(Rng(1000 + n as u64));
        for _ in 0..TRIES {
            let text = format!("use parts\n{}", draw(&mut dice));
            let before = super::super::codes::compile(&text);
            for finding in told(&before.findings, "l") {
                let help = finding.help.clone().unwrap_or_default();
                let place = finding.place;
                let at = place.and_then(|p| {
                    super::super::codes::with_compiler(|c| c.sources().stretch(p))
                        .map(|(_, lo, hi)| (lo, hi))
                });
                let all = ways(&help);
                for way in all {
                    let Some(after) = done(&text, (finding, at), &way) else {
                        faults.push(format!("{kind}: {help}\n   cannot be typed: {way:?}\n{text}"));
                        continue;
                    };
                    typed += 1;
                    let now = super::super::codes::compile(&after);
                    let mut left = told(&now.findings, "l");
                    // What is said of one thing only promises no more than that.
                    let had: Vec<_> =
                        told(&before.findings, "l").iter().map(|f| f.code.word).collect();
                    left.retain(|f| {
                        f.code.word == finding.code.word || !had.contains(&f.code.word)
                    });
                    if !WHOLE.contains(&finding.code.word) {
                        left.retain(|f| f.code.word == finding.code.word);
                    }
                    if let Some(left) = left.first() {
                        faults.push(format!(
                            "{kind}: {} {}\n   help: {help}\n   done: {way:?}\n   then: {} {}\n{text}",
                            finding.code.word, finding.message, left.code.word, left.message
                        ));
                    }
                }
            }
        }
    }
    assert!(typed > 200, "{typed}");
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}
