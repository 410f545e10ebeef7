//! Hull sections in heave: their conformal form and their added mass, damping and surface potential.

mod lewis;
mod multipole;

pub use lewis::Lewis;
pub use multipole::{HeaveSolution, heave};
