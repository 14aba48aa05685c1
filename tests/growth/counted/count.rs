//! Counts what a piece of work takes, without a clock.
//!
//! In: a piece of work. Out: how many comparisons it made, how much it asked of the allocator, and
//! the most it held at once. The program is built with a coverage pass that calls one of the
//! functions below at every comparison, in the crate and in everything it depends on: a loop cannot
//! go round without one.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicU64, Ordering::Relaxed};

static STEPS: AtomicU64 = AtomicU64::new(0);
static BYTES: AtomicU64 = AtomicU64::new(0);
static HELD: AtomicU64 = AtomicU64::new(0);
static PEAK: AtomicU64 = AtomicU64::new(0);

/// What was counted.
#[derive(Clone, Copy, Debug)]
pub struct Work {
    /// Comparisons.
    pub steps: u64,
    /// Bytes asked for.
    pub bytes: u64,
    /// The most bytes held at once, beyond those held before.
    pub peak: u64,
}

/// Does a piece of work and counts it.
pub fn counted(work: impl FnOnce()) -> Work {
    let (steps, bytes, held) = (STEPS.load(Relaxed), BYTES.load(Relaxed), HELD.load(Relaxed));
    PEAK.store(held, Relaxed);
    work();
    Work {
        steps: STEPS.load(Relaxed) - steps,
        bytes: BYTES.load(Relaxed) - bytes,
        peak: PEAK.load(Relaxed).saturating_sub(held),
    }
}

struct Counting;

#[cfg(fuzzing)]
#[global_allocator]
static COUNTING: Counting = Counting;

fn took(size: usize) {
    BYTES.fetch_add(size as u64, Relaxed);
    let held = HELD.fetch_add(size as u64, Relaxed) + size as u64;
    PEAK.fetch_max(held, Relaxed);
}

// SAFETY: every call is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        took(layout.size());
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        HELD.fetch_sub(layout.size() as u64, Relaxed);
        unsafe { System.dealloc(at, layout) }
    }

    unsafe fn realloc(&self, at: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        HELD.fetch_sub(layout.size() as u64, Relaxed);
        took(size);
        unsafe { System.realloc(at, layout, size) }
    }
}

macro_rules! at_each_comparison {
    ($($name:ident: $of:ty,)*) => {
        $(
            // SAFETY: the coverage pass calls this by its name, with two plain numbers.
            #[unsafe(no_mangle)]
            extern "C" fn $name(_: $of, _: $of) {
                STEPS.fetch_add(1, Relaxed);
            }
        )*
    };
}

at_each_comparison! {
    __sanitizer_cov_trace_cmp1: u8,
    __sanitizer_cov_trace_cmp2: u16,
    __sanitizer_cov_trace_cmp4: u32,
    __sanitizer_cov_trace_cmp8: u64,
    __sanitizer_cov_trace_const_cmp1: u8,
    __sanitizer_cov_trace_const_cmp2: u16,
    __sanitizer_cov_trace_const_cmp4: u32,
    __sanitizer_cov_trace_const_cmp8: u64,
    // Where its tables of counters and places stand: not used here.
    __sanitizer_cov_8bit_counters_init: usize,
    __sanitizer_cov_pcs_init: usize,
}

// The coverage pass notes the depth of the stack here, thread by thread: not used.
std::arch::global_asm!(
    ".section .tbss,\"awT\",@nobits",
    ".globl __sancov_lowest_stack",
    ".p2align 3",
    "__sancov_lowest_stack:",
    ".zero 8",
    ".text",
);

// SAFETY: the coverage pass calls this by its name at every call of what is only known at run time.
#[unsafe(no_mangle)]
extern "C" fn __sanitizer_cov_trace_pc_indir(_: usize) {
    STEPS.fetch_add(1, Relaxed);
}

// SAFETY: the coverage pass calls this by its name at every `match`.
#[unsafe(no_mangle)]
extern "C" fn __sanitizer_cov_trace_switch(_: u64, _: *const u64) {
    STEPS.fetch_add(1, Relaxed);
}
