//! Places along the cloth: do sections of all rectangles fit side by side at every height?
//!
//! Where pieces lie across is left out; what is then refused can't be laid at all. From the cut end on, at every
//! height where something ends: what starts there? All sets are tried, but for these:
//!
//! - nothing starts where it could have started earlier: it is wider than what was free just before;
//! - a height at which nothing passes on parts the layout. The parts may lie in any order, so the first one holds
//!   the rectangle that comes last by number, and so on; nothing moves from part to part for the first rule. The last of all lies in
//!   the nearer half, or else its part is turned end for end;
//! - what is lost to charges ([`Charge`]) at each height adds up, and may not exceed what the whole length leaves.
//!   Where many sets follow from a beginning, charges are made for what it leaves;
//! - what has been refused from the same height, with the same left and lying, is known.
//!
//! Both rules of order stand together: among the layouts with most parts, of those in which the last rectangle starts nearest to the
//! beginning of its part, one in which the distances of all from theirs have the least sum obeys them. Sources: the relaxation is that of Martello,
//! Monaci, Vigo 2003 and Côté, Dell'Amico, Iori 2014 (from memory); charges in place of areas, and parts, are our own.

use std::collections::{HashMap, HashSet};

use super::charge::{Charge, Rest};
use super::job::Job;
use super::notes::Notes;
use crate::certificate::starts::word::{CHARGED, GOES_ON, KNOWN, LATE, OPEN, OWED};

/// What has been found out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// All sets were tried.
    Refused,
    /// Somebody took what was found.
    Taken,
    /// Work ran out.
    Open,
}

/// Where a way is started, along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Start {
    pub way: usize,
    pub y: i32,
}

/// Who wants places along.
pub trait Asker {
    /// Whether these, for all, are taken.
    fn takes(&mut self, starts: &[Start]) -> bool;
    /// Whether there is a point in going on from these, with which a part begins or is whole.
    fn may_begin(&mut self, starts: &[Start]) -> bool;
    /// What work that took since this was asked last.
    fn spent(&mut self) -> u64;
}

/// Work of a program of charges, and of every row in it, in sets tried.
const PROGRAM: u64 = 2_000;

/// With work for fewer rows than this no program is made.
const FEWEST_ROWS: u64 = 8;

/// After so much work it is asked whether to stop.
const OFTEN: u64 = 1 << 12;

/// States kept at most: some hundred megabytes.
const MOST_KEPT: usize = 2_000_000;

/// Below this many rectangles no charges are made.
const FEW: usize = 4;

#[derive(Clone, Copy)]
struct Lying {
    way: usize,
    end: i32,
}

/// Charges, and what may still be lost to them.
struct Account {
    charge: Charge,
    spare: i64,
}

/// One search, and where it stands.
pub struct Search<'j> {
    job: &'j Job,
    length: i32,
    /// Sets tried before charges are made for what a beginning leaves; 0 for never.
    patience: u64,
    asker: &'j mut dyn Asker,
    stop: &'j (dyn Fn() -> bool + Sync),
    work: u64,
    limit: u64,
    /// When it is asked next whether to stop.
    next_look: u64,
    left: Vec<u16>,
    count: usize,
    lying: Vec<Lying>,
    starts: Vec<Start>,
    accounts: Vec<Account>,
    /// Sets that charges were made by.
    rows: Vec<Vec<u16>>,
    /// Sorts, the longest first, with their least sizes.
    longest: Vec<(usize, [i32; 2])>,
    /// A sort that the part begun last must hold, and how many were left before.
    owed: Option<(usize, u16)>,
    /// Starts before that part.
    before: usize,
    pub(super) seen: HashSet<Box<[u8]>>,
    /// By what is left where nothing lies: the least height from which it is refused.
    pub(super) refused: HashMap<Box<[u8]>, i32>,
    /// What refuses what, if somebody wants to know.
    pub notes: Option<Notes>,
}

impl<'j> Search<'j> {
    pub fn new(
        job: &'j Job,
        length: i32,
        patience: u64,
        asker: &'j mut dyn Asker,
        stop: &'j (dyn Fn() -> bool + Sync),
    ) -> Self {
        let least = |sort: usize| {
            let ways = || job.ways.iter().filter(|way| way.sort == sort);
            let across = ways().map(|way| way.across).min().unwrap_or(0);
            let along = ways().map(|way| way.along).min().unwrap_or(0);
            (sort, [across, along])
        };
        let mut longest: Vec<_> = (0..job.copies.len()).map(least).collect();
        longest.sort_by_key(|(_, [_, along])| std::cmp::Reverse(*along));
        Search {
            job,
            length,
            patience,
            asker,
            stop,
            work: 0,
            limit: 0,
            next_look: OFTEN,
            left: job.copies.clone(),
            count: job.count(),
            lying: Vec::new(),
            starts: Vec::new(),
            accounts: Vec::new(),
            rows: Vec::new(),
            longest,
            owed: None,
            before: 0,
            seen: HashSet::new(),
            refused: HashMap::new(),
            notes: None,
        }
    }

    /// Tries so many sets at most; what is said, and how many it took.
    pub fn run(&mut self, limit: u64) -> (Said, u64) {
        (self.work, self.limit, self.next_look) = (0, limit, OFTEN);
        self.accounts.clear();
        let by_width = Charge::by_width(self.job, &self.rest(0));
        let said = if !self.open_account(by_width, 0) || !self.charge(0) {
            Said::Refused
        } else {
            self.go_on(0, 0)
        };
        (said, self.work)
    }

    /// What is still to come from this height on.
    fn rest(&self, y: i32) -> Rest {
        let mut rest = Rest {
            left: self.left.clone(),
            lying: vec![(0, 0); self.job.ways.len()],
        };
        for lying in &self.lying {
            let (count, along) = &mut rest.lying[lying.way];
            *count += 1;
            *along += i64::from(lying.end - y);
        }
        rest
    }

    /// Makes charges for what is left. False if these refuse it.
    fn charge(&mut self, y: i32) -> bool {
        // Half of what work is left, or a hard program could take far more than was given.
        let most = self.limit.saturating_sub(self.work) / PROGRAM / 2;
        if most < FEWEST_ROWS {
            return true;
        }
        let rest = self.rest(y);
        let before = self.rows.len();
        let charge = Charge::best(self.job, &rest, &mut self.rows, most);
        self.work += PROGRAM * (1 + (self.rows.len() - before) as u64);
        charge.is_none_or(|charge| self.open_account(charge, y))
    }

    /// False if nothing is to spare.
    fn open_account(&mut self, charge: Charge, y: i32) -> bool {
        let paid = charge.paid(&self.rest(y));
        let spare = charge.whole * i64::from(self.length - y) - paid;
        self.note(OPEN);
        for &value in &charge.each {
            self.note(value as u64);
        }
        self.accounts.push(Account { charge, spare });
        self.are_borne()
    }

    /// From a height on at which something ends; just before it so much was free.
    fn go_on(&mut self, y: i32, mut free_before: i32) -> Said {
        self.work += 1;
        if self.count == 0 {
            let is_taken = self.asker.takes(&self.starts);
            self.work += self.asker.spent();
            return if is_taken { Said::Taken } else { Said::Refused };
        }
        if self.work > self.limit || self.is_stopped() || self.is_noted_out() {
            return Said::Open;
        }
        if self.is_late(y) {
            return self.refuse(LATE);
        }
        let (owed, before) = (self.owed, self.before);
        let is_part = self.lying.is_empty();
        if is_part {
            if self.is_owed() {
                return self.refuse(OWED);
            }
            let may_begin = self.asker.may_begin(&self.starts[before..]);
            self.work += self.asker.spent();
            if !may_begin {
                return Said::Refused;
            }
            free_before = 0;
            self.before = self.starts.len();
            let left = self.left.iter().copied().enumerate();
            self.owed = left.rev().find(|&(_, left)| left > 0);
        }
        let said = self.unless_known(y, free_before, is_part);
        (self.owed, self.before) = (owed, before);
        said
    }

    /// Asked now and then.
    fn is_stopped(&mut self) -> bool {
        if self.work < self.next_look {
            return false;
        }
        self.next_look = self.work + OFTEN;
        (self.stop)()
    }

    fn is_owed(&self) -> bool {
        self.owed
            .is_some_and(|(sort, left)| self.left[sort] == left)
    }

    fn unless_known(&mut self, y: i32, free_before: i32, is_part: bool) -> Said {
        let left: Box<[u8]> = self
            .left
            .iter()
            .flat_map(|left| left.to_le_bytes())
            .collect();
        let is_refused = |&from: &i32| from <= y;
        if is_part && self.refused.get(&left).is_some_and(is_refused) {
            return self.refuse(KNOWN);
        }
        let mark = self.mark(y, free_before, &left);
        if self.seen.contains(&mark) {
            return self.refuse(KNOWN);
        }
        self.note(GOES_ON);
        let lying = self
            .lying
            .iter()
            .map(|lying| self.job.ways[lying.way].across);
        let free = self.job.across - lying.sum::<i32>();
        let said = self.start(y, free_before, free, self.job.ways.len());
        if said == Said::Refused && self.seen.len() < MOST_KEPT {
            let from = is_part.then(|| (left.clone(), self.refused.insert(left, y)));
            if let Some(notes) = &mut self.notes {
                notes.keep(mark.clone(), from);
            }
            self.seen.insert(mark);
        }
        said
    }

    /// Alike for beginnings after which the same can come.
    fn mark(&self, y: i32, free_before: i32, left: &[u8]) -> Box<[u8]> {
        let mut lying: Vec<(i32, u8)> = self
            .lying
            .iter()
            .map(|lying| (lying.end, lying.way as u8))
            .collect();
        lying.sort_unstable();
        let mut mark = Vec::with_capacity(9 + left.len() + 5 * lying.len());
        mark.push(u8::from(self.is_owed()));
        mark.extend(y.to_le_bytes());
        mark.extend(free_before.to_le_bytes());
        mark.extend(left);
        for (end, way) in lying {
            mark.extend(end.to_le_bytes());
            mark.push(way);
        }
        mark.into()
    }

    /// Whether something that is left can't end in time, or those that must pass the middle of what is left are too wide
    /// together.
    fn is_late(&self, y: i32) -> bool {
        let room = self.length - y;
        let last = self.left.len() - 1;
        if self.job.copies[last] == 1 && self.left[last] == 1 {
            let ways = self.job.ways.iter().filter(|way| way.sort == last);
            let along = ways.map(|way| way.along).min().unwrap_or(0);
            if y > (self.length - along) / 2 {
                return true;
            }
        }
        let mut wide = 0;
        for &(sort, [across, along]) in &self.longest {
            if self.left[sort] == 0 {
                continue;
            }
            if along > room {
                return true;
            }
            if 2 * along <= room {
                return false;
            }
            wide += across * i32::from(self.left[sort]);
            let from = self.length - along;
            let beside = self.lying.iter().filter(|lying| lying.end > from);
            let beside: i32 = beside.map(|lying| self.job.ways[lying.way].across).sum();
            if wide + beside > self.job.across {
                return true;
            }
        }
        false
    }

    /// All sets of ways with numbers below this that may start here.
    fn start(&mut self, y: i32, free_before: i32, free: i32, below: usize) -> Said {
        for number in (0..below).rev() {
            let way = self.job.ways[number];
            let may = self.left[way.sort] > 0 && way.across <= free && way.across > free_before;
            if !may || y + way.along > self.length || !self.pay(number) {
                continue;
            }
            self.note(GOES_ON);
            self.left[way.sort] -= 1;
            self.count -= 1;
            self.lying.push(Lying {
                way: number,
                end: y + way.along,
            });
            self.starts.push(Start { way: number, y });
            let said = self.start(y, free_before, free - way.across, number + 1);
            self.starts.pop();
            self.lying.pop();
            self.left[way.sort] += 1;
            self.count += 1;
            self.pay_back(number);
            if said != Said::Refused {
                return said;
            }
        }
        self.close(y, free)
    }

    /// Pays what this way costs more than another of its sort. False, and nothing paid, if that is too much.
    fn pay(&mut self, number: usize) -> bool {
        let way = self.job.ways[number];
        let more =
            |charge: &Charge| i64::from(way.along) * charge.each[number] - charge.least[way.sort];
        let may = |account: &Account| more(&account.charge) <= account.spare;
        if let Some(number) = self.accounts.iter().position(|account| !may(account)) {
            self.note(CHARGED + number as u64);
            return false;
        }
        for account in &mut self.accounts {
            account.spare -= more(&account.charge);
        }
        true
    }

    fn pay_back(&mut self, number: usize) {
        let way = self.job.ways[number];
        for Account { charge, spare } in &mut self.accounts {
            *spare += i64::from(way.along) * charge.each[number] - charge.least[way.sort];
        }
    }

    /// Nothing more starts here: on to where something ends.
    fn close(&mut self, y: i32, free: i32) -> Said {
        let Some(next) = self.lying.iter().map(|lying| lying.end).min() else {
            return Said::Refused;
        };
        let mut said = Said::Refused;
        self.lose(i64::from(next - y));
        if self.are_borne() {
            let before = self.lying.clone();
            self.lying.retain(|lying| lying.end > next);
            said = self.go_on_with_care(next, free);
            self.lying = before;
        }
        self.lose(-i64::from(next - y));
        said
    }

    /// What is lost over so much length as things lie.
    fn lose(&mut self, along: i64) {
        for Account { charge, spare } in &mut self.accounts {
            let paid: i64 = self.lying.iter().map(|lying| charge.each[lying.way]).sum();
            *spare -= (charge.whole - paid) * along;
        }
    }

    /// Whether all accounts can bear what was lost.
    fn are_borne(&mut self) -> bool {
        let short = self.accounts.iter().position(|account| account.spare < 0);
        if let Some(number) = short {
            self.note(CHARGED + number as u64);
        }
        short.is_none()
    }

    /// Tries a few sets, and if these are not all makes charges for what is left before it tries the others.
    fn go_on_with_care(&mut self, y: i32, free_before: i32) -> Said {
        if self.count <= FEW || self.patience == 0 {
            return self.go_on(y, free_before);
        }
        let limit = self.limit;
        self.limit = limit.min(self.work + self.patience);
        let is_short = self.limit < limit;
        let noted = self.notes.as_ref().map(Notes::place);
        let said = self.go_on(y, free_before);
        self.limit = limit;
        if said != Said::Open || !is_short || (self.stop)() || self.is_noted_out() {
            return said;
        }
        self.forget(noted);
        let may_begin = self.asker.may_begin(&self.starts[self.before..]);
        self.work += self.asker.spent();
        if !may_begin {
            return Said::Refused;
        }
        let accounts = self.accounts.len();
        let said = if self.charge(y) {
            self.go_on(y, free_before)
        } else {
            Said::Refused
        };
        self.accounts.truncate(accounts);
        said
    }
}
