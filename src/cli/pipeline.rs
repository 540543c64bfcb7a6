//! What the commands ask of the compiler, all in this one file: the rest of the
//! commands sees plain data only.

use std::io;
use std::path::Path;

use super::args::Common;
use super::explain::Stage;
use super::places::{Nowhere, Places};
use super::render::{self, Look};
use super::{codes, json};
use crate::check::{self, Compiled, Compiler};
use crate::finding::{Code, Finding, Severity};
use crate::source::Sources;
use crate::syntax;
use crate::units::System;

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

    /// The texts of the last compile.
    #[must_use]
    pub fn sources(&self) -> Option<&Sources> {
        None
    }

    /// Where the findings of the last compile stand.
    #[must_use]
    pub fn places(&self) -> &dyn Places {
        self.sources().map_or(&Nowhere, |s| s as &dyn Places)
    }

    /// The report for programs.
    #[must_use]
    pub fn report_json(&self, compiled: &Compiled) -> String {
        let places = self.places();
        let all: Vec<_> = compiled.findings.iter().map(|f| json::diagnostic(f, places)).collect();
        json::text(&serde_json::json!({
            "schema": json::SCHEMA, "file": compiled.file,
            "ok": compiled.count(Severity::Error) == 0, "diagnostics": all,
        }))
    }

    /// The report for people, its counts and the next steps last.
    #[must_use]
    pub fn report_text(&self, compiled: &Compiled, _look: Look, _units: Option<System>) -> String {
        render::summary(&compiled.findings, compiled.not_made()) + ".\n"
    }

    /// Writes the output folder, as a whole or not at all; says what was written.
    ///
    /// # Errors
    /// A sentence where it cannot be written.
    pub fn write(&self, _compiled: &Compiled, out: &Path) -> Result<String, String> {
        Err(format!("{} cannot be written.", out.display()))
    }

    /// Brings the output folder up to date file by file; says what changed.
    ///
    /// # Errors
    /// A sentence where it cannot be written.
    pub fn update(&self, compiled: &Compiled, out: &Path) -> Result<String, String> {
        self.write(compiled, out)
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
                let message = format!(
                    "{}.{}: not checked: {}.",
                    placed.name.value, limb.name.value, note.what
                );
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
        Stage { title: "Reading the text", codes: syntax::CODES.to_vec(), of_limbs: false },
        Stage { title: "Checking the yard", codes: the_rest(), of_limbs: true },
        Stage { title: "Running the commands", codes: codes::ALL.to_vec(), of_limbs: false },
    ]
}

/// The codes of the table that no other heading lists.
fn the_rest() -> Vec<&'static Code> {
    check::codes().into_iter().filter(|c| !syntax::CODES.contains(c)).collect()
}
