//! Labels kept apart.
//!
//! In: where each label would like to stand and how much room it takes. Out: where it does. Labels
//! keep their order and stay on the paper as long as there is room for them all.

/// A label along one line: the middle it would like to have, and its size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish {
    pub(super) middle: f64,
    pub(super) size: f64,
}

/// Middles that keep the labels apart between `low` and `high`.
pub(super) fn apart(wishes: &[Wish], low: f64, high: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|a, b| wishes[*a].middle.total_cmp(&wishes[*b].middle));
    let mut middles = vec![0.0; wishes.len()];
    let mut free = low;
    for index in &order {
        let Wish { middle, size } = wishes[*index];
        middles[*index] = middle.max(free + size / 2.0);
        free = middles[*index] + size / 2.0;
    }
    let mut free = high;
    for index in order.iter().rev() {
        let size = wishes[*index].size;
        middles[*index] = middles[*index].min(free - size / 2.0);
        free = middles[*index] - size / 2.0;
    }
    middles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_that_would_overlap_are_moved_apart_and_stay_on_the_paper() {
        let wish = |middle| Wish { middle, size: 20.0 };
        assert_eq!(apart(&[wish(50.0), wish(52.0)], 0.0, 100.0), [50.0, 70.0]);
        assert_eq!(apart(&[wish(95.0), wish(94.0)], 0.0, 100.0), [90.0, 70.0]);
        assert_eq!(apart(&[wish(-5.0)], 0.0, 100.0), [10.0]);
    }
}
