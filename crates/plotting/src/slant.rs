//! Words along a piece that lies at 45 degrees.
//!
//! The page is turned about the middle of the piece until the piece stands upright, room is looked for
//! there as for any other piece, and the words are turned back. Tried both ways round; only for a
//! piece that is seen as a whole.

use crate::drawing::Drawn;
use crate::labels::{Wanted, texts_in};
use crate::paper::{Rect, Spot};
use crate::room::CLEARANCE;
use crate::scene::{Slope, Text};

/// The words of a piece, turned along it; `None` where they find no room or the piece lies straight.
pub(crate) fn along_the_piece(
    piece: &Drawn<'_>,
    wanted: &Wanted,
    window: Rect,
    lines_in_the_way: &[(Spot, Spot)],
) -> Option<Vec<Text>> {
    let straight = piece.placed.turned_deg.is_multiple_of(90);
    if straight || !window.contains(piece.bounds) {
        return None;
    }
    let both = [Slope::Rising, Slope::Falling].map(|slope| {
        let turn = Turn {
            about: piece.bounds.centre(),
            degrees: -slope.degrees(),
        };
        let mut room = piece.turned_room(&|spot| turn.there(spot))?;
        for &(a, b) in lines_in_the_way {
            room.block_stretch(turn.there(a), turn.there(b), CLEARANCE);
        }
        let (place, lines, size) = wanted.place_words(&mut room)?;
        let bold = usize::from(lines.len() > 1);
        let texts: Vec<Text> = texts_in(place, &lines, size, false, bold)
            .into_iter()
            .map(|text| Text {
                at: turn.back(text.at),
                slope,
                ..text
            })
            .collect();
        Some((size, texts))
    });
    let mut found: Vec<(f64, Vec<Text>)> = both.into_iter().flatten().collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().next().map(|(_, texts)| texts)
}

/// A turn of the page about a spot, clockwise.
struct Turn {
    about: Spot,
    degrees: f64,
}

impl Turn {
    fn there(&self, spot: Spot) -> Spot {
        spot.turned(self.about, self.degrees)
    }

    fn back(&self, spot: Spot) -> Spot {
        spot.turned(self.about, -self.degrees)
    }
}
