//! From a job file to answers and drawings.
//!
//! The `lengthwise` command and whatever else shows answers call the same function:
//! [`answer::answer_job`] takes a settled [`job::Job`] and gives an [`answer::Answered`], and prints
//! nothing. Around it: [`job`] reads what a person wrote and says what is wrong with it
//! ([`message`]); [`answer::schema`] is the answer file; [`report`] puts it in words, [`output`]
//! writes it, [`progress`] passes the time; [`args`] and [`commands`] are the command line.
//!
//! Read [`job`] first, then [`answer`].

pub mod answer;
pub mod args;
pub mod commands;
pub mod job;
pub mod message;
pub mod output;
pub mod progress;
pub mod report;
