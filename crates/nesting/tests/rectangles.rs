//! Rectangles of a fixed direction against optima that others published or proved.

mod data;

use data::{name, read, rectangles, um};
use nesting::{Budget, Silent, bound, plan, verify};
use pieces::Length;

/// Bengtsson 1982 and Beasley 1985: proved by a general solver, OR-Tools CP-SAT 9.15, 30 s on two cores.
const PROVED: [(&str, i64); 10] = [
    ("BENG1", 30),
    ("BENG2", 57),
    ("BENG3", 84),
    ("BENG6", 36),
    ("gcut1", 731),
    ("gcut2", 1_301),
    ("gcut5", 1_338),
    ("gcut6", 2_911),
    ("gcut7", 4_358),
    ("gcut9", 2_241),
];

/// Zero-waste sets, the optimum is in the file: Hopper and Turton 2001; Burke, Kendall and Whitwell 2004.
const FULL: [&str; 11] = [
    "C1_1", "C1_2", "C1_3", "C2_1", "C2_3", "C3_1", "C3_2", "C3_3", "BKW1", "BKW2", "BKW4",
];

/// Enough for all of them; for the sets of Beasley to prove it as well.
const STEPS: u64 = 600_000;
const TO_PROVE: u64 = 3_000_000;

#[test]
fn known_optima_are_found() {
    let mut count = 0;
    for set in read("rect") {
        let problem = rectangles(&set);
        let proved = PROVED.iter().find(|(proved, _)| *proved == name(&set));
        let optimum = match proved {
            Some(&(_, length)) => Length::from_mm(length),
            None if FULL.contains(&name(&set)) => Length::from_um(um(&set["optimal_length"])),
            None => continue,
        };
        let is_beasley = name(&set).starts_with("gcut");
        let budget = Budget {
            steps: Some(if is_beasley { TO_PROVE } else { STEPS }),
            ..Budget::default()
        };
        let answer = plan(&problem, &budget, &mut Silent).unwrap();
        assert_eq!(verify::marker(&problem, &answer.marker), Ok(()));
        assert!(answer.bound.length <= optimum, "{}", name(&set));
        assert_eq!(answer.marker.length, optimum, "{}", name(&set));
        // Their area over the width, rounded up to the next sum of lengths, which here is any whole number.
        if name(&set).starts_with("BENG") || is_beasley {
            assert_eq!(answer.bound.length, optimum, "{}", name(&set));
            assert!(bound::recheck(&problem, &answer.bound));
        }
        count += 1;
    }
    assert!(count == 0 || count == PROVED.len() + FULL.len(), "{count}");
}
