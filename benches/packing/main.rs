//! The packing benchmark: how short a strip the pieces of open data sets are laid on.
//!
//!     cargo bench --bench packing -- [--seconds S] [--steps N] [--threads T] [--seed K] [--json OUT] PATH...
//!
//! A line for each instance, and with `--json` one JSON object a line with every placement, in the frame and
//! the units of the file. `plan` hands out nothing that the verifier has not passed. What cannot be read
//! is named on standard error, the rest is run, and the exit code is 2.

mod effort;
mod instance;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;
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
    #[arg(long, default_value_t = 0, value_parser = clap::value_parser!(u16).range(0..=90))]
    turns: u16,
    /// Handed over by `cargo bench`.
    #[arg(long, hide = true)]
    bench: bool,
    /// Files, or folders of files.
    paths: Vec<PathBuf>,
}

fn main() -> ExitCode {
    let args = Args::parse();
    if args.paths.is_empty() {
        eprintln!("packing: no data sets named, so none are laid: add files or folders after `--`");
    }
    let mut code = ExitCode::SUCCESS;
    let mut lines = String::new();
    for instance in instance::read_all(&args.paths, args.turns != 0) {
        match instance.and_then(|instance| run(&args, &instance)) {
            Ok(line) => {
                lines.push_str(&line.to_string());
                lines.push('\n');
            }
            Err(message) => {
                eprintln!("{message}");
                code = ExitCode::from(2);
            }
        }
    }
    if let Some(path) = &args.json
        && let Err(error) = std::fs::write(path, lines)
    {
        eprintln!("{}: {error}", path.display());
        code = ExitCode::from(2);
    }
    code
}

fn run(args: &Args, instance: &Instance) -> Result<Value, String> {
    let (answer, seconds) = args.effort.lay(instance, 10.0)?;
    let length = instance.in_file(answer.marker.length.um());
    let bound = instance.in_file(answer.bound.length.um());
    let density = instance.density(answer.marker.length);
    println!(
        "{:<12} length {length:>12.4}  density {density:>6.2} %  bound {bound:>12.4}  {:<12} {seconds:>7.2} s",
        instance.name, answer.engine
    );
    Ok(json!({
        "name": instance.name,
        "seconds": seconds,
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
