//! What a drawing is made from: one cloth with its marker and the words that go with it, or several
//! choices of cloths that are compared.

use nesting::{Cut, Verdict};
use pieces::{Fabric, Length, Outline, Piece, Point, Units};

/// A piece with its place on the cloth.
///
/// The piece's paths are mirrored at the y axis (if so), turned about the origin by `turned_deg`
/// counter-clockwise, then moved by `at`. `turned_deg` holds the grain's own turn (45 for bias, 90
/// for crosswise) and the turn chosen in the layout.
#[derive(Clone, Copy, Debug)]
pub struct Placed<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// Which copy, from 0.
    pub copy: u32,
    /// Degrees, counter-clockwise.
    pub turned_deg: u16,
    /// Whether it is turned over.
    pub mirrored: bool,
    /// What its origin moves to.
    pub at: Point,
}

/// One cloth with its marker.
#[derive(Clone, Debug)]
pub struct Sheet<'a> {
    /// Title of the job.
    pub job: &'a str,
    /// The cloth's fabric.
    pub fabric: &'a Fabric,
    /// The person's unit.
    pub units: Units,
    /// The pieces in their places.
    pub placed: Vec<Placed<'a>>,
    /// Places that no piece may cover.
    pub flaws: Vec<Outline>,
    /// Straight cuts that part the pieces, in order; none where they are cut out freely.
    pub cuts: Vec<Cut>,
    /// Length of the marker.
    pub needed: Length,
    /// No marker is shorter: proved.
    pub bound: Length,
    /// Length on hand that was asked about.
    pub on_hand: Option<Length>,
    /// Length to buy, if it is to be bought.
    pub to_buy: Option<Length>,
    /// Verdict on `on_hand`.
    pub verdict: Option<Verdict>,
    /// Largest rounding of the printed positions; zero if all lie on the marking step.
    pub largest_rounding: Length,
    /// Printed only if given: same input, same bytes.
    pub date: Option<&'a str>,
}

/// One choice of a comparison and every cloth that it takes.
///
/// A sheet is captioned with the name of its fabric only where the choice has several cloths; the
/// label says the rest. A choice that cannot be cut has no cloths and is named all the same.
#[derive(Clone, Debug)]
pub struct Choice<'a> {
    /// What is chosen: `soft, 140 cm wide`.
    pub label: String,
    /// A sheet for each cloth, in the order in which they are to be shown.
    pub cloths: Vec<Sheet<'a>>,
}
