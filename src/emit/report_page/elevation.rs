//! The drawing of a figure: board and frame, each limb at both ends of its motion, the
//! mechanism in thin lines (line types of ISO 128-2). Where things stand is computed
//! elsewhere; here they are put on paper.

use crate::check::Compiled;
use crate::emit::svg::{Hang, Line, P, Rect, Svg, fitted, text_width};
use crate::space::{Drawn, Role, Stand};
use crate::units::System;

/// The largest drawing, mm on paper.
const ROOM: P = (86.0, 112.0);
/// Around it.
const MARGIN: f64 = 4.0;
/// Size of its texts.
const TEXT: f64 = 2.6;
/// 1 to so much, for people with a ruler.
const METRIC: [f64; 12] = [1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0];
const INCH: [f64; 9] = [1.0, 2.0, 4.0, 8.0, 12.0, 16.0, 24.0, 48.0, 96.0];

/// A drawing and what stands under it.
pub struct Drawing {
    /// The picture.
    pub svg: String,
    /// Its scale: 1 to this.
    pub scale: f64,
}

/// Puts board coordinates on the paper.
struct Paper {
    scale: f64,
    left: f64,
    top: f64,
}

impl Paper {
    fn at(&self, p: [f64; 2]) -> P {
        (MARGIN + (p[0] - self.left) / self.scale, MARGIN + (self.top - p[1]) / self.scale)
    }

    fn all(&self, corners: &[[f64; 2]]) -> Vec<P> {
        corners.iter().map(|&p| self.at(p)).collect()
    }
}

/// The figure from the front; `None` where nothing of it is known.
pub fn drawing(compiled: &Compiled, figure: usize) -> Option<Drawing> {
    let placed = &compiled.yard.figures[figure];
    let parts = &compiled.spaces[figure].elevation;
    let ground = -placed.figure.board.lifted.0;
    let (lo, hi) = extent(parts, ground)?;
    let size = (hi[0] - lo[0], hi[1] - lo[1]);
    let scale = scale_for(size, placed.figure.system);
    let paper = Paper { scale, left: lo[0], top: hi[1] };
    let mut svg = Svg::default();
    let sheet = (size.0 / scale + 2.0 * MARGIN, size.1 / scale + 2.0 * MARGIN);
    ground_line(&mut svg, paper.at([lo[0], ground]), sheet.0);
    for layer in 0..6 {
        parts.iter().filter(|d| layer_of(d) == layer).for_each(|d| draw(&mut svg, &paper, d));
    }
    let mut labels = Labels::new(parts, &paper, sheet);
    for (n, limb) in placed.figure.limbs.iter().enumerate() {
        let shape = parts.iter().find(|d| {
            d.limb == Some(n)
                && d.role == Role::Limb
                && matches!(d.stand, Stand::Low | Stand::Still)
        });
        let Some(shape) = shape else { continue };
        labels.put(&mut svg, middle(&paper.all(&shape.corners)), &limb.name.value);
    }
    let title = format!("{} from the front, 1:{scale}", placed.name.value);
    Some(Drawing { svg: svg.inline(sheet, &title), scale })
}

/// Corners of what holds everything and the ground below it.
fn extent(parts: &[Drawn], ground: f64) -> Option<([f64; 2], [f64; 2])> {
    let mut ends: Option<([f64; 2], [f64; 2])> = None;
    for part in parts {
        for c in &part.corners {
            let (mut lo, mut hi) = ends.unwrap_or((*c, *c));
            for axis in 0..2 {
                lo[axis] = lo[axis].min(c[axis] - part.radius);
                hi[axis] = hi[axis].max(c[axis] + part.radius);
            }
            ends = Some((lo, hi));
        }
    }
    let (mut lo, hi) = ends?;
    lo[1] = lo[1].min(ground);
    Some((lo, hi))
}

/// The largest scale of the ruler at which it fits, else one that just does.
fn scale_for((w, h): P, system: System) -> f64 {
    let ruler: &[f64] = if system == System::Inch { &INCH } else { &METRIC };
    let least = (w / ROOM.0).max(h / ROOM.1);
    ruler.iter().copied().find(|s| *s >= least).unwrap_or_else(|| (least / 100.0).ceil() * 100.0)
}

/// What is drawn first lies below.
fn layer_of(part: &Drawn) -> usize {
    match (part.role, part.stand) {
        (Role::Member, _) | (_, Stand::Round) => 0,
        (Role::Body | Role::Guide, _) => 1,
        (Role::Board, _) => 2,
        (Role::Limb, Stand::High) => 3,
        (Role::Limb, _) => 4,
        _ => 5,
    }
}

fn draw(svg: &mut Svg, paper: &Paper, part: &Drawn) {
    let points = paper.all(&part.corners);
    let high = part.stand == Stand::High;
    match (part.role, points.as_slice()) {
        (_, [at]) if part.stand == Stand::Round => {
            svg.path(Line::Chain, &circle(*at, part.radius / paper.scale), true);
        }
        (Role::Board, _) => svg.path(Line::Wide, &points, true),
        (Role::Member, _) => svg.path(Line::Fine, &points, true),
        (Role::Body, _) => svg.path(Line::Dashed, &points, true),
        (Role::Guide, _) => svg.path(Line::Chain, &points, false),
        (Role::Limb, _) if high => svg.path(Line::Reach, &points, true),
        (Role::Limb, _) => svg.path(Line::Wide, &points, true),
        (Role::Lever | Role::Crank | Role::Rod, &[a, b]) => {
            svg.line(if high { Line::FineDashed } else { Line::Narrow }, a, b);
            if !high {
                [a, b].into_iter().for_each(|p| svg.circle(Line::Narrow, p, 0.55));
            }
        }
        (Role::Wheel, [_, _, ..]) => svg.path(Line::Narrow, &points, true),
        (_, &[at]) => mark(svg, at, (part.radius / paper.scale).max(0.9)),
        _ => {}
    }
}

/// A bolt or a shaft: a circle with its centre lines.
fn mark(svg: &mut Svg, (x, y): P, radius: f64) {
    svg.circle(Line::Narrow, (x, y), radius);
    let arm = radius + 0.9;
    svg.line(Line::Fine, (x - arm, y), (x + arm, y));
    svg.line(Line::Fine, (x, y - arm), (x, y + arm));
}

/// Ground with the strokes that mean earth.
fn ground_line(svg: &mut Svg, (_, y): P, width: f64) {
    svg.line(Line::Narrow, (0.5, y), (width - 0.5, y));
    let strokes = ((width - 3.0) / 3.0).floor().max(0.0) as usize;
    for n in 0..strokes {
        let x = 2.0 + 3.0 * n as f64;
        svg.line(Line::Fine, (x, y), (x - 1.4, y + 1.6));
    }
}

/// The corners of a circle as a drawing needs them.
fn circle((x, y): P, radius: f64) -> Vec<P> {
    let turn = |n: i32| f64::from(n) * std::f64::consts::PI / 36.0;
    (0..72).map(|n| (x + radius * libm::cos(turn(n)), y + radius * libm::sin(turn(n)))).collect()
}

/// The mean of the corners.
fn middle(points: &[P]) -> P {
    let n = points.len().max(1) as f64;
    let sum = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    (sum.0 / n, sum.1 / n)
}

/// Names of limbs, clear of the lines and of each other.
struct Labels {
    /// Lines of the drawing, each with how much a label should keep off it.
    lines: Vec<(P, P, f64)>,
    taken: Vec<Rect>,
    sheet: Rect,
}

impl Labels {
    fn new(parts: &[Drawn], paper: &Paper, sheet: P) -> Self {
        let mut lines = Vec::new();
        for part in parts {
            let points = paper.all(&part.corners);
            let weight = match (part.role, part.stand) {
                (_, Stand::Round) => continue,
                (Role::Board | Role::Limb, Stand::Low | Stand::Still) => 4.0,
                (Role::Member, _) => 1.0,
                _ => 2.0,
            };
            let closed = matches!(part.role, Role::Board | Role::Member | Role::Body | Role::Limb);
            let ends = points.windows(2).map(|w| (w[0], w[1]));
            let last = (points.len() > 2 && closed).then(|| (points[points.len() - 1], points[0]));
            lines.extend(ends.chain(last).map(|(a, b)| (a, b, weight)));
        }
        Self { lines, taken: Vec::new(), sheet: Rect::new(0.0, 0.0, sheet.0, sheet.1) }
    }

    /// Puts a name as near to a place as the lines let it, with a thin line to the place
    /// where it stands off it.
    fn put(&mut self, svg: &mut Svg, at: P, name: &str) {
        let name = fitted(name, TEXT, 34.0);
        let wide = text_width(&name, TEXT);
        let rect = |c: P| Rect::new(c.0 - wide / 2.0, c.1 - TEXT / 2.0, wide, TEXT);
        let mut best: Option<(f64, P)> = None;
        for ring in 0..9 {
            let far = f64::from(ring) * 3.0;
            for n in 0..if ring == 0 { 1 } else { 16 } {
                let (sin, cos) = libm::sincos(f64::from(n) * std::f64::consts::PI / 8.0);
                let here =
                    (at.0 + (far + wide / 2.0 * f64::from(ring > 0)) * cos, at.1 + far * sin);
                let own = rect(here);
                if !self.sheet.grown(-0.5).holds(own) || self.taken.iter().any(|t| t.overlaps(own))
                {
                    continue;
                }
                let crossed = self.lines.iter().filter(|(a, b, _)| own.grown(0.4).meets(*a, *b));
                let cost = crossed.map(|l| l.2).sum::<f64>() + far / 6.0;
                if best.is_none_or(|b| cost < b.0 - 1e-9) {
                    best = Some((cost, here));
                }
            }
        }
        let seat = best.map_or(at, |b| b.1);
        let own = rect(seat);
        if !own.holds(Rect::new(at.0, at.1, 0.0, 0.0)) {
            let near = (at.0.clamp(own.x, own.right()), at.1.clamp(own.y, own.bottom()));
            svg.line(Line::Fine, near, at);
        }
        svg.haloed((seat.0, seat.1 + TEXT * 0.35), TEXT, Hang::Middle, &name);
        self.taken.push(own.grown(0.3));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cross of outlines right where the name would stand, and another name beside it.
    #[test]
    fn names_stand_clear_of_outlines_and_of_each_other() {
        let sheet = Rect::new(0.0, 0.0, 90.0, 100.0);
        let lines = vec![((45.0, 10.0), (45.0, 90.0), 4.0), ((10.0, 50.0), (80.0, 50.0), 4.0)];
        let mut labels = Labels { lines, taken: Vec::new(), sheet };
        let mut svg = Svg::default();
        for name in ["left-arm", "right-arm", "head"] {
            labels.put(&mut svg, (45.0, 50.0), name);
        }
        for (n, own) in labels.taken.iter().enumerate() {
            assert!(sheet.holds(*own));
            assert!(!labels.lines.iter().any(|(a, b, _)| own.meets(*a, *b)), "{own:?}");
            assert!(!labels.taken[n + 1..].iter().any(|o| o.overlaps(*own)), "{own:?}");
        }
        // Where nothing is in the way it stands in the middle.
        labels.put(&mut svg, (20.0, 80.0), "tail");
        let own = labels.taken[3];
        assert!(
            (own.x + own.w / 2.0 - 20.0).abs() < 1e-6 && (own.y + own.h / 2.0 - 80.0).abs() < 1e-6
        );
    }
}
