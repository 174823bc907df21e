//! What arguments prove each on their own: for measuring what each is worth, not for answers.

use pieces::Length;

use super::abreast;
use super::grown;
use super::search::Search;
use super::{best, refuse};
use crate::problem::Problem;

/// Work for slices and for each length asked about in zones, in about nanoseconds.
const WORK: u64 = 1_000_000_000;

/// Work for parts abreast, in about nanoseconds.
const WORK_ABREAST: u64 = 6_000_000_000;

/// Lengths are asked about as near to each other as this share of them.
const NEAR: i64 = 500;

/// Lengths below which each argument alone leaves no layout; zero where it says nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Measured {
    /// Area over the usable width.
    pub area: Length,
    /// Sections charged by dual feasible functions.
    pub functions: Length,
    /// Slices where all heights are alike.
    pub slices: Length,
    /// Slices in zones of a length, where tall pieces cover the middle.
    pub zones: Length,
    /// Parts that can lie abreast, beyond all that [`best`] tries.
    pub abreast: Length,
    /// All arguments that [`best`] tries.
    pub best: Length,
    /// All that [`refuse`] tries for a length asked about.
    pub refused: Length,
}

/// Of pieces without spacing; some seconds.
#[must_use]
pub fn measured(problem: &Problem) -> Measured {
    let fresh = |floor: i64| {
        let mut search = Search::new(problem, grown::all(0)[0], floor, 1);
        search.best.length = Length::from_um(1);
        search.work_on_slices = WORK;
        search
    };
    let alone = |ask: &dyn Fn(&mut Search<'_>)| {
        let mut search = fresh(0);
        ask(&mut search);
        search.best.length
    };
    let best_bound = best(problem);
    let best = best_bound.length;
    let abreast = abreast::greater(problem, &best_bound, WORK_ABREAST, &|| false);
    let longest = |refuses: &dyn Fn(i64) -> bool, from: i64| {
        let (mut low, mut high) = (from, from * 2);
        if !refuses(low) {
            return from;
        }
        while high - low > (low / NEAR).max(1) {
            let middle = low + (high - low) / 2;
            if refuses(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low + 1
    };
    let in_zones = |length: i64| {
        let mut search = fresh(length);
        search.zones();
        search.is_done()
    };
    let area = alone(&|search| search.area());
    // Zones may say less than the area; from where they say something on.
    let say = (60..=100).rev().map(|percent| best.um() * percent / 100);
    let zones = say.clone().find(|&length| in_zones(length));
    Measured {
        area,
        functions: alone(&|search| drop(search.sections())),
        slices: alone(&|search| search.slices()),
        zones: zones.map_or(Length::ZERO, |from| {
            Length::from_um(longest(&in_zones, from))
        }),
        abreast: abreast.map_or(best, |bound| bound.length),
        best,
        refused: Length::from_um(longest(
            &|length| refuse(problem, Length::from_um(length)).is_some(),
            best.um(),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::{Cloth, Item, Turn};
    use pieces::Outline;

    /// Geometry: of 60 on 100 wide no two lie side by side; their area is 1.2 long, they are 2 long.
    #[test]
    fn each_says_what_it_can_of_two_wide_pieces() {
        let um = Length::from_um;
        let item = Item {
            label: "flag".into(),
            outline: Outline::rectangle(um(60_000), um(100_000)).unwrap(),
            copies: 2,
            turns: vec![Turn::None],
            may_mirror: false,
            garment: None,
            anchor: None,
        };
        let problem = Problem {
            cloth: Cloth {
                right: um(100_000),
                ..Cloth::default()
            },
            items: vec![item],
            ..Problem::default()
        };
        let said = measured(&problem);
        assert_eq!(said.area, um(120_000));
        for length in [said.functions, said.slices, said.best] {
            assert_eq!(length, um(200_000));
        }
        assert_eq!(said.refused, um(200_000));
        assert!(
            (um(190_000)..=um(200_000)).contains(&said.zones),
            "{said:?}"
        );
    }
}
