//! What is asked: pieces as bare outlines with their allowed turns, and one cloth to lay them on.
//!
//! x runs across the cloth from its left edge, y along it from the cut end, whole micrometres. Items
//! are outlines as they lie on the grain before any allowed turn; [`crate::turns`] makes them from
//! pieces and fabrics.

use pieces::{Cutting, Length, Outline, Point, Sold};
use serde::{Deserialize, Serialize};

/// An exact turn by quarters of a circle, counter-clockwise.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(into = "u16", try_from = "u16")]
pub enum Turn {
    /// As it is.
    #[default]
    None,
    /// By 90 degrees.
    Quarter,
    /// By 180 degrees: end for end.
    Half,
    /// By 270 degrees.
    ThreeQuarters,
}

impl Turn {
    /// All four.
    pub const ALL: [Turn; 4] = [Turn::None, Turn::Quarter, Turn::Half, Turn::ThreeQuarters];

    /// How many quarters: 0 to 3.
    #[must_use]
    pub const fn quarters(self) -> u8 {
        match self {
            Turn::None => 0,
            Turn::Quarter => 1,
            Turn::Half => 2,
            Turn::ThreeQuarters => 3,
        }
    }

    /// Degrees, counter-clockwise.
    #[must_use]
    pub const fn degrees(self) -> u16 {
        self.quarters() as u16 * 90
    }
}

impl From<Turn> for u16 {
    fn from(turn: Turn) -> u16 {
        turn.degrees()
    }
}

impl TryFrom<u16> for Turn {
    type Error = String;
    fn try_from(degrees: u16) -> Result<Self, String> {
        Turn::ALL
            .into_iter()
            .find(|t| t.degrees() == degrees)
            .ok_or_else(|| format!("a turn is 0, 90, 180 or 270 degrees, not {degrees}"))
    }
}

/// A shape to be laid a number of times.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// For messages: `front panel (Ilka)`.
    pub label: String,
    /// Cut edge as it lies on the grain at turn 0.
    pub outline: Outline,
    /// How many to lay.
    pub copies: u32,
    /// Allowed turns, ascending, never empty.
    pub turns: Vec<Turn>,
    /// True if it may be turned over (mirrored at its y axis before it is turned).
    pub may_mirror: bool,
    /// If set, all items with this number must take the same turn.
    pub garment: Option<u32>,
    /// If set, it may lie only where its point comes to a place of the print.
    pub anchor: Option<Anchor>,
}

/// A point of an item that must come to a place of the cloth's print: a motif in the middle of each panel,
/// stripes that meet at a seam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Anchor {
    /// In the frame of the item's outline; mirrored and turned with it.
    pub point: Point,
    /// Where it may come to.
    pub lattice: Lattice,
    /// If set, the print may begin anywhere along the cloth for all items with this number, though at
    /// one place for all of them: they match each other. Each has a lattice of the same periods.
    pub set: Option<u32>,
}

/// Places of the cloth at which its print looks the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Lattice {
    /// One of the places.
    pub start: Point,
    /// From one to the next across the cloth; zero if any x will do.
    pub across: Length,
    /// From one to the next along it; zero if any y will do.
    pub along: Length,
    /// After how many columns one is level with the first again, those between a share of the period
    /// further along each: 1 for a straight print (0 counts as 1), 2 for a half drop. Shares are rounded
    /// down to whole micrometres.
    pub columns: u32,
}

/// One continuous length of cloth.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cloth {
    /// Left border of the usable width.
    pub left: Length,
    /// Right border of the usable width.
    pub right: Length,
    /// Places that no piece may cover.
    pub flaws: Vec<Outline>,
    /// Lengths on hand, each asked about on its own; empty where the cloth is to be bought.
    pub on_hand: Vec<Length>,
    /// How more of it is bought, if it is: a proof that less will not do is most worth where it saves a step.
    pub sold: Option<Sold>,
}

impl Cloth {
    /// Right border less left border.
    #[must_use]
    pub fn usable_width(&self) -> Length {
        self.right - self.left
    }
}

/// One question to [`crate::plan()`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problem {
    /// What is laid on.
    pub cloth: Cloth,
    /// What is laid.
    pub items: Vec<Item>,
    /// Kept free between pieces; zero lets them share a cut line. The cloth's edges need none.
    pub spacing: Length,
    /// Positions are put on whole multiples of this where they stay valid: 1 mm, 1/8 in.
    pub marking_step: Option<Length>,
    /// How pieces are cut out; unless it is free, each stands for its box, and there may be no flaws, no
    /// prints.
    pub cutting: Cutting,
}

/// Where one copy of an item lies.
///
/// The item's outline is mirrored at the y axis (if so), turned about the origin, then moved by `at`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Placement {
    /// Index into [`Problem::items`].
    pub item: usize,
    /// Which copy, from 0.
    pub copy: u32,
    /// Its turn.
    pub turn: Turn,
    /// Whether it is turned over.
    pub mirrored: bool,
    /// What its origin moves to.
    pub at: Point,
}

/// A cutting layout: every copy of every item with its place.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Marker {
    /// In order of item, then copy.
    pub placements: Vec<Placement>,
    /// Greatest y of any piece: the length needed.
    pub length: Length,
}

/// Which way a cut runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum CutDirection {
    /// From selvedge towards selvedge.
    Across,
    /// Along the selvedges.
    Along,
}

/// A straight cut from edge to edge of the part that it cuts in two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Cut {
    /// Which way it runs.
    pub direction: CutDirection,
    /// Its y if it runs across the cloth, its x if it runs along it.
    #[serde(rename = "at_um")]
    pub at: Length,
    /// Where it begins: an x if it runs across the cloth, else a y.
    #[serde(rename = "from_um")]
    pub from: Length,
    /// Where it ends.
    #[serde(rename = "to_um")]
    pub to: Length,
}

/// What straight cuts need not take off: a strip at the side of a piece that is narrower than this.
///
/// Nobody tears or cuts off less than a tape shows: a marking step, and no more than 1 mm where the step is
/// coarser; nothing without a step. Common practice, no published source.
#[must_use]
pub fn sliver(marking_step: Option<Length>) -> Length {
    let step = marking_step.unwrap_or_default();
    step.clamp(Length::ZERO, Length::from_mm(1))
}

impl Problem {
    /// How many pieces in all.
    #[must_use]
    pub fn piece_count(&self) -> usize {
        self.items.iter().map(|i| i.copies as usize).sum()
    }

    /// Whether every marker of the one problem is one of the other, and every bound: what pieces are called, how cloth
    /// is sold, what is on hand and the marking step make no difference to either.
    #[must_use]
    pub fn is_laid_as(&self, other: &Problem) -> bool {
        let cloth = |cloth: &Cloth| (cloth.left, cloth.right, cloth.flaws.clone());
        let plain = |item: &Item| Item {
            label: String::new(),
            ..item.clone()
        };
        let items = |problem: &Problem| problem.items.iter().map(plain).collect::<Vec<Item>>();
        cloth(&self.cloth) == cloth(&other.cloth)
            && (self.spacing, self.cutting) == (other.spacing, other.cutting)
            && items(self) == items(other)
    }

    /// The outline of a placement on the cloth.
    #[must_use]
    pub fn placed(&self, placement: &Placement) -> Outline {
        let outline = &self.items[placement.item].outline;
        let outline = if placement.mirrored {
            outline.mirrored()
        } else {
            outline.clone()
        };
        outline
            .turned(placement.turn.quarters())
            .moved(placement.at)
    }
}
