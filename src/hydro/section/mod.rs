//! Hull sections in heave: their conformal form and their added mass, damping and surface potential.

pub mod lewis;
pub mod multipole;

pub use lewis::{Fit, Lewis};
pub(crate) use multipole::gauss_quarter_turn;
pub use multipole::{HeaveSolution, heave};
