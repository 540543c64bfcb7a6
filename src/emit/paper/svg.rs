//! A drawing as SVG: one user unit is one millimetre.

use super::{Drawing, Fill, Mark};
use crate::emit::svg::{P, Svg};

/// The file, `size` mm wide and high; `title` and `about` are for readers of the file.
#[must_use]
pub fn svg(drawing: &Drawing, size: P, title: &str, about: &str) -> String {
    let mut to = Svg::default();
    for mark in &drawing.marks {
        match mark {
            Mark::Path { line, points, closed, fill } => match (line, fill) {
                (_, Fill::Ink) => to.filled(points),
                (Some(line), Fill::Paper) => to.paper(*line, points),
                (Some(line), Fill::None) => to.path(*line, points, *closed),
                (None, _) => {}
            },
            Mark::Circle { line, at, radius, fill } => match fill {
                Fill::None => to.ring(*line, *at, *radius),
                Fill::Paper => to.circle(*line, *at, *radius),
                Fill::Ink => to.dot(*at, *radius),
            },
            Mark::Text(t) => {
                // A reader of SVG has letters of its own and lays them itself.
                match (t.upright, t.bold) {
                    (true, _) => to.upright_at(t.at, t.size, t.hang, &t.words),
                    (false, true) => to.bold(t.at, t.size, t.hang, &t.words),
                    (false, false) => to.text(t.at, t.size, t.hang, &t.words),
                }
            }
        }
    }
    to.finish(size, title, about)
}
