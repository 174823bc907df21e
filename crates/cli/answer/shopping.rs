//! What to buy: cloth that is not on hand, rounded up to what shops sell, and what the drafts ask for.

use std::collections::BTreeMap;

use pieces::{Length, Units};

use super::schema::{CutRecord, ShoppingRecord};
use super::{Answered, Haberdashery};

/// The whole list: cloths in the order of the job, then the rest by name.
pub fn list(answered: &Answered) -> Vec<ShoppingRecord> {
    let units = answered.job.shown_in;
    let mut list = Vec::new();
    for cloth in &answered.cloths {
        let Some(length) = cloth.bought() else {
            continue;
        };
        let (quantity, unit) = exact(length, &CLOTH, answered.job.units);
        let what = format!(
            "{}, {} wide",
            cloth.fabric.name,
            units.write_down(cloth.fabric.width)
        );
        list.push(ShoppingRecord {
            what,
            quantity,
            unit: unit.to_owned(),
            length_um: length,
            text: units.write_bought(length),
            cost_hundredths: cloth.cost(),
            cuts: Vec::new(),
        });
    }
    let mut extras: BTreeMap<&str, Vec<&Haberdashery>> = BTreeMap::new();
    for extra in &answered.extras {
        extras.entry(&extra.what).or_default().push(extra);
    }
    for (what, cuts) in extras {
        let length = cuts.iter().map(|c| c.length * i64::from(c.copies)).sum();
        let (quantity, unit) = exact(length, &HABERDASHERY, answered.job.units);
        list.push(ShoppingRecord {
            what: what.to_owned(),
            quantity,
            unit: unit.to_owned(),
            length_um: length,
            // A troupe's elastic is bought by the yard like cloth.
            text: if length > Length::from_cm(200) {
                units.write_bought(length)
            } else {
                units.write_up(length)
            },
            cost_hundredths: None,
            cuts: cuts.into_iter().map(|cut| cut_record(cut, units)).collect(),
        });
    }
    list
}

fn cut_record(cut: &Haberdashery, units: Units) -> CutRecord {
    CutRecord {
        wearer: cut.wearer.clone(),
        copies: cut.copies,
        length_um: cut.length,
        text: units.write_up(cut.length),
    }
}

/// What cloth is counted in, in metric jobs and in others.
const CLOTH: (Units, &[Units]) = (Units::Metres, &[Units::Yards, Units::Inches]);

/// What elastic and the like are counted in.
const HABERDASHERY: (Units, &[Units]) = (Units::Centimetres, &[Units::Inches]);

/// A length as a number for other programs: in the job's kind of unit, whatever is printed, so that it
/// is exact. What is no whole sixteenth of an inch or a yard is exact in metric units only.
fn exact(length: Length, (metric, others): &(Units, &[Units]), job: Units) -> (f64, &'static str) {
    let whole = |unit: &&Units| length.um() * 16 % unit.one().um() == 0;
    let own = others.iter().find(whole).filter(|_| !job.is_metric());
    let unit = own.unwrap_or(metric);
    // Both are whole micrometres, so this is the nearest number to the exact one.
    (length.um() as f64 / unit.one().um() as f64, unit.name())
}

/// A cost as a person writes it: `12.50 EUR`.
pub fn cost(hundredths: i64, currency: &str) -> String {
    let cost = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    if currency.is_empty() {
        cost
    } else {
        format!("{cost} {currency}")
    }
}
