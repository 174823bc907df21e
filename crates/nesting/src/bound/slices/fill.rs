//! Which sections fill a width best, given what each is worth: exact sums by worth.

use std::collections::BTreeMap;

use super::cut::Cut;

/// Other fillings are worth less by so many hundredths of the best at most.
const NEAR: usize = 2;

/// Sections side by side: how many, by kind and by number of their width.
pub(super) type Filling = BTreeMap<(usize, usize), u32>;

/// Fillings found.
pub(super) struct Filled {
    /// The greatest worth; that of many if `is_more`.
    pub most: usize,
    /// True if there was more than was counted.
    pub is_more: bool,
    /// The best first, then others that are worth nearly as much.
    pub fillings: Vec<Filling>,
    /// Sums looked at.
    pub work: u64,
}

/// After a copy of a kind has been added or not: the narrowest way to each worth.
struct Layer {
    kind: usize,
    narrowest: Vec<i64>,
}

/// The best fillings of `room` by `worth` (by kind, then width); counted up to `ceiling`, where sums end.
pub(super) fn best(
    cuts: &[Cut],
    worth: &[Vec<u32>],
    room: i64,
    ceiling: usize,
    others: usize,
) -> Filled {
    let mut layers: Vec<Layer> = vec![Layer {
        kind: usize::MAX,
        narrowest: vec![0],
    }];
    let mut work = 0;
    for (kind, (cut, worth)) in cuts.iter().zip(worth).enumerate() {
        let sections = sections(cut, worth);
        let Some(&(narrow, ..)) = sections.first() else {
            continue;
        };
        for _ in 0..cut.abreast(narrow, room) {
            let before = &layers.last().expect("one at least").narrowest;
            let most = sections.last().map_or(0, |&(_, worth, _)| worth);
            let mut narrowest = before.clone();
            narrowest.resize((before.len() + most).min(ceiling + 1), i64::MAX);
            for &(width, worth, _) in &sections {
                work += before.len() as u64;
                for (so_far, &taken) in before.iter().enumerate() {
                    if taken <= room - width {
                        let with = &mut narrowest[(so_far + worth).min(ceiling)];
                        *with = (*with).min(taken + width);
                    }
                }
            }
            while narrowest.last().is_some_and(|&width| width > room) {
                narrowest.pop();
            }
            layers.push(Layer { kind, narrowest });
        }
    }
    let last = &layers.last().expect("one at least").narrowest;
    let most = last.len() - 1;
    let mut fillings = Vec::new();
    let step = (most * NEAR / 100 / (others + 1)).max(1);
    let mut at = most;
    while fillings.len() <= others && at * 100 >= most * (100 - NEAR) {
        if last[at] <= room {
            let filling = traced(cuts, worth, &layers, at, ceiling);
            if !fillings.contains(&filling) {
                fillings.push(filling);
            }
        }
        if at < step {
            break;
        }
        at -= step;
    }
    Filled {
        most,
        is_more: most >= ceiling,
        fillings,
        work,
    }
}

/// Width, worth and number of the sections that are worth something, the narrowest of equal worth, ascending.
fn sections(cut: &Cut, worth: &[u32]) -> Vec<(i64, usize, usize)> {
    let mut before = 0;
    let mut all = Vec::new();
    for (number, (&width, &worth)) in cut.widths.iter().zip(worth).enumerate() {
        if worth > before {
            all.push((width, worth as usize, number));
            before = worth;
        }
    }
    all
}

/// How a worth came about.
fn traced(
    cuts: &[Cut],
    worth: &[Vec<u32>],
    layers: &[Layer],
    mut at: usize,
    ceiling: usize,
) -> Filling {
    let mut filling = Filling::new();
    for pair in layers.windows(2).rev() {
        let (before, after) = (&pair[0].narrowest, &pair[1]);
        let taken = after.narrowest[at];
        if before.get(at) == Some(&taken) {
            continue;
        }
        let kind = after.kind;
        let found =
            sections(&cuts[kind], &worth[kind])
                .into_iter()
                .find_map(|(width, worth, number)| {
                    let is_from = |&so_far: &usize| {
                        before
                            .get(so_far)
                            .is_some_and(|&with| with.checked_add(width) == Some(taken))
                    };
                    let so_far = if at == ceiling {
                        (ceiling.saturating_sub(worth)..=ceiling).find(is_from)
                    } else {
                        at.checked_sub(worth).filter(is_from)
                    };
                    so_far.map(|so_far| (so_far, number))
                });
        if let Some((so_far, number)) = found {
            *filling.entry((kind, number)).or_default() += 1;
            at = so_far;
        }
    }
    filling
}
