//! Limits and fits after ISO 286, from the tabulated integers.

use super::argument::{length, word};
use super::{Argument, Domain, Formula, Inputs, Outcome, Outside, Word, WorkedExample};
use crate::calc::dual::Dual;
use crate::quantity::Dimension;

pub(super) const FORMULAS: &[&Formula] = &[&TOLERANCE_WIDTH, &G_DEVIATION];

/// A band of sizes, over the last one's end up to and including its own, and its figures in µm.
pub(super) struct Band {
    /// The largest size of the band, in mm.
    pub(super) up_to: u32,
    /// Widths of grades 6 to 9.
    pub(super) widths: [u32; 4],
    /// How far the upper limit of a g shaft lies below the size.
    pub(super) g: u32,
}

const fn band(up_to: u32, widths: [u32; 4], g: u32) -> Band {
    Band { up_to, widths, g }
}

/// The tabulated integers, never the formula that they were once drawn up with.
pub(super) const BANDS: [Band; 13] = [
    band(3, [6, 10, 14, 25], 2),
    band(6, [8, 12, 18, 30], 4),
    band(10, [9, 15, 22, 36], 5),
    band(18, [11, 18, 27, 43], 6),
    band(30, [13, 21, 33, 52], 7),
    band(50, [16, 25, 39, 62], 9),
    band(80, [19, 30, 46, 74], 10),
    band(120, [22, 35, 54, 87], 12),
    band(180, [25, 40, 63, 100], 14),
    band(250, [29, 46, 72, 115], 15),
    band(315, [32, 52, 81, 130], 17),
    band(400, [36, 57, 89, 140], 18),
    band(500, [40, 63, 97, 155], 20),
];

const SIZE: Argument = length(
    "size",
    "nominal size of hole and shaft",
    Domain::Within(1e-3, 0.5, "from 1 to 500 mm"),
);

const GRADES: &[Word] = &[
    Word {
        word: "it6",
        says: "grade 6",
    },
    Word {
        word: "it7",
        says: "grade 7, as in H7",
    },
    Word {
        word: "it8",
        says: "grade 8",
    },
    Word {
        word: "it9",
        says: "grade 9",
    },
];

const FIT: Option<&str> = Some(
    "Use the maker's fit for bearings, hubs, steering and brakes. Measure both parts at the same temperature.",
);

/// The band that a size belongs to.
fn band_of(size: Dual) -> Result<&'static Band, Outside> {
    // To the nanometre, so that 30 mm is 30 mm whatever unit it came from.
    let nanometres = (size.value * 1e9).round();
    let band = BANDS
        .iter()
        .find(|band| nanometres <= f64::from(band.up_to) * 1e6);
    band.ok_or(Outside {
        argument: 0,
        domain: "from 1 to 500 mm",
    })
}

const TOLERANCE_WIDTH: Formula = Formula {
    name: "tolerance_width",
    says: "width of a tolerance grade of ISO 286 at a size: an H hole lies from 0 up to it, an h shaft from 0 down",
    arguments: &[SIZE, word("grade", "tolerance grade", GRADES)],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "table; bands are over one size up to and including the next",
    source: "ISO 286-1:2010 Table 1: over 3 up to 30 mm read in a secondary copy, the other bands from memory and checked against the i-formula",
    caution: FIT,
    worked: WorkedExample {
        call: "tolerance_width(25 mm, it7)",
        comes_to: "0.0210 mm",
    },
    held_against: &["d06", "d07", "d08", "d09", "d12", "d13"],
    work: tolerance_width,
};

fn tolerance_width(inputs: &Inputs) -> Result<Outcome, Outside> {
    let width = band_of(inputs.number(0))?.widths[inputs.word(1)];
    Outcome::exact(Dual::fixed(f64::from(width) * 1e-6))
}

const G_DEVIATION: Formula = Formula {
    name: "g_deviation",
    says: "upper limit of a g shaft above its nominal size; below zero, so an H/g pair never comes closer than that",
    arguments: &[SIZE],
    dimension: Dimension::LENGTH,
    shown_in: "mm",
    equation: "table; bands are over one size up to and including the next",
    source: "ISO 286-1:2010 Table 4: from memory, 20 and 25 mm confirmed by public tables, all bands by -2.5·D^0.34 µm",
    caution: FIT,
    worked: WorkedExample {
        call: "g_deviation(25 mm)",
        comes_to: "-0.0070 mm",
    },
    held_against: &["d12", "d13"],
    work: |inputs| Outcome::exact(Dual::fixed(f64::from(band_of(inputs.number(0))?.g) * -1e-6)),
};
