//! Quantities as people read them: fractions of an inch, half millimetres,
//! degrees without noise.

use super::{
    Kg, Litre, LitrePerMin, MetrePerSec, Mm, Mm2, Newton, NewtonMetre, Sec, System, wire_gauge,
};

// Factors of NIST SP 811, appendix B: those of inch, foot, pound, ounce and mile exactly.
/// Millimetres in an inch.
const INCH: f64 = 25.4;
/// Kilograms in a pound.
const POUND: f64 = 0.453_592_37;
/// Newtons in a pound-force.
const POUND_FORCE: f64 = 4.448_221_615_260_5;
/// Newton metres in a pound-force inch.
const POUND_INCH: f64 = 0.112_984_829_027_616_7;
/// Metres per second in a mile per hour.
const MILE_PER_HOUR: f64 = 0.447_04;
/// Pascals in a pound-force on a square inch.
const PSI: f64 = 6_894.757_293_168_361;
/// Square metres in a square foot.
const SQUARE_FOOT: f64 = 0.092_903_04;

/// The unit that an inch household has for one of a sum, and how many of that go into one of
/// it; `None` where both have the same.
#[must_use]
pub fn inch_unit(unit: &str) -> Option<(&'static str, f64)> {
    Some(match unit {
        "mm" => ("in", INCH),
        "m" => ("ft", INCH * 12.0 * 1e-3),
        "m2" => ("ft2", SQUARE_FOOT),
        "kg" => ("lb", POUND),
        "kg/m2" => ("lb/ft2", POUND / SQUARE_FOOT),
        "N" => ("lbf", POUND_FORCE),
        "N.m" => ("lbf.in", POUND_INCH),
        "MPa" => ("psi", PSI * 1e-6),
        "m/s" => ("mph", MILE_PER_HOUR),
        "N/(m/s)2" => ("lbf/mph2", POUND_FORCE / (MILE_PER_HOUR * MILE_PER_HOUR)),
        "N.m/(m/s)2" => ("lbf.in/mph2", POUND_INCH / (MILE_PER_HOUR * MILE_PER_HOUR)),
        _ => return None,
    })
}

/// Below this every whole number of 64 bits is exact.
const WHOLE: f64 = 9_007_199_254_740_992.0;

/// A decimal with at most `places` digits after the point, without trailing
/// noughts and never "-0"; "unknown" for what is no number.
#[must_use]
pub fn decimal(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    // Most of what a maker writes is whole: told at once.
    if value == value.trunc() && value.abs() < WHOLE {
        return (value as i64).to_string();
    }
    let mut text = format!("{value:.places$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" {
        text.remove(0);
    }
    text
}

/// A number that is less than another, to a tenth, or to as many places as show that it is:
/// `4.98` below 5.
#[must_use]
pub fn below(value: f64, most: f64) -> String {
    let shows = |places: &usize| decimal(value, *places) != decimal(most, *places);
    decimal(value, (1..=4).find(shows).unwrap_or(1))
}

/// How many times something is: `2.4 times`, and of what is known no better, `more than 100
/// times`.
#[must_use]
pub fn times(value: f64) -> String {
    if value > 100.0 {
        "more than 100 times".into()
    } else {
        format!("{} times", decimal(value, 1))
    }
}

/// `few` places, or `many` below a size: a small number has more that count.
const fn places(value: f64, below: f64, few: usize, many: usize) -> usize {
    if value.abs() < below { many } else { few }
}

/// Places of a number told with three figures, three at most.
const fn three_figures(value: f64) -> usize {
    match value.abs() {
        v if v < 1.0 => 3,
        v if v < 10.0 => 2,
        v if v < 100.0 => 1,
        _ => 0,
    }
}

/// A mass: `310 g`, `1.25 kg`; `10.9 oz`, `2.76 lb`.
#[must_use]
pub fn mass(mass: Kg, system: System) -> String {
    let pounds = mass.0 / POUND;
    match (system, mass.0) {
        (System::Inch, _) if pounds < 0.995 => format!("{} oz", decimal(pounds * 16.0, 1)),
        (System::Inch, _) => format!("{} lb", decimal(pounds, 2)),
        (_, m) if m < 0.995 => format!("{} g", decimal(m * 1e3, places(m, 0.01, 0, 1))),
        (_, m) => format!("{} kg", decimal(m, 2)),
    }
}

/// A force: `2.6 N`, `369 N`; `0.58 lbf`, `83 lbf`.
#[must_use]
pub fn force(force: Newton, system: System) -> String {
    let pounds = force.0 / POUND_FORCE;
    match system {
        System::Inch if pounds.abs() < 1.0 => format!("{} lbf", decimal(pounds, 2)),
        System::Inch => format!("{} lbf", decimal(pounds, places(pounds, 20.0, 0, 1))),
        _ => format!("{} N", decimal(force.0, places(force.0, 10.0, 0, 1))),
    }
}

/// A force to ask for, up to the next whole one: `370 N`; `84 lbf`.
#[must_use]
pub fn force_up(force: Newton, system: System) -> String {
    match system {
        System::Inch => format!("{} lbf", decimal((force.0 / POUND_FORCE).ceil(), 0)),
        _ => format!("{} N", decimal(force.0.ceil(), 0)),
    }
}

/// A torque: `0.142 N.m`, `1.73 N.m`; `1.26 lbf.in`.
#[must_use]
pub fn torque(torque: NewtonMetre, system: System) -> String {
    match system {
        System::Inch => {
            let inch = torque.0 / POUND_INCH;
            format!("{} lbf.in", decimal(inch, three_figures(inch).min(2)))
        }
        _ => format!("{} N.m", decimal(torque.0, three_figures(torque.0))),
    }
}

/// A torque to the hundredth of a newton metre, or the tenth of a pound-force inch: for
/// one that is felt and not held against another.
#[must_use]
pub fn twist(torque: NewtonMetre, system: System) -> String {
    let number = twist_in(torque, system);
    match system {
        System::Inch => format!("{number} lbf.in"),
        _ => format!("{number} N.m"),
    }
}

/// The number of it alone, before one that is told with its unit.
#[must_use]
pub fn twist_in(torque: NewtonMetre, system: System) -> String {
    match system {
        System::Inch => decimal(torque.0 / POUND_INCH, 1),
        _ => decimal(torque.0, 2),
    }
}

/// A torque to ask for, up: to a hundredth of a newton metre, or a tenth of a
/// pound-force inch.
#[must_use]
pub fn torque_up(torque: NewtonMetre, system: System) -> String {
    let up = |v: f64, parts: f64| (v * parts - 1e-9).ceil() / parts;
    match system {
        System::Inch => format!("{} lbf.in", decimal(up(torque.0 / POUND_INCH, 10.0), 1)),
        _ => format!("{} N.m", decimal(up(torque.0, 100.0), 2)),
    }
}

/// How much of something lies on an area, kg/m2: `0.92 kg/m2`; `3.01 oz/ft2`.
#[must_use]
pub fn areal(kg_per_m2: f64, system: System) -> String {
    let number = areal_in(kg_per_m2, system);
    match system {
        System::Inch => format!("{number} oz/ft2"),
        _ => format!("{number} kg/m2"),
    }
}

/// The number of it alone, behind one that was told with its unit.
#[must_use]
pub fn areal_in(kg_per_m2: f64, system: System) -> String {
    match system {
        System::Inch => decimal(kg_per_m2 * SQUARE_FOOT / POUND * 16.0, 2),
        _ => decimal(kg_per_m2, 2),
    }
}

/// How fast a tip goes round, m/s: `1.3 m/s`; `4.3 ft/s`.
#[must_use]
pub fn quickness(mps: f64, system: System) -> String {
    match system {
        System::Inch => format!("{} ft/s", decimal(mps / 0.304_8, 1)),
        _ => format!("{} m/s", decimal(mps, 1)),
    }
}

/// A speed of wind, to the nearest tenth: `7 m/s`; `15.7 mph`.
#[must_use]
pub fn wind(speed: MetrePerSec, system: System) -> String {
    match system {
        System::Inch => format!("{} mph", decimal(speed.0 / MILE_PER_HOUR, 1)),
        _ => format!("{} m/s", decimal(speed.0, 1)),
    }
}

/// A gust that something bears, down to a tenth: nobody is to hold on to more than was
/// computed.
#[must_use]
pub fn gust(speed: MetrePerSec, system: System) -> String {
    let down = |v: f64| decimal((v * 10.0 + 1e-9).floor() / 10.0, 1);
    match system {
        System::Inch => format!("{} mph", down(speed.0 / MILE_PER_HOUR)),
        _ => format!("{} m/s", down(speed.0)),
    }
}

/// The length of a cable: `13.5 m`; in feet and inches in an inch household.
#[must_use]
pub fn cable_run(run: Mm, system: System, digits: usize) -> String {
    match system {
        System::Inch => distance(run, system),
        System::Metric | System::Both => format!("{} m", decimal(run.0 * 1e-3, digits)),
    }
}

/// A conductor's cross-section: `2.5 mm2`; in an inch household by its American wire
/// gauge, `14 AWG`, where it is one.
#[must_use]
pub fn conductor(area: Mm2, system: System) -> String {
    // The gauge of an area: the unit's own formula turned round.
    let across = (area.0 / std::f64::consts::FRAC_PI_4).sqrt();
    let gauge = (36.0 - 39.0 * libm::log(across / 0.127) / libm::log(92.0)).round();
    let is_one = (wire_gauge(gauge).0 / area.0 - 1.0).abs() < 0.01;
    match system {
        System::Inch if is_one => format!("{gauge} AWG"),
        _ => format!("{} mm2", decimal(area.0, 2)),
    }
}

/// How fast a ram or slide goes, mm/s: `12.5 mm/s`; `0.49 in/s`.
#[must_use]
pub fn pace(mm_per_s: f64, system: System) -> String {
    let number = pace_in(mm_per_s, system);
    match system {
        System::Inch => format!("{number} in/s"),
        _ => format!("{number} mm/s"),
    }
}

/// The number of a pace alone, behind one that was told with its unit.
#[must_use]
pub fn pace_in(mm_per_s: f64, system: System) -> String {
    match system {
        System::Inch => decimal(mm_per_s / INCH, 2),
        _ => decimal(mm_per_s, 1),
    }
}

/// A pressure, MPa: `0.35 MPa`; `51 psi`.
#[must_use]
pub fn pressure(mpa: f64, system: System) -> String {
    match system {
        System::Inch => {
            let psi = mpa * 1e6 / PSI;
            format!("{} psi", decimal(psi, places(psi, 10.0, 0, 2)))
        }
        _ => format!("{} MPa", decimal(mpa, places(mpa, 10.0, 1, 3))),
    }
}

/// The pressure of air in a hose or tank, kPa: `400 kPa`; `58 psi`.
#[must_use]
pub fn air(kpa: f64, system: System) -> String {
    match system {
        System::Inch => pressure(kpa * 1e-3, system),
        System::Metric | System::Both => format!("{} kPa", decimal(kpa, 0)),
    }
}

/// Litres in a US gallon, 231 cubic inches.
pub const GALLON: f64 = 231.0 * 0.254 * 0.254 * 0.254;
/// Litres in a cubic foot.
pub const CUBIC_FOOT: f64 = 3.048 * 3.048 * 3.048;

/// What a tank holds: `24 l`; `6.3 gal`.
#[must_use]
pub fn air_volume(volume: Litre, system: System) -> String {
    match system {
        System::Inch => format!("{} gal", decimal(volume.0 / GALLON, 1)),
        System::Metric | System::Both => format!("{} l", decimal(volume.0, 1)),
    }
}

/// What a pump gives: `30 l/min`; `1.1 cfm`.
#[must_use]
pub fn air_flow(flow: LitrePerMin, system: System) -> String {
    match system {
        System::Inch => format!("{} cfm", decimal(flow.0 / CUBIC_FOOT, 2)),
        System::Metric | System::Both => format!("{} l/min", decimal(flow.0, 1)),
    }
}

/// A time in words: `53.8 s`, `12 min`, `1 h 20 min`.
#[must_use]
pub fn span(t: Sec) -> String {
    let whole = libm::round(t.0);
    match whole {
        s if s < 120.0 => format!("{} s", decimal(t.0, 1)),
        s if s < 7200.0 => format!("{} min", libm::round(s / 60.0)),
        s => format!("{} h {} min", libm::floor(s / 3600.0), libm::round(s % 3600.0 / 60.0)),
    }
}

/// Pressure times speed in a bushing, MPa.m/s: `0.1 MPa.m/s`; `2855 psi.ft/min`.
#[must_use]
pub fn rubbing(mpa_mps: f64, system: System) -> String {
    /// Metres per second in a foot per minute.
    const FOOT_PER_MINUTE: f64 = 0.304_8 / 60.0;
    let inch = mpa_mps * 1e6 / PSI / FOOT_PER_MINUTE;
    match system {
        System::Inch => format!("{} psi.ft/min", decimal(inch, places(inch, 10.0, 0, 2))),
        _ => format!("{} MPa.m/s", decimal(mpa_mps, places(mpa_mps, 0.001, 3, 6))),
    }
}

/// An area, m2: `0.42 m2`; `4.52 ft2`.
#[must_use]
pub fn area(m2: f64, system: System) -> String {
    match system {
        System::Inch => format!("{} ft2", decimal(m2 / SQUARE_FOOT, 2)),
        _ => format!("{} m2", decimal(m2, places(m2, 0.1, 2, 3))),
    }
}

/// A size to mark out: to half a millimetre, or to the tenth that it is written to; or to
/// 1/32 in as a ruler shows it: `14 25/32 in`.
#[must_use]
pub fn length(size: Mm, system: System) -> String {
    match system {
        System::Inch => inches(size),
        System::Metric | System::Both => {
            // A size that is written to a tenth is told as it is written.
            let tenth = (size.0 * 10.0).round() / 10.0;
            let half = (size.0 * 2.0).round() / 2.0;
            let told = if (size.0 - tenth).abs() < 1e-6 { tenth } else { half };
            format!("{} mm", decimal(told, 1))
        }
    }
}

/// A length that is computed and not marked out: to a tenth of a millimetre, or a
/// thousandth of an inch.
#[must_use]
pub fn fine(size: Mm, system: System) -> String {
    let number = fine_in(size, system);
    match system {
        System::Inch => format!("{number} in"),
        System::Metric | System::Both => format!("{number} mm"),
    }
}

/// The number of a fine length alone, before one that is told with its unit.
#[must_use]
pub fn fine_in(size: Mm, system: System) -> String {
    match system {
        System::Inch => decimal(size.0 / INCH, 3),
        System::Metric | System::Both => decimal(size.0, 1),
    }
}

/// A length that is seen and not marked out: to so many places of a millimetre, or as a
/// ruler in inches shows it; thousandths of an inch where tenths of a millimetre count.
#[must_use]
pub fn size(size: Mm, places: usize, system: System) -> String {
    match system {
        System::Inch if places > 0 => fine(size, system),
        System::Inch => inches(size),
        System::Metric | System::Both => format!("{} mm", decimal(size.0, places)),
    }
}

/// A size to ask for at least: up to the next whole millimetre, or 1/32 in.
#[must_use]
pub fn size_up(size: Mm, system: System) -> String {
    let to = mark(system);
    self::size(Mm((size.0 / to - 1e-9).ceil() * to), 0, system)
}

/// A size to ask for at most: down to a whole millimetre, or 1/32 in.
#[must_use]
pub fn size_down(size: Mm, system: System) -> String {
    let to = mark(system);
    self::size(Mm((size.0 / to + 1e-9).floor() * to), 0, system)
}

/// One mark of the ruler people use, mm.
#[must_use]
pub const fn mark(system: System) -> f64 {
    match system {
        System::Inch => INCH / 32.0,
        System::Metric | System::Both => 1.0,
    }
}

/// A place on the board, mm from its corner, to so many places of a millimetre, or to a
/// hundredth of an inch: `(300, 412) mm`; `(11.81, 16.22) in`.
#[must_use]
pub fn place((x, y): (f64, f64), places: usize, system: System) -> String {
    match system {
        System::Inch => format!("({}, {}) in", decimal(x / INCH, 2), decimal(y / INCH, 2)),
        System::Metric | System::Both => {
            format!("({}, {}) mm", decimal(x, places), decimal(y, places))
        }
    }
}

/// A length in inches to the nearest 1/32.
fn inches(size: Mm) -> String {
    let parts = (size.0 / INCH * 32.0).round();
    if parts.is_nan() || parts.abs() > 1e12 {
        return "unknown".to_owned();
    }
    let (sign, parts) = (if parts < 0.0 { "-" } else { "" }, parts.abs() as u64);
    let (whole, mut top, mut bottom) = (parts / 32, parts % 32, 32);
    while top != 0 && top % 2 == 0 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    match (whole, top) {
        (whole, 0) => format!("{sign}{whole} in"),
        (0, top) => format!("{sign}{top}/{bottom} in"),
        (whole, top) => format!("{sign}{whole} {top}/{bottom} in"),
    }
}

/// A distance in the yard: metres to a centimetre, or feet and inches to 1/2 in:
/// `14 ft 6 1/2 in`.
#[must_use]
pub fn distance(size: Mm, system: System) -> String {
    match system {
        System::Inch => feet(size),
        System::Metric | System::Both => {
            if size.0.is_finite() {
                format!("{:.2} m", (size.0 / 10.0).round() / 100.0 + 0.0)
            } else {
                "unknown".to_owned()
            }
        }
    }
}

/// A distance in feet and inches to the nearest half inch.
fn feet(size: Mm) -> String {
    let halves = (size.0 / INCH * 2.0).round();
    if halves.is_nan() || halves.abs() > 1e12 {
        return "unknown".to_owned();
    }
    let (sign, halves) = (if halves < 0.0 { "-" } else { "" }, halves.abs() as u64);
    let (ft, inch) = (halves / 24, halves % 24);
    let inch = match (inch / 2, inch % 2) {
        (whole, 0) => format!("{whole} in"),
        (0, _) => "1/2 in".to_owned(),
        (whole, _) => format!("{whole} 1/2 in"),
    };
    match ft {
        0 => format!("{sign}{inch}"),
        _ if halves % 24 == 0 => format!("{sign}{ft} ft"),
        _ => format!("{sign}{ft} ft {inch}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Diameters of ASTM B258: 14 AWG 1.628 mm, 12 AWG 2.053 mm; 2.5 mm2 lies between.
    #[test]
    fn what_is_less_than_a_limit_is_told_as_less() {
        assert_eq!(below(4.99, 5.0), "4.99");
        assert_eq!(below(4.9999, 5.0), "4.9999");
        assert_eq!(below(4.2, 5.0), "4.2");
        assert_eq!(below(3.0, 5.0), "3");
    }

    #[test]
    fn conductors_are_told_by_their_gauge() {
        for (area, inch) in [(2.081, "14 AWG"), (3.31, "12 AWG"), (2.5, "2.5 mm2"), (0.0, "0 mm2")]
        {
            assert_eq!(conductor(Mm2(area), System::Inch), inch);
        }
        assert_eq!(conductor(Mm2(2.5), System::Metric), "2.5 mm2");
    }

    #[test]
    fn lengths_read_like_a_ruler() {
        for (mm, text) in [
            (38.1, "1 1/2 in"),
            (375.44375, "14 25/32 in"),
            (-3.175, "-1/8 in"),
            (25.39, "1 in"),
            (0.0, "0 in"),
            (f64::NAN, "unknown"),
        ] {
            assert_eq!(length(Mm(mm), System::Inch), text);
        }
        assert_eq!(length(Mm(159.74), System::Metric), "159.5 mm");
        assert_eq!(length(Mm(-0.12), System::Metric), "0 mm");
        // As it is written.
        assert_eq!(length(Mm(172.6), System::Metric), "172.6 mm");
    }

    /// One value of each in both households; the inch ones by hand from the factors of
    /// NIST SP 811.
    #[test]
    fn quantities_read_in_their_household() {
        let both = |of: &dyn Fn(System) -> String| [of(System::Metric), of(System::Inch)];
        assert_eq!(both(&|s| mass(Kg(0.031), s)), ["31 g", "1.1 oz"]);
        assert_eq!(both(&|s| mass(Kg(2.0), s)), ["2 kg", "4.41 lb"]);
        assert_eq!(both(&|s| force(Newton(369.0), s)), ["369 N", "83 lbf"]);
        assert_eq!(both(&|s| force(Newton(2.6), s)), ["2.6 N", "0.58 lbf"]);
        assert_eq!(both(&|s| torque(NewtonMetre(14.0), s)), ["14 N.m", "124 lbf.in"]);
        assert_eq!(both(&|s| twist(NewtonMetre(-0.466), s)), ["-0.47 N.m", "-4.1 lbf.in"]);
        assert_eq!(both(&|s| wind(MetrePerSec(7.0), s)), ["7 m/s", "15.7 mph"]);
        // Down: 2.19 m/s are 4.899 mph.
        assert_eq!(both(&|s| gust(MetrePerSec(2.19), s)), ["2.1 m/s", "4.8 mph"]);
        assert_eq!(both(&|s| gust(MetrePerSec(7.0), s)), ["7 m/s", "15.6 mph"]);
        assert_eq!(both(&|s| pace(12.7, s)), ["12.7 mm/s", "0.5 in/s"]);
        assert_eq!(both(&|s| pressure(0.35, s)), ["0.35 MPa", "51 psi"]);
        assert_eq!(both(&|s| rubbing(0.1, s)), ["0.1 MPa.m/s", "2855 psi.ft/min"]);
        assert_eq!(both(&|s| area(0.5, s)), ["0.5 m2", "5.38 ft2"]);
        // 0.5 kg are 17.637 oz, a square metre 10.7639 ft2.
        assert_eq!(both(&|s| areal(0.5, s)), ["0.5 kg/m2", "1.64 oz/ft2"]);
        assert_eq!(both(&|s| place((254.0, 12.7), 0, s)), ["(254, 13) mm", "(10, 0.5) in"]);
        assert_eq!(both(&|s| quickness(1.5, s)), ["1.5 m/s", "4.9 ft/s"]);
        assert_eq!(both(&|s| size(Mm(30.4), 0, s)), ["30 mm", "1 3/16 in"]);
        assert_eq!(both(&|s| size(Mm(1.26), 1, s)), ["1.3 mm", "0.05 in"]);
    }

    /// What is asked for is never less than was computed, and what is allowed never more:
    /// 30.1 mm are 37.92 marks of 1/32 in, 1.001 N.m are 8.8596 lbf.in.
    #[test]
    fn what_is_asked_for_is_rounded_to_its_own_side() {
        let both = |of: &dyn Fn(System) -> String| [of(System::Metric), of(System::Inch)];
        assert_eq!(both(&|s| size_up(Mm(30.1), s)), ["31 mm", "1 3/16 in"]);
        assert_eq!(both(&|s| size_down(Mm(30.1), s)), ["30 mm", "1 5/32 in"]);
        assert_eq!(both(&|s| size_up(Mm(25.4), s)), ["26 mm", "1 in"]);
        assert_eq!(both(&|s| size_down(Mm(25.4), s)), ["25 mm", "1 in"]);
        assert_eq!(both(&|s| torque_up(NewtonMetre(1.001), s)), ["1.01 N.m", "8.9 lbf.in"]);
    }

    #[test]
    fn distances_read_like_a_tape() {
        assert_eq!(distance(Mm(4432.3), System::Inch), "14 ft 6 1/2 in");
        assert_eq!(distance(Mm(304.8), System::Inch), "1 ft");
        assert_eq!(distance(Mm(6400.4), System::Metric), "6.40 m");
        assert_eq!(distance(Mm(-0.4), System::Metric), "0.00 m");
    }
}
