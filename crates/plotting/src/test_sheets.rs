//! Sheets for tests, laid by hand: a village ensemble before its harvest festival.

use nesting::{Cut, CutDirection, Verdict};
use pieces::{
    Direction, Drape, Fabric, Grain, GuideLine, Length, Notch, NotchKind, Outline, Path, Piece,
    Point, Segment, Units,
};

use crate::sheet::{Placed, Sheet};

/// Invented dancers.
pub(crate) const DANCERS: [&str; 12] = [
    "Ilka",
    "Mara",
    "Jonne",
    "Tessel",
    "Bruna",
    "Odile",
    "Wilhelmina-Charlotte von der Oberen Mühle",
    "Sanne",
    "Petra & Söhne <Tracht>",
    "Lioba",
    "Ragnhild",
    "Üna",
];

/// Piece, copy, degrees, mirrored, place in millimetres.
type Place = (usize, u32, u16, bool, (i64, i64));

/// A sheet's parts, owned.
pub(crate) struct Job {
    pub(crate) title: String,
    pub(crate) fabric: Fabric,
    pub(crate) units: Units,
    pub(crate) pieces: Vec<Piece>,
    pub(crate) places: Vec<Place>,
    pub(crate) flaws: Vec<Outline>,
    pub(crate) cuts: Vec<Cut>,
    pub(crate) needed: Length,
    pub(crate) bound: Length,
    pub(crate) on_hand: Option<Length>,
    pub(crate) to_buy: Option<Length>,
    pub(crate) verdict: Option<Verdict>,
}

impl Job {
    pub(crate) fn sheet(&self) -> Sheet<'_> {
        let placed = |&(piece, copy, turned_deg, mirrored, (x, y)): &Place| Placed {
            piece: &self.pieces[piece],
            copy,
            turned_deg,
            mirrored,
            at: Point::new(x * 1_000, y * 1_000),
        };
        Sheet {
            job: &self.title,
            fabric: &self.fabric,
            units: self.units,
            placed: self.places.iter().map(placed).collect(),
            flaws: self.flaws.clone(),
            cuts: self.cuts.clone(),
            needed: self.needed,
            bound: self.bound,
            on_hand: self.on_hand,
            to_buy: self.to_buy,
            verdict: self.verdict,
            largest_rounding: Length::ZERO,
            date: None,
        }
    }

    fn new(title: &str, fabric: Fabric, needed_mm: i64) -> Job {
        Job {
            title: title.into(),
            fabric,
            units: Units::Centimetres,
            pieces: Vec::new(),
            places: Vec::new(),
            flaws: Vec::new(),
            cuts: Vec::new(),
            needed: Length::from_mm(needed_mm),
            bound: Length::from_mm(needed_mm),
            on_hand: None,
            to_buy: None,
            verdict: None,
        }
    }
}

pub(crate) fn fabric(name: &str, width_cm: i64, direction: Direction) -> Fabric {
    Fabric {
        name: name.into(),
        width: Length::from_cm(width_cm),
        selvedge: Length::from_cm(1),
        direction,
        drape: Drape::Crisp,
        faces_alike: false,
        shrinkage_ppm: 0,
        end_allowance: Length::from_cm(2),
        selling_step: Length::from_cm(10),
        spacing: Length::ZERO,
        cutting: pieces::Cutting::Free,
        price: None,
        on_hand: Vec::new(),
    }
}

fn mm(x: i64, y: i64) -> Point {
    Point::new(x * 1_000, y * 1_000)
}

fn ring(points: &[Point]) -> Path {
    let mut segments: Vec<Segment> = points[1..].iter().map(|&to| Segment::Line { to }).collect();
    segments.push(Segment::Line { to: points[0] });
    Path {
        start: points[0],
        segments,
    }
}

pub(crate) fn line(a: Point, b: Point) -> Path {
    Path {
        start: a,
        segments: vec![Segment::Line { to: b }],
    }
}

fn plain(name: &str, wearer: &str, cut: Outline, cut_path: Path) -> Piece {
    Piece {
        name: name.into(),
        wearer: (!wearer.is_empty()).then(|| wearer.to_owned()),
        garment: 0,
        fabric: "linden".into(),
        copies: 1,
        cut,
        cut_path,
        cut_outs: Vec::new(),
        finished: Vec::new(),
        grain: Grain::Lengthwise,
        hem: None,
        notches: Vec::new(),
        guides: Vec::new(),
        allowances: Vec::new(),
    }
}

/// A panel, `hem` mm wide at the hem and `top` at the top, 1 cm seams, 2 cm hem.
pub(crate) fn panel(name: &str, wearer: &str, hem: i64, top: i64, along: i64) -> Piece {
    let inset = (hem - top) / 2;
    let corners = [
        mm(0, 0),
        mm(hem, 0),
        mm(hem - inset, along),
        mm(inset, along),
    ];
    let finished = [
        mm(10, 20),
        mm(hem - 10, 20),
        mm(hem - inset - 10, along - 10),
        mm(inset + 10, along - 10),
    ];
    let mut piece = plain(
        name,
        wearer,
        Outline::new(corners.to_vec()).unwrap(),
        ring(&corners),
    );
    piece.finished = vec![ring(&finished)];
    piece.hem = Some(line(corners[0], corners[1]));
    piece.notches = vec![Notch {
        at: mm(hem / 2, along),
        kind: NotchKind::Centre,
        label: "CF".into(),
    }];
    piece
}

/// A waistband strip with a fold, an opening and a centre mark.
pub(crate) fn strip(wearer: &str, across: i64, along: i64) -> Piece {
    let corners = [mm(0, 0), mm(across, 0), mm(across, along), mm(0, along)];
    let mut piece = plain(
        "waistband",
        wearer,
        Outline::new(corners.to_vec()).unwrap(),
        ring(&corners),
    );
    let inner = [
        mm(10, 10),
        mm(across - 10, 10),
        mm(across - 10, along - 10),
        mm(10, along - 10),
    ];
    piece.finished = vec![ring(&inner)];
    piece.guides = vec![GuideLine {
        path: line(mm(across / 2, 0), mm(across / 2, along)),
        label: "fold".into(),
    }];
    piece.notches = vec![
        Notch {
            at: mm(0, along / 2),
            kind: NotchKind::Centre,
            label: "CB".into(),
        },
        Notch {
            at: mm(0, 60),
            kind: NotchKind::Opening,
            label: "open".into(),
        },
        Notch {
            at: mm(across, along / 2),
            kind: NotchKind::Join,
            label: String::new(),
        },
    ];
    piece
}

/// A quarter of a circle skirt: waist radius and hem radius in mm, its corner at the origin.
pub(crate) fn sector(wearer: &str, inner: i64, outer: i64) -> Piece {
    let centre = mm(0, 0);
    // The hull in steps of 5 degrees, pushed out so that it contains the arc.
    let mut corners = vec![mm(0, inner), mm(inner, 0), mm(outer, 0)];
    let out = outer as f64 / (2.5_f64.to_radians()).cos();
    for k in 0..18 {
        let a = (f64::from(k) * 5.0 + 2.5).to_radians();
        corners.push(Point::new(
            (out * a.cos() * 1e3) as i64,
            (out * a.sin() * 1e3) as i64,
        ));
    }
    corners.push(mm(0, outer));
    let arc = |to, counter_clockwise| Segment::Arc {
        to,
        centre,
        counter_clockwise,
    };
    let path = |i: i64, o: i64| Path {
        start: mm(i, 0),
        segments: vec![
            Segment::Line { to: mm(o, 0) },
            arc(mm(0, o), true),
            Segment::Line { to: mm(0, i) },
            arc(mm(i, 0), false),
        ],
    };
    let mut piece = plain(
        "circle sector",
        wearer,
        Outline::new(corners).unwrap(),
        path(inner, outer),
    );
    piece.copies = 2;
    piece.finished = vec![Path {
        start: mm(outer - 20, 0),
        segments: vec![arc(mm(0, outer - 20), true)],
    }];
    piece.hem = Some(Path {
        start: mm(outer, 0),
        segments: vec![arc(mm(0, outer), true)],
    });
    piece.notches = vec![Notch {
        at: mm(outer, 0),
        kind: NotchKind::Match,
        label: "side".into(),
    }];
    piece
}

/// A full circle with its waist cut out, centred at the origin.
pub(crate) fn circle(wearer: &str, inner: i64, outer: i64) -> Piece {
    let around = |r: i64| Path {
        start: mm(r, 0),
        segments: vec![
            Segment::Arc {
                to: mm(-r, 0),
                centre: mm(0, 0),
                counter_clockwise: true,
            },
            Segment::Arc {
                to: mm(r, 0),
                centre: mm(0, 0),
                counter_clockwise: true,
            },
        ],
    };
    let out = outer as f64 / (2.5_f64.to_radians()).cos();
    let corners = (0..72)
        .map(|k| {
            let a = (f64::from(k) * 5.0 + 2.5).to_radians();
            Point::new((out * a.cos() * 1e3) as i64, (out * a.sin() * 1e3) as i64)
        })
        .collect();
    let mut piece = plain(
        "full circle",
        wearer,
        Outline::new(corners).unwrap(),
        around(outer),
    );
    piece.cut_outs = vec![around(inner)];
    piece.hem = Some(around(outer));
    piece
}

/// One dancer, one-way cloth, 1.5 m on hand: two panels side by side and a band.
pub(crate) fn one_dancer() -> Job {
    let mut job = Job::new(
        "Harvest festival, first skirt",
        fabric("linden", 140, Direction::OneWay),
        1_010,
    );
    job.pieces = vec![
        panel("front panel", "Ilka", 308, 308, 990),
        panel("back panel", "Ilka", 396, 396, 1_010),
        strip("Ilka", 80, 1_040),
    ];
    job.places = vec![
        (0, 0, 0, false, (10, 0)),
        (1, 0, 0, false, (318, 0)),
        (2, 0, 0, false, (714, 0)),
    ];
    job.needed = Length::from_mm(1_040);
    job.bound = Length::from_mm(1_040);
    job.on_hand = Some(Length::from_cm(150));
    job.verdict = Some(Verdict::Enough);
    job
}

/// One piece only.
pub(crate) fn one_piece() -> Job {
    let mut job = one_dancer();
    job.pieces.truncate(1);
    job.places.truncate(1);
    job.needed = Length::from_mm(990);
    job.bound = job.needed;
    job
}

/// The first dancer's skirt on a cloth of 1 m: not enough.
pub(crate) fn too_short() -> Job {
    let mut job = one_dancer();
    job.on_hand = Some(Length::from_cm(100));
    job.verdict = Some(Verdict::NotEnough);
    job
}

/// `count` panels in rows of three, every second one turned if the cloth allows it, a dancer each.
pub(crate) fn many(count: usize, direction: Direction) -> Job {
    let mut job = Job::new(
        "Harvest festival: the whole ensemble, skirts for the opening dance",
        fabric("linden, one-way print", 140, direction),
        0,
    );
    let turns = matches!(direction, Direction::None | Direction::TwoWay);
    for k in 0..count {
        let wearer = DANCERS[(k / 2) % DANCERS.len()];
        let name = if k % 2 == 0 {
            "front panel"
        } else {
            "back panel"
        };
        job.pieces.push(panel(name, wearer, 450, 380, 990));
        let (column, row) = ((k % 3) as i64, (k / 3) as i64);
        let turned = turns && column == 1;
        // Head to tail a row is 450 + 2 x 415 wide.
        let x = 10 + if turns { column * 415 } else { column * 455 };
        let at = if turned {
            (x + 450, row * 990 + 990)
        } else {
            (x, row * 990)
        };
        job.places
            .push((k, 0, if turned { 180 } else { 0 }, false, at));
    }
    let rows = count.div_ceil(3) as i64;
    job.needed = Length::from_mm(rows * 990);
    job.bound = Length::from_mm(rows * 900);
    job.to_buy = Some(job.fabric.length_to_buy(job.needed));
    job
}

/// Thin strips of 8 x 104 cm, along and across the cloth.
pub(crate) fn strips(count: usize) -> Job {
    let mut job = Job::new("Waistbands", fabric("band", 110, Direction::None), 0);
    for k in 0..count {
        let (row, column) = ((k / 13) as i64, (k % 13) as i64);
        job.pieces.push(strip(DANCERS[k % 12], 80, 1_040));
        job.places
            .push((k, 0, 0, false, (10 + 80 * column, row * 1_040)));
    }
    let end = count.div_ceil(13) as i64 * 1_040;
    for k in 0..3 {
        job.pieces.push(strip(DANCERS[k % 12], 80, 1_040));
        job.places
            .push((count + k, 0, 90, false, (1_060, end + 80 * k as i64)));
    }
    job.needed = Length::from_mm(end + 240);
    job.bound = job.needed;
    job.to_buy = Some(job.fabric.length_to_buy(job.needed));
    job
}

/// Strips in rows that are torn apart.
pub(crate) fn torn(count: usize) -> Job {
    let mut job = Job::new("Ties", fabric("linen", 110, Direction::None), 0);
    let cut = |direction, at: i64, from: i64, to: i64| {
        let [at, from, to] = [at, from, to].map(Length::from_mm);
        Cut {
            direction,
            at,
            from,
            to,
        }
    };
    let rows = count.div_ceil(13) as i64;
    job.fabric.cutting = pieces::Cutting::Tear;
    let ends = (1..=rows).rev().map(|row| 500 * row);
    job.cuts = ends
        .map(|end| cut(CutDirection::Across, end, 10, 1_090))
        .collect();
    for k in 0..count {
        let (row, column) = ((k / 13) as i64, (k % 13) as i64);
        let (x, y) = (10 + 80 * column, 500 * row);
        job.pieces.push(strip(DANCERS[k % 12], 80, 500));
        job.places.push((k, 0, 0, false, (x, y)));
        job.cuts.push(cut(CutDirection::Along, x + 80, y, y + 500));
    }
    job.needed = Length::from_mm(500 * rows);
    job.bound = job.needed;
    job.to_buy = Some(job.fabric.length_to_buy(job.needed));
    job
}

/// Circle sectors and a full circle, one of them mirrored, with a flaw.
pub(crate) fn circles() -> Job {
    let mut job = Job::new(
        "Circle skirt in quarters",
        fabric("satin", 150, Direction::None),
        2_560,
    );
    job.pieces = vec![sector("Mara", 120, 800), circle("Bruna", 110, 600)];
    job.places = vec![
        (0, 0, 0, false, (10, 0)),
        (0, 1, 0, true, (1_490, 900)),
        (1, 0, 0, false, (700, 2_350)),
    ];
    job.needed = Length::from_mm(2_955);
    job.bound = Length::from_mm(2_400);
    job.flaws = vec![
        Outline::rectangle(Length::from_mm(120), Length::from_mm(80))
            .unwrap()
            .moved(mm(1_200, 100)),
    ];
    job.on_hand = Some(Length::from_cm(290));
    job.verdict = Some(Verdict::Undecided);
    job
}

/// Patches of a few centimetres, too small for words.
pub(crate) fn patches(count: usize) -> Job {
    let mut job = Job::new("Patches", fabric("felt", 90, Direction::OneWay), 0);
    for k in 0..count {
        let (row, column) = ((k / 20) as i64, (k % 20) as i64);
        let corners = [mm(0, 0), mm(40, 0), mm(40, 30), mm(0, 30)];
        let cut = Outline::new(corners.to_vec()).unwrap();
        let mut piece = plain("patch", DANCERS[k % 12], cut, ring(&corners));
        piece.notches = vec![Notch {
            at: mm(20, 30),
            kind: NotchKind::Match,
            label: "a".into(),
        }];
        job.pieces.push(piece);
        job.places
            .push((k, 0, 0, false, (12 + 42 * column, row * 32)));
    }
    job.needed = Length::from_mm(count.div_ceil(20) as i64 * 32);
    job.bound = job.needed;
    job.to_buy = Some(Length::from_cm(20));
    job
}

/// Six hundred equal patches, nobody's in particular, and fifty of a dancer's.
pub(crate) fn equal_patches() -> Job {
    let mut job = patches(650);
    job.fabric.direction = Direction::None;
    for (k, piece) in job.pieces.iter_mut().enumerate() {
        piece.wearer = (k >= 600).then(|| "Lioba".to_owned());
    }
    job
}

/// The first dancer's skirt on a bolt of 12 m.
pub(crate) fn much_cloth() -> Job {
    let mut job = one_dancer();
    job.on_hand = Some(Length::from_cm(1_200));
    job
}

/// A strip on the bias.
pub(crate) fn bias() -> Job {
    let mut job = Job::new(
        "Sash on the bias",
        fabric("linden", 140, Direction::None),
        900,
    );
    job.pieces = vec![strip("Jonne", 120, 900)];
    job.pieces[0].grain = Grain::Bias;
    job.places = vec![(0, 0, 45, false, (900, 100))];
    job.needed = Length::from_mm(830);
    job.bound = job.needed;
    job.to_buy = Some(Length::from_cm(90));
    job
}
