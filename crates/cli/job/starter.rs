//! The job that `lengthwise new` writes: the smallest whole one, with what can be changed beside it.

/// A commented job, ready to be planned; `name` is that of its own file.
#[must_use]
pub fn starter(name: &str) -> String {
    include_str!("starter.toml").replace("JOB.toml", name)
}
