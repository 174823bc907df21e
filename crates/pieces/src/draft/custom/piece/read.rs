//! Reading a piece of a custom draft: its shape by formulas, its edges by name or number. Goes on
//! after an error, so that all of them are counted.

use super::{Errors, OPTIONS, PieceRule, ShapeRule};
use crate::draft::custom::formula::{Formula, Names};
use crate::draft::plain::GRAINS;
use crate::piece::Grain;
use crate::settings::{InputError, Setting, Settings, Span, Value, known_names};

/// More corners than this are taken for a mistake.
const MOST_CORNERS: usize = 2_000;

impl PieceRule {
    pub(in crate::draft::custom) fn read(
        table: &Settings,
        path: &str,
        known: &Names,
    ) -> Result<Self, Vec<InputError>> {
        let mut errors = Errors(Vec::new());
        let at = |key: &str| format!("{path}.{key}");
        let keys: Vec<&str> = OPTIONS.iter().map(|option| option.key).collect();
        errors.keep(table.only(path, &keys));
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
        let pair = errors.keep(table.flag(path, "pair")).flatten() == Some(true);
        let copies = errors
            .keep(table.count(path, "copies", 1..=10_000))
            .flatten()
            .unwrap_or(if pair { 2 } else { 1 });
        if pair && copies % 2 == 1 {
            let span = table.get("copies").map_or(table.span, |s| s.span);
            let what = format!("{copies} copies are no pairs");
            let help = format!("write copies = {}, or leave out pair = true", copies + 1);
            errors
                .0
                .push(InputError::at(span, at("copies"), what, help));
        }
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
        // Of a faulty outline too: its other faults are counted by the corners it has.
        let outline = table.get("outline").map(|s| &s.value);
        let count = match outline {
            Some(Value::List(corners)) => corners.len(),
            _ => 4,
        };
        let quadrilateral = outline.is_none();
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
        let notches = read_notches(table, path, count, &mut errors);
        match (shape, name) {
            (Some(shape), Some(name)) if errors.0.is_empty() => Ok(PieceRule {
                name,
                copies,
                pair,
                grain,
                fabric,
                shape,
                cut_sizes,
                edges,
                allowance,
                allowances,
                hem,
                notches,
            }),
            _ => Err(errors.0),
        }
    }
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
        width: Box::new(width?),
        length: Box::new(length?),
        flare: flare.map(Box::new),
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
    let number = name.parse::<usize>().ok();
    if let Some(number) = number.filter(|n| (1..=edges.len()).contains(n)) {
        return Ok(vec![number - 1]);
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

/// Notches by the number of the corner, from 1, with what is written beside them.
fn read_notches(
    table: &Settings,
    path: &str,
    count: usize,
    errors: &mut Errors,
) -> Vec<(usize, String)> {
    let set = errors.keep(table.table(path, "notches")).flatten();
    let mut notches = Vec::new();
    for entry in set.map(|t| t.entries.as_slice()).unwrap_or_default() {
        let key = format!("{path}.notches.{}", entry.key);
        let number = entry.key.parse::<usize>().ok();
        let Some(number) = number.filter(|n| (1..=count).contains(n)) else {
            let what = format!("there is no corner \"{}\"", entry.key);
            let help = format!("write its number, from 1 to {count}: notches = {{ 2 = \"side\" }}");
            errors
                .0
                .push(InputError::at(entry.key_span, key, what, help));
            continue;
        };
        if let Some(label) = errors.keep(entry.setting.text(&key)) {
            notches.push((number - 1, label.to_string()));
        }
    }
    notches
}
