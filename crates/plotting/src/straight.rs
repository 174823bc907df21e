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
        Cutting::Tear => "tear from edge to edge, in the order of the numbers",
        Cutting::Free | Cutting::Straight => "straight cut, in the order of the numbers",
    }
}

/// The cuts in words, in order: which way each runs, how far it lies from the cut end or from the upper edge of
/// the drawing, how far from the edge of the part that it cuts in two, and from where to where it runs. Lengths are as
/// `write` gives them; the first cut, which ends the layout, is `end`.
#[must_use]
pub fn cuts_in_words(
    cuts: &[Cut],
    fabric: &Fabric,
    end: &str,
    write: &mut dyn FnMut(Length) -> String,
) -> Vec<String> {
    let (left, right) = fabric.usable_width();
    let mut parts: Vec<Bounds> = Vec::new();
    let mut lines = Vec::with_capacity(cuts.len());
    for cut in cuts {
        let [at, from, to] = [cut.at, cut.from, cut.to].map(Length::um);
        let found = parts.iter().rposition(|part| match cut.direction {
            CutDirection::Across => {
                [from, to] == [part.min.x, part.max.x] && part.min.y < at && at < part.max.y
            }
            CutDirection::Along => {
                [from, to] == [part.min.y, part.max.y] && part.min.x < at && at < part.max.x
            }
        });
        let Some(found) = found else {
            lines.push(format!(
                "across the cloth, {end} from the cut end, all the way"
            ));
            parts.push(Bounds {
                min: Point::new(left.um(), 0),
                max: Point::new(right.um(), at),
            });
            continue;
        };
        let part = parts.remove(found);
        let [mut one, mut other] = [part; 2];
        let (way, whence, edge) = match cut.direction {
            CutDirection::Across => {
                (one.max.y, other.min.y) = (at, at);
                ("across", "cut end", part.min.y)
            }
            CutDirection::Along => {
                (one.max.x, other.min.x) = (at, at);
                ("along", "upper edge", part.min.x)
            }
        };
        parts.extend([other, one]);
        let near = if edge == 0 {
            String::new()
        } else {
            format!(
                " ({} from the part's edge)",
                write(Length::from_um(at - edge))
            )
        };
        let stretch =
            if [cut.from, cut.to] == [left, right] && cut.direction == CutDirection::Across {
                "all the way".to_owned()
            } else {
                format!("between {} and {}", write(cut.from), write(cut.to))
            };
        let at = write(cut.at);
        lines.push(format!(
            "{way} the cloth, {at} from the {whence}{near}, {stretch}"
        ));
    }
    lines
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

/// From where to where it runs, on the cloth.
pub(crate) fn ends(cut: &Cut) -> [Point; 2] {
    let end = |v: Length| match cut.direction {
        CutDirection::Across => Point::new(v.um(), cut.at.um()),
        CutDirection::Along => Point::new(cut.at.um(), v.um()),
    };
    [cut.from, cut.to].map(end)
}

pub(crate) fn draw(scene: &mut Scene, cuts: &[Cut], frame: &ClothFrame, clip: usize) {
    let line = |cut: &Cut| {
        let [from, to] = ends(cut).map(|end| frame.point(end));
        PagePath::line(from, to)
    };
    // Nothing is written for no cuts.
    let inks: &[Ink] = if cuts.is_empty() { &[] } else { &INKS };
    for &ink in inks {
        scene.stroke(cuts.iter().map(line).collect(), ink, Some(clip), false);
    }
}
