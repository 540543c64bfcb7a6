//! Rods of another length for a lever, of which every one does what it is told to do.

use super::checks::BUILD_ERROR;
use crate::units::{Mm, System, print};

/// Rods that are told, mm: others nobody bends or buys (common practice, no source).
pub(super) const TOLD: std::ops::RangeInclusive<f64> = 5.0..=2000.0;

/// What a rod has to spare before it lies in one line with its lever: four holes, each off
/// by as much as holes are.
const SPARE: f64 = BUILD_ERROR.0 * 4.0;

/// The shortest and the longest rod.
type Range = (f64, f64);

/// Rods that reach all the way, what pushes them coming as near to the pivot and going as
/// far from it as this, with holes off as they are (the triangle's inequality).
fn reaching((near, far): (f64, f64), lever: f64) -> Range {
    ((far - lever).max(lever - near) + SPARE, lever + near - SPARE)
}

/// Rods that push at 45 deg or more all the way: with the distance d from pivot to pin,
/// |b^2 + c^2 - d^2| <= sqrt(2) b c (law of cosines).
fn pushing((near, far): (f64, f64), lever: f64) -> Range {
    let half = lever * std::f64::consts::FRAC_1_SQRT_2;
    let root = |d: f64| (d * d - half * half).max(0.0).sqrt();
    (root(far) - half, root(near) + half)
}

/// "with a rod between 272 mm and 328 mm", one that pushes well where there is any; `None`
/// where no rod reaches.
pub(super) fn in_words(
    does: &str,
    (near, far): (Mm, Mm),
    lever: Mm,
    system: System,
) -> Option<String> {
    let told = |(least, most): Range| {
        let room =
            most - least >= print::mark(system) && TOLD.contains(&least) && TOLD.contains(&most);
        room.then(|| {
            let (least, most) = (Mm(least), Mm(most));
            let rods = [print::size_up(least, system), print::size_down(most, system)];
            format!("with a rod between {} and {}", rods[0], rods[1])
        })
    };
    let (way, lever) = ((near.0, far.0), lever.0);
    let (reach, push) = (reaching(way, lever), pushing(way, lever));
    let both = (reach.0.max(push.0), reach.1.min(push.1));
    match told(both) {
        Some(rods) => Some(format!("it {does}, pushing at 45 deg or more, {rods}.")),
        None => told(reach)
            .map(|rods| format!("it {does} {rods}, though each pushes at less than 45 deg then.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the law of cosines: with c = 70 mm and d from 227.8 to 287.8 mm, a rod of
    /// 233.9 mm pushes at 45 deg where d is most, one of 271.9 mm where it is least.
    #[test]
    fn the_ends_push_at_45_deg() {
        let (least, most) = pushing((227.8, 287.8), 70.0);
        let push = |b: f64, d: f64| {
            let cos = (b * b + 4900.0 - d * d) / (2.0 * b * 70.0);
            90.0 - (libm::acos(cos).to_degrees() - 90.0).abs()
        };
        assert!((least - 234.0).abs() < 0.1 && (most - 271.8).abs() < 0.1, "{least} {most}");
        assert!((push(least, 287.8) - 45.0).abs() < 1e-9);
        assert!((push(most, 227.8) - 45.0).abs() < 1e-9);
    }

    #[test]
    fn a_rod_that_reaches_is_told_though_none_pushes_well() {
        // A lever of 30 mm swung by a crank of 28: no rod pushes well all the way.
        let told = in_words("goes round", (Mm(172.0), Mm(228.0)), Mm(40.0), System::Metric);
        let told = told.expect("rods of 192 to 208 mm reach");
        assert!(told.contains("between 192 mm and 208 mm, though"), "{told}");
        assert!(in_words("goes round", (Mm(172.0), Mm(228.0)), Mm(30.0), System::Metric).is_none());
    }
}
