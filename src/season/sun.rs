//! Sunset and dusk on a date at a place.
//!
//! The solar position of J. Meeus, *Astronomical Algorithms*, chapter 25 (low
//! accuracy) and 28, in the form of NOAA's solar equations: within a few seconds at
//! middle latitudes. A flat horizon and still air are taken; hills and haze shift
//! what people see by minutes.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp, ZonedDateTime};
use libm::{acos, asin, cos, floor, sin, tan};

use crate::units::{Deg, Rad};

/// How low the sun stands, from straight overhead, at what people call by a word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Depth {
    /// The upper edge on the horizon: 34' of refraction and 16' of the disc.
    Sunset,
    /// The end of civil twilight, 6 deg below: lights are wanted from here on.
    Dusk,
}

impl Depth {
    const fn zenith(self) -> Deg {
        match self {
            Self::Sunset => Deg(90.0 + 50.0 / 60.0),
            Self::Dusk => Deg(96.0),
        }
    }
}

/// Why an evening has no such moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoEvening {
    /// The sun stays above it all night.
    StaysUp,
    /// The sun stays below it all day.
    StaysDown,
}

/// Where the sun is: its declination, and the equation of time in minutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Declination.
    pub declination: Deg,
    /// Apparent minus mean solar time, minutes.
    pub equation: f64,
    /// Apparent longitude.
    pub longitude: Deg,
    /// Obliquity of the ecliptic, corrected for nutation.
    pub obliquity: Deg,
}

/// The sun at a Julian day.
#[must_use]
pub fn sun(julian_day: f64) -> Sun {
    let t = (julian_day - 2_451_545.0) / 36_525.0;
    let rad = |degrees: f64| Deg(degrees - 360.0 * floor(degrees / 360.0)).rad().0;
    let mean_deg = 280.466_46 + t * (36_000.769_83 + 0.000_303_2 * t);
    let (mean, anomaly) = (rad(mean_deg), rad(357.529_11 + t * (35_999.050_29 - 0.000_153_7 * t)));
    let e = 0.016_708_634 - t * (0.000_042_037 + 0.000_000_126_7 * t);
    let centre = sin(anomaly) * (1.914_602 - t * (0.004_817 + 0.000_014 * t))
        + sin(2.0 * anomaly) * (0.019_993 - 0.000_101 * t)
        + sin(3.0 * anomaly) * 0.000_289;
    let node = rad(125.04 - 1_934.136 * t);
    let longitude = rad(mean_deg + centre - 0.005_69 - 0.004_78 * sin(node));
    let seconds = 21.448 - t * (46.815 + t * (0.000_59 - t * 0.001_813));
    let obliquity = Deg(23.0 + (26.0 + seconds / 60.0) / 60.0 + 0.002_56 * cos(node)).rad().0;
    let y = tan(obliquity / 2.0) * tan(obliquity / 2.0);
    let equation = y * sin(2.0 * mean) - 2.0 * e * sin(anomaly)
        + 4.0 * e * y * sin(anomaly) * cos(2.0 * mean)
        - 0.5 * y * y * sin(4.0 * mean)
        - 1.25 * e * e * sin(2.0 * anomaly);
    Sun {
        declination: Rad(asin(sin(obliquity) * sin(longitude))).deg(),
        equation: Rad(equation).deg().0 * 4.0,
        longitude: Rad(longitude).deg(),
        obliquity: Rad(obliquity).deg(),
    }
}

/// When the sun sinks to a depth in the evening that follows the local noon of a
/// date; it may be after midnight.
///
/// # Errors
/// Where the sun does not cross that depth.
pub fn evening(
    date: Date,
    (latitude, longitude): (Deg, Deg),
    zone: &TimeZone,
    depth: Depth,
) -> Result<ZonedDateTime, NoEvening> {
    // The day of the sun belongs to the date at its noon there, which near the date
    // line is not the date in Greenwich.
    let days = [date.yesterday(), Ok(date), date.tomorrow()];
    let noon_of = |day: Date| moment(day, noon_minutes(longitude, julian(day) + 0.5), zone);
    let day = days.into_iter().flatten().find(|&d| noon_of(d).is_some_and(|n| n.date() == date));
    let day = day.unwrap_or(date);
    let mut minutes = noon_minutes(longitude, julian(day) + 0.5);
    // The sun moves on by a few hundredths of a degree between noon and dusk: the
    // second round is within a second.
    for _ in 0..6 {
        let at = julian(day) + minutes / 1440.0;
        let half_day = hour_angle(latitude, sun(at).declination, depth)?;
        minutes = noon_minutes(longitude, at) + 4.0 * half_day.0;
    }
    moment(day, minutes, zone).ok_or(NoEvening::StaysUp)
}

/// The Julian day of a date's midnight in Greenwich.
fn julian(date: Date) -> f64 {
    let midnight = date.to_zoned_datetime(TimeZone::UTC).map_or(0, |z| z.timestamp().as_second());
    midnight as f64 / 86_400.0 + 2_440_587.5
}

/// When the sun stands highest, minutes after midnight in Greenwich.
fn noon_minutes(longitude: Deg, julian_day: f64) -> f64 {
    720.0 - 4.0 * longitude.0 - sun(julian_day).equation
}

/// From noon to the depth.
fn hour_angle(latitude: Deg, declination: Deg, depth: Depth) -> Result<Deg, NoEvening> {
    let (phi, delta) = (latitude.rad().0, declination.rad().0);
    let c = (cos(depth.zenith().rad().0) - sin(phi) * sin(delta)) / (cos(phi) * cos(delta));
    match c {
        c if c > 1.0 => Err(NoEvening::StaysDown),
        c if c < -1.0 => Err(NoEvening::StaysUp),
        c => Ok(Rad(acos(c)).deg()),
    }
}

fn moment(day: Date, minutes: f64, zone: &TimeZone) -> Option<ZonedDateTime> {
    let midnight: Timestamp = day.to_zoned_datetime(TimeZone::UTC).ok()?.timestamp();
    let after = SignedDuration::try_from_secs_f64(minutes * 60.0).ok()?;
    let at = midnight.checked_add(after).ok()?;
    Some(at.to_zoned_datetime(zone.clone()))
}
