//! Forecast files to sea states.
