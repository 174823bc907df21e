//! An answer, written down: [`Answered::file`].

use std::path::Path;

use super::schema::{
    AlternativeRecord, AnswerFile, ClothRecord, EffortRecord, FileRecord, FlawRecord, JobRecord,
    PieceRecord, PlacementRecord, SCHEMA, Word,
};
use super::{Answered, Effort, LaidCloth, Trouble, shopping, turned_from_worn};
use crate::job::Job;

impl Answered {
    /// What goes into `answer.json`.
    #[must_use]
    pub fn file(&self) -> AnswerFile {
        let chosen: Vec<Option<usize>> = self.cloths.iter().map(LaidCloth::chosen).collect();
        AnswerFile {
            schema: SCHEMA.to_owned(),
            verdict: self.verdict(),
            job: job_record(&self.job),
            effort: effort_record(&self.effort),
            cloths: self.with(&chosen).cloths,
            shopping: shopping::list(self),
            alternatives: self.alternatives(&chosen),
            notes: self.notes.clone(),
        }
    }

    /// The text of `answer.json`.
    ///
    /// # Errors
    /// None that a person can cause.
    pub fn to_json(&self) -> Result<String, Trouble> {
        serde_json::to_string_pretty(&self.file())
            .map(|text| text + "\n")
            .map_err(|error| Trouble::Internal(format!("cannot write the answer: {error}")))
    }

    /// Where a fabric has several offers: each of them, the other fabrics staying with their best.
    fn alternatives(&self, chosen: &[Option<usize>]) -> Vec<AlternativeRecord> {
        let mut alternatives = Vec::new();
        for (number, cloth) in self.cloths.iter().enumerate() {
            let offers = cloth.answer.rulings.len();
            if offers < 2 {
                continue;
            }
            for offer in 0..offers {
                let mut offers = chosen.to_vec();
                offers[number] = Some(offer);
                alternatives.push(self.with(&offers));
            }
        }
        alternatives
    }

    fn with(&self, offers: &[Option<usize>]) -> AlternativeRecord {
        let cloths: Vec<ClothRecord> = self
            .cloths
            .iter()
            .zip(offers)
            .map(|(cloth, &offer)| cloth.record(offer))
            .collect();
        AlternativeRecord {
            verdict: cloths
                .iter()
                .map(|cloth| cloth.verdict)
                .max()
                .unwrap_or(Word::Plan),
            cloths,
        }
    }
}

fn job_record(job: &Job) -> JobRecord {
    JobRecord {
        title: job.title.clone(),
        units: job.shown_in.name().to_owned(),
        choice: job.choice.clone(),
        files: job
            .sources
            .texts()
            .iter()
            .map(|text| FileRecord {
                // Without folders: an answer is passed on, a home directory is not.
                name: Path::new(&text.name)
                    .file_name()
                    .map_or_else(|| text.name.clone(), |n| n.to_string_lossy().into_owned()),
                text: text.text.clone(),
            })
            .collect(),
    }
}

fn effort_record(effort: &Effort) -> EffortRecord {
    EffortRecord {
        steps: effort.steps,
        level: effort.level,
        seconds: effort.time.map(|time| time.as_secs_f64()),
        threads: effort.threads,
        seed: effort.seed,
        runs: effort.runs,
    }
}

impl LaidCloth {
    /// This cloth with one of its offers on hand.
    fn record(&self, offer: Option<usize>) -> ClothRecord {
        let verdict = self.verdict(offer);
        let ruling = offer.map(|offer| &self.answer.rulings[offer]);
        let washed = ruling.map(|ruling| ruling.on_hand);
        let (left, right) = self.fabric.usable_width();
        let bound = self.bound();
        ClothRecord {
            fabric: self.fabric.name.clone(),
            verdict,
            width_um: self.fabric.width,
            usable_x_um: [left, right],
            length_um: washed
                .filter(|_| verdict == Word::Enough)
                .unwrap_or(self.needed()),
            needed_um: self.needed(),
            bound_um: bound.length,
            proof: bound.argument.clone(),
            on_hand_um: offer.map(|offer| self.fabric.on_hand[offer]),
            on_hand_washed_um: washed,
            buy_um: self.to_buy(offer),
            direction: self.fabric.direction,
            drape: self.fabric.drape,
            shrinkage_ppm: self.fabric.shrinkage_ppm,
            spacing_um: self.fabric.spacing,
            cutting: self.fabric.cutting,
            straight_cuts: self
                .answer
                .straight
                .as_ref()
                .map_or_else(Vec::new, |straight| straight.cuts.clone()),
            cut_freely_um: self.answer.straight.as_ref().map(|straight| straight.free),
            marking_step_um: self.problem.marking_step.unwrap_or_default(),
            positions: self.answer.snap.into(),
            engine: self.answer.engine.to_owned(),
            steps: self.answer.steps,
            pieces: self.piece_records(),
            placements: self.placement_records(),
            flaws: self
                .problem
                .cloth
                .flaws
                .iter()
                .map(|flaw| FlawRecord {
                    outline_um: flaw.clone(),
                })
                .collect(),
        }
    }

    fn piece_records(&self) -> Vec<PieceRecord> {
        self.pieces
            .iter()
            .zip(&self.spread)
            .zip(&self.problem.items)
            .map(|((piece, &garments), item)| PieceRecord {
                piece: piece.name.clone(),
                wearer: piece.wearer.clone(),
                garment: piece.garment,
                garments,
                copies: item.copies,
                grain: piece.grain,
                outline_um: item.outline.clone(),
                turns_deg: item.turns.clone(),
                may_mirror: item.may_mirror,
                turns_with_garment: item.garment.is_some(),
            })
            .collect()
    }

    fn placement_records(&self) -> Vec<PlacementRecord> {
        self.answer
            .marker
            .placements
            .iter()
            .map(|placement| {
                let piece = &self.pieces[placement.item];
                PlacementRecord {
                    item: placement.item,
                    copy: placement.copy,
                    garment: self.garment(placement.item, placement.copy),
                    piece: piece.name.clone(),
                    wearer: piece.wearer.clone(),
                    turned_deg: turned_from_worn(piece, placement),
                    on_grain_turned_deg: placement.turn,
                    mirrored: placement.mirrored,
                    at_um: placement.at,
                    outline_um: self.problem.placed(placement).points().to_vec(),
                }
            })
            .collect()
    }
}
