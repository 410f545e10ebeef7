//! Resistance in flat water, one method a file.
