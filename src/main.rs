//! The `shimbook` program: parse the command line, run the command, give its exit status.

fn main() {}
