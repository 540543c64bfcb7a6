//! Cables: what a conductor's copper costs in volts, and what a fuse must not pass.

use crate::units::{Amp, Mm, Mm2, Ohm, System, wire_gauge};

/// Resistivity of annealed copper at 20 C, ohm.mm2/m (International Annealed Copper
/// Standard, 100 %: 1/58).
pub const COPPER: f64 = 0.01724;

/// Resistance of a two-wire cable, there and back, at 20 C.
#[must_use]
pub fn resistance(one_way: Mm, conductor: Mm2) -> Ohm {
    Ohm(2.0 * COPPER * one_way.0 * 1e-3 / conductor.0)
}

/// The largest fuse or breaker before a copper conductor of the size: US National
/// Electrical Code (NFPA 70) 240.4(D), 18 and 16 AWG from memory; thinner ones the current
/// that the standard for machines gives them (NFPA 79, table 12.5.1; from memory). Metric
/// sizes take the next smaller gauge's figure.
const LARGEST_FUSE: [(f64, f64); 11] = [
    (10.0, 30.0),
    (12.0, 20.0),
    (14.0, 15.0),
    (16.0, 10.0),
    (18.0, 7.0),
    (20.0, 5.0),
    (22.0, 3.0),
    (24.0, 2.0),
    (26.0, 1.0),
    (28.0, 0.8),
    (30.0, 0.5),
];

/// The largest fuse that protects a conductor; `None` for one thinner than 30 AWG
/// (0.05 mm2), which no yard is wired with.
#[must_use]
pub fn largest_fuse(conductor: Mm2) -> Option<Amp> {
    // A thousandth lets 2.08 mm2 be 14 AWG.
    let thick = |n: f64| conductor.0 * 1.001 >= wire_gauge(n).0;
    LARGEST_FUSE.iter().find(|(n, _)| thick(*n)).map(|(_, a)| Amp(*a))
}

/// Blade fuses as they are sold, A (steps from memory; ISO 8820 series).
pub const FUSES: [f64; 12] = [1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0];

/// The smallest fuse that carries 1.25 times a running current (the rule for loads of
/// hours, NEC 210.20(A), and common fuse practice).
#[must_use]
pub fn fuse_for(running: Amp) -> Option<Amp> {
    FUSES.iter().copied().find(|f| *f >= 1.25 * running.0 - 1e-9).map(Amp)
}

/// Stock conductors, mm2 (IEC 60228).
pub const CONDUCTORS: [f64; 8] = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0];

/// The same in an inch household, American wire gauge.
const GAUGES: [f64; 7] = [20.0, 18.0, 16.0, 14.0, 12.0, 10.0, 8.0];

/// The thinnest stock conductor that keeps the drop over a cable to `drop` volts at a
/// current.
#[must_use]
pub fn conductor_for(one_way: Mm, current: Amp, drop: f64, system: System) -> Option<Mm2> {
    let fits = |a: &Mm2| resistance(one_way, *a).0 * current.0 <= drop;
    match system {
        System::Inch => GAUGES.iter().map(|n| wire_gauge(*n)).find(fits),
        _ => CONDUCTORS.iter().map(|a| Mm2(*a)).find(fits),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fuses_follow_the_gauge_below() {
        assert_eq!(largest_fuse(wire_gauge(14.0)), Some(Amp(15.0)));
        assert_eq!(largest_fuse(Mm2(2.5)), Some(Amp(15.0)));
        assert_eq!(largest_fuse(Mm2(4.0)), Some(Amp(20.0)));
        assert_eq!(largest_fuse(Mm2(50.0)), Some(Amp(30.0)));
        // 0.5 mm2 is a hair below 20 AWG; British practice gives it 3 A too (BS 7671, table
        // 4F3A: from memory).
        assert_eq!(largest_fuse(Mm2(0.5)), Some(Amp(3.0)));
        assert_eq!(largest_fuse(wire_gauge(20.0)), Some(Amp(5.0)));
        assert_eq!(largest_fuse(Mm2(0.14)), Some(Amp(1.0)));
        assert_eq!(largest_fuse(Mm2(0.04)), None);
        assert_eq!(fuse_for(Amp(4.0)), Some(Amp(5.0)));
        assert_eq!(fuse_for(Amp(4.1)), Some(Amp(7.5)));
    }
}
