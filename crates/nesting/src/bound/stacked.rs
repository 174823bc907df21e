//! Pieces that must lie one behind the other.
//!
//! Along the cloth every piece covers an interval. Intervals that meet two by two share a height (Helly's
//! theorem in one dimension), and there the pieces' sections are at most the usable width together. So
//! two wide pieces have intervals apart, and more generally:
//!
//! - [`Search::alone`]: a piece beside which none of the others fits has its heights to itself. Cutting
//!   them out leaves a layout of the others, so its length is added to a bound on the rest.
//! - [`Search::behind`]: intervals form a perfect graph (Berge), so the most of them that lie one behind the
//!   other are as many as the fewest groups in which all share a height; and those are no fewer than
//!   the lengths of cloth that their narrowest sections would fill side by side. The shortest of them are
//!   added up, over all pieces or only over those from some length on.
//!
//! Source: pieces as intervals on each axis are the packing classes of Fekete and Schepers 2004, their dual feasible
//! functions those of 2001; that intervals make a perfect graph: Berge 1961 (all from memory). How they are put together
//! here, for any outline, is an own derivation.

use std::collections::BTreeSet;

use pieces::Length;

use super::dual;
use super::kinds::Kind;
use super::search::{Search, up};
use super::with_trees_that_hold;
use crate::verdict::Argument;

/// Dual feasible functions tried on narrowest sections, at most.
const MOST_FUNCTIONS: usize = 32;

impl Search<'_> {
    /// Pieces with no other beside them, on top of the best bound of the rest.
    pub(super) fn alone(&mut self) {
        let (alone, rest): (Vec<usize>, Vec<usize>) =
            (0..self.kinds.len()).partition(|&kind| self.is_alone(kind));
        if alone.is_empty() || rest.is_empty() {
            return;
        }
        let pick = |chosen: &[usize]| -> Vec<Kind> {
            chosen
                .iter()
                .map(|&kind| self.kinds[kind].clone())
                .collect()
        };
        let (alone, rest) = (pick(&alone), pick(&rest));
        let on_top: i64 = alone.iter().map(|k| k.copies * k.least_height()).sum();
        // Most that the rest refuses is refused by it alone; what it spends is spent.
        let work = self.work_on_places / 4 * 3;
        let about_rest = |work: u64| {
            let mut of_rest = self.about(rest.clone(), (self.floor - on_top).max(0));
            of_rest.work_on_places = work;
            of_rest.search();
            let found = with_trees_that_hold(self.problem, of_rest.best);
            (found, of_rest.work_on_places)
        };
        let (mut rest, left) = about_rest(work);
        // Taken wider for a spacing, they may come nearer to each other where these are cut out, so what is searched again as
        // if they kept it proves nothing.
        if self.grown.across > 0 && rest.argument.is_searched_again() {
            rest = about_rest(0).0;
        }
        self.work_on_places -= work - left;
        let mut items: Vec<usize> = alone.iter().flat_map(Kind::each_copy).collect();
        items.sort_unstable();
        let length = on_top + rest.length.um();
        rest.length = (rest.length - Length::from_um(self.grown.along)).max(Length::ZERO);
        let larger = self.grown.larger();
        self.offer(length, || Argument::Alone {
            items,
            larger,
            rest: Box::new(rest),
        });
    }

    /// True if no other piece fits beside one of this kind at any height.
    fn is_alone(&self, kind: usize) -> bool {
        let mut others = self.kinds.iter().enumerate();
        others.all(|(other, o)| {
            let fits = self.kinds[kind].narrowest() + o.narrowest() <= self.usable;
            !fits || (other == kind && o.copies == 1)
        })
    }

    /// The shortest of those that must lie one behind the other, added up.
    pub(super) fn behind(&mut self) {
        let mut kinds: Vec<(i64, i64, usize)> = self
            .kinds
            .iter()
            .enumerate()
            .map(|(number, kind)| (kind.least_height(), kind.copies, number))
            .collect();
        kinds.sort_unstable();
        let widths: BTreeSet<i64> = self.kinds.iter().map(Kind::narrowest).collect();
        let functions = dual::candidates(&widths, self.usable, MOST_FUNCTIONS);
        let mut groups = vec![0_i128; functions.len()];
        let mut longest = (0_i64, 0, 0, 0);
        // From the longest down, so that each function's sum only grows.
        for first in (0..kinds.len()).rev() {
            let kind = &self.kinds[kinds[first].2];
            let (mut count, mut by) = (0, 0);
            for (number, (sum, function)) in groups.iter_mut().zip(&functions).enumerate() {
                let value = function.at(kind.narrowest(), self.usable);
                *sum += i128::from(value) * i128::from(kind.copies);
                let rows = up(*sum, i128::from(function.whole(self.usable)));
                if rows > count {
                    (count, by) = (rows, number);
                }
            }
            let (mut length, mut left) = (0_i64, count);
            for &(height, copies, _) in &kinds[first..] {
                if left == 0 {
                    break;
                }
                let taken = copies.min(left);
                length = length.saturating_add(height.saturating_mul(taken));
                left -= taken;
            }
            if length > longest.0 {
                longest = (length, first, count, by);
            }
        }
        let (length, first, count, by) = longest;
        let mut items: Vec<usize> = kinds[first..]
            .iter()
            .flat_map(|&(.., number)| self.kinds[number].each_copy())
            .collect();
        items.sort_unstable();
        let count = u32::try_from(count).unwrap_or(u32::MAX);
        let charged = self.charge_by(&functions[by].function());
        self.offer(length, || Argument::Behind {
            items,
            count,
            charged,
        });
    }
}
