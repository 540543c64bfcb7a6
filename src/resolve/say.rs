//! Sizes in words, in the household the maker writes in.

use crate::units::{Mm, System};

/// A decimal with at most `digits` behind the point and no noughts at its end.
fn decimal(value: f64, digits: usize) -> String {
    let text = format!("{value:.digits$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Inches as a maker reads them off a rule: to the nearest 1/32.
fn inches(value: f64) -> String {
    let parts = (value.abs() * 32.0).round();
    let sign = if value < 0.0 && parts > 0.0 { "-" } else { "" };
    let (whole, mut top, mut bottom) = ((parts / 32.0).floor(), (parts % 32.0) as u32, 32);
    while top > 0 && top % 2 == 0 {
        top /= 2;
        bottom /= 2;
    }
    match (whole > 0.0, top > 0) {
        (_, false) => format!("{sign}{whole}"),
        (true, true) => format!("{sign}{whole} {top}/{bottom}"),
        (false, true) => format!("{sign}{top}/{bottom}"),
    }
}

/// The number of a length without its unit: mm to a tenth, inches to a 1/32.
pub(super) fn bare(length: Mm, system: System) -> String {
    match system {
        System::Inch => inches(length.0 / 25.4),
        _ => decimal(length.0, 1),
    }
}

/// The unit's symbol.
pub(super) const fn unit(system: System) -> &'static str {
    match system {
        System::Inch => "in",
        _ => "mm",
    }
}

/// A length with its unit.
pub(super) fn length(length: Mm, system: System) -> String {
    format!("{} {}", bare(length, system), unit(system))
}

/// A length of a yard: metres, or feet, to two decimals.
pub(super) fn far(length: Mm, system: System) -> String {
    match system {
        System::Inch => format!("{} ft", decimal(length.0 / 304.8, 2)),
        _ => format!("{} m", decimal(length.0 / 1000.0, 2)),
    }
}

/// A share as a percentage.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", decimal(share * 100.0, 2))
}

/// A place on the board, as the language writes it.
pub(super) fn point(x: f64, y: f64, system: System) -> String {
    format!("({}, {}) {}", bare(Mm(x), system), bare(Mm(y), system), unit(system))
}

/// A length to the next eighth of an inch or whole millimetre: for what is
/// assumed and need not be marked out.
pub(super) fn about(length: Mm, system: System) -> String {
    let step = if system == System::Inch { 25.4 / 8.0 } else { 1.0 };
    self::length(Mm((length.0 / step).round() * step), system)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_read_like_a_rule() {
        assert_eq!(length(Mm(88.9), System::Inch), "3 1/2 in");
        assert_eq!(length(Mm(6.35), System::Inch), "1/4 in");
        assert_eq!(length(Mm(50.8), System::Inch), "2 in");
        assert_eq!(length(Mm(-12.7), System::Inch), "-1/2 in");
        assert_eq!(length(Mm(0.0), System::Inch), "0 in");
        assert_eq!(length(Mm(38.0), System::Metric), "38 mm");
        assert_eq!(length(Mm(38.25), System::Metric), "38.2 mm");
        assert_eq!(far(Mm(18_000.0), System::Metric), "18 m");
        assert_eq!(percent(0.6), "60 %");
    }
}
