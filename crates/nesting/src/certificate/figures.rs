//! Pieces as they may lie, those of equal sections taken together.
//!
//! An argument names items that it takes for one another, and turns. Of all their shapes the least is taken: the least section
//! at a height above the lower end, the least length and width; and where two meet, what all of their shapes refuse. A place
//! across is that of the least width in the middle of the shape.

use pieces::{Outline, Point};

use super::sections::Sections;
use super::sides::Within;
use super::sides::laid::{Stance, is_near, parts, stances};
use crate::problem::{Item, Problem, Turn};

/// Items and ways to lie at most: files come from anywhere.
const MOST: usize = 200;
const FAR: i64 = 1 << 28;

/// Items that are taken for one another.
pub(super) struct Kind {
    /// All of them.
    pub copies: u64,
    /// The garment to which all of them belong.
    pub garment: Option<u32>,
    items: Vec<usize>,
}

/// A kind in some of its turns.
pub(super) struct Figure {
    pub kind: usize,
    /// As bits.
    pub turns: u8,
    /// The shapes that it may have.
    pub shapes: Vec<Stance>,
    /// The least width of these, and the least length.
    pub across: i64,
    pub along: i64,
    /// By shape: how far in from its left end the least width begins.
    pub insets: Vec<i64>,
    sections: Vec<Sections>,
}

/// All that an argument names.
pub(super) struct Figures {
    pub kinds: Vec<Kind>,
    pub all: Vec<Figure>,
    pub usable: i64,
}

impl Figures {
    /// `None` if the names make no sense, polygons are not within outlines, or there is too much to look at.
    pub fn of<'n>(
        problem: &Problem,
        names: impl Iterator<Item = (&'n [usize], &'n [Turn])>,
        within: &[Within],
    ) -> Option<Self> {
        let usable = problem.cloth.usable_width().um();
        let mut figures = Figures {
            kinds: Vec::new(),
            all: Vec::new(),
            usable,
        };
        for (number, (items, turns)) in names.enumerate() {
            if number == MOST || !(1..=FAR).contains(&usable) {
                return None;
            }
            let kind = figures.kind(problem, items)?;
            let bits = turns.iter().fold(0, |bits, turn| bits | bit(*turn));
            let is_new = |figure: &Figure| figure.kind != kind || figure.turns & bits == 0;
            if !figures.all.iter().all(is_new) {
                return None;
            }
            figures.all.push(Figure {
                kind,
                turns: bits,
                shapes: Vec::new(),
                across: 0,
                along: 0,
                insets: Vec::new(),
                sections: Vec::new(),
            });
        }
        for number in 0..figures.kinds.len() {
            for item in figures.kinds[number].items.clone() {
                let mut given = within.iter().filter(|within| within.item == item);
                figures.add(number, &problem.items[item], given.next())?;
            }
        }
        // In an order that does not depend on who made them.
        for figure in &mut figures.all {
            figure.shapes.sort_by(|a, b| a.shape.cmp(&b.shape));
        }
        let is_whole = |figure: &mut Figure| figure.measure();
        figures.all.iter_mut().all(is_whole).then_some(figures)
    }

    /// The kind of just these items, which may be new; `None` if some of them are in another one, or not there.
    fn kind(&mut self, problem: &Problem, items: &[usize]) -> Option<usize> {
        if let Some(known) = self.kinds.iter().position(|kind| kind.items == items) {
            return Some(known);
        }
        let is_known = |item: &usize| self.kinds.iter().any(|kind| kind.items.contains(item));
        let rises = items.windows(2).all(|pair| pair[0] < pair[1]);
        if items.len() > MOST || !rises || items.iter().any(is_known) {
            return None;
        }
        let all: Vec<&Item> = items
            .iter()
            .map(|&item| problem.items.get(item))
            .collect::<Option<_>>()?;
        let garment = all.first()?.garment;
        self.kinds.push(Kind {
            copies: all.iter().map(|item| u64::from(item.copies)).sum(),
            garment: garment.filter(|_| all.iter().all(|item| item.garment == garment)),
            items: items.to_vec(),
        });
        Some(self.kinds.len() - 1)
    }

    /// Adds the shapes of an item where they belong, but for those that are wider than the cloth.
    fn add(&mut self, kind: usize, item: &Item, given: Option<&Within>) -> Option<()> {
        if item.copies == 0 || !is_near(item) {
            return (item.copies == 0).then_some(());
        }
        let shapes = stances(item, &parts(item, given)?)?;
        for shape in shapes
            .into_iter()
            .filter(|shape| shape.across <= self.usable)
        {
            let is_its =
                |figure: &&mut Figure| figure.kind == kind && figure.turns & shape.turns != 0;
            let figure = self.all.iter_mut().find(is_its)?;
            if shape.turns & !figure.turns != 0 {
                return None;
            }
            if figure.shapes.iter().all(|known| known.shape != shape.shape) {
                figure.shapes.push(shape);
            }
        }
        Some(())
    }

    /// Whether two copies may lie so: if of one garment, in a turn that both have.
    pub fn go_together(&self, one: usize, other: usize) -> bool {
        let (one, other) = (&self.all[one], &self.all[other]);
        let garment = self.kinds[one.kind].garment;
        garment.is_none()
            || garment != self.kinds[other.kind].garment
            || one.turns & other.turns != 0
    }
}

impl Figure {
    /// What follows from its shapes; false if there are none.
    fn measure(&mut self) -> bool {
        let least = |way: fn(&Stance) -> i64| self.shapes.iter().map(way).min();
        let Some((along, across)) = least(|s| s.along).zip(least(|s| s.across)) else {
            return false;
        };
        (self.along, self.across) = (along, across);
        let inset = |shape: &Stance| (shape.across - across) / 2;
        self.insets = self.shapes.iter().map(inset).collect();
        for shape in &self.shapes {
            let Ok(outline) = Outline::new(shape.shape.clone()) else {
                return false;
            };
            let sections = Sections::of(&outline);
            if !self.sections.contains(&sections) {
                self.sections.push(sections);
            }
        }
        true
    }

    /// The least section between these heights of its own, in parts of a micrometre; `None` if they reach its ends or
    /// beyond.
    pub fn narrowest(&self, from: i64, to: i64) -> Option<i64> {
        let least = |sections: &Sections| sections.narrowest(from, to);
        let is_inside = from > 0 && to < self.along;
        is_inside
            .then(|| self.sections.iter().map(least).min())
            .flatten()
    }

    /// Twice the least area above a height of its own, in parts of a square micrometre.
    pub fn doubled_area_above(&self, height: i64) -> i128 {
        let least = |sections: &Sections| sections.doubled_area_above(height);
        self.sections.iter().map(least).min().unwrap_or(0)
    }

    /// Whether the other is this one turned end for end, and all its shapes are as long.
    pub fn is_turned(&self, other: &Figure) -> bool {
        let about = |points: &[Point]| {
            let far = points
                .iter()
                .fold((0, 0), |far, p| (far.0.max(p.x), far.1.max(p.y)));
            let mut about: Vec<Point> = points
                .iter()
                .map(|p| Point::new(far.0 - p.x, far.1 - p.y))
                .collect();
            let least = (0..about.len()).min_by_key(|&i| about[i]).unwrap_or(0);
            about.rotate_left(least);
            about
        };
        let is_there = |shape: &Stance| {
            let about = about(&shape.shape);
            other.shapes.iter().any(|other| other.shape == about)
        };
        self.kind == other.kind
            && other.turns == (self.turns << 2 | self.turns >> 2) & 0b1111
            && self.shapes.iter().all(|shape| shape.along == self.along)
            && other.shapes.len() == self.shapes.len()
            && self.shapes.iter().all(is_there)
    }
}

fn bit(turn: Turn) -> u8 {
    1 << turn.quarters()
}
