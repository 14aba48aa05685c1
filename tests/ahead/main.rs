//! What is ahead of the crew, held against published networks, a second reference and brute force.

mod book;
mod brute;
#[path = "../cases/mod.rs"]
mod cases;
mod danger;
mod network;
mod orders;
mod pace;
mod reference;
mod runs;
mod schedule;
