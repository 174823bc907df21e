//! [`comparison_sheet`]: the markers of several choices at one scale on one page.
//!
//! A sheet to look at, not to cut by: pieces have their cut edges, hems and words only. Cells (a cloth
//! with its caption) are poured into columns, each cell into the shortest so far. For every scale, from
//! the largest, one to four columns are tried, with captions above the cloths and beside them; the
//! first that fits the page is taken. Wearers look the same in all cells, the same piece bears the same
//! number in all, and one key serves all. What fits no page gets one of its own height.

use crate::bands::{self, Band};
use crate::block::{self, COLUMN, GUTTER, Row};
use crate::font::{shorten, shorten_to};
use crate::list::List;
use crate::page::{A3, A4, MARGIN, Page};
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

/// Cloth millimetres to one on paper. Nobody measures on this sheet, so there are more of them than
/// for a marker.
const SCALES: [f64; 12] = [
    2.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0,
];

/// Scales for a page of its own height, and the most bands of one cloth on it at all but the last.
const ENDLESS: [f64; 3] = [25.0, 50.0, 100.0];
const MOST_BANDS: usize = 8;

/// The choices' markers at the same scale on one page, each with caption and verdict, as SVG in
/// millimetres of paper. A choice that cannot be cut is named. The same choices give the same bytes.
#[must_use]
pub fn comparison_sheet(title: &str, choices: &[Choice<'_>]) -> String {
    comparison_scene(title, choices).write()
}

/// A cloth and what it is called.
struct Captioned<'a> {
    caption: String,
    view: View<'a>,
}

/// What all tries of a page share.
struct Sheets<'a, 's> {
    title: &'a str,
    wearers: &'s Wearers,
    cloths: Vec<Captioned<'s>>,
    not_cut: Vec<&'a str>,
}

pub(crate) fn comparison_scene(title: &str, choices: &[Choice<'_>]) -> Scene {
    let sheets: Vec<&Sheet<'_>> = choices.iter().flat_map(|c| &c.cloths).collect();
    let wearers = Wearers::of(&sheets);
    let of = |broken_off: bool| Sheets {
        title,
        wearers: &wearers,
        cloths: choices
            .iter()
            .flat_map(|choice| choice.cloths.iter().map(move |sheet| (choice, sheet)))
            .map(|(choice, sheet)| Captioned {
                caption: caption(choice, sheet),
                view: view(sheet, &wearers, broken_off),
            })
            .collect(),
        not_cut: choices
            .iter()
            .filter(|choice| choice.cloths.is_empty())
            .map(|choice| choice.label.as_str())
            .collect(),
    };
    let (whole, broken_off) = (of(false), of(true));
    let tries = SCALES.into_iter().flat_map(|scale| {
        [&whole, &broken_off]
            .into_iter()
            .flat_map(move |sheets| [A4, A3].map(|page| (sheets, scale, page)))
    });
    for (sheets, scale, page) in tries {
        if let Some(scene) = sheets.on_page(scale, page) {
            return scene;
        }
    }
    broken_off.on_endless_page()
}

fn view<'a>(sheet: &'a Sheet<'a>, wearers: &'a Wearers, broken_off: bool) -> View<'a> {
    let whole = View::new(sheet, wearers);
    let shorter = whole.broken_off().filter(|_| broken_off);
    View {
        plain: true,
        ..shorter.unwrap_or(whole)
    }
}

/// What a choice is called over one of its cloths.
fn caption(choice: &Choice<'_>, sheet: &Sheet<'_>) -> String {
    let label = shorten_to(&choice.label, 60);
    if choice.cloths.len() == 1 {
        return label;
    }
    format!("{label}: {}", shorten_to(&sheet.fabric.name, 40))
}

/// Where a caption stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Above,
    Beside,
}

/// One marker with its caption.
struct Cell {
    bands: Vec<Band>,
    caption: Vec<Row>,
    caption_height: f64,
    height: f64,
    /// Where it stands below the heading, from the margin.
    at: Spot,
}

impl Captioned<'_> {
    fn cell(&self, scale: f64, width: f64, side: Side) -> Option<Cell> {
        let view = &self.view;
        let for_cloth = match side {
            Side::Above => width,
            Side::Beside => width - COLUMN - GUTTER,
        };
        let fits = |bands: &Vec<Band>| {
            let widths = bands.iter().map(|&b| bands::outer_size(view, b, scale).0);
            widths.fold(0.0, f64::max) <= for_cloth
        };
        // More bands than lengths of paper there are do not make them narrower.
        let first = (view.drawn.um() as f64 / (scale * 1_000.0 * for_cloth)).ceil();
        let least = first.max(1.0) as i64;
        let bands = (least..2 * least + 8)
            .map(|n| bands::split(view.drawn, n, view.sheet.units))
            .find(fits)?;
        let mut caption = vec![Row::words(&self.caption, 3.4, true)];
        caption.extend(title::verdict_rows(view));
        caption.extend(title::number_rows(view));
        let caption_height = block::height_in(&caption, 1) + 2.0;
        let high: f64 = bands
            .iter()
            .map(|&b| bands::outer_size(view, b, scale).1)
            .sum();
        let height = match side {
            Side::Above => high + caption_height,
            Side::Beside => high.max(caption_height),
        };
        Some(Cell {
            bands,
            caption,
            caption_height,
            height,
            at: Spot::default(),
        })
    }
}

/// How the cells stand on a page.
struct Layout {
    cells: Vec<Cell>,
    side: Side,
    /// From the margin to below the last cell.
    below: f64,
}

impl Sheets<'_, '_> {
    fn layout(&self, scale: f64, wide: f64, columns: usize, side: Side) -> Option<Layout> {
        let width = (wide + GUTTER) / columns as f64 - GUTTER;
        let mut ends = vec![HEAD; columns];
        let mut cells = Vec::new();
        for cloth in &self.cloths {
            let mut cell = cloth.cell(scale, width.max(COLUMN), side)?;
            let shortest = (0..columns).min_by(|&a, &b| ends[a].total_cmp(&ends[b]))?;
            cell.at = Spot::new(shortest as f64 * (width + GUTTER), ends[shortest]);
            ends[shortest] += cell.height + GUTTER;
            cells.push(cell);
        }
        let below = ends.into_iter().fold(HEAD, f64::max);
        Some(Layout { cells, side, below })
    }

    fn on_page(&self, scale: f64, page: Page) -> Option<Scene> {
        let (wide, high) = page.inside();
        (1..=4).find_map(|columns| {
            [Side::Above, Side::Beside].into_iter().find_map(|side| {
                let layout = self.layout(scale, wide, columns, side)?;
                let least = layout.below + self.key_height(&self.list(), scale, page);
                (least <= high).then(|| self.drawn(&layout, scale, page, Some(high)))?
            })
        })
    }

    fn on_endless_page(&self) -> Scene {
        let page = Page {
            name: "a page of its own height",
            height: f64::INFINITY,
            ..A3
        };
        ENDLESS
            .into_iter()
            .find_map(|scale| {
                let layout = self.layout(scale, page.inside().0, 1, Side::Above)?;
                let short = layout.cells.iter().all(|c| c.bands.len() <= MOST_BANDS);
                let last = scale == ENDLESS[ENDLESS.len() - 1];
                (short || last).then(|| self.drawn(&layout, scale, page, None))?
            })
            .unwrap_or_default()
    }

    fn list(&self) -> List<'_> {
        List::of(&self.cloths.iter().map(|c| &c.view).collect::<Vec<_>>())
    }

    fn key_rows(&self, list: &List<'_>, scale: f64, page: Page) -> Vec<Row> {
        let mut rows = Vec::new();
        let views: Vec<&View<'_>> = self.cloths.iter().map(|c| &c.view).collect();
        if let Some(first) = views.first() {
            rows.push(Row::fact("scale", &page.words(scale)));
            rows.extend(title::wearer_rows(first));
        }
        rows.extend(title::sign_rows(&views));
        if list.goes_on {
            rows.push(title::goes_on_row());
        }
        for label in &self.not_cut {
            rows.push(Row::note(&format!("{label}: cannot be cut")));
        }
        rows.extend(list.rows(false));
        rows
    }

    fn key_height(&self, list: &List<'_>, scale: f64, page: Page) -> f64 {
        block::height_in(&self.key_rows(list, scale, page), columns(page.inside().0))
    }

    /// The page; `None` if its key would go beyond `high`.
    fn drawn(&self, layout: &Layout, scale: f64, page: Page, high: Option<f64>) -> Option<Scene> {
        let wide = page.inside().0;
        let mut scene = Scene::new(page.width, page.height);
        scene.title = self.title.to_owned();
        scene.definitions = self.wearers.definitions();
        let heading = shorten(self.title, HEADING, true, wide);
        let at = Spot::new(MARGIN, MARGIN + HEADING);
        scene.text(Text::new(at, HEADING, Anchor::Start, heading).bold());
        let mut list = self.list();
        for (cloth, cell) in self.cloths.iter().zip(&layout.cells) {
            let corner = cell.at.plus(MARGIN, MARGIN);
            block::draw(&mut scene, &cell.caption, corner, cell.caption_height);
            let mut at = match layout.side {
                Side::Above => corner.plus(0.0, cell.caption_height),
                Side::Beside => corner.plus(COLUMN + GUTTER, 0.0),
            };
            for index in 0..cell.bands.len() {
                let place = (at, scale);
                bands::draw(
                    &mut scene,
                    &cloth.view,
                    &cell.bands,
                    index,
                    place,
                    &mut list,
                );
                at.y += bands::outer_size(&cloth.view, cell.bands[index], scale).1;
            }
        }
        let height = self.key_height(&list, scale, page);
        match high {
            Some(high) if layout.below + height > high => return None,
            Some(_) => {}
            None => scene.height = MARGIN + layout.below + height + MARGIN,
        }
        let rows = self.key_rows(&list, scale, page);
        let corner = Spot::new(MARGIN, MARGIN + layout.below);
        block::draw(&mut scene, &rows, corner, height);
        let border = title::border(scene.width, scene.height, MARGIN);
        scene.stroke(vec![border], Ink::solid(FAINT, 0.25), None, false);
        Some(scene)
    }
}

/// Columns of words on so much paper.
fn columns(wide: f64) -> usize {
    ((wide + GUTTER) / (COLUMN + GUTTER)).floor().max(1.0) as usize
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_sheets as jobs;
    use pieces::{Direction, Length};

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
    fn the_same_piece_bears_the_same_number_in_every_choice() {
        // Eight in a row, so that at 1:5 the page holds both cloths.
        let patches = |count: usize| {
            let mut job = jobs::patches(count);
            for (k, place) in job.places.iter_mut().enumerate() {
                place.4 = (12 + 42 * (k % 8) as i64, 32 * (k / 8) as i64);
            }
            job.fabric.width = Length::from_cm(40);
            job.needed = Length::from_mm(32 * count.div_ceil(8) as i64);
            (job.bound, job.to_buy) = (job.needed, Some(job.needed));
            job
        };
        let (first, second) = (patches(60), patches(100));
        let choices = [("felt", &first), ("felt, more", &second)].map(|(label, job)| Choice {
            label: label.into(),
            cloths: vec![job.sheet()],
        });
        let scene = comparison_scene("Patches", &choices);
        if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
            let path = std::path::Path::new(&folder).join("compare-patches.svg");
            std::fs::write(path, scene.write()).unwrap();
        }
        let found = scene.overlaps();
        assert!(found.is_empty(), "{found:#?}");
        let count = |w: &str| scene.texts().filter(|t| t.bold && t.content == w).count();
        // Twelve dancers: the first and the twelfth have 5 + 9 and 5 + 8 patches, and a line each.
        assert_eq!((count("1"), count("12"), count("13")), (15, 14, 0));
    }

    #[test]
    fn twelve_dancers_in_four_choices_are_drawn_as_large_as_the_page_allows() {
        let mut all: Vec<jobs::Job> = Vec::new();
        for direction in [Direction::None, Direction::OneWay] {
            all.extend([jobs::many(24, direction), jobs::many(36, direction)]);
        }
        let choices: Vec<Choice<'_>> = all
            .iter()
            .enumerate()
            .map(|(k, job)| Choice {
                label: format!("choice {k}"),
                cloths: vec![job.sheet()],
            })
            .collect();
        let scene = comparison_scene("Harvest festival", &choices);
        if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
            let path = std::path::Path::new(&folder).join("compare-twelve.svg");
            std::fs::write(path, scene.write()).unwrap();
        }
        assert!(scene.overlaps().is_empty(), "{:#?}", scene.overlaps());
        // Geometry: 8 + 12 + 8 + 12 rows of 99 cm on cloth of 140 cm are 55 square metres; at 1:30
        // they take half of what A3 has inside its margins.
        let scale = scene.texts().find_map(|t| {
            t.content
                .strip_prefix("1:")?
                .split(' ')
                .next()?
                .parse::<i64>()
                .ok()
        });
        assert!(scale.is_some_and(|scale| scale <= 40), "{scale:?}");
    }

    #[test]
    fn no_sheets_make_a_page_with_its_heading() {
        let scene = comparison_scene("Nothing yet", &[]);
        assert!(scene.texts().any(|t| t.content == "Nothing yet"));
    }
}
