//! Long strips joined from shorter ones that fit across the cloth.
//!
//! Every strip has a seam allowance at both ends, so of a usable width u only u - 2 s counts. A
//! closed ring of total length T needs n = ceil(T / (u - 2 s)) strips; a strip with ends of its own
//! (cut length L, both end allowances inside) needs n = ceil((L - 2 s) / (u - 2 s)), and its n - 1
//! joins cost 2 s each. Source: geometry.

use crate::draft::options::Options;
use crate::fabric::Fabric;
use crate::length::Length;
use crate::settings::{InputError, Settings, Value};

/// More strips than this for one part are taken for a slip of the pen.
const MOST: i64 = 999;

/// Least number of strips for a ring of finished length `total`, each at most `usable` wide with a
/// seam at both ends. `None` if a strip has no room beside its seams, or more than 999 are needed.
#[must_use]
pub fn for_ring(total: Length, usable: Length, seam: Length) -> Option<u32> {
    let each = usable - seam * 2;
    if !each.is_positive() || !total.is_positive() {
        return None;
    }
    let n = (total.um() + each.um() - 1) / each.um();
    (n <= MOST).then(|| u32::try_from(n).ok()).flatten()
}

/// Finished length of a ring of `strips` whole usable widths.
#[must_use]
pub fn ring_of_full_widths(strips: u32, usable: Length, seam: Length) -> Length {
    (usable - seam * 2) * i64::from(strips)
}

/// Least number of strips for one of cut length `length`, end allowances inside.
#[must_use]
pub fn for_open(length: Length, usable: Length, seam: Length) -> Option<u32> {
    if length <= usable {
        Some(1)
    } else {
        for_ring(length - seam * 2, usable, seam)
    }
}

/// Whether a strip may be joined: the option `join`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Join {
    /// If it does not fit across the cloth.
    Auto,
    /// Cut in one piece, whatever the cloth.
    Never,
    /// From this many strips.
    Strips(u32),
}

impl Join {
    pub(super) fn read(options: &Options<'_>) -> Result<Self, InputError> {
        match options.settings.get("join").map(|s| &s.value) {
            None => Ok(Join::Auto),
            Some(Value::Number(_)) => Ok(Join::Strips(options.count("join", (1, 99), 1)?)),
            Some(_) => Ok(match options.choice("join", &["auto", "never"], "auto")? {
                "never" => Join::Never,
                _ => Join::Auto,
            }),
        }
    }

    /// How many strips for a part of which `auto` would take `least`.
    pub(super) fn strips(
        self,
        least: Option<u32>,
        options: &Options<'_>,
        fabric: &Fabric,
    ) -> Result<u32, InputError> {
        match self {
            Join::Never => Ok(1),
            Join::Strips(n) => Ok(n),
            Join::Auto => least.ok_or_else(|| too_narrow(options, fabric)),
        }
    }
}

/// What in a part's settings makes its strips shorter: more of them.
pub(super) fn in_more(settings: &Settings) -> String {
    match settings.get("join").map(|s| &s.value) {
        Some(Value::Text(word)) => format!("joining it from strips (leave out join = \"{word}\")"),
        Some(Value::Number(strips)) => {
            format!("joining it from more strips (leave out join = {strips})")
        }
        _ => "joining it from strips (join = 2)".into(),
    }
}

/// The usable width of a fabric.
pub(super) fn usable(fabric: &Fabric) -> Length {
    let (left, right) = fabric.usable_width();
    right - left
}

pub(super) fn too_narrow(options: &Options<'_>, fabric: &Fabric) -> InputError {
    let width = options.units.write_down(usable(fabric));
    options.error(
        "join",
        format!(
            "no number of strips up to {MOST} across {} (usable width {width}) is enough",
            fabric.name
        ),
        "take a wider cloth or smaller seams, and check the lengths",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panels_for_a_ring() {
        // Geometry: n = ceil(400 / (140 - 2 * 1.5)) = ceil(2.92) = 3, ring 3 * 137 = 411 cm.
        let (usable, seam) = (Length::from_cm(140), Length::from_mm(15));
        assert_eq!(for_ring(Length::from_cm(400), usable, seam), Some(3));
        assert_eq!(ring_of_full_widths(3, usable, seam), Length::from_cm(411));
        assert_eq!(for_ring(Length::from_cm(411), usable, seam), Some(3));
        assert_eq!(for_ring(Length::from_um(4_110_001), usable, seam), Some(4));
    }

    #[test]
    fn a_ruffle_for_a_ring() {
        // Geometry, with the fullness of 2 from common practice: 240 * 2 / (140 - 2) = 3.48, so 4.
        let seam = Length::from_cm(1);
        assert_eq!(
            for_ring(Length::from_cm(480), Length::from_cm(140), seam),
            Some(4)
        );
    }

    #[test]
    fn joins_of_an_open_strip_cost_two_seams_each() {
        let (usable, seam) = (Length::from_cm(110), Length::from_cm(1));
        assert_eq!(for_open(Length::from_cm(110), usable, seam), Some(1));
        // Geometry: two strips of 110 lose 2 cm in the join.
        assert_eq!(for_open(Length::from_cm(218), usable, seam), Some(2));
        assert_eq!(for_open(Length::from_um(2_180_001), usable, seam), Some(3));
    }

    #[test]
    fn a_cloth_narrower_than_two_seams_gives_no_strips() {
        assert_eq!(
            for_ring(Length::from_cm(10), Length::from_cm(2), Length::from_cm(1)),
            None
        );
    }
}
