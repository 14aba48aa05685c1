//! A proposal is safe: written into its line, it gives a line that can be read, and never another
//! quantity.

use proptest::prelude::*;
use shimbook::diagnostics::{Diagnostic, Slug};
use shimbook::quantity::{Dimension, Unit, Units};

use crate::bench::{Bench, work};
use crate::{dice, same};

/// What a word after a number means to the trade: the words, how many of the unit behind make one,
/// and that unit. In the last column: does the word mean the same in any capitals? A word that is
/// not here means nothing for certain.
const MEANINGS: [(&str, f64, &str, bool); 94] = [
    (
        "mm millimetre millimetres millimeter millimeters",
        1.0,
        "mm",
        true,
    ),
    (
        "cm centimetre centimetres centimeter centimeters",
        10.0,
        "mm",
        true,
    ),
    (
        "km kilometre kilometres kilometer kilometers kms",
        1e6,
        "mm",
        true,
    ),
    ("m", 1000.0, "mm", false),
    ("metre metres meter meters mtr", 1000.0, "mm", true),
    ("um µm μm", 0.001, "mm", false),
    ("micron microns micrometre micrometres", 0.001, "mm", true),
    ("dm", 100.0, "mm", true),
    ("in inch inches ins", 25.4, "mm", true),
    ("thou", 0.0254, "mm", true),
    ("ft foot feet", 304.8, "mm", true),
    ("yd yard yards yds", 914.4, "mm", true),
    ("mi mile miles", 1_609_344.0, "mm", true),
    ("deg", 1.0, "deg", true),
    (
        "rad radian radians",
        180.0 / std::f64::consts::PI,
        "deg",
        true,
    ),
    ("rev revs turn turns", 360.0, "deg", true),
    ("gon", 0.9, "deg", true),
    ("g", 0.001, "kg", false),
    ("gram grams gramme grammes gm gms", 0.001, "kg", true),
    (
        "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes",
        1.0,
        "kg",
        true,
    ),
    ("mg", 1e-6, "kg", false),
    ("ug µg μg", 1e-9, "kg", false),
    ("t", 1000.0, "kg", false),
    ("tonne tonnes", 1000.0, "kg", true),
    ("oz ozs", 0.028_349_523_125, "kg", true),
    ("lb lbs lbm", 0.453_592_37, "kg", true),
    ("stone", 6.350_293_18, "kg", true),
    ("N n newton newtons", 1.0, "N", true),
    ("kN KN", 1000.0, "N", false),
    ("MN", 1e6, "N", false),
    ("mN", 0.001, "N", false),
    ("daN", 10.0, "N", false),
    ("lbf lbsf", 4.448_221_615_260_5, "N", true),
    ("kip kips", 4_448.221_615_260_5, "N", true),
    ("kgf", 9.806_65, "N", true),
    ("Nm N.m N-m J joule joules", 1.0, "N-m", false),
    ("Ncm", 0.01, "N-m", false),
    ("kNm kN-m kJ", 1000.0, "N-m", false),
    ("MJ", 1e6, "N-m", false),
    ("kgfm", 9.806_65, "N-m", false),
    ("Wh", 3600.0, "N-m", true),
    ("kWh kilowatthour kilowatthours", 3.6e6, "N-m", true),
    ("MWh", 3.6e9, "N-m", false),
    (
        "lb-ft lbft lbsft ftlb ftlbs ftlbf lbfft ft-lb ft-lbs ft.lb lb.ft lbs-ft",
        1.355_817_948_331_400_4,
        "N-m",
        false,
    ),
    (
        "lb-in lbin lbsin inlb inlbs inlbf lbfin in-lb in-lbs in.lb lb.in lbs-in",
        0.112_984_829_027_616_7,
        "N-m",
        false,
    ),
    ("W w watt watts", 1.0, "W", true),
    ("kW kilowatt kilowatts", 1000.0, "W", true),
    ("mW", 0.001, "W", false),
    ("MW", 1e6, "W", false),
    ("GW", 1e9, "W", false),
    ("hp bhp horsepower", 745.699_871_582_270_2, "W", true),
    ("PS", 735.498_75, "W", true),
    ("Pa pascal pascals", 1.0, "Pa", true),
    ("hPa", 100.0, "Pa", false),
    ("kPa", 1000.0, "Pa", true),
    ("MPa Mpa MPA", 1e6, "Pa", false),
    ("GPa", 1e9, "Pa", true),
    ("bar bars", 1e5, "Pa", true),
    ("mbar mb millibar millibars", 100.0, "Pa", false),
    ("kbar", 1e8, "Pa", false),
    ("atm", 101_325.0, "Pa", false),
    ("psi", 6_894.757_293_168_36, "Pa", true),
    ("ksi", 6_894_757.293_168_36, "Pa", false),
    ("inHg", 3_386.388_640_341, "Pa", true),
    ("km/h kmh kph kmph", 1.0, "km/h", true),
    ("mph", 1.609_344, "km/h", true),
    ("knot knots", 1.852, "km/h", true),
    ("rpm r/min rev/min revs/min", 1.0, "rpm", true),
    ("rps", 60.0, "rpm", false),
    ("s sec secs second seconds", 1.0, "s", false),
    ("ms", 0.001, "s", false),
    ("us µs μs", 1e-6, "s", false),
    ("min mins minute minutes", 60.0, "s", true),
    ("h hr hrs hour hours", 3600.0, "s", false),
    ("day days", 86_400.0, "s", true),
    ("week weeks", 604_800.0, "s", true),
    (
        "cc ml mL ccm millilitre millilitres milliliter milliliters",
        1.0,
        "cc",
        true,
    ),
    ("cl cL", 10.0, "cc", false),
    ("dl dL", 100.0, "cc", false),
    ("L l litre litres liter liters ltr ltrs", 1000.0, "cc", true),
    ("cu_in ci cid cuin cu-in", 16.387_064, "cc", true),
    ("gal", 3_785.411_784, "cc", true),
    ("K kelvin kelvins", 1.0, "K", false),
    ("V v volt volts", 1.0, "V", true),
    ("A a amp amps ampere amperes", 1.0, "A", true),
    ("kA", 1000.0, "A", false),
    ("ohm ohms Ω", 1.0, "ohm", true),
    ("kohm kΩ", 1000.0, "ohm", false),
    ("Mohm MΩ", 1e6, "ohm", false),
    ("mohm", 0.001, "ohm", false),
    ("mAh", 0.001, "Ah", false),
    ("lpm", 1.0, "L/min", true),
    ("lph", 1.0, "L/h", true),
    ("cfm", 1.0, "ft3/min", true),
];

/// More words that mean something else than they resemble.
const TRAPS: &str = "Hz kHz mpg gph gpm mil nm kn kt C F MV MA MOHM mpa pint ton cwt BTU degrees pound grad H7 h6 x2 wedge";

/// What a word means: how many SI units of which dimension one of it is. A quotient means what its
/// two sides mean.
fn meaning(word: &str) -> Option<(f64, Dimension)> {
    let capitals = |known: &str, any: bool| any || known.len() > 3;
    let is_it = |known: &str, any: bool| {
        known == word || (capitals(known, any) && known.to_lowercase() == word.to_lowercase())
    };
    let row = MEANINGS
        .iter()
        .find(|(words, _, _, any)| words.split(' ').any(|known| is_it(known, *any)));
    if let Some((_, count, unit, _)) = row {
        let unit = Units::new("EUR").named(unit).ok()?;
        return Some((count * unit.factor, unit.dimension));
    }
    let (above, below) = word.rsplit_once('/')?;
    let (above, below) = (meaning(above)?, meaning(below)?);
    Some((above.0 / below.0, above.1.over(below.1)?))
}

/// A word and up to two slips of a tired hand.
fn near_word() -> impl Strategy<Value = String> {
    let words: Vec<&'static str> = MEANINGS
        .iter()
        .flat_map(|row| row.0.split(' '))
        .chain(TRAPS.split(' '))
        .collect();
    let slip = (
        0_usize..6,
        any::<proptest::sample::Index>(),
        proptest::char::range('a', 'z'),
    );
    (
        proptest::sample::select(words),
        proptest::collection::vec(slip, 0..3),
    )
        .prop_map(|(word, slips)| {
            let mut letters: Vec<char> = word.chars().collect();
            for (kind, at, letter) in slips {
                let at = at.index(letters.len() + 1);
                match kind {
                    0 => letters.insert(at, letter),
                    1 if at + 1 < letters.len() => letters.swap(at, at + 1),
                    2 if at < letters.len() && letters.len() > 1 => drop(letters.remove(at)),
                    3 if at < letters.len() => letters[at] = letter,
                    4 => letters
                        .iter_mut()
                        .for_each(|letter| *letter = letter.to_ascii_uppercase()),
                    _ => letters
                        .iter_mut()
                        .take(1)
                        .for_each(|letter| *letter = letter.to_ascii_uppercase()),
                }
            }
            letters.into_iter().collect()
        })
}

/// The block with a proposal in its place.
fn with_proposal(block: &str, finding: &Diagnostic) -> Option<String> {
    let range = finding.at.range();
    Some(format!(
        "{}{}{}",
        block.get(..range.start)?,
        finding.instead.as_ref()?,
        block.get(range.end..)?
    ))
}

fn proposed(block: &str, bench: &Bench, slug: Slug) -> Option<String> {
    bench
        .diagnostics
        .iter()
        .filter(|found| found.slug == slug)
        .find_map(|found| with_proposal(block, found))
}

proptest! {
    #![proptest_config(dice(1500))]

    #[test]
    fn a_proposed_unit_gives_the_quantity_that_was_written(word in near_word(), number in 1_u32..999, tolerance in 0_usize..3) {
        let number = f64::from(number) / 8.0;
        let tolerance = ["", " ± 0.25", " +0.5/-0.25"][tolerance];
        let block = format!("x measured {number}{tolerance} {word}");
        if let Some(line) = proposed(&block, &work(&[&block]), Slug::UnknownUnit) {
            let meant = meaning(&word);
            prop_assert!(meant.is_some(), "{block}: {line}");
            let (size, dimension) = meant.unwrap_or_default();
            let bench = work(&[&line]);
            prop_assert!(bench.diagnostics.is_empty(), "{block}: {line}: {:?}", bench.diagnostics);
            let value = bench.value("x");
            prop_assert_eq!(value.dimension, dimension, "{}: {}", block, line);
            prop_assert!(same(value.nominal, number * size, 1e-9), "{block}: {line}");
            let sides = value.worst_case();
            let (up, down) = match tolerance { "" => (0.0, 0.0), " ± 0.25" => (0.25, 0.25), _ => (0.5, 0.25) };
            prop_assert!(same(sides.up, up * size, 1e-9), "{block}: {line}");
            prop_assert!(same(sides.down, down * size, 1e-9), "{block}: {line}");
        }
    }

    #[test]
    fn a_proposed_unit_in_a_sum_gives_the_quantity_that_was_written(word in near_word(), number in 1_u32..999) {
        let number = f64::from(number) / 8.0;
        let block = format!("x = 0 * 1 + 2 * {number} {word}");
        if let Some(line) = proposed(&block, &work(&[&block]), Slug::UnknownUnit) {
            let (size, dimension) = meaning(&word).unwrap_or_else(|| panic!("{block}: {line}"));
            let line = line.replace("0 * 1 + ", "");
            let bench = work(&[&line]);
            prop_assert!(bench.diagnostics.is_empty(), "{block}: {line}: {:?}", bench.diagnostics);
            prop_assert_eq!(bench.value("x").dimension, dimension, "{}: {}", block, line);
            prop_assert!(same(bench.value("x").nominal, 2.0 * number * size, 1e-9), "{block}: {line}");
        }
    }

    #[test]
    fn a_proposed_limit_is_the_limit_that_was_written(word in near_word(), number in 1_u32..999, form in 0_usize..4) {
        let number = f64::from(number) / 8.0;
        let form = ["at least N", "at most N", "within N ± 0.25", "between 0.125 and N"][form].replace('N', &format!("{number}"));
        let block = format!("x {form} {word}");
        if let Some(line) = proposed(&block, &work(&[&block]), Slug::UnknownUnit) {
            let (size, dimension) = meaning(&word).unwrap_or_else(|| panic!("{block}: {line}"));
            let value = format!("{line}\nx = {} {}", number * size, Unit::si(dimension).name);
            let bench = work(&[&value]);
            prop_assert!(bench.diagnostics.is_empty(), "{block}: {line}: {:?}", bench.diagnostics);
            let judged = bench.worked.checks[0].latest().unwrap().clone();
            let limit = judged.upper.or(judged.lower).unwrap() - if form.contains('±') { 0.25 * size } else { 0.0 };
            prop_assert!(same(limit, number * size, 1e-9), "{block}: {line}: {limit}");
        }
    }

    #[test]
    fn a_proposed_name_is_a_value_of_the_book(name in "[a-d][a-z_]{0,5}[0-9]?", slip in 0_usize..6, letter in "[a-z]") {
        let at = slip.min(name.len());
        let other = format!("{}{letter}{}", &name[..at], &name[at..]);
        prop_assume!(![name.as_str(), other.as_str()].contains(&"pi"));
        let block = format!("{name} = 3 mm\n{name}9 = 4 kg\ny = {other} + 1 mm");
        let bench = work(&[&block]);
        if let Some(fixed) = proposed(&block, &bench, Slug::UnknownName) {
            let again = work(&[&fixed]);
            prop_assert!(again.diagnostics.is_empty(), "{fixed}: {:?}", again.diagnostics);
            prop_assert!(same(again.value("y").nominal, 0.004, 1e-12), "{fixed}");
        }
    }
}

#[test]
fn a_word_that_means_another_size_is_never_proposed() {
    let traps = [
        ("um", "mm"),
        ("ml", "mm"),
        ("mpg", "MPa"),
        ("gph", "GPa"),
        ("kJ", "km"),
        ("kgf", "kg"),
        ("lbft", "lbf"),
        ("lpm", "rpm"),
        ("Hz", "oz"),
        ("ci", "cm"),
        ("H7", "hp"),
        ("MV", "mV"),
        ("kn", "kN"),
        ("nm", "N-m"),
        ("mil", "thou"),
    ];
    for (word, wrong) in traps {
        let block = format!("x = 12 {word}");
        let bench = work(&[&block]);
        let found = bench
            .diagnostics
            .iter()
            .find(|found| found.slug == Slug::UnknownUnit)
            .unwrap();
        assert_ne!(found.instead.as_deref(), Some(wrong), "{word}");
    }
}
