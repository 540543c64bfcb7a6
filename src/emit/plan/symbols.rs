//! The signs of the plan, each drawn the same on the sheet and in the legend.

use crate::emit::svg::{Hang, Line, P, Rect, Svg};

/// Half the width of a supply's or controller's square, mm.
pub const HALF: f64 = 2.2;

/// A supply: mains in, low voltage out (IEC 60617, converter).
pub fn supply(svg: &mut Svg, (x, y): P) {
    svg.card(Line::Wide, Rect::new(x - HALF, y - HALF, 2.0 * HALF, 2.0 * HALF));
    svg.line(Line::Narrow, (x - HALF, y + HALF), (x + HALF, y - HALF));
    let wave: Vec<P> = (0..=8)
        .map(|i| {
            let t = f64::from(i) / 8.0;
            let up = libm::sin(t * 2.0 * std::f64::consts::PI);
            (x - 1.9 + 1.8 * t, y - 1.1 - 0.45 * up)
        })
        .collect();
    svg.path(Line::Narrow, &wave, false);
    svg.line(Line::Narrow, (x + 0.3, y + 0.9), (x + 1.9, y + 0.9));
    svg.line(Line::Narrow, (x + 0.3, y + 1.5), (x + 1.9, y + 1.5));
}

/// A controller: a train of pulses.
pub fn controller(svg: &mut Svg, (x, y): P) {
    svg.card(Line::Wide, Rect::new(x - HALF, y - HALF, 2.0 * HALF, 2.0 * HALF));
    let (lo, hi) = (y + 0.9, y - 0.9);
    let steps = [-1.8, -1.1, -1.1, -0.2, -0.2, 0.5, 0.5, 1.2, 1.2, 1.8];
    let levels = [lo, lo, hi, hi, lo, lo, hi, hi, lo, lo];
    let pulses: Vec<P> = steps.iter().zip(levels).map(|(dx, y)| (x + dx, y)).collect();
    svg.path(Line::Narrow, &pulses, false);
}

/// A peg: a ring and a cross.
pub fn peg(svg: &mut Svg, (x, y): P) {
    svg.circle(Line::Narrow, (x, y), 1.3);
    cross(svg, (x, y), 2.2);
}

/// A small upright cross.
pub fn cross(svg: &mut Svg, (x, y): P, half: f64) {
    svg.line(Line::Narrow, (x - half, y), (x + half, y));
    svg.line(Line::Narrow, (x, y - half), (x, y + half));
}

/// A speaker: box and horn.
pub fn speaker(svg: &mut Svg, (x, y): P) {
    svg.card(Line::Wide, Rect::new(x - 1.9, y - 1.0, 1.5, 2.0));
    svg.paper(
        Line::Wide,
        &[(x - 0.4, y - 1.0), (x + 1.8, y - 2.3), (x + 1.8, y + 2.3), (x - 0.4, y + 1.0)],
    );
}

/// An arrow from `from` to its head at `to`.
pub fn arrow(svg: &mut Svg, from: P, to: P) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let length = libm::hypot(dx, dy);
    if length < 1e-6 {
        return;
    }
    let (ux, uy) = (dx / length, dy / length);
    let base = (to.0 - ux * 1.9, to.1 - uy * 1.9);
    svg.line(Line::Narrow, from, base);
    svg.filled(&[
        to,
        (base.0 - uy * 0.5, base.1 + ux * 0.5),
        (base.0 + uy * 0.5, base.1 - ux * 0.5),
    ]);
}

/// A dimension between two points of one level or upright line, arrows at both
/// ends, its text in the middle.
pub fn dimension(svg: &mut Svg, a: P, b: P, text: &str) {
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    arrow(svg, middle, a);
    arrow(svg, middle, b);
    if (a.0 - b.0).abs() < (a.1 - b.1).abs() {
        svg.upright((middle.0 - 0.9, middle.1), 2.3, text);
    } else {
        svg.haloed((middle.0, middle.1 - 0.9), 2.3, Hang::Middle, text);
    }
}

/// North: a needle in a ring.
pub fn north(svg: &mut Svg, (x, y): P) {
    svg.circle(Line::Narrow, (x, y), 4.2);
    svg.filled(&[(x, y - 6.0), (x - 1.7, y + 3.6), (x, y + 2.4)]);
    svg.paper(Line::Narrow, &[(x, y - 6.0), (x + 1.7, y + 3.6), (x, y + 2.4)]);
    svg.bold((x, y - 6.8), 3.0, Hang::Middle, "N");
}
