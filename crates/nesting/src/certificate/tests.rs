use super::*;
use crate::problem::{Cloth, Turn};

fn problem(usable: i64, pieces: &[(i64, i64, u32)]) -> Problem {
    let um = Length::from_um;
    let item = |&(across, along, copies): &(i64, i64, u32)| Item {
        label: "flag".into(),
        outline: Outline::rectangle(um(across), um(along)).unwrap(),
        copies,
        turns: vec![Turn::None],
        may_mirror: false,
        garment: None,
        anchor: None,
    };
    Problem {
        cloth: Cloth {
            right: um(usable),
            ..Cloth::default()
        },
        items: pieces.iter().map(item).collect(),
        ..Problem::default()
    }
}

fn worth(items: &[usize], steps: &[(i64, &[u32])]) -> Worth {
    let step = |&(from, worth): &(i64, &[u32])| Step {
        from: Length::from_um(from),
        worth: worth.to_vec(),
    };
    Worth {
        items: items.to_vec(),
        steps: steps.iter().map(step).collect(),
    }
}

fn slices(zones: &[i64], pieces: Vec<Worth>) -> Slices {
    Slices {
        zones: zones.iter().map(|&end| Length::from_um(end)).collect(),
        pieces,
        ..Slices::default()
    }
}

fn um(proved: Option<Length>) -> Option<i64> {
    proved.map(Length::um)
}

/// Geometry: three of 40 on 100, two fit side by side, each 50 long: 75.
#[test]
fn equal_worth_counts_how_many_fit_side_by_side() {
    let three = problem(100, &[(40, 50, 3)]);
    let each = slices(&[], vec![worth(&[0], &[(40, &[1])])]);
    assert_eq!(um(proved(&three, &each)), Some(75));
    // Of one copy no two sections share a height.
    let one = problem(100, &[(40, 50, 1)]);
    assert_eq!(um(proved(&one, &each)), Some(50));
    // Worth by width is the area.
    let by_width = slices(&[], vec![worth(&[0], &[(40, &[40])])]);
    assert_eq!(um(proved(&three, &by_width)), Some(75));
}

/// Geometry: of pieces 41 wide and 8 long two lie side by side on 100, though none beside one that is 60 wide and
/// 60 long: on 100 there is room for 2 x 40 / 8 = 10 of them. The long one covers heights from 40 to 60 for sure.
#[test]
fn a_tall_piece_takes_the_middle_from_the_others() {
    let beside = |count: u32| problem(100, &[(60, 60, 1), (41, 8, 2 * count)]);
    // Two narrow ones lie side by side where the tall one is not.
    let zones = slices(
        &[40, 60, 100],
        vec![
            worth(&[0], &[(60, &[2, 2, 2])]),
            worth(&[1], &[(41, &[1, 1, 1])]),
        ],
    );
    // 60 x 2 + 2 x count x 8 against 2 x 100.
    assert_eq!(um(proved(&beside(5), &zones)), None);
    assert_eq!(um(proved(&beside(6), &zones)), Some(101));
    // Said of the middle alone: 20 x 5, and no narrow one is worth anything.
    let middle = slices(&[40, 60, 100], vec![worth(&[0], &[(60, &[0, 5, 0])])]);
    assert_eq!(um(proved(&beside(5), &middle)), None);
    let two = problem(100, &[(60, 60, 2)]);
    assert_eq!(um(proved(&two, &middle)), Some(101));
}

#[test]
fn longer_than_the_cloth_it_does_not_fit() {
    let long = problem(100, &[(10, 101, 1)]);
    let zones = slices(&[50, 100], vec![worth(&[0], &[(5, &[0, 0])])]);
    assert_eq!(um(proved(&long, &zones)), Some(101));
}

/// Geometry: with 10 between them, three of 30 take 110 across.
#[test]
fn spacing_makes_pieces_and_cloth_wider_or_longer() {
    let mut three = problem(100, &[(30, 50, 3)]);
    three.spacing = Length::from_um(10);
    let mut wider = slices(&[], vec![worth(&[0], &[(40, &[1])])]);
    assert_eq!(um(proved(&three, &wider)), None, "no section is so wide");
    wider.wider = Length::from_um(10);
    assert_eq!(um(proved(&three, &wider)), Some(75));
    // Two of 51 one behind the other: 50 + 10 + 50.
    let mut two = problem(100, &[(51, 50, 2)]);
    two.spacing = Length::from_um(10);
    let mut longer = slices(&[], vec![worth(&[0], &[(51, &[1])])]);
    longer.longer = Length::from_um(10);
    assert_eq!(um(proved(&two, &longer)), Some(110));
    // Not both ways at once, nor more than the spacing.
    longer.wider = Length::from_um(1);
    assert_eq!(proved(&two, &longer), None);
}

#[test]
fn what_is_not_well_formed_proves_nothing() {
    let three = problem(100, &[(40, 50, 3)]);
    let proves = |zones: &[i64], pieces| proved(&three, &slices(zones, pieces)).is_some();
    assert!(proves(&[], vec![worth(&[0], &[(40, &[1])])]));
    for (zones, pieces) in [
        (&[][..], vec![worth(&[1], &[(40, &[1])])]),
        (&[], vec![worth(&[0, 0], &[(40, &[1])])]),
        (
            &[],
            vec![worth(&[0], &[(40, &[1])]), worth(&[0], &[(40, &[1])])],
        ),
        (&[], vec![worth(&[0], &[(0, &[1])])]),
        (&[], vec![worth(&[0], &[(40, &[1, 1])])]),
        (&[], vec![worth(&[0], &[(40, &[])])]),
        (&[], vec![worth(&[0], &[(40, &[2]), (40, &[3])])]),
        (&[], vec![worth(&[0], &[(39, &[2]), (40, &[1])])]),
        (&[], vec![worth(&[0], &[(40, &[0])])]),
        (&[], vec![]),
        (&[60, 60], vec![worth(&[0], &[(40, &[1, 1])])]),
        (&[0], vec![worth(&[0], &[(40, &[1])])]),
        (&[76], vec![worth(&[0], &[(40, &[1])])]),
    ] {
        assert!(!proves(zones, pieces.clone()), "{zones:?} {pieces:?}");
    }
    assert!(proves(&[74], vec![worth(&[0], &[(40, &[1])])]));
}
