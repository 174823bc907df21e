//! Markers and comparisons, drawn to scale.
//!
//! From a [`Sheet`] (one cloth with its marker) to SVG, and from several choices to a chart. Nothing
//! is decided here: lengths come in as whole micrometres and leave as ink. A drawing is a list of
//! shapes and texts on paper before it is written (`scene`), so that tests can ask whether any words
//! meet an edge.
//!
//! Read [`sheet`] first (what a drawing is made from), then [`marker`] (one page), `bands` (one stretch of
//! cloth) with `edges` round it and `cut_numbers`, `drawing`, `naming` and `labels` (one piece), `leftover` (what remains).
//! `chalk` says in numbers what the marker draws.

mod bands;
mod block;
pub mod chalk;
pub mod chart;
pub mod comparison;
mod cut_numbers;
#[cfg(test)]
mod draft_tests;
mod drawing;
mod edges;
mod font;
mod frame;
mod labels;
pub mod leftover;
mod list;
pub mod marker;
mod naming;
mod page;
mod paper;
mod room;
mod ruler;
mod scene;
pub mod sheet;
mod slant;
pub mod straight;
mod style;
mod svg;
mod symbols;
#[cfg(test)]
mod test_sheets;
mod title;
mod view;
mod words;

pub use chalk::chalk_list;
pub use chart::{ChartError, comparison_chart};
pub use comparison::comparison_sheet;
pub use marker::marker_svg;
pub use sheet::{Choice, Placed, Sheet};
pub use straight::{CutLine, cuts_in_words};
