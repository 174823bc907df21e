//! Straight cuts in words: what they cost, and which comes after which.

use nesting::Argument;
use pieces::{Cutting, Length, Units};
use plotting::cuts_in_words;

use super::Written;
use crate::answer::LaidCloth;
use crate::lines::{Columns, wrapped};

/// Nobody reads more lines of them here: they stand on the marker, in its chalk list, and in `answer.json`.
const MOST: usize = 40;

/// How many, and what they cost; `None` where pieces are cut out freely.
pub fn words(cloth: &LaidCloth, written: Written) -> Option<String> {
    let straight = cloth.answer.straight.as_ref()?;
    let how = match cloth.fabric.cutting {
        Cutting::Tear => "torn",
        Cutting::Free | Cutting::Straight => "cut straight",
    };
    let count = straight.cuts.len();
    let times = if count == 1 { "cut" } else { "cuts" };
    let cost = cost(cloth, straight.free, written);
    let mut words = format!("{how} by {count} {times}; {cost}");
    let all = |holds: fn(&nesting::Item) -> bool| cloth.problem.items.iter().all(holds);
    if !all(|item| item.outline.fills_box()) {
        words.push_str(
            ". Each piece stands for the rectangle around it: cut it out of that by its own edge",
        );
    }
    if cloth.fabric.spacing.is_positive() {
        words.push_str(". Cuts run in the middle of the spacing: trim each piece to its own edge");
    }
    if cloth.fabric.selvedge.is_positive() {
        words.push_str(". After the first cut take the selvedges off");
    }
    Some(words)
}

/// What it takes more of cloth than to cut pieces out freely, as far as that is known.
fn cost(cloth: &LaidCloth, free: Length, written: Written) -> String {
    let bound = cloth.bound();
    let is_shortest = bound.length == cloth.needed();
    let is_of_cuts = matches!(bound.argument, Argument::EveryStraightCut);
    let [needed, freely] = [cloth.needed(), free].map(|length| written.up(length));
    if needed == freely {
        return if is_shortest && !is_of_cuts {
            "that costs no cloth: pieces cut out freely would take as much".to_owned()
        } else {
            "no layout for pieces cut out freely was found that is shorter".to_owned()
        };
    }
    let more = written.up(cloth.needed() - free);
    if is_shortest {
        format!("that costs {more} of cloth, or more: pieces cut out freely lie on {freely}")
    } else {
        format!(
            "the layout found is {more} longer than the best found for pieces cut out freely, {freely}"
        )
    }
}

/// The cuts, one below the other; nothing where pieces are cut out freely.
pub fn in_order(cloth: &LaidCloth, units: Units, width: usize) -> String {
    let Some(straight) = &cloth.answer.straight else {
        return String::new();
    };
    let verb = match cloth.fabric.cutting {
        Cutting::Tear => "Tear",
        Cutting::Free | Cutting::Straight => "Cut",
    };
    let title = format!("{verb} {} in this order", cloth.fabric.name);
    let mut table = Columns::new(&[0], 1);
    // As many digits as the others have.
    let end = units.write_up(cloth.needed());
    let mut write = |length| units.write(length);
    let lines = cuts_in_words(&straight.cuts, &cloth.fabric, &end, &mut write);
    for line in lines.iter().take(MOST) {
        table.row([line.number(), line.words.clone()]);
    }
    let told = lines.iter().take(MOST).next_back();
    let told = told.map_or(0, |line| line.numbers[1]);
    let more = match straight.cuts.len() - told {
        0 => String::new(),
        rest => {
            let cuts = if rest == 1 { "cut" } else { "cuts" };
            let more = format!(
                "{rest} more {cuts}: the chalk list of this cloth has all of them, and so has answer.json, as `straight_cuts`"
            );
            wrapped(&more, "  ", "  ", width)
        }
    };
    let title = wrapped(&title, "", "  ", width);
    format!("{title}{}{more}", table.set(width))
}
