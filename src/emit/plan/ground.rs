//! The ground: the yard's outline, its graduation, the viewers' side.

use super::field::Field;
use super::symbols;
use crate::emit::svg::{Hang, Line, P, Rect, Svg};
use crate::emit::words::{decimal, distance};
use crate::model::{Compass, Yard};
use crate::units::{Mm, System};

/// A graduation: the step in yard mm, its unit's name and size in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Graduation {
    /// Distance of two ticks.
    pub step: f64,
    /// One unit in mm.
    pub unit: f64,
    /// What the numbers count.
    pub name: &'static str,
}

/// The finest graduation whose numbers stand at least 12 mm apart.
pub fn graduation(system: System, scale: f64) -> Graduation {
    let (unit, name) = if system == System::Inch { (304.8, "ft") } else { (1000.0, "m") };
    let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0];
    let fine = |s: &f64| s * unit / scale >= 12.0 && (*s >= 1.0 || name == "m");
    let step = steps.into_iter().find(fine).unwrap_or(1e4) * unit;
    Graduation { step, unit, name }
}

/// The yard's rectangle on the paper.
pub fn yard_rect(yard: &Yard, field: &Field) -> Rect {
    let (w, h) = (yard.size.0.0, yard.size.1.0);
    let (x, y) = field.at((0.0, h));
    Rect::new(x, y, w * field.k, h * field.k)
}

/// The strip along the viewers' side that must stay clear, on the paper.
pub fn kept_clear(yard: &Yard, field: &Field) -> Option<Rect> {
    let r = yard_rect(yard, field);
    let deep = yard.keep.map(|k| k.0 * field.k).filter(|d| d.is_finite() && *d > 0.0)?;
    let deep =
        deep.min(if matches!(yard.viewers, Compass::North | Compass::South) { r.h } else { r.w });
    Some(match yard.viewers {
        Compass::North => Rect::new(r.x, r.y, r.w, deep),
        Compass::South => Rect::new(r.x, r.bottom() - deep, r.w, deep),
        Compass::West => Rect::new(r.x, r.y, deep, r.h),
        Compass::East => Rect::new(r.right() - deep, r.y, deep, r.h),
    })
}

/// The grid's crosses, below everything else.
pub fn grid(svg: &mut Svg, yard: &Yard, field: &Field) {
    let g = graduation(yard.system, 1.0 / field.k);
    svg.open("grid", "crosses at the graduation");
    for x in marks(yard.size.0, g) {
        for y in marks(yard.size.1, g) {
            let (px, py) = field.at((x, y));
            svg.line(Line::Fine, (px - 0.8, py), (px + 0.8, py));
            svg.line(Line::Fine, (px, py - 0.8), (px, py + 0.8));
        }
    }
    svg.close();
}

/// Outline and graduation.
pub fn outline(svg: &mut Svg, yard: &Yard, field: &Field) {
    let r = yard_rect(yard, field);
    let g = graduation(yard.system, 1.0 / field.k);
    svg.open("yard", "the yard's edge, graduated from its south-west corner");
    svg.rect(Line::Wide, r);
    for x in marks(yard.size.0, g) {
        let px = field.at((x, 0.0)).0;
        svg.line(Line::Narrow, (px, r.bottom()), (px, r.bottom() + 1.6));
        svg.text((px, r.bottom() + 4.4), 2.3, Hang::Middle, &decimal(x / g.unit, 1));
    }
    for y in marks(yard.size.1, g) {
        let py = field.at((0.0, y)).1;
        svg.line(Line::Narrow, (r.x - 1.6, py), (r.x, py));
        svg.text((r.x - 2.4, py + 0.8), 2.3, Hang::End, &decimal(y / g.unit, 1));
    }
    svg.text((r.x - 2.4, r.bottom() + 4.4), 2.3, Hang::End, g.name);
    svg.close();
}

/// Every mark from nought to the yard's size.
fn marks(size: Mm, g: Graduation) -> impl Iterator<Item = f64> {
    let last = (size.0 / g.step + 1e-9).floor().clamp(0.0, 400.0) as u32;
    (0..=last).map(move |i| f64::from(i) * g.step)
}

/// The viewers' side: hatched where nothing may reach, dimensioned beside it.
pub fn viewers(svg: &mut Svg, yard: &Yard, field: &Field) {
    svg.open("viewers", "where people stand, and what must stay clear of figures");
    let r = yard_rect(yard, field);
    if let Some(strip) = kept_clear(yard, field) {
        svg.hatched(strip);
        let (a, b) = inner_edge(strip, yard.viewers);
        svg.line(Line::Chain, a, b);
        keep(svg, yard, strip, r);
    }
    let (at, upright) = stand(r, yard.viewers);
    let text = "viewers stand along this side";
    if upright {
        svg.upright(at, 2.6, text);
    } else {
        svg.haloed(at, 2.6, Hang::Middle, text);
    }
    svg.close();
}

/// The dimension of the strip kept clear, outside the yard.
fn keep(svg: &mut Svg, yard: &Yard, strip: Rect, r: Rect) {
    let text = yard.keep.map(|k| distance(k, yard.system)).unwrap_or_default();
    let (near, far) = if matches!(yard.viewers, Compass::North | Compass::South) {
        let x = r.right() + 6.0;
        ((x, strip.y), (x, strip.bottom()))
    } else {
        let y = r.y - 6.0;
        ((strip.x, y), (strip.right(), y))
    };
    for end in [near, far] {
        let (from, to) = if matches!(yard.viewers, Compass::North | Compass::South) {
            ((r.right() + 1.0, end.1), (r.right() + 7.5, end.1))
        } else {
            ((end.0, r.y - 1.0), (end.0, r.y - 7.5))
        };
        svg.line(Line::Narrow, from, to);
    }
    symbols::dimension(svg, near, far, &text);
}

/// The side of the clear strip that looks into the yard.
fn inner_edge(s: Rect, side: Compass) -> (P, P) {
    match side {
        Compass::South => ((s.x, s.y), (s.right(), s.y)),
        Compass::North => ((s.x, s.bottom()), (s.right(), s.bottom())),
        Compass::West => ((s.right(), s.y), (s.right(), s.bottom())),
        Compass::East => ((s.x, s.y), (s.x, s.bottom())),
    }
}

/// Where their side is named, and whether the words run up the sheet.
fn stand(r: Rect, side: Compass) -> (P, bool) {
    let (mx, my) = (r.x + r.w / 2.0, r.y + r.h / 2.0);
    match side {
        Compass::South => ((mx, r.bottom() + 10.5), false),
        Compass::North => ((mx, r.y - 4.0), false),
        Compass::West => ((r.x - 11.0, my), true),
        Compass::East => ((r.right() + 5.0, my), true),
    }
}

/// A scale bar of four or five steps from `at` to the right.
pub fn scale_bar(svg: &mut Svg, at: P, system: System, scale: f64) {
    let g = graduation(system, scale);
    let step = g.step / scale;
    let steps = ((58.0 / step).floor() as u32).clamp(1, 5);
    svg.open("scale bar", "distances in the yard");
    for i in 0..steps {
        let x = at.0 + step * f64::from(i);
        let block = [(x, at.1), (x + step, at.1), (x + step, at.1 + 1.4), (x, at.1 + 1.4)];
        if i % 2 == 0 {
            svg.filled(&block);
        }
        svg.path(Line::Narrow, &block, true);
    }
    for i in 0..=steps {
        let unit = if i == steps { format!(" {}", g.name) } else { String::new() };
        let text = format!("{}{unit}", decimal(f64::from(i) * g.step / g.unit, 1));
        svg.text((at.0 + step * f64::from(i), at.1 - 1.0), 2.1, Hang::Middle, &text);
    }
    svg.close();
}
