//! How a command that worked ended.

/// How a command that worked ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    /// All there.
    Whole,
    /// Written, with gaps that the result declares.
    WithGaps,
}
