use super::word::{CHARGED, GOES_ON, KNOWN, LATE, OPEN, OWED};
use super::*;
use crate::jobs::{item, problem, rectangle, trapezoid};
use crate::problem::Turn;
use crate::rectangles::{Strip, refusal_of};
use crate::shapes::Shapes;
use crate::verdict::Argument;
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;

/// Pieces of these sizes in millimetres, so many of each, on so much width.
fn job(across: i64, sizes: &[([i64; 2], u32)], turns: &[Turn]) -> Problem {
    let piece = |&([x, y], copies): &([i64; 2], u32)| item(rectangle(x, y), copies, turns);
    let mut problem = problem(across, sizes.iter().map(piece).collect());
    problem.marking_step = None;
    problem
}

/// The same as kinds, each taken as wide as it is.
fn kinds(sizes: &[[i64; 2]]) -> Vec<Kind> {
    let kind = |(number, &[x, y]): (usize, &[i64; 2])| Kind {
        items: vec![number],
        ways: vec![Way {
            across: Length::from_mm(x),
            along: Length::from_mm(y),
            taken: Length::from_mm(x),
        }],
    };
    sizes.iter().enumerate().map(kind).collect()
}

/// Work for a search of all, and for one of the widest first.
const WORK: [u64; 2] = [300_000, 2_000_000];

/// What the search for all starts notes of this length.
fn noted(problem: &Problem, length: i64) -> Option<Starts> {
    noted_with(problem, length, WORK[0])
}

/// The same with so much work.
fn noted_with(problem: &Problem, length: i64, work: u64) -> Option<Starts> {
    let shapes = Shapes::of(problem);
    let strip = Strip::of(problem, &shapes)?;
    let length = Length::from_mm(length);
    let refusal = refusal_of(&strip, length, work, &|| false)?;
    let bound = refusal.noted(problem, &strip, &|| false);
    assert!(bound.length > length);
    match bound.argument {
        Argument::EveryStart(starts) => Some(starts),
        _ => None,
    }
}

fn holds(problem: &Problem, starts: &Starts, length: i64) -> bool {
    proves(problem, starts, Length::from_mm(length))
}

/// By hand: two of 60 on 100 lie one behind the other, 50 + 50.
#[test]
fn each_reason_by_hand() {
    let two = job(100, &[([60, 50], 2)], &[Turn::None]);
    let tree = |tree: &[u64]| Starts {
        kinds: kinds(&[[60, 50]]),
        work: 0,
        tree: tree.to_vec(),
    };
    // One starts at the cut end, beside which no other has room. On 99 it is too late for the other where it ends.
    let late = tree(&[GOES_ON, GOES_ON, LATE]);
    assert!(holds(&two, &late, 99));
    assert!(!holds(&two, &late, 100));
    // Charged 1 for 50 mm, of which one fits side by side, both pay 2; 99 hold one time 50.
    let charged = tree(&[OPEN, 1, CHARGED]);
    assert!(holds(&two, &charged, 99));
    assert!(!holds(&two, &charged, 100));
    for wrong in [
        &[][..],
        &[GOES_ON],
        &[GOES_ON, GOES_ON],
        &[GOES_ON, GOES_ON, KNOWN],
        &[GOES_ON, GOES_ON, OWED],
        &[GOES_ON, GOES_ON, CHARGED],
        &[GOES_ON, GOES_ON, LATE, LATE],
        &[OPEN, 1, CHARGED + 1],
        &[OPEN, 0, CHARGED],
        &[OPEN, u64::MAX, CHARGED],
        &[OPEN],
        &[u64::MAX],
    ] {
        assert!(!holds(&two, &tree(wrong), 99), "{wrong:?}");
    }
}

/// By hand: 70 and 80 long ones of 60 and a 10 long of 40, all one behind the other or the last beside one of them: 150.
#[test]
fn what_is_owed_and_what_is_known_by_hand() {
    let three = job(
        100,
        &[([60, 70], 1), ([60, 80], 1), ([100, 10], 2)],
        &[Turn::None],
    );
    let tree = Starts {
        kinds: kinds(&[[60, 70], [60, 80], [100, 10]]),
        work: 0,
        tree: vec![
            // At 0 one of the last kind starts, as the part holds it; where it ends nothing lies.
            GOES_ON, GOES_ON, GOES_ON,
            // At 10 the other; at 20 the one of 80, and then it is too late for that of 70.
            GOES_ON, GOES_ON, GOES_ON, LATE,
            // At 20 the one of 70 in its place ends without that of 80.
            GOES_ON, OWED,
            // At 10 the one of 80 ends without the other of 10; that of 70 too.
            GOES_ON, OWED, GOES_ON, OWED, // At 0 the same.
            GOES_ON, OWED, GOES_ON, OWED,
        ],
    };
    assert!(holds(&three, &tree, 169));
    assert!(!holds(&three, &tree, 170));
}

#[test]
fn says_nothing_of_another_problem() {
    let sizes = [([60, 50], 2), ([30, 40], 3), ([40, 20], 1)];
    let plain = job(100, &sizes, &[Turn::None]);
    let length = (50..).find(|&length| noted(&plain, length).is_none());
    let length = length.unwrap() - 1;
    let starts = noted(&plain, length).unwrap();
    assert!(holds(&plain, &starts, length) && holds(&plain, &starts, length - 7));
    assert!(!holds(&plain, &starts, length + 1) && !holds(&plain, &starts, -1));
    assert!(!holds(&job(100, &sizes, &Turn::ALL), &starts, length));
    assert!(!holds(
        &job(100, &sizes[..2], &[Turn::None]),
        &starts,
        length
    ));
    assert!(!holds(&job(200, &sizes, &[Turn::None]), &starts, length));
    let mut fewer = plain.clone();
    fewer.items[0].copies = 1;
    assert!(!holds(&fewer, &starts, length));
    let mut more = plain.clone();
    more.items.push(item(rectangle(10, 10), 1, &[Turn::None]));
    // With one more there is less room still. It can't be named twice, or where there is none.
    assert!(holds(&more, &starts, length) && !holds(&more, &starts, length + 1));
    let mut named = starts.clone();
    named.kinds[0].items.push(more.items.len());
    assert!(!holds(&more, &named, length));
    let mut slanted = plain.clone();
    slanted.items[0] = item(trapezoid(30, 60, 50), 2, &[Turn::None]);
    assert!(!holds(&slanted, &starts, length));
    let mut spaced = plain.clone();
    spaced.spacing = Length::from_um(1);
    assert!(!holds(&spaced, &starts, length));
    // Room that is taken away by something else takes nothing from a proof.
    let mut flawed = plain.clone();
    flawed.cloth.flaws.push(rectangle(10, 10));
    assert!(holds(&flawed, &starts, length));
}

#[test]
fn kinds_must_be_the_pieces_and_not_too_wide() {
    let two = job(100, &[([60, 50], 1), ([40, 50], 1)], &[Turn::None]);
    let starts = |change: &dyn Fn(&mut Vec<Kind>)| {
        let mut kinds = kinds(&[[60, 50], [40, 50]]);
        change(&mut kinds);
        let ways = kinds.iter().map(|kind| kind.ways.len()).sum();
        let charge = [60, 40, 40].into_iter().take(ways);
        let tree = [OPEN].into_iter().chain(charge).chain([CHARGED]);
        Starts {
            kinds,
            work: 0,
            tree: tree.collect(),
        }
    };
    let taken = |taken: i64| starts(&|kinds| kinds[0].ways[0].taken = Length::from_mm(taken));
    assert!(holds(&two, &taken(60), 49) && !holds(&two, &taken(60), 50));
    // Beside each other they fit, though not if one is taken for wider. Alone it may be anything.
    assert!(!holds(&two, &taken(61), 50) && !holds(&two, &taken(0), 49));
    let without = |number: usize| starts(&|kinds| drop(kinds.remove(number)));
    // One of 50 alone takes its own length.
    assert!((0..2).all(|number| holds(&two, &without(number), 49)));
    assert!((0..2).all(|number| !holds(&two, &without(number), 50)));
    let twice = starts(&|kinds| kinds[1].items = vec![1, 0]);
    assert!(!holds(&two, &twice, 10));
    let unknown = starts(&|kinds| kinds[1].items = vec![1, 2]);
    assert!(!holds(&two, &unknown, 10));
    let other = starts(&|kinds| kinds[1].ways[0].along = Length::from_mm(60));
    assert!(!holds(&two, &other, 10));
    let none = starts(&|kinds| kinds[1].ways.clear());
    assert!(!holds(&two, &none, 10));
    let endless = starts(&|kinds| kinds[1].ways[0].across = Length::from_um(i64::MAX));
    assert!(!holds(&two, &endless, 10));
    // Another way more is more room.
    let more = starts(&|kinds| {
        let way = kinds[1].ways[0];
        kinds[1].ways.push(Way {
            across: Length::from_mm(60),
            ..way
        });
    });
    assert!(holds(&two, &more, 49));
}

/// Whether all go on the length: the rectangles in turn at every whole place, in every way.
fn fits(problem: &Problem, length: i64) -> bool {
    let size = |item: &crate::Item| {
        let bounds = item.outline.bounds();
        [bounds.across(), bounds.along()].map(|size| (size.um() / 1_000) as usize)
    };
    let mut pieces: Vec<Vec<[usize; 2]>> = Vec::new();
    for item in &problem.items {
        let [x, y] = size(item);
        let ways = if item.turns.len() > 1 {
            vec![[x, y], [y, x]]
        } else {
            vec![[x, y]]
        };
        pieces.extend(std::iter::repeat_n(ways, item.copies as usize));
    }
    let across = (problem.cloth.usable_width().um() / 1_000) as usize;
    lay(&pieces, &mut vec![vec![false; across]; length as usize])
}

fn lay(pieces: &[Vec<[usize; 2]>], taken: &mut Vec<Vec<bool>>) -> bool {
    let Some((ways, others)) = pieces.split_first() else {
        return true;
    };
    let [width, length] = [taken[0].len(), taken.len()];
    for &[across, along] in ways {
        for y in 0..(length + 1).saturating_sub(along) {
            for x in 0..(width + 1).saturating_sub(across) {
                let mut rows = taken[y..y + along].iter();
                if rows.any(|row| row[x..x + across].contains(&true)) {
                    continue;
                }
                let mut mark = |is: bool| {
                    let rows = taken[y..y + along].iter_mut();
                    rows.for_each(|row| row[x..x + across].fill(is));
                };
                mark(true);
                if lay(others, taken) {
                    return true;
                }
                let rows = taken[y..y + along].iter_mut();
                rows.for_each(|row| row[x..x + across].fill(false));
            }
        }
    }
    false
}

/// Whether starts for all along the length leave no height too wide: every whole one, in every way.
fn starts_fit(ways: &[Vec<[usize; 2]>], across: usize, wide: &mut [usize]) -> bool {
    let Some((first, others)) = ways.split_first() else {
        return wide.iter().all(|&wide| wide <= across);
    };
    first.iter().any(|&[width, along]| {
        (0..(wide.len() + 1).saturating_sub(along)).any(|y| {
            wide[y..y + along]
                .iter_mut()
                .for_each(|wide| *wide += width);
            let fits = starts_fit(others, across, wide);
            wide[y..y + along]
                .iter_mut()
                .for_each(|wide| *wide -= width);
            fits
        })
    })
}

/// A tree made of whatever the checker takes first: by rules and by what was refused before, with a charge by width or none.
fn by_rules(job: &Job, is_charged: bool) -> Option<Vec<u64>> {
    let mut tree = Vec::new();
    if is_charged {
        let widths = job.ways.iter().map(|way| way.across as u64);
        tree.extend([OPEN].into_iter().chain(widths));
    }
    // What is in no tree: a walk that comes to it has taken all before.
    let end = u64::MAX;
    loop {
        let mut reasons = [CHARGED, LATE, OWED, KNOWN, GOES_ON].into_iter();
        let taken = reasons.find_map(|reason| {
            let more = [&tree[..], &[reason, end]].concat();
            let mut walk = Walk::new(job, &more);
            let is_whole = walk.height(0, 0).is_some();
            (is_whole || walk.numbers.is_empty()).then_some((reason, is_whole))
        });
        let (reason, is_whole) = taken?;
        tree.push(reason);
        if is_whole {
            return Some(tree);
        }
    }
}

/// Rules leave nothing out, and what has no starts is refused by them alone.
#[test]
fn rules_refuse_where_there_are_no_starts_and_nowhere_else() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(33);
    let (mut refused, mut longest) = (0, 0);
    for number in 0..120 {
        let across = random.random_range(3..8);
        let count = random.random_range(2..4);
        let problem = random_job(&mut random, across, 5, count, 2);
        if problem.piece_count() > 4 {
            continue;
        }
        let mut kinds = Vec::new();
        let mut pieces = Vec::new();
        for (number, item) in problem.items.iter().enumerate() {
            let bounds = item.outline.bounds();
            let [x, y] = [bounds.across(), bounds.along()];
            let turned = [y, x];
            let sizes = if item.turns.len() > 1 {
                vec![[x, y], turned]
            } else {
                vec![[x, y]]
            };
            let way = |&[across, along]: &[Length; 2]| Way {
                across,
                along,
                taken: across,
            };
            let in_mm = |size: &[Length; 2]| size.map(|size| (size.um() / 1_000) as usize);
            let ways: Vec<[usize; 2]> = sizes.iter().map(in_mm).collect();
            pieces.extend(std::iter::repeat_n(ways, item.copies as usize));
            kinds.push(Kind {
                items: vec![number],
                ways: sizes.iter().map(way).collect(),
            });
        }
        let fits =
            |length: i64| starts_fit(&pieces, across as usize, &mut vec![0; length as usize]);
        let least = (1..40).find(|&length| fits(length)).unwrap();
        for length in least - 2..=least {
            let job = Job::of(&problem, &kinds, length * 1_000).unwrap();
            let tree = by_rules(&job, number % 2 == 0);
            assert_eq!(tree.is_some(), length < least, "{length} {problem:?}");
            refused += usize::from(tree.is_some());
            longest = longest.max(tree.map_or(0, |tree| tree.len()));
        }
    }
    assert!(refused > 100 && longest > 30, "{refused} {longest}");
}

fn random_job(
    random: &mut impl rand::Rng,
    across: i64,
    along: i64,
    kinds: usize,
    copies: u32,
) -> Problem {
    let turns: &[Turn] = [&[Turn::None], &Turn::ALL[..]][random.random_range(0..2)];
    let mut size = || {
        let size = [
            random.random_range(1..=across.min(along)),
            random.random_range(1..=along),
        ];
        (size, random.random_range(1..=copies))
    };
    let sizes: Vec<([i64; 2], u32)> = (0..kinds).map(|_| size()).collect();
    job(across, &sizes, turns)
}

/// A tree with some of its numbers changed.
fn changed(random: &mut impl rand::Rng, starts: &Starts) -> Starts {
    let mut other = starts.clone();
    for _ in 0..random.random_range(1..4) {
        let at = random.random_range(0..other.tree.len());
        match random.random_range(0..5) {
            0 => other.tree[at] = other.tree[at].wrapping_add(1),
            1 => other.tree[at] = starts.tree[random.random_range(0..starts.tree.len())],
            2 => other.tree[at] = random.random_range(0..8),
            3 => other.tree.truncate(at + 1),
            _ => other.tree[at] = u64::MAX >> random.random_range(0..64),
        }
    }
    other
}

#[test]
fn what_is_accepted_fits_nowhere() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(31);
    let mut written = 0;
    for number in 0..150 {
        let across = random.random_range(3..7);
        let kinds = random.random_range(2..5);
        let problem = random_job(&mut random, across, 5, kinds, 1);
        let least = (1..40).find(|&length| fits(&problem, length)).unwrap();
        let Some(starts) = noted_with(&problem, least - 1, WORK[number % 2]) else {
            continue;
        };
        assert!(holds(&problem, &starts, least - 1), "{problem:?}");
        written += 1;
        assert!(!holds(&problem, &starts, least));
        for _ in 0..200 {
            let other = changed(&mut random, &starts);
            assert!(
                !holds(&problem, &other, least),
                "{:?} {problem:?}",
                other.tree
            );
        }
    }
    assert!(written > 120, "{written}");
}

#[test]
fn trees_of_more_pieces_are_written_and_hold() {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(32);
    let (mut written, mut branched, mut without, mut fewer) = (0, 0, 0, 0);
    for number in 0..40 {
        let kinds = 3 + number % 5;
        let problem = random_job(&mut random, 12, 15, kinds, 2);
        let mut length = 1;
        // From below: the last length that is refused is hardest.
        while let Some(starts) = noted_with(&problem, length, WORK[number % 2]) {
            let is_written = !starts.tree.is_empty();
            assert_eq!(holds(&problem, &starts, length), is_written);
            written += usize::from(is_written);
            without += usize::from(!is_written);
            branched += usize::from(starts.tree.len() > 150);
            let named: usize = starts.kinds.iter().map(|kind| kind.items.len()).sum();
            fewer += usize::from(named < problem.items.len());
            length += 1;
        }
    }
    assert!(
        written > 300 && branched > 5 && without == 0 && fewer > 20,
        "{written} {branched} {without} {fewer}"
    );
}

#[test]
fn stands_in_a_file_as_it_is() {
    let two = job(100, &[([60, 50], 2)], &[Turn::None]);
    let starts = noted(&two, 99).unwrap();
    assert!(!starts.tree.is_empty());
    let text = serde_json::to_string(&Argument::EveryStart(starts.clone())).unwrap();
    let read: Argument = serde_json::from_str(&text).unwrap();
    assert_eq!(read, Argument::EveryStart(starts));
    // Where none is written down.
    let bare: Argument = serde_json::from_str("{\"argument\":\"every-start\",\"work\":7}").unwrap();
    let empty = Starts {
        work: 7,
        ..Starts::default()
    };
    assert_eq!(bare, Argument::EveryStart(empty));
}
