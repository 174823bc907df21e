//! What a piece on the table meets, and which pieces overlap.

use super::{Ends, Place, Table, Way};
use crate::separate::frame::Frame;
use crate::separate::obstacles::Obstacle;
use crate::separate::view::View;

/// A piece lies on another, or on a flaw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlap {
    pub piece: usize,
    /// `None`: a flaw.
    pub other: Option<usize>,
    /// How deep, times the pieces' factors.
    pub depth: f64,
}

impl Table<'_> {
    /// Brings up to date what a piece sees of the others when it is laid in this way.
    pub fn look_around(&mut self, piece: usize, way: usize) {
        let Way { number, along, .. } = self.pieces[piece].ways[way];
        let (pieces, places, fields) = (&self.pieces, &self.places, self.fields);
        let (length, is_once) = (self.length, self.ends != Ends::Joined);
        let see = |other: usize, out: &mut Vec<(Frame, Obstacle)>| {
            let (Place { x, y, .. }, region) = match pieces.get(other) {
                Some(piece) => {
                    let place = places[other];
                    (place, fields.pair(piece.ways[place.way].number, number))
                }
                None => match fields.flaws(number) {
                    Some(region) => (Place { x: 0, y: 0, way: 0 }, region),
                    None => return,
                },
            };
            let frame = fields.frame(region).moved(x, y);
            let mut push = |round: i32| {
                let obstacle = Obstacle {
                    x,
                    y: y + round,
                    region,
                    piece: other as u32,
                };
                out.push((frame.moved(0, round), obstacle));
            };
            if is_once {
                push(0);
            } else {
                rounds(length, frame, [-along, length + along]).for_each(push);
            }
        };
        self.steps += self.around.refresh(number, is_once, see);
    }

    /// What the piece sees, as it was when it last looked around.
    pub fn view(&self, piece: usize, way: usize) -> View<'_> {
        View {
            fields: self.fields,
            obstacles: self.around.of(self.pieces[piece].ways[way].number),
            costs: self.weights.of(piece),
            piece: piece as u32,
        }
    }

    /// All overlaps.
    pub fn overlaps(&mut self) -> Vec<Overlap> {
        let all: Vec<usize> = (0..self.pieces.len()).collect();
        self.overlaps_after(Vec::new(), &all)
    }

    /// All overlaps, given those from before these pieces moved.
    pub fn overlaps_after(&mut self, before: Vec<Overlap>, moved: &[usize]) -> Vec<Overlap> {
        let mut has_moved = vec![false; self.pieces.len() + 1];
        moved.iter().for_each(|&piece| has_moved[piece] = true);
        let mut found = before;
        found.retain(|o| !has_moved[o.piece] && o.other.is_none_or(|other| !has_moved[other]));
        for &piece in moved {
            let Place { x, y, way } = self.places[piece];
            self.look_around(piece, way);
            self.steps += self.pieces.len() as u64;
            let first = found.len();
            let view = self.view(piece, way);
            view.near(&Frame::at(x, y), |_, o| {
                let other = o.piece as usize;
                // Two that have moved: once is enough.
                if has_moved[other] && other > piece {
                    return true;
                }
                let depth = view.fields.depth(o.region, x - o.x, y - o.y);
                let depth = f64::from(depth * view.costs.factor(o.piece));
                let other = Some(other).filter(|&other| other < self.pieces.len());
                // The same piece comes again on an endless cloth.
                match found[first..].iter_mut().find(|o| o.other == other) {
                    Some(same) => same.depth += depth,
                    None if depth > 0.0 => found.push(Overlap {
                        piece,
                        other,
                        depth,
                    }),
                    None => {}
                }
                true
            });
        }
        found
    }
}

/// How far along a frame must be moved to meet a stretch: all whole rounds of an endless cloth that bring it
/// there.
fn rounds(length: i32, frame: Frame, [low, high]: [i32; 2]) -> impl Iterator<Item = i32> {
    let first = (low - frame.y[1]).div_euclid(length);
    let last = -(frame.y[0] - high).div_euclid(length);
    (first..=last).map(move |round| round * length)
}
