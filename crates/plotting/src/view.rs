//! What there is to see of one cloth: how far it is drawn, where it ends, what is left over.
//!
//! Lengths of a sheet are lengths to lay on, so a cloth on hand counts with what washing leaves of
//! it. The drawing runs to the end of the marker or of the cloth, whichever is further; where the page
//! would have to be smaller in scale for the sake of bare cloth, the drawing breaks off in it.

use pieces::{Bounds, Length, Outline, Point};

use crate::frame::{PieceFrame, exact_outline};
use crate::leftover::{cover, largest_beside};
use crate::sheet::{Placed, Sheet};
use crate::straight;
use crate::style::Wearers;

/// A turned outline that is not exact is rounded by less than this; its boxes grow by as much.
const TURN_ROUNDING: i64 = 10;

/// Strips narrower than this are no use to anybody and not offered as left over.
const LEAST_LEFT_OVER: Length = Length::from_cm(2);

/// Bare cloth behind the marker that is shown before the drawing breaks off.
const SHOWN_BARE: Length = Length::from_cm(20);

/// Less bare cloth than this is not worth a break.
const LEAST_BROKEN_OFF: Length = Length::from_cm(30);

/// One cloth, ready to be drawn.
#[derive(Clone)]
pub(crate) struct View<'a> {
    pub(crate) sheet: &'a Sheet<'a>,
    pub(crate) wearers: &'a Wearers,
    /// Cloth that is there to lay on: on hand, or bought; `None` if neither is known.
    pub(crate) there: Option<Length>,
    /// How far the drawing runs.
    pub(crate) drawn: Length,
    /// Largest upright rectangle that is left over; none of a cloth that is too short.
    pub(crate) left_over: Option<Bounds>,
    /// True if only cut edges, hems and words are drawn: to be looked at, not to be cut by.
    pub(crate) plain: bool,
}

impl<'a> View<'a> {
    pub(crate) fn new(sheet: &'a Sheet<'a>, wearers: &'a Wearers) -> Self {
        let washed = |length| sheet.fabric.after_washing(length);
        let there = sheet.on_hand.or(sheet.to_buy).map(washed);
        let drawn = sheet
            .needed
            .max(there.unwrap_or(Length::ZERO))
            .max(Length::from_cm(1));
        let end = there.unwrap_or(sheet.needed);
        // On a cloth that is too short for the marker nothing is left over.
        let short = end < sheet.needed;
        let (left, right) = sheet.fabric.usable_width();
        let within = Bounds {
            min: Point::new(left.um(), 0),
            max: Point::new(right.um(), end.um()),
        };
        let mut boxes: Vec<Bounds> = sheet.placed.iter().flat_map(boxes_of).collect();
        boxes.extend(sheet.flaws.iter().flat_map(cover));
        boxes.extend(sheet.cuts.iter().map(straight::around));
        let left_over = if short {
            None
        } else {
            // The gap kept between pieces is left over too, but no use.
            let gap = sheet.fabric.spacing + Length::from_um(1);
            largest_beside(within, &boxes, LEAST_LEFT_OVER.max(gap))
        };
        View {
            sheet,
            wearers,
            there,
            drawn,
            left_over,
            plain: false,
        }
    }

    /// The same with the drawing broken off in the bare cloth behind the marker; `None` if that leaves
    /// out too little to be of use.
    pub(crate) fn broken_off(&self) -> Option<View<'a>> {
        let drawn = (self.sheet.needed + SHOWN_BARE).up_to_step(Length::from_cm(10));
        (self.drawn - drawn >= LEAST_BROKEN_OFF).then(|| View {
            drawn,
            ..self.clone()
        })
    }

    /// The cloth behind the break; `None` if it is drawn to its end.
    pub(crate) fn not_drawn(&self) -> Option<Length> {
        let rest = self.there? - self.drawn;
        rest.is_positive().then_some(rest)
    }

    /// True if the marker is longer than the cloth that is there.
    pub(crate) fn too_short(&self) -> bool {
        self.there.is_some_and(|there| there < self.sheet.needed)
    }

    /// How much of the cloth up to the length needed, over its full width, is in pieces: tenths of a
    /// per cent, rounded down.
    pub(crate) fn used_permille(&self) -> Option<i64> {
        let sheet = self.sheet;
        let cloth = 2 * i128::from(sheet.needed.um()) * i128::from(sheet.fabric.width.um());
        let doubled: i128 = sheet
            .placed
            .iter()
            .map(|p| p.piece.cut.doubled_area())
            .sum();
        (cloth > 0).then(|| i64::try_from(doubled * 1_000 / cloth).unwrap_or(0))
    }
}

fn boxes_of(placed: &Placed<'_>) -> Vec<Bounds> {
    if let Some(outline) = exact_outline(placed) {
        return cover(&outline);
    }
    let frame = PieceFrame::of(placed);
    let turned: Vec<Point> = placed
        .piece
        .cut
        .points()
        .iter()
        .map(|&p| {
            let (x, y) = frame.on_cloth(p);
            Point::new(x.round() as i64, y.round() as i64)
        })
        .collect();
    let grown = |b: Bounds| Bounds {
        min: b.min.plus(Point::new(-TURN_ROUNDING, -TURN_ROUNDING)),
        max: b.max.plus(Point::new(TURN_ROUNDING, TURN_ROUNDING)),
    };
    let boxes = match Outline::new(turned.clone()) {
        Ok(outline) => cover(&outline),
        // Rounding made two edges touch: the box round it all contains it.
        Err(_) => Bounds::of(&turned).into_iter().collect(),
    };
    boxes.into_iter().map(grown).collect()
}
