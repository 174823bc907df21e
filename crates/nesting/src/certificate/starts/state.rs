//! A state: what lies at a height, and what is left.

use super::job::Job;

/// What lies, and what is left.
pub(super) struct State {
    /// By kind.
    pub left: Vec<u32>,
    /// Where it ends, and its way.
    pub lying: Vec<(i64, usize)>,
}

impl State {
    pub fn start(job: &Job) -> Self {
        State {
            left: job.copies.clone(),
            lying: Vec::new(),
        }
    }

    /// The greatest number left, and how many of it.
    pub fn greatest(&self) -> Option<(usize, u32)> {
        let mut left = self.left.iter().copied().enumerate().rev();
        left.find(|&(_, left)| left > 0)
    }

    /// What stays free beside what lies.
    pub fn free(&self, job: &Job) -> i64 {
        let wide = self.lying.iter().map(|&(_, way)| job.ways[way].across);
        job.across - wide.sum::<i64>()
    }

    /// Whether the last would start too far from the cut end, something left can't end in time, or those that must pass a
    /// height are too wide there together.
    pub fn is_late(&self, job: &Job, y: i64) -> bool {
        let last = job.copies.len().checked_sub(1);
        let is_far = |last: usize| {
            let is_one = job.copies[last] == 1 && self.left[last] == 1;
            is_one && 2 * y > job.length - job.least[last][1]
        };
        if last.is_some_and(is_far) {
            return true;
        }
        let room = job.length - y;
        let mut wide = 0;
        for &kind in job.longest.iter().filter(|&&kind| self.left[kind] > 0) {
            let [across, along] = job.least[kind];
            if along > room {
                return true;
            }
            if 2 * along <= room {
                return false;
            }
            // All so long cover this height, whether they start at once or end last.
            let height = job.length - along;
            wide += across * i64::from(self.left[kind]);
            let beside = self.lying.iter().filter(|(end, _)| *end > height);
            let beside: i64 = beside.map(|&(_, way)| job.ways[way].across).sum();
            if wide + beside > job.across {
                return true;
            }
        }
        false
    }

    /// Alike for states after which the same can come. Units are fewer than numbers of 32 bits.
    pub fn key(&self, is_owed: bool, y: i64, free_before: i64) -> Box<[u32]> {
        let mut lying = self.lying.clone();
        lying.sort_unstable();
        let mut key = Vec::with_capacity(3 + self.left.len() + 2 * lying.len());
        key.extend([u32::from(is_owed), y as u32, free_before as u32]);
        key.extend(&self.left);
        for (end, way) in lying {
            key.extend([end as u32, way as u32]);
        }
        key.into()
    }
}
