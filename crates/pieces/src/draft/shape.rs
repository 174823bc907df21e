//! Straight-sided shapes with a named allowance on every edge, as most pieces are.
//!
//! A draft gives the corners, counter-clockwise from the lower left, either of the cut edge (where
//! the rule is about what is cut) or of the finished edge (where it is about what is worn), and the
//! name and allowance of the edge after each corner. Out come cut edge, finished edge, hem and the
//! list of allowances.

use crate::draft::Brief;
use crate::length::Length;
use crate::offset::{self, CutEdge};
use crate::outline::{Outline, Point};
use crate::path::Path;
use crate::piece::{Allowance, Grain, GuideLine, Notch, NotchKind, Piece};

/// Corners stay within a kilometre, where moving edges is exact.
pub(super) const FURTHEST: i64 = 1_000_000_000;

/// An edge: its name and the allowance between finished and cut.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    pub(super) name: String,
    pub(super) allowance: Length,
}

pub(super) fn edge(name: &str, allowance: Length) -> Edge {
    Edge {
        name: name.to_string(),
        allowance,
    }
}

/// Cut and finished edge of a straight-sided piece.
#[derive(Clone, Debug)]
pub(super) struct Shape {
    pub(super) outline: Outline,
    pub(super) cut: Path,
    pub(super) finished: Vec<Point>,
    pub(super) allowances: Vec<Allowance>,
    /// Ends of the cut edge that belongs to each edge.
    pub(super) cut_edges: Vec<(Point, Point)>,
}

/// Corners of an upright rectangle: lower left, lower right, upper right, upper left. Its edges are
/// bottom, right, top, left.
pub(super) fn rectangle(across: Length, along: Length) -> [Point; 4] {
    trapezoid(across, across, along)
}

/// Corners of an isosceles trapezoid standing on `bottom`. Where the difference of the widths is odd,
/// the wider one gets a micrometre more, so that both slants are alike.
pub(super) fn trapezoid(top: Length, bottom: Length, along: Length) -> [Point; 4] {
    let odd = (bottom.um() - top.um()).rem_euclid(2);
    let (top, bottom) = if top > bottom {
        (top.um() + odd, bottom.um())
    } else {
        (top.um(), bottom.um() + odd)
    };
    let inset = (bottom - top) / 2;
    let (left, right) = (inset.max(0), inset.max(0) + top);
    let foot = (-inset).max(0);
    [
        Point::new(foot, 0),
        Point::new(foot + bottom, 0),
        Point::new(right, along.um()),
        Point::new(left, along.um()),
    ]
}

impl Shape {
    /// From the corners of the cut edge. An error says what can't be drawn.
    pub(super) fn from_cut(corners: &[Point], edges: &[Edge]) -> Result<Self, String> {
        checked(corners)?;
        let widths = widths(edges)?;
        let finished = offset::inward(corners, &widths).ok_or_else(|| too_small(edges))?;
        checked(&finished).map_err(|_| too_small(edges))?;
        // A corner so sharp that it is all allowance is cut off, as it would be from the finished edge.
        let trimmed = offset::outward(&finished, &widths).ok_or_else(|| too_small(edges))?;
        let at_corner = trimmed
            .at_corner
            .into_iter()
            .zip(corners)
            .map(|(points, &corner)| {
                if points.len() > 1 {
                    points
                } else {
                    vec![corner]
                }
            })
            .collect();
        Shape::around(finished, &CutEdge { at_corner }, edges)
    }

    /// From the corners of the finished edge. An error says what can't be drawn.
    pub(super) fn from_finished(corners: &[Point], edges: &[Edge]) -> Result<Self, String> {
        checked(corners)?;
        let cut = offset::outward(corners, &widths(edges)?)
            .ok_or("two corners are in the same place, or an allowance is below zero")?;
        Shape::around(corners.to_vec(), &cut, edges)
    }

    fn around(finished: Vec<Point>, cut: &CutEdge, edges: &[Edge]) -> Result<Self, String> {
        let cut_edges: Vec<(Point, Point)> =
            (0..finished.len()).filter_map(|i| cut.edge(i)).collect();
        // An edge that comes out the other way round has been swallowed by its neighbours' allowances.
        for (i, (from, to)) in cut_edges.iter().enumerate() {
            let was = finished[(i + 1) % finished.len()].minus(finished[i]);
            let is = to.minus(*from);
            if i128::from(was.x) * i128::from(is.x) + i128::from(was.y) * i128::from(is.y) < 0 {
                let name = &edges[i].name;
                return Err(format!(
                    "the edge \"{name}\" is too short for the allowances beside it"
                ));
            }
        }
        let points = cut.points();
        let outline = Outline::new(points.clone())
            .map_err(|e| format!("with its allowances the piece crosses itself: {e}"))?;
        Ok(Shape {
            outline,
            cut: Path::closed(&points),
            finished,
            allowances: list(edges),
            cut_edges,
        })
    }

    /// From both edges, where the rule gives both; corner for corner.
    pub(super) fn from_both(
        cut: &[Point],
        finished: &[Point],
        edges: &[Edge],
    ) -> Result<Self, String> {
        checked(finished)?;
        let n = cut.len();
        Ok(Shape {
            outline: checked(cut)?,
            cut: Path::closed(cut),
            finished: finished.to_vec(),
            allowances: list(edges),
            cut_edges: (0..n).map(|i| (cut[i], cut[(i + 1) % n])).collect(),
        })
    }

    /// A point of the cut edge `edge`, `numerator / denominator` of the way along it.
    pub(super) fn on_edge(&self, edge: usize, numerator: i64, denominator: i64) -> Point {
        let (from, to) = self.cut_edges[edge];
        between(from, to, numerator, denominator)
    }

    /// A point of the cut edge `edge` straight above or below x, for level edges.
    pub(super) fn on_level_edge(&self, edge: usize, x: Length) -> Point {
        Point::new(x.um(), self.cut_edges[edge].0.y)
    }

    /// The cut edge `edge` as a path.
    pub(super) fn edge_path(&self, edge: usize) -> Path {
        let (from, to) = self.cut_edges[edge];
        Path::open(&[from, to])
    }

    /// The piece of this shape; marks are added by the draft.
    pub(super) fn piece(&self, brief: &Brief<'_>, name: &str, fabric: &str, grain: Grain) -> Piece {
        Piece {
            finished: vec![Path::closed(&self.finished)],
            allowances: self.allowances.clone(),
            ..bare(
                brief,
                name,
                fabric,
                grain,
                self.outline.clone(),
                self.cut.clone(),
            )
        }
    }
}

/// A piece with nothing on it yet, to be cut once.
pub(super) fn bare(
    brief: &Brief<'_>,
    name: &str,
    fabric: &str,
    grain: Grain,
    cut: Outline,
    cut_path: Path,
) -> Piece {
    Piece {
        name: name.to_string(),
        wearer: (!brief.wearer.name.is_empty()).then(|| brief.wearer.name.clone()),
        garment: brief.garment,
        fabric: fabric.to_string(),
        copies: 1,
        cut,
        cut_path,
        cut_outs: Vec::new(),
        finished: Vec::new(),
        grain,
        hem: None,
        notches: Vec::new(),
        guides: Vec::new(),
        allowances: Vec::new(),
    }
}

pub(super) fn between(from: Point, to: Point, numerator: i64, denominator: i64) -> Point {
    let part = |a: i64, b: i64| {
        let step = i128::from(b - a) * i128::from(numerator) * 2 + i128::from(denominator);
        a + i64::try_from(step.div_euclid(2 * i128::from(denominator))).unwrap_or(0)
    };
    Point::new(part(from.x, to.x), part(from.y, to.y))
}

pub(super) fn notch(at: Point, kind: NotchKind, label: &str) -> Notch {
    Notch {
        at,
        kind,
        label: label.to_string(),
    }
}

pub(super) fn guide(points: &[Point], label: &str) -> GuideLine {
    GuideLine {
        path: Path::open(points),
        label: label.to_string(),
    }
}

fn widths(edges: &[Edge]) -> Result<Vec<Length>, String> {
    if edges.iter().any(|e| e.allowance.um() > FURTHEST) {
        return Err("an allowance is wider than a kilometre".into());
    }
    Ok(edges.iter().map(|e| e.allowance).collect())
}

/// Every name once, in the order of the edges; nothing where there is no allowance.
fn list(edges: &[Edge]) -> Vec<Allowance> {
    let mut all: Vec<Allowance> = Vec::new();
    for edge in edges {
        let entry = Allowance {
            edge: edge.name.clone(),
            width: edge.allowance,
        };
        if entry.width.is_positive() && !all.contains(&entry) {
            all.push(entry);
        }
    }
    all
}

fn checked(corners: &[Point]) -> Result<Outline, String> {
    if corners
        .iter()
        .any(|p| p.x.abs() > FURTHEST || p.y.abs() > FURTHEST)
    {
        return Err("a side is longer than a kilometre".into());
    }
    Outline::new(corners.to_vec()).map_err(|e| e.to_string())
}

fn too_small(edges: &[Edge]) -> String {
    let largest = edges.iter().max_by_key(|e| e.allowance);
    let name = largest.map_or("", |e| e.name.as_str());
    format!("the piece is too small for its allowances: nothing is left inside ({name})")
}
