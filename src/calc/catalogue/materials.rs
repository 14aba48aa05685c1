//! Materials that formulas know by name.
//!
//! Figures are the usual ones of handbooks for the plain material; an alloy's own sheet comes first.

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
    Word { word: "steel", says: "E 206 GPa, 7850 kg/m^3 (Mechanical Engineer's Data Handbook)" },
    Word { word: "aluminium", says: "E 70 GPa, 2700 kg/m^3 (common practice)" },
    Word { word: "titanium", says: "E 114 GPa, 4430 kg/m^3 (common practice, the 6-4 alloy)" },
];

/// Figures in the order of [`ELASTIC_WORDS`].
pub(super) const ELASTIC: [Elastic; 3] = [
    Elastic { modulus: 206e9, density: 7850.0 },
    Elastic { modulus: 70e9, density: 2700.0 },
    Elastic { modulus: 114e9, density: 4430.0 },
];

/// The words for conductors, in the order of [`RESISTIVITY`].
pub(super) const CONDUCTOR_WORDS: &[Word] = &[
    Word { word: "copper", says: "1.7241e-8 ohm·m at 20 degC, annealed, 100 % IACS (NBS Handbook 100)" },
    Word {
        word: "aluminium",
        says: "2.8265e-8 ohm·m at 20 degC, 61 % IACS (from memory, recomputed as 1.7241e-8 / 0.61)",
    },
];

/// Resistivity at 20 °C in Ω·m, in the order of [`CONDUCTOR_WORDS`].
pub(super) const RESISTIVITY: [f64; 2] = [1.7241e-8, 1.7241e-8 / 0.61];
