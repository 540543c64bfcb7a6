//! Boards, limbs and cams, and the sheets they are cut from.

use std::collections::BTreeMap;

use super::{List, Part, Scene, Shelf, Size};
use crate::geometry::Outline;
use crate::make::cam;
use crate::units::{Mm, Mm2, System};

/// A sheet's pieces added up.
#[derive(Default)]
struct Total {
    area: f64,
    count: u32,
    figures: Vec<String>,
    assumed: bool,
}

/// Adds every board and limb, and what comes together of each sheet.
pub(super) fn add(scene: &Scene<'_>, list: &mut List) {
    let mut totals: BTreeMap<String, Total> = BTreeMap::new();
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let (figure, name) = (&placed.figure, &placed.name.value);
        let system = System::first_of([figure.system, scene.yard.system]);
        let mut piece = |sheet: Option<&str>, what: String, size: Size, guessed: bool| {
            let sheet = sheet.unwrap_or("sheet not named");
            let part = Part::one(Shelf::Cut, what, name, system);
            list.add(Part { size, ..part }.told(sheet.to_owned()).guessed(guessed));
            let total = totals.entry(sheet.to_owned()).or_default();
            total.area += size.area.map_or(0.0, |a| a.0);
            total.count += 1;
            total.assumed |= guessed;
            if total.figures.last() != Some(name) {
                total.figures.push(name.clone());
            }
        };
        if let Some(outline) = &figure.board.outline {
            let sheet = figure.board.sheet.as_ref().map(|s| s.name.as_str());
            piece(sheet, "board".to_owned(), size_of(outline), false);
        }
        for limb in &figure.limbs {
            let Some(outline) = limb.silhouette() else { continue };
            let sheet = limb.sheet.as_ref().map(|s| s.name.as_str());
            let guessed = limb.assumed.iter().any(|n| n.settle.starts_with("sheet "));
            piece(sheet, limb.name.value.clone(), size_of(&outline), guessed);
        }
        for (index, limb) in figure.limbs.iter().enumerate() {
            // A square that it turns in: how it lies on a sheet is the maker's choice.
            let Some(cam) = cam(&scene.fitted[n], index) else { continue };
            let side = cam.reach() * 2.0;
            let area = Some(Mm2(side.0 * side.0));
            let size = Size { width: Some(side), height: Some(side), area, length: None };
            piece(None, format!("cam of {}", limb.name.value), size, false);
        }
    }
    for (sheet, total) in totals {
        let part = Part::one(Shelf::Sheet, sheet, "", scene.yard.system);
        let pieces = if total.count == 1 { "piece" } else { "pieces" };
        let size = Size { area: Some(Mm2(total.area)), ..Size::default() };
        let part = Part { size, figures: total.figures, ..part };
        list.add(
            part.told(format!("{} {pieces}, nothing for waste", total.count))
                .guessed(total.assumed),
        );
    }
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
