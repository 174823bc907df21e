//! Goes through a tree, height by height.

use std::collections::{HashMap, HashSet};

use super::charge::Charge;
use super::job::Job;
use super::state::State;
use super::word::{CHARGED, GOES_ON, KNOWN, LATE, OPEN, OWED};

/// Sums for all charges: some seconds.
const MOST_SUMS: u64 = 1 << 32;

/// On the way through a tree. Below each other are only pieces and heights at which one ends, so few calls.
pub(super) struct Walk<'w> {
    job: &'w Job,
    pub(super) numbers: &'w [u64],
    state: State,
    charges: Vec<Charge>,
    sums: u64,
    /// The greatest number when this part began, and how many were left of it.
    owed: Option<(usize, u32)>,
    /// Refused states.
    refused: HashSet<Box<[u32]>>,
    /// By what is left where nothing lies: the least height from which it is refused.
    refused_from: HashMap<Box<[u32]>, i64>,
}

impl<'w> Walk<'w> {
    pub fn new(job: &'w Job, numbers: &'w [u64]) -> Self {
        Walk {
            job,
            numbers,
            state: State::start(job),
            charges: Vec::new(),
            sums: MOST_SUMS,
            owed: None,
            refused: HashSet::new(),
            refused_from: HashMap::new(),
        }
    }

    /// Whether all of it holds, and nothing is left over.
    pub fn holds(mut self) -> bool {
        self.height(0, 0).is_some() && self.numbers.is_empty()
    }

    fn next(&mut self) -> Option<u64> {
        let (first, rest) = self.numbers.split_first()?;
        self.numbers = rest;
        Some(*first)
    }

    /// A height at which something ends, or the cut end, and all that follows; `None` if it does not hold.
    pub(super) fn height(&mut self, y: i64, free_before: i64) -> Option<()> {
        let open = self.charges.len();
        loop {
            match self.next()? {
                OPEN => {
                    self.open()?;
                    continue;
                }
                GOES_ON => self.go_on(y, free_before)?,
                KNOWN => self.is_known(y, free_before).then_some(())?,
                LATE => self.state.is_late(self.job, y).then_some(())?,
                OWED => (self.state.lying.is_empty() && self.is_owed()).then_some(())?,
                charged => self.charged(charged, y)?,
            }
            break;
        }
        self.charges.truncate(open);
        Some(())
    }

    fn open(&mut self) -> Option<()> {
        let (each, rest) = self.numbers.split_at_checked(self.job.ways.len())?;
        self.numbers = rest;
        let charge = Charge::open(self.job, &self.state, each, &mut self.sums)?;
        self.charges.push(charge);
        Some(())
    }

    /// Whether a charge named refuses what lies and is left.
    fn charged(&self, number: u64, y: i64) -> Option<()> {
        let number = usize::try_from(number.checked_sub(CHARGED)?).ok()?;
        let charge = self.charges.get(number)?;
        charge.refuses(self.job, &self.state, y).then_some(())
    }

    fn is_owed(&self) -> bool {
        let is_left = |(kind, left): (usize, u32)| self.state.left[kind] == left;
        self.owed.is_some_and(is_left)
    }

    fn is_known(&self, y: i64, free_before: i64) -> bool {
        let key = if self.state.lying.is_empty() {
            let from = self.refused_from.get(self.state.left.as_slice());
            if from.is_some_and(|&from| from <= y) {
                return true;
            }
            self.state.key(true, y, 0)
        } else {
            self.state.key(self.is_owed(), y, free_before)
        };
        self.refused.contains(&key)
    }

    /// All sets that may start here. Where nothing lies a part begins.
    fn go_on(&mut self, y: i64, free_before: i64) -> Option<()> {
        // Or else all are laid.
        let greatest = self.state.greatest()?;
        let (owed, is_part) = (self.owed, self.state.lying.is_empty());
        let free_before = if is_part { 0 } else { free_before };
        if is_part {
            self.owed = Some(greatest);
        }
        let key = self.state.key(self.is_owed(), y, free_before);
        let free = self.state.free(self.job);
        self.sets(y, [free_before, free], self.job.ways.len())?;
        if is_part {
            let left = self.state.left.clone().into();
            let from = self.refused_from.entry(left).or_insert(y);
            *from = y.min(*from);
        }
        self.refused.insert(key);
        self.owed = owed;
        Some(())
    }

    /// All sets of ways with numbers below this that may start here; so much was free just before, and is still.
    fn sets(&mut self, y: i64, free: [i64; 2], below: usize) -> Option<()> {
        let [free_before, free] = free;
        for number in (0..below).rev() {
            let way = self.job.ways[number];
            let may = (free_before + 1..=free).contains(&way.across);
            if self.state.left[way.kind] == 0 || !may || y + way.along > self.job.length {
                continue;
            }
            self.state.left[way.kind] -= 1;
            self.state.lying.push((y + way.along, number));
            match self.next()? {
                GOES_ON => self.sets(y, [free_before, free - way.across], number + 1)?,
                charged => self.charged(charged, y)?,
            }
            self.state.lying.pop();
            self.state.left[way.kind] += 1;
        }
        self.nothing_more(free)
    }

    /// Nothing more starts here: on to where something ends. Where nothing lies it would start later, and the height is empty.
    fn nothing_more(&mut self, free: i64) -> Option<()> {
        let Some(next) = self.state.lying.iter().map(|(end, _)| *end).min() else {
            return Some(());
        };
        let before = self.state.lying.clone();
        self.state.lying.retain(|(end, _)| *end > next);
        self.height(next, free)?;
        self.state.lying = before;
        Some(())
    }
}
