//! `lengthwise drafts`: what can be made, and what each draft wants to know.

use pieces::Settings;
use pieces::draft::{self, Draft, OptionSpec};
use pieces::measurement;
use pieces::settings::known_names;

use super::{Exit, say, wrapped};
use crate::answer::Trouble;
use crate::args::Drafts;
use crate::message::Refused;

/// A person's own draft to learn from; a test plans it, so what is shown works.
const OWN_DRAFT: &str = include_str!("../../../examples/06-waistcoat.toml");

pub fn run(args: &Drafts) -> Result<Exit, Trouble> {
    match &args.name {
        None => say(&list())?,
        Some(name) => {
            let found = draft::find(name);
            let draft = found.ok_or_else(|| {
                let known: Vec<&str> = draft::all().iter().map(|d| d.name()).collect();
                Refused::plain(
                    format!("there is no draft \"{name}\""),
                    known_names(name, &known),
                )
            })?;
            say(&describe(draft))?;
        }
    }
    Ok(Exit::Answered)
}

/// Every draft with what it needs and what it looks like.
fn list() -> String {
    let mut out = "Drafts\n".to_owned();
    for draft in draft::all() {
        let needs = draft.needs(&Settings::default());
        let needs = if needs.is_empty() {
            "no measurements".to_owned()
        } else {
            needs.join(", ")
        };
        out.push_str(&format!("\n{}\n", draft.name()));
        out.push_str(&wrapped(draft.summary(), 2, 80));
        out.push_str(&wrapped(&format!("needs: {needs}"), 2, 80));
        let sketch = draft.sketch().trim_matches('\n');
        if !sketch.is_empty() {
            out.push_str(&format!("\n{sketch}\n"));
        }
    }
    out.push_str(&format!(
        "\nOne of them in full: lengthwise drafts \"{}\"\n",
        draft::all().first().map_or("", |draft| draft.name())
    ));
    out
}

fn options(specs: &[OptionSpec]) -> String {
    let mut out = String::new();
    for option in specs {
        out.push_str(&format!(
            "  {}: {}; default {}\n",
            option.key, option.takes, option.default
        ));
        out.push_str(&wrapped(option.about, 6, 90));
    }
    out
}

fn describe(draft: &dyn Draft) -> String {
    let mut out = format!("{}\n{}\n", draft.name(), wrapped(draft.summary(), 2, 90));
    out.push_str(draft.sketch().trim_matches('\n'));
    out.push_str("\n\nMeasurements it needs\n");
    let needs = draft.needs(&Settings::default());
    if needs.is_empty() {
        out.push_str("  none\n");
    }
    for key in needs {
        out.push_str(&format!("  {key}: {}\n", measurement::name_of(key)));
        if let Some(known) = measurement::find(key) {
            out.push_str(&wrapped(known.how, 6, 90));
        }
    }
    out.push_str("\nWhat can be set in its [[make]], beside draft, fabric, wearers and copies\n");
    out.push_str(&options(draft.options()));
    for (heading, inside) in draft.tables() {
        out.push_str(&format!("\nWhat can be set in {heading}\n"));
        out.push_str(&options(inside));
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
