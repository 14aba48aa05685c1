//! The wall, asked from outside: what it shows after a save, what it says when the book cannot be
//! read, and what it never gives away.

#![allow(
    clippy::disallowed_methods,
    reason = "a test writes books of its own and starts the program"
)]

mod age;
mod beside;
#[path = "../photos/camera.rs"]
#[allow(dead_code, reason = "the tests of photos use more of it")]
mod camera;
mod current;
mod door;
mod looker;
mod photos;
mod shop_screen;
mod standing;
mod unread;
