//! Stops that a limb must not run into while it does what it is asked.

use super::codes_stops::STOPS_NEAR;
use super::told::Told;
use super::track;
use crate::finding::{Severity, Step};
use crate::model::{Joint, Note, Stops};
use crate::units::{Mm, print};

/// How far beyond a sweep a stop is to stand, deg: what a hole a millimetre off moves the
/// end of a usual swing (common practice, no source).
const TURNED: f64 = 2.0;
/// How far beyond a stroke, mm (common practice, no source).
const SLID: f64 = 3.0;

/// How much room is left at both ends between what a limb does and its stops; angles as
/// they come nearest, turns apart.
#[must_use]
pub fn left((from, to): (f64, f64), (low, high): (f64, f64), turn: Option<f64>) -> [f64; 2] {
    let shift = turn.map_or(0.0, |t| libm::round(((from + to) - (low + high)) / 2.0 / t) * t);
    [from - (low + shift), high + shift - to]
}

impl Told<'_> {
    /// The stops of every limb that has some.
    pub(super) fn stops(&mut self) {
        let figure = &self.fitted.figure;
        for (index, limb) in figure.limbs.iter().enumerate() {
            let Some(said) = limb.build.stops.filter(|_| !limb.poisoned) else { continue };
            let span = track::own(self.fitted, index).and_then(|t| t.span());
            let pivots = matches!(limb.joint, Joint::Pivot { .. });
            let (ends, stops, turn, wanted) = match (said.value, span) {
                (Stops::Turned(a, b), Some((from, to))) if pivots => {
                    let ends = (from.to_degrees(), to.to_degrees());
                    (ends, (a.0, b.0), Some(360.0), TURNED)
                }
                (Stops::Slid(a, b), Some(span)) if !pivots => (span, (a.0, b.0), None, SLID),
                (_, span) => {
                    let what = match span {
                        None => "its stops (how it moves is not computed)",
                        Some(_) if pivots => "its stops (it turns: say two angles)",
                        Some(_) => "its stops (it slides: say two places along its slide)",
                    };
                    let settle = match (span, pivots) {
                        (None, _) => "",
                        (_, true) => "stops -10 deg to 60 deg",
                        (_, false) => "stops slide 0 mm to 120 mm",
                    };
                    self.to.limbs[index].not_checked.push(Note::new(what, settle));
                    continue;
                }
            };
            let words = |v: f64| match pivots {
                true => format!("{} deg", print::decimal(v, 1)),
                false => print::size(Mm(v), 0, figure.system),
            };
            let room = left(ends, stops, turn);
            let (end, least) = if room[0] <= room[1] { (0, room[0]) } else { (1, room[1]) };
            if least >= wanted - 1e-9 {
                continue;
            }
            let which = ["lower", "upper"][end];
            let name = self.name(index);
            let message = match least < 0.0 {
                true => format!(
                    "{name} runs into its {which} stop, {} before the end of what it does.",
                    words(-least)
                ),
                false => format!(
                    "the {which} stop of {name} stands {} beyond what it does, and {} are wanted.",
                    words(least),
                    words(wanted)
                ),
            };
            let move_it = words(wanted - least);
            let finding = self.tell(&STOPS_NEAR, index, message);
            finding.place = Some(said.place);
            finding.help = Some(format!("set that stop {move_it} further out."));
            finding.worked = vec![
                Step::given("what it does", format!("{} to {}", words(ends.0), words(ends.1))),
                Step::given("its stops", format!("{} to {}", words(stops.0), words(stops.1))),
                Step::given(format!("left at its {which} end"), words(least)),
                Step::given("wanted", words(wanted)),
            ];
            if least >= 0.0 {
                finding.severity = Severity::Warning;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_counted_to_the_nearest_turn() {
        let near = |a: [f64; 2], b: [f64; 2]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(near(left((121.0, 165.0), (118.0, 170.0), Some(360.0)), [3.0, 5.0]));
        // A swing over 180 deg, its stops said below nought.
        assert!(near(left((155.0, 205.0), (-210.0, -150.0), Some(360.0)), [5.0, 5.0]));
        assert!(near(left((0.0, 80.0), (2.0, 90.0), None), [-2.0, 10.0]));
    }
}
