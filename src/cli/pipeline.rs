//! What the commands ask of the compiler, all in this one file: the rest of the
//! commands sees plain data only.

use std::io;
use std::path::Path;
use std::sync::Arc;

use super::args::Common;
use super::codes;
use super::explain::Stage;
use super::places::{Nowhere, Places};
use crate::check::{self, Compiled, Compiler};
use crate::finding::{Finding, Severity};
use crate::fit::{Fitted, FittedFigure};
use crate::watch::{Fact, LimbFacts};

/// The compiler with what it remembers from one round to the next.
#[derive(Debug, Default)]
pub struct Pipeline {
    compiler: Compiler,
}

impl Pipeline {
    /// Compiles a yard and judges it as the common options ask.
    ///
    /// # Errors
    /// A sentence where the file itself cannot be read.
    pub fn compile(&mut self, file: &Path, common: &Common) -> Result<Compiled, String> {
        let mut compiled = self.compiler.compile(file).map_err(|e| unreadable(file, &e))?;
        if common.complete {
            let missing = checks_not_made(&compiled);
            compiled.findings.extend(missing);
        }
        if common.strict {
            strict(&mut compiled.findings);
        }
        Ok(compiled)
    }

    /// Where the findings of the last compile stand.
    #[must_use]
    pub fn places(&self) -> &dyn Places {
        &Nowhere
    }
}

/// "baker.yard cannot be read: there is no such file."
fn unreadable(file: &Path, error: &io::Error) -> String {
    let why = match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::InvalidData => "it is no text".to_owned(),
        _ => error.to_string(),
    };
    format!("{} cannot be read: {why}.", file.display())
}

/// Warnings become errors.
fn strict(findings: &mut [Finding]) {
    for finding in findings.iter_mut().filter(|f| f.severity == Severity::Warning) {
        finding.severity = Severity::Error;
    }
}

/// A finding for every check that was not made.
fn checks_not_made(compiled: &Compiled) -> Vec<Finding> {
    let mut found = Vec::new();
    for (placed, fitted) in compiled.yard.figures.iter().zip(&compiled.figures) {
        for (limb, fit) in placed.figure.limbs.iter().zip(&fitted.limbs) {
            for note in &fit.not_checked {
                let message =
                    format!("{}.{}: not checked: {}.", placed.name.value, limb.name.value, note.what);
                let finding = Finding::new(&codes::CHECK_NOT_MADE, limb.name.place, message)
                    .about(&placed.name.value, Some(&limb.name.value));
                found.push(match note.settle.as_str() {
                    "" => finding,
                    settle => finding.help(format!("This would settle it: {settle}")),
                });
            }
        }
    }
    found
}

/// Every code, by the stage that raises it.
#[must_use]
pub fn stages() -> Vec<Stage> {
    vec![
        Stage { title: "Checking a yard", codes: check::codes() },
        Stage { title: "Running the commands", codes: codes::ALL.to_vec() },
    ]
}

/// The numbers `watch` tells changes of.
#[must_use]
pub fn facts(figure: &FittedFigure) -> Arc<Vec<LimbFacts>> {
    let limbs = figure.figure.limbs.iter().zip(&figure.limbs);
    let told = limbs.filter_map(|(limb, fit)| {
        let facts = fit.mechanism.as_ref().map(of_mechanism)?;
        Some(LimbFacts { limb: limb.name.value.clone(), facts })
    });
    Arc::new(told.collect())
}

fn of_mechanism(fitted: &Fitted) -> Vec<Fact> {
    let deg = |name, value| Fact { name, value, unit: "deg", digits: 1 };
    let mm = |name, value| Fact { name, value, unit: "mm", digits: 1 };
    match fitted {
        Fitted::FourBar(four) => vec![
            mm("crank", four.drilled.crank.0),
            mm("rod", four.drilled.rod.0),
            mm("lever", four.drilled.lever.0),
            deg("clamp", four.drilled.clamp.0),
        ],
        Fitted::Servo(servo) => vec![
            deg("swing", (servo.high - servo.low).0),
            deg("from", servo.low.0),
            deg("to", servo.high.0),
        ],
        Fitted::Spin(spin) => {
            vec![Fact { name: "turns per motor turn", value: spin.ratio, unit: "", digits: 3 }]
        }
    }
}
