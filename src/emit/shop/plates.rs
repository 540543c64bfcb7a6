//! Limbs in true size, seen from the front, their axis up the sheet.

use super::board::Words;
use super::{Page, Shop, clamp};
use crate::emit::paper::{Drawing, Measure, STEP, Tile, covering, fitted, page, width};
use crate::emit::svg::{Hang, Line, P};
use crate::emit::words::decimal;
use crate::make::LimbPlate;

/// A place in a limb's own plane on its drawing.
pub fn on_sheet(at: (f64, f64)) -> P {
    (-at.1, -at.0)
}

/// A limb's outline, holes and marks, without words.
pub fn drawing(plate: &LimbPlate) -> Drawing {
    let mut to = Drawing::default();
    let corners: Vec<P> = plate.corners.iter().map(|c| on_sheet(*c)).collect();
    to.path(Line::Wide, &corners, true);
    let axis: Vec<f64> = plate.corners.iter().map(|c| c.0).collect();
    let (low, high) = axis.iter().fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(*v), h.max(*v)));
    to.line(Line::Chain, on_sheet((low, 0.0)), on_sheet((high, 0.0)));
    for hole in &plate.holes {
        let at = on_sheet(hole.at);
        match hole.hole {
            Some(hole) => to.hole(at, hole.0 / 2.0, 5.0),
            None => to.cross(at, 5.0),
        }
    }
    if let Some([a, b]) = plate.slot {
        slot(&mut to, on_sheet(a), on_sheet(b), plate.slot_width.0 / 2.0);
    }
    if let Some((at, _)) = plate.counterweight {
        to.circle(Line::Dashed, on_sheet((-at, 0.0)), 15.0);
        to.cross(on_sheet((-at, 0.0)), 5.0);
    }
    if let Some(set) = &plate.lever {
        clamp::draw(&mut to, set);
    }
    to
}

/// A slot between its two ends, `2 r` wide: the middles of its round ends lie `r` inside.
pub fn slot(to: &mut Drawing, a: P, b: P, r: f64) {
    let long = libm::hypot(b.0 - a.0, b.1 - a.1);
    if long <= 0.0 {
        return;
    }
    let (ux, uy) = ((b.0 - a.0) / long, (b.1 - a.1) / long);
    let inset = r.min(long / 2.0);
    let middles = [(b, -inset), (a, inset)].map(|(p, d)| (p.0 + ux * d, p.1 + uy * d));
    /// Straight lines in each round end.
    const PARTS: usize = 24;
    let mut points = Vec::new();
    for (end, sign) in middles.into_iter().zip([1.0, -1.0]) {
        for n in 0..=PARTS {
            let turn = std::f64::consts::PI * (n as f64 / PARTS as f64 - 0.5);
            let (c, s) = (libm::cos(turn) * sign * r, libm::sin(turn) * sign * r);
            points.push((end.0 + ux * c - uy * s, end.1 + uy * c + ux * s));
        }
    }
    to.path(Line::Wide, &points, true);
    to.line(Line::Chain, a, b);
}

/// The sheets of every limb that is not cut like an earlier one.
pub fn sheets(shop: &Shop<'_>) -> Vec<Page> {
    let mut pages = Vec::new();
    for (index, made) in shop.made.limbs.iter().enumerate() {
        let Some(plate) = made.plate.as_ref().filter(|p| p.twin.is_none()) else { continue };
        pages.extend(of_limb(shop, index, plate));
    }
    pages
}

/// The limbs cut on another's sheets: "right-arm, turned over".
fn twins(shop: &Shop<'_>, index: usize) -> Vec<String> {
    let twin = |(n, made): (usize, &crate::make::MadeLimb)| {
        let twin = made.plate.as_ref()?.twin.filter(|t| t.limb == index)?;
        let name = &shop.limb(n).name.value;
        Some(if twin.mirrored { format!("{name} turned over") } else { name.clone() })
    };
    shop.made.limbs.iter().enumerate().filter_map(twin).collect()
}

/// A limb that takes more sheets than this is printed without those of bare edges.
const FEW: usize = 4;

/// The sheets that show a corner, a hole or a slot.
fn telling(plate: &LimbPlate, by: P, tiles: Vec<Tile>) -> Vec<Tile> {
    if tiles.len() <= FEW {
        return tiles;
    }
    let places = plate.corners.iter().copied().chain(plate.holes.iter().map(|h| h.at));
    let places = places.chain(plate.slot.into_iter().flatten());
    let places = places.chain(plate.lever.map(|l| (l.bar.pin.x, l.bar.pin.y)));
    let wanted: Vec<Tile> =
        places.map(on_sheet).map(|p| Tile::holding((p.0 + by.0, p.1 + by.1))).collect();
    tiles.into_iter().filter(|t| wanted.contains(t)).collect()
}

fn of_limb(shop: &Shop<'_>, index: usize, plate: &LimbPlate) -> Vec<Page> {
    let name = &shop.limb(index).name.value;
    let raw = drawing(plate);
    let Some(b) = raw.bounds() else { return Vec::new() };
    // A limb that fits on one sheet stands in its middle; others begin in the corner.
    let one = b.w <= STEP.0 - 4.0 && b.h <= STEP.1 - 16.0;
    let lower_left =
        if one { ((STEP.0 - b.w) / 2.0, -((STEP.1 - 14.0 - b.h) / 2.0)) } else { (4.0, -4.0) };
    let by = (lower_left.0 - b.x, lower_left.1 - b.bottom());
    let mut drawing = Drawing::default();
    drawing.lay(&raw, by);
    let tiles = if one { vec![Tile { row: 0, column: 0 }] } else { covering(&drawing) };
    let (all, tiles) = (tiles.len(), telling(plate, by, tiles));
    let length = |mm: f64| shop.length(mm);
    let measure = Measure { origin: (0.0, 0.0), length: &length, keep: &[] };
    let sheet = plate.sheet.as_deref().map_or(String::new(), |s| format!(", {s}"));
    let bare = match all - tiles.len() {
        0 => String::new(),
        n => format!("; {n} sheets of straight edges left out: join the corners with a ruler"),
    };
    let like = twins(shop, index);
    let like =
        if like.is_empty() { String::new() } else { format!("; {} likewise", like.join(", ")) };
    let mut pages = Vec::new();
    for tile in &tiles {
        let mut body = match one {
            true => {
                let mut body = Drawing::default();
                body.lay(&drawing, tile.shift());
                body
            }
            false => page(&drawing, *tile, &tiles, &measure),
        };
        let mut words = Words::new(*tile);
        let places: Vec<(P, f64, Vec<String>)> = labels(shop, plate)
            .into_iter()
            .map(|(at, r, lines)| ((at.0 + by.0, at.1 + by.1), r, lines))
            .collect();
        for (at, r, _) in &places {
            words.keep(*at, r + 2.0);
        }
        words.keep_lines(&drawing);
        head(&mut body, &mut words, &format!("{name}{sheet}, from the front{like}{bare}"));
        for (at, r, lines) in &places {
            words.put(&mut body, *at, *r, lines);
        }
        let part = if one { String::new() } else { format!(", sheet {}", tile.name()) };
        pages.push(Page::full_size(body, format!("Limb {name}: outline and holes{part}")));
    }
    pages
}

/// A line of words near the top of a sheet, broken where there is little room.
pub fn head(body: &mut Drawing, taken: &mut Words, words: &str) {
    const SIZE: f64 = 3.2;
    for wide in [170.0, 100.0, 60.0] {
        let lines = crate::emit::paper::lines(words, SIZE, true, wide);
        let long = lines.iter().map(|l| width(l, SIZE, true)).fold(0.0, f64::max);
        let Some(r) = taken.room(long, 4.4 * lines.len() as f64) else { continue };
        for (n, line) in lines.iter().enumerate() {
            let line = fitted(line, SIZE, true, long + 0.01);
            body.bold((r.x, r.y + 3.4 + 4.4 * n as f64), SIZE, Hang::Start, &line);
        }
        return;
    }
}

/// The words of a plate's holes and marks.
fn labels(shop: &Shop<'_>, plate: &LimbPlate) -> Vec<(P, f64, Vec<String>)> {
    let mut labels = Vec::new();
    for hole in &plate.holes {
        let mut lines = vec![hole.name.clone()];
        lines.extend(hole.hole.map(|d| shop.diameter(d.0)));
        let from = libm::hypot(hole.at.0, hole.at.1);
        if from > 0.05 {
            let angle = libm::atan2(hole.at.1, hole.at.0).to_degrees();
            let turned = match angle.abs() < 0.05 {
                true => String::new(),
                false => format!(", {} deg {}", decimal(angle.abs(), 1), way(angle)),
            };
            lines.push(format!("{} from the pivot{turned}", shop.length(from)));
        }
        labels.push((on_sheet(hole.at), hole.hole.map_or(2.0, |d| d.0 / 2.0), lines));
    }
    if let Some([a, b]) = plate.slot {
        let ends = [libm::hypot(a.0, a.1), libm::hypot(b.0, b.1)].map(|v| shop.length(v));
        let lines = vec![
            "slot for the crank pin".to_owned(),
            format!("{} to {} from the pivot", ends[0], ends[1]),
        ];
        labels.push((on_sheet(((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)), 3.3, lines));
    }
    if let Some((at, mass)) = plate.counterweight {
        let mass = mass
            .map_or("weight to be found".to_owned(), |m| crate::units::print::mass(m, shop.system));
        let lines =
            vec!["counterweight".to_owned(), mass, format!("{} from the pivot", shop.length(at))];
        labels.push((on_sheet((-at, 0.0)), 15.0, lines));
    }
    if let Some(tail) = plate.tail {
        let lines = vec![
            format!("tail of {} assumed", shop.length(tail.0)),
            "so that the bolt has wood all round".to_owned(),
        ];
        labels.push((on_sheet((-tail.0, 0.0)), 1.0, lines));
    }
    if let Some(set) = &plate.lever {
        let pin = (set.bar.pin.x, set.bar.pin.y);
        labels.push((on_sheet(pin), 3.0, clamp::label(shop, set)));
    }
    labels
}

fn way(angle: f64) -> &'static str {
    if angle < 0.0 {
        "clockwise of the line to the tip"
    } else {
        "counter-clockwise of the line to the tip"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::emit::paper::Mark;

    // A pin of 6 mm that runs from 60 to 140 mm from the pivot with 2 mm to spare needs a slot
    // from 55 to 145 mm, and no longer.
    #[test]
    fn a_slot_is_as_long_as_its_ends_are_apart() {
        let mut to = Drawing::default();
        slot(&mut to, (55.0, 0.0), (145.0, 0.0), 3.3);
        let all = to.marks.iter().find_map(|m| match m {
            Mark::Path { points, closed: true, .. } => Some(points.clone()),
            _ => None,
        });
        let all = all.unwrap();
        let least = all.iter().map(|p| p.0).fold(f64::INFINITY, f64::min);
        let most = all.iter().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max);
        assert!((least - 55.0).abs() < 1e-9 && (most - 145.0).abs() < 1e-9, "{least} {most}");
        let wide = all.iter().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max);
        assert!((wide - 3.3).abs() < 1e-9, "{wide}");
    }
}
