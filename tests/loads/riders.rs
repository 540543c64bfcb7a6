//! Limbs that ride on others: what their motors and those of their carriers give, against
//! the change of energy by time, from circles that meet on a grid of both coordinates.
//! Power is the change of potential and kinetic energy (any textbook of mechanics; R. L.
//! Norton, *Design of Machinery*, on the method of virtual work).

use super::{compile, limb, load};
use yardwright::loads::motor::Work;

type Point = (f64, f64);

fn polar(from: Point, r: f64, rad: f64) -> Point {
    let (s, c) = libm::sincos(rad);
    (from.0 + r * c, from.1 + r * s)
}

/// A four-bar: shaft, crank, rod, lever, clamp in rad, and the side of the lever's pin.
struct Bar {
    shaft: Point,
    sizes: [f64; 3],
    clamp: f64,
    side: f64,
}

impl Bar {
    /// The limb's angle with its crank pin and its pivot so: two circles that meet.
    fn limb(&self, pin: Point, pivot: Point) -> f64 {
        let [_, b, c] = self.sizes;
        let (dx, dy) = (pivot.0 - pin.0, pivot.1 - pin.1);
        let d = libm::hypot(dx, dy);
        let along = (d * d + b * b - c * c) / (2.0 * d);
        let up = self.side * libm::sqrt(b * b - along * along);
        let at = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
        libm::atan2(at.1 - pivot.1, at.0 - pivot.0) - self.clamp
    }

    fn pin(&self, crank: f64) -> Point {
        polar(self.shaft, self.sizes[0], crank)
    }
}

const ABOUT: Point = (300.0, 700.0);
/// Mass kg, centre mm, inertia about the pivot kg.m2: of the upper arm, of the forearm.
const ARM: [f64; 3] = [0.052, 88.0, 0.000_57];
const FORE: [f64; 3] = [0.149, 120.0, 0.002_53];

fn upper() -> Bar {
    Bar {
        shaft: (420.0, 500.0),
        sizes: [30.0, 217.0, 90.0],
        clamp: 17.5f64.to_radians(),
        side: 1.0,
    }
}

fn fore() -> Bar {
    Bar {
        shaft: (480.0, 560.0),
        sizes: [30.0, 350.0, 150.0],
        clamp: 358.0f64.to_radians(),
        side: 1.0,
    }
}

fn fox(forearm: &str) -> String {
    format!(
        "figure fox {{ board plywood-9 900 mm by 1200 mm
  motor low wiper at (420, 500) mm turns ccw   motor high wiper at (480, 560) mm turns ccw
  limb upper-arm {{ pivot (300, 700) mm  tip (120, 700) mm  bolt M8  friction 0 N.m
    mass {} kg centre {} mm inertia {} kg.m2
    drive four-bar {{ motor low  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg assembly open }}
    gesture bow {{ sweep 195 deg to 235 deg  cycle 1.3 s }} }}
  limb forearm on upper-arm {{ pivot (120, 700) mm  tip (120, 500) mm  bolt M8  friction 0 N.m
    mass {} kg centre {} mm inertia {} kg.m2
    {forearm} }} }}",
        ARM[0], ARM[1], ARM[2], FORE[0], FORE[1], FORE[2]
    )
}

const CRANKED: &str =
    "drive four-bar { motor high  crank 30 mm  rod 350 mm  lever 150 mm at 358 deg assembly open }
    gesture fiddle { sweep 255 deg to 285 deg within 15 deg  cycle 0.9 s }";

/// Energy of the forearm with pivot, angle, and how fast both change, N.mm.
fn energy([m, c, i]: [f64; 3], pivot: Point, angle: f64, v: Point, w: f64) -> f64 {
    let centre = polar(pivot, c, angle);
    let (s, k) = libm::sincos(angle);
    let (vx, vy) = (v.0 - w * c * s, v.1 + w * c * k);
    let central = i - m * c * c * 1e-6;
    m * 9.806_65 * centre.1 + 0.5 * m * (vx * vx + vy * vy) * 1e-3 + 0.5 * central * w * w * 1e3
}

/// A change by a step to both sides, angles the short way round.
fn rate(f: &dyn Fn(f64) -> f64, at: f64) -> f64 {
    let h = 1e-4;
    let by = f(at + h) - f(at - h);
    let turn = std::f64::consts::TAU;
    (by - turn * (by / turn).round()) / (2.0 * h)
}

/// The upper arm's range, from its own circles.
fn arm_range() -> (f64, f64) {
    let bar = upper();
    let angles = (0..7200).map(|k| {
        let crank = f64::from(k) * std::f64::consts::TAU / 7200.0;
        let a = bar.limb(bar.pin(crank), ABOUT).to_degrees();
        a + 360.0 * ((215.0 - a) / 360.0).round()
    });
    angles.fold((f64::MAX, f64::MIN), |(l, h), a| (l.min(a), h.max(a)))
}

#[test]
fn a_motor_on_the_board_gives_what_the_energy_of_its_riding_limb_asks() {
    let compiled = compile(&fox(CRANKED));
    let got = &load(&compiled, 1).motor;
    let (bar, speed) = (fore(), std::f64::consts::TAU / 0.9);
    let (low, high) = arm_range();
    let (mut peak, mut rms, mut worst_at) = (f64::MIN, 0.0_f64, 0.0);
    for i in 0..=60 {
        let arm = (low + (high - low) * f64::from(i) / 60.0).to_radians();
        let pivot = polar(ABOUT, 180.0, arm);
        let angle = |u: f64| bar.limb(bar.pin(u), pivot);
        let total = |u: f64| energy(FORE, pivot, angle(u), (0.0, 0.0), rate(&angle, u) * speed);
        let mut square = 0.0;
        for k in 0..360 {
            let torque = rate_of(&total, f64::from(k).to_radians()) * 1e-3;
            square += torque * torque / 360.0;
            if torque > peak {
                (peak, worst_at) = (torque, arm.to_degrees());
            }
        }
        rms = rms.max(square.sqrt());
    }
    assert!((got.peak / peak - 1.0).abs() < 3e-3, "{} and {peak}", got.peak);
    assert!((got.rms / rms - 1.0).abs() < 3e-3, "{} and {rms}", got.rms);
    let notes = &limb(&compiled, 1).assumed;
    let said = format!("upper-arm at {worst_at:.0} deg");
    assert!(notes.iter().any(|n| n.what.contains(&said)), "{said}: {notes:?}");
    let moving = "while upper-arm moves at the same time";
    assert!(limb(&compiled, 1).not_checked.iter().any(|n| n.what.contains(moving)));
}

/// As [`rate`], of something that is no angle.
fn rate_of(f: &dyn Fn(f64) -> f64, at: f64) -> f64 {
    let h = 1e-3;
    (f(at + h) - f(at - h)) / (2.0 * h)
}

/// The motor under the carrier: the forearm rests on it, held by its rod from wherever its
/// crank was left.
#[test]
fn a_carriers_motor_gives_what_both_limbs_ask_with_the_other_crank_at_its_worst() {
    let compiled = compile(&fox(CRANKED));
    let got = &load(&compiled, 0).motor;
    assert_eq!(got.limbs, [0]);
    let (arm_bar, bar, speed) = (upper(), fore(), std::f64::consts::TAU / 1.3);
    let arm = |u: f64| arm_bar.limb(arm_bar.pin(u), ABOUT);
    let (mut peak, mut bare) = (f64::MIN, f64::MIN);
    for k in 0..180 {
        let pin = bar.pin((2.0 * f64::from(k)).to_radians());
        let pivot = |u: f64| polar(ABOUT, 180.0, arm(u));
        let angle = |u: f64| bar.limb(pin, pivot(u));
        let own = |u: f64| energy(ARM, ABOUT, arm(u), (0.0, 0.0), rate(&arm, u) * speed);
        let v = |u: f64| {
            let w = rate(&arm, u) * speed;
            let (s, c) = libm::sincos(arm(u));
            (-w * 180.0 * s, w * 180.0 * c)
        };
        let rider = |u: f64| energy(FORE, pivot(u), angle(u), v(u), rate(&angle, u) * speed);
        for i in 0..360 {
            let u = f64::from(i).to_radians();
            peak = peak.max((rate_of(&own, u) + rate_of(&rider, u)) * 1e-3);
            if k == 0 {
                bare = bare.max(rate_of(&own, u) * 1e-3);
            }
        }
    }
    assert!((got.peak / peak - 1.0).abs() < 3e-3, "{} and {peak}", got.peak);
    assert!(peak > 1.5 * bare, "the forearm weighs something: {peak} {bare}");
    let notes = &limb(&compiled, 0).assumed;
    let said = format!("peaks at {peak:.3} N.m, and {bare:.3} N.m without it");
    assert!(notes.iter().any(|n| n.what.ends_with(&said)), "{said}: {notes:?}");
}

/// A servo at the elbow: its limb hangs the lower the further the arm is down.
#[test]
fn a_servo_that_rides_lifts_its_limb_wherever_the_carrier_is() {
    let servo = "drive servo { motor servo-standard }
    gesture curl { bend 60 deg to 120 deg  cycle 1.6 s  shape natural }";
    let compiled = compile(&fox(servo));
    let got = &load(&compiled, 1).motor;
    let (low, high) = arm_range();
    let [m, c, i] = FORE;
    let (mut peak, mut rms) = (0.0_f64, 0.0_f64);
    let mut both = [f64::INFINITY, f64::NEG_INFINITY];
    for k in 0..=200 {
        let arm = low + (high - low) * f64::from(k) / 200.0;
        let mut square = 0.0;
        for n in 0..720 {
            // Half a cosine each way: 60 deg in 0.8 s, and back.
            let phase = std::f64::consts::TAU * f64::from(n) / 720.0;
            let bend = 90.0 - 30.0 * libm::cos(phase);
            let w = std::f64::consts::TAU / 1.6;
            let hastens = 30f64.to_radians() * libm::cos(phase) * w * w;
            let weight = m * 9.806_65 * c * 1e-3 * libm::cos((arm + bend).to_radians());
            let torque = weight + i * hastens;
            peak = peak.max(torque.abs());
            both = [both[0].min(torque), both[1].max(torque)];
            square += torque * torque / 720.0;
        }
        rms = rms.max(square.sqrt());
    }
    assert!((got.peak / peak - 1.0).abs() < 2e-3, "{} and {peak}", got.peak);
    assert!((got.rms / rms - 1.0).abs() < 2e-3, "{} and {rms}", got.rms);
    // Whether its pins' play changes sides is asked of every place of the arm, too.
    let ways = load(&compiled, 1).both_ways;
    for (got, want) in ways.into_iter().zip(both) {
        assert!((got - want).abs() < 5e-3 * peak, "{ways:?} and {both:?}");
    }
}

/// A servo on the board, its rod to the forearm: the arm goes as it was told with the upper
/// arm at rest, and gives what weight and inertia ask wherever that is. Angles of the arm
/// are found by halving.
#[test]
fn a_servo_on_the_board_gives_what_its_riding_limb_asks_wherever_the_carrier_is() {
    let servo = "drive servo { motor bite  crank 30 mm  rod 180 mm  lever 40 mm at 24 deg }
    rest 285 deg
    gesture curl { sweep 275 deg to 295 deg  cycle 1.6 s  shape natural }";
    let text = fox(servo).replace(
        "motor high wiper at (480, 560) mm turns ccw",
        "motor bite servo-standard at (290, 710) mm",
    );
    let compiled = compile(&text);
    let got = load(&compiled, 1);
    let Some(yardwright::fit::Fitted::Servo(made)) = &compiled.figures[0].limbs[1].mechanism else {
        panic!("{:?}", compiled.findings)
    };
    let side = made.linkage.unwrap().assembly().sign();
    let zero = made.arm_at_zero.unwrap().rad().0;
    let bar =
        Bar { shaft: (290.0, 710.0), sizes: [30.0, 180.0, 40.0], clamp: 24f64.to_radians(), side };
    let (low, high) = arm_range();
    let limb = |arm: f64, carrier: f64| {
        let at = bar.limb(bar.pin(arm), polar(ABOUT, 180.0, carrier.to_radians()));
        let turn = std::f64::consts::TAU;
        at + turn * ((285f64.to_radians() - at) / turn).round()
    };
    // It rests at the low end of its swing.
    let told = |angle: f64| {
        let (mut a, mut b) = (zero - 0.9, zero + 0.9);
        let rises = limb(b, low) > limb(a, low);
        for _ in 0..60 {
            let middle = (a + b) / 2.0;
            if (limb(middle, low) < angle) == rises { a = middle } else { b = middle }
        }
        a
    };
    let [m, c, i] = FORE;
    let (mut peak, mut hold) = (0.0_f64, 0.0_f64);
    for n in 0..120 {
        let arm = |t: f64| {
            let phase = std::f64::consts::TAU * t / 1.6;
            told((285.0 - 10.0 * libm::cos(phase)).to_radians())
        };
        let (t, h) = (1.6 * f64::from(n) / 120.0, 1e-3);
        let arms = [arm(t - h), arm(t), arm(t + h)];
        for k in 0..=40 {
            let carrier = low + (high - low) * f64::from(k) / 40.0;
            let [before, now, after] = arms.map(|a| limb(a, carrier));
            let hastens = (before + after - 2.0 * now) / (h * h);
            let rate = (limb(arms[1] + 1e-5, carrier) - limb(arms[1] - 1e-5, carrier)) / 2e-5;
            let weight = m * 9.806_65 * c * 1e-3 * libm::cos(now);
            peak = peak.max(((weight + i * hastens) * rate).abs());
            if n % 60 == 0 || n == 30 {
                hold = hold.max((weight * rate).abs());
            }
        }
    }
    let motor = &got.motor;
    assert!((motor.peak / peak - 1.0).abs() < 5e-3, "{} and {peak}", motor.peak);
    let held = compiled.loads[0].motors.iter().find_map(|m| match &m.work {
        Some(Work::Servo(load)) => Some(load.hold.0),
        _ => None,
    });
    let held = held.expect("what the servo holds");
    assert!((held / hold - 1.0).abs() < 5e-3, "{held} and {hold}");
}

/// A ram between arm and forearm pushes with a force: the change of height by that of its
/// length, at the worst of the arm's places.
#[test]
fn a_ram_that_rides_pushes_its_limb_wherever_the_carrier_is() {
    let ram = "drive ram { motor small-ram at (230, 650) mm rides  lever 50 mm at 17 deg }
    gesture curl { bend 50 deg to 97 deg within 3 deg  cycle 40 s }";
    let motor = "motor small-ram { kind ram  length 90 mm to 130 mm  speed 0.002 m/s }\n";
    let compiled = compile(&(motor.to_owned() + &fox(ram)));
    let got = &load(&compiled, 1).motor;
    assert_eq!(got.effort, yardwright::loads::Effort::Force);
    let (low, high) = arm_range();
    // In the arm's own plane as it is drawn, pointing to 180 deg.
    let length = |bend: f64| {
        let pin = polar((120.0, 700.0), 50.0, (180.0 + bend + 17.0).to_radians());
        libm::hypot(pin.0 - 230.0, pin.1 - 650.0)
    };
    let mut peak = 0.0_f64;
    for n in 0..=4000 {
        let bend = 40.0 + 0.02 * f64::from(n);
        if !(90.0..=130.0).contains(&length(bend)) {
            continue;
        }
        let per_deg = (length(bend + 1e-3) - length(bend - 1e-3)) / 2e-3;
        for k in 0..=100 {
            let arm = low + (high - low) * f64::from(k) / 100.0;
            let [m, c, _] = FORE;
            let weight = m * 9.806_65 * c * libm::cos((arm + bend).to_radians());
            peak = peak.max((weight / per_deg * 1f64.to_radians()).abs());
        }
    }
    assert!((got.peak / peak - 1.0).abs() < 0.01, "{} and {peak}", got.peak);
}

/// The same ram with its anchor on the board: the change of height by that of its length,
/// with the upper arm at its worst; and under the upper arm, whose motor carries a forearm
/// that its ram holds from the board, with the ram as long as is worst.
#[test]
fn a_ram_on_the_board_pushes_and_holds_its_limb_wherever_the_carrier_is() {
    let ram = "drive ram { motor small-ram  anchor (330, 690) mm  lever 60 mm at 90 deg }
    gesture curl { sweep 192 deg to 219 deg within 6 deg  cycle 40 s }";
    let motor = "motor small-ram { kind ram  length 185 mm to 215 mm  speed 0.002 m/s }\n";
    let compiled = compile(
        &(motor.to_owned()
            + &fox(ram)
                .replace("turns ccw   motor high wiper at (480, 560) mm turns ccw", "turns ccw")),
    );
    let got = &load(&compiled, 1).motor;
    assert_eq!(got.effort, yardwright::loads::Effort::Force);
    let own = compiled.figures[0].limbs[1].mechanism.as_ref().unwrap().as_drive().unwrap();
    let side = own.exact.mechanism.assembly().unwrap().sign();
    let (low, high) = arm_range();
    // The lever's pin by two circles, from anchor and pivot.
    let limb = |length: f64, pivot: Point| {
        let bar =
            Bar { shaft: (0.0, 0.0), sizes: [0.0, length, 60.0], clamp: 90f64.to_radians(), side };
        bar.limb((330.0, 690.0), pivot)
    };
    let [m, c, i] = FORE;
    let mut peak = 0.0_f64;
    for k in 0..=100 {
        let pivot = polar(ABOUT, 180.0, (low + (high - low) * f64::from(k) / 100.0).to_radians());
        for n in 0..=300 {
            let length = 185.0 + 0.1 * f64::from(n);
            let per_mm = rate(&|l| limb(l, pivot), length);
            let weight = m * 9.806_65 * c * libm::cos(limb(length, pivot));
            peak = peak.max((weight * per_mm).abs());
        }
    }
    assert!((got.peak / peak - 1.0).abs() < 0.01, "{} and {peak}", got.peak);
    // The motor under the upper arm.
    let got = &load(&compiled, 0).motor;
    let (arm_bar, speed) = (upper(), std::f64::consts::TAU / 1.3);
    let arm = |u: f64| arm_bar.limb(arm_bar.pin(u), ABOUT);
    let mut peak = f64::MIN;
    for k in 0..=60 {
        let length = 185.0 + 0.5 * f64::from(k);
        let pivot = |u: f64| polar(ABOUT, 180.0, arm(u));
        let angle = |u: f64| limb(length, pivot(u));
        let own = |u: f64| energy(ARM, ABOUT, arm(u), (0.0, 0.0), rate(&arm, u) * speed);
        let v = |u: f64| {
            let w = rate(&arm, u) * speed;
            let (s, c) = libm::sincos(arm(u));
            (-w * 180.0 * s, w * 180.0 * c)
        };
        let rider = |u: f64| energy([m, c, i], pivot(u), angle(u), v(u), rate(&angle, u) * speed);
        for n in 0..360 {
            let u = f64::from(n).to_radians();
            peak = peak.max((rate_of(&own, u) + rate_of(&rider, u)) * 1e-3);
        }
    }
    assert!((got.peak / peak - 1.0).abs() < 3e-3, "{} and {peak}", got.peak);
}
