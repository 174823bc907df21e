//! A small writer of SVG text: numbers, escaping, elements.
//!
//! Numbers get three decimals at most (a micrometre on paper) and one spelling each, so that the
//! same drawing is the same bytes on every machine.

use std::fmt::Write as _;

use crate::paper::{PagePath, Stretch};

/// A number with up to three decimals; `-0` is `0`.
pub(crate) fn number(value: f64) -> String {
    let mut text = format!("{value:.3}");
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// `text` with the five marks of XML replaced; characters that XML 1.0 does not allow become a
/// space.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if (c as u32) < 0x20 || matches!(c as u32, 0xFFFE | 0xFFFF) => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// The `d` attribute of paths drawn as one.
pub(crate) fn path_data(paths: &[PagePath]) -> String {
    let mut d = String::new();
    for path in paths {
        let _ = write!(d, "M{} {}", number(path.start.x), number(path.start.y));
        for stretch in &path.stretches {
            let (x, y) = (number(stretch.to().x), number(stretch.to().y));
            let _ = match *stretch {
                Stretch::Line { .. } => write!(d, "L{x} {y}"),
                Stretch::Arc { radius, sweep, .. } => {
                    let r = number(radius);
                    write!(d, "A{r} {r} 0 0 {} {x} {y}", u8::from(sweep))
                }
            };
        }
        if path.closed {
            d.push('Z');
        }
    }
    d
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_have_one_spelling() {
        assert_eq!(number(100.0), "100");
        assert_eq!(number(-0.0001), "0");
        assert_eq!(number(12.345_67), "12.346");
        assert_eq!(number(-2.50), "-2.5");
    }

    #[test]
    fn every_mark_of_xml_is_escaped() {
        assert_eq!(
            escape("a<b> & \"c\" 'd'\u{1}"),
            "a&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39; "
        );
    }
}
