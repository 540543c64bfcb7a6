//! What each command does, as a plain function to an outcome.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::{Value, json};

use super::args::{Command, Format, LimbName, Line};
use super::edits::FileEdit;
use super::outcome::{Exit, Outcome};
use super::pipeline::{self, Pipeline};
use super::places::on_disk;
use super::render::{self, Look};
use super::views::{self, LimbView};
use super::watching::Bench;
use super::{
    codes, edits, explain, first, holes, refuse, solve, worked, worked_code, worked_limits,
    worked_motor,
};
use crate::check::{Compiled, Work};
use crate::emit::hole_chart::{self, HoleChart};
use crate::finding::{Severity, closest};
use crate::units::System;
use crate::watch::Watch;

/// Runs a command line that was understood; counts into `work`, for whoever waits.
pub fn perform(line: &Line, look: Look, work: &Arc<Work>) -> Outcome {
    let format = line.common.format;
    let done = match &line.command {
        Command::New { dir } => Ok(first::new(dir, format)),
        Command::Completions { shell } => Ok(completions(*shell, format)),
        Command::Explain { code, limb: None } => Ok(match code {
            None => explain::list(&pipeline::stages(), format),
            Some(code) => explain::one(&pipeline::stages(), code, None, format, look),
        }),
        Command::Explain { code, limb: Some(limb) } => {
            explain_for(line, code.as_deref(), limb, look, work)
        }
        Command::Check { file } => check(line, file, look, work),
        Command::Build { file, out } => {
            build(line, file, &out_folder(file, out.as_deref()), look, work)
        }
        Command::Watch { file, out, .. } => one_round(line, file, out.as_deref(), look),
        Command::Solve { file, write } => solve(line, file, *write, look, work),
        Command::Holes { file, limb, out } => holes(line, file, (limb, out.as_deref()), look, work),
    };
    done.unwrap_or_else(|refused| refused)
}

/// A command that ended, or could not be run.
type Done = Result<Outcome, Outcome>;

/// The folder outputs go to where none is named: beside FILE, named after it.
#[must_use]
pub fn out_folder(file: &Path, named: Option<&Path>) -> PathBuf {
    named.map_or_else(
        || {
            let stem = file.file_stem().unwrap_or(file.as_os_str()).to_string_lossy();
            file.with_file_name(format!("{stem}-out"))
        },
        Path::to_path_buf,
    )
}

fn compile(line: &Line, file: &Path, work: &Arc<Work>) -> Result<(Pipeline, Compiled), Outcome> {
    let mut pipeline = Pipeline::counting_into(work);
    match pipeline.compile(file, &line.common) {
        Ok(compiled) => Ok((pipeline, compiled)),
        Err(message) => Err(refuse(line, &codes::FILE_UNREADABLE, &message)),
    }
}

fn verdict(compiled: &Compiled) -> Exit {
    if compiled.count(Severity::Error) == 0 { Exit::Fine } else { Exit::YardHasErrors }
}

/// Findings, then the report: what sums it up stands nearest to the prompt.
fn report(
    pipeline: &Pipeline,
    compiled: &Compiled,
    line: &Line,
    look: Look,
) -> Result<String, Outcome> {
    match line.common.format {
        Format::Json => pipeline
            .report_json(compiled)
            .map_err(|message| refuse(line, &codes::CANNOT_WRITE, &message)),
        Format::Text => Ok(render::findings(&compiled.findings, pipeline.places(), look)
            + &pipeline.report_text(compiled, look, line.common.units)),
    }
}

fn check(line: &Line, file: &Path, look: Look, work: &Arc<Work>) -> Done {
    let (pipeline, compiled) = compile(line, file, work)?;
    Ok(Outcome::fine(report(&pipeline, &compiled, line, look)?).exit(verdict(&compiled)))
}

fn build(line: &Line, file: &Path, out: &Path, look: Look, work: &Arc<Work>) -> Done {
    let (pipeline, compiled) = compile(line, file, work)?;
    let outcome = Outcome::fine(report(&pipeline, &compiled, line, look)?).exit(verdict(&compiled));
    if outcome.exit != Exit::Fine {
        return Ok(outcome.talk("Nothing was written: the yard has errors.\n"));
    }
    match pipeline.write(&compiled, out) {
        Ok(written) => Ok(outcome.talk(format!("{written}\n"))),
        Err(message) => Err(refuse(line, &codes::CANNOT_WRITE, &message)),
    }
}

/// The first round of a watch, for callers that cannot wait for more.
fn one_round(line: &Line, file: &Path, out: Option<&Path>, look: Look) -> Done {
    let mut bench = Bench::new(file, out, &line.common, look);
    let said = Watch::new(file.to_path_buf()).start(&mut bench);
    said.map(Outcome::fine).map_err(|m| refuse(line, &codes::FILE_UNREADABLE, &m))
}

/// Errors in the yard, where answers were asked for: told beside the data.
fn errors(pipeline: &Pipeline, compiled: &Compiled, line: &Line, look: Look) -> String {
    let errors: Vec<_> =
        compiled.findings.iter().filter(|f| f.severity == Severity::Error).cloned().collect();
    if errors.is_empty() || line.common.format == Format::Json {
        return String::new();
    }
    render::findings(&errors, pipeline.places(), look)
}

fn solve(line: &Line, file: &Path, write: bool, look: Look, work: &Arc<Work>) -> Done {
    let (pipeline, compiled) = compile(line, file, work)?;
    let questions = views::questions(&compiled, units(line));
    let (mut written, mut talk) =
        (solve::Written::NotAsked, errors(&pipeline, &compiled, line, look));
    if write && verdict(&compiled) != Exit::Fine {
        // What could not be understood may be what would change the answers.
        written = solve::Written::Refused;
        talk.push_str("Nothing was written: the yard has errors.\n");
    } else if write {
        let (replaced, more) = put_in(&pipeline, &questions, (line, file))?;
        written = replaced.map_or(solve::Written::Refused, solve::Written::Replaced);
        talk.push_str(&more);
    }
    let data = match line.common.format {
        Format::Text => solve::as_text(&questions, written, verdict(&compiled) == Exit::Fine),
        Format::Json => {
            let mut whole = solve::as_json(&compiled.file, &questions, written);
            judged(&mut whole, &pipeline, &compiled);
            super::json::text(&whole)
        }
    };
    let spoilt = write && written == solve::Written::Refused;
    let exit = if spoilt { Exit::YardHasErrors } else { verdict(&compiled) };
    Ok(Outcome::fine(data).talk(talk).exit(exit))
}

/// The household asked for.
fn units(line: &Line) -> Option<System> {
    line.common.units.map(Into::into)
}

/// Puts into a command's own JSON how the yard stands.
fn judged(whole: &mut Value, pipeline: &Pipeline, compiled: &Compiled) {
    let all = compiled.findings.iter();
    whole["ok"] = json!(compiled.count(Severity::Error) == 0);
    whole["diagnostics"] = all.map(|f| super::json::diagnostic(f, pipeline.places())).collect();
}

/// Puts the answers into the files; how many, and what to say beside it. `None` where the
/// yard would no longer compile with them: then nothing is written.
fn put_in(
    pipeline: &Pipeline,
    questions: &[solve::Question],
    (line, file): (&Line, &Path),
) -> Result<(Option<usize>, String), Outcome> {
    let sources = pipeline.sources();
    let (list, torn) = solve::edits(questions, &|place| on_disk(sources, place));
    let as_read = |path: &Path| {
        let file = sources.files().iter().find(|f| f.path.as_deref() == Some(path))?;
        Some(file.text.to_string())
    };
    if let Some(why) = spoilt(&list, &as_read, (line, file)) {
        return Ok((None, why));
    }
    edits::write(&list, &as_read)
        .map_err(|e| refuse(line, &codes::CANNOT_WRITE, &e.to_string()))?;
    let mut talk = String::new();
    for name in torn {
        talk.push_str(&format!(
            "The `?` for the {name} is shared by figures that need different answers; it was left.\n"
        ));
    }
    Ok((Some(list.len()), talk))
}

/// What would be wrong with the yard with the edits in its texts: it is compiled with them
/// before anything is written.
fn spoilt(
    list: &[FileEdit],
    as_read: &dyn Fn(&Path) -> Option<String>,
    (line, file): (&Line, &Path),
) -> Option<String> {
    let mut paths: Vec<&Path> = list.iter().map(|e| e.path.as_path()).collect();
    paths.dedup();
    let text = |path: &Path| {
        let own: Vec<FileEdit> = list.iter().filter(|e| e.path == path).cloned().collect();
        edits::applied(&as_read(path)?, &own)
    };
    // What cannot be put in is refused where it is written.
    let texts: Option<Vec<_>> =
        paths.into_iter().map(|p| Some((p.to_path_buf(), text(p)?))).collect();
    let compiled = Pipeline::with_texts(&texts?).compile(file, &line.common).ok()?;
    let first = compiled.findings.iter().find(|f| f.severity == Severity::Error)?;
    Some(format!(
        "Nothing was written: with these sizes in the text the yard has errors. {}\n",
        first.message
    ))
}

/// The limb asked for, or who else there is.
fn find<'a>(compiled: &'a Compiled, limb: &LimbName) -> Result<LimbView<'a>, String> {
    let wanted = limb.to_string();
    let names: Vec<String> = views::limbs(compiled).map(|v| v.name()).collect();
    views::limbs(compiled).find(|v| v.name() == wanted).ok_or_else(|| {
        let near = closest(&wanted, names.iter().map(String::as_str));
        match near {
            Some(near) => format!("There is no limb {wanted}. Did you mean {near}?"),
            None if names.is_empty() => format!("There is no limb {wanted}; the yard has none."),
            None => {
                let list = crate::finding::list_of(names.iter().map(String::as_str), "and", 8);
                format!("There is no limb {wanted}. The yard has {list}.")
            }
        }
    })
}

fn holes(
    line: &Line,
    file: &Path,
    (limb, out): (&LimbName, Option<&Path>),
    look: Look,
    work: &Arc<Work>,
) -> Done {
    let writer = out.map(|out| chart_writer(out).map(|w| (out, w))).transpose();
    let writer = writer.map_err(|m| refuse(line, &codes::USAGE, &m))?;
    let (pipeline, compiled) = compile(line, file, work)?;
    let told = errors(&pipeline, &compiled, line, look);
    let chart = find(&compiled, limb).and_then(|view| views::chart(&view, units(line)));
    match chart {
        Ok(chart) => {
            let mut told = told;
            if let Some((out, writer)) = writer {
                edits::put(out, &writer(&chart))
                    .map_err(|e| refuse(line, &codes::CANNOT_WRITE, &e.to_string()))?;
                told.push_str(&format!("Wrote {}.\n", out.display()));
            }
            let data = match line.common.format {
                Format::Text => holes::as_text(&chart, look),
                Format::Json => {
                    let mut whole = holes::as_json(&chart);
                    whole["file"] = json!(compiled.file);
                    judged(&mut whole, &pipeline, &compiled);
                    super::json::text(&whole)
                }
            };
            Ok(Outcome::fine(data).talk(told).exit(verdict(&compiled)))
        }
        Err(message) => {
            let mut refused = no_answer(line, &compiled, &message);
            refused.talk.insert_str(0, &told);
            Err(refused)
        }
    }
}

/// What writes a chart into a file of this name.
fn chart_writer(out: &Path) -> Result<fn(&HoleChart) -> String, String> {
    match out.extension().and_then(|e| e.to_str()) {
        Some("csv") => Ok(hole_chart::csv),
        Some("svg") => Ok(hole_chart::svg),
        _ => Err(format!(
            "A chart is written as a table or as a sheet: {} should end in .csv or .svg.",
            out.display()
        )),
    }
}

/// A question about a limb that has no answer: because of the yard where that has
/// errors, else because of the command.
fn no_answer(line: &Line, compiled: &Compiled, message: &str) -> Outcome {
    let refused = refuse(line, &codes::USAGE, message);
    match verdict(compiled) {
        Exit::Fine => refused,
        of_yard => refused.exit(of_yard),
    }
}

fn explain_for(
    line: &Line,
    code: Option<&str>,
    limb: &[String],
    look: Look,
    work: &Arc<Work>,
) -> Done {
    let usage = |message: &str| refuse(line, &codes::USAGE, message);
    let [limb, file] = limb else { return Err(usage("`--for` takes FIGURE.LIMB and FILE.")) };
    let limb = LimbName::read(limb).map_err(|m| usage(&m))?;
    let (_, compiled) = compile(line, Path::new(file), work)?;
    let view = find(&compiled, &limb).map_err(|m| no_answer(line, &compiled, &m))?;
    let own = compiled.limbs().find(|&(f, l)| {
        let placed = &compiled.yard.figures[f];
        format!("{}.{}", placed.name.value, placed.figure.limbs[l].name.value) == limb.to_string()
    });
    let Some(place) = own else {
        return Err(no_answer(line, &compiled, "There is no such limb."));
    };
    let asked = units(line);
    let worked = match code {
        Some(code) => worked_code::worked(&compiled, &view, place, code, asked),
        None => {
            let mut worked = worked::worked(&view, asked);
            worked.steps.extend(worked_motor::steps(&compiled, place, worked_motor::ALL, asked));
            worked.steps.extend(worked_limits::steps(&compiled, place, None, asked));
            worked
        }
    };
    let format = line.common.format;
    let told = match code {
        None => explain::limb(&worked, format),
        Some(code) => explain::one(&pipeline::stages(), code, Some(&worked), format, look),
    };
    if told.exit != Exit::Fine || verdict(&compiled) == Exit::Fine {
        return Ok(told);
    }
    let count = render::counted(compiled.count(Severity::Error), "error", "errors");
    let talk = format!("The yard has {count}: yardwright check {} shows them.\n", file);
    Ok(told.talk(talk).exit(verdict(&compiled)))
}

fn completions(shell: clap_complete::Shell, format: Format) -> Outcome {
    use clap::CommandFactory as _;
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Line::command(), "yardwright", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    Outcome::fine(match format {
        Format::Text => script,
        Format::Json => super::json::text(&json!({
            "schema": super::json::SCHEMA, "shell": shell.to_string(), "script": script,
        })),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outputs_go_beside_the_yard_unless_named() {
        assert_eq!(out_folder(Path::new("a/b.yard"), None), Path::new("a/b-out"));
        assert_eq!(out_folder(Path::new("b.yard"), Some(Path::new("x"))), Path::new("x"));
    }
}
