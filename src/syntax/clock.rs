//! Clock times, dates, meters: tokens whose digits are checked and kept as written.

use super::codes;
use super::cursor::shown;
use crate::finding::{Finding, Place};

/// Digits only, as a number.
fn digits(text: &str) -> Option<u32> {
    let plain = !text.is_empty() && text.len() <= 6 && text.bytes().all(|b| b.is_ascii_digit());
    plain.then(|| text.parse().ok()).flatten()
}

/// Seconds of `m:ss`, `m:ss.sss`, `h:mm:ss` or `h:mm:ss.sss`.
pub(super) fn seconds(text: &str) -> Option<f64> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    digits(fraction)?;
    let parts: Vec<u32> = whole.split(':').map(digits).collect::<Option<_>>()?;
    let (minutes, last) = match parts[..] {
        [m, s] => (u64::from(m), s),
        [h, m, s] if m < 60 => (u64::from(h) * 60 + u64::from(m), s),
        _ => return None,
    };
    if last >= 60 {
        return None;
    }
    // Whole seconds and the fraction together are one decimal, so one rounding.
    format!("{}.{fraction}", minutes * 60 + u64::from(last)).parse().ok()
}

/// Whether the text is a clock: `21:30`, `1:12.500`, `1:02:03.5`.
pub(super) fn is_clock(text: &str) -> bool {
    seconds(text).is_some()
}

/// What to say of a clock that is none.
pub(super) fn unclear(text: &str, place: Place) -> Finding {
    let text = format!("`{}` is not a time: minutes and seconds stay below 60.", shown(text));
    Finding::new(&codes::TIME_UNCLEAR, place, text).help("write 21:30, 1:12.500 or 1:02:03.")
}

/// Whether the text is a time signature: `6/8`.
pub(super) fn is_meter(text: &str) -> bool {
    let parts = text.split_once('/').and_then(|(n, d)| digits(n).zip(digits(d)));
    parts.is_some_and(|(n, d)| (1..=32).contains(&n) && matches!(d, 1 | 2 | 4 | 8 | 16))
}

/// Whether the text is a day of the Gregorian calendar: `2027-10-22`.
pub(super) fn is_date(text: &str) -> bool {
    let mut parts = text.splitn(3, '-').map(|p| (p.len(), digits(p)));
    let (Some((4, Some(year))), Some((2, Some(month))), Some((2, Some(day)))) =
        (parts.next(), parts.next(), parts.next())
    else {
        return false;
    };
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_dates_and_meters_are_checked() {
        assert_eq!(seconds("1:12.500"), Some(72.5));
        assert_eq!(seconds("1:02:03"), Some(3723.0));
        for bad in ["1:60", "21:3x", "1:", ":30", "1:2:3:4", "12", "1:75:00"] {
            assert_eq!(seconds(bad), None, "{bad}");
        }
        assert!(is_date("2028-02-29") && is_date("2000-02-29"));
        for bad in
            ["2027-02-29", "1900-02-29", "2027-13-01", "2027-10-00", "27-10-22", "2027-10-22-1"]
        {
            assert!(!is_date(bad), "{bad}");
        }
        assert!(is_meter("6/8") && !is_meter("6/7") && !is_meter("0/4") && !is_meter("6"));
    }
}
