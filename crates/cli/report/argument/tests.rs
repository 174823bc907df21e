use nesting::certificate::abreast::Abreast;
use nesting::certificate::places::Places;
use nesting::certificate::sides::Sides;
use nesting::certificate::starts::Starts;
use nesting::certificate::{Charged, Larger, Slices};
use nesting::{Bound, Silent};

use super::*;
use crate::answer::{Effort, answer_job};
use crate::job::Job;
use crate::message::Refused;

fn laid(text: &str) -> LaidCloth {
    let mut none = |name: &str, _| Err(Refused::plain(name, ""));
    let job = Job::read("job.toml", text, &mut none).unwrap_or_else(|e| panic!("{e}"));
    let mut answered = answer_job(&job, &Effort::default(), &mut Silent).unwrap();
    answered.cloths.remove(0)
}

/// Two flags of 60 x 50 cm and a strip of 20 x 30 cm on 100 cm of cloth.
fn cloth() -> LaidCloth {
    let text = "[fabric.linen]\nwidth = 100\n[[make]]\ndraft = \"rectangle\"\nname = \"flag\"\n\
                width = 60\nlength = 50\ngrain = \"lengthwise\"\ncopies = 2\n[[make]]\n\
                draft = \"rectangle\"\nname = \"strip\"\nwidth = 20\nlength = 30\n\
                grain = \"lengthwise\"\n";
    laid(text)
}

fn said(argument: Argument) -> String {
    let mut cloth = cloth();
    cloth.answer.bound.argument = argument;
    words(&cloth, Units::Centimetres)
}

fn side_by_side(items: &[usize]) -> Argument {
    Argument::SideBySide {
        items: items.to_vec(),
        line: None,
        larger: Larger::default(),
    }
}

/// Each sentence holds what a tape can check: the pieces, their widths and what they share.
#[test]
fn a_proof_names_what_can_be_measured() {
    for (argument, parts) in [
        (
            Argument::Area,
            &["still fill 100 cm of the 100 cm width"][..],
        ),
        (
            Argument::LongestPiece { item: 1 },
            &["the strip is that long"],
        ),
        (
            side_by_side(&[0, 0]),
            &[
                "the flag is 60 cm wide; two of it side by side need 60 + 60 = 120 cm and the cloth gives 100 cm",
                "so one lies beyond the other: 50 + 50 = 100 cm at least",
            ],
        ),
        // 60 + 20 cm do fit on 100 cm, so their widths alone prove nothing.
        (
            side_by_side(&[0, 1]),
            &["the flag and the strip take that length together"],
        ),
        (
            side_by_side(&[0, 0, 1]),
            &[
                "one line across the cloth would run through all of these: 2 of the flag and the strip;",
                "they need 60 + 60 + 20 = 140 cm and the cloth gives 100 cm",
            ],
        ),
        (
            Argument::Behind {
                items: vec![0, 0, 1],
                count: 2,
                charged: Charged::default(),
            },
            &[
                "side by side these need 60 + 60 + 20 = 140 cm, more than the 100 cm of the cloth: 2 of the flag and the strip;",
                "so 2 of them lie one beyond the other, and the 2 shortest need 30 + 50 = 80 cm at least",
            ],
        ),
        (
            Argument::Behind {
                items: vec![0, 0, 1],
                count: 3,
                charged: Charged::default(),
            },
            &[
                "no two of these fit side by side on 100 cm",
                "2 of the flag and the strip; so they lie one beyond the other: 50 + 50 + 30 = 130 cm at least",
            ],
        ),
        (
            Argument::Alone {
                items: vec![0],
                larger: Larger::default(),
                rest: Box::new(Bound {
                    length: Length::from_cm(30),
                    argument: Argument::LongestPiece { item: 1 },
                }),
            },
            &[
                "nothing else fits beside the flag on 100 cm",
                "on top: 50 + 30 = 80 cm at least. The others need 30 cm: the strip is that long",
            ],
        ),
        (
            Argument::Sums {
                rest: Box::new(Bound {
                    length: Length::from_cm(30),
                    argument: Argument::LongestPiece { item: 1 },
                }),
            },
            &[
                "the strip is that long, so they take 30 cm at least; and pushed up against each other",
                "the first such sum from there on is 100 cm",
            ],
        ),
        (
            Argument::NoTwoAbreast {
                items: vec![0, 0, 1],
                within: Vec::new(),
            },
            &[
                "side by side on 100 cm",
                "length: 2 of the flag and the strip",
            ],
        ),
        (
            Argument::Sections(Charged::default()),
            &["of the 100 cm width a strip stays free"],
        ),
        (
            Argument::LinesAcross {
                lines: 3,
                charged: Charged::default(),
            },
            &["3 lines across", "3 times 100 cm"],
        ),
        (
            Argument::Slices(Slices::default()),
            &["thin slices", "side by side on 100 cm", "take 100 cm"],
        ),
        (
            Argument::Slices(Slices {
                zones: vec![Length::from_cm(40), Length::from_cm(60)],
                ..Slices::default()
            }),
            &["cover the middle", "do not fit on 100 cm"],
        ),
        (
            Argument::EveryPlace(Places::default()),
            &["wider than 100 cm together", "a check tries it all again"],
        ),
        (
            Argument::Abreast(Abreast::default()),
            &["room side by side on 100 cm", "cut across into parts"],
        ),
        (
            Argument::Sides(Sides::default()),
            &["reach beyond 100 cm", "a check tries it all again"],
        ),
        (
            Argument::EveryStart(Starts::default()),
            &["wider than 100 cm together", "a check tries it all again"],
        ),
        (
            Argument::EveryStraightCut,
            &["every way to part the pieces"],
        ),
    ] {
        let text = said(argument.clone());
        for part in parts {
            assert!(text.contains(part), "{argument:?}: {text}");
        }
    }
}

/// A job of rectangles on cloth of a fabric: name, width, length, and whether it may lie either way; no name: none.
fn job(fabric: &str, rectangles: &[(&str, &str, &str, &str)]) -> LaidCloth {
    let mut text = format!("[fabric.linen]\n{fabric}\n");
    for (name, width, length, grain) in rectangles {
        let name = match *name {
            "" => String::new(),
            name => format!("name = \"{name}\"\n"),
        };
        text.push_str(&format!(
            "[[make]]\ndraft = \"rectangle\"\n{name}width = {width}\nlength = {length}\ngrain = \"{grain}\"\n"
        ));
    }
    laid(&text)
}

/// Arithmetic by hand: every sum that is printed adds up, and is more than what the cloth gives.
#[test]
fn what_is_added_up_is_said_with_its_addends() {
    let upright = "lengthwise";
    for (fabric, rectangles, parts) in [
        (
            "width = 88",
            &[
                ("back panel", "46", "101", upright),
                ("other panel", "52", "99", upright),
            ][..],
            &[
                "the back panel is 46 cm wide and the other panel 52 cm wide; side by side they need 46 + 52 = 98 cm and \
                 the cloth gives 88 cm",
                "so one lies beyond the other: 101 + 99 = 200 cm at least",
            ][..],
        ),
        // Tenths of a millimetre are written where the sum needs them.
        (
            "width = 100",
            &[
                ("flag", "50.06", "40", upright),
                ("sail", "50.06", "30", upright),
            ],
            &["50.06 + 50.06 = 100.12 cm and the cloth gives 100 cm"],
        ),
        (
            "width = 100",
            &[
                ("flag", "70", "60", "either"),
                ("sail", "60", "55", "either"),
            ],
            &[
                "the flag is 60 cm wide even laid sideways and the sail 55 cm wide even laid sideways",
                "60 + 55 = 115 cm",
            ],
        ),
        (
            "width = 100",
            &[("", "70", "50", upright), ("", "60", "40.5", upright)],
            &[
                "the 70 \u{d7} 50 cm rectangle is 70 cm wide and the 60 \u{d7} 40.5 cm rectangle 60 cm wide",
            ],
        ),
    ] {
        let cloth = job(fabric, rectangles);
        let text = words(&cloth, Units::Centimetres);
        for part in parts {
            assert!(text.contains(part), "{fabric}: {text}");
        }
    }
}

/// The spacing is an addend like the others.
#[test]
fn what_is_kept_free_is_named_in_a_sum() {
    let upright = "lengthwise";
    let pieces = [("A1", "46", "40", upright), ("B", "53", "30", upright)];
    let mut cloth = job("width = 99\nspacing = 1", &pieces);
    cloth.answer.bound = Bound {
        length: Length::from_cm(70),
        argument: Argument::SideBySide {
            items: vec![0, 1],
            line: None,
            larger: Larger {
                wider: Length::from_cm(1),
                longer: Length::ZERO,
            },
        },
    };
    assert_eq!(
        words(&cloth, Units::Centimetres),
        "piece A1 is 46 cm wide and piece B 53 cm wide; side by side they need 46 + 53 + 1 between them = 100 cm and the \
         cloth gives 99 cm; so one lies beyond the other: 40 + 30 = 70 cm at least"
    );
    let narrower = job("width = 98\nspacing = 1", &pieces);
    let text = words(&narrower, Units::Centimetres);
    assert!(
        text.ends_with("40 + 30 + 1 between them = 71 cm at least"),
        "{text}"
    );
}

/// 30 wide and 90 long laid sideways is 30 long; as long as it is where it may not.
#[test]
fn a_length_that_only_turning_makes_is_called_so() {
    let text = |grain: &str| {
        let cloth = job("width = 100", &[("sash", "30", "90", grain)]);
        words(&cloth, Units::Centimetres)
    };
    assert_eq!(text("either"), "the sash is that long, even laid sideways");
    assert_eq!(text("lengthwise"), "the sash is that long");
}

#[test]
fn a_few_are_named_and_the_others_counted() {
    let names = ["cuff", "collar", "yoke", "belt", "tie", "flap"];
    let all: Vec<(&str, &str, &str, &str)> = names
        .iter()
        .map(|&name| (name, "60", "10", "lengthwise"))
        .collect();
    let cloth = job("width = 100", &all);
    let items: Vec<usize> = (0..6).collect();
    assert_eq!(
        names::listed(&cloth, Units::Centimetres, &items),
        "the cuff, the collar, the yoke, the belt and 2 more pieces"
    );
    let text = words(&cloth, Units::Centimetres);
    assert!(
        text.contains("all 6 lie one beyond the other: 6 \u{d7} 10 = 60 cm at least"),
        "{text}"
    );
}
