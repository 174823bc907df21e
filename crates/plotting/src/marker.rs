//! [`marker_svg`]: one cloth with its marker on one page, to scale.
//!
//! Scales and pages are tried in the order of `page`; on each, the title block beside the cloth and below
//! it, with as few bands as the width allows. The first that holds everything is taken. Bare cloth that
//! would cost a scale, a larger page or a band is broken off. Where some pieces are then too small even for
//! a number, a larger scale is tried, if it shows them all. A cloth too long for the last of them gets a
//! page of its own height.

use crate::bands::{self, Band};
use crate::block::{self, COLUMN, GUTTER, Row};
use crate::list::List;
use crate::page::{A3, A4, LARGER, MARGIN, Page, SCALES};
use crate::paper::Spot;
use crate::scene::{Ink, Scene};
use crate::sheet::Sheet;
use crate::style::{FAINT, Wearers};
use crate::title;
use crate::view::View;
use crate::words;

/// Paper between bands, mm.
const BETWEEN: f64 = 3.0;

/// Most bands that are tried on a page.
const MOST_BANDS: i64 = 12;

/// The marker of one cloth as SVG: width and height in millimetres of paper, one user unit one
/// millimetre, so that printing at 100 % keeps the scale that the title block states. The cloth lies
/// along the page, its right side up: along runs to the right, across runs down. The same sheet gives
/// the same bytes.
#[must_use]
pub fn marker_svg(sheet: &Sheet<'_>) -> String {
    marker_scene(sheet).write()
}

/// Where the title block goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Title {
    Beside,
    Below,
}

pub(crate) fn marker_scene(sheet: &Sheet<'_>) -> Scene {
    let wearers = Wearers::of(&[sheet]);
    let whole = View::new(sheet, &wearers);
    let views: Vec<View<'_>> = [Some(whole.clone()), whole.broken_off()]
        .into_iter()
        .flatten()
        .collect();
    // The whole cloth is shown unless it takes more bands than without its bare end.
    let first = |scales: &[f64], must_name: bool| {
        scales.iter().find_map(|&scale| {
            [A4, A3].into_iter().find_map(|page| {
                views
                    .iter()
                    .filter_map(|view| on_either_side(view, scale, page))
                    .filter(|drawing| !must_name || drawing.unnamed == 0)
                    .min_by_key(|drawing| drawing.bands)
            })
        })
    };
    let usual = first(&SCALES, false);
    if usual.as_ref().is_some_and(|drawing| drawing.unnamed > 0)
        && let Some(better) = first(&LARGER, true)
    {
        return better.scene;
    }
    usual
        .or_else(|| {
            let own = Page {
                name: "a page of its own height",
                height: f64::INFINITY,
                ..A3
            };
            let shortest = views.last().unwrap_or(&whole);
            on_page(shortest, SCALES[SCALES.len() - 1], own, Title::Below, true)
        })
        .map_or_else(Scene::default, |drawing| drawing.scene)
}

/// A page with a marker.
struct Drawing {
    scene: Scene,
    /// Pieces that are left without words and without a number.
    unnamed: usize,
    bands: usize,
}

/// The page with the title beside the cloth or below it, whichever needs fewer breaks.
fn on_either_side(view: &View<'_>, scale: f64, page: Page) -> Option<Drawing> {
    let beside = on_page(view, scale, page, Title::Beside, false);
    if beside.as_ref().is_some_and(|drawing| drawing.bands == 1) {
        return beside;
    }
    let below = on_page(view, scale, page, Title::Below, false);
    match (beside, below) {
        (Some(beside), Some(below)) if below.bands < beside.bands => Some(below),
        (beside, below) => beside.or(below),
    }
}

/// The drawing; `None` if it does not fit.
fn on_page(
    view: &View<'_>,
    scale: f64,
    page: Page,
    title: Title,
    endless: bool,
) -> Option<Drawing> {
    let (wide, high) = page.inside();
    let rows = |list: &List<'_>| -> Vec<Row> {
        let mut rows = title::title_rows(view, &page.words(scale));
        rows.extend(title::wearer_rows(view));
        rows.extend(title::sign_rows(&[view]));
        if list.goes_on {
            rows.push(title::goes_on_row());
        }
        rows.extend(list.rows(true));
        rows
    };
    // Columns that the rows take, and what is left for the cloth.
    let space = |rows: &[Row]| -> Option<(f64, f64)> {
        match title {
            Title::Beside => {
                let columns = block::columns_at(rows, high)?;
                Some((wide - block::width_of(columns) - GUTTER, high))
            }
            Title::Below => {
                let columns = ((wide + GUTTER) / (COLUMN + GUTTER)).floor().max(1.0) as usize;
                Some((wide, high - block::height_in(rows, columns) - GUTTER))
            }
        }
    };
    let fits = |bands: &[Band], (w, h): (f64, f64)| {
        let sizes = bands.iter().map(|&b| bands::outer_size(view, b, scale));
        let (width, height) = sizes.fold((0.0_f64, -BETWEEN), |(w, h), s| {
            (w.max(s.0), h + s.1 + BETWEEN)
        });
        width <= w && height <= h
    };
    let mut list = List::of(&[view]);
    let before = space(&rows(&list))?;
    let most = if endless { 10_000 } else { MOST_BANDS };
    let bands = (1..=most)
        .map(|n| bands::split(view.drawn, n, view.sheet.units))
        .find(|b| bands_width(view, b, scale) <= before.0)?;
    if !endless && !fits(&bands, before) {
        return None;
    }
    let mut scene = Scene::new(page.width, page.height);
    scene.title = format!("{}: {}", view.sheet.job, words::verdict(view).0);
    scene.definitions = view.wearers.definitions();
    let mut corner = Spot::new(MARGIN, MARGIN);
    for index in 0..bands.len() {
        bands::draw(&mut scene, view, &bands, index, (corner, scale), &mut list);
        corner.y += bands::outer_size(view, bands[index], scale).1 + BETWEEN;
    }
    let rows = rows(&list);
    if !endless && !fits(&bands, space(&rows)?) {
        return None;
    }
    place_title(&mut scene, &rows, title, corner.y, (wide, high), endless);
    scene.stroke(
        vec![title::border(scene.width, scene.height, MARGIN)],
        Ink::solid(FAINT, 0.25),
        None,
        false,
    );
    Some(Drawing {
        scene,
        unnamed: list.unshown,
        bands: bands.len(),
    })
}

fn bands_width(view: &View<'_>, bands: &[Band], scale: f64) -> f64 {
    bands
        .iter()
        .map(|&b| bands::outer_size(view, b, scale).0)
        .fold(0.0, f64::max)
}

fn place_title(
    scene: &mut Scene,
    rows: &[Row],
    title: Title,
    below: f64,
    (wide, high): (f64, f64),
    endless: bool,
) {
    match title {
        Title::Beside => {
            let columns = block::columns_at(rows, high).unwrap_or(1);
            let x = MARGIN + wide - block::width_of(columns);
            let line = x - GUTTER / 2.0;
            scene.line(
                Spot::new(line, MARGIN),
                Spot::new(line, MARGIN + high),
                Ink::solid(FAINT, 0.25),
            );
            block::draw(scene, rows, Spot::new(x, MARGIN), high);
        }
        Title::Below => {
            let columns = ((wide + GUTTER) / (COLUMN + GUTTER)).floor().max(1.0) as usize;
            let height = block::height_in(rows, columns);
            if endless {
                scene.height = below + GUTTER + height + MARGIN;
            }
            block::draw(scene, rows, Spot::new(MARGIN, below + GUTTER / 2.0), height);
        }
    }
}

#[cfg(test)]
#[path = "marker_tests.rs"]
mod tests;
