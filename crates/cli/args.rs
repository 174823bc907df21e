//! What can be typed after `lengthwise`, as typed. [`RawEffort::settle`] turns the raw choices about
//! time into what a run is given.

use std::path::PathBuf;
use std::time::Duration;

use clap::{Args, Parser, Subcommand, ValueEnum};
use nesting::Level;
use pieces::Units;

use crate::answer;
use crate::lines;

/// Is the cloth enough, how do the pieces lie, what is to be bought?
#[derive(Debug, Parser)]
#[command(
    name = "lengthwise",
    version,
    about,
    propagate_version = true,
    after_help = EXIT_CODES,
    max_term_width = lines::USUAL
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// Printed under the help.
const EXIT_CODES: &str = "\
Exit codes:
  0  answered: enough, or a plan
  1  internal failure, or an answer that does not hold
  2  the input or the command line is wrong; nothing is written
  3  not enough, proved
  4  undecided

Start with `lengthwise new`, then `lengthwise plan job.toml`.";

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Plan a job: verdict, layout drawn to scale, shopping list
    Plan(Plan),
    /// Plan a job under each of the choices it names, side by side
    Compare(Compare),
    /// Check an answer file again, from the file alone
    Check(Check),
    /// List the drafts, or show one: what it measures, what can be set
    Drafts(Drafts),
    /// List the measurements and how they are taken
    Measurements,
    /// List every key of a job file, with unit and default
    Keys,
    /// Write a commented job file to start from
    New(New),
}

/// `lengthwise plan`.
#[derive(Debug, Args)]
pub struct Plan {
    /// The job file
    pub job: PathBuf,
    /// Folder for answer.json and the drawings [default: JOB-layout beside the job]
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Write lengths in this unit instead of the job's: cm, mm, m, in, yd
    #[arg(long, value_parser = unit)]
    pub units: Option<Units>,
    /// Print the answer file to standard output instead of the short answer
    #[arg(long)]
    pub json: bool,
    /// Print nothing but what is wrong
    #[arg(long)]
    pub quiet: bool,
    /// Print this date in the title block of the drawings
    #[arg(long, value_name = "TEXT")]
    pub date: Option<String>,
    /// Go on from the answer.json in the folder: never a longer layout, with another seed, and where no seconds
    /// are given twice as hard each time
    #[arg(long)]
    pub go_on: bool,
    /// How hard to look.
    #[command(flatten)]
    pub effort: RawEffort,
}

/// `lengthwise compare`.
#[derive(Debug, Args)]
pub struct Compare {
    /// The job file, with a `compare` table
    pub job: PathBuf,
    /// Folder for the table, the chart and the sheet [default: JOB-compare beside the job]
    #[arg(long, value_name = "FOLDER")]
    pub out: Option<PathBuf>,
    /// Write lengths in this unit instead of the job's: cm, mm, m, in, yd
    #[arg(long, value_parser = unit)]
    pub units: Option<Units>,
    /// Print the comparison as JSON to standard output instead of the table
    #[arg(long)]
    pub json: bool,
    /// Print nothing but what is wrong
    #[arg(long)]
    pub quiet: bool,
    /// Print this date in the title block of the drawings
    #[arg(long, value_name = "TEXT")]
    pub date: Option<String>,
    /// How hard to look.
    #[command(flatten)]
    pub effort: RawEffort,
}

/// `lengthwise check`.
#[derive(Debug, Args)]
pub struct Check {
    /// The answer file
    pub answer: PathBuf,
    /// Print nothing but what is wrong
    #[arg(long)]
    pub quiet: bool,
}

/// `lengthwise drafts`.
#[derive(Debug, Args)]
pub struct Drafts {
    /// One draft to show: its name, or how it begins
    pub name: Vec<String>,
}

/// `lengthwise new`.
#[derive(Debug, Args)]
pub struct New {
    /// The file to write; one that is there already is left alone
    #[arg(default_value = "job.toml")]
    pub file: PathBuf,
}

/// How hard to look, as typed.
#[derive(Clone, Debug, Default, Args)]
pub struct RawEffort {
    /// Look so many seconds for each cloth, 0 for the first layout there is; without it steps are counted, and
    /// the result is always the same
    #[arg(
        long,
        value_name = "S",
        value_parser = seconds,
        allow_negative_numbers = true,
        conflicts_with = "effort"
    )]
    pub seconds: Option<f64>,
    /// How hard to look
    #[arg(long, value_enum, default_value_t = Effort::Normal)]
    pub effort: Effort,
    /// Independent searches, one thread each; another number looks at other layouts
    #[arg(long, value_name = "N", default_value_t = 2, value_parser = threads)]
    pub threads: usize,
    /// Another seed looks at other layouts [default: 1, or the next one after that of the answer that is gone on
    /// from]
    #[arg(long, value_name = "K")]
    pub seed: Option<u64>,
}

/// How hard to look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Effort {
    /// A first answer
    Quick,
    /// By the size of the job: at once for a dancer, about a second for a troupe
    #[default]
    Normal,
    /// Sixty times as long
    Long,
}

impl RawEffort {
    /// What a run is given.
    #[must_use]
    pub fn settle(&self) -> answer::Effort {
        let is_zero = self.seconds == Some(0.0);
        answer::Effort {
            steps: is_zero.then_some(0),
            level: match self.effort {
                Effort::Quick => Level::Quick,
                Effort::Normal => Level::Normal,
                Effort::Long => Level::Long,
            },
            time: self
                .seconds
                .filter(|_| !is_zero)
                .map(Duration::from_secs_f64),
            threads: self.threads,
            seed: self.seed.unwrap_or(1),
            runs: 1,
        }
    }
}

fn unit(name: &str) -> Result<Units, String> {
    Units::from_name(name).ok_or_else(|| format!("the units are {}", Units::NAMES.join(", ")))
}

fn seconds(text: &str) -> Result<f64, String> {
    match text.parse() {
        Ok(seconds) if (0.0..=86_400.0).contains(&seconds) => Ok(seconds),
        _ => Err("seconds are a number from 0 to 86400".to_owned()),
    }
}

fn threads(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(threads) if (1..=256).contains(&threads) => Ok(threads),
        _ => Err("threads are a whole number from 1 to 256".to_owned()),
    }
}
