//! Work on a thread of its own: other Python threads run meanwhile, and Ctrl-C is heard.

use crate::error::raised;
use pyo3::prelude::*;
use roughwater::base::{Error, Result};
use roughwater::run::Progress;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::thread;
use std::time::Duration;

/// How often signals are looked for; common practice, no source: a stop feels prompt within a second.
const LOOK: Duration = Duration::from_millis(50);

/// The stack of the program's main thread on most systems.
const STACK_BYTES: usize = 8 << 20;

/// Whether the work is to end.
#[derive(Debug, Clone, Default)]
pub(crate) struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Whether it has been told.
    pub(crate) fn is_told(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// What whoever works is told at each step.
    pub(crate) fn at(&self, _: Progress) -> ControlFlow<()> {
        if self.is_told() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }
}

/// Work that writes: on Ctrl-C it is told to end, and waited for, so that nothing is written behind the caller's back.
///
/// # Errors
/// Those of the work; what a signal's handler raises.
pub(crate) fn writing<T: Send + 'static>(
    py: Python<'_>,
    work: impl FnOnce(Stop) -> Result<T> + Send + 'static,
) -> PyResult<T> {
    let stop = Stop::default();
    let told = stop.clone();
    let answer = started(py, move || work(told))?;
    waited(py, answer).map_err(|stopped| {
        stop.0.store(true, Ordering::Relaxed);
        // an answer that comes now is not wanted any more
        if let Some(answer) = stopped.answer {
            let _ = py.detach(move || answer.recv());
        }
        stopped.why
    })
}

/// Work that only answers: on Ctrl-C it is left to end by itself, unheard.
///
/// # Errors
/// As [`writing`].
pub(crate) fn answering<T: Send + 'static>(
    py: Python<'_>,
    work: impl FnOnce() -> Result<T> + Send + 'static,
) -> PyResult<T> {
    let answer = started(py, work)?;
    waited(py, answer).map_err(|stopped| stopped.why)
}

fn started<T: Send + 'static>(
    py: Python<'_>,
    work: impl FnOnce() -> Result<T> + Send + 'static,
) -> PyResult<Receiver<Result<T>>> {
    let (sender, receiver) = channel();
    let work = move || {
        // a caller that has been stopped listens no more
        let _ = sender.send(work());
    };
    let started = thread::Builder::new().name("roughwater".into()).stack_size(STACK_BYTES).spawn(work);
    started.map_err(|error| raised(py, &Error::new(format!("cannot start a thread: {error}"))))?;
    Ok(receiver)
}

/// Why there is no answer, and where it may still come.
struct Stopped<T> {
    why: PyErr,
    answer: Option<Receiver<Result<T>>>,
}

fn waited<T: Send>(py: Python<'_>, mut answer: Receiver<Result<T>>) -> std::result::Result<T, Stopped<T>> {
    loop {
        let (got, receiver) = py.detach(move || (answer.recv_timeout(LOOK), answer));
        answer = receiver;
        let why = match got {
            Ok(Ok(value)) => return Ok(value),
            Ok(Err(error)) => return Err(Stopped { why: raised(py, &error), answer: None }),
            Err(RecvTimeoutError::Disconnected) => {
                let fault = Error::fault("the work ended without an answer");
                return Err(Stopped { why: raised(py, &fault), answer: None });
            }
            Err(RecvTimeoutError::Timeout) => py.check_signals(),
        };
        if let Err(why) = why {
            return Err(Stopped { why, answer: Some(answer) });
        }
    }
}
