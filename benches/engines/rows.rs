//! Rows as a careful person lays them: the longest piece left opens a row, what still fits beside it follows,
//! each turned end for end from its neighbour where it may be.

use nesting::{Marker, Placement, Problem, Turn, verify};
use pieces::{Length, Outline, Point};

struct Row {
    base: i64,
    /// What stands in it, from left to right, at its place on the cloth.
    standing: Vec<Outline>,
}

/// The length of a layout in rows, proved to be one by the verifier; an error names what it found wrong.
/// Every piece has to fit the width in its first turn. Flaws, spacing and garments are none of its business.
pub fn length(problem: &Problem) -> Result<i64, String> {
    let mut pieces: Vec<(usize, u32)> = (0..problem.items.len())
        .flat_map(|item| (0..problem.items[item].copies).map(move |copy| (item, copy)))
        .collect();
    let bounds = |item: usize| {
        let item = &problem.items[item];
        item.outline.turned(item.turns[0].quarters()).bounds()
    };
    pieces.sort_by_key(|&(item, _)| {
        (
            -bounds(item).along().um(),
            -bounds(item).across().um(),
            item,
        )
    });
    let mut rows: Vec<Row> = Vec::new();
    let mut placements = Vec::new();
    let mut end = 0;
    for (item, copy) in pieces {
        let fitting = (rows.iter_mut()).find_map(|row| Some((beside(problem, item, row)?, row)));
        let ((turn, at), row) = match fitting {
            Some(found) => found,
            None => {
                rows.push(Row {
                    base: end,
                    standing: Vec::new(),
                });
                end += bounds(item).along().um();
                let row = rows.last_mut().expect("one was pushed");
                let place = beside(problem, item, row);
                (place.ok_or("a piece is wider than the cloth")?, row)
            }
        };
        let placement = Placement {
            item,
            copy,
            turn,
            mirrored: false,
            at,
        };
        row.standing.push(problem.placed(&placement));
        placements.push(placement);
    }
    placements.sort_unstable();
    let marker = Marker {
        placements,
        length: Length::from_um(end),
    };
    match verify::marker(problem, &marker) {
        Ok(()) => Ok(end),
        Err(violations) => Err(format!("rows are no layout: {}", violations[0])),
    }
}

/// The turn and place of a piece at the right end of a row where it takes least width, if it fits there.
fn beside(problem: &Problem, item: usize, row: &Row) -> Option<(Turn, Point)> {
    let item = &problem.items[item];
    let first = item.turns[0];
    let upright = |turn: &&Turn| (turn.quarters() + first.quarters()).is_multiple_of(2);
    let placed = item.turns.iter().filter(upright).map(|&turn| {
        let outline = item.outline.turned(turn.quarters());
        let down = Point::new(0, row.base - outline.bounds().min.y);
        let outline = outline.moved(down);
        let left = problem.cloth.left.um() - outline.bounds().min.x;
        let behind = (row.standing.iter()).filter_map(|other| clearance(other, &outline));
        let x = behind.fold(left, i64::max);
        (outline.bounds().max.x + x, turn, Point::new(x, down.y))
    });
    let (right, turn, at) = placed.min()?;
    (right <= problem.cloth.right.um()).then_some((turn, at))
}

/// How far the right one has to move to the right to keep clear of the left one, rounded up; `None` where they
/// share no height.
fn clearance(left: &Outline, right: &Outline) -> Option<i64> {
    // Between two heights where corners are, the gap changes evenly, so it is least at one of them.
    let corners = left.points().iter().chain(right.points());
    let most = corners
        .filter_map(|corner| Some(edge(left, corner.y, 1.0)? + edge(right, corner.y, -1.0)?));
    most.reduce(f64::max).map(|most| most.ceil() as i64)
}

/// The outermost x of an outline at a height, on the right (1) or, negated, on the left (-1).
fn edge(outline: &Outline, y: i64, side: f64) -> Option<f64> {
    let crossing = |(a, b): (Point, Point)| {
        let (low, high) = if a.y <= b.y { (a, b) } else { (b, a) };
        if y < low.y || high.y < y {
            return None;
        }
        if low.y == high.y {
            return Some((low.x as f64 * side).max(high.x as f64 * side));
        }
        let share = (y - low.y) as f64 / (high.y - low.y) as f64;
        Some((low.x as f64 + share * (high.x - low.x) as f64) * side)
    };
    outline.edges().filter_map(crossing).reduce(f64::max)
}
