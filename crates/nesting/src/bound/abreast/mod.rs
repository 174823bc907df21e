//! Who can lie abreast: the best worth of parts of pieces, and what it proves.
//!
//! [`super::slices`] counts how wide sections are and forgets what becomes of them above and below, so flared panels
//! fill any width. Here every piece is cut across into parts as it may lie, and at each height of the cloth the parts
//! there must have room side by side with all of their pieces, at some heights of their own within the parts: a
//! company. A third panel may begin only where two others have grown narrow; where beside the feet of one there is no room for
//! two others, no three of them are ever in company, though their narrowest sections would fit.
//!
//! How companies fill a length best is a linear program with a column for each; its dual asks what parts are worth when
//! no company is worth more than one (`master`). Rows are added to it as they are broken, by companies that are worth most, of
//! all there may be (`candidates`); whether they have room is asked then (`company`). What comes out is rounded and worked out exactly: what the pieces bring at least, over what a
//! company is worth at most, is a length that no layout undercuts ([`crate::certificate::abreast`], which works both out on
//! its own). Own derivation; columns by Gilmore and Gomory 1961 (from memory).

mod candidates;
mod company;
mod groups;
mod master;
mod part;
mod rounds;

use pieces::Length;

use super::apart::Distances;
use super::grown::{self, Grown};
use super::kinds::{Kind, kinds};
use super::within::within;
use crate::certificate::abreast::{Abreast, Parts, proved_unless};
use crate::geometry::WITHIN;
use crate::problem::Problem;
use crate::verdict::{Argument, Bound};
use candidates::Candidates;
use company::Companies;
use groups::{Group, groups, represented};
use part::{Part, parts};

/// Parts of a piece, at least and at most, and in all.
const FEWEST_CUTS: usize = 3;
const MOST_CUTS: usize = 12;
const CUTS: [usize; 6] = [MOST_CUTS, 9, 7, 5, 4, FEWEST_CUTS];
const MOST_PARTS: usize = 120;

/// So many groups of items are tried before each is by itself.
const GROUPS: [usize; 3] = [1, 2, 4];

/// Pieces as they may lie, and where they refuse each other.
struct Pieces {
    kinds: Vec<Kind>,
    distances: Distances,
    usable: i64,
    cloth: i64,
}

impl Pieces {
    /// `None` if it would take too long.
    fn of(problem: &Problem, grown: Grown) -> Option<Self> {
        let (kinds, usable) = kinds(problem, grown);
        Some(Pieces {
            distances: Distances::of(problem, &kinds, grown)?,
            kinds,
            usable,
            cloth: problem.cloth.usable_width().um(),
        })
    }

    fn companies<'p>(
        &'p self,
        parts: &'p [Part],
        work: u64,
        stop: &'p dyn Fn() -> bool,
    ) -> Companies<'p> {
        Companies::new(
            parts,
            &self.kinds,
            &self.distances,
            [self.usable, self.cloth],
            work,
            stop,
        )
    }
}

/// A greater bound than this one by parts abreast, if there is work enough to find one, in about nanoseconds, and until
/// it is to stop.
pub(crate) fn greater(
    problem: &Problem,
    known: &Bound,
    work: u64,
    stop: &dyn Fn() -> bool,
) -> Option<Bound> {
    let items = problem.items.iter().filter(|item| item.copies > 0).count();
    let mut best: Option<Bound> = None;
    let mut left = work;
    let tries: Vec<usize> = GROUPS
        .into_iter()
        .filter(|&n| n < items)
        .chain([items])
        .collect();
    for (number, most) in tries.iter().enumerate() {
        let length = best.as_ref().map_or(known.length, |best| best.length);
        if left == 0 || length <= Length::ZERO || stop() {
            break;
        }
        let groups = groups(problem, *most);
        if groups.len() > *most {
            continue;
        }
        let mut share = left / (tries.len() - number) as u64;
        left -= share;
        let found = in_groups(problem, &groups, length, &mut share, stop);
        left += share;
        best = found.or(best);
    }
    best
}

/// A bound above this length, where those of a group are taken for one another. What is left of the work is given back.
fn in_groups(
    problem: &Problem,
    groups: &[Group],
    length: Length,
    work: &mut u64,
    stop: &dyn Fn() -> bool,
) -> Option<Bound> {
    if groups.len() * FEWEST_CUTS > MOST_PARTS {
        return None;
    }
    let grown = *grown::all(problem.spacing.um()).first()?;
    let represented = represented(problem, groups);
    if represented.items.len() < groups.len() {
        return None;
    }
    let pieces = Pieces::of(&represented, grown)?;
    let stances = &pieces.distances.stances;
    // The shorter the parts, the more is said, unless there are too many companies.
    let most = (MOST_PARTS / stances.len().max(1)).min(MOST_CUTS);
    let mut found = None;
    for cuts in CUTS.into_iter().filter(|&cuts| cuts <= most) {
        let parts = parts(stances, cuts);
        let mut companies = pieces.companies(&parts, *work, stop);
        let candidates = Candidates::of(&mut companies);
        let is_enough = candidates.is_some() || companies.work == 0;
        let worth = candidates.and_then(|all| rounds::rounds(&mut companies, all, length.um()));
        *work = companies.work;
        if is_enough {
            found = worth.map(|worth| (parts, worth));
            break;
        }
    }
    let (parts, worth) = found?;
    let mut worth = worth.into_iter();
    let of_stance = parts.chunk_by(|one, other| one.stance == other.stance);
    let written = stances.iter().zip(of_stance).map(|(stance, parts)| {
        let of_group = |group: usize| groups[group].iter().copied();
        let items = stance.items(&pieces.kinds).into_iter().flat_map(of_group);
        let mut items: Vec<usize> = items.collect();
        items.sort_unstable();
        Parts {
            items,
            turns: stance.turns.all(),
            worth: worth.by_ref().take(parts.len()).collect(),
        }
    });
    let abreast = Abreast {
        wider: Length::from_um(grown.across),
        pieces: written.collect(),
        within: within(problem, groups.iter().flatten().copied(), &[WITHIN]),
    };
    let proved = proved_unless(problem, &abreast, stop).filter(|proved| *proved > length)?;
    Some(Bound {
        length: proved,
        argument: Argument::Abreast(abreast),
    })
}

#[cfg(test)]
mod tests;
