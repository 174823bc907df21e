//! The distinct shapes of a problem, and in which of them each item may be laid.
//!
//! Equal outlines are one [`Shape`], whatever item, wearer or turn they come from, so a rectangle turned end
//! for end is no second choice. A shape's box starts at (0, 0). A shape that is an earlier one turned
//! knows it ([`Pose`]): [`crate::pairs`] makes no-fit regions once for each relative turn.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use pieces::{Outline, Point};

use crate::geometry::{COARSE, ConvexPart, FINE, convex_parts, simplified};
use crate::pairs::Known;
use crate::places::Grid;
use crate::problem::{Item, Problem, Turn};

/// Index of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShapeId(pub u32);

/// A shape as an earlier one, its base, turned about (0, 0) and then moved. A base is its own, unturned; a
/// mirrored outline is a base too.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pose {
    /// The base.
    pub base: ShapeId,
    /// Quarters of a turn, 0 to 3.
    pub quarters: u8,
    /// What (0, 0) moves to.
    pub by: Point,
}

/// Which outlines count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Detail {
    /// Few corners, for searching.
    Coarse,
    /// Close to the outlines themselves, for polishing.
    Fine,
}

/// One distinct outline.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Which base it is, and how turned.
    pub pose: Pose,
    /// Size across, micrometres.
    pub across: i64,
    /// Size along, micrometres.
    pub along: i64,
    /// Twice the area.
    pub doubled_area: i128,
    /// Convex parts for polishing: of the outline itself where it is convex or has few corners, else of one
    /// closely around it.
    pub fine: Vec<ConvexPart>,
    /// Convex parts for searching, of a coarser outline around it.
    pub coarse: Vec<ConvexPart>,
    /// True if both are the same.
    pub is_simple: bool,
}

/// One way to lay an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Variant {
    /// The shape it then has.
    pub shape: ShapeId,
    /// Its turn.
    pub turn: Turn,
    /// Whether it is turned over.
    pub mirrored: bool,
    /// Least corner of the turned outline's box: the origin lies at position minus this.
    pub corner: Point,
    /// Where the box's least corner may lie; for a set, before it is settled where its print begins.
    pub grid: Grid,
    /// Which items it must match.
    pub set: Option<u32>,
}

/// All shapes and, by item, its variants.
#[derive(Clone, Debug)]
pub struct Shapes {
    /// By [`ShapeId`].
    pub shapes: Vec<Shape>,
    /// By item: different ways to lay it, one for each (turn, shape, grid) that fits the width.
    pub variants: Vec<Vec<Variant>>,
    /// The regions made of them so far.
    pub known: Arc<Known>,
}

impl Shapes {
    /// Of a problem whose items all fit the usable width in some turn.
    #[must_use]
    pub fn of(problem: &Problem) -> Self {
        let mut shapes = Shapes::of_items(problem);
        shapes.keep_common_turns(problem);
        shapes
    }

    /// A garment is turned as one, so what not all of its pieces can take is no turn for any.
    fn keep_common_turns(&mut self, problem: &Problem) {
        let mut common: BTreeMap<u32, Vec<Turn>> = BTreeMap::new();
        for (item, variants) in problem.items.iter().zip(&self.variants) {
            let Some(garment) = item.garment.filter(|_| item.copies > 0) else {
                continue;
            };
            let turns: Vec<Turn> = variants.iter().map(|v| v.turn).collect();
            let all = common.entry(garment).or_insert_with(|| turns.clone());
            all.retain(|turn| turns.contains(turn));
        }
        for (item, variants) in problem.items.iter().zip(&mut self.variants) {
            if let Some(turns) = item.garment.and_then(|garment| common.get(&garment)) {
                variants.retain(|v| turns.contains(&v.turn));
            }
        }
    }

    fn of_items(problem: &Problem) -> Self {
        let left = problem.cloth.left.um();
        let width = problem.cloth.usable_width().um();
        let mut ids: HashMap<Outline, ShapeId> = HashMap::new();
        let mut shapes = Vec::new();
        let variants = problem
            .items
            .iter()
            .map(|item| {
                let mut variants: Vec<Variant> = Vec::new();
                for mirrored in [false, true] {
                    if mirrored && !item.may_mirror {
                        continue;
                    }
                    let flat = if mirrored {
                        item.outline.mirrored()
                    } else {
                        item.outline.clone()
                    };
                    for &turn in &item.turns {
                        let turned = flat.turned(turn.quarters());
                        let corner = turned.bounds().min;
                        let outline = from_origin(&turned);
                        let across = outline.bounds().across().um();
                        let grid = grid(item, mirrored, turn, corner);
                        let borders = [left, left + width - across];
                        if across > width || grid.lowest(0, borders).is_none() {
                            continue;
                        }
                        let known = ids.get(&outline).copied();
                        let shape = known.unwrap_or_else(|| {
                            let id = ShapeId(shapes.len() as u32);
                            let shape = match pose(&outline, &ids, &shapes) {
                                Some(pose) => shapes[pose.base.0 as usize].turned(pose),
                                None => Shape::of(id, &outline),
                            };
                            shapes.push(shape);
                            ids.insert(outline, id);
                            id
                        });
                        // A garment's turn is a choice of its own even where the shape is the same.
                        let known = variants.iter().any(|v| {
                            v.shape == shape
                                && v.grid == grid
                                && (item.garment.is_none() || v.turn == turn)
                        });
                        if !known {
                            variants.push(Variant {
                                shape,
                                turn,
                                mirrored,
                                corner,
                                grid,
                                set: item.anchor.and_then(|anchor| anchor.set),
                            });
                        }
                    }
                }
                variants
            })
            .collect();
        Shapes {
            shapes,
            variants,
            known: Arc::default(),
        }
    }

    /// Corners that searching meets on a shape, on average: 4 for rectangles and trapezoids.
    #[must_use]
    pub fn corners(&self) -> u64 {
        let corners =
            |shape: &Shape| -> usize { shape.coarse.iter().map(|p| p.points.len()).sum() };
        let all: usize = self.shapes.iter().map(corners).sum();
        (all / self.shapes.len().max(1)) as u64
    }

    /// Corners of the fine parts of the shape that has most of them.
    #[must_use]
    pub fn most_corners(&self) -> usize {
        let corners = |shape: &Shape| shape.fine.iter().map(|p| p.points.len()).sum();
        self.shapes.iter().map(corners).max().unwrap_or(0)
    }

    /// The shape with this id.
    #[must_use]
    pub fn shape(&self, id: ShapeId) -> &Shape {
        &self.shapes[id.0 as usize]
    }
}

impl Shape {
    /// A base.
    fn of(id: ShapeId, outline: &Outline) -> Self {
        let fine = if outline.is_convex() {
            outline.clone()
        } else {
            simplified(outline, FINE)
        };
        let coarse = simplified(&fine, COARSE);
        let bounds = outline.bounds();
        Shape {
            pose: Pose {
                base: id,
                quarters: 0,
                by: Point::default(),
            },
            across: bounds.across().um(),
            along: bounds.along().um(),
            doubled_area: outline.doubled_area(),
            fine: convex_parts(&fine),
            coarse: convex_parts(&coarse),
            is_simple: coarse == fine,
        }
    }

    /// This base, turned.
    fn turned(&self, pose: Pose) -> Self {
        let sizes = [self.across, self.along];
        let is_upright = pose.quarters.is_multiple_of(2);
        let turned = |parts: &[ConvexPart]| {
            let parts = parts.iter();
            parts.map(|p| p.turned(pose.quarters, pose.by)).collect()
        };
        Shape {
            pose,
            across: sizes[usize::from(!is_upright)],
            along: sizes[usize::from(is_upright)],
            doubled_area: self.doubled_area,
            fine: turned(&self.fine),
            coarse: turned(&self.coarse),
            is_simple: self.is_simple,
        }
    }

    /// Its convex parts.
    #[must_use]
    pub fn parts(&self, detail: Detail) -> &[ConvexPart] {
        match detail {
            Detail::Coarse => &self.coarse,
            Detail::Fine => &self.fine,
        }
    }
}

/// Where an item's box may lie, given how it is turned and where its least corner then is.
fn grid(item: &Item, mirrored: bool, turn: Turn, corner: Point) -> Grid {
    item.anchor.map_or(Grid::ANY, |anchor| {
        let Point { x, y } = anchor.point;
        let flat = Point::new(if mirrored { -x } else { x }, y);
        Grid::new(&anchor.lattice, flat.turned(turn.quarters()), corner)
    })
}

/// How an outline is had by turning a known base, if it is.
fn pose(outline: &Outline, ids: &HashMap<Outline, ShapeId>, shapes: &[Shape]) -> Option<Pose> {
    (1..4).find_map(|quarters| {
        let unturned = from_origin(&outline.turned(4 - quarters));
        let base = *ids.get(&unturned)?;
        let corner = unturned.turned(quarters).bounds().min;
        (shapes[base.0 as usize].pose.base == base).then_some(Pose {
            base,
            quarters,
            by: corner.turned(2),
        })
    })
}

/// Moved so that its box starts at (0, 0), its list of corners so that equal shapes compare equal.
fn from_origin(outline: &Outline) -> Outline {
    from_least(outline.moved(outline.bounds().min.turned(2)))
}

/// The same outline, its list of corners starting at the least one, so that equal shapes compare equal.
fn from_least(outline: Outline) -> Outline {
    let mut points: Vec<Point> = outline.into();
    let least = (0..points.len()).min_by_key(|&i| points[i]).unwrap_or(0);
    points.rotate_left(least);
    Outline::new(points).expect("a rotated list of corners is the same outline")
}
