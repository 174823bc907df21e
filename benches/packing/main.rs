//! The packing benchmark: how short a strip the pieces of open data sets are laid on.
//!
//!     cargo bench --bench packing -- [--seconds S] [--steps N] [--threads T] [--seed K] [--json OUT] PATH...
//!
//! A line for each instance, and with `--json` one JSON object a line with every placement, in the frame and
//! the units of the file; its `seconds` are the budget, 0 where that is counted in steps, so that the same steps
//! give the same bytes. `plan` hands out nothing that the verifier has not passed. What cannot be read
//! is named on standard error, the rest is run, and the exit code is 2.

mod effort;
mod instance;

use std::fs::File;
use std::io::{Error, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use nesting::Answer;
use serde_json::{Value, json};

use effort::Effort;
use instance::Instance;

#[derive(Parser)]
struct Args {
    #[command(flatten)]
    effort: Effort,
    /// Writes one JSON object a line here.
    #[arg(long, value_name = "OUT")]
    json: Option<PathBuf>,
    /// Turns that rectangles may take: 0 for none, 90 for a quarter.
    #[arg(long, value_enum, default_value_t = Turns::None)]
    turns: Turns,
    /// Handed over by `cargo bench`.
    #[arg(long, hide = true)]
    bench: bool,
    /// Files, or folders of files.
    paths: Vec<PathBuf>,
}

#[derive(Clone, Copy, PartialEq, ValueEnum)]
enum Turns {
    #[value(name = "0")]
    None,
    #[value(name = "90")]
    Quarter,
}

/// Seconds for each instance unless others are asked for.
const SECONDS: f64 = 10.0;

fn main() -> ExitCode {
    let args = Args::parse();
    if args.paths.is_empty() {
        eprintln!("packing: no data sets named, so none are laid: add files or folders after `--`");
    }
    match run_all(&args) {
        Ok(code) => code,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

/// Each line is written as soon as it is known: a run may take hours, and be stopped.
fn run_all(args: &Args) -> Result<ExitCode, String> {
    let path = args.json.as_deref();
    let named = |error: Error| format!("{}: {error}", path.unwrap_or(Path::new("")).display());
    let mut file = path.map(File::create).transpose().map_err(named)?;
    let mut code = ExitCode::SUCCESS;
    for instance in instance::read_all(&args.paths, args.turns == Turns::Quarter) {
        match instance.and_then(|instance| run(args, &instance)) {
            Ok(line) => {
                if let Some(file) = &mut file {
                    writeln!(file, "{line}").map_err(named)?;
                }
            }
            Err(message) => {
                eprintln!("{message}");
                code = ExitCode::from(2);
            }
        }
    }
    Ok(code)
}

fn run(args: &Args, instance: &Instance) -> Result<Value, String> {
    let (answer, seconds) = args.effort.lay(instance, SECONDS)?;
    let length = instance.in_file(answer.marker.length.um());
    let bound = instance.in_file(answer.bound.length.um());
    let density = instance.density(answer.marker.length);
    println!(
        "{:<12} length {length:>12.4}  density {density:>6.2} %  bound {bound:>12.4}  {:<12} {seconds:>7.2} s",
        instance.name, answer.engine
    );
    Ok(json!({
        "name": instance.name,
        "seconds": args.effort.seconds(SECONDS).unwrap_or(0.0),
        "threads": args.effort.threads,
        "seed": args.effort.seed,
        "length": length,
        "density_pct": density,
        "bound": bound,
        "verified": true,
        "placements": placements(instance, &answer),
    }))
}

fn placements(instance: &Instance, answer: &Answer) -> Vec<Value> {
    let place = |p: &nesting::Placement| {
        // A quarter turn back, see `instance`.
        let (x, y) = (instance.in_file(p.at.y), instance.in_file(-p.at.x));
        json!({"item": p.item, "copy": p.copy, "rotation": p.turn.degrees(), "x": x, "y": y})
    };
    answer.marker.placements.iter().map(place).collect()
}
