//! What can be typed after `yardwright`.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::units::System;

/// A compiler for animated yard figures.
///
/// One text file describes a whole yard: figures, linkages, motors, music and
/// cues. One command says whether every limb will move as wanted, finds the
/// lengths left open, and writes what the bench and the controllers need.
#[derive(Debug, Parser)]
#[command(name = "yardwright", version)]
#[command(after_help = "Start with: yardwright new my-yard")]
pub struct Line {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// What every command takes.
    #[command(flatten)]
    pub common: Common,
}

/// What every command takes.
#[derive(Args, Clone, Debug, Default)]
pub struct Common {
    /// How results are written
    #[arg(long, global = true, value_enum, default_value_t, value_name = "FORMAT")]
    pub format: Format,
    /// Show results in this household of units instead of the file's own
    #[arg(long, global = true, value_enum, value_name = "UNITS")]
    pub units: Option<Units>,
    /// Warnings are errors
    #[arg(long, global = true)]
    pub strict: bool,
    /// Checks that could not be made are errors
    #[arg(long, global = true)]
    pub complete: bool,
    /// Look at the same holes with another motor, the file unchanged (check only)
    #[arg(long = "try", global = true, value_name = "FIGURE.LIMB.motor=NAME", value_parser = swap)]
    pub swaps: Vec<Swap>,
}

/// How results are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Text,
    /// For programs.
    Json,
}

/// A household of units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Millimetres.
    Metric,
    /// Inches.
    Inch,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Inch => Self::Inch,
        }
    }
}

/// Another motor for a limb.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swap {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// The motor it is tried with.
    pub motor: String,
}

/// Reads `FIGURE.LIMB.motor=NAME`.
fn swap(text: &str) -> Result<Swap, String> {
    let form = "write it as FIGURE.LIMB.motor=NAME, for example bear.left-arm.motor=wiper";
    let (place, motor) = text.split_once('=').ok_or(form)?;
    let limb = place.strip_suffix(".motor").ok_or(form)?;
    if limb.split('.').filter(|w| !w.is_empty()).count() != 2 || motor.is_empty() {
        return Err(form.into());
    }
    Ok(Swap { limb: limb.into(), motor: motor.into() })
}

/// One limb of the yard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LimbName {
    /// Its figure.
    pub figure: String,
    /// Its own name.
    pub limb: String,
}

impl LimbName {
    /// Reads `FIGURE.LIMB`.
    ///
    /// # Errors
    /// A sentence about how it is written.
    pub fn read(text: &str) -> Result<Self, String> {
        match text.split_once('.') {
            Some((figure, limb)) if !figure.is_empty() && !limb.is_empty() => {
                Ok(Self { figure: figure.into(), limb: limb.into() })
            }
            _ => Err("a limb is written FIGURE.LIMB, for example bear.left-arm".into()),
        }
    }
}

impl std::fmt::Display for LimbName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}.{}", self.figure, self.limb)
    }
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Say whether every limb will move as wanted
    Check {
        /// The yard
        file: PathBuf,
    },
    /// Check, and write schedules, plan and report into a folder
    Build {
        /// The yard
        file: PathBuf,
        /// The folder [default: FILE's name with -out, beside FILE]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
    },
    /// Build again on every save, say what changed, and serve the pages on 127.0.0.1
    Watch {
        /// The yard
        file: PathBuf,
        /// The folder [default: FILE's name with -out, beside FILE]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Serve on this port [default: 7450, or any that is free]
        #[arg(long, value_name = "N")]
        port: Option<u16>,
        /// Serve no pages
        #[arg(long, conflicts_with = "port")]
        no_serve: bool,
    },
    /// Print what was found for every `?`
    Solve {
        /// The yard
        file: PathBuf,
        /// Put the answers in place of the `?` and change nothing else
        #[arg(long)]
        write: bool,
    },
    /// Chart of crank and lever holes: what each pair of holes makes of a limb
    Holes {
        /// The yard
        file: PathBuf,
        /// The limb
        #[arg(value_name = "FIGURE.LIMB", value_parser = LimbName::read)]
        limb: LimbName,
        /// Write it into a file too: a table (.csv) or a sheet to print (.svg)
        #[arg(long, value_name = "CHART")]
        out: Option<PathBuf>,
    },
    /// Explain a code, or list them all
    Explain {
        /// The code in a message, such as crank-blocked
        code: Option<String>,
        /// Put in the numbers of one limb
        #[arg(long = "for", num_args = 2, value_names = ["FIGURE.LIMB", "FILE"])]
        limb: Option<Vec<String>>,
    },
    /// Make a folder with a first yard in it
    New {
        /// The folder
        dir: PathBuf,
    },
    /// Print the completion script of a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
}

impl Command {
    /// The yard it is about, where it is about one.
    #[must_use]
    pub fn file(&self) -> Option<&std::path::Path> {
        match self {
            Self::Check { file }
            | Self::Build { file, .. }
            | Self::Watch { file, .. }
            | Self::Solve { file, .. }
            | Self::Holes { file, .. } => Some(file),
            Self::Explain { limb: Some(limb), .. } => limb.get(1).map(std::path::Path::new),
            Self::Explain { .. } | Self::New { .. } | Self::Completions { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_arguments_is_sound() {
        use clap::CommandFactory as _;
        Line::command().debug_assert();
    }

    #[test]
    fn a_swap_names_a_limb_and_a_motor() {
        assert_eq!(
            swap("bear.left-arm.motor=wiper"),
            Ok(Swap { limb: "bear.left-arm".into(), motor: "wiper".into() })
        );
        assert!(swap("bear.motor=wiper").is_err());
        assert!(swap("bear.arm.motor").is_err());
        assert!(LimbName::read("bear").is_err());
        assert_eq!(LimbName::read("bear.arm").unwrap().to_string(), "bear.arm");
    }
}
