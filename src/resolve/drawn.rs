//! Outlines out of drawings.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::drawing::{Drawing as Read, DrawingError, PartFault, Placing};
use crate::finding::{Finding, ItemId, Place, Spanned, list_of};
use crate::geometry::{Board, Outline};
use crate::model::Drawing;
use crate::syntax::Clause;
use crate::units::print::decimal;

use super::codes_drawing::{
    DRAWING_BROKEN, DRAWING_MISSING, DRAWING_OPEN, DRAWING_PART, DRAWING_REACHES_OUT, DRAWING_SCALE,
};
use super::scope::{Lookups, Scope};
use super::{codes_outline, plane};

/// Why a file gives no drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileFault {
    /// It is not there, may not be read, or lies outside the project; the reason in words.
    Missing(String),
    /// It is there and is no drawing that is taken.
    Broken(DrawingError),
}

/// A drawing that somebody asked for; `None` where nobody has a disk.
pub type Fetched = Option<Result<Arc<Read>, FileFault>>;

/// The drawings of a project, by item and path as written there.
#[derive(Clone, Debug, Default)]
pub struct Drawings(BTreeMap<ItemId, BTreeMap<String, Result<Arc<Read>, FileFault>>>);

impl Drawings {
    /// Adds one.
    pub fn put(&mut self, item: ItemId, path: &str, found: Result<Arc<Read>, FileFault>) {
        self.0.entry(item).or_default().insert(path.to_owned(), found);
    }

    /// One of them.
    #[must_use]
    pub fn get(&self, item: ItemId, path: &str) -> Fetched {
        self.0.get(&item)?.get(path).cloned()
    }

    /// Whether an item would find the very same drawings again.
    #[must_use]
    pub fn still(&self, item: ItemId, seen: &[(String, Fetched)]) -> bool {
        seen.iter().all(|(path, before)| match (before, self.get(item, path)) {
            (Some(Ok(a)), Some(Ok(b))) => Arc::ptr_eq(a, &b),
            (Some(Err(a)), Some(Err(b))) => *a == b,
            (None, None) => true,
            _ => false,
        })
    }
}

/// Every drawing that a figure names, with the item it stands in.
#[must_use]
pub fn wanted(scope: &Scope) -> Vec<(ItemId, &str)> {
    let mut wanted = Vec::new();
    for figure in scope.clauses().filter(|c| c.word() == "figure") {
        let Some(block) = figure.block() else { continue };
        let limbs = block.all("limb").filter_map(Clause::block);
        let outlines = limbs.filter_map(|l| l.find("outline"));
        for clause in block.find("board").into_iter().chain(outlines) {
            let Some(file) = clause.text("svg") else { continue };
            let one = (file.place.item, file.value);
            if !wanted.contains(&one) {
                wanted.push(one);
            }
        }
    }
    wanted
}

/// The outline a drawing holds.
///
/// # Errors
/// The finding, where it holds none.
pub(super) fn outline(
    drawing: &Drawing,
    placing: Placing,
    lookups: &mut Lookups<'_>,
) -> Result<Outline<Board>, Box<Finding>> {
    let file = &drawing.file;
    let read = match lookups.drawing(file.place.item, &file.value) {
        Some(Ok(read)) => read,
        Some(Err(FileFault::Broken(error))) => return Err(Box::new(broken(&error, file))),
        Some(Err(FileFault::Missing(why))) => return Err(Box::new(missing(&why, file))),
        None => return Err(Box::new(missing("nothing is read here", file))),
    };
    let id = drawing.part.as_ref().map(|p| p.value.as_str());
    let place = drawing.part.as_ref().map_or(file.place, |p| p.place);
    let taken = read
        .part(id, drawing.scale.map(|s| s.0), placing)
        .map_err(|fault| Box::new(faulty(&fault, drawing, place)))?;
    let corners = taken.corners.into_iter().map(plane::board).collect();
    let flat = || Finding::new(&codes_outline::OUTLINE_FLAT, place, "this part has no area.");
    let outline = Outline::new(corners).ok_or_else(|| Box::new(flat()))?;
    match codes_outline::faults(&outline, place) {
        Some(found) => Err(Box::new(found)),
        None => Ok(outline),
    }
}

fn missing(why: &str, file: &Spanned<String>) -> Finding {
    let message = format!("the drawing \"{}\" cannot be had: {why}.", file.value);
    Finding::new(&DRAWING_MISSING, file.place, message)
        .help("write its path from this file; it must lie in the project's folder.")
}

fn broken(error: &DrawingError, file: &Spanned<String>) -> Finding {
    let name = &file.value;
    let one =
        |message: String, help: &str| Finding::new(&DRAWING_BROKEN, file.place, message).help(help);
    let again = "save it again as a plain SVG.";
    match error {
        DrawingError::NotText => one(format!("\"{name}\" is no text, so no SVG drawing."), again),
        DrawingError::NotXml(at, why) => {
            let why = why.trim_end_matches('.');
            one(format!("\"{name}\" is not well-formed ({at}): {why}."), again)
        }
        DrawingError::CutShort => {
            one(format!("\"{name}\" ends in the middle of something."), again)
        }
        DrawingError::NotSvg(tag) => {
            one(format!("\"{name}\" is no SVG drawing: it begins with <{tag}>."), again)
        }
        DrawingError::TooDeep(at) => one(
            format!(
                "\"{name}\" has groups in groups more than {} deep ({at}).",
                crate::drawing::DEEPEST
            ),
            "ungroup what the outline is made of.",
        ),
        DrawingError::TooMany => one(
            format!("\"{name}\" has more than {} elements.", crate::drawing::MOST_NODES),
            "save the part by itself.",
        ),
        DrawingError::Page(at) => one(
            format!("the viewBox of \"{name}\" cannot be read ({at}): four numbers are wanted."),
            again,
        ),
        DrawingError::Declares => {
            let message = format!(
                "\"{name}\" declares a document type; such a file can blow itself up and is not read."
            );
            Finding::new(&DRAWING_REACHES_OUT, file.place, message)
                .help("save it as a plain SVG, without <!DOCTYPE …>.")
        }
        DrawingError::ReachesOut(at, what) => {
            let message =
                format!("\"{name}\" refers to something outside itself ({at}): `{what}`.");
            Finding::new(&DRAWING_REACHES_OUT, file.place, message).help(
                "take that out of the drawing, or embed it: nothing but the file itself is read.",
            )
        }
    }
}

fn faulty(fault: &PartFault, drawing: &Drawing, place: Place) -> Finding {
    let name = &drawing.file.value;
    let part = drawing.part.as_ref().map(|p| p.value.as_str());
    let told = part.map_or_else(|| format!("the shape in \"{name}\""), |p| format!("`{p}`"));
    let find = |code, message: String| Finding::new(code, place, message);
    match fault {
        PartFault::Missing { near, known } => {
            let message = format!("\"{name}\" has no part called {told}.");
            let found = find(&DRAWING_PART, message);
            match near {
                Some(near) => found.help(format!("did you mean `{near}`?")).fix(
                    format!("write \"{near}\""),
                    place,
                    format!("\"{near}\""),
                ),
                None if known.is_empty() => found.help(
                    "nothing in it has an id: give the outline one, or leave `part` out if it is \
                     the only shape.",
                ),
                None => {
                    let list = list_of(known.iter().map(String::as_str), "or", 8);
                    found.help(format!("parts with an id are {list}."))
                }
            }
        }
        PartFault::Several(shapes) => {
            let whole = part.map_or_else(|| format!("\"{name}\""), |p| format!("the group `{p}`"));
            let list = list_of(shapes.iter().map(String::as_str), "and", 8);
            find(&DRAWING_PART, format!("{whole} holds several shapes: {list}."))
                .help("name the one that is to be cut, such as `part \"body\"`.")
        }
        PartFault::NoShape(tag) => {
            let what = part
                .map_or_else(|| format!("\"{name}\" draws"), |p| format!("`{p}` (<{tag}>) draws"));
            find(&DRAWING_PART, format!("{what} no path or other shape that could be cut."))
                .help("turn texts, pictures and linked copies into paths first.")
        }
        PartFault::Unreadable(at, why) => {
            let message = format!("{told} cannot be read ({at} of \"{name}\"): {why}.");
            find(&DRAWING_BROKEN, message).help("save it again as a plain path with plain numbers.")
        }
        PartFault::Open(at, gap) => {
            let message = format!(
                "{told} is open: its end lies {} mm from its beginning ({at} of \"{name}\").",
                decimal(*gap, 1)
            );
            find(&DRAWING_OPEN, message).help("close the path where the saw is to come out.")
        }
        PartFault::Loops(at, count) => {
            let message = format!(
                "{told} is made of {count} closed lines ({at} of \"{name}\"); an outline is one."
            );
            find(&DRAWING_OPEN, message).help("break it apart, and name the one round the outside.")
        }
        PartFault::Scale(Some(size)) => {
            let message =
                format!("how large \"{name}\" is meant cannot be told from its size, {size}.");
            find(&DRAWING_SCALE, message).help("write how long one of its units is: `scale 1 mm`.")
        }
        PartFault::Scale(None) => {
            find(&DRAWING_SCALE, format!("\"{name}\" does not say how large it is meant."))
                .help("write how long one of its units is: `scale 1 mm`.")
        }
        PartFault::NoPage => {
            let message =
                format!("\"{name}\" has no page, so that nobody knows where its ground is.");
            find(&DRAWING_SCALE, message).help(
                "give it a `viewBox` or a height; the page's lower left corner is (0, 0) on the board.",
            )
        }
        PartFault::TooFar(at) => {
            let message = format!(
                "{told} reaches more than 10 km from the drawing's page ({at} of \"{name}\"): no yard is so large."
            );
            find(&DRAWING_BROKEN, message).help(
                "look for a number with digits too many in its path or transform, and at `scale`.",
            )
        }
        PartFault::TooFine(at, most) => {
            let message = format!("{told} has more than {most} corners ({at} of \"{name}\").");
            find(&DRAWING_BROKEN, message)
                .help("simplify the path: a saw follows a tenth of a millimetre.")
        }
    }
}
