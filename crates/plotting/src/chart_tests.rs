use super::*;
use crate::test_sheets::{self as jobs, Job};

fn job(needed: i64, bound: i64) -> Job {
    let mut job = jobs::one_piece();
    job.needed = Length::from_cm(needed);
    job.bound = Length::from_cm(bound);
    (job.on_hand, job.to_buy, job.verdict) = (None, None, None);
    job
}

fn choice<'a>(label: &str, jobs: &'a [&'a Job]) -> Choice<'a> {
    Choice {
        label: label.into(),
        cloths: jobs.iter().map(|j| j.sheet()).collect(),
    }
}

fn keep(name: &str, svg: &str) {
    if let Some(folder) = std::env::var_os("LENGTHWISE_LOOK") {
        std::fs::write(std::path::Path::new(&folder).join(name), svg).unwrap();
    }
}

#[test]
fn every_length_is_written_and_the_bytes_repeat() {
    let cm = Length::from_cm;
    let (mut lace, mut soft) = (job(127, 127), job(201, 168));
    lace.to_buy = Some(cm(130));
    soft.to_buy = Some(cm(210));
    let mut short = job(201, 168);
    short.on_hand = Some(cm(150));
    short.verdict = Some(Verdict::NotEnough);
    let mut lining = job(88, 80);
    lining.fabric.name = "lining".into();
    lining.fabric.shrinkage_ppm = 50_000;
    lining.on_hand = Some(cm(300));
    lining.verdict = Some(Verdict::Enough);
    let (only_lace, both) = ([&lace], [&soft, &lining]);
    let (only_soft, only_short) = ([&soft], [&short]);
    let long = "lace & border, 140 cm wide, as the shop at the mill keeps it for the harvest";
    let choices = [
        choice(long, &only_lace),
        choice("soft, 140 cm wide", &only_soft),
        choice("soft with a lining from the chest", &both),
        choice("soft, 1.5 m on hand", &only_short),
        choice("wool, 60 cm wide", &[]),
    ];
    let svg = comparison_chart("Lace or soft?", Units::Centimetres, &choices).unwrap();
    keep("chart.svg", &svg);
    for sheet in choices.iter().flat_map(|c| &c.cloths) {
        for (_, _, written) in bars(sheet, Units::Centimetres) {
            assert!(svg.contains(&written), "{written}");
        }
    }
    for wanted in [
        "length, centimetres",
        "not enough, proved",
        "&amp; border",
        "length needed",
        "on hand, before washing",
        "on hand 300 cm, washed 285 cm",
        "wool, 60 cm wide: cannot be cut",
        "lining",
        "harvest",
    ] {
        assert!(svg.contains(wanted), "{wanted}");
    }
    let again = comparison_chart("Lace or soft?", Units::Centimetres, &choices).unwrap();
    assert_eq!(svg, again);
}

#[test]
fn every_length_on_hand_is_drawn() {
    let cm = Length::from_cm;
    let mut lace = job(194, 192);
    lace.fabric.on_hand = vec![cm(200), cm(250), cm(120)];
    (lace.on_hand, lace.verdict) = (Some(cm(200)), Some(Verdict::Enough));
    let cloths = [&lace];
    let svg = comparison_chart("Lace", Units::Centimetres, &[choice("lace", &cloths)]).unwrap();
    keep("chart-lengths.svg", &svg);
    for wanted in [
        "on hand 120 cm",
        "on hand 200 cm",
        "on hand 250 cm",
        "200 cm: enough",
    ] {
        assert!(svg.contains(wanted), "{wanted}");
    }
}

#[test]
fn bars_are_in_proportion() {
    // Geometry: twice the length is twice the bar.
    let (one, two) = (job(100, 100), job(200, 200));
    let (one, two) = ([&one], [&two]);
    let choices = [choice("", &one), choice("", &two)];
    let svg = comparison_chart("", Units::Centimetres, &choices).unwrap();
    let widths: Vec<i32> = svg
        .split("<rect ")
        .filter(|r| r.contains("fill=\"#56B4E9\""))
        .filter_map(|r| r.split("width=\"").nth(1)?.split('"').next()?.parse().ok())
        .collect();
    // The first is the legend's.
    assert_eq!(widths.len(), 3, "{widths:?}");
    assert!((widths[2] - 2 * widths[1]).abs() <= 2, "{widths:?}");
}

#[test]
fn the_axis_is_marked_beyond_every_length() {
    for units in [Units::Centimetres, Units::Metres, Units::Inches] {
        for longest in [0.0, 0.3, 3.0, 10.0, 199.9, 200.0, 200.1, 1_390.0, 91_234.5] {
            let steps = axis_steps(units, longest);
            let last = *steps.last().unwrap();
            assert!(
                last >= longest && (2..=9).contains(&steps.len()),
                "{steps:?}"
            );
        }
    }
    assert_eq!(axis_steps(Units::Centimetres, 210.0).last(), Some(&250.0));
    assert_eq!(axis_steps(Units::Inches, 100.0)[1], 18.0);
}

#[test]
fn no_choices_is_an_error() {
    assert_eq!(
        comparison_chart("x", Units::Inches, &[]),
        Err(ChartError::NoChoices)
    );
}
