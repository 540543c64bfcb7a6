//! Numbers of the report as people read them: the last part of a field's name is its
//! unit, and the household of the figure decides what it is printed in.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde_json::Value;

use crate::emit::words::{decimal, length};
use crate::units::{Kg, MetrePerSec, Mm, Newton, NewtonMetre, System, print};

/// Pounds times square inches in 1 kg.m2 (NIST SP 811, appendix B).
const POUND_INCH2: f64 = 1.0 / (0.453_592_37 * 0.025_4 * 0.025_4);

/// A value in its unit, with as many places as a person can use.
pub fn in_unit(value: f64, unit: &str, system: System) -> String {
    let small = |limit: f64, few: usize, many: usize| if value.abs() < limit { many } else { few };
    match (unit, system == System::Inch) {
        ("mm", _) => length(Mm(value), system),
        ("N.m", _) => print::torque(NewtonMetre(value), system),
        ("N", _) => print::force(Newton(value), system),
        ("MPa", true) => print::pressure(value, system),
        ("mm/s", true) => print::pace(value, system),
        ("m2", true) => print::area(value, system),
        // A moment of inertia in the pounds and inches its limb is built in.
        ("kg.m2", true) => format!("{} lb.in2", decimal(value * POUND_INCH2, places(value))),
        ("MPa.m/s", _) => print::rubbing(value, system),
        ("kg", _) => print::mass(Kg(value), system),
        ("deg", _) => format!("{} deg", decimal(value, 1)),
        ("rpm", _) => format!("{} rpm", decimal(value, 1)),
        ("A", _) => format!("{} A", decimal(value, small(1.0, 1, 2))),
        ("m/s", _) => print::gust(MetrePerSec(value), system),
        ("share", _) => format!("{} %", decimal(value * 100.0, small(0.1, 0, 1))),
        ("ms", _) => format!("{} ms", decimal(value, 0)),
        ("" | "1", _) => decimal(value, small(10.0, 1, 3)),
        (other, _) => format!("{} {other}", decimal(value, places(value))),
    }
}

/// Places by size: nobody needs the third digit of a stress.
fn places(value: f64) -> usize {
    match value.abs() {
        v if v >= 20.0 => 0,
        v if v >= 1.0 => 1,
        v if v >= 0.01 => 3,
        _ => 6,
    }
}

/// The unit that the last part of a field's name says.
fn unit_of(field: &str) -> &'static str {
    const UNITS: [(&str, &str); 16] = [
        ("_mm", "mm"),
        ("_nm", "N.m"),
        ("_n", "N"),
        ("_kg", "kg"),
        ("_deg", "deg"),
        ("_rpm", "rpm"),
        ("_a", "A"),
        ("_mpa_mps", "MPa.m/s"),
        ("_mpa", "MPa"),
        ("_mps", "m/s"),
        ("_mm_s", "mm/s"),
        ("_kgm2", "kg.m2"),
        ("_m2", "m2"),
        ("_ms", "ms"),
        ("_s", "s"),
        ("share", "share"),
    ];
    UNITS.iter().find(|(end, _)| field.ends_with(end)).map_or("", |(_, unit)| unit)
}

/// What each check is about, by its code.
static TITLES: LazyLock<BTreeMap<&str, &str>> =
    LazyLock::new(|| crate::check::codes().into_iter().map(|c| (c.word, c.title)).collect());

/// What a check is about, in words; its code where nobody has words for it.
pub fn about(code: &str) -> &str {
    TITLES.get(code).copied().unwrap_or(code)
}

/// A field of a part of the report, by its pointer; `None` where it is absent.
pub fn field(of: &Value, pointer: &str, system: System) -> Option<String> {
    let value = of.pointer(pointer)?;
    // A number of a pair has the pair's unit.
    let mut names = pointer.rsplit('/').skip_while(|n| n.chars().all(|c| c.is_ascii_digit()));
    let name = names.next().unwrap_or_default();
    Some(match value {
        // The lengths of a mechanism stand under one name with the unit.
        Value::Number(n) if pointer.contains("lengths_mm/") => in_unit(n.as_f64()?, "mm", system),
        Value::Number(n) => in_unit(n.as_f64()?, unit_of(name), system),
        Value::String(code) if name == "first_to_go" => about(code).to_owned(),
        Value::String(text) => text.clone(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_says_its_unit_itself() {
        let of = serde_json::json!({
            "peak_motor_torque_nm": 0.03851909, "max_run_wind_mps": 10.67, "duty_share": 0.69,
            "lengths_mm": { "crank": 38.1 }, "bushing_pv_mpa_mps": 4.63e-5, "torque_margin": 287.6,
        });
        let read = |p: &str, s| field(&of, p, s).unwrap();
        assert_eq!(read("/peak_motor_torque_nm", System::Metric), "0.039 N.m");
        assert_eq!(read("/peak_motor_torque_nm", System::Inch), "0.34 lbf.in");
        assert_eq!(read("/max_run_wind_mps", System::Metric), "10.6 m/s");
        assert_eq!(read("/duty_share", System::Metric), "69 %");
        assert_eq!(read("/lengths_mm/crank", System::Inch), "1 1/2 in");
        assert_eq!(read("/bushing_pv_mpa_mps", System::Metric), "0.000046 MPa.m/s");
        assert_eq!(read("/torque_margin", System::Metric), "287.6");
        assert_eq!(field(&of, "/absent", System::Metric), None);
    }
}
