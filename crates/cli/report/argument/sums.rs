//! What an argument adds up, as a tape shows it: widths side by side, lengths one beyond the other.

use nesting::certificate::{Larger, smallest};
use pieces::{Length, Units};

use super::names::{self, MOST_NAMED, named};
use crate::answer::LaidCloth;

/// More addends than this are counted.
const MOST_WRITTEN: u32 = 4;

/// Addends and their sum: `46 + 53 + 1 between them = 100 cm`, `5 × 50 = 250 cm`. `gap` is kept free that many times.
fn written(
    units: Units,
    parts: &[(u32, Length)],
    gap: (u32, Length),
    above: Option<Length>,
) -> (String, Vec<String>, bool) {
    let has_gap = gap.0 > 0 && gap.1.is_positive();
    let mut all = parts.to_vec();
    all.extend(has_gap.then_some(gap));
    let sum = units.write_sum(&all, above);
    let times = |&(count, _): &(u32, Length), number: &String| match count {
        1 => number.clone(),
        count => format!("{count} \u{d7} {number}"),
    };
    let copies: u32 = parts.iter().map(|part| part.0).sum();
    let mut words: Vec<String> = Vec::new();
    for (part, number) in parts.iter().zip(&sum.addends) {
        if copies <= MOST_WRITTEN {
            words.extend((0..part.0).map(|_| number.clone()));
        } else {
            words.push(times(part, number));
        }
    }
    if has_gap && let Some(number) = sum.addends.last() {
        words.push(format!("{} between them", times(&gap, number)));
    }
    let text = match words.as_slice() {
        [_] if copies == 1 => sum.total.clone(),
        words if words.len() > MOST_NAMED + 2 => format!("{} in all", sum.total),
        words => format!("{} = {}", words.join(" + "), sum.total),
    };
    (text, sum.addends, sum.is_above)
}

/// Equal lengths put together, in the order in which they come first.
fn together(lengths: impl Iterator<Item = (u32, Length)>) -> Vec<(u32, Length)> {
    let mut parts: Vec<(u32, Length)> = Vec::new();
    for (count, length) in lengths {
        match parts.iter_mut().find(|part| part.1 == length) {
            Some(part) => part.0 += count,
            None => parts.push((count, length)),
        }
    }
    parts
}

/// The unit that a width is written in.
fn unit_of(units: Units) -> &'static str {
    match units {
        Units::Yards => Units::Inches.name(),
        units => units.name(),
    }
}

fn across(cloth: &LaidCloth, item: usize) -> Length {
    smallest(&cloth.problem, item).map_or(Length::ZERO, |of| of.across)
}

fn along(cloth: &LaidCloth, item: usize) -> Length {
    smallest(&cloth.problem, item).map_or(Length::ZERO, |of| of.along)
}

/// How wide these are side by side, and that the cloth is narrower; `None` where their widths alone do not say so.
pub fn too_wide(cloth: &LaidCloth, units: Units, items: &[usize], wider: Length) -> Option<String> {
    let usable = cloth.problem.cloth.usable_width();
    let all = named(cloth, units, items);
    let widths: Vec<Length> = all.iter().map(|of| across(cloth, of.item)).collect();
    let parts: Vec<(u32, Length)> = all
        .iter()
        .zip(&widths)
        .map(|(of, &w)| (of.count, w))
        .collect();
    let gaps = u32::try_from(items.len()).ok()?.checked_sub(1)?;
    let sum = parts.iter().map(|&(count, width)| width * i64::from(count));
    let sum = sum.fold(wider * i64::from(gaps), |sum, width| sum + width);
    if sum <= usable {
        return None;
    }
    let (text, addends, is_above) = written(units, &parts, (gaps, wider), Some(usable));
    let gives = units.write_down(usable);
    let gives = if is_above {
        format!("and the cloth gives {gives}")
    } else {
        format!("and a hair more, and the cloth gives {gives}")
    };
    let unit = unit_of(units);
    let wide = |k: usize| {
        let of = names::of_width(cloth, all[k].item, widths[k]);
        format!("{} {unit} wide{of}", addends[k])
    };
    Some(match all.as_slice() {
        [one] if one.count == 2 => format!(
            "{} is {}; two of it side by side need {text} {gives}",
            one.name,
            wide(0)
        ),
        [one, other] if items.len() == 2 => format!(
            "{} is {} and {} {}; side by side they need {text} {gives}",
            one.name,
            wide(0),
            other.name,
            wide(1)
        ),
        _ => format!("side by side they need {text} {gives}"),
    })
}

/// How wide these are side by side, if it is more than so many widths less one; spacing is not in it.
pub fn rows(
    cloth: &LaidCloth,
    units: Units,
    items: &[usize],
    (count, wider): (u32, Length),
) -> Option<String> {
    let usable = cloth.problem.cloth.usable_width();
    let whole = usable * (i64::from(count) - 1);
    let all = named(cloth, units, items);
    let parts: Vec<(u32, Length)> = all
        .iter()
        .map(|of| (of.count, across(cloth, of.item)))
        .collect();
    let each = parts.iter().map(|&(count, width)| width * i64::from(count));
    let sum = each.fold(Length::ZERO, |sum, width| sum + width);
    let (text, _, is_above) = written(units, &parts, (0, Length::ZERO), Some(whole));
    (wider == Length::ZERO && sum > whole && is_above).then_some(text)
}

/// The narrowest two of these.
pub fn narrowest_two(cloth: &LaidCloth, items: &[usize]) -> Vec<usize> {
    let mut sorted = items.to_vec();
    sorted.sort_by_key(|&item| (across(cloth, item), item));
    sorted.truncate(2);
    sorted
}

/// One of these and one of the other pieces, the two that are narrowest side by side.
pub fn nearest_to_fit(cloth: &LaidCloth, items: &[usize]) -> Option<[usize; 2]> {
    let one = *items.iter().min_by_key(|&&item| across(cloth, item))?;
    let others = cloth.problem.items.iter().enumerate();
    let others = others.filter(|&(number, item)| item.copies > u32::from(number == one));
    let (other, _) = others.min_by_key(|&(number, _)| across(cloth, number))?;
    Some([one, other])
}

/// How long the `count` shortest of these are, one beyond the other, on top of `rest`.
pub fn in_a_row(
    cloth: &LaidCloth,
    units: Units,
    (items, count): (&[usize], u32),
    longer: Length,
    rest: Option<Length>,
) -> String {
    let mut lengths: Vec<Length> = items.iter().map(|&item| along(cloth, item)).collect();
    if (count as usize) < lengths.len() {
        lengths.sort_unstable();
        lengths.truncate(count as usize);
    }
    let each = lengths.iter().map(|&length| (1, length));
    let parts = together(each.chain(rest.map(|rest| (1, rest))));
    let gaps = parts.iter().map(|part| part.0).sum::<u32>();
    let (text, ..) = written(units, &parts, (gaps.saturating_sub(1), longer), None);
    format!("{text} at least")
}

/// Whether these one beyond the other are as long as a bound: then it is they that prove it.
pub fn reach(cloth: &LaidCloth, items: &[usize], larger: Larger, length: Length) -> bool {
    let gaps = i64::try_from(items.len()).unwrap_or(1) - 1;
    let all = items.iter().map(|&item| along(cloth, item));
    all.fold(larger.longer * gaps, |sum, length| sum + length) >= length
}
