//! The short answer, in plain words: verdict first, then the numbers that matter, cloth by cloth.
//!
//! Lengths needed and to buy are rounded up; lengths on hand, to spare and proved are rounded down, so
//! that nobody reads a number that is kinder than the truth or claims more than was proved.

mod argument;
mod cautions;
pub mod comparison;
mod cuts;
#[cfg(test)]
mod tests;

use nesting::{Ruling, Verdict};
use pieces::units::Finer;
use pieces::{Cutting, Length, Units};

use crate::answer::earlier::Begin;
use crate::answer::schema::Word;
use crate::answer::{Answered, LaidCloth, cost, shopping_list};
use crate::job::Job;
use crate::job::fabric::{direction_name, drape_name};
use crate::lines::{Columns, listed, wrapped};

/// Of hundreds of wearers each may have something of its own to be said: nobody reads all of it here.
const MOST_NOTES: usize = 12;

/// Nor of the lengths to cut for so many.
const MOST_CUTS: usize = 40;

/// The whole short answer, without the names of the files, in lines of `width` columns.
#[must_use]
pub fn text(answered: &Answered, width: usize) -> String {
    let units = answered.job.shown_in;
    let mut out = headline(answered, width);
    for cloth in &answered.cloths {
        out.push('\n');
        out.push_str(&cloth_text(cloth, answered, width));
        out.push_str(&cuts::in_order(cloth, units, width));
    }
    out.push_str(&shopping(answered, width));
    let cautions = cautions::of(answered);
    let lost: Vec<String> = answered.cloths.iter().filter_map(LaidCloth::lost).collect();
    if !(answered.notes.is_empty() && cautions.is_empty() && lost.is_empty()) {
        out.push_str("\nMind\n");
    }
    for line in &lost {
        out.push_str(&listed(line, width));
    }
    for line in answered.notes.iter().take(MOST_NOTES) {
        out.push_str(&listed(line, width));
    }
    let rest = answered.notes.len().saturating_sub(MOST_NOTES);
    if rest > 0 {
        let more = format!("{rest} more like these: all of them are in answer.json, as `notes`");
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
    let written = Written::of(cloth, units);
    let needed = written.up(cloth.needed());
    let buy = units.write_bought(cloth.fabric.length_to_buy(cloth.needed()));
    let Some(offer) = cloth.chosen() else {
        return format!("Buy {buy} of {name}: the layout needs {needed}.");
    };
    let ruling = &cloth.answer.rulings[offer];
    let on_hand = cloth.fabric.on_hand[offer];
    let have = written.down(on_hand);
    let washed = written.down(ruling.on_hand);
    let bound = written.down(cloth.bound().length);
    let known_as = if ruling.on_hand == on_hand {
        format!("{have} of {name}")
    } else {
        format!("{have} of {name}, {washed} once washed,")
    };
    match ruling.verdict {
        Verdict::Enough => {
            let spare = written.spare(ruling.on_hand - cloth.needed());
            let mut out = format!("{known_as} is enough, {spare}");
            let mut told: Vec<String> = vec![have.clone()];
            for (other, &length) in cloth.answer.rulings.iter().zip(&cloth.fabric.on_hand) {
                let length = written.down(length);
                if told.contains(&length) {
                    continue;
                }
                told.push(length.clone());
                match other.verdict {
                    Verdict::NotEnough => out.push_str(&format!("; {length} is not (proved)")),
                    Verdict::Undecided => {
                        out.push_str(&format!("; {length} is undecided, `--go-on` looks further"));
                    }
                    Verdict::Enough => {}
                }
            }
            format!("{out}.")
        }
        Verdict::NotEnough => format!(
            "{known_as} is not enough, however it is laid{}: {} {bound} is needed (proved). \
             Buy {buy} for the layout of {needed}.",
            match cloth.fabric.cutting {
                Cutting::Free => "",
                Cutting::Straight => " to be cut straight",
                Cutting::Tear => " to be torn",
            },
            // The proof may reach only a hair beyond what is on hand, or be about that alone.
            if bound == washed {
                "more than"
            } else {
                "at least"
            }
        ),
        Verdict::Undecided => format!(
            "{}: no layout is shorter than {bound} (proved), the one found needs {needed}. \
             {buy} is surely enough. More time may bring a layout that fits or a proof that none does: \
             `--go-on` goes on from here, with `--seconds 600` for ten minutes.",
            known_as.trim_end_matches(',')
        ),
    }
}

fn cloth_text(cloth: &LaidCloth, answered: &Answered, width: usize) -> String {
    let units = answered.job.shown_in;
    let written = Written::of(cloth, units);
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
        written.up(cloth.needed()),
        format!(
            "{count} {}, {}.{} % of the cloth used; checked",
            if count == 1 { "piece" } else { "pieces" },
            used / 10,
            used % 10
        ),
    ]);
    if let Some(words) = cuts::words(cloth, written) {
        rows.row(["cutting".to_owned(), String::new(), words]);
    }
    let bound = written.down(cloth.bound().length);
    let proved = cloth.bound().length;
    let claim = if only_refuses(cloth) {
        "every layout is longer"
    } else if proved < cloth.needed() {
        "no layout is shorter"
    } else if bound == written.up(cloth.needed()) {
        "the shortest there can be"
    } else {
        "the same before rounding, the shortest there can be"
    };
    let why = argument::words(cloth, units);
    rows.row(["bound".to_owned(), bound, format!("{claim}: {why}")]);
    if let Begin::From { needed, bound } = cloth.begin {
        rows.row([
            "before".to_owned(),
            written.up(needed),
            since(cloth, written, [needed, bound]),
        ]);
    }
    let offers = || cloth.answer.rulings.iter().zip(&fabric.on_hand);
    for (number, (ruling, &on_hand)) in offers().enumerate() {
        let length = written.down(on_hand);
        let alike = |(other, cloth): &(&Ruling, &Length)| {
            written.down(**cloth) == length && other.verdict == ruling.verdict
        };
        if offers().take(number).any(|other| alike(&other)) {
            continue;
        }
        let mut words = match ruling.verdict {
            Verdict::Enough => {
                format!("enough, {}", written.spare(ruling.on_hand - cloth.needed()))
            }
            Verdict::NotEnough => format!(
                "not enough (proved), {} short of the layout",
                written.up(cloth.needed() - ruling.on_hand)
            ),
            Verdict::Undecided => format!(
                "undecided: short of the layout by {}",
                written.up(cloth.needed() - ruling.on_hand)
            ),
        };
        if ruling.on_hand != on_hand {
            let washed = written.down(ruling.on_hand);
            words = format!("{washed} once washed: {words}");
        }
        let lengths = offers().filter(alike).count();
        if lengths > 1 {
            words = format!("{words}; {lengths} offers, alike on a tape");
        }
        rows.row(["have".to_owned(), length, words]);
    }
    if let Some(buy) = cloth.to_buy(cloth.chosen()) {
        let mut words = "with".to_owned();
        if fabric.shrinkage_ppm > 0 {
            words.push_str(" shrinkage and");
        }
        words.push_str(&format!(
            " {} for the ends, rounded up to {}",
            written_as_given(fabric.end_allowance, &answered.job),
            written_as_given(fabric.selling_step, &answered.job)
        ));
        let less = fabric.sold().usable_of_less(cloth.needed());
        let is_said = cloth.verdict(cloth.chosen()) == Word::Undecided;
        if less.is_positive() && cloth.bound().length > less {
            words.push_str("; a step less is never enough (proved)");
        } else if less.is_positive() && !is_said {
            words.push_str("; a step less may do, `--go-on` looks further");
        }
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

/// What going on has brought since an earlier layout and bound.
fn since(cloth: &LaidCloth, written: Written, [needed, bound]: [Length; 2]) -> String {
    let shorter = needed - cloth.needed();
    let higher = cloth.bound().length - bound;
    let shorter = shorter
        .is_positive()
        .then(|| format!("the layout is {} shorter", written.spared(shorter)));
    let higher = higher
        .is_positive()
        .then(|| format!("the bound {} higher", written.spared(higher)));
    let gained: Vec<String> = shorter.into_iter().chain(higher).collect();
    if gained.is_empty() && cloth.bound().length == cloth.needed() {
        "there is nothing shorter".to_owned()
    } else if gained.is_empty() {
        "nothing more was found since".to_owned()
    } else {
        format!("since then {}", gained.join(", "))
    }
}

/// Whether what was proved is about a length on hand, and says no more than that it is too short.
fn only_refuses(cloth: &LaidCloth) -> bool {
    let refused = cloth.bound().length - Length::from_um(1);
    cloth.answer.rulings.iter().any(|r| r.on_hand == refused)
}

/// A length of the job's own: where it is none in the unit that is shown, it stays in the job's, since
/// shops that sell by 10 cm do not sell by 4 in.
fn written_as_given(length: Length, job: &Job) -> String {
    let shown = job.shown_in;
    if shown.write_up(length) == shown.write_down(length) {
        shown.write(length)
    } else {
        job.units.write_up(length)
    }
}

/// How the lengths of one cloth are written beside each other.
#[derive(Clone, Copy)]
struct Written {
    units: Units,
    finer: Finer,
}

impl Written {
    fn of(cloth: &LaidCloth, units: Units) -> Self {
        let there: Vec<Length> = cloth.answer.rulings.iter().map(|r| r.on_hand).collect();
        let finer = units.finer_for(cloth.needed(), cloth.bound().length, &there);
        Written { units, finer }
    }

    fn up(self, length: Length) -> String {
        self.units.write_up_finer(length, self.finer)
    }

    fn down(self, length: Length) -> String {
        self.units.write_down_finer(length, self.finer)
    }

    /// A gain, never said to be more than it is.
    fn spared(self, gain: Length) -> String {
        let said = self.down(gain);
        if said == self.down(Length::ZERO) {
            format!("less than {}", self.up(gain))
        } else {
            said
        }
    }

    /// What is left over, never said to be more than it is.
    fn spare(self, left: Length) -> String {
        if left == Length::ZERO {
            return "it fits exactly".to_owned();
        }
        let spare = self.down(left);
        if spare == self.down(Length::ZERO) {
            format!("with less than {} to spare", self.up(left))
        } else {
            format!("with {spare} to spare")
        }
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
        if let [_, _, ..] = item.cuts.as_slice() {
            for cut in item.cuts.iter().take(MOST_CUTS) {
                let times = match cut.copies {
                    1 => String::new(),
                    copies => format!("{copies} x "),
                };
                let cut = format!("  {times}{} for {}", cut.text, cut.wearer);
                table.row([String::new(), cut, String::new()]);
            }
            if let Some(rest @ 1..) = item.cuts.len().checked_sub(MOST_CUTS) {
                let more = format!("  {rest} more: all of them are in answer.json, as `cuts`");
                table.row([String::new(), more, String::new()]);
            }
        }
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
