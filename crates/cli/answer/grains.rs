//! Grain that may lie either way, on cloth that does not let it.

use pieces::draft::Drafted;
use pieces::settings::Value;
use pieces::{Direction, Grain, Piece, Settings};

use crate::job::Job;
use crate::job::fabric::direction_name;
use crate::job::make::Make;

/// A note for each cloth on whose direction `grain = "either"` is spent in vain.
pub fn in_vain(job: &Job, make: &Make, drafted: &Drafted) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for fabric in job.fabrics.values() {
        let has_direction = fabric.direction != Direction::None;
        let is_meant = |piece: &&Piece| {
            let bounds = piece.cut.bounds();
            has_direction
                && piece.fabric == fabric.name
                && piece.grain == Grain::Either
                && bounds.across() != bounds.along()
                && is_asked_for(make, &piece.name)
        };
        let mut names: Vec<&str> = Vec::new();
        for piece in drafted.pieces.iter().filter(is_meant) {
            if !names.contains(&piece.name.as_str()) {
                names.push(&piece.name);
            }
        }
        if names.is_empty() {
            continue;
        }
        notes.push(format!(
            "grain = \"either\" changes nothing for {}: {} has direction = \"{}\", so a piece on it is never laid \
             sideways. With direction = \"none\", if the cloth looks the same all ways, it may be.",
            names.join(", "),
            fabric.name,
            direction_name(fabric.direction)
        ));
    }
    notes
}

/// Whether the job says so, and not the draft by itself: of all pieces, or in the table of this one.
fn is_asked_for(make: &Make, piece: &str) -> bool {
    let is_either = |settings: &Settings| settings.text("", "grain") == Ok(Some("either"));
    let tables = make.options.one_or_list("piece").unwrap_or_default();
    let own = tables.iter().any(|setting| match &setting.value {
        Value::Table(table) => {
            let name = table.text("", "name").ok().flatten();
            name.is_some_and(|name| piece.starts_with(name)) && is_either(table)
        }
        _ => false,
    });
    own || is_either(&make.options)
}
