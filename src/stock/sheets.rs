//! Boards, limbs and cams, and the sheets they are cut from.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::rows::{Piece, lay};
use super::{List, Part, Scene, SheetPlan, Shelf, Size, across};
use crate::geometry::Outline;
use crate::make::saw_cut;
use crate::model::{Flutes, Material, SheetType};
use crate::units::{Mm, Mm2, System, print};

/// A sheet's pieces added up.
#[derive(Default)]
struct Total {
    kind: Option<Arc<SheetType>>,
    area: f64,
    count: u32,
    figures: Vec<String>,
    assumed: bool,
    pieces: Vec<Piece>,
}

/// A piece before it is laid on its sheet.
struct Cut<'a> {
    sheet: Option<&'a Arc<SheetType>>,
    /// Of which limb, or the board.
    what: String,
    size: Size,
    /// Whether its sheet is a guess.
    guessed: bool,
    /// Which way it lies along the grain.
    lies: Lies,
}

/// How a piece lies on its sheet.
#[derive(Clone, Copy, PartialEq)]
enum Lies {
    /// Its width along the sheet's flutes or grain.
    Along,
    /// Its width across them.
    Across,
    /// Its height along them, or either way.
    Either,
}

/// Adds every board and limb, and what comes together of each sheet; the plans of sheets
/// whose size is known.
pub(super) fn add(scene: &Scene<'_>, list: &mut List) -> Vec<SheetPlan> {
    let mut totals: BTreeMap<String, Total> = BTreeMap::new();
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let (figure, name) = (&placed.figure, &placed.name.value);
        let system = System::first_of([figure.system, scene.yard.system]);
        let mut put = |cut: Cut<'_>| {
            let Cut { sheet, what, size, guessed, lies } = cut;
            let called = sheet.map_or("sheet not named", |s| s.name.as_str());
            let whose = format!("{name} {what}");
            let part = Part::one(Shelf::Cut, what, name, system);
            list.add(Part { size, ..part }.told(called.to_owned()).guessed(guessed));
            let total = totals.entry(called.to_owned()).or_default();
            total.kind = sheet.cloned();
            total.area += size.area.map_or(0.0, |a| a.0);
            total.count += 1;
            total.assumed |= guessed;
            if total.figures.last() != Some(name) {
                total.figures.push(name.clone());
            }
            let (Some(wide), Some(high)) = (size.width, size.height) else { return };
            let (along, across) = if lies == Lies::Along { (wide, high) } else { (high, wide) };
            total.pieces.push(Piece { along, across, turns: lies == Lies::Either, whose });
        };
        if let Some(outline) = &figure.board.outline {
            let sheet = figure.board.sheet.as_ref();
            // Upright flutes stiffen a board; a frame does behind one of wood.
            let fluted = sheet.is_some_and(|s| s.material == Some(Material::Corrugated));
            let lies = if fluted { Lies::Across } else { Lies::Either };
            let (what, size) = ("board".to_owned(), size_of(outline));
            put(Cut { sheet, what, size, guessed: false, lies });
        }
        for (index, limb) in figure.limbs.iter().enumerate() {
            let Some(outline) = scene.fitted[n].as_cut(index) else { continue };
            let sheet = limb.sheet.as_ref();
            let guessed = limb.assumed.iter().any(|n| n.settle.starts_with("sheet "));
            // As its bending in the wind is reckoned.
            let lies = match limb.build.flutes {
                _ if sheet.is_none_or(|s| s.stiffness_across.is_none()) => Lies::Either,
                Some(Flutes::Across) => Lies::Across,
                Some(Flutes::Along) | None => Lies::Along,
            };
            let (what, size) = (limb.name.value.clone(), size_of(&outline));
            put(Cut { sheet, what, size, guessed, lies });
        }
        for (index, limb) in figure.limbs.iter().enumerate() {
            // A square that it turns in: how it lies on a sheet is the maker's choice.
            let Some(cam) = &scene.cams[n][index] else { continue };
            let side = cam.reach() * 2.0;
            let area = Some(Mm2(side.0 * side.0));
            let size = Size { width: Some(side), height: Some(side), area, length: None };
            let what = format!("cam of {}", limb.name.value);
            put(Cut { sheet: None, what, size, guessed: false, lies: Lies::Either });
        }
    }
    totals.into_iter().filter_map(|(name, total)| bought(scene, name, total, list)).collect()
}

/// How many sheets to buy: whole ones where their size is known, else their area.
fn bought(scene: &Scene<'_>, name: String, total: Total, list: &mut List) -> Option<SheetPlan> {
    let system = scene.yard.system;
    let count =
        if total.count == 1 { "1 piece".to_owned() } else { format!("{} pieces", total.count) };
    let area = Some(Mm2(total.area));
    let row = |figures| {
        let part = Part::one(Shelf::Sheet, name.clone(), "", system);
        Part { figures, ..part }.guessed(total.assumed)
    };
    let Some((wide, long)) = total.kind.as_ref().and_then(|k| k.sold) else {
        let part = Part { size: Size { area, ..Size::default() }, ..row(total.figures) };
        list.add(
            part.told(format!("{count}, nothing for waste; how large a sheet is, is not said")),
        );
        return None;
    };
    let kerf = saw_cut(system);
    let layout = lay(total.pieces, (long, wide), kerf);
    let size = Size { width: Some(wide), height: Some(long), area, length: None };
    let whose = |p: &Piece| p.whose.split(' ').next().map(str::to_owned);
    if !layout.sheets.is_empty() {
        let told = format!(
            "{count} laid as boxes in rows, saw cut {}; no plan of boxes needs fewer than {}",
            print::length(kerf, system),
            layout.least
        );
        let part = Part { size, ..row(total.figures) };
        list.add(part.times(layout.sheets.len() as u32).told(told));
    }
    for piece in &layout.too_large {
        let size =
            Size { width: Some(piece.across), height: Some(piece.along), area: None, length: None };
        let told =
            format!("{} is larger than a sheet of {}", piece.whose, across(wide, long, system));
        list.add(Part { size, ..row(whose(piece).into_iter().collect()) }.told(told));
    }
    Some(SheetPlan { name, size: (wide, long), kerf, layout, system })
}

/// Box and area of an outline, as it lies: across and up, along its axis for a limb.
fn size_of<S: Copy>(outline: &Outline<S>) -> Size {
    let bounds = outline.bounds();
    Size {
        length: None,
        width: Some(Mm(bounds.high.x - bounds.low.x)),
        height: Some(Mm(bounds.high.y - bounds.low.y)),
        area: Some(outline.area()),
    }
}
