//! Sizes in words, in the household the maker writes in.

use crate::units::print::decimal;
use crate::units::{self, Mm, System};

/// The number of a length without its unit: mm to a tenth, inches to a 1/32.
pub(super) fn bare(length: Mm, system: System) -> String {
    match system {
        System::Inch => units::print::length(length, system).trim_end_matches(" in").to_owned(),
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
