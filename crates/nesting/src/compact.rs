//! Compaction by a linear program: all pieces slide at once, keeping their relative order.
//!
//! For two pieces, each open convex polygon of their no-fit region is left by one of its edges: the one that
//! the present relative position lies furthest outside of. Keeping to that side is linear in the positions,
//! so the shortest length under these half-planes is a linear program; solved again from the new
//! positions, it can choose other edges, and so on while it gains. (Li and Milenkovic 1995 use the same
//! idea.) Solved with good_lp by its pure Rust simplex.
//!
//! The program works in floats and decides nothing: half-planes are held a few micrometres off, positions
//! are rounded to whole micrometres and tested exactly, and what does not pass, or is no gain, is dropped.
//! [`crate::polish`] closes the micrometres afterwards. Deterministic.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, Variable, microlp, variable};
use pieces::{Bounds, Point};

use crate::constructive::board::Regions;
use crate::constructive::{Layout, end};
use crate::geometry::NoFitPart;
use crate::problem::Problem;
use crate::shapes::Shapes;

/// How far a piece may move in one program, micrometres. Pieces further apart than twice that need no
/// half-plane; more makes larger programs, less makes more of them.
const LEASH: i64 = 60_000;

/// Distance kept from slanted half-planes, micrometres: rounding both positions moves their difference by
/// up to 1.42.
const MARGIN: f64 = 2.0;

/// Programs at most, and the gain (micrometres) below which the next one is not worth its time.
const ROUNDS: usize = 12;
const LEAST_GAIN: i64 = 200;

/// Half-planes above which the program would take longer than it gains: some hundreds of panels.
const MOST_HALF_PLANES: usize = 2_000;

/// The same layout, shortened; never longer. Once `stop` says so, no further program is solved.
pub fn compacted<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    mut layout: Layout,
    stop: &dyn Fn() -> bool,
) -> Layout {
    for _ in 0..ROUNDS {
        if stop() {
            break;
        }
        let shorter = half_planes(problem, shapes, regions, &layout)
            .and_then(|planes| solve(problem, shapes, &layout, &planes))
            .filter(|candidate| is_valid(problem, shapes, regions, candidate));
        match shorter {
            Some(candidate) if candidate.length < layout.length => {
                let gain = layout.length - candidate.length;
                layout = candidate;
                if gain < LEAST_GAIN {
                    break;
                }
            }
            _ => break,
        }
    }
    layout
}

/// Programs at most that a layout may take to become valid.
const SETTLINGS: usize = 3;

/// A layout whose pieces overlap by next to nothing, with pieces moved so that they don't, no longer than its
/// length; `None` if that is not found.
pub fn settled<'a>(
    problem: &Problem,
    shapes: &'a Shapes,
    regions: &mut Regions<'a>,
    mut layout: Layout,
) -> Option<Layout> {
    let length = layout.length;
    if is_valid(problem, shapes, regions, &layout) && end(shapes, &layout.laid) <= length {
        return Some(layout);
    }
    for _ in 0..SETTLINGS {
        let planes = half_planes(problem, shapes, regions, &layout)?;
        layout = solve(problem, shapes, &layout, &planes)?;
        if layout.length <= length && is_valid(problem, shapes, regions, &layout) {
            return Some(layout);
        }
        layout.length = length;
    }
    None
}

/// Piece `moving` stays on the right of the line from `from` in direction `along`, seen from `fixed`
/// (or from the cloth).
struct HalfPlane {
    fixed: Option<usize>,
    moving: usize,
    from: Point,
    along: Point,
}

/// `None` if there are too many.
fn half_planes(
    problem: &Problem,
    shapes: &Shapes,
    regions: &mut Regions<'_>,
    layout: &Layout,
) -> Option<Vec<HalfPlane>> {
    let mut planes = Vec::new();
    let laid = &layout.laid;
    for (moving, me) in laid.iter().enumerate() {
        for (fixed, other) in laid.iter().enumerate().take(moving) {
            if !near(problem, shapes, layout, fixed, moving) {
                continue;
            }
            let region = regions.pair(other.variant.shape, me.variant.shape);
            let at = me.at.minus(other.at);
            for part in region.parts.iter().filter(|p| within_leash(p.bounds, at)) {
                let (from, along) = leaving_edge(part, at);
                planes.push(HalfPlane {
                    fixed: Some(fixed),
                    moving,
                    from,
                    along,
                });
            }
        }
        for part in &regions.inner_fit(me.variant.shape).flaws.parts {
            if within_leash(part.bounds, me.at) {
                let (from, along) = leaving_edge(part, me.at);
                planes.push(HalfPlane {
                    fixed: None,
                    moving,
                    from,
                    along,
                });
            }
        }
        if planes.len() > MOST_HALF_PLANES {
            return None;
        }
    }
    Some(planes)
}

fn near(problem: &Problem, shapes: &Shapes, layout: &Layout, a: usize, b: usize) -> bool {
    let (a, b) = (&layout.laid[a], &layout.laid[b]);
    let (sa, sb) = (shapes.shape(a.variant.shape), shapes.shape(b.variant.shape));
    // The polygon around the spacing's disc reaches as far as the spacing, straight or slanted within 2 %.
    let gap = 2 * LEASH + problem.spacing.um();
    a.at.x - gap < b.at.x + sb.across
        && b.at.x - gap < a.at.x + sa.across
        && a.at.y - gap < b.at.y + sb.along
        && b.at.y - gap < a.at.y + sa.along
}

fn within_leash(bounds: Bounds, at: Point) -> bool {
    let gap = 2 * LEASH;
    (bounds.min.x - gap..=bounds.max.x + gap).contains(&at.x)
        && (bounds.min.y - gap..=bounds.max.y + gap).contains(&at.y)
}

/// The edge that `at` lies furthest outside of, as a point on it and its direction.
fn leaving_edge(part: &NoFitPart, at: Point) -> (Point, Point) {
    let n = part.points.len();
    let edges = (0..n).map(|i| {
        (
            part.points[i],
            part.points[(i + 1) % n].minus(part.points[i]),
        )
    });
    let outside = |(from, along): (Point, Point)| {
        let v = at.minus(from);
        let cross = v.x as f64 * along.y as f64 - v.y as f64 * along.x as f64;
        cross / (along.x as f64).hypot(along.y as f64)
    };
    edges
        .max_by(|a, b| outside(*a).total_cmp(&outside(*b)))
        .unwrap_or_default()
}

/// Micrometres to the program's unit and back: millimetres keep its numbers near one.
const MM: f64 = 1_000.0;

fn solve(
    problem: &Problem,
    shapes: &Shapes,
    layout: &Layout,
    planes: &[HalfPlane],
) -> Option<Layout> {
    let mut variables = ProblemVariables::new();
    // A little more, so that what fits exactly is found; what is rounded to more is dropped.
    let most = layout.length as f64 + MARGIN;
    let length = variables.add(variable().min(0.0).max(most / MM));
    let (left, right) = (problem.cloth.left.um(), problem.cloth.right.um());
    let positions: Vec<(Variable, Variable)> = layout
        .laid
        .iter()
        .map(|laid| {
            let across = shapes.shape(laid.variant.shape).across;
            // Where the print leaves only some places a piece stays on its line, or in its column.
            let grid = laid.variant.grid;
            let [x_leash, y_leash] = grid.leaves_free().map(|free| if free { LEASH } else { 0 });
            let x = variable()
                .min(left.max(laid.at.x - x_leash) as f64 / MM)
                .max((right - across).min(laid.at.x + x_leash) as f64 / MM);
            let y = variable()
                .min(0.max(laid.at.y - y_leash) as f64 / MM)
                .max((laid.at.y + y_leash) as f64 / MM);
            (variables.add(x), variables.add(y))
        })
        .collect();
    // The length counts; a little weight keeps pieces low, so that the next program starts well.
    let low: Expression = positions.iter().map(|(_, y)| *y * 1e-4).sum();
    let mut model = variables.minimise(length + low).using(microlp);
    for (laid, (_, y)) in layout.laid.iter().zip(&positions) {
        let along = shapes.shape(laid.variant.shape).along as f64 / MM;
        model.add_constraint((length - *y).geq(along));
    }
    for plane in planes {
        let size = (plane.along.x as f64).hypot(plane.along.y as f64);
        let (ux, uy) = (plane.along.x as f64 / size, plane.along.y as f64 / size);
        let (x, y) = positions[plane.moving];
        let mut distance: Expression = x * uy - y * ux;
        if let Some(fixed) = plane.fixed {
            let (fx, fy) = positions[fixed];
            distance -= fx * uy - fy * ux;
        }
        // Rounding keeps whole distances straight across or along; only slants need the margin.
        let slanted = plane.along.x != 0 && plane.along.y != 0;
        let margin = if slanted { MARGIN } else { 0.0 };
        let line = (plane.from.x as f64 * uy - plane.from.y as f64 * ux + margin) / MM;
        model.add_constraint(distance.geq(line));
    }
    let solution = model.solve().ok()?;
    let mut shorter = layout.clone();
    for (laid, (x, y)) in shorter.laid.iter_mut().zip(&positions) {
        let across = shapes.shape(laid.variant.shape).across;
        let whole = |v: f64| (v * MM).round() as i64;
        laid.at = Point::new(
            whole(solution.value(*x)).clamp(left, right - across),
            whole(solution.value(*y)).max(0),
        );
    }
    shorter.length = end(shapes, &shorter.laid);
    Some(shorter)
}

fn is_valid(
    problem: &Problem,
    shapes: &Shapes,
    regions: &mut Regions<'_>,
    layout: &Layout,
) -> bool {
    (0..layout.laid.len()).all(|moving| {
        let me = layout.laid[moving];
        regions.inner_fit(me.variant.shape).allows(me.at)
            && (0..moving).all(|fixed| {
                let other = layout.laid[fixed];
                !near(problem, shapes, layout, fixed, moving)
                    || !regions
                        .pair(other.variant.shape, me.variant.shape)
                        .forbids(me.at.minus(other.at))
            })
    })
}
