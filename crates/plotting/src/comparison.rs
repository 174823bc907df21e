//! [`comparison_sheet`]: the markers of several choices at one scale on one page.
//!
//! Cells (caption above, cloth below) are set side by side in rows from the left, a new row where the
//! page ends. Wearers look the same in all cells, and one key serves all. Scales and pages are tried
//! as for a single marker; what fits none gets a page of its own height.

use crate::bands::{self, Band, Listed};
use crate::block::{self, COLUMN, GUTTER, Row};
use crate::font::{shorten, shorten_to};
use crate::page::{self, A3, MARGIN, Page, SCALES};
use crate::paper::Spot;
use crate::scene::{Anchor, Ink, Scene, Text};
use crate::sheet::{Choice, Sheet};
use crate::style::{FAINT, Wearers};
use crate::title;
use crate::view::View;

/// Paper under the heading, mm.
const HEAD: f64 = 11.0;
/// Size of the heading, mm.
const HEADING: f64 = 5.0;

/// The sheets' markers at the same scale on one page, each with caption and verdict, as SVG in
/// millimetres of paper. The same sheets give the same bytes.
#[must_use]
pub fn comparison_sheet(title: &str, choices: &[Choice<'_>]) -> String {
    comparison_scene(title, choices).write()
}

pub(crate) fn comparison_scene(title: &str, choices: &[Choice<'_>]) -> Scene {
    let sheets: Vec<&Sheet<'_>> = choices.iter().flat_map(|c| &c.cloths).collect();
    let wearers = Wearers::of(&sheets);
    let views: Vec<(String, View<'_>)> = choices
        .iter()
        .flat_map(|choice| choice.cloths.iter().map(move |sheet| (choice, sheet)))
        .map(|(choice, sheet)| (caption(choice, sheet), View::new(sheet, &wearers)))
        .collect();
    page::choices()
        .find_map(|(scale, page)| on_page(title, &views, &wearers, (scale, page), false))
        .or_else(|| {
            let scale = SCALES[SCALES.len() - 1];
            let own = Page {
                name: "a page of its own height",
                height: f64::INFINITY,
                ..A3
            };
            on_page(title, &views, &wearers, (scale, own), true)
        })
        .unwrap_or_default()
}

/// One marker with its caption.
struct Cell {
    bands: Vec<Band>,
    caption: Vec<Row>,
    size: (f64, f64),
    caption_height: f64,
}

/// What a choice is called over one of its cloths.
fn caption(choice: &Choice<'_>, sheet: &Sheet<'_>) -> String {
    let label = shorten_to(&choice.label, 60);
    if choice.cloths.len() == 1 {
        return label;
    }
    format!("{label}: {}", shorten_to(&sheet.fabric.name, 40))
}

fn cell((caption, view): &(String, View<'_>), scale: f64, wide: f64) -> Option<Cell> {
    let (_, bands, width) = (1..=10_000)
        .map(|n| {
            let bands = bands::split(view.drawn, n, view.sheet.units);
            let width = bands
                .iter()
                .map(|&b| bands::outer_size(view, b, scale).0)
                .fold(0.0, f64::max);
            (n, bands, width)
        })
        .find(|(_, _, width)| *width <= wide)?;
    let mut caption = vec![Row::words(caption, 3.4, true)];
    caption.extend(title::verdict_rows(view));
    caption.extend(title::number_rows(view));
    let caption_height = block::height_in(&caption, 1) + 2.0;
    let high: f64 = bands
        .iter()
        .map(|&b| bands::outer_size(view, b, scale).1)
        .sum();
    Some(Cell {
        size: (width.max(COLUMN), high + caption_height),
        bands,
        caption,
        caption_height,
    })
}

fn on_page(
    title: &str,
    views: &[(String, View<'_>)],
    wearers: &Wearers,
    (scale, page): (f64, Page),
    endless: bool,
) -> Option<Scene> {
    let (wide, high) = page.inside();
    let cells: Vec<Cell> = views
        .iter()
        .map(|v| cell(v, scale, wide))
        .collect::<Option<Vec<_>>>()?;
    let mut corners = Vec::new();
    let (mut x, mut y, mut row_height) = (0.0_f64, HEAD, 0.0_f64);
    for cell in &cells {
        if x > 0.0 && x + cell.size.0 > wide {
            (x, y, row_height) = (0.0, y + row_height + GUTTER, 0.0);
        }
        corners.push(Spot::new(MARGIN + x, MARGIN + y));
        x += cell.size.0 + GUTTER;
        row_height = row_height.max(cell.size.1);
    }
    let below = y + row_height + GUTTER;
    let columns = ((wide + GUTTER) / (COLUMN + GUTTER)).floor().max(1.0) as usize;
    let rows = |listed: &[Listed]| -> Vec<Row> {
        let mut rows = Vec::new();
        if let Some((_, first)) = views.first() {
            rows.push(Row::fact("scale", &page.words(scale)));
            rows.extend(title::wearer_rows(first));
        }
        rows.extend(title::sign_rows(
            &views.iter().map(|v| &v.1).collect::<Vec<_>>(),
        ));
        rows.extend(title::list_rows(listed));
        rows
    };
    if !endless && below + block::height_in(&rows(&[]), columns) > high {
        return None;
    }
    let mut scene = Scene::new(page.width, page.height);
    scene.title = title.to_owned();
    scene.definitions = wearers.definitions();
    let heading = shorten(title, HEADING, true, wide);
    let at = Spot::new(MARGIN, MARGIN + HEADING);
    scene.text(Text::new(at, HEADING, Anchor::Start, heading).bold());
    let mut listed = Vec::new();
    for (((_, view), cell), corner) in views.iter().zip(&cells).zip(&corners) {
        block::draw(&mut scene, &cell.caption, *corner, cell.caption_height);
        let mut at = corner.plus(0.0, cell.caption_height);
        for index in 0..cell.bands.len() {
            bands::draw(
                &mut scene,
                view,
                &cell.bands,
                index,
                (at, scale),
                &mut listed,
            );
            at.y += bands::outer_size(view, cell.bands[index], scale).1;
        }
    }
    let rows = rows(&listed);
    let height = block::height_in(&rows, columns);
    if endless {
        scene.height = MARGIN + below + height + MARGIN;
    } else if below + height > high {
        return None;
    }
    block::draw(&mut scene, &rows, Spot::new(MARGIN, MARGIN + below), height);
    let border = title::border(scene.width, scene.height, MARGIN);
    scene.stroke(vec![border], Ink::solid(FAINT, 0.25), None, false);
    Some(scene)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_sheets as jobs;
    use pieces::Direction;

    #[test]
    fn markers_share_one_scale_and_no_words_meet() {
        let (first, second) = (jobs::one_dancer(), jobs::too_short());
        let third = jobs::many(12, Direction::None);
        let choice = |label: &str, cloths| Choice {
            label: label.into(),
            cloths,
        };
        for (name, choices) in [
            (
                "compare-two",
                vec![
                    choice("1.5 m on hand", vec![first.sheet()]),
                    choice("1 m on hand", vec![second.sheet()]),
                ],
            ),
            (
                "compare-three",
                vec![
                    choice("1.5 m on hand", vec![first.sheet()]),
                    choice("1 m and a print", vec![second.sheet(), third.sheet()]),
                ],
            ),
        ] {
            let scene = comparison_scene("Harvest festival: 1 m or 1.5 m?", &choices);
            if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
                let path = std::path::Path::new(&folder).join(format!("{name}.svg"));
                std::fs::write(path, scene.write()).unwrap();
            }
            assert!(
                scene.overlaps().is_empty(),
                "{name}: {:#?}",
                scene.overlaps()
            );
            let count = |w: &str| scene.texts().filter(|t| t.content == w).count();
            assert_eq!(count("Not enough, proved"), 1);
            assert_eq!(count("Enough"), 1);
            assert_eq!(count("scale"), 1, "one scale for all");
        }
    }

    #[test]
    fn no_sheets_make_a_page_with_its_heading() {
        let scene = comparison_scene("Nothing yet", &[]);
        assert!(scene.texts().any(|t| t.content == "Nothing yet"));
    }
}
