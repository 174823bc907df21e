//! From a job file to answers and drawings.
//!
//! The `lengthwise` command and whatever else shows answers call the same function: [`answer::answer_job`]
//! takes a settled [`job::Job`] and gives an [`answer::Answered`], and prints nothing. Around it: [`job`]
//! reads what a person wrote and says what is wrong with it ([`message`]); [`answer::schema`] is the answer
//! file; [`report`] puts it in words, [`lines`] sets them, [`output`] writes files, [`progress`] passes the
//! time, [`interrupt`] ends it; [`args`] and [`commands`] are the command line.
//!
//! Read [`job`] first, then [`answer`].
//!
//! ```
//! use lengthwise::answer::{Effort, answer_job, schema::Word};
//! use lengthwise::job::Job;
//! use lengthwise::message::Refused;
//!
//! let text = r#"
//!     [fabric.linen]
//!     width = "100 cm"
//!     have = "1 m"
//!
//!     [[make]]
//!     draft = "rectangle"
//!     width = 60
//!     length = 50
//!     copies = 2
//! "#;
//! let mut no_files = |name: &str, _| Err(Refused::plain(format!("{name} is not here"), ""));
//! let job = Job::read("flags.toml", text, &mut no_files).expect("a job that is right");
//! let answered = answer_job(&job, &Effort::default(), &mut nesting::Silent).expect("an answer");
//! assert_eq!(answered.verdict(), Word::Enough);
//! ```

pub mod answer;
pub mod args;
pub mod commands;
pub mod interrupt;
pub mod job;
pub mod lines;
pub mod message;
pub mod output;
pub mod progress;
pub mod report;
