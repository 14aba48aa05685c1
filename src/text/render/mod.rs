//! Findings, written out: for a terminal, a line each, as data, as SARIF.
//!
//! In: diagnostics and the sources they speak of. Out: text. No renderer knows which stage found what.
