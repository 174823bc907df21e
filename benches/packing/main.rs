//! The packing benchmark: how short a strip the pieces of open data sets are laid on.
//!
//!     cargo bench --bench packing -- [--seconds S] [--steps N] [--threads T] [--seed K] [--json OUT] PATH...
//!
//! A line for each instance, and with `--json` one JSON object a line with every placement, in the frame and
//! the units of the file; its `seconds` are the budget, 0 where that is counted in steps, so that the same steps
//! give the same bytes. `plan` hands out nothing that the verifier has not passed. What cannot be read
//! is named on standard error, the rest is run, and the exit code is 2. Ctrl-C ends the run with the best
//! layout so far of the instance at hand, and the exit code is 130.

mod effort;
mod instance;
mod lines;

use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use clap::{Parser, ValueEnum};
use lengthwise::interrupt;
use nesting::{Answer, Progress};
use pieces::{Cutting, Length};
use serde_json::{Value, json};

use effort::Effort;
use instance::Instance;
use lines::Lines;

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
    /// How pieces are cut out; by straight cuts each stands for its box.
    #[arg(long, value_enum, default_value_t = Cuts::Free)]
    cutting: Cuts,
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

#[derive(Clone, Copy, PartialEq, ValueEnum)]
enum Cuts {
    Free,
    Straight,
    Tear,
}

impl Cuts {
    fn cutting(self) -> Cutting {
        match self {
            Cuts::Free => Cutting::Free,
            Cuts::Straight => Cutting::Straight,
            Cuts::Tear => Cutting::Tear,
        }
    }
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

/// Progress that nobody looks at, and that Ctrl-C ends.
struct Interruptible(Option<Arc<AtomicBool>>);

impl Interruptible {
    fn is_over(&self) -> bool {
        let flag = self.0.as_ref();
        flag.is_some_and(|flag| flag.load(Ordering::Relaxed))
    }
}

impl Progress for Interruptible {
    fn report(&mut self, _: Option<Length>, _: Length, _: &'static str) {}

    fn cancel_flag(&self) -> Option<Arc<AtomicBool>> {
        self.0.clone()
    }
}

fn run_all(args: &Args) -> Result<ExitCode, String> {
    let mut lines = args.json.as_deref().map(Lines::begin).transpose()?;
    let mut progress = Interruptible(interrupt::flag());
    let mut code = ExitCode::SUCCESS;
    for instance in instance::read_all(&args.paths, args.turns == Turns::Quarter) {
        let laid = instance.and_then(|mut instance| {
            instance.problem.cutting = args.cutting.cutting();
            run(args, &instance, &mut progress)
        });
        match laid {
            Ok(line) => {
                if let Some(lines) = &mut lines {
                    lines.add(&line)?;
                }
            }
            Err(message) => {
                eprintln!("{message}");
                code = ExitCode::from(2);
            }
        }
        if progress.is_over() {
            code = ExitCode::from(130);
            break;
        }
    }
    lines.map(Lines::finish).transpose()?;
    Ok(code)
}

fn run(args: &Args, instance: &Instance, progress: &mut Interruptible) -> Result<Value, String> {
    let (answer, seconds) = args.effort.lay(instance, SECONDS, progress)?;
    let length = instance.in_file(answer.marker.length.um());
    let bound = instance.in_file(answer.bound.length.um());
    let density = instance.density(answer.marker.length);
    let decimals = decimals(length, instance.scale);
    println!(
        "{:<12} length {length:>12.decimals$}  density {density:>6.2} %  bound {bound:>12.decimals$}  {:<12} {seconds:>7.2} s",
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

/// How many show a length to seven digits, but for those that are finer than a layout is.
fn decimals(length: f64, scale: f64) -> usize {
    let digits = |v: f64| v.log10().floor() as i64;
    (6 - digits(length)).clamp(0, digits(scale)) as usize
}

fn placements(instance: &Instance, answer: &Answer) -> Vec<Value> {
    let place = |p: &nesting::Placement| {
        // A quarter turn back, see `instance`.
        let (x, y) = (instance.in_file(p.at.y), instance.in_file(-p.at.x));
        json!({"item": p.item, "copy": p.copy, "rotation": p.turn.degrees(), "x": x, "y": y})
    };
    answer.marker.placements.iter().map(place).collect()
}
