//! The title block of a marker and its key.
//!
//! The verdict comes first, then the numbers that matter, then what the signs mean (only those that
//! the drawing uses), then the numbered list of pieces that were too small for their words.

use std::collections::BTreeSet;

use crate::block::{Row, SWATCH, field, lines};
use crate::drawing::{CUT, FINISHED, GUIDE, HEM_REACH, NOTCH};
use crate::font::shorten_to;
use crate::paper::{PagePath, Rect, Spot};
use crate::ruler::unit_name;
use crate::scene::{Fill, Ink};
use crate::straight;
use crate::style::{BEYOND, DARK, FLAW, LEFT_OVER, QUIET, SELVEDGE};
use crate::symbols::{GOES_ON, Mark, chevrons, direction_arrow, grain_line};
use crate::view::View;
use crate::words;

/// Rows of the title block of one cloth; `page` says scale and page: `1:10 on A4`.
pub(crate) fn title_rows(view: &View<'_>, page: &str) -> Vec<Row> {
    let sheet = view.sheet;
    let write = |l| sheet.units.write(l);
    let mut rows = vec![
        Row::words(&shorten_to(sheet.job, 90), 3.6, true),
        Row::Gap(0.8),
    ];
    rows.extend(verdict_rows(view));
    rows.push(Row::Rule);
    rows.extend(number_rows(view));
    rows.push(Row::Rule);
    rows.push(Row::fact("fabric", &shorten_to(&sheet.fabric.name, 60)));
    rows.push(Row::fact("drape", words::drape(sheet.fabric.drape)));
    rows.push(Row::fact(
        "width",
        &sheet.units.write_down(sheet.fabric.width),
    ));
    let (left, right) = sheet.fabric.usable_width();
    rows.push(Row::fact(
        "usable width",
        &sheet.units.write_down(right - left),
    ));
    if let Some(direction) = words::direction(sheet.fabric.direction) {
        rows.push(Row::fact("direction", direction));
    }
    if sheet.fabric.spacing.is_positive() {
        rows.push(Row::fact(
            "kept free between pieces",
            &write(sheet.fabric.spacing),
        ));
    }
    rows.push(Row::fact("pieces", &sheet.placed.len().to_string()));
    if let Some(bounds) = view.left_over {
        let size = words::size_down(sheet.units, bounds.across(), bounds.along());
        rows.push(Row::fact("largest left over", &size));
    }
    rows.push(Row::fact("marking step rounding", &words::rounding(sheet)));
    rows.push(Row::fact("scale", page));
    rows.push(Row::fact("rulers in", unit_name(sheet.units)));
    if let Some(date) = sheet.date {
        rows.push(Row::fact("date", date));
    }
    rows
}

/// The verdict in words and the sentence after it.
pub(crate) fn verdict_rows(view: &View<'_>) -> Vec<Row> {
    let (verdict, sentence) = words::verdict(view);
    let mut rows = vec![Row::words(&verdict, 4.4, true)];
    if !sentence.is_empty() {
        rows.push(Row::words(&sentence, 2.9, false));
    }
    rows
}

/// Needed, bound, on hand, to buy, used.
pub(crate) fn number_rows(view: &View<'_>) -> Vec<Row> {
    let sheet = view.sheet;
    let written = words::Written::of(sheet, sheet.units);
    let (up, down) = (|length| written.up(length), |length| written.down(length));
    let mut rows = vec![
        Row::fact("length needed", &up(sheet.needed)),
        Row::fact("bound (proved)", &down(sheet.bound)),
    ];
    if let Some(on_hand) = sheet.on_hand {
        rows.push(Row::fact("on hand", &down(on_hand)));
        let there = sheet.fabric.after_washing(on_hand);
        if there != on_hand {
            rows.push(Row::fact("on hand after washing", &down(there)));
        }
    }
    if let Some(buy) = sheet.to_buy {
        rows.push(Row::fact("to buy", &sheet.units.write_bought(buy)));
    }
    if let Some(used) = view.used_permille() {
        let share = format!("{}.{} %", used / 10, used % 10);
        rows.push(Row::fact("cloth used", &share));
    }
    rows
}

/// Wearers by swatch, if there is more than one.
pub(crate) fn wearer_rows(view: &View<'_>) -> Vec<Row> {
    let names = view.wearers.names();
    if names.len() < 2 {
        return Vec::new();
    }
    let mut rows = vec![Row::Rule];
    for name in names {
        let fill = view.wearers.fill(Some(name));
        rows.push(Row::key(field(fill, CUT), &shorten_to(name, 60)));
    }
    rows
}

/// The signs that the drawing uses.
pub(crate) fn sign_rows(views: &[&View<'_>]) -> Vec<Row> {
    let middle = |at: Spot| at.plus(0.0, SWATCH.1 / 2.0);
    let stroke = move |ink: Ink| {
        lines(move |at| {
            let (a, b) = (middle(at), middle(at).plus(SWATCH.0, 0.0));
            vec![(vec![PagePath::line(a, b)], ink, Fill::Nothing)]
        })
    };
    let placed = || views.iter().flat_map(|v| &v.sheet.placed).map(|p| p.piece);
    // A plain drawing has no signs inside its pieces.
    let signed = || {
        let views = views.iter().filter(|v| !v.plain);
        views.flat_map(|v| &v.sheet.placed).map(|p| p.piece)
    };
    let mut rows = vec![Row::Rule, Row::key(stroke(CUT), "cut edge")];
    if signed().any(|p| !p.finished.is_empty()) {
        rows.push(Row::key(stroke(FINISHED), "finished edge"));
    }
    if placed().any(|p| p.hem.is_some()) {
        let hem = lines(move |at| {
            let (a, b) = (middle(at).plus(0.0, -0.6), middle(at).plus(SWATCH.0, -0.6));
            let inner = HEM_REACH - 0.2;
            vec![
                (vec![PagePath::line(a, b)], CUT, Fill::Nothing),
                (
                    vec![PagePath::line(a.plus(0.0, inner), b.plus(0.0, inner))],
                    Ink::solid(DARK, 0.4),
                    Fill::Nothing,
                ),
            ]
        });
        rows.push(Row::key(hem, "hem edge"));
    }
    if let Some(view) = views.iter().find(|view| !view.sheet.cuts.is_empty()) {
        let cut = lines(move |at| {
            let path = || vec![PagePath::line(middle(at), middle(at).plus(SWATCH.0, 0.0))];
            straight::INKS
                .map(|ink| (path(), ink, Fill::Nothing))
                .into()
        });
        let words = straight::words(view.sheet.fabric.cutting);
        rows.push(Row::key(cut, words));
    }
    let grain = lines(move |at| {
        let (a, b) = (
            middle(at).plus(0.3, 0.0),
            middle(at).plus(SWATCH.0 - 0.3, 0.0),
        );
        vec![(grain_line(a, b), Ink::solid(DARK, 0.18), Fill::Nothing)]
    });
    rows.push(Row::key(grain, "grain: along the selvedge"));
    if views
        .iter()
        .any(|v| words::has_arrows(v.sheet.fabric.direction))
    {
        let arrow = lines(move |at| {
            let path = direction_arrow(middle(at).plus(4.5, 0.0), Spot::new(1.0, 0.0), 5.5);
            vec![(vec![path], Ink::solid(DARK, 0.2), Fill::Nothing)]
        });
        rows.push(Row::key(arrow, "direction: top of the piece"));
    }
    if signed().any(|p| !p.guides.is_empty()) {
        rows.push(Row::key(stroke(GUIDE), "guide: fold, join, gather"));
    }
    let marks: BTreeSet<Mark> = signed()
        .flat_map(|p| p.notches.iter().map(Mark::of))
        .collect();
    rows.extend(marks.into_iter().map(mark_row));
    if views.iter().any(|v| v.sheet.fabric.selvedge.is_positive()) {
        let edge = Ink::solid(QUIET, 0.12);
        rows.push(Row::key(
            field(Fill::Pattern(SELVEDGE.to_owned()), edge),
            "selvedge",
        ));
    }
    let thin = Ink::solid(QUIET, 0.15);
    if views.iter().any(|v| !v.sheet.flaws.is_empty()) {
        let ink = Ink::solid(DARK, 0.3);
        rows.push(Row::key(
            field(Fill::Pattern(FLAW.to_owned()), ink),
            "flaw: no piece covers it",
        ));
    }
    rows.push(Row::key(
        field(Fill::Pattern(LEFT_OVER.to_owned()), thin),
        "left over",
    ));
    if views.iter().any(|v| v.too_short()) {
        let fill = Fill::Pattern(BEYOND.to_owned());
        rows.push(Row::key(field(fill, thin), "beyond the cloth on hand"));
    }
    rows
}

/// The sign of a piece that goes on beyond a break.
pub(crate) fn goes_on_row() -> Row {
    let sign = lines(|at| {
        let middle = at.plus(SWATCH.0 / 2.0, SWATCH.1 / 2.0);
        vec![(chevrons(middle, true), GOES_ON, Fill::Nothing)]
    });
    Row::key(sign, "the piece goes on beyond the break")
}

fn mark_row(mark: Mark) -> Row {
    let sign = lines(move |at| {
        let edge = at.plus(0.0, 0.5);
        let across = PagePath::line(edge, edge.plus(SWATCH.0, 0.0));
        let paths = mark.paths(
            edge.plus(SWATCH.0 / 2.0, 0.0),
            Spot::new(1.0, 0.0),
            Spot::new(0.0, 1.0),
        );
        vec![
            (vec![across], CUT, Fill::Nothing),
            (paths, NOTCH, mark.fill()),
        ]
    });
    Row::key(sign, mark.words())
}

/// A frame round the page's inside.
pub(crate) fn border(width: f64, height: f64, margin: f64) -> PagePath {
    let half = margin / 2.0;
    Rect::new(half, half, width - margin, height - margin).path()
}
