//! The edge: real arguments, streams, signals and panics.

use std::ffi::OsString;
use std::io::{IsTerminal as _, Write as _};
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::progress::{Page, Progress};
use super::watching::{self, Serve};
use super::{Command, Exit, Format, Line, Look, Outcome, codes, commands, refuse};
use crate::check::Work;

/// The program.
#[must_use]
pub fn main() -> ExitCode {
    own_up_to_panics();
    let args: Vec<OsString> = std::env::args_os().collect();
    match std::panic::catch_unwind(|| run(&args)) {
        Ok(code) => ExitCode::from(code),
        Err(_) => ExitCode::from(Exit::OurFault as u8),
    }
}

fn run(args: &[OsString]) -> u8 {
    let outcome = match super::parse(args) {
        Ok(line) => match &line.command {
            Command::Watch { file, out, port, no_serve } => {
                let serve = if *no_serve { Serve::No } else { Serve::On(*port) };
                watch(&line, file, out.as_deref(), serve)
            }
            command => {
                let work = Arc::default();
                let waiting = command.file().map(|file| waiting(file, &work));
                let outcome = commands::perform(&line, here(), &work);
                drop(waiting);
                outcome
            }
        },
        Err(outcome) => outcome,
    };
    outcome.deliver(&mut std::io::stdout().lock(), &mut std::io::stderr().lock())
}

fn watch(line: &Line, file: &Path, out: Option<&Path>, serve: Serve) -> Outcome {
    if line.common.format == Format::Json {
        let message = "`watch` talks to people; programs build again and read report.json.";
        return refuse(line, &codes::USAGE, message);
    }
    match watching::until_stopped(file, out, serve, &line.common, here()) {
        Ok(()) => Outcome::fine(""),
        Err(message) => refuse(line, &codes::FILE_UNREADABLE, &message),
    }
}

/// A word on the standard error of this process to whoever waits for a file, where that
/// is a terminal that can take a line back.
pub(super) fn waiting(file: &Path, work: &Arc<Work>) -> Progress {
    let stderr = std::io::stderr();
    let dumb = std::env::var_os("TERM").is_some_and(|t| t == "dumb");
    let seen = stderr.is_terminal() && !dumb;
    let name = file.file_name().unwrap_or(file.as_os_str()).to_string_lossy();
    let width = terminal_size::terminal_size_of(&stderr).map_or(80, |(w, _)| usize::from(w.0));
    // The last column stays free: some terminals break the line behind it.
    let page = seen.then(|| Page { out: Box::new(stderr), width: width.saturating_sub(1) });
    Progress::of(&name, work, page)
}

/// How texts look on the standard output of this process.
fn here() -> Look {
    let terminal = std::io::stdout().is_terminal();
    let plain = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty())
        || std::env::var_os("TERM").is_some_and(|t| t == "dumb");
    let width = match terminal_size::terminal_size() {
        Some((width, _)) if terminal => usize::from(width.0).clamp(40, 120),
        _ => Look::PLAIN.width,
    };
    Look { width, colour: terminal && !plain }
}

/// A panic is a fault of this program: it says so, once, and where to look.
fn own_up_to_panics() {
    static SAID: AtomicBool = AtomicBool::new(false);
    std::panic::set_hook(Box::new(|panic| {
        if SAID.swap(true, Ordering::SeqCst) {
            return;
        }
        // If the standard error is closed there is nobody left to tell.
        let _ = writeln!(
            std::io::stderr(),
            "This is a fault of yardwright itself, not of your yard, which was left as it was.\n\
             Please report it together with the file and this line:\n  {}",
            panic.to_string().replace('\n', " ")
        );
    }));
}
