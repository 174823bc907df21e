//! One piece on the page: fill, edges, hem, notches, guides, and the words it wants.
//!
//! Cut edge solid, finished edge dashed, the hem a second, heavy line inside the cut edge (drawn by
//! clipping a broad line to the piece, so that it is plain whose hem it is where two pieces share an
//! edge).

use crate::frame::{ClothFrame, PieceFrame};
use crate::labels::{SmallWord, Wanted};
use crate::paper::{PagePath, Rect, Spot, is_inside, nearest_on};
use crate::room::{CLEARANCE, Room};
use crate::scene::{Ink, Scene, Shape};
use crate::sheet::Placed;
use crate::style::{CLOTH, DARK, QUIET};
use crate::symbols::{Mark, NOTCH_DEPTH};
use crate::view::View;
use crate::words;

/// Solid line of the cut edge.
pub(crate) const CUT: Ink = Ink::solid(DARK, 0.3);
/// Dashed line of the finished edge.
pub(crate) const FINISHED: Ink = Ink::dashed(DARK, 0.15, "1.1 0.8");
/// Guides: folds, joins, gathers.
pub(crate) const GUIDE: Ink = Ink::dashed(QUIET, 0.15, "2 0.6 0.3 0.6");
/// Notches.
pub(crate) const NOTCH: Ink = Ink::solid(DARK, 0.25);
/// The hem's heavy line as far as it is seen.
pub(crate) const HEM_REACH: f64 = 0.85;

/// A piece's lines on the page.
pub(crate) struct Drawn<'a> {
    pub(crate) placed: &'a Placed<'a>,
    cut: PagePath,
    cut_outs: Vec<PagePath>,
    finished: Vec<PagePath>,
    hem: Option<PagePath>,
    guides: Vec<(PagePath, &'a str)>,
    notches: Vec<(Mark, &'a str, Vec<PagePath>, Spot)>,
    /// Where the top of the piece points.
    up: Spot,
    pub(crate) bounds: Rect,
}

impl<'a> Drawn<'a> {
    /// The piece's lines; only its edges and its hem if `plain`.
    pub(crate) fn new(placed: &'a Placed<'a>, cloth: &ClothFrame, plain: bool) -> Self {
        let frame = PieceFrame::of(placed);
        let piece = placed.piece;
        let mut cut = cloth.piece_path(&frame, &piece.cut_path);
        if piece.cut_path.segments.is_empty() {
            let ring: Vec<Spot> = piece
                .cut
                .points()
                .iter()
                .map(|&p| cloth.piece_spot(&frame, p))
                .collect();
            cut = PagePath::ring(&ring);
        }
        cut.closed = true;
        let chain = cut.flattened();
        let path = |p| cloth.piece_path(&frame, p);
        let cut_outs: Vec<PagePath> = piece.cut_outs.iter().map(path).collect();
        let holes: Vec<Vec<Spot>> = cut_outs.iter().map(PagePath::flattened).collect();
        let in_cloth =
            |spot| is_inside(&chain, spot) && !holes.iter().any(|hole| is_inside(hole, spot));
        let shown = if plain { 0 } else { usize::MAX };
        let notches = piece
            .notches
            .iter()
            .take(shown)
            .filter_map(|notch| {
                let mark = Mark::of(notch);
                let wish = cloth.piece_spot(&frame, notch.at);
                let (at, along) = std::iter::once(&chain)
                    .chain(&holes)
                    .filter_map(|edge| nearest_on(edge, wish))
                    .min_by(|(a, _), (b, _)| a.distance(wish).total_cmp(&b.distance(wish)))?;
                let left = Spot::new(along.y, -along.x);
                let inward = if in_cloth(at.plus(left.x * 0.2, left.y * 0.2)) {
                    left
                } else {
                    Spot::new(-left.x, -left.y)
                };
                let word = at.plus(
                    inward.x * (NOTCH_DEPTH + 2.0),
                    inward.y * (NOTCH_DEPTH + 2.0),
                );
                Some((
                    mark,
                    notch.label.as_str(),
                    mark.paths(at, along, inward),
                    word,
                ))
            })
            .collect();
        Drawn {
            placed,
            bounds: Rect::around(&chain).unwrap_or_default(),
            cut_outs,
            finished: piece.finished.iter().take(shown).map(path).collect(),
            hem: piece.hem.as_ref().map(path),
            guides: piece
                .guides
                .iter()
                .take(shown)
                .map(|g| (path(&g.path), g.label.as_str()))
                .collect(),
            notches,
            up: frame.up_on_page(),
            cut,
        }
    }

    /// Draws fill and lines, seen through `clip`.
    pub(crate) fn draw(&self, scene: &mut Scene, view: &View<'_>, clip: usize) {
        let mut area = vec![self.cut.clone()];
        area.extend(self.cut_outs.iter().cloned());
        let fill = view.wearers.fill(self.placed.piece.wearer.as_deref());
        scene.fill(area.clone(), fill, Some(clip));
        if let Some(hem) = &self.hem {
            let within = scene.clip_within(clip, area.clone());
            let heavy = Ink::solid(DARK, 2.0 * HEM_REACH);
            scene.stroke(vec![hem.clone()], heavy, Some(within), true);
            scene.stroke(
                vec![hem.clone()],
                Ink::solid(CLOTH, 0.9),
                Some(within),
                false,
            );
        }
        let mut stroke = |paths: Vec<PagePath>, ink| {
            if !paths.is_empty() {
                scene.stroke(paths, ink, Some(clip), true);
            }
        };
        stroke(self.finished.clone(), FINISHED);
        stroke(area, CUT);
        if !self.guides.is_empty() {
            let guides = self.guides.iter().map(|(p, _)| p.clone()).collect();
            scene.stroke(guides, GUIDE, Some(clip), false);
        }
        for (mark, _, paths, _) in &self.notches {
            scene.shape(Shape {
                paths: paths.clone(),
                ink: Some(NOTCH),
                fill: mark.fill(),
                clip: Some(clip),
                edge: true,
            });
        }
    }

    /// The room for words inside the piece, as far as it is seen in `window`. Words keep off guides
    /// only if asked to: where a strip is narrow they may interrupt a fold line, as on any drawing.
    pub(crate) fn room(&self, window: Rect, off_guides: bool) -> Option<Room> {
        let area = self.bounds.meet(window)?;
        Some(self.room_in(area, off_guides, &|spot| spot))
    }

    /// The room for words inside the whole piece, seen on a page where every spot is `moved`.
    pub(crate) fn turned_room(&self, moved: &dyn Fn(Spot) -> Spot) -> Option<Room> {
        let ring: Vec<Spot> = self.cut.flattened().into_iter().map(moved).collect();
        Some(self.room_in(Rect::around(&ring)?, false, moved))
    }

    fn room_in(&self, area: Rect, off_guides: bool, moved: &dyn Fn(Spot) -> Spot) -> Room {
        let chain =
            |path: &PagePath| -> Vec<Spot> { path.flattened().into_iter().map(moved).collect() };
        let mut rings = vec![chain(&self.cut)];
        rings.extend(self.cut_outs.iter().map(chain));
        let mut room = Room::inside(area, &rings);
        let mut block = |path: &PagePath, clearance: f64| {
            for pair in chain(path).windows(2) {
                room.block_stretch(pair[0], pair[1], clearance);
            }
        };
        self.finished.iter().for_each(|p| block(p, CLEARANCE));
        if off_guides {
            self.guides.iter().for_each(|(p, _)| block(p, CLEARANCE));
        }
        self.hem
            .iter()
            .for_each(|p| block(p, HEM_REACH + CLEARANCE));
        self.notches
            .iter()
            .flat_map(|n| &n.2)
            .for_each(|p| block(p, CLEARANCE));
        room
    }

    /// The words of the piece.
    pub(crate) fn wanted(&self, view: &View<'_>, window: Rect) -> Wanted {
        let units = view.sheet.units;
        let mut small = Vec::new();
        if let Some(hem) = self.hem.as_ref().filter(|_| !view.plain) {
            small.extend(self.word_at(hem, "hem", HEM_REACH + 1.8, window));
        }
        for (_, label, _, wish) in &self.notches {
            if !label.is_empty() && inside(window, *wish) {
                small.push(SmallWord {
                    content: (*label).to_owned(),
                    wish: *wish,
                    turned: false,
                });
            }
        }
        for (path, label) in &self.guides {
            small.extend(self.word_at(path, label, 1.8, window));
        }
        Wanted {
            name: self.placed.piece.name.clone(),
            wearer: self.placed.piece.wearer.clone(),
            size: words::piece_size(units, self.placed.piece),
            copy: words::of_this_copy(self.placed),
            small,
            arrow: words::has_arrows(view.sheet.fabric.direction).then_some(self.up),
            arrow_in_words: !view.plain,
        }
    }

    /// A word beside the middle of a line, on the side where the piece is, along the line.
    fn word_at(&self, path: &PagePath, word: &str, off: f64, window: Rect) -> Option<SmallWord> {
        let chain = path.flattened();
        let total: f64 = chain.windows(2).map(|w| w[0].distance(w[1])).sum();
        let mut left = total / 2.0;
        let mut middle = None;
        for w in chain.windows(2) {
            let length = w[0].distance(w[1]);
            if length > 0.0 && left <= length {
                let along = Spot::new((w[1].x - w[0].x) / length, (w[1].y - w[0].y) / length);
                middle = Some((w[0].plus(along.x * left, along.y * left), along));
                break;
            }
            left -= length;
        }
        let (middle, along) = middle?;
        let side = Spot::new(along.y, -along.x);
        let ring = self.cut.flattened();
        let sign = if is_inside(&ring, middle.plus(side.x * off, side.y * off)) {
            1.0
        } else {
            -1.0
        };
        let wish = middle.plus(side.x * off * sign, side.y * off * sign);
        let turned = along.y.abs() > along.x.abs();
        inside(window, wish).then(|| SmallWord {
            content: word.to_owned(),
            wish,
            turned,
        })
    }

    /// A spot inside the piece as far as it is seen, on the upright line at `x`.
    pub(crate) fn spot_at(&self, x: f64, window: Rect) -> Option<Spot> {
        let crossings = self.crossings(x);
        let spot = Spot::new(x, (crossings.first()? + crossings.get(1)?) / 2.0);
        inside(window, spot).then_some(spot)
    }

    /// How much of an upright line at `x` between two heights lies in the piece.
    pub(crate) fn crossed(&self, x: f64, (top, foot): (f64, f64)) -> f64 {
        let around = self.bounds;
        if x < around.x || around.right() < x || foot < around.y || around.bottom() < top {
            return 0.0;
        }
        let crossings = self.crossings(x);
        let spans = crossings.chunks_exact(2);
        spans
            .map(|span| (span[1].min(foot) - span[0].max(top)).max(0.0))
            .sum()
    }

    /// Where the upright line at `x` meets the cut edge, from the top.
    fn crossings(&self, x: f64) -> Vec<f64> {
        let mut crossings: Vec<f64> = self
            .cut
            .flattened()
            .windows(2)
            .filter(|w| (w[0].x <= x) != (w[1].x <= x))
            .map(|w| w[0].y + (x - w[0].x) / (w[1].x - w[0].x) * (w[1].y - w[0].y))
            .collect();
        crossings.sort_by(f64::total_cmp);
        crossings
    }
}

fn inside(rect: Rect, spot: Spot) -> bool {
    (rect.x..=rect.right()).contains(&spot.x) && (rect.y..=rect.bottom()).contains(&spot.y)
}
