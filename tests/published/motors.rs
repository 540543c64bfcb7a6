//! Motors and cables: motor lines, conductor tables, voltage drops and fuses as published.

use yardwright::loads::cable::{conductor_for, fuse_for, largest_fuse, resistance};
use yardwright::loads::motor::{Feeding, Line};
use yardwright::loads::{MotorPoint, TorqueCurve};
use yardwright::units::{Amp, Mm, Mm2, NewtonMetre, Ohm, Rpm, System, Volt, wire_gauge};

fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{got}, published {want} +- {tolerance}");
}

/// A line without friction, of which only speed and torque are published.
fn frictionless(free: f64, stall: f64) -> (Line, Feeding) {
    let line = Line::new(Volt(12.0), Rpm(free), Amp(1e-9), NewtonMetre(stall), Amp(10.0)).unwrap();
    (line, Feeding { volts: Volt(12.0), ohm: Ohm(0.0) })
}

/// MIT, Understanding D.C. Motor Characteristics (lancet.mit.edu/motor/motors4.html):
/// three motors with free speed and stall torque, and half of each at their best power.
#[test]
fn mit_peak_power_points() {
    for (free, stall, speed, torque) in
        [(600.0, 0.325, 300.0, 0.163), (3750.0, 0.0722, 1875.0, 0.0361), (92.0, 1.6, 46.0, 0.8)]
    {
        let (line, feeding) = frictionless(free, stall);
        // The power is largest where a hair more torque gains nothing.
        let power = |t: f64| t * line.speed(feeding, 1.0, t).rad_per_sec();
        let best = (1..2000)
            .map(|i| stall * f64::from(i) / 2000.0)
            .reduce(|a, b| if power(b) > power(a) { b } else { a });
        let best = best.unwrap();
        near(best, torque, 0.000_501);
        near(line.speed(feeding, 1.0, best).0, speed, 0.5);
    }
}

/// The bear's motor by arithmetic done apart from this program (a calculator): 12 V, 45
/// rpm 1.2 A, 14 N.m 16 A, on 13 m of 2.5 mm2 whose loop was taken as 0.193 ohm (class 2
/// conductor, 7.41 ohm/km, IEC 60228).
#[test]
fn a_wiper_on_its_cable() {
    let line = Line::new(Volt(12.0), Rpm(45.0), Amp(1.2), NewtonMetre(14.0), Amp(16.0)).unwrap();
    near(line.resistance.0, 0.75, 1e-12);
    near(line.ke, 2.355, 0.0005);
    near(line.kt, 0.946, 0.0005);
    near(line.efficiency(), 0.40, 0.005);
    let feeding = Feeding { volts: Volt(12.0), ohm: Ohm(0.193) };
    near(line.speed(feeding, 1.0, 0.0).0, 44.1, 0.05);
    near(line.start_current(feeding).0, 12.7, 0.05);
    near(line.start_current(feeding).0 * 0.193, 2.5, 0.05);
    // Cold grease: twice the free current; and a unit 10 % slow.
    near(line.chilled().speed(feeding, 1.0, 0.0).0, 39.5, 0.05);
    near(line.chilled().speed(feeding, 1.0, 0.0).0 * 0.9, 35.5, 0.1);
    // A light arm, peak 0.037 N.m with rms 0.018: nearly the free speed.
    let light = TorqueCurve::sampled(360, |t| 0.037 * libm::sin(t));
    let running = line.running(feeding, 1.0, &light).unwrap();
    near(running.mean.0, 44.0, 0.1);
    // Half of the turn 0.037 N.m at most, the other half (1 - 2 eta) of it.
    near(running.ripple(), 0.003, 0.001);
    near(line.duty(feeding, &light, Rpm(29.0)), 0.69, 0.005);
    // Jam at 4 A: Kt (4 - 1.2).
    near(line.torque_at(Amp(4.0)).0, 2.65, 0.005);
}

/// The mean over a turn is the turn over its time, and a locking gear never speeds up.
#[test]
fn a_falling_limb_on_a_worm() {
    let line = Line::new(Volt(12.0), Rpm(45.0), Amp(1.2), NewtonMetre(14.0), Amp(16.0)).unwrap();
    let feeding = Feeding { volts: Volt(12.0), ohm: Ohm(0.0) };
    let free = line.speed(feeding, 1.0, 0.0).0;
    assert!(line.speed(feeding, 1.0, -2.0).0 < free, "eta 0.40: falling still takes some");
    near(line.seen(-2.0), (1.0 - 2.0 * line.efficiency()) * 2.0, 1e-12);
    // Two halves at different torques: 2/(1/a + 1/b) of the two speeds.
    let halves = TorqueCurve::sampled(1000, |t| if t < std::f64::consts::PI { 4.0 } else { 0.0 });
    let slow = line.speed(feeding, 1.0, 4.0).0;
    near(
        line.running(feeding, 1.0, &halves).unwrap().mean.0,
        2.0 / (1.0 / slow + 1.0 / free),
        1e-9,
    );
    // More than it bears anywhere: it stands.
    assert!(line.running(feeding, 1.0, &TorqueCurve::constant(15.0)).is_none());
    assert!(MotorPoint::default().brushed().is_none());
}

/// The identity P = T 2 pi n/60 as printed with 20 N.m at 180 rpm: 377 W
/// (industrialmonitordirect.com, DC motor PWM reference; identity only).
#[test]
fn shaft_power() {
    near(20.0 * Rpm(180.0).rad_per_sec(), 376.99, 0.01);
    near(Rpm::from_rad_per_sec(Rpm(29.0).rad_per_sec()).0, 29.0, 1e-12);
}

/// Wire gauges: ASTM B258-02 (diameters 0.127 mm and 11.684 mm are exact), and areas of
/// NEC (NFPA 70) chapter 9 table 8.
#[test]
fn gauges() {
    let diameter = |a: Mm2| (a.0 * 4.0 / std::f64::consts::PI).sqrt();
    near(diameter(wire_gauge(36.0)), 0.127, 1e-9);
    near(diameter(wire_gauge(-3.0)), 11.684, 1e-3);
    for (gauge, area) in [(18.0, 0.823), (16.0, 1.31), (14.0, 2.08), (12.0, 3.31), (10.0, 5.261)] {
        near(wire_gauge(gauge).0, area, 0.005);
    }
}

/// Annealed copper, solid, ohm per 1000 ft at 20 C (wire table of cirris.com).
#[test]
fn copper_table() {
    let loop_of = |gauge: f64| resistance(Mm(304_800.0), wire_gauge(gauge)).0 / 2.0;
    for (gauge, ohm) in [
        (12.0, 1.588),
        (14.0, 2.525),
        (16.0, 4.016),
        (18.0, 6.385),
        (20.0, 10.15),
        (22.0, 16.14),
        (24.0, 25.67),
    ] {
        near(loop_of(gauge), ohm, ohm * 0.0005);
    }
}

/// IEC 60228 gives the most a metric conductor may have, class 1 and 2, ohm/km at 20 C:
/// copper of the full cross-section is 4.4 to 7.5 % below each.
#[test]
fn metric_conductors() {
    let sizes = [0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0];
    let most = [36.0, 24.5, 18.1, 12.1, 7.41, 4.61, 3.08, 1.83];
    for (size, most) in sizes.into_iter().zip(most) {
        let own = resistance(Mm(1e6), Mm2(size)).0 / 2.0;
        let above = most / own - 1.0;
        assert!((0.043..=0.076).contains(&above), "{size} mm2: {above}");
    }
}

/// Voltage drop, worked in feet (electrician2.com, 16 AWG stranded, 4 A at 100 ft: 3.992 V
/// by a table at 75 C, so that copper at 20 C must be 1/(1 + 0.00323 x (75 - 20)) and the
/// stranding's 2 % below) and in metres (1 A, 20 m, 1.3 mm2 at 0.01785: 0.549 V).
#[test]
fn voltage_drops() {
    let cold = resistance(Mm(30_480.0), wire_gauge(16.0)).0 * 4.0;
    near(3.992 * (1.0 - 0.00323 * 55.0) / 1.02, cold, 0.02);
    let metric = resistance(Mm(20_000.0), Mm2(1.3)).0 * 0.017_85 / 0.017_24;
    near(metric, 0.549, 0.001);
}

/// NEC 240.4(D): 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A; and 600 W at 12 V asks for a fuse
/// of at least 62.5 A (ukmotorfactors.co.uk, factor 1.25).
#[test]
fn fuses() {
    for (gauge, amps) in [(14.0, 15.0), (12.0, 20.0), (10.0, 30.0)] {
        assert_eq!(largest_fuse(wire_gauge(gauge)), Some(Amp(amps)));
    }
    assert_eq!(fuse_for(Amp(50.0)), None, "62.5 A is above the blade fuses that are listed");
    assert_eq!(fuse_for(Amp(12.0)), Some(Amp(15.0)));
    assert_eq!(fuse_for(Amp(16.0)), Some(Amp(20.0)));
    // 3 V over 100 A and 15 ft asks for the gauge whose table drop is 3 V or less: here in
    // metres, 1.2 V at 4 A over 13 m.
    let chosen = conductor_for(Mm(13_000.0), Amp(4.0), 1.2, System::Metric).unwrap();
    assert!(resistance(Mm(13_000.0), chosen).0 * 4.0 <= 1.2);
    assert_eq!(chosen, Mm2(1.5));
}
