//! Sizes as text that reads back to the very same size.

use crate::units::System;
pub use crate::units::print::decimal;

/// Millimetres in an inch, exactly (NIST SP 811, appendix B).
const INCH: f64 = 25.4;

/// A length for a `.yard` file: `40 mm`, `14 25/32 in`. What does not fall on a
/// fraction of an inch down to 1/64 is written as a decimal.
#[must_use]
pub fn length(mm: f64, system: System) -> String {
    match system {
        System::Inch => inches(mm / INCH),
        System::Metric | System::Both => format!("{} mm", decimal(mm, 4)),
    }
}

/// A hole to look at: in the household asked for, and beside it in the other one where
/// it comes out even only there (a metric crank on an inch figure): that is how the
/// crank was drilled.
#[must_use]
pub fn hole(mm: f64, system: System) -> String {
    let even = |value: f64| (value - value.round()).abs() < 1e-6;
    let on_inch = even(mm / INCH * 64.0);
    match system {
        System::Inch if !on_inch && even(mm) => {
            format!("{} in ({})", decimal(mm / INCH, 3), length(mm, System::Metric))
        }
        System::Metric | System::Both if on_inch && !even(mm * 10.0) => {
            format!("{} mm ({})", decimal(mm, 2), length(mm, System::Inch))
        }
        own => length(mm, own),
    }
}

/// A place on the board for a `.yard` file: `(350 mm, 80.5 mm)`.
#[must_use]
pub fn place((x, y): (f64, f64), system: System) -> String {
    format!("({}, {})", length(x, system), length(y, system))
}

/// An angle for a `.yard` file: `78 deg`.
#[must_use]
pub fn angle(deg: f64) -> String {
    format!("{} deg", decimal(deg, 4))
}

fn inches(inch: f64) -> String {
    let parts = (inch * 64.0).round();
    if (inch * 64.0 - parts).abs() > 1e-9 || !(0.0..1e9).contains(&parts) {
        return format!("{} in", decimal(inch, 5));
    }
    let (whole, mut top, mut bottom) = (parts as u64 / 64, parts as u64 % 64, 64);
    while top != 0 && top % 2 == 0 {
        (top, bottom) = (top / 2, bottom / 2);
    }
    match (whole, top) {
        (whole, 0) => format!("{whole} in"),
        (0, top) => format!("{top}/{bottom} in"),
        (whole, top) => format!("{whole} {top}/{bottom} in"),
    }
}

/// What stands in place of a `?` that is followed by `after`: where a range or a
/// row of holes follows, it stays known behind `of`.
#[must_use]
pub fn answer(size: &str, after: &str) -> String {
    let next = after.trim_start_matches([' ', '\t']).chars().next();
    let range = next.is_some_and(|c| c.is_ascii_digit() || "+-.".contains(c));
    match (range, after.starts_with([' ', '\t'])) {
        (true, true) => format!("{size} of"),
        (true, false) => format!("{size} of "),
        (false, _) => size.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_back_exactly() {
        assert_eq!(length(40.0, System::Metric), "40 mm");
        assert_eq!(length(336.5, System::Both), "336.5 mm");
        assert_eq!(length(38.1, System::Inch), "1 1/2 in");
        assert_eq!(length(14.78125 * INCH, System::Inch), "14 25/32 in");
        assert_eq!(length(1.0, System::Inch), "0.03937 in");
        assert_eq!(hole(40.0, System::Inch), "1.575 in (40 mm)");
        assert_eq!(hole(38.1, System::Inch), "1 1/2 in");
        assert_eq!(hole(38.1, System::Metric), "38.1 mm");
        assert_eq!(hole(31.75, System::Metric), "31.75 mm (1 1/4 in)");
        assert_eq!(angle(-78.0), "-78 deg");
        assert_eq!(angle(-0.00001), "0 deg");
    }

    #[test]
    fn a_row_of_holes_stays_known() {
        assert_eq!(answer("40 mm", " 30 to 60 mm by 10 mm"), "40 mm of");
        assert_eq!(answer("40 mm", "30 to 60 mm"), "40 mm of ");
        assert_eq!(answer("40 mm", "  rod ?"), "40 mm");
        assert_eq!(answer("40 mm", "\n  30"), "40 mm");
        assert_eq!(answer("40 mm", " # 30 would do"), "40 mm");
    }
}
