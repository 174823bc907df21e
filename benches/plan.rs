//! From a job file to its answer and drawings, as the command does it, for the examples.

use std::path::Path;

use criterion::{Criterion, criterion_group, criterion_main};
use lengthwise::answer::{Effort, answer_job};
use lengthwise::job::Job;
use nesting::Silent;
use plotting::marker_svg;

fn load(name: &str) -> Job {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("examples")
        .join(name);
    Job::load(&path).unwrap_or_else(|refused| panic!("{refused}"))
}

fn plans(criterion: &mut Criterion) {
    let effort = Effort {
        steps: None,
        time: None,
        threads: 1,
        seed: 1,
        ..Effort::default()
    };
    let mut group = criterion.benchmark_group("plan");
    group.sample_size(20);
    for (name, file) in [
        ("one dancer", "01-one-dancer.toml"),
        ("one dancer, soft", "02-soft-cloth.toml"),
        ("twelve dancers", "03-twelve-dancers.toml"),
        ("three gored skirts", "04-gored-skirts.toml"),
    ] {
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                let job = load(file);
                answer_job(&job, &effort, &mut Silent).expect("the example has an answer")
            });
        });
        let job = load(file);
        let answered = answer_job(&job, &effort, &mut Silent).expect("the example has an answer");
        group.bench_function(format!("{name}, drawing"), |bencher| {
            bencher.iter(|| {
                answered
                    .sheets(None)
                    .iter()
                    .map(marker_svg)
                    .collect::<Vec<_>>()
            });
        });
    }
    group.finish();
}

criterion_group!(benches, plans);
criterion_main!(benches);
