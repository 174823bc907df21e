//! Sections across the pieces, charged by a dual feasible function and added up over all their heights.
//!
//! At every height of the cloth sections are together worth no more than its whole width, so what the pieces are worth,
//! divided by that, is a length that no layout undercuts. Of an item the way in which it is worth least counts.

use serde::{Deserialize, Serialize};

use super::Asked;
use super::area::up;
use super::functions::{Function, Span, Worth};
use super::larger::Larger;
use super::ways::{Way, span, ways};
use super::widths::doubled_sum;

/// What sections are charged.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Charged {
    /// By which function.
    #[serde(flatten)]
    pub function: Function,
    /// Pieces and cloth are taken so much larger, for a spacing.
    #[serde(default, skip_serializing_if = "Larger::is_not")]
    pub larger: Larger,
}

/// All pieces as a function sees them.
pub(super) struct Valued {
    pub worth: Worth,
    /// Of each item that is laid: which, and its ways.
    pub items: Vec<(usize, Vec<Way>)>,
}

impl Valued {
    /// `None` if it is no function, or pieces may not be taken so large.
    pub fn of(asked: &Asked<'_>, function: &Function, larger: Larger) -> Option<Valued> {
        if !asked.may_take(larger) {
            return None;
        }
        let problem = asked.problem;
        let usable = problem.cloth.usable_width();
        let laid = problem.items.iter().enumerate();
        let items: Vec<(usize, Vec<Way>)> = laid
            .filter(|(_, item)| item.copies > 0)
            .map(|(number, item)| (number, ways(item, usable, larger)))
            .collect();
        let spans: Vec<Span> = items
            .iter()
            .map(|(number, ways)| {
                let (least, most) = span(ways);
                let copies = problem.items[*number].copies;
                Span {
                    least,
                    most,
                    copies,
                }
            })
            .collect();
        let worth = Worth::of(function, usable.um() + larger.wider.um(), &spans)?;
        (worth.whole > 0).then_some(Valued { worth, items })
    }
}

/// The length that sections need at least.
pub(super) fn least(asked: &Asked<'_>, charged: &Charged) -> Option<i64> {
    let valued = Valued::of(asked, &charged.function, charged.larger)?;
    let mut all = 0_i128;
    for (item, ways) in &valued.items {
        let of = |way: &Way| doubled_sum(&valued.worth.bands(&way.bands));
        let least = ways.iter().map(of).min()?;
        let copies = i128::from(asked.problem.items[*item].copies);
        all = all.checked_add(copies.checked_mul(least)?)?;
    }
    Some(up(all, 2 * i128::from(valued.worth.whole))? - charged.larger.longer.um())
}
