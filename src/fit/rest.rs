//! Whether a limb ever comes where it is said to rest.

use super::asked::{Counted, range_words};
use super::checks::turns_between;
use super::{Bench, Fitted, codes};
use crate::finding::Step;
use crate::mechanism::Travel;
use crate::model::{Drive, DriveKind};
use crate::units::Deg;

impl Bench<'_> {
    /// Reports a rest outside of all that the mechanism does. What a ram or cylinder comes
    /// to is held against its stroke with its other stops; what turns on and on passes
    /// every angle.
    pub(super) fn rest_is_passed(&mut self, drive: &Drive, mechanism: &Fitted) {
        if mechanism.faulty() || matches!(drive.mechanism, DriveKind::Strut(_)) {
            return;
        }
        let travel = match mechanism {
            Fitted::Servo(s) => Some((Counted::Degrees, (s.low.0, s.high.0))),
            Fitted::Spin(_) => None,
            Fitted::FourBar(_) | Fitted::Drive(_) => {
                mechanism.follows().and_then(|f| f.travel).map(|travel| match travel {
                    Travel::Swing(l) => (Counted::Degrees, (l.low.0, l.high.0)),
                    Travel::Stroke(l) => (Counted::Millimetres, (l.low.0, l.high.0)),
                })
            }
        };
        let Some((counted, (low, high))) = travel else { return };
        let said = match counted {
            Counted::Degrees => self.limb.rest.map(|r| (r.value.0, r.place)),
            Counted::Millimetres => self.limb.rest_at.map(|r| (r.value.0, r.place)),
        };
        let Some((said, place)) = said else { return };
        // Ends in the turn of the circle in which the rest counts.
        let turn = match counted {
            Counted::Degrees => 360.0 * turns_between(Deg(said), Deg(f64::midpoint(low, high))),
            Counted::Millimetres => 0.0,
        };
        let (low, high) = (low + turn, high + turn);
        if (low - said).max(said - high) <= NEAR {
            return;
        }
        let system = self.figure.system;
        let number = |v| format!("{} {}", counted.number(v, system), counted.unit(system));
        let message = format!(
            "{} is to rest at {}, and its drive moves it from {}: it never comes there.",
            self.name(),
            number(said),
            range_words((low, high), counted, system)
        );
        let end = if said < low { low } else { high };
        let help = format!("the end that is nearest is `rest {}`.", number(end));
        let found = self.report(&codes::REST_MISSED, place, message);
        found.help = Some(help);
        found.related.push(("this drive".to_owned(), drive.place));
        self.works([
            Step::given("rest", number(said)),
            Step::given("low end", number(low)),
            Step::given("high end", number(high)),
            Step::given("it may lie beyond by", number(NEAR)),
        ]);
    }
}

/// So near to an end of its way it rests at that end, deg and mm.
const NEAR: f64 = 2.0;
