//! Quantities as people read them: fractions of an inch, half millimetres,
//! degrees without noise.

use super::{Kg, Mm, System};

/// Millimetres in an inch, exactly (NIST SP 811, appendix B).
const INCH: f64 = 25.4;

/// A decimal with at most `places` digits after the point, without trailing
/// noughts and never "-0"; "unknown" for what is no number.
#[must_use]
pub fn decimal(value: f64, places: usize) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    let text = format!("{value:.places$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => text.as_str(),
    };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A mass: `310 g`, `1.25 kg`.
#[must_use]
pub fn mass(mass: Kg) -> String {
    match mass.0 {
        m if m < 0.995 => format!("{} g", decimal(m * 1e3, if m < 0.01 { 1 } else { 0 })),
        m => format!("{} kg", decimal(m, 2)),
    }
}

/// A size to mark out: to half a millimetre, or to 1/32 in as a ruler shows it:
/// `14 25/32 in`.
#[must_use]
pub fn length(size: Mm, system: System) -> String {
    match system {
        System::Inch => inches(size),
        System::Metric | System::Both => {
            format!("{} mm", decimal((size.0 * 2.0).round() / 2.0, 1))
        }
    }
}

/// A length that is computed and not marked out: to a tenth of a millimetre, or a
/// thousandth of an inch.
#[must_use]
pub fn fine(size: Mm, system: System) -> String {
    match system {
        System::Inch => format!("{} in", decimal(size.0 / 25.4, 3)),
        System::Metric | System::Both => format!("{} mm", decimal(size.0, 1)),
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
        assert_eq!(length(Mm(-0.1), System::Metric), "0 mm");
    }

    #[test]
    fn distances_read_like_a_tape() {
        assert_eq!(distance(Mm(4432.3), System::Inch), "14 ft 6 1/2 in");
        assert_eq!(distance(Mm(304.8), System::Inch), "1 ft");
        assert_eq!(distance(Mm(6400.4), System::Metric), "6.40 m");
        assert_eq!(distance(Mm(-0.4), System::Metric), "0.00 m");
    }
}
