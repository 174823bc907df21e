//! Rows that refuse each other, in whole numbers: what a guess in floats is worth, exactly.

/// `sum of factor times variable >= floor`, variables from nothing up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Row {
    /// Variable and factor; a factor of nothing where there are fewer.
    terms: [(u8, i64); 4],
    pub floor: i64,
    size: f64,
}

impl Row {
    pub fn new(terms: &[(usize, i64)], floor: i64) -> Self {
        let mut all = [(0, 0); 4];
        let mut squares = 0.0;
        for (place, &(variable, factor)) in all.iter_mut().zip(terms) {
            *place = (variable as u8, factor);
            squares += (factor as f64).powi(2);
        }
        Row {
            terms: all,
            floor,
            size: squares.sqrt(),
        }
    }

    /// Of length one.
    pub fn guess(&self) -> (impl Iterator<Item = (usize, f64)> + use<>, f64) {
        let size = self.size;
        let terms = self.terms.into_iter().filter(|(_, factor)| *factor != 0);
        let terms =
            terms.map(move |(variable, factor)| (usize::from(variable), factor as f64 / size));
        (terms, self.floor as f64 / size)
    }
}

/// Multipliers up to these powers of two are tried: few digits first.
const POWERS: [i32; 8] = [0, 3, 7, 12, 20, 30, 40, 52];

/// Whole multipliers with which these rows ask for more than variables up to `high` can give: near the guess, which is
/// for rows of length one. `None` if there are none.
pub(super) fn whole(
    rows: &[Row],
    guess: &[(usize, f64)],
    high: &[i64],
) -> Option<Vec<(usize, u64)>> {
    let of = |&(row, times): &(usize, f64)| (row, times / rows[row].size);
    let guess: Vec<(usize, f64)> = guess.iter().map(of).collect();
    let most = guess.iter().map(|(_, times)| *times).fold(0.0, f64::max);
    if !most.is_finite() || most <= 0.0 {
        return None;
    }
    POWERS.iter().find_map(|&power| {
        let scale = 2.0_f64.powi(power) / most;
        let whole = guess
            .iter()
            .map(|&(row, times)| (row, (times * scale).round() as u64));
        let mut whole: Vec<(usize, u64)> = whole.filter(|(_, times)| *times > 0).collect();
        whole.sort_unstable();
        refuses(rows, &whole, high).then_some(whole)
    })
}

fn refuses(rows: &[Row], times: &[(usize, u64)], high: &[i64]) -> bool {
    let mut sums = [0_i128; 32];
    let mut floor = 0_i128;
    for &(row, times) in times {
        let (row, times) = (&rows[row], i128::from(times));
        floor += times * i128::from(row.floor);
        for &(variable, factor) in &row.terms {
            sums[usize::from(variable)] += times * i128::from(factor);
        }
    }
    let most = sums
        .iter()
        .zip(high)
        .map(|(sum, &high)| (*sum).max(0) * i128::from(high));
    most.sum::<i128>() < floor
}
