//! What to take care of with a job, one line each, and only where it applies.
//!
//! Common practice, no published source, but the day of hanging: Hemming Skills, 4-H92125, Oregon
//! State University Extension.

use pieces::{Cutting, Drape, Length, Rounding, Settings, Wearer};

use crate::answer::Answered;
use crate::job::make::Make;

/// Nearer to the floor than this a hem is one that feet meet.
const CLEAR_OF_THE_FLOOR: Length = Length::from_cm(10);

/// A skirt as long as this is taken to reach the floor where nothing says how far that is.
const FLOOR_LENGTH: Length = Length::from_cm(85);

/// Finished lengths from the waistband down.
const SKIRT_LENGTHS: [&str; 3] = ["skirt_length", "skirt_length_front", "skirt_length_back"];

/// Measurements from the waist, or where the waistband sits, to the floor.
const TO_THE_FLOOR: [&str; 4] = [
    "waist_to_floor_front",
    "waist_to_floor_back",
    "waist_height",
    "outside_leg_length",
];

/// The cautions for this job.
pub fn of(answered: &Answered) -> Vec<String> {
    let mut lines = Vec::new();
    if trips(answered) {
        let clear = if answered.job.shown_in.is_metric() {
            "2 to 5 cm"
        } else {
            "1 to 2 in"
        };
        lines.push(format!(
            "Long hems trip: try the length in the shoes to be worn; for dancing keep it {clear} off \
             the floor."
        ));
    }
    let drops = answered.cloths.iter().any(|cloth| {
        let hems = cloth
            .pieces
            .iter()
            .any(|p| p.hem.is_some() && p.wearer.is_some());
        hems && answered.drapes(cloth).contains(&Drape::Soft)
    });
    if drops {
        lines.push("Soft cloth drops: hang it for a day before the hem is marked.".to_owned());
    }
    if answered.extras.iter().any(|e| e.what.contains("elastic")) {
        lines.push(
            "Elastic must not mark or numb: wear it for ten minutes before the last stitch."
                .to_owned(),
        );
    }
    let cuttings = answered.cloths.iter().map(|cloth| cloth.fabric.cutting);
    if cuttings.clone().any(|cutting| cutting == Cutting::Tear) {
        lines.push(
            "Not every cloth tears true: try it on a scrap, snip the edge first, and press the torn edges; \
             the last threads are frayed."
                .to_owned(),
        );
    }
    if cuttings
        .into_iter()
        .any(|cutting| cutting == Cutting::Straight)
    {
        lines.push(
            "A rotary blade cuts fingers as well: cut away from the hand that holds the ruler, and close \
             the blade after every cut."
                .to_owned(),
        );
    }
    lines
}

/// True if a skirt of the job comes near the floor.
fn trips(answered: &Answered) -> bool {
    let job = &answered.job;
    job.makes.iter().any(|make| {
        let needs = make.draft.needs(&Settings::default());
        let skirt = needs.iter().any(|need| SKIRT_LENGTHS.contains(need));
        skirt
            && make.wearers.iter().any(|&wearer| {
                let wearer = &job.wearers[wearer];
                longest(make, wearer, job.units).is_some_and(|long| long >= near_the_floor(wearer))
            })
    })
}

/// The length of a skirt from the waistband to the lowest place of its hem.
fn longest(make: &Make, wearer: &Wearer, units: pieces::Units) -> Option<Length> {
    let own = make
        .options
        .positive_length("", "length", units, Rounding::Up);
    let taken = SKIRT_LENGTHS
        .iter()
        .filter_map(|key| wearer.measurement(key));
    own.ok().flatten().or_else(|| taken.max())
}

fn near_the_floor(wearer: &Wearer) -> Length {
    let known = TO_THE_FLOOR
        .iter()
        .filter_map(|key| wearer.measurement(key));
    known
        .min()
        .map_or(FLOOR_LENGTH, |floor| floor - CLEAR_OF_THE_FLOOR)
}
