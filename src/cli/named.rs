//! One parser for all options that take a value by its name.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

/// A value with the name it is given by.
pub(super) trait Named: Copy + Send + Sync + 'static {
    /// The name.
    fn name(self) -> &'static str;
}

/// A kind of value of which the command line offers all.
pub(super) trait Choice: Named {
    /// All values, in the order of the help.
    const ALL: &'static [Self];

    /// A line of help.
    fn help(self) -> &'static str;
}

/// Takes the name of any value of a kind.
pub(super) fn any<T: Choice>() -> impl TypedValueParser<Value = T> {
    offered(T::ALL.iter().map(|value| (*value, value.help())))
}

/// Takes the name of one of some values, each with a line of help.
pub(super) fn offered<T: Named>(
    values: impl IntoIterator<Item = (T, &'static str)>,
) -> impl TypedValueParser<Value = T> {
    let values: Vec<_> = values.into_iter().collect();
    let possible = values.iter().map(|(value, help)| PossibleValue::new(value.name()).help(help));
    PossibleValuesParser::new(possible).try_map(move |name| {
        let known = values.iter().map(|(value, _)| *value);
        known.into_iter().find(|value| value.name() == name).ok_or("no such value")
    })
}
