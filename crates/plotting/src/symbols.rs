//! The small signs of a marker: grain line, direction arrow, notches by kind.
//!
//! Signs differ by shape, never by colour alone. Their sizes are on paper, so they read alike at every
//! scale.

use pieces::NotchKind;

use crate::paper::{PagePath, Spot};

/// Height of a grain line's arrow heads on paper, mm.
pub(crate) const GRAIN_HEIGHT: f64 = 1.5;
/// Depth of a notch on paper, mm.
pub(crate) const NOTCH_DEPTH: f64 = 1.8;

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

/// A notch at `at` on an edge that runs `along`, into the piece by `inward` (both of length 1).
pub(crate) fn notch(kind: NotchKind, at: Spot, along: Spot, inward: Spot) -> Vec<PagePath> {
    let spot = |side: f64, deep: f64| {
        at.plus(
            along.x * side + inward.x * deep,
            along.y * side + inward.y * deep,
        )
    };
    let d = NOTCH_DEPTH;
    match kind {
        NotchKind::Centre => {
            vec![PagePath::ring(&[
                spot(-0.8, 0.0),
                spot(0.8, 0.0),
                spot(0.0, d),
            ])]
        }
        NotchKind::Match => vec![PagePath::line(spot(0.0, 0.0), spot(0.0, d))],
        NotchKind::Opening => vec![
            PagePath::line(spot(0.0, 0.0), spot(0.0, d - 1.0)),
            PagePath::circle(spot(0.0, d - 0.5), 0.5),
        ],
        NotchKind::Join => vec![
            PagePath::line(spot(-0.35, 0.0), spot(-0.35, d)),
            PagePath::line(spot(0.35, 0.0), spot(0.35, d)),
        ],
    }
}

/// What a notch is for, in words.
pub(crate) const fn notch_words(kind: NotchKind) -> &'static str {
    match kind {
        NotchKind::Centre => "notch: centre",
        NotchKind::Match => "notch: seams meet",
        NotchKind::Opening => "notch: end of opening",
        NotchKind::Join => "notch: join of strips",
    }
}
