//! Every file of `examples/` and `shows/` compiles without an error, and each
//! example's mechanism is computed; each `…-mistake.yard` raises its one error.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use yardwright::check::Compiler;
use yardwright::finding::Severity;
use yardwright::mechanism::Kind;
use yardwright::source::OsDisk;

use crate::support::Yard;

#[path = "../examples/one_linkage.rs"]
#[allow(dead_code, reason = "the example's `main` is not called here")]
mod one_linkage;

/// Which error each mistake of `examples/` shows.
const MISTAKES: &[(&str, &str)] = &[
    ("cam-mistake", "cam-undercut"),
    ("cylinder-mistake", "stops-between"),
    ("cord-mistake", "cord-slack"),
    ("drawing-mistake", "drawing-open"),
    ("forearm-mistake", "rod-runs-out"),
    ("four-bar-behind-mistake", "crank-blocked"),
    ("four-bar-front-mistake", "nothing-fits"),
    ("ram-mistake", "dead-centre"),
    ("riding-rod-mistake", "servo-rod-locks"),
    ("riding-servo-mistake", "carrier-moves"),
    ("scotch-yoke-mistake", "pushed-sideways"),
    ("servo-direct-mistake", "servo-out-of-travel"),
    ("servo-rod-mistake", "servo-rod-locks"),
    ("shared-motor-mistake", "cues-disagree"),
    ("slider-crank-mistake", "pushed-sideways"),
    ("slotted-arm-mistake", "slot-too-short"),
    ("spin-belt-mistake", "gesture-does-not-suit"),
    ("spin-chain-mistake", "length-uneven"),
    ("spin-gears-mistake", "too-fast-for-motor"),
];

fn stem(path: &Path) -> &str {
    path.file_stem().unwrap().to_str().unwrap()
}

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    let mut files: Vec<PathBuf> =
        entries.filter(|p| p.extension().is_some_and(|e| e == "yard")).collect();
    files.sort();
    assert!(!files.is_empty());
    files
}

#[test]
fn they_compile_without_an_error() {
    for path in files("examples").into_iter().chain(files("shows")) {
        if stem(&path).ends_with("-mistake") {
            continue;
        }
        let compiled = Compiler::new(OsDisk).compile(&path).unwrap();
        let errors: Vec<&str> = compiled
            .findings
            .iter()
            .filter(|f| f.severity == Severity::Error)
            .map(|f| f.message.as_str())
            .collect();
        assert!(errors.is_empty(), "{}: {errors:?}", path.display());
        for limb in compiled.figures.iter().flat_map(|f| &f.limbs) {
            assert!(limb.mechanism.is_some(), "{}", path.display());
        }
    }
}

#[test]
fn each_mistake_raises_its_one_error() {
    let mut found = BTreeMap::new();
    for path in files("examples") {
        if !stem(&path).ends_with("-mistake") {
            continue;
        }
        let compiled = Compiler::new(OsDisk).compile(&path).unwrap();
        let errors = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
        let errors: Vec<&str> = errors.map(|f| f.code.word).collect();
        found.insert(stem(&path).to_owned(), errors);
    }
    let expected: BTreeMap<String, Vec<&str>> =
        MISTAKES.iter().map(|(name, code)| ((*name).to_owned(), vec![*code])).collect();
    assert_eq!(found, expected);
}

/// The drive table of the language has no row without an example that compiles and one
/// that shows a mistake.
#[test]
fn every_kind_of_mechanism_has_an_example_and_a_mistake() {
    for mistakes in [false, true] {
        let mut kinds = std::collections::BTreeSet::new();
        for path in files("examples") {
            if stem(&path).ends_with("-mistake") != mistakes {
                continue;
            }
            let compiled = Compiler::new(OsDisk).compile(&path).unwrap();
            let limbs = compiled.figures.iter().flat_map(|f| &f.figure.limbs);
            kinds.extend(limbs.filter_map(|l| Some(l.drive.as_ref()?.mechanism.kind())));
        }
        let missing: Vec<_> = Kind::ALL.iter().filter(|k| !kinds.contains(k)).collect();
        assert!(missing.is_empty(), "mistakes {mistakes}: {missing:?}");
    }
}

/// The arm stands at its ends where crank and rod lie in one line; the angle at
/// the pivot of the triangle ground, lever, rod ± crank is the law of cosines.
#[test]
fn the_one_linkage_swings_as_its_triangles_say() {
    let (ground, crank, rod, lever) = (300.0f64, 30.0f64, 288.0f64, 90.0f64);
    let end = |far: f64| {
        let cos = (ground * ground + lever * lever - far * far) / (2.0 * ground * lever);
        270.0 - libm::acos(cos).to_degrees()
    };
    let expected = format!("the arm swings {:.1} to {:.1} deg", end(rod + crank), end(rod - crank));
    assert_eq!(one_linkage::swing().unwrap(), expected);
}

/// Quick return of a crank in a slot (J. J. Uicker, G. R. Pennock, J. E. Shigley, Theory of
/// Machines and Mechanisms, on quick-return mechanisms): with a crank of 40 mm 100 mm from
/// the pivot the swing is 2 asin(0.4) = 47.16 deg, and the ways take (180 + 47.16)/(180 - 47.16).
#[test]
fn a_quick_return_is_told() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/slotted-arm.yard");
    let yard = Yard::new().file("a.yard", std::fs::read(path).unwrap());
    let swing = 2.0 * libm::asin(0.4_f64).to_degrees();
    let ratio = (180.0 + swing) / (180.0 - swing);
    yard.run("check a.yard").exits(0).says(&format!("one way takes {ratio:.1} times as long"));
}

/// The first command of the README shows a season in which nothing is left to mend.
#[test]
fn the_demo_season_has_no_findings() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let compiled = Compiler::new(OsDisk).compile(&path).unwrap();
    let told: Vec<&str> = compiled.findings.iter().map(|f| f.message.as_str()).collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}
