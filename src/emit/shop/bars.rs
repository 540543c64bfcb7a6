//! Bars in true size: cranks, levers, servo arms, rods.

use super::plates::slot;
use super::{Page, Shop, crank_set};
use crate::emit::paper::flow::{Block, MOST};
use crate::emit::paper::{BODY, Drawing, Measure, STEP, Tile, covering, lines, page};
use crate::emit::svg::{Hang, Line, P, Rect};
use crate::emit::words::decimal;
use crate::make::{Bar, BarKind, Bends};

/// Room for the words over a bar.
const HEAD: f64 = 13.5;

/// All bars: short ones as blocks, long ones on sheets of their own.
pub fn sheets(shop: &Shop<'_>) -> (Vec<Block>, Vec<Page>) {
    let (mut blocks, mut long) = (Vec::new(), Vec::new());
    for bar in &shop.made.bars {
        let drawn = drawing(shop, bar);
        let size = drawn.bounds().map_or((0.0, 0.0), |b| (b.w, b.h));
        if size.0 <= MOST.0 {
            blocks.push(block(shop, bar, &drawn));
        } else {
            long.extend(long_bar(shop, bar, &drawn));
        }
    }
    (blocks, long)
}

/// "Lever of left-arm, right-arm (2)".
pub fn name(shop: &Shop<'_>, bar: &Bar) -> String {
    let count = match bar.count() {
        1 => String::new(),
        n => format!(", {n} alike"),
    };
    format!("{} of {}{count}", bar.kind.word(), shop.names(&bar.limbs))
}

/// With a capital at the beginning.
fn titled(name: &str) -> String {
    let mut title = name.to_owned();
    if let Some(first) = title.get_mut(0..1) {
        first.make_ascii_uppercase();
    }
    title
}

/// What to cut and drill, in lines.
fn words(shop: &Shop<'_>, bar: &Bar) -> [String; 2] {
    let (wide, thick) = (bar.section.0.0, bar.section.1.0);
    let flat = format!("{} by {}", shop.length(wide), shop.length(thick));
    let section = match &bar.stock {
        Some(stock) => format!("{}, {flat}", stock.name),
        None if bar.round() => format!("round {} (usual; any as stiff does)", shop.diameter(wide)),
        None => format!("flat {flat} (usual; any bar as stiff does)"),
    };
    let first = match bar.first {
        Some(hole) if bar.round() => {
            format!("Pins in {} holes or rod ends", shop.diameter(hole.0))
        }
        Some(hole) => {
            let pin = if bar.slot.is_some() { "slot for the crank pin" } else { "pin" };
            let (first, pin_hole) = (shop.diameter(hole.0), shop.diameter(bar.pin.0));
            format!("{first} for {}, {pin} {pin_hole}", bar.through)
        }
        None => format!("First hole to the {}, pin {}", bar.through, shop.diameter(bar.pin.0)),
    };
    let cut = format!("Cut {} from {section}. {first}.", shop.length(bar.cut));
    let more = match (&bar.bends, bar.no_room) {
        (Some(b), _) => format!(
            "Bend twice by {} deg on an inside radius of {}, {} aside{}; then {} pin to pin.",
            decimal(b.angle, 0),
            shop.length(b.radius),
            shop.length(b.step),
            if bar.assumed { ", as assumed" } else { "" },
            shop.length(b.straight)
        ),
        (None, true) if bar.stock.as_ref().is_some_and(|s| s.holes.is_some()) => {
            "Its holes would come too near each other if it were bent: use ball ends.".to_owned()
        }
        (None, true) => "Too short to bend from plane to plane: use ball ends.".to_owned(),
        (None, false) if bar.trial.is_empty() => String::new(),
        (None, false) => {
            "The hole in use is drawn full; the dashed ones are for trying, drill them or not."
                .to_owned()
        }
    };
    [cut, more]
}

/// A bar that fits across a sheet.
fn block(shop: &Shop<'_>, bar: &Bar, drawn: &Drawing) -> Block {
    let mut to = Drawing::default();
    let title = titled(&name(shop, bar));
    let fit = |text: &str, size: f64, bold| crate::emit::paper::fitted(text, size, bold, MOST.0);
    to.bold((0.0, 3.6), 3.6, Hang::Start, &fit(&title, 3.6, true));
    let [cut, more] = words(shop, bar);
    to.text((0.0, 8.0), 2.6, Hang::Start, &fit(&cut, 2.6, false));
    to.text((0.0, 11.8), 2.6, Hang::Start, &fit(&more, 2.6, false));
    let set = crank_set::words(shop, bar);
    let mut head = HEAD;
    for line in set.iter().flat_map(|set| lines(set, 2.6, false, MOST.0)) {
        to.text((0.0, head + 2.1), 2.6, Hang::Start, &line);
        head += 3.8;
    }
    let b = drawn.bounds().unwrap_or(Rect::new(0.0, 0.0, 0.0, 0.0));
    to.lay(drawn, (-b.x, head - b.y));
    Block { drawing: to, size: (MOST.0, head + b.h + 3.0) }
}

/// A bar longer than a sheet is wide: up the sheet, on as many as it takes; of those
/// without a hole or a bend only the number is told.
fn long_bar(shop: &Shop<'_>, bar: &Bar, drawn: &Drawing) -> Vec<Page> {
    let mut turned = Drawing::default();
    turned.lay_turned(drawn, (0.0, 0.0));
    let Some(b) = turned.bounds() else { return Vec::new() };
    // On the right, so that the words have the left.
    let by = (STEP.0 - 4.0 - b.w - b.x, -4.0 - b.bottom());
    let mut on = Drawing::default();
    on.lay(&turned, by);
    // The bar's own length runs up the sheet.
    let up = |at: f64| -> P { (-by.1.abs(), -at + by.1) };
    let all = covering(&on);
    let wanted: Vec<Tile> = all
        .iter()
        .copied()
        .filter(|t| {
            let rows = places(bar).map(|at| Tile::holding((0.0, up(at).1)).row);
            all.len() <= 2 || rows.into_iter().any(|r| r == t.row)
        })
        .collect();
    let length = |mm: f64| shop.length(mm);
    let measure = Measure { origin: (0.0, 0.0), length: &length, keep: &[] };
    let left = all.len() - wanted.len();
    wanted
        .iter()
        .map(|tile| {
            let mut body = page(&on, *tile, &wanted, &measure);
            let x = BODY.x + 9.5;
            let room = STEP.0 - b.w - 18.0;
            let mut y = BODY.y + 16.0;
            for line in lines(&titled(&name(shop, bar)), 3.6, true, room) {
                body.bold((x, y), 3.6, Hang::Start, &line);
                y += 5.0;
            }
            let [cut, more] = words(shop, bar);
            let bare = if left > 0 {
                format!("{left} sheets of bare bar are left out: measure from hole to hole.")
            } else {
                String::new()
            };
            let set = crank_set::words(shop, bar).unwrap_or_default();
            for text in [cut, more, set, bare] {
                for line in lines(&text, 2.6, false, room) {
                    body.text((x, y), 2.6, Hang::Start, &line);
                    y += 3.7;
                }
                y += 1.0;
            }
            let subject = format!("{}, sheet {}", titled(&name(shop, bar)), tile.name());
            Page::full_size(body, subject)
        })
        .collect()
}

/// Where something is to be drilled or bent, from the bar's end.
fn places(bar: &Bar) -> impl Iterator<Item = f64> {
    let long = bar.bends.map_or(bar.pins, |b| b.developed);
    let used = if bar.kind == BarKind::Rod { long } else { bar.pins };
    let bends = bar.bends.iter().flat_map(|b| [b.first, b.second + b.allowance]);
    let all: Vec<f64> =
        [0.0, used].into_iter().chain(bar.trial.iter().copied()).chain(bends).collect();
    all.into_iter().map(|at| at + bar.reach)
}

/// A bar in true size from its left end, its middle line at y = 0, before it is bent.
pub fn drawing(shop: &Shop<'_>, bar: &Bar) -> Drawing {
    let mut to = Drawing::default();
    let half = bar.section.0.0 / 2.0;
    to.rect(Line::Wide, Rect::new(0.0, -half, bar.cut, 2.0 * half));
    to.line(Line::Chain, (-2.0, 0.0), (bar.cut + 2.0, 0.0));
    let long = bar.bends.map_or(bar.pins, |b| b.developed);
    let last = if bar.kind == BarKind::Rod { long } else { bar.pins };
    let round = bar.round();
    let first = bar.first.map_or(5.0, |h| h.0 / 2.0);
    let pin = bar.pin.0 / 2.0;
    if let Some((from, end)) = bar.slot {
        slot(&mut to, (from + bar.reach, 0.0), (end + bar.reach, 0.0), pin);
        let words = format!("slot from {}", shop.length(from));
        to.dimension((bar.reach, -half), (from + bar.reach, -half), 5.0, &words);
    }
    let far = bar.slot.is_none().then_some((last, pin));
    for (at, r) in std::iter::once((0.0, first)).chain(far) {
        // A round rod has no hole in itself: its eye's middle is marked.
        match round {
            true => to.cross((at + bar.reach, 0.0), half + 5.0),
            false => to.hole((at + bar.reach, 0.0), r, half + 1.0 - r),
        }
    }
    for at in &bar.trial {
        to.circle(Line::Dashed, (at + bar.reach, 0.0), pin);
        to.line(Line::Fine, (at + bar.reach, -pin - 1.0), (at + bar.reach, pin + 1.0));
    }
    let mut above = -half;
    if bar.slot.is_some() {
        above -= 7.0;
    }
    if !bar.trial.is_empty() {
        trial_words(shop, bar, &mut to, half);
        above -= 6.0;
    }
    let (a, b) = ((bar.reach, above), (last + bar.reach, above));
    to.dimension(a, b, 6.0, &shop.length(last));
    let ends = ((0.0, half), (bar.cut, half));
    to.dimension(ends.0, ends.1, -7.0, &format!("cut {}", shop.length(bar.cut)));
    if let Some(bends) = &bar.bends {
        bent(shop, bar, bends, &mut to);
    }
    to
}

/// The sizes of trial holes over them, as many as there is room for.
fn trial_words(shop: &Shop<'_>, bar: &Bar, to: &mut Drawing, half: f64) {
    let mut end = f64::NEG_INFINITY;
    for at in &bar.trial {
        let words = shop.length(*at);
        let wide = crate::emit::paper::width(&words, 2.3, false);
        let x = at + bar.reach;
        if x - wide / 2.0 < end + 1.0 {
            continue;
        }
        end = x + wide / 2.0;
        to.text((x, -half - 1.5), 2.3, Hang::Middle, &words);
    }
}

/// Where a rod is bent, and how it then looks from the side.
fn bent(shop: &Shop<'_>, bar: &Bar, bends: &Bends, to: &mut Drawing) {
    let half = bar.section.0.0 / 2.0;
    let places =
        [bends.first, bends.first + bends.allowance, bends.second, bends.second + bends.allowance];
    for at in places {
        to.line(Line::Dashed, (at + bar.reach, -half - 2.0), (at + bar.reach, half + 2.0));
    }
    let low = half + 17.0;
    for (n, at) in [bends.first, bends.second].into_iter().enumerate() {
        let words = format!("bend {} from {}", ["up", "back"][n], shop.length(at));
        let (x, hang) = if n == 0 {
            (at + bar.reach, Hang::End)
        } else {
            (at + bends.allowance + bar.reach, Hang::Start)
        };
        to.text((x, half + 5.2), 2.3, hang, &words);
    }
    // From the side, bent: two flats and the slope between them, by their edges.
    let side = profile(bends, bar.reach);
    let thick = bar.section.1.0 / 2.0;
    for sign in [-1.0, 1.0] {
        let edge: Vec<P> = side
            .iter()
            .map(|(x, y, turn)| {
                let (s, c) = (libm::sin(*turn), libm::cos(*turn));
                (x + bar.reach - sign * thick * s, low + bends.step - y + thick - sign * thick * c)
            })
            .collect();
        to.path(Line::Wide, &edge, false);
    }
    let y = low + bends.step + thick;
    let over = bends.straight + bar.reach;
    for (x, y) in [(0.0, y), (over + bar.reach, y - bends.step)] {
        to.line(Line::Wide, (x, y - thick), (x, y + thick));
    }
    for (x, y) in [(bar.reach, y), (over, y - bends.step)] {
        to.cross((x, y), thick + 3.0);
    }
    let from = (bar.reach, y + thick + 3.0);
    to.dimension(
        from,
        (over, from.1),
        -6.0,
        &format!("{} pin to pin", shop.length(bends.straight)),
    );
}

/// The middle line of a bent rod from end to end: along, up, and its slope in rad.
fn profile(b: &Bends, reach: f64) -> Vec<(f64, f64, f64)> {
    /// Straight lines in each bend.
    const PARTS: usize = 16;
    let angle = b.angle.to_radians();
    let slope = b.second - b.first - b.allowance;
    // What the two bends and the slope leave of the way across belongs to no flat.
    let over = b.over;
    let middle = (over - slope * libm::cos(angle)) / (2.0 * libm::sin(angle));
    let mut line = vec![(-reach, 0.0, 0.0)];
    let (mut x, mut y) = (b.first, 0.0);
    for way in [1.0, -1.0] {
        let begin = if way > 0.0 { 0.0 } else { angle };
        for n in 0..=PARTS {
            let turned = angle * n as f64 / PARTS as f64;
            let at = begin + way * turned;
            let (dx, dy) = (
                way * middle * (libm::sin(at) - libm::sin(begin)),
                way * middle * (libm::cos(begin) - libm::cos(at)),
            );
            line.push((x + dx, y + dy, at));
        }
        let last = line[line.len() - 1];
        (x, y) = (last.0, last.1);
        if way > 0.0 {
            x += slope * libm::cos(angle);
            y += slope * libm::sin(angle);
        }
    }
    line.push((b.straight + reach, y, 0.0));
    line
}
