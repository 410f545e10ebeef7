//! A value of a file that may be one or a list.

use serde::{Deserialize, Serialize};

/// A value, or a list of them.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize, Serialize)]
#[serde(untagged, expecting = "one value or a list of them")]
pub enum OneOrMore<T> {
    /// One value.
    One(T),
    /// A list.
    More(Vec<T>),
}

impl<T> Default for OneOrMore<T> {
    fn default() -> Self {
        Self::More(Vec::new())
    }
}

impl<T> OneOrMore<T> {
    /// The values.
    pub fn as_slice(&self) -> &[T] {
        match self {
            Self::One(value) => std::slice::from_ref(value),
            Self::More(values) => values,
        }
    }
}
