//! From pieces and a fabric to items: which turns grain and direction allow.
//!
//! | fabric direction | lengthwise, crosswise or bias piece | piece with either grain |
//! |---|---|---|
//! | none | 0, 180 | 0, 90, 180, 270 |
//! | two-way | 0, 180 | 0, 180 |
//! | one-way per garment | 0 or 180, one choice per garment | the same |
//! | one-way | 0 | 0 |
//!
//! Source: the usual trade modes (nap either way, up and down, one way) as textbooks on cutting describe
//! them; turning a piece over only where both faces of the cloth are alike.

use pieces::{Direction, Fabric, Grain, Length, Piece};

use crate::problem::{Cloth, Item, Problem, Turn};

/// The item that lays `piece` on `fabric`.
#[must_use]
pub fn item(piece: &Piece, fabric: &Fabric) -> Item {
    let turns = match (fabric.direction, piece.grain) {
        (Direction::OneWay, _) => vec![Turn::None],
        (Direction::None, Grain::Either) => Turn::ALL.to_vec(),
        _ => vec![Turn::None, Turn::Half],
    };
    let label = match &piece.wearer {
        Some(wearer) => format!("{} ({wearer})", piece.name),
        None => piece.name.clone(),
    };
    Item {
        label,
        outline: piece.on_grain(),
        copies: piece.copies,
        turns,
        may_mirror: fabric.faces_alike,
        garment: (fabric.direction == Direction::OneWayPerGarment).then_some(piece.garment),
        anchor: None,
    }
}

/// The problem of laying `pieces` on one cloth of `fabric`. Cloth on hand counts as washed.
#[must_use]
pub fn problem(pieces: &[Piece], fabric: &Fabric, marking_step: Length) -> Problem {
    let (left, right) = fabric.usable_width();
    Problem {
        cloth: Cloth {
            left,
            right,
            flaws: Vec::new(),
            on_hand: fabric
                .on_hand
                .iter()
                .map(|&l| fabric.after_washing(l))
                .collect(),
            sold: Some(fabric.sold()),
        },
        items: pieces.iter().map(|p| item(p, fabric)).collect(),
        spacing: fabric.spacing,
        marking_step: Some(marking_step),
        cutting: fabric.cutting,
    }
}
