//! The one place that says where a piece may lie as far as the cloth's print goes.
//!
//! An item with an [`Anchor`] may not lie anywhere: its point must come to a place of a [`Lattice`]. For the
//! least corner of its box, laid in one way, that is a [`Grid`]: lines along the cloth and columns across it.
//! Every engine takes its positions from here: on a line or in a column it asks for an [`Every`], and
//! rounds to it; where there is no anchor, every whole micrometre will do.

use std::collections::HashMap;

use pieces::Point;

use crate::constructive::Laid;
use crate::problem::Lattice;
use crate::shapes::Variant;

/// The whole numbers `phase + k period`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Every {
    phase: i64,
    /// 1 or more.
    period: i64,
}

impl Every {
    /// All whole numbers.
    pub const WHOLE: Every = Every {
        phase: 0,
        period: 1,
    };

    /// The whole multiples of a number from 1 on.
    pub fn multiple_of(period: i64) -> Self {
        Every { phase: 0, period }
    }

    /// The least that is not less than `v`.
    #[inline]
    pub fn at_least(self, v: i64) -> i64 {
        v + (self.phase - v).rem_euclid(self.period)
    }

    /// The greatest that is not more than `v`.
    #[inline]
    pub fn at_most(self, v: i64) -> i64 {
        v - (v - self.phase).rem_euclid(self.period)
    }

    /// The same numbers with their signs changed.
    pub fn mirrored(self) -> Self {
        Every {
            phase: -self.phase,
            ..self
        }
    }

    /// The one in `[low, high]` nearest to `v`, if there is any.
    pub fn nearest(self, v: i64, [low, high]: [i64; 2]) -> Option<i64> {
        let v = v.clamp(low, high.max(low));
        let around = [self.at_most(v), self.at_least(v)];
        let inside = around.into_iter().filter(|p| (low..=high).contains(p));
        inside.min_by_key(|p| (p - v).abs())
    }

    /// The least in `[from, to]` outside all of these open stretches, which are sorted by their start.
    pub fn first_outside(self, stretches: &[(i64, i64)], from: i64, to: i64) -> Option<i64> {
        // Stretches are open, so one that starts at a value leaves this very value free: one that was passed
        // may hold the value that a later one pushed to, and they are gone through again until none does.
        let mut at = self.at_least(from);
        while let Some(&(_, high)) = stretches.iter().find(|&&(low, high)| low < at && at < high) {
            at = self.at_least(high);
            for &(low, high) in stretches {
                if low < at && at < high {
                    at = self.at_least(high);
                }
            }
        }
        (at <= to).then_some(at)
    }
}

/// Where the least corner of a piece's box may lie: in columns, and in each at equal distances along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Grid {
    /// The first column from 0 on, and where the print begins along it.
    start: Point,
    /// Between columns, and between places in one; 1 where any will do.
    across: i64,
    along: i64,
    /// After how many columns one is level with the first, no more than `along`, so that no two of them are
    /// level; and the first column's number among them.
    columns: i64,
    first: i64,
}

impl Grid {
    /// Anywhere.
    pub const ANY: Grid = Grid {
        start: Point::new(0, 0),
        across: 1,
        along: 1,
        columns: 1,
        first: 0,
    };

    /// For a box whose least corner is at `corner` when the point that must come to the lattice is at `point`.
    #[must_use]
    pub fn new(lattice: &Lattice, point: Point, corner: Point) -> Self {
        let [across, along] = [lattice.across, lattice.along].map(|period| period.um().max(1));
        let is_straight = lattice.across.um() == 0 || lattice.along.um() == 0;
        let columns = if is_straight {
            1
        } else {
            i64::from(lattice.columns.max(1))
        };
        let start = lattice.start.plus(corner.minus(point));
        Grid {
            start: Point::new(start.x.rem_euclid(across), start.y.rem_euclid(along)),
            across,
            along,
            columns,
            first: (-start.x.div_euclid(across)).rem_euclid(columns),
        }
    }

    /// Whether any place will do.
    #[must_use]
    pub fn is_any(&self) -> bool {
        self.across == 1 && self.along == 1
    }

    /// After how much along the cloth everything is the same again.
    #[must_use]
    pub fn period(&self) -> i64 {
        self.along
    }

    /// Whether it leaves x free, and y.
    #[must_use]
    pub fn leaves_free(&self) -> [bool; 2] {
        [self.across == 1 && self.columns == 1, self.along == 1]
    }

    /// Where the places of a column begin, counted from the first column.
    fn begin(&self, column: i64) -> i64 {
        let number = (self.first + column).rem_euclid(self.columns);
        self.start.y + number * self.along / self.columns
    }

    /// The places at this x.
    #[must_use]
    pub fn along(&self, x: i64) -> Option<Every> {
        let off = x - self.start.x;
        (off.rem_euclid(self.across) == 0).then(|| Every {
            phase: self.begin(off.div_euclid(self.across)),
            period: self.along,
        })
    }

    /// The places at this y.
    #[must_use]
    pub fn across(&self, y: i64) -> Option<Every> {
        let is_here = |column: &i64| (y - self.begin(*column)).rem_euclid(self.along) == 0;
        let column = (0..self.columns).find(is_here)?;
        Some(Every {
            phase: self.start.x + column * self.across,
            period: self.across * self.columns,
        })
    }

    /// Whether a box may lie there.
    #[must_use]
    pub fn allows(&self, at: Point) -> bool {
        self.along(at.x)
            .is_some_and(|every| every.at_least(at.y) == at.y)
    }

    /// The lines from `from` on that have places, the lowest first; without end.
    pub fn lines(&self, from: i64) -> impl Iterator<Item = (i64, Every)> + use<> {
        let grid = *self;
        let every = |column: i64| Every {
            phase: grid.begin(column),
            period: grid.along,
        };
        let mut lines: Vec<i64> = (0..grid.columns)
            .map(|column| every(column).at_least(from))
            .collect();
        lines.sort_unstable();
        let periods = (0..).map(move |k| k * grid.along);
        let all =
            periods.flat_map(move |period| lines.clone().into_iter().map(move |y| y + period));
        all.filter_map(move |y| Some((y, grid.across(y)?)))
    }

    /// The columns in these borders.
    pub fn columns_within(&self, [left, right]: [i64; 2]) -> impl Iterator<Item = i64> + use<> {
        let every = Every {
            phase: self.start.x,
            period: self.across,
        };
        let first = every.at_least(left);
        (first..=right).step_by(self.across as usize)
    }

    /// The lowest place from `from` on, then the leftmost, with x in these borders; `None` if there is none.
    #[must_use]
    pub fn lowest(&self, from: i64, [left, right]: [i64; 2]) -> Option<Point> {
        let lines = self.lines(from).take(self.columns as usize);
        lines
            .map(|(y, every)| Point::new(every.at_least(left), y))
            .find(|p| p.x <= right)
    }

    /// A place near `at` in these borders; `None` if there is none.
    #[must_use]
    pub fn nearest(&self, at: Point, across: [i64; 2], along: [i64; 2]) -> Option<Point> {
        let columns = Every {
            phase: self.start.x,
            period: self.across,
        };
        let straight = columns.nearest(at.x, across).and_then(|x| {
            let y = self.along(x)?.nearest(at.y, along)?;
            Some(Point::new(x, y))
        });
        // Another column may have a line there that this one has not.
        straight.or_else(|| {
            let lines = self.lines(along[0]).take_while(|(y, _)| *y <= along[1]);
            let on_line =
                |(y, every): (i64, Every)| Some(Point::new(every.nearest(at.x, across)?, y));
            lines.take(self.columns as usize).find_map(on_line)
        })
    }

    /// The same places, further along.
    #[must_use]
    pub fn moved_along(&self, by: i64) -> Self {
        Grid {
            start: Point::new(self.start.x, (self.start.y + by).rem_euclid(self.along)),
            ..*self
        }
    }

    /// Places anywhere along the cloth, in the same columns.
    fn loose(&self) -> Self {
        Grid {
            start: Point::new(self.start.x, 0),
            across: self.across,
            along: 1,
            columns: 1,
            first: 0,
        }
    }
}

/// The greatest that measures both; the other where one is 0.
#[must_use]
pub fn greatest_common_divisor(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.abs()
}

/// The least that is a whole multiple of both; `None` beyond what is of use on a cloth.
#[must_use]
pub fn common_period(a: i64, b: i64) -> Option<i64> {
    const LONGEST: i128 = 1 << 32;
    let common = i128::from(a / greatest_common_divisor(a, b).max(1)) * i128::from(b);
    (common <= LONGEST).then_some(common as i64)
}

/// Which items only have to match each other ([`Anchor::set`]), and how far along each such set lies; open
/// until the first of its pieces is laid.
#[derive(Clone, Debug, Default)]
pub struct Matched {
    /// By set: how far the pieces that are laid are off the lattice as it is given.
    off: HashMap<u32, i64>,
}

impl Matched {
    /// As a layout leaves them.
    #[must_use]
    pub fn of(laid: &[Laid]) -> Self {
        let mut matched = Matched::default();
        laid.iter().for_each(|l| matched.lay(l));
        matched
    }

    /// Forgets all pieces.
    pub fn clear(&mut self) {
        self.off.clear();
    }

    /// Where a piece may lie that is laid so.
    #[must_use]
    pub fn grid(&self, variant: &Variant) -> Grid {
        match variant.set.map(|set| self.off.get(&set)) {
            None => variant.grid,
            Some(Some(&off)) => variant.grid.moved_along(off),
            Some(None) => variant.grid.loose(),
        }
    }

    /// Takes a piece in: the first of a set settles where the others go.
    pub fn lay(&mut self, laid: &Laid) {
        let Some(set) = laid.variant.set else {
            return;
        };
        let Some(every) = laid.variant.grid.along(laid.at.x) else {
            return;
        };
        let off = laid.at.y - every.at_most(laid.at.y);
        self.off.entry(set).or_insert(off);
    }
}

#[cfg(test)]
mod tests {
    use pieces::Length;
    use proptest::prelude::*;

    use super::*;

    /// A lattice, and whether a point lies on it: by its definition, place by place.
    fn is_on(lattice: &Lattice, at: Point) -> bool {
        let [across, along] = [lattice.across.um(), lattice.along.um()];
        let columns = i64::from(lattice.columns.max(1));
        (-30..30).any(|column| {
            let x = lattice.start.x + column * across;
            let drop = if across > 0 {
                column.rem_euclid(columns) * along / columns
            } else {
                0
            };
            let is_here = |line: i64| at.y == lattice.start.y + drop + line * along;
            (across == 0 || at.x == x) && (along == 0 || (-60..60).any(is_here))
        })
    }

    fn lattices() -> impl Strategy<Value = Lattice> {
        let period = || prop_oneof![Just(0_i64), 3_i64..8];
        (-5_i64..5, -5_i64..5, period(), period(), 0_u32..4).prop_map(
            |(x, y, across, along, columns)| Lattice {
                start: Point::new(x, y),
                across: Length::from_um(across),
                along: Length::from_um(along),
                columns,
            },
        )
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn a_grid_holds_the_places_of_its_lattice(
            lattice in lattices(), point in (-4_i64..4, -4_i64..4), corner in (-4_i64..4, -4_i64..4),
        ) {
            let (point, corner) = (Point::from(<[i64; 2]>::from(point)), Point::from(<[i64; 2]>::from(corner)));
            let grid = Grid::new(&lattice, point, corner);
            let borders = [-3, 8];
            let mut lowest = None;
            for y in -9..16 {
                let across = grid.across(y);
                let mut on_line = 0;
                for x in -9..16 {
                    let at = Point::new(x, y);
                    let is_place = is_on(&lattice, at.minus(corner).plus(point));
                    prop_assert_eq!(grid.allows(at), is_place, "{:?}", at);
                    prop_assert_eq!(across.is_some_and(|every| every.at_least(x) == x), is_place);
                    prop_assert_eq!(grid.moved_along(3).allows(at.plus(Point::new(0, 3))), is_place);
                    on_line += u32::from(is_place);
                    if is_place && y >= -2 && (borders[0]..=borders[1]).contains(&x) && lowest.is_none() {
                        lowest = Some(at);
                    }
                }
                let is_line = grid.lines(y).next().is_some_and(|(line, _)| line == y);
                prop_assert_eq!(is_line, across.is_some());
                prop_assert!(on_line == 0 || is_line);
            }
            prop_assert_eq!(grid.lowest(-2, borders), lowest);
        }

        /// Found whenever there is one, and a place.
        #[test]
        fn a_near_place_is_a_place(
            lattice in lattices(), x in -9_i64..9, y in -9_i64..9, width in 0_i64..9, length in 0_i64..9,
        ) {
            let grid = Grid::new(&lattice, Point::default(), Point::default());
            let (across, along) = ([-4, width - 4], [-4, length - 4]);
            let places = (across[0]..=across[1]).flat_map(|x| {
                (along[0]..=along[1]).map(move |y| Point::new(x, y))
            });
            let mut places = places.filter(|&p| grid.allows(p));
            match grid.nearest(Point::new(x, y), across, along) {
                Some(near) => prop_assert!(places.any(|p| p == near), "{:?}", near),
                None => prop_assert_eq!(places.next(), None),
            }
        }

        #[test]
        fn the_first_outside_is_the_first_outside(
            mut stretches in proptest::collection::vec((-9_i64..9, 1_i64..6), 0..6), phase in 0_i64..5,
            period in 1_i64..5, from in -9_i64..9, to in -9_i64..20,
        ) {
            for (low, high) in &mut stretches {
                *high += *low;
            }
            stretches.sort_unstable();
            let every = Every { phase, period };
            let is_free = |v: &i64| {
                (v - phase) % period == 0 && !stretches.iter().any(|(low, high)| low < v && v < high)
            };
            prop_assert_eq!(every.first_outside(&stretches, from, to), (from..=to).find(is_free));
        }
    }

    #[test]
    fn periods_have_a_common_one_up_to_a_length() {
        assert_eq!(common_period(640_000, 480_000), Some(1_920_000));
        assert_eq!(common_period(1, 70), Some(70));
        assert_eq!(common_period(1_000_003, 999_983), None);
    }
}
