//! Fewer open convex polygons with exactly the same union.
//!
//! The regions of two pieces of many parts overlap a great deal: some lie wholly within the others, and often
//! two of them can be replaced by the polygon around both, since the others fill what lies between. The
//! search asks every part of a region, so fewer parts are time won.
//!
//! All of it rests on one exact question, whether an open convex polygon is [`covered`] by others. If a part
//! of it is covered and a part is not, then some place in it lies on the border of one of the others and in
//! none of them: the open polygon is connected. So it is enough to follow the borders of the others where they
//! run through it, and see that each stretch lies inside further ones. Being open they leave their own
//! borders free, so a slit or a single free place between two of them is seen and stays free. Where borders
//! meet are fractions of whole numbers, compared exactly.

use std::cmp::Ordering;

use pieces::{Bounds, Point, doubled_area, orientation};

use super::no_fit::{NoFitPart, convex_hull};

/// More parts are left as they are: looking through them takes their number to the second power and more.
const MOST_PARTS: usize = 400;

/// Coordinates below this (268 m) keep cross products and their sums below 2^61, and the products of two of
/// them below 2^122.
const FARTHEST: u64 = 1 << 28;

/// About how many microseconds [`fewer`] takes for so many parts: measured on curved pieces.
pub fn micros(parts: usize) -> u64 {
    let parts = if parts > MOST_PARTS { 0 } else { parts as u64 };
    parts * parts / 2
}

/// The same union of fewer parts, in no particular order.
pub fn fewer(mut parts: Vec<NoFitPart>) -> Vec<NoFitPart> {
    let mut corners = parts.iter().flat_map(|p| &p.points);
    let far = |p: &Point| p.x.unsigned_abs() >= FARTHEST || p.y.unsigned_abs() >= FARTHEST;
    if !(2..=MOST_PARTS).contains(&parts.len()) || corners.any(far) {
        return parts;
    }
    parts.sort_by_cached_key(|part| (doubled_area(&part.points), part.points.clone()));
    parts = uncovered(parts);
    drop_covered(&mut parts);
    let mut joined = joined(parts);
    drop_covered(&mut joined);
    joined
}

/// The parts, the last of the list first, without those that earlier ones cover. Most are covered by a few large
/// ones, so that each is held against few.
fn uncovered(mut parts: Vec<NoFitPart>) -> Vec<NoFitPart> {
    let mut kept: Vec<NoFitPart> = Vec::new();
    while let Some(part) = parts.pop() {
        if !covered(&part, kept.iter()) {
            kept.push(part);
        }
    }
    kept.reverse();
    kept
}

/// Takes out every part that the others cover, the first of the list first.
fn drop_covered(parts: &mut Vec<NoFitPart>) {
    let mut at = 0;
    while at < parts.len() {
        let part = parts.remove(at);
        if !covered(&part, parts.iter()) {
            parts.insert(at, part);
            at += 1;
        }
    }
}

/// Puts the polygon around two parts in their place wherever all parts together cover it. The union stays
/// the same, so two parts that were tried once need not be tried again.
fn joined(mut parts: Vec<NoFitPart>) -> Vec<NoFitPart> {
    let mut tried: Vec<NoFitPart> = Vec::with_capacity(parts.len());
    while let Some(part) = parts.pop() {
        let partner = tried.iter().enumerate().find_map(|(k, other)| {
            let corners = [&part.points[..], &other.points].concat();
            let around = NoFitPart::new(convex_hull(&corners))?;
            // What lies between the two is mostly free, and their own borders show it first.
            let rest = tried[..k].iter().chain(&tried[k + 1..]).chain(&parts);
            let all = [&part, other].into_iter().chain(rest);
            covered(&around, all).then_some((k, around))
        });
        match partner {
            Some((k, around)) => {
                tried.remove(k);
                tried.retain(|part| !holds(&around, part));
                parts.retain(|part| !holds(&around, part));
                parts.push(around);
            }
            None => tried.push(part),
        }
    }
    tried
}

/// True if all of the second lies in the first.
fn holds(one: &NoFitPart, other: &NoFitPart) -> bool {
    in_box(one.bounds, other.bounds.min)
        && in_box(one.bounds, other.bounds.max)
        && other.points.iter().all(|&p| has(one, p))
}

/// True if the place lies inside or on the border.
fn has(part: &NoFitPart, place: Point) -> bool {
    in_box(part.bounds, place)
        && edges(&part.points).all(|(a, b)| orientation(a, b, place) != Ordering::Less)
}

fn in_box(Bounds { min, max }: Bounds, place: Point) -> bool {
    (min.x..=max.x).contains(&place.x) && (min.y..=max.y).contains(&place.y)
}

/// True if every place inside the polygon lies inside one of the others.
fn covered<'p>(part: &NoFitPart, others: impl Iterator<Item = &'p NoFitPart>) -> bool {
    let near: Vec<&NoFitPart> = others
        .filter(|other| boxes_meet(part.bounds, other.bounds))
        .collect();
    if near.iter().any(|other| holds(other, part)) {
        return true;
    }
    let on_others = |&p: &Point| near.iter().any(|other| has(other, p));
    if !part.points.iter().all(on_others) {
        return false;
    }
    let is_on_others = |p: Point| near.iter().any(|other| has(other, p));
    if !probes(part).all(is_on_others) {
        return false;
    }
    let mut is_crossed = false;
    for (k, other) in near.iter().enumerate() {
        for edge in edges(&other.points) {
            let Some(within) = inside(edge, part).filter(Stretch::meets_edge) else {
                continue;
            };
            is_crossed = true;
            let rest = near.iter().enumerate().filter(|&(j, _)| j != k);
            let over: Vec<Stretch> = rest.filter_map(|(_, o)| inside(edge, o)).collect();
            if !within.is_covered(&over) {
                return false;
            }
        }
    }
    // No border runs through it, and none of the others holds it: they lie outside.
    is_crossed
}

/// Places inside a polygon, a little within the middle of each edge: where two parts are bridged, what lies
/// between them shows there first.
fn probes(part: &NoFitPart) -> impl Iterator<Item = Point> + '_ {
    const INWARDS: i64 = 16;
    let count = part.points.len() as i64;
    let sum = part.points.iter().fold(Point::default(), |a, &b| a.plus(b));
    let probe = move |(a, b): (Point, Point)| {
        // The middle of the edge and the middle of all corners, 15 to 1.
        let at = |a: i64, b: i64, sum: i64| {
            ((a + b) * (INWARDS - 1) * count + 2 * sum).div_euclid(2 * INWARDS * count)
        };
        Point::new(at(a.x, b.x, sum.x), at(a.y, b.y, sum.y))
    };
    let inside = |p: &Point| part.forbids(*p);
    edges(&part.points).map(probe).filter(inside)
}

fn edges(points: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let ends = points.iter().cycle().skip(1);
    points.iter().copied().zip(ends.copied())
}

fn boxes_meet(a: Bounds, b: Bounds) -> bool {
    a.min.x < b.max.x && b.min.x < a.max.x && a.min.y < b.max.y && b.min.y < a.max.y
}

/// A place on the line of an edge: 0 at its begin, 1 at its end.
#[derive(Clone, Copy)]
struct Spot {
    over: i64,
    /// Positive.
    under: i64,
}

impl Spot {
    const BEGIN: Spot = Spot { over: 0, under: 1 };
    const END: Spot = Spot { over: 1, under: 1 };

    fn order(self, other: Spot) -> Ordering {
        let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
        product(self.over, other.under).cmp(&product(other.over, self.under))
    }

    fn is_before(self, other: Spot) -> bool {
        self.order(other).is_lt()
    }
}

/// An open stretch of the line of an edge.
#[derive(Clone, Copy)]
struct Stretch {
    low: Spot,
    high: Spot,
}

/// Where the line of an edge runs inside a polygon; `None` if the edge itself does not.
fn inside((from, to): (Point, Point), polygon: &NoFitPart) -> Option<Stretch> {
    let Bounds { min, max } = polygon.bounds;
    if from.x.max(to.x) <= min.x
        || from.x.min(to.x) >= max.x
        || from.y.max(to.y) <= min.y
        || from.y.min(to.y) >= max.y
    {
        return None;
    }
    let mut low: Option<Spot> = None;
    let mut high: Option<Spot> = None;
    let cross = |u: Point, v: Point| u.x * v.y - u.y * v.x;
    for (a, b) in edges(&polygon.points) {
        let side = b.minus(a);
        // Inside is at + t * gain > 0.
        let (at, gain) = (cross(side, from.minus(a)), cross(side, to.minus(from)));
        if at <= 0 && at + gain <= 0 {
            return None;
        }
        match gain.cmp(&0) {
            Ordering::Equal => {}
            Ordering::Greater => {
                let (over, under) = (-at, gain);
                let spot = Spot { over, under };
                low = Some(low.filter(|l| spot.is_before(*l)).unwrap_or(spot));
            }
            Ordering::Less => {
                let (over, under) = (at, -gain);
                let spot = Spot { over, under };
                high = Some(high.filter(|h| h.is_before(spot)).unwrap_or(spot));
            }
        }
    }
    let (low, high) = low.zip(high)?;
    low.is_before(high).then_some(Stretch { low, high })
}

impl Stretch {
    /// True if some place of the edge, its ends included, lies in the stretch.
    fn meets_edge(&self) -> bool {
        self.low.is_before(Spot::END) && Spot::BEGIN.is_before(self.high)
    }

    /// True if every place of the edge that lies in this stretch lies in one of the others.
    fn is_covered(&self, others: &[Stretch]) -> bool {
        // All before `reached` is covered; it itself counts only where the edge begins inside, or later on.
        let begins_inside = self.low.is_before(Spot::BEGIN);
        let mut reached = if begins_inside { Spot::BEGIN } else { self.low };
        let mut counts = begins_inside;
        loop {
            let goes_on = others.iter().filter(|s| {
                let starts = s.low.order(reached);
                (starts.is_lt() || starts.is_eq() && !counts) && reached.is_before(s.high)
            });
            let Some(furthest) = goes_on.map(|s| s.high).max_by(|a, b| a.order(*b)) else {
                return false;
            };
            if !furthest.is_before(self.high) || Spot::END.is_before(furthest) {
                return true;
            }
            (reached, counts) = (furthest, true);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::convex_parts;
    use crate::geometry::no_fit::sums;
    use crate::geometry::tests::outlines;
    use pieces::Outline;
    use proptest::prelude::*;

    fn upright(x: [i64; 2], y: [i64; 2]) -> NoFitPart {
        let corner = |i: usize, j: usize| Point::new(x[i], y[j]);
        NoFitPart::new(vec![corner(0, 0), corner(1, 0), corner(1, 1), corner(0, 1)]).unwrap()
    }

    fn forbids(parts: &[NoFitPart], at: Point) -> bool {
        parts.iter().any(|part| part.forbids(at))
    }

    #[test]
    fn a_slit_between_two_parts_stays_open_unless_a_third_covers_all_of_it() {
        let sides = [upright([0, 4], [0, 4]), upright([4, 8], [0, 4])];
        assert_eq!(fewer(sides.to_vec()).len(), 2);
        let bridged = |y: [i64; 2]| {
            let mut parts = sides.to_vec();
            parts.push(upright([2, 6], y));
            fewer(parts)
        };
        assert_eq!(bridged([0, 4]), [upright([0, 8], [0, 4])]);
        let low = bridged([0, 3]);
        assert!(forbids(&low, Point::new(4, 2)));
        assert!(!forbids(&low, Point::new(4, 3)));
    }

    #[test]
    fn a_single_free_place_stays_free() {
        let around = [
            upright([-4, 4], [0, 4]),
            upright([-4, 4], [-4, 0]),
            upright([-4, 0], [-4, 4]),
            upright([0, 4], [-4, 4]),
        ];
        let parts = fewer(around.to_vec());
        assert!(!forbids(&parts, Point::default()));
        for (x, y) in [(1, 0), (0, 1), (-1, 0), (0, -1)] {
            assert!(forbids(&parts, Point::new(x, y)));
        }
    }

    #[test]
    fn what_several_cover_only_together_is_dropped() {
        let mut parts = vec![upright([1, 7], [1, 3])];
        parts.extend([upright([0, 5], [0, 4]), upright([3, 9], [-2, 5])]);
        assert_eq!(fewer(parts).len(), 2);
    }

    fn larger(outline: &Outline, times: i64) -> Outline {
        let grown = |p: &Point| Point::new(times * p.x, times * p.y);
        Outline::new(outline.points().iter().map(grown).collect()).unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(300))]

        /// Six times as large, so that halves and thirds, where borders cross, are whole places too.
        #[test]
        fn the_union_stays_the_same_at_every_place(a in outlines(), b in outlines()) {
            let (a, b) = (convex_parts(&larger(&a, 6)), convex_parts(&larger(&b, 6)));
            let before = sums(&a, &b, None);
            let after = fewer(before.clone());
            prop_assert!(after.len() <= before.len());
            for x in -110..110 {
                for y in -110..110 {
                    let at = Point::new(x, y);
                    prop_assert_eq!(forbids(&before, at), forbids(&after, at));
                }
            }
        }

        /// Upright boxes on few coordinates have slits and single free places in plenty; a place on a border
        /// or between two is a whole one here.
        #[test]
        fn the_union_of_many_boxes_stays_the_same(
            boxes in proptest::collection::vec((0_i64..8, 1_i64..5, 0_i64..8, 1_i64..5), 2..14),
        ) {
            let part = |&(x, w, y, h): &(i64, i64, i64, i64)| {
                upright([2 * x, 2 * (x + w)], [2 * y, 2 * (y + h)])
            };
            let before: Vec<NoFitPart> = boxes.iter().map(part).collect();
            let after = fewer(before.clone());
            for x in 0..26 {
                for y in 0..26 {
                    let at = Point::new(x, y);
                    prop_assert_eq!(forbids(&before, at), forbids(&after, at));
                }
            }
        }
    }
}
