//! The fewest pieces of stock for every sum that they can make.
//!
//! In: sizes and counts. Out: for each reachable sum, one way to make it with the fewest pieces.
//! Exact: sizes are taken in whole nanometres (one thou is 25 400 of them, 1/64 in is 396 875).

use super::Window;

/// Sums finer than this many steps below the highest one asked for are not searched.
const MOST_STEPS: u64 = 24_000_000;
const NANO: f64 = 1e9;

/// One way to make a sum: how many pieces of each size.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::calc) struct Pick {
    /// The sum, in SI.
    pub(in crate::calc) sum: f64,
    /// How many of each size.
    pub(in crate::calc) counts: Vec<u32>,
    /// How many in all.
    pub(in crate::calc) pieces: u32,
}

/// A bundle of equal pieces that is taken whole or left: counts are split into 1, 2, 4, …, rest.
struct Bundle {
    size: usize,
    count: u32,
    length: usize,
}

/// Ways to make sums that lie in one of the windows: fewest pieces first, among equals nearest to
/// `best` first, at most `most` of them. `None` where the sizes are too fine to search.
pub(in crate::calc) fn picks(
    stock: &[(f64, u32)],
    windows: &[Window],
    best: f64,
    most: usize,
) -> Option<Vec<Pick>> {
    let highest = windows.iter().map(|window| window.1).fold(0.0, f64::max);
    let sizes: Vec<u64> = stock
        .iter()
        .map(|(size, _)| (size * NANO).round() as u64)
        .collect();
    let step = sizes
        .iter()
        .copied()
        .filter(|size| *size > 0)
        .fold(0, greatest_common)
        .max(1);
    let top = ((highest * NANO + 0.5) as u64) / step;
    if top > MOST_STEPS {
        return None;
    }
    let bundles = bundles(stock, &sizes, step);
    let table = fewest(&bundles, top as usize);
    let inside = |sum: f64| {
        windows
            .iter()
            .any(|(from, to)| sum >= from - 0.5 / NANO && sum <= to + 0.5 / NANO)
    };
    let mut found: Vec<(u32, f64, usize)> = Vec::new();
    for (at, (pieces, _)) in table
        .iter()
        .enumerate()
        .filter(|(_, (pieces, _))| *pieces != u32::MAX)
    {
        let sum = (at as u64 * step) as f64 / NANO;
        if inside(sum) {
            found.push((*pieces, (sum - best).abs(), at));
        }
    }
    found.sort_by(|a, b| {
        (a.0, a.1)
            .partial_cmp(&(b.0, b.1))
            .unwrap_or(std::cmp::Ordering::Equal)
            .then(a.2.cmp(&b.2))
    });
    found.truncate(most);
    Some(
        found
            .into_iter()
            .map(|(_, _, at)| pick(table[at], &bundles, stock))
            .collect(),
    )
}

fn greatest_common(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { greatest_common(b, a % b) }
}

fn bundles(stock: &[(f64, u32)], sizes: &[u64], step: u64) -> Vec<Bundle> {
    let mut bundles = Vec::new();
    for (size, (_, count)) in stock.iter().enumerate() {
        let (mut left, mut next) = (*count, 1);
        while left > 0 && sizes[size] > 0 {
            let taken = next.min(left);
            let length = sizes[size].saturating_mul(u64::from(taken)) / step;
            bundles.push(Bundle {
                size,
                count: taken,
                length: usize::try_from(length).unwrap_or(usize::MAX),
            });
            left -= taken;
            next *= 2;
        }
    }
    bundles
}

/// For each sum up to `top` steps: the fewest pieces that make it, and which bundles (a bit each).
fn fewest(bundles: &[Bundle], top: usize) -> Vec<(u32, u64)> {
    let mut table = vec![(u32::MAX, 0); top + 1];
    table[0] = (0, 0);
    for (bit, bundle) in bundles.iter().enumerate().take(u64::BITS as usize) {
        for sum in (bundle.length..=top).rev() {
            let (pieces, used) = table[sum - bundle.length];
            if pieces != u32::MAX && pieces + bundle.count < table[sum].0 {
                table[sum] = (pieces + bundle.count, used | 1 << bit);
            }
        }
    }
    table
}

fn pick((pieces, used): (u32, u64), bundles: &[Bundle], stock: &[(f64, u32)]) -> Pick {
    let mut counts = vec![0; stock.len()];
    for (bit, bundle) in bundles.iter().enumerate().take(u64::BITS as usize) {
        if used >> bit & 1 == 1 {
            counts[bundle.size] += bundle.count;
        }
    }
    let sum = stock
        .iter()
        .zip(&counts)
        .map(|((size, _), count)| size * f64::from(*count))
        .sum();
    Pick {
        sum,
        counts,
        pieces,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: f64 = 1e-3;

    fn first(stock: &[(f64, u32)], window: Window, best: f64) -> Option<Vec<u32>> {
        let stock: Vec<(f64, u32)> = stock
            .iter()
            .map(|(size, count)| (size * MM, *count))
            .collect();
        let picks = picks(&stock, &[(window.0 * MM, window.1 * MM)], best * MM, 5).unwrap();
        picks.first().map(|pick| pick.counts.clone())
    }

    #[test]
    fn the_fewest_pieces_win_and_among_equals_the_nearest_to_the_best() {
        assert_eq!(
            first(&[(6.0, 2), (3.0, 4), (0.5, 1)], (8.5, 10.0), 9.2),
            Some(vec![1, 1, 0])
        );
        assert_eq!(
            first(&[(6.0, 2), (3.0, 4), (0.5, 1)], (12.0, 12.0), 12.0),
            Some(vec![2, 0, 0])
        );
        assert_eq!(
            first(&[(5.0, 1), (4.0, 1), (1.0, 1)], (4.0, 5.0), 4.1),
            Some(vec![0, 1, 0])
        );
    }

    #[test]
    fn counts_are_respected_and_nothing_is_made_of_nothing() {
        assert_eq!(first(&[(3.0, 2)], (9.0, 9.0), 9.0), None);
        assert_eq!(first(&[(3.0, 2)], (0.0, 1.0), 0.5), Some(vec![0]));
    }

    #[test]
    fn inch_and_metric_pieces_add_up_exactly() {
        let stock = [(0.015 * 0.0254, 3), (25.4 * MM / 64.0, 2), (0.05 * MM, 4)];
        let sum = 2.0 * stock[0].0 + stock[1].0 + 3.0 * stock[2].0;
        let picks = picks(&stock, &[(sum, sum)], sum, 1).unwrap();
        assert_eq!(picks[0].counts, [2, 1, 3]);
    }

    #[test]
    fn twelve_sizes_of_twenty_are_searched_against_all_that_brute_force_can_reach() {
        let stock: Vec<(f64, u32)> = (1..=12)
            .map(|n| (f64::from(n) * 0.37 * MM + 0.11 * MM, 20))
            .collect();
        let target = 7.13 * MM;
        let found = picks(
            &stock,
            &[(target - 0.02 * MM, target + 0.02 * MM)],
            target,
            1,
        )
        .unwrap();
        let pieces = found[0].pieces;
        let fewer = (0..stock.len()).flat_map(|a| (0..stock.len()).map(move |b| (a, b)));
        let two_reach = fewer
            .clone()
            .any(|(a, b)| (stock[a].0 + stock[b].0 - target).abs() <= 0.02 * MM);
        assert_eq!(pieces == 2, two_reach);
        assert!(pieces >= 2, "one piece is at most 4.55 mm long");
    }
}
