//! One thing that wind or work may bring to its end, and the gust at which it does.
//!
//! Every demand of the wind is a constant and a share that grows with the square of
//! the gust, so the gust at which it meets what the part can bear has a closed form:
//! no searching, and the same answer for moving and standing.

use super::{Grade, Origin};
use crate::finding::{Code, Severity, Step};
use crate::units::print::decimal;
use crate::units::{MetrePerSec, Mm, Newton, NewtonMetre, System, print};

/// When a limit is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum When {
    /// While the limb moves: at the gust up to which it is to run.
    Run,
    /// Always: at the gust it must stand.
    Stand,
}

/// Where a single number comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Source {
    /// The maker wrote or measured it, or named a part that has it by its standard.
    Given,
    /// A usual value where nothing was written, or one of the built-in parts.
    Typical,
    /// It follows from other numbers.
    Worked,
    /// It belongs to the check: a factor, a published coefficient.
    Fixed,
}

/// A number that a result was computed from.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// What it is, with underscores: `area`.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: Source,
}

impl Input {
    /// It was given.
    #[must_use]
    pub fn given(self) -> Self {
        Self { source: Source::Given, ..self }
    }

    /// It is a usual value.
    #[must_use]
    pub fn typical(self) -> Self {
        Self { source: Source::Typical, ..self }
    }

    /// It is the check's own.
    #[must_use]
    pub fn fixed(self) -> Self {
        Self { source: Source::Fixed, ..self }
    }

    /// It was given, where it was said; otherwise it is a usual value.
    #[must_use]
    pub fn given_or_typical(self, said: bool) -> Self {
        if said { self.given() } else { self.typical() }
    }

    /// It was given, where it was said; otherwise it follows from others.
    #[must_use]
    pub fn given_or_worked(self, said: bool) -> Self {
        if said { self.given() } else { self }
    }

    /// It follows from others, where those were said; otherwise it is a usual value.
    #[must_use]
    pub fn worked_or_typical(self, said: bool) -> Self {
        if said { self } else { self.typical() }
    }

    /// A property of a limb's mass, as that is known.
    #[must_use]
    pub fn known(self, by: Origin) -> Self {
        self.given_or_worked(matches!(by, Origin::Measured | Origin::Stated))
    }

    /// The same as a line of a sum.
    #[must_use]
    pub fn step(&self) -> Step {
        let places = match self.value.abs() {
            v if v >= 1000.0 => 1,
            v if v >= 1.0 => 4,
            _ => 6,
        };
        let unit = if self.unit == "1" { "" } else { self.unit };
        let value = format!("{} {unit}", decimal(self.value, places));
        Step::new(self.name.replace('_', " "), "", value.trim_end())
    }
}

/// A check of one part: what is asked of it, and what it can bear.
#[derive(Clone, Debug)]
pub struct Limit {
    /// The code it raises.
    pub code: &'static Code,
    /// When it is asked for.
    pub when: When,
    /// How much it matters where it does not pass.
    pub severity: Severity,
    /// What happens when it goes, in few words: "its sheet folds".
    pub goes: &'static str,
    /// The words before what is asked, between that and what it bears, and after.
    pub says: [String; 3],
    /// What is asked in calm air.
    pub calm: f64,
    /// What is asked more for each (m/s)^2 of the gust.
    pub per_gust2: f64,
    /// What it can bear, after its factor.
    pub bears: f64,
    /// The unit of the three.
    pub unit: &'static str,
    /// The numbers it was computed from.
    pub inputs: Vec<Input>,
    /// Which of them are typical ones, in words.
    pub typical: Vec<&'static str>,
    /// Whether it rests on a word the maker left out: it never makes a finding then.
    pub left_out: bool,
    /// What to change.
    pub help: String,
}

/// Gusts above this are not told apart: no wind on Earth's ground is stronger
/// (113 m/s, Barrow Island 1996, World Meteorological Organization).
pub const STRONGEST: MetrePerSec = MetrePerSec(113.0);

impl Limit {
    /// What is asked at a gust.
    #[must_use]
    pub fn asked(&self, gust: MetrePerSec) -> f64 {
        self.calm + self.per_gust2 * gust.0 * gust.0
    }

    /// The largest gust at which it passes: nought where it does not pass in calm
    /// air, at most [`STRONGEST`].
    #[must_use]
    pub fn gust(&self) -> MetrePerSec {
        let room = self.bears - self.calm;
        if room.is_nan() || room < 0.0 {
            return MetrePerSec(0.0);
        }
        if self.per_gust2 * STRONGEST.0 * STRONGEST.0 <= room {
            return STRONGEST;
        }
        MetrePerSec((room / self.per_gust2).sqrt())
    }

    /// Whether it passes at a gust.
    #[must_use]
    pub fn passes(&self, gust: MetrePerSec) -> bool {
        self.asked(gust) <= self.bears
    }

    /// Where its numbers come from.
    #[must_use]
    pub fn grade(&self) -> Grade {
        let usual = self.inputs.iter().any(|i| i.source == Source::Typical);
        match self.typical.is_empty() && !self.left_out && !usual {
            true => Grade::Given,
            false => Grade::Typical,
        }
    }

    /// How much it matters where it does not pass: nothing where it rests on a word
    /// that was left out, a hint where the gust was assumed.
    #[must_use]
    pub fn severity(&self, winds_said: bool) -> Option<Severity> {
        let windy = self.per_gust2 > 0.0 && self.calm <= self.bears;
        match (self.left_out, windy && !winds_said) {
            (true, _) => None,
            (false, true) => Some(Severity::Advice),
            (false, false) => Some(self.severity),
        }
    }

    /// The finding's sentence at a gust.
    #[must_use]
    pub fn message(&self, gust: MetrePerSec, system: System) -> String {
        let wind = match self.per_gust2 > 0.0 {
            true => format!("a gust of {} ", print::wind(gust, system)),
            false => String::new(),
        };
        let number = |v: f64, finer: usize| {
            let places = finer
                + match v.abs() {
                    v if v >= 20.0 => 0,
                    v if v >= 1.0 => 1,
                    _ => 2,
                };
            match (system, self.unit) {
                (System::Inch, "N") => print::force(Newton(v), system),
                (System::Inch, "N.m") => print::torque(NewtonMetre(v), system),
                (System::Inch, "mm") => print::fine(Mm(v), system),
                (System::Inch, "MPa") => print::pressure(v, system),
                _ => format!("{} {}", decimal(v, places), self.unit),
            }
        };
        let [before, between, after] = &self.says;
        // What is a little too much does not read as if it were just enough.
        let both = |finer| (number(self.asked(gust), finer), number(self.bears, finer));
        let (asked, bears) = match both(0) {
            (asked, bears) if asked == bears => both(1),
            apart => apart,
        };
        format!("{wind}{before}{asked}{between}{bears}{after}{}.", self.caveat())
    }

    /// "computed for typical values of …, measure yours", for the end of a message.
    #[must_use]
    pub fn caveat(&self) -> String {
        match self.typical.as_slice() {
            [] => String::new(),
            some => format!("; computed for a typical {}, measure yours", and(some)),
        }
    }
}

/// "a, b and c".
fn and(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// The first of some limits to go, and its gust; `None` where there are none.
#[must_use]
pub fn first_to_go<'a>(
    limits: impl Iterator<Item = &'a Limit>,
) -> Option<(&'a Limit, MetrePerSec)> {
    limits
        .map(|l| (l, l.gust()))
        .reduce(|first, next| if next.1.0 < first.1.0 { next } else { first })
}

/// Short for the inputs of a limit: one that follows from others, unless it is told
/// otherwise.
#[must_use]
pub fn input(name: &'static str, value: f64, unit: &'static str) -> Input {
    Input { name, value, unit, source: Source::Worked }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limit(calm: f64, per_gust2: f64, bears: f64) -> Limit {
        Limit {
            code: &super::super::wind_codes::LIMB_FLOPS,
            when: When::Run,
            severity: Severity::Error,
            goes: "it scrapes",
            says: ["bends it ".into(), ", free are ".into(), String::new()],
            calm,
            per_gust2,
            bears,
            unit: "mm",
            inputs: Vec::new(),
            typical: Vec::new(),
            left_out: false,
            help: String::new(),
        }
    }

    #[test]
    fn the_sentence_has_gust_asked_and_borne() {
        let told = limit(1.0, 0.05, 8.0).message(MetrePerSec(22.0), System::Metric);
        assert_eq!(told, "a gust of 22 m/s bends it 25 mm, free are 8 mm.");
        let l = Limit { typical: vec!["stiffness", "gap"], ..limit(9.0, 0.0, 8.0) };
        let end = "; computed for a typical stiffness and gap, measure yours.";
        assert_eq!(
            l.message(MetrePerSec(22.0), System::Metric),
            format!("bends it 9 mm, free are 8 mm{end}")
        );
    }

    #[test]
    fn at_its_gust_it_asks_what_it_bears() {
        let l = limit(1.0, 0.05, 8.0);
        assert!((l.asked(l.gust()) - l.bears).abs() < 1e-12);
        assert!(l.passes(MetrePerSec(l.gust().0 * 0.999)));
        assert!(!l.passes(MetrePerSec(l.gust().0 * 1.001)));
    }

    #[test]
    fn calm_air_can_be_too_much_and_no_wind_enough() {
        assert_eq!(limit(9.0, 0.05, 8.0).gust(), MetrePerSec(0.0));
        assert_eq!(limit(1.0, 0.0, 8.0).gust(), STRONGEST);
        assert_eq!(limit(f64::NAN, 0.0, 8.0).gust(), MetrePerSec(0.0));
    }

    #[test]
    fn what_was_left_out_makes_no_finding_and_assumed_wind_a_hint() {
        let l = limit(1.0, 0.05, 8.0);
        assert_eq!(l.severity(true), Some(Severity::Error));
        assert_eq!(l.severity(false), Some(Severity::Advice));
        assert_eq!(Limit { left_out: true, ..l }.severity(true), None);
    }
}
