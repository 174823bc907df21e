//! The engines against what a careful person lays, and against known optima.
//!
//!     cargo bench --bench engines -- trapezoids|everyday|thousand|puzzles|shop|flared|small
//!         [--few] [--only WORDS] [--cases K] [--seconds S] [--steps N] [--threads T] [--seed K]
//!         [--save FILE] [--against FILE]
//!
//! A line for each case, then what they amount to. The verifier passes every layout once more. What could not
//! be laid is named on standard error, and the exit code is 2.
//!
//! `everyday` reads `../shared/data/everyday` beside the project, or what `--data` names; where that is
//! missing, it says so and lays the rest.

mod case;
#[path = "../packing/effort.rs"]
mod effort;
mod everyday;
mod flared;
#[path = "../packing/instance.rs"]
mod instance;
mod puzzles;
mod rows;
mod shop;
mod small;
mod table;
mod thousand;
mod trapezoids;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, ValueEnum};

use case::{Case, run};
use effort::Effort;

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Kind {
    /// 1 to 200 equal trapezoids, against the best rows; 1 s each.
    Trapezoids,
    /// Everyday jobs and twelve dancers, against rows; 2 s each.
    Everyday,
    /// A thousand pieces of twenty shapes, against rows; 60 s each.
    Thousand,
    /// Rectangles cut up, against the rectangle; 10 s each.
    Puzzles,
    /// Jobs of up to twelve pieces: is what to buy proved? 1 s each.
    Shop,
    /// Flared panels in six sizes: what each argument brings to the bound; 60 s each.
    Flared,
    /// Two to six convex pieces: proved to the micrometre? 1 s each.
    Small,
}

impl Kind {
    fn seconds(self) -> f64 {
        match self {
            Kind::Trapezoids | Kind::Shop | Kind::Small => 1.0,
            Kind::Everyday => 2.0,
            Kind::Thousand | Kind::Flared => 60.0,
            Kind::Puzzles => 10.0,
        }
    }
}

#[derive(Parser)]
struct Args {
    /// What is laid.
    kind: Kind,
    /// A sample only.
    #[arg(long)]
    few: bool,
    /// Only what has one of these in its name; commas between them.
    #[arg(long, value_name = "WORDS", value_delimiter = ',')]
    only: Vec<String>,
    /// Seed of the random shapes.
    #[arg(long, value_name = "K", default_value_t = 1)]
    cases: u64,
    #[command(flatten)]
    effort: Effort,
    /// Writes the lengths here.
    #[arg(long, value_name = "FILE")]
    save: Option<PathBuf>,
    /// Compares the lengths with those that `--save` wrote here in another run.
    #[arg(long, value_name = "FILE")]
    against: Option<PathBuf>,
    /// The folder of everyday jobs.
    #[arg(long, value_name = "FOLDER", default_value = "../shared/data/everyday")]
    data: PathBuf,
    /// Handed over by `cargo bench`.
    #[arg(long, hide = true)]
    bench: bool,
}

fn main() -> ExitCode {
    let args = Args::parse();
    match measure(&args) {
        Ok(code) => code,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn cases(args: &Args) -> Result<Vec<Case>, String> {
    let mut cases = match args.kind {
        Kind::Trapezoids => trapezoids::cases(args.cases, args.few),
        Kind::Everyday => everyday::cases(&args.data, args.few)?,
        Kind::Thousand => thousand::cases(args.cases, args.few)?,
        Kind::Puzzles => puzzles::cases(args.cases, args.few)?,
        Kind::Shop | Kind::Flared | Kind::Small => Vec::new(),
    };
    let is_asked = |case: &Case| {
        args.only
            .iter()
            .any(|word| case.instance.name.contains(word))
    };
    cases.retain(|case| args.only.is_empty() || is_asked(case));
    Ok(cases)
}

fn measure(args: &Args) -> Result<ExitCode, String> {
    if args.kind == Kind::Flared {
        flared::run(args.few, &args.effort, args.kind.seconds())?;
        return Ok(ExitCode::SUCCESS);
    }
    if args.kind == Kind::Small {
        let words = small::run(args.cases, args.few, &args.effort, args.kind.seconds())?;
        println!("{words}");
        return Ok(ExitCode::SUCCESS);
    }
    if args.kind == Kind::Shop {
        let number = |word: &String| {
            let number = word.parse::<usize>();
            number.map_err(|_| format!("`{word}` is no number of a job"))
        };
        let only: Vec<usize> = args.only.iter().map(number).collect::<Result<_, _>>()?;
        let words = shop::run(
            args.cases,
            args.few,
            &only,
            &args.effort,
            args.kind.seconds(),
        )?;
        println!("{words}");
        return Ok(ExitCode::SUCCESS);
    }
    let mut code = ExitCode::SUCCESS;
    let mut outcomes = Vec::new();
    for case in cases(args)? {
        match run(&case, &args.effort, args.kind.seconds()) {
            Ok(outcome) => {
                println!("{}", table::line(&outcome));
                outcomes.push(outcome);
            }
            Err(message) => {
                eprintln!("{message}");
                code = ExitCode::from(2);
            }
        }
    }
    if args.kind == Kind::Puzzles {
        println!("{}", table::solved(&outcomes));
    } else {
        println!("{}", table::against_rivals(&outcomes));
    }
    if args.kind == Kind::Everyday {
        println!("{}", table::proofs(&outcomes));
    }
    println!("{}", table::spent(&outcomes));
    if let Some(path) = &args.against {
        println!("{}", table::against(&outcomes, path)?);
    }
    if let Some(path) = &args.save {
        table::save(&outcomes, path)?;
    }
    Ok(code)
}
