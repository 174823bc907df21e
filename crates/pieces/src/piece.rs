//! [`Piece`]: one shape to cut, with everything a person needs to know at the table.
//!
//! A piece is drawn in its own frame as it is worn: x to the right across the body, y from the hem
//! upwards, so a skirt panel stands on its hem. On the cloth y runs along the selvedge; how a piece
//! may be laid follows from its [`Grain`] and the fabric's direction, and is decided in `nesting`.

use serde::{Deserialize, Serialize};

use crate::length::Length;
use crate::outline::{Outline, Point};
use crate::path::Path;
use crate::tilt;

/// Which line of the cloth the piece's own y axis follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// y along the selvedge.
    Lengthwise,
    /// y across the cloth, from selvedge to selvedge.
    Crosswise,
    /// y at 45 degrees to the selvedge.
    Bias,
    /// Either of lengthwise and crosswise: bands and casings in cloth without direction.
    Either,
}

/// What a mark on a piece is for; the drawing chooses its look by this.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NotchKind {
    /// Centre front or centre back.
    Centre,
    /// Meets the notch of the same label on another piece.
    Match,
    /// End of an opening that stays unsewn (elastic, fastening).
    Opening,
    /// Where two strips are joined.
    Join,
}

/// What the name of a mirrored piece ends with.
pub const MIRRORED: &str = ", mirrored";

/// A short mark at the cut edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Notch {
    /// On the cut edge, in the piece's frame.
    pub at: Point,
    /// What it is for.
    pub kind: NotchKind,
    /// What is written beside it, short: `CF`, `side`, `open`. May be empty.
    pub label: String,
}

/// A line drawn on a piece besides its edges: a fold, a join, a gathering line.
#[derive(Clone, Debug, PartialEq)]
pub struct GuideLine {
    /// The line, in the piece's frame.
    pub path: Path,
    /// What it is: `fold`, `gather`.
    pub label: String,
}

/// An allowance between finished edge and cut edge, named so that it is never hidden in a number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Allowance {
    /// Which edge: `hem`, `top`, `side seams`.
    pub edge: String,
    /// Its width.
    pub width: Length,
}

/// One shape to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is: `front panel`, `waistband`.
    pub name: String,
    /// Whose it is; `None` where it belongs to nobody in particular.
    pub wearer: Option<String>,
    /// Which garment it belongs to, counted from 0 over the job: pieces of one garment may have to
    /// point the same way.
    pub garment: u32,
    /// The fabric it is cut from, by its key in the job.
    pub fabric: String,
    /// How many to cut.
    pub copies: u32,
    /// Cut edge as a polygon that contains the piece: what layouts are made and checked with.
    pub cut: Outline,
    /// Cut edge as it is chalked, closed.
    pub cut_path: Path,
    /// Openings cut out of the middle (the waist of a full circle), closed. They lie inside
    /// `cut_path`; layouts do not use the cloth in them.
    pub cut_outs: Vec<Path>,
    /// Finished edges, dashed on the drawing; closed or open.
    pub finished: Vec<Path>,
    /// How it lies on the grain.
    pub grain: Grain,
    /// The hem along the cut edge, where the piece has one.
    pub hem: Option<Path>,
    /// Marks at the cut edge.
    pub notches: Vec<Notch>,
    /// Fold lines and the like.
    pub guides: Vec<GuideLine>,
    /// The allowances that are inside `cut`, by edge.
    pub allowances: Vec<Allowance>,
}

impl Grain {
    /// Degrees that the piece's own frame is turned, counter-clockwise, to lie on the grain.
    #[must_use]
    pub const fn degrees(self) -> u16 {
        match self {
            Grain::Lengthwise | Grain::Either => 0,
            Grain::Crosswise => 90,
            Grain::Bias => 45,
        }
    }
}

impl Piece {
    /// The same piece for the other side of the body: mirrored at the y axis with all its marks, and
    /// named for it.
    #[must_use]
    pub fn mirrored(&self) -> Piece {
        let across = |p: Point| Point::new(-p.x, p.y);
        let paths = |paths: &[Path]| paths.iter().map(Path::mirrored).collect();
        let mut piece = Piece {
            name: format!("{}{MIRRORED}", self.name),
            cut: self.cut.mirrored(),
            cut_path: self.cut_path.mirrored(),
            cut_outs: paths(&self.cut_outs),
            finished: paths(&self.finished),
            hem: self.hem.as_ref().map(Path::mirrored),
            ..self.clone()
        };
        for notch in &mut piece.notches {
            notch.at = across(notch.at);
        }
        for guide in &mut piece.guides {
            guide.path = guide.path.mirrored();
        }
        piece
    }

    /// The cut edge as it lies on the grain, before any allowed turn.
    ///
    /// Exact for straight and crosswise grain. On the bias it is rounded outward by at most 1.5 um,
    /// see [`crate::tilt`]. Made anew at each call, in one pass over the corners and one check.
    #[must_use]
    pub fn on_grain(&self) -> Outline {
        match self.grain {
            Grain::Lengthwise | Grain::Either => self.cut.clone(),
            Grain::Crosswise => self.cut.turned(1),
            Grain::Bias => tilt::half_quarter(&self.cut),
        }
    }
}
