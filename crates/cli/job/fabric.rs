//! The `[fabric.NAME]` tables.

use pieces::measurement::{CLOTH_ON_HAND, FABRIC_WIDTH};
use pieces::units::{Ratio, Units};
use pieces::{Cutting, Direction, Drape, Fabric, InputError, Length, Price, Rounding, Settings};

use super::faults::{Faults, joined};
use super::keys;

/// For straightening the cut end, unless the job says otherwise: common practice, no published
/// source (2 to 5 cm or 1 to 2 in a cut end).
fn end_allowance(units: Units) -> Length {
    if units.is_metric() {
        Length::from_cm(2)
    } else {
        Length::INCH
    }
}

const DIRECTIONS: [(&str, Direction); 4] = [
    ("none", Direction::None),
    ("two-way", Direction::TwoWay),
    ("one-way", Direction::OneWay),
    ("one-way per garment", Direction::OneWayPerGarment),
];

const DRAPES: [(&str, Drape); 2] = [("crisp", Drape::Crisp), ("soft", Drape::Soft)];

const CUTTINGS: [(&str, Cutting); 3] = [
    ("free", Cutting::Free),
    ("straight", Cutting::Straight),
    ("tear", Cutting::Tear),
];

/// A direction as a job writes it.
#[must_use]
pub fn direction_name(direction: Direction) -> &'static str {
    name_of(&DIRECTIONS, direction)
}

/// A drape as a job writes it.
#[must_use]
pub fn drape_name(drape: Drape) -> &'static str {
    name_of(&DRAPES, drape)
}

/// The drape of that name.
#[must_use]
pub fn drape_named(name: &str) -> Option<Drape> {
    let known = DRAPES.iter().find(|(known, _)| *known == name);
    known.map(|(_, drape)| *drape)
}

fn name_of<T: PartialEq>(names: &[(&'static str, T)], value: T) -> &'static str {
    names
        .iter()
        .find(|(_, known)| *known == value)
        .map_or("", |(name, _)| name)
}

/// Reads one fabric; what is wrong goes to `faults`, what is odd to `warnings`.
pub fn read(
    name: &str,
    settings: &Settings,
    path: &str,
    units: Units,
    faults: &mut Faults,
    warnings: &mut Vec<InputError>,
) -> Option<Fabric> {
    let known: Vec<&str> = keys::FABRIC.names().collect();
    faults.only(settings, path, &known);

    let width = settings.positive_reading(path, "width", units, Rounding::Down);
    let example = if units.is_metric() {
        "\"140 cm\""
    } else {
        "\"54 in\""
    };
    let width = faults.needed(settings, path, "width", example, width);
    if let Some(doubt) = width.and_then(|width| FABRIC_WIDTH.doubt(units, width)) {
        let span = settings.get("width").map_or(settings.span, |s| s.span);
        warnings.push(InputError::at(span, joined(path, "width"), doubt, ""));
    }

    // Up: a selvedge takes from the cloth, so rounding must not add cloth.
    let selvedge = settings.non_negative_length(path, "selvedge", units, Rounding::Up);
    let selvedge = faults.optional(selvedge).unwrap_or(Length::ZERO);
    let direction = word(settings, path, "direction", &DIRECTIONS, faults);
    let drape = word(settings, path, "drape", &DRAPES, faults);
    let faces_alike = faults.optional(settings.flag(path, "faces_alike"));
    let shrinkage_ppm = shrinkage(settings, path, faults);
    let end = settings.non_negative_length(path, "end_allowance", units, Rounding::Up);
    let end = faults.optional(end);
    let step = settings.positive_length(path, "selling_step", units, Rounding::Up);
    let step = faults.optional(step);
    let spacing = settings.non_negative_length(path, "spacing", units, Rounding::Up);
    let spacing = faults.optional(spacing).unwrap_or(Length::ZERO);
    let cutting = word(settings, path, "cutting", &CUTTINGS, faults);
    let price = price(settings, path, units, faults);
    let on_hand = on_hand(settings, path, units, faults, warnings);

    let width = width?.length;
    if selvedge * 2 >= width {
        let place = settings.get("selvedge").map(|s| s.span);
        faults.note(InputError {
            span: place.or(Some(settings.span)),
            key: joined(path, "selvedge"),
            what: format!(
                "two selvedges of {} leave nothing of a width of {}",
                units.write(selvedge),
                units.write_down(width)
            ),
            help: "a selvedge is 0.5 to 1.5 cm (1/4 to 5/8 in) as a rule; `width` is measured \
                   from edge to edge, selvedges included"
                .to_owned(),
        });
        return None;
    }
    Some(Fabric {
        name: name.to_owned(),
        width,
        selvedge,
        direction: direction.unwrap_or_default(),
        drape: drape.unwrap_or_default(),
        faces_alike: faces_alike.unwrap_or(false),
        shrinkage_ppm,
        end_allowance: end.unwrap_or_else(|| end_allowance(units)),
        selling_step: step.unwrap_or_else(|| units.selling_step()),
        spacing,
        cutting: cutting.unwrap_or_default(),
        price,
        on_hand,
    })
}

fn word<T: Copy>(
    settings: &Settings,
    path: &str,
    key: &str,
    names: &[(&'static str, T)],
    faults: &mut Faults,
) -> Option<T> {
    let words: Vec<&str> = names.iter().map(|(name, _)| *name).collect();
    let chosen = faults.optional(settings.choice(path, key, &words))?;
    names
        .iter()
        .find(|(name, _)| *name == chosen)
        .map(|(_, value)| *value)
}

fn shrinkage(settings: &Settings, path: &str, faults: &mut Faults) -> u32 {
    let Some(share) = faults.optional(settings.share(path, "shrinkage")) else {
        return 0;
    };
    if share > Ratio::percent(50) {
        faults.note(InputError {
            span: settings.get("shrinkage").map(|s| s.span),
            key: joined(path, "shrinkage"),
            what: "no cloth loses more than half of its length".to_owned(),
            help: "write what is lost, like \"5 %\" or 0.05".to_owned(),
        });
        return 0;
    }
    u32::try_from(share.ppm_up()).unwrap_or(0)
}

fn price(settings: &Settings, path: &str, units: Units, faults: &mut Faults) -> Option<Price> {
    let number = faults.optional(settings.number(path, "price"))?;
    let hundredths = Length::from_um(i64::from(number >= Ratio::ZERO) * 100);
    let per = if units.is_metric() {
        Length::from_cm(100)
    } else {
        Length::YARD
    };
    // A price has two decimals; a third is rounded up, so that a cost never comes out too low.
    let hundredths = number.of(hundredths, Rounding::Up).um();
    if number < Ratio::ZERO || hundredths > 100_000_000 {
        faults.note(InputError {
            span: settings.get("price").map(|s| s.span),
            key: joined(path, "price"),
            what: "this is no price".to_owned(),
            help: "write what a metre (a yard in inch jobs) costs: 12.50".to_owned(),
        });
        return None;
    }
    Some(Price { hundredths, per })
}

fn on_hand(
    settings: &Settings,
    path: &str,
    units: Units,
    faults: &mut Faults,
    warnings: &mut Vec<InputError>,
) -> Vec<Length> {
    let offers = settings.one_or_list("have").unwrap_or_default();
    if let Some(list) = settings.get("have").filter(|_| offers.is_empty()) {
        faults.note(InputError::at(
            list.span,
            joined(path, "have"),
            "this list is empty",
            "write what is on hand, like \"1.5 m\", or leave `have` out if the cloth is to be bought",
        ));
    }
    let many = offers.len() > 1;
    let mut lengths = Vec::new();
    for (i, offer) in offers.iter().enumerate() {
        let at = if many {
            format!("{}[{}]", joined(path, "have"), i + 1)
        } else {
            joined(path, "have")
        };
        let reading = offer.positive_reading(&at, units, Rounding::Down);
        if let Some(reading) = faults.keep(reading) {
            if let Some(doubt) = CLOTH_ON_HAND.doubt(units, reading) {
                warnings.push(InputError::at(offer.span, at, doubt, ""));
            }
            lengths.push(reading.length);
        }
    }
    // The same offer twice is one question, and the shortest that is enough is wanted.
    lengths.sort_unstable();
    lengths.dedup();
    lengths
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::toml_text;

    fn fabric(text: &str, units: Units) -> (Option<Fabric>, Vec<InputError>, Vec<InputError>) {
        let settings = toml_text::read(text, 0).unwrap();
        let (mut faults, mut warnings) = (Faults::default(), Vec::new());
        let read = read(
            "linen",
            &settings,
            "fabric.linen",
            units,
            &mut faults,
            &mut warnings,
        );
        (read, faults.into_errors(), warnings)
    }

    #[test]
    fn what_is_left_out_takes_the_stated_defaults() {
        let metric = fabric("width = 140", Units::Centimetres).0.unwrap();
        assert_eq!(metric.end_allowance, Length::from_cm(2));
        assert_eq!(metric.selling_step, Length::from_cm(10));
        assert_eq!(metric.direction, Direction::None);
        let inches = fabric("width = 54", Units::Inches).0.unwrap();
        assert_eq!(inches.end_allowance, Length::INCH);
        // 1/8 yd = 114.3 mm (international yard and pound agreement, 1959).
        assert_eq!(inches.selling_step, Length::from_um(114_300));
    }

    #[test]
    fn a_price_is_for_a_metre_or_a_yard() {
        let metric = fabric("width = 140\nprice = 12.50", Units::Millimetres);
        let price = metric.0.unwrap().price.unwrap();
        assert_eq!((price.hundredths, price.per), (1_250, Length::from_cm(100)));
        let inches = fabric("width = 54\nprice = \"8\"", Units::Yards).0.unwrap();
        assert_eq!(inches.price.unwrap().per, Length::YARD);
        let (_, errors, _) = fabric("width = 140\nprice = -1", Units::Centimetres);
        assert_eq!(errors.len(), 1);
    }

    #[test]
    fn offers_are_sorted_and_asked_about_once() {
        let text = "width = 140\nhave = [\"1.5 m\", \"100 cm\", \"1 m\"]";
        let fabric = fabric(text, Units::Centimetres).0.unwrap();
        assert_eq!(fabric.on_hand, [Length::from_cm(100), Length::from_cm(150)]);
    }

    #[test]
    fn a_bare_length_of_cloth_that_looks_like_metres_is_asked_about() {
        let (_, errors, warnings) = fabric("width = 140\nhave = 1.5", Units::Centimetres);
        assert!(errors.is_empty());
        assert!(warnings[0].what.contains("1.5 m"), "{warnings:?}");
    }

    #[test]
    fn shrinkage_is_a_share() {
        let read = |text: &str| fabric(text, Units::Centimetres);
        let ppm = |text: &str| read(text).0.unwrap().shrinkage_ppm;
        assert_eq!(ppm("width = 140\nshrinkage = \"5 %\""), 50_000);
        assert_eq!(ppm("width = 140\nshrinkage = 0.05"), 50_000);
        assert_eq!(read("width = 140\nshrinkage = \"80 %\"").1.len(), 1);
    }
}
