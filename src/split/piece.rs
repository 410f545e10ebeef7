//! The smallest part of the sea that has a polar of its own.

/// The axes that a box may be cut across.
pub(super) const AXES: usize = 3;

/// The smallest part of the sea that has a polar: one region in one window.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    /// Its interval on each axis, none of them empty; intervals of two pieces are equal or apart on every axis.
    pub(super) spans: [[f64; 2]; AXES],
    /// Speeds of the polar cells, heading by heading, wind by wind, kn.
    pub(super) speeds_kn: Vec<f64>,
    /// The part of its area and time that looks each column up.
    pub(super) uses: Vec<f64>,
    /// Area x time of the seas that each column is made of; 0 where it borrows those of another wind.
    pub(super) made_of: Vec<f64>,
}
