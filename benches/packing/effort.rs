//! How much a bench may spend on one layout, as options of its command line.

use std::time::{Duration, Instant};

use clap::Args;
use nesting::{Answer, Budget, Silent};

use crate::instance::Instance;

#[derive(Args)]
pub struct Effort {
    /// Wall-clock budget for each layout.
    #[arg(long)]
    seconds: Option<f64>,
    /// A budget in steps instead: the same layout every time.
    #[arg(long)]
    steps: Option<u64>,
    /// Threads.
    #[arg(long, default_value_t = 2)]
    pub threads: usize,
    /// Seed of every random choice.
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
}

impl Effort {
    /// Lays the instance, for so many seconds where the command line names neither seconds nor steps.
    /// The answer, and how many seconds it took.
    pub fn lay(&self, instance: &Instance, otherwise: f64) -> Result<(Answer, f64), String> {
        let seconds = self.seconds.unwrap_or(otherwise);
        let budget = Budget {
            steps: self.steps,
            time: self
                .steps
                .is_none()
                .then(|| Duration::from_secs_f64(seconds)),
            threads: self.threads,
            seed: self.seed,
            ..Budget::default()
        };
        let begin = Instant::now();
        let answer = nesting::plan(&instance.problem, &budget, &mut Silent)
            .map_err(|error| format!("{}: {error}", instance.name))?;
        Ok((answer, begin.elapsed().as_secs_f64()))
    }
}
