//! One rule worked out with a limb's own numbers: the sums of what it found, then what
//! those rest on.

use super::explain::Worked;
use super::pipeline::{Numbers, Sums, numbers_of, of_limbs};
use super::views::LimbView;
use super::{worked, worked_limits, worked_motor, worked_power};
use crate::check::Compiled;
use crate::finding::{Finding, Step};
use crate::units::System;

/// The sums of one code for the limb at `place`, the figure's and the limb's index.
#[must_use]
pub fn worked(
    compiled: &Compiled,
    view: &LimbView<'_>,
    place: (usize, usize),
    code: &str,
    asked: Option<System>,
) -> Worked {
    let (figure, limb) = (&view.placed.name.value, &view.limb.name.value);
    let found = compiled.findings.iter().filter(|f| f.code.word == code);
    let found: Vec<&Finding> = found.filter(|f| f.concerns(figure, limb)).collect();
    let mut whole = worked::worked(view, asked);
    whole.told = found.iter().map(|f| f.message.clone()).collect();
    let several = found.iter().filter(|f| !f.worked.is_empty()).count() > 1;
    let sums: Vec<Step> = found
        .iter()
        .enumerate()
        .filter(|(_, f)| !f.worked.is_empty())
        .flat_map(|(at, f)| {
            // Which of them the lines are about: they stand in the order of the sentences.
            let head = several.then(|| Step::given(format!("sentence {}:", at + 1), ""));
            head.into_iter().chain(f.worked.iter().cloned())
        })
        .collect();
    let limits = || worked_limits::steps(compiled, place, Some(code), asked);
    let numbers = numbers_of(code);
    // The mechanism's own lines are what its rule is about where it has no sum of its own.
    if numbers != Numbers::Mechanism || !sums.is_empty() && !worked::whole(code) {
        (whole.steps, whole.missing) = (Vec::new(), None);
    } else if found.is_empty() && !whole.steps.is_empty() && !worked::rests_on(view, code) {
        // The lines are its mechanism's and not the rule's.
        whole.missing = whole.missing.or_else(|| Some(nothing(code, numbers, true)));
    }
    whole.steps.extend(match numbers {
        Numbers::Motor(parts) => {
            let mut steps = worked_motor::steps(compiled, place, parts, asked);
            // Up to which gust it does its work is a limit beside its sums.
            steps.extend(limits());
            steps
        }
        Numbers::Supply => worked_power::steps(compiled, place),
        Numbers::Cable => {
            let mut steps = worked_motor::steps(compiled, place, &[Sums::Cable], asked);
            // What is found wrong brings its own.
            steps.extend(match sums.is_empty() {
                true => worked_power::cable(compiled, place),
                false => Vec::new(),
            });
            steps
        }
        // What is found wrong brings its own.
        Numbers::Fuse if sums.is_empty() => worked_power::fuse(compiled, place),
        Numbers::Night if sums.is_empty() => worked_power::night(compiled, place),
        Numbers::Tank if sums.is_empty() => worked_power::tank(compiled, place),
        Numbers::Wear if sums.is_empty() => worked_power::wear(compiled, place),
        Numbers::Bushing if sums.is_empty() => {
            let limb = &compiled.loads[place.0].limbs[place.1];
            limb.rubbing.as_ref().map_or_else(Vec::new, crate::loads::wear::Rubbing::steps)
        }
        Numbers::Fuse | Numbers::Night | Numbers::Tank | Numbers::Wear | Numbers::Bushing => {
            Vec::new()
        }
        Numbers::Limit => {
            let mut steps = limits();
            // Made, and nothing found: its sum stands all the same.
            let passed = compiled.loads[place.0].limbs[place.1].passed.iter();
            steps.extend(passed.filter(|p| p.code.word == code).flat_map(|p| p.steps.clone()));
            steps
        }
        Numbers::Mechanism | Numbers::Found => Vec::new(),
    });
    whole.steps.extend(sums);
    if whole.steps.is_empty() && whole.missing.is_none() {
        whole.missing = Some(nothing(code, numbers, found.is_empty()));
    }
    whole
}

/// Why there is no sum.
fn nothing(code: &str, numbers: Numbers, fine: bool) -> String {
    match numbers {
        _ if !of_limbs(code) => format!("`{code}` is no rule about the numbers of a limb."),
        _ if !fine => format!("`{code}` has no number in it: what it says is all there is."),
        Numbers::Found | Numbers::Mechanism => {
            format!(
                "`{code}` found nothing of this limb; its sum with this limb's numbers is not worked out in this version."
            )
        }
        Numbers::Motor(_) => "Nothing is known of its motor.".into(),
        Numbers::Wear => "No show of a season moves it.".into(),
        Numbers::Supply | Numbers::Cable | Numbers::Fuse | Numbers::Night => {
            "No show asks anything of its supply, or it has none.".into()
        }
        Numbers::Tank => {
            "No show takes air for it from a tank whose size and pressure are written.".into()
        }
        Numbers::Limit | Numbers::Bushing => {
            "No sum of it for this limb: where it was checked and nothing was found, the sum is \
            not worked out in this version; what could not be checked `yardwright check` lists \
            under `not checked`."
                .into()
        }
    }
}
