//! The chalk list: where each piece lies, in numbers, for the tape and the chalk.
//!
//! Both numbers of a place are measured on the cloth as the marker shows it: along from the cut end,
//! across from the upper edge. What has four corners square to the cloth is said by two stretches;
//! anything else by its corners and curves as well, in the order in which the edge is walked.

use std::fmt::Write;

use pieces::{Cutting, Length, Path, Point, Segment, Units};

use crate::frame::PieceFrame;
use crate::sheet::{Placed, Sheet};
use crate::straight::cuts_in_words;
use crate::words::{self, is_inches};

/// Lines of a list that is read on paper.
const COLUMNS: usize = 80;

/// Before the corners of a piece.
const INDENT: &str = "    ";

/// Radii within this of each other (um) are one: ends of arcs are whole micrometres.
const SAME: f64 = 3.0;

/// Where the pieces of a cloth are chalked, as plain text, in the order in which they lie along it.
///
/// Numbers are rounded to the nearest millimetre or eighth of an inch; the text says by how much at
/// most. One pass over the corners, and a sort of the pieces.
#[must_use]
pub fn chalk_list(sheet: &Sheet<'_>) -> String {
    let mut tape = Tape::of(sheet.units);
    let mut shapes: Vec<Shape> = sheet.placed.iter().map(Shape::of).collect();
    shapes.sort_by(|a, b| {
        let along = a.along.0.total_cmp(&b.along.0);
        along.then(a.across.0.total_cmp(&b.across.0))
    });
    let one_way = words::has_arrows(sheet.fabric.direction);
    let mut body = String::new();
    for shape in &shapes {
        body.push('\n');
        shape.write(&mut body, one_way, sheet.units, &mut tape);
    }
    if !sheet.cuts.is_empty() {
        body.push_str(match sheet.fabric.cutting {
            Cutting::Tear => "\nTear, in this order:\n",
            Cutting::Free | Cutting::Straight => "\nCut, in this order:\n",
        });
        let end = bare(&sheet.units.write_up(sheet.needed));
        let mut write = |length: Length| tape.number(length.um() as f64);
        let lines = cuts_in_words(&sheet.cuts, sheet.fabric, &end, &mut write);
        let width = lines.iter().map(|line| line.number().len()).max();
        let width = width.unwrap_or(0);
        for line in &lines {
            let first = format!("  {:>width$}  ", line.number());
            let words: Vec<String> = line.words.split(' ').map(str::to_owned).collect();
            set(&mut body, [&first, &" ".repeat(width + 4)], &words);
        }
        if sheet.fabric.selvedge.is_positive() {
            body.push_str("After the first of them the selvedges come off.\n");
        }
        body.push_str("Last, each piece is cut out by its own edge where that is still to do.\n");
    }
    let mut out = format!(
        "Where to chalk: {}\n{}{}, {} wide, right side up, numbers in {}.\n\n",
        sheet.job,
        sheet.date.map_or(String::new(), |date| format!("{date}\n")),
        sheet.fabric.name,
        sheet.units.write_down(sheet.fabric.width),
        unit_in_words(sheet.units)
    );
    out.push_str(
        "  along    from the cut end (left in the drawing)\n  \
           across   from the upper edge: the edge of the cloth at the top of the drawing\n  \
           (12, 30) a place: 12 along, 30 across\n",
    );
    if shapes.iter().any(|shape| shape.says_top(one_way)) {
        out.push_str("  top      of the piece as it is worn; a hem is at the other end\n");
    }
    if sheet.placed.iter().any(|placed| placed.mirrored) {
        out.push_str("  turned over   laid with left and right changed: flip the paper\n");
    }
    out.push_str("\nNotches, grain lines and finished edges are in the drawing.\n");
    out.push_str(&tape.said());
    out.push_str(&body);
    out
}

fn unit_in_words(units: Units) -> &'static str {
    match units {
        Units::Millimetres => "millimetres",
        Units::Centimetres => "centimetres",
        Units::Metres => "metres",
        Units::Inches | Units::Yards => "inches",
    }
}

/// A length without its unit.
fn bare(written: &str) -> String {
    let number = written
        .rsplit_once(' ')
        .map_or(written, |(number, _)| number);
    number.to_owned()
}

/// Writes bare numbers and remembers how far off they were.
struct Tape {
    units: Units,
    largest: f64,
}

impl Tape {
    fn of(units: Units) -> Self {
        Tape {
            units,
            largest: 0.0,
        }
    }

    /// A number without its unit, of so many micrometres.
    fn number(&mut self, um: f64) -> String {
        let step = if is_inches(self.units) {
            3_175.0
        } else {
            1_000.0
        };
        let rounded = (um / step).round() * step;
        self.largest = self.largest.max((um - rounded).abs());
        bare(&self.units.write(Length::from_um(rounded as i64)))
    }

    fn place(&mut self, at: Spot) -> String {
        format!("({}, {})", self.number(at.along), self.number(at.across))
    }

    fn said(&self) -> String {
        let largest = Length::from_um(self.largest.ceil() as i64);
        if largest.is_positive() {
            format!(
                "Numbers are rounded, none by more than {}.\n",
                self.units.write_rounding(largest)
            )
        } else {
            "No number is rounded.\n".to_owned()
        }
    }
}

/// A place on the cloth, micrometres.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Spot {
    along: f64,
    across: f64,
}

impl Spot {
    fn from(self, other: Spot) -> f64 {
        (self.along - other.along).hypot(self.across - other.across)
    }
}

/// A stretch of an edge that ends in `to`; `round` the centre, if it is a curve.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    to: Spot,
    round: Option<Spot>,
}

/// An edge, walked round.
#[derive(Debug)]
struct Edge {
    start: Spot,
    stretches: Vec<Stretch>,
}

impl Edge {
    /// From the corner that is nearest to the cut end, then to the upper edge.
    fn of(frame: &PieceFrame, path: &Path) -> Self {
        let spot = |point: Point| {
            let (across, along) = frame.on_cloth(point);
            Spot { along, across }
        };
        let mut stretches: Vec<Stretch> = path
            .segments
            .iter()
            .map(|segment| match *segment {
                Segment::Line { to } => Stretch {
                    to: spot(to),
                    round: None,
                },
                Segment::Arc { to, centre, .. } => Stretch {
                    to: spot(to),
                    round: Some(spot(centre)),
                },
            })
            .collect();
        let mut start = spot(path.start);
        if path.is_closed() {
            let nearest = (0..stretches.len()).min_by(|&a, &b| {
                let (a, b) = (stretches[a].to, stretches[b].to);
                a.along
                    .total_cmp(&b.along)
                    .then(a.across.total_cmp(&b.across))
            });
            if let Some(nearest) = nearest {
                start = stretches[nearest].to;
                stretches.rotate_left(nearest + 1);
            }
        }
        Edge { start, stretches }
    }

    /// Centre and radius, if it is one whole circle.
    fn circle(&self) -> Option<(Spot, f64)> {
        let centre = self.stretches.first()?.round?;
        let one = self.stretches.iter().all(|s| s.round == Some(centre));
        let closed = self.stretches.last()?.to == self.start;
        (one && closed).then(|| (centre, centre.from(self.start)))
    }

    /// Words of which no line breaks the inside.
    fn words(&self, tape: &mut Tape) -> Vec<String> {
        if let Some((centre, radius)) = self.circle() {
            return vec![
                "a circle".to_owned(),
                format!("round {},", tape.place(centre)),
                format!("radius {}", tape.number(radius)),
            ];
        }
        let mut words = vec![tape.place(self.start)];
        let mut from = self.start;
        for stretch in &self.stretches {
            if let Some(centre) = stretch.round {
                let (one, other) = (centre.from(from), centre.from(stretch.to));
                let radius = if (one - other).abs() <= SAME {
                    one
                } else {
                    (one + other) / 2.0
                };
                words.push(format!("curve, radius {}", tape.number(radius)));
                words.push(format!("round {}, to", tape.place(centre)));
            }
            // Back where it began: the corner has been said.
            if stretch.to != self.start || stretch.round.is_some() {
                words.push(tape.place(stretch.to));
            }
            from = stretch.to;
        }
        words
    }
}

/// A placed piece as it is chalked.
struct Shape<'a> {
    placed: &'a Placed<'a>,
    along: (f64, f64),
    across: (f64, f64),
    /// Where its top points, in words.
    top: String,
    edge: Edge,
    cut_outs: Vec<Edge>,
}

impl<'a> Shape<'a> {
    fn of(placed: &'a Placed<'a>) -> Self {
        let frame = PieceFrame::of(placed);
        let (mut along, mut across) = (EMPTY, EMPTY);
        // The polygon contains the curve and is what was laid.
        for &corner in placed.piece.cut.points() {
            let (x, y) = frame.on_cloth(corner);
            along = (along.0.min(y), along.1.max(y));
            across = (across.0.min(x), across.1.max(x));
        }
        Shape {
            placed,
            along,
            across,
            top: towards(frame.up_on_page()),
            edge: Edge::of(&frame, &placed.piece.cut_path),
            cut_outs: placed
                .piece
                .cut_outs
                .iter()
                .map(|path| Edge::of(&frame, path))
                .collect(),
        }
    }

    /// True if its two stretches say all.
    fn is_square(&self) -> bool {
        let corner = |s: &Stretch| {
            s.round.is_none()
                && (s.to.along == self.along.0 || s.to.along == self.along.1)
                && (s.to.across == self.across.0 || s.to.across == self.across.1)
        };
        self.cut_outs.is_empty()
            && self.edge.stretches.len() == 4
            && self.edge.stretches.iter().all(corner)
    }

    /// True where it matters which end is up.
    fn says_top(&self, one_way: bool) -> bool {
        one_way || self.placed.piece.hem.is_some()
    }

    fn write(&self, out: &mut String, one_way: bool, units: Units, tape: &mut Tape) {
        let piece = self.placed.piece;
        let mut parts = vec![piece.name.clone()];
        parts.extend(piece.wearer.clone());
        parts.push(words::piece_size(units, piece));
        parts.extend(words::of_this_copy(self.placed));
        let _ = writeln!(out, "  {}", parts.join(", "));
        let stretch =
            |tape: &mut Tape, (from, to)| format!("{} to {}", tape.number(from), tape.number(to));
        let along = stretch(tape, self.along);
        let across = stretch(tape, self.across);
        let top = if self.says_top(one_way) {
            format!("; top {}", self.top)
        } else {
            String::new()
        };
        let _ = writeln!(out, "{INDENT}along {along}, across {across}{top}");
        if self.is_square() {
            return;
        }
        set(out, [INDENT, INDENT], &self.edge.words(tape));
        for edge in &self.cut_outs {
            let first = format!("{INDENT}cut out: ");
            set(out, [&first, INDENT], &edge.words(tape));
        }
    }
}

/// A direction on the page in words: right is away from the cut end, down away from the upper edge.
fn towards(up: crate::paper::Spot) -> String {
    const SLIGHT: f64 = 0.1;
    let along = match up.x {
        x if x > SLIGHT => Some("away from the cut end"),
        x if x < -SLIGHT => Some("towards the cut end"),
        _ => None,
    };
    let across = match up.y {
        y if y > SLIGHT => Some("away from the upper edge"),
        y if y < -SLIGHT => Some("towards the upper edge"),
        _ => None,
    };
    let ways: Vec<&str> = along.into_iter().chain(across).collect();
    ways.join(" and ")
}

const EMPTY: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);

/// Words in lines, the first after `first`, the others after `rest`.
fn set(out: &mut String, [first, rest]: [&str; 2], words: &[String]) {
    let mut line = first.to_owned();
    let mut empty = true;
    for word in words {
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            out.push_str(&line);
            out.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(&line);
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_sheets::{circle, one_dancer, one_piece, panel};

    #[test]
    fn a_rectangle_is_two_stretches() {
        let job = one_dancer();
        let list = chalk_list(&job.sheet());
        let squares = list.lines().filter(|line| line.contains("along ")).count();
        assert_eq!(squares, job.places.len() + 1, "{list}");
        assert!(!list.contains("\n       ("), "{list}");
    }

    #[test]
    fn a_panel_turned_head_to_tail_keeps_its_corners() {
        let mut job = one_piece();
        job.pieces = vec![panel("front panel", "Ilka", 600, 400, 990)];
        // Turned by half a circle about its origin: (x, y) goes to (1000 - x, 1000 - y).
        job.places = vec![(0, 0, 180, false, (1_000, 1_000))];
        let list = chalk_list(&job.sheet());
        assert!(list.contains("along 1 to 100, across 40 to 100"), "{list}");
        assert!(
            list.contains("across 40 to 100; top towards the cut end"),
            "{list}"
        );
        assert!(
            list.contains("(1, 50) (1, 90) (100, 100) (100, 40)")
                || list.contains("(1, 50) (100, 40) (100, 100) (1, 90)"),
            "{list}"
        );
        assert!(list.contains("No number is rounded."), "{list}");
    }

    #[test]
    fn a_circle_is_centre_and_radius_and_rounding_is_owned_to() {
        let mut job = one_piece();
        job.pieces = vec![circle("Liv", 100, 700)];
        job.places = vec![(0, 0, 0, false, (700, 700))];
        let list = chalk_list(&job.sheet());
        assert!(list.contains("radius 70\n"), "{list}");
        assert!(list.contains("cut out: a circle round"), "{list}");
        assert!(list.contains("radius 10\n"), "{list}");
        job.units = Units::Inches;
        let list = chalk_list(&job.sheet());
        assert!(list.contains("none by more than 1/16 in"), "{list}");
        assert!(
            list.contains("radius 27 1/2\n"),
            "700 mm are 27.56 in: {list}"
        );
    }

    #[test]
    fn what_is_turned_over_says_so_in_list_and_drawing() {
        let mut job = one_piece();
        job.pieces = vec![panel("front panel", "Ilka", 600, 400, 990)];
        job.places = vec![(0, 0, 0, true, (700, 0))];
        let list = chalk_list(&job.sheet());
        assert_eq!(list.matches("turned over").count(), 2, "{list}");
        assert!(crate::marker_svg(&job.sheet()).contains("turned over"));
        job.places[0].3 = false;
        job.places[0].4 = (0, 0);
        assert!(!chalk_list(&job.sheet()).contains("turned over"));
        assert!(!crate::marker_svg(&job.sheet()).contains("turned over"));
    }

    #[test]
    fn no_line_is_longer_than_a_page_is_wide() {
        let mut job = one_piece();
        let corners: Vec<Point> = (0..40)
            .map(|i| {
                let angle = f64::from(i) * std::f64::consts::TAU / 40.0;
                Point::new((angle.cos() * 5e5) as i64, (angle.sin() * 5e5) as i64)
            })
            .collect();
        job.pieces[0].cut_path = Path::closed(&corners);
        let list = chalk_list(&job.sheet());
        assert!(
            list.lines().all(|line| line.chars().count() <= 80),
            "{list}"
        );
    }
}
