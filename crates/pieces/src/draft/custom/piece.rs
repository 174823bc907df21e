//! One piece of a custom draft: what was read of it, and drawing it with the wearer's numbers.

mod options;
mod pair;
mod read;

pub(super) use options::OPTIONS;

use super::formula::{Formula, Names};
use crate::draft::Brief;
use crate::draft::shape::{Edge, Shape, edge, notch, trapezoid};
use crate::length::Length;
use crate::outline::{Outline, Point, doubled_area};
use crate::path::Path;
use crate::piece::{Grain, NotchKind, Piece};
use crate::settings::{InputError, Span, known_names};
use crate::units::Units;

#[derive(Clone, Debug)]
enum ShapeRule {
    Trapezoid {
        width: Box<Formula>,
        length: Box<Formula>,
        flare: Option<Box<Formula>>,
    },
    Outline {
        corners: Vec<(Formula, Formula)>,
        span: Span,
        key: String,
    },
}

/// A piece, read and checked as far as it can be without measurements.
#[derive(Clone, Debug)]
pub(super) struct PieceRule {
    name: String,
    copies: u32,
    /// Every second copy is mirrored.
    pair: bool,
    grain: Grain,
    fabric: Option<(String, Span, String)>,
    shape: ShapeRule,
    cut_sizes: bool,
    /// One name an edge, by its number if it has none.
    edges: Vec<String>,
    allowance: Option<Formula>,
    /// Edge and formula.
    allowances: Vec<(usize, Formula)>,
    /// Edges of the hem, in order, one after the other.
    hem: Vec<usize>,
    /// Corner, from 0, and what is written beside the notch there.
    notches: Vec<(usize, String)>,
}

/// Collects errors and goes on.
struct Errors(Vec<InputError>);

impl Errors {
    fn keep<T>(&mut self, result: Result<T, InputError>) -> Option<T> {
        result.map_err(|e| self.0.push(e)).ok()
    }
}

impl PieceRule {
    pub(super) fn draw(&self, brief: &Brief<'_>, names: &Names) -> Result<Piece, Vec<InputError>> {
        let mut errors = Errors(Vec::new());
        let units = brief.units;
        let fabric = match &self.fabric {
            None => Some(brief.fabric.name.as_str()),
            Some((name, span, key)) => errors.keep(
                brief
                    .fabrics
                    .contains_key(name)
                    .then_some(name.as_str())
                    .ok_or_else(|| {
                        let known: Vec<&str> = brief.fabrics.keys().map(String::as_str).collect();
                        let what = format!("there is no fabric \"{name}\"");
                        InputError::at(*span, key.as_str(), what, known_names(name, &known))
                    }),
            ),
        };
        let every = match &self.allowance {
            None => Length::ZERO,
            Some(formula) => errors
                .keep(formula.length_from(0, names, units))
                .unwrap_or_default(),
        };
        let mut edges: Vec<Edge> = self.edges.iter().map(|name| edge(name, every)).collect();
        for (which, formula) in &self.allowances {
            if let Some(width) = errors.keep(formula.length_from(0, names, units)) {
                edges[*which].allowance = width;
            }
        }
        let corners = self.corners(names, units, &mut errors);
        let (Some(mut corners), Some(fabric), true) = (corners, fabric, errors.0.is_empty()) else {
            return Err(errors.0);
        };
        // Edges are moved out of a counter-clockwise outline; a clockwise one is walked backwards.
        let n = corners.len();
        let clockwise = doubled_area(&corners) < 0;
        let mut order: Vec<usize> = (0..n).collect();
        if clockwise {
            corners.reverse();
            // Edge j of the reversed list goes from old corner n-1-j to the one before it.
            order = (0..n).map(|j| (2 * n - 2 - j) % n).collect();
            edges = order.iter().map(|&i| edges[i].clone()).collect();
        }
        let shape = if self.cut_sizes {
            Shape::from_cut(&corners, &edges)
        } else {
            Shape::from_finished(&corners, &edges)
        };
        let (span, key) = self.place();
        let shape = shape.map_err(|what| {
            let what = format!("the piece \"{}\" cannot be drawn: {what}", self.name);
            let help = "corners and edges are counted from 1 in the order in which they stand";
            vec![InputError::at(span, key, what, help)]
        })?;
        let mut piece = shape.piece(brief, &self.name, fabric, self.grain);
        piece.copies = self.copies;
        let mut hem: Vec<usize> = self
            .hem
            .iter()
            .filter_map(|edge| order.iter().position(|o| o == edge))
            .collect();
        if clockwise {
            hem.reverse();
        }
        if let Some(&first) = hem.first() {
            let mut line = vec![shape.cut_edges[first].0];
            line.extend(hem.iter().map(|&edge| shape.cut_edges[edge].1));
            piece.hem = Some(Path::open(&line));
        }
        for (corner, label) in &self.notches {
            let corner = if clockwise { n - 1 - corner } else { *corner };
            let at = shape.cut_edges[corner].0;
            piece.notches.push(notch(at, NotchKind::Match, label));
        }
        Ok(piece)
    }

    /// What a complaint about the whole shape points at.
    fn place(&self) -> (Span, &str) {
        match &self.shape {
            ShapeRule::Trapezoid { width, .. } => (width.span, &width.key),
            ShapeRule::Outline { span, key, .. } => (*span, key),
        }
    }

    fn corners(&self, names: &Names, units: Units, errors: &mut Errors) -> Option<Vec<Point>> {
        match &self.shape {
            ShapeRule::Trapezoid {
                width,
                length,
                flare,
            } => {
                let top = errors.keep(width.length_from(1, names, units));
                let along = errors.keep(length.length_from(1, names, units));
                let flare = match flare {
                    None => Some((Length::ZERO, None)),
                    Some(f) => errors.keep(f.length(names, units)).map(|l| (l, Some(f))),
                };
                let (top, along, (flare, formula)) = (top?, along?, flare?);
                let bottom = top + flare * 2;
                if !bottom.is_positive() {
                    let what = format!(
                        "the flare leaves {} for the lower edge",
                        units.write(bottom)
                    );
                    let error = formula
                        .unwrap_or(width)
                        .error(what, "make the flare larger");
                    errors.0.push(error);
                    return None;
                }
                Some(trapezoid(top, bottom, along).to_vec())
            }
            ShapeRule::Outline { corners, span, key } => {
                let mut points = Vec::with_capacity(corners.len());
                for (x, y) in corners {
                    let x = errors.keep(x.um(names, units));
                    let y = errors.keep(y.um(names, units));
                    if let (Some(x), Some(y)) = (x, y) {
                        points.push(Point::new(x.round() as i64, y.round() as i64));
                    }
                }
                if points.len() < corners.len() {
                    return None;
                }
                let fault = folds_back(&points)
                    .or_else(|| Outline::new(points.clone()).err().map(|e| e.to_string()));
                if let Some(fault) = fault {
                    let what = format!("the outline of \"{}\" is no piece: {fault}", self.name);
                    let help = "corners are counted from 1 in the order in which they stand";
                    errors
                        .0
                        .push(InputError::at(*span, key.as_str(), what, help));
                    return None;
                }
                Some(points)
            }
        }
    }
}

/// What is wrong where two corners that follow each other are one, or an edge runs back along the one
/// before it: nothing can be cut there, though what is left may be a sound outline.
fn folds_back(corners: &[Point]) -> Option<String> {
    let n = corners.len();
    (0..n).find_map(|i| {
        let (before, at, after) = (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
        if at == after {
            let next = (i + 1) % n + 1;
            return Some(format!(
                "corners {} and {next} are in the same place",
                i + 1
            ));
        }
        let (u, v) = (at.minus(before), after.minus(at));
        let wide = |a: i64, b: i64| i128::from(a) * i128::from(b);
        let back = wide(u.x, v.y) == wide(u.y, v.x) && wide(u.x, v.x) + wide(u.y, v.y) < 0;
        back.then(|| format!("at corner {} the edge runs back along itself", i + 1))
    })
}
