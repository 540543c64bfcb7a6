//! Which numbers changed between two rounds.

use std::collections::BTreeMap;
use std::sync::Arc;

/// One number people look at.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// What it is: "swing".
    pub name: &'static str,
    /// The value.
    pub value: f64,
    /// Its unit: "deg".
    pub unit: &'static str,
    /// Digits after the point that are shown; smaller changes are not told.
    pub digits: usize,
}

impl Fact {
    fn shown(&self) -> String {
        // -0.0 and what rounds to it would read "-0".
        let text = format!("{:.*}", self.digits, self.value);
        if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
            return text.trim_start_matches('-').to_owned();
        }
        text
    }
}

/// The numbers of one limb.
#[derive(Clone, Debug, PartialEq)]
pub struct LimbFacts {
    /// The limb.
    pub limb: String,
    /// Its numbers, in the order they are told.
    pub facts: Vec<Fact>,
}

/// The numbers of every figure, by name. A figure that was not computed again
/// keeps its pointer, and is passed over without a look inside.
pub type Numbers = BTreeMap<String, Arc<Vec<LimbFacts>>>;

/// The most limbs told of one by one.
const MOST: usize = 20;

/// One line for each limb whose numbers changed. `whole` says that the newer
/// round had no errors: only then is what is missing from it really gone.
#[must_use]
pub fn changes(old: &Numbers, new: &Numbers, whole: bool) -> Vec<String> {
    let mut lines = Vec::new();
    for (figure, limbs) in new {
        match old.get(figure) {
            None => lines.push(format!("{figure} is new")),
            Some(before) if Arc::ptr_eq(before, limbs) => {}
            Some(before) => of_figure(figure, before, limbs, whole, &mut lines),
        }
    }
    if whole {
        let gone = old.keys().filter(|figure| !new.contains_key(*figure));
        lines.extend(gone.map(|figure| format!("{figure} is gone")));
    }
    if lines.len() > MOST {
        let more = lines.len() - MOST;
        lines.truncate(MOST);
        lines.push(format!("… and {more} more"));
    }
    lines
}

fn of_figure(
    figure: &str,
    old: &[LimbFacts],
    new: &[LimbFacts],
    whole: bool,
    lines: &mut Vec<String>,
) {
    for limb in new {
        let name = format!("{figure}.{}", limb.limb);
        match old.iter().find(|l| l.limb == limb.limb) {
            None => lines.push(format!("{name} is new{}", list(&limb.facts))),
            Some(before) => {
                let told = of_limb(&before.facts, &limb.facts);
                if !told.is_empty() {
                    lines.push(format!("{name}  {}", told.join("   ")));
                }
            }
        }
    }
    if whole {
        let gone = old.iter().filter(|o| new.iter().all(|n| n.limb != o.limb));
        lines.extend(gone.map(|o| format!("{figure}.{} is gone", o.limb)));
    }
}

fn list(facts: &[Fact]) -> String {
    let all: Vec<String> =
        facts.iter().map(|f| format!("{} {} {}", f.name, f.shown(), f.unit)).collect();
    if all.is_empty() { String::new() } else { format!(": {}", all.join(", ")) }
}

/// "swing 44.0 -> 46.2 deg" for each number that changed.
fn of_limb(old: &[Fact], new: &[Fact]) -> Vec<String> {
    let mut told = Vec::new();
    for fact in new {
        let before = old.iter().find(|o| o.name == fact.name && o.unit == fact.unit);
        let (then, now) = (before.map(Fact::shown), fact.shown());
        match then {
            Some(then) if then == now => {}
            Some(then) => told.push(format!("{} {then} -> {now} {}", fact.name, fact.unit)),
            None => told.push(format!("{} now {now} {}", fact.name, fact.unit)),
        }
    }
    for fact in old.iter().filter(|o| new.iter().all(|n| n.name != o.name)) {
        told.push(format!("{} no longer known", fact.name));
    }
    told
}

#[cfg(test)]
mod tests {
    use super::*;

    fn swing(value: f64) -> Fact {
        Fact { name: "swing", value, unit: "deg", digits: 1 }
    }

    fn yard(limbs: &[(&str, f64)]) -> Numbers {
        let limbs = limbs
            .iter()
            .map(|(limb, value)| LimbFacts { limb: (*limb).into(), facts: vec![swing(*value)] });
        BTreeMap::from([("bear".to_owned(), Arc::new(limbs.collect()))])
    }

    #[test]
    fn a_number_that_changed_is_told_with_both_values() {
        let (old, new) = (yard(&[("left-arm", 44.0)]), yard(&[("left-arm", 46.2)]));
        assert_eq!(changes(&old, &new, true), ["bear.left-arm  swing 44.0 -> 46.2 deg"]);
    }

    #[test]
    fn what_cannot_be_seen_is_not_told() {
        let (old, new) = (yard(&[("arm", 44.01)]), yard(&[("arm", 43.99)]));
        assert!(changes(&old, &new, true).is_empty());
        assert_eq!(swing(-0.01).shown(), "0.0");
    }

    #[test]
    fn a_limb_with_an_error_is_not_gone() {
        let (old, new) = (yard(&[("arm", 44.0), ("jaw", 12.0)]), yard(&[("arm", 44.0)]));
        assert!(changes(&old, &new, false).is_empty());
        assert_eq!(changes(&old, &new, true), ["bear.jaw is gone"]);
        assert_eq!(changes(&new, &old, true), ["bear.jaw is new: swing 12.0 deg"]);
    }

    #[test]
    fn many_changes_are_counted() {
        let names: Vec<String> = (0..50).map(|i| format!("limb-{i}")).collect();
        let of = |v: f64| yard(&names.iter().map(|n| (n.as_str(), v)).collect::<Vec<_>>());
        let lines = changes(&of(1.0), &of(2.0), true);
        assert_eq!(lines.len(), MOST + 1);
        assert_eq!(lines[MOST], "… and 30 more");
    }
}
