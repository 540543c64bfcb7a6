//! Four-bars of textbooks and examinations. Where a book's value was scaled off a
//! drawing the tolerance covers that reading; where an answer is recalled from
//! memory the test says so.

use std::f64::consts::TAU;

use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::{Analysis, Assembly, Class, FourBar, Motion};
use yardwright::units::{Deg, Mm, Rpm};

/// Motor at the origin, pivot on +x, the limb along its lever.
fn textbook(ground: f64, crank: f64, rod: f64, lever: f64, assembly: Assembly) -> FourBar {
    let centres = (BoardPoint::origin(), BoardPoint::mm(ground, 0.0));
    FourBar::new(centres, (Mm(crank), Mm(rod), Mm(lever)), Deg(0.0), assembly).unwrap()
}

fn motion(f: &FourBar) -> Motion {
    f.analyse().motion.unwrap()
}

fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{got}, published {want} +- {tolerance}");
}

/// Speed (rad/s) and acceleration (rad/s2) of the lever at a steady crank speed.
fn lever_rates(f: &FourBar, crank_deg: f64, omega: f64) -> (f64, f64) {
    let (first, second) = f.rates(Dir::degrees(Deg(crank_deg))).unwrap();
    (first * omega, second * omega * omega)
}

/// GATE 2019 Mechanical (set 2), question 39: official answer range 0.78 to 0.80.
/// The linkage is a change point; at 90 degrees it moves well.
#[test]
fn gate_2019_speed_ratio() {
    let root2 = std::f64::consts::SQRT_2;
    let f = textbook(1.0, 1.0, root2, root2, Assembly::Open);
    near(lever_rates(&f, 90.0, 1.0).0, 0.79, 0.01);
    assert_eq!(f.analyse().class, Class::ChangePoint);
    // The lever stands at exactly 75 degrees to the ground line.
    let lever = f.at(Dir::NORTH).unwrap().0.deg().0;
    near(lever.abs().min(180.0 - lever.abs()), 75.0, 1e-9);
}

/// T. Bevan, The Theory of Machines, 3rd ed., ch. 3 example 5, p. 98 (worked
/// solution read in the FOSSEE companion; scaled off a drawing).
#[test]
fn bevan_crank_rocker() {
    let f = textbook(8.0, 2.5, 7.0, 4.5, Assembly::Open);
    let omega = Rpm(100.0).rad_per_sec();
    let (speed, acceleration) = lever_rates(&f, 60.0, omega);
    near(2.5 / 12.0 * omega, 2.18, 0.005);
    near(speed.abs() * 4.5 / 12.0, 1.47, 0.02);
    near(acceleration, 50.9, 0.5);
}

/// R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed., example 8.4,
/// p. 184, and B. K. Sarkar, Theory of Machines, 2002, ch. 1 illustration 6,
/// p. 20: the same linkage in metric (companion; scaled off a drawing).
#[test]
fn khurmi_and_sarkar_crank_rocker() {
    let f = textbook(200.0, 62.5, 175.0, 112.5, Assembly::Open);
    let (speed, acceleration) = lever_rates(&f, 60.0, 10.0);
    near(speed.abs(), 3.79, 0.01);
    near(acceleration, 47.1, 1.0);
    near(lever_rates(&f, 60.0, Rpm(100.0).rad_per_sec()).0.abs(), 4.0, 0.05);
}

/// R. S. Khurmi and J. K. Gupta, as above, example 7.1, p. 148 (companion; ground,
/// coupler and crank angle of the statement from memory).
#[test]
fn khurmi_output_speed() {
    let f = textbook(150.0, 40.0, 150.0, 80.0, Assembly::Open);
    near(lever_rates(&f, 60.0, Rpm(120.0).rad_per_sec()).0.abs(), 4.8, 0.05);
}

/// R. L. Norton, Design of Machinery, table P4-1 row a: lever angles of both
/// assemblies. The input row was read; the answers are from memory.
#[test]
fn norton_positions_row_a() {
    for (assembly, want) in [(Assembly::Open, 117.29), (Assembly::Crossed, -143.66)] {
        let f = textbook(6.0, 2.0, 7.0, 9.0, assembly);
        near(f.at(Dir::degrees(Deg(30.0))).unwrap().0.deg().0, want, 0.005);
    }
}

/// R. L. Norton, as above, tables P6-2 and P7-1 row a (10 rad/s; from memory).
#[test]
fn norton_rates_row_a() {
    for (assembly, speed, acceleration) in
        [(Assembly::Open, -3.99, 53.3), (Assembly::Crossed, -2.66, 50.7)]
    {
        let f = textbook(6.0, 2.0, 7.0, 9.0, assembly);
        let got = lever_rates(&f, 30.0, 10.0);
        near(got.0, speed, 0.005);
        near(got.1, acceleration, 0.05);
    }
}

/// Link sets of a problem after R. L. Norton, Design of Machinery, ch. 2; the
/// classes follow from Grashof's inequality.
#[test]
fn grashof_classes() {
    let with_crank_shortest =
        |l: [f64; 4]| textbook(l[3], l[0], l[1], l[2], Assembly::Open).analyse().class;
    assert_eq!(with_crank_shortest([2.0, 4.5, 7.0, 9.0]), Class::CrankRocker);
    assert_eq!(with_crank_shortest([2.0, 3.5, 7.0, 9.0]), Class::TripleRocker);
    assert_eq!(with_crank_shortest([2.0, 4.0, 6.0, 8.0]), Class::ChangePoint);
    // The shortest bar decides which bar turns (same rule).
    let class = |g, a, b, c| textbook(g, a, b, c, Assembly::Open).analyse().class;
    assert_eq!(class(2.0, 4.5, 7.0, 9.0), Class::DoubleCrank);
    assert_eq!(class(9.0, 4.5, 7.0, 2.0), Class::RockerCrank);
    assert_eq!(class(9.0, 4.5, 2.0, 7.0), Class::DoubleRocker);
}

/// Standard formula for the transmission angle in line with the ground, e.g.
/// R. L. Norton, as above, section 4.10, on row a.
#[test]
fn transmission_angle_extremes() {
    let f = textbook(6.0, 2.0, 7.0, 9.0, Assembly::Open);
    let m = motion(&f);
    near(m.min_transmission.0, 25.2088, 1e-4);
    near(m.min_transmission_at.0, 0.0, 1e-9);
    let outer = f.at(Dir::WEST).unwrap().1;
    near(libm::asin(outer).to_degrees(), 58.4119, 1e-4);
}

/// E. Soylemez, Mechanisms (METU), ch. 7.1, equations 7 to 12 for the dead
/// centres: coupler/crank 3.5, swing 38.94244 and crank rotation 218.9424 deg
/// give crank 1/3 and rocker 1.5 of the ground: the linkage 6/2/7/9.
#[test]
fn dead_centres_of_soylemez() {
    for assembly in [Assembly::Open, Assembly::Crossed] {
        let m = motion(&textbook(6.0, 2.0, 7.0, 9.0, assembly));
        near(m.sweep.0, 38.94244, 5e-6);
        near(m.time_ratio.unwrap(), 1.5521, 5e-5);
        let [stretched, folded] = m.dead_centres.map(|d| d.unwrap().0);
        let apart = (stretched - folded).rem_euclid(360.0);
        near(apart.max(360.0 - apart), 218.9424, 5e-5);
    }
}

/// R. J. Brodell and A. H. Soni, J. Mechanisms 5 (1970) 1-4: the crank-rocker of
/// unit time ratio for swing 60 and least transmission angle 40 deg (formulas from
/// memory): a/c = sin(psi/2), b/d = sin(psi/2)/cos(gamma), and
/// (c/d)^2 = (1 - (b/d)^2)/cos^2(psi/2).
#[test]
fn brodell_and_soni_unit_time_ratio() {
    let half = libm::sin(TAU / 12.0);
    let b = half / libm::cos(TAU / 9.0);
    let c = ((1.0 - b * b) / (1.0 - half * half)).sqrt();
    let a = half * c;
    near(a, 0.437408, 1e-6);
    near(b, 0.652704, 1e-6);
    near(c, 0.874817, 1e-6);
    let m = motion(&textbook(1.0, a, b, c, Assembly::Open));
    near(m.sweep.0, 60.0, 1e-9);
    near(m.min_transmission.0, 40.0, 1e-9);
    near(m.time_ratio.unwrap(), 1.0, 1e-9);
    // Equally bad at both ends of the ground line: the smaller angle is told.
    near(m.min_transmission_at.0, 0.0, 1e-9);
    near(m.dead_centres[0].unwrap().0, 49.2542, 5e-5);
}

/// Ratio (180 + alpha)/(180 - alpha), e.g. R. L. Norton, as above, section 3.4,
/// with alpha the crank's angle between the dead centres less half a turn.
#[test]
fn time_ratio_from_dead_centres() {
    for assembly in [Assembly::Open, Assembly::Crossed] {
        let Analysis { motion, .. } = textbook(8.0, 2.5, 7.0, 4.5, assembly).analyse();
        let m = motion.unwrap();
        let [p, q] = m.dead_centres.map(|d| d.unwrap().0);
        let alpha = ((p - q).rem_euclid(360.0) - 180.0).abs();
        near(m.time_ratio.unwrap(), (180.0 + alpha) / (180.0 - alpha), 1e-9);
    }
}
