//! What may be kept from one compile to the next: a figure while its text and the
//! answers it got are the same, a copy while its pattern is.

use std::path::Path;
use std::sync::Arc;

use yardwright::resolve::{Copies, ROOT, Resolved, Scope, gather, yard_again};
use yardwright::source::{FileItem, Sources};
use yardwright::syntax;

use crate::support::disk::Shared;

const BEAR: &str = "figure bear { board plywood-9 600 mm by 1200 mm
  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  drive four-bar { motor mine at (300, 500) mm } } }
";

/// A project that is saved and read again; items that did not change keep their ids.
struct Project {
    disk: Shared,
    sources: Sources,
}

impl Project {
    fn new() -> Self {
        let disk = Shared::default();
        Self { sources: Sources::new(disk.clone(), syntax::top_words(&ROOT)), disk }
    }

    fn scope(&mut self, text: &str) -> Scope {
        self.disk.put("/p/main.yard", text);
        let entry = self.sources.open(Path::new("/p/main.yard")).unwrap();
        let mut read = |items: &[FileItem], _: bool| -> Vec<Arc<syntax::Reading>> {
            let one = |i: &FileItem| syntax::read(i.id, i.text.clone(), &ROOT, &mut Vec::new());
            items.iter().map(one).map(Arc::new).collect()
        };
        let gathered = gather(&mut self.sources, entry, &mut read).0;
        Scope::new(gathered.items, &gathered.library, gathered.uses_library).0
    }
}

#[test]
fn a_figure_holds_while_the_answers_it_got_are_the_same() {
    let mut project = Project::new();
    let mut with = |more: &str| project.scope(&format!("use parts\n{BEAR}{more}"));
    let motor = "motor mine { kind brushed  free 40 rpm }\n";
    let first = with(motor);
    let bear = Resolved::new(first.figures()[0], &first);
    assert!(bear.findings.is_empty());
    assert!(first.still_answers(&bear.asked));
    // Something nobody asked for, and lines that move: the answers stay.
    let more = format!("\n\nsheet card {{ thickness 2 mm }}\n{motor}");
    assert!(with(&more).still_answers(&bear.asked));
    assert!(!with("").still_answers(&bear.asked));
    // A song makes one note less.
    assert!(!with(&format!("{motor}song jig \"jig.wav\"\n")).still_answers(&bear.asked));
}

#[test]
fn a_name_that_was_missing_is_asked_for_again() {
    let mut project = Project::new();
    let without = project.scope(&format!("use parts\n{BEAR}"));
    let bear = Resolved::new(without.figures()[0], &without);
    assert_eq!(bear.findings.len(), 1);
    assert!(without.still_answers(&bear.asked));
    let with = project.scope(&format!("use parts\n{BEAR}motor mine {{ kind brushed }}\n"));
    assert!(!with.still_answers(&bear.asked));
    // A nearer name changes the help that was given.
    let near = project.scope(&format!("use parts\n{BEAR}motor mines {{ kind brushed }}\n"));
    assert!(!near.still_answers(&bear.asked));
}

#[test]
fn a_copy_is_the_very_same_while_its_pattern_is() {
    let scope = Project::new().scope(&format!(
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
