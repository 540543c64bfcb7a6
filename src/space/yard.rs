//! How the figures of a yard stand to each other, to the viewers and to the supplies.

use std::sync::Arc;

use rayon::prelude::*;

use super::SpacedFigure;
use super::codes;
use super::distance::{Corner, contains, distance};
use super::ground::Ground;
use crate::finding::{Finding, Severity};
use crate::model::{Compass, Placed, Yard};
use crate::units::Mm;
use crate::units::print;

/// Height of the eyes of somebody standing, mm.
const EYES: f64 = 1600.0;
/// Places on the viewers' side that are looked from.
const VIEWERS: u32 = 9;
/// Points of a board, across and up, that are looked at.
const POINTS: u32 = 8;
/// Hidden is what others cover by more than this share.
const HIDDEN: f64 = 0.6;

/// A figure with its place in the yard.
struct Standing<'a> {
    placed: &'a Placed,
    ground: Ground,
    bounds: (Corner, Corner),
}

/// How the figures stand to each other and to the viewers.
#[must_use]
pub fn yard(yard: &Yard, spaced: &[Arc<SpacedFigure>]) -> Vec<Finding> {
    let mut standing: Vec<Standing<'_>> = yard
        .figures
        .par_iter()
        .zip(spaced)
        .filter_map(|(placed, spaced)| {
            let ground = Ground::of(placed, spaced)?;
            let bounds = ground.bounds();
            Some(Standing { placed, ground, bounds })
        })
        .collect();
    let mut findings = Vec::new();
    for s in &standing {
        people(yard, s, &mut findings);
        supplies(yard, s, &mut findings);
    }
    hidden(yard, &standing, &mut findings);
    // Swept along x: only figures whose boxes share some of it are compared.
    standing.sort_by(|a, b| a.bounds.0[0].total_cmp(&b.bounds.0[0]));
    for (i, a) in standing.iter().enumerate() {
        for b in standing[i + 1..].iter().take_while(|b| b.bounds.0[0] <= a.bounds.1[0]) {
            let apart = b.bounds.0[1] > a.bounds.1[1] || a.bounds.0[1] > b.bounds.1[1];
            if !apart {
                overlap(a, b, &mut findings);
            }
        }
    }
    findings
}

impl Standing<'_> {
    fn name(&self) -> &str {
        &self.placed.name.value
    }

    fn told(&self, finding: Finding) -> Finding {
        finding.about(self.name(), None)
    }
}

/// Two figures in one place; the one written later is told.
fn overlap(a: &Standing<'_>, b: &Standing<'_>, findings: &mut Vec<Finding>) {
    let (a, b) = if a.placed.name.place <= b.placed.name.place { (a, b) } else { (b, a) };
    let place = b.placed.name.place;
    if distance(&a.ground.base, &b.ground.base) <= 0.0 {
        let message = format!("{} stands where {} stands.", b.name(), a.name());
        let finding = Finding::new(&codes::FIGURES_OVERLAP, place, message)
            .help("set one of them elsewhere.")
            .related(format!("{} is set up here", a.name()), a.placed.name.place);
        findings.push(b.told(finding));
        return;
    }
    let reach = |s: &Standing<'_>| -> Vec<Vec<Corner>> {
        s.ground.swept.iter().chain([&s.ground.base]).cloned().collect()
    };
    let others = reach(b);
    let meet = reach(a).iter().any(|p| others.iter().any(|q| distance(p, q) <= 0.0));
    if meet {
        let message = format!("the limbs of {} and {} reach into one place.", a.name(), b.name());
        let finding = Finding::new(&codes::FIGURES_OVERLAP, place, message)
            .with_severity(Severity::Warning)
            .help("set them further apart: limbs of two figures are never in step.")
            .related(format!("{} is set up here", a.name()), a.placed.name.place);
        findings.push(b.told(finding));
    }
}

/// The direction from the yard to the viewers, and how far a point is from their side.
fn toward(yard: &Yard) -> (Corner, impl Fn(&Corner) -> f64 + use<>) {
    let (side, (width, depth)) = (yard.viewers, (yard.size.0.0, yard.size.1.0));
    let out = match side {
        Compass::North => [0.0, 1.0],
        Compass::East => [1.0, 0.0],
        Compass::South => [0.0, -1.0],
        Compass::West => [-1.0, 0.0],
    };
    let away = move |p: &Corner| match side {
        Compass::North => depth - p[1],
        Compass::East => width - p[0],
        Compass::South => p[1],
        Compass::West => p[0],
    };
    (out, away)
}

/// How far an arm reaches over a fence, mm (ISO 13857: 850).
const ARM: f64 = 850.0;

/// So much further back, told up to a hundredth of a metre and of a foot.
fn further(yard: &Yard, mm: f64) -> String {
    print::distance(Mm(((mm + 2.0) / 10.0).ceil() * 10.0), yard.system)
}

/// What keeps an arm from reaching what moves of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Reach {
    /// Nothing reaches it.
    Out,
    /// It does where the figure stands; what would help, where it stands somewhere.
    In(Option<String>),
}

/// Whether the yard says how far people are kept, and everything of a figure is further
/// from there than an arm reaches; if not, what brings it there. A figure that is brought
/// there does not fall on them either.
#[must_use]
pub fn reach(yard: &Yard, placed: &Placed, spaced: &SpacedFigure) -> Reach {
    /// The nearest line that is proposed where none is said, mm.
    const LINE: f64 = 500.0;
    let ground = Ground::of(placed, spaced).filter(|_| !placed.assumed);
    let Some(ground) = ground else { return Reach::In(None) };
    let (out, away) = toward(yard);
    let all = ground.swept.iter().chain([&ground.base]).flatten();
    let nearest = all.map(away).fold(f64::INFINITY, f64::min);
    if yard.keep.is_some_and(|keep| nearest - keep.0 >= ARM) {
        return Reach::Out;
    }
    let falls = ground.top * (ground.front[0] * out[0] + ground.front[1] * out[1]).abs();
    let wanted = ARM.max(falls);
    let arm = print::size(Mm(ARM), 0, yard.system);
    let keep = |line: f64| {
        let line = print::distance(Mm(line), yard.system);
        format!("`viewers {} keep {line}`", yard.viewers.word())
    };
    let line = ((nearest - wanted) / 100.0).floor() * 100.0;
    Reach::In(Some(match yard.keep {
        Some(keep) => format!(
            "stand the figure {} further back, where no arm ({arm}) reaches it and it falls on nobody",
            further(yard, wanted + keep.0 - nearest)
        ),
        None if line >= LINE => {
            format!("say how far people are kept ({}): no arm ({arm}) reaches it then", keep(line))
        }
        None => format!(
            "stand the figure {} further back and say how far people are kept ({}): no arm ({arm}) reaches it then",
            further(yard, wanted + LINE - nearest),
            keep(LINE)
        ),
    }))
}

/// Whether a figure reaches or falls over the line.
fn people(yard: &Yard, s: &Standing<'_>, findings: &mut Vec<Finding>) {
    if s.placed.assumed {
        return;
    }
    let (out, away) = toward(yard);
    let keep = yard.keep.map_or(0.0, |k| k.0);
    let nearest = |corners: &[Corner]| corners.iter().map(&away).fold(f64::INFINITY, f64::min);
    let (board, limbs) = (
        nearest(&s.ground.base),
        s.ground.swept.iter().map(|c| nearest(c)).fold(f64::INFINITY, f64::min),
    );
    let metres = |mm: f64| print::distance(Mm(mm), yard.system);
    let place = s.placed.name.place;
    if board < keep {
        // The board itself stands in the strip: told where figures are set up.
        return;
    }
    if limbs < keep {
        let message = format!(
            "a limb of {} comes within {} of the viewers' side, which is kept free to {}.",
            s.name(),
            metres(limbs),
            metres(keep)
        );
        let finding = Finding::new(&codes::REACHES_PEOPLE, place, message)
            .help(format!("set it {} further back.", further(yard, keep - limbs)))
            .given("nearest corner of what its limbs sweep", metres(limbs))
            .given("kept free", metres(keep))
            .sum("it is too near by", format!("{} - {}", metres(keep), metres(limbs)), {
                metres(keep - limbs)
            });
        findings.push(s.told(finding));
    }
    // It falls forwards or backwards: the part of its height that goes towards people.
    let square = (s.ground.front[0] * out[0] + s.ground.front[1] * out[1]).abs();
    let falls = s.ground.top * square;
    if falls > board - keep {
        let message = format!(
            "{} is {} high and stands {} from the line people are kept behind: if it falls, it falls \
             on them.",
            s.name(),
            metres(s.ground.top),
            metres(board - keep)
        );
        let finding = Finding::new(&codes::FALLS_INTO_PEOPLE, place, message)
            .help(format!(
                "set it {} further back, or keep people further away.",
                further(yard, falls - (board - keep))
            ))
            .given("its height", metres(s.ground.top))
            .given("share of it that falls towards people", print::decimal(square, 3))
            .sum(
                "it reaches",
                format!("{} x {}", metres(s.ground.top), print::decimal(square, 3)),
                metres(falls),
            )
            .sum("room to the line", format!("{} - {}", metres(board), metres(keep)), {
                metres(board - keep)
            });
        findings.push(s.told(finding));
    }
}

/// Supplies under a figure.
fn supplies(yard: &Yard, s: &Standing<'_>, findings: &mut Vec<Finding>) {
    for supply in &yard.supplies {
        let Some(at) = supply.at else { continue };
        if contains(&s.ground.base, &[at.x, at.y]) {
            let message =
                format!("the supply {} stands where {} stands.", supply.name.value, s.name());
            let finding = Finding::new(&codes::SUPPLY_IN_FIGURE, supply.name.place, message)
                .help("set it behind the figure.")
                .related(format!("{} is set up here", s.name()), s.placed.name.place);
            findings.push(s.told(finding));
        }
    }
}

/// Figures that are mostly behind others.
fn hidden(yard: &Yard, standing: &[Standing<'_>], findings: &mut Vec<Finding>) {
    let (out, away) = toward(yard);
    let along = if out[0] == 0.0 { 0 } else { 1 };
    let width = if along == 0 { yard.size.0.0 } else { yard.size.1.0 };
    let edge = if out[0] + out[1] < 0.0 {
        0.0
    } else if along == 0 {
        yard.size.1.0
    } else {
        yard.size.0.0
    };
    let eyes: Vec<Corner> = (0..VIEWERS)
        .map(|i| {
            let at = width * (f64::from(i) + 0.5) / f64::from(VIEWERS);
            if along == 0 { [at, edge] } else { [edge, at] }
        })
        .collect();
    let middle = |s: &Standing<'_>| {
        let [l, r] = s.ground.board;
        [(l[0] + r[0]) / 2.0, (l[1] + r[1]) / 2.0]
    };
    // Nearest to the people first; laid-up figures hide nothing, and nobody minds.
    let mut order: Vec<(f64, &Standing<'_>)> = standing
        .iter()
        .filter(|s| !s.placed.idle() && !s.placed.assumed)
        .map(|s| (away(&middle(s)), s))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let told: Vec<Option<Finding>> = (0..order.len())
        .into_par_iter()
        .map(|i| {
            let (_, s) = order[i];
            let before = nearby(&order[..i], s, &eyes);
            if before.is_empty() {
                return None;
            }
            let share = eyes.iter().map(|eye| covered(eye, s, &before)).sum::<f64>() / eyes.len() as f64;
            (share > HIDDEN).then(|| {
                let message = format!(
                    "{} is mostly hidden: from along the viewers' side others cover {} % of its board.",
                    s.name(),
                    print::decimal(share * 100.0, 0)
                );
                let finding = Finding::new(&codes::FIGURE_HIDDEN, s.placed.name.place, message)
                    .help("set it to the side, nearer to the people, or higher.")
                    .given("places along the viewers' side", eyes.len().to_string())
                    .given("points of its board looked at from each", (POINTS * POINTS).to_string())
                    .given("covered, of all of them", {
                        format!("{} %", print::decimal(share * 100.0, 1))
                    })
                    .given("told above", format!("{} %", print::decimal(HIDDEN * 100.0, 0)));
                s.told(finding)
            })
        })
        .collect();
    findings.extend(told.into_iter().flatten());
}

/// Those before a figure whose boards may stand between it and somebody's eyes: at
/// most the nearest few dozen, which is on the cautious side of telling.
fn nearby<'a>(
    before: &[(f64, &'a Standing<'a>)],
    s: &Standing<'_>,
    eyes: &[Corner],
) -> Vec<&'a Standing<'a>> {
    const FEW: usize = 24;
    let crossing = |o: &&Standing<'_>| eyes.iter().any(|eye| between(eye, o, s));
    before.iter().rev().map(|(_, o)| *o).take(4 * FEW).filter(crossing).take(FEW).collect()
}

/// Whether the line from an eye to one of three points of a board crosses another's.
fn between(eye: &Corner, other: &Standing<'_>, s: &Standing<'_>) -> bool {
    [0.1, 0.5, 0.9].iter().any(|&t| crosses(eye, &across(s, t), other.ground.board).is_some())
}

/// A point of a board's lower edge, a share of the way across.
fn across(s: &Standing<'_>, share: f64) -> Corner {
    let [l, r] = s.ground.board;
    [l[0] + share * (r[0] - l[0]), l[1] + share * (r[1] - l[1])]
}

/// Where on the line of sight a board is crossed: the share of the way; `None` where it
/// is not.
fn crosses(eye: &Corner, to: &Corner, board: [Corner; 2]) -> Option<f64> {
    let (d, e) =
        ([to[0] - eye[0], to[1] - eye[1]], [board[1][0] - board[0][0], board[1][1] - board[0][1]]);
    let cross = d[0] * e[1] - d[1] * e[0];
    if cross == 0.0 {
        return None;
    }
    let w = [board[0][0] - eye[0], board[0][1] - eye[1]];
    let (t, u) = ((w[0] * e[1] - w[1] * e[0]) / cross, (w[0] * d[1] - w[1] * d[0]) / cross);
    ((0.0..1.0).contains(&t) && (0.0..=1.0).contains(&u)).then_some(t)
}

/// The share of a board's points that others cover, seen from one place.
fn covered(eye: &Corner, s: &Standing<'_>, before: &[&Standing<'_>]) -> f64 {
    let mut count = 0;
    for i in 0..POINTS {
        let at = across(s, (f64::from(i) + 0.5) / f64::from(POINTS));
        for j in 0..POINTS {
            let (low, high) = s.ground.height;
            let z = low + (high - low) * (f64::from(j) + 0.5) / f64::from(POINTS);
            let covers = |o: &&&Standing<'_>| {
                crosses(eye, &at, o.ground.board).is_some_and(|t| {
                    let height = EYES + t * (z - EYES);
                    (o.ground.height.0..=o.ground.height.1).contains(&height)
                })
            };
            count += u32::from(before.iter().find(covers).is_some());
        }
    }
    f64::from(count) / f64::from(POINTS * POINTS)
}
