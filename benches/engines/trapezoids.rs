//! Equal pieces: isosceles trapezoids of random shapes on random widths, against the best layout in rows.

use nesting::Turn;
use pieces::{Outline, Point};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::case::{Case, item};

/// How many shapes, each with a width of its own.
const SHAPES: usize = 12;
const MOST_COPIES: i64 = 200;

/// The sample: as many shapes, and these numbers of copies.
const FEW_SHAPES: usize = 4;
const FEW_COPIES: [i64; 18] = [
    1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 15, 20, 30, 50, 100, 200,
];

/// Millimetres: narrow edge, wide edge, height.
#[derive(Clone, Copy)]
struct Trapezoid {
    top: i64,
    foot: i64,
    along: i64,
}

impl Trapezoid {
    fn outline(self) -> Outline {
        // Half a millimetre is whole in micrometres.
        let inset = (self.foot - self.top) * 500;
        let (foot, along) = (self.foot * 1_000, self.along * 1_000);
        let corners = [(0, 0), (foot, 0), (foot - inset, along), (inset, along)];
        Outline::new(corners.map(|(x, y)| Point::new(x, y)).into())
            .expect("both edges and the height are positive")
    }

    /// Length of the best layout in rows, millimetres. Geometry: head to tail a row of k takes
    /// k (a + b) / 2 + (b - a) / 2 across (one alone b), one way k b.
    fn rows(self, width: i64, copies: i64, two_way: bool) -> i64 {
        let (a, b) = (self.top, self.foot);
        let in_row = if two_way {
            (2 * width - (b - a)) / (a + b)
        } else {
            width / b
        };
        (copies + in_row - 1) / in_row * self.along
    }
}

/// All cases, or a sample: every number of copies of every shape, two-way and one-way.
pub fn cases(seed: u64, few: bool) -> Vec<Case> {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(seed);
    let shapes = (0..SHAPES).map(|_| {
        let top = random.random_range(80..450);
        let shape = Trapezoid {
            top,
            foot: top + random.random_range(20..400),
            along: random.random_range(300..1_100),
        };
        (shape, random.random_range(850..1_500))
    });
    let shapes: Vec<(Trapezoid, i64)> = shapes.collect();
    let (shapes, counts) = if few {
        (&shapes[..FEW_SHAPES], FEW_COPIES.to_vec())
    } else {
        (&shapes[..], (1..=MOST_COPIES).collect())
    };
    let mut cases = Vec::new();
    for &(shape, width) in shapes {
        for two_way in [true, false] {
            let (way, turns) = if two_way {
                ("two-way", &[Turn::None, Turn::Half][..])
            } else {
                ("one-way", &[Turn::None][..])
            };
            for &copies in &counts {
                let Trapezoid { top, foot, along } = shape;
                let name = format!("{copies} of {top}/{foot} x {along} on {width}, {way}");
                let items = vec![item("panel".into(), shape.outline(), copies as u32, turns)];
                let rows = shape.rows(width, copies, two_way) * 1_000;
                cases.push(Case::new(name, width * 1_000, items, Some(rows)));
            }
        }
    }
    cases
}
