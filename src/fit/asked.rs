//! The motion a limb is asked for: a sweep or a stroke, by its first gesture.

use super::{Bench, codes};
use crate::finding::{Place, Step};
use crate::mechanism::Travel;
use crate::mechanism::solve::usual_tolerance;
use crate::model::{Action, Gesture, Joint, Limb, Note};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, System, print};

/// What a motion is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Counted {
    /// Degrees of a limb that turns.
    Degrees,
    /// Millimetres of one that slides.
    Millimetres,
}

impl Counted {
    /// Its unit, as people read it.
    pub const fn unit(self, system: System) -> &'static str {
        match (self, system) {
            (Self::Degrees, _) => "deg",
            (Self::Millimetres, System::Inch) => "in",
            (Self::Millimetres, _) => "mm",
        }
    }

    /// A number of them in that unit.
    pub fn number(self, value: f64, system: System) -> String {
        match self {
            Self::Degrees => decimal(value, 1),
            Self::Millimetres => print::fine_in(Mm(value), system),
        }
    }

    /// "swings", "slides".
    pub const fn moves(self) -> &'static str {
        match self {
            Self::Degrees => "swings",
            Self::Millimetres => "slides",
        }
    }
}

/// The motion asked for.
#[derive(Clone, Copy)]
pub(super) struct Motion<'a> {
    /// The gesture that asks.
    pub gesture: &'a Gesture,
    /// What it is counted in.
    pub counted: Counted,
    /// The lower end.
    pub from: f64,
    /// The upper end.
    pub to: f64,
    /// How much range and ends may miss.
    pub within: f64,
}

impl Motion<'_> {
    /// "swings", "slides", or "bends" where it counts from the limb that carries it.
    pub fn moves(&self) -> &'static str {
        if self.gesture.relative { "bends" } else { self.counted.moves() }
    }

    /// From end to end.
    pub fn range(&self) -> f64 {
        self.to - self.from
    }

    /// The sweep, of a limb that turns.
    pub fn sweep(&self) -> (Deg, Deg) {
        (Deg(self.from), Deg(self.to))
    }

    /// The stroke, of one that slides.
    pub fn stroke(&self) -> (Mm, Mm) {
        (Mm(self.from), Mm(self.to))
    }

    /// The ends of a travel, an angle in the turn the maker speaks of.
    pub fn told(&self, travel: &Travel) -> (f64, f64) {
        match travel {
            Travel::Swing(l) => {
                let turn = 360.0 * libm::round((self.from - l.low.0) / 360.0);
                (l.low.0 + turn, l.high.0 + turn)
            }
            Travel::Stroke(l) => (l.low.0, l.high.0),
        }
    }

    /// Whether a travel is what was asked.
    pub fn met(&self, travel: &Travel) -> bool {
        let (low, high) = self.told(travel);
        let miss = [high - low - self.range(), low - self.from, high - self.to];
        miss.iter().all(|m| m.abs() <= self.within + 1e-9)
    }

    /// "10 to 55 deg".
    pub fn words(&self, system: System) -> String {
        range_words((self.from, self.to), self.counted, system)
    }
}

/// "10 to 55 deg", "1.5 to 6.5 in".
pub(super) fn range_words((from, to): (f64, f64), counted: Counted, system: System) -> String {
    let number = |v| counted.number(v, system);
    format!("{} to {} {}", number(from), number(to), counted.unit(system))
}

impl<'a> Bench<'a> {
    /// What its motions count in.
    fn counted(&self) -> Counted {
        match self.limb.joint {
            Joint::Pivot { .. } => Counted::Degrees,
            Joint::Slide { .. } => Counted::Millimetres,
        }
    }

    /// The motion its first gesture asks for.
    pub(super) fn first_asked(&self) -> Option<Motion<'a>> {
        self.limb.gestures.iter().find_map(|g| motion(g, self.counted()))
    }

    /// The motion its first gesture asks for; others must ask for the same ends.
    pub(super) fn motion_asked(&mut self) -> Option<Motion<'a>> {
        let (limb, counted) = (self.limb, self.counted());
        let all = limb.gestures.iter().filter_map(|g| motion(g, counted));
        let mut all = all.collect::<Vec<_>>().into_iter();
        let first = all.next()?;
        for other in all {
            // A bend and a sweep of one limb may both be right; each is checked.
            if other.gesture.relative != first.gesture.relative {
                continue;
            }
            let off = (other.from - first.from).abs().max((other.to - first.to).abs());
            if off <= first.within {
                continue;
            }
            let message = format!(
                "`{}` asks for {}, but `{}` already fixed this drive's ends at {}.",
                other.gesture.name.value,
                other.words(self.figure.system),
                first.gesture.name.value,
                first.words(self.figure.system)
            );
            let place: Place = first.gesture.name.place;
            let found = self.report(&codes::ONE_SWING_ONLY, other.gesture.place, message);
            found.related.push(("this one comes first".to_owned(), place));
            found.help = Some("ask for the same ends at another speed.".to_owned());
            let system = self.figure.system;
            self.works([
                Step::given("ends that come first", first.words(system)),
                Step::given("ends asked for here", other.words(system)),
            ]);
        }
        Some(first)
    }

    /// The first gesture that asks for the other kind of motion than `first`: a bend
    /// beside a sweep, a sweep beside a bend.
    pub(super) fn also_asked(&self, first: &Motion<'_>) -> Option<Motion<'a>> {
        let limb = self.limb;
        let mut all = limb.gestures.iter().filter_map(|g| motion(g, first.counted));
        all.find(|m| m.gesture.relative != first.gesture.relative)
    }

    /// From the lowest to the highest angle that its limb is sent to.
    pub(super) fn angles_asked(&self) -> Option<Motion<'a>> {
        angles(self.limb)
    }

    /// Notes that nothing says how far it should move, where sizes are open.
    pub(super) fn nothing_asked(&mut self, open: &str) {
        let clause = match self.limb.joint {
            Joint::Pivot { .. } => "gesture wave { sweep A deg to B deg  cycle T }",
            Joint::Slide { .. } => "gesture hop { stroke A mm to B mm  cycle T }",
        };
        self.not_checked
            .push(Note::new(format!("{open}: no gesture says how far it should move"), clause));
    }
}

/// From the lowest to the highest angle that gestures and rest name, for a limb that
/// is sent to angles; `None` where they name fewer than two.
pub(super) fn angles(limb: &Limb) -> Option<Motion<'_>> {
    let named = |g: &Gesture| match &g.action {
        Action::Turn { to, .. } | Action::Pose(to) => vec![to.value],
        Action::Follow { range: Some((a, b)), .. } => vec![*a, *b],
        _ => Vec::new(),
    };
    let gesture = limb.gestures.iter().find(|g| !named(g).is_empty())?;
    let all = limb.gestures.iter().flat_map(named).chain(limb.rest.map(|r| r.value));
    let (from, to) =
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), a| (l.min(a.0), h.max(a.0)));
    let within = usual_tolerance(Deg(to - from)).0;
    let counted = Counted::Degrees;
    (to > from).then_some(Motion { gesture, counted, from, to, within })
}

/// The motion a gesture asks for; `None` where it is no sweep, or no stroke.
pub(super) fn motion(gesture: &Gesture, counted: Counted) -> Option<Motion<'_>> {
    let (from, to, within) = match (&gesture.action, counted) {
        (Action::Sweep { from, to, within, .. }, Counted::Degrees) => {
            let (a, b) = (from.value, to.value);
            let within = within.unwrap_or_else(|| usual_tolerance((b - a).abs()));
            (a.min(b).0, a.max(b).0, within.0)
        }
        (Action::Stroke { from, to, within, .. }, Counted::Millimetres) => {
            let (a, b) = (from.value, to.value);
            let within = within.unwrap_or_else(|| usual_stroke_tolerance((b - a).abs()));
            (a.min(b).0, a.max(b).0, within.0)
        }
        _ => return None,
    };
    Some(Motion { gesture, counted, from, to, within })
}

/// By how much a stroke and its ends may miss where nothing is said: 2 mm or 5 %
/// of the stroke, whichever is less.
pub(super) fn usual_stroke_tolerance(stroke: Mm) -> Mm {
    Mm(2.0).min(stroke * 0.05)
}
