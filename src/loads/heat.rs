//! How much plastic sheets grow from frost to sun: a board against its screws and bolts, a limb
//! across between the rails of its guide.

use super::Bench;
use super::wind_codes::HEAT_LENGTH;
use super::wind_limb::left_out;
use crate::finding::{Finding, Severity};
use crate::model::Material;
use crate::units::{Mm, print, print::decimal};

/// From a frosty night to a sheet in the sun, K (common practice, no source).
const WARMER: f64 = 70.0;
/// The play of a medium hole, mm (ISO 273), and what is usually left beside a guided piece.
const PLAY: f64 = 1.0;

/// Growth of a sheet, per K: polypropylene of corrugated sheets 0.14 mm/(m K) (resin
/// specification of a maker); rigid PVC of foamed and solid ones 0.08 (from memory). Wood and
/// metal do not matter here.
const fn growth(material: Material) -> f64 {
    match material {
        Material::Corrugated => 0.000_14,
        Material::Plastic => 0.000_08,
        Material::Plywood | Material::Metal => 0.0,
    }
}

/// How much a length of it grows from frost to sun, mm.
#[must_use]
pub fn grows(sheet: Option<Material>, long: f64) -> f64 {
    sheet.map_or(0.0, growth) * WARMER * long
}

impl Bench<'_> {
    /// The board, and limbs in their guides.
    pub(super) fn heat(&mut self) {
        let figure = &*self.fitted.figure;
        let say = |mm: f64, places| print::size(Mm(mm), places, figure.system);
        let mut found = Vec::new();
        if let (Some(sheet), Some(outline), Some(place)) =
            (&figure.board.sheet, &figure.board.outline, figure.board.place)
        {
            let bounds = outline.bounds();
            let long = (bounds.high.x - bounds.low.x).max(bounds.high.y - bounds.low.y);
            let by = grows(sheet.material, long);
            if by > PLAY {
                let message = format!(
                    "the board of {} grows by {} from frost to sun, and a usual hole has {} of play.",
                    figure.name.value,
                    say(by, 0),
                    say(PLAY, 0)
                );
                let help = "fix it in one hole and give the others slots.".to_owned();
                found.push((place, None, message, help, (sheet.material, long)));
            }
        }
        for limb in figure.limbs.iter().filter(|l| !l.poisoned && !left_out(l, "sheet")) {
            let wide = limb.build.guide.as_ref().and_then(|g| g.width);
            let (Some(sheet), Some(wide)) = (limb.sheet.as_deref(), wide) else { continue };
            let by = grows(sheet.material, wide.0);
            if by <= PLAY {
                continue;
            }
            let message = format!(
                "the piece of {} between the rails of its guide grows by {} from frost to sun, and {} is a usual \
                 play there.",
                limb.said(),
                say(by, 1),
                say(PLAY, 0)
            );
            let help = format!(
                "leave {} between it and the rails on a cold day, or line its edges with strips that slide.",
                print::size_up(Mm(by + PLAY / 2.0), figure.system)
            );
            let name = Some(limb.name.value.as_str());
            found.push((limb.name.place, name, message, help, (sheet.material, wide.0)));
        }
        for (place, limb, message, help, (sheet, long)) in found {
            let rate = sheet.map_or(0.0, growth) * 1e6;
            let finding = Finding::new(&HEAT_LENGTH, place, message)
                .with_severity(Severity::Advice)
                .given("how long it is", say(long, 0))
                .given("it grows, each metre and degree", format!("{} um", decimal(rate, 0)))
                .given("from frost to sun", format!("{} K", decimal(WARMER, 0)))
                .sum(
                    "it grows",
                    format!(
                        "{} x {} x {}",
                        decimal(rate * 1e-3, 2),
                        decimal(long * 1e-3, 3),
                        decimal(WARMER, 0)
                    ),
                    say(grows(sheet, long), 2),
                )
                .given("usual play", say(PLAY, 1));
            self.findings.push(finding.help(help).about(&figure.name.value, limb));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_metres_of_polypropylene_grow_by_two_centimetres() {
        // 0.14 mm/(m K) x 70 K x 2 m = 19.6 mm; PVC 0.08 x 70 x 2 = 11.2 mm.
        assert!((grows(Some(Material::Corrugated), 2000.0) - 19.6).abs() < 1e-9);
        assert!((grows(Some(Material::Plastic), 2000.0) - 11.2).abs() < 1e-9);
        assert_eq!(grows(Some(Material::Plywood), 2000.0), 0.0);
    }
}
