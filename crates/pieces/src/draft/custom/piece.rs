//! One piece of a custom draft: its shape by formulas, its edges by name or number.

use super::formula::{Formula, Names};
use crate::draft::Brief;
use crate::draft::plain::GRAINS;
use crate::draft::shape::{Edge, Shape, edge, trapezoid};
use crate::length::Length;
use crate::outline::{Outline, Point};
use crate::path::Path;
use crate::piece::{Grain, Piece};
use crate::settings::{InputError, Setting, Settings, Span, Value, known_names};
use crate::units::Units;

const KEYS: [&str; 14] = [
    "name",
    "copies",
    "grain",
    "fabric",
    "shape",
    "width",
    "length",
    "flare",
    "outline",
    "edges",
    "sizes",
    "allowance",
    "allowances",
    "hem",
];

/// More corners than this are taken for a mistake.
const MOST_CORNERS: usize = 2_000;

#[derive(Clone, Debug)]
enum ShapeRule {
    Trapezoid {
        width: Formula,
        length: Formula,
        flare: Option<Formula>,
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
}

/// Collects errors and goes on.
struct Errors(Vec<InputError>);

impl Errors {
    fn keep<T>(&mut self, result: Result<T, InputError>) -> Option<T> {
        result.map_err(|e| self.0.push(e)).ok()
    }
}

impl PieceRule {
    pub(super) fn read(
        table: &Settings,
        path: &str,
        known: &Names,
    ) -> Result<Self, Vec<InputError>> {
        let mut errors = Errors(Vec::new());
        let at = |key: &str| format!("{path}.{key}");
        errors.keep(table.only(path, &KEYS));
        let name = errors
            .keep(table.text(path, "name"))
            .flatten()
            .map(str::to_string);
        if name.is_none() && table.get("name").is_none() {
            let what = "the piece has no name";
            errors.0.push(InputError::at(
                table.span,
                at("name"),
                what,
                "write name = \"back\"",
            ));
        }
        let copies = errors
            .keep(table.count(path, "copies", 1..=10_000))
            .flatten()
            .unwrap_or(1);
        let grain = match errors.keep(table.choice(path, "grain", &GRAINS)).flatten() {
            Some("crosswise") => Grain::Crosswise,
            Some("bias") => Grain::Bias,
            Some("either") => Grain::Either,
            _ => Grain::Lengthwise,
        };
        let fabric = errors
            .keep(table.text(path, "fabric"))
            .flatten()
            .and_then(|name| {
                table
                    .get("fabric")
                    .map(|s| (name.to_string(), s.span, at("fabric")))
            });
        let cut_sizes = errors
            .keep(table.choice(path, "sizes", &["finished", "cut"]))
            .flatten()
            == Some("cut");
        let shape = read_shape(table, path, known, &mut errors);
        let count = match &shape {
            Some(ShapeRule::Outline { corners, .. }) => corners.len(),
            _ => 4,
        };
        let quadrilateral = !matches!(shape, Some(ShapeRule::Outline { .. }));
        let edges = read_edges(table, path, count, quadrilateral, &mut errors);
        let allowance = table
            .get("allowance")
            .and_then(|s| errors.keep(Formula::read(s, at("allowance"), known)));
        let mut allowances = Vec::new();
        let own = errors.keep(table.table(path, "allowances")).flatten();
        for entry in own.map(|t| t.entries.as_slice()).unwrap_or_default() {
            let key = format!("{}.{}", at("allowances"), entry.key);
            let Some(which) = errors.keep(find_edges(&entry.key, &edges, entry.key_span, &key))
            else {
                continue;
            };
            if let Some(formula) = errors.keep(Formula::read(&entry.setting, key, known)) {
                allowances.extend(which.into_iter().map(|edge| (edge, formula.clone())));
            }
        }
        let hem = match table.get("hem") {
            None if quadrilateral => vec![0],
            None => Vec::new(),
            Some(setting) => errors
                .keep(read_hem(setting, &at("hem"), &edges))
                .unwrap_or_default(),
        };
        match (shape, name) {
            (Some(shape), Some(name)) if errors.0.is_empty() => Ok(PieceRule {
                name,
                copies,
                grain,
                fabric,
                shape,
                cut_sizes,
                edges,
                allowance,
                allowances,
                hem,
            }),
            _ => Err(errors.0),
        }
    }

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
        let mut order: Vec<usize> = (0..n).collect();
        if doubled_area(&corners) < 0 {
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
        if order.first() != Some(&0) {
            hem.reverse();
        }
        if let Some(&first) = hem.first() {
            let mut line = vec![shape.cut_edges[first].0];
            line.extend(hem.iter().map(|&edge| shape.cut_edges[edge].1));
            piece.hem = Some(Path::open(&line));
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
                if let Err(error) = Outline::new(points.clone()) {
                    let what = format!("the outline of \"{}\" is no piece: {error}", self.name);
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

fn doubled_area(corners: &[Point]) -> i128 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(a, b)| i128::from(a.x) * i128::from(b.y) - i128::from(a.y) * i128::from(b.x))
        .sum()
}

fn read_shape(
    table: &Settings,
    path: &str,
    known: &Names,
    errors: &mut Errors,
) -> Option<ShapeRule> {
    let at = |key: &str| format!("{path}.{key}");
    if let Some(setting) = table.get("outline") {
        for key in ["shape", "width", "length", "flare"] {
            if let Some(other) = table.get(key) {
                let what = format!("\"{key}\" does not go with an outline");
                errors.0.push(InputError::at(
                    other.span,
                    at(key),
                    what,
                    "leave one of them out",
                ));
            }
        }
        return read_outline(setting, &at("outline"), known, errors);
    }
    let shape = match errors.keep(table.choice(path, "shape", &["rectangle", "trapezoid"])) {
        Some(Some(shape)) => shape,
        Some(None) => {
            let help = "write shape = \"rectangle\" or \"trapezoid\", or give an outline";
            errors.0.push(InputError::at(
                table.span,
                at("shape"),
                "the piece has no shape",
                help,
            ));
            return None;
        }
        None => return None,
    };
    let mut needed = |key: &str| match table.get(key) {
        Some(setting) => errors.keep(Formula::read(setting, at(key), known)),
        None => {
            let what = format!("the {key} of the {shape} is missing");
            let help = format!("write {key} = \"...\"");
            errors
                .0
                .push(InputError::at(table.span, at(key), what, help));
            None
        }
    };
    let (width, length) = (needed("width"), needed("length"));
    let flare = match (shape, table.get("flare")) {
        ("rectangle", Some(setting)) => {
            let help = "write shape = \"trapezoid\"";
            errors.0.push(InputError::at(
                setting.span,
                at("flare"),
                "a rectangle has no flare",
                help,
            ));
            None
        }
        (_, Some(setting)) => errors.keep(Formula::read(setting, at("flare"), known)),
        ("trapezoid", None) => {
            let what = "the flare of the trapezoid is missing";
            errors.0.push(InputError::at(
                table.span,
                at("flare"),
                what,
                "write flare = \"...\"",
            ));
            None
        }
        _ => None,
    };
    Some(ShapeRule::Trapezoid {
        width: width?,
        length: length?,
        flare,
    })
}

fn read_outline(
    setting: &Setting,
    key: &str,
    known: &Names,
    errors: &mut Errors,
) -> Option<ShapeRule> {
    let wrong = |span, key: &str, what: &str| {
        let help = "write it like [[\"0\", \"0\"], [\"w\", \"0\"], [\"w\", \"l\"], [\"0\", \"l\"]]";
        InputError::at(span, key, what, help)
    };
    let Value::List(list) = &setting.value else {
        errors
            .0
            .push(wrong(setting.span, key, "an outline is a list of corners"));
        return None;
    };
    if list.len() < 3 || list.len() > MOST_CORNERS {
        let what = format!(
            "an outline has 3 to {MOST_CORNERS} corners, this one has {}",
            list.len()
        );
        errors.0.push(wrong(setting.span, key, &what));
        return None;
    }
    let mut corners = Vec::with_capacity(list.len());
    for (i, corner) in list.iter().enumerate() {
        let key = format!("{key}[{}]", i + 1);
        let Value::List(pair) = &corner.value else {
            errors
                .0
                .push(wrong(corner.span, &key, "a corner is a pair of formulas"));
            continue;
        };
        let [x, y] = pair.as_slice() else {
            errors
                .0
                .push(wrong(corner.span, &key, "a corner is a pair of formulas"));
            continue;
        };
        let x = errors.keep(Formula::read(x, format!("{key}[1]"), known));
        let y = errors.keep(Formula::read(y, format!("{key}[2]"), known));
        corners.extend(x.zip(y));
    }
    (corners.len() == list.len()).then(|| ShapeRule::Outline {
        corners,
        span: setting.span,
        key: key.to_string(),
    })
}

/// The name of every edge: those given, or those of a rectangle, or numbers.
fn read_edges(
    table: &Settings,
    path: &str,
    count: usize,
    quadrilateral: bool,
    errors: &mut Errors,
) -> Vec<String> {
    let usual = || -> Vec<String> {
        if quadrilateral {
            ["hem", "right", "top", "left"].map(String::from).to_vec()
        } else {
            (1..=count).map(|i| format!("edge {i}")).collect()
        }
    };
    let Some(list) = errors.keep(table.list(path, "edges")).flatten() else {
        return usual();
    };
    if list.len() != count {
        let span = table.get("edges").map_or(table.span, |s| s.span);
        let what = format!("{} edges are named, and the piece has {count}", list.len());
        errors.0.push(InputError::at(
            span,
            format!("{path}.edges"),
            what,
            "name every edge",
        ));
        return usual();
    }
    let named = |(i, setting): (usize, &Setting)| {
        errors
            .keep(setting.text(&format!("{path}.edges[{}]", i + 1)))
            .unwrap_or_default()
            .to_string()
    };
    list.iter().enumerate().map(named).collect()
}

/// The edges of that name, or the one of that number (from 1).
fn find_edges(
    name: &str,
    edges: &[String],
    span: Span,
    key: &str,
) -> Result<Vec<usize>, InputError> {
    if let Ok(number) = name.parse::<usize>() {
        if (1..=edges.len()).contains(&number) {
            return Ok(vec![number - 1]);
        }
    }
    let found: Vec<usize> = (0..edges.len()).filter(|&i| edges[i] == name).collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let mut known: Vec<&str> = Vec::new();
    for edge in edges {
        if !known.contains(&edge.as_str()) {
            known.push(edge);
        }
    }
    let help = format!(
        "{}, or a number from 1 to {}",
        known_names(name, &known),
        edges.len()
    );
    Err(InputError::at(
        span,
        key,
        format!("there is no edge \"{name}\""),
        help,
    ))
}

/// The edges of the hem in walking order; they must follow each other.
fn read_hem(setting: &Setting, key: &str, edges: &[String]) -> Result<Vec<usize>, InputError> {
    let name = match &setting.value {
        Value::Number(number) => number.as_str(),
        _ => setting.text(key)?,
    };
    let found = find_edges(name, edges, setting.span, key)?;
    let n = edges.len();
    // The one that none of the others goes before is the first.
    let first = found
        .iter()
        .copied()
        .find(|&i| !found.contains(&((i + n - 1) % n)));
    let run: Vec<usize> = first.map_or(found.clone(), |f| {
        (0..found.len()).map(|k| (f + k) % n).collect()
    });
    if run.iter().all(|i| found.contains(i)) {
        return Ok(run);
    }
    let what = format!("the edges \"{name}\" do not follow each other");
    Err(InputError::at(
        setting.span,
        key,
        what,
        "give the hem a name of its own, or a number",
    ))
}
