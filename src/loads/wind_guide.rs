//! A limb that slides, in the wind: what its guide bears, and the part that stands out of it.
//!
//! Head-on wind is square to the board. It presses the limb into its guide, tilts it over
//! the guide's end where its middle lies further along, and twists it where that lies
//! beside the guide. Four corners of the held piece bear that, each a quarter of the force
//! and its share of both moments; what they press, whichever way, rubs.

use super::wind_area::{HINGE_FORCE, LIMB_FORCE, PRESSURE};
use super::wind_bending::{cantilever, widths};
use super::wind_codes::{GUIDE_DENTS, LIMB_FLOPS};
use super::wind_limb::{
    SCRAPE, SHEET_FACTOR, SLOP, blown, left_out, modulus, sheet_said, typical_sheet, wider,
};
use super::wind_limit::{Input, Limit, When, input};
use crate::model::{Figure, GuideHold, Joint, Limb, Note};
use crate::units::print::decimal;
use crate::units::{MetrePerSec, Mm, Newton, System, print};

/// A sheet in its guide may be pressed to half of what dents it, as under a washer
/// (common practice, no source).
const DENTS: f64 = 2.0;

/// What head-on wind of 1 Pa does to a limb in its guide.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Pressed {
    /// Force, m2.
    pub force: f64,
    /// Moment that tilts it over the guide's ends, about the middle of the held piece, m3.
    pub tilts: f64,
    /// Moment that twists it about the guide's own line, m3.
    pub twists: f64,
}

/// Of a limb and of all that rides on it, stretched out the way that is worse.
pub(super) fn pressed(figure: &Figure, index: usize, guide: &GuideHold) -> Option<Pressed> {
    let limb = &figure.limbs[index];
    let outline = limb.silhouette()?;
    let own = HINGE_FORCE * outline.area().0 * 1e-6;
    let middle = guide.at.map_or(0.0, |at| at.0);
    let mut parts = vec![(own, outline.centroid(), 0.0)];
    for (n, rider) in figure.limbs.iter().enumerate().filter(|(_, l)| l.carrier == Some(index)) {
        let Joint::Pivot { at: Some(at), .. } = rider.joint else { continue };
        let (Some(load), Some(at)) = (blown(figure, n, 1), limb.own(at)) else { continue };
        parts.push((load.force, at, load.moment));
    }
    let tilts = parts.iter().map(|(f, at, _)| f * (at.x - middle) * 1e-3).sum::<f64>().abs();
    let twists = parts.iter().map(|(f, at, _)| f * at.y * 1e-3).sum::<f64>().abs();
    let turned: f64 = parts.iter().map(|(.., moment)| moment).sum();
    let across = guide.width.is_some_and(|w| w < guide.length);
    Some(Pressed {
        force: parts.iter().map(|(f, ..)| f).sum(),
        tilts: if across { tilts } else { tilts + turned },
        twists: if across { twists + turned } else { twists },
    })
}

/// How many times as hard as with its plain force a guide is pressed, both ways added: at
/// the four corners of a piece so long and wide, m. Without a width the two ends alone
/// bear it.
#[must_use]
pub fn presses(force: f64, tilts: f64, twists: f64, length: f64, width: Option<f64>) -> f64 {
    if force <= 0.0 {
        return 1.0;
    }
    let (along, across) = (tilts / length / 2.0, width.map_or(0.0, |w| twists / w / 2.0));
    let corners = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
    corners.iter().map(|(a, b)| (force / 4.0 + a * along + b * across).abs()).sum::<f64>() / force
}

/// What of a sliding limb's guide may give way in the wind, and what could not be checked.
pub(super) fn of_guide(
    figure: &Figure,
    index: usize,
    [run, stand]: [MetrePerSec; 2],
    force: f64,
) -> (Vec<Limit>, Vec<Note>) {
    let limb = &figure.limbs[index];
    let system = figure.system;
    let push = print::force(Newton(force * stand.0 * stand.0), system);
    let gust = print::wind(stand, system);
    let Some(guide) = limb.build.guide else {
        let what = format!(
            "whether its guide bears a gust of {gust} head-on, {push} on the limb (how long and \
             how wide a piece of it the guide holds, and where)"
        );
        return (Vec::new(), vec![Note::new(what, "guide 120 mm by 60 mm at 0 mm")]);
    };
    let mut limits = Vec::new();
    let mut notes = Vec::new();
    let Some(load) = pressed(figure, index, &guide) else { return (limits, notes) };
    limits.extend(folds(limb, &guide));
    match guide.width {
        Some(width) => limits.extend(dents(limb, &guide, width.0, &load)),
        None => {
            let what = format!(
                "what its guide is pressed with in a gust of {gust}, {push} on the limb (how wide \
                 the guide is)"
            );
            let settle = format!("guide {} mm by 60 mm", decimal(guide.length.0, 1));
            notes.push(Note::new(what, settle));
        }
    }
    match (bends(limb, &guide), limb.build.gap) {
        (Some(bends), Some(gap)) => {
            limits.push(scrapes(limb, &guide, gap, bends, (run, system)));
        }
        (Some(Bends { per_gust2, .. }), None) if per_gust2 * run.0 * run.0 >= 1.0 => {
            let what = format!(
                "whether it scrapes at the board: in a gust of {} its end bends {}, and how far the \
                 guide holds it off is not known",
                print::wind(run, system),
                print::size(Mm(per_gust2 * run.0 * run.0), 0, system)
            );
            notes.push(Note::new(what, "gap 10 mm"));
        }
        _ => {}
    }
    (limits, notes)
}

fn assumed(limb: &Limb, guide: &GuideHold) -> bool {
    guide.at.is_none() || left_out(limb, "outline") || left_out(limb, "sheet")
}

/// Where the part that stands out of the guide begins, mm from the limb's origin, towards
/// its tip and back.
fn roots(guide: &GuideHold) -> [(f64, f64); 2] {
    let (at, half) = (guide.at.map_or(0.0, |at| at.0), guide.length.0 / 2.0);
    [(1.0, at + half), (-1.0, half - at)]
}

/// The end that bends most.
struct Bends {
    /// How far out of its guide it stands, mm.
    reach: f64,
    /// By how much it bends, mm for each (m/s)^2.
    per_gust2: f64,
    /// What that follows from.
    inputs: Vec<Input>,
}

/// Which end bends most, and how far.
fn bends(limb: &Limb, guide: &GuideHold) -> Option<Bends> {
    let (outline, thick) = (limb.silhouette()?, limb.sheet.as_deref()?.thickness?);
    let (e, _) = modulus(limb)?;
    let bounds = outline.bounds();
    let ends = roots(guide).into_iter().filter_map(|(sign, root)| {
        let reach = if sign > 0.0 { bounds.high.x } else { -bounds.low.x };
        let end = cantilever(&outline, thick.0, root, sign, &[])?.end;
        Some((reach - root, end, (root, sign)))
    });
    let (reach, end, (root, sign)) = ends.reduce(|a, b| if b.1 > a.1 { b } else { a })?;
    let mut inputs = vec![
        input("force_coefficient", LIMB_FORCE, "1").fixed(),
        input("thickness", thick.0, "mm").given_or_typical(sheet_said(limb)),
        input("modulus", e * 1e-6, "MPa").given_or_typical(sheet_said(limb)),
        input("root", root, "mm"),
    ];
    inputs.extend(widths(&outline, root, sign));
    Some(Bends { reach, per_gust2: end / e * PRESSURE * 1e3, inputs })
}

/// How far it may bend before it scrapes at what it slides on: its guide's play tilts it, and
/// the gust bends what stands out.
fn scrapes(
    limb: &Limb,
    guide: &GuideHold,
    gap: Mm,
    Bends { reach, per_gust2, inputs }: Bends,
    (run, system): (MetrePerSec, System),
) -> Limit {
    let tilt = SLOP * reach / guide.length.0;
    let held = [
        input("gap", gap.0, "mm").given(),
        input("tilt", tilt, "mm"),
        input("play", SLOP, "mm").typical(),
        input("guide", guide.length.0, "mm").given(),
        input("stands_out", reach, "mm"),
    ];
    Limit {
        code: &LIMB_FLOPS,
        when: When::Run,
        severity: LIMB_FLOPS.severity,
        goes: "it bends and scrapes",
        says: [
            format!("moves the end of {}, that stands out of its guide, by ", limb.said()),
            ", and ".into(),
            " are free before it scrapes".into(),
        ],
        calm: tilt,
        per_gust2,
        bears: gap.0 - SCRAPE,
        unit: "mm",
        inputs: held.into_iter().chain(inputs).collect(),
        typical: typical_sheet(limb).into_iter().chain(["play of its guide"]).collect(),
        left_out: assumed(limb, guide),
        help: format!(
            "take a longer guide, a stiffer sheet, a batten along it{}.",
            wider((tilt, per_gust2), run, system)
        ),
    }
}

/// The part that stands out of the guide, as a cantilever from the guide's end.
fn folds(limb: &Limb, guide: &GuideHold) -> Option<Limit> {
    let (outline, sheet) = (limb.silhouette()?, limb.sheet.as_deref()?);
    let (thick, strength) = (sheet.thickness?.0, sheet.bending?.0 * 1e-6);
    let bent =
        |(sign, root)| Some((cantilever(&outline, thick, root, sign, &[])?.stress, root, sign));
    let (stress, root, sign) =
        roots(guide).into_iter().filter_map(bent).reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    Some(Limit {
        code: &LIMB_FLOPS,
        when: When::Stand,
        severity: LIMB_FLOPS.severity,
        goes: "it folds where it leaves its guide",
        says: [
            format!("bends the sheet of {} at the end of its guide with ", limb.said()),
            ", and ".into(),
            " is a third of what folds it".into(),
        ],
        calm: 0.0,
        per_gust2: stress * PRESSURE * 1e-6,
        bears: strength / SHEET_FACTOR,
        unit: "MPa",
        inputs: [
            input("area", outline.area().0 * 1e-6, "m2"),
            input("force_coefficient", LIMB_FORCE, "1").fixed(),
            input("thickness", thick, "mm").given_or_typical(sheet_said(limb)),
            input("root", root, "mm"),
            input("strength", strength, "MPa").given_or_typical(sheet_said(limb)),
            input("factor", SHEET_FACTOR, "1").fixed(),
        ]
        .into_iter()
        .chain(widths(&outline, root, sign))
        .collect(),
        typical: typical_sheet(limb).into_iter().collect(),
        left_out: assumed(limb, guide),
        help:
            "make the guide longer, put a batten along the limb, or bring it in before such wind."
                .into(),
    })
}

/// What the edges of the held piece are pressed with.
fn dents(limb: &Limb, guide: &GuideHold, width: f64, load: &Pressed) -> Option<Limit> {
    let crush = limb.sheet.as_deref()?.crush?.0 * 1e-6;
    let (length, width_m) = (guide.length.0 * 1e-3, width * 1e-3);
    let area = length * width_m;
    let edge = load.force / area
        + 6.0 * load.tilts / (area * length)
        + 6.0 * load.twists / (area * width_m);
    let inputs = vec![
        input("force_per_gust2", load.force * PRESSURE, "N/(m/s)2"),
        input("tilts_per_gust2", load.tilts * PRESSURE, "N.m/(m/s)2"),
        input("twists_per_gust2", load.twists * PRESSURE, "N.m/(m/s)2"),
        input("length", guide.length.0, "mm").given(),
        input("width", width, "mm").given(),
        input("crush", crush, "MPa").given_or_typical(sheet_said(limb)),
    ];
    Some(Limit {
        code: &GUIDE_DENTS,
        when: When::Stand,
        severity: GUIDE_DENTS.severity,
        goes: "its guide is pressed in",
        says: [
            format!("presses the edges of the guide of {} with ", limb.said()),
            ", and ".into(),
            " is half of what dents its sheet".into(),
        ],
        calm: 0.0,
        per_gust2: edge * PRESSURE * 1e-6,
        bears: crush / DENTS,
        unit: "MPa",
        inputs,
        typical: typical_sheet(limb).into_iter().collect(),
        left_out: assumed(limb, guide),
        help: "hold a longer and a wider piece of it: pressure falls with the square of both; or bring \
               it in before such wind."
            .into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two bearings of a beam that stands out beyond them: R = F (1/2 +- e/L), the sum of
    /// both without sign 2 F e/L as soon as the force stands beyond one of them (statics,
    /// any textbook: overhanging beam).
    #[test]
    fn a_force_beyond_the_guide_presses_both_its_ends() {
        let (force, length) = (10.0, 0.1);
        let of = |arm: f64| presses(force, force * arm, 0.0, length, None);
        assert!((of(0.02) - 1.0).abs() < 1e-12, "inside the guide it only shares");
        assert!((of(0.05) - 1.0).abs() < 1e-12);
        assert!((of(0.15) - 2.0 * 0.15 / 0.1).abs() < 1e-12);
    }

    /// A four-legged table with a load beside it: the leg loads add up to the load, and
    /// press as hard as the moments ask once one lifts.
    #[test]
    fn a_force_beside_the_guide_presses_its_corners() {
        let one = presses(4.0, 0.0, 4.0 * 0.2, 0.3, Some(0.1));
        assert!((one - 2.0 * 0.2 / 0.1).abs() < 1e-12);
        let both = presses(4.0, 4.0 * 0.3, 4.0 * 0.2, 0.3, Some(0.1));
        // Corners: 1 +- 2 +- 4 N: 7, 3, 1, 5.
        assert!((both - 16.0 / 4.0).abs() < 1e-12, "{both}");
    }
}
