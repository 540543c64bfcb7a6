//! A limb as a cantilever of sheet in the wind.

use super::wind_area::{LIMB_FORCE, width_at, width_in};
use super::wind_limit::{Input, input};
use crate::geometry::{OnLimb, Outline};

/// How many pieces a limb is cut into along its axis.
const PIECES: usize = 64;

/// Something else that hangs on the limb and is blown at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rider {
    /// Where it hangs along the limb's axis, mm.
    pub at: f64,
    /// Force on it for each Pa, m2.
    pub force: f64,
    /// Moment of that force about the place where it hangs, for each Pa, m3.
    pub moment: f64,
}

/// What one pascal of wind does to a limb clamped at its bolt.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bending {
    /// How far its end bends for each Pa, m; for a modulus of 1 Pa.
    pub end: f64,
    /// Its curve: at even steps from where it is clamped to its end, which share of the end's
    /// bending it has there, 0 to 1.
    pub curve: Vec<f64>,
    /// How steep that end stands then, for each Pa; for a modulus of 1 Pa.
    pub slope: f64,
    /// The largest stress in its sheet, Pa for each Pa.
    pub stress: f64,
}

/// Bending of a sheet of thickness `t` mm from `root` mm of the axis to its end, the
/// way `sign` points along the axis.
///
/// Each piece carries 1.3 of the pressure on its own width and bends by its own
/// section: with an even width w L^4/(8 EI), with a taper as the taper gives it.
#[must_use]
pub fn cantilever(
    outline: &Outline<OnLimb>,
    t: f64,
    root: f64,
    sign: f64,
    riders: &[Rider],
) -> Option<Bending> {
    let bounds = outline.bounds();
    let reach = if sign > 0.0 { bounds.high.x } else { -bounds.low.x };
    let length = (reach - root) * 1e-3;
    let real = length > 0.0 && t > 0.0;
    if !real {
        return None;
    }
    let dx = length / PIECES as f64;
    let at = |n: usize| root + (n as f64 + 0.5) * dx * 1e3;
    let mut room = Vec::new();
    let widths: [f64; PIECES] =
        std::array::from_fn(|n| width_in(outline, sign * at(n), &mut room) * 1e-3);
    let t = t * 1e-3;
    let (mut shear, mut moment) = (0.0, 0.0);
    let mut moments = [0.0; PIECES];
    for n in (0..PIECES).rev() {
        let load = LIMB_FORCE * widths[n] * dx;
        for rider in riders.iter().filter(|r| {
            let r = r.at * sign;
            let from = at(n) - dx * 500.0;
            (from..from + dx * 1e3).contains(&r)
        }) {
            shear += rider.force;
            moment += rider.moment;
        }
        // In the middle of the piece.
        moments[n] = moment + shear * dx / 2.0 + load * dx / 8.0;
        moment += shear * dx + load * dx / 2.0;
        shear += load;
    }
    let (mut slope, mut bent, mut stress) = (0.0, 0.0, 0.0_f64);
    let mut curve = vec![0.0];
    for (m, b) in moments.iter().zip(&widths) {
        if *b > 0.0 {
            let bends = m / (b * t * t * t / 12.0);
            bent += slope * dx + bends * dx * dx / 2.0;
            slope += bends * dx;
            stress = stress.max(6.0 * m / (b * t * t));
        }
        curve.push(bent);
    }
    if bent > 0.0 {
        curve.iter_mut().for_each(|share| *share /= bent);
    }
    Some(Bending { end: bent, curve, slope, stress })
}

/// The value of a curve of even steps at a share of its length, straight from step to step:
/// over one that is hollow upwards, so that nothing is told too small.
#[must_use]
pub(super) fn along(curve: &[f64], share: f64) -> f64 {
    let Some(steps) = curve.len().checked_sub(1) else { return 0.0 };
    let place = share.clamp(0.0, 1.0) * steps as f64;
    let step = place as usize;
    let next = curve[steps.min(step + 1)];
    curve[step] + (next - curve[step]) * (place - step as f64)
}

/// The widths that a limb's bending follows from: how far it reaches, and how wide it is
/// from where it is held to its end.
#[must_use]
pub(super) fn widths(outline: &Outline<OnLimb>, root: f64, sign: f64) -> Vec<Input> {
    const AT: [&str; 5] = [
        "width_where_it_is_held",
        "width_a_quarter_on",
        "width_half_way",
        "width_three_quarters_on",
        "width_at_its_end",
    ];
    let bounds = outline.bounds();
    let reach = if sign > 0.0 { bounds.high.x } else { -bounds.low.x };
    // A hair's breadth inside, where an edge is square to the axis.
    let inside = |share: f64| root + (reach - root) * share.clamp(1e-6, 1.0 - 1e-6);
    let width = |(n, name): (usize, &'static str)| {
        input(name, width_at(outline, sign * inside(n as f64 / 4.0)), "mm")
    };
    let all = AT.into_iter().enumerate().map(width);
    std::iter::once(input("reach", reach, "mm")).chain(all).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use crate::units::Mm;

    fn strip(length: f64, width: f64) -> Outline<OnLimb> {
        Outline::strip(Point::mm(0.0, 0.0), Point::mm(length, 0.0), Mm(width)).unwrap()
    }

    #[test]
    fn an_even_strip_bends_as_the_textbook_says() {
        // Uniformly loaded cantilever: w L^4/(8 EI), root moment w L^2/2 (any textbook
        // of strength of materials, e.g. Roark's Formulas, table 8.1).
        let b = cantilever(&strip(480.0, 85.0), 6.0, 0.0, 1.0, &[]).unwrap();
        let (l, w, t) = (0.48_f64, LIMB_FORCE * 0.085, 0.006_f64);
        let inertia = 0.085 * libm::pow(t, 3.0) / 12.0;
        assert!((b.end / (w * libm::pow(l, 4.0) / (8.0 * inertia)) - 1.0).abs() < 1e-3);
        // Its end stands at w L^3/(6 EI) (the same table).
        assert!((b.slope / (w * libm::pow(l, 3.0) / (6.0 * inertia)) - 1.0).abs() < 2e-3);
        // The stress is told in the middle of the first piece.
        let root = 6.0 * w * l * l / 2.0 / (0.085 * t * t);
        assert!((b.stress / root - 1.0).abs() < 0.02);
    }

    #[test]
    fn an_even_strip_has_the_curve_of_the_textbook() {
        // Uniformly loaded cantilever: q x^2 (6 L^2 - 4 L x + x^2)/(24 EI), against q L^4/(8 EI)
        // at its end (handbook formula, from memory; e.g. Roark's Formulas, table 8.1). By hand:
        // at a quarter 0.0625 (6 - 1 + 0.0625)/3 = 0.1055, half way 0.25 (6 - 2 + 0.25)/3 =
        // 0.3542, at three quarters 0.5625 (6 - 3 + 0.5625)/3 = 0.6680.
        let b = cantilever(&strip(480.0, 85.0), 6.0, 0.0, 1.0, &[]).unwrap();
        let by_hand = [(0.0, 0.0), (0.25, 0.1055), (0.5, 0.3542), (0.75, 0.6680), (1.0, 1.0)];
        for (at, share) in by_hand {
            assert!((along(&b.curve, at) - share).abs() < 5e-4, "{at}: {}", along(&b.curve, at));
        }
        // Between two steps as well, and nothing beyond the ends.
        let x: f64 = 0.3;
        let share = x * x * (6.0 - 4.0 * x + x * x) / 3.0;
        assert!((along(&b.curve, x) - share).abs() < 5e-4);
        assert_eq!((along(&b.curve, -0.1), along(&b.curve, 1.1)), (0.0, 1.0));
        assert_eq!(along(&[], 0.5), 0.0);
    }

    #[test]
    fn what_hangs_near_the_bolt_bends_the_inner_part_by_more_than_an_even_load() {
        // A point load P at a: beyond it straight, P a^2 (3 x - a)/6EI, so that half way out it
        // has (1.5 - a)/(3 - a) of its end's; a = 0.2: 0.4643 (the same table).
        let rider = Rider { at: 60.1, force: 1000.0, moment: 0.0 };
        let b = cantilever(&strip(300.0, 50.0), 4.0, 0.0, 1.0, &[rider]).unwrap();
        assert!((along(&b.curve, 0.5) - 0.4643).abs() < 5e-3, "{}", along(&b.curve, 0.5));
    }

    #[test]
    fn bending_grows_with_the_fourth_power_of_length_and_falls_with_the_cube_of_thickness() {
        let of = |l, t| cantilever(&strip(l, 50.0), t, 0.0, 1.0, &[]).unwrap();
        assert!((of(600.0, 4.0).end / of(300.0, 4.0).end - 16.0).abs() < 1e-6);
        assert!((of(300.0, 4.0).end / of(300.0, 8.0).end - 8.0).abs() < 1e-6);
        assert!((of(300.0, 4.0).stress / of(300.0, 8.0).stress - 4.0).abs() < 1e-6);
    }

    #[test]
    fn a_weightless_rider_at_the_end_is_a_point_load() {
        // P L^3/(3 EI) with P far above the strip's own load.
        let rider = Rider { at: 299.9, force: 100.0, moment: 0.0 };
        let b = cantilever(&strip(300.0, 50.0), 4.0, 0.0, 1.0, &[rider]).unwrap();
        let inertia = 0.05 * libm::pow(0.004_f64, 3.0) / 12.0;
        assert!((b.end / (100.0 * libm::pow(0.3_f64, 3.0) / (3.0 * inertia)) - 1.0).abs() < 0.03);
    }

    #[test]
    fn its_widths_say_how_it_bends() {
        // A wedge, 80 mm wide at the bolt and 40 at its end, from 20 mm on: widths by similar
        // triangles 80 - 40 (20 + 280 n/4)/300.
        let corners = [(0.0, -40.0), (300.0, -20.0), (300.0, 20.0), (0.0, 40.0)];
        let wedge = Outline::new(corners.map(|(x, y)| Point::mm(x, y)).to_vec()).unwrap();
        let told: Vec<f64> = widths(&wedge, 20.0, 1.0).iter().map(|i| i.value).collect();
        let by_hand = [300.0, 77.3333, 68.0, 58.6667, 49.3333, 40.0];
        for (told, by_hand) in told.iter().zip(by_hand) {
            assert!((told - by_hand).abs() < 1e-3, "{told} {by_hand}");
        }
        assert_eq!(told.len(), by_hand.len());
    }

    #[test]
    fn nothing_hangs_out_behind_a_strip_without_a_tail() {
        assert_eq!(cantilever(&strip(300.0, 50.0), 4.0, 12.0, -1.0, &[]), None);
    }
}
