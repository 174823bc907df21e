//! What every draft does with its settings: reading an option or taking its default, and complaining
//! at the right place.
//!
//! Defaults come in two values, one for jobs in centimetres, millimetres or metres and one for jobs
//! in inches or yards: the working equivalents that the trade uses (3/8 in for 1 cm, 1 in for
//! 2.5 cm; common practice, no published source). So a job never mixes units.

use crate::draft::{Brief, OptionSpec, waistband};
use crate::fabric::Fabric;
use crate::length::{Length, Rounding};
use crate::settings::{InputError, LengthOrShare, Settings, known_names};
use crate::units::{Ratio, Units};

/// A default length: for metric jobs, for inch jobs.
#[derive(Clone, Copy, Debug)]
pub(super) struct Preset {
    metric: Length,
    inches: Length,
}

impl Preset {
    /// From tenths of a millimetre and sixteenths of an inch (rounded up to a whole micrometre).
    pub(super) const fn new(tenths_mm: i64, sixteenths: i64) -> Self {
        Preset {
            metric: Length::from_um(tenths_mm * 100),
            inches: Length::from_um((sixteenths * 25_400 + 15) / 16),
        }
    }

    pub(super) fn in_units(self, units: Units) -> Length {
        if units.is_metric() {
            self.metric
        } else {
            self.inches
        }
    }
}

/// A seam: 1 cm or 3/8 in (common practice, no published source).
pub(super) const SEAM: Preset = Preset::new(100, 6);
/// A narrow hem turned twice: 1 cm, or the 1/2 in (two turns of 1/4) that T. Johnson, *It's Fun to
/// Sew: a Cotton School Dress*, 4-H Club Series L-87, gives for it.
pub(super) const NARROW_HEM: Preset = Preset::new(100, 8);

/// The settings of one draft or of a part of it.
#[derive(Clone)]
pub(super) struct Options<'a> {
    pub(super) settings: &'a Settings,
    pub(super) path: String,
    pub(super) units: Units,
}

impl<'a> Options<'a> {
    /// Those of the draft itself; refuses keys that are not among `specs`.
    pub(super) fn of(brief: &Brief<'a>, specs: &[OptionSpec]) -> Result<Self, InputError> {
        let options = Options {
            settings: brief.settings,
            path: brief.path.to_string(),
            units: brief.units,
        };
        options.only(specs)?;
        Ok(options)
    }

    /// Those in the table under `key`, if it is there; refuses keys that are not among `specs`.
    pub(super) fn part(&self, key: &str, specs: &[OptionSpec]) -> Result<Option<Self>, InputError> {
        let Some(settings) = self.settings.table(&self.path, key)? else {
            return Ok(None);
        };
        let part = Options {
            settings,
            path: self.at(key),
            units: self.units,
        };
        part.only(specs)?;
        Ok(Some(part))
    }

    fn only(&self, specs: &[OptionSpec]) -> Result<(), InputError> {
        let known: Vec<&str> = specs.iter().map(|s| s.key).collect();
        self.settings.only(&self.path, &known)
    }

    fn at(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_string()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// A complaint about `key`, pointing at its value or, where it is not set, at the table.
    pub(super) fn error(
        &self,
        key: &str,
        what: impl Into<String>,
        help: impl Into<String>,
    ) -> InputError {
        let span = self
            .settings
            .get(key)
            .map_or(self.settings.span, |s| s.span);
        InputError::at(span, self.at(key), what, help)
    }

    pub(super) fn is_set(&self, key: &str) -> bool {
        self.settings.get(key).is_some()
    }

    /// Zero or more.
    pub(super) fn allowance(&self, key: &str, default: Preset) -> Result<Length, InputError> {
        let set = self
            .settings
            .non_negative_length(&self.path, key, self.units, Rounding::Up)?;
        Ok(set.unwrap_or(default.in_units(self.units)))
    }

    /// Above zero.
    pub(super) fn size(&self, key: &str, default: Preset) -> Result<Length, InputError> {
        Ok(self.own_size(key)?.unwrap_or(default.in_units(self.units)))
    }

    /// Above zero, if it is set.
    pub(super) fn own_size(&self, key: &str) -> Result<Option<Length>, InputError> {
        self.settings
            .positive_length(&self.path, key, self.units, Rounding::Up)
    }

    /// Above zero, and asked for if it is not set.
    pub(super) fn needed_size(&self, key: &str, what: &str) -> Result<Length, InputError> {
        let example = self.units.example();
        self.own_size(key)?.ok_or_else(|| {
            let help = format!("write {key} = \"{example}\"");
            self.error(key, format!("{what} is missing"), help)
        })
    }

    /// Any sign.
    pub(super) fn ease(&self, key: &str, default: Preset) -> Result<Length, InputError> {
        let set = self
            .settings
            .length(&self.path, key, self.units, Rounding::Up)?;
        Ok(set.unwrap_or(default.in_units(self.units)))
    }

    /// A length or a share of `whole`, rounded up.
    pub(super) fn share_of(
        &self,
        key: &str,
        whole: Length,
        default: Ratio,
    ) -> Result<Length, InputError> {
        let set = self
            .settings
            .length_or_share(&self.path, key, self.units, Rounding::Up)?;
        Ok(set
            .unwrap_or(LengthOrShare::Share(default))
            .of(whole, Rounding::Up))
    }

    /// A whole number.
    pub(super) fn count(
        &self,
        key: &str,
        range: (u32, u32),
        default: u32,
    ) -> Result<u32, InputError> {
        Ok(self
            .settings
            .count(&self.path, key, range.0..=range.1)?
            .unwrap_or(default))
    }

    pub(super) fn flag(&self, key: &str, default: bool) -> Result<bool, InputError> {
        Ok(self.settings.flag(&self.path, key)?.unwrap_or(default))
    }

    pub(super) fn choice<'c>(
        &self,
        key: &str,
        choices: &[&'c str],
        default: &'c str,
    ) -> Result<&'c str, InputError> {
        Ok(self
            .settings
            .choice(&self.path, key, choices)?
            .unwrap_or(default))
    }

    pub(super) fn text(&self, key: &str) -> Result<Option<&'a str>, InputError> {
        self.settings.text(&self.path, key)
    }

    /// How many times fuller than the edge it is sewn to: 1 to 10.
    pub(super) fn fullness(&self, key: &str, default: Ratio) -> Result<Ratio, InputError> {
        let help = "write a number from 1 to 10; 1.5 is light, 2 usual, 3 full";
        let ratio = self
            .settings
            .number(&self.path, key)
            .map_err(|error| InputError {
                help: help.into(),
                ..error
            })?
            .unwrap_or(default);
        let most = Ratio::percent(1_000);
        if ratio < Ratio::ONE || ratio > most {
            let what = format!("a fullness of {ratio} is not from 1 to 10");
            return Err(self.error(key, what, help));
        }
        Ok(ratio)
    }

    /// The fabric named under `fabric`, or that of the garment.
    pub(super) fn fabric<'b>(&self, brief: &Brief<'b>) -> Result<&'b Fabric, InputError> {
        let Some(name) = self.text("fabric")? else {
            return Ok(brief.fabric);
        };
        brief.fabrics.get(name).ok_or_else(|| {
            let known: Vec<&str> = brief.fabrics.keys().map(String::as_str).collect();
            self.error(
                "fabric",
                format!("there is no fabric \"{name}\""),
                known_names(name, &known),
            )
        })
    }
}

/// Which girth a waist edge sits at: its key among [`GIRTHS`].
pub(super) const GIRTHS: [&str; 3] = ["waist_girth", "low_waist_girth", "hip_girth"];

/// The girth named under `sits_at`, without needing the wearer.
pub(super) fn sits_at(settings: &Settings, default: &'static str) -> &'static str {
    settings
        .choice("", "sits_at", &GIRTHS)
        .ok()
        .flatten()
        .unwrap_or(default)
}

/// `part` of `whole`, rounded up.
pub(super) fn split(whole: Length, parts: u32) -> Length {
    whole.times_ratio(1, i64::from(parts.max(1)), Rounding::Up)
}

/// A measurement of the brief's wearer.
pub(super) fn measure(brief: &Brief<'_>, key: &str) -> Result<Length, InputError> {
    brief.wearer.require(key).map_err(|missing| {
        let at = format!("wearer.{}.{key}", brief.wearer.name);
        InputError::at(brief.settings.span, at, missing.what(), missing.help())
    })
}

/// The skirt length of a skirt as long in front as at the back: `skirt_length`, or where only that
/// was taken `skirt_length_front`; the option `length` goes before both.
pub(super) fn skirt_length(brief: &Brief<'_>, options: &Options<'_>) -> Result<Length, InputError> {
    if let Some(length) = options.own_size("length")? {
        return Ok(length);
    }
    let taken = ["skirt_length", "skirt_length_front"];
    match taken.iter().find_map(|key| brief.wearer.measurement(key)) {
        Some(length) => Ok(length),
        None => measure(brief, "skirt_length"),
    }
}

/// Options that several skirts share.
pub(super) const SITS_AT: OptionSpec = OptionSpec {
    key: "sits_at",
    takes: "\"waist_girth\", \"low_waist_girth\" or \"hip_girth\"",
    default: "waist_girth",
    about: "the girth at which the top of the skirt sits",
};
pub(super) const WAIST_EASE: OptionSpec = OptionSpec {
    key: "ease",
    takes: "length",
    default: "0",
    about: "added to that girth; with a band the top is as long as the casing instead",
};
pub(super) const LENGTH: OptionSpec = OptionSpec {
    key: "length",
    takes: "length",
    default: "the skirt length of the wearer",
    about: "finished length from the top edge to the hem",
};
pub(super) const SEAM_OPTION: OptionSpec = OptionSpec {
    key: "seam",
    takes: "length",
    default: "1 cm (3/8 in)",
    about: "seam allowance",
};
pub(super) const TOP: OptionSpec = OptionSpec {
    key: "top",
    takes: "length",
    default: "1 cm (3/8 in)",
    about: "seam allowance at the top edge",
};
pub(super) const HEM: OptionSpec = OptionSpec {
    key: "hem",
    takes: "length",
    default: "1 cm (1/2 in)",
    about: "hem allowance",
};
pub(super) const BAND: OptionSpec = OptionSpec {
    key: "band",
    takes: "table: fabric and the options of the waistband casing",
    default: "no band",
    about: "adds a waistband casing; the top of the skirt is made as long as the casing",
};
pub(super) const JOIN: OptionSpec = OptionSpec {
    key: "join",
    takes: "\"auto\", \"never\" or how many strips",
    default: "auto",
    about: "from how many strips it is joined; auto takes as few as the cloth allows",
};
pub(super) const FULL_WIDTHS: OptionSpec = OptionSpec {
    key: "full_widths",
    takes: "true or false",
    default: "false",
    about: "strips as wide as the cloth instead of only as wide as needed",
};

/// What skirts with one length need: the girth they sit at, the length unless it is set, and the hip
/// girth for a band.
pub(super) fn skirt_needs(settings: &Settings) -> Vec<&'static str> {
    let girth = sits_at(settings, "waist_girth");
    let mut needs = vec![girth];
    if settings.get("length").is_none() {
        needs.push("skirt_length");
    }
    if settings.get("band").is_some() && girth != "hip_girth" {
        needs.push("hip_girth");
    }
    needs
}

/// The top edge of a skirt.
pub(super) struct TopEdge {
    /// Key of the girth at which it sits.
    pub(super) girth_key: &'static str,
    /// Its finished length, all round.
    pub(super) length: Length,
    /// What the person should know about it.
    pub(super) note: Option<String>,
}

/// The top edge by the girth it sits at. With a band it is as long as the casing that it is sewn to:
/// the opened waist of a skirt without an opening must pass the hips (geometry).
pub(super) fn top_edge(brief: &Brief<'_>, options: &Options<'_>) -> Result<TopEdge, InputError> {
    let girth_key = options.choice("sits_at", &GIRTHS, "waist_girth")?;
    if let Some(band) = options.part("band", waistband::PART_OPTIONS)? {
        if options.is_set("ease") {
            let help =
                "leave it out, or write band = { extra = ... }: the top is as long as the casing";
            return Err(options.error("ease", "ease does not go with a band", help));
        }
        let length = waistband::ring(brief, &band, girth_key)?.finished;
        let note = format!(
            "The top edge is as long as the casing, {}, so that the skirt passes the hips; the elastic draws \
             it in.",
            brief.shown_in.write(length)
        );
        return Ok(TopEdge {
            girth_key,
            length,
            note: Some(note),
        });
    }
    let girth = measure(brief, girth_key)? + options.ease("ease", Preset::new(0, 0))?;
    if !girth.is_positive() {
        return Err(options.error(
            "ease",
            "nothing is left of the girth",
            "make the ease larger",
        ));
    }
    let hips = brief.wearer.measurement("hip_girth");
    let note = hips.filter(|hips| girth < *hips).map(|hips| {
        format!(
            "An opening is needed: the top edge measures {}, the hips {}. Leave a slit or a zip, or add a \
             band.",
            brief.shown_in.write(girth),
            brief.shown_in.write(hips)
        )
    });
    Ok(TopEdge {
        girth_key,
        length: girth,
        note,
    })
}
