//! Areas, centres and moments of inertia of textbooks, and a swing test.

use std::f64::consts::PI;
use std::path::Path;

use yardwright::check::Compiler;
use yardwright::geometry::{Board, Outline, Point};
use yardwright::loads::mass::{GRAVITY, pendulum};
use yardwright::source::MemoryDisk;
use yardwright::units::{Kg, Mm, Sec};

fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "{got}, published {want} +- {tolerance}");
}

/// E. W. Nelson, C. L. Best, W. G. McLean, Engineering Mechanics: Statics and Dynamics
/// (Schaum), problem 10.11, p. 163: a rectangle with a triangle on its right half and a
/// half disc cut out below; read in an open worked-solutions notebook.
#[test]
fn a_plate_with_a_half_disc_cut_out() {
    // Areas 20000 at (100, 50), 5000 at (133.3, 116.7), less a half disc r 50 at (150, 4r/3pi).
    let mut corners = vec![(0.0, 0.0), (100.0, 0.0)];
    let steps = 2000;
    corners.extend((1..steps).map(|i| {
        let turn = PI * (1.0 - f64::from(i) / f64::from(steps));
        (150.0 + 50.0 * libm::cos(turn), 50.0 * libm::sin(turn))
    }));
    // The triangle stands on the top edge, its third corner over the right end.
    corners.extend([(200.0, 0.0), (200.0, 150.0), (0.0, 100.0)]);
    let corners = corners.into_iter().map(|(x, y)| Point::mm(x, y)).collect();
    let plate = Outline::<Board>::new(corners).unwrap();
    let centre = plate.centroid();
    near(centre.x, 98.6, 0.05);
    near(centre.y, 71.2, 0.05);
}

/// R. S. Khurmi, J. K. Gupta, Theory of Machines, 14th ed., example 4.5, p. 83: 85 kg
/// hung 0.1 m from its centre of gravity, a hundred swings in 145 s; I about the centre
/// of gravity 3.6 kg.m2; read in an open worked-solutions notebook.
#[test]
fn inertia_from_a_swing_test() {
    let about_pivot = pendulum(Kg(85.0), Mm(100.0), Sec(14.5));
    near(about_pivot.0 - 85.0 * 0.1 * 0.1, 3.6, 0.05);
}

/// R. S. Khurmi, J. K. Gupta, as above, example 4.7, p. 85: a rod of 1.2 m hung 50 mm
/// from its end swings in 1.76 s.
#[test]
fn a_uniform_rod_swings_as_published() {
    let (mass, length, from_end) = (1.0, 1.2, 0.05);
    let centre = length / 2.0 - from_end;
    let inertia = mass * (length * length / 12.0 + centre * centre);
    let period = 1.76;
    let got = pendulum(Kg(mass), Mm(centre * 1e3), Sec(10.0 * period)).0;
    // A half unit in the period's last digit.
    let per_second = 2.0 * mass * GRAVITY * centre * period / (4.0 * PI * PI);
    near(got, inertia, 0.005 * per_second);
}

/// R. S. Khurmi, J. K. Gupta, as above, example 4.4, p. 82: a rod of 1 kg and 0.6 m,
/// hinged at one end with 2.5 kg on the other, has 1.02 kg.m2.
#[test]
fn a_rod_with_a_mass_at_its_end() {
    // A strip 0.5 mm wide of a sheet that makes the whole weigh 1 kg.
    let text = "use parts\nsheet heavy { thickness 1 mm  mass 3333.333333 kg/m2 }\n\
                figure f {\n board plywood-9 600 mm by 1400 mm\n limb rod {\n pivot (300, 700) mm  tip (900, 700) mm\n \
                sheet heavy  width 0.5 mm\n carry ball 2.5 kg at (900, 700) mm\n \
                drive four-bar { motor wiper at (300, 400) mm  crank 30 mm  rod 300 mm  lever 80 mm at 90 deg }\n } }\n";
    let disk = MemoryDisk::new().with("/y/a.yard", text);
    let compiled = Compiler::new(disk).compile(Path::new("/y/a.yard")).unwrap();
    let mass = compiled.loads[0].limbs[0].mass.expect("it is known what it weighs");
    near(mass.mass.0, 3.5, 1e-6);
    near(mass.inertia.0, 1.02, 0.005);
    near(mass.centre.x, (300.0 + 2.5 * 600.0) / 3.5, 1e-4);
}
