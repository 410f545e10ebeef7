//! Numbers without a subject: roots, axes, cubics, quadrature, special functions.

pub mod axis;
pub mod bisect;
pub mod cubic;
pub mod expint;
pub mod least_squares;
pub mod monotone_cubic;
pub mod quadrature;
pub mod root;
pub mod student;
