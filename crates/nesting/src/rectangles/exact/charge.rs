//! What every rectangle is charged for a unit of its length, so that those side by side never pay more than the
//! whole width does.
//!
//! The best charges are the dual values of the bound by slices: a linear program over all sets of rectangles that go
//! side by side. Written from the other end it is a program over charges, which gains a row whenever some set pays
//! too much. Its floats are rounded to integers, and what a set pays at most is computed again in these: whatever the
//! program says, the charges are sound. Source: Gilmore and Gomory 1961 (from memory); that no copy is used
//! twice in a set is in the knapsack.

use good_lp::{Expression, ProblemVariables, Solution, SolverModel, Variable, microlp, variable};

use super::job::Job;

/// What is still to be laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rest {
    /// Copies by sort.
    pub left: Vec<u16>,
    /// Of what lies there already, by way: how many, and their length that is still to come.
    pub lying: Vec<(u16, i64)>,
}

/// Charges for a unit of length, and what the whole width may take for it at least.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Charge {
    /// By way.
    pub each: Vec<i64>,
    /// By sort: what a copy pays at least for all of its length.
    pub least: Vec<i64>,
    pub whole: i64,
}

/// The charges for the whole width are about so much.
const SCALE: f64 = 1_000_000.0;

/// Charges are taken for best once no set pays more than this above the whole.
const EXCESS: i64 = 10;

/// Rows that are added at most.
const MOST_ROWS: u64 = 400;

impl Charge {
    /// The width itself.
    pub fn by_width(job: &Job, rest: &Rest) -> Charge {
        let each = job.ways.iter().map(|way| i64::from(way.across)).collect();
        Charge::of(job, rest, each).0
    }

    /// Those by which the rest pays most for this room, after adding so many rows at most; `None` if the program fails
    /// before there are any.
    pub fn best(
        job: &Job,
        rest: &Rest,
        rows: &mut Vec<Vec<u16>>,
        most_rows: u64,
    ) -> Option<Charge> {
        let is_there = |way: usize| rest.abreast(job, way) > 0;
        let longest = job.ways.iter().map(|way| way.along).max()?.max(1);
        let long = f64::from(longest);
        let mut best = None;
        for _ in 0..most_rows.min(MOST_ROWS) {
            let mut variables = ProblemVariables::new();
            let mut add = |most: f64| variables.add(variable().min(0.0).max(most));
            let charges: Vec<Variable> = (0..job.ways.len())
                .map(|way| add(f64::from(is_there(way))))
                .collect();
            let least: Vec<Variable> = rest
                .left
                .iter()
                .map(|&left| add(if left > 0 { 1.0 } else { 0.0 }))
                .collect();
            let new = least.iter().zip(&rest.left);
            let new = new.map(|(&least, &left)| least * f64::from(left));
            let lying = charges.iter().zip(&rest.lying);
            let lying = lying.map(|(&charge, &(_, along))| charge * (along as f64 / long));
            let paid: Expression = new.sum::<Expression>() + lying.sum::<Expression>();
            let mut model = variables.maximise(paid).using(microlp);
            for (way, &charge) in job.ways.iter().zip(&charges) {
                if rest.left[way.sort] > 0 {
                    let own = charge * (f64::from(way.along) / long);
                    model.add_constraint((least[way.sort] - own).leq(0.0));
                }
            }
            for row in rows.iter() {
                let counts = row.iter().enumerate().filter(|(_, count)| **count > 0);
                let of = |(way, &count): (usize, &u16)| {
                    charges[way] * f64::from(count.min(rest.abreast(job, way)))
                };
                let sum: Expression = counts.map(of).sum();
                model.add_constraint(sum.leq(1.0));
            }
            let solution = model.solve().ok()?;
            let round = |&charge: &Variable| (solution.value(charge).max(0.0) * SCALE) as i64;
            let each: Vec<i64> = charges.iter().map(round).collect();
            let (charge, row) = Charge::of(job, rest, each);
            if charge.whole <= SCALE as i64 + EXCESS || rows.contains(&row) {
                return Some(charge);
            }
            rows.push(row);
            best = Some(charge);
        }
        best
    }

    /// These charges, and a set that pays most.
    fn of(job: &Job, rest: &Rest, each: Vec<i64>) -> (Charge, Vec<u16>) {
        let (whole, row) = dearest(job, rest, &each);
        let least = |sort: usize| {
            let ways = job.ways.iter().zip(&each);
            let of_sort = ways.filter(|(way, _)| way.sort == sort);
            let paid = of_sort.map(|(way, charge)| i64::from(way.along) * charge);
            paid.min().unwrap_or(0)
        };
        let least = (0..job.copies.len()).map(least).collect();
        (Charge { each, least, whole }, row)
    }

    /// What the rest pays at least.
    pub fn paid(&self, rest: &Rest) -> i64 {
        let new = self.least.iter().zip(&rest.left);
        let new = new.map(|(least, &left)| least * i64::from(left));
        let lying = self.each.iter().zip(&rest.lying);
        let lying = lying.map(|(charge, (_, along))| charge * along);
        new.sum::<i64>() + lying.sum::<i64>()
    }
}

impl Rest {
    /// How many may lie side by side in this way.
    fn abreast(&self, job: &Job, way: usize) -> u16 {
        self.left[job.ways[way].sort] + self.lying[way].0
    }
}

/// What a set that goes side by side pays at most, and which: a knapsack with so many of each.
fn dearest(job: &Job, rest: &Rest, each: &[i64]) -> (i64, Vec<u16>) {
    let whole = job.across as usize;
    let mut paid = vec![0_i64; whole + 1];
    let mut taken: Vec<(usize, Vec<bool>)> = Vec::new();
    for (number, way) in job.ways.iter().enumerate() {
        let width = way.across as usize;
        if each[number] <= 0 || width > whole {
            continue;
        }
        for _ in 0..usize::from(rest.abreast(job, number)).min(whole / width) {
            let mut is_taken = vec![false; whole + 1];
            for sum in (width..=whole).rev() {
                let with = paid[sum - width] + each[number];
                if with > paid[sum] {
                    paid[sum] = with;
                    is_taken[sum] = true;
                }
            }
            taken.push((number, is_taken));
        }
    }
    let mut row = vec![0; job.ways.len()];
    let mut sum = whole;
    for (number, is_taken) in taken.iter().rev() {
        if is_taken[sum] {
            row[*number] += 1;
            sum -= job.ways[*number].across as usize;
        }
    }
    (paid[whole], row)
}
