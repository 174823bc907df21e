//! Where do a piece's words go?
//!
//! A piece carries a block (name, wearer, size, copy, with the grain line beside it) and small words
//! at their marks (hem, notches, guides). Sizes of type are tried from large to the least that is
//! legible, for each the block in four, two or one lines, level or reading upwards, and placed as near
//! to the middle as there is [`Room`]. If the block finds none, the small words give way; if it still
//! finds none, the piece gets a number and its words go to the list. Signs without their small words
//! are explained by the key; an arrow that finds no room is put in words.

use crate::font;
use crate::paper::{Rect, Spot};
use crate::room::{CLEARANCE, Room};
use crate::scene::{Anchor, Slope, Text};
use crate::symbols::GRAIN_HEIGHT;

/// Sizes of type on paper, mm, with the letters that a name may have at each. 1.8 mm (5 point) is the
/// least that is still read with ease. A long name is shortened before its type becomes much smaller
/// than its neighbours'; the key or the list has it in full.
const SIZES: [(f64, usize); 9] = [
    (3.2, 24),
    (2.8, 24),
    (2.8, 18),
    (2.4, 24),
    (2.4, 16),
    (2.1, 24),
    (1.8, 24),
    (1.8, 14),
    (1.8, 9),
];

/// Grain lines on paper, mm: wished and least length in a block.
const GRAIN_LENGTHS: [f64; 3] = [12.0, 8.0, 5.0];

/// Paper between a block's words and its grain line, mm.
const GRAIN_GAP: f64 = 0.7;

/// A small word farther from its mark than this would be taken for another's, mm.
const FARTHEST: f64 = 9.0;

/// A small word and where it belongs.
#[derive(Clone, Debug)]
pub(crate) struct SmallWord {
    pub(crate) content: String,
    /// Beside the mark, inside the piece.
    pub(crate) wish: Spot,
    /// Reading upwards, along a line that runs up the page.
    pub(crate) turned: bool,
}

/// What a piece wants to have written in it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Wanted {
    pub(crate) name: String,
    pub(crate) wearer: Option<String>,
    pub(crate) size: String,
    pub(crate) copy: Option<String>,
    pub(crate) small: Vec<SmallWord>,
    /// Where the top of the piece points, if arrows are asked for.
    pub(crate) arrow: Option<Spot>,
    /// True if an arrow that finds no room is put in words.
    pub(crate) arrow_in_words: bool,
}

/// What a piece got.
#[derive(Clone, Debug, Default)]
pub(crate) struct Given {
    pub(crate) texts: Vec<Text>,
    pub(crate) grain: Option<(Spot, Spot)>,
    /// Middle, direction and length of the direction arrow.
    pub(crate) arrow: Option<(Spot, Spot, f64)>,
    /// How many small words found no room: their signs and the key say enough.
    pub(crate) left_out: usize,
    /// Where the top of the piece points, in words, if the arrow found no room.
    pub(crate) top: Option<&'static str>,
    /// True if the block found no room: the piece needs a number.
    pub(crate) needs_number: bool,
    /// Size of the block's type.
    pub(crate) size: f64,
}

impl Given {
    /// True if the piece itself says all that the list would say, in type of a fair size.
    pub(crate) fn is_said(&self) -> bool {
        !self.needs_number && self.top.is_none() && self.size >= 2.1
    }

    /// True if this is the better of two: by its block, its arrow, its small words, then by size.
    pub(crate) fn beats(&self, other: &Given) -> bool {
        let rank = |g: &Given| (g.needs_number, g.top.is_some(), g.left_out);
        rank(self) < rank(other) || (rank(self) == rank(other) && self.size > other.size)
    }
}

impl Wanted {
    /// What stays in the piece when its words are elsewhere: small words and the arrow.
    pub(crate) fn around(&self) -> Wanted {
        Wanted {
            small: self.small.clone(),
            arrow: self.arrow,
            arrow_in_words: self.arrow_in_words,
            ..Wanted::default()
        }
    }

    /// The block in four, two and one lines, in letters no more than `longest` a name.
    fn blocks(&self, longest: usize) -> Vec<Vec<String>> {
        let name = font::shorten_to(&self.name, longest.max(14));
        let wearer = self.wearer.as_ref().map(|w| font::shorten_to(w, longest));
        let copy = self.copy.clone();
        let parts =
            |list: &[Option<String>]| -> Vec<String> { list.iter().flatten().cloned().collect() };
        let (name, size) = (Some(name), Some(self.size.clone()));
        let all = parts(&[name.clone(), wearer.clone(), size.clone(), copy.clone()]);
        let two = vec![
            parts(&[name, wearer]).join(", "),
            parts(&[size, copy]).join(", "),
        ];
        let one = vec![all.join(", ")];
        let mut blocks = vec![all, two, one];
        blocks.dedup();
        blocks
    }

    /// Finds places in `room` and blocks them there.
    pub(crate) fn place(&self, room: &mut Room) -> Given {
        let mut given = Given::default();
        let snapshot = room.clone();
        let left_out = self.place_small(room, &mut given);
        if !self.place_block(room, &mut given) {
            // The block matters more than the small words: give it the first choice.
            given = Given::default();
            *room = snapshot;
            given.needs_number = !self.place_block(room, &mut given);
            // Small words keep off the grain line, which is drawn out only after them.
            let mut around = room.clone();
            if let Some((a, b)) = given.grain {
                around.block_stretch(a, b, GRAIN_HEIGHT / 2.0 + CLEARANCE);
            }
            given.left_out = self.place_small(&mut around, &mut given);
            for text in &given.texts {
                room.block(text.bounds().inflated(CLEARANCE));
            }
        } else {
            given.left_out = left_out;
        }
        if given.grain.is_none() {
            given.grain = place_grain(room);
        }
        extend_grain(room, &mut given);
        // A sign close beside letters reads as one of them.
        for text in &given.texts {
            room.block(text.bounds().inflated(2.0 * CLEARANCE));
        }
        self.place_arrow(room, &mut given);
        given
    }

    /// Places small words, grain line and arrow only.
    pub(crate) fn place_around(&self, room: &mut Room) -> Given {
        let mut given = Given::default();
        given.left_out = self.place_small(room, &mut given);
        given.grain = place_grain(room);
        extend_grain(room, &mut given);
        self.place_arrow(room, &mut given);
        given
    }

    fn place_small(&self, room: &mut Room, given: &mut Given) -> usize {
        let mut left_out = 0;
        for word in self.small.iter().filter(|w| !w.content.is_empty()) {
            // Two marks side by side share their word.
            let said = given.texts.iter().any(|t| {
                t.content == word.content && t.bounds().centre().distance(word.wish) < FARTHEST
            });
            if said {
                continue;
            }
            let placed = [2.1, 1.8].into_iter().any(|size| {
                let lines = [word.content.clone()];
                let (w, h) = text_size(&lines, size, word.turned);
                let Some(place) = room.find(w, h, word.wish) else {
                    return false;
                };
                if place.centre().distance(word.wish) > FARTHEST.min(3.0 + w.max(h)) {
                    return false;
                }
                given
                    .texts
                    .extend(texts_in(place, &lines, size, word.turned, 0));
                room.block(place.inflated(CLEARANCE));
                true
            });
            left_out += usize::from(!placed);
        }
        left_out
    }

    fn place_block(&self, room: &mut Room, given: &mut Given) -> bool {
        let Some(middle) = room.middle() else {
            return false;
        };
        for (size, longest) in SIZES {
            for lines in self.blocks(longest) {
                for turned in [false, true] {
                    let text = text_size(&lines, size, turned);
                    for grain in GRAIN_LENGTHS {
                        if grain > 8.0 && size < 2.4 {
                            continue;
                        }
                        for beside in [false, true] {
                            let whole = if beside {
                                (text.0 + 1.0 + grain, text.1.max(GRAIN_HEIGHT))
                            } else {
                                (text.0.max(grain), text.1 + GRAIN_GAP + GRAIN_HEIGHT)
                            };
                            if let Some(place) = room.find(whole.0, whole.1, middle) {
                                put_block(
                                    place,
                                    &lines,
                                    size,
                                    turned,
                                    (text, grain, beside),
                                    given,
                                );
                                for text in &given.texts {
                                    room.block(text.bounds().inflated(CLEARANCE));
                                }
                                return true;
                            }
                        }
                    }
                }
            }
        }
        false
    }

    /// A place for the block alone, its lines, and the size of type.
    pub(crate) fn place_words(&self, room: &mut Room) -> Option<(Rect, Vec<String>, f64)> {
        let middle = room.middle()?;
        SIZES.into_iter().find_map(|(size, longest)| {
            self.blocks(longest).into_iter().find_map(|lines| {
                let (w, h) = text_size(&lines, size, false);
                let place = room.find(w, h, middle)?;
                Some((place, lines, size))
            })
        })
    }

    fn place_arrow(&self, room: &mut Room, given: &mut Given) {
        let Some(way) = self.arrow else { return };
        let wish = given.grain.map_or_else(
            || room.middle().unwrap_or_default(),
            |(a, b)| Spot::new((a.x + b.x) / 2.0, a.y + 3.0),
        );
        for length in [6.0, 4.8, 3.6, 2.6, 2.0] {
            let (along, side) = (length, length * 0.6);
            let w = along * way.x.abs() + side * way.y.abs();
            let h = along * way.y.abs() + side * way.x.abs();
            if let Some(place) = room.find(w, h, wish) {
                given.arrow = Some((place.centre(), way, length));
                room.block(place.inflated(CLEARANCE));
                return;
            }
        }
        given.top = self.arrow_in_words.then_some(
            match (way.x.abs() > way.y.abs(), way.x > 0.0, way.y > 0.0) {
                (true, true, _) => "top to the right",
                (true, false, _) => "top to the left",
                (false, _, true) => "top down the page",
                (false, _, false) => "top up the page",
            },
        );
    }
}

/// Width and height of a stack of lines on the page.
pub(crate) fn text_size(lines: &[String], size: f64, turned: bool) -> (f64, f64) {
    let width = lines
        .iter()
        .enumerate()
        .map(|(k, line)| font::width(line, size, k == 0 && lines.len() > 1))
        .fold(0.0, f64::max);
    let height = font::stack_height(lines, size);
    if turned {
        (height, width)
    } else {
        (width, height)
    }
}

/// The lines, centred in `place`; the first `bold` ones bold.
pub(crate) fn texts_in(
    place: Rect,
    lines: &[String],
    size: f64,
    turned: bool,
    bold: usize,
) -> Vec<Text> {
    let middle = place.centre();
    let height = font::stack_height(lines, size);
    let top = lines.first().map_or(0.0, |l| font::ascent(l));
    lines
        .iter()
        .enumerate()
        .map(|(k, line)| {
            let down = size * (top + font::LINE * k as f64) - height / 2.0;
            let at = if turned {
                middle.plus(down, 0.0)
            } else {
                middle.plus(0.0, down)
            };
            let text =
                Text::new(at, size, Anchor::Middle, line.clone()).slope(Slope::upright(turned));
            if k < bold { text.bold() } else { text }
        })
        .collect()
}

fn put_block(
    place: Rect,
    lines: &[String],
    size: f64,
    turned: bool,
    (text, grain, beside): ((f64, f64), f64, bool),
    given: &mut Given,
) {
    let bold = usize::from(lines.len() > 1);
    let (rect, start) = if beside {
        let rect = Rect::new(place.x, place.y, text.0, place.h);
        (rect, Spot::new(place.right() - grain, place.centre().y))
    } else {
        let rect = Rect::new(place.x, place.y, place.w, text.1);
        let y = place.bottom() - GRAIN_HEIGHT / 2.0;
        (rect, Spot::new(place.centre().x - grain / 2.0, y))
    };
    given
        .texts
        .extend(texts_in(rect, lines, size, turned, bold));
    given.grain = Some((start, start.plus(grain, 0.0)));
    given.size = size;
}

/// A grain line where there is no block.
fn place_grain(room: &mut Room) -> Option<(Spot, Spot)> {
    let middle = room.middle()?;
    [8.0, 5.0, 3.0].into_iter().find_map(|length| {
        let place = room.find(length, GRAIN_HEIGHT, middle)?;
        let start = Spot::new(place.x, place.centre().y);
        Some((start, start.plus(length, 0.0)))
    })
}

/// Draws the grain line out to both sides where there is room, up to 40 mm, and blocks it.
fn extend_grain(room: &mut Room, given: &mut Given) {
    let Some((mut a, mut b)) = given.grain else {
        return;
    };
    let step = 0.5;
    let around = |x: f64, y: f64| {
        let half = GRAIN_HEIGHT / 2.0;
        Rect::new(x, y - half, step, GRAIN_HEIGHT)
    };
    let (mut left, mut right) = (true, true);
    while b.x - a.x < 40.0 && (left || right) {
        left = left && room.free(around(a.x - step - 0.6, a.y));
        if left {
            a.x -= step;
        }
        right = right && room.free(around(b.x + 0.6, b.y));
        if right {
            b.x += step;
        }
    }
    let half = GRAIN_HEIGHT / 2.0;
    room.block(Rect::new(a.x, a.y - half, b.x - a.x, GRAIN_HEIGHT).inflated(CLEARANCE));
    given.grain = Some((a, b));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wanted() -> Wanted {
        Wanted {
            name: "front panel".into(),
            wearer: Some("Ilka".into()),
            size: "35.0 \u{d7} 99.0 cm".into(),
            copy: Some("1 of 2".into()),
            arrow_in_words: true,
            ..Wanted::default()
        }
    }

    fn room(w: f64, h: f64) -> Room {
        let rect = Rect::new(0.0, 0.0, w, h);
        Room::inside(rect, &[rect.path().flattened()])
    }

    #[test]
    fn a_large_piece_gets_all_four_lines_at_full_size() {
        let given = wanted().place(&mut room(99.0, 35.0));
        assert_eq!(given.texts.len(), 4);
        assert!(
            given
                .texts
                .iter()
                .all(|t| (t.size - 3.2).abs() < 1e-9 && t.slope == Slope::Level)
        );
        assert!(given.grain.is_some_and(|(a, b)| b.x - a.x >= 12.0) && !given.needs_number);
    }

    #[test]
    fn a_thin_strip_gets_one_line_and_an_upright_one_is_turned() {
        let given = wanted().place(&mut room(104.0, 4.0));
        assert_eq!((given.texts.len(), given.needs_number), (1, false));
        let given = wanted().place(&mut room(8.0, 104.0));
        assert!(given.texts.iter().all(|t| t.slope == Slope::Upright) && !given.needs_number);
    }

    #[test]
    fn what_finds_no_room_is_said() {
        let mut tiny = wanted();
        tiny.small.push(SmallWord {
            content: "hem".into(),
            wish: Spot::new(2.0, 2.0),
            turned: false,
        });
        tiny.arrow = Some(Spot::new(1.0, 0.0));
        let given = tiny.place(&mut room(4.0, 2.0));
        assert!(given.needs_number);
        assert_eq!((given.left_out, given.top), (1, Some("top to the right")));
        tiny.arrow_in_words = false;
        assert_eq!(tiny.place(&mut room(4.0, 2.0)).top, None);
    }
}
