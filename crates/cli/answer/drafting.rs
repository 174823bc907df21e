//! Every garment of a job, drafted; and a look at what cannot be laid at all.
//!
//! Mistakes of several garments are reported together. A missing measurement is asked for by name,
//! wearer and how to take it, before the draft is tried.

use std::collections::{BTreeMap, BTreeSet};

use nesting::{bound, turns};
use pieces::draft::{Brief, Drafted};
use pieces::piece::MIRRORED;
use pieces::settings::{Span, Value, known_names};
use pieces::{Direction, Fabric, Grain, InputError, Length, Piece, Wearer, measurement};

use super::grains;
use super::missing::Missing;
use crate::job::faults::{Faults, joined};
use crate::job::make::Make;
use crate::job::{Job, Place};
use crate::lines::first_of;
use crate::message::Refused;

/// More pieces than this are no job for one run; 10 000 are.
const MOST_PIECES: u64 = 50_000;

/// Wearers that a note is about, named one by one at most.
const MOST_NAMED: usize = 8;

/// Between a piece's name and which garment of how many it belongs to.
const GARMENT: &str = ", garment ";

/// All pieces of a job.
pub struct Garments {
    /// The pieces to cut.
    pub pieces: Vec<Piece>,
    /// What else to buy, for each garment.
    pub extras: Vec<Haberdashery>,
    /// What the drafts have to say.
    pub notes: Vec<String>,
    /// For each piece, how many garments its copies are spread over.
    pub spread: Vec<u32>,
    /// Which make garments belong to: its index, from this number on.
    makes: Vec<(u32, usize)>,
    /// The number of the next garment.
    next: u32,
}

/// Something to buy beside cloth, for the garments of one wearer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Haberdashery {
    /// What: `elastic, 2.5 cm wide`.
    pub what: String,
    /// How long it is cut.
    pub length: Length,
    /// Whose it is; empty for nobody's.
    pub wearer: String,
    /// How many are cut.
    pub copies: u32,
}

/// Drafts every garment.
pub fn draft(job: &Job) -> Result<Garments, Refused> {
    let mut faults = Faults::default();
    let mut missing = Missing::default();
    let mut garments = Garments {
        pieces: Vec::new(),
        extras: Vec::new(),
        notes: Vec::new(),
        spread: Vec::new(),
        makes: Vec::new(),
        next: 0,
    };
    let mut count = 0;
    let mut said = Vec::new();
    let mut from_tables = BTreeSet::new();
    'makes: for (number, make) in job.makes.iter().enumerate() {
        let mut notes: BTreeMap<String, Vec<&str>> = BTreeMap::new();
        let people = people(job, make, &mut faults);
        for (wearer, place) in &people {
            let garment = garments.next;
            let Some(drafted) = draft_one(
                job,
                make,
                (wearer, place),
                garment,
                &mut missing,
                &mut faults,
            ) else {
                continue;
            };
            from_tables.extend(from_table(job, make, wearer));
            for note in drafted
                .notes
                .iter()
                .chain(&grains::in_vain(job, make, &drafted))
            {
                notes.entry(note.clone()).or_default().push(&wearer.name);
            }
            let copies = drafted.pieces.iter().map(|p| u64::from(p.copies));
            count += copies.sum::<u64>() * u64::from(make.copies);
            if count > MOST_PIECES {
                faults.note(InputError::at(
                    make.span,
                    "make",
                    format!("the job has more than {MOST_PIECES} pieces"),
                    format!("at most {MOST_PIECES} are laid in one run: split the job"),
                ));
                break 'makes;
            }
            garments.add(job, make, number, &wearer.name, drafted);
        }
        said.extend(notes.into_iter().map(|(note, names)| {
            let whose = (names.len() < people.len()).then(|| first_of(&names, MOST_NAMED));
            Said { make, whose, note }
        }));
    }
    garments.notes.extend(in_words(job, &said));
    garments.notes.extend(from_tables);
    faults.extend(missing.into_errors());
    if faults.is_empty() {
        Ok(garments)
    } else {
        Err(Refused::from_errors(&job.sources, faults.into_errors()).warned(&job.warnings))
    }
}

/// What a make is drafted by that a size table says and no tape.
fn from_table(job: &Job, make: &Make, wearer: &Wearer) -> Option<String> {
    let size = wearer.size?;
    let needs = make.draft.needs(&make.options);
    let own = make.draft.own_needs(&make.options);
    let keys = needs
        .iter()
        .copied()
        .chain(own.iter().map(|need| need.key.as_str()));
    let taken: BTreeSet<String> = keys
        .filter(|key| wearer.filled_in.contains(*key))
        .filter_map(|key| {
            let length = job.shown_in.write(wearer.measurement(key)?);
            Some(format!("{} {length}", measurement::name_of(key)))
        })
        .collect();
    let is = match taken.len() {
        0 => return None,
        1 => "is",
        _ => "are",
    };
    let taken: Vec<String> = taken.into_iter().collect();
    Some(format!(
        "{}: {} {is} from a table, {} ({}), not measured.",
        wearer.name,
        taken.join(" and "),
        size.name(),
        size.status()
    ))
}

/// What the drafts of one make have to say, and of whom if not of everybody.
struct Said<'a> {
    make: &'a Make,
    whose: Option<String>,
    note: String,
}

/// Notes as they are read: a make is named where another uses the same draft or says the same.
fn in_words(job: &Job, said: &[Said<'_>]) -> Vec<String> {
    let mut drafts: BTreeMap<&str, usize> = BTreeMap::new();
    let mut notes: BTreeMap<&str, usize> = BTreeMap::new();
    for make in &job.makes {
        *drafts.entry(make.draft.name()).or_default() += 1;
    }
    for one in said {
        *notes.entry(&one.note).or_default() += 1;
    }
    let words = |one: &Said<'_>| {
        let draft = one.make.draft.name();
        let which = if drafts[draft] > 1 {
            Some(format!("{draft} from {}", one.make.fabric))
        } else {
            (notes[one.note.as_str()] > 1).then(|| draft.to_owned())
        };
        let about: Vec<String> = which.into_iter().chain(one.whose.clone()).collect();
        if about.is_empty() {
            one.note.clone()
        } else {
            format!("{}: {}", about.join(", "), one.note)
        }
    };
    said.iter().map(words).collect()
}

/// The wearers of a make. A draft that needs no measurements can be made for nobody.
fn people(job: &Job, make: &Make, faults: &mut Faults) -> Vec<(Wearer, Place)> {
    if make.wearers.is_empty() {
        let draft = make.draft;
        if draft.needs(&make.options).is_empty() && draft.own_needs(&make.options).is_empty() {
            return vec![(Wearer::default(), Place::default())];
        }
        faults.note(InputError::at(
            make.span,
            &make.path,
            format!("a {} needs somebody to wear it", make.draft.name()),
            "add a [wearer.NAME] table, or `wearers = \"people.csv\"` at the top of the job",
        ));
    }
    make.wearers
        .iter()
        .map(|&w| (job.wearers[w].clone(), job.wearer_places[w].clone()))
        .collect()
}

fn draft_one(
    job: &Job,
    make: &Make,
    (wearer, place): (&Wearer, &Place),
    garment: u32,
    missing: &mut Missing,
    faults: &mut Faults,
) -> Option<Drafted> {
    let mut complete = true;
    let own = make.draft.own_needs(&make.options);
    let own = own
        .iter()
        .map(|need| wearer.require_own(&need.key, need.how.as_deref()));
    let needs = make.draft.needs(&make.options);
    for lacking in needs
        .iter()
        .map(|key| wearer.require(key))
        .chain(own)
        .filter_map(Result::err)
    {
        complete = false;
        missing.note(lacking, make, place);
    }
    if !complete {
        return None;
    }
    let drafted = match make.draft.draw(&brief(job, make, wearer, garment)) {
        Ok(drafted) => drafted,
        Err(errors) => {
            faults.extend(errors);
            return None;
        }
    };
    for piece in &drafted.pieces {
        if !job.fabrics.contains_key(&piece.fabric) {
            let known: Vec<&str> = job.fabrics.keys().map(String::as_str).collect();
            faults.note(InputError::at(
                make.span,
                &make.path,
                format!(
                    "the {} is cut from \"{}\", and there is no [fabric.{}]",
                    piece.name, piece.fabric, piece.fabric
                ),
                known_names(&piece.fabric, &known),
            ));
            return None;
        }
    }
    Some(drafted)
}

fn brief<'a>(job: &'a Job, make: &'a Make, wearer: &'a Wearer, garment: u32) -> Brief<'a> {
    Brief {
        wearer,
        settings: &make.options,
        path: &make.options_path,
        units: job.units,
        shown_in: job.shown_in,
        fabric: &job.fabrics[&make.fabric],
        fabrics: &job.fabrics,
        garment,
    }
}

impl Garments {
    /// The index of the make that a garment belongs to.
    fn make_of(&self, garment: u32) -> usize {
        let after = self.makes.partition_point(|(first, _)| *first <= garment);
        self.makes[after.saturating_sub(1)].1
    }

    /// Adds a garment as often as it is made.
    fn add(&mut self, job: &Job, make: &Make, number: usize, wearer: &str, drafted: Drafted) {
        // Copies of one garment are the same pieces more often, unless each may be turned by itself.
        let apart = drafted.pieces.iter().any(|piece| {
            job.fabrics
                .get(&piece.fabric)
                .is_some_and(|fabric| fabric.direction == Direction::OneWayPerGarment)
        });
        let (rounds, times) = if apart {
            (make.copies, 1)
        } else {
            (1, make.copies)
        };
        for round in 0..rounds {
            self.makes.push((self.next, number));
            self.pieces.extend(drafted.pieces.iter().map(|piece| Piece {
                // Parts of two garments must not be mixed up when each may be turned its own way.
                name: if rounds > 1 {
                    format!("{}{GARMENT}{} of {rounds}", piece.name, round + 1)
                } else {
                    piece.name.clone()
                },
                garment: self.next,
                copies: piece.copies.saturating_mul(times),
                ..piece.clone()
            }));
            self.spread.resize(self.pieces.len(), times);
            self.next = self.next.saturating_add(times);
        }
        let extras = drafted.extras.into_iter();
        self.extras.extend(extras.map(|extra| Haberdashery {
            what: extra.what,
            length: extra.length,
            wearer: wearer.to_owned(),
            copies: make.copies,
        }));
    }
}

/// A piece that is too wide, of everybody who wears one.
struct TooWide<'a> {
    make: usize,
    /// Without the number of its garment, and without its side.
    name: &'a str,
    /// The widest of them.
    piece: &'a Piece,
    fabric: &'a Fabric,
    wearers: Vec<&'a str>,
    /// Of the widest.
    across: Length,
    over: Length,
    fits_sideways: bool,
}

/// Refuses pieces that are wider than the usable width in every turn they may take: says by how much
/// and what would help.
pub fn refuse_too_wide(job: &Job, garments: &Garments) -> Result<(), Refused> {
    let mut all: Vec<TooWide<'_>> = Vec::new();
    let units = job.shown_in;
    for fabric in job.fabrics.values() {
        let pieces: Vec<&Piece> = garments
            .pieces
            .iter()
            .filter(|piece| piece.fabric == fabric.name)
            .collect();
        let owned: Vec<Piece> = pieces.iter().map(|&piece| piece.clone()).collect();
        let problem = turns::problem(&owned, fabric, units.marking_step());
        let too_wide = bound::too_wide(&problem);
        for found in &too_wide {
            let piece = pieces[found.item];
            let make = garments.make_of(piece.garment);
            let name = plain_name(piece);
            let bounds = problem.items[found.item].outline.bounds();
            let fits_sideways = bounds.across().min(bounds.along()) <= problem.cloth.usable_width();
            let wearer = piece.wearer.as_deref();
            match all
                .iter_mut()
                .find(|one| (one.make, one.name) == (make, name))
            {
                Some(known) => {
                    let other = wearer.filter(|wearer| !known.wearers.contains(wearer));
                    known.wearers.extend(other);
                    if found.across > known.across {
                        (known.across, known.over) = (found.across, found.over);
                        known.piece = piece;
                    }
                    known.fits_sideways &= fits_sideways;
                }
                None => all.push(TooWide {
                    make,
                    name,
                    piece,
                    fabric,
                    wearers: wearer.into_iter().collect(),
                    across: found.across,
                    over: found.over,
                    fits_sideways,
                }),
            }
        }
    }
    if all.is_empty() {
        return Ok(());
    }
    let errors = all.iter().map(|found| found.error(job)).collect();
    Err(Refused::from_errors(&job.sources, errors).warned(&job.warnings))
}

impl TooWide<'_> {
    fn error(&self, job: &Job) -> InputError {
        let units = job.shown_in;
        let whose = match self.wearers.as_slice() {
            [] => String::new(),
            names => format!(" of {}", first_of(names, MOST_NAMED)),
        };
        let wide = if self.wearers.len() > 1 { "up to " } else { "" };
        let (left, right) = self.fabric.usable_width();
        let (span, path) = place_of(&job.makes[self.make], self.name);
        InputError::at(
            span,
            path,
            format!(
                "the {}{whose} is {wide}{} wide in every turn it may take, the usable width of {} is {}: \
                 {} too wide",
                self.name,
                units.write_up(self.across),
                self.fabric.name,
                units.write_down(right - left),
                units.write_up(self.over),
            ),
            self.help(job),
        )
    }

    /// What would help.
    fn help(&self, job: &Job) -> String {
        let make = &job.makes[self.make];
        let mut ways = vec![format!(
            "a cloth at least {} wide",
            job.shown_in
                .write_up(self.across + self.fabric.selvedge * 2)
        )];
        if self.fits_sideways && has_grain(make) {
            ways.extend(turned(self.piece.grain).map(str::to_owned));
        }
        let nobody = Wearer::default();
        let wearer = (job.wearers.iter())
            .find(|wearer| Some(&wearer.name) == self.piece.wearer.as_ref())
            .unwrap_or(&nobody);
        let brief = brief(job, make, wearer, self.piece.garment);
        ways.push(make.draft.narrower(&brief, self.piece));
        ways.join("; or ")
    }
}

/// How a piece of this grain comes to lie the other way.
const fn turned(grain: Grain) -> Option<&'static str> {
    match grain {
        Grain::Lengthwise => Some("laying its length across the cloth (grain = \"crosswise\")"),
        Grain::Crosswise => Some("laying its length along the cloth (grain = \"lengthwise\")"),
        Grain::Either => Some(
            "direction = \"none\", if the cloth looks the same all ways (the grain may lie either way already)",
        ),
        Grain::Bias => None,
    }
}

/// The name without which garment of how many, and which of a pair, it is.
fn plain_name(piece: &Piece) -> &str {
    let name = piece.name.split(GARMENT).next().unwrap_or_default();
    name.strip_suffix(MIRRORED).unwrap_or(name)
}

/// Whether the grain of its pieces can be set.
fn has_grain(make: &Make) -> bool {
    let tables = make.draft.tables().iter().flat_map(|(_, inside)| *inside);
    let mut options = make.draft.options().iter().chain(tables);
    options.any(|option| option.key == "grain")
}

/// Where a piece stands in the job: in a person's own draft the table of that name, else the make.
fn place_of(make: &Make, piece: &str) -> (Span, String) {
    let tables = make.options.one_or_list("piece").unwrap_or_default();
    let own = tables.iter().find_map(|setting| match &setting.value {
        Value::Table(table) if table.text("", "name") == Ok(Some(piece)) => Some(table.span),
        _ => None,
    });
    match own {
        Some(span) => (span, joined(&make.options_path, "piece")),
        None => (make.span, make.path.clone()),
    }
}
