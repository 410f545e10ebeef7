//! What a value stands for: a point in time and place, or a mean, serves; a maximum, a sum or a deviation does not.
//!
//! `cell_methods` (CF 1.11, 7.3, appendix E) is a list of "name: method", with "where" and "over" clauses and comments in
//! brackets.

/// Why a variable's values do not serve, if its `cell_methods` says so.
pub(super) fn other_than_mean(cell_methods: Option<&str>) -> Option<String> {
    let text = cell_methods?;
    let mut words = Vec::new();
    let mut depth = 0;
    for c in text.chars() {
        depth += i32::from(c == '(');
        if depth == 0 {
            words.push(c);
        }
        depth -= i32::from(c == ')');
    }
    let plain: String = words.into_iter().collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    // a method is the first word after one or more names that end in a colon
    let methods = words.windows(2).filter(|pair| pair[0].ends_with(':') && !pair[1].ends_with(':'));
    let other = methods.map(|pair| pair[1]).find(|method| !matches!(*method, "point" | "mean"))?;
    Some(format!("a {other} is not used: the model needs the sea at a time (cell_methods \"{text}\")"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_and_means_serve_and_nothing_else() {
        for serves in [
            "time: point",
            "area: mean time: point",
            "lat: lon: mean",
            "time: mean (interval: 1 hour comment: sampled at the maximum: of all)",
            "area: mean where sea over all_area_types",
        ] {
            assert_eq!(other_than_mean(Some(serves)), None, "{serves}");
        }
        assert_eq!(other_than_mean(None), None);
        for (method, does_not) in [
            ("maximum", "time: maximum"),
            ("maximum", "area: mean time: maximum (interval: 1 hour)"),
            ("standard_deviation", "realization: standard_deviation"),
            ("sum", "time: sum"),
        ] {
            let found = other_than_mean(Some(does_not)).unwrap_or_default();
            assert!(found.starts_with(&format!("a {method} is not used")), "{does_not}: {found}");
        }
    }
}
