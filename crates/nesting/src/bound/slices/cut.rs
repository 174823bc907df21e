//! Pieces cut across into slices: the widths at which the worth of a section may change, and where sections are
//! at least so wide.

use crate::bound::kinds::{Kind, Way};
use crate::bound::profile::{Profile, Stretch};

/// Heights from and to, apart from each other and ascending.
pub(super) type Heights = Vec<(i64, i64)>;

/// A kind, cut.
pub(super) struct Cut {
    /// Its items.
    pub items: Vec<usize>,
    /// All copies.
    pub copies: i64,
    /// Least widths of slices, each once, ascending.
    pub widths: Vec<i64>,
    /// One for each way it may lie.
    pub lying: Vec<Lying>,
}

/// One way a kind may lie, one end up.
pub(super) struct Lying {
    pub height: i64,
    /// By width: where sections are at least so wide.
    pub wide: Vec<Heights>,
}

impl Cut {
    /// `slices` of equal thickness, and at most `most` different widths, spread over all there are. Where all
    /// heights of the cloth are alike (`alike`), a piece turned end for end is the same.
    pub fn of(kind: &Kind, slices: i64, most: usize, alike: bool) -> Cut {
        let mut widths: Vec<i64> = Vec::new();
        for way in &kind.ways {
            let height = way.profile.height();
            let slices = slices.min(height).max(1);
            let at = |k: i64| height * k / slices;
            widths.extend((0..slices).map(|k| least_within(&way.profile, at(k), at(k + 1))));
        }
        widths.retain(|&width| width > 0);
        widths.sort_unstable();
        widths.dedup();
        let count = widths.len();
        if count > most {
            widths = (0..most).map(|k| widths[k * count / most]).collect();
        }
        let lying = |way: &Way| -> Vec<Lying> {
            let reversed = (way.both_ends && !alike).then(|| way.profile.reversed());
            let all = std::iter::once(way.profile.clone()).chain(reversed);
            all.map(|profile| Lying {
                height: profile.height(),
                wide: widths
                    .iter()
                    .map(|&width| at_least(&profile, width))
                    .collect(),
            })
            .collect()
        };
        Cut {
            items: kind.items.iter().map(|&(item, _)| item).collect(),
            copies: kind.copies,
            lying: kind.ways.iter().flat_map(lying).collect(),
            widths,
        }
    }

    /// How many fit side by side at most, of all copies, each with a section so wide.
    pub fn abreast(&self, width: i64, room: i64) -> i64 {
        self.copies.min(room / width.max(1))
    }
}

/// The least section of a slice, its own ends seen from within it.
fn least_within(profile: &Profile, from: i64, to: i64) -> i64 {
    let inner = profile
        .stretches
        .iter()
        .flat_map(|s| [(s.from, s.low), (s.to, s.high)]);
    let inner = inner
        .filter(|&(y, _)| from < y && y < to)
        .map(|(_, width)| width);
    let ends = [profile.after(from, 1), profile.before(to, 1)];
    inner.chain(ends).min().unwrap_or(0)
}

/// Where sections are surely at least so wide.
fn at_least(profile: &Profile, width: i64) -> Heights {
    let mut all: Heights = Vec::new();
    for stretch in &profile.stretches {
        let (from, to) = part(stretch, width);
        if from >= to {
            continue;
        }
        match all.last_mut() {
            Some((_, end)) if *end == from => *end = to,
            _ => all.push((from, to)),
        }
    }
    all
}

/// The part of a stretch that is at least so wide; empty if none is.
fn part(
    &Stretch {
        from,
        to,
        low,
        high,
    }: &Stretch,
    width: i64,
) -> (i64, i64) {
    let reach = |narrow: i64, wide: i64| {
        let run = i128::from(wide - width) * i128::from(to - from);
        // Less than the whole stretch, as the width lies between the two.
        i64::try_from(run / i128::from(wide - narrow)).unwrap_or(0)
    };
    match (low >= width, high >= width) {
        (true, true) => (from, to),
        (true, false) => (from, from + reach(high, low)),
        (false, true) => (to - reach(low, high), to),
        (false, false) => (from, from),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pieces::{Outline, Point};

    fn kind(corners: &[(i64, i64)], both_ends: bool) -> Kind {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        let outline = Outline::new(corners).unwrap();
        let profile = Profile::of(&outline, 0);
        Kind {
            items: vec![(0, 3)],
            copies: 3,
            ways: vec![Way {
                profile,
                both_ends,
                is_sideways: false,
            }],
            doubled_area: outline.doubled_area(),
            garment: None,
        }
    }

    #[test]
    fn slices_of_a_panel_by_hand() {
        let panel = kind(&[(0, 0), (80, 0), (60, 100), (20, 100)], true);
        let cut = Cut::of(&panel, 4, 9, true);
        assert_eq!(cut.widths, [40, 50, 60, 70]);
        assert_eq!(cut.lying.len(), 1);
        let wide: Vec<(i64, i64)> = cut.lying[0].wide.iter().flatten().copied().collect();
        assert_eq!(wide, [(0, 100), (0, 75), (0, 50), (0, 25)]);
        let both = Cut::of(&panel, 4, 2, false);
        assert_eq!(both.widths, [40, 60]);
        assert_eq!(both.lying[1].wide, [vec![(0, 100)], vec![(50, 100)]]);
        assert_eq!((cut.abreast(40, 100), cut.abreast(40, 130)), (2, 3));
    }
}
