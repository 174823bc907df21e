//! Exact fits: a rectangle cut to pieces by straight lines, across the whole usable width. Its length is
//! the optimum.
//!
//! Corners are whole micrometres and lie on the line that was cut, so the pieces leave nothing free: the
//! ends of a cut are whole points of the edges it starts and ends on. The rectangle's corners are on a coarse
//! grid of a number with many divisors, so that edges cut later have such points too.

use nesting::{Marker, Placement, Turn, verify};
use pieces::{Length, Outline, Point};
use rand::{Rng, RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::case::{Case, item};

const PUZZLES: usize = 50;
const FEW: usize = 20;

/// 2^4 * 3^2 * 5 * 7 micrometres.
const GRID: i64 = 5_040;

/// The least piece, as a share of the rectangle divided by the number of pieces, and by its own bounding box.
const LEAST_SHARE: f64 = 0.25;
const LEAST_FILLED: f64 = 0.3;

/// Puzzles of 6 to 12 pieces; pieces may be turned end for end, and half of them are at the start.
pub fn cases(seed: u64, few: bool) -> Result<Vec<Case>, String> {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let count = if few { FEW } else { PUZZLES };
    (1..=count)
        .map(|number| puzzle(&mut random, number))
        .collect()
}

fn puzzle(random: &mut impl Rng, number: usize) -> Result<Case, String> {
    let (width, length) = (
        random.random_range(180..300) * GRID,
        random.random_range(120..400) * GRID,
    );
    let (across, along) = (Length::from_um(width), Length::from_um(length));
    let whole = Outline::rectangle(across, along).map_err(|error| error.to_string())?;
    let count = random.random_range(6..=12);
    let cut = loop {
        if let Some(cut) = cut_up(random, &whole, count) {
            break cut;
        }
    };
    let mut items = Vec::new();
    let mut placements = Vec::new();
    for (index, outline) in cut.iter().enumerate() {
        let turn = [Turn::None, Turn::Half][random.random_range(0..2)];
        let given = outline.turned(turn.quarters());
        items.push(item(
            format!("piece {index}"),
            given,
            1,
            &[Turn::None, Turn::Half],
        ));
        placements.push(Placement {
            item: index,
            copy: 0,
            turn,
            mirrored: false,
            at: Point::new(0, 0),
        });
    }
    let concave = cut.iter().filter(|piece| !piece.is_convex()).count();
    let name = format!("puzzle {number}: {count} pieces, {concave} not convex");
    let case = Case::new(name, width, items, Some(length));
    let known = Marker {
        placements,
        length: along,
    };
    let area: i128 = cut.iter().map(Outline::doubled_area).sum();
    match verify::marker(&case.instance.problem, &known) {
        Ok(()) if area == whole.doubled_area() => Ok(case),
        found => Err(format!("{} is cut wrongly: {found:?}", case.instance.name)),
    }
}

/// The rectangle in so many pieces, or `None` where cuts led to an edge without whole points.
fn cut_up(random: &mut impl Rng, whole: &Outline, count: usize) -> Option<Vec<Outline>> {
    let least = LEAST_SHARE * whole.doubled_area() as f64 / count as f64;
    let mut pieces = vec![whole.clone()];
    while pieces.len() < count {
        pieces.sort_by_key(|piece| std::cmp::Reverse(piece.doubled_area()));
        // One of the larger ones.
        let chosen = random.random_range(0..pieces.len().div_ceil(3));
        let fits = |half: &Outline| {
            let (area, bounds) = (half.doubled_area() as f64, half.bounds());
            let filled = 2.0 * bounds.across().um() as f64 * bounds.along().um() as f64;
            area >= least && area >= LEAST_FILLED * filled
        };
        let halves = (0..200)
            .find_map(|_| cut(random, &pieces[chosen]).filter(|two| two.iter().all(fits)))?;
        pieces.swap_remove(chosen);
        pieces.extend(halves);
    }
    Some(pieces)
}

/// Cut from edge to edge: straight, or one time in six bent at a point of the grid inside.
fn cut(random: &mut impl Rng, piece: &Outline) -> Option<[Outline; 2]> {
    let edges: Vec<(Point, Point)> = piece.edges().collect();
    let from = random.random_range(0..edges.len());
    let to = random.random_range(0..edges.len());
    if from >= to {
        return None;
    }
    let ends = (on_edge(random, edges[from])?, on_edge(random, edges[to])?);
    let bend = (random.random_range(0..6) == 0).then(|| {
        let bounds = piece.bounds();
        let mut between = |a: i64, b: i64| random.random_range(a / GRID..=b / GRID) * GRID;
        Point::new(
            between(bounds.min.x, bounds.max.x),
            between(bounds.min.y, bounds.max.y),
        )
    });
    let corners = piece.points();
    let mut first = vec![ends.0];
    first.extend(&corners[from + 1..=to]);
    first.push(ends.1);
    first.extend(bend);
    let mut second = vec![ends.1];
    second.extend(&corners[to + 1..]);
    second.extend(&corners[..=from]);
    second.push(ends.0);
    second.extend(bend);
    let halves = [Outline::new(first).ok()?, Outline::new(second).ok()?];
    // A cut that runs outside of the piece makes one half larger than the whole.
    let area: i128 = halves.iter().map(Outline::doubled_area).sum();
    (area == piece.doubled_area()).then_some(halves)
}

/// A whole point of an edge at a simple share of it, away from its ends.
fn on_edge(random: &mut impl Rng, (a, b): (Point, Point)) -> Option<Point> {
    let way = b.minus(a);
    // Edges along the cloth or across it have points of the grid.
    let parts = if way.x == 0 || way.y == 0 {
        (way.x + way.y).abs() / GRID
    } else {
        random.random_range(2..=9)
    };
    if parts < 2 || way.x % parts != 0 || way.y % parts != 0 {
        return None;
    }
    let margin = (parts + 5) / 6;
    let part = random.random_range(margin..=parts - margin);
    Some(Point::new(
        a.x + way.x / parts * part,
        a.y + way.y / parts * part,
    ))
}
