//! The upper border of what is laid, as steps across: where the next rectangle may come to lie.
//!
//! Source: the lowest gap first, and no gap left below, as in the best fit of Burke, Kendall and Whitwell 2004 (from
//! memory).

/// One step: level from `x` on over `across`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    pub x: i32,
    pub across: i32,
    pub y: i32,
}

/// The lowest step with what stands beside it. The room's ends are walls without end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    pub step: Step,
    /// How far the wall on either side rises above it.
    pub walls: [i32; 2],
    number: usize,
}

impl Gap {
    /// Whether the higher wall is on the left; a rectangle goes there.
    fn leans_left(&self) -> bool {
        self.walls[0] >= self.walls[1]
    }
}

/// Steps from left to right, neighbours at different levels.
#[derive(Debug, PartialEq, Eq)]
pub struct Skyline {
    steps: Vec<Step>,
}

/// By hand, since the derived one has no `clone_from` that takes no memory.
impl Clone for Skyline {
    fn clone(&self) -> Self {
        Skyline {
            steps: self.steps.clone(),
        }
    }

    fn clone_from(&mut self, other: &Self) {
        self.steps.clone_from(&other.steps);
    }
}

impl Skyline {
    /// Nothing laid yet.
    pub fn level(across: i32) -> Self {
        let steps = vec![Step { x: 0, across, y: 0 }];
        Skyline { steps }
    }

    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The leftmost of the lowest steps.
    pub fn gap(&self) -> Gap {
        // Level and place in one number, so that the least is found without a branch.
        let key = |(k, step): (usize, &Step)| (step.y as u64) << 32 | k as u64;
        let keys = self.steps.iter().enumerate().map(key);
        let number = keys.fold(u64::MAX, u64::min) as u32 as usize;
        let step = self.steps[number];
        let wall = |beside: Option<&Step>| beside.map_or(i32::MAX, |beside| beside.y - step.y);
        let left = number.checked_sub(1).and_then(|k| self.steps.get(k));
        Gap {
            step,
            walls: [wall(left), wall(self.steps.get(number + 1))],
            number,
        }
    }

    /// Gives the gap up: it is level with its lower wall from now on, or with `top`. By how much it rises.
    pub fn raise(&mut self, gap: Gap, top: i32) -> i32 {
        let by = gap.walls[0].min(gap.walls[1]).min(top - gap.step.y);
        self.steps[gap.number].y += by;
        self.join(gap.number);
        by
    }

    /// Lays a rectangle into the gap, beside its higher wall. Where its least corner then lies.
    pub fn lay(&mut self, gap: Gap, [across, along]: [i32; 2]) -> [i32; 2] {
        let Gap { step, number, .. } = gap;
        let over = step.y + along;
        let rest = step.across - across;
        if rest == 0 {
            self.steps[number].y = over;
            self.join(number);
            return [step.x, step.y];
        }
        let (x, laid) = if gap.leans_left() {
            self.steps[number].x += across;
            self.steps[number].across = rest;
            (step.x, number)
        } else {
            self.steps[number].across = rest;
            (step.x + rest, number + 1)
        };
        let y = over;
        self.steps.insert(laid, Step { x, across, y });
        self.join(laid);
        [x, step.y]
    }

    /// Makes one step of this one and neighbours that are level with it.
    fn join(&mut self, number: usize) {
        let y = self.steps[number].y;
        if self.steps.get(number + 1).is_some_and(|next| next.y == y) {
            let next = self.steps.remove(number + 1);
            self.steps[number].across += next.across;
        }
        if number > 0 && self.steps[number - 1].y == y {
            let step = self.steps.remove(number);
            self.steps[number - 1].across += step.across;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(skyline: &Skyline) -> Vec<(i32, i32, i32)> {
        let all = skyline.steps().iter();
        all.map(|s| (s.x, s.across, s.y)).collect()
    }

    #[test]
    fn rectangles_go_beside_the_higher_wall_and_level_steps_are_one() {
        let mut skyline = Skyline::level(10);
        assert_eq!(skyline.lay(skyline.gap(), [4, 5]), [0, 0]);
        assert_eq!(steps(&skyline), [(0, 4, 5), (4, 6, 0)]);
        // The room's end is the higher wall.
        assert_eq!(skyline.gap().walls, [5, i32::MAX]);
        assert_eq!(skyline.lay(skyline.gap(), [2, 5]), [8, 0]);
        assert_eq!(steps(&skyline), [(0, 4, 5), (4, 4, 0), (8, 2, 5)]);
        assert_eq!(skyline.lay(skyline.gap(), [4, 5]), [4, 0]);
        assert_eq!(steps(&skyline), [(0, 10, 5)]);
    }

    #[test]
    fn a_gap_that_is_given_up_joins_its_lower_wall() {
        let mut skyline = Skyline::level(10);
        skyline.lay(skyline.gap(), [4, 5]);
        skyline.lay(skyline.gap(), [3, 7]);
        skyline.raise(skyline.gap(), 100);
        assert_eq!(steps(&skyline), [(0, 7, 5), (7, 3, 7)]);
        skyline.raise(skyline.gap(), 6);
        assert_eq!(steps(&skyline), [(0, 7, 6), (7, 3, 7)]);
    }
}
