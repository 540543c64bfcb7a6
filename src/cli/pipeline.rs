//! What the commands ask of the compiler, all in this one file: the rest of the
//! commands sees plain data only.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::{Common, Units};
use super::codes;
use super::explain::Stage;
use super::places::Places;
use super::render::{Look, counted};
use crate::check::{Compiled, Compiler, Swap, Work};
use crate::emit::report::Report;
use crate::emit::shop::Kept;
use crate::emit::text::TextOptions;
use crate::emit::{self, folder};
use crate::finding::{Code, Finding, Place, Severity};
use crate::model::Note;
use crate::source::{OsDisk, Overlay, ReadError, Sources};
use crate::{fit, loads, power, resolve, season, space, syntax, timing};

/// The compiler with what it remembers from one round to the next.
#[derive(Debug, Default)]
pub struct Pipeline {
    /// The file as it was typed.
    typed: Option<String>,
    compiler: Compiler,
    /// Shop sheets of the last update.
    sheets: Kept,
    work: Arc<Work>,
}

impl Pipeline {
    /// One that counts into `work`, for whoever waits.
    #[must_use]
    pub fn counting_into(work: &Arc<Work>) -> Self {
        let mut pipeline = Self { work: Arc::clone(work), ..Self::default() };
        pipeline.compiler.count_into(Arc::clone(work));
        pipeline
    }

    /// One that reads these texts in the place of the files.
    #[must_use]
    pub fn with_texts(texts: &[(PathBuf, String)]) -> Self {
        let mut disk = Overlay::over(OsDisk);
        for (path, text) in texts {
            disk.lay(path, text.clone());
        }
        Self { compiler: Compiler::new(disk), ..Self::default() }
    }

    /// Compiles a yard and judges it as the common options ask.
    ///
    /// # Errors
    /// A sentence where the file itself cannot be read, or a motor cannot be tried.
    pub fn compile(&mut self, file: &Path, common: &Common) -> Result<Compiled, String> {
        self.typed = Some(file.display().to_string());
        let swap = |s: &super::args::Swap| Swap { limb: s.limb.clone(), motor: s.motor.clone() };
        self.compiler.try_motors(common.swaps.iter().map(swap).collect());
        let mut compiled = self.compiler.compile(file).map_err(|e| unreadable(file, &e))?;
        if let Some(why) = self.compiler.not_tried().first() {
            return Err(format!("{why} (`--try`)"));
        }
        compiled.findings.extend(empty(self.sources()));
        if common.complete {
            let missing = checks_not_made(&compiled);
            compiled.findings.extend(missing);
            in_order(&mut compiled.findings, self.sources());
        }
        if common.strict {
            strict(&mut compiled.findings);
        }
        Ok(compiled)
    }

    /// The texts of the last compile.
    #[must_use]
    pub fn sources(&self) -> &Sources {
        self.compiler.sources()
    }

    /// Where the findings of the last compile stand.
    #[must_use]
    pub fn places(&self) -> &dyn Places {
        self.compiler.sources()
    }

    /// The report for programs.
    ///
    /// # Errors
    /// A sentence where it cannot be put into words; no compile is known to do that.
    pub fn report_json(&self, compiled: &Compiled) -> Result<String, String> {
        Report::new(compiled, self.sources()).to_json().map_err(|e| unwritten(&e))
    }

    /// The report for people, its counts and the next steps last.
    #[must_use]
    pub fn report_text(&self, compiled: &Compiled, look: Look, units: Option<Units>) -> String {
        let system = units.map(Into::into);
        let options = TextOptions {
            styled: look.colour,
            width: look.width,
            system,
            typed: self.typed.clone(),
            ..TextOptions::default()
        };
        emit::text::report(compiled, &options)
    }

    /// Writes the output folder, as a whole or not at all; says what was written.
    ///
    /// # Errors
    /// A sentence where it cannot be written.
    pub fn write(&self, compiled: &Compiled, out: &Path) -> Result<String, String> {
        let outputs =
            emit::outputs_again(compiled, self.sources(), &mut Kept::default(), &self.work)
                .map_err(|e| unwritten(&e))?;
        folder::write(out, &outputs).map_err(|e| sentence(&e.to_string()))?;
        Ok(format!("{} written to {}.", counted(outputs.len(), "file", "files"), out.display()))
    }

    /// Brings the output folder up to date file by file; says what changed, and whether
    /// anything did.
    ///
    /// # Errors
    /// A sentence where it cannot be written.
    pub fn update(&mut self, compiled: &Compiled, out: &Path) -> Result<(String, bool), String> {
        let Self { compiler, sheets, work, .. } = self;
        let outputs = emit::outputs_again(compiled, compiler.sources(), sheets, work);
        let outputs = outputs.map_err(|e| unwritten(&e))?;
        let changes = folder::update(out, &outputs).map_err(|e| sentence(&e.to_string()))?;
        let mut said = match changes.written.len() {
            0 => format!("Nothing new in {}", out.display()),
            n => format!("{} renewed in {}", counted(n, "file", "files"), out.display()),
        };
        if !changes.removed.is_empty() {
            let gone = counted(changes.removed.len(), "file", "files");
            said.push_str(&format!(", {gone} removed"));
        }
        Ok((said + ".", changes != folder::Changes::default()))
    }
}

/// A sentence with its capital and its full stop.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    format!("{first}{}.", letters.as_str().trim_end_matches('.'))
}

fn unwritten(error: &serde_json::Error) -> String {
    format!("The report cannot be put into words: {error}.")
}

/// "baker.yard cannot be read: there is no such file."
fn unreadable(file: &Path, error: &ReadError) -> String {
    let why = match error {
        ReadError::Missing => "there is no such file".to_owned(),
        ReadError::Outside => "it lies outside the project folder".to_owned(),
        ReadError::NotText(at) => {
            format!("it is no text (byte {at} belongs to no letter of UTF-8)")
        }
        ReadError::TooLarge(length, limit) => {
            format!("it has {length} bytes, and at most {limit} are read")
        }
        ReadError::Refused(io::ErrorKind::PermissionDenied) => "it may not be read".to_owned(),
        ReadError::Refused(io::ErrorKind::IsADirectory) => "it is a folder".to_owned(),
        ReadError::Refused(kind) => kind.to_string(),
    };
    format!("{} cannot be read: {why}.", file.display())
}

/// Warnings become errors.
fn strict(findings: &mut [Finding]) {
    for finding in findings.iter_mut().filter(|f| f.severity == Severity::Warning) {
        finding.severity = Severity::Error;
    }
}

/// What is wrong with a file that has nothing in it but comments.
fn empty(sources: &Sources) -> Option<Finding> {
    let file = sources.files().first()?;
    let blank = |line: &str| line.trim().is_empty() || line.trim_start().starts_with('#');
    file.text.lines().all(blank).then(|| {
        let message = format!("{} has nothing in it, so there is nothing to check.", file.name);
        Finding::new(&codes::YARD_EMPTY, None, message)
            .help("`yardwright new DIR` makes a first yard to start from.")
    })
}

/// A finding for every check that was not made, of the yard and of its limbs; what
/// shows in several copies of a limb is one finding.
fn checks_not_made(compiled: &Compiled) -> Vec<Finding> {
    let mut found: Vec<Finding> =
        compiled.yard.not_checked.iter().map(|note| not_made(note, None)).collect();
    for (supply, load) in compiled.yard.supplies.iter().zip(&compiled.power.supplies) {
        found.extend(load.not_counted.iter().map(|note| {
            let what = format!("what {} gives: {}", supply.name.value, note.what);
            not_made(&Note::new(what, note.settle.as_str()), supply.name.place)
        }));
    }
    for air in &compiled.power.air {
        found.extend(air.not_checked.iter().map(|note| {
            let what = format!("the air of {}: {}", air.tank, note.what);
            not_made(&Note::new(what, note.settle.as_str()), None)
        }));
    }
    let mut first: BTreeMap<(Place, &str), usize> = BTreeMap::new();
    for (at, index) in compiled.limbs() {
        let placed = &compiled.yard.figures[at];
        let figure = &placed.name.value;
        let limb = &placed.figure.limbs[index];
        let (place, name) = (limb.name.place, &limb.name.value);
        for note in compiled.not_checked(at, index) {
            match first.entry((place, &note.what)) {
                Entry::Occupied(at) => found[*at.get()].also.push(format!("{figure}.{name}")),
                Entry::Vacant(free) => {
                    free.insert(found.len());
                    found.push(not_made(note, place).about(figure, Some(name)));
                }
            }
        }
    }
    found
}

/// One check that was not made.
fn not_made(note: &Note, place: impl Into<Option<Place>>) -> Finding {
    let message = format!("Not checked: {}.", note.what);
    let finding = Finding::new(&codes::CHECK_NOT_MADE, place, message);
    match note.settle.as_str() {
        "" => finding,
        settle => finding.help(format!("This would settle it: {settle}")),
    }
}

/// By file, place, code and words, as the compiler sorts its own.
fn in_order(findings: &mut [Finding], sources: &Sources) {
    findings.sort_by_cached_key(|f| {
        let at = f.place.and_then(|p| sources.stretch(p));
        let at = at.map(|(file, lo, hi)| (sources.file(file).name.clone(), lo, hi));
        (at, f.code.word, f.message.clone())
    });
}

/// Which of a limb's numbers a rule is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Numbers {
    /// How its mechanism moves it.
    Mechanism,
    /// What its motor makes of it: these sums.
    Motor(&'static [Sums]),
    /// What its supply is asked for.
    Supply,
    /// What its cable costs.
    Cable,
    /// The fuse before its cable.
    Fuse,
    /// What a night takes from its supply.
    Night,
    /// What a night leaves in its tank.
    Tank,
    /// How much it moves.
    Wear,
    /// How it rubs in its bushing.
    Bushing,
    /// What its clamp, holes, sheet and stand bear.
    Limit,
    /// Only what the finding itself rests on.
    Found,
}

/// The sums of a motor, in the order in which they are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sums {
    /// What its hardest place is made of.
    Hardest,
    /// The cable to it.
    Cable,
    /// Its constants from its sheet.
    Sheet,
    /// What it does at the end of that cable without a limb on it.
    There,
    /// What it does with its limbs on it.
    Loaded,
    /// What it does when it is held.
    Held,
}

/// Which of a limb's numbers a code's rule is about.
#[must_use]
pub fn numbers_of(word: &str) -> Numbers {
    use Sums::{Cable, Hardest, Held, Loaded, Sheet, There};
    let holds = |codes: &[&Code]| codes.iter().any(|c| c.word == word);
    match word {
        "supply-overloaded" => Numbers::Supply,
        "motor-stalls" | "wet-heavy" => Numbers::Motor(&[Hardest, Cable, Sheet, There, Loaded]),
        "slow-under-load" => Numbers::Motor(&[Hardest, Cable, Sheet, There, Loaded]),
        "servo-holds" | "ram-weak" | "cylinder-weak" | "ram-pushed-back" => {
            Numbers::Motor(&[Hardest, Loaded])
        }
        "limb-drops" => Numbers::Motor(&[Hardest, Sheet]),
        "data-implausible" => Numbers::Motor(&[Sheet]),
        "jam" => Numbers::Motor(&[Sheet, Held]),
        "cable-drop" => Numbers::Cable,
        "cable-unprotected" | "fuse-blows" => Numbers::Fuse,
        "battery-flat" => Numbers::Night,
        "tank-empties" => Numbers::Tank,
        "motor-runs-hot" => Numbers::Wear,
        "bushing-wears" => Numbers::Bushing,
        _ if holds(fit::codes::CODES) => Numbers::Mechanism,
        _ if holds(&loads::codes()) => Numbers::Limit,
        _ => Numbers::Found,
    }
}

/// Whether a rule is about limbs and figures, not about the text or the command.
#[must_use]
pub fn of_limbs(word: &str) -> bool {
    let about = [fit::codes::CODES, &loads::codes(), space::CODES, timing::CODES, power::CODES];
    about.iter().any(|codes| codes.iter().any(|c| c.word == word))
}

/// Every code, by the stage that raises it.
#[must_use]
pub fn stages() -> Vec<Stage> {
    let stage = |title, codes: &[&'static Code]| {
        let mut codes = codes.to_vec();
        codes.sort_by_key(|c| c.word);
        Stage { title, codes }
    };
    vec![
        stage("Reading the text", syntax::CODES),
        stage("Names, parts and figures", &[resolve::CODES, resolve::CODES_DRAWING].concat()),
        stage("What a limb can do", fit::codes::CODES),
        stage("What it weighs, bears and stands", &loads::codes()),
        stage("What touches, shows or is in the way", space::CODES),
        stage("Songs, shows and seasons", resolve::codes_show::CODES),
        stage("What motors make of the cues", timing::CODES),
        stage("What it takes from supplies, cables and batteries", power::CODES),
        stage("The season's calendar", season::CODES),
        stage("Hints that were dealt with", crate::check::seen_to::CODES),
        stage("Running the commands", &codes::ALL),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_stands_under_one_heading() {
        let listed: Vec<&str> = stages().iter().flat_map(|s| &s.codes).map(|c| c.word).collect();
        let mut once = listed.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(listed.len(), once.len(), "a code is listed twice");
        for code in crate::check::codes() {
            assert!(once.contains(&code.word), "{} is listed nowhere", code.word);
        }
    }
}
