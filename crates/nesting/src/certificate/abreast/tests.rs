use super::*;
use crate::geometry::{WITHIN, convex_parts, simplified_within};
use crate::jobs::{ONE_WAY, TWO_WAY, item, problem_um, random_problem, trapezoid};
use crate::verdict::{Budget, Silent};
use pieces::Outline;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

fn um(length: i64) -> Length {
    Length::from_um(length)
}

fn abreast(items: &[usize], turns: &[Turn], worth: &[u32]) -> Abreast {
    let parts = Parts {
        items: items.to_vec(),
        turns: turns.to_vec(),
        worth: worth.to_vec(),
    };
    Abreast {
        pieces: vec![parts],
        ..Abreast::default()
    }
}

/// Worked by hand: three of 60 on a width of 100, each 10,000 long, but for 5 at either end: 3 times 9,990, one at a time.
/// On 120 there are two at a time.
#[test]
fn strips_that_have_no_room_abreast() {
    let strip = Outline::rectangle(um(60), um(10_000)).unwrap();
    let said = |width: i64, worth: &[u32]| {
        let problem = problem_um(width, vec![item(strip.clone(), 3, ONE_WAY)]);
        proved(&problem, &abreast(&[0], ONE_WAY, worth))
    };
    assert_eq!(said(100, &[1]), Some(um(29_970)));
    assert_eq!(said(100, &[1, 1]), Some(um(29_970)));
    assert_eq!(said(100, &[1, 3]), Some(um(19_980)));
    assert_eq!(said(120, &[1]), Some(um(14_985)));
    assert_eq!(said(100, &[0]), None);
    assert_eq!(said(100, &[]), None);
    assert_eq!(said(100, &[1; MOST_PARTS + 1]), None);
}

/// Geometry: two panels that flare differently, each as wide at the foot as the other; what they have in common is
/// narrower than either, and wherever one lies it is there.
#[test]
fn what_is_taken_for_one_another_counts_as_the_least() {
    let items = [(300, 600, 900), (350, 600, 1_000)];
    let items = items.map(|(top, foot, along)| item(trapezoid(top, foot, along), 2, ONE_WAY));
    let problem = crate::jobs::problem(1_100, items.to_vec());
    // No two feet on 1,100 mm: the lowest third of each is wider than half of it.
    let said = proved(&problem, &abreast(&[0, 1], ONE_WAY, &[1, 0, 0])).unwrap();
    // A third of 900 mm, but for what is left out, of four pieces.
    assert!((598_000..=1_200_000).contains(&said.um()), "{said:?}");
    assert_eq!(proved(&problem, &abreast(&[0, 0], ONE_WAY, &[1])), None);
    assert_eq!(proved(&problem, &abreast(&[1, 0], ONE_WAY, &[1])), None);
    assert_eq!(proved(&problem, &abreast(&[0, 2], ONE_WAY, &[1])), None);
    assert_eq!(
        proved(&problem, &abreast(&[0, 1], &[Turn::Half], &[1])),
        None
    );
    let mut wider = abreast(&[0, 1], ONE_WAY, &[1]);
    wider.wider = um(1);
    assert_eq!(proved(&problem, &wider), None);
}

/// Whatever somebody says, and takes for one another, no layout is shorter than what is then proved.
#[test]
fn nothing_that_is_said_of_random_jobs_is_above_a_layout() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(11);
    let (mut all, mut near, mut grouped, mut curved) = (0, 0, 0, 0);
    for _ in 0..24 {
        let pieces = random.random_range(3..6);
        let mut problem = random_problem(&mut random, pieces);
        problem.cloth.flaws.clear();
        let budget = Budget {
            steps: Some(1_000),
            ..Budget::default()
        };
        let answer = crate::plan(&problem, &budget, &mut Silent).unwrap();
        for _ in 0..5 {
            let said = anything(&problem, &mut random);
            let Some(proved) = proved(&problem, &said) else {
                continue;
            };
            assert!(proved <= answer.marker.length, "{problem:?} {said:?}");
            all += 1;
            near += u32::from(2 * proved.um() > answer.marker.length.um());
            grouped += u32::from(said.pieces.iter().any(|of| of.items.len() > 1));
            curved += u32::from(!said.within.is_empty());
        }
    }
    eprintln!("{all} said, {near} near, {grouped} grouped, {curved} curved");
    assert!(all > 60 && near > 20 && grouped > 20 && curved > 30);
}

/// Items by lot taken for one another, each by itself turned or all turns at once, and parts worth about their share.
fn anything(problem: &Problem, random: &mut Xoshiro256PlusPlus) -> Abreast {
    let mut kinds: Vec<Vec<usize>> = Vec::new();
    for item in 0..problem.items.len() {
        match kinds.last_mut() {
            Some(last) if random.random_range(0..3) == 0 => last.push(item),
            _ => kinds.push(vec![item]),
        }
    }
    let mut pieces = Vec::new();
    for items in kinds {
        let first = &problem.items[items[0]];
        let is_apart = items.len() == 1 && first.turns == TWO_WAY && random.random_range(0..2) == 0;
        let turns: Vec<Vec<Turn>> = if is_apart {
            TWO_WAY.iter().map(|&turn| vec![turn]).collect()
        } else {
            vec![Turn::ALL.to_vec()]
        };
        for turns in turns {
            let across = first.outline.bounds().across().um() / 10_000;
            let mut worth = || across as u32 + random.random_range(0..10);
            let worth = (0..3).map(|_| worth()).collect();
            pieces.push(Parts {
                items: items.clone(),
                turns,
                worth,
            });
        }
    }
    let hollow = problem.items.iter().enumerate();
    let hollow = hollow.filter(|(_, item)| !item.outline.is_convex());
    let within = hollow.map(|(item, of)| {
        let corner = of.outline.bounds().min;
        let parts = convex_parts(&simplified_within(&of.outline, WITHIN));
        let polygon = |part: crate::geometry::ConvexPart| {
            part.points.iter().map(|p| p.minus(corner)).collect()
        };
        Within {
            item,
            polygons: parts.into_iter().map(polygon).collect(),
        }
    });
    Abreast {
        wider: if random.random_range(0..2) == 0 {
            problem.spacing
        } else {
            Length::ZERO
        },
        within: within.collect(),
        pieces,
    }
}
