//! What the program is built from and what it needs where it runs.
//!
//! `deny.toml` says which licences, crates and sources are welcome; what Cargo knows of the whole
//! graph, tests and fuzzers included, is held against it here, so that the rules hold where no
//! other tool is installed.
#![allow(clippy::disallowed_methods, reason = "tests read files")]

mod allowed;
mod graph;
mod told;

#[cfg(target_os = "linux")]
mod linked {
    //! The libraries that the built program asks the system for.

    use std::process::Command;

    /// The C library and what belongs to it; the kernel's own page.
    const WELCOME: [&str; 7] = [
        "linux-vdso.so",
        "linux-gate.so",
        "ld-linux",
        "libc.so",
        "libm.so",
        "libgcc_s.so",
        "libpthread.so",
    ];

    #[test]
    fn the_program_needs_nothing_but_the_c_library() {
        let Ok(said) = Command::new("ldd")
            .arg(env!("CARGO_BIN_EXE_shimbook"))
            .output()
        else {
            return eprintln!("skipped: this machine has no ldd");
        };
        let said = String::from_utf8_lossy(&said.stdout);
        let needed: Vec<&str> = said
            .lines()
            .filter_map(|line| line.split_whitespace().next())
            .collect();
        assert!(
            needed.iter().any(|name| name.starts_with("libc.so")),
            "ldd says {said:?}"
        );
        for name in needed {
            let file = name.rsplit('/').next().unwrap_or(name);
            assert!(
                WELCOME.iter().any(|welcome| file.starts_with(welcome)),
                "the program needs {name}"
            );
        }
    }
}
