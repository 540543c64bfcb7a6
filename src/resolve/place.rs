//! Figures set up in the yard: where each stands and looks, and its copies.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::{Finding, Place, Spanned};
use crate::geometry::{Dir, Vector, YardPoint};
use crate::model::{Compass, Figure, LaidUp, Placed, Yard};
use crate::syntax::Clause;
use crate::units::{Deg, Mm};

use super::scope::Scope;
use super::sets::{Copies, Sets};
use super::{codes, plane, say, words};

/// Where a figure stands; what is `None` is assumed.
struct Stand<'a> {
    name: Spanned<&'a str>,
    figure: Arc<Figure>,
    at: Option<YardPoint>,
    facing: Option<Deg>,
}

/// The figures in file order: those that `figure … at` or `set` places, and those
/// that nothing places and nothing is like (in the middle, assumed).
pub(super) fn figures(
    scope: &Scope,
    figures: &[Arc<Figure>],
    yard: &Yard,
    copies: &mut Copies,
    findings: &mut Vec<Finding>,
) -> Vec<Placed> {
    let mut sets = Sets::new(scope, figures, copies);
    let mut stands: Vec<Stand<'_>> = Vec::new();
    let mut first: BTreeMap<&str, Place> = BTreeMap::new();
    for clause in scope.clauses() {
        let stand = match clause.word() {
            "figure" => described(&sets, clause),
            "set" => set(&mut sets, clause, findings),
            _ => None,
        };
        let Some(stand) = stand else { continue };
        match first.get(stand.name.value) {
            Some(place) => findings.push(placed_twice(stand.name, *place)),
            None => {
                first.insert(stand.name.value, stand.name.place);
                stands.push(stand);
            }
        }
    }
    sets.finish();
    let mut placed = settle(stands, yard);
    laid_up(scope, &mut placed, findings);
    placed
}

/// Gives every figure its place, those that have none in the middle.
fn settle(stands: Vec<Stand<'_>>, yard: &Yard) -> Vec<Placed> {
    let lost = stands.iter().filter(|s| s.at.is_none()).count();
    let mut nth = 0;
    let place = |s: Stand<'_>| {
        let facing = s.facing.unwrap_or_else(|| yard.viewers.bearing());
        let at = s.at.unwrap_or_else(|| {
            nth += 1;
            middle(yard, &s.figure, facing, nth, lost)
        });
        Placed {
            name: s.name.map(str::to_owned),
            figure: s.figure,
            at,
            facing,
            assumed: s.at.is_none() || s.facing.is_none(),
            laid_up: None,
        }
    };
    stands.into_iter().map(place).collect()
}

fn placed_twice(name: Spanned<&str>, first: Place) -> Finding {
    Finding::new(&codes::PLACED_TWICE, name.place, format!("{} is set up twice.", name.value))
        .help(format!(
            "a second one needs a name of its own: `set {0}-2 like {0} at …`.",
            name.value
        ))
        .related("it is set up here first", first)
}

/// A figure's own item, unless a `set` places it or it only serves as a pattern.
fn described<'a>(sets: &Sets<'a, '_>, clause: Clause<'a>) -> Option<Stand<'a>> {
    let name = clause.text("name")?;
    let figure = sets.described(name.place)?.clone();
    let at = at(clause);
    if at.is_none() && sets.wants(name.value) {
        return None;
    }
    Some(Stand { name, figure, at, facing: facing(clause) })
}

/// `set bear at …` or `set cub like bear at … scale 60 % { … }`.
fn set<'a>(
    sets: &mut Sets<'a, '_>,
    clause: Clause<'a>,
    findings: &mut Vec<Finding>,
) -> Option<Stand<'a>> {
    let name = clause.text("name")?;
    let figure = sets.figure(clause, findings)?;
    Some(Stand { name, figure, at: at(clause), facing: facing(clause) })
}

fn at(clause: Clause<'_>) -> Option<YardPoint> {
    Some(plane::yard(clause.value("place")?.point()?.value))
}

fn facing(clause: Clause<'_>) -> Option<Deg> {
    let word = clause.choice("facing")?;
    let eighth = words::FACINGS.iter().position(|w| *w == word)?;
    Some(Deg(45.0 * eighth as f64))
}

/// The middle of the yard, or evenly beside each other where several are lost.
fn middle(yard: &Yard, figure: &Figure, facing: Deg, nth: usize, lost: usize) -> YardPoint {
    let share = nth as f64 / (lost + 1) as f64;
    let (w, d) = (yard.size.0.0, yard.size.1.0);
    let spot = match yard.viewers {
        Compass::South | Compass::North => (w * share, d / 2.0),
        Compass::East | Compass::West => (w / 2.0, d * share),
    };
    let (low, high) = width(figure);
    plane::yard(spot) - Vector::polar(Mm((low + high) / 2.0), right(facing))
}

/// The board's extent along x.
fn width(figure: &Figure) -> (f64, f64) {
    figure.board.outline.as_ref().map_or((0.0, 0.0), |o| {
        let b = o.bounds();
        (b.low.x, b.high.x)
    })
}

/// The board's +x in the yard: to the right of somebody who looks at its front.
fn right(facing: Deg) -> Dir {
    Dir::degrees(Deg(180.0) - facing)
}

fn laid_up(scope: &Scope, placed: &mut [Placed], findings: &mut Vec<Finding>) {
    for c in scope.clauses().filter(|c| c.word() == "laid-up") {
        let Some(name) = c.text("figure") else { continue };
        let why = LaidUp {
            from: c.text("from").map(|d| d.value.to_owned()),
            why: c.text("why").map(|w| w.value.to_owned()),
            // Until the seasons are read.
            plays: false,
            missed: true,
            place: c.place(),
        };
        match placed.iter().position(|p| p.name.value == name.value) {
            Some(i) => placed[i].laid_up = Some(why),
            None => {
                let known: Vec<(String, Place)> =
                    placed.iter().map(|p| (p.name.value.clone(), p.name.place)).collect();
                let known = known.iter().map(|(n, p)| (n.as_str(), *p));
                findings.push(super::names::unknown_here("figure", name, known));
            }
        }
    }
}

/// Whether a place lies on the ground, its edge included.
pub(super) fn on_ground(yard: &Yard, p: YardPoint) -> bool {
    // A millionth of a millimetre forgives the rounding of turned boards.
    let slack = 1e-6;
    p.x >= -slack && p.y >= -slack && p.x <= yard.size.0.0 + slack && p.y <= yard.size.1.0 + slack
}

/// The yard's size in words.
pub(super) fn extent(yard: &Yard) -> String {
    let far = |l| say::far(l, yard.system);
    format!("which is {} east-west by {} north-south", far(yard.size.0), far(yard.size.1))
}

/// How far a place is from the edge people stand on.
fn from_viewers(yard: &Yard, p: YardPoint) -> Mm {
    Mm(match yard.viewers {
        Compass::South => p.y,
        Compass::North => yard.size.1.0 - p.y,
        Compass::West => p.x,
        Compass::East => yard.size.0.0 - p.x,
    })
}

/// Whether every board stands inside the yard and behind the viewers' line.
pub(super) fn inside(yard: &Yard, findings: &mut Vec<Finding>) {
    for f in yard.figures.iter().filter(|f| !f.assumed) {
        let (low, high) = width(&f.figure);
        let end = |x: f64| f.at + Vector::polar(Mm(x), right(f.facing));
        let ends = [end(low), end(high)];
        let name = &f.name.value;
        if !ends.iter().all(|p| on_ground(yard, *p)) {
            findings.push(
                Finding::new(
                    &codes::FIGURE_OUTSIDE,
                    f.name.place,
                    format!("the board of {name} stands outside the yard, {}.", extent(yard)),
                )
                .help("move it inside; `at` is where x = 0 of its board stands.")
                .about(name, None),
            );
            continue;
        }
        let Some(keep) = yard.keep else { continue };
        let near = ends.iter().map(|p| from_viewers(yard, *p)).fold(Mm(f64::INFINITY), Mm::min);
        if near.0 < keep.0 - 1e-6 {
            findings.push(
                Finding::new(
                    &codes::NEAR_VIEWERS,
                    f.name.place,
                    format!(
                        "the board of {name} stands {} from the viewers' edge; {} are kept free.",
                        say::far(near, yard.system),
                        say::far(keep, yard.system)
                    ),
                )
                .help("move it back.")
                .about(name, None),
            );
        }
    }
}
