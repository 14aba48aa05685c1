//! Numbers as plain figures.
//!
//! In: numbers in the unit they are shown in. Out: text with a plain minus and no marks between
//! digits; print adds its marks in [`printed`](super::printed). A figure with few digits is shown
//! as it is. Otherwise the digits follow the spread: its first two figures are shown, rounded up,
//! and the value to the same place.
//!
//! What always holds: a shown spread is never smaller than it is, a margin never better, a window
//! never wider; reading a figure with few digits gives it back; no figure is `-0`.

/// Further digits of a double say nothing: they are what rounding left.
const TRUE_DIGITS: usize = 14;
/// A figure with at most so many digits is shown as it is.
const FEW_DIGITS: usize = 11;
/// So many figures are shown of a figure with many digits and no spread.
const FIGURES: usize = 5;
/// So many figures are shown of a margin with many digits.
const MARGIN_FIGURES: usize = 3;
/// A margin with at most so many digits is shown as it is.
const MARGIN_DIGITS: usize = 5;
/// A spread with at most so many digits is shown as it is.
const SPREAD_DIGITS: usize = 3;
/// A value may show so many places more than its spread, where it has no more.
const FURTHER_PLACES: usize = 2;
/// A place so much above the noise is hit by chance once in hundreds of figures.
const NOISE_PLACES: i32 = 3;
/// Two figures nearer than this share of their size are the same: a double tells no more.
const SAME: f64 = 1e-12;

/// A number with up to `figures` significant figures, to the nearest, trailing zeros left out.
pub fn plain(number: f64, figures: usize) -> String {
    if number == 0.0 {
        return "0".to_owned();
    }
    let size = number.abs().log10().floor() as i32;
    if !(-5..9).contains(&size) {
        return trimmed_exponent(&format!("{number:.*e}", figures - 1));
    }
    let places = (figures as i32 - 1 - size).max(0) as usize;
    trimmed(&fixed(number, places))
}

/// A number as it is, where it has few digits; else five figures of it.
pub fn exact(number: f64) -> String {
    few_digits(number, FEW_DIGITS).unwrap_or_else(|| plain(number, FIGURES))
}

/// Hours of work, to four figures: nobody plans seconds.
pub fn hours(hours: f64) -> String {
    plain(hours, 4)
}

/// A number that has at most `most` digits, but for what rounding left in its last bits.
fn few_digits(number: f64, most: usize) -> Option<String> {
    let text = format!("{:.*e}", TRUE_DIGITS - 1, number);
    let (mantissa, power) = text.split_once('e')?;
    let power: i32 = power.parse().ok()?;
    let mantissa = trimmed(mantissa);
    let digits = mantissa.bytes().filter(u8::is_ascii_digit).count();
    if !number.is_finite() || digits > most {
        return None;
    }
    if !(-6..12).contains(&power) {
        return Some(format!("{mantissa}e{power}"));
    }
    Some(fixed(number, (digits as i32 - 1 - power).max(0) as usize))
}

/// A number never shown larger than it is: to three figures where it has many digits, or to the
/// given places.
pub fn down(number: f64, places: Option<usize>) -> String {
    towards(number, places, f64::floor)
}

/// A number never shown smaller than it is.
pub fn up(number: f64, places: Option<usize>) -> String {
    towards(number, places, f64::ceil)
}

fn towards(number: f64, places: Option<usize>, round: fn(f64) -> f64) -> String {
    match places {
        Some(places) => fixed(rounded_at(number, places as i32, round), places),
        None => few_digits(number, MARGIN_DIGITS).unwrap_or_else(|| {
            let places = MARGIN_FIGURES as i32 - 1 - first_figure(number);
            plain(rounded_at(number, places, round), MARGIN_FIGURES + 1)
        }),
    }
}

/// A number but for what rounding left of a difference, up to `noise`: the number with fewer places
/// where there is one that near.
pub fn without_noise(number: f64, noise: f64) -> f64 {
    if noise <= 0.0 || number == 0.0 {
        return number;
    }
    let near = rounded_at(number, -first_figure(noise) - NOISE_PLACES, f64::round);
    if (near - number).abs() <= noise {
        near
    } else {
        number
    }
}

/// A spread: as it is where it has up to three digits, else two figures, rounded up.
pub fn spread(number: f64) -> String {
    few_digits(number, SPREAD_DIGITS)
        .unwrap_or_else(|| plain(rounded_at(number, two_figures(number), f64::ceil), 3))
}

/// A number rounded at a decimal place; one that is round there but for the last bits of a double
/// stays.
fn rounded_at(number: f64, places: i32, round: fn(f64) -> f64) -> f64 {
    let scaled = scaled(number, places);
    let near = scaled.round();
    let whole = if (scaled - near).abs() <= SAME * scaled.abs() {
        near
    } else {
        round(scaled)
    };
    if whole.abs() < 1e15 {
        self::scaled(whole, -places)
    } else {
        number
    }
}

/// A number times a power of ten; dividing by whole powers keeps `3 / 100` the double that `0.03`
/// is.
fn scaled(number: f64, power: i32) -> f64 {
    if power < 0 {
        number / 10_f64.powi(-power)
    } else {
        number * 10_f64.powi(power)
    }
}

/// Both ends of a window, rounded inwards to a place that shows its width to three figures, or to
/// more where that leaves nothing between them: what is cut to a printed end still fits.
pub fn inwards(from: f64, to: f64) -> (String, String) {
    let width = (to - from).abs();
    let first = if width > 0.0 {
        2 - first_figure(width)
    } else {
        3
    };
    for places in first.max(0)..=(first + 3).clamp(0, 15) {
        let (low, high) = (
            rounded_at(from, places, f64::ceil),
            rounded_at(to, places, f64::floor),
        );
        if low <= high {
            let figure = |number: f64| trimmed(&fixed(number, places as usize));
            return (figure(low), figure(high));
        }
    }
    (from.to_string(), to.to_string())
}

/// The number with the fewest digits within a window, near a point of it: what is printed of it is
/// the number itself.
pub fn handiest(point: f64, from: f64, to: f64) -> f64 {
    let width = (to - from).abs();
    let first = if width > 0.0 {
        2 - first_figure(width)
    } else {
        return point;
    };
    let rounds = [f64::round, f64::ceil, f64::floor];
    let mut tries =
        (first..=first + 3).flat_map(|places| rounds.map(|round| rounded_at(point, places, round)));
    tries
        .find(|number| (from..=to).contains(number))
        .unwrap_or(point)
}

/// One number less another; zero where they differ by less than a double can tell of numbers of
/// their size.
pub fn difference(a: f64, b: f64) -> f64 {
    if (a - b).abs() <= SAME * a.abs().max(b.abs()) {
        0.0
    } else {
        a - b
    }
}

/// A number to a fixed number of decimal places; never `-0`.
pub fn fixed(number: f64, places: usize) -> String {
    let text = format!("{number:.places$}");
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text[1..].to_owned()
    } else {
        text
    }
}

/// The power of ten of the first figure.
fn first_figure(number: f64) -> i32 {
    format!("{number:e}")
        .split_once('e')
        .and_then(|(_, power)| power.parse().ok())
        .unwrap_or(0)
}

/// The decimal place of the second figure of a spread, once it is rounded up to two: 0.0996 is
/// shown as 0.10.
fn two_figures(spread: f64) -> i32 {
    let places = 1 - first_figure(spread);
    if rounded_at(spread, places, f64::ceil) >= scaled(100.0, -places) {
        places - 1
    } else {
        places
    }
}

/// Decimal places that show a spread: as it is where it has up to three digits, else its first two
/// figures.
pub fn places(spread: f64) -> usize {
    if spread <= 0.0 || !spread.is_finite() {
        return 0;
    }
    own_places(spread, SPREAD_DIGITS).unwrap_or_else(|| two_figures(spread).clamp(0, 9) as usize)
}

/// The decimal places of a number with few digits.
fn own_places(number: f64, most: usize) -> Option<usize> {
    let text = few_digits(number, most).filter(|text| !text.contains('e'))?;
    Some(text.split_once('.').map_or(0, |(_, part)| part.len()))
}

/// Places that show both sides of a spread: the smaller one is not rounded to nothing.
fn places_of_both(up: f64, down: f64) -> usize {
    let (larger, smaller) = if up >= down { (up, down) } else { (down, up) };
    let places = places(larger);
    if smaller <= 0.0 {
        return places;
    }
    let own = own_places(smaller, SPREAD_DIGITS)
        .unwrap_or_else(|| (-first_figure(smaller)).clamp(0, 9) as usize);
    places.max(own.min(places + FURTHER_PLACES))
}

/// A value with equal or unequal sides: `3.56 ± 0.10`, `10.0 +0.2/-0.1`, or the bare figure.
pub fn with_spread(number: f64, up: f64, down: f64) -> String {
    with_more_digits(number, up, down, 0)
}

/// The same with further digits, where the usual ones do not tell enough.
pub fn with_more_digits(number: f64, up: f64, down: f64, more: usize) -> String {
    let spread = up.max(down);
    if spread <= 0.0 {
        return if more == 0 {
            exact(number)
        } else {
            plain(number, FIGURES + more)
        };
    }
    // 1e-8 is the smallest spread whose first two figures fit into the places of `places`.
    let beyond_a_double = first_figure(number) - first_figure(spread) > 13;
    if spread < 1e-8 || beyond_a_double || spread >= 1e9 || number.abs() >= 1e12 {
        return with_tiny_spread(number, up, down, more);
    }
    let places = places_of_both(up, down) + more;
    let places = match own_places(number, FEW_DIGITS) {
        Some(own) if own <= places + FURTHER_PLACES => places.max(own),
        // 16.6667 ± 0.1 is shown as 16.67 ± 0.10: one figure of the spread would say too little of
        // the value.
        _ => places.max(two_figures(spread).clamp(0, 9) as usize),
    };
    at_places(number, up, down, places)
}

/// Money with its two decimals.
pub fn money(number: f64, up: f64, down: f64) -> String {
    if up.max(down) > 0.0 {
        at_places(number, up, down, 2)
    } else {
        fixed(number, 2)
    }
}

fn at_places(number: f64, up: f64, down: f64, places: usize) -> String {
    let side = |side: f64| self::up(side, Some(places));
    sided(&fixed(number, places), &side(up), &side(down))
}

/// The same for figures that no fixed number of decimal places suits: the digits still follow the
/// spread.
fn with_tiny_spread(number: f64, up: f64, down: f64, more: usize) -> String {
    let figures =
        (first_figure(number) - first_figure(up.max(down)) + 2 + more as i32).clamp(1, 17) as usize;
    sided(&plain(number, figures), &spread(up), &spread(down))
}

fn sided(number: &str, up: &str, down: &str) -> String {
    if up == down {
        format!("{number} ± {up}")
    } else {
        format!("{number} +{up}/-{down}")
    }
}

fn trimmed(text: &str) -> String {
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text.to_owned()
    }
}

fn trimmed_exponent(text: &str) -> String {
    text.split_once('e').map_or_else(
        || text.to_owned(),
        |(number, power)| format!("{}e{power}", trimmed(number)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digits_follow_the_spread() {
        assert_eq!(
            with_spread(3.561_234_567_89, 0.101_234, 0.101_234),
            "3.56 ± 0.11"
        );
        assert_eq!(with_spread(1_262.312_345, 6.4, 6.4), "1262.3 ± 6.4");
        assert_eq!(with_spread(1_262.312_345, 64.0, 64.0), "1262 ± 64");
        assert_eq!(with_spread(10.0, 0.2, 0.1), "10.0 +0.2/-0.1");
        assert_eq!(with_spread(0.5, 0.099_612_34, 0.099_612_34), "0.50 ± 0.10");
    }

    #[test]
    fn what_was_written_is_printed_as_it_was_written() {
        assert_eq!(with_spread(1234.56, 0.0, 0.0), "1234.56");
        assert_eq!(with_spread(4.3, 0.1, 0.1), "4.3 ± 0.1");
        assert_eq!(with_spread(1.375, 0.125, 0.125), "1.375 ± 0.125");
        assert_eq!(with_spread(3.561, 0.1, 0.1), "3.561 ± 0.100");
        assert_eq!(with_spread(10.0, 0.2, 0.001), "10.000 +0.200/-0.001");
        assert_eq!(with_spread(10.0, 0.2, 0.0), "10.0 +0.2/-0.0");
    }

    #[test]
    fn a_spread_is_never_shown_smaller_than_it_is() {
        assert_eq!(spread(0.155), "0.155");
        assert_eq!(spread(0.155_01), "0.16");
        assert_eq!(spread(0.099_12), "0.1");
        assert_eq!(with_spread(0.5, 0.099_12, 0.099_12), "0.50 ± 0.10");
    }

    #[test]
    fn very_small_figures_keep_their_spread() {
        assert_eq!(with_spread(1.7241e-8, 1e-10, 1e-10), "1.724e-8 ± 1e-10");
        assert_eq!(
            with_spread(1.7241e-8, 1e-10, 2e-10),
            "1.724e-8 +1e-10/-2e-10"
        );
        assert_eq!(with_spread(0.0, 1e-10, 1e-10), "0 ± 1e-10");
    }

    #[test]
    fn the_ends_of_a_window_are_rounded_inwards() {
        assert_eq!(
            inwards(3.5612, 4.8603),
            ("3.57".to_owned(), "4.86".to_owned())
        );
        assert_eq!(
            inwards(13.2 + 1e-13, 14.5 - 1e-13),
            ("13.2".to_owned(), "14.5".to_owned())
        );
        assert_eq!(inwards(0.0, 30.0), ("0".to_owned(), "30".to_owned()));
        assert_eq!(
            inwards(-1.2345, 0.00012),
            ("-1.23".to_owned(), "0".to_owned())
        );
        assert_eq!(inwards(20.0, 20.0), ("20".to_owned(), "20".to_owned()));
        assert_eq!(
            inwards(1234.384, 1234.474),
            ("1234.384".to_owned(), "1234.474".to_owned())
        );
    }

    #[test]
    fn a_window_without_width_is_not_turned_round() {
        let third = 1.0 / 3.0;
        assert_eq!(
            inwards(third, third),
            (third.to_string(), third.to_string())
        );
    }

    #[test]
    fn the_handiest_number_of_a_window_lies_inside_it() {
        assert_eq!(handiest(1_234.428_9, 1_234.384, 1_234.474), 1_234.428_9);
        assert_eq!(handiest(4.210_612_345, 3.561, 4.860), 4.21);
        assert_eq!(handiest(0.5, 0.5, 0.5), 0.5);
    }

    #[test]
    fn a_margin_is_never_shown_larger_than_it_is() {
        assert_eq!(down(0.137_712_345_678, None), "0.137");
        assert_eq!(down(2.0 / 3.0, None), "0.666");
        assert_eq!(up(2.0 / 3.0, None), "0.667");
        assert_eq!(down(18.4, None), "18.4");
        assert_eq!(down(1382.0 - 0.1 - 0.2, None), "1381.7");
        assert_eq!(down(0.0, None), "0");
        assert_eq!(down(-10.0 / 3.0, None), "-3.34");
    }

    #[test]
    fn the_noise_of_a_difference_is_not_printed() {
        assert_eq!(without_noise(0.048_999_999_999_8, 1.2e-9), 0.049);
        assert_eq!(without_noise(1.0 / 3.0, 1e-9), 1.0 / 3.0);
        assert_eq!(without_noise(0.25, 0.0), 0.25);
    }

    #[test]
    fn no_figure_is_minus_nothing() {
        assert_eq!(exact(-0.0), "0");
        assert_eq!(fixed(-0.001, 1), "0.0");
        assert_eq!(plain(-0.0, 5), "0");
        assert_eq!(down(-0.0, Some(2)), "0.00");
    }

    #[test]
    fn many_digits_without_a_spread_are_cut_to_five() {
        assert_eq!(exact(3.0 / 19.0), "0.15789");
        assert_eq!(exact(9.0), "9");
        assert_eq!(exact(1300.0), "1300");
        assert_eq!(exact(1.25e-8), "1.25e-8");
        assert_eq!(exact(0.1 + 0.2), "0.3");
    }
}
