//! Lengths, sizes and verdicts in words, in the person's unit.

use nesting::Verdict;
use pieces::units::Finer;
use pieces::{Direction, Drape, Length, Piece, Units};

use crate::font::shorten_to;
use crate::sheet::{Placed, Sheet};
use crate::view::View;

/// True for units that are read in inches.
pub(crate) const fn is_inches(units: Units) -> bool {
    matches!(units, Units::Inches | Units::Yards)
}

/// `35.0 × 99.0 cm`: the first number's unit is dropped where both have the same.
pub(crate) fn size(units: Units, across: Length, along: Length) -> String {
    side_by_side(&units.write(across), &units.write(along))
}

/// The same for cloth, which is never printed larger than it is.
pub(crate) fn size_down(units: Units, across: Length, along: Length) -> String {
    side_by_side(&units.write_down(across), &units.write_down(along))
}

fn side_by_side(across: &str, along: &str) -> String {
    let unit = along.rsplit_once(' ').map_or("", |(_, unit)| unit);
    let across = match across.rsplit_once(' ') {
        Some((value, same)) if same == unit => value,
        _ => across,
    };
    format!("{across} \u{d7} {along}")
}

/// Across by along of a piece in its own frame, as the person drafted it.
pub(crate) fn piece_size(units: Units, piece: &Piece) -> String {
    let bounds = piece.cut.bounds();
    size(units, bounds.across(), bounds.along())
}

/// `1 of 2`; `None` for a piece that is cut once.
pub(crate) fn copy_of(placed: &Placed<'_>) -> Option<String> {
    (placed.piece.copies > 1).then(|| format!("{} of {}", placed.copy + 1, placed.piece.copies))
}

/// That a piece is laid with left and right changed.
pub(crate) const TURNED_OVER: &str = "turned over";

/// What is said of this copy beside its name and size: `1 of 2, turned over`.
pub(crate) fn of_this_copy(placed: &Placed<'_>) -> Option<String> {
    let parts = [
        copy_of(placed),
        placed.mirrored.then(|| TURNED_OVER.to_owned()),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// One line that says all about a piece, whichever of its copies it is, for the numbered list.
pub(crate) fn piece_line(units: Units, placed: &Placed<'_>) -> String {
    let mut parts = vec![shorten_to(&placed.piece.name, 30)];
    parts.extend(placed.piece.wearer.as_ref().map(|w| shorten_to(w, 28)));
    parts.push(piece_size(units, placed.piece));
    parts.extend(placed.mirrored.then(|| TURNED_OVER.to_owned()));
    parts.join(", ")
}

/// How the lengths of one cloth are written beside each other: what is needed rounded up, what is
/// there or proved rounded down, so finely that they read in the order that they have.
#[derive(Clone, Copy)]
pub(crate) struct Written {
    units: Units,
    finer: Finer,
}

impl Written {
    pub(crate) fn of(sheet: &Sheet<'_>, units: Units) -> Self {
        let offers = sheet.fabric.on_hand.iter().chain(sheet.on_hand.as_ref());
        let there: Vec<Length> = offers
            .map(|&cloth| sheet.fabric.after_washing(cloth))
            .collect();
        let finer = units.finer_for(sheet.needed, sheet.bound, &there);
        Written { units, finer }
    }

    pub(crate) fn up(self, length: Length) -> String {
        self.units.write_up_finer(length, self.finer)
    }

    pub(crate) fn down(self, length: Length) -> String {
        self.units.write_down_finer(length, self.finer)
    }
}

/// The verdict in a few words and what follows from it in a sentence.
pub(crate) fn verdict(view: &View<'_>) -> (String, String) {
    let sheet = view.sheet;
    let written = Written::of(sheet, sheet.units);
    let (up, down) = (|length| written.up(length), |length| written.down(length));
    let there = view.there.unwrap_or(Length::ZERO);
    match sheet.verdict {
        Some(Verdict::Enough) => (
            "Enough".to_owned(),
            match there - sheet.needed {
                Length::ZERO => "It fits exactly, nothing to spare.".to_owned(),
                spare if down(spare) == down(Length::ZERO) => {
                    format!("Less than {} to spare.", up(spare))
                }
                spare => format!("{} to spare.", down(spare)),
            },
        ),
        Some(Verdict::NotEnough) => (
            "Not enough, proved".to_owned(),
            match down(sheet.bound - there) {
                // What is proved may be no more than that.
                short if short == down(Length::ZERO) => {
                    format!("More than {} is needed.", down(there))
                }
                short => format!("Short by at least {short}."),
            },
        ),
        Some(Verdict::Undecided) => (
            "Undecided".to_owned(),
            format!(
                "The shortest marker is between {} and {} long.",
                down(sheet.bound),
                up(sheet.needed)
            ),
        ),
        None => match sheet.to_buy {
            Some(buy) => (
                format!("Buy {}", sheet.units.write_bought(buy)),
                String::new(),
            ),
            None => (format!("{} needed", up(sheet.needed)), String::new()),
        },
    }
}

/// What the fabric's direction asks of the layout; `None` for plain cloth.
pub(crate) const fn direction(direction: Direction) -> Option<&'static str> {
    match direction {
        Direction::None => None,
        Direction::TwoWay => Some("two-way"),
        Direction::OneWay => Some("one-way"),
        Direction::OneWayPerGarment => Some("one-way per garment"),
    }
}

/// True if pieces get direction arrows.
pub(crate) const fn has_arrows(direction: Direction) -> bool {
    matches!(direction, Direction::OneWay | Direction::OneWayPerGarment)
}

/// Drape in a word.
pub(crate) const fn drape(drape: Drape) -> &'static str {
    match drape {
        Drape::Crisp => "crisp",
        Drape::Soft => "soft",
    }
}

/// What the positions' relation to the marking step means at the table.
pub(crate) fn rounding(sheet: &Sheet<'_>) -> String {
    let largest = sheet.largest_rounding;
    if !largest.is_positive() {
        return "all on the step".to_owned();
    }
    format!("up to {}", sheet.units.write_rounding(largest))
}
