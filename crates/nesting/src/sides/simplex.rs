//! Is there a point within bounds that keeps all rows? A small dense simplex that goes on from where it was.
//!
//! Each row is a variable of its own with a least value. A basic variable out of its bounds is pivoted back into them
//! by one that has room; where none has, the row of the table says which rows refuse each other, and how much each
//! counts. Bounds may be narrowed and rows added at any time (the simplex of Dutertre and de Moura 2006; from memory).
//! In floats, so what it says is a guess.

/// What counts as kept, micrometres (rows are of length one).
const NEAR: f64 = 1e-4;

/// What counts as nothing in the table.
const TINY: f64 = 1e-9;

/// Pivots by size, then by number, which can't go round in a circle; and at most.
const BY_SIZE: usize = 60;
const MOST: usize = 400;

/// What is found.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Found {
    /// A point.
    Point,
    /// None: each of these rows, so many times, asks for more than bounds let be.
    None(Vec<(usize, f64)>),
    /// It took too long.
    Lost,
}

/// The table: basic variables by the others.
#[derive(Debug, Default)]
pub(super) struct Simplex {
    columns: usize,
    table: Vec<f64>,
    basic: Vec<u16>,
    others: Vec<u16>,
    /// By variable: its column, or its row and all columns before it.
    place: Vec<u16>,
    value: Vec<f64>,
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Clone for Simplex {
    fn clone(&self) -> Self {
        let mut new = Simplex::default();
        new.clone_from(self);
        new
    }

    /// In the room that is there already.
    fn clone_from(&mut self, other: &Self) {
        self.columns = other.columns;
        self.table.clone_from(&other.table);
        self.basic.clone_from(&other.basic);
        self.others.clone_from(&other.others);
        self.place.clone_from(&other.place);
        self.value.clone_from(&other.value);
        self.low.clone_from(&other.low);
        self.high.clone_from(&other.high);
    }
}

impl Simplex {
    /// Variables from nothing to these, without rows.
    pub fn new(high: Vec<f64>) -> Self {
        let columns = high.len();
        let numbers = || (0..columns).map(|n| n as u16).collect();
        Simplex {
            columns,
            table: Vec::new(),
            basic: Vec::new(),
            others: numbers(),
            place: numbers(),
            value: vec![0.0; columns],
            low: vec![0.0; columns],
            high,
        }
    }

    /// Where it is.
    pub fn value(&self, variable: usize) -> f64 {
        self.value[variable]
    }

    /// Lets a variable be no more than this.
    pub fn narrow(&mut self, variable: usize, high: f64) {
        self.high[variable] = self.high[variable].min(high);
        let place = usize::from(self.place[variable]);
        let by = self.high[variable] - self.value[variable];
        if place < self.columns && by < 0.0 {
            self.shift(place, by);
        }
    }

    /// Adds the row `terms >= low`.
    pub fn add(&mut self, terms: impl Iterator<Item = (usize, f64)>, low: f64) {
        let start = self.table.len();
        self.table.resize(start + self.columns, 0.0);
        let mut value = 0.0;
        for (variable, factor) in terms {
            value += factor * self.value[variable];
            let place = usize::from(self.place[variable]);
            if place < self.columns {
                self.table[start + place] += factor;
            } else {
                let row = (place - self.columns) * self.columns;
                for column in 0..self.columns {
                    self.table[start + column] += factor * self.table[row + column];
                }
            }
        }
        self.place.push((self.columns + self.basic.len()) as u16);
        self.basic.push(self.value.len() as u16);
        self.value.push(value);
        self.low.push(low);
        self.high.push(f64::INFINITY);
    }

    /// Looks for a point. `work` is in about nanoseconds.
    pub fn solve(&mut self, work: &mut u64) -> Found {
        for pivot in 0..MOST {
            *work = work.saturating_sub(60 + 5 * self.basic.len() as u64);
            let Some((row, goal)) = self.worst(pivot >= BY_SIZE) else {
                return Found::Point;
            };
            let variable = usize::from(self.basic[row]);
            let rises = goal > self.value[variable];
            let Some(column) = self.way_out(row, rises, pivot >= BY_SIZE) else {
                return Found::None(self.refusing(row));
            };
            *work = work.saturating_sub(120 + 3 * self.table.len() as u64);
            let by = (goal - self.value[variable]) / self.table[row * self.columns + column];
            self.shift(column, by);
            self.value[variable] = goal;
            self.pivot(row, column);
        }
        Found::Lost
    }

    /// A basic variable out of its bounds, and where it should be.
    fn worst(&self, first: bool) -> Option<(usize, f64)> {
        let mut worst: Option<(usize, f64)> = None;
        let mut most = NEAR;
        let mut least = u16::MAX;
        for (row, &variable) in self.basic.iter().enumerate() {
            let at = usize::from(variable);
            let (low, high, value) = (self.low[at], self.high[at], self.value[at]);
            let (out, goal) = if value < low {
                (low - value, low)
            } else {
                (value - high, high)
            };
            let is_it = if first {
                out > NEAR && variable < least
            } else {
                out > most
            };
            if is_it {
                (most, least) = (out, variable);
                worst = Some((row, goal));
            }
        }
        worst
    }

    /// A column that can move the row's variable.
    fn way_out(&self, row: usize, rises: bool, first: bool) -> Option<usize> {
        let mut best: Option<usize> = None;
        let (mut most, mut least) = (TINY, u16::MAX);
        for column in 0..self.columns {
            let factor = self.table[row * self.columns + column];
            let variable = self.others[column];
            let at = usize::from(variable);
            let can = if (factor > 0.0) == rises {
                self.value[at] < self.high[at]
            } else {
                self.value[at] > self.low[at]
            };
            let size = factor.abs();
            if can && size > TINY && (if first { variable < least } else { size > most }) {
                (most, least) = (size, variable);
                best = Some(column);
            }
        }
        best
    }

    /// Rows that keep this one out of its bounds.
    fn refusing(&self, row: usize) -> Vec<(usize, f64)> {
        let mut rows = Vec::new();
        let mut take = |variable: u16, times: f64| {
            if let Some(row) = usize::from(variable).checked_sub(self.columns)
                && times > TINY
            {
                rows.push((row, times));
            }
        };
        take(self.basic[row], 1.0);
        let factors = &self.table[row * self.columns..(row + 1) * self.columns];
        for (&variable, factor) in self.others.iter().zip(factors) {
            take(variable, factor.abs());
        }
        rows
    }

    /// Moves the variable of a column, and all that depend on it.
    fn shift(&mut self, column: usize, by: f64) {
        self.value[usize::from(self.others[column])] += by;
        for (row, &variable) in self.basic.iter().enumerate() {
            self.value[usize::from(variable)] += by * self.table[row * self.columns + column];
        }
    }

    fn pivot(&mut self, row: usize, column: usize) {
        let columns = self.columns;
        let (start, end) = (row * columns, (row + 1) * columns);
        let inverse = 1.0 / self.table[start + column];
        for value in &mut self.table[start..end] {
            *value *= -inverse;
        }
        self.table[start + column] = inverse;
        let (before, rest) = self.table.split_at_mut(start);
        let (this, after) = rest.split_at_mut(columns);
        let others = before
            .chunks_exact_mut(columns)
            .chain(after.chunks_exact_mut(columns));
        for other in others {
            let factor = other[column];
            if factor != 0.0 {
                other[column] = 0.0;
                for (value, by) in other.iter_mut().zip(&*this) {
                    *value += factor * by;
                }
            }
        }
        let (leaves, enters) = (self.basic[row], self.others[column]);
        (self.basic[row], self.others[column]) = (enters, leaves);
        self.place[usize::from(enters)] = (columns + row) as u16;
        self.place[usize::from(leaves)] = column as u16;
    }
}
