//! Which words does each piece of a band get, and where do they go if there is no room inside?
//!
//! Every piece that is at home in the band is first asked for room ([`crate::room`]) and served
//! ([`crate::labels`]), one that lies at 45 degrees along itself ([`crate::slant`]). What finds no room
//! goes to the numbered list, with its number in a ring inside the piece or, for the smallest, in a
//! lane beside the cloth at the end of a leader line. Leader lines run straight to the edge of the cloth,
//! the way that crosses the least of other pieces; they are drawn first, so that all later words keep
//! clear of them. The other part of a piece that crosses
//! a break gets the same words, or the same number, if it holds them.

use crate::bands::{Part, Window};
use crate::drawing::Drawn;
use crate::labels::{Given, Wanted};
use crate::list::List;
use crate::paper::{PagePath, Rect, Spot};
use crate::room::{CLEARANCE, Room};
use crate::ruler::DEPTH;
use crate::scene::{Fill, Ink, Scene, Shape};
use crate::slant;
use crate::style::{CLOTH, DARK, PAGE};
use crate::symbols::{
    BADGE, CHEVRON, GOES_ON, GRAIN_HEIGHT, badge, badge_size, badge_text, chevrons,
    direction_arrow, grain_line,
};

const GRAIN: Ink = Ink::solid(DARK, 0.18);
const ARROW: Ink = Ink::solid(DARK, 0.2);
const LEADER: Ink = Ink::solid(DARK, 0.12);

/// How far beyond the ruler leader lines and their numbers reach, millimetres, and some.
const LANES: f64 = 12.0;

/// Farthest that the sign of a break may stand from it, mm.
const FROM_BREAK: f64 = 4.0;

/// What words in a piece keep clear of besides its own lines.
#[derive(Clone, Default)]
struct InTheWay {
    leaders: Vec<(Spot, Spot)>,
    signs: Vec<Rect>,
}

impl Window<'_, '_> {
    /// Words, grain lines, arrows and signs of the pieces of this band.
    pub(crate) fn labels<'a>(
        &mut self,
        scene: &mut Scene,
        parts: &[Part<'_, 'a>],
        list: &mut List<'a>,
    ) {
        let mut leaders: Vec<(Spot, Spot)> = Vec::new();
        // Pieces too small for any number come first, so that their lines find a way.
        let none = InTheWay::default();
        let (small, large): (Vec<&Part<'_, 'a>>, Vec<&Part<'_, 'a>>) = parts
            .iter()
            .partition(|p| self.badge_place(p.piece, &none, &list.widest).is_none());
        for part in small.iter().filter(|part| part.home) {
            let number = list.number(part.piece.placed, self.top_in_words(part.piece));
            let leader = self.leader(scene, part.piece, number, parts);
            list.bear(number, leader.is_some());
            leaders.extend(leader);
        }
        for part in small {
            let in_the_way = InTheWay {
                signs: self.signs_at_breaks(scene, part, &leaders),
                leaders: leaders.clone(),
            };
            list.goes_on |= !in_the_way.signs.is_empty();
            if let Some(mut room) = self.room(part.piece, &in_the_way, false) {
                let signs = self.signs(part.piece);
                draw_given(scene, &signs.place_around(&mut room));
            }
        }
        for part in large {
            let in_the_way = InTheWay {
                signs: self.signs_at_breaks(scene, part, &leaders),
                leaders: leaders.clone(),
            };
            list.goes_on |= !in_the_way.signs.is_empty();
            leaders.extend(self.label(scene, (part, parts), &in_the_way, list));
        }
    }

    /// What a piece too small for a number wants to have in it.
    fn signs(&self, piece: &Drawn<'_>) -> Wanted {
        let wanted = piece.wanted(self.view, self.rect);
        Wanted {
            small: Vec::new(),
            ..wanted.around()
        }
    }

    /// What the list says of the direction of a piece too small for a number, if no arrow fits.
    fn top_in_words(&self, piece: &Drawn<'_>) -> Option<&'static str> {
        let mut room = self.room(piece, &InTheWay::default(), false)?;
        self.signs(piece).place_around(&mut room).top
    }

    /// Words or number of one part; a leader line is returned.
    fn label<'a>(
        &mut self,
        scene: &mut Scene,
        (part, parts): (&Part<'_, 'a>, &[Part<'_, 'a>]),
        in_the_way: &InTheWay,
        list: &mut List<'a>,
    ) -> Option<(Spot, Spot)> {
        let piece = part.piece;
        let wanted = piece.wanted(self.view, self.rect);
        let mut best: Option<Given> = None;
        for off_guides in [true, false] {
            let Some(mut room) = self.room(piece, in_the_way, off_guides) else {
                continue;
            };
            let given = wanted.place(&mut room);
            let said = given.is_said();
            if best.as_ref().is_none_or(|b| given.beats(b)) {
                best = Some(given);
            }
            if said {
                break;
            }
        }
        let mut given = best?;
        if given.needs_number {
            given = self
                .along_the_piece(piece, &wanted, in_the_way)
                .unwrap_or(given);
        }
        if !given.needs_number && (given.top.is_none() || !part.home) {
            draw_given(scene, &given);
            return None;
        }
        self.with_number(scene, (part, parts), (&wanted, given), in_the_way, list)
    }

    /// The words of a piece on the bias along it, its signs around them.
    fn along_the_piece(
        &self,
        piece: &Drawn<'_>,
        wanted: &Wanted,
        in_the_way: &InTheWay,
    ) -> Option<Given> {
        let mut lines = in_the_way.leaders.clone();
        lines.extend(self.kept.iter().flat_map(|end| {
            let [a, b, c, d] = end.corners();
            [(a, b), (b, c), (c, d), (d, a)]
        }));
        let texts = slant::along_the_piece(piece, wanted, self.rect, &lines)?;
        let mut room = self.room(piece, in_the_way, false)?;
        for text in &texts {
            let (a, b, half) = text.middle_line();
            room.block_stretch(a, b, half * std::f64::consts::SQRT_2 + CLEARANCE);
        }
        let mut given = wanted.around().place_around(&mut room);
        given.texts.extend(texts);
        Some(given)
    }

    /// The list says what found no room, under a number in the piece or at the end of a leader line,
    /// which is returned.
    fn with_number<'a>(
        &mut self,
        scene: &mut Scene,
        (part, parts): (&Part<'_, 'a>, &[Part<'_, 'a>]),
        (wanted, mut given): (&Wanted, Given),
        in_the_way: &InTheWay,
        list: &mut List<'a>,
    ) -> Option<(Spot, Spot)> {
        let piece = part.piece;
        let mut place = None;
        if given.needs_number {
            place = self.badge_place(piece, in_the_way, &list.widest);
            let mut room = self.room(piece, in_the_way, false)?;
            if let Some(place) = place {
                room.block(place.inflated(CLEARANCE));
            }
            given = wanted.around().place_around(&mut room);
        } else if let Some(mut room) = self.room(piece, in_the_way, false) {
            for text in &given.texts {
                room.block(text.bounds().inflated(CLEARANCE));
            }
            if let Some((a, b)) = given.grain {
                room.block_stretch(a, b, GRAIN_HEIGHT / 2.0 + CLEARANCE);
            }
            let (w, h) = badge_size(&list.widest);
            place = room.find(w, h, piece.bounds.centre());
        }
        draw_given(scene, &given);
        if place.is_none() && !part.home {
            return None;
        }
        let number = list.number(piece.placed, given.top);
        let mut leader = None;
        if let Some(place) = place {
            draw_badge(scene, place, number);
        } else {
            leader = self.leader(scene, piece, number, parts);
        }
        if part.home {
            list.bear(number, place.is_some() || leader.is_some());
        }
        leader
    }

    /// Signs at the breaks beyond which the piece goes on; where they stand.
    fn signs_at_breaks(
        &self,
        scene: &mut Scene,
        part: &Part<'_, '_>,
        leaders: &[(Spot, Spot)],
    ) -> Vec<Rect> {
        let in_the_way = InTheWay {
            leaders: leaders.to_vec(),
            signs: Vec::new(),
        };
        let mut signs = Vec::new();
        let Some(seen) = part.piece.bounds.meet(self.rect) else {
            return signs;
        };
        for (goes_on, to_the_right) in [(part.goes_on.0, false), (part.goes_on.1, true)] {
            let Some(mut room) = self.room(part.piece, &in_the_way, true).filter(|_| goes_on)
            else {
                continue;
            };
            let x = if to_the_right { seen.right() } else { seen.x };
            let wish = Spot::new(x, seen.centre().y);
            let near = room
                .find(CHEVRON.0, CHEVRON.1, wish)
                .filter(|place| (place.centre().x - x).abs() < FROM_BREAK);
            if let Some(place) = near {
                let paths = chevrons(place.centre(), to_the_right);
                scene.stroke(paths, GOES_ON, None, true);
                signs.push(place);
            }
        }
        signs
    }

    /// The room in a piece, clear of ends of the cloth, numbers of cuts and what is in the way.
    fn room(&self, piece: &Drawn<'_>, in_the_way: &InTheWay, off_guides: bool) -> Option<Room> {
        let mut room = piece.room(self.rect, off_guides)?;
        for keep in self.kept.iter().chain(&in_the_way.signs) {
            room.block(keep.inflated(CLEARANCE));
        }
        for &(a, b) in &in_the_way.leaders {
            room.block_stretch(a, b, CLEARANCE);
        }
        Some(room)
    }

    fn badge_place(&self, piece: &Drawn<'_>, in_the_way: &InTheWay, widest: &str) -> Option<Rect> {
        let (w, h) = badge_size(widest);
        let mut room = self.room(piece, in_the_way, false)?;
        let wish = room.middle()?;
        room.find(w, h, wish)
    }

    /// Brings [`Window::texts_near`] up to date.
    fn look_around(&mut self, scene: &Scene) {
        let around = self.rect.inflated(DEPTH + LANES);
        let new = &scene.text_boxes()[self.texts_seen..];
        self.texts_near
            .extend(new.iter().filter(|t| t.overlaps(around)));
        self.texts_seen += new.len();
    }

    /// A line from the piece straight to a free place in a lane, with the number there. It crosses as
    /// little of other pieces as it can, goes to the nearer lane if that is all the same, and passes
    /// between the numbers of the ruler if it can.
    fn leader(
        &mut self,
        scene: &mut Scene,
        piece: &Drawn<'_>,
        number: usize,
        parts: &[Part<'_, '_>],
    ) -> Option<(Spot, Spot)> {
        let seen = piece.bounds.meet(self.rect)?;
        self.look_around(scene);
        let above = seen.centre().y < self.rect.centre().y;
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
        let (w, h) = badge_size(&number.to_string());
        let ways = [false, true].into_iter().flat_map(|over_numbers| {
            [above, !above].into_iter().flat_map(move |up| {
                (0..2).flat_map(move |row| {
                    shares
                        .into_iter()
                        .map(move |share| (over_numbers, up, row, share))
                })
            })
        });
        // Other pieces that lie in the way, in whole millimetres: less is no reason to go elsewhere.
        let crossed = |start: Spot, up: bool| {
            let span = if up {
                (self.rect.y, start.y)
            } else {
                (start.y, self.rect.bottom())
            };
            let others = parts.iter().filter(|p| !std::ptr::eq(p.piece, piece));
            others.map(|p| p.piece.crossed(start.x, span)).sum::<f64>() as i64
        };
        let texts = self.texts_near.iter();
        let taken: Vec<Rect> = self.lane_taken.iter().chain(texts).copied().collect();
        let free = |r: Rect, over_numbers: bool| {
            taken.iter().all(|t| !t.overlaps(r))
                && (over_numbers || self.ruler_numbers.iter().all(|n| !n.overlaps(r)))
        };
        let (_, start, end, place, path) = ways
            .filter_map(|(over_numbers, up, row, share)| {
                let start = piece.spot_at(seen.x + seen.w * share, self.rect)?;
                let off = DEPTH + f64::from(row) * (h + 0.4);
                let (end, top) = if up {
                    (self.rect.y - off, self.rect.y - off - h)
                } else {
                    (self.rect.bottom() + off, self.rect.bottom() + off)
                };
                let place = Rect::new(start.x - w / 2.0, top, w, h);
                let end = Spot::new(start.x, end);
                let path = Rect::around(&[start, end])?.inflated(0.25);
                (free(place.inflated(0.25), over_numbers) && free(path, over_numbers))
                    .then(|| (crossed(start, up), start, end, place, path))
            })
            .min_by_key(|way| way.0)?;
        self.lane_taken.extend([place, path]);
        self.keep_clear.push(path.inflated(0.2));
        draw_badge(scene, place, number);
        scene.stroke(vec![PagePath::line(start, end)], LEADER, None, true);
        scene.fill(vec![PagePath::circle(start, 0.35)], Fill::Plain(DARK), None);
        Some((start, end))
    }
}

fn draw_badge(scene: &mut Scene, place: Rect, number: usize) {
    scene.shape(Shape {
        paths: vec![badge(place)],
        ink: Some(BADGE),
        fill: Fill::Plain(PAGE),
        clip: None,
        edge: true,
    });
    scene.text(badge_text(place, number));
}

fn draw_given(scene: &mut Scene, given: &Given) {
    if let Some((a, b)) = given.grain {
        scene.stroke(grain_line(a, b), GRAIN, None, true);
    }
    if let Some((middle, way, length)) = given.arrow {
        scene.shape(Shape {
            paths: vec![direction_arrow(middle, way, length)],
            ink: Some(ARROW),
            fill: Fill::Plain(PAGE),
            clip: None,
            edge: true,
        });
    }
    // A light ground keeps letters legible on a hatch.
    for text in &given.texts {
        let ground = PagePath::ring(&text.corners());
        scene.fill(vec![ground], Fill::Plain(CLOTH), None);
    }
    for text in &given.texts {
        scene.text(text.clone());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::comparison::comparison_scene;
    use crate::sheet::Choice;
    use crate::test_sheets as jobs;
    use pieces::{Direction, Length};

    fn sheet_of(job: &jobs::Job) -> Scene {
        let choices = [Choice {
            label: "linden".into(),
            cloths: vec![job.sheet()],
        }];
        let scene = comparison_scene("Harvest festival", &choices);
        assert!(scene.overlaps().is_empty(), "{:#?}", scene.overlaps());
        scene
    }

    #[test]
    fn lines_of_numbers_do_not_cross_panels_where_the_other_way_is_free() {
        // Nine strips along the upper edge of the cloth, three deep, panels below them.
        let mut job = jobs::many(6, Direction::TwoWay);
        for place in &mut job.places {
            place.4.0 += 90;
        }
        for k in 0..9 {
            job.pieces
                .push(jobs::strip(&format!("dancer {k}"), 30, 650));
            job.places.push((
                6 + k,
                0,
                0,
                false,
                (10 + 30 * (k as i64 / 3), 650 * (k as i64 % 3)),
            ));
        }
        let scene = sheet_of(&job);
        let lines: Vec<&PagePath> = scene
            .shapes()
            .filter(|s| s.ink == Some(LEADER))
            .flat_map(|s| &s.paths)
            .collect();
        assert_eq!(lines.len(), 9);
        for line in lines {
            assert!(line.stretches[0].to().y < line.start.y, "{line:?}");
        }
    }

    #[test]
    fn one_way_cloth_has_arrows_on_a_sheet_of_choices() {
        let arrows = |direction| {
            let scene = sheet_of(&jobs::many(12, direction));
            let like = direction_arrow(Spot::default(), Spot::new(1.0, 0.0), 1.0);
            let shapes = scene.shapes().flat_map(|s| &s.paths);
            let count = shapes.filter(|p| p.stretches.len() == like.stretches.len() && p.closed);
            count.count()
        };
        // One of them explains the sign; a piece that crosses a break has one in both its parts.
        let found = arrows(Direction::OneWay);
        assert!((12 + 1..=12 + 1 + 3).contains(&found), "{found}");
        assert_eq!(arrows(Direction::TwoWay), 0);
    }

    #[test]
    fn a_strip_too_narrow_for_an_arrow_says_its_top_in_the_list() {
        // At 1:50, where the page ends, a strip 4 cm wide is under a millimetre.
        let mut job = jobs::many(90, Direction::OneWay);
        let end = job.needed;
        job.pieces.push(jobs::strip("Ilka", 40, 1_040));
        job.places.push((90, 0, 0, false, (10, end.um() / 1_000)));
        job.needed = end + Length::from_mm(1_040);
        job.to_buy = Some(job.needed);
        let scene = crate::marker::marker_scene(&job.sheet());
        let words: Vec<&str> = scene.texts().map(|t| t.content.as_str()).collect();
        assert!(words.iter().any(|w| w.contains("top to the")), "{words:?}");
    }
}
