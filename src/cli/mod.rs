//! The commands: arguments in, texts and an exit code out.
//!
//! Every command but `watch` is a plain function from arguments to an
//! [`Outcome`]; only [`main`] touches the terminal.

mod args;
mod codes;
mod commands;
mod edits;
mod explain;
mod first;
mod holes;
mod json;
mod outcome;
mod pipeline;
mod places;
mod progress;
mod render;
mod sizes;
mod solve;
mod table;
mod terminal;
mod views;
mod watching;
mod worked;
mod worked_code;
mod worked_limits;
mod worked_motor;
mod worked_power;

use std::ffi::OsString;
use std::sync::Arc;

use clap::error::ErrorKind;
use clap::{CommandFactory as _, Parser as _};

pub use args::{Command, Common, Format, LimbName, Line, Swap, Units};
pub use outcome::{Exit, Outcome};
pub use pipeline::Pipeline;
pub use places::{Places, Spot};
pub use render::{Look, findings, summary};
pub use terminal::main;

use crate::finding::Code;

/// Runs a command line, the program's name first, to its end. `watch` has no end of
/// its own: here it makes one round.
#[must_use]
pub fn run(args: &[OsString], look: Look) -> Outcome {
    match parse(args) {
        Ok(line) => commands::perform(&line, look, &Arc::default()),
        Err(outcome) => outcome,
    }
}

/// Reads a command line.
///
/// # Errors
/// The outcome that says what is wrong with it, or the help that was asked for.
pub fn parse(args: &[OsString]) -> Result<Line, Outcome> {
    let line = match Line::try_parse_from(args) {
        Ok(line) => line,
        Err(error) => return Err(not_run(&error, asks_for_json(args))),
    };
    let checks = matches!(line.command, Command::Check { .. });
    match line.common.swaps.first() {
        Some(swap) if !checks => Err(refuse(
            &line,
            &codes::USAGE,
            &format!(
                "`--try` goes with `check` only: `yardwright check FILE --try {}.motor={}`.",
                swap.limb, swap.motor
            ),
        )),
        _ => Ok(line),
    }
}

/// What cannot be done at all: said in the format that was asked for.
fn refuse(line: &Line, code: &Code, message: &str) -> Outcome {
    let file = line.command.file().map(|f| f.to_string_lossy());
    let data = match line.common.format {
        Format::Text => String::new(),
        Format::Json => json::refusal(file.as_deref(), code, message),
    };
    Outcome::fine(data).talk(format!("{message}\n")).exit(Exit::CouldNotRun)
}

/// A command line that was not understood, or only asks for help.
fn not_run(error: &clap::Error, json: bool) -> Outcome {
    let mut text = error.to_string();
    if error.kind() == ErrorKind::InvalidSubcommand {
        let line = Line::command();
        let words: Vec<&str> = line.get_subcommands().map(clap::Command::get_name).collect();
        text.push_str(&format!(
            "The commands: {}. `yardwright help COMMAND` tells about one.\n",
            words.join(", ")
        ));
    }
    match (error.kind(), json) {
        (ErrorKind::DisplayHelp | ErrorKind::DisplayVersion, false) => Outcome::fine(text),
        (ErrorKind::DisplayHelp | ErrorKind::DisplayVersion, true) => {
            let whole = serde_json::json!({ "schema": json::SCHEMA, "ok": true, "help": text });
            Outcome::fine(json::text(&whole))
        }
        (_, false) => Outcome::fine("").talk(text).exit(Exit::CouldNotRun),
        (_, true) => {
            let first = text.lines().next().unwrap_or_default();
            let message = first.strip_prefix("error: ").unwrap_or(first);
            Outcome::fine(json::refusal(None, &codes::USAGE, message))
                .talk(text)
                .exit(Exit::CouldNotRun)
        }
    }
}

/// Whether a command line that could not be read asks for JSON all the same.
fn asks_for_json(args: &[OsString]) -> bool {
    let words = args.iter().take_while(|a| *a != "--");
    let mut before: Option<&OsString> = None;
    for word in words {
        if word == "--format=json" || (word == "json" && before.is_some_and(|b| b == "--format")) {
            return true;
        }
        before = Some(word);
    }
    false
}
