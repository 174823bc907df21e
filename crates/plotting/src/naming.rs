//! Which words does each piece of a band get, and where do they go if there is no room inside?
//!
//! Every piece that is at home in the band is first asked for room ([`crate::room`]) and served
//! ([`crate::labels`]). What finds no room goes to the numbered list, with its number inside the piece
//! or, for the smallest, in a lane beside the cloth at the end of a leader line. Leader lines run
//! straight across the cloth; they are drawn first, so that all later words keep clear of them.

use crate::bands::{Listed, Window};
use crate::drawing::Drawn;
use crate::font;
use crate::labels::{Given, NUMBER, Wanted};
use crate::paper::{PagePath, Rect, Spot};
use crate::room::{CLEARANCE, Room};
use crate::ruler::DEPTH;
use crate::scene::{Anchor, Fill, Ink, Scene, Shape, Text};
use crate::style::{CLOTH, DARK};
use crate::symbols::{GRAIN_HEIGHT, direction_arrow, grain_line};
use crate::words;

const GRAIN: Ink = Ink::solid(DARK, 0.18);
const ARROW: Ink = Ink::solid(DARK, 0.2);
const LEADER: Ink = Ink::solid(DARK, 0.12);

/// How far beyond the ruler leader lines and their numbers reach, millimetres, and some.
const LANES: f64 = 12.0;

impl Window<'_, '_> {
    /// Words, grain lines and arrows of the pieces that are at home in this band.
    pub(crate) fn labels(
        &mut self,
        scene: &mut Scene,
        home: &[&Drawn<'_>],
        listed: &mut Vec<Listed>,
    ) {
        // Leader lines drawn so far, which all later words keep clear of.
        let mut leaders: Vec<(Spot, Spot)> = Vec::new();
        // Pieces too small for any number come first, so that their lines find a way.
        let (small, large): (Vec<&Drawn<'_>>, Vec<&Drawn<'_>>) = home
            .iter()
            .partition(|p| self.number_place(p, &[]).is_none());
        for piece in small {
            let number = listed.len() + 1;
            let line = words::piece_line(self.view.sheet.units, piece.placed);
            let leader = self.leader(scene, piece, number);
            listed.push(Listed {
                number,
                line,
                shown: leader.is_some(),
            });
            leaders.extend(leader);
            // Its own line is in the way only where it is.
            if let Some(mut room) = self.room(piece, &leaders, false) {
                let wanted = piece.wanted(self.view, self.rect);
                let signs = Wanted {
                    arrow: wanted.arrow,
                    ..Wanted::default()
                };
                draw_given(scene, &signs.place_around(&mut room));
            }
        }
        for piece in large {
            let wanted = piece.wanted(self.view, self.rect);
            let mut best: Option<Given> = None;
            for off_guides in [true, false] {
                let Some(mut room) = self.room(piece, &leaders, off_guides) else {
                    continue;
                };
                let given = wanted.place(&mut room);
                let enough = given.is_good();
                if best.as_ref().is_none_or(|b| given.beats(b)) {
                    best = Some(given);
                }
                if enough {
                    break;
                }
            }
            let Some(given) = best else { continue };
            if !given.needs_number && given.left_out.is_empty() {
                draw_given(scene, &given);
            } else {
                leaders.extend(self.with_number(scene, piece, (&wanted, given), &leaders, listed));
            }
        }
    }

    /// The list holds what found no room, under a number in the piece or at the end of a leader
    /// line, which is returned.
    fn with_number(
        &mut self,
        scene: &mut Scene,
        piece: &Drawn<'_>,
        (wanted, mut given): (&Wanted, Given),
        leaders: &[(Spot, Spot)],
        listed: &mut Vec<Listed>,
    ) -> Option<(Spot, Spot)> {
        let number = listed.len() + 1;
        let mut place = None;
        if given.needs_number {
            place = self.number_place(piece, leaders);
            let mut room = self.room(piece, leaders, false)?;
            if let Some(place) = place {
                room.block(place.inflated(CLEARANCE));
            }
            let around = Wanted {
                small: wanted.small.clone(),
                arrow: wanted.arrow,
                ..Wanted::default()
            };
            given = around.place_around(&mut room);
        } else if let Some(mut room) = self.room(piece, leaders, false) {
            for text in &given.texts {
                room.block(text.bounds().inflated(CLEARANCE));
            }
            if let Some((a, b)) = given.grain {
                room.block_stretch(a, b, GRAIN_HEIGHT / 2.0 + CLEARANCE);
            }
            if let Some((middle, _, length)) = given.arrow {
                let half = length / 2.0 + CLEARANCE;
                let square = Rect::new(middle.x - half, middle.y - half, 2.0 * half, 2.0 * half);
                room.block(square);
            }
            let (w, h) = number_size(self.view.sheet.placed.len());
            place = room.find(w, h, piece.bounds.centre());
        }
        let mut line = words::piece_line(self.view.sheet.units, piece.placed);
        if !given.left_out.is_empty() {
            line = format!("{line}; {}", given.left_out.join(", "));
        }
        given.texts.extend(place.map(|p| number_text(p, number)));
        draw_given(scene, &given);
        let leader = if place.is_none() {
            self.leader(scene, piece, number)
        } else {
            None
        };
        listed.push(Listed {
            number,
            line,
            shown: place.is_some() || leader.is_some(),
        });
        leader
    }

    /// The room in a piece, clear of ends of the cloth and of leader lines.
    fn room(&self, piece: &Drawn<'_>, leaders: &[(Spot, Spot)], off_guides: bool) -> Option<Room> {
        let mut room = piece.room(self.rect, off_guides)?;
        for keep in &self.ends {
            room.block(keep.inflated(CLEARANCE));
        }
        for &(a, b) in leaders {
            room.block_stretch(a, b, CLEARANCE);
        }
        Some(room)
    }

    fn number_place(&self, piece: &Drawn<'_>, leaders: &[(Spot, Spot)]) -> Option<Rect> {
        let (w, h) = number_size(self.view.sheet.placed.len());
        let mut room = self.room(piece, leaders, false)?;
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

    /// A line from the piece straight to a free place in the nearer lane, with the number there.
    fn leader(
        &mut self,
        scene: &mut Scene,
        piece: &Drawn<'_>,
        number: usize,
    ) -> Option<(Spot, Spot)> {
        let seen = piece.bounds.meet(self.rect)?;
        self.look_around(scene);
        let above = seen.centre().y < self.rect.centre().y;
        let shares = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9];
        for up in [above, !above] {
            for row in 0..2 {
                for share in shares {
                    let x = seen.x + seen.w * share;
                    let Some(start) = piece.spot_at(x, self.rect) else {
                        continue;
                    };
                    let off = DEPTH + f64::from(row) * 2.4;
                    let (end, base) = if up {
                        let y = self.rect.y - off;
                        (y, y - NUMBER * font::DESCENT - 0.2)
                    } else {
                        let y = self.rect.bottom() + off;
                        (y, y + NUMBER * 0.8 + 0.2)
                    };
                    let text = Text::new(
                        Spot::new(x, base),
                        NUMBER,
                        Anchor::Middle,
                        number.to_string(),
                    )
                    .bold();
                    let bounds = text.bounds();
                    let end = Spot::new(x, end);
                    let path = Rect::around(&[start, end])?.inflated(0.25);
                    let free = |r: Rect| {
                        self.lane_taken.iter().all(|t| !t.overlaps(r))
                            && self.texts_near.iter().all(|t| !t.overlaps(r))
                    };
                    if !free(bounds.inflated(0.25)) || !free(path) {
                        continue;
                    }
                    self.lane_taken.extend([bounds, path]);
                    self.keep_clear.push(path.inflated(0.2));
                    scene.text(text);
                    scene.stroke(vec![PagePath::line(start, end)], LEADER, None, true);
                    scene.fill(vec![PagePath::circle(start, 0.35)], Fill::Plain(DARK), None);
                    return Some((start, end));
                }
            }
        }
        None
    }
}

/// Room for any number up to `most`.
fn number_size(most: usize) -> (f64, f64) {
    let widest = "8".repeat(most.max(1).to_string().len());
    (
        font::width(&widest, NUMBER, true),
        font::stack_height(&[widest], NUMBER),
    )
}

fn number_text(place: Rect, number: usize) -> Text {
    let middle = place.centre();
    let down = NUMBER * (0.8 - font::DESCENT) / 2.0;
    Text::new(
        middle.plus(0.0, down),
        NUMBER,
        Anchor::Middle,
        number.to_string(),
    )
    .bold()
}

fn draw_given(scene: &mut Scene, given: &Given) {
    if let Some((a, b)) = given.grain {
        scene.stroke(grain_line(a, b), GRAIN, None, true);
    }
    if let Some((middle, way, length)) = given.arrow {
        scene.shape(Shape {
            paths: vec![direction_arrow(middle, way, length)],
            ink: Some(ARROW),
            fill: Fill::Plain("#ffffff"),
            clip: None,
            edge: true,
        });
    }
    // A light ground keeps letters legible on a hatch.
    for text in &given.texts {
        let ground = text.bounds().inflated(0.1);
        scene.fill(vec![ground.path()], Fill::Plain(CLOTH), None);
    }
    for text in &given.texts {
        scene.text(text.clone());
    }
}
