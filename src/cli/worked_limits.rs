//! What clamps, holes, sheets and stands bear, worked out with a limb's own numbers: the
//! same ones that the compile judged by.

use super::sizes::decimal;
use crate::check::Compiled;
use crate::finding::Step;
use crate::loads::{Limit, When, wind_limit};
use crate::units::{MetrePerSec, System, print};

/// The sums of one rule about a limb or the figure it is on; all of them where no rule is
/// named. `place` is the figure's and the limb's index.
#[must_use]
pub fn steps(
    compiled: &Compiled,
    place: (usize, usize),
    code: Option<&str>,
    asked: Option<System>,
) -> Vec<Step> {
    let own = compiled.yard.figures[place.0].figure.system;
    let inch = asked.unwrap_or(own) == System::Inch;
    let loaded = &compiled.loads[place.0];
    let winds = compiled.yard.winds;
    let limb = &loaded.limbs[place.1];
    let of_wind = limb.wind.iter().flat_map(|w| &w.limits);
    let of_figure = loaded.wind.iter().flat_map(|w| &w.limits);
    let all = limb.grips.iter().chain(of_wind).chain(of_figure);
    all.filter(|l| code.is_none_or(|c| l.code.word == c))
        .flat_map(|l| {
            let gust = if l.when == When::Run { winds.run } else { winds.stand };
            one(l, gust, code.is_none(), inch)
        })
        .collect()
}

/// One check, line by line; in short only what is asked and what it bears.
fn one(limit: &Limit, gust: MetrePerSec, short: bool, inch: bool) -> Vec<Step> {
    // In the household's own units, the wind too.
    let shown = |unit: &'static str| match inch {
        true => print::inch_unit(unit).unwrap_or((unit, 1.0)),
        false => (unit, 1.0),
    };
    let (unit, per) = shown(limit.unit);
    let (speed, each_speed) = shown("m/s");
    let wind = |at: MetrePerSec| at.0 / each_speed;
    let [calm, bears] = [limit.calm, limit.bears].map(|v| v / per);
    let more = limit.per_gust2 / per * each_speed * each_speed;
    let mut steps = Vec::new();
    if !short {
        // Several checks may have one code: each begins with what would happen.
        let (what, none) = (format!("{}:", limit.goes), String::new());
        steps.push(Step { what, sum: none.clone(), result: none });
        let inputs = limit.inputs.iter();
        steps.extend(inputs.map(|i| {
            let (unit, per) = shown(i.unit);
            step(&i.name.replace('_', " "), "", i.value / per, unit)
        }));
    }
    let windy = limit.per_gust2 > 0.0;
    if windy && !short {
        steps.push(step("asked in calm air", "", calm, unit));
        let each = format!("{unit} for each ({speed})^2");
        steps.push(step("and more in wind", "", more, &each));
    }
    let (sum, what) = if windy {
        let sum = format!("{} + {} x {}^2", number(calm), number(more), decimal(wind(gust), 1));
        (sum, format!("{}: asked at {} {speed}", limit.code.word, decimal(wind(gust), 1)))
    } else {
        (String::new(), format!("{}: asked", limit.code.word))
    };
    steps.push(step(&what, &sum, limit.asked(gust) / per, unit));
    steps.push(step("it bears, after its factor", "", bears, unit));
    if windy && !short {
        let passes = limit.gust();
        let sum = if passes >= wind_limit::STRONGEST {
            "more than any wind on the ground".to_owned()
        } else if passes.0 <= 0.0 {
            "not even in calm air".to_owned()
        } else {
            format!("sqrt(({} - {})/{})", number(bears), number(calm), number(more))
        };
        steps.push(step("it passes up to a gust of", &sum, wind(passes), speed));
    }
    let caveat = limit.caveat();
    if !(caveat.is_empty() || short) {
        let what = caveat.trim_start_matches("; ").to_owned();
        steps.push(Step { what: "note".into(), sum: String::new(), result: what });
    }
    steps
}

fn step(what: &str, sum: &str, value: f64, unit: &str) -> Step {
    let unit = if unit == "1" { "" } else { unit };
    let result = format!("{} {unit}", number(value)).trim_end().to_owned();
    Step { what: what.into(), sum: sum.into(), result }
}

/// Four digits that mean something.
fn number(value: f64) -> String {
    let places = match value.abs() {
        v if v >= 1000.0 => 0,
        v if v >= 100.0 => 1,
        v if v >= 10.0 => 2,
        v if v >= 1.0 => 3,
        v if v >= 0.1 => 4,
        _ => 6,
    };
    decimal(value, places)
}
