//! Materials that formulas know by name.
//!
//! Figures are the usual ones of handbooks for the plain material; an alloy's own sheet comes
//! first.

use super::Word;

/// A material for shafts.
pub(super) struct Elastic {
    /// Young's modulus in Pa.
    pub(super) modulus: f64,
    /// Density in kg/m³.
    pub(super) density: f64,
}

/// The words for shaft materials, in the order of [`ELASTIC`].
pub(super) const ELASTIC_WORDS: &[Word] = &[
    Word {
        word: "steel",
        says: "E 206 GPa, 7850 kg/m^3 (Mechanical Engineer's Data Handbook)",
    },
    Word {
        word: "aluminium",
        says: "E 70 GPa, 2700 kg/m^3 (common practice)",
    },
    Word {
        word: "titanium",
        says: "E 114 GPa, 4430 kg/m^3 (common practice, the 6-4 alloy)",
    },
];

/// Figures in the order of [`ELASTIC_WORDS`].
pub(super) const ELASTIC: [Elastic; 3] = [
    Elastic {
        modulus: 206e9,
        density: 7850.0,
    },
    Elastic {
        modulus: 70e9,
        density: 2700.0,
    },
    Elastic {
        modulus: 114e9,
        density: 4430.0,
    },
];

/// A material for conductors.
pub(super) struct Conductor {
    /// Resistivity at 20 °C in Ω·m.
    pub(super) resistivity: f64,
    /// How much it rises for each K, as a share of that at 20 °C.
    pub(super) rise: f64,
}

/// The words for conductors, in the order of [`CONDUCTORS`].
pub(super) const CONDUCTOR_WORDS: &[Word] = &[
    Word {
        word: "copper",
        says: "1.7241e-8 ohm·m at 20 degC, annealed, 100 % IACS, 0.393 % more for each K (NBS Handbook 100)",
    },
    Word {
        word: "aluminium",
        says: "2.8264e-8 ohm·m at 20 degC, 61 % IACS, 0.403 % more for each K (from memory, recomputed as 1.7241e-8 / 0.61)",
    },
];

/// Figures in the order of [`CONDUCTOR_WORDS`].
pub(super) const CONDUCTORS: [Conductor; 2] = [
    Conductor {
        resistivity: 1.7241e-8,
        rise: 0.003_93,
    },
    Conductor {
        resistivity: 1.7241e-8 / 0.61,
        rise: 0.004_03,
    },
];

/// The words for what grows with heat, in the order of [`EXPANSION`].
pub(super) const EXPANSION_WORDS: &[Word] = &[
    Word {
        word: "steel",
        says: "11.7e-6 for each K, carbon steel (from memory)",
    },
    Word {
        word: "stainless",
        says: "17.3e-6 for each K, austenitic (from memory)",
    },
    Word {
        word: "cast_iron",
        says: "10.8e-6 for each K, grey iron (from memory)",
    },
    Word {
        word: "aluminium",
        says: "23.1e-6 for each K (CRC Handbook, from memory)",
    },
    Word {
        word: "copper",
        says: "16.5e-6 for each K (CRC Handbook, from memory)",
    },
    Word {
        word: "brass",
        says: "19.0e-6 for each K (from memory)",
    },
    Word {
        word: "titanium",
        says: "8.6e-6 for each K (CRC Handbook, from memory)",
    },
];

/// Linear expansion for each K, in the order of [`EXPANSION_WORDS`].
pub(super) const EXPANSION: [f64; 7] =
    [11.7e-6, 17.3e-6, 10.8e-6, 23.1e-6, 16.5e-6, 19.0e-6, 8.6e-6];
