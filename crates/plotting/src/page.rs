//! Scales and pages: which are there, in the order in which they are tried.
//!
//! 1:10 reads best (a millimetre is a centimetre) and A4 is in every printer, so these come first; A3
//! is two A4 sheets. Only then does the scale go down, in small steps, so that no page stays half empty.

/// Paper kept free at the border of a page, mm.
pub(crate) const MARGIN: f64 = 7.0;

/// A page lying on its long side, mm (ISO 216).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Page {
    pub(crate) name: &'static str,
    pub(crate) width: f64,
    pub(crate) height: f64,
}

pub(crate) const A4: Page = Page {
    name: "A4",
    width: 297.0,
    height: 210.0,
};
pub(crate) const A3: Page = Page {
    name: "A3",
    width: 420.0,
    height: 297.0,
};

/// Cloth millimetres to one on paper; round ones only.
pub(crate) const SCALES: [f64; 8] = [10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 100.0];

/// Scales for pieces so small that at 1:10 some hold no word and no number.
pub(crate) const LARGER: [f64; 3] = [5.0, 2.0, 1.0];

impl Page {
    /// Paper inside the margins, both ways.
    pub(crate) fn inside(self) -> (f64, f64) {
        (self.width - 2.0 * MARGIN, self.height - 2.0 * MARGIN)
    }

    /// `1:10 on A4`.
    pub(crate) fn words(self, scale: f64) -> String {
        format!("1:{scale:.0} on {}", self.name)
    }
}
