use super::*;
use crate::certificate::widths::doubled_sum;

fn worth(function: Function, usable: i64) -> Option<Worth> {
    Worth::of(&function, usable, &[])
}

fn all(usable: i64) -> Vec<Worth> {
    let um = Length::from_um;
    let cuts = (-1..=usable).map(|limit| Function::Cut { limit: um(limit) });
    let shares = (0..=8).map(|shares| Function::Share { shares });
    let steps = (-1..=usable).map(|step| Function::Steps { step: um(step) });
    let all = cuts.chain(shares).chain(steps).chain([Function::Width]);
    all.filter_map(|function| worth(function, usable)).collect()
}

/// All ways to fill small widths, by dynamic programming.
#[test]
fn no_way_to_fill_the_width_is_worth_more_than_the_whole() {
    for usable in 1..=40 {
        let all = all(usable);
        assert!(all.len() as i64 >= usable / 2 + 9);
        for worth in all {
            let mut best = vec![0; usable as usize + 1];
            for width in 1..=usable {
                for room in width..=usable {
                    let with = best[(room - width) as usize] + worth.at(width);
                    best[room as usize] = best[room as usize].max(with);
                }
            }
            assert_eq!(best[usable as usize], worth.whole, "{:?}", worth.steps);
            let mut rises = (0..usable).map(|width| worth.at(width) <= worth.at(width + 1));
            assert!(rises.all(|rises| rises));
        }
    }
}

/// All sets of pieces, each with any section it has.
#[test]
fn no_pieces_side_by_side_count_more_than_the_whole() {
    let usable = 20;
    for seed in 0_i64..300 {
        let span = |k: i64| {
            let least = 1 + (seed * 7 + k * 5 + seed / 9) % 13;
            let most = least + (seed + 3 * k) % 8;
            Span {
                least,
                most,
                copies: 1,
            }
        };
        let spans: Vec<Span> = (0..5).map(span).collect();
        for from in 1..=14 {
            let from = Length::from_um(from);
            let worth = Worth::of(&Function::Count { from }, usable, &spans).unwrap();
            // By what they take in all, the most that they are worth.
            let mut best = vec![i64::MIN / 2; usable as usize + 1];
            best[0] = 0;
            for span in &spans {
                let before = best.clone();
                for width in span.least..=span.most.min(usable) {
                    for room in width..=usable {
                        let with = before[(room - width) as usize] + worth.at(width);
                        best[room as usize] = best[room as usize].max(with);
                    }
                }
            }
            let most = best.into_iter().max().unwrap();
            assert!(most <= worth.whole, "{:?} {spans:?}", worth.steps);
        }
    }
}

#[test]
fn worth_at_heights_is_never_more_than_that_of_the_width_there() {
    let usable = 40;
    for (low, high) in [(0, 40), (40, 0), (7, 33), (33, 7), (13, 13), (19, 21)] {
        let to = 97;
        let band = Band {
            from: 3,
            to: 3 + to,
            low,
            high,
        };
        for worth in all(usable) {
            let bands = worth.bands(&[band]);
            assert_eq!((bands[0].from, bands.last().unwrap().to), (3, 3 + to));
            assert!(bands.windows(2).all(|pair| pair[0].to == pair[1].from));
            for part in &bands {
                for (y, value) in [(part.from - 3, part.low), (part.to - 3, part.high)] {
                    let width = low * (to - y) + high * y;
                    // Broken widths with what is certain of them; a limit with the greater side.
                    let width = -(-width).div_euclid(to);
                    assert!(
                        value <= worth.at(width),
                        "{:?} {low} {high} {y}",
                        worth.steps
                    );
                }
            }
        }
    }
    // Geometry: above 600 of 1 000 all, below 400 nothing; from 200 to 700.
    let cut = Function::Cut {
        limit: Length::from_um(400_000),
    };
    let band = Band {
        from: 0,
        to: 1_000_000,
        low: 200_000,
        high: 700_000,
    };
    let sum = doubled_sum(&worth(cut, 1_000_000).unwrap().bands(&[band]));
    let by_hand = 2 * (400_000 * 500_000_i128 + 200_000 * 1_000_000);
    assert!((sum - by_hand).abs() < 4_000_000, "{sum}");
}

#[test]
fn numbers_that_make_no_function_are_refused() {
    let um = Length::from_um;
    for function in [
        Function::Cut { limit: um(51) },
        Function::Cut { limit: um(0) },
        Function::Cut { limit: um(-5) },
        Function::Share { shares: 0 },
        Function::Share { shares: u32::MAX },
        Function::Steps { step: um(51) },
        Function::Steps { step: um(0) },
        Function::Count { from: um(0) },
    ] {
        assert!(worth(function, 100).is_none());
    }
    let fine = Function::Steps { step: um(1) };
    assert!(worth(fine, 1_000_000).is_none());
}
