//! The plan: to scale, escaped, and as reviewed by eye.

use super::fixtures::{compiled, empty_yard, figure, limb, placed, rows_of_bears};
use super::snapshot;
use yardwright::emit::plan::outputs;
use yardwright::model::Yard;
use yardwright::units::System;

fn first(yard: Yard) -> String {
    let sheets = outputs(&compiled(yard));
    String::from_utf8(sheets[0].bytes.clone()).unwrap()
}

fn baker() -> Yard {
    let mut yard = empty_yard();
    yard.system = System::Inch;
    yard.name = None;
    yard.title = Some("Baker's yard <& \"sons\"> 🥐".to_owned());
    let arm = limb("arm", (508.0, 1117.6), (863.6, 1320.8), (10.0, 55.0), System::Inch);
    yard.figures.push(placed(
        "baker",
        figure("baker", System::Inch, vec![arm]),
        (9000.0, 5000.0),
        180.0,
    ));
    yard
}

#[test]
fn plans_look_as_they_were_reviewed() {
    snapshot("plan-1.svg", &first(baker()));
    snapshot("plan-10.svg", &first(rows_of_bears(10)));
    snapshot("plan-60.svg", &first(rows_of_bears(60)));
}
