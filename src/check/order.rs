//! The order of findings, and one fault that shows in many copies told once.

use std::collections::{BTreeMap, BTreeSet};

use crate::finding::{Finding, Place};
use crate::source::Sources;

/// Joins the findings of copies, then sorts by file, place and code.
pub(super) fn in_order(findings: Vec<Finding>, sources: &Sources) -> Vec<Finding> {
    let mut findings = joined(findings);
    let key = |place: Option<Place>| {
        place
            .and_then(|p| sources.stretch(p))
            .map(|(file, lo, hi)| (sources.file(file).name.clone(), lo, hi))
    };
    findings.sort_by_cached_key(|f| (key(f.place), f.code.word, f.message.clone()));
    findings
}

/// The same fault at the same place is one finding: the first limb's, and the
/// others in `also`.
fn joined(findings: Vec<Finding>) -> Vec<Finding> {
    let mut first: BTreeMap<(&'static str, Place), usize> = BTreeMap::new();
    let mut seen: BTreeSet<(usize, String)> = BTreeSet::new();
    let mut out: Vec<Finding> = Vec::with_capacity(findings.len());
    for finding in findings {
        let about = |f: &Finding| match (&f.figure, &f.limb) {
            (Some(figure), Some(limb)) => Some(format!("{figure}.{limb}")),
            (Some(figure), None) => Some(figure.clone()),
            _ => None,
        };
        let Some(place) = finding.place else {
            out.push(finding);
            continue;
        };
        match first.get(&(finding.code.word, place)) {
            Some(&at)
                if out[at].message == finding.message || about(&out[at]) != about(&finding) =>
            {
                let name = about(&finding);
                if let Some(name) = name.filter(|n| about(&out[at]).as_ref() != Some(n))
                    && seen.insert((at, name.clone()))
                {
                    out[at].also.push(name);
                }
            }
            _ => {
                first.entry((finding.code.word, place)).or_insert(out.len());
                out.push(finding);
            }
        }
    }
    out
}
