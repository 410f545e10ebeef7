//! The page's colours, for every reader's eyes and at night.

use super::browser::{script, tools};
use serde_json::Value;

const VISIONS: [&str; 4] = ["normal", "protan", "deutan", "tritan"];
/// A difference in CIE L*a*b* that is just noticed (Mahy, Van Eycken & Oosterlinck 1994).
const JUST_NOTICED: f64 = 2.3;

fn colours() -> Option<Value> {
    tools().map(|_| script("colours.mjs", &[]))
}

/// Luminance goes one way over the eight classes, neighbours differ for every eye, and black or light letters can be read on
/// each.
#[test]
fn size_is_one_ordered_scale() {
    let Some(found) = colours() else { return };
    for look in ["light", "dark", "night"] {
        let of = &found[look];
        let light: Vec<f64> =
            of["luminance"].as_array().unwrap().iter().map(|value| value.as_f64().unwrap()).collect();
        let rises = light.is_sorted_by(|a, b| a < b);
        let falls = light.is_sorted_by(|a, b| a > b);
        assert!(light.len() == 8 && (rises || falls), "{look}: {light:?}");
        for vision in VISIONS {
            let least = of["neighbours"][vision].as_f64().unwrap();
            assert!(least > 2.0 * JUST_NOTICED, "{look}, {vision}: {least}");
        }
        assert!(of["ink"].as_f64().unwrap() >= 4.5, "{look}: {}", of["ink"]);
    }
}

/// By colour in light and dark, by pattern in the one red of the night.
#[test]
fn causes_and_gains_are_told_apart() {
    let Some(found) = colours() else { return };
    for look in ["light", "dark"] {
        for vision in VISIONS {
            let (causes, gains) = (&found[look]["causes"][vision], &found[look]["gains"][vision]);
            assert!(causes.as_f64().unwrap() > 4.0 * JUST_NOTICED, "{look}, {vision}: causes {causes}");
            assert!(gains.as_f64().unwrap() > 10.0 * JUST_NOTICED, "{look}, {vision}: gains {gains}");
        }
    }
    assert_eq!(found["night"]["patterns"], 6);
}
