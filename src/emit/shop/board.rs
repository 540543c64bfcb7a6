//! The board from behind, in true size: the sheets that hold holes.

use super::{Page, Shop};
use crate::emit::paper::{BODY, Drawing, Fill, Mark, Measure, STEP, Tile, crosses, page, width};
use crate::emit::svg::{Hang, Line, P, Rect};
use crate::geometry::{BoardPoint, Outline};
use crate::make::{Drill, Hole, Made};

/// Where a place lies on the drawing of the board from behind: the left lower corner of
/// its box is the origin, y down.
pub fn behind(shop: &Shop<'_>, at: BoardPoint) -> P {
    let (across, up) = shop.made.in_box(at);
    (across + shop.net.0, shop.net.1 - up)
}

/// Steps in which the net of sheets is moved, mm.
const MOVED: usize = 10;

/// Where the net of sheets begins: of all places along and up by steps of 10 mm the one
/// that takes the fewest sheets, and of those the one that keeps the holes farthest off
/// the cuts; what the corner of the board's box is then moved by on its drawing.
pub fn net(made: &Made) -> P {
    let holes = made.holes.iter().filter(|h| h.drill.on_paper());
    let holes: Vec<(f64, f64)> = holes.map(|h| made.in_box(h.at)).collect();
    // More holes than this need most of the sheets anyhow.
    if holes.is_empty() || holes.len() > 60 {
        return (0.0, 0.0);
    }
    let mut best: Option<(usize, f64, P)> = None;
    for x in (0..STEP.0 as usize).step_by(MOVED) {
        for y in (0..STEP.1 as usize).step_by(MOVED) {
            let by = (x as f64, -(y as f64));
            let places: Vec<P> = holes.iter().map(|h| (h.0 + by.0, by.1 - h.1)).collect();
            let mut tiles: Vec<Tile> = places.iter().map(|p| Tile::holding(*p)).collect();
            tiles.sort();
            tiles.dedup();
            let edge = places.iter().zip(places.iter().map(|p| Tile::holding(*p).cell()));
            let edge = edge.map(|(p, c)| {
                (p.0 - c.x).min(c.right() - p.0).min(p.1 - c.y).min(c.bottom() - p.1)
            });
            // Words need no more than this.
            let edge = edge.fold(50.0, f64::min);
            let better = |b: &(usize, f64, P)| {
                tiles.len() < b.0 || (tiles.len() == b.0 && edge > b.1 + 1e-6)
            };
            if best.as_ref().is_none_or(better) {
                best = Some((tiles.len(), edge, by));
            }
        }
    }
    best.map_or((0.0, 0.0), |b| b.2)
}

/// What is drilled, in a few words.
pub fn drill(shop: &Shop<'_>, drill: &Drill) -> String {
    match drill {
        Drill::Bolt(bolt, hole) => format!("{} for {bolt}", shop.diameter(hole.0)),
        Drill::Bushing(bolt, _) => format!("to the bushing's outside, {bolt} inside"),
        Drill::Shaft(_) => "motor shaft, by the motor's own holes".to_owned(),
        Drill::Eye => "eye for the cord".to_owned(),
        Drill::Mark => "mark only".to_owned(),
        Drill::Brace => "where it meets its post".to_owned(),
    }
}

impl Shop<'_> {
    /// A drill's diameter: tenths of a mm, or thousandths of an inch.
    pub fn diameter(&self, mm: f64) -> String {
        use crate::emit::words::decimal;
        match self.system {
            crate::units::System::Inch => format!("\u{2300} {} in", decimal(mm / 25.4, 3)),
            _ => format!("\u{2300} {} mm", decimal(mm, 1)),
        }
    }
}

/// Half the size of what is drawn for a hole, mm.
pub fn radius(hole: &Hole) -> f64 {
    match &hole.drill {
        Drill::Bolt(_, hole) => hole.0 / 2.0,
        Drill::Bushing(_, bolt) => bolt.0 / 2.0,
        Drill::Shaft(_) => 5.0,
        Drill::Eye | Drill::Mark | Drill::Brace => 2.0,
    }
}

/// Board, frame, motors and holes from behind, without words.
pub fn drawing(shop: &Shop<'_>) -> Drawing {
    let mut to = Drawing::default();
    let figure = shop.figure();
    if let Some(outline) = &figure.board.outline {
        let corners: Vec<P> = outline.corners().iter().map(|p| behind(shop, *p)).collect();
        to.path(Line::Wide, &corners, true);
    }
    for member in &figure.frame {
        let strip = Outline::strip(member.from, member.to, member.width);
        let Some(strip) = strip else { continue };
        let corners: Vec<P> = strip.corners().iter().map(|p| behind(shop, *p)).collect();
        to.path(Line::Narrow, &corners, true);
    }
    for hole in &shop.made.holes {
        let at = behind(shop, hole.at);
        let r = radius(hole);
        match &hole.drill {
            Drill::Shaft(body) => {
                to.circle(Line::Wide, at, r);
                to.cross(at, r + 8.0);
                if let Some((w, h)) = body {
                    let r = Rect::new(at.0 - w.0 / 2.0, at.1 - h.0 / 2.0, w.0, h.0);
                    to.rect(Line::Dashed, r);
                }
            }
            Drill::Bushing(..) => {
                to.hole(at, r, 6.0);
                // About the bushing: the bolt is sure, its outside is not.
                to.circle(Line::Dashed, at, r * 1.6);
            }
            Drill::Bolt(..) => to.hole(at, r, 6.0),
            Drill::Eye => to.hole(at, r, 4.0),
            Drill::Mark | Drill::Brace => to.cross(at, 6.0),
        }
    }
    if figure.board.outline.is_some() || !shop.made.holes.is_empty() {
        origin(&mut to, behind(shop, shop.made.datum.at), 14.0);
    }
    to
}

/// The mark of the place that lengths count from: a level and a plumb line through it, with
/// arrows the way they count.
pub fn origin(to: &mut Drawing, at: P, arm: f64) {
    for (x, y) in [(1.0, 0.0), (0.0, -1.0)] {
        let tip = (at.0 + x * arm, at.1 + y * arm);
        to.line(Line::Wide, (at.0 - x * arm / 2.0, at.1 - y * arm / 2.0), tip);
        let (back, side) = (arm / 4.0, arm / 12.0);
        let foot = (tip.0 - x * back, tip.1 - y * back);
        let head =
            [tip, (foot.0 + y * side, foot.1 + x * side), (foot.0 - y * side, foot.1 - x * side)];
        to.area(None, &head, true, Fill::Ink);
    }
}

/// The sheets that hold holes, from the top.
pub fn tiles(shop: &Shop<'_>) -> Vec<Tile> {
    let holes = shop.made.holes.iter().filter(|h| h.drill.on_paper());
    let mut tiles: Vec<Tile> = holes.map(|h| Tile::holding(behind(shop, h.at))).collect();
    tiles.sort_by(|a, b| b.row.cmp(&a.row).then(a.column.cmp(&b.column)));
    tiles.dedup();
    tiles
}

/// The drill sheets.
pub fn sheets(shop: &Shop<'_>) -> Vec<Page> {
    let tiles = tiles(shop);
    let drawing = drawing(shop);
    let length = |mm: f64| shop.length(mm);
    let keep: Vec<Rect> = shop.made.holes.iter().map(|hole| around(shop, hole)).collect();
    let origin = behind(shop, shop.made.datum.at);
    let measure = Measure { origin, length: &length, keep: &keep };
    let sheet = |tile: &Tile| {
        let mut body = page(&drawing, *tile, &tiles, &measure);
        let mut words = Words::new(*tile);
        for hole in &shop.made.holes {
            words.keep(behind(shop, hole.at), radius(hole) + 3.0);
        }
        banner(&mut body, &mut words);
        for hole in &shop.made.holes {
            let at = behind(shop, hole.at);
            let (across, up) = shop.made.behind(hole.at);
            let place = format!("{} across, {} up", shop.place(across), shop.place(up));
            let lines = [hole.name.clone(), drill(shop, &hole.drill), place];
            words.put(&mut body, at, radius(hole), &lines);
        }
        words.put(&mut body, origin, 3.0, &["O: lengths count from here".to_owned()]);
        let corners = shop.made.datum.corners.iter().filter(|c| c.0 != 'O');
        for (letter, at) in corners {
            words.put(&mut body, behind(shop, *at), 1.0, &[format!("corner {letter}")]);
        }
        Page::full_size(
            body,
            format!("Drill sheet {}: the board from behind, mirrored", tile.name()),
        )
    };
    tiles.iter().map(sheet).collect()
}

/// What a hole with its centre lines takes on the drawing.
fn around(shop: &Shop<'_>, hole: &Hole) -> Rect {
    let (at, r) = (behind(shop, hole.at), radius(hole) + 6.0);
    Rect::new(at.0 - r, at.1 - r, 2.0 * r, 2.0 * r)
}

/// The words nobody may miss.
fn banner(body: &mut Drawing, words: &mut Words) {
    let text = "FROM BEHIND, MIRRORED";
    let long = width(text, 8.0, true) + 6.0;
    let x = BODY.x + (BODY.w - long) / 2.0;
    let places = [BODY.y + 13.0, BODY.bottom() - 24.0, BODY.y + 60.0, BODY.y + 110.0];
    let boxes = places.map(|y| Rect::new(x, y, long, 11.0));
    let r = boxes.into_iter().find(|r| words.free(*r)).unwrap_or(boxes[0]);
    body.block(r, Fill::Paper);
    body.rect(Line::Wide, r);
    body.bold((r.x + r.w / 2.0, r.y + 8.3), 8.0, Hang::Middle, text);
    words.taken.push(r);
}

/// Words beside holes on one sheet, clear of each other.
pub struct Words {
    tile: Tile,
    taken: Vec<Rect>,
    /// Lines that words may not stand on, on the page.
    lines: Vec<Mark>,
}

/// Size of a hole's words.
const SIZE: f64 = 3.0;
/// From line to line.
const LEAD: f64 = 3.9;

impl Words {
    /// For a sheet on which nothing stands yet.
    pub fn new(tile: Tile) -> Self {
        Self { tile, taken: Vec::new(), lines: Vec::new() }
    }

    /// Keeps words off the edges and centre lines of a drawing.
    pub fn keep_lines(&mut self, drawing: &Drawing) {
        let by = self.tile.shift();
        let wide = |m: &&Mark| match m {
            Mark::Path { line, .. } => {
                matches!(line, Some(Line::Wide | Line::Chain | Line::Dashed))
            }
            Mark::Circle { .. } | Mark::Text(_) => false,
        };
        self.lines.extend(drawing.marks.iter().filter(wide).map(|m| m.moved(by)));
    }

    /// Where a block of this size has room: in one of some corners of the body, from
    /// its top or its bottom on.
    pub fn room(&mut self, wide: f64, high: f64) -> Option<Rect> {
        let mut places = Vec::new();
        for n in 0..24 {
            let y = BODY.y + 12.0 + 8.0 * f64::from(n);
            for x in [BODY.x + 8.0, BODY.right() - 8.0 - wide, BODY.x + (BODY.w - wide) / 2.0] {
                places.push(Rect::new(x, y, wide, high));
            }
        }
        let inner = BODY.grown(-2.0);
        let found = places.into_iter().find(|r| inner.holds(*r) && self.free(*r))?;
        self.taken.push(found);
        Some(found)
    }

    /// Keeps words off a place.
    pub fn keep(&mut self, at: P, radius: f64) {
        let by = self.tile.shift();
        let (x, y) = (at.0 + by.0, at.1 + by.1);
        self.taken.push(Rect::new(x - radius, y - radius, 2.0 * radius, 2.0 * radius));
    }

    fn free(&self, r: Rect) -> bool {
        !self.taken.iter().any(|t| t.overlaps(r)) && !self.lines.iter().any(|l| crosses(l, r))
    }

    /// Puts words beside a place that lies on the sheet: where there is room, else
    /// farther off with a line to it.
    pub fn put(&mut self, body: &mut Drawing, at: P, radius: f64, lines: &[String]) {
        if !self.tile.window().holds(Rect::new(at.0, at.1, 0.0, 0.0)) {
            return;
        }
        let by = self.tile.shift();
        let (x, y) = (at.0 + by.0, at.1 + by.1);
        let wide = lines
            .iter()
            .enumerate()
            .map(|(n, l)| width(l, SIZE, n == 0))
            .fold(0.0, f64::max)
            .min(BODY.w - 12.0);
        let high = LEAD * lines.len() as f64;
        let inner = BODY.grown(-2.0);
        let mut best = None;
        'far: for far in 0..14 {
            let gap = radius + 5.0 + 7.0 * f64::from(far);
            for (dx, dy) in [
                (gap, -high / 2.0),
                (-gap - wide, -high / 2.0),
                (2.0, -gap - high),
                (2.0, gap),
                (-wide - 2.0, -gap - high),
                (-wide - 2.0, gap),
            ] {
                let r = Rect::new(x + dx, y + dy, wide, high);
                if inner.holds(r.grown(1.0)) && self.free(r.grown(0.8)) {
                    best = Some((r, far > 0 || dy > 0.0 || dy < -high));
                    break 'far;
                }
            }
        }
        let Some((r, leader)) = best else { return };
        if leader {
            let to = (x.clamp(r.x, r.right()), y.clamp(r.y, r.bottom()));
            let long = libm::hypot(to.0 - x, to.1 - y);
            let share = if long > 0.0 { radius / long } else { 0.0 };
            let from = (x + (to.0 - x) * share, y + (to.1 - y) * share);
            body.line(Line::Narrow, from, to);
        }
        if self.lines.is_empty() {
            body.block(r.grown(0.6), Fill::Paper);
        }
        for (n, line) in lines.iter().enumerate() {
            let base = (r.x, r.y + LEAD * n as f64 + SIZE);
            let words = crate::emit::paper::fitted(line, SIZE, n == 0, wide + 0.01);
            match n {
                0 => body.bold(base, SIZE, Hang::Start, &words),
                _ => body.text(base, SIZE, Hang::Start, &words),
            }
        }
        self.taken.push(r);
    }
}
