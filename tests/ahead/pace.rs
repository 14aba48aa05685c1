//! Learning how long jobs really take.

use shimbook::forecast::Pace;

use crate::book::Written;

/// Nearly normal: twelve uniform numbers (the central limit), from a plain congruential generator.
struct Dice(u64);

impl Dice {
    fn uniform(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// A book of done jobs, each of 4 h and what it took.
fn done(took: &[f64]) -> Pace {
    let items: Vec<String> = (0..took.len())
        .map(|job| format!("- [ ] Job {job} {{j{job}, takes 4 h}}\n"))
        .collect();
    let ticks: Vec<String> = took
        .iter()
        .enumerate()
        .map(|(job, took)| format!("- [x] {{j{job}, took {took:.6} h}}\n"))
        .collect();
    Written::plan(&items.concat())
        .log(&ticks.concat())
        .forecast()
        .pace
}

#[test]
fn a_crew_that_has_done_nothing_yet_is_taken_at_its_word_give_or_take() {
    let pace = done(&[]);
    assert_eq!((pace.jobs, pace.mean, pace.middle()), (0, 0.0, 1.0));
    assert!((pace.sd - 0.3).abs() < 1e-12 && (pace.mean_sd - 0.15).abs() < 1e-12);
}

/// The formulas of the module, by hand: n = 4, each job took double, k = 4, s = 0.3.
#[test]
fn four_jobs_that_took_double_are_believed_by_half() {
    let pace = done(&[8.0; 4]);
    let double = 2.0_f64.ln();
    assert!((pace.mean - double / 2.0).abs() < 1e-9);
    let variance: f64 = (4.0 * 0.09 + 4.0 * 4.0 / 8.0 * double * double) / 8.0;
    assert!(
        (pace.sd - variance.sqrt()).abs() < 1e-9
            && (pace.mean_sd - (variance / 8.0).sqrt()).abs() < 1e-9
    );
}

#[test]
fn the_spread_is_never_believed_to_be_nothing() {
    assert_eq!(done(&[4.0; 200]).sd, 0.1);
}

#[test]
fn a_known_slip_is_found_within_the_error_that_is_stated() {
    let (slip, spread) = (1.4_f64.ln(), 0.25);
    let mut dice = Dice(20_310_502);
    let sets = 100;
    let mut found = 0;
    for _ in 0..sets {
        let took: Vec<f64> = (0..60)
            .map(|_| 4.0 * (slip + spread * dice.normal()).exp())
            .collect();
        let pace = done(&took);
        found += u32::from((pace.mean - slip).abs() <= 2.0 * pace.mean_sd);
        assert!((pace.sd - spread).abs() < 0.1, "{pace:?}");
    }
    assert!(
        found >= 88,
        "only {found} of {sets} within two standard errors"
    );
}

#[test]
fn open_jobs_and_jobs_without_both_hours_teach_nothing() {
    let book = Written::plan(
        "- [ ] One {one, takes 4 h}\n- [ ] Two {two}\n- [ ] Three {three, takes 4 h}",
    )
    .log("- [ ] {one, took 9 h}\n- [x] {two, took 2 h}\n- [x] {three}");
    assert_eq!(book.forecast().pace.jobs, 0);
}
