//! How bounds were proved again, in words: cloths of which the same is to be said together.

use nesting::bound::Shown;

use crate::lines::first_of;

/// Cloths named one by one, at most.
const MOST_NAMED: usize = 4;

/// What was done for each cloth, by its name.
pub fn words(shown: &[(String, Shown)]) -> String {
    let mut ways: Vec<Shown> = shown.iter().map(|(_, how)| *how).collect();
    ways.sort_unstable();
    ways.dedup();
    let said = ways.into_iter().map(|way| {
        let of = shown.iter().filter(|(_, how)| *how == way);
        let names: Vec<&str> = of.map(|(name, _)| name.as_str()).collect();
        let names = match names.as_slice() {
            [all @ .., last] if !all.is_empty() && names.len() <= MOST_NAMED => {
                format!("{} and {last}", all.join(", "))
            }
            names => first_of(names, MOST_NAMED),
        };
        format!("for {names} {}", how(way))
    });
    said.collect::<Vec<String>>().join("; ")
}

fn how(way: Shown) -> String {
    match way {
        Shown::Worked => {
            "the sums were worked out anew, by a part of the program that did not make them".to_owned()
        }
        Shown::Tree(numbers) => format!(
            "the tree in the file, {} numbers, was gone through leaf by leaf, by a part of the program that did not \
             make it",
            thousands(numbers)
        ),
        Shown::Cuts => "every way to cut or tear the pieces apart was tried anew, by a part of the program that did not make the layout"
            .to_owned(),
        Shown::Searched => {
            "the search was repeated, by the same part of the program that did it first".to_owned()
        }
    }
}

/// `1,204`.
fn thousands(number: usize) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cloths_of_which_the_same_was_done_are_named_together() {
        let shown = |list: &[(&str, Shown)]| -> String {
            let list = list.iter().map(|&(name, how)| (name.to_owned(), how));
            words(&list.collect::<Vec<_>>())
        };
        let two = shown(&[("linden", Shown::Worked), ("band", Shown::Worked)]);
        assert!(two.starts_with("for linden and band the sums were worked out anew"));
        let mixed = shown(&[
            ("lace", Shown::Searched),
            ("linen", Shown::Tree(1_204_000)),
            ("poppies", Shown::Cuts),
        ]);
        let parts = [
            "for linen the tree in the file, 1,204,000 numbers, was gone through",
            "; for poppies every way to cut or tear the pieces apart was tried anew",
            "; for lace the search was repeated, by the same part",
        ];
        for part in parts {
            assert!(mixed.contains(part), "{mixed}");
        }
    }
}
