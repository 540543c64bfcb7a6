//! Places of a motor or an anchor from which a limb on a guide moves as asked, where its
//! sizes leave them only a line: hardly thicker than a pencil's, it would fall through a net.
//!
//! A crank and rod reach from `rod - crank` to `rod + crank`, a ram from its shortest to its
//! longest: b beside the guide the limb then moves between `sqrt(short^2 - b^2)` and
//! `sqrt(long^2 - b^2)`, so for each b the middle of the motion says how far along the guide
//! the place is. A Scotch yoke moves about its shaft whatever is beside the guide.

use super::asked::{Counted, motion};
use super::strut::Said;
use super::strut_slide;
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::{ScotchYoke, Size, Slide};
use crate::model::{DriveKind, Figure, Joint, Source};
use crate::units::Mm;

/// How far beside the guide is looked, mm.
const BESIDE: i32 = 600;
/// The middle of the motion may be off by such shares of what it may miss: a little off it
/// the limb may keep inside its guide. The first alone mostly does.
const OFF: [&[f64]; 2] = [&[0.0], &[0.25, -0.25, 0.5, -0.5, 0.75, -0.75]];

/// What reaches from a place to the pin of a limb.
struct Reach {
    /// The lengths between which it reaches.
    spans: Vec<(f64, f64)>,
    /// Where the pin is in the limb: along the guide and left of it.
    pin: [f64; 2],
    /// How far the place lies beside the pin's line, where that does not depend on it.
    beside: Option<f64>,
}

/// Lines of places, each beside the next, nearest to the guide first; none where the open
/// sizes leave more than a line, or the limb turns.
pub(super) fn lines(figure: &Figure, limb: usize) -> Vec<Vec<BoardPoint>> {
    let limb = &figure.limbs[limb];
    let (Joint::Slide { from, to }, Some(drive)) = (&limb.joint, &limb.drive) else {
        return Vec::new();
    };
    let asked = limb.gestures.iter().find_map(|g| motion(g, Counted::Millimetres));
    let (Source::Motor(motor), Some(asked), Some(guide)) =
        (drive.source, asked, Slide::between(*from, *to))
    else {
        return Vec::new();
    };
    let (mut guide, mut about) = (guide, 0.0);
    let reach = match &drive.mechanism {
        DriveKind::Strut(strut) => {
            let said = Said { drive, strut, actuator: &figure.actuators[motor] };
            let (Some((short, long)), (Size::Given(_), pin)) =
                (said.length(), strut_slide::pin(&said))
            else {
                return Vec::new();
            };
            Reach { spans: vec![(short.0, long.0)], pin, beside: None }
        }
        DriveKind::SliderCrank(said) => {
            let Size::Given(rod) = said.rod.size else { return Vec::new() };
            let cranks = values(said.crank.size, asked.range() / 2.0);
            let spans = cranks.into_iter().map(|a| (rod - a, rod + a)).filter(|s| s.0 > 0.0);
            guide.along = guide.along.turned(Dir::degrees(said.tilt));
            let beside = said.offset.map(|o| o.0);
            Reach { spans: spans.collect(), pin: [0.0; 2], beside }
        }
        DriveKind::ScotchYoke(said) => {
            let Ok(unit) = ScotchYoke::new(*from, guide, Mm(1.0), said.tilt) else {
                return Vec::new();
            };
            about = unit.middle().0;
            Reach { spans: vec![(0.0, 0.0)], pin: [0.0; 2], beside: Some(0.0) }
        }
        _ => return Vec::new(),
    };
    let ahead = |length: f64, b: f64| ((length - b) * (length + b)).max(0.0).sqrt();
    let middle = 0.5 * (asked.from + asked.to) - about;
    let line = |offs: &[f64]| {
        let mut line = Vec::new();
        for b in (0..=BESIDE).flat_map(|b| if b == 0 { vec![0] } else { vec![b, -b] }) {
            let left = f64::from(b);
            let b = reach.beside.unwrap_or(left);
            for (short, long) in reach.spans.iter().filter(|s| b.abs() <= s.0) {
                let back = 0.5 * (ahead(*short, b) + ahead(*long, b));
                for off in offs {
                    let middle = reach.pin[0] + middle + off * asked.within;
                    let at = |back: f64| {
                        let side = guide.along.turned(Dir::NORTH);
                        guide.from
                            + Vector::polar(Mm(middle - back), guide.along)
                            + Vector::polar(Mm(reach.pin[1] + left), side)
                    };
                    line.push(at(back));
                    if back > 0.0 {
                        line.push(at(-back));
                    }
                }
            }
        }
        line
    };
    OFF.iter().map(|offs| line(offs)).collect()
}

/// The values a crank may have; about the one that is wanted where it may have any.
pub(super) fn values(size: Size, wanted: f64) -> Vec<f64> {
    match size {
        Size::Given(v) => vec![v],
        Size::Row { lo, hi, step } if step > 0.0 => {
            let last = libm::floor((hi - lo) / step + 1e-9).min(100.0) as usize;
            (0..=last).map(|i| lo + step * i as f64).collect()
        }
        _ => vec![wanted],
    }
}
