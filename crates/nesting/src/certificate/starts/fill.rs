//! The most that sections side by side can pay, exactly: for every width up to the cloth's, piece after piece, each with one
//! of its choices or none.

/// Some that are alike: how many, and what each may show, with its width and what it pays.
pub(super) struct Alike {
    pub count: u32,
    pub choices: Vec<(i64, i64)>,
}

/// Of a set that is `room` wide at most. Takes what it does out of `sums`; `None` if that is not enough.
pub(super) fn most(all: &[Alike], room: i64, sums: &mut u64) -> Option<i64> {
    let mut paid = vec![0_i64; usize::try_from(room).ok()? + 1];
    for alike in all {
        let pays = |&&(width, worth): &&(i64, i64)| (1..=room).contains(&width) && worth > 0;
        let choices: Vec<(usize, i64)> = alike
            .choices
            .iter()
            .filter(pays)
            .map(|&(width, worth)| (width as usize, worth))
            .collect();
        let Some(least) = choices.iter().map(|(width, _)| *width).min() else {
            continue;
        };
        for _ in 0..(alike.count as usize).min(room as usize / least) {
            *sums = sums.checked_sub((paid.len() * choices.len()) as u64)?;
            // What is less wide is still as it was without this copy.
            for sum in (least..paid.len()).rev() {
                for &(width, worth) in choices.iter().filter(|(width, _)| *width <= sum) {
                    paid[sum] = paid[sum].max(paid[sum - width].checked_add(worth)?);
                }
            }
        }
    }
    paid.last().copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same by trying everything.
    fn tried(all: &[Alike], room: i64) -> i64 {
        let Some((alike, rest)) = all.split_first() else {
            return 0;
        };
        fn with(alike: &Alike, count: u32, rest: &[Alike], room: i64) -> i64 {
            let without = tried(rest, room);
            let choices = alike.choices.iter().filter(|(width, _)| *width <= room);
            let one =
                |&(width, worth): &(i64, i64)| worth + with(alike, count - 1, rest, room - width);
            if count == 0 {
                return without;
            }
            choices.map(one).max().unwrap_or(0).max(without)
        }
        with(alike, alike.count, rest, room)
    }

    #[test]
    fn as_much_as_when_everything_is_tried() {
        for seed in 0..300_i64 {
            let all: Vec<Alike> = (0..3)
                .map(|k| {
                    let choice = |c: i64| {
                        (
                            1 + (seed * 7 + k * 5 + c * 11) % 9,
                            (seed * 3 + k * 8 + c * 13) % 10,
                        )
                    };
                    let choices = (0..=k).map(choice).collect();
                    Alike {
                        count: ((seed + k) % 3) as u32,
                        choices,
                    }
                })
                .collect();
            for room in [0, 4, 11, 17] {
                let mut sums = 10_000;
                assert_eq!(most(&all, room, &mut sums), Some(tried(&all, room)));
            }
            assert_eq!(most(&all, 17, &mut 5).is_some(), tried(&all, 17) == 0);
        }
    }
}
