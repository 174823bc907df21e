//! How wide a piece is at its heights, in whole micrometres, rounded down at corners.
//!
//! Between the heights of two successive corners the width changes evenly: it is what edges that rise, which bound the
//! piece on the right, add up to, less what those that fall do. As both ends are rounded down, what lies between them
//! is nowhere too wide. (`sections` cuts finer; here all numbers are whole.)
//!
//! A piece swept along the cloth is at each height as wide, at least, as at any that passes through it. So it may be drawn
//! apart at its widest place; the last of them is taken.

use pieces::{Outline, Point};

use super::larger::Larger;

/// Heights between which a value changes evenly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Band {
    pub from: i64,
    pub to: i64,
    /// Just above `from`.
    pub low: i64,
    /// Just below `to`.
    pub high: i64,
}

/// Bands from height 0 on, one after the other.
pub(super) type Bands = Vec<Band>;

/// The widths of an outline, taken larger.
pub(super) fn widths(outline: &Outline, larger: Larger) -> Bands {
    let longer = larger.longer.um();
    if longer > 0 && outline.is_convex() {
        return of_polygon(&larger.swept(outline.points()), 0);
    }
    let bands = of_polygon(outline.points(), larger.wider.um());
    if longer > 0 {
        drawn_apart(bands, longer)
    } else {
        bands
    }
}

/// How high bands reach.
pub(super) fn height(bands: &[Band]) -> i64 {
    bands.last().map_or(0, |band| band.to)
}

/// The same end for end.
pub(super) fn reversed(bands: &[Band]) -> Bands {
    let top = height(bands);
    let turn = |band: &Band| Band {
        from: top - band.to,
        to: top - band.from,
        low: band.high,
        high: band.low,
    };
    bands.iter().rev().map(turn).collect()
}

/// Twice the sum of values over all heights.
pub(super) fn doubled_sum(bands: &[Band]) -> i128 {
    let of = |band: &Band| {
        i128::from(band.to - band.from) * (i128::from(band.low) + i128::from(band.high))
    };
    bands.iter().map(of).sum()
}

/// A simple polygon's widths, each so much wider; it runs counter-clockwise.
fn of_polygon(points: &[Point], wider: i64) -> Bands {
    let mut heights: Vec<i64> = points.iter().map(|p| p.y).collect();
    heights.sort_unstable();
    heights.dedup();
    let bottom = heights.first().copied().unwrap_or(0);
    let next = points.iter().cycle().skip(1);
    let edges = points.iter().copied().zip(next.copied());
    let mut edges: Vec<(Point, Point)> = edges.filter(|(a, b)| a.y != b.y).collect();
    edges.sort_unstable_by_key(|(a, b)| a.y.min(b.y));
    let mut edges = edges.into_iter().peekable();
    let mut crossed: Vec<(Point, Point)> = Vec::new();
    let mut bands = Vec::with_capacity(heights.len());
    for pair in heights.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        crossed.retain(|(a, b)| a.y.max(b.y) > from);
        while let Some(edge) = edges.next_if(|(a, b)| a.y.min(b.y) <= from) {
            crossed.push(edge);
        }
        let width = |y: i64| crossed.iter().map(|edge| border(*edge, y)).sum::<i64>();
        bands.push(Band {
            from: from - bottom,
            to: to - bottom,
            low: width(from).max(0) + wider,
            high: width(to).max(0) + wider,
        });
    }
    bands
}

/// What an edge adds at a height: a right border rounded to the left, a left border rounded to the right and less.
fn border((a, b): (Point, Point), y: i64) -> i64 {
    let (sign, low, high) = if a.y < b.y { (1, a, b) } else { (-1, b, a) };
    let rise = i128::from(high.y - low.y);
    let run = sign * i128::from(high.x - low.x) * i128::from(y - low.y);
    // It lies between the corners, so it fits.
    let moved = i64::try_from(run.div_euclid(rise)).unwrap_or(0);
    i64::try_from(sign).unwrap_or(1) * low.x + moved
}

fn drawn_apart(bands: Bands, longer: i64) -> Bands {
    let mut widest = (i64::MIN, 0);
    for band in &bands {
        let most = band.low.max(band.high);
        if most >= widest.0 {
            widest = (most, if band.low == most { band.from } else { band.to });
        }
    }
    let (most, at) = widest;
    let below = bands.iter().filter(|band| band.to <= at).copied();
    let between = Band {
        from: at,
        to: at + longer,
        low: most,
        high: most,
    };
    let above = bands.iter().filter(|band| band.to > at).map(|band| Band {
        from: band.from + longer,
        to: band.to + longer,
        ..*band
    });
    below.chain([between]).chain(above).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use pieces::Length;

    fn outline(corners: &[(i64, i64)]) -> Outline {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y));
        Outline::new(corners.collect()).unwrap()
    }

    fn plain(bands: &[Band]) -> Vec<[i64; 4]> {
        let of = |band: &Band| [band.from, band.to, band.low, band.high];
        bands.iter().map(of).collect()
    }

    fn longer(by: i64) -> Larger {
        Larger {
            longer: Length::from_um(by),
            ..Larger::NOT
        }
    }

    #[test]
    fn a_trapezoid_and_arms_by_hand() {
        let panel = outline(&[(5, 7), (45, 7), (35, 107), (15, 107)]);
        assert_eq!(plain(&widths(&panel, Larger::NOT)), [[0, 100, 40, 20]]);
        let apart = [[0, 10, 40, 40], [10, 110, 40, 20]];
        assert_eq!(plain(&widths(&panel, longer(10))), apart);
        let about = [[0, 100, 20, 40], [100, 110, 40, 40]];
        assert_eq!(plain(&reversed(&widths(&panel, longer(10)))), about);
        let corners = [(0, 0), (90, 0), (90, 100), (60, 100), (60, 30), (30, 30)];
        let arms = outline(&[&corners[..], &[(30, 100), (0, 100)]].concat());
        let bands = [[0, 30, 90, 90], [30, 100, 60, 60]];
        assert_eq!(plain(&widths(&arms, Larger::NOT)), bands);
        let apart = [[0, 5, 90, 90], [5, 35, 90, 90], [35, 105, 60, 60]];
        assert_eq!(plain(&widths(&arms, longer(5))), apart);
        assert_eq!(
            doubled_sum(&widths(&arms, Larger::NOT)),
            2 * (2_700 + 4_200)
        );
    }

    /// Swept along, a parallelogram is wider than any of its sections.
    #[test]
    fn a_leaning_piece_grows_wider_when_swept_along() {
        let leaning = outline(&[(0, 0), (10, 0), (40, 30), (30, 30)]);
        let bands = [[0, 6, 10, 16], [6, 30, 16, 16], [30, 36, 16, 10]];
        assert_eq!(plain(&widths(&leaning, longer(6))), bands);
    }

    #[test]
    fn widths_are_rounded_down_never_up() {
        let skew = outline(&[(0, 0), (1_000, 333), (701, 977), (-20, 500)]);
        let sum = doubled_sum(&widths(&skew, Larger::NOT));
        assert!(sum <= skew.doubled_area() && sum > skew.doubled_area() - 4 * 977);
    }
}
