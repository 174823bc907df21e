use super::super::{best, greater_abreast, recheck};
use super::*;
use crate::jobs::{ONE_WAY, TWO_WAY, item, outline, problem, problem_um, trapezoid};
use crate::problem::Turn;
use pieces::Outline;

fn panels(turns: &[Turn]) -> Problem {
    problem(1_299, vec![item(trapezoid(350, 600, 840), 20, turns)])
}

fn greater(problem: &Problem) -> Option<Bound> {
    greater_abreast(problem, &best(problem), 20_000_000_000, &|| false)
}

/// Geometry: two heads of 350 mm and a foot of 600 mm are 1,300 mm, so on less no third one-way panel begins beside two
/// others. Two abreast at most, twenty of 840 mm take 8,400 mm, which is a layout too; their sections alone would let
/// three stand side by side.
#[test]
fn beside_two_heads_there_is_no_room_for_a_foot() {
    let problem = panels(ONE_WAY);
    let bound = greater(&problem).unwrap();
    assert!(
        (8_380_000..=8_400_000).contains(&bound.length.um()),
        "{bound:?}"
    );
    assert!(best(&problem).length.um() < 7_000_000);
    assert!(recheck(&problem, &bound));
    // Head to tail they mate: staggered or not, but never longer.
    let problem = panels(TWO_WAY);
    let length = greater(&problem).map_or(0, |bound| bound.length.um());
    assert!(length <= 8_400_000);
}

#[test]
fn worth_that_is_not_so_proves_nothing() {
    let problem = panels(ONE_WAY);
    let bound = greater(&problem).unwrap();
    let Argument::Abreast(abreast) = &bound.argument else {
        panic!("{bound:?}");
    };
    let with = |change: &dyn Fn(&mut Abreast)| {
        let mut changed = abreast.clone();
        change(&mut changed);
        recheck(
            &problem,
            &Bound {
                argument: Argument::Abreast(changed),
                ..bound.clone()
            },
        )
    };
    assert!(with(&|_| {}));
    assert!(!with(&|a| a.pieces[0].worth[0] /= 2));
    assert!(!with(&|a| a.pieces[0].worth[0] *= 2));
    assert!(!with(&|a| a.pieces[0].worth.clear()));
    assert!(!with(&|a| a.pieces[0].turns = vec![Turn::Half]));
    assert!(!with(&|a| a.pieces[0].items[0] = 1));
    assert!(!with(&|a| a.pieces.clear()));
    assert!(!with(&|a| a.wider = Length::from_um(1)));
    let longer = Bound {
        length: bound.length + Length::from_um(1_000),
        ..bound.clone()
    };
    assert!(!recheck(&problem, &longer));
}

/// Geometry: beside a strip of 99 um two slivers of 1 um, head to tail, fill 100 um. At most heights each of them is
/// less than a micrometre wide.
#[test]
fn slivers_too_narrow_for_a_micrometre_are_in_company() {
    let um = Length::from_um;
    let strip = Outline::rectangle(um(99), um(1_000)).unwrap();
    let sliver = outline(&[(0, 0), (1, 0), (0, 1_000)]);
    let problem = problem_um(100, vec![item(strip, 1, ONE_WAY), item(sliver, 2, TWO_WAY)]);
    let pieces = Pieces::of(&problem, grown::all(0)[0]).unwrap();
    let parts = parts(&pieces.distances.stances, 4);
    let worth: Vec<u64> = parts.iter().map(|part| [1_000, 5][part.kind]).collect();
    let mut companies = pieces.companies(&parts, 1_000_000_000, &|| false);
    let mut candidates = Candidates::of(&mut companies).unwrap();
    let looked = candidates.best(&mut companies, &worth, 0, 20).unwrap();
    assert_eq!(looked.most, 1_010);
}

/// Geometry: one-way panels of three sizes with feet of 600 mm and heads of 350 mm at least: on 1,299 mm never three abreast,
/// so twenty of them take ten times the least length.
#[test]
fn panels_of_several_sizes_are_taken_for_the_least() {
    let sizes = [(350, 600, 840), (352, 604, 850), (356, 610, 862)];
    let items = sizes.map(|(top, foot, along)| item(trapezoid(top, foot, along), 7, ONE_WAY));
    let problem = problem(1_299, items.to_vec());
    let alike = groups::groups(&problem, 1);
    assert_eq!(alike, [vec![0, 1, 2]]);
    assert_eq!(groups::groups(&problem, 2), [vec![0, 1], vec![2]]);
    let represented = groups::represented(&problem, &alike);
    assert_eq!(represented.piece_count(), 21);
    let mut work = 20_000_000_000;
    let known = best(&problem).length;
    let bound = in_groups(&problem, &alike, known, &mut work, &|| false).unwrap();
    assert!(
        (8_800_000..=21 * 420_000 + 9_000).contains(&bound.length.um()),
        "{bound:?}"
    );
    assert!(recheck(&problem, &bound));
    // Those that lie another way stay by themselves.
    let mut mixed = problem.clone();
    mixed.items[1].turns = TWO_WAY.to_vec();
    assert_eq!(groups::groups(&mixed, 1).len(), 2);
}
