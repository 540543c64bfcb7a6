//! `watch` as a command: compiles, writes, and talks to the terminal.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

use super::args::Common;
use super::commands::out_folder;
use super::pipeline::Pipeline;
use super::render::{self, Look};
use super::views;
use crate::check::Compiled;
use crate::finding::Severity;
use crate::fit::FittedFigure;
use crate::watch::{self, Event, LimbFacts, Numbers, Round, Workshop};

/// The facts of a figure beside the figure they were taken from.
type Known = (Arc<FittedFigure>, Arc<Vec<LimbFacts>>);

/// Compiles one yard again and again.
pub struct Bench {
    pipeline: Pipeline,
    file: PathBuf,
    out: PathBuf,
    common: Common,
    look: Look,
    known: BTreeMap<String, Known>,
}

impl Bench {
    /// Nothing is compiled yet.
    #[must_use]
    pub fn new(file: &Path, out: Option<&Path>, common: &Common, look: Look) -> Self {
        Self {
            pipeline: Pipeline::default(),
            file: file.to_path_buf(),
            out: out_folder(file, out),
            common: common.clone(),
            look,
            known: BTreeMap::new(),
        }
    }

    /// The numbers of every figure; a figure that was not computed again keeps
    /// those it has.
    fn numbers(&mut self, compiled: &Compiled) -> Numbers {
        let mut now = BTreeMap::new();
        for (placed, fitted) in compiled.yard.figures.iter().zip(&compiled.figures) {
            let name = &placed.name.value;
            let facts = match self.known.remove(name) {
                Some((before, facts)) if Arc::ptr_eq(&before, fitted) => facts,
                _ => views::facts(fitted, self.common.units.map(Into::into)),
            };
            now.insert(name.clone(), (fitted.clone(), facts));
        }
        self.known = now;
        self.known.iter().map(|(name, (_, facts))| (name.clone(), facts.clone())).collect()
    }
}

impl Workshop for Bench {
    fn round(&mut self) -> Result<Round, String> {
        let begin = Instant::now();
        let compiled = self.pipeline.compile(&self.file, &self.common)?;
        let errors = compiled.count(Severity::Error) > 0;
        let output = match errors {
            true => "The output stays as it was.".to_owned(),
            // Nowhere to write to is no reason to stop watching.
            false => self.pipeline.update(&compiled, &self.out).unwrap_or_else(|trouble| trouble),
        };
        Ok(Round {
            findings: render::findings(&compiled.findings, self.pipeline.places(), self.look),
            summary: render::summary(&compiled.findings, compiled.not_made()),
            numbers: self.numbers(&compiled),
            errors,
            output,
            took: begin.elapsed(),
            read: compiled.read,
        })
    }
}

/// Watches until Ctrl-C.
///
/// # Errors
/// A sentence where the yard cannot be read at the start or its folder cannot be
/// watched.
pub fn until_stopped(
    file: &Path,
    out: Option<&Path>,
    common: &Common,
    look: Look,
) -> Result<(), String> {
    let (sender, events) = std::sync::mpsc::channel();
    let stop = sender.clone();
    ctrlc::set_handler(move || {
        // Nobody listens any more only when the watch has ended by itself.
        let _ = stop.send(Event::Stop);
    })
    .map_err(|e| format!("This system does not tell of Ctrl-C: {e}."))?;
    let mut bench = Bench::new(file, out, common, look);
    let mut say = |text: &str| {
        let mut out = std::io::stdout().lock();
        out.write_all(text.as_bytes())?;
        out.flush()
    };
    watch::run(file, &mut bench, (sender, events), &mut say)
}
