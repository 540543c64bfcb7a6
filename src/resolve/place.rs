//! Figures set up in the yard: where each stands and looks, and its copies.

use std::sync::Arc;

use crate::finding::{Finding, Place, Spanned};
use crate::geometry::{Dir, Vector, YardPoint};
use crate::model::{Anchor, Compass, Feed, Figure, LaidUp, Placed, Yard};
use crate::syntax::Clause;
use crate::units::{Deg, Mm, Share};

use super::copies::{self, Wish};
use super::names::NameKind;
use super::scope::Scope;
use super::{codes, figure, plane, say, words};

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
    findings: &mut Vec<Finding>,
) -> Vec<Placed> {
    let mut stands: Vec<Stand<'_>> = Vec::new();
    for clause in scope.clauses() {
        let stand = match clause.word() {
            "figure" => described(scope, figures, clause),
            "set" => set(scope, figures, clause, findings),
            _ => None,
        };
        let Some(stand) = stand else { continue };
        match stands.iter().find(|s| s.name.value == stand.name.value) {
            Some(first) => findings.push(placed_twice(stand.name, first.name.place)),
            None => stands.push(stand),
        }
    }
    let lost = stands.iter().filter(|s| s.at.is_none()).count();
    let mut nth = 0;
    let mut placed: Vec<Placed> = Vec::new();
    for s in stands {
        let facing = s.facing.unwrap_or_else(|| yard.viewers.bearing());
        let at = s.at.unwrap_or_else(|| {
            nth += 1;
            middle(yard, &s.figure, facing, nth, lost)
        });
        placed.push(Placed {
            name: s.name.map(str::to_owned),
            figure: s.figure,
            at,
            facing,
            assumed: s.at.is_none() || s.facing.is_none(),
            laid_up: None,
        });
    }
    laid_up(scope, &mut placed, findings);
    placed
}

fn placed_twice(name: Spanned<&str>, first: Place) -> Finding {
    Finding::new(&codes::PLACED_TWICE, name.place, format!("{} is set up twice.", name.value))
        .help(format!(
            "A second one needs a name of its own: `set {0}-2 like {0} at …`.",
            name.value
        ))
        .related("it is set up here first", first)
}

/// A figure's own item, unless a `set` places it or it only serves as a pattern.
fn described<'a>(scope: &Scope, figures: &[Arc<Figure>], clause: Clause<'a>) -> Option<Stand<'a>> {
    let name = clause.text("name")?;
    let figure = figures.iter().find(|f| f.name.place == name.place)?.clone();
    let at = clause.value("place").and_then(|v| v.point()).map(|p| plane::yard(p.value));
    if at.is_none() {
        let mut sets = scope.clauses().filter(|c| c.word() == "set");
        let used = sets.any(|c| {
            let of = c.text("like").or_else(|| c.text("name"));
            of.is_some_and(|n| n.value == name.value)
        });
        if used {
            return None;
        }
    }
    Some(Stand { name, figure, at, facing: facing(clause) })
}

fn facing(clause: Clause<'_>) -> Option<Deg> {
    let word = clause.choice("facing")?;
    let eighth = words::FACINGS.iter().position(|w| *w == word)?;
    Some(Deg(45.0 * eighth as f64))
}

/// `set bear at …` or `set cub like bear at … scale 60 % { … }`.
fn set<'a>(
    scope: &Scope,
    figures: &[Arc<Figure>],
    clause: Clause<'a>,
    findings: &mut Vec<Finding>,
) -> Option<Stand<'a>> {
    let name = clause.text("name")?;
    if clause.has("like") && scope.names.find(NameKind::Copy, name.value) != Some(name.place) {
        return None; // Its name is taken: reported.
    }
    let figure = copy(scope, figures, clause, findings)?;
    let at = clause.value("place").and_then(|v| v.point()).map(|p| plane::yard(p.value));
    Some(Stand { name, figure, at, facing: facing(clause) })
}

/// The figure a `set` makes; copies of copies are followed to the pattern.
fn copy(
    scope: &Scope,
    figures: &[Arc<Figure>],
    clause: Clause<'_>,
    findings: &mut Vec<Finding>,
) -> Option<Arc<Figure>> {
    let name = clause.text("name")?;
    let of = clause.text("like").unwrap_or(name);
    let declared = scope.names.find(NameKind::Figure, of.value);
    let base = match declared {
        Some(place) => figures.iter().find(|f| f.name.place == place).cloned()?,
        None => base_of_copy(scope, figures, of, findings)?,
    };
    let scale = clause.get::<Share>("scale");
    if let Some(s) = scale
        && !(s.value.0 >= 0.05 && s.value.0 <= 20.0)
    {
        findings.push(
            Finding::new(
                &codes::SCALE_OUT_OF_RANGE,
                s.place,
                format!("A scale of {} is not between 5 % and 2000 %.", say::percent(s.value.0)),
            )
            .help("100 % is the size of the figure it is like."),
        );
        return None;
    }
    let block = clause.block();
    let without: Vec<Spanned<&str>> = block
        .into_iter()
        .flat_map(|b| b.all("without"))
        .flat_map(|c| c.values("limb").map(|v| v.text()))
        .collect();
    let (feed, anchor, title) = changes(scope, clause, findings);
    let plain = scale.is_none() && without.is_empty() && feed.is_none() && anchor.is_none();
    if plain && title.is_none() && of.value == name.value {
        return Some(base);
    }
    let wish = Wish { name, scale: scale.map_or(Share(1.0), |s| s.value), without };
    let (mut figure, mut more) = copies::copied(&base, &wish);
    findings.append(&mut more);
    figure.feed = feed.or(figure.feed);
    figure.anchor = anchor.or(figure.anchor);
    figure.title = title.or(figure.title);
    Some(Arc::new(figure))
}

/// What a `set` says anew: feed, anchor, title.
fn changes(
    scope: &Scope,
    clause: Clause<'_>,
    findings: &mut Vec<Finding>,
) -> (Option<Feed>, Option<Anchor>, Option<String>) {
    let Some(block) = clause.block() else { return (None, None, None) };
    let feed = block.find("power").and_then(|c| {
        let supply = c.text("supply")?;
        if scope.names.find(NameKind::Supply, supply.value).is_none() {
            findings.push(scope.names.unknown(NameKind::Supply, supply));
        }
        Some(figure::read_feed(c, supply))
    });
    (feed, figure::anchor(block), figure::title(block))
}

fn base_of_copy(
    scope: &Scope,
    figures: &[Arc<Figure>],
    of: Spanned<&str>,
    findings: &mut Vec<Finding>,
) -> Option<Arc<Figure>> {
    let Some(place) = scope.names.find(NameKind::Copy, of.value) else {
        findings.push(scope.names.unknown(NameKind::Figure, of));
        return None;
    };
    if circular(scope, of) {
        findings.push(
            Finding::new(
                &codes::LIKE_CIRCLE,
                of.place,
                format!("{} is like itself, round other copies.", of.value),
            )
            .help("One of them must be a `figure` of its own."),
        );
        return None;
    }
    let other = scope
        .clauses()
        .find(|c| c.word() == "set" && c.text("name").is_some_and(|n| n.place == place))?;
    // What is wrong with the other copy is said where that one is set up.
    copy(scope, figures, other, &mut Vec::new())
}

/// Whether following `like` from a copy never ends.
fn circular(scope: &Scope, of: Spanned<&str>) -> bool {
    let mut name = of.value;
    for _ in 0..=scope.items.len() {
        let Some(place) = scope.names.find(NameKind::Copy, name) else { return false };
        let mut sets = scope.clauses().filter(|c| c.word() == "set");
        let this = sets.find(|c| c.text("name").is_some_and(|n| n.place == place));
        match this.and_then(|c| c.text("like")) {
            Some(next) => name = next.value,
            None => return false,
        }
    }
    true
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
                    format!("The board of {name} stands outside the yard, {}.", extent(yard)),
                )
                .help("Move it inside; `at` is where x = 0 of its board stands.")
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
                        "The board of {name} stands {} from the viewers' edge; {} are kept free.",
                        say::far(near, yard.system),
                        say::far(keep, yard.system)
                    ),
                )
                .help("Move it back.")
                .about(name, None),
            );
        }
    }
}
