//! Stock: what to buy and to cut for a whole yard, each thing once with how many and for
//! which figures.
//!
//! From what the stages before found: bars, bolts and cams as they are made, cables, fuses.
//! What nobody said is taken from usual sizes and marked so.

mod bars;
mod bolts;
mod electric;
mod fittings;
pub mod nest;
pub mod rows;
mod sheets;

pub use bars::Section;
pub use nest::{Bar, Nested, Piece};
pub use rows::{Laid, Layout};

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::fit::FittedFigure;
use crate::make::{CamPlate, bars, cam};
use crate::model::Yard;
use crate::power::Power;
use crate::space::SpacedFigure;
use crate::units::{Mm, Mm2, System};

/// The shelf a part is found on, in the order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shelf {
    /// Sheets: whole ones where their size is known, else by area.
    Sheet,
    /// Boards and limbs, cut from sheets.
    Cut,
    /// Bars, by how many.
    Bar,
    /// Bolts, washers, nuts, bushings.
    Bolt,
    /// Motors, servos, rams, cylinders, belts.
    Motor,
    /// Supplies, converters, fuses, lamps.
    Supply,
    /// Cables in all.
    Cable,
    /// Cables, run by run.
    Run,
    /// Controllers.
    Controller,
    /// Stakes, braces, guys, ballast.
    Anchor,
}

impl Shelf {
    /// All of them, in the order of the list.
    pub const ALL: [Self; 10] = [
        Self::Sheet,
        Self::Cut,
        Self::Bar,
        Self::Bolt,
        Self::Motor,
        Self::Supply,
        Self::Cable,
        Self::Run,
        Self::Controller,
        Self::Anchor,
    ];

    /// What stands over its rows.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Sheet => "Sheets",
            Self::Cut => "Cut from them (box across and up, a limb along its axis)",
            Self::Bar => "Bars",
            Self::Bolt => "Bolts, washers, nuts, bushings",
            Self::Motor => "Motors and what turns with them",
            Self::Supply => "Supplies, fuses, lamps",
            Self::Cable => "Cable in all",
            Self::Run => "Cable, run by run",
            Self::Controller => "Controllers",
            Self::Anchor => "What holds the figures up",
        }
    }

    /// What people call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Cut => "cut from sheet",
            Self::Bar => "bar",
            Self::Bolt => "bolts",
            Self::Motor => "motion",
            Self::Supply => "power",
            Self::Cable => "cable",
            Self::Run => "cable run",
            Self::Controller => "control",
            Self::Anchor => "anchor",
        }
    }
}

/// A size of a part; each may be there or not.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Size {
    /// Length: of a bolt, a bar, a cable's run.
    pub length: Option<Mm>,
    /// Width of a box.
    pub width: Option<Mm>,
    /// Height of a box.
    pub height: Option<Mm>,
    /// Area.
    pub area: Option<Mm2>,
}

/// One row of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Where it is found.
    pub shelf: Shelf,
    /// What it is: "bolt M8", "plywood-9".
    pub name: String,
    /// How large each is.
    pub size: Size,
    /// How many.
    pub count: u32,
    /// More about it: "closed in steps of 5 mm".
    pub about: String,
    /// The figures that use it, in the yard's order; empty for what the yard uses.
    pub figures: Vec<String>,
    /// Whether a usual size went into it.
    pub assumed: bool,
    /// The household its sizes are bought in.
    pub system: System,
}

/// One kind of bar with its plan.
#[derive(Clone, Debug, PartialEq)]
pub struct BarPlan {
    /// What bar.
    pub section: Section,
    /// How long one is as it is sold.
    pub length: Mm,
    /// Whether that length was assumed.
    pub assumed: bool,
    /// Width of the saw's cut.
    pub kerf: Mm,
    /// Whether anything of the plan was assumed: section, length or cut.
    pub usual: bool,
    /// Which pieces come from which bar.
    pub nested: Nested,
    /// The household it is bought in.
    pub system: System,
}

/// One kind of sheet with its plan.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetPlan {
    /// What sheet.
    pub name: String,
    /// How it is sold: across its flutes or grain, and along them.
    pub size: (Mm, Mm),
    /// Width of the saw's cut.
    pub kerf: Mm,
    /// Which pieces come from which sheet, and where they lie on it.
    pub layout: Layout,
    /// The household it is bought in.
    pub system: System,
}

/// Everything to buy and to cut.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stock {
    /// The list, shelf by shelf.
    pub parts: Vec<Part>,
    /// The bars with their cuts.
    pub bars: Vec<BarPlan>,
    /// The sheets with what is cut from each, where their size is known.
    pub sheets: Vec<SheetPlan>,
}

/// Everything the stage looks at.
#[derive(Clone, Copy)]
struct Scene<'a> {
    yard: &'a Yard,
    fitted: &'a [Arc<FittedFigure>],
    spaces: &'a [Arc<SpacedFigure>],
    power: &'a Power,
    /// Cranks, levers and rods, figure by figure.
    bars: &'a [Vec<crate::make::Bar>],
    /// Cams, limb by limb of each figure.
    cams: &'a [Vec<Option<CamPlate>>],
}

/// What makes two parts one row: shelf, sizes to the bit, name and what is told of it.
type Thing = (Shelf, [Option<u64>; 4], String, String);

/// Rows that come together from many figures.
#[derive(Default)]
struct List {
    parts: Vec<Part>,
    /// Where a row of a name and size stands.
    known: BTreeMap<Thing, usize>,
    /// Rows and the figures that are in them.
    users: BTreeSet<(usize, String)>,
}

impl List {
    /// Adds to the row of the same thing, or begins one.
    fn add(&mut self, part: Part) {
        let size = part.size;
        let length = size.length.filter(|_| part.shelf != Shelf::Cable);
        let bits = |s: Option<Mm>| s.map(|s| s.0.to_bits());
        let area = size.area.map(|a| a.0.to_bits());
        let sizes = [bits(length), bits(size.width), bits(size.height), area];
        let key = (part.shelf, sizes, part.name.clone(), part.about.clone());
        match self.known.get(&key) {
            Some(&at) => {
                let row = &mut self.parts[at];
                row.count += part.count;
                row.assumed |= part.assumed;
                // A cable is bought by its whole length.
                if part.shelf == Shelf::Cable {
                    row.size.length = row.size.length.zip(part.size.length).map(|(a, b)| a + b);
                }
                for figure in part.figures {
                    if self.users.insert((at, figure.clone())) {
                        row.figures.push(figure);
                    }
                }
            }
            None => {
                let at = self.parts.len();
                self.known.insert(key, at);
                self.users.extend(part.figures.iter().map(|f| (at, f.clone())));
                self.parts.push(part);
            }
        }
    }
}

impl Part {
    /// One of a thing, for a figure.
    fn one(shelf: Shelf, name: impl Into<String>, figure: &str, system: System) -> Self {
        Self {
            shelf,
            name: name.into(),
            size: Size::default(),
            count: 1,
            about: String::new(),
            figures: vec![figure.to_owned()],
            assumed: false,
            system,
        }
    }

    /// So many of it.
    fn times(self, count: u32) -> Self {
        Self { count, ..self }
    }

    /// So long.
    fn long(self, length: Mm) -> Self {
        Self { size: Size { length: Some(length), ..self.size }, ..self }
    }

    /// With more about it.
    fn told(self, about: impl Into<String>) -> Self {
        Self { about: about.into(), ..self }
    }

    /// With a usual size in it, or not.
    fn guessed(self, assumed: bool) -> Self {
        Self { assumed, ..self }
    }
}

/// "38 x 38 mm", "3/4 in x 1 1/2 in".
#[must_use]
pub fn across(a: Mm, b: Mm, system: System) -> String {
    let [a, b] = [a, b].map(|l| crate::units::print::length(l, system));
    format!("{} x {b}", a.trim_end_matches(" mm"))
}

/// What a yard needs.
#[must_use]
pub fn stock(
    yard: &Yard,
    fitted: &[Arc<FittedFigure>],
    spaces: &[Arc<SpacedFigure>],
    power: &Power,
) -> Stock {
    // One after another: whoever writes its outputs side by side may wait here.
    let made: Vec<_> = fitted.iter().map(|f| bars(f)).collect();
    let cams: Vec<Vec<_>> =
        fitted.iter().map(|f| (0..f.limbs.len()).map(|limb| cam(f, limb)).collect()).collect();
    let scene = Scene { yard, fitted, spaces, power, bars: &made, cams: &cams };
    let mut list = List::default();
    let sheets = sheets::add(&scene, &mut list);
    let plans = bars::plans(&scene, &mut list);
    bolts::add(&scene, &mut list);
    fittings::add(&scene, &mut list);
    electric::motion(&scene, &mut list);
    electric::power(&scene, &mut list);
    electric::control(&scene, &mut list);
    bolts::anchors(&scene, &mut list);
    let mut parts = list.parts;
    // By shelf; pieces and runs as they came, file by file, the others by name and size.
    parts.sort_by_cached_key(|p| {
        let as_they_came = matches!(p.shelf, Shelf::Cut | Shelf::Run);
        let length = p.size.length.map_or(0, |l| (l.0 * 1000.0) as i64);
        let by_name = (!as_they_came).then(|| (counted(&p.name), length));
        (p.shelf, by_name)
    });
    Stock { parts, bars: plans, sheets }
}

/// A name with its numbers in one width, so that M8 stands before M10.
fn counted(name: &str) -> String {
    let mut key = String::new();
    let mut digits = String::new();
    for c in name.chars().chain(std::iter::once(' ')) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        if !digits.is_empty() {
            key.push_str(&format!("{digits:0>9}"));
            digits.clear();
        }
        key.push(c);
    }
    key
}
