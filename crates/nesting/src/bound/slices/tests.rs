use good_lp::{Expression, ProblemVariables, Solution, SolverModel, Variable, microlp, variable};
use pieces::{Outline, Point};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

use super::*;
use crate::bound::grown::{self, Grown};
use crate::problem::{Cloth, Item, Problem, Turn};

const NOT_GROWN: Grown = Grown {
    across: 0,
    along: 0,
};
const ENDS: [Turn; 2] = [Turn::None, Turn::Half];

/// Feet, heads and heights of straight-sided pieces, and how many of each.
fn problem(usable: i64, pieces: &[(i64, i64, i64, u32)], turns: &[Turn]) -> Problem {
    let item = |&(foot, head, along, copies): &(i64, i64, i64, u32)| {
        let corners = [(0, 0), (foot, 0), (head, along), (0, along)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        Item {
            label: "panel".into(),
            outline: Outline::new(corners.to_vec()).unwrap(),
            copies,
            turns: turns.to_vec(),
            may_mirror: false,
            garment: None,
            anchor: None,
        }
    };
    Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        items: pieces.iter().map(item).collect(),
        ..Problem::default()
    }
}

/// A search that knows nothing yet, or asks about a length.
fn search(problem: &Problem, grown: Grown, asked: i64) -> Search<'_> {
    let mut search = Search::new(problem, grown, asked, 6);
    search.best.length = Length::from_um(1);
    search.work_on_slices = 40_000_000;
    search
}

/// What slices alone prove of the length.
fn proved(problem: &Problem) -> Option<i64> {
    let slices = search(problem, NOT_GROWN, 0).guessed(None)?;
    Some(
        certificate::proved(problem, &slices)
            .expect("it was worked out")
            .um(),
    )
}

/// The least length for slices: every filling there is, in one linear program.
fn by_all_fillings(cuts: &[Cut], room: i64) -> f64 {
    fn fillings(classes: &[(usize, usize, i64)], left: &mut [i64], room: i64) -> Vec<Filling> {
        let Some((&(kind, number, width), rest)) = classes.split_first() else {
            return vec![Filling::new()];
        };
        let mut all = fillings(rest, left, room);
        if left[kind] > 0 && width <= room {
            left[kind] -= 1;
            for mut filling in fillings(classes, left, room - width) {
                *filling.entry((kind, number)).or_default() += 1;
                all.push(filling);
            }
            left[kind] += 1;
        }
        all
    }
    let mut classes = Vec::new();
    for (kind, cut) in cuts.iter().enumerate() {
        let of_kind = cut.widths.iter().enumerate();
        classes.extend(of_kind.map(|(number, &width)| (kind, number, width)));
    }
    let mut left: Vec<i64> = cuts.iter().map(|cut| cut.copies).collect();
    let all = fillings(&classes, &mut left, room);
    let mut variables = ProblemVariables::new();
    let lasts: Vec<Variable> = variables.add_vector(variable().min(0.0), all.len());
    let length: Expression = lasts.iter().copied().map(Expression::from).sum();
    let mut model = variables.minimise(&length).using(microlp);
    for &(kind, number, _) in &classes {
        let wide = &cuts[kind].lying[0].wide;
        let along = |number: usize| {
            let heights = wide.get(number).into_iter().flatten();
            heights.map(|(from, to)| to - from).sum::<i64>()
        };
        let need = (cuts[kind].copies * (along(number) - along(number + 1))) as f64;
        let laid = all.iter().zip(&lasts).filter_map(|(filling, &lasts)| {
            let count = filling.get(&(kind, number))?;
            Some(lasts * f64::from(*count))
        });
        model.add_constraint(laid.sum::<Expression>().geq(need));
    }
    let solution = model.solve().unwrap();
    lasts.iter().map(|&lasts| solution.value(lasts)).sum()
}

#[test]
fn as_long_as_the_best_of_all_ways_to_fill_the_width() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(8);
    for round in 0..40 {
        let mut piece = || {
            let foot = random.random_range(10..70);
            let head = (foot - 4 * random.random_range(0..3)).max(5);
            let height = 1_000 * random.random_range(1..9);
            (foot, head, height, random.random_range(1..4))
        };
        let pieces = [piece(), piece(), piece()];
        let problem = problem(100, &pieces, &ENDS);
        let search = search(&problem, NOT_GROWN, 0);
        let cuts: Vec<Cut> = search
            .kinds
            .iter()
            .map(|kind| Cut::of(kind, SLICES, MOST_WIDTHS / search.kinds.len(), true))
            .collect();
        let best = by_all_fillings(&cuts, 100);
        let found = proved(&problem).expect("some length is proved") as f64;
        // Worth in whole numbers loses a little; widths from one step to the next count in the checker.
        assert!(found <= best + 1.0, "{round}: {found} above {best}");
        assert!(
            found >= best * 0.997,
            "{round}: {found} of {best} {pieces:?}"
        );
    }
}

/// Geometry: of 40, 35 and 30 wide, all 1 m long, two of each: three side by side on 105, so two rows.
/// On 104 the three no longer fit: five slices can't do with two rows.
#[test]
fn rectangles_by_hand() {
    let of = |usable| {
        let each = |width| (width, width, 1_000, 2);
        let pieces = [each(40), each(35), each(30)];
        proved(&problem(usable, &pieces, &[Turn::None]))
    };
    assert_eq!(of(105), Some(2_000));
    assert!(of(104) > Some(2_000));
    assert_eq!(of(79), Some(3_000));
}

/// Rows of panels cut from a cloth, some left out: they lie on its length.
fn cut_cloth(random: &mut Xoshiro256PlusPlus, spacing: i64) -> (Problem, i64) {
    let usable = random.random_range(300..600);
    let mut problem = problem(usable, &[], &[Turn::None]);
    problem.spacing = Length::from_um(spacing);
    let mut y = 0;
    for _ in 0..random.random_range(1..4) {
        let height = random.random_range(200..900);
        let count = random.random_range(1..5);
        let lean = usable / count / 3 + 1;
        let (mut foot, mut head) = (0, 0);
        for place in 1..=count {
            let cut = |random: &mut Xoshiro256PlusPlus| {
                if place == count {
                    usable
                } else {
                    usable * place / count - random.random_range(0..lean)
                }
            };
            let (next_foot, next_head) = (cut(random), cut(random));
            let corners = [
                (foot, 0),
                (next_foot, 0),
                (next_head, height),
                (head, height),
            ];
            let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
            let gap = if spacing == 0 { 0 } else { spacing * 3 };
            (foot, head) = (next_foot + gap, next_head + gap);
            let Ok(outline) = Outline::new(corners) else {
                continue;
            };
            if random.random_range(0..6) > 0 {
                let turned = random.random_range(0..2) * 2;
                problem.items.push(Item {
                    label: "panel".into(),
                    outline: outline.turned(turned),
                    copies: 1,
                    turns: if turned == 0 {
                        vec![Turn::None]
                    } else {
                        ENDS.to_vec()
                    },
                    may_mirror: false,
                    garment: None,
                    anchor: None,
                });
            }
        }
        y += height + spacing;
    }
    (problem, y - spacing)
}

/// Slices and zones asked in earnest, not only where other arguments leave them something to say.
#[test]
fn neither_slices_nor_zones_are_above_a_layout_that_exists() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(9);
    let mut near = 0;
    for round in 0..150 {
        let spacing = [0, 0, 9][round % 3];
        let (problem, length) = cut_cloth(&mut random, spacing);
        if problem.items.is_empty() {
            continue;
        }
        for grown in grown::all(spacing) {
            let mut free = search(&problem, grown, 0);
            free.slices();
            let found = free.best.length.um() - grown.along;
            assert!(
                found <= length,
                "{round}: {found} above {length} {problem:?}"
            );
            near += usize::from(found * 10 >= length * 9);
            let mut asked = search(&problem, grown, length + grown.along);
            asked.zones();
            assert!(!asked.is_done(), "{round}: {length} refused {problem:?}");
        }
    }
    assert!(near > 40, "{near}");
}

/// Geometry: of pieces 41 wide and 8 long two lie side by side on 100, though none beside one that is 60 wide and
/// 60 long and covers heights from 40 to 60 of 100 for sure: on the other 40 there is room for ten.
#[test]
fn zones_know_what_a_tall_piece_covers() {
    let beside = |count| {
        let pieces = [(60, 60, 6_000, 1), (41, 41, 800, count)];
        problem(100, &pieces, &[Turn::None])
    };
    let refuses = |count| {
        let problem = beside(count);
        let mut asked = search(&problem, NOT_GROWN, 10_000);
        asked.zones();
        asked.best.clone()
    };
    assert!(refuses(10).length.um() <= 10_000);
    let bound = refuses(11);
    assert_eq!(bound.length.um(), 10_001);
    let Argument::Slices(slices) = &bound.argument else {
        panic!("{bound:?}");
    };
    assert!(slices.zones.len() > 1);
    assert!(crate::bound::recheck(&beside(11), &bound));
    assert!(!crate::bound::recheck(&beside(10), &bound));
}

#[test]
fn a_claim_beyond_its_argument_is_not_confirmed() {
    let problem = problem(105, &[(40, 40, 1_000, 2), (35, 35, 900, 5)], &ENDS);
    let mut search = search(&problem, NOT_GROWN, 0);
    search.slices();
    let mut bound = search.best.clone();
    assert!(matches!(bound.argument, Argument::Slices(_)));
    assert!(crate::bound::recheck(&problem, &bound));
    bound.length += Length::from_um(1);
    assert!(!crate::bound::recheck(&problem, &bound));
}

/// Rectangles between a quarter and three quarters of the width and of each other's length, as the sets gcut have
/// them (Beasley 1985, from memory): there slices say more than all else.
#[test]
fn where_slices_say_most_the_argument_is_written_small_and_holds_when_read_again() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(10);
    let mut said = 0;
    for _ in 0..60 {
        let pieces: Vec<(i64, i64, i64, u32)> = (0..12)
            .map(|_| {
                let [across, along] = [0, 0].map(|_| 1_000 * random.random_range(250..750));
                (across, across, along, 1)
            })
            .collect();
        let problem = problem(1_000_000, &pieces, &[Turn::None]);
        let bound = crate::bound::best(&problem);
        let rest = match &bound.argument {
            Argument::Sums { rest } => rest.as_ref(),
            _ => &bound,
        };
        if !matches!(rest.argument, Argument::Slices(_)) {
            continue;
        }
        said += 1;
        let text = serde_json::to_string(&bound).unwrap();
        assert!(text.len() < 3_000, "{text}");
        assert_eq!(serde_json::from_str::<crate::Bound>(&text).unwrap(), bound);
        assert!(crate::bound::recheck(&problem, &bound));
    }
    assert!(said >= 8, "{said}");
}
