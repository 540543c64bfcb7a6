//! What a help names, done to the letter: the finding is gone, and no other warning or
//! error has come for it.
//!
//! Every example that raises a code and every fixture is looked through. Of a help only what
//! can be typed as it stands is done: a clause in backticks, a size, a place, a distance.
//! Each thing between "or" and "or" is a way of its own; what stands between "and" and "and"
//! belongs together. What is a matter of the bench (a batten, a thicker sheet) is not.

mod asked;
mod typed;

use std::collections::{BTreeMap, BTreeSet};

use typed::{Do, done, ways};
use yardwright::check::{Compiled, codes};
use yardwright::finding::{Finding, Severity};

/// Helps that lead on to these, and why they may.
const LEADS_ON: &[(&str, &[&str], &str)] = &[
    ("nothing-fits", &["weak-push", "limb-rattles"], "how weakly each pushes is told with it"),
    ("crank-may-block", &["sweep-missed"], "no sizes near these do what is asked, and it says so"),
    ("accent-without-switch", &["beat-missed"], "only with a contact it is known where it stands"),
    (
        "word-unknown",
        &["brace-extra", "word-unknown"],
        "half of a word: the other half is told next",
    ),
    ("limb-unknown", &[], "one of six places is mended"),
    ("limb-rattles", &[], "what is left of it is told with what helps some way"),
];

/// So many codes are tried at least.
const LEAST_CODES: usize = 65;

/// Yards of what no example shows: a figure that stands before people, sizes that are all
/// written, and sizes that are open and near their limits.
const MORE: &[(&str, &str)] = &[
    (
        "fingers, no line",
        "use parts\nyard green { size 18 m by 10 m viewers south }\nset bear at (5 m, 1 m) facing south\n",
    ),
    (
        "fingers, a line",
        "use parts\nyard green { size 18 m by 10 m viewers south keep 2 m }\nset bear at (5 m, 2.5 m) facing south\n",
    ),
    (
        "fingers, far away",
        "use parts\nyard green { size 18 m by 10 m viewers south }\nset bear at (5 m, 5 m) facing south\n",
    ),
    (
        "a rod too short",
        "use parts\nfigure heron { board plywood-9 520 mm by 1400 mm
  limb wing { pivot (197, 820) mm  tip (-253, 820) mm  mount behind
    drive four-bar { motor wiper at (260, 570) mm crank 30 mm rod 219 mm tail-hole 70 mm at 180 deg assembly crossed }
    gesture flap { sweep 155 deg to 205 deg  cycle 2 s } } }\n",
    ),
    (
        "a weak push that rattles",
        "use parts\nfigure baker { board plywood-9 27 in by 61 in
  limb arm { pivot (20, 44) in  tip (34, 52) in
    drive four-bar { motor wiper at (14, 30) in  crank 1 in  rod ?  lever ? 4 to 5 in by 1/2 in at ? }
    gesture stir { sweep 10 deg to 55 deg  cycle 2 s } } }\n",
    ),
    (
        "a wing that rattles",
        "use parts\nfigure heron { board plywood-9 520 mm by 1400 mm
  limb wing { pivot (197, 820) mm  tip (-253, 820) mm  mount behind
    drive four-bar { motor wiper at (260, 570) mm crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg assembly crossed }
    gesture flap { sweep 155 deg to 205 deg  cycle 2 s } } }\n",
    ),
];

/// An arm whose lever passes its own post, in those yards that have no figure.
const BEAR: &str = "figure bear { board plywood-9 620 mm by 1350 mm
  frame 38 mm by 38 mm { (150, 0) to (150, 960) mm  (20, 880) to (600, 880) mm }
  limb arm { pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6  width 90 mm  tail 40 mm  bolt M8
    drive four-bar { motor wiper at (310, 806) mm  crank 30 mm  rod ?  lever 80 mm at ?  standoff 10 mm }
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s } } }\n";

/// What troubles which limb.
type Trouble = (&'static str, Option<String>, Option<String>);

fn trouble(f: &Finding) -> Trouble {
    (f.code.word, f.figure.clone(), f.limb.clone())
}

/// Warnings and errors.
fn troubles(compiled: &Compiled) -> BTreeSet<Trouble> {
    let bad = |f: &&Finding| f.severity != Severity::Advice;
    compiled.findings.iter().filter(bad).map(trouble).collect()
}

/// What is wrong after a way was gone, if anything is.
fn amiss(after: &str, before: &Compiled, finding: &Finding, way: &[Do]) -> Option<String> {
    let compiled = super::codes::compile(after);
    let own = trouble(finding);
    let told = |c: &Compiled| c.findings.iter().filter(|f| trouble(f) == own).count();
    let fresh: Vec<_> = troubles(&compiled).difference(&troubles(before)).cloned().collect();
    let allowed = LEADS_ON.iter().find(|(code, ..)| *code == own.0);
    let left = told(&compiled) >= told(before) && !allowed.is_some_and(|(_, to, _)| to.is_empty());
    let fresh = fresh.iter().any(|t| !allowed.is_some_and(|(_, to, _)| to.contains(&t.0)));
    (left || fresh).then(|| {
        let left = if left { "still there" } else { "gone" };
        let now: Vec<_> = compiled.findings.iter().map(|f| (f.code.word, &f.limb)).collect();
        format!(
            "{} ({}) {left}, then {now:?}\n   help: {}\n   done: {way:?}",
            own.0,
            finding.message,
            finding.help.as_deref().unwrap_or_default()
        )
    })
}

#[test]
fn a_help_that_can_be_typed_ends_its_finding_and_raises_none() {
    let examples = codes().into_iter().map(|c| (c.word.to_owned(), super::codes::whole(c.bad)));
    let fixtures = super::faults::bodies();
    let more = MORE.iter().map(|(name, text)| {
        let bear = if text.contains("figure") { "" } else { BEAR };
        ((*name).to_owned(), format!("{text}{bear}"))
    });
    // What the stage of the examples has of its own is told with each of them.
    let (mut stage, mut seen) = (super::codes::Stage::new(), BTreeSet::new());
    let (mut wrong, mut tried) = (Vec::new(), BTreeMap::<&str, usize>::new());
    for (name, text) in examples.chain(fixtures).chain(more) {
        let compiled = stage.compile(&text);
        let at = |p| stage.compiler().sources().stretch(p).map(|(_, lo, hi)| (lo, hi));
        for finding in &compiled.findings {
            let Some(help) = &finding.help else { continue };
            if !seen.insert((trouble(finding), finding.message.clone(), help.clone())) {
                continue;
            }
            let mend = finding.fixes.first().and_then(|fix| Do::mend(fix, at));
            for way in mend.into_iter().map(|m| vec![m]).chain(ways(help)) {
                let place = finding.place.and_then(at);
                let Some(after) = done(&text, (finding, place), &way) else { continue };
                *tried.entry(finding.code.word).or_default() += 1;
                wrong.extend(
                    amiss(&after, &compiled, finding, &way).map(|w| format!("{name}: {w}")),
                );
            }
        }
    }
    for (code, _, why) in LEADS_ON {
        assert!(tried.contains_key(code), "{code} is not tried ({why})");
    }
    assert!(tried.len() >= LEAST_CODES, "only {} codes are tried: {tried:?}", tried.len());
    assert!(wrong.is_empty(), "{} lead on:\n{}", wrong.len(), wrong.join("\n"));
}
