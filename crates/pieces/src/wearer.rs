//! [`Wearer`]: a person with measurements.

use std::collections::BTreeMap;

use crate::length::Length;

/// A person with measurements.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wearer {
    /// Their name, as written in the job.
    pub name: String,
    /// Measurements by key (`hip_girth`), those of [`crate::measurement`] and a person's own.
    pub measurements: BTreeMap<String, Length>,
}
