//! The table of units: one row per unit, factors exact.
//!
//! Source of the factors: NIST Special Publication 811 (2008 edition),
//! appendix B, from the exact definitions of the inch (25.4 mm), the avoirdupois
//! pound (0.453 592 37 kg), standard gravity (9.806 65 m/s2), the US gallon
//! (231 in3), the international mile (1 609.344 m) and the nautical mile
//! (1 852 m). American wire gauge: ASTM B258, see [`Unit::scale`].

use super::Decimal;
use super::Mm2;

/// What a quantity measures. Each has one canonical unit, named here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// mm
    Length,
    /// deg
    Angle,
    /// s
    Time,
    /// beats (a `bar` is as many beats as the meter says)
    Music,
    /// kg
    Mass,
    /// kg/m2
    AreaMass,
    /// kg.m2
    Inertia,
    /// N
    Force,
    /// N.m
    Torque,
    /// Pa
    Pressure,
    /// Pa.m/s
    Wear,
    /// m/s
    Speed,
    /// rpm
    Turning,
    /// Hz
    Frequency,
    /// bpm
    Tempo,
    /// V
    Voltage,
    /// A
    Current,
    /// W
    Power,
    /// ohm
    Resistance,
    /// Ah
    Charge,
    /// mm2
    Conductor,
    /// l
    Volume,
    /// l/min
    Flow,
    /// 1 (a share; `%` and `ppm`)
    Share,
}

impl Dimension {
    /// What a maker calls it: "a length".
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Angle => "an angle",
            Self::Time => "a time",
            Self::Music => "a musical length",
            Self::Mass => "a mass",
            Self::AreaMass => "a mass per area",
            Self::Inertia => "a moment of inertia",
            Self::Force => "a force",
            Self::Torque => "a torque",
            Self::Pressure => "a pressure",
            Self::Wear => "a pressure times speed",
            Self::Speed => "a speed",
            Self::Turning => "a turning speed",
            Self::Frequency => "a frequency",
            Self::Tempo => "a tempo",
            Self::Voltage => "a voltage",
            Self::Current => "a current",
            Self::Power => "a power",
            Self::Resistance => "a resistance",
            Self::Charge => "a charge",
            Self::Conductor => "a wire size",
            Self::Volume => "a volume",
            Self::Flow => "a flow of air",
            Self::Share => "a share",
        }
    }
}

/// The household a unit belongs to; results print in the maker's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Millimetres, kilograms, newtons.
    Metric,
    /// Inches, pounds, ounces.
    Inch,
    /// Seconds, volts, beats: the same everywhere.
    Both,
}

impl System {
    /// The first of these that is a household; metric where none is.
    #[must_use]
    pub fn first_of(said: impl IntoIterator<Item = Self>) -> Self {
        said.into_iter().find(|s| *s != Self::Both).unwrap_or(Self::Metric)
    }
}

/// How a written number becomes the canonical unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// Multiply by this exact rational.
    Exact(i128, i128),
    /// Multiply by a factor that no rational equals (radians).
    Irrational(f64),
    /// American wire gauge: d = 0.127 mm x 92^((36 - n)/39), area pi d2/4.
    WireGauge,
    /// A bar: the number of beats depends on the meter.
    PerMeter,
}

/// One unit: its canonical spelling, what else people type, and its size.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// The canonical spelling, as `fmt` writes it.
    pub symbol: &'static str,
    /// Other spellings that are taken.
    pub also: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Its size in the canonical unit.
    pub scale: Scale,
    /// Whose household it belongs to.
    pub system: System,
    /// Which row of [`UNITS`] it is.
    pub index: u8,
}

use Dimension as D;
use Scale::{Exact, Irrational, PerMeter, WireGauge};
use System::{Both, Inch, Metric};

const fn row(
    symbol: &'static str,
    also: &'static [&'static str],
    dimension: Dimension,
    scale: Scale,
    system: System,
) -> Unit {
    Unit { symbol, also, dimension, scale, system, index: 0 }
}

/// The rows, each with its index.
const fn numbered<const N: usize>(mut rows: [Unit; N]) -> [Unit; N] {
    assert!(N < u8::MAX as usize, "an index of a unit has one byte");
    let mut i = 0;
    while i < N {
        rows[i].index = i as u8;
        i += 1;
    }
    rows
}

/// Pound-force in newtons: 0.45359237 x 9.80665, exact.
const LBF: (i128, i128) = (44_482_216_152_605, 10_000_000_000_000);

/// Every unit the language knows, grouped by what it measures.
pub const UNITS: &[Unit] = &numbered([
    row(
        "mm",
        &["millimetre", "millimeter", "millimetres", "millimeters"],
        D::Length,
        Exact(1, 1),
        Metric,
    ),
    row(
        "cm",
        &["centimetre", "centimeter", "centimetres", "centimeters"],
        D::Length,
        Exact(10, 1),
        Metric,
    ),
    row("m", &["metre", "meter", "metres", "meters"], D::Length, Exact(1000, 1), Metric),
    row("in", &["inch", "inches", "\""], D::Length, Exact(254, 10), Inch),
    row("ft", &["foot", "feet", "'"], D::Length, Exact(3048, 10), Inch),
    row("deg", &["degree", "degrees", "°"], D::Angle, Exact(1, 1), Both),
    row("rad", &["radian", "radians"], D::Angle, Irrational(180.0 / std::f64::consts::PI), Both),
    row("turn", &["turns"], D::Angle, Exact(360, 1), Both),
    row("us", &["µs", "μs"], D::Time, Exact(1, 1_000_000), Both),
    row("ms", &[], D::Time, Exact(1, 1000), Both),
    row("s", &["sec", "second", "seconds"], D::Time, Exact(1, 1), Both),
    row("min", &["minute", "minutes"], D::Time, Exact(60, 1), Both),
    row("h", &["hour", "hours"], D::Time, Exact(3600, 1), Both),
    row("beat", &["beats"], D::Music, Exact(1, 1), Both),
    row("bar", &["bars"], D::Music, PerMeter, Both),
    row("eighth", &["eighths"], D::Music, PerMeter, Both),
    row("g", &["gram", "grams"], D::Mass, Exact(1, 1000), Metric),
    row("kg", &["kilogram", "kilograms"], D::Mass, Exact(1, 1), Metric),
    row("oz", &["ounce", "ounces"], D::Mass, Exact(45_359_237, 1_600_000_000), Inch),
    row("lb", &["lbs", "pound", "pounds"], D::Mass, Exact(45_359_237, 100_000_000), Inch),
    row("g/m2", &["gsm", "g/m²"], D::AreaMass, Exact(1, 1000), Metric),
    row("kg/m2", &["kg/m²"], D::AreaMass, Exact(1, 1), Metric),
    // 1 oz = 0.45359237/16 kg over 0.3048^2 m2.
    row("oz/ft2", &["oz/ft²"], D::AreaMass, Exact(45_359_237, 148_644_864), Inch),
    row("kg.m2", &["kg.m²", "kgm2"], D::Inertia, Exact(1, 1), Metric),
    row("N", &["newton", "newtons"], D::Force, Exact(1, 1), Metric),
    row("kgf", &["kp"], D::Force, Exact(980_665, 100_000), Metric),
    row("lbf", &[], D::Force, Exact(LBF.0, LBF.1), Inch),
    row("N.m", &["Nm", "N·m"], D::Torque, Exact(1, 1), Metric),
    row("N.cm", &["Ncm", "N·cm"], D::Torque, Exact(1, 100), Metric),
    row("kgf.cm", &["kg.cm", "kgcm", "kg-cm"], D::Torque, Exact(980_665, 10_000_000), Metric),
    row(
        "ozf.in",
        &["oz-in", "oz.in", "ozin"],
        D::Torque,
        Exact(LBF.0 * 254, LBF.1 * 160_000),
        Inch,
    ),
    row(
        "lbf.in",
        &["lb-in", "lb.in", "in.lb", "in-lb"],
        D::Torque,
        Exact(LBF.0 * 254, LBF.1 * 10_000),
        Inch,
    ),
    row(
        "lbf.ft",
        &["lb-ft", "lb.ft", "ft.lb", "ft-lb"],
        D::Torque,
        Exact(LBF.0 * 3048, LBF.1 * 10_000),
        Inch,
    ),
    row("kPa", &[], D::Pressure, Exact(1000, 1), Metric),
    row("MPa", &["N/mm2"], D::Pressure, Exact(1_000_000, 1), Metric),
    row("psi", &[], D::Pressure, Exact(LBF.0 * 100_000_000, LBF.1 * 64_516), Inch),
    row("MPa.m/s", &[], D::Wear, Exact(1_000_000, 1), Metric),
    row("m/s", &[], D::Speed, Exact(1, 1), Metric),
    row("km/h", &["kph"], D::Speed, Exact(10, 36), Metric),
    row("mph", &[], D::Speed, Exact(1_609_344, 3_600_000), Inch),
    row("kn", &["knot", "knots"], D::Speed, Exact(1852, 3600), Both),
    row("rpm", &["r/min"], D::Turning, Exact(1, 1), Both),
    row("deg/s", &[], D::Turning, Exact(1, 6), Both),
    row("Hz", &["hz"], D::Frequency, Exact(1, 1), Both),
    row("kHz", &["khz"], D::Frequency, Exact(1000, 1), Both),
    row("bpm", &[], D::Tempo, Exact(1, 1), Both),
    row("mV", &[], D::Voltage, Exact(1, 1000), Both),
    row("V", &["volt", "volts"], D::Voltage, Exact(1, 1), Both),
    row("mA", &[], D::Current, Exact(1, 1000), Both),
    row("A", &["amp", "amps"], D::Current, Exact(1, 1), Both),
    row("W", &["watt", "watts"], D::Power, Exact(1, 1), Both),
    row("ohm", &["ohms", "Ω"], D::Resistance, Exact(1, 1), Both),
    row("mAh", &[], D::Charge, Exact(1, 1000), Both),
    row("Ah", &[], D::Charge, Exact(1, 1), Both),
    row("mm2", &["mm²", "sqmm"], D::Conductor, Exact(1, 1), Metric),
    row("awg", &["AWG"], D::Conductor, WireGauge, Inch),
    row("l", &["L", "litre", "liter", "litres", "liters"], D::Volume, Exact(1, 1), Metric),
    // 231 in3 in litres: 231 x 0.254^3.
    row("gal", &["gallon", "gallons"], D::Volume, Exact(3_785_411_784, 1_000_000_000), Inch),
    row("l/min", &["L/min"], D::Flow, Exact(1, 1), Metric),
    // One cubic foot a minute: 0.3048^3 m3 = 28.316846592 l.
    row("cfm", &["ft3/min"], D::Flow, Exact(28_316_846_592, 1_000_000_000), Inch),
    row("%", &["percent"], D::Share, Exact(1, 100), Both),
    row("ppm", &[], D::Share, Exact(1, 1_000_000), Both),
]);

impl Unit {
    /// `number` of this unit in the canonical unit, rounded once. `beats_per_bar`
    /// and `eighths_per_beat` answer for the meter where it matters.
    ///
    /// `None` where the number is too large to be kept exactly.
    #[must_use]
    pub fn scale(&self, number: Decimal) -> Option<f64> {
        match self.scale {
            Exact(n, d) => number.times(Decimal::ratio(n, d)).map(Decimal::value),
            Irrational(f) => Some(number.value() * f),
            WireGauge => Some(wire_gauge(number.value()).0),
            PerMeter => Some(number.value()),
        }
    }
}

/// Cross-section of a solid conductor of the American Wire Gauge:
/// d = 0.127 mm x 92^((36 - n)/39) (ASTM B258).
#[must_use]
pub fn wire_gauge(number: f64) -> Mm2 {
    let d = 0.127 * libm::pow(92.0, (36.0 - number) / 39.0);
    Mm2(std::f64::consts::FRAC_PI_4 * d * d)
}

/// The unit spelt so, canonical or not.
#[must_use]
pub fn find_unit(text: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|u| u.symbol == text || u.also.contains(&text))
}

/// The canonical symbols of the units that measure `dimension`, in table order.
pub fn units_of(dimension: Dimension) -> impl Iterator<Item = &'static str> {
    UNITS.iter().filter(move |u| u.dimension == dimension).map(|u| u.symbol)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = std::collections::BTreeSet::new();
        for u in UNITS {
            for s in std::iter::once(&u.symbol).chain(u.also) {
                assert!(seen.insert(*s), "{s} stands twice");
            }
        }
    }

    #[test]
    fn inch_and_millimetre_give_the_same_bits() {
        for sixteenths in 1..2000i128 {
            let inch = find_unit("in").unwrap().scale(Decimal::ratio(sixteenths, 16)).unwrap();
            let mm =
                find_unit("mm").unwrap().scale(Decimal::ratio(sixteenths * 15875, 10_000)).unwrap();
            assert_eq!(inch.to_bits(), mm.to_bits(), "{sixteenths}/16 in");
        }
    }
}
