//! What may be kept from one compile to the next: a figure while its text and the
//! answers it got are the same, a copy while its pattern is.

use std::sync::Arc;

use yardwright::resolve::{Copies, Resolved, Scope, yard_again};

use super::gather;

const BEAR: &str = "figure bear { board plywood-9 600 mm by 1200 mm
  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  drive four-bar { motor mine at (300, 500) mm } } }
";

fn scope(text: &str) -> Scope {
    let (gathered, _) = gather(&[("main.yard", text)]);
    Scope::new(gathered.items, &gathered.library, gathered.uses_library).0
}

#[test]
fn a_figure_holds_while_the_answers_it_got_are_the_same() {
    let with = |more: &str| scope(&format!("use parts\n{BEAR}{more}"));
    let motor = "motor mine { kind brushed  free 40 rpm }\n";
    let first = with(motor);
    let bear = Resolved::new(first.figures()[0], &first);
    assert!(bear.findings.is_empty());
    assert!(first.still_answers(&bear.asked));
    // Something nobody asked for: the answers stay (items keep their ids, since the
    // new one comes last).
    assert!(with(&format!("{motor}sheet card {{ thickness 2 mm }}\n")).still_answers(&bear.asked));
    assert!(!with("").still_answers(&bear.asked));
    // A song makes one note less.
    assert!(!with(&format!("{motor}song jig \"jig.wav\"\n")).still_answers(&bear.asked));
}

#[test]
fn a_name_that_was_missing_is_asked_for_again() {
    let without = scope(&format!("use parts\n{BEAR}"));
    let bear = Resolved::new(without.figures()[0], &without);
    assert_eq!(bear.findings.len(), 1);
    assert!(without.still_answers(&bear.asked));
    let with = scope(&format!("use parts\n{BEAR}motor mine {{ kind brushed }}\n"));
    assert!(!with.still_answers(&bear.asked));
    // A nearer name changes the help that was given.
    let near = scope(&format!("use parts\n{BEAR}motor mines {{ kind brushed }}\n"));
    assert!(!near.still_answers(&bear.asked));
}

#[test]
fn a_copy_is_the_very_same_while_its_pattern_is() {
    let scope = scope(&format!(
        "use parts\nmotor mine {{ kind brushed }}\n{BEAR}set cub like bear scale 60 %\n"
    ));
    let resolve = || Resolved::new(scope.figures()[0], &scope).figure.expect("a figure");
    let bear = resolve();
    let mut copies = Copies::default();
    let mut cub = |bear: &Arc<_>| {
        let (yard, found) = yard_again(&scope, std::slice::from_ref(bear), &mut copies);
        assert!(found.is_empty());
        yard.figures[0].figure.clone()
    };
    let first = cub(&bear);
    assert!(Arc::ptr_eq(&first, &cub(&bear)));
    assert!(!Arc::ptr_eq(&first, &cub(&resolve())));
}
