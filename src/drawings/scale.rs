//! A scale: figures to places on the paper.
//!
//! In: the figures that must be seen, and the room. Out: a place for any figure. Always finite: a
//! figure off the scale stands at its edge.

/// A straight scale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Scale {
    /// A scale that shows all `figures` between `from` and `to`, with a tenth to spare at each end.
    pub(super) fn over(figures: impl IntoIterator<Item = f64>, from: f64, to: f64) -> Self {
        let (low, high) = range(figures).unwrap_or((0.0, 1.0));
        let span = high / 2.0 - low / 2.0;
        // Equal figures still need a scale to stand on.
        let size = low.abs().max(high.abs());
        let spare = match size {
            _ if span > size * 1e-12 => span * 0.2,
            0.0 => 1.0,
            size => size * 0.1,
        };
        Self {
            low: (low - spare).max(f64::MIN / 4.0),
            high: (high + spare).min(f64::MAX / 4.0),
            from,
            to,
        }
    }

    /// Where a figure stands.
    pub(super) fn at(&self, figure: f64) -> f64 {
        let share = (figure - self.low) / (self.high - self.low);
        let share = if share.is_nan() {
            0.5
        } else {
            share.clamp(0.0, 1.0)
        };
        self.from + share * (self.to - self.from)
    }

    /// Is a figure off the scale?
    pub(super) fn is_off(&self, figure: f64) -> bool {
        figure < self.low || figure > self.high
    }

    /// About `count` round figures on the scale.
    pub(super) fn marks(&self, count: usize) -> Vec<f64> {
        let step = round_step((self.high - self.low) / count.max(1) as f64);
        let first = (self.low / step).ceil();
        let marks = (0..=2 * count).map(|k| (first + k as f64) * step);
        marks
            .filter(|mark| mark.is_finite() && !self.is_off(*mark))
            .collect()
    }
}

/// The least and the largest of the figures that are finite.
pub(super) fn range(figures: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    let wider = |range: Option<(f64, f64)>, figure: f64| match range {
        Some((low, high)) => Some((low.min(figure), high.max(figure))),
        None => Some((figure, figure)),
    };
    figures
        .into_iter()
        .filter(|figure| figure.is_finite())
        .fold(None, wider)
}

/// 1, 2 or 5 times a power of ten, not below `step`.
fn round_step(step: f64) -> f64 {
    let ten = 10.0_f64.powf(step.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|times| times * ten >= step * (1.0 - 1e-9));
    times.unwrap_or(10.0) * ten
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_figures_stand_in_the_middle() {
        assert!((Scale::over([3.0, 3.0], 0.0, 100.0).at(3.0) - 50.0).abs() < 1e-9);
        assert!((Scale::over([0.0], 0.0, 100.0).at(0.0) - 50.0).abs() < 1e-9);
        assert!(Scale::over([], 0.0, 100.0).at(7.0).is_finite());
    }

    #[test]
    fn the_widest_range_stays_finite() {
        let scale = Scale::over([f64::MIN, f64::MAX, f64::NAN], 0.0, 100.0);
        for figure in [f64::MIN, 0.0, f64::MAX, f64::NAN, f64::INFINITY] {
            assert!(scale.at(figure).is_finite());
        }
    }

    #[test]
    fn marks_are_round_and_on_the_scale() {
        let scale = Scale::over([3.0, 4.3], 0.0, 100.0);
        let marks = scale.marks(4);
        assert!(marks.len() >= 2 && marks.len() <= 5, "{marks:?}");
        assert!(
            (marks[0] - 3.0).abs() < 1e-9 && (marks[1] - 3.5).abs() < 1e-9,
            "{marks:?}"
        );
    }
}
