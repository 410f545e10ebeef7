//! (tbd)
