//! [`comparison_sheet`]: the markers of several choices at one scale on one page.
//!
//! A sheet to look at, not to cut by: pieces have their cut edges, hems and words only. Cells (a cloth
//! with its caption) are poured into columns, each cell into the shortest so far. For every scale, from
//! the largest, one to four columns are tried, with captions above the cloths and beside them; the
//! first that fits the page is taken. Wearers look the same in all cells, the same piece bears the same
//! number in all, and one key serves all. A cloth that is the same in several choices is drawn in the
//! first and referred to in the others. What fits no page gets one of its own height.

use crate::bands::{self, Band};
use crate::block::{self, COLUMN, GUTTER, Row};
use crate::font::{shorten, shorten_to};
use crate::list::List;
use crate::page::{A3, A4, MARGIN, Page};
use crate::paper::Spot;
use crate::scene::{Anchor, Ink, Scene, Text};
use crate::sheet::{Choice, Placed, Sheet};
use crate::style::{FAINT, Wearers};
use crate::title;
use crate::view::View;

/// Paper under the heading, mm.
const HEAD: f64 = 10.0;
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
    /// The caption of the same cloth in an earlier choice, where it is drawn.
    drawn_at: Option<String>,
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
            .enumerate()
            .map(|(k, (choice, sheet))| Captioned {
                caption: caption(choice, sheet),
                view: view(sheet, &wearers, broken_off),
                drawn_at: choices
                    .iter()
                    .flat_map(|choice| choice.cloths.iter().map(move |sheet| (choice, sheet)))
                    .take(k)
                    .find(|(_, earlier)| is_same(earlier, sheet))
                    .map(|(choice, earlier)| caption(choice, earlier)),
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

/// True if the drawings of two cloths would be the same.
fn is_same(a: &Sheet<'_>, b: &Sheet<'_>) -> bool {
    let lengths = |s: &Sheet<'_>| (s.needed, s.bound, s.on_hand, s.to_buy, s.verdict);
    let place = |p: &Placed<'_>| (p.copy, p.turned_deg, p.mirrored, p.at);
    let mut pairs = a.placed.iter().zip(&b.placed);
    a.fabric == b.fabric
        && lengths(a) == lengths(b)
        && a.flaws == b.flaws
        && a.placed.len() == b.placed.len()
        && pairs.all(|(p, q)| place(p) == place(q) && p.piece == q.piece)
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
struct Cell<'a> {
    view: View<'a>,
    bands: Vec<Band>,
    caption: Vec<Row>,
    caption_height: f64,
    height: f64,
    /// Where it stands below the heading, from the margin.
    at: Spot,
}

impl<'a> Captioned<'a> {
    fn cell(&self, scale: f64, width: f64, side: Side) -> Option<Cell<'a>> {
        let mut caption = vec![Row::words(&self.caption, 3.4, true)];
        if let Some(earlier) = &self.drawn_at {
            let words = format!("The same cloth and layout as \u{201c}{earlier}\u{201d}.");
            caption.push(Row::words(&words, 2.9, false));
            let caption_height = block::height_in(&caption, 1) + 2.0;
            return Some(Cell {
                view: self.view.clone(),
                bands: Vec::new(),
                caption,
                caption_height,
                height: caption_height,
                at: Spot::default(),
            });
        }
        let for_cloth = match side {
            Side::Above => width,
            Side::Beside => width - COLUMN - GUTTER,
        };
        let split = |view: &View<'_>| {
            let fits = |bands: &Vec<Band>| {
                let widths = bands.iter().map(|&b| bands::outer_size(view, b, scale).0);
                widths.fold(0.0, f64::max) <= for_cloth
            };
            // More bands than lengths of paper there are do not make them narrower.
            let first = (view.drawn.um() as f64 / (scale * 1_000.0 * for_cloth)).ceil();
            let least = first.max(1.0) as i64;
            (least..2 * least + 8)
                .map(|n| bands::split(view.drawn, n, view.sheet.units))
                .find(fits)
        };
        // No band is spent on bare cloth.
        let tries = [Some(self.view.clone()), self.view.broken_off()];
        let (view, bands) = tries
            .into_iter()
            .flatten()
            .filter_map(|view| split(&view).map(|bands| (view, bands)))
            .min_by_key(|(_, bands)| bands.len())?;
        caption.extend(title::verdict_rows(&view));
        caption.extend(title::number_rows(&view));
        let caption_height = block::height_in(&caption, 1) + 2.0;
        let high: f64 = bands
            .iter()
            .map(|&b| bands::outer_size(&view, b, scale).1)
            .sum();
        let height = match side {
            Side::Above => high + caption_height,
            Side::Beside => high.max(caption_height),
        };
        Some(Cell {
            view,
            bands,
            caption,
            caption_height,
            height,
            at: Spot::default(),
        })
    }
}

/// How the cells stand on a page.
struct Layout<'a> {
    cells: Vec<Cell<'a>>,
    side: Side,
    /// From the margin to below the last cell.
    below: f64,
}

impl<'s> Sheets<'_, 's> {
    fn layout(&self, scale: f64, wide: f64, columns: usize, side: Side) -> Option<Layout<'s>> {
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

    fn list(&self) -> List<'s> {
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
    fn drawn(
        &self,
        layout: &Layout<'s>,
        scale: f64,
        page: Page,
        high: Option<f64>,
    ) -> Option<Scene> {
        let wide = page.inside().0;
        let mut scene = Scene::new(page.width, page.height);
        scene.title = self.title.to_owned();
        scene.definitions = self.wearers.definitions();
        let heading = shorten(self.title, HEADING, true, wide);
        let at = Spot::new(MARGIN, MARGIN + HEADING);
        scene.text(Text::new(at, HEADING, Anchor::Start, heading).bold());
        let mut list = self.list();
        for cell in &layout.cells {
            let corner = cell.at.plus(MARGIN, MARGIN);
            block::draw(&mut scene, &cell.caption, corner, cell.caption_height);
            let mut at = match layout.side {
                Side::Above => corner.plus(0.0, cell.caption_height),
                Side::Beside => corner.plus(COLUMN + GUTTER, 0.0),
            };
            for index in 0..cell.bands.len() {
                let place = (at, scale);
                bands::draw(&mut scene, &cell.view, &cell.bands, index, place, &mut list);
                at.y += bands::outer_size(&cell.view, cell.bands[index], scale).1;
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
    fn the_same_cloth_of_several_choices_is_drawn_once() {
        let (lining, other) = (jobs::one_dancer(), jobs::too_short());
        let choices = ["lace", "voile", "lace, 1 m"].map(|label| Choice {
            label: label.into(),
            cloths: vec![if label == "lace, 1 m" {
                other.sheet()
            } else {
                lining.sheet()
            }],
        });
        let scene = comparison_scene("Which cloth?", &choices);
        let count = |w: &str| scene.texts().filter(|t| t.content.starts_with(w)).count();
        assert_eq!(count("The same cloth and layout as"), 1);
        assert_eq!(count("selvedge "), 2, "one drawing of each");
    }

    #[test]
    fn no_band_is_spent_on_bare_cloth() {
        let job = jobs::much_cloth();
        let sheet = job.sheet();
        let wearers = Wearers::of(&[&sheet]);
        let cloth = Captioned {
            caption: "lace".into(),
            view: view(&sheet, &wearers, false),
            drawn_at: None,
        };
        let for_marker = job.needed.mm() / 20.0 + 60.0;
        let cell = cloth.cell(20.0, for_marker, Side::Above).unwrap();
        assert_eq!(cell.bands.len(), 1);
        assert!(cell.view.not_drawn().is_some());
        let wide = job.on_hand.unwrap().mm() / 20.0 + 60.0;
        let cell = cloth.cell(20.0, wide, Side::Above).unwrap();
        assert!(
            cell.view.not_drawn().is_none(),
            "all is shown where there is room"
        );
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
