//! Sizes cut from stock: a drilled bar is a row of holes, and every size between two
//! of its holes is a whole number of its steps.

use std::sync::Arc;

use crate::finding::{Finding, Spanned};
use crate::mechanism::Size;
use crate::mechanism::solve::{FREE_CRANK, FREE_LEVER, ROW_LIMIT};
use crate::model::{BarStock, DriveKind, Limb, Note};
use crate::syntax::{Block, Got, Open};
use crate::units::{Kg, Mm, System};

use super::drives::part;
use super::figure::Making;
use super::names::NameKind;
use super::{codes, say};

/// Sizes of holes nearer than this are one: inch rows in binary, mm.
const SAME: f64 = 1e-6;

/// A row of holes: first, last and step, mm.
type Row = (f64, f64, f64);

/// The sizes that can be cut from a bar, and how long they may be where neither the
/// bar nor the maker says.
const CUT: [(&str, f64); 3] =
    [("crank", FREE_CRANK.1), ("rod", f64::INFINITY), ("lever", FREE_LEVER.1)];

/// Puts the holes of stock bars into the sizes that name one, and reports every size
/// that is said to be a hole of a row and is none; `None` where one was.
pub(super) fn cut(
    block: Option<Block<'_>>,
    drive: &mut DriveKind,
    limb: &mut Limb,
    making: &mut Making<'_, '_>,
) -> Option<()> {
    let before = making.findings.len();
    making.findings.extend(uncut(block));
    limb.build.bars = Default::default();
    limb.build.bar_masses =
        CUT.map(|(word, _)| part(block, word, "mass")?.quantity::<Kg>().map(|m| m.value));
    for (nth, ((word, most), sized)) in CUT.into_iter().zip(drive.bars_mut()).enumerate() {
        let Some(got) = part(block, word, "length") else { continue };
        let Some(name) = got.stock() else {
            let system = first_said(&[got.system(), making.system]);
            making.findings.extend(off_row(got, system));
            continue;
        };
        let (Some(open), Some(bar)) = (got.open(), bar(name, making)) else { continue };
        let system = first_said(&[got.system(), bar.system, making.system]);
        limb.build.bars[nth] = Some(Arc::clone(&bar));
        // A bar without holes is drilled where the maker wants.
        if bar.holes.is_none() && open.value.given.is_some() && open.value.from.is_none() {
            continue;
        }
        let ask = Ask { word, open, name, system };
        match ask.row(&bar, most) {
            Ok(row) => {
                let Some(sized) = sized else { continue };
                (sized.row, sized.system) = (Some(row), system);
                sized.cuts = all(&bar);
                if open.value.given.is_none() {
                    sized.size = Size::Row { lo: row.0, hi: row.1, step: row.2 };
                    limb.assumed.extend(ask.note(row));
                }
            }
            Err(finding) => making.findings.push(*finding),
        }
    }
    (making.findings.len() == before).then_some(())
}

/// All the sizes between two holes of a bar; `None` where it has no row.
fn all(bar: &BarStock) -> Option<Row> {
    let (pitch, _) = bar.holes?;
    let spaces = bar.span().map_or((ROW_LIMIT - 1) as f64, |s| libm::round(s / pitch));
    Some((pitch.0, pitch.0 * spaces, pitch.0))
}

/// The first household that is one of the two.
fn first_said(systems: &[System]) -> System {
    systems.iter().copied().find(|s| *s != System::Both).unwrap_or(System::Both)
}

/// A finding for each size that names a bar and is not cut from one.
fn uncut(block: Option<Block<'_>>) -> Vec<Finding> {
    let clauses = block.into_iter().flat_map(|b| b.clauses());
    let others = clauses.filter(|c| CUT.iter().all(|(word, _)| *word != c.word()));
    let named = others.flat_map(|c| c.each_value().filter_map(move |v| Some((c, v.stock()?))));
    named
        .map(|(c, name)| {
            let message =
                format!("the size behind `{}` is not taken from a bar with holes.", c.word());
            Finding::new(&codes::STOCK_UNFIT, name.place, message)
                .help("only crank, rod, and lever or tail hole are: leave out `of` and the name.")
        })
        .collect()
}

/// The bar named so; `None` where it is unknown, which is reported.
fn bar(name: Spanned<&str>, making: &mut Making<'_, '_>) -> Option<Arc<BarStock>> {
    let found = making.lookups.check(NameKind::Bar, name, &mut making.findings);
    // A bar whose own block is faulty is declared, and reported there.
    making.lookups.parts().bars.get(name.value).filter(|_| found).cloned()
}

/// What is asked of a bar.
struct Ask<'a> {
    word: &'static str,
    open: Spanned<Open>,
    name: Spanned<&'a str>,
    system: System,
}

impl Ask<'_> {
    fn say(&self, mm: f64) -> String {
        say::length(Mm(mm), self.system)
    }

    fn unfit(&self, message: String) -> Finding {
        Finding::new(&codes::STOCK_UNFIT, self.open.place, message)
    }

    /// The holes of the bar that were asked for.
    fn row(&self, bar: &BarStock, most: f64) -> Result<Row, Box<Finding>> {
        let name = self.name.value;
        let Some((pitch, _)) = bar.holes else {
            let message = format!("{name} has no row of holes to take a size from.");
            let help =
                "write `holes every 25 mm from 12.5 mm` into its block, with your own figures.";
            let finding = Finding::new(&codes::STOCK_UNFIT, self.name.place, message).help(help);
            return Err(Box::new(finding));
        };
        let o = &self.open.value;
        let pitch = pitch.0;
        let limit = bar.span().map_or(pitch * (ROW_LIMIT - 1) as f64, |s| s.0);
        let (from, to) = match (o.from, o.to) {
            (Some(a), Some(b)) => (a.min(b), a.max(b)),
            _ if o.given.is_none() && bar.span().is_none() => (pitch, most.min(limit)),
            _ => (pitch, limit),
        };
        let step = self.step(pitch)?;
        let first = libm::ceil(from / pitch - SAME).max(1.0) * pitch;
        let spaces = libm::floor((to.min(limit) - first) / step + SAME);
        if spaces < 0.0 {
            return Err(Box::new(self.none_between((from, to), pitch, limit)));
        }
        let row = (first, first + spaces * step, step);
        match o.given.and_then(|at| nearest(at, row)) {
            Some(near) => Err(Box::new(self.between_holes(near, row, pitch))),
            None => Ok(row),
        }
    }

    /// The bar's own step, or a whole number of it.
    fn step(&self, pitch: f64) -> Result<f64, Box<Finding>> {
        let Some(step) = self.open.value.step else { return Ok(pitch) };
        let spaces = (step / pitch).round();
        if spaces >= 1.0 && (spaces * pitch - step).abs() < SAME {
            return Ok(step);
        }
        let message = format!(
            "the holes of {} are {} apart, so no row goes by {}.",
            self.name.value,
            self.say(pitch),
            self.say(step)
        );
        Err(Box::new(self.unfit(message).help("leave out `by` and its step.")))
    }

    /// No two holes are as far apart as asked.
    fn none_between(&self, (from, to): (f64, f64), pitch: f64, limit: f64) -> Finding {
        let (name, word) = (self.name.value, self.word);
        if limit < pitch {
            return self.unfit(format!(
                "{name} is too short for two holes: they are {} apart.",
                self.say(pitch)
            ));
        }
        let last = libm::floor(limit / pitch + SAME) * pitch;
        let below = Some((libm::floor(from / pitch) * pitch).min(last)).filter(|b| *b > 0.0);
        let above = Some(below.unwrap_or(0.0) + pitch).filter(|a| *a <= last + SAME);
        let message = format!(
            "no two holes of {name} are {} to {} apart: they go by {} up to {}.",
            say::bare(Mm(from), self.system),
            self.say(to),
            self.say(pitch),
            self.say(last)
        );
        let help = match (below, above) {
            (Some(below), Some(above)) => {
                let (a, b) = (say::bare(Mm(below), self.system), self.say(above));
                format!(
                    "the nearest are {} and {b}: write `{word} ? {a} to {b} of {name}`.",
                    self.say(below)
                )
            }
            (near, other) => {
                let near = self.say(near.or(other).unwrap_or(pitch));
                format!("the nearest is {near}: write `{word} {near} of {name}`.")
            }
        };
        self.unfit(message).help(help)
    }

    /// A given size that is no hole.
    fn between_holes(&self, near: f64, (lo, hi, _): Row, pitch: f64) -> Finding {
        let message = format!(
            "{} is no size of {} from {} to {}: its holes are {} apart.",
            self.say(self.open.value.given.unwrap_or(near)),
            self.name.value,
            say::bare(Mm(lo), self.system),
            self.say(hi),
            self.say(pitch)
        );
        Finding::new(&codes::HOLE_OFF_ROW, self.open.place, message)
            .help(format!("the nearest is {}.", self.say(near)))
    }

    /// Where no range is written: how far the row goes.
    fn note(&self, (lo, hi, step): Row) -> Option<Note> {
        let (word, name) = (self.word, self.name.value);
        let (a, b) = (say::bare(Mm(lo), self.system), self.say(hi));
        self.open.value.from.is_none().then(|| {
            Note::new(
                format!("{word} of {name}, {a} to {b} by {}", self.say(step)),
                format!("{word} ? {a} to {b} of {name}"),
            )
        })
    }
}

/// The nearest hole of a row; `None` where a size is on one.
fn nearest(at: f64, (lo, hi, step): Row) -> Option<f64> {
    let last = libm::floor((hi - lo) / step + 1e-9).max(0.0);
    let nth = ((at - lo) / step).round();
    let near = lo + nth.clamp(0.0, last) * step;
    ((near - at).abs() >= SAME).then_some(near)
}

/// A size that is said to be a hole of a row and is none of it.
fn off_row(got: Got<'_>, system: System) -> Option<Finding> {
    let open = got.open()?;
    let o = open.value;
    let (at, lo, hi, step) = (o.given?, o.from?, o.to?, o.step?);
    let near = nearest(at, (lo, hi, step))?;
    let say = |v: f64| say::length(Mm(v), system);
    let message = format!(
        "{} is no hole of the row from {} to {} by {}.",
        say(at),
        say(lo),
        say(hi),
        say(step)
    );
    let finding = Finding::new(&codes::HOLE_OFF_ROW, open.place, message);
    Some(finding.help(format!("the nearest hole is {}.", say(near))))
}
