//! The short answer, in plain words: verdict first, then the numbers that matter, cloth by cloth.
//!
//! Lengths needed and to buy are rounded up; lengths on hand, to spare and proved are rounded down, so
//! that nobody reads a number that is kinder than the truth or claims more than was proved.

use comfy_table::{CellAlignment, Table, presets};
use nesting::{Argument, Bound, Verdict};
use pieces::{Drape, Length, Units};

use crate::answer::schema::Word;
use crate::answer::{Answered, LaidCloth, cost, shopping_list};
use crate::job::fabric::{direction_name, drape_name};

/// The whole short answer, without the names of the files.
#[must_use]
pub fn text(answered: &Answered) -> String {
    let mut out = headline(answered);
    for cloth in &answered.cloths {
        out.push('\n');
        out.push_str(&cloth_text(cloth, answered.job.shown_in));
    }
    out.push_str(&shopping(answered));
    let mut last = answered.notes.clone();
    last.extend(cautions(answered));
    if !last.is_empty() {
        out.push_str("\nMind\n");
        for line in last {
            out.push_str(&format!("  - {line}\n"));
        }
    }
    out
}

/// The verdict and what follows from it, one sentence for each cloth.
fn headline(answered: &Answered) -> String {
    let units = answered.job.shown_in;
    let word = match answered.verdict() {
        Word::Enough => "Enough.",
        Word::NotEnough => "Not enough.",
        Word::Undecided => "Undecided.",
        Word::Plan => "To buy.",
    };
    let mut out = format!("{word} {}\n", answered.job.title);
    for cloth in &answered.cloths {
        out.push_str(&format!("  {}\n", sentence(cloth, units)));
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

fn cloth_text(cloth: &LaidCloth, units: Units) -> String {
    let fabric = &cloth.fabric;
    let mut out = format!("{}, {} wide", fabric.name, units.write_down(fabric.width));
    if fabric.selvedge.is_positive() {
        let usable = units.write_down(fabric.width - fabric.selvedge * 2);
        out.push_str(&format!(", {usable} between the selvedges"));
    }
    out.push_str(&format!(
        ", direction {}, {}\n",
        direction_name(fabric.direction),
        drape_name(fabric.drape)
    ));
    let mut rows: Vec<[String; 3]> = Vec::new();
    let count = cloth.problem.piece_count();
    let used = cloth.used_permille();
    rows.push([
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
    rows.push([
        "bound".to_owned(),
        bound_text(cloth, units),
        format!(
            "{}: {}",
            if shortest {
                "the shortest there can be"
            } else {
                "no layout is shorter"
            },
            argument(cloth, cloth.bound())
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
        rows.push(["have".to_owned(), units.write_down(on_hand), words]);
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
        rows.push(["to buy".to_owned(), units.write_bought(buy), words]);
    }
    let rounding = cloth.answer.snap.largest_rounding;
    if rounding.is_positive() {
        let off = count.saturating_sub(cloth.answer.snap.on_step);
        rows.push([
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
    let mut table = bare_table();
    for row in rows {
        table.add_row(row);
    }
    if let Some(column) = table.column_mut(1) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    out.push_str(&indented(&table));
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

/// Why no layout can be shorter, in words.
fn argument(cloth: &LaidCloth, bound: &Bound) -> String {
    let label = |item: usize| {
        cloth
            .problem
            .items
            .get(item)
            .map_or("a piece", |item| item.label.as_str())
    };
    match &bound.argument {
        Argument::Area => "the pieces' area fills the usable width that far".to_owned(),
        Argument::LongestPiece { item } => format!("the {} is that long", label(*item)),
        Argument::SideBySide { items } => {
            let mut names: Vec<&str> = items.iter().map(|&item| label(item)).collect();
            names.dedup();
            let rest = names.len().saturating_sub(4);
            names.truncate(4);
            let more = if rest > 0 {
                format!(" and {rest} more")
            } else {
                String::new()
            };
            format!("too wide side by side: {}{more}", names.join(", "))
        }
        Argument::Sections => {
            "the widths of the pieces, height by height, cannot share less".to_owned()
        }
        Argument::EveryPlace => {
            "wherever the pieces lie along the cloth, some are too wide side by side".to_owned()
        }
        Argument::LinesAcross { lines } => format!(
            "drawn across {lines} times at equal distances, the pieces are too wide for the cloth"
        ),
    }
}

fn shopping(answered: &Answered) -> String {
    let list = shopping_list(answered);
    if list.is_empty() {
        return "\nNothing to buy.\n".to_owned();
    }
    let mut table = bare_table();
    let mut total = 0;
    for item in &list {
        let price = item.cost_hundredths.unwrap_or(0);
        total += price;
        table.add_row([
            item.text.clone(),
            item.what.clone(),
            item.cost_hundredths
                .map_or(String::new(), |c| cost(c, &answered.job.currency)),
        ]);
    }
    for column in [0, 2] {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut out = format!("\nShopping list\n{}", indented(&table));
    if list.iter().filter(|i| i.cost_hundredths.is_some()).count() > 1 {
        out.push_str(&format!(
            "  cloth in all: {}\n",
            cost(total, &answered.job.currency)
        ));
    }
    out
}

/// What to take care of with this job, one line each. Common practice, no published source, but the
/// day of hanging: Hemming Skills, 4-H92125, Oregon State University Extension.
fn cautions(answered: &Answered) -> Vec<String> {
    let mut lines = Vec::new();
    let hems = answered
        .cloths
        .iter()
        .flat_map(|cloth| &cloth.pieces)
        .any(|piece| piece.hem.is_some() && piece.wearer.is_some());
    if hems {
        lines.push(
            "Long hems trip: try the length in the shoes to be worn; for dancing keep it 2 to 5 cm \
             (1 to 2 in) off the floor."
                .to_owned(),
        );
    }
    let soft = answered
        .cloths
        .iter()
        .any(|cloth| cloth.fabric.drape == Drape::Soft);
    if hems && soft {
        lines.push("Soft cloth drops: hang it for a day before the hem is marked.".to_owned());
    }
    if answered.extras.iter().any(|e| e.what.contains("elastic")) {
        lines.push(
            "Elastic must not mark or numb: wear it for ten minutes before the last stitch."
                .to_owned(),
        );
    }
    lines
}

/// A table without lines, for a terminal and for a file.
#[must_use]
pub fn bare_table() -> Table {
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table
}

/// The table, two spaces in, without spaces at line ends.
#[must_use]
pub fn indented(table: &Table) -> String {
    table
        .lines()
        .map(|line| format!(" {}\n", line.trim_end()))
        .collect()
}
