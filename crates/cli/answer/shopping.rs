//! What to buy: cloth that is not on hand, rounded up to what shops sell, and what the drafts ask for.

use std::collections::BTreeMap;

use pieces::{Length, Units};

use super::Answered;
use super::schema::ShoppingRecord;

/// The whole list: cloths in the order of the job, then the rest by name.
pub fn list(answered: &Answered) -> Vec<ShoppingRecord> {
    let units = answered.job.shown_in;
    let mut list = Vec::new();
    for cloth in &answered.cloths {
        let Some(length) = cloth.to_buy(cloth.chosen()) else {
            continue;
        };
        let what = format!(
            "{}, {} wide",
            cloth.fabric.name,
            units.write_down(cloth.fabric.width)
        );
        list.push(ShoppingRecord {
            what,
            quantity: in_shop_unit(length, units),
            unit: if units.is_metric() { "m" } else { "yd" }.to_owned(),
            length_um: length,
            text: units.write_bought(length),
            cost_hundredths: cloth.fabric.price.map(|price| price.of(length)),
        });
    }
    let mut extras: BTreeMap<&str, Length> = BTreeMap::new();
    for extra in &answered.extras {
        *extras.entry(&extra.what).or_default() += extra.length;
    }
    for (what, length) in extras {
        let (unit, one) = if units.is_metric() {
            ("cm", Length::from_cm(1))
        } else {
            ("in", Length::INCH)
        };
        list.push(ShoppingRecord {
            what: what.to_owned(),
            quantity: length.mm() / one.mm(),
            unit: unit.to_owned(),
            length_um: length,
            // A troupe's elastic is bought by the yard like cloth.
            text: if length > Length::from_cm(200) {
                units.write_bought(length)
            } else {
                units.write_up(length)
            },
            cost_hundredths: None,
        });
    }
    list
}

/// Metres or yards as a number, for other programs; people read the text beside it.
fn in_shop_unit(length: Length, units: Units) -> f64 {
    if units.is_metric() {
        length.mm() / 1_000.0
    } else {
        length.mm() / Length::YARD.mm()
    }
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
