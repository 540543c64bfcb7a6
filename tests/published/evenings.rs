//! The evening sun against values computed with general-purpose libraries, and
//! published worked examples of the sun's place.

use jiff::civil::{Date, date};
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{Timestamp, ZonedDateTime};
use yardwright::season::NoEvening;
use yardwright::season::sun::{Depth, evening, sun};
use yardwright::units::Deg;

/// Ninety evenings at ten places from Quito to Tromso, across changes of the clock
/// and both sides of the date line: within 8 s, where a calendar needs a minute.
#[test]
fn ninety_evenings() {
    let table = include_str!("evenings.txt");
    let known = TimeZoneDatabase::bundled();
    let mut compared = 0;
    for row in table.lines().filter(|l| !l.starts_with('#')) {
        let cells: Vec<&str> = row.split(' ').collect();
        let place = (Deg(cells[0].parse().unwrap()), Deg(cells[1].parse().unwrap()));
        let (zone, day) = (known.get(cells[2]).unwrap(), cells[3].parse::<Date>().unwrap());
        for (depth, want) in [(Depth::Sunset, cells[4]), (Depth::Dusk, cells[5])] {
            let got = evening(day, place, &zone, depth);
            if want == "-" {
                assert!(got.is_err(), "{row}: {got:?}");
                continue;
            }
            let want: Timestamp = want.parse().unwrap();
            let off = got.unwrap().timestamp().duration_since(want).as_secs_f64();
            assert!(off.abs() <= 8.0, "{row}: {off} s off");
            compared += 1;
        }
    }
    assert_eq!(compared, 175);
}

/// J. Meeus, Astronomical Algorithms, 2nd ed., example 25.a (1992 October 13, 0h TD):
/// apparent longitude 199.90895 deg, declination -7.78507 deg; the equation of time
/// of chapter 28 there is +13 min 42.7 s (from memory).
#[test]
fn meeus_example_25a() {
    let s = sun(2_448_908.5);
    assert!((s.longitude.positive().0 - 199.908_95).abs() < 1e-4, "{s:?}");
    assert!((s.declination.0 + 7.785_07).abs() < 1e-4, "{s:?}");
    assert!((s.obliquity.0 - 23.439_99).abs() < 1e-4, "{s:?}");
    assert!((s.equation - 13.7117).abs() < 0.2 / 60.0, "{s:?}");
}

/// In Tromso the midsummer sun stays up and the midwinter sun stays down, but civil
/// twilight comes in midwinter (PyEphem 4.2.1, as the table).
#[test]
fn polar_summer_and_winter_have_no_evening() {
    let tromso = (Deg(69.6492), Deg(18.9553));
    let at = |day, depth| evening(day, tromso, &TimeZone::UTC, depth);
    assert_eq!(at(date(2026, 6, 21), Depth::Sunset).err(), Some(NoEvening::StaysUp));
    assert_eq!(at(date(2026, 12, 21), Depth::Sunset).err(), Some(NoEvening::StaysDown));
    assert!(at(date(2026, 12, 21), Depth::Dusk).is_ok());
}

/// The evening belongs to the date at the place, on both sides of the date line.
#[test]
fn an_evening_keeps_its_date() {
    let known = TimeZoneDatabase::bundled();
    for (zone, east) in
        [("Pacific/Apia", -171.8), ("Pacific/Kiritimati", -157.4), ("Pacific/Pago_Pago", -170.7)]
    {
        let zone = known.get(zone).unwrap();
        let got: ZonedDateTime =
            evening(date(2026, 3, 21), (Deg(-14.0), Deg(east)), &zone, Depth::Dusk).unwrap();
        assert_eq!(got.date(), date(2026, 3, 21), "{got}");
    }
}
