//! The job that `lengthwise new` writes: the smallest whole one, with what can be changed beside it.

/// A commented job, ready to be planned.
pub const STARTER: &str = include_str!("starter.toml");
