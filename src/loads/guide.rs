//! A limb that slides: whether its guide binds like a drawer pulled at one side.

use super::Bench;
use super::clamp_codes::GUIDE_JAMS;
use super::guided::Rails;
use super::wind_limit::{Input, Limit, When, input};
use super::works::GUIDE;
use crate::finding::Severity;
use crate::fit::{FittedFigure, Follows};
use crate::geometry::BoardPoint;
use crate::mechanism::{Guide, Slide};
use crate::model::{DriveKind, Figure, Joint, Limb, Note};
use crate::units::print::{self, decimal};
use crate::units::{Mm, System};

/// The guide is to be longer than where it jams by this factor (common practice, no
/// source).
const LONGER: f64 = 1.5;
/// Places looked at along the way of the motor.
const SAMPLES: usize = 180;
/// A push that passes the guide's line by less than this is in line with it, mm.
const IN_LINE: f64 = 0.5;

/// The length of guide below which a push beside it jams, mm, however hard it pushes:
/// both ends of the guide press with push x arm/length, and rub with the coefficient.
#[must_use]
pub fn jams_below(friction: f64, arm: f64) -> f64 {
    2.0 * friction * arm
}

/// How far right of the line its limb's own point runs on a yoke is said to be held, mm.
fn held_aside(figure: &Figure, index: usize, slide: &Slide) -> f64 {
    let limb = &figure.limbs[index];
    let offset = limb.drive.as_ref().and_then(|d| match &d.mechanism {
        DriveKind::ScotchYoke(yoke) => yoke.offset,
        _ => None,
    });
    let shaft = figure.motor_of(index).and_then(|m| figure.actuators[m].at);
    offset.zip(shaft).map_or(0.0, |(offset, shaft)| offset.0 - left_of(slide, shaft))
}

/// How far a point lies left of a slide's line, mm.
fn left_of(slide: &Slide, at: BoardPoint) -> f64 {
    let (x, y) = (at.x - slide.from.x, at.y - slide.from.y);
    y * slide.along.x() - x * slide.along.y()
}

/// The piece of a limb that its guide holds, where it was said.
pub(super) fn rails(figure: &Figure, index: usize) -> Option<Rails> {
    let limb = &figure.limbs[index];
    let (Some(guide), Joint::Slide { from, to }) = (limb.build.guide, &limb.joint) else {
        return None;
    };
    let slide = Slide::between(*from, *to)?;
    Some(Rails {
        length: guide.length.0,
        width: guide.width.map_or(0.0, |w| w.0),
        ahead: guide.at.map_or(0.0, |at| at.0),
        left: -held_aside(figure, index, &slide),
    })
}

/// How far the push lies beside the line the limb is held on at worst, mm; `None` where
/// the limb does not slide or nothing says where it is pushed. That line is the guide's,
/// or lies as far beside the shaft as a yoke's `offset` says.
fn arm(follows: &Follows<'_>, figure: &Figure, index: usize) -> Option<f64> {
    let Guide::Slide(slide) = follows.mechanism.guide() else { return None };
    let span = follows.path.span();
    let moved = held_aside(figure, index, &slide);
    let beside = (0..=SAMPLES).filter_map(|i| {
        let c = span.from + (span.to - span.from) * i as f64 / SAMPLES as f64;
        let input = follows.path.at(c).ok()?;
        let limb = follows.mechanism.position(&input).ok()?.limb;
        Some((left_of(&slide, follows.mechanism.thrust(&input, &limb)?.at) + moved).abs())
    });
    beside.reduce(f64::max)
}

impl Bench<'_> {
    /// The guide of a limb that slides, or what must be said for it: the arm of what pushes it,
    /// or where that is long enough, all that presses it aside over its cycle.
    pub(super) fn guide(&mut self, index: usize) -> Option<Limit> {
        let beside = self.beside(index);
        let fits = beside.as_ref().is_none_or(|l| l.calm <= l.bears);
        let slants = if fits { self.slants(index) } else { None };
        slants.or(beside)
    }

    /// A guide that the slant and the arm of the push make bind together; `None` where they
    /// leave enough.
    fn slants(&self, index: usize) -> Option<Limit> {
        let limb = &self.fitted.figure.limbs[index];
        let length = limb.build.guide?.length;
        let wanted = LONGER * GUIDE;
        // What a thousandth more or less friction does is no matter.
        let from = self.binds_from(index, wanted * 0.998)?;
        let severity = if from <= GUIDE { Severity::Error } else { GUIDE_JAMS.severity };
        let asks = Asks {
            severity,
            says: [
                format!(
                    "pushed at a slant or away from the {} its guide holds, {} is to move with friction up to ",
                    print::size(length, 0, self.fitted.figure.system),
                    limb.said()
                ),
                ", and binds like a drawer from ".into(),
                " on".into(),
            ],
            calm: wanted * 100.0,
            bears: from * 100.0,
            unit: "%",
            by: input("binds_from", from, "1"),
            help: "make its guide longer, bring the piece it holds nearer to where the limb is pushed, or push it more \
                   along its line (a longer rod, a larger cam, the motor in line)."
                .into(),
        };
        Some(asks.limit(length))
    }

    /// A push beside its guide.
    fn beside(&mut self, index: usize) -> Option<Limit> {
        let fitted: &FittedFigure = self.fitted;
        let limb = &fitted.figure.limbs[index];
        let mechanism = fitted.limbs[index].mechanism.as_ref()?;
        let arm = arm(&mechanism.follows()?, &fitted.figure, index).filter(|a| *a > IN_LINE)?;
        let jams = jams_below(GUIDE, arm);
        match limb.build.guide {
            Some(held) => Some(pushed_beside(limb, (arm, jams), held.length, fitted.figure.system)),
            None => {
                let system = fitted.figure.system;
                let wants = decimal((LONGER * jams).ceil(), 0);
                let what = format!(
                    "whether it binds like a drawer: pushed {} beside its guide, it wants {} of it",
                    print::size(Mm(arm), 0, system),
                    print::size_up(Mm(LONGER * jams), system)
                );
                let settle = format!("guide {wants} mm");
                self.limbs[index].not_checked.push(Note::new(what, settle));
                None
            }
        }
    }
}

fn pushed_beside(limb: &Limb, (arm, jams): (f64, f64), length: Mm, system: System) -> Limit {
    let asks = Asks {
        severity: if length.0 <= jams { Severity::Error } else { GUIDE_JAMS.severity },
        says: [
            format!(
                "pushed {} beside its guide, {} wants ",
                print::size(Mm(arm), 0, system),
                limb.said()
            ),
            " of it so as not to bind like a drawer, and has ".into(),
            String::new(),
        ],
        calm: LONGER * jams,
        bears: length.0,
        unit: "mm",
        by: input("arm", arm, "mm"),
        help: format!(
            "make its guide {} long, hold it on a second one, or push it nearer to its line.",
            print::size_up(Mm(LONGER * jams), system)
        ),
    };
    asks.limit(length)
}

/// What is asked of a guide so that it does not bind.
struct Asks {
    severity: Severity,
    says: [String; 3],
    calm: f64,
    bears: f64,
    unit: &'static str,
    /// What presses it aside.
    by: Input,
    help: String,
}

impl Asks {
    /// The same of a wooden guide of a length.
    fn limit(self, length: Mm) -> Limit {
        Limit {
            code: &GUIDE_JAMS,
            when: When::Run,
            severity: self.severity,
            goes: "it binds in its guide",
            says: self.says,
            calm: self.calm,
            per_gust2: 0.0,
            bears: self.bears,
            unit: self.unit,
            inputs: vec![
                self.by,
                input("friction", GUIDE, "1").typical(),
                input("factor", LONGER, "1").fixed(),
                input("length", length.0, "mm").given(),
            ],
            typical: vec!["friction of a wooden guide"],
            left_out: false,
            help: self.help,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Beer and Johnston, Vector Mechanics for Engineers: Statics, the bracket on a pipe
    /// (sample problem 8.3, from memory): contacts 6 in apart, coefficient 0.25: the load
    /// holds itself from 12 in beside the pipe's axis on.
    #[test]
    fn a_bracket_on_a_pipe_holds_itself_from_where_the_book_says() {
        assert!((jams_below(0.25, 12.0) - 6.0).abs() < 1e-12);
    }

    /// The same from the forces: at the length found, friction at both ends just bears the
    /// push, whatever it is; in a longer guide it does not.
    #[test]
    fn friction_bears_the_push_only_in_a_shorter_guide() {
        let (push, arm, mu) = (40.0, 70.0, 0.3);
        let rubs = |length: f64| 2.0 * mu * (push * arm / length);
        let length = jams_below(mu, arm);
        assert!((rubs(length) - push).abs() < 1e-9);
        assert!(rubs(length * 1.01) < push && rubs(length * 0.99) > push);
    }
}
