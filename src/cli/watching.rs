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
use super::terminal::waiting;
use super::views;
use crate::check::{Compiled, Work};
use crate::finding::Severity;
use crate::fit::FittedFigure;
use crate::watch::{self, Event, LimbFacts, Numbers, Round, Server, Workshop};

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
    work: Arc<Work>,
    /// Whether somebody at a terminal waits for the rounds.
    attended: bool,
}

impl Bench {
    /// Nothing is compiled yet.
    #[must_use]
    pub fn new(file: &Path, out: Option<&Path>, common: &Common, look: Look) -> Self {
        let work = Arc::default();
        Self {
            pipeline: Pipeline::counting_into(&work),
            file: file.to_path_buf(),
            out: out_folder(file, out),
            common: common.clone(),
            look,
            known: BTreeMap::new(),
            work,
            attended: false,
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

impl Bench {
    /// The errors alone, for the pages: without colours.
    fn errors(&self, compiled: &Compiled) -> String {
        let errors = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
        let errors: Vec<_> = errors.cloned().collect();
        render::findings(&errors, self.pipeline.places(), Look::PLAIN)
    }
}

impl Workshop for Bench {
    fn round(&mut self) -> Result<Round, String> {
        let begin = Instant::now();
        let _waiting = self.attended.then(|| waiting(&self.file, &self.work));
        let compiled = self.pipeline.compile(&self.file, &self.common)?;
        let errors = compiled.count(Severity::Error) > 0;
        let (output, renewed) = match errors {
            true => ("The output stays as it was.".to_owned(), false),
            // Nowhere to write to is no reason to stop watching.
            false => self
                .pipeline
                .update(&compiled, &self.out)
                .unwrap_or_else(|trouble| (trouble, false)),
        };
        Ok(Round {
            findings: render::findings(&compiled.findings, self.pipeline.places(), self.look),
            summary: render::summary(&compiled.findings, compiled.not_made()),
            numbers: self.numbers(&compiled),
            errors,
            broken: errors.then(|| self.errors(&compiled)),
            output,
            renewed,
            took: begin.elapsed(),
            read: compiled.read,
        })
    }
}

/// Whether and where the pages are served.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Serve {
    /// Not at all.
    No,
    /// On this port, or on any that is free.
    On(Option<u16>),
}

/// Watches until Ctrl-C.
///
/// # Errors
/// A sentence where the yard cannot be read at the start, its folder cannot be watched,
/// or the port asked for is not free.
pub fn until_stopped(
    file: &Path,
    out: Option<&Path>,
    serve: Serve,
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
    bench.attended = true;
    let mut say = |text: &str| {
        let mut out = std::io::stdout().lock();
        out.write_all(text.as_bytes())?;
        out.flush()
    };
    let server = match serve {
        Serve::No => None,
        Serve::On(port) => match Server::open(file, &bench.out, port) {
            Ok(server) => Some(server),
            // A port that was asked for is wanted; else the watch is worth having alone.
            Err(trouble) if port.is_some() => return Err(trouble),
            Err(trouble) => {
                let _ = say(&format!("{trouble}\n"));
                None
            }
        },
    };
    let Some(server) = server else {
        return watch::run(file, &mut bench, (sender, events), &mut say);
    };
    // Below the first round, where it is looked for.
    let mut address =
        Some(format!("Open {} in a browser; Ctrl-C ends the watch.\n", server.address()));
    let mut say = |text: &str| {
        say(text)?;
        address.take().map_or(Ok(()), |a| say(&a))
    };
    watch::run(file, &mut server.told(&mut bench), (sender, events), &mut say)
}
