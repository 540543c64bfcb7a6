//! The one pass over every figure: from a file to everything known about it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::finding::{Code, Finding, Severity};
use crate::fit::FittedFigure;
use crate::model::Yard;
use crate::timing::Performance;

/// Everything one compile found out.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// The file asked for, as people write it.
    pub file: String,
    /// The resolved yard.
    pub yard: Arc<Yard>,
    /// Its figures with their mechanisms, in the order of `yard.figures`.
    pub figures: Vec<Arc<FittedFigure>>,
    /// Its shows played out, in the order of `yard.shows`.
    pub performances: Vec<Arc<Performance>>,
    /// All findings, sorted by file, place and code.
    pub findings: Vec<Finding>,
    /// Every file that was read or asked for: what `watch` watches.
    pub read: Vec<PathBuf>,
}

impl Compiled {
    /// How many findings of this severity there are.
    #[must_use]
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// Checks that were not made, over all limbs.
    #[must_use]
    pub fn not_made(&self) -> usize {
        self.figures.iter().flat_map(|f| &f.limbs).map(|l| l.not_checked.len()).sum()
    }
}

/// Compiles files; keeps what it computed for the next time.
#[derive(Debug, Default)]
pub struct Compiler {}

impl Compiler {
    /// Compiles a file and all it uses.
    ///
    /// # Errors
    /// Where the file itself cannot be read; everything else is a finding.
    pub fn compile(&mut self, _entry: &Path) -> std::io::Result<Compiled> {
        Err(std::io::ErrorKind::Unsupported.into())
    }
}

/// Every code of every stage, sorted by word.
#[must_use]
pub fn codes() -> Vec<&'static Code> {
    Vec::new()
}
