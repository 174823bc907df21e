use super::*;
use crate::problem::{Cloth, Item, Turn};
use pieces::{Length, Outline};

fn outline(corners: &[(i64, i64)]) -> Outline {
    Outline::new(corners.iter().map(|&(x, y)| Point::new(x, y)).collect()).unwrap()
}

fn item(outline: Outline, copies: u32, turns: &[Turn]) -> Item {
    Item {
        label: "panel".to_owned(),
        outline,
        copies,
        turns: turns.to_vec(),
        may_mirror: false,
        garment: None,
        anchor: None,
    }
}

fn problem(usable: i64, items: Vec<Item>) -> Problem {
    Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        items,
        ..Problem::default()
    }
}

/// What is said of a length: that it fits, that it does not, or neither.
fn fits(problem: &Problem, length: i64) -> Option<bool> {
    let by_sides = BySides::about(problem)?;
    let asker = Asker {
        can_lay: &|_| true,
        patience: 1,
        stop: &|| false,
        threads: 2,
    };
    let mut work = 2_000_000_000;
    let said = by_sides.ask(length, &mut work, &asker);
    println!("{length}: {} us", (2_000_000_000 - work) / 1000);
    match said {
        Outcome::Refused(_) => Some(false),
        Outcome::Laid(_) => Some(true),
        Outcome::Open => None,
    }
}

/// Geometry: head to tail two panels take the sum of their means and half of the flare across.
#[test]
fn two_trapezoids_mate_head_to_tail() {
    let panel = outline(&[(0, 0), (60_000, 0), (40_000, 90_000), (20_000, 90_000)]);
    let two = |usable| {
        problem(
            usable,
            vec![item(panel.clone(), 2, &[Turn::None, Turn::Half])],
        )
    };
    assert_eq!(fits(&two(100_000), 90_000), Some(true));
    assert_eq!(fits(&two(100_000), 89_999), Some(false));
    assert_eq!(fits(&two(99_999), 90_000), Some(false));
}
