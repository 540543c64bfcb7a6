//! Cams in true size, seen from the front.

use super::board::Words;
use super::plates::head;
use super::{Page, Shop};
use crate::emit::paper::{BODY, Cell, Drawing, Measure, STEP, Table, Tile, covering, page};
use crate::emit::svg::{Hang, Line, P};
use crate::emit::words::decimal;
use crate::make::CamPlate;
use crate::mechanism::cam::Cut;

/// A cam with its shaft at the origin, +x to the right.
pub fn drawing(cam: &CamPlate) -> Drawing {
    let mut to = Drawing::default();
    let mut curve: Vec<P> = vec![(cam.start.0, -cam.start.1)];
    for cut in &cam.cuts {
        if let Cut::Arc { to: end, radius, ccw } = cut {
            arc(&mut curve, (end.x, -end.y), radius.0, *ccw);
        }
        curve.push((cut.to().x, -cut.to().y));
    }
    to.path(Line::Wide, &curve, true);
    to.circle(Line::Chain, (0.0, 0.0), cam.base.0);
    let far = cam.points.iter().map(|(_, p)| libm::hypot(p.0, p.1)).fold(0.0, f64::max);
    let bore = cam.disc.bore.map_or(5.0, |bore| bore.0 / 2.0);
    to.hole((0.0, 0.0), bore, far.max(cam.base.0) + 3.0);
    if let Some((_, circle)) = cam.disc.bolts {
        to.circle(Line::Chain, (0.0, 0.0), circle.0 / 2.0);
    }
    for (turn, p) in &cam.points {
        let at = (p.0, -p.1);
        to.dot(at, 0.45);
        let long = libm::hypot(at.0, at.1);
        if *turn % 30.0 == 0.0 && long > 0.0 {
            let off = (long + 5.0) / long;
            let place = (at.0 * off, at.1 * off + 1.0);
            to.text(place, 2.4, Hang::Middle, &decimal(*turn, 0));
        }
    }
    to
}

/// A dwell about the shaft as short straight lines, at most half a degree each: they
/// leave a circle of 100 mm by 0.001 mm.
fn arc(curve: &mut Vec<P>, end: P, radius: f64, ccw: bool) {
    let Some(&from) = curve.last() else { return };
    // y runs down here.
    let (a, b) = (libm::atan2(-from.1, from.0), libm::atan2(-end.1, end.0));
    let whole = 2.0 * std::f64::consts::PI;
    let mut turn = (b - a).rem_euclid(whole);
    if !ccw {
        turn -= whole;
    }
    let parts = (turn.abs() / 0.5_f64.to_radians()).ceil().clamp(1.0, 720.0) as usize;
    for n in 1..parts {
        let at = a + turn * n as f64 / parts as f64;
        curve.push((radius * libm::cos(at), -radius * libm::sin(at)));
    }
}

/// The sheets of all cams.
pub fn sheets(shop: &Shop<'_>) -> Vec<Page> {
    let mut pages = Vec::new();
    for (index, made) in shop.made.limbs.iter().enumerate() {
        if let Some(cam) = &made.cam {
            pages.extend(of_cam(shop, index, cam));
        }
    }
    pages
}

fn of_cam(shop: &Shop<'_>, index: usize, cam: &CamPlate) -> Vec<Page> {
    let name = &shop.limb(index).name.value;
    let raw = drawing(cam);
    let Some(b) = raw.bounds() else { return Vec::new() };
    let roller = match cam.roller {
        Some(r) => format!("roller {}", shop.diameter(2.0 * r.0)),
        None => "no roller".to_owned(),
    };
    let sheet = match cam.disc.thick {
        Some(thick) => format!("disc {} thick", shop.length(thick.0)),
        None => "the cam's sheet not said: no thinner than the roller is wide".to_owned(),
    };
    let bore = cam.disc.bore.map_or(String::new(), |b| format!(", bore {}", shop.diameter(b.0)));
    let bolts = cam.disc.bolts.map_or(String::new(), |(bolt, circle)| {
        format!(", bolts {} on a circle of {}", shop.diameter(bolt.0), shop.diameter(circle.0))
    });
    let words = format!(
        "{roller}, {sheet}{bore}{bolts}. Cam of {name}, from the front, as it lies at the motor's turn 0; the numbers are the turns in deg at which the follower touches there"
    );
    let subject = format!("Cam of {name}");
    let one = b.w <= STEP.0 && b.h <= STEP.1 - 26.0;
    let mut pages = Vec::new();
    let table = table(shop, cam);
    let mut below = 0.0;
    if one {
        let mut body = Drawing::default();
        let top = BODY.y + 28.0;
        body.lay(&raw, (BODY.x + (BODY.w - b.w) / 2.0 - b.x, top - b.y));
        let mut taken = Words::new(Tile { row: 0, column: 0 });
        head(&mut body, &mut taken, &words);
        below = top + b.h + 6.0;
        pages.push(Page::full_size(body, subject));
    } else {
        let mut on = Drawing::default();
        on.lay(&raw, (4.0 - b.x, -4.0 - b.bottom()));
        let tiles: Vec<Tile> = covering(&on);
        let length = |mm: f64| shop.length(mm);
        let measure = Measure { origin: (0.0, 0.0), length: &length, keep: &[] };
        for tile in &tiles {
            let mut body = page(&on, *tile, &tiles, &measure);
            let mut taken = Words::new(*tile);
            taken.keep_lines(&on);
            head(&mut body, &mut taken, &words);
            pages.push(Page::full_size(body, format!("{subject}, sheet {}", tile.name())));
        }
    }
    let rows = table.rows.len().div_ceil(3);
    let (left, high) = table.draw(0..rows);
    let (middle, _) = table.draw(rows..2 * rows);
    let (right, _) = table.draw(2 * rows..table.rows.len());
    if !one || below + high > BODY.bottom() - 4.0 {
        below = BODY.y + 6.0;
        pages.push(Page::of_words(Drawing::default(), format!("Cam of {name}: points of the cut")));
    }
    if let Some(page) = pages.last_mut() {
        for (n, part) in [left, middle, right].iter().enumerate() {
            page.body.lay(part, (BODY.x + 5.0 + 61.0 * n as f64, below));
        }
    }
    pages
}

/// The points of the cut, to mark out by hand.
fn table(shop: &Shop<'_>, cam: &CamPlate) -> Table {
    let columns = vec![
        Cell::number("turn, deg", 15.0),
        Cell::number("from shaft", 17.0),
        Cell::number("across", 13.0),
        Cell::number("up", 13.0),
    ];
    let exact = |mm: f64| match shop.system {
        crate::units::System::Inch => decimal(mm / 25.4, 3),
        _ => decimal(mm, 1),
    };
    let rows = cam.points.iter().map(|(turn, (x, y))| {
        vec![decimal(*turn, 0), exact(libm::hypot(*x, *y)), exact(*x), exact(*y)]
    });
    Table { columns, rows: rows.collect() }
}
