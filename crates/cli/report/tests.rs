use nesting::certificate::places::Places;
use nesting::{Argument, Bound, Silent};

use super::*;
use crate::answer::{Effort, answer_job};
use crate::message::Refused;

/// Two flags of 60 x 50 cm on 100 cm of cloth take 100 cm, with these lengths on hand.
fn flags(have: &str) -> Answered {
    let text = format!(
        "[fabric.linen]\nwidth = 100\nhave = {have}\n[[make]]\ndraft = \"rectangle\"\nname = \"flag\"\nwidth = 60\n\
         length = 50\ngrain = \"lengthwise\"\ncopies = 2\n"
    );
    let mut none = |name: &str, _| Err(Refused::plain(name, ""));
    let job = Job::read("job.toml", &text, &mut none).unwrap_or_else(|e| panic!("{e}"));
    answer_job(&job, &Effort::default(), &mut Silent).unwrap()
}

/// A search that refuses 95 cm says so, and neither "95.0001 cm" nor that 95 cm could do.
#[test]
fn a_refused_length_is_written_as_it_was_asked() {
    let mut answered = flags("[\"90 cm\", \"95 cm\"]");
    let answer = &mut answered.cloths[0].answer;
    let bound = Bound {
        length: Length::from_um(950_001),
        argument: Argument::EveryPlace(Places::default()),
    };
    for ruling in &mut answer.rulings {
        ruling.bound = bound.clone();
    }
    answer.bound = bound;
    let text = text(&answered, 400);
    for part in [
        "more than 95 cm is needed (proved)",
        "bound    95 cm  every layout is longer: every way",
        "was tried: on that length and on anything shorter, some",
        "have     95 cm  not enough (proved), 5 cm short",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(!text.contains("95.0"), "{text}");
}

#[test]
fn offers_that_read_alike_are_one_line() {
    let text = text(
        &flags("[\"90 cm\", \"110.01 cm\", \"110.02 cm\", \"120 cm\"]"),
        400,
    );
    assert_eq!(text.matches("\n  have ").count(), 3, "{text}");
    assert_eq!(text.matches("alike on a tape").count(), 1, "{text}");
    let words = "110 cm  enough, with 10 cm to spare; 2 offers, alike on a tape";
    assert!(text.contains(words), "{text}");
}
