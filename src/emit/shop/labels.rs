//! Labels for the boxes in which limbs are stored.

use super::cards::{cables, fuse, output};
use super::stack::bolt_words;
use super::{Shop, titled_yard, yard_file};
use crate::check::Compiled;
use crate::emit::Output;
use crate::emit::paper::flow::{Block, MOST, flow};
use crate::emit::paper::{Drawing, fitted, pdf};
use crate::emit::svg::{Hang, Line, Rect};
use crate::emit::words::decimal;
use crate::fit::{Fitted, SizeName};
use crate::units::System;

/// A label; two side by side, edges to cut along.
const SIZE: (f64, f64) = ((MOST.0 - 4.0) / 2.0, 41.0);

/// A label for each limb of a figure.
pub fn blocks(shop: &Shop<'_>) -> Vec<Block> {
    (0..shop.figure().limbs.len()).map(|limb| label(shop, limb)).collect()
}

/// The sheets of all labels; none for a yard without limbs.
pub fn outputs(compiled: &Compiled, labels: &[Block]) -> Vec<Output> {
    if labels.is_empty() {
        return Vec::new();
    }
    let file = yard_file(compiled, "labels");
    vec![Output::new(format!("{file}.pdf"), pdf("Storage labels", &sheets(compiled, labels)))]
}

/// The sheets as they are drawn.
pub fn sheets(compiled: &Compiled, labels: &[Block]) -> Vec<Drawing> {
    let unit = match compiled.yard.system {
        System::Inch => "inches",
        _ => "mm",
    };
    titled_yard(compiled, ("Storage labels", unit), &flow(labels))
}

fn label(shop: &Shop<'_>, index: usize) -> Block {
    let limb = shop.limb(index);
    let made = &shop.made.limbs[index];
    let mut to = Drawing::default();
    let room = SIZE.0 - 6.0;
    let head = format!("{}.{}", shop.name(), limb.name.value);
    to.bold((3.0, 6.6), 5.0, Hang::Start, &fitted(&head, 5.0, true, room));
    let title = limb.title.as_deref().or(shop.figure().title.as_deref()).unwrap_or("");
    to.text((3.0, 10.8), 2.6, Hang::Start, &fitted(title, 2.6, false, room));
    to.line(Line::Narrow, (0.0, 12.6), (SIZE.0, 12.6));
    let mut rows: Vec<(&str, String)> = Vec::new();
    let mut row = |name, value: Option<String>| rows.extend(value.map(|v| (name, v)));
    row("size", made.plate.as_ref().map(|p| size(shop, p)));
    row("clamp", clamp(shop, index));
    row("bolt", made.stack.as_ref().map(|s| bolt_words(shop, s)));
    let motor = shop.figure().motor_of(index);
    row("motor", motor.map(|m| shop.figure().actuators[m].motor.name.clone()));
    row("output", motor.and_then(|m| output(shop.compiled, shop.at, m)));
    let fuses: Vec<String> =
        cables(shop.compiled, shop.name()).into_iter().filter_map(fuse).collect();
    row("fuse", (!fuses.is_empty()).then(|| fuses.join(", ")));
    for (n, (name, value)) in rows.iter().enumerate() {
        let y = 16.8 + 4.2 * n as f64;
        to.text((3.0, y), 2.6, Hang::Start, name);
        to.bold((16.0, y), 2.6, Hang::Start, &fitted(value, 2.6, true, SIZE.0 - 19.0));
    }
    to.rect(Line::FineDashed, Rect::new(0.0, 0.0, SIZE.0, SIZE.1));
    Block { drawing: to, size: SIZE }
}

/// "512 mm by 160 mm, plywood-6".
fn size(shop: &Shop<'_>, plate: &crate::make::LimbPlate) -> String {
    let span = |pick: fn(&(f64, f64)) -> f64| {
        let values = plate.corners.iter().map(pick);
        let low = values.clone().fold(f64::INFINITY, f64::min);
        values.fold(f64::NEG_INFINITY, f64::max) - low
    };
    let sheet = plate.sheet.as_deref().map_or(String::new(), |s| format!(", {s}"));
    format!("{} by {}{sheet}", shop.length(span(|c| c.0)), shop.length(span(|c| c.1)))
}

/// "lever 80 mm at 127 deg ccw, from the front": from the limb's axis.
fn clamp(shop: &Shop<'_>, index: usize) -> Option<String> {
    let mechanism = shop.compiled.figures[shop.at].limbs[index].mechanism.as_ref()?;
    let (lever, angle) = match mechanism {
        Fitted::FourBar(f) => (f.drilled.bars().lever.0, f.drilled.clamp().0),
        Fitted::Servo(s) if s.linkage.is_some() => {
            let l = s.linkage?;
            (l.bars().lever.0, l.clamp().0)
        }
        _ => {
            let drive = mechanism.as_drive()?;
            let named = |n| drive.sizes.iter().find(|s| s.name == n).map(|s| s.drilled);
            (named(SizeName::Lever)?, named(SizeName::Clamp)?)
        }
    };
    let angle = crate::units::Deg(angle).signed().0;
    let way = if angle < 0.0 { "cw" } else { "ccw" };
    Some(format!(
        "lever {} at {} deg {way} of the tip, from front",
        shop.length(lever),
        decimal(angle.abs(), 1)
    ))
}
