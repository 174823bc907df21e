//! The `lengthwise` command.
fn main() {}
