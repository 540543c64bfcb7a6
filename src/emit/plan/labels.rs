//! Names beside what they name: leader lines that cross nothing.
//!
//! Every label tries a fixed list of places around its point, nearest first, and
//! takes the one that costs least; the most crowded labels choose first. Where
//! nothing fits the label shrinks to its short form, and where that does not fit
//! either it is left out and counted. No chance is involved: the same yard gives
//! the same sheet.

use crate::emit::svg::{P, Rect, text_width};

/// Height of the letters, mm.
pub const SIZE: f64 = 2.5;

/// What is to be named.
#[derive(Clone, Debug)]
pub struct Wish {
    /// Where the leader ends.
    pub target: P,
    /// How far around the target no text may stand.
    pub clear: f64,
    /// The name.
    pub text: String,
    /// What stands there where the name does not fit; "" for nothing.
    pub short: String,
}

/// A label in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Index of its wish.
    pub wish: usize,
    /// The text, whole or short.
    pub text: String,
    /// Left end of its shoulder line; the text stands above it.
    pub left: P,
    /// Width of the shoulder.
    pub width: f64,
    /// The leader: shoulder's near end to target.
    pub leader: (P, P),
}

/// Steps out from a target, mm.
const STEPS: [f64; 7] = [5.0, 7.5, 10.5, 14.0, 18.5, 24.0, 31.0];

/// Directions, degrees counter-clockwise from the right, the preferred first.
const WAYS: [f64; 12] =
    [50.0, 130.0, 25.0, 155.0, 70.0, 110.0, -50.0, -130.0, -25.0, -155.0, -70.0, -110.0];

/// What labels must keep clear of.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    /// The part of the sheet that may carry labels.
    pub area: Option<Rect>,
    /// Things no text may cover.
    pub solid: Vec<Rect>,
    /// Lines a text should not stand on, where it can be helped.
    pub lines: Vec<(P, P)>,
}

/// Places all labels; wishes without a label did not fit.
pub fn place(wishes: &[Wish], ground: &Ground) -> Vec<Label> {
    let mut order: Vec<(usize, usize)> = wishes
        .iter()
        .enumerate()
        .map(|(i, w)| {
            let near = wishes.iter().filter(|o| apart(o.target, w.target) < 30.0).count();
            (near, i)
        })
        .collect();
    order.sort_by_key(|&(near, i)| (std::cmp::Reverse(near), i));
    let mut placed: Vec<Label> = Vec::new();
    for (_, i) in order {
        let wish = &wishes[i];
        let forms = [wish.text.as_str(), wish.short.as_str()];
        let label = forms
            .into_iter()
            .filter(|t| !t.is_empty())
            .find_map(|text| best(i, wish, text, ground, wishes, &placed));
        placed.extend(label);
    }
    placed.sort_by_key(|l| l.wish);
    placed
}

fn apart(a: P, b: P) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

/// The cheapest place for one text that breaks no rule.
fn best(
    index: usize,
    wish: &Wish,
    text: &str,
    ground: &Ground,
    wishes: &[Wish],
    placed: &[Label],
) -> Option<Label> {
    let width = text_width(text, SIZE) + 0.8;
    let mut cheapest: Option<(f64, Label)> = None;
    for (ring, step) in STEPS.into_iter().enumerate() {
        for (rank, way) in WAYS.into_iter().enumerate() {
            let cost = ring as f64 * 4.0 + rank as f64 * 0.5;
            if cheapest.as_ref().is_some_and(|(c, _)| *c <= cost) {
                continue;
            }
            let label = candidate(index, wish, text, width, step + wish.clear, way);
            if let Some(extra) = judge(&label, wish, ground, wishes, placed) {
                let total = cost + extra;
                if cheapest.as_ref().is_none_or(|(c, _)| total < *c) {
                    cheapest = Some((total, label));
                }
            }
        }
    }
    cheapest.map(|(_, label)| label)
}

/// A label a step away from its target.
fn candidate(index: usize, wish: &Wish, text: &str, width: f64, step: f64, way: f64) -> Label {
    let angle = way * (std::f64::consts::PI / 180.0);
    let (dx, dy) = (libm::cos(angle), -libm::sin(angle));
    let elbow = (wish.target.0 + dx * step, wish.target.1 + dy * step);
    let left = if dx >= 0.0 { elbow } else { (elbow.0 - width, elbow.1) };
    Label { wish: index, text: text.to_owned(), left, width, leader: (elbow, wish.target) }
}

/// The box a label's text takes.
pub fn text_box(label: &Label) -> Rect {
    Rect::new(label.left.0, label.left.1 - SIZE * 1.15, label.width, SIZE * 1.15 + 0.5)
}

/// What a place costs beyond its distance; `None` where it breaks a rule.
fn judge(
    label: &Label,
    wish: &Wish,
    ground: &Ground,
    wishes: &[Wish],
    placed: &[Label],
) -> Option<f64> {
    let own = text_box(label).grown(0.4);
    if ground.area.is_some_and(|a| !a.holds(own)) || ground.solid.iter().any(|s| s.overlaps(own)) {
        return None;
    }
    for other in placed {
        let theirs = text_box(other).grown(0.3);
        let clash = theirs.overlaps(own)
            || crosses(other.leader, own)
            || crosses(label.leader, theirs)
            || meet(label.leader, other.leader);
        if clash {
            return None;
        }
    }
    let on_lines = ground.lines.iter().filter(|&&l| crosses(l, own)).count();
    // A leader that runs over another thing can be read, but not as well.
    let over = ground.solid.iter().filter(|s| crosses(label.leader, **s)).count();
    let near = wishes
        .iter()
        .filter(|w| w.target != wish.target && from_segment(w.target, label.leader) < 1.5)
        .count();
    Some(on_lines as f64 * 3.0 + over.saturating_sub(1) as f64 * 6.0 + near as f64 * 8.0)
}

/// Distance of a point from a segment.
fn from_segment(p: P, (a, b): (P, P)) -> f64 {
    let (ux, uy) = (b.0 - a.0, b.1 - a.1);
    let len2 = ux * ux + uy * uy;
    let t = if len2 > 0.0 {
        (((p.0 - a.0) * ux + (p.1 - a.1) * uy) / len2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    apart(p, (a.0 + ux * t, a.1 + uy * t))
}

fn side(a: P, b: P, p: P) -> f64 {
    (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
}

/// Whether two segments cross or touch.
pub fn meet((a, b): (P, P), (c, d): (P, P)) -> bool {
    let apart_in = |lo: f64, hi: f64, lo2: f64, hi2: f64| lo.max(hi) < lo2.min(hi2);
    if apart_in(a.0, b.0, c.0, d.0)
        || apart_in(c.0, d.0, a.0, b.0)
        || apart_in(a.1, b.1, c.1, d.1)
        || apart_in(c.1, d.1, a.1, b.1)
    {
        return false;
    }
    side(a, b, c) * side(a, b, d) <= 0.0 && side(c, d, a) * side(c, d, b) <= 0.0
}

/// Whether a segment runs through a rectangle.
pub fn crosses(line: (P, P), r: Rect) -> bool {
    let inside = |p: P| p.0 > r.x && p.0 < r.right() && p.1 > r.y && p.1 < r.bottom();
    if inside(line.0) || inside(line.1) {
        return true;
    }
    let c = [(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())];
    (0..4).any(|i| meet(line, (c[i], c[(i + 1) % 4])))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wish(x: f64, y: f64) -> Wish {
        let (text, short) = ("a scarecrow".to_owned(), "12".to_owned());
        Wish { target: (x, y), clear: 1.0, text, short }
    }

    #[test]
    fn labels_and_leaders_keep_apart() {
        let wishes: Vec<Wish> = (0..60)
            .map(|i| wish(20.0 + f64::from(i % 10) * 14.0, 20.0 + f64::from(i / 10) * 14.0))
            .collect();
        let area = Some(Rect::new(0.0, 0.0, 190.0, 130.0));
        let labels = place(&wishes, &Ground { area, ..Ground::default() });
        assert!(labels.len() > 40, "{}", labels.len());
        for (i, a) in labels.iter().enumerate() {
            for b in &labels[..i] {
                assert!(!text_box(a).overlaps(text_box(b)), "{a:?} {b:?}");
                assert!(!meet(a.leader, b.leader), "{a:?} {b:?}");
                assert!(!crosses(a.leader, text_box(b)), "{a:?} {b:?}");
            }
        }
    }

    #[test]
    fn a_label_that_fits_nowhere_is_left_out() {
        let area = Some(Rect::new(0.0, 0.0, 3.0, 3.0));
        assert!(place(&[wish(1.0, 1.0)], &Ground { area, ..Ground::default() }).is_empty());
    }
}
