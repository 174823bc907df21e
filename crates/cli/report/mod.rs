//! The short answer, in plain words: verdict first, then the numbers that matter, cloth by cloth.
//!
//! Lengths needed and to buy are rounded up; lengths on hand, to spare and proved are rounded down, so
//! that nobody reads a number that is kinder than the truth or claims more than was proved.

mod argument;
mod cautions;
pub mod comparison;

use nesting::Verdict;
use pieces::{Length, Units};

use crate::answer::schema::Word;
use crate::answer::{Answered, LaidCloth, cost, shopping_list};
use crate::job::fabric::{direction_name, drape_name};
use crate::lines::{Columns, listed, wrapped};

/// Of hundreds of wearers each may have something of its own to be said: nobody reads all of it here.
const MOST_NOTES: usize = 12;

/// The whole short answer, without the names of the files, in lines of `width` columns.
#[must_use]
pub fn text(answered: &Answered, width: usize) -> String {
    let mut out = headline(answered, width);
    for cloth in &answered.cloths {
        out.push('\n');
        out.push_str(&cloth_text(cloth, answered, width));
    }
    out.push_str(&shopping(answered, width));
    let cautions = cautions::of(answered);
    if !(answered.notes.is_empty() && cautions.is_empty()) {
        out.push_str("\nMind\n");
    }
    for line in answered.notes.iter().take(MOST_NOTES) {
        out.push_str(&listed(line, width));
    }
    let rest = answered.notes.len().saturating_sub(MOST_NOTES);
    if rest > 0 {
        let more = format!("{rest} more like these, under \"notes\" in answer.json");
        out.push_str(&listed(&more, width));
    }
    for line in cautions {
        out.push_str(&listed(&line, width));
    }
    out
}

/// The verdict and what follows from it, one sentence for each cloth.
fn headline(answered: &Answered, width: usize) -> String {
    let units = answered.job.shown_in;
    let word = match answered.verdict() {
        Word::Enough => "Enough.",
        Word::NotEnough => "Not enough.",
        Word::Undecided => "Undecided.",
        Word::Plan => "To buy.",
    };
    let mut out = wrapped(&format!("{word} {}", answered.job.title), "", "  ", width);
    for cloth in &answered.cloths {
        out.push_str(&wrapped(&sentence(cloth, units), "  ", "    ", width));
    }
    out
}

fn sentence(cloth: &LaidCloth, units: Units) -> String {
    let name = &cloth.fabric.name;
    let needed = units.write_up(cloth.needed());
    let Some(offer) = cloth.chosen() else {
        let buy = units.write_bought(cloth.fabric.length_to_buy(cloth.needed()));
        return format!("Buy {buy} of {name}: the layout needs {needed}.");
    };
    let ruling = &cloth.answer.rulings[offer];
    let have = units.write_down(cloth.fabric.on_hand[offer]);
    let buy = units.write_bought(cloth.fabric.length_to_buy(cloth.needed()));
    let bound = bound_text(cloth, units);
    match ruling.verdict {
        Verdict::Enough => {
            let spare = spare(units, ruling.on_hand - cloth.needed());
            let mut out = format!("{have} of {name} is enough, {spare}");
            for (number, other) in cloth.answer.rulings.iter().enumerate() {
                let length = units.write_down(cloth.fabric.on_hand[number]);
                match other.verdict {
                    Verdict::NotEnough => out.push_str(&format!("; {length} is not (proved)")),
                    Verdict::Undecided => out.push_str(&format!("; {length} is undecided")),
                    Verdict::Enough => {}
                }
            }
            format!("{out}.")
        }
        Verdict::NotEnough => format!(
            "{have} of {name} is not enough, however it is laid: {} {bound} is needed (proved). \
             Buy {buy} for the layout of {needed}.",
            // The proof may reach only a hair beyond what is on hand.
            if bound == have {
                "more than"
            } else {
                "at least"
            }
        ),
        Verdict::Undecided => format!(
            "{have} of {name}: no layout is shorter than {bound} (proved), the one found needs {needed}. \
             {buy} is surely enough; `--effort long` looks harder."
        ),
    }
}

fn cloth_text(cloth: &LaidCloth, answered: &Answered, width: usize) -> String {
    let units = answered.job.shown_in;
    let fabric = &cloth.fabric;
    let mut about = format!("{}, {} wide", fabric.name, units.write_down(fabric.width));
    if fabric.selvedge.is_positive() {
        let usable = units.write_down(fabric.width - fabric.selvedge * 2);
        about.push_str(&format!(", {usable} between the selvedges"));
    }
    let drapes: Vec<&str> = answered.drapes(cloth).into_iter().map(drape_name).collect();
    about.push_str(&format!(
        ", direction {}, {}",
        direction_name(fabric.direction),
        drapes.join(" and ")
    ));
    let mut out = wrapped(&about, "", "  ", width);
    let mut rows = Columns::new(&[1], 2);
    let count = cloth.problem.piece_count();
    let used = cloth.used_permille();
    rows.row([
        "need".to_owned(),
        units.write_up(cloth.needed()),
        format!(
            "{count} {}, {}.{} % of the cloth used; checked",
            if count == 1 { "piece" } else { "pieces" },
            used / 10,
            used % 10
        ),
    ]);
    let shortest = cloth.bound().length == cloth.needed();
    rows.row([
        "bound".to_owned(),
        bound_text(cloth, units),
        format!(
            "{}: {}",
            if shortest {
                "the shortest there can be"
            } else {
                "no layout is shorter"
            },
            argument::words(cloth, units)
        ),
    ]);
    for (ruling, &on_hand) in cloth.answer.rulings.iter().zip(&fabric.on_hand) {
        let mut words = match ruling.verdict {
            Verdict::Enough => format!("enough, {}", spare(units, ruling.on_hand - cloth.needed())),
            Verdict::NotEnough => format!(
                "not enough (proved), {} short of the layout",
                units.write_up(cloth.needed() - ruling.on_hand)
            ),
            Verdict::Undecided => format!(
                "undecided: short of the layout by {}",
                units.write_up(cloth.needed() - ruling.on_hand)
            ),
        };
        if ruling.on_hand != on_hand {
            let washed = units.write_down(ruling.on_hand);
            words = format!("{washed} once washed: {words}");
        }
        rows.row(["have".to_owned(), units.write_down(on_hand), words]);
    }
    if let Some(buy) = cloth.to_buy(cloth.chosen()) {
        let mut words = "with".to_owned();
        if fabric.shrinkage_ppm > 0 {
            words.push_str(" shrinkage and");
        }
        words.push_str(&format!(
            " {} for the ends, rounded up to {}",
            units.write_up(fabric.end_allowance),
            units.write_up(fabric.selling_step)
        ));
        rows.row(["to buy".to_owned(), units.write_bought(buy), words]);
    }
    let rounding = cloth.answer.snap.largest_rounding;
    if rounding.is_positive() {
        let off = count.saturating_sub(cloth.answer.snap.on_step);
        rows.row([
            "marking".to_owned(),
            units.write_rounding(rounding),
            format!(
                "at most: how far the printed {} rounded",
                if off == 1 {
                    "place of 1 piece is".to_owned()
                } else {
                    format!("places of {off} pieces are")
                }
            ),
        ]);
    }
    out.push_str(&rows.set(width));
    out
}

/// What is left over, never said to be more than it is.
fn spare(units: Units, left: Length) -> String {
    if left == Length::ZERO {
        "it fits exactly".to_owned()
    } else {
        format!("with {} to spare", units.write_down(left))
    }
}

/// The bound, rounded down: more was not proved. Where the layout reaches it, the two read alike.
#[must_use]
pub fn bound_text(cloth: &LaidCloth, units: Units) -> String {
    if cloth.bound().length == cloth.needed() {
        units.write_up(cloth.needed())
    } else {
        units.write_down(cloth.bound().length)
    }
}

fn shopping(answered: &Answered, width: usize) -> String {
    let list = shopping_list(answered);
    if list.is_empty() {
        return "\nNothing to buy.\n".to_owned();
    }
    let mut table = Columns::new(&[0, 2], 1);
    let mut total = 0;
    for item in &list {
        let price = item.cost_hundredths.unwrap_or(0);
        total += price;
        table.row([
            item.text.clone(),
            item.what.clone(),
            item.cost_hundredths
                .map_or(String::new(), |c| cost(c, &answered.job.currency)),
        ]);
    }
    let mut out = format!("\nShopping list\n{}", table.set(width));
    if list.iter().filter(|i| i.cost_hundredths.is_some()).count() > 1 {
        out.push_str(&format!(
            "  cloth in all: {}\n",
            cost(total, &answered.job.currency)
        ));
    }
    out
}
