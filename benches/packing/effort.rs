//! How much a bench may spend on one layout, as options of its command line.

use std::time::{Duration, Instant};

use clap::Args;
use nesting::{Answer, Budget, PlanError, Progress};

use crate::instance::Instance;

#[derive(Args)]
pub struct Effort {
    /// Wall-clock budget for each layout; 0 for the first layout there is.
    #[arg(long, value_parser = seconds)]
    seconds: Option<f64>,
    /// A budget in steps instead: the same layout every time.
    #[arg(long, conflicts_with = "seconds")]
    steps: Option<u64>,
    /// Threads.
    #[arg(long, default_value_t = 2, value_parser = threads)]
    pub threads: usize,
    /// Seed of every random choice.
    #[arg(long, default_value_t = 1)]
    pub seed: u64,
}

/// Budgets of a day at most.
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

impl Effort {
    /// The wall-clock budget, if it is one, where the command line names neither seconds nor steps.
    pub fn seconds(&self, otherwise: f64) -> Option<f64> {
        let seconds = self.seconds.unwrap_or(otherwise);
        (self.steps.is_none() && seconds > 0.0).then_some(seconds)
    }

    /// Lays the instance. The answer, and how many seconds it took.
    pub fn lay(
        &self,
        instance: &Instance,
        otherwise: f64,
        progress: &mut dyn Progress,
    ) -> Result<(Answer, f64), String> {
        let time = self.seconds(otherwise);
        let budget = Budget {
            steps: self.steps.or(time.is_none().then_some(0)),
            time: time.map(Duration::from_secs_f64),
            threads: self.threads,
            seed: self.seed,
            ..Budget::default()
        };
        let begin = Instant::now();
        let answer = nesting::plan(&instance.problem, &budget, progress).map_err(|error| {
            let file = instance.file.as_ref();
            let file = file.map_or(String::new(), |file| format!("{}: ", file.display()));
            format!("{file}{}: {}", instance.name, refusal(instance, &error))
        })?;
        Ok((answer, begin.elapsed().as_secs_f64()))
    }
}

/// In the units of the file.
fn refusal(instance: &Instance, error: &PlanError) -> String {
    match error {
        PlanError::TooWide {
            label,
            across,
            usable,
            ..
        } => {
            let [across, usable] = [across, usable].map(|v| instance.in_file(v.um()));
            format!("{label} is {across} wide at least, the strip is {usable}")
        }
        other => other.to_string(),
    }
}
