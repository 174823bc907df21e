//! `lengthwise drafts`: what can be made, and what each draft wants to know.

use pieces::Settings;
use pieces::draft::{self, Draft, OptionSpec};
use pieces::measurement;
use pieces::settings::known_names;

use super::{Exit, say};
use crate::answer::Trouble;
use crate::args::Drafts;
use crate::lines::{self, indented, wrapped};
use crate::message::Refused;

/// A person's own draft to learn from; a test plans it, so what is shown works.
const OWN_DRAFT: &str = include_str!("../../../examples/06-waistcoat.toml");

pub fn run(args: &Drafts) -> Result<Exit, Trouble> {
    let width = lines::of_output();
    if args.name.is_empty() {
        say(&list(width))?;
    } else {
        say(&describe(named(&args.name.join(" "))?, width))?;
    }
    Ok(Exit::Answered)
}

/// The draft of that name, or the only one whose name begins like it.
fn named(name: &str) -> Result<&'static dyn Draft, Refused> {
    let plain = |name: &str| name.to_lowercase().replace(['_', '-'], " ");
    let wanted = plain(name);
    let wanted = wanted.split_whitespace().collect::<Vec<_>>().join(" ");
    let all = draft::all().iter().copied();
    if let Some(draft) = all.clone().find(|draft| plain(draft.name()) == wanted) {
        return Ok(draft);
    }
    let begin: Vec<&dyn Draft> = all
        .filter(|draft| !wanted.is_empty() && plain(draft.name()).starts_with(&wanted))
        .collect();
    match begin.as_slice() {
        [draft] => Ok(*draft),
        [] => {
            let known: Vec<&str> = draft::all().iter().map(|d| d.name()).collect();
            Err(Refused::plain(
                format!("there is no draft \"{name}\""),
                known_names(name, &known),
            ))
        }
        several => {
            let names: Vec<&str> = several.iter().map(|d| d.name()).collect();
            Err(Refused::plain(
                format!("several drafts begin with \"{name}\""),
                format!("write more of the name: {}", names.join(", ")),
            ))
        }
    }
}

/// Every draft with what it needs and what it looks like.
fn list(width: usize) -> String {
    let mut out = "Drafts\n".to_owned();
    for draft in draft::all() {
        let needs = draft.needs(&Settings::default());
        let needs = if needs.is_empty() {
            "no measurements".to_owned()
        } else {
            needs.join(", ")
        };
        out.push_str(&format!("\n{}\n", draft.name()));
        out.push_str(&indented(draft.summary(), 2, width));
        out.push_str(&wrapped(&format!("needs: {needs}"), "  ", "    ", width));
        let sketch = draft.sketch().trim_matches('\n');
        if !sketch.is_empty() {
            out.push_str(&format!("\n{sketch}\n"));
        }
    }
    out.push_str(&format!(
        "\nOne of them in full: lengthwise drafts {}\n",
        draft::all().first().map_or("", |draft| draft.name())
    ));
    out
}

fn options(specs: &[OptionSpec], width: usize) -> String {
    let mut out = String::new();
    for option in specs {
        let takes = format!(
            "{}: {}; default: {}",
            option.key, option.takes, option.default
        );
        out.push_str(&wrapped(&takes, "  ", "    ", width));
        out.push_str(&indented(option.about, 6, width));
    }
    out
}

fn describe(draft: &dyn Draft, width: usize) -> String {
    let summary = indented(draft.summary(), 2, width);
    let mut out = format!("{}\n{summary}\n", draft.name());
    out.push_str(draft.sketch().trim_matches('\n'));
    out.push_str("\n\nMeasurements it needs\n");
    let needs = draft.needs(&Settings::default());
    if needs.is_empty() {
        out.push_str("  none\n");
    }
    for key in needs {
        out.push_str(&format!("  {key}: {}\n", measurement::name_of(key)));
        if let Some(known) = measurement::find(key) {
            out.push_str(&indented(known.how, 6, width));
        }
    }
    out.push_str("\nWhat can be set in its [[make]], beside draft, fabric, wearers and copies\n");
    out.push_str(&options(draft.options(), width));
    for (heading, inside) in draft.tables() {
        out.push_str(&format!("\nWhat can be set in {heading}\n"));
        out.push_str(&options(inside, width));
    }
    if draft.name() == "custom" {
        out.push_str("\nA whole one, as it stands in a file that `file` names\n\n");
        for line in OWN_DRAFT.lines() {
            out.push_str(format!("  {line}").trim_end());
            out.push('\n');
        }
    }
    out
}
