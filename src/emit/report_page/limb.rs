//! What a sheet says of one limb: the rows of the terminal first, then every number.

use serde_json::Value;

use super::html::{own, row, table};
use super::quantity::{about, field, in_unit};
use crate::check::Compiled;
use crate::emit::asked;
use crate::emit::numbers::mechanism_numbers;
use crate::emit::svg::escape;
use crate::emit::text::limb::LimbText;
use crate::emit::words::decimal;
use crate::loads::wind_limit::STRONGEST;
use crate::units::System;

/// A row of numbers: what people call it and where the report has it.
type Row = (&'static str, &'static str);

/// The mechanism: exact and, where it has a column, as drilled.
const MECHANISM: &[Row] = &[
    ("kind", "/kind"),
    ("class", "/class"),
    ("put together", "/assembly"),
    ("lower end", "/low_deg"),
    ("upper end", "/high_deg"),
    ("swing", "/sweep_deg"),
    ("lower end", "/low_mm"),
    ("upper end", "/high_mm"),
    ("stroke", "/stroke_mm"),
    ("worst push angle", "/min_transmission_deg"),
    ("with the crank at", "/min_transmission_at_deg"),
    ("worst push to the side", "/max_pressure_deg"),
    ("with the crank at", "/max_pressure_at_deg"),
    ("crank at the lower end", "/crank_at_low_deg"),
    ("crank at the upper end", "/crank_at_high_deg"),
    ("its length at the lower end", "/length_at_low_mm"),
    ("its length at the upper end", "/length_at_high_mm"),
    ("slower over faster swing", "/time_ratio"),
    ("limb's turn for one of the crank, most", "/max_speed_ratio"),
    ("turns for one of the motor", "/turn_ratio"),
    ("servo's speed without load", "/max_servo_rpm"),
    ("shaft to pivot", "/lengths_mm/ground"),
    ("crank", "/lengths_mm/crank"),
    ("rod, pin to pin", "/lengths_mm/coupler"),
    ("lever", "/lengths_mm/rocker"),
    ("lever's angle from the limb's axis", "/rocker_at_deg"),
    ("cam's base circle", "/lengths_mm/base"),
    ("cam's roller", "/lengths_mm/roller"),
    ("cord", "/lengths_mm/cord"),
    ("spool", "/lengths_mm/spool"),
    ("builds that move as asked", "/fit_share"),
];

/// What it weighs and what moving it takes.
const LOAD: &[Row] = &[
    ("mass", "/mass_kg"),
    ("centre along the axis", "/centre_mm/0"),
    ("centre left of it", "/centre_mm/1"),
    ("inertia about the pivot", "/inertia_kgm2"),
    ("peak at the motor", "/peak_motor_torque_nm"),
    ("peak at the motor", "/peak_motor_force_n"),
    ("there", "/peak_at_deg"),
    ("there", "/peak_at_mm"),
    ("root mean square", "/rms_motor_torque_nm"),
    ("root mean square", "/rms_motor_force_n"),
    ("hardest start", "/start_motor_torque_nm"),
    ("hardest start", "/start_motor_force_n"),
    ("peak in wind", "/peak_motor_torque_in_wind_nm"),
    ("peak in wind", "/peak_motor_force_in_wind_n"),
    ("peak with dry bushings", "/peak_motor_torque_dry_nm"),
    ("peak with dry bushings", "/peak_motor_force_dry_n"),
    ("at this speed", "/speed_rpm"),
    ("at this speed", "/speed_mm_s"),
    ("counterweight", "/counterweight_kg"),
    ("force along the rod, most", "/most_rod_force_n"),
    ("force on the bolt, most", "/most_bolt_force_n"),
    ("pressure in the bushing", "/bushing_pressure_mpa"),
    ("pressure times speed", "/bushing_pv_mpa_mps"),
];

/// What its motor makes of it.
const MOTOR: &[Row] = &[
    ("with its load", "/loaded_rpm"),
    ("on a cold night at worst", "/worst_rpm"),
    ("without load", "/free_rpm"),
    ("duty for the gesture", "/duty_share"),
    ("stops at", "/stall_torque_nm"),
    ("times its peak", "/torque_margin"),
    ("current, mean", "/mean_current_a"),
    ("current, peak", "/peak_current_a"),
    ("current at the start", "/start_current_a"),
    ("held: current", "/jam/current_a"),
    ("held: torque", "/jam/torque_nm"),
    ("held: force", "/jam/force_n"),
    ("limb cannot turn it back", "/self_locking"),
    ("holds", "/hold_torque_nm"),
    ("of what stops it", "/hold_share"),
    ("speed under that", "/speed_under_hold_rpm"),
    ("pushes", "/push_n"),
    ("can push", "/can_push_n"),
    ("pulls", "/pull_n"),
    ("can pull", "/can_pull_n"),
    ("out with its limb on", "/speed_out_mm_s"),
    ("in with its limb on", "/speed_in_mm_s"),
];

/// The wind on it.
const WIND: &[Row] = &[
    ("area", "/area_m2"),
    ("stop above", "/max_run_wind_mps"),
    ("bring in above", "/max_stand_wind_mps"),
    ("first to go", "/first_to_go"),
    ("flutters near", "/flutters_mps"),
];

/// The season.
const WEAR: &[Row] = &[
    ("to and fro", "/cycles"),
    ("in motion, h", "/hours"),
    ("of ten minutes at most", "/duty_share"),
];

/// The rows of the terminal: what a limb does and how to drill it.
pub fn says(compiled: &Compiled, (figure, index): (usize, usize)) -> String {
    let limb = LimbText::new(compiled, figure, index, None);
    let sizes = if limb.is_built() { "as built" } else { "drill" };
    let said = [
        ("does", limb.motion()),
        (sizes, limb.drill()),
        ("care", limb.care()),
        ("motor", [limb.motor(), limb.at_work()].concat()),
        ("load", limb.load()),
        ("wind", limb.wind()),
        ("room", limb.room()),
        ("seen to", limb.seen_to()),
        ("assumed", limb.assumed().map(|n| n.what.clone()).collect()),
        ("not checked", limb.not_checked().map(|n| n.what.clone()).collect()),
    ];
    let rows: Vec<String> = said
        .iter()
        .filter(|(_, parts)| !parts.is_empty())
        .map(|(word, parts)| {
            let parts: Vec<String> =
                parts.iter().map(|p| format!("<span>{}</span>", escape(p))).collect();
            row(word, &[parts.join(" ")])
        })
        .collect();
    let name = escape(&limb.name());
    let title = compiled.yard.figures[figure].figure.limbs[index].title.as_deref();
    let title = title.map_or(String::new(), |t| format!(" <small>{}</small>", own(t)));
    format!("<h2 id=\"limb-{name}\">{name}{title}</h2>\n{}", table("says", "", &[], &rows))
}

/// Every number of a limb.
pub fn all_numbers(
    compiled: &Compiled,
    (figure, index): (usize, usize),
    told: &Value,
    system: System,
) -> String {
    let part = |pointer: &str| told.pointer(pointer).unwrap_or(&Value::Null);
    let tables = [
        mechanism(part("/mechanism"), turns(compiled, figure, index), system),
        numbers("Load", part("/loads"), LOAD, system),
        numbers("Motor", part("/loads"), MOTOR, system),
        numbers("Wind", part("/wind"), WIND, system),
        checks(told.pointer("/wind/checks"), "What the wind asks", system),
        checks(told.pointer("/grips"), "Clamp, holes and rod in calm air", system),
        gaps(part("/room/gaps"), system),
        numbers("Wear in the season", part("/wear"), WEAR, system),
        care(part("/care"), system),
        accents(compiled, figure, index),
    ];
    let tables: String =
        tables.iter().filter(|t| !t.is_empty()).map(|t| format!("<div>{t}</div>\n")).collect();
    let name = &compiled.yard.figures[figure].figure.limbs[index].name.value;
    let name = escape(name);
    format!("<h2>Numbers of {name}</h2>\n<div class=\"numbers\">\n{tables}</div>\n")
}

/// Texts longer than this are broken over lines.
const WRAPS: usize = 24;

fn numbers(caption: &str, told: &Value, rows: &[Row], system: System) -> String {
    let one = |(words, pointer): &Row| {
        let text = escape(&field(told, pointer, system)?);
        // A number keeps its unit on its line; a sentence would run into the next column.
        let cell = match text.len() > WRAPS {
            true => format!("<span class=\"w\">{text}</span>"),
            false => text,
        };
        Some(row(words, &[cell]))
    };
    table("tally", caption, &[], &rows.iter().filter_map(one).collect::<Vec<_>>())
}

/// Degrees to add to the ends of its swing, as its maker counts them.
fn turns(compiled: &Compiled, figure: usize, index: usize) -> f64 {
    let fitted = &compiled.figures[figure].limbs[index];
    let numbers = fitted.mechanism.as_ref().map(mechanism_numbers).unwrap_or_default();
    let limb = &compiled.yard.figures[figure].figure.limbs[index];
    numbers.low_deg.map_or(0.0, |low| asked::turns(limb, fitted.riding.is_some(), low.get()))
}

fn mechanism(told: &Value, turns: f64, system: System) -> String {
    let field = |of: &Value, pointer: &str| match pointer {
        "/low_deg" | "/high_deg" => {
            Some(in_unit(of.pointer(pointer)?.as_f64()? + turns, "deg", system))
        }
        _ => field(of, pointer, system),
    };
    let drilled = told.pointer("/as_drilled");
    let one = |(words, pointer): &Row| {
        let made = drilled.map(|d| field(d, pointer).unwrap_or_default());
        let cells: Vec<String> = std::iter::once(field(told, pointer)?).chain(made).collect();
        Some(row(words, &cells.iter().map(|c| escape(c)).collect::<Vec<_>>()))
    };
    let rows: Vec<String> = MECHANISM.iter().filter_map(one).collect();
    let heads: &[&str] = if drilled.is_some() { &["", "exact", "as drilled"] } else { &[] };
    table("tally", "Mechanism", heads, &rows)
}

/// Checks with what is asked and what the part bears.
pub fn checks(all: Option<&Value>, caption: &str, system: System) -> String {
    let one = |c: &Value| {
        let (unit, code) = (c["unit"].as_str()?, c["code"].as_str()?);
        let [asked, bears] = ["asked", "bears"].map(|f| c[f].as_f64());
        // Beyond the strongest gust ever measured the limits are not told apart.
        let strongest = c["max_gust_mps"].as_f64().is_some_and(|v| v >= STRONGEST.0);
        let up_to = match strongest {
            true => "any gust".to_owned(),
            false => field(c, "/max_gust_mps", system).unwrap_or_default(),
        };
        let mark = if c["grade"] == "typical" { " *" } else { "" };
        let when = if c["when"] == "run" { "" } else { ", parked" };
        let cells = [in_unit(asked?, unit, system), in_unit(bears?, unit, system), up_to];
        Some(row(
            &format!("{}{when}{mark} <small>{}</small>", escape(about(code)), escape(code)),
            &cells.map(|c| escape(&c)),
        ))
    };
    let rows: Vec<String> =
        all.and_then(Value::as_array).into_iter().flatten().filter_map(one).collect();
    table("tally", caption, &["check", "asked", "bears", "up to"], &rows)
}

fn gaps(all: &Value, system: System) -> String {
    let one = |g: &Value| {
        let at = ["/at_deg", "/crank_deg", "/at_mm"].iter().find_map(|p| {
            let crank = if *p == "/crank_deg" { "crank at " } else { "at " };
            Some(format!("{crank}{}", field(g, p, system)?))
        });
        let other = match g["other_limb"].as_str() {
            Some(limb) => format!("{} of {limb}", g["other"].as_str()?),
            None => g["other"].as_str()?.to_owned(),
        };
        let cells = [other, field(g, "/least_to_mm", system)?, at.unwrap_or_default()];
        Some(row(&escape(g["part"].as_str()?), &cells.map(|c| escape(&c))))
    };
    let rows: Vec<String> = all.as_array().into_iter().flatten().filter_map(one).collect();
    table("tally", "Room", &["part", "to", "at most", ""], &rows)
}

/// What a mark of the ruler does to the ends of the motion.
fn care(told: &Value, system: System) -> String {
    let inch = system == System::Inch;
    let (mark, length) = if inch { ("1/32 in", 25.4 / 32.0) } else { ("1 mm", 1.0) };
    let one = |d: &Value| {
        let step = if d.get("drawn_deg").is_some() { 1.0 } else { length };
        let effect = |deg: &str, mm: &str| {
            let turned = d[deg].as_f64().map(|v| format!("{} deg", decimal(v * step, 2)));
            let slid = |v: f64| match inch {
                true => format!("{} in", decimal(v * step / 25.4, 3)),
                false => format!("{} mm", decimal(v * step, 2)),
            };
            turned.or_else(|| d[mm].as_f64().map(slid)).unwrap_or_default()
        };
        let cells = [
            effect("low_deg", "low_mm"),
            effect("high_deg", "high_mm"),
            effect("sweep_deg", "stroke_mm"),
        ];
        Some(row(&escape(d["name"].as_str()?), &cells.map(|c| escape(&c))))
    };
    let all = told.pointer("/dimensions").and_then(Value::as_array);
    let rows: Vec<String> = all.into_iter().flatten().filter_map(one).collect();
    let caption = format!("{mark} or 1 deg off moves");
    table("tally", &caption, &["", "lower end", "upper end", "range"], &rows)
}

/// Accents of a limb by show; those that are off by as much on one line.
fn accents(compiled: &Compiled, figure: usize, index: usize) -> String {
    let placed = &compiled.yard.figures[figure];
    let (name, limb) = (&placed.name.value, &placed.figure.limbs[index].name.value);
    let ms = |s: f64| in_unit(s * 1000.0, "ms", System::Metric);
    let mut out = String::new();
    for played in &compiled.performances {
        let mut told: Vec<([String; 2], Vec<String>)> = Vec::new();
        for a in played.accents.iter().filter(|a| a.figure == *name && a.limb == *limb) {
            let (off, at) = ([ms(a.nominal.0), ms(a.worst.0)], decimal(a.wanted.0, 2));
            match told.iter_mut().find(|(known, _)| *known == off) {
                Some((_, times)) => times.push(at),
                None => told.push((off, vec![at])),
            }
        }
        let rows: Vec<String> = told
            .iter()
            .map(|([nominal, worst], times)| {
                let at = format!("{} s", times.join(", "));
                row(nominal, &[escape(worst), at])
            })
            .collect();
        let caption = format!("Accents in {}, off by (+ is late)", escape(&played.show));
        let heads = ["as described", "with its spread", "heard at"];
        out.push_str(&table("tally run", &caption, &heads, &rows));
    }
    out
}
