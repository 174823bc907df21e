//! Flared panels in six sizes, four of each: how far the best layout is above the bound, and what each argument brings
//! to the bound on its own.

use lengthwise::job::Job;
use lengthwise::message::Refused;
use nesting::bound::measured;
use nesting::{Problem, Silent, verify};
use pieces::Length;

use crate::case::{MM, problem_of};
use crate::effort;
use crate::instance::Instance;

/// Widths of cloth, centimetres, from edge to edge.
const WIDTHS: [u32; 3] = [110, 140, 150];

/// Waist, low waist, hips and skirt length, centimetres: a ladder of steps as size tables have it, made up.
const SIZES: [[u32; 4]; 6] = [
    [66, 74, 90, 88],
    [70, 78, 94, 90],
    [74, 82, 98, 92],
    [78, 86, 102, 94],
    [84, 92, 108, 96],
    [90, 98, 114, 98],
];

/// Lays them, or those of two sizes only, in so many seconds each, a line for each job.
pub fn run(few: bool, effort: &effort::Effort, seconds: f64) -> Result<(), String> {
    println!("job | layout | area | functions | slices | zones | best | abreast | refused | gap");
    for width in WIDTHS {
        for direction in ["one-way", "two-way"] {
            let name = format!("{width} cm, {direction}");
            let sizes = if few { &SIZES[..2] } else { &SIZES[..] };
            let problem = panels(width, direction, sizes)?;
            let count = problem.piece_count();
            let said = measured(&problem);
            let instance = Instance {
                name: name.clone(),
                file: None,
                problem,
                scale: MM,
            };
            let (answer, _) = effort.lay(&instance, seconds, &mut Silent)?;
            if let Err(violations) = verify::marker(&instance.problem, &answer.marker) {
                return Err(format!("{name}: {violations:?}"));
            }
            let needed = answer.marker.length;
            let bound = said.refused.max(said.abreast).max(answer.bound.length);
            if bound > needed {
                return Err(format!("{name}: {bound} above a layout of {needed}"));
            }
            let cm = |length: Length| format!("{:.1}", length.mm() / 10.0);
            let gap = 100.0 * (needed - bound).um() as f64 / needed.um() as f64;
            println!(
                "{name}, {count} pieces | {} | {} | {} | {} | {} | {} | {} | {} | {gap:.1} %",
                cm(needed),
                cm(said.area),
                cm(said.functions),
                cm(said.slices),
                cm(said.zones),
                cm(said.best),
                cm(said.abreast),
                cm(said.refused),
            );
        }
    }
    Ok(())
}

/// The panels as the draft makes them.
fn panels(width: u32, direction: &str, sizes: &[[u32; 4]]) -> Result<Problem, String> {
    let mut text = format!(
        "units = \"cm\"\n[fabric.cloth]\nwidth = {width}\nselvedge = 1\ndirection = \"{direction}\"\n\
         drape = \"soft\"\n"
    );
    for (number, [waist, low_waist, hip, length]) in sizes.iter().enumerate() {
        text.push_str(&format!(
            "[wearer.Size{number}]\nwaist_girth = {waist}\nlow_waist_girth = {low_waist}\nhip_girth = {hip}\n\
             skirt_length_front = {length}\nskirt_length_back = {length}\n"
        ));
    }
    text.push_str(
        "[[make]]\ndraft = \"panel skirt\"\nfabric = \"cloth\"\npanels = 4\nflare = 10\n",
    );
    let job = Job::read("flared.toml", &text, &mut |name, _| {
        Err(Refused::plain(name, ""))
    });
    let job = job.map_err(|refused| refused.to_string())?;
    problem_of(&job)
}
