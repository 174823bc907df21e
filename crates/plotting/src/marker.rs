//! [`marker_svg`]: one cloth with its marker on one page, to scale.
//!
//! Scales and pages are tried in the order of `page`; on each, the title block beside the
//! cloth and then below it, with as few bands as the width allows. The first that holds everything is
//! taken. Where some pieces are then too small even for a number, a larger scale is tried, if it shows
//! them all. A cloth too long for the last of them gets a page of its own height.

use crate::bands::{self, Band, Listed};
use crate::block::{self, COLUMN, GUTTER, Row};
use crate::page::{A3, MARGIN, Page, SCALES, choices, larger};
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
    let view = View::new(sheet, &wearers);
    let first = |mut pages: Box<dyn Iterator<Item = (f64, Page)>>, must_name: bool| {
        pages.find_map(|(scale, page)| {
            [Title::Beside, Title::Below].into_iter().find_map(|title| {
                on_page(&view, scale, page, title, false)
                    .filter(|(_, unnamed)| !must_name || *unnamed == 0)
            })
        })
    };
    let usual = first(Box::new(choices()), false);
    if let Some((_, unnamed)) = &usual
        && *unnamed > 0
        && let Some((better, _)) = first(Box::new(larger()), true)
    {
        return better;
    }
    usual
        .or_else(|| {
            let scale = SCALES[SCALES.len() - 1];
            let own = Page {
                name: "a page of its own height",
                height: f64::INFINITY,
                ..A3
            };
            on_page(&view, scale, own, Title::Below, true)
        })
        .map_or_else(Scene::default, |(scene, _)| scene)
}

/// The drawing, and how many pieces are left without words and without a number; `None` if it does
/// not fit.
fn on_page(
    view: &View<'_>,
    scale: f64,
    page: Page,
    title: Title,
    endless: bool,
) -> Option<(Scene, usize)> {
    let (wide, high) = page.inside();
    let rows = |listed: &[Listed]| -> Vec<Row> {
        let mut rows = title::title_rows(view, &page.words(scale));
        rows.extend(title::wearer_rows(view));
        rows.extend(title::sign_rows(&[view]));
        rows.extend(title::list_rows(listed));
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
    let before = space(&rows(&[]))?;
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
    let mut listed = Vec::new();
    let mut corner = Spot::new(MARGIN, MARGIN);
    for index in 0..bands.len() {
        bands::draw(
            &mut scene,
            view,
            &bands,
            index,
            (corner, scale),
            &mut listed,
        );
        corner.y += bands::outer_size(view, bands[index], scale).1 + BETWEEN;
    }
    let rows = rows(&listed);
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
    let unnamed = listed.iter().filter(|l| !l.shown).count();
    Some((scene, unnamed))
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
