//! Every window in which all margins are at least zero.
//!
//! The range is sampled evenly; between samples each margin is followed by itself: a change of sign
//! is closed in on by halving, a turn that comes near zero by golden section, so that a check that
//! turns twice or a narrow window between two samples is found. A margin that is not a number
//! counts as out of limits.

use super::Window;

/// Even steps over the range. Trade formulas turn a few times at the most.
const STEPS: usize = 240;
/// Halvings that bring a bracket down to neighbouring numbers.
const HALVINGS: usize = 200;
/// Golden sections: 0.618^72 is below the spacing of doubles.
const SECTIONS: usize = 72;

/// One sample: the place and each check's margin there.
type Sample = (f64, Vec<f64>);

/// All windows between `low` and `high`, in order. `margins` gives each check's margin at a place.
pub(in crate::calc) fn windows(
    low: f64,
    high: f64,
    margins: &mut dyn FnMut(f64) -> Vec<f64>,
) -> Vec<Window> {
    let samples: Vec<Sample> = (0..=STEPS)
        .map(|step| place(low, high, step))
        .map(|x| (x, margins(x)))
        .collect();
    let mut cuts = vec![low, high];
    for check in 0..samples[0].1.len() {
        let mut margin = |x: f64| margins(x).get(check).copied().unwrap_or(f64::NEG_INFINITY);
        for pair in samples.windows(2) {
            cut_between(
                (pair[0].0, pair[0].1[check]),
                (pair[1].0, pair[1].1[check]),
                &mut margin,
                &mut cuts,
            );
        }
        for three in samples.windows(3) {
            let at = |index: usize| (three[index].0, three[index].1[check]);
            cut_at_turn([at(0), at(1), at(2)], &mut margin, &mut cuts);
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    joined(&cuts, &mut |x| {
        margins(x).iter().all(|margin| *margin >= 0.0)
    })
}

fn place(low: f64, high: f64, step: usize) -> f64 {
    if step == STEPS {
        high
    } else {
        low + (high - low) * step as f64 / STEPS as f64
    }
}

fn cut_between(
    a: (f64, f64),
    b: (f64, f64),
    margin: &mut dyn FnMut(f64) -> f64,
    cuts: &mut Vec<f64>,
) {
    if (a.1 >= 0.0) == (b.1 >= 0.0) {
        return;
    }
    let (inside, outside) = if a.1 >= 0.0 { (a.0, b.0) } else { (b.0, a.0) };
    cuts.push(edge(inside, outside, margin));
}

/// The last place that is in limits, between one that is and one that is not.
fn edge(mut inside: f64, mut outside: f64, margin: &mut dyn FnMut(f64) -> f64) -> f64 {
    for _ in 0..HALVINGS {
        let middle = inside + (outside - inside) / 2.0;
        if middle == inside || middle == outside {
            break;
        }
        if margin(middle) >= 0.0 {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    inside
}

/// Three samples on one side of zero whose middle one comes nearest to it: between them the margin
/// may cross and come back.
fn cut_at_turn(three: [(f64, f64); 3], margin: &mut dyn FnMut(f64) -> f64, cuts: &mut Vec<f64>) {
    let inside = three[1].1 >= 0.0;
    if three.iter().any(|(_, m)| (*m >= 0.0) != inside) {
        return;
    }
    let toward = |m: f64| if inside { -m } else { m };
    if toward(three[1].1) < toward(three[0].1) || toward(three[1].1) < toward(three[2].1) {
        return;
    }
    let turn = golden(three[0].0, three[2].0, &mut |x| toward(margin(x)));
    if (margin(turn) >= 0.0) == inside {
        return;
    }
    for side in [three[0].0, three[2].0] {
        cuts.push(if inside {
            edge(side, turn, margin)
        } else {
            edge(turn, side, margin)
        });
    }
}

/// Where `height` is highest between two places, for a height that rises and falls once.
fn golden(mut low: f64, mut high: f64, height: &mut dyn FnMut(f64) -> f64) -> f64 {
    let ratio = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - ratio * (high - low), low + ratio * (high - low));
    let (mut height_a, mut height_b) = (height(a), height(b));
    for _ in 0..SECTIONS {
        if height_a >= height_b {
            (high, b, height_b) = (b, a, height_a);
            a = high - ratio * (high - low);
            height_a = height(a);
        } else {
            (low, a, height_a) = (a, b, height_b);
            b = low + ratio * (high - low);
            height_b = height(b);
        }
    }
    if height_a >= height_b { a } else { b }
}

/// The stretches between cuts that are in limits, neighbours joined.
fn joined(cuts: &[f64], holds: &mut dyn FnMut(f64) -> bool) -> Vec<Window> {
    let mut windows: Vec<Window> = Vec::new();
    for pair in cuts.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        if !holds(from + (to - from) / 2.0) {
            continue;
        }
        match windows.last_mut() {
            Some(last) if last.1 == from => last.1 = to,
            _ => windows.push((from, to)),
        }
    }
    windows
}

/// The middle of the widest window (ties: the smaller), or the place nearest to `aim`.
pub(in crate::calc) fn best(windows: &[Window], aim: Option<f64>) -> Option<f64> {
    if let Some(aim) = aim {
        let nearest = windows.iter().map(|(from, to)| aim.clamp(*from, *to));
        return nearest.min_by(|a, b| (a - aim).abs().total_cmp(&(b - aim).abs()));
    }
    let mut widest: Option<Window> = None;
    for window in windows {
        let wider =
            widest.is_none_or(|(from, to)| window.1 - window.0 > (to - from) * (1.0 + 1e-12));
        if wider {
            widest = Some(*window);
        }
    }
    widest.map(|(from, to)| from + (to - from) / 2.0)
}

/// Where one margin is highest over the range, and how high.
pub(in crate::calc) fn highest(
    low: f64,
    high: f64,
    margin: &mut dyn FnMut(f64) -> f64,
) -> (f64, f64) {
    let samples: Vec<(f64, f64)> = (0..=STEPS)
        .map(|step| place(low, high, step))
        .map(|x| (x, margin(x)))
        .collect();
    let top = samples
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.1.total_cmp(&b.1.1))
        .map_or(0, |(index, _)| index);
    let around = (
        samples[top.saturating_sub(1)].0,
        samples[(top + 1).min(STEPS)].0,
    );
    let turn = golden(around.0, around.1, margin);
    let refined = (turn, margin(turn));
    if refined.1 >= samples[top].1 {
        refined
    } else {
        samples[top]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(low: f64, high: f64, checks: &[&dyn Fn(f64) -> f64]) -> Vec<(f64, f64)> {
        let round = |x: f64| (x * 1e9).round() / 1e9;
        let all = windows(low, high, &mut |x| {
            checks.iter().map(|check| check(x)).collect()
        });
        all.into_iter()
            .map(|(from, to)| (round(from), round(to)))
            .collect()
    }

    #[test]
    fn one_check_leaves_a_window_to_the_end_of_the_range() {
        assert_eq!(found(0.0, 10.0, &[&|x| x - 4.0]), [(4.0, 10.0)]);
        assert_eq!(found(0.0, 10.0, &[&|_| 1.0]), [(0.0, 10.0)]);
        assert_eq!(found(0.0, 10.0, &[&|x| x - 12.0]), []);
    }

    #[test]
    fn a_check_that_turns_twice_leaves_two_windows() {
        assert_eq!(
            found(0.0, 10.0, &[&|x| (x - 3.0) * (x - 5.0)]),
            [(0.0, 3.0), (5.0, 10.0)]
        );
        assert_eq!(
            found(0.0, 10.0, &[&|x| (x - 3.0) * (x - 5.0), &|x| 8.0 - x]),
            [(0.0, 3.0), (5.0, 8.0)]
        );
    }

    #[test]
    fn a_window_narrower_than_the_samples_is_found() {
        let narrow = |x: f64| 1e-6 - (x - 7.003).powi(2);
        assert_eq!(found(0.0, 1000.0, &[&narrow]), [(7.002, 7.004)]);
        let dip = |x: f64| (x - 7.003).powi(2) - 1e-6;
        assert_eq!(found(0.0, 1000.0, &[&dip]), [(0.0, 7.002), (7.004, 1000.0)]);
    }

    #[test]
    fn where_a_check_has_no_number_nothing_is_in_limits() {
        assert_eq!(found(-1.0, 4.0, &[&|x: f64| x.sqrt() - 1.0]), [(1.0, 4.0)]);
    }

    #[test]
    fn the_best_place_is_the_middle_of_the_widest_window_or_nearest_the_aim() {
        assert_eq!(best(&[(0.0, 1.0), (4.0, 6.0)], None), Some(5.0));
        assert_eq!(best(&[(0.0, 2.0), (4.0, 6.0)], None), Some(1.0));
        assert_eq!(best(&[(0.0, 2.0), (4.0, 6.0)], Some(3.2)), Some(4.0));
        assert_eq!(best(&[], None), None);
    }
}
