//! Every draft that draws with its defaults is drawn on a cloth, at a common and at a small scale.

use std::collections::BTreeMap;

use pieces::draft::{self, Brief};
use pieces::{Direction, Length, Piece, Point, Settings, Units, Wearer};

use crate::frame::PieceFrame;
use crate::marker::marker_scene;
use crate::sheet::{Placed, Sheet};
use crate::test_sheets::fabric;

/// Pieces one after another along the cloth, as they lie on their grain; and where the last one ends.
fn in_a_row(pieces: &[Piece]) -> (Vec<Placed<'_>>, i64) {
    let mut end = 0;
    let placed = pieces
        .iter()
        .map(|piece| {
            let mut placed = Placed {
                piece,
                copy: 0,
                turned_deg: piece.grain.degrees(),
                mirrored: false,
                at: Point::new(0, 0),
            };
            let frame = PieceFrame::of(&placed);
            let points: Vec<(f64, f64)> = piece
                .cut
                .points()
                .iter()
                .map(|&p| frame.on_cloth(p))
                .collect();
            let low = |of: fn(&(f64, f64)) -> f64| points.iter().map(of).fold(f64::MAX, f64::min);
            let high = points.iter().map(|p| p.1).fold(f64::MIN, f64::max);
            placed.at = Point::new(
                10_000 - low(|p| p.0).floor() as i64,
                end - low(|p| p.1).floor() as i64,
            );
            end += (high - low(|p| p.1)).ceil() as i64 + 1;
            placed
        })
        .collect();
    (placed, end)
}

#[test]
fn the_pieces_of_every_draft_are_labelled_clear_of_their_edges() {
    let mut wearer = Wearer::new("Ilka");
    for (key, cm) in [
        ("waist_girth", 72),
        ("low_waist_girth", 88),
        ("hip_girth", 101),
        ("skirt_length", 60),
        ("skirt_length_front", 97),
        ("skirt_length_back", 99),
    ] {
        wearer.measurements.insert(key.into(), Length::from_cm(cm));
    }
    let settings = Settings::default();
    let mut drawn = Vec::new();
    for direction in [Direction::None, Direction::OneWay] {
        let linden = fabric("linden", 320, direction);
        let fabrics = BTreeMap::from([("linden".to_owned(), linden.clone())]);
        for draft in draft::all() {
            let brief = Brief {
                wearer: &wearer,
                settings: &settings,
                path: "make[1]",
                units: Units::Centimetres,
                shown_in: Units::Centimetres,
                fabric: &linden,
                fabrics: &fabrics,
                garment: 0,
            };
            // Some drafts have no default for their size; they ask for it.
            let Ok(drafted) = draft.draw(&brief) else {
                continue;
            };
            let (placed, end) = in_a_row(&drafted.pieces);
            let needed = Length::from_um(end);
            let sheet = Sheet {
                job: draft.name(),
                fabric: &linden,
                units: Units::Centimetres,
                placed,
                flaws: Vec::new(),
                cuts: Vec::new(),
                needed,
                bound: needed,
                on_hand: None,
                to_buy: Some(linden.length_to_buy(needed)),
                verdict: None,
                largest_rounding: Length::ZERO,
                date: None,
            };
            let scene = marker_scene(&sheet);
            if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
                let name = format!("draft-{}.svg", draft.name().replace(' ', "-"));
                std::fs::write(std::path::Path::new(&folder).join(name), scene.write()).unwrap();
            }
            let found = scene.overlaps();
            assert!(found.is_empty(), "{}: {found:#?}", draft.name());
            drawn.push(draft.name());
        }
    }
    assert!(drawn.len() >= 8, "{drawn:?}");
}
