//! Which rule is broken, by which pieces, and where: in words that a person at the table reads.

use std::fmt;

use pieces::{Length, Point};

use crate::problem::Turn;

/// A piece in a message: its number in the list that was checked, from 0, and its name if known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// From 0; written from 1.
    pub index: usize,
    /// Its label, where the problem is known.
    pub label: Option<String>,
}

impl fmt::Display for Named {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.label {
            Some(label) => write!(f, "piece {}, {label},", self.index + 1),
            None => write!(f, "piece {}", self.index + 1),
        }
    }
}

/// A border of the cloth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left border of the usable width.
    Left,
    /// Right border of the usable width.
    Right,
    /// The cut end, y = 0.
    Start,
    /// The marker's end.
    End,
}

impl Side {
    /// The corner that lies farthest out over this border.
    pub(super) fn farthest(self, corners: &[Point]) -> Point {
        let out = |p: &&Point| match self {
            Side::Left => -p.x,
            Side::Right => p.x,
            Side::Start => -p.y,
            Side::End => p.y,
        };
        *corners
            .iter()
            .max_by_key(out)
            .expect("an outline has corners")
    }

    fn words(self) -> &'static str {
        match self {
            Side::Left => "the left border of the usable width",
            Side::Right => "the right border of the usable width",
            Side::Start => "the cut end",
            Side::End => "the end of the marker",
        }
    }
}

/// The rules a marker keeps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// The interiors of two pieces meet.
    Overlap,
    /// Two pieces are nearer than the spacing.
    TooClose {
        /// The spacing that was asked for.
        spacing: Length,
    },
    /// A piece reaches over a border of the cloth.
    Outside {
        /// Which border.
        side: Side,
        /// How far over it.
        by: Length,
    },
    /// A piece covers part of a flaw.
    OnFlaw {
        /// Its number, from 0.
        flaw: usize,
    },
    /// A turn that the item does not allow.
    Turned {
        /// The turn it has.
        turn: Turn,
        /// The turns it may have.
        allowed: Vec<Turn>,
    },
    /// Turned over where that is not allowed.
    Mirrored,
    /// Two pieces of one garment are turned differently.
    GarmentTurned {
        /// The garment's number.
        garment: u32,
    },
    /// Its point comes to no place of the print that it may come to.
    OffPrint,
    /// Two pieces that must match each other lie on different parts of the print.
    Unmatched,
    /// Copies of an item that are not laid.
    Missing {
        /// The item.
        item: usize,
        /// Its label.
        label: String,
        /// How many are missing.
        copies: usize,
    },
    /// The same copy is laid twice.
    CopyTwice {
        /// The copy, from 0.
        copy: u32,
    },
    /// A copy beyond those that were asked for.
    TooManyCopies {
        /// How many were asked for.
        copies: u32,
    },
    /// The placement is of an item that the problem does not have.
    UnknownItem {
        /// The number it gives.
        item: usize,
    },
    /// The marker's stated length is not the greatest y of its pieces.
    Length {
        /// What it states.
        stated: Length,
        /// What is true.
        greatest: Length,
    },
    /// The first of the straight cuts does not cut the marker off the cloth.
    NotCutOff,
    /// A straight cut does not run from edge to edge of what is left.
    CutNotFromEdgeToEdge {
        /// Its number, from 1.
        cut: usize,
    },
    /// A straight cut runs through a piece.
    CutThrough {
        /// Its number, from 1.
        cut: usize,
    },
    /// A straight cut runs nearer to a piece than half of the spacing.
    CutTooNear {
        /// Its number, from 1.
        cut: usize,
    },
    /// A straight cut comes too late to be torn: across, along, across, then trimmed.
    CutNoTear {
        /// Its number, from 1.
        cut: usize,
    },
    /// Two pieces that no straight cut parts.
    NotParted,
    /// A piece that is left in a part larger than itself.
    NotTrimmed,
    /// A coordinate so large that it cannot be computed with exactly; not checked further.
    TooFar,
}

/// One broken rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Violation {
    /// Which.
    pub rule: Rule,
    /// By which piece or pair; empty where it is about the marker as a whole.
    pub pieces: Vec<Named>,
    /// Where: inside the overlap, the nearest corner, the corner outside, or the piece's place. To a
    /// micrometre; for messages.
    pub at: Option<Point>,
}

impl Violation {
    /// In words, with lengths as `write` gives them.
    #[must_use]
    pub fn in_words(&self, write: &dyn Fn(Length) -> String) -> String {
        let mut out = String::new();
        // Writing into a string does not fail.
        let _ = self.say(&mut out, write);
        out
    }

    fn say(&self, f: &mut dyn fmt::Write, write: &dyn Fn(Length) -> String) -> fmt::Result {
        match self.pieces.as_slice() {
            [] => {}
            [one] => write!(f, "{one} ")?,
            [one, other, ..] => write!(f, "{one} and {other} ")?,
        }
        match &self.rule {
            Rule::Overlap => write!(f, "overlap")?,
            Rule::TooClose { spacing } => {
                write!(f, "are nearer to each other than {}", write(*spacing))?;
            }
            Rule::Outside { side, by } => {
                write!(f, "reaches {} over {}", write(*by), side.words())?;
            }
            Rule::OnFlaw { flaw } => write!(f, "lies on flaw {}", flaw + 1)?,
            Rule::Turned { turn, allowed } => {
                let allowed: Vec<String> = allowed
                    .iter()
                    .map(|turn| turn.degrees().to_string())
                    .collect();
                let allowed = allowed.join(", ");
                write!(
                    f,
                    "is turned by {} degrees; allowed: {allowed}",
                    turn.degrees()
                )?;
            }
            Rule::Mirrored => write!(f, "is turned over, which this cloth does not allow")?,
            Rule::GarmentTurned { garment } => write!(
                f,
                "belong to one garment (number {garment}) and must be turned the same way"
            )?,
            Rule::OffPrint => write!(f, "lies on another part of the print than it must")?,
            Rule::Unmatched => write!(
                f,
                "must match each other and lie on different parts of the print"
            )?,
            Rule::Missing { label, copies, .. } => {
                write!(
                    f,
                    "{label} is missing {copies} time{}",
                    if *copies == 1 { "" } else { "s" }
                )?;
            }
            Rule::CopyTwice { copy } => write!(f, "are the same copy, number {}", copy + 1)?,
            Rule::TooManyCopies { copies } => write!(f, "is laid beyond the {copies} asked for")?,
            Rule::UnknownItem { item } => {
                write!(f, "is of item {item}, which the job does not have")?;
            }
            Rule::Length { stated, greatest } => write!(
                f,
                "the marker states {}, but its pieces end at {}",
                write(*stated),
                write(*greatest)
            )?,
            Rule::NotCutOff => write!(f, "the first cut does not cut the marker off the cloth")?,
            Rule::CutNotFromEdgeToEdge { cut } => write!(
                f,
                "cut {cut} does not run from edge to edge of what is left"
            )?,
            Rule::CutThrough { cut } => write!(f, "is cut through by cut {cut}")?,
            Rule::CutTooNear { cut } => {
                write!(f, "is nearer to cut {cut} than half of the spacing")?;
            }
            Rule::CutNoTear { cut } => {
                write!(
                    f,
                    "cut {cut} comes too late: cloth is torn across, along and across"
                )?;
            }
            Rule::NotParted => write!(f, "are parted by no cut")?,
            Rule::NotTrimmed => write!(f, "is left in a part that is larger than it")?,
            Rule::TooFar => write!(f, "lies too far out to be computed exactly")?,
        }
        match self.at {
            Some(at) => {
                let (across, along) = (Length::from_um(at.x), Length::from_um(at.y));
                write!(f, " at {} across, {} along", write(across), write(along))
            }
            None => Ok(()),
        }
    }
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.say(f, &|length| mm(length.um()))
    }
}

/// Millimetres with as many decimals as it takes, exactly.
fn mm(um: i64) -> String {
    let sign = if um < 0 { "-" } else { "" };
    let (whole, rest) = (um.unsigned_abs() / 1_000, um.unsigned_abs() % 1_000);
    if rest == 0 {
        return format!("{sign}{whole} mm");
    }
    let decimals = format!("{rest:03}");
    format!("{sign}{whole}.{} mm", decimals.trim_end_matches('0'))
}
