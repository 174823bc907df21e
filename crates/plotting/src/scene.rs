//! What a drawing consists of before it is written: shapes and texts in millimetres.
//!
//! Keeping the drawing as a list first lets a test (and the placing of labels) ask what an SVG text
//! cannot be asked: where every text box and every edge of a piece lies. [`Scene::overlaps`] answers
//! the question that matters, and [`Scene::write`] makes the SVG.

use std::fmt::Write as _;

use crate::font;
use crate::paper::{PagePath, Rect, Spot};
#[cfg(test)]
use crate::paper::{clip_stretch, is_inside};
use crate::style::{DARK, PAGE};
use crate::svg::{escape, number, path_data};

/// Signs are no larger than this, mm.
const SMALL: f64 = 3.0;

/// Which end of the text its spot is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// Which way a line of text reads.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Slope {
    /// To the right.
    #[default]
    Level,
    /// Upwards.
    Upright,
    /// To the right and upwards, at 45 degrees.
    Rising,
    /// To the right and downwards, at 45 degrees.
    Falling,
}

impl Slope {
    /// Clockwise, as SVG counts.
    pub(crate) const fn degrees(self) -> f64 {
        match self {
            Slope::Level => 0.0,
            Slope::Upright => -90.0,
            Slope::Rising => -45.0,
            Slope::Falling => 45.0,
        }
    }

    pub(crate) const fn upright(turned: bool) -> Slope {
        if turned { Slope::Upright } else { Slope::Level }
    }
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Text {
    /// On the baseline.
    pub(crate) at: Spot,
    pub(crate) size: f64,
    pub(crate) bold: bool,
    pub(crate) anchor: Anchor,
    pub(crate) slope: Slope,
    pub(crate) ink: &'static str,
    /// True if a ground hides what runs beneath it.
    pub(crate) on_ground: bool,
    pub(crate) content: String,
}

impl Text {
    pub(crate) fn new(at: Spot, size: f64, anchor: Anchor, content: impl Into<String>) -> Self {
        Text {
            at,
            size,
            bold: false,
            anchor,
            slope: Slope::Level,
            ink: DARK,
            on_ground: false,
            content: content.into(),
        }
    }

    pub(crate) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    pub(crate) fn slope(mut self, slope: Slope) -> Self {
        self.slope = slope;
        self
    }

    pub(crate) fn on_ground(mut self) -> Self {
        self.on_ground = true;
        self
    }

    pub(crate) fn ink(mut self, ink: &'static str) -> Self {
        self.ink = ink;
        self
    }

    /// The rectangle that the text lies in before it is turned about its spot, whatever letters it has.
    pub(crate) fn level_bounds(&self) -> Rect {
        let width = font::width(&self.content, self.size, self.bold);
        let before = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => width / 2.0,
            Anchor::End => width,
        };
        let up = font::ascent(&self.content) * self.size;
        let height = up + font::DESCENT * self.size;
        Rect::new(self.at.x - before, self.at.y - up, width, height)
    }

    /// The corners of the rectangle that the text lies in.
    pub(crate) fn corners(&self) -> [Spot; 4] {
        self.level_bounds()
            .corners()
            .map(|corner| corner.turned(self.at, self.slope.degrees()))
    }

    /// The upright rectangle round the text.
    pub(crate) fn bounds(&self) -> Rect {
        match self.slope {
            Slope::Level => self.level_bounds(),
            _ => Rect::around(&self.corners()).unwrap_or_default(),
        }
    }

    /// The middle line of the text, and half its height.
    pub(crate) fn middle_line(&self) -> (Spot, Spot, f64) {
        let level = self.level_bounds();
        let turned = |x: f64| Spot::new(x, level.centre().y).turned(self.at, self.slope.degrees());
        (turned(level.x), turned(level.right()), level.h / 2.0)
    }
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Ink {
    pub(crate) colour: &'static str,
    pub(crate) weight: f64,
    /// SVG dash list, empty for a solid line.
    pub(crate) dash: &'static str,
}

impl Ink {
    pub(crate) const fn solid(colour: &'static str, weight: f64) -> Self {
        Ink {
            colour,
            weight,
            dash: "",
        }
    }

    pub(crate) const fn dashed(colour: &'static str, weight: f64, dash: &'static str) -> Self {
        Ink {
            colour,
            weight,
            dash,
        }
    }
}

/// What an area is filled with.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Fill {
    Nothing,
    Plain(&'static str),
    Pattern(String),
}

/// Paths drawn as one.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shape {
    pub(crate) paths: Vec<PagePath>,
    pub(crate) ink: Option<Ink>,
    pub(crate) fill: Fill,
    /// Index into the scene's clips.
    pub(crate) clip: Option<usize>,
    /// True for what no text may touch: edges, grain lines, hem marks, notches, leader lines.
    pub(crate) edge: bool,
}

#[derive(Clone, Debug, PartialEq)]
enum Mark {
    Shape(Shape),
    Text(Text),
}

#[derive(Clone, Debug, PartialEq)]
struct Clip {
    rect: Rect,
    within: Vec<PagePath>,
    parent: Option<usize>,
}

/// A drawing: its size, its patterns, its marks in the order they are painted.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Scene {
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) title: String,
    pub(crate) definitions: String,
    clips: Vec<Clip>,
    marks: Vec<Mark>,
    /// Boxes of the texts, in the order they came.
    text_boxes: Vec<Rect>,
}

impl Scene {
    /// An empty page, millimetres.
    pub(crate) fn new(width: f64, height: f64) -> Self {
        Scene {
            width,
            height,
            ..Scene::default()
        }
    }

    /// A clip to `rect`.
    pub(crate) fn clip(&mut self, rect: Rect) -> usize {
        self.clips.push(Clip {
            rect,
            within: Vec::new(),
            parent: None,
        });
        self.clips.len() - 1
    }

    /// A clip to the inside of closed paths, within another clip.
    pub(crate) fn clip_within(&mut self, parent: usize, paths: Vec<PagePath>) -> usize {
        let rect = self.clips[parent].rect;
        self.clips.push(Clip {
            rect,
            within: paths,
            parent: Some(parent),
        });
        self.clips.len() - 1
    }

    pub(crate) fn shape(&mut self, shape: Shape) {
        self.marks.push(Mark::Shape(shape));
    }

    /// A line that texts may touch.
    pub(crate) fn line(&mut self, a: Spot, b: Spot, ink: Ink) {
        self.stroke(vec![PagePath::line(a, b)], ink, None, false);
    }

    pub(crate) fn stroke(
        &mut self,
        paths: Vec<PagePath>,
        ink: Ink,
        clip: Option<usize>,
        edge: bool,
    ) {
        self.shape(Shape {
            paths,
            ink: Some(ink),
            fill: Fill::Nothing,
            clip,
            edge,
        });
    }

    pub(crate) fn fill(&mut self, paths: Vec<PagePath>, fill: Fill, clip: Option<usize>) {
        self.shape(Shape {
            paths,
            ink: None,
            fill,
            clip,
            edge: false,
        });
    }

    pub(crate) fn text(&mut self, text: Text) {
        self.text_boxes.push(text.bounds());
        self.marks.push(Mark::Text(text));
    }

    /// Boxes of small signs that no text may touch: notches, and what else is no larger.
    pub(crate) fn signs(&self) -> Vec<Rect> {
        let shapes = self.marks.iter().filter_map(|mark| match mark {
            Mark::Shape(shape) => Some(shape),
            Mark::Text(_) => None,
        });
        let paths = shapes.filter(|s| s.edge).flat_map(|s| &s.paths);
        let boxes = paths.filter_map(|path| Rect::around(&path.flattened()));
        boxes.filter(|b| b.w.max(b.h) <= SMALL).collect()
    }

    /// Boxes of the texts, in the order they came.
    pub(crate) fn text_boxes(&self) -> &[Rect] {
        &self.text_boxes
    }

    #[cfg(test)]
    pub(crate) fn texts(&self) -> impl Iterator<Item = &Text> + '_ {
        self.marks.iter().filter_map(|m| match m {
            Mark::Text(t) => Some(t),
            Mark::Shape(_) => None,
        })
    }

    #[cfg(test)]
    pub(crate) fn shapes(&self) -> impl Iterator<Item = &Shape> + '_ {
        self.marks.iter().filter_map(|m| match m {
            Mark::Shape(s) => Some(s),
            Mark::Text(_) => None,
        })
    }

    /// Every text that meets another text, an edge, or the border of the page: none in a good
    /// drawing. Edges count where they are seen, and with half their weight.
    #[cfg(test)]
    pub(crate) fn overlaps(&self) -> Vec<String> {
        let texts: Vec<(&Text, Rect)> = self.texts().map(|t| (t, t.bounds())).collect();
        let page = Rect::new(0.0, 0.0, self.width, self.height);
        let mut found = Vec::new();
        for (k, (text, rect)) in texts.iter().enumerate() {
            for (other, at) in &texts[k + 1..] {
                if rect.overlaps(*at) && quads_overlap(text.corners(), other.corners()) {
                    found.push(format!("`{}` meets `{}`", text.content, other.content));
                }
            }
            if rect.x < 0.0 || rect.y < 0.0 || rect.right() > page.w || rect.bottom() > page.h {
                found.push(format!("`{}` leaves the page", text.content));
            }
        }
        for shape in self.shapes().filter(|s| s.edge) {
            let seen = shape.clip.map_or(page, |c| self.clips[c].rect);
            let weight = shape.ink.map_or(0.0, |ink| ink.weight / 2.0);
            // A line that is clipped to a piece is not seen outside it.
            let within: Vec<Vec<Spot>> = shape.clip.map_or_else(Vec::new, |c| {
                self.clips[c]
                    .within
                    .iter()
                    .map(PagePath::flattened)
                    .collect()
            });
            let reach = |rect: &Rect| {
                let inside = within
                    .iter()
                    .filter(|ring| is_inside(ring, rect.centre()))
                    .count()
                    % 2
                    == 1;
                if within.is_empty() || inside {
                    weight
                } else {
                    0.0
                }
            };
            for path in &shape.paths {
                for pair in path.flattened().windows(2) {
                    let Some((a, b)) = clip_stretch(pair[0], pair[1], seen) else {
                        continue;
                    };
                    for (text, rect) in texts.iter().filter(|(t, _)| !t.on_ground) {
                        // Seen from the text, which is level then.
                        let level = |s: Spot| s.turned(text.at, -text.slope.degrees());
                        let around = text.level_bounds().inflated(reach(rect));
                        if clip_stretch(level(a), level(b), around).is_some() {
                            found.push(format!("`{}` meets an edge at {a:?}", text.content));
                        }
                    }
                }
            }
        }
        found
    }

    /// The drawing as SVG: one user unit is one millimetre.
    pub(crate) fn write(&self) -> String {
        let (w, h) = (number(self.width), number(self.height));
        let mut out = format!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" \
             width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"{}\">\n\
             <title>{}</title>\n<defs>\n{}",
            font::FAMILY,
            escape(&self.title),
            self.definitions
        );
        for (k, clip) in self.clips.iter().enumerate() {
            let d = if clip.within.is_empty() {
                path_data(&[clip.rect.path()])
            } else {
                path_data(&clip.within)
            };
            let _ = writeln!(
                out,
                "<clipPath id=\"c{k}\"><path d=\"{d}\" clip-rule=\"evenodd\"/></clipPath>"
            );
        }
        let _ = writeln!(
            out,
            "</defs>\n<path d=\"M0 0H{w}V{h}H0Z\" fill=\"{PAGE}\"/>"
        );
        for mark in &self.marks {
            match mark {
                Mark::Shape(shape) => {
                    // A clip within a clip is written as a group, which every reader understands.
                    let outer = shape.clip.and_then(|c| self.clips[c].parent);
                    if let Some(outer) = outer {
                        let _ = write!(out, "<g clip-path=\"url(#c{outer})\">");
                    }
                    write_shape(&mut out, shape);
                    if outer.is_some() {
                        out.push_str("</g>\n");
                    }
                }
                Mark::Text(text) => write_text(&mut out, text),
            }
        }
        out.push_str("</svg>\n");
        out
    }
}

/// True if two convex quadrilaterals share some inside: no side of either has the other beyond it.
#[cfg(test)]
fn quads_overlap(a: [Spot; 4], b: [Spot; 4]) -> bool {
    let apart = |quad: [Spot; 4], other: [Spot; 4]| {
        (0..4).any(|k| {
            let (p, q) = (quad[k], quad[(k + 1) % 4]);
            let side = |s: Spot| (q.x - p.x) * (s.y - p.y) - (q.y - p.y) * (s.x - p.x);
            // Corners run clockwise on the page, so the inside is where `side` is positive.
            other.iter().all(|&s| side(s) <= 1e-9)
        })
    };
    !apart(a, b) && !apart(b, a)
}

fn write_shape(out: &mut String, shape: &Shape) {
    let _ = write!(out, "<path d=\"{}\"", path_data(&shape.paths));
    let _ = match &shape.fill {
        Fill::Nothing => write!(out, " fill=\"none\""),
        Fill::Plain(colour) => write!(out, " fill=\"{colour}\" fill-rule=\"evenodd\""),
        Fill::Pattern(name) => write!(out, " fill=\"url(#{name})\" fill-rule=\"evenodd\""),
    };
    if let Some(ink) = shape.ink {
        let _ = write!(
            out,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
            ink.colour,
            number(ink.weight)
        );
        if !ink.dash.is_empty() {
            let _ = write!(out, " stroke-dasharray=\"{}\"", ink.dash);
        }
    }
    if let Some(clip) = shape.clip {
        let _ = write!(out, " clip-path=\"url(#c{clip})\"");
    }
    out.push_str("/>\n");
}

fn write_text(out: &mut String, text: &Text) {
    let (x, y) = (number(text.at.x), number(text.at.y));
    let _ = write!(
        out,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\"",
        number(text.size),
        text.ink
    );
    let _ = match text.anchor {
        Anchor::Start => Ok(()),
        Anchor::Middle => write!(out, " text-anchor=\"middle\""),
        Anchor::End => write!(out, " text-anchor=\"end\""),
    };
    if text.bold {
        out.push_str(" font-weight=\"bold\"");
    }
    if text.slope != Slope::Level {
        let degrees = number(text.slope.degrees());
        let _ = write!(out, " transform=\"rotate({degrees} {x} {y})\"");
    }
    let _ = writeln!(out, ">{}</text>", escape(&text.content));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scene() -> Scene {
        Scene::new(100.0, 50.0)
    }

    #[test]
    fn overlapping_texts_edges_and_borders_are_found() {
        let mut good = scene();
        good.text(Text::new(Spot::new(10.0, 10.0), 3.0, Anchor::Start, "Ilka"));
        good.text(Text::new(Spot::new(10.0, 14.0), 3.0, Anchor::Start, "Ilka"));
        assert!(good.overlaps().is_empty());

        let mut close = good.clone();
        close.text(Text::new(Spot::new(12.0, 11.0), 3.0, Anchor::Start, "Mara"));
        assert_eq!(close.overlaps().len(), 2);

        let mut crossed = good.clone();
        let line = PagePath::line(Spot::new(0.0, 9.0), Spot::new(50.0, 9.0));
        crossed.stroke(vec![line], Ink::solid(DARK, 0.2), None, true);
        assert_eq!(crossed.overlaps().len(), 1);

        let mut outside = good.clone();
        outside.text(Text::new(Spot::new(99.0, 40.0), 3.0, Anchor::Start, "Mara"));
        assert_eq!(outside.overlaps().len(), 1);
    }

    #[test]
    fn an_edge_that_is_clipped_away_meets_nothing() {
        let mut scene = scene();
        scene.text(Text::new(Spot::new(10.0, 10.0), 3.0, Anchor::Start, "Ilka"));
        let clip = scene.clip(Rect::new(50.0, 0.0, 50.0, 50.0));
        let line = PagePath::line(Spot::new(0.0, 9.0), Spot::new(90.0, 9.0));
        scene.stroke(vec![line], Ink::solid(DARK, 0.2), Some(clip), true);
        assert!(scene.overlaps().is_empty());
    }

    #[test]
    fn texts_at_45_degrees_meet_only_where_their_letters_do() {
        let text = |x: f64, y: f64| {
            Text::new(Spot::new(x, y), 3.0, Anchor::Middle, "length").slope(Slope::Rising)
        };
        let mut side_by_side = scene();
        side_by_side.text(text(30.0, 30.0));
        side_by_side.text(text(33.5, 33.5));
        let (a, b) = (text(30.0, 30.0).bounds(), text(33.5, 33.5).bounds());
        assert!(a.overlaps(b), "the rectangles round them do meet");
        assert!(side_by_side.overlaps().is_empty());
        let mut close = side_by_side.clone();
        close.text(text(31.7, 31.7));
        assert_eq!(close.overlaps().len(), 2);
        // A level line above the middle of a rising text crosses its far end only.
        let line = PagePath::line(Spot::new(0.0, 27.0), Spot::new(29.0, 27.0));
        side_by_side.stroke(vec![line], Ink::solid(DARK, 0.1), None, true);
        assert!(side_by_side.overlaps().is_empty());
        let line = PagePath::line(Spot::new(0.0, 27.0), Spot::new(32.5, 27.0));
        side_by_side.stroke(vec![line], Ink::solid(DARK, 0.1), None, true);
        assert_eq!(side_by_side.overlaps().len(), 1);
    }

    #[test]
    fn a_turned_text_stands_upright_above_its_start() {
        let text =
            Text::new(Spot::new(20.0, 40.0), 3.0, Anchor::Start, "length").slope(Slope::Upright);
        let bounds = text.bounds();
        assert!(bounds.h > bounds.w && (bounds.bottom() - 40.0).abs() < 1e-9);
        assert!(bounds.right() > 20.0 && bounds.x < 20.0);
    }
}
