//! How much room does a text take?
//!
//! A drawing that promises that no texts overlap must know their widths without a font at hand, and
//! the reader's computer may not have the font that is asked for. So the widths here are those of
//! the widest common sans (DejaVu Sans; advance widths read from its `hmtx` table, rounded up), with
//! a margin on top, and the drawing asks for that font first and for others of the same or a lesser
//! width after it. Characters outside the table count as a full em and a bit.
//!
//! Promise: [`width`] is never less than what DejaVu Sans takes without kerning.

/// Asked for in every drawing; the first is the one that is measured here.
pub(crate) const FAMILY: &str = "DejaVu Sans, Verdana, sans-serif";

/// Height above the baseline of letters and figures, a share of the size (DejaVu Sans: 0.76).
const LETTERS: f64 = 0.80;
/// The same for capitals with an accent and for other scripts.
const ACCENTED: f64 = 0.98;
/// Depth below the baseline that no letter exceeds; a share of the size.
pub(crate) const DESCENT: f64 = 0.24;
/// From baseline to baseline; a share of the size.
pub(crate) const LINE: f64 = 1.24;

/// On top of every width, for fonts that stand in.
const MARGIN: f64 = 1.04;

/// Width of a character that is not in the tables: wide scripts take one em.
const OTHER: u16 = 1_050;

/// Height above the baseline that no letter of `text` exceeds; a share of the size.
pub(crate) fn ascent(text: &str) -> f64 {
    // Small letters with an accent stay below capitals with one.
    let tall =
        |c: char| c as u32 >= 0xC0 && !matches!(c, '\u{d7}' | '\u{2026}' | '\u{df}'..='\u{ff}');
    if text.chars().any(tall) {
        ACCENTED
    } else {
        LETTERS
    }
}

/// Height of lines on each other, from the top of the first to the foot of the last.
pub(crate) fn stack_height(lines: &[String], size: f64) -> f64 {
    let top = lines.first().map_or(LETTERS, |l| ascent(l));
    size * (top + DESCENT + LINE * (lines.len().max(1) - 1) as f64)
}

/// Width of `text` at `size`, in the unit of `size`.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let table = if bold { &BOLD } else { &REGULAR };
    let sum: u32 = text.chars().map(|c| u32::from(advance(c, table))).sum();
    f64::from(sum) * size * MARGIN / 1_000.0
}

fn advance(character: char, table: &[u16; 352]) -> u16 {
    let index = (character as usize).wrapping_sub(0x20);
    match table.get(index) {
        Some(&width) if width > 0 => width,
        _ => OTHER,
    }
}

/// `text`, or as much of it as fits `room` with an ellipsis after it. A first word is kept whole if
/// it fits, and no space, hyphen or comma is left before the ellipsis.
pub(crate) fn shorten(text: &str, size: f64, bold: bool, room: f64) -> String {
    if width(text, size, bold) <= room {
        return text.to_owned();
    }
    let kept: Vec<char> = text.chars().collect();
    for count in (1..kept.len()).rev() {
        let head: String = kept[..count].iter().collect();
        let head = head.trim_end_matches([' ', '-', ',', '.', '\u{2013}']);
        let short = format!("{head}\u{2026}");
        if !head.is_empty() && width(&short, size, bold) <= room {
            return short;
        }
    }
    "\u{2026}".to_owned()
}

/// `text` in at most `letters` characters, the last an ellipsis if something was left out.
pub(crate) fn shorten_to(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        return text.to_owned();
    }
    let head: String = text.chars().take(letters.saturating_sub(1)).collect();
    format!(
        "{}\u{2026}",
        head.trim_end_matches([' ', '-', ',', '.', '\u{2013}'])
    )
}

/// `text` broken between words into lines no wider than `room`; a word that is wider is shortened.
pub(crate) fn wrap(text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if width(&longer, size, bold) <= room {
                *last = longer;
                continue;
            }
        }
        lines.push(shorten(word, size, bold, room));
    }
    lines
}

/// Advance widths of U+0020 to U+017F in the regular face, in thousandths of an em; 0 for control characters.
#[rustfmt::skip]
const REGULAR: [u16; 352] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337,
    637, 637, 637, 637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531,
    1000, 685, 687, 699, 771, 632, 576, 775, 752, 295, 295, 656, 558, 863, 749, 788,
    604, 788, 695, 635, 611, 732, 685, 989, 686, 611, 686, 391, 337, 391, 838, 500,
    500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612,
    635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838, 0,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
    318, 401, 637, 637, 637, 637, 337, 500, 500, 1000, 472, 612, 838, 361, 1000, 500,
    500, 838, 401, 401, 500, 637, 637, 318, 500, 401, 472, 612, 970, 970, 970, 531,
    685, 685, 685, 685, 685, 685, 975, 699, 632, 632, 632, 632, 295, 295, 295, 295,
    775, 749, 788, 788, 788, 788, 788, 838, 788, 732, 732, 732, 732, 611, 605, 630,
    613, 613, 613, 613, 613, 613, 982, 550, 616, 616, 616, 616, 278, 278, 278, 278,
    612, 634, 612, 612, 612, 612, 612, 838, 612, 634, 634, 634, 634, 592, 635, 592,
    685, 613, 685, 613, 685, 613, 699, 550, 699, 550, 699, 550, 699, 550, 771, 635,
    775, 635, 632, 616, 632, 616, 632, 616, 632, 616, 632, 616, 775, 635, 775, 635,
    775, 635, 775, 635, 752, 634, 917, 695, 295, 278, 295, 278, 295, 278, 295, 278,
    295, 278, 590, 556, 295, 278, 656, 580, 580, 558, 278, 558, 278, 558, 375, 558,
    342, 563, 285, 749, 634, 749, 634, 749, 634, 814, 749, 634, 788, 612, 788, 612,
    788, 612, 1070, 1023, 695, 412, 695, 412, 695, 412, 635, 521, 635, 521, 635, 521,
    635, 521, 611, 393, 611, 393, 611, 393, 732, 634, 732, 634, 732, 634, 732, 634,
    732, 634, 732, 634, 989, 818, 611, 592, 611, 686, 525, 686, 525, 686, 525, 353,
];

/// Advance widths of U+0020 to U+017F in the bold face, in thousandths of an em; 0 for control characters.
#[rustfmt::skip]
const BOLD: [u16; 352] = [
    349, 457, 521, 838, 696, 1002, 873, 307, 458, 458, 523, 838, 380, 416, 380, 366,
    696, 696, 696, 696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 581,
    1000, 774, 763, 734, 831, 684, 684, 821, 837, 373, 373, 775, 638, 996, 837, 851,
    733, 851, 771, 721, 683, 813, 774, 1104, 771, 725, 726, 458, 366, 458, 838, 500,
    500, 675, 716, 593, 716, 679, 436, 716, 712, 343, 343, 666, 343, 1042, 712, 688,
    716, 716, 494, 596, 479, 712, 652, 924, 646, 652, 583, 712, 366, 712, 838, 0,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
    349, 457, 696, 696, 637, 696, 366, 500, 500, 1000, 564, 646, 838, 416, 1000, 500,
    500, 838, 438, 438, 500, 736, 637, 380, 500, 438, 564, 646, 1036, 1036, 1036, 581,
    774, 774, 774, 774, 774, 774, 1085, 734, 684, 684, 684, 684, 373, 373, 373, 373,
    838, 837, 851, 851, 851, 851, 851, 838, 851, 813, 813, 813, 813, 725, 738, 720,
    675, 675, 675, 675, 675, 675, 1048, 593, 679, 679, 679, 679, 343, 343, 343, 343,
    688, 712, 688, 688, 688, 688, 688, 838, 688, 712, 712, 712, 712, 652, 716, 652,
    774, 675, 774, 675, 774, 675, 734, 593, 734, 593, 734, 593, 734, 593, 831, 716,
    838, 716, 684, 679, 684, 679, 684, 679, 684, 679, 684, 679, 821, 716, 821, 716,
    821, 716, 821, 716, 837, 712, 974, 791, 373, 343, 373, 343, 373, 343, 373, 343,
    373, 343, 745, 686, 373, 343, 775, 666, 666, 638, 343, 638, 343, 638, 480, 638,
    557, 643, 372, 837, 712, 837, 712, 837, 712, 983, 837, 712, 851, 688, 851, 688,
    851, 688, 1167, 1095, 771, 494, 771, 494, 771, 494, 721, 596, 721, 596, 721, 596,
    721, 596, 683, 479, 683, 479, 683, 479, 813, 712, 813, 712, 813, 712, 813, 712,
    813, 712, 813, 712, 1104, 924, 725, 652, 725, 726, 583, 726, 583, 726, 583, 436,
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_font_and_a_margin() {
        // Advance of `H` in DejaVu Sans: 1540 of 2048 units (read from the font's hmtx table).
        let of_the_font = 1_540.0 / 2_048.0;
        let ours = width("H", 1.0, false);
        assert!(ours >= of_the_font && ours < of_the_font * 1.06, "{ours}");
        assert!(width("Mühle", 2.0, true) > width("Mühle", 2.0, false));
        assert!(width("裳", 1.0, false) >= 1.0);
    }

    #[test]
    fn a_long_name_is_shortened_between_words_where_it_can_be() {
        let name = "Wilhelmina-Charlotte von der Oberen Mühle";
        let short = shorten(
            name,
            2.0,
            false,
            width("Wilhelmina-Charlotte von", 2.0, false),
        );
        assert_eq!(short, "Wilhelmina-Charlotte v\u{2026}");
        assert_eq!(shorten_to(name, 12), "Wilhelmina\u{2026}");
        assert_eq!(shorten("Ilka", 2.0, false, 100.0), "Ilka");
        assert_eq!(shorten("Ilka", 2.0, false, 0.1), "\u{2026}");
    }

    #[test]
    fn wrapped_lines_fit_and_lose_no_word() {
        let text = "Not enough, proved: at least 31.0 cm more cloth is needed";
        let room = 40.0;
        let lines = wrap(text, 3.0, false, room);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| width(line, 3.0, false) <= room));
        assert_eq!(lines.join(" "), text);
    }
}
