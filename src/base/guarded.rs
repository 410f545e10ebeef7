//! Calls into others' readers, which may panic on damaged data: a panic there is an answer, not the end of the program.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    static GUARDED: Cell<bool> = const { Cell::new(false) };
}

static QUIET: Once = Once::new();

/// What the call returns; none where it panicked. Nothing is printed of such a panic: the process's hook is asked of all
/// others.
pub fn guarded<T>(call: impl FnOnce() -> T) -> Option<T> {
    QUIET.call_once(|| {
        let told = panic::take_hook();
        panic::set_hook(Box::new(move |panic| {
            if !GUARDED.get() {
                told(panic);
            }
        }));
    });
    let before = GUARDED.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(call));
    GUARDED.set(before);
    done.ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_is_none_and_calls_stand_in_one_another() {
        assert_eq!(guarded(|| 3), Some(3));
        let inner = guarded(|| {
            assert_eq!(guarded(|| [0][usize::from(GUARDED.get())]), None);
            GUARDED.get()
        });
        assert_eq!((inner, GUARDED.get()), (Some(true), false));
    }
}
