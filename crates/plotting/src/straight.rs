//! Straight cuts from edge to edge: a light line of dashes in a dark one, over whatever lies there, so that it is
//! seen along the edges of pieces as it is on bare cloth, and in grey.

use nesting::{Cut, CutDirection};
use pieces::{Bounds, Cutting, Fabric, Length, Point};

use crate::frame::ClothFrame;
use crate::paper::PagePath;
use crate::scene::{Ink, Scene};
use crate::style::{DARK, PAGE};

const GROUND: Ink = Ink::solid(DARK, 0.7);
const DASHES: Ink = Ink::dashed(PAGE, 0.35, "1.4 0.9");

/// Both lines, the lower first.
pub(crate) const INKS: [Ink; 2] = [GROUND, DASHES];

/// What the line stands for.
pub(crate) fn words(cutting: Cutting) -> &'static str {
    match cutting {
        Cutting::Tear => "tear: from edge to edge, in the order listed",
        Cutting::Free | Cutting::Straight => "straight cut: in the order listed",
    }
}

/// A cut in words: where it runs, and from where to where, in lengths as `write` gives them. What runs across
/// the cloth is measured from the cut end, what runs along it from the upper edge of the drawing.
#[must_use]
pub fn cut_in_words(cut: &Cut, fabric: &Fabric, write: &mut dyn FnMut(Length) -> String) -> String {
    let sides: [Length; 2] = fabric.usable_width().into();
    let at = write(cut.at);
    match cut.direction {
        CutDirection::Across if [cut.from, cut.to] == sides => {
            format!("across at {at}, from edge to edge")
        }
        CutDirection::Across => {
            format!(
                "across at {at}, between {} and {}",
                write(cut.from),
                write(cut.to)
            )
        }
        CutDirection::Along => {
            format!(
                "along at {at}, from {} to {}",
                write(cut.from),
                write(cut.to)
            )
        }
    }
}

/// A box around a cut, since what it runs through is no longer in one piece.
pub(crate) fn around(cut: &Cut) -> Bounds {
    let [at, from, to] = [cut.at, cut.from, cut.to].map(Length::um);
    let (min, max) = match cut.direction {
        CutDirection::Across => (Point::new(from, at - 1), Point::new(to, at + 1)),
        CutDirection::Along => (Point::new(at - 1, from), Point::new(at + 1, to)),
    };
    Bounds { min, max }
}

pub(crate) fn draw(scene: &mut Scene, cuts: &[Cut], frame: &ClothFrame, clip: usize) {
    let line = |cut: &Cut| {
        let end = |v: i64| match cut.direction {
            CutDirection::Across => Point::new(v, cut.at.um()),
            CutDirection::Along => Point::new(cut.at.um(), v),
        };
        let [from, to] = [cut.from, cut.to].map(|v| frame.point(end(v.um())));
        PagePath::line(from, to)
    };
    // Nothing is written for no cuts.
    let inks: &[Ink] = if cuts.is_empty() { &[] } else { &INKS };
    for &ink in inks {
        scene.stroke(cuts.iter().map(line).collect(), ink, Some(clip), false);
    }
}
