//! Figures as people read them.
//!
//! In: numbers in the unit they are shown in. Out: text. The digits follow the spread: its first two
//! figures are shown, and the value to the same place. Reading a printed figure gives it back.

/// A number with up to `figures` significant figures, trailing zeros left out.
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

/// Both ends of a window, rounded inwards to a place that shows its width to three figures: what is cut
/// to a printed end still fits.
pub fn inwards(from: f64, to: f64) -> (String, String) {
    let width = (to - from).abs();
    let size = if width > 0.0 { width.log10().floor() as i32 } else { -3 };
    let places = (2 - size).clamp(0, 9);
    let scale = 10_f64.powi(places);
    let figure = |number: f64, round: fn(f64) -> f64| {
        let scaled = number * scale;
        // An end that is a round figure but for the last bits of a double is that figure.
        let near = scaled.round();
        let whole = if (scaled - near).abs() < 1e-6 { near } else { round(scaled) };
        if whole.abs() < 1e15 { trimmed(&fixed(whole / scale, places as usize)) } else { plain(number, 12) }
    };
    (figure(from, f64::ceil), figure(to, f64::floor))
}

/// A margin to two figures, never shown larger than it is.
pub fn margin(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return plain(number, 2);
    }
    let scale = 10_f64.powi(1 - number.abs().log10().floor() as i32);
    let scaled = number * scale;
    let near = scaled.round();
    let whole = if (scaled - near).abs() < 1e-6 { near } else { scaled.floor() };
    plain(whole / scale, 2)
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

/// Decimal places that show the first two figures of a spread.
pub fn places(spread: f64) -> usize {
    if spread <= 0.0 || !spread.is_finite() {
        return 0;
    }
    (1 - size(spread)).clamp(0, 9) as usize
}

/// The power of ten of the first figure. 0.0996 is shown as 0.10, so it is taken after rounding to two figures.
fn size(number: f64) -> i32 {
    format!("{number:.1e}").split_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0)
}

/// A value with equal or unequal sides: `3.56 ± 0.10`, `10.0 +0.2/-0.1`, or the bare figure.
pub fn with_spread(number: f64, up: f64, down: f64) -> String {
    with_more_digits(number, up, down, 0)
}

/// The same with further digits, where two figures of the spread do not tell enough.
pub fn with_more_digits(number: f64, up: f64, down: f64, more: usize) -> String {
    let spread = up.max(down);
    if spread <= 0.0 {
        return plain(number, 5 + more);
    }
    // 1e-8 is the smallest spread whose first two figures fit into the places of `places`.
    let beyond_a_double = size(number) - size(spread) > 13;
    if spread < 1e-8 || beyond_a_double || spread >= 1e9 || number.abs() >= 1e12 {
        return with_tiny_spread(number, up, down, more);
    }
    let places = places(spread) + more;
    let (number, up_text) = (fixed(number, places), fixed(up, places));
    let down_text = if up == down { up_text.clone() } else { fixed(down, places) };
    sided(&number, &up_text, &down_text)
}

/// The same for figures that no fixed number of decimal places suits: the digits still follow the spread.
fn with_tiny_spread(number: f64, up: f64, down: f64, more: usize) -> String {
    let figures = (size(number) - size(up.max(down)) + 2 + more as i32).clamp(1, 17) as usize;
    sided(&plain(number, figures), &plain(up, 2 + more), &plain(down, 2 + more))
}

fn sided(number: &str, up: &str, down: &str) -> String {
    if up == down { format!("{number} ± {up}") } else { format!("{number} +{up}/-{down}") }
}

fn trimmed(text: &str) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text.to_owned() }
}

fn trimmed_exponent(text: &str) -> String {
    text.split_once('e').map_or_else(|| text.to_owned(), |(number, power)| format!("{}e{power}", trimmed(number)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digits_follow_the_spread() {
        assert_eq!(with_spread(3.5612, 0.101, 0.101), "3.56 ± 0.10");
        assert_eq!(with_spread(1262.3, 6.4, 6.4), "1262.3 ± 6.4");
        assert_eq!(with_spread(1262.3, 64.0, 64.0), "1262 ± 64");
        assert_eq!(with_spread(10.0, 0.2, 0.1), "10.00 +0.20/-0.10");
        assert_eq!(with_spread(0.5, 0.0996, 0.0996), "0.50 ± 0.10");
    }

    #[test]
    fn very_small_figures_keep_their_spread() {
        assert_eq!(with_spread(1.7241e-8, 1e-10, 1e-10), "1.724e-8 ± 1e-10");
        assert_eq!(with_spread(1.7241e-8, 1e-10, 2e-10), "1.724e-8 +1e-10/-2e-10");
        assert_eq!(with_spread(0.0, 1e-10, 1e-10), "0 ± 1e-10");
    }

    #[test]
    fn the_ends_of_a_window_are_rounded_inwards() {
        assert_eq!(inwards(3.5612, 4.8603), ("3.57".to_owned(), "4.86".to_owned()));
        assert_eq!(inwards(13.2 + 1e-13, 14.5 - 1e-13), ("13.2".to_owned(), "14.5".to_owned()));
        assert_eq!(inwards(0.0, 30.0), ("0".to_owned(), "30".to_owned()));
        assert_eq!(inwards(-1.2345, 0.00012), ("-1.23".to_owned(), "0".to_owned()));
    }

    #[test]
    fn a_margin_is_never_shown_larger_than_it_is() {
        assert_eq!(margin(0.1377), "0.13");
        assert_eq!(margin(2.999), "2.9");
        assert_eq!(margin(0.3), "0.3");
        assert_eq!(margin(0.0), "0");
        assert_eq!(margin(1380.4), "1300");
    }

    #[test]
    fn without_a_spread_five_figures_are_shown() {
        assert_eq!(plain(0.157_894_7, 5), "0.15789");
        assert_eq!(plain(9.0, 5), "9");
        assert_eq!(plain(1300.0, 5), "1300");
        assert_eq!(plain(1.25e-8, 5), "1.25e-8");
        assert_eq!(fixed(-0.001, 1), "0.0");
    }
}
