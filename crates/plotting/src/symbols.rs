//! The small signs of a marker: grain line, direction arrow, notches by kind.
//!
//! Signs differ by shape, never by colour alone. Their sizes are on paper, so they read alike at every
//! scale.

use pieces::{Notch, NotchKind};

use crate::font;
use crate::paper::{PagePath, Rect, Spot, Stretch};
use crate::scene::{Anchor, Fill, Ink, Text};
use crate::style::{DARK, PAGE};

/// Height of a grain line's arrow heads on paper, mm.
pub(crate) const GRAIN_HEIGHT: f64 = 1.5;
/// Depth of a notch on paper, mm.
pub(crate) const NOTCH_DEPTH: f64 = 1.8;

/// Width and height of the sign that a piece goes on beyond a break, mm.
pub(crate) const CHEVRON: (f64, f64) = (1.8, 1.8);

/// A grain line along the page with a head at both ends.
pub(crate) fn grain_line(from: Spot, to: Spot) -> Vec<PagePath> {
    let (depth, half) = (1.8_f64.min((to.x - from.x) / 3.0), GRAIN_HEIGHT / 2.0 - 0.1);
    vec![
        PagePath::line(from, to),
        PagePath::chain(&[from.plus(depth, -half), from, from.plus(depth, half)]),
        PagePath::chain(&[to.plus(-depth, -half), to, to.plus(-depth, half)]),
    ]
}

/// A block arrow of `length` round `centre` that points to `way` (length 1).
pub(crate) fn direction_arrow(centre: Spot, way: Spot, length: f64) -> PagePath {
    let half = length * 0.3;
    // Along the arrow and to its side.
    let outline = [
        (length / 2.0, 0.0),
        (0.0, half),
        (0.0, half * 0.45),
        (-length / 2.0, half * 0.45),
        (-length / 2.0, -half * 0.45),
        (0.0, -half * 0.45),
        (0.0, -half),
    ];
    let spots: Vec<Spot> = outline
        .iter()
        .map(|&(a, s)| centre.plus(a * way.x - s * way.y, a * way.y + s * way.x))
        .collect();
    PagePath::ring(&spots)
}

/// What a notch looks like and says. Front and back are told apart by the sign itself, so that a
/// strip too narrow for words can be sewn the right way round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Mark {
    CentreFront,
    CentreBack,
    Centre,
    Match,
    Opening,
    Join,
}

impl Mark {
    pub(crate) fn of(notch: &Notch) -> Mark {
        match (notch.kind, notch.label.as_str()) {
            (NotchKind::Centre, "CF") => Mark::CentreFront,
            (NotchKind::Centre, "CB") => Mark::CentreBack,
            (NotchKind::Centre, _) => Mark::Centre,
            (NotchKind::Match, _) => Mark::Match,
            (NotchKind::Opening, _) => Mark::Opening,
            (NotchKind::Join, _) => Mark::Join,
        }
    }

    /// The sign at `at` on an edge that runs `along`, into the piece by `inward` (both of length 1).
    pub(crate) fn paths(self, at: Spot, along: Spot, inward: Spot) -> Vec<PagePath> {
        let spot = |side: f64, deep: f64| {
            at.plus(
                along.x * side + inward.x * deep,
                along.y * side + inward.y * deep,
            )
        };
        let d = NOTCH_DEPTH;
        match self {
            Mark::CentreFront | Mark::CentreBack | Mark::Centre => {
                vec![PagePath::ring(&[
                    spot(-0.8, 0.0),
                    spot(0.8, 0.0),
                    spot(0.0, d),
                ])]
            }
            Mark::Match => vec![PagePath::line(spot(0.0, 0.0), spot(0.0, d))],
            Mark::Opening => vec![
                PagePath::line(spot(0.0, 0.0), spot(0.0, d - 1.0)),
                PagePath::circle(spot(0.0, d - 0.5), 0.5),
            ],
            Mark::Join => vec![
                PagePath::line(spot(-0.35, 0.0), spot(-0.35, d)),
                PagePath::line(spot(0.35, 0.0), spot(0.35, d)),
            ],
        }
    }

    pub(crate) const fn fill(self) -> Fill {
        match self {
            Mark::CentreFront | Mark::Centre => Fill::Plain(DARK),
            Mark::CentreBack | Mark::Opening => Fill::Plain(PAGE),
            Mark::Match | Mark::Join => Fill::Nothing,
        }
    }

    /// What the sign is for, in words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Mark::CentreFront => "notch: centre front (CF)",
            Mark::CentreBack => "notch: centre back (CB)",
            Mark::Centre => "notch: centre",
            Mark::Match => "notch: seams meet",
            Mark::Opening => "notch: end of opening",
            Mark::Join => "notch: join of strips",
        }
    }
}

/// Line of [`chevrons`].
pub(crate) const GOES_ON: Ink = Ink::solid(DARK, 0.3);

/// Two chevrons at `at` that point along the page: to the right, or to the left.
pub(crate) fn chevrons(at: Spot, to_the_right: bool) -> Vec<PagePath> {
    let way = if to_the_right { 1.0 } else { -1.0 };
    [-0.8, 0.1]
        .into_iter()
        .map(|x| {
            PagePath::chain(&[
                at.plus(way * x, -CHEVRON.1 / 2.0),
                at.plus(way * (x + 0.7), 0.0),
                at.plus(way * x, CHEVRON.1 / 2.0),
            ])
        })
        .collect()
}

/// A number in a ring, as it stands for a piece's words: its place, with half the height for radius.
pub(crate) fn badge(place: Rect) -> PagePath {
    let radius = place.h / 2.0;
    let (left, right) = (place.x + radius, place.right() - radius);
    let (y, top, foot) = (place.centre().y, place.y, place.bottom());
    let mut path = PagePath::chain(&[Spot::new(left, top), Spot::new(right, top)]);
    path.push_arc(Spot::new(right, foot), Spot::new(right, y), true);
    path.stretches.push(Stretch::Line {
        to: Spot::new(left, foot),
    });
    path.push_arc(Spot::new(left, top), Spot::new(left, y), true);
    path.closed = true;
    path
}

/// Line of a badge.
pub(crate) const BADGE: Ink = Ink::solid(DARK, 0.2);

/// Size of the number in a badge.
pub(crate) const NUMBER: f64 = 1.7;

/// Width and height of a badge for `digits`.
pub(crate) fn badge_size(digits: &str) -> (f64, f64) {
    let height = NUMBER + 1.0;
    let width = font::width(digits, NUMBER, true) + 1.5;
    (width.max(height), height)
}

/// The number in the middle of its badge.
pub(crate) fn badge_text(place: Rect, number: usize) -> Text {
    // Figures are 0.73 of their size high (DejaVu Sans).
    let at = place.centre().plus(0.0, NUMBER * 0.73 / 2.0);
    Text::new(at, NUMBER, Anchor::Middle, number.to_string()).bold()
}
