//! One linkage, worked out with the library alone: `cargo run --example one_linkage`.
#![allow(clippy::print_stdout)]

use yardwright::geometry::BoardPoint;
use yardwright::mechanism::{Assembly, Degenerate, FourBar};
use yardwright::units::{Deg, Mm};

/// How far the arm of this linkage swings, as a sentence.
pub fn swing() -> Result<String, Degenerate> {
    let (motor, pivot) = (BoardPoint::mm(300.0, 600.0), BoardPoint::mm(300.0, 900.0));
    let (crank, rod, lever) = (Mm(30.0), Mm(288.0), Mm(90.0));
    let linkage = FourBar::new((motor, pivot), (crank, rod, lever), Deg(0.0), Assembly::Open)?;
    let ends = linkage.analyse().motion.and_then(|m| Some((m.low?, m.high?)));
    Ok(match ends {
        Some((low, high)) => format!("the arm swings {:.1} to {:.1} deg", low.0, high.0),
        None => "the arm has no two ends".to_owned(),
    })
}

fn main() -> Result<(), String> {
    println!("{}", swing().map_err(|wrong| format!("no linkage: {wrong:?}"))?);
    Ok(())
}
