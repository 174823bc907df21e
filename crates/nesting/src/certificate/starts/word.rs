//! How a tree is written: as numbers, each decision before what is below it.
//!
//! - `0` goes on: what is below follows.
//! - `1` this state was refused before.
//! - `2` it is too late for something.
//! - `3` the part that ends here does not hold what it must.
//! - `4 value ...` a charge opens, for all below this height, with a value for each way; the decision follows.
//! - `5` and more: the charge opened so many before it, from the first on the way that is still open, refuses it.
//!
//! A decision stands at each height at which something ends (and at the cut end), and, in between, for each way that
//! the rules let start there: of those the last comes first, in a set no way is followed by a later one, and when all of them
//! are through, what follows where none of them starts.

pub(crate) const GOES_ON: u64 = 0;
pub(crate) const KNOWN: u64 = 1;
pub(crate) const LATE: u64 = 2;
pub(crate) const OWED: u64 = 3;
pub(crate) const OPEN: u64 = 4;
/// And the number of the charge.
pub(crate) const CHARGED: u64 = 5;
