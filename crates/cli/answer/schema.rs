//! The answer file, `answer.json`: what is in it, and nothing about how it came to be.
//!
//! Version 1. Lengths are whole micrometres in fields that end in `_um`; x runs across the cloth
//! from its left edge, y along it from the cut end. A field may be added without a new version,
//! none may change its meaning. What another program may rely on: `schema`, `verdict`, `cloths`
//! (`fabric`, `width_um`, `usable_x_um`, `length_um`, `bound_um`, `buy_um`, `placements` with
//! `outline_um`, `flaws`), `shopping` and `alternatives`. The rest is there to check again
//! (`pieces`, `bound`), to draw again and to run again (`job`, `effort`).

use nesting::{Argument, Cut, Level, Placement, Snap, Turn, Verdict};
use pieces::{Cutting, Direction, Drape, Grain, Length, Outline, Point};
use serde::{Deserialize, Serialize};

/// The version that is written.
pub const SCHEMA: &str = "lengthwise-answer/1";

/// A verdict, or `plan` where nothing was on hand to judge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Word {
    /// Nothing was on hand: the cloth is to be bought.
    Plan,
    /// A layout that was checked fits.
    Enough,
    /// Neither is shown.
    Undecided,
    /// No layout can fit: proved.
    NotEnough,
}

impl From<Verdict> for Word {
    fn from(verdict: Verdict) -> Self {
        match verdict {
            Verdict::Enough => Word::Enough,
            Verdict::NotEnough => Word::NotEnough,
            Verdict::Undecided => Word::Undecided,
        }
    }
}

impl Word {
    /// The verdict, if there was a question.
    #[must_use]
    pub fn verdict(self) -> Option<Verdict> {
        match self {
            Word::Plan => None,
            Word::Enough => Some(Verdict::Enough),
            Word::NotEnough => Some(Verdict::NotEnough),
            Word::Undecided => Some(Verdict::Undecided),
        }
    }

    /// As a person reads it.
    #[must_use]
    pub fn said(self) -> &'static str {
        match self {
            Word::Plan => "a plan",
            Word::Enough => "enough",
            Word::NotEnough => "not enough",
            Word::Undecided => "undecided",
        }
    }
}

/// The whole file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AnswerFile {
    /// [`SCHEMA`].
    pub schema: String,
    /// The worst of the cloths that were asked about; `plan` where nothing was on hand.
    pub verdict: Word,
    /// What was asked.
    pub job: JobRecord,
    /// What was spent on it.
    pub effort: EffortRecord,
    /// One for each fabric, in the order of the job.
    pub cloths: Vec<ClothRecord>,
    /// What to buy.
    pub shopping: Vec<ShoppingRecord>,
    /// Where several lengths were on hand: each of them.
    pub alternatives: Vec<AlternativeRecord>,
    /// What the drafts have to say, and what in the job looks odd.
    pub notes: Vec<String>,
}

/// What was asked, with the texts it was read from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct JobRecord {
    /// Title of the job.
    pub title: String,
    /// Its unit: `cm`.
    pub units: String,
    /// The choice it was planned under, where it was compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub choice: Option<String>,
    /// The job file first, then what it names.
    pub files: Vec<FileRecord>,
}

/// A text that a job was read from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileRecord {
    /// Its name, without folders.
    pub name: String,
    /// What stood in it.
    pub text: String,
}

/// What was spent.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EffortRecord {
    /// Most steps allowed; absent: by the size of the job and the level.
    pub steps: Option<u64>,
    /// How hard was looked where no steps are given; answers of earlier versions have none.
    #[serde(default)]
    pub level: Level,
    /// Most seconds allowed; absent: no limit.
    pub seconds: Option<f64>,
    /// Threads.
    pub threads: usize,
    /// Seed of every random choice.
    pub seed: u64,
    /// How many searches led here, each going on from the one before; absent: one.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub runs: u32,
}

const fn one() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks so")]
const fn is_one(runs: &u32) -> bool {
    *runs == 1
}

/// One of several cloths that were asked about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct AlternativeRecord {
    /// The worst of its cloths.
    pub verdict: Word,
    /// All cloths of the job, with this length on hand.
    pub cloths: Vec<ClothRecord>,
}

/// One cloth with its layout and its proof.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClothRecord {
    /// The fabric's key in the job.
    pub fabric: String,
    /// On this cloth.
    pub verdict: Word,
    /// From edge to edge.
    pub width_um: Length,
    /// Left and right border of what may be laid on.
    pub usable_x_um: [Length; 2],
    /// On hand (washed) where it is enough; else the length of the layout.
    pub length_um: Length,
    /// Length of the layout.
    pub needed_um: Length,
    /// No layout is shorter.
    pub bound_um: Length,
    /// Why not; items count `pieces` from 0.
    pub proof: Argument,
    /// On hand as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_hand_um: Option<Length>,
    /// On hand after washing: what the verdict is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_hand_washed_um: Option<Length>,
    /// To buy for this layout, where what is on hand is not known to be enough.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub buy_um: Option<Length>,
    /// See [`Direction`].
    pub direction: Direction,
    /// See [`Drape`].
    pub drape: Drape,
    /// Lost in washing, parts per million.
    pub shrinkage_ppm: u32,
    /// Kept free between pieces.
    pub spacing_um: Length,
    /// How pieces are cut out; answers of earlier versions have none.
    #[serde(default)]
    pub cutting: Cutting,
    /// Where they are cut out by straight cuts, these, in order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub straight_cuts: Vec<Cut>,
    /// The same pieces, cut out freely, lie on this length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_freely_um: Option<Length>,
    /// Positions are whole multiples of it where they can be.
    pub marking_step_um: Length,
    /// How far they are.
    pub positions: PositionsRecord,
    /// What found the layout.
    pub engine: String,
    /// Steps spent.
    pub steps: u64,
    /// What was to be laid.
    pub pieces: Vec<PieceRecord>,
    /// Where it lies.
    pub placements: Vec<PlacementRecord>,
    /// Places that no piece may cover.
    pub flaws: Vec<FlawRecord>,
}

/// How the printed positions relate to the marking step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PositionsRecord {
    /// Pieces with their lower left corner on the step, both ways.
    pub on_step: usize,
    /// Largest distance from a corner to the nearest step; printed numbers are rounded by at most that.
    pub largest_rounding_um: Length,
}

impl From<Snap> for PositionsRecord {
    fn from(snap: Snap) -> Self {
        PositionsRecord {
            on_step: snap.on_step,
            largest_rounding_um: snap.largest_rounding,
        }
    }
}

/// A piece to lay, with what it may do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PieceRecord {
    /// What it is: `front panel`.
    pub piece: String,
    /// Whose it is.
    pub wearer: Option<String>,
    /// Number of its garment, from 0; the first of them where its copies belong to several.
    pub garment: u32,
    /// How many garments its copies belong to, in equal shares.
    pub garments: u32,
    /// How many to lay.
    pub copies: u32,
    /// How it lies on the grain.
    pub grain: Grain,
    /// Cut edge as it lies on the grain.
    pub outline_um: Outline,
    /// Allowed turns on the cloth, degrees counter-clockwise.
    pub turns_deg: Vec<Turn>,
    /// True if it may be turned over.
    pub may_mirror: bool,
    /// True if all pieces of its garment must take the same turn.
    pub turns_with_garment: bool,
}

/// One copy of a piece in its place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlacementRecord {
    /// Index into `pieces`.
    pub item: usize,
    /// Which copy, from 0.
    pub copy: u32,
    /// Number of its garment, from 0.
    #[serde(default)]
    pub garment: u32,
    /// What it is.
    pub piece: String,
    /// Whose it is.
    pub wearer: Option<String>,
    /// Degrees from how it is worn, counter-clockwise, its grain's own turn included.
    pub turned_deg: u16,
    /// Its turn from how it lies on the grain.
    pub on_grain_turned_deg: Turn,
    /// True if it is turned over.
    pub mirrored: bool,
    /// Where its origin lies.
    pub at_um: Point,
    /// Cut edge as placed.
    pub outline_um: Vec<Point>,
}

impl From<&PlacementRecord> for Placement {
    fn from(record: &PlacementRecord) -> Self {
        Placement {
            item: record.item,
            copy: record.copy,
            turn: record.on_grain_turned_deg,
            mirrored: record.mirrored,
            at: record.at_um,
        }
    }
}

/// A place that no piece may cover.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FlawRecord {
    /// Its edge.
    pub outline_um: Outline,
}

/// Something to buy.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShoppingRecord {
    /// What: `linden, 140 cm wide`.
    pub what: String,
    /// How much, in `unit`.
    pub quantity: f64,
    /// `m`, `yd`, `cm` or `in`.
    pub unit: String,
    /// How much, exactly.
    pub length_um: Length,
    /// As a shop says it: `1 5/8 yd`.
    pub text: String,
    /// What it costs, in hundredths of the job's currency, where it is priced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_hundredths: Option<i64>,
    /// What it is cut into, where it is no cloth.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<CutRecord>,
}

/// A length cut for a wearer from what was bought.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CutRecord {
    /// For whom.
    pub wearer: String,
    /// How many.
    pub copies: u32,
    /// How long each.
    pub length_um: Length,
    /// The same in words.
    pub text: String,
}
