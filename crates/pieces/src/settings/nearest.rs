//! The nearest known word to one that is not known, for messages.

use strsim::{damerau_levenshtein, jaro_winkler};

/// The candidate that `word` is most likely a slip for; `None` if none is near. Capitals, spaces,
/// hyphens and underscores do not count. The first of equally near ones is taken.
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A word of the input may be as long as the file; no known word is.
    if word.chars().count() > 60 {
        return None;
    }
    let plain = |text: &str| -> String {
        text.chars()
            .filter(|c| !matches!(c, ' ' | '-' | '_'))
            .flat_map(char::to_lowercase)
            .collect()
    };
    let word = plain(word);
    let mut best: Option<(&str, usize, f64)> = None;
    for candidate in candidates {
        let known = plain(candidate);
        let slips = damerau_levenshtein(&word, &known);
        let likeness = jaro_winkler(&word, &known);
        // One slip in three letters, or a good common beginning: hip for hip girth.
        let near = (slips <= (known.chars().count() / 3).max(1) || likeness >= 0.85)
            // Two words of one letter are one slip apart and have nothing in common.
            && slips < known.chars().count();
        let better = best.is_none_or(|(_, fewest, closest)| {
            slips < fewest || (slips == fewest && likeness > closest)
        });
        if near && better && !word.is_empty() {
            best = Some((candidate, slips, likeness));
        }
    }
    best.map(|(candidate, ..)| candidate)
}

/// More known words than this are not listed where one of them is near.
const MOST_LISTED: usize = 8;

/// What to say about a word that is not among the known ones: the nearest, and all of them where
/// they are few or none is near.
#[must_use]
pub fn known_names(word: &str, known: &[&str]) -> String {
    let all = known.join(", ");
    match nearest(word, known.iter().copied()) {
        Some(near) if (2..=MOST_LISTED).contains(&known.len()) => {
            format!("did you mean \"{near}\"? Known: {all}")
        }
        Some(near) => format!("did you mean \"{near}\"?"),
        None if known.is_empty() => "nothing can be set here".into(),
        None => format!("known: {all}"),
    }
}
