use super::super::{best, greater_abreast, recheck};
use super::*;
use crate::problem::{Cloth, Item};
use pieces::{Outline, Point};

fn panels(usable: i64, copies: u32, turns: &[Turn]) -> Problem {
    let corners = [(0, 0), (600, 0), (475, 840), (125, 840)];
    let corners = corners.map(|(x, y)| Point::new(x * 1_000, y * 1_000));
    let item = Item {
        label: "panel".into(),
        outline: Outline::new(corners.to_vec()).unwrap(),
        copies,
        turns: turns.to_vec(),
        may_mirror: false,
        garment: None,
        anchor: None,
    };
    Problem {
        cloth: Cloth {
            right: Length::from_um(usable),
            ..Cloth::default()
        },
        items: vec![item],
        ..Problem::default()
    }
}

fn greater(problem: &Problem) -> Option<Bound> {
    greater_abreast(problem, &best(problem), 20_000_000_000, &|| false)
}

/// Geometry: two heads of 350 mm and a foot of 600 mm are 1,300 mm, so on less no third one-way panel begins beside two
/// others. Two abreast at most, twenty of 840 mm take 8,400 mm, which is a layout too; their sections alone would let
/// three stand side by side.
#[test]
fn beside_two_heads_there_is_no_room_for_a_foot() {
    let problem = panels(1_299_000, 20, &[Turn::None]);
    let bound = greater(&problem).unwrap();
    assert!(
        (8_380_000..=8_400_000).contains(&bound.length.um()),
        "{bound:?}"
    );
    assert!(best(&problem).length.um() < 7_000_000);
    assert!(recheck(&problem, &bound));
    // Head to tail they mate: staggered or not, but never longer.
    let problem = panels(1_299_000, 20, &[Turn::None, Turn::Half]);
    let length = greater(&problem).map_or(0, |bound| bound.length.um());
    assert!(length <= 8_400_000);
}

#[test]
fn worth_that_is_not_so_proves_nothing() {
    let problem = panels(1_299_000, 20, &[Turn::None]);
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
    assert!(!with(&|a| a.pieces[0].turns.push(Turn::Half)));
    assert!(!with(&|a| a.pieces[0].items[0] = 1));
    assert!(!with(&|a| a.pieces.clear()));
    assert!(!with(&|a| a.wider = Length::from_um(1)));
    let longer = Bound {
        length: bound.length + Length::from_um(1_000),
        ..bound.clone()
    };
    assert!(!recheck(&problem, &longer));
}
