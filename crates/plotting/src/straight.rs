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

/// Of cuts in equal steps, no more places are named in a line.
const MOST_TOLD: usize = 6;

/// Cuts that are said in one line: one, or several like it one after the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutLine {
    /// Number of the first and of the last, from 1, as on the drawing.
    pub numbers: [usize; 2],
    /// Which way, where, and from where to where.
    pub words: String,
}

impl CutLine {
    /// `3`, or `3 to 6`.
    #[must_use]
    pub fn number(&self) -> String {
        match self.numbers {
            [first, last] if first == last => first.to_string(),
            [first, last] => format!("{first} to {last}"),
        }
    }
}

/// A cut, and the edge of the part that it cuts in two; `None` for what ends the layout.
struct Seen<'c> {
    cut: &'c Cut,
    edge: Option<i64>,
}

/// The cuts in words, in order: which way each runs, how far it lies from the cut end or from the upper edge of
/// the drawing, how far from the edge of the part that it cuts in two, and from where to where it runs. Those that run one
/// after the other from the same place to the same are one line. Lengths are as `write` gives them; the first cut,
/// which ends the layout, is `end`.
#[must_use]
pub fn cuts_in_words(
    cuts: &[Cut],
    fabric: &Fabric,
    end: &str,
    write: &mut dyn FnMut(Length) -> String,
) -> Vec<CutLine> {
    let sides = fabric.usable_width();
    let seen = seen(cuts, sides);
    let is_next = |one: &Seen<'_>, other: &Seen<'_>| {
        let [one, other] = [one, other].map(|seen| seen.edge.map(|_| seen.cut));
        one.zip(other).is_some_and(|(one, other)| {
            let place = |cut: &Cut| (cut.direction, cut.from, cut.to);
            place(one) == place(other) && one.at < other.at
        })
    };
    let mut next = 1;
    let lines = seen.chunk_by(is_next).map(|run| {
        let numbers = [next, next + run.len() - 1];
        next += run.len();
        let words = in_words(run, sides, end, write);
        CutLine { numbers, words }
    });
    lines.collect()
}

/// Each with the edge of the part in which it runs.
fn seen<'c>(cuts: &'c [Cut], (left, right): (Length, Length)) -> Vec<Seen<'c>> {
    let mut parts: Vec<Bounds> = Vec::new();
    let mut all = Vec::with_capacity(cuts.len());
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
            all.push(Seen { cut, edge: None });
            parts.push(Bounds {
                min: Point::new(left.um(), 0),
                max: Point::new(right.um(), at),
            });
            continue;
        };
        let part = parts.remove(found);
        let [mut one, mut other] = [part; 2];
        let edge = match cut.direction {
            CutDirection::Across => {
                (one.max.y, other.min.y) = (at, at);
                part.min.y
            }
            CutDirection::Along => {
                (one.max.x, other.min.x) = (at, at);
                part.min.x
            }
        };
        parts.extend([other, one]);
        let edge = Some(edge);
        all.push(Seen { cut, edge });
    }
    all
}

/// One line: a cut, or some that are alike.
fn in_words(
    run: &[Seen<'_>],
    (left, right): (Length, Length),
    end: &str,
    write: &mut dyn FnMut(Length) -> String,
) -> String {
    let (cut, Some(edge)) = (run[0].cut, run[0].edge) else {
        return format!("across the cloth, {end} from the cut end, all the way");
    };
    let (way, whence) = match cut.direction {
        CutDirection::Across => ("across", "cut end"),
        CutDirection::Along => ("along", "upper edge"),
    };
    let steps = run.iter().map(|seen| {
        let from = seen.edge.unwrap_or_default();
        Length::from_um(seen.cut.at.um() - from)
    });
    let steps: Vec<String> = steps.map(&mut *write).collect();
    let near = match steps.as_slice() {
        [_] if edge == 0 => String::new(),
        [step] => format!(" ({step} from the part's edge)"),
        [step, others @ ..] if others.iter().all(|other| other == step) => {
            format!(" (in steps of {step})")
        }
        steps => format!(" (in steps of {})", joined(steps)),
    };
    let stretch = if [cut.from, cut.to] == [left, right] && cut.direction == CutDirection::Across {
        "all the way".to_owned()
    } else {
        format!("between {} and {}", write(cut.from), write(cut.to))
    };
    let places: Vec<String> = run.iter().map(|seen| write(seen.cut.at)).collect();
    let is_even = steps.windows(2).all(|two| two[0] == two[1]);
    let places = match places.as_slice() {
        [first, second, third, .., last] if is_even && places.len() > MOST_TOLD => {
            let all = [first, second, third].map(|length| bare(length));
            format!("{} and so on to {last}", all.join(", "))
        }
        places => joined(places),
    };
    format!("{way} the cloth, {places} from the {whence}{near}, {stretch}")
}

/// `20, 40 and 60 cm`: the unit once.
fn joined(lengths: &[String]) -> String {
    match lengths {
        [all @ .., last] if !all.is_empty() => {
            let all: Vec<&str> = all.iter().map(|length| bare(length)).collect();
            format!("{} and {last}", all.join(", "))
        }
        lengths => lengths.concat(),
    }
}

/// Without its unit.
fn bare(length: &str) -> &str {
    match length.rsplit_once(' ') {
        Some((number, unit)) if unit.chars().all(char::is_alphabetic) => number,
        _ => length,
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
