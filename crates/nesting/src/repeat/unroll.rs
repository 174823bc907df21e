//! From patterns and how often each is laid to a layout of the order.

use pieces::Point;

use crate::constructive::{Laid, Layout, end};

use super::choose::Times;
use super::kinds::Kinds;
use super::trial::Pattern;

/// Patterns one behind the other, those laid most often first; pieces beyond the order are left out at the
/// far end of each.
pub fn unroll(kinds: &Kinds, patterns: &[Pattern], times: &Times) -> Layout {
    let mut order: Vec<usize> = (0..patterns.len()).filter(|&k| times[k] > 0).collect();
    order.sort_by_key(|&k| (std::cmp::Reverse(times[k]), k));
    let mut spare: Vec<i64> = kinds.demand().iter().map(|&d| -i64::from(d)).collect();
    for &k in &order {
        for (spare, &count) in spare.iter_mut().zip(&patterns[k].counts) {
            *spare += i64::from(count) * i64::from(times[k]);
        }
    }
    let mut segments: Vec<Vec<Laid>> = order
        .iter()
        .map(|&k| rounds(&patterns[k], times[k]))
        .collect();
    for segment in segments.iter_mut().rev() {
        segment.sort_by_key(|l| l.at.y + kinds.along(l));
        let mut kept = Vec::with_capacity(segment.len());
        for laid in segment.drain(..).rev() {
            let spare = &mut spare[laid.piece.item];
            if *spare > 0 {
                *spare -= 1;
            } else {
                kept.push(laid);
            }
        }
        *segment = kept;
    }
    let mut layout = Layout::default();
    let mut base = 0;
    for segment in segments {
        let Some(first) = segment.iter().map(|l| l.at.y).min() else {
            continue;
        };
        layout.laid.extend(segment.iter().map(|l| Laid {
            at: Point::new(l.at.x, l.at.y - first + base),
            ..*l
        }));
        layout.length = end(&kinds.shapes, &layout.laid);
        base = layout.length + kinds.problem.spacing.um();
    }
    layout.laid.sort_by_key(|l| (l.at.y, l.at.x));
    kinds.named(&mut layout.laid);
    layout
}

/// A pattern laid so often, each round one period behind the last.
fn rounds(pattern: &Pattern, times: u32) -> Vec<Laid> {
    let shifted = |round: u32| {
        let by = Point::new(0, i64::from(round) * pattern.period);
        pattern.laid.iter().map(move |l| Laid {
            at: l.at.plus(by),
            ..*l
        })
    };
    (0..times).flat_map(shifted).collect()
}
