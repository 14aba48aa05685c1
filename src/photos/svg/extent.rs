//! How large an SVG wants to be shown.
//!
//! In: the attributes of its first element. Out: width and height in pixels.

use crate::photos::LARGE;

/// What browsers take where an SVG does not say.
const USUAL: (f64, f64) = (300.0, 150.0);
/// Longer is not drawn.
const LONGEST: f64 = 32_000.0;

/// Width and height in pixels; where only a view is given, as large as a page shows.
pub(super) fn of(attributes: &[(String, String)]) -> (u32, u32) {
    let value = |name: &str| {
        attributes
            .iter()
            .find(|(key, _)| key == name)
            .map(|(_, value)| value.as_str())
    };
    let (width, height) = (
        value("width").and_then(length),
        value("height").and_then(length),
    );
    let view = value("viewBox").and_then(view);
    let (width, height) = match (width, height, view) {
        (Some(width), Some(height), _) => (width, height),
        (Some(width), None, Some((wide, tall))) => (width, width * tall / wide),
        (None, Some(height), Some((wide, tall))) => (height * wide / tall, height),
        (None, None, Some((wide, tall))) => {
            let scale = f64::from(LARGE) / wide.max(tall);
            (wide * scale, tall * scale)
        }
        (width, height, None) => (width.unwrap_or(USUAL.0), height.unwrap_or(USUAL.1)),
    };
    (whole(width), whole(height))
}

fn whole(side: f64) -> u32 {
    side.clamp(1.0, LONGEST).round() as u32
}

/// A length in pixels; `None` for shares of what is around it.
fn length(text: &str) -> Option<f64> {
    let text = text.trim();
    let end = text
        .find(|c: char| c.is_ascii_alphabetic() || c == '%')
        .unwrap_or(text.len());
    let (number, unit) = text.split_at_checked(end)?;
    let pixels = match unit {
        "" | "px" => 1.0,
        "in" => 96.0,
        "cm" => 96.0 / 2.54,
        "mm" => 96.0 / 25.4,
        "pt" => 96.0 / 72.0,
        "pc" => 16.0,
        _ => return None,
    };
    number
        .trim()
        .parse::<f64>()
        .ok()
        .map(|number| number * pixels)
        .filter(|length| length.is_finite() && *length > 0.0)
}

/// Width and height of a view.
fn view(text: &str) -> Option<(f64, f64)> {
    let numbers: Vec<f64> = text
        .split([' ', ',', '\t', '\n', '\r'])
        .filter(|part| !part.is_empty())
        .map_while(|part| part.parse().ok())
        .collect();
    match numbers[..] {
        [_, _, wide, tall] if wide.is_finite() && tall.is_finite() && wide > 0.0 && tall > 0.0 => {
            Some((wide, tall))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn extent(of_these: &[(&str, &str)]) -> (u32, u32) {
        let attributes: Vec<_> = of_these
            .iter()
            .map(|(key, value)| ((*key).to_owned(), (*value).to_owned()))
            .collect();
        of(&attributes)
    }

    #[test]
    fn lengths_count_before_the_view_and_a_view_alone_fills_a_page() {
        assert_eq!(
            extent(&[("width", "210mm"), ("height", "10 mm")]),
            (794, 38)
        );
        assert_eq!(
            extent(&[("width", "100%"), ("viewBox", "0 0 20,10")]),
            (1600, 800)
        );
        assert_eq!(
            extent(&[("width", "40"), ("viewBox", "0 0 20 10")]),
            (40, 20)
        );
        assert_eq!(extent(&[]), (300, 150));
        assert_eq!(
            extent(&[
                ("width", "NaN"),
                ("height", "99999999"),
                ("viewBox", "0 0 0 1")
            ]),
            (300, 32_000)
        );
    }
}
