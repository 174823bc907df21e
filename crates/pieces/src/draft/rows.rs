//! How much cloth equal pieces take when they are laid in rows.
//!
//! A draft that may lay its pieces in two ways asks this to choose. The pieces of a row stand side by
//! side, all one way or head to tail; rows follow each other, all one way or turned end for end, flush
//! left or left and right by turns. Pieces and rows move as close as their edges allow straight across
//! and straight along, so every answer can be laid; a layout may still do better, so this guides a
//! choice and is no bound. Source: geometry.

use crate::length::Length;
use crate::outline::Outline;

/// Length of cloth for `copies` of `outline` in rows across `usable`; where it `may_turn`, a piece or row
/// may lie end for end. `None` if not even one fits across.
pub(super) fn length(
    outline: &Outline,
    copies: u32,
    usable: Length,
    may_turn: bool,
) -> Option<Length> {
    if outline.bounds().across() > usable {
        return None;
    }
    let up = Form::of(outline);
    let alike = in_rows([&up, &up], copies, usable, may_turn);
    if !may_turn {
        return Some(alike);
    }
    let down = up.turned();
    Some(alike.min(in_rows([&up, &down], copies, usable, may_turn)))
}

fn in_rows(forms: [&Form; 2], copies: u32, usable: Length, may_turn: bool) -> Length {
    let (row, per_row) = row(forms, copies, usable);
    let flush_left = row.sideways();
    let turned = may_turn.then(|| row.turned());
    let least = std::iter::once(row.clone())
        .chain(turned)
        .flat_map(|other| [0, usable.um() - row.across].map(|shift| other.moved(shift)))
        .map(|other| {
            let taking_turns = Turns::of([&flush_left, &other.sideways()]);
            let mut heights = vec![0];
            for _ in 1..copies.div_ceil(per_row) {
                heights.push(taking_turns.next(&heights));
            }
            heights[heights.len() - 1] + row.along
        })
        .min();
    Length::from_um(least.unwrap_or(row.along))
}

/// As many side by side as fit, up to `copies`, the two forms taking turns; and how many.
fn row(forms: [&Form; 2], copies: u32, usable: Length) -> (Form, u32) {
    let taking_turns = Turns::of(forms);
    let mut row = forms[0].clone();
    let mut placed = vec![0];
    for i in 1..copies {
        let (form, at) = (forms[i as usize % 2], taking_turns.next(&placed));
        if at + form.across > usable.um() {
            return (row, i);
        }
        row.edges.extend(form.moved(at).edges);
        row.across = row.across.max(at + form.across);
        placed.push(at);
    }
    (row, copies.max(1))
}

/// Two forms that take turns in a line to the right.
struct Turns {
    /// How far the second has to be moved to stand clear of the first.
    clear: [[i64; 2]; 2],
}

impl Turns {
    fn of(forms: [&Form; 2]) -> Self {
        Turns {
            clear: forms.map(|left| forms.map(|right| left.clearance(right))),
        }
    }

    /// Where the next one goes: clear of all that are there.
    fn next(&self, placed: &[i64]) -> i64 {
        let next = placed.len() % 2;
        let clear = |(i, at): (usize, &i64)| at + self.clear[i % 2][next];
        placed.iter().enumerate().map(clear).max().unwrap_or(0)
    }
}

type Edge = [(i64, i64); 2];

/// One or more outlines whose least x and y are 0.
#[derive(Clone)]
struct Form {
    edges: Vec<Edge>,
    across: i64,
    along: i64,
}

impl Form {
    fn of(outline: &Outline) -> Self {
        let bounds = outline.bounds();
        let local = |p: crate::Point| (p.x - bounds.min.x, p.y - bounds.min.y);
        Form {
            edges: outline.edges().map(|(a, b)| [local(a), local(b)]).collect(),
            across: bounds.across().um(),
            along: bounds.along().um(),
        }
    }

    fn mapped(&self, map: impl Fn((i64, i64)) -> (i64, i64)) -> Vec<Edge> {
        self.edges.iter().map(|edge| edge.map(&map)).collect()
    }

    /// End for end.
    fn turned(&self) -> Self {
        Form {
            edges: self.mapped(|(x, y)| (self.across - x, self.along - y)),
            ..*self
        }
    }

    fn moved(&self, right: i64) -> Self {
        Form {
            edges: self.mapped(|(x, y)| (x + right, y)),
            ..*self
        }
    }

    /// Across and along exchanged.
    fn sideways(&self) -> Self {
        Form {
            edges: self.mapped(|(x, y)| (y, x)),
            across: self.along,
            along: self.across,
        }
    }

    /// Leftmost and rightmost x at a height; the left one the greater where there is nothing.
    fn ends(&self, y: i64) -> (f64, f64) {
        let mut ends = (f64::INFINITY, f64::NEG_INFINITY);
        let mut reach = |x: f64| ends = (ends.0.min(x), ends.1.max(x));
        for &[a, b] in &self.edges {
            if a.1 == b.1 && a.1 == y {
                reach(a.0 as f64);
                reach(b.0 as f64);
            } else if (a.1.min(b.1)..=a.1.max(b.1)).contains(&y) && a.1 != b.1 {
                let share = (y - a.1) as f64 / (b.1 - a.1) as f64;
                reach(a.0 as f64 + share * (b.0 - a.0) as f64);
            }
        }
        ends
    }

    /// How far `other` has to be moved to the right to stand clear of this one. Between the heights of
    /// corners both ends run straight, so those heights are enough.
    fn clearance(&self, other: &Form) -> i64 {
        let heights = self.edges.iter().chain(&other.edges).map(|[a, _]| a.1);
        let most = heights
            .map(|y| self.ends(y).1 - other.ends(y).0)
            .fold(0.0, f64::max);
        most.ceil() as i64
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draft::shape::trapezoid;

    fn cm(cm: i64) -> Length {
        Length::from_cm(cm)
    }

    #[test]
    fn gores_head_to_tail_in_a_row() {
        // Geometry: k gores of 15 and 43 cm head to tail take k (15 + 43) / 2 + (43 - 15) / 2 cm:
        // 43, 72, 101, 130 for one to four; they are 74.5 cm long.
        let corners = trapezoid(cm(15), cm(43), Length::from_mm(745));
        let gore = Outline::new(corners.to_vec()).unwrap();
        for (usable, rows) in [(43, 6), (72, 3), (101, 2), (188, 1)] {
            let taken = length(&gore, 6, cm(usable), true);
            assert_eq!(taken, Some(Length::from_mm(745) * rows), "{usable}");
        }
        assert_eq!(length(&gore, 6, cm(42), true), None);
    }

    #[test]
    fn rows_turned_end_for_end_fit_into_each_other() {
        // Geometry: two right triangles with legs of 30 and 40 cm make a rectangle; one alone in a row
        // of 30 cm, the pair is 40 cm long, and two pairs 80.
        let corners =
            [(0, 0), (30, 0), (0, 40)].map(|(x, y)| crate::Point::new(x * 10_000, y * 10_000));
        let triangle = Outline::new(corners.to_vec()).unwrap();
        assert_eq!(length(&triangle, 2, cm(30), true), Some(cm(40)));
        // All one way they stand behind each other.
        assert_eq!(length(&triangle, 2, cm(30), false), Some(cm(80)));
        assert_eq!(length(&triangle, 4, cm(30), true), Some(cm(80)));
        assert_eq!(length(&triangle, 3, cm(30), true), Some(cm(80)));
    }
}
