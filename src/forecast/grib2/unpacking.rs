//! What is said of a field whose data cannot be unpacked.

use crate::base::Error;
use std::fmt::Display;

/// What helps.
pub(super) const DAMAGED: &str =
    "the message is damaged or packed in a way that is not supported: get the file again, or repack it";

/// The error, with what was found.
pub(super) fn cannot(found: impl Display) -> Error {
    Error::new("the field cannot be unpacked").found(found).remedy(DAMAGED)
}
