//! Values that are given by their names.

use roughwater::base::error::nearest;
use roughwater::base::{Error, Result};
use roughwater::boat::Side;

/// The value of a name among all of its kind; `what` it is given as stands in errors.
///
/// # Errors
/// A name that none has.
pub(crate) fn named<T: Copy>(what: &str, name: &str, all: &[T], name_of: fn(T) -> &'static str) -> Result<T> {
    let names = || all.iter().map(|value| name_of(*value));
    all.iter().copied().find(|value| name_of(*value) == name).ok_or_else(|| {
        let remedy = match nearest(name, names()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("correct {what}"),
        };
        Error::new("the value is not known")
            .at(what)
            .found(format!("\"{name}\""))
            .expected(format!("one of {}", names().collect::<Vec<_>>().join(", ")))
            .remedy(remedy)
    })
}

/// Foils that she sails without.
///
/// # Errors
/// As [`named`].
pub(crate) fn sides(what: &str, names: &[String]) -> Result<Vec<Side>> {
    names.iter().map(|name| named(what, name, &Side::ALL, Side::name)).collect()
}
