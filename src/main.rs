//! The `shimbook` program: parse the command line, run the command, give its exit status.

use std::process::ExitCode;

use clap::Parser as _;
use shimbook::commands::CommandLine;

fn main() -> ExitCode {
    ExitCode::from(CommandLine::parse().run())
}
