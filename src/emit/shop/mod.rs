//! `shop/`: what goes to the bench and into the yard on paper.
//!
//! For each figure a PDF of A4 sheets that print on Letter as well, everything to cut or
//! drill in true size, and an SVG with the same pieces side by side for a plotter; a
//! set-out card for the yard and labels for the boxes. What stands on the sheets is
//! computed in [`crate::make`]; here it is only laid out.
//!
//! The paper is always A4 with a border that Letter leaves free too: one file serves both
//! households, and a sheet handed on still prints in true size.

mod bars;
mod board;
mod cam;
mod cards;
mod chart;
mod clamp;
mod crank_set;
mod kept;
mod labels;
mod measures;
mod overview;
mod pieces;
mod plates;
mod set_out;
mod stack;

pub use kept::Kept;

use super::Output;
use super::paper::flow;
use super::paper::{Drawing, Title, pdf};
use super::svg::P;
use super::words::length;
use crate::check::{Compiled, Work};
use crate::make::{Made, made};
use crate::model::{Figure, Limb, Placed};
use crate::units::print::fine;
use crate::units::{Mm, System};

/// All sheets of a yard.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    Kept::default().outputs(compiled, &Work::default())
}

/// The sheets of one figure, by its index in the yard, as they are drawn.
#[must_use]
pub fn figure_sheets(compiled: &Compiled, at: usize) -> Vec<Drawing> {
    let shop = Shop::new(compiled, at);
    titled(&shop, &shop.pages())
}

/// The sheets of all labels, as they are drawn.
#[must_use]
pub fn label_sheets(compiled: &Compiled) -> Vec<Drawing> {
    let figures = 0..compiled.yard.figures.len();
    let labels: Vec<_> = figures.flat_map(|f| labels::blocks(&Shop::new(compiled, f))).collect();
    labels::sheets(compiled, &labels)
}

/// One sheet before its title block.
struct Page {
    body: Drawing,
    subject: String,
    scale: String,
}

impl Page {
    fn full_size(body: Drawing, subject: impl Into<String>) -> Self {
        Self { body, subject: subject.into(), scale: "1:1".to_owned() }
    }

    fn of_words(body: Drawing, subject: impl Into<String>) -> Self {
        Self { body, subject: subject.into(), scale: "none".to_owned() }
    }
}

/// One figure's sheets.
struct Shop<'a> {
    compiled: &'a Compiled,
    /// Its index in the yard.
    at: usize,
    placed: &'a Placed,
    made: Made,
    /// How far the corner of the board's box is moved on its drawing, so that few sheets do.
    net: P,
    system: System,
}

impl<'a> Shop<'a> {
    fn new(compiled: &'a Compiled, at: usize) -> Self {
        let placed = &compiled.yard.figures[at];
        let made = made(&compiled.figures[at], &compiled.loads[at], &compiled.spaces[at]);
        let system = System::first_of([placed.figure.system, compiled.yard.system]);
        let net = board::net(&made);
        Self { compiled, at, placed, made, net, system }
    }

    fn figure(&self) -> &'a Figure {
        &self.placed.figure
    }

    fn limb(&self, index: usize) -> &'a Limb {
        &self.placed.figure.limbs[index]
    }

    fn name(&self) -> &'a str {
        &self.placed.name.value
    }

    /// A length as it is marked out.
    fn length(&self, mm: f64) -> String {
        length(Mm(mm), self.system)
    }

    /// A place or a distance of two: to a tenth of a mm, for a belt and a pair of gears
    /// feel half of one; in inches to 1/32 where that is as near, else to a thousandth.
    fn place(&self, mm: f64) -> String {
        let on_ruler = (mm * 32.0 / 25.4).round() * 25.4 / 32.0;
        match self.system {
            System::Inch if (on_ruler - mm).abs() < 0.05 => self.length(mm),
            _ => fine(Mm(mm), self.system),
        }
    }

    /// "left-arm, right-arm".
    fn names(&self, limbs: &[usize]) -> String {
        let names: Vec<&str> = limbs.iter().map(|l| self.limb(*l).name.value.as_str()).collect();
        names.join(", ")
    }

    fn files(&self) -> [Output; 2] {
        let pages = self.pages();
        let file = pdf(&format!("{}: shop sheets", self.name()), &titled(self, &pages));
        [
            Output::new(format!("shop/{}.pdf", self.name()), file),
            Output::new(format!("shop/{}.svg", self.name()), pieces::svg(self)),
        ]
    }

    fn pages(&self) -> Vec<Page> {
        let drills = board::sheets(self);
        let mut following = drills;
        following.extend(plates::sheets(self));
        following.extend(cam::sheets(self));
        let (mut blocks, long) = bars::sheets(self);
        following.extend(long);
        blocks.extend(stack::blocks(self));
        let words = "Bars before bending, and bolts";
        following.extend(flow::flow(&blocks).into_iter().map(|b| Page::full_size(b, words)));
        let mut blocks = cards::blocks(self);
        let trial = chart::blocks(self);
        let words = match trial.is_empty() {
            true => "Bench and wiring cards",
            false => "Bench and wiring cards, trial holes",
        };
        blocks.extend(trial);
        following.extend(flow::flow(&blocks).into_iter().map(|b| Page::of_words(b, words)));
        let mut pages = overview::sheets(self, &following);
        pages.extend(following);
        pages
    }
}

/// The sheets with their borders and title blocks.
fn titled(shop: &Shop<'_>, pages: &[Page]) -> Vec<Drawing> {
    let of = pages.len();
    let unit = if shop.system == System::Inch { "inches" } else { "mm" };
    let sheet = |(n, page): (usize, &Page)| {
        Title {
            name: shop.name(),
            title: shop.figure().title.as_deref().unwrap_or(""),
            subject: &page.subject,
            scale: &page.scale,
            sheet: (n + 1, of),
            unit,
            file: &shop.compiled.file,
        }
        .around(&page.body)
    };
    pages.iter().enumerate().map(sheet).collect()
}

/// What a file of the whole yard is called: this, unless a figure is.
fn yard_file(compiled: &Compiled, name: &str) -> String {
    let mut name = name.to_owned();
    while compiled.yard.figure(&name).is_some() {
        name.push_str("-card");
    }
    format!("shop/{name}")
}

/// Sheets of a whole yard with their borders and title blocks, and what their lengths are in.
fn titled_yard(
    compiled: &Compiled,
    (subject, unit): (&str, &str),
    bodies: &[Drawing],
) -> Vec<Drawing> {
    let yard = &compiled.yard;
    let name = yard.name.as_ref().map_or("yard", |n| n.value.as_str());
    let of = bodies.len();
    let sheet = |(n, body): (usize, &Drawing)| {
        Title {
            name,
            title: yard.title.as_deref().unwrap_or(""),
            subject,
            scale: "none",
            sheet: (n + 1, of),
            unit,
            file: &compiled.file,
        }
        .around(body)
    };
    bodies.iter().enumerate().map(sheet).collect()
}
