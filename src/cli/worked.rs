//! A limb's own numbers put into the closed forms that hold for its mechanism.

use super::explain::Worked;
use super::sizes::decimal;
use super::views::LimbView;
use crate::finding::Step;
use crate::fit::{Fitted, FittedDrive, FittedServo, FittedSpin, KindFigure, Measure};
use crate::mechanism::{Class, FourBar, Travel};
use crate::units::{Deg, Mm, System};

/// The sums of one limb, in the household asked for or the figure's; says so where
/// there are none.
#[must_use]
pub fn worked(view: &LimbView<'_>, asked: Option<System>) -> Worked {
    let unit = Unit::of(asked.unwrap_or(view.placed.figure.system));
    let (mechanism, steps, missing) = match view.fitted {
        Some(Fitted::FourBar(four)) => {
            let (steps, missing) = four_bar(&four.drilled, unit);
            ("crank, rod and lever, sizes as drilled", steps, missing)
        }
        Some(Fitted::Servo(servo)) => {
            let kind = match (&servo.cord, &servo.linkage) {
                (Some(_), _) => "cord on a servo's horn",
                (None, Some(_)) => "servo with arm, rod and lever",
                (None, None) => "servo",
            };
            (kind, of_servo(servo, unit), None)
        }
        Some(Fitted::Drive(drive)) => {
            (drive.exact.mechanism.kind().word(), of_drive(drive, unit), None)
        }
        Some(Fitted::Spin(turn)) => ("turning on and on", of_spin(turn, unit), None),
        None => ("no mechanism worked out", Vec::new(), Some(why_none(view))),
    };
    Worked { limb: view.name(), mechanism: mechanism.into(), told: Vec::new(), steps, missing }
}

/// Whether all of a mechanism's lines belong to a rule, beside its own sum.
#[must_use]
pub fn whole(code: &str) -> bool {
    const WHOLE: [&str; 7] = [
        "crank-blocked",
        "crank-may-block",
        "linkage-may-flip",
        "one-swing-only",
        "parts-do-not-reach",
        "sweep-missed",
        "weak-push",
    ];
    WHOLE.contains(&code)
}

/// Whether a mechanism's lines are the sum of a rule that found nothing.
#[must_use]
pub fn rests_on(view: &LimbView<'_>, code: &str) -> bool {
    let belt = |turn: &FittedSpin| turn.figures.iter().any(|f| f.name == "wrap_small");
    whole(code) || code == "wrap-small" && matches!(view.fitted, Some(Fitted::Spin(t)) if belt(t))
}

fn why_none(view: &LimbView<'_>) -> String {
    match view.limb.drive.as_ref().map(|d| &d.mechanism) {
        None => "Nothing drives this limb, so there is nothing to work out.".into(),
        Some(_) => "It has an error, and its numbers are not known until that is mended: \
            `yardwright check` shows it."
            .into(),
    }
}

/// The ends of any other kind's motion as computed, its worst push, and what only it
/// has.
fn of_drive(drive: &FittedDrive, unit: Unit) -> Vec<Step> {
    let course = &drive.drilled.course;
    let angle = |a: Deg| format!("{} deg", decimal(a.0, 2));
    let length = |l: Mm| format!("{} {}", unit.show(l.0), unit.word);
    let (ends, range) = match &course.travel {
        Travel::Swing(l) => (format!("{} to {}", angle(l.low), angle(l.high)), angle(l.range())),
        Travel::Stroke(l) => {
            (format!("{} to {}", length(l.low), length(l.high)), length(l.range()))
        }
    };
    let sizes = drive.sizes.iter().map(|s| {
        let shown = if s.name.is_angle() { angle(Deg(s.drilled)) } else { length(Mm(s.drilled)) };
        format!("{} {shown}", s.name.word())
    });
    let mut steps = vec![
        step("sizes as drilled", String::new(), sizes.collect::<Vec<_>>().join(", ")),
        step("ends of the motion", String::new(), ends),
        step("from end to end", String::new(), range),
        step("worst push", "angle between push and way, 90 is square".into(), {
            angle(course.worst_push)
        }),
    ];
    if let Some(ratio) = course.time_ratio {
        let sum = "slower way over faster".into();
        steps.push(step("time ratio", sum, decimal(ratio, 3)));
    }
    steps.extend(drive.figures.iter().map(|f| of_figure(f, unit)));
    steps
}

/// What only one kind of mechanism has.
fn of_figure(figure: &KindFigure, unit: Unit) -> Step {
    let shown = match figure.value {
        Measure::Length(l) => format!("{} {}", unit.show(l.0), unit.word),
        Measure::Angle(a) => format!("{} deg", decimal(a.0, 2)),
        Measure::Force(n) => format!("{} N", decimal(n.0, 1)),
        Measure::Time(t) => format!("{} s", decimal(t.0, 3)),
        Measure::Air(l) => format!("{} l", decimal(l.0, 3)),
        Measure::Energy(e) => format!("{} J", decimal(e.0, 3)),
        Measure::Number(n) => decimal(n, 3),
    };
    step(figure.words, String::new(), shown)
}

fn step(what: &str, sum: String, result: String) -> Step {
    Step { what: what.into(), sum, result }
}

/// The unit lengths are shown in.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Unit {
    /// Its word.
    word: &'static str,
    /// Its length, mm.
    mm: f64,
    /// Digits after the point.
    digits: usize,
}

impl Unit {
    const fn of(system: System) -> Self {
        match system {
            // NIST SP 811, appendix B: exactly.
            System::Inch => Self { word: "in", mm: 25.4, digits: 3 },
            System::Metric | System::Both => Self { word: "mm", mm: 1.0, digits: 1 },
        }
    }

    /// A length as a bare number of this unit.
    fn show(self, mm: f64) -> String {
        decimal(mm / self.mm, self.digits)
    }
}

/// The four-bar by the law of cosines: at the ends of the swing crank and rod lie
/// in one line; the push angle is worst where crank and ground lie in one line.
fn four_bar(built: &FourBar, unit: Unit) -> (Vec<Step>, Option<String>) {
    let bars = built.bars();
    let (g, a, b, c) = (bars.ground.0, bars.crank.0, bars.rod.0, bars.lever.0);
    let show = |length| unit.show(length);
    let mut steps = vec![ground(built, unit), grashof([g, a, b, c], unit)];
    if bars.class() != Class::CrankRocker {
        let missing = format!(
            "These bars make a {}: the crank does not turn right round with a limb that swings \
             to and fro, so the ends of a swing are not given by a closed form with crank and \
             rod in line.",
            bars.class().word()
        );
        return (steps, Some(missing));
    }
    let near = corner(g, c, b - a);
    let far = corner(g, c, b + a);
    steps.push(step(
        "motor-pivot-lever, pulled in",
        cosine(show(g), show(c), &format!("({} - {})", show(b), show(a))),
        degrees(near),
    ));
    steps.push(step(
        "motor-pivot-lever, pushed out",
        cosine(show(g), show(c), &format!("({} + {})", show(b), show(a))),
        degrees(far),
    ));
    if let (Some(near), Some(far)) = (near, far) {
        steps.push(step(
            "swing",
            format!("{far:.2} - {near:.2}"),
            format!("{:.2} deg", far - near),
        ));
    }
    for (what, reach, sign) in
        [("push angle, crank toward pivot", g - a, '-'), ("push angle, crank away", g + a, '+')]
    {
        let angle = corner(b, c, reach).map(|x| x.min(180.0 - x));
        let sum = cosine(show(b), show(c), &format!("({} {sign} {})", show(g), show(a)));
        steps.push(step(what, format!("{sum}, folded to 0..90"), degrees(angle)));
    }
    (steps, None)
}

fn ground(built: &FourBar, unit: Unit) -> Step {
    let [x0, y0] = [built.motor().x, built.motor().y].map(|v| unit.show(v));
    let [x1, y1] = [built.pivot().x, built.pivot().y].map(|v| unit.show(v));
    step(
        "motor to pivot",
        format!("sqrt(({x1} - {x0})^2 + ({y1} - {y0})^2)"),
        format!("{} {}", unit.show(built.bars().ground.0), unit.word),
    )
}

/// Grashof's rule with the four lengths.
fn grashof(mut lengths: [f64; 4], unit: Unit) -> Step {
    lengths.sort_by(f64::total_cmp);
    let [s, p, q, l] = lengths;
    let margin = unit.show(p + q - s - l);
    let [s, p, q, l] = lengths.map(|v| unit.show(v));
    step(
        "room to go round",
        format!("{p} + {q} - {s} - {l} (middle two minus shortest and longest)"),
        format!("{margin} {}", unit.word),
    )
}

/// The angle between two sides with this third side opposite, deg.
fn corner(p: f64, q: f64, opposite: f64) -> Option<f64> {
    let cos = (p * p + q * q - opposite * opposite) / (2.0 * p * q);
    (-1.0..=1.0).contains(&cos).then(|| libm::acos(cos).to_degrees())
}

fn cosine(p: String, q: String, opposite: &str) -> String {
    format!("acos(({p}^2 + {q}^2 - {opposite}^2) / (2 x {p} x {q}))")
}

fn degrees(angle: Option<f64>) -> String {
    angle.map_or("does not close".into(), |a| format!("{a:.2} deg"))
}

fn of_servo(servo: &FittedServo, unit: Unit) -> Vec<Step> {
    let mut steps = vec![step(
        "reach",
        String::new(),
        format!("{:.1} to {:.1} deg", servo.low.0, servo.high.0),
    )];
    if let Some(link) = &servo.linkage {
        let bars = link.bars();
        let all = [bars.crank.0, bars.rod.0, bars.lever.0, bars.ground.0].map(|v| unit.show(v));
        let all = format!("{} {}", all.join(", "), unit.word);
        steps.push(step("arm, rod, lever, shaft to pivot", String::new(), all));
    }
    if let Some(fastest) = servo.fastest {
        let speed = fastest.0 * 6.0;
        steps.push(step("fastest, without load", String::new(), format!("{speed:.0} deg/s")));
    }
    let figures = servo.cord.iter().flat_map(|c| &c.figures).chain(&servo.figures);
    steps.extend(figures.map(|f| of_figure(f, unit)));
    steps
}

fn of_spin(turn: &FittedSpin, unit: Unit) -> Vec<Step> {
    let result = format!("{} turns of the limb for one of the motor", decimal(turn.ratio, 4));
    let ratio = step("ratio", String::new(), result);
    std::iter::once(ratio).chain(turn.figures.iter().map(|f| of_figure(f, unit))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::mechanism::Assembly;
    use crate::units::{Deg, Mm};

    fn built(crank: f64) -> FourBar {
        let ends = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(200.0, 0.0));
        FourBar::new(ends, (Mm(crank), Mm(180.0), Mm(80.0)), Deg(0.0), Assembly::Open).unwrap()
    }

    /// The sums shown must give what the analysis gives, which is tested against
    /// published values elsewhere.
    #[test]
    fn the_sums_agree_with_the_analysis() {
        let linkage = built(30.0);
        let motion = linkage.analyse().motion.unwrap();
        let (steps, missing) = four_bar(&linkage, Unit::of(System::Metric));
        assert_eq!(missing, None);
        let result = |what: &str| {
            let step = steps.iter().find(|s| s.what.starts_with(what)).unwrap();
            step.result.split(' ').next().unwrap().parse::<f64>().unwrap()
        };
        assert!((result("swing") - motion.sweep.0).abs() < 0.006);
        let push = result("push angle, crank toward").min(result("push angle, crank away"));
        assert!((push - motion.min_transmission.0).abs() < 0.006);
        assert!((result("room") - (180.0 + 80.0 - 30.0 - 200.0)).abs() < 0.06);
    }

    #[test]
    fn the_numbers_stand_in_the_sum() {
        let (steps, _) = four_bar(&built(30.0), Unit::of(System::Metric));
        assert_eq!(steps[0].sum, "sqrt((200 - 0)^2 + (0 - 0)^2)");
        assert_eq!(steps[2].sum, "acos((200^2 + 80^2 - (180 - 30)^2) / (2 x 200 x 80))");
    }

    #[test]
    fn bars_that_do_not_go_round_are_said_so() {
        let (steps, missing) = four_bar(&built(70.0), Unit::of(System::Metric));
        assert_eq!(steps.len(), 2);
        assert!(missing.unwrap().contains("triple-rocker"));
    }
}
