//! What stands in the yard: figures, reach, cables, supplies, and their names.

use super::field::{Field, supply_place};
use super::ground;
use super::labels::{self, Ground, Label, Wish};
use super::place::{Footprint, Stretch};
use super::symbols;
use crate::emit::svg::{Hang, Line, P, Rect, Svg, text_width};
use crate::emit::words::decimal;
use crate::model::{Placed, Yard};
use crate::units::{Mm, System};

/// A cable is about a fifth longer than the straight line (common practice, no
/// source), where its real run is not said.
const SLACK: f64 = 1.2;

/// Up to this many cables carry their length on the drawing; it stands in the
/// table in any case.
const FEW_CABLES: usize = 30;

/// What the drawing came to.
pub struct Drawn {
    /// Names that did not fit.
    pub unnamed: usize,
}

/// A figure's cable: length, and whether its run was said.
pub fn cable(yard: &Yard, placed: &Placed) -> Option<(Mm, bool)> {
    let feed = placed.figure.feed.as_ref()?;
    if let Some(run) = feed.run {
        return Some((run, true));
    }
    let supply = yard.supplies.iter().find(|s| s.name.value == feed.supply.value)?;
    let (x, y) = supply_place(yard, supply)?;
    let straight = libm::hypot(placed.at.x - x, placed.at.y - y);
    straight.is_finite().then_some((Mm(straight * SLACK), false))
}

/// Draws everything inside `area`.
pub fn everything(
    svg: &mut Svg,
    yard: &Yard,
    prints: &[Option<Footprint>],
    field: &Field,
    area: Rect,
) -> Drawn {
    let runs = runs(yard, prints, field);
    svg.open("cables", "cable runs");
    let line = if runs.len() <= FEW_CABLES { Line::Dashed } else { Line::FineDashed };
    for run in &runs {
        svg.line(line, run.from, run.to);
    }
    svg.close();
    for (placed, print) in yard.figures.iter().zip(prints) {
        if let Some(print) = print {
            svg.open("figure", &placed.name.value);
            figure(svg, print, field);
            svg.close();
        }
    }
    fixtures(svg, yard, field);
    let wishes = wishes(yard, prints, field);
    let solid = solid(yard, prints, field);
    let mut lines: Vec<(P, P)> = runs.iter().map(|r| (r.from, r.to)).collect();
    lines.extend(edges(ground::yard_rect(yard, field)));
    let placed = labels::place(&wishes, &Ground { area: Some(area), solid: solid.clone(), lines });
    svg.open("names", "names");
    for label in &placed {
        name(svg, label, &wishes[label.wish]);
    }
    if runs.len() <= FEW_CABLES {
        cable_lengths(svg, &runs, &placed, &solid, yard.system);
    }
    svg.close();
    Drawn { unnamed: wishes.len() - placed.len() }
}

fn edges(r: Rect) -> [(P, P); 4] {
    let c = [(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())];
    [(c[0], c[1]), (c[1], c[2]), (c[2], c[3]), (c[3], c[0])]
}

/// A cable on the paper.
struct Run {
    from: P,
    to: P,
    length: Mm,
    said: bool,
}

fn runs(yard: &Yard, prints: &[Option<Footprint>], field: &Field) -> Vec<Run> {
    let of = |(placed, print): (&Placed, &Option<Footprint>)| {
        let print = print.as_ref()?;
        let feed = placed.figure.feed.as_ref()?;
        let supply = yard.supplies.iter().find(|s| s.name.value == feed.supply.value)?;
        let from = field.at(supply_place(yard, supply)?);
        let (length, said) = cable(yard, placed)?;
        // Drawn to the middle of the figure's back, where its motors are.
        let (board, frame) = depths(print, field);
        let to = field.at(print.point(print.board.middle(), (board + frame) / field.k));
        (to.0.is_finite() && to.1.is_finite()).then_some(Run { from, to, length, said })
    };
    yard.figures.iter().zip(prints).filter_map(of).collect()
}

/// Least widths on the paper, so that a board can be seen at any scale.
const BOARD: f64 = 1.0;
const LEAST_FRAME: f64 = 0.9;

/// A strip along a figure's board on the paper, `near` to `far` mm behind its
/// face (negative: before it).
fn strip(print: &Footprint, field: &Field, s: Stretch, near: f64, far: f64) -> [P; 4] {
    let z = |d: f64| d / field.k;
    [
        field.at(print.point(s.lo, z(near))),
        field.at(print.point(s.hi, z(near))),
        field.at(print.point(s.hi, z(far))),
        field.at(print.point(s.lo, z(far))),
    ]
}

/// Depth of the board's bar and of the frame behind it on the paper.
fn depths(print: &Footprint, field: &Field) -> (f64, f64) {
    let frame = if print.frame.is_some() { (print.depth * field.k).max(LEAST_FRAME) } else { 0.0 };
    (BOARD, frame)
}

/// How far before and behind the board its reach is drawn.
const GAP: f64 = 0.7;
const BAND: f64 = 1.5;

fn figure(svg: &mut Svg, print: &Footprint, field: &Field) {
    let (board, frame) = depths(print, field);
    let (line, reach) =
        if print.laid_up { (Line::Dashed, Line::Dashed) } else { (Line::Narrow, Line::Reach) };
    if let Some(s) = print.before {
        svg.path(reach, &strip(print, field, s, -GAP, -GAP - BAND), true);
    }
    if let Some(s) = print.behind {
        let start = board + frame + GAP;
        svg.path(reach, &strip(print, field, s, start, start + BAND), true);
    }
    if let Some(s) = print.frame {
        svg.paper(line, &strip(print, field, s, board, board + frame));
    }
    let bar = strip(print, field, print.board, 0.0, board);
    if print.laid_up || !print.board_known {
        svg.paper(line, &bar);
    } else {
        svg.filled(&bar);
    }
    let middle = print.board.middle();
    let lead = if print.before.is_some() { GAP + BAND } else { 0.0 };
    let from = field.at(print.point(middle, -lead / field.k));
    let to = field.at(print.point(middle, -(lead + 4.6) / field.k));
    symbols::arrow(svg, from, to);
    symbols::cross(svg, field.at(print.origin()), 1.5);
}

fn fixtures(svg: &mut Svg, yard: &Yard, field: &Field) {
    let at = |p: crate::geometry::YardPoint| Some(field.at((p.x, p.y))).filter(|p| finite(*p));
    for peg in &yard.pegs {
        if let Some(p) = at(peg.at) {
            symbols::peg(svg, p);
        }
    }
    for p in speakers(yard).filter_map(at) {
        symbols::speaker(svg, p);
    }
    for p in yard.controllers.iter().filter_map(|c| c.at).filter_map(at) {
        symbols::controller(svg, p);
    }
    for p in yard.supplies.iter().filter_map(|s| s.at).filter_map(at) {
        symbols::supply(svg, p);
    }
}

fn finite(p: P) -> bool {
    p.0.is_finite() && p.1.is_finite()
}

/// Every speaker once: shows mostly share one.
fn speakers(yard: &Yard) -> impl Iterator<Item = crate::geometry::YardPoint> {
    let mut seen: Vec<crate::geometry::YardPoint> = Vec::new();
    for p in yard.shows.iter().filter_map(|s| s.sound.speaker) {
        if !seen.contains(&p) {
            seen.push(p);
        }
    }
    seen.into_iter()
}

/// What is to be named: figures first, so that a label's index is its figure's.
fn wishes(yard: &Yard, prints: &[Option<Footprint>], field: &Field) -> Vec<Wish> {
    let mut all = Vec::new();
    for (i, (placed, print)) in yard.figures.iter().zip(prints).enumerate() {
        let Some(print) = print else { continue };
        let (board, _) = depths(print, field);
        let laid_up = placed.laid_up_words().map_or(String::new(), |w| format!(", {w}"));
        all.push(Wish {
            target: field.at(print.point(print.board.middle(), board / 2.0 / field.k)),
            clear: 1.0,
            text: format!("{} {}{laid_up}", i + 1, placed.name.value),
            short: (i + 1).to_string(),
        });
    }
    let mut mark = |p: Option<crate::geometry::YardPoint>, clear: f64, text: String| {
        if let Some(target) = p.map(|p| field.at((p.x, p.y))).filter(|p| finite(*p)) {
            all.push(Wish { target, clear, text, short: String::new() });
        }
    };
    for supply in &yard.supplies {
        let fed = yard.supplies.iter().filter(|s| {
            s.at.is_none() && s.from.as_ref().is_some_and(|f| f.value == supply.name.value)
        });
        let volts = |s: &crate::model::Supply| {
            let v = s.voltage.map(|v| format!(" {} V", decimal(v.0, 1)));
            format!("{}{}", s.name.value, v.unwrap_or_default())
        };
        let text = std::iter::once(supply).chain(fed).map(volts).collect::<Vec<_>>().join(" + ");
        mark(supply.at, symbols::HALF, text);
    }
    for controller in &yard.controllers {
        mark(controller.at, symbols::HALF, controller.name.value.clone());
    }
    for peg in &yard.pegs {
        mark(Some(peg.at), 1.0, format!("peg {}", peg.name.value));
    }
    for p in speakers(yard) {
        mark(Some(p), 2.0, "speaker".to_owned());
    }
    all
}

/// What no text may cover.
fn solid(yard: &Yard, prints: &[Option<Footprint>], field: &Field) -> Vec<Rect> {
    let mut all: Vec<Rect> = Vec::new();
    for print in prints.iter().flatten() {
        let (board, frame) = depths(print, field);
        let before = if print.before.is_some() { GAP + BAND } else { 0.0 };
        let behind = if print.behind.is_some() { GAP + BAND } else { 0.0 };
        let wide = [Some(print.board), print.frame, print.before, print.behind]
            .into_iter()
            .flatten()
            .reduce(|a, b| Stretch { lo: a.lo.min(b.lo), hi: a.hi.max(b.hi) });
        let body = wide.map(|s| strip(print, field, s, -before, board + frame + behind));
        all.extend(body.and_then(|b| Rect::around(&b)));
        let middle = print.board.middle();
        let arrow = [0.0, -before - 4.6].map(|z| field.at(print.point(middle, z / field.k)));
        all.extend(Rect::around(&arrow).map(|r| r.grown(0.6)));
        all.extend(Rect::around(&[field.at(print.origin())]).map(|r| r.grown(1.6)));
    }
    let points = (yard.supplies.iter().filter_map(|s| s.at))
        .chain(yard.controllers.iter().filter_map(|c| c.at))
        .chain(yard.pegs.iter().map(|p| p.at))
        .chain(speakers(yard));
    for p in points.map(|p| field.at((p.x, p.y))).filter(|p| finite(*p)) {
        all.push(Rect::new(p.0, p.1, 0.0, 0.0).grown(symbols::HALF + 0.3));
    }
    all
}

/// A name on its shoulder with its leader.
fn name(svg: &mut Svg, label: &Label, wish: &Wish) {
    let (elbow, target) = label.leader;
    let length = libm::hypot(target.0 - elbow.0, target.1 - elbow.1);
    // The leader of a sign ends at its edge; that of a board on the board.
    let cut = if wish.clear > 1.5 { wish.clear * 1.15 } else { 0.0 };
    let share = ((length - cut) / length).clamp(0.0, 1.0);
    let end = (elbow.0 + (target.0 - elbow.0) * share, elbow.1 + (target.1 - elbow.1) * share);
    svg.line(Line::Fine, elbow, end);
    svg.line(Line::Fine, label.left, (label.left.0 + label.width, label.left.1));
    svg.haloed((label.left.0 + 0.4, label.left.1 - 0.6), labels::SIZE, Hang::Start, &label.text);
}

/// Cable lengths on their cables, where there is room.
fn cable_lengths(svg: &mut Svg, runs: &[Run], names: &[Label], solid: &[Rect], system: System) {
    let mut taken: Vec<Rect> = names.iter().map(labels::text_box).collect();
    for (i, run) in runs.iter().enumerate() {
        let sign = if run.said { "" } else { "~" };
        let text = match system {
            System::Inch => format!("{sign}{} ft", decimal(run.length.0 / 304.8, 0)),
            _ => format!("{sign}{} m", decimal(run.length.0 / 1000.0, 1)),
        };
        let width = text_width(&text, 2.0);
        let free = [0.5, 0.6, 0.4, 0.7, 0.3].into_iter().find_map(|t| {
            let (x, y) = (
                run.from.0 + (run.to.0 - run.from.0) * t,
                run.from.1 + (run.to.1 - run.from.1) * t,
            );
            let own = Rect::new(x - width / 2.0, y - 1.2, width, 2.4);
            let others = runs.iter().enumerate().filter(|(j, _)| *j != i);
            let clear = !taken.iter().chain(solid).any(|r| r.overlaps(own))
                && !names.iter().any(|n| labels::crosses(n.leader, own))
                && others.filter(|(_, r)| labels::crosses((r.from, r.to), own)).count() == 0;
            clear.then_some((x, y, own))
        });
        if let Some((x, y, own)) = free {
            svg.haloed((x, y + 0.7), 2.0, Hang::Middle, &text);
            taken.push(own);
        }
    }
}
