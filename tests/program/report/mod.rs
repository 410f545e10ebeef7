//! The report in a real browser; `tests/browser/report.mjs` drives it.

pub mod browser;
mod by_hand;
mod colours;
mod demo;
mod what_if;
