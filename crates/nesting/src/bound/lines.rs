//! Lines drawn across the cloth, and what pieces must put on them.
//!
//! Draw k lines across a cloth of trial length L. Wherever a piece lies, it crosses some of them; the
//! least that the values of its sections there can add up to, over all its places, is its load. On
//! each line the values (of a dual feasible function) add up to at most f(U), so loads of more than
//! k f(U) in all prove that nothing fits in L.
//!
//! With one line this is the side-by-side rule: on 1 m of cloth every panel longer than 50 cm crosses
//! the middle. With k lines it is the question whether the pieces go into k rows, flared sides
//! included; with very many it turns into the integral over sections. Own derivation; for rectangles
//! it contains the two-dimensional use of dual feasible functions (Fekete and Schepers 2001, from
//! memory).
//!
//! A line at the very end of a piece meets its foot or head as the limit from inside: if the widths
//! just above a height never add up to more than U, their limits do not either. So on a line in the
//! lower half the limits from above are taken, in the upper half those from below (`end`).
//!
//! Heights are multiplied by a scale so that equal distances between lines are whole.

use std::cmp::Ordering;

use super::profile::Profile;

/// Lines across a trial length.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    /// Trial length.
    pub length: i64,
    /// Where they are, times `scale`, ascending.
    pub at: Vec<i64>,
    /// See the module.
    pub scale: i64,
    /// True if limits from the middle of the cloth are taken, not the lesser of both sides.
    pub inner: bool,
}

impl Lines {
    /// `count` lines that part `length` into equal gaps.
    pub fn even(count: i64, length: i64) -> Lines {
        let scale = count + 1;
        Lines {
            length,
            at: (1..=count).map(|j| j * length).collect(),
            scale,
            inner: false,
        }
    }

    /// One line at a share of the length.
    pub fn one(sixteenths: i64, length: i64) -> Lines {
        Lines {
            length,
            at: vec![length * sixteenths / 16],
            scale: 1,
            inner: false,
        }
    }

    /// One line where a piece of this height has its foot if it lies as far up as it can, or its head
    /// if it lies as far down as it can.
    pub fn end(height: i64, foot: bool, length: i64) -> Lines {
        Lines {
            length,
            at: vec![if foot { length - height } else { height }],
            scale: 1,
            inner: true,
        }
    }

    /// The same seen from the other end of the cloth.
    pub fn mirrored(&self) -> Lines {
        let end = self.length * self.scale;
        Lines {
            at: self.at.iter().rev().map(|t| end - t).collect(),
            ..*self
        }
    }

    /// How many.
    pub fn count(&self) -> i64 {
        i64::try_from(self.at.len()).expect("few lines")
    }

    /// The least that a piece with these section values puts on the lines, wherever it lies; `None`
    /// if it is longer than the trial length.
    ///
    /// Between the places where a line meets an end of a stretch the sum is linear, so the least is
    /// taken at one of those, jumps counted at their lesser side. In the outermost places only the side
    /// that the piece can't leave counts, if limits are taken.
    pub fn load(&self, values: &Profile, work: &mut u64) -> Option<i64> {
        let room = (self.length - values.height()) * self.scale;
        if room < 0 {
            return None;
        }
        let sum = |y: i64| {
            self.at
                .iter()
                .map(|&t| {
                    let upper = (2 * t).cmp(&(self.length * self.scale));
                    match upper {
                        // Moved down from its highest place, it is met further from its foot.
                        Ordering::Less if self.inner && y == room => {
                            values.after(t - y, self.scale)
                        }
                        Ordering::Greater if self.inner && y == 0 => values.before(t, self.scale),
                        _ => values.least_at(t - y, self.scale),
                    }
                })
                .sum::<i64>()
        };
        let mut least = sum(0).min(sum(room));
        let mut tried = 2;
        let ends = values
            .stretches
            .iter()
            .map(|s| s.from)
            .chain([values.height()]);
        for end in ends {
            for &line in &self.at {
                let y = line - end * self.scale;
                if y > 0 && y < room {
                    tried += 1;
                    least = least.min(sum(y));
                }
            }
            if least == 0 {
                break;
            }
        }
        *work += tried * self.at.len() as u64;
        Some(least)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bound::profile::Stretch;

    fn load(lines: &Lines, low: i64, high: i64, height: i64) -> Option<i64> {
        let values = Profile {
            stretches: vec![Stretch {
                from: 0,
                to: height,
                low,
                high,
            }],
        };
        lines.load(&values, &mut 0)
    }

    #[test]
    fn a_rectangle_longer_than_the_gaps_crosses_a_line() {
        // Gaps of 100 / 3.
        let lines = Lines::even(2, 100);
        assert_eq!(load(&lines, 7, 7, 33), Some(0));
        assert_eq!(load(&lines, 7, 7, 34), Some(7));
        assert_eq!(load(&lines, 7, 7, 67), Some(14));
        assert_eq!(load(&lines, 7, 7, 101), None);
    }

    #[test]
    fn rows_of_exactly_the_length_leave_the_lines_bare() {
        assert_eq!(load(&Lines::even(1, 200), 7, 7, 100), Some(0));
        assert_eq!(load(&Lines::even(1, 199), 7, 7, 100), Some(7));
    }

    #[test]
    fn a_line_at_the_end_meets_the_whole_foot_or_head() {
        // No room: the foot of 160 lies on the cut end, the head of 80 on the far one.
        assert_eq!(load(&Lines::end(80, true, 80), 160, 80, 80), Some(160));
        assert_eq!(load(&Lines::end(80, false, 80), 160, 80, 80), Some(80));
        // Room of 8: sections at 0 to 8 of the height, at 72 to 80 seen from the far end.
        assert_eq!(load(&Lines::end(80, true, 88), 160, 80, 80), Some(152));
        assert_eq!(load(&Lines::end(80, false, 88), 80, 160, 80), Some(152));
        // A shorter one can lie clear of the end.
        assert_eq!(load(&Lines::end(80, true, 80), 160, 80, 79), Some(0));
        // Seen from the other end it is the other line.
        let (foot, head) = (Lines::end(80, true, 88), Lines::end(80, false, 88));
        assert_eq!(foot.mirrored().at, head.at);
    }

    #[test]
    fn a_flared_panel_puts_its_narrowest_reachable_section_on_the_line() {
        // Length 100, panel of 80 from 160 to 80 wide: the middle meets it from 30 to 50 of its height.
        assert_eq!(load(&Lines::even(1, 100), 160, 80, 80), Some(110));
        // A line near the foot meets only the wide part: from 5 to 25.
        assert_eq!(
            load(
                &Lines {
                    length: 100,
                    at: vec![25],
                    scale: 1,
                    inner: false
                },
                160,
                80,
                80
            ),
            Some(135)
        );
    }
}
