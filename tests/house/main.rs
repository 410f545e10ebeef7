//! The source tree and its documents: what they say about the code is so.

#[allow(dead_code, reason = "each test program uses a part")]
#[path = "../common/mod.rs"]
mod common;

mod dependencies;
mod layers;
mod readme;
