//! The system's allocator, watched: how often the thread that asks has asked, and the largest request of the process.

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

pub struct Watched;

thread_local! {
    // neither set up at first use nor dropped, so reading it asks for no memory
    static REQUESTS: Cell<usize> = const { Cell::new(0) };
}

static LARGEST: AtomicUsize = AtomicUsize::new(0);

/// Requests of this thread since it began; other tests run in others.
pub fn requests() -> usize {
    REQUESTS.get()
}

/// The largest request of any thread, bytes: for a test that is alone in its process.
pub fn largest_bytes() -> usize {
    LARGEST.load(Relaxed)
}

fn note(bytes: usize) {
    REQUESTS.set(REQUESTS.get() + 1);
    LARGEST.fetch_max(bytes, Relaxed);
}

// SAFETY: every call is handed on to the system's allocator as it came.
unsafe impl GlobalAlloc for Watched {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        note(layout.size());
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, at: *mut u8, layout: Layout) {
        unsafe { System.dealloc(at, layout) }
    }

    unsafe fn alloc_zeroed(&self, layout: Layout) -> *mut u8 {
        note(layout.size());
        unsafe { System.alloc_zeroed(layout) }
    }

    unsafe fn realloc(&self, at: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        note(size);
        unsafe { System.realloc(at, layout, size) }
    }
}
