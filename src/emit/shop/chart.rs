//! Trial holes on paper: what every pair of them makes of a limb.

use super::Shop;
use super::clamp::{From, turned};
use crate::emit::paper::flow::{Block, MOST};
use crate::emit::paper::{Cell, Drawing, Table, fitted, lines};
use crate::emit::svg::Hang;
use crate::emit::words::decimal;
use crate::fit::PUSH_WEAK;
use crate::fit::chart::{self, Chart};

/// A block for each limb that has trial holes; equal charts once.
pub fn blocks(shop: &Shop<'_>) -> Vec<Block> {
    let mut seen: Vec<(Vec<usize>, &Chart)> = Vec::new();
    for (index, made) in shop.made.limbs.iter().enumerate() {
        let Some(chart) = &made.chart else { continue };
        match seen.iter_mut().find(|(_, known)| *known == chart) {
            Some(known) => known.0.push(index),
            None => seen.push((vec![index], chart)),
        }
    }
    seen.iter().map(|(limbs, chart)| block(shop, limbs, chart)).collect()
}

/// Columns and rows that a sheet has room for.
const ROOM: (usize, usize) = (7, 40);

fn block(shop: &Shop<'_>, limbs: &[usize], chart: &Chart) -> Block {
    let mut to = Drawing::default();
    let title = format!("Trial holes of {}", shop.names(limbs));
    to.bold((0.0, 3.6), 3.6, Hang::Start, &fitted(&title, 3.6, true, MOST.0));
    let kept: Vec<String> = chart
        .kept
        .iter()
        .map(|(name, value)| match name.is_angle() {
            true => {
                let angle = crate::units::Deg(*value).signed();
                format!("{} {}, from the front", name.word(), turned(angle, From::Front))
            }
            false => format!("{} {}", name.word(), shop.length(*value)),
        })
        .collect();
    let (motion, unit) = if chart.slides { ("stroke", "mm") } else { ("swing", "deg") };
    let weak = decimal(PUSH_WEAK.0, 0);
    let about = format!(
        "{}. In each cell: {motion}, its middle (both {unit}), worst push angle of 90; ! below \
         {weak} deg it pushes poorly: pins wear, the limb knocks or locks. * the holes in use.",
        kept.join(", ")
    );
    let about = lines(&about, 2.6, false, MOST.0);
    for (n, line) in about.iter().enumerate() {
        to.text((0.0, 8.0 + 3.4 * n as f64), 2.6, Hang::Start, line);
    }
    let below = 10.0 + 3.4 * about.len().saturating_sub(1) as f64;
    let across = chart.across.as_ref();
    let columns = across.map_or(1, |a| a.at.len());
    let rows = chart.down.at.len();
    // Of more holes than there is room for, those about the ones in use.
    let used = chart.chosen.unwrap_or((0, 0));
    let from = |all: usize, room: usize, used: usize| {
        used.saturating_sub(room / 2).min(all.saturating_sub(room))
    };
    let (row, column) = (from(rows, ROOM.1, used.0), from(columns, ROOM.0, used.1));
    let shown = (rows.min(ROOM.1), columns.min(ROOM.0));
    let mut heads = vec![Cell::words(chart.down.word, 24.0)];
    let wide = (MOST.0 - 24.0) / shown.1 as f64;
    heads.extend((column..column + shown.1).map(|c| {
        let head =
            across.map_or(motion.to_owned(), |a| format!("{} {}", a.word, shop.length(a.at[c])));
        Cell::words(&head, wide.min(40.0))
    }));
    let rows_shown = (row..row + shown.0).map(|r| {
        let mut line = vec![shop.length(chart.down.at[r])];
        line.extend((column..column + shown.1).map(|c| {
            let mark = if chart.chosen == Some((r, c)) { " *" } else { "" };
            match &chart.cells[r][c] {
                chart::Cell::Turns { range, centre, push } => {
                    let weak = if *push < PUSH_WEAK.0 { " !" } else { "" };
                    format!("{range:.1}  {centre:.0}  {push:.0}{weak}{mark}")
                }
                chart::Cell::Blocked(why) => format!("{why}{mark}"),
            }
        }));
        line
    });
    let table = Table { columns: heads, rows: rows_shown.collect() };
    let (drawn, high) = table.draw(0..shown.0);
    to.lay(&drawn, (0.0, below));
    let mut end = below + high;
    if shown != (rows, columns) {
        let words = "More holes than the sheet holds: `yardwright holes` shows all.";
        to.text((0.0, end + 3.0), 2.6, Hang::Start, words);
        end += 5.0;
    }
    Block { drawing: to, size: (MOST.0, end + 3.0) }
}
