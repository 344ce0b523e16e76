//! Counts heap allocations.

use crate::drive::{Drive, hole, network, rpm};
use sim::control::Command;
use sim::solve::State;
use sim::solve::implicit::{Integrator, Tolerance};
use sim::solve::steady::steady;
use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

/// The system's allocator, counted.
pub struct Counting;

static COUNT: AtomicUsize = AtomicUsize::new(0);

// SAFETY: hands everything on to the system's allocator.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        COUNT.fetch_add(1, Relaxed);
        // SAFETY: as the caller says.
        unsafe { System.alloc(layout) }
    }
    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        // SAFETY: as the caller says.
        unsafe { System.dealloc(at, layout) }
    }
    unsafe fn realloc(&self, at: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        COUNT.fetch_add(1, Relaxed);
        // SAFETY: as the caller says.
        unsafe { System.realloc(at, layout, size) }
    }
}

/// Allocations of 100 warm steady points, and of 100 steps of a trace.
pub fn count() -> [usize; 2] {
    let mut leaky = network(3e-3, Command::full_load(rpm(3500.0)));
    let first = steady(&leaky, &State::from(leaky.start())).expect("demo point");
    let mut x = first.state;
    let before = COUNT.load(Relaxed);
    for i in 1..=100 {
        leaky.leaks[0] = hole(3e-3 + 1e-5 * f64::from(i));
        x = steady(&leaky, &x).expect("warm point").state;
    }
    let points = COUNT.load(Relaxed) - before;

    let drive = Drive::tip_in();
    let last = &drive.pieces[2];
    let mut engine = Integrator::new(&last.network, 0.0, drive.start, Tolerance::default());
    let before = COUNT.load(Relaxed);
    for _ in 0..100 {
        engine.step(100.0).expect("demo drive");
    }
    [points, COUNT.load(Relaxed) - before]
}
