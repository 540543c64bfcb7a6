//! Bolts with everything on them, from the side, in true size.

use super::{Shop, clamp};
use crate::emit::paper::flow::{Block, MOST};
use crate::emit::paper::{Drawing, Fill, fitted};
use crate::emit::svg::{Hang, Line, Rect};
use crate::emit::words::decimal;
use crate::space::BoltStack;

/// Wider things than this are broken off, mm from the bolt's middle.
const HALF: f64 = 17.0;
/// Where the bolt's middle line runs in its block.
const MIDDLE: f64 = 8.0 + HALF + 12.0;
/// Where the list begins.
const LIST: f64 = MIDDLE + HALF + 12.0;

/// A block for each limb with a bolt; equal ones once.
pub fn blocks(shop: &Shop<'_>) -> Vec<Block> {
    let mut seen: Vec<(Vec<usize>, &BoltStack)> = Vec::new();
    for (index, made) in shop.made.limbs.iter().enumerate() {
        let Some(stack) = &made.stack else { continue };
        let own = &shop.limb(index).name.value;
        let alike = |known: &(Vec<usize>, &BoltStack)| {
            let other = &shop.limb(known.0[0]).name.value;
            known.1.needs == stack.needs
                && known.1.bolt == stack.bolt
                && known.1.steps.len() == stack.steps.len()
                && known.1.steps.iter().zip(&stack.steps).all(|(a, b)| {
                    (a.name == b.name || (a.name == *other && b.name == *own))
                        && (a.thick, a.half) == (b.thick, b.half)
                })
        };
        match seen.iter_mut().find(|k| alike(k)) {
            Some(known) => known.0.push(index),
            None => seen.push((vec![index], stack)),
        }
    }
    seen.iter().map(|(limbs, stack)| block(shop, limbs, stack)).collect()
}

fn block(shop: &Shop<'_>, limbs: &[usize], stack: &BoltStack) -> Block {
    let mut to = Drawing::default();
    let title = format!("Bolt of {}: {}", shop.names(limbs), bolt_words(shop, stack));
    to.bold((0.0, 3.6), 3.6, Hang::Start, &fitted(&title, 3.6, true, MOST.0));
    let room = MOST.0 - 24.0;
    let scale = if stack.needs <= room { 1.0 } else { stack.needs / room };
    let about = if scale > 1.0 {
        format!("Longer than the sheet: drawn 1:{}.", decimal(scale, 2))
    } else {
        "Front of the figure on the left. Numbers go from the bolt's head to its end.".to_owned()
    };
    to.text((0.0, 8.0), 2.6, Hang::Start, &about);
    draw(&mut to, stack, scale);
    let columns = 2;
    let rows = stack.steps.len().div_ceil(columns);
    let mut end = LIST + 4.2 * rows as f64;
    for limb in limbs {
        let Some(set) = &shop.made.limbs[*limb].clamp else { continue };
        let words = format!("{}: {}", shop.limb(*limb).name.value, clamp::line(shop, set));
        to.bold((0.0, end), 2.7, Hang::Start, &fitted(&words, 2.7, true, MOST.0));
        end += 4.2;
    }
    for (n, step) in stack.steps.iter().enumerate() {
        let (column, row) = (n / rows.max(1), n % rows.max(1));
        let x = column as f64 * MOST.0 / columns as f64;
        let assumed = if step.assumed { ", as assumed" } else { "" };
        let words = format!("{}  {}, {}{assumed}", n + 1, step.name, thickness(shop, step.thick));
        let room = MOST.0 / columns as f64 - 3.0;
        to.text((x, LIST + 4.2 * row as f64), 2.7, Hang::Start, &fitted(&words, 2.7, false, room));
    }
    Block { drawing: to, size: (MOST.0, end + 3.0) }
}

/// "M8 by 80 mm (needs 74.5 mm)".
pub fn bolt_words(shop: &Shop<'_>, stack: &BoltStack) -> String {
    let more = stack.wheel.map_or(String::new(), |w| format!(" and the width of its {w}"));
    let needs = format!("{}{more}", shop.length(stack.needs));
    match (stack.said, stack.take) {
        (Some(said), _) if said.0 + 1e-6 < stack.needs => {
            format!("{} by {}, too short: it needs {needs}", stack.bolt, shop.length(said.0))
        }
        (Some(said), _) => format!("{} by {} (needs {needs})", stack.bolt, shop.length(said.0)),
        (None, Some(take)) => format!("{} by {} (needs {needs})", stack.bolt, shop.length(take.0)),
        (None, None) if stack.wheel.is_some() => format!("{}, as long as {needs}", stack.bolt),
        (None, None) => format!("{}, threaded rod of {needs} or more", stack.bolt),
    }
}

/// A thickness: to a tenth of a mm, washers are thin.
fn thickness(shop: &Shop<'_>, mm: f64) -> String {
    match shop.system {
        crate::units::System::Inch => format!("{} in", decimal(mm / 25.4, 3)),
        _ => format!("{} mm", decimal(mm, 1)),
    }
}

/// The bolt lying, its head on the left.
fn draw(to: &mut Drawing, stack: &BoltStack, scale: f64) {
    let x0 = 12.0;
    let r = stack.diameter.0 / 2.0 / scale;
    let mut x = x0;
    let long = stack.length().map_or(0.0, |l| l.0).max(stack.needs) / scale;
    let head = 0.65 * stack.diameter.0 / scale;
    to.rect(Line::Wide, Rect::new(x0 - head, MIDDLE - 1.6 * r, head, 3.2 * r));
    for (n, step) in stack.steps.iter().enumerate() {
        let (thick, half) = (step.thick / scale, (step.half / scale).min(HALF));
        for sign in [-1.0, 1.0] {
            let (near, far) = (MIDDLE + sign * r, MIDDLE + sign * half);
            if step.half / scale <= HALF {
                let r = Rect::new(x, near.min(far), thick, (far - near).abs());
                to.rect(Line::Wide, r);
                continue;
            }
            // Broken off: a narrow zigzag instead of an edge (ISO 128-2, line 01.1).
            to.path(Line::Wide, &[(x, far), (x, near), (x + thick, near), (x + thick, far)], false);
            let (m, q) = (x + thick / 2.0, (thick / 6.0).min(1.5));
            let zigzag = [
                (x, far),
                (m - q, far),
                (m - q / 2.0, far - 2.0 * q),
                (m + q / 2.0, far + 2.0 * q),
                (m + q, far),
                (x + thick, far),
            ];
            to.path(Line::Narrow, &zigzag, false);
        }
        number(to, x + thick / 2.0, half, n);
        x += thick;
    }
    // Under everything: the shank and its thread's end.
    to.line(Line::Wide, (x0, MIDDLE - r), (x0 + long, MIDDLE - r));
    to.line(Line::Wide, (x0, MIDDLE + r), (x0 + long, MIDDLE + r));
    to.line(Line::Wide, (x0 + long, MIDDLE - r), (x0 + long, MIDDLE + r));
    to.line(Line::Chain, (x0 - head - 4.0, MIDDLE), (x0 + long + 5.0, MIDDLE));
}

/// A step's number over or under it by turns, so that thin ones keep apart.
fn number(to: &mut Drawing, x: f64, half: f64, n: usize) {
    let sign = if n.is_multiple_of(2) { -1.0 } else { 1.0 };
    let end = MIDDLE + sign * (HALF + 4.5);
    to.line(Line::Narrow, (x, MIDDLE + sign * (half - 0.6).max(1.0)), (x, end));
    let middle = (x, end + sign * 2.2);
    to.marks.push(crate::emit::paper::Mark::Circle {
        line: Line::Narrow,
        at: middle,
        radius: 2.2,
        fill: Fill::Paper,
    });
    to.text((middle.0, middle.1 + 0.95), 2.5, Hang::Middle, &(n + 1).to_string());
}
