//! What the runs of all seasons make of each limb.

use std::sync::Arc;

use rayon::prelude::*;

use super::Scene;
use super::nights::Season;
use crate::loads::wind_limit::{Input, input};
use crate::mechanism::Travel;
use crate::model::MotorKind;
use crate::timing::{FigurePart, LimbMotion, Path};
use crate::units::{Deg, Sec};

/// How much a limb moves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wear {
    /// To and fro over the seasons; turns, of a limb that turns on and on.
    pub cycles: f64,
    /// Hours in motion over the seasons.
    pub hours: f64,
    /// The longest share of any ten minutes in motion, in one show.
    pub duty: f64,
    /// What each show that moves it adds.
    pub shows: Vec<Moved>,
    /// What the share follows from, and the speed that the hours hang on where that is not
    /// commanded.
    pub inputs: Vec<Input>,
}

/// How much one run of a show moves a limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The show.
    pub show: String,
    /// Its runs over the seasons.
    pub runs: u32,
    /// To and fro, or turns.
    pub cycles: f64,
    /// Time in motion.
    pub time: Sec,
}

/// What one show makes of a limb: cycles, and stretches in motion.
fn of_show(motion: &LimbMotion, stroke: f64, arm: bool) -> (f64, Vec<(Sec, Sec)>) {
    let (mut cycles, mut moving) = (0.0, Vec::new());
    // A servo's arm goes to and fro, in as many pieces as it is told.
    let mut arms: Vec<(Sec, Deg)> = Vec::new();
    for piece in &motion.pieces {
        let moved = match &piece.path {
            Path::Still(_) => continue,
            Path::Crank { from, to } if arm => {
                arms.extend([(piece.from, *from), (piece.to, *to)]);
                if from == to {
                    continue;
                }
                0.0
            }
            Path::Crank { from, to } | Path::Turn { from, to } => (*to - *from).0.abs() / 360.0,
            Path::Length { from, to } => (*to - *from).0.abs() / (2.0 * stroke.max(1.0)),
            Path::Line(points) => half_swings(points) / 2.0,
        };
        cycles += moved;
        moving.push((piece.from, piece.to));
    }
    (cycles + half_swings(&arms) / 2.0, moving)
}

/// How often a line of points turns round or stops.
fn half_swings(points: &[(Sec, Deg)]) -> f64 {
    let mut count = 0;
    let mut last = 0.0;
    for pair in points.windows(2) {
        let way = (pair[1].1 - pair[0].1).0;
        let sign = if way > 1e-6 {
            1.0
        } else if way < -1e-6 {
            -1.0
        } else {
            0.0
        };
        if sign != 0.0 && sign != last {
            count += 1;
        }
        last = sign;
    }
    f64::from(count)
}

/// Ten minutes.
const WINDOW: f64 = 600.0;

/// The most time in motion in any ten minutes, as a share of them; the stretches are in
/// order.
fn duty(moving: &[(Sec, Sec)]) -> f64 {
    // Time in motion before the start of each stretch.
    let before: Vec<f64> = moving
        .iter()
        .scan(0.0, |sum, (a, b)| Some(std::mem::replace(sum, *sum + (*b - *a).0)))
        .collect();
    let until = |t: f64| {
        let after = moving.partition_point(|(a, _)| a.0 <= t);
        let last = after.checked_sub(1).map(|i| before[i] + (moving[i].1.0.min(t) - moving[i].0.0));
        last.unwrap_or(0.0)
    };
    // The busiest window begins with a stretch or ends with one.
    let starts = moving.iter().flat_map(|(a, b)| [a.0, b.0 - WINDOW]);
    starts.map(|from| (until(from + WINDOW) - until(from)) / WINDOW).fold(0.0, f64::max)
}

/// Every limb's wear, by figure and limb of the yard.
pub(super) fn wear(scene: &Scene<'_>, season: &Season) -> Vec<Vec<Wear>> {
    let mut all: Vec<Vec<Wear>> =
        scene.yard.figures.iter().map(|p| vec![Wear::default(); p.figure.limbs.len()]).collect();
    for played in scene.performances {
        let of_limb = |figure: usize, runs: u32, motion: &LimbMotion| {
            let limb = scene.yard.figures[figure].figure.limb(&motion.limb)?;
            let (cycles, moving) =
                of_show(motion, stroke(scene, figure, limb), on_servo(scene, figure, limb));
            let seconds: f64 = moving.iter().map(|(a, b)| (*b - *a).0).sum();
            Some((figure, limb, runs, cycles, Sec(seconds), duty(&moving)))
        };
        let of_part = |part: &Arc<FigurePart>| -> Vec<_> {
            let figure = scene.figure(&part.figure).map(|f| (f, season.all_of(f, &played.show)));
            let limbs = |(f, runs)| part.limbs.iter().filter_map(move |m| of_limb(f, runs, m));
            figure.into_iter().flat_map(limbs).collect()
        };
        let worn: Vec<Vec<_>> = played.figures.par_iter().map(of_part).collect();
        for (figure, limb, runs, cycles, time, duty) in worn.into_iter().flatten() {
            let wear = &mut all[figure][limb];
            wear.cycles += cycles * f64::from(runs);
            wear.hours += time.0 / 3600.0 * f64::from(runs);
            wear.duty = wear.duty.max(duty);
            if cycles > 0.0 {
                wear.shows.push(Moved { show: played.show.clone(), runs, cycles, time });
            }
        }
    }
    for (figure, limbs) in all.iter_mut().enumerate() {
        for (limb, wear) in limbs.iter_mut().enumerate().filter(|(_, w)| w.cycles > 0.0) {
            wear.inputs = inputs(scene, figure, limb, wear.duty);
        }
    }
    all
}

/// Whether a servo moves a limb, itself or through what pushes it.
fn on_servo(scene: &Scene<'_>, figure: usize, limb: usize) -> bool {
    let figure = &scene.yard.figures[figure].figure;
    figure.motor_of(limb).is_some_and(|m| figure.actuators[m].motor.kind == MotorKind::Servo)
}

/// What the busiest ten minutes are a share of; a ram and a motor in step with the mains go
/// at their own speed.
fn inputs(scene: &Scene<'_>, figure: usize, limb: usize, duty: f64) -> Vec<Input> {
    let figure = &scene.yard.figures[figure].figure;
    let sheet = figure.motor_of(limb).map(|m| &figure.actuators[m].motor);
    let speed = sheet.and_then(|sheet| match sheet.kind {
        MotorKind::Ram => {
            let speed = input("free_speed", sheet.speed_mm_s?, "mm/s");
            Some(speed.given_or_typical(sheet.says("speed")))
        }
        MotorKind::Synchronous => {
            Some(input("speed", sheet.free?.0, "rpm").given_or_typical(sheet.says("free")))
        }
        _ => None,
    });
    let busiest = input("moving_in_the_busiest_window", duty * WINDOW, "s");
    [busiest, input("window", WINDOW, "s").fixed()].into_iter().chain(speed).collect()
}

/// How far a ram or cylinder of a limb goes, mm.
fn stroke(scene: &Scene<'_>, figure: usize, limb: usize) -> f64 {
    let follows = scene.fitted[figure].limbs[limb].mechanism.as_ref().and_then(|m| m.follows());
    let Some(travel) = follows.and_then(|f| f.travel) else { return 1.0 };
    match travel {
        Travel::Swing(l) => (l.at_high - l.at_low).abs(),
        Travel::Stroke(l) => (l.at_high - l.at_low).abs(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_busiest_ten_minutes_are_found() {
        let moving = [(Sec(0.0), Sec(60.0)), (Sec(500.0), Sec(700.0)), (Sec(2000.0), Sec(2010.0))];
        assert!((duty(&moving) - 200.0 / 600.0).abs() < 1e-9);
        let points = [(0.0, 0.0), (1.0, 5.0), (2.0, 0.0), (3.0, 0.0), (4.0, -2.0)];
        let points: Vec<(Sec, Deg)> = points.iter().map(|&(t, a)| (Sec(t), Deg(a))).collect();
        assert!((half_swings(&points) - 3.0).abs() < 1e-9);
    }
}
