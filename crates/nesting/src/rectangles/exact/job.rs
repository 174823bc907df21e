//! What the exact search sees: sizes, how many of each, and how wide the cloth is.

/// One way to lay a rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// Index of its sort.
    pub sort: usize,
    pub across: i32,
    pub along: i32,
}

/// Rectangles to be laid on a cloth this wide.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    pub across: i32,
    /// Sort by sort.
    pub ways: Vec<Way>,
    /// By sort.
    pub copies: Vec<u16>,
}

/// Sums of widths are marked one by one, so the width of the cloth in units is at most this.
const MOST_ACROSS: i32 = 1 << 14;

/// States are kept with sorts and ways in a byte.
const MOST_WAYS: usize = 250;

impl Job {
    /// Of sorts, each with its sizes across and along, and how many there are of it; ways too wide for the cloth are left out. `None`
    /// where there are too many, or one that fits in no way.
    pub fn of(across: i32, sorts: &[(Vec<[i32; 2]>, u16)]) -> Option<Job> {
        let mut job = Job {
            across,
            ways: Vec::new(),
            copies: sorts.iter().map(|(_, copies)| *copies).collect(),
        };
        for (sort, (sizes, _)) in sorts.iter().enumerate() {
            let before = job.ways.len();
            let fitting = sizes.iter().filter(|size| size[0] <= across);
            job.ways.extend(fitting.map(|&[across, along]| Way {
                sort,
                across,
                along,
            }));
            if job.ways.len() == before {
                return None;
            }
        }
        let is_small = across <= MOST_ACROSS && job.ways.len() <= MOST_WAYS;
        let is_sound = job.ways.iter().all(|way| way.across > 0 && way.along > 0);
        (is_small && is_sound).then_some(job)
    }

    /// How many rectangles.
    pub fn count(&self) -> usize {
        self.copies.iter().map(|&copies| usize::from(copies)).sum()
    }

    /// How wide a sort is at least.
    pub fn narrowest(&self, sort: usize) -> Option<i32> {
        let ways = self.ways.iter().filter(|way| way.sort == sort);
        ways.map(|way| way.across).min()
    }

    /// All lengths together.
    pub fn along(&self) -> i64 {
        let along = |sort: usize| {
            let ways = self.ways.iter().filter(|way| way.sort == sort);
            i64::from(ways.map(|way| way.along).min().unwrap_or(0))
        };
        let copies = self.copies.iter().enumerate();
        copies
            .map(|(sort, &copies)| along(sort) * i64::from(copies))
            .sum()
    }

    /// The same with these of its sorts only, in this order.
    pub fn ordered(&self, order: &[usize]) -> Job {
        let of = |(sort, &old): (usize, &usize)| {
            let ways = self.ways.iter().filter(move |way| way.sort == old);
            ways.map(move |&way| Way { sort, ..way })
        };
        Job {
            across: self.across,
            ways: order.iter().enumerate().flat_map(of).collect(),
            copies: order.iter().map(|&old| self.copies[old]).collect(),
        }
    }

    /// With every rectangle as wide as it may be taken for without a change in which go side by side.
    ///
    /// Next to some copies of a size the others fill a sum of their widths at most; what no such sum fills is as
    /// good as theirs. Source: the lifting of sizes in Boschetti and Montaletti 2010 (from memory).
    pub fn widened(&self) -> Job {
        let mut job = self.clone();
        for number in 0..job.ways.len() {
            let is_sum = job.sums_beside(number);
            let Way { sort, across, .. } = job.ways[number];
            // With another way of the same sort the sums would have to know how many lie in which.
            let copies = i32::from(job.copies[sort]);
            let is_only = job.ways.iter().filter(|way| way.sort == sort).count() == 1;
            if copies > 1 && !is_only {
                continue;
            }
            let spare = |abreast: i32| {
                let room = job.across - abreast * across;
                let filled = (0..=room).rev().find(|&sum| is_sum[sum as usize]);
                (room - filled.unwrap_or(0)) / abreast
            };
            let spare = (1..=copies.min(job.across / across)).map(spare).min();
            job.ways[number].across += spare.unwrap_or(0);
        }
        job
    }

    /// The sums of widths of all other sorts, up to the width of the cloth.
    fn sums_beside(&self, way: usize) -> Vec<bool> {
        let whole = self.across as usize;
        let mut is_sum = vec![false; whole + 1];
        is_sum[0] = true;
        for (sort, &copies) in self.copies.iter().enumerate() {
            if sort == self.ways[way].sort {
                continue;
            }
            for _ in 0..copies {
                let before = is_sum.clone();
                for way in self.ways.iter().filter(|way| way.sort == sort) {
                    for sum in way.across as usize..=whole {
                        is_sum[sum] |= before[sum - way.across as usize];
                    }
                }
                if is_sum == before {
                    break;
                }
            }
        }
        is_sum
    }
}
