//! All companies that may be, by widths and two by two; those that are not are left out once somebody asks.

use super::company::{Companies, Company};

/// Companies at most; with more parts are to be longer.
const MOST: usize = 150_000;

/// Looking through companies, for each, in about nanoseconds.
const A_LOOK: u64 = 8;

/// How often the best may be refused before it counts all the same.
const MOST_TRIES: u32 = 12;

/// Larger companies are first asked about by threes.
const THREE: usize = 3;

/// Companies that nobody has refused.
pub(super) struct Candidates {
    all: Vec<Company>,
}

/// What was seen.
pub(super) struct Looked {
    /// What no company is worth more than.
    pub most: u64,
    /// Some of those that are worth most.
    pub found: Vec<Company>,
    /// Whether some were refused.
    pub are_fewer: bool,
}

impl Candidates {
    /// `None` if there are too many, or there is too little work.
    ///
    /// Each company is made once, from the one without its last part.
    pub fn of(companies: &mut Companies<'_>) -> Option<Self> {
        let count = companies.parts.len();
        let mut may_meet = vec![false; count * count];
        for one in 0..count {
            for other in one..count {
                let both = [one, other];
                let may = companies.has_width_for(&both) && !companies.is_refused(&both);
                (may_meet[one * count + other], may_meet[other * count + one]) = (may, may);
            }
        }
        let mut all: Vec<Company> = Vec::new();
        let mut next = 0;
        let alone = (0..count).map(|part| vec![part]);
        all.extend(alone.filter(|part| companies.has_width_for(part)));
        while next < all.len() {
            let company = all[next].clone();
            next += 1;
            for part in *company.last()?..count {
                let mut with = company.clone();
                with.push(part);
                let meets = |&other: &usize| may_meet[other * count + part];
                if company.iter().all(meets) && companies.has_width_for(&with) {
                    all.push(with);
                }
            }
            companies.spend(A_LOOK * count as u64);
            if all.len() > MOST || companies.work == 0 {
                return None;
            }
        }
        Some(Candidates { all })
    }

    /// The worth of the best, which after some tries may be one that is refused, and those that are worth more than `above` and hold something that no better
    /// ones hold, a few. `None` if there is too little work.
    pub fn best(
        &mut self,
        companies: &mut Companies<'_>,
        worth: &[u64],
        above: u64,
        few: usize,
    ) -> Option<Looked> {
        let before = self.all.len();
        let of = |company: &Company| company.iter().map(|&part| worth[part]).sum::<u64>();
        for tries in 1.. {
            companies.spend(A_LOOK * self.all.len() as u64);
            let mut most = 0;
            let mut rich: Vec<(u64, usize)> = Vec::new();
            for (number, company) in self.all.iter().enumerate() {
                let sum = of(company);
                most = most.max(sum);
                if sum > above {
                    rich.push((sum, number));
                }
            }
            rich.sort_unstable_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
            let mut refused: Vec<Company> = Vec::new();
            let mut found: Vec<Company> = Vec::new();
            let mut is_held = vec![false; worth.len()];
            for &(_, number) in &rich {
                if found.len() == few || refused.len() == few {
                    break;
                }
                let company = &self.all[number];
                if company.iter().all(|&part| is_held[part]) {
                    continue;
                }
                if refused.iter().any(|part| holds(company, part)) {
                    continue;
                }
                match refused_of(companies, company) {
                    Some(part) => refused.push(part),
                    None => {
                        company.iter().for_each(|&part| is_held[part] = true);
                        found.push(company.clone());
                    }
                }
                if companies.work == 0 {
                    return None;
                }
            }
            let is_best_refused = rich
                .first()
                .is_some_and(|&(_, number)| refused.iter().any(|p| holds(&self.all[number], p)));
            if !refused.is_empty() {
                companies.spend(A_LOOK * (self.all.len() * refused.len()) as u64);
                self.all
                    .retain(|company| !refused.iter().any(|part| holds(company, part)));
            }
            if !is_best_refused || tries == MOST_TRIES {
                return Some(Looked {
                    most,
                    found,
                    are_fewer: self.all.len() < before,
                });
            }
        }
        None
    }
}

/// Some of a company that have no room, or all; `None` once work runs out, too.
fn refused_of(companies: &mut Companies<'_>, company: &Company) -> Option<Company> {
    refused_among(companies, company, 0)
}

/// The same without members from this place on: each set is looked at once, however many there are.
fn refused_among(companies: &mut Companies<'_>, company: &Company, from: usize) -> Option<Company> {
    if companies.work == 0 {
        return None;
    }
    if company.len() > THREE {
        for left_out in from..company.len() {
            // Equal ones stand beside each other.
            if left_out > from && company[left_out] == company[left_out - 1] {
                continue;
            }
            let mut fewer = company.clone();
            fewer.remove(left_out);
            if let Some(refused) = refused_among(companies, &fewer, left_out) {
                return Some(refused);
            }
        }
    }
    companies.is_refused(company).then(|| company.clone())
}

/// Whether all of `part`, however often each comes, are in it; both in rising order.
fn holds(company: &[usize], part: &[usize]) -> bool {
    let mut rest = company.iter();
    part.iter()
        .all(|wanted| rest.any(|member| member == wanted))
}
