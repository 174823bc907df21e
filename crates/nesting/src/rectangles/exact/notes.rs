//! Notes of a search: what refused what, so that it can be followed without being found again.

use super::along::{Said, Search};

/// A state that was refused, and what else was known of what it left.
type Kept = (Box<[u8]>, Option<(Box<[u8]>, Option<i32>)>);

/// See [`crate::certificate::starts`] for what the numbers say.
#[derive(Debug)]
pub struct Notes {
    numbers: Vec<u64>,
    most: usize,
    is_full: bool,
    /// Latest last.
    kept: Vec<Kept>,
}

/// Where notes stood.
#[derive(Clone, Copy, Debug)]
pub struct Place {
    numbers: usize,
    kept: usize,
}

impl Notes {
    /// For so many numbers.
    pub fn of(most: usize) -> Self {
        Notes {
            numbers: Vec::new(),
            most,
            is_full: false,
            kept: Vec::new(),
        }
    }

    pub fn add(&mut self, number: u64) {
        if self.numbers.len() < self.most {
            self.numbers.push(number);
        } else {
            self.is_full = true;
        }
    }

    /// Of a state that is taken for refused from now on; with what is left where nothing lies, and what was known of that.
    pub fn keep(&mut self, mark: Box<[u8]>, from: Option<(Box<[u8]>, Option<i32>)>) {
        self.kept.push((mark, from));
    }

    /// Whether there was more than there is room for. It stays so.
    pub fn is_full(&self) -> bool {
        self.is_full
    }

    pub fn place(&self) -> Place {
        Place {
            numbers: self.numbers.len(),
            kept: self.kept.len(),
        }
    }

    /// Goes back; gives what is not refused any more, the latest first.
    pub fn back_to(&mut self, place: Place) -> impl Iterator<Item = Kept> {
        self.numbers.truncate(place.numbers);
        self.kept.drain(place.kept..).rev()
    }

    /// The numbers, unless there were too many.
    pub fn numbers(self) -> Option<Vec<u64>> {
        (!self.is_full).then_some(self.numbers)
    }
}

impl Search<'_> {
    pub(super) fn note(&mut self, number: u64) {
        if let Some(notes) = &mut self.notes {
            notes.add(number);
        }
    }

    pub(super) fn refuse(&mut self, why: u64) -> Said {
        self.note(why);
        Said::Refused
    }

    pub(super) fn is_noted_out(&self) -> bool {
        self.notes.as_ref().is_some_and(Notes::is_full)
    }

    /// Whatever was refused since that place in the notes is not known to who reads them: they go another way from there.
    pub(super) fn forget(&mut self, place: Option<Place>) {
        let (Some(notes), Some(place)) = (&mut self.notes, place) else {
            return;
        };
        for (mark, from) in notes.back_to(place) {
            self.seen.remove(&mark);
            match from {
                Some((left, Some(y))) => drop(self.refused.insert(left, y)),
                Some((left, None)) => drop(self.refused.remove(&left)),
                None => {}
            }
        }
    }
}
