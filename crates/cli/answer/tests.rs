use nesting::{Bound, Placement, Ruling, Silent, Turn};
use pieces::{Grain, Point};

use super::*;
use crate::message::Refused;

fn job(fabric: &str, make: &str) -> Job {
    let text = format!(
        "[fabric.linen]\nwidth = 100\n{fabric}\n[[make]]\ndraft = \"trapezoid\"\ntop_width = 20\n\
         hem_width = 40\nlength = 50\n{make}\n"
    );
    let mut none = |name: &str, _| Err(Refused::plain(name, ""));
    Job::read("job.toml", &text, &mut none).unwrap_or_else(|refused| panic!("{refused}"))
}

fn answered(fabric: &str, make: &str) -> Answered {
    answer_job(&job(fabric, make), &Effort::default(), &mut Silent).unwrap()
}

/// What a drawing turns and moves must come to the outline that was checked: turning about the
/// origin after turning over, for every grain, turn and side.
#[test]
fn the_piece_as_worn_turns_into_the_outline_that_was_checked() {
    for grain in ["lengthwise", "crosswise", "either"] {
        let answered = answered("faces_alike = true", &format!("grain = \"{grain}\""));
        let cloth = &answered.cloths[0];
        let piece = &cloth.pieces[0];
        for (turn, mirrored) in Turn::ALL.iter().flat_map(|&t| [(t, false), (t, true)]) {
            let placement = Placement {
                item: 0,
                copy: 0,
                turn,
                mirrored,
                at: Point::new(7, 11),
            };
            let side = if mirrored {
                piece.cut.mirrored()
            } else {
                piece.cut.clone()
            };
            let quarters = u8::try_from(turned_from_worn(piece, &placement) / 90).unwrap();
            let drawn = side.turned(quarters).moved(placement.at);
            let (mut drawn, mut checked) = (
                drawn.points().to_vec(),
                cloth.problem.placed(&placement).points().to_vec(),
            );
            drawn.sort_unstable();
            checked.sort_unstable();
            assert_eq!(drawn, checked, "{grain}, {turn:?}, mirrored {mirrored}");
        }
        assert_eq!(piece.grain == Grain::Crosswise, grain == "crosswise");
    }
}

/// The same cloth with other rulings on 1, 2 and 3 m.
fn ruled(verdicts: [Verdict; 3]) -> LaidCloth {
    let mut cloth = answered("have = [\"1 m\", \"2 m\", \"3 m\"]", "")
        .cloths
        .remove(0);
    for (ruling, verdict) in cloth.answer.rulings.iter_mut().zip(verdicts) {
        *ruling = Ruling {
            verdict,
            ..ruling.clone()
        };
    }
    cloth
}

#[test]
fn the_shortest_offer_that_is_enough_is_chosen_else_the_best_that_is_not() {
    use Verdict::{Enough, NotEnough, Undecided};
    assert_eq!(ruled([NotEnough, Enough, Enough]).chosen(), Some(1));
    assert_eq!(ruled([NotEnough, Undecided, Undecided]).chosen(), Some(2));
    assert_eq!(ruled([Undecided, NotEnough, NotEnough]).chosen(), Some(0));
    assert_eq!(ruled([NotEnough; 3]).chosen(), Some(2));
    assert_eq!(answered("", "").cloths[0].chosen(), None);
}

#[test]
fn the_best_bound_of_all_is_stated() {
    let mut cloth = answered("have = \"40 cm\"", "").cloths.remove(0);
    let better = Bound {
        length: cloth.bound().length + Length::from_um(1),
        ..cloth.bound().clone()
    };
    cloth.answer.rulings[0].bound = better.clone();
    assert_eq!(cloth.bound(), &better);
}

#[test]
fn the_worst_cloth_decides() {
    let mut answered = answered("have = \"1 m\"", "");
    assert_eq!(answered.verdict(), Word::Enough);
    answered.cloths.push(ruled([Verdict::NotEnough; 3]));
    assert_eq!(answered.verdict(), Word::NotEnough);
}

#[test]
fn copies_of_a_garment_are_all_laid() {
    let answered = answered("", "copies = 3");
    assert_eq!(answered.cloths[0].problem.piece_count(), 3);
}

/// A grain that may lie either way says nothing where the cloth has a direction; what the job does not ask for is not
/// talked about.
#[test]
fn a_grain_that_may_lie_either_way_in_vain_is_noted() {
    let noted = |direction: &str, make: &str| {
        let notes = answered(&format!("direction = \"{direction}\""), make).notes;
        notes.into_iter().any(|note| {
            note.contains("changes nothing for trapezoid: linen has direction = \"")
                && note.contains("direction = \"none\"")
        })
    };
    let either = "grain = \"either\"";
    assert!(noted("one-way", either));
    assert!(noted("two-way", either));
    assert!(!noted("none", either));
    assert!(!noted("one-way", "grain = \"lengthwise\""));
    assert!(!noted("one-way", ""));
}
