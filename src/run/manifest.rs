//! The manifest of a result.

use crate::hydro::rates::NORDFORSK_FAST_SMALL_CRAFT;
use crate::hydro::response::Method;
use crate::job::{Job, Seas};
use crate::result::{Input, Manifest};
use crate::run::cells::Audited;
use crate::run::derate::{Summary, sea_choice};
use crate::tally::{RegionTallies, TallySet};
use serde_json::{Map, json};

/// Inputs, options, counts, warnings and gaps of a result.
pub(super) fn manifest(
    job: &Job,
    set: &TallySet,
    inputs: Vec<Input>,
    summary: &Summary,
    audited: &Audited,
) -> Manifest {
    let origin = set.origin();
    let steps = |region: &RegionTallies| region.windows.values().map(|window| window.steps).sum::<u64>();
    let mut counts = Map::new();
    counts.insert("forecast_steps".into(), json!(set.regions.iter().map(steps).max().unwrap_or(0)));
    counts.insert("ensemble_members".into(), json!(origin.members.len()));
    counts.insert("windows".into(), json!(set.windows().len()));
    counts.insert("polars".into(), json!(summary.polars));
    counts.insert("sea_states".into(), json!(summary.sea_states));
    counts.insert("tally_bins".into(), json!(summary.bins));
    counts.insert("cell_audit_rows".into(), json!(audited.rows));
    let mut options = match &job.seas {
        Seas::Forecast(seas) => json!({
            "window": seas.window.to_string(),
            "window_alignment": seas.window_alignment,
            "members": seas.members,
            "regions": seas.regions,
        }),
        Seas::Tally(_) => json!({ "tallied_forecasts": origin.sources }),
    };
    if let Some(options) = options.as_object_mut() {
        options.insert("seas_of_a_wind_column".into(), json!(sea_choice(job.match_wind, set)));
        options.insert("split_error_kn".into(), json!(job.split_error_kn));
        options.insert("audit_format".into(), json!(job.audit_format));
        options.insert("cell_audit".into(), json!(audited.formats));
        options.insert("tacks".into(), json!(job.tacks));
        options.insert("polar_csv".into(), json!(job.polar_csv));
        options.insert("model".into(), json!(job.model));
        options.insert("tally_bins".into(), json!(set.bins));
    }
    Manifest {
        inputs,
        options,
        counts,
        joined: summary.errors_left.iter().map(|left| json!(left)).collect(),
        warnings: summary.warnings.clone(),
        gaps: summary.gaps.clone(),
        model: model_notes(job.model.added_resistance),
    }
}

/// What the model does, for whoever reads the result without the documentation.
fn model_notes(method: Method) -> Vec<String> {
    let second = method.second();
    vec![
        format!("added resistance by {}, second opinion by {}", method.name(), second.name()),
        "radiated-energy: in waves shorter than 0.9 of the waterline blended into reflection by the waterline, which is all \
         below 0.5 (Kuroda et al. 2008), and never more than a wall throws back"
            .into(),
        "factor_band_slow and factor_band_fast take added resistance times exp(0.5) and exp(-0.5)".into(),
        "wind sea and total sea: JONSWAP with DNV peak enhancement, cos^2s(theta/2) spreading, s 10 at the peak, less on \
         both sides of it (Mitsuyasu); swell: Ochi-Hubble with L by the Wallop rule, 1.5 to 3.5, cos^150 spreading"
            .into(),
        format!(
            "advisories against NORDFORSK 1987 for fast small craft: bow acceleration {} g rms, slams {} and wet decks \
             {} of the cycles",
            NORDFORSK_FAST_SMALL_CRAFT.bow_acceleration_g,
            NORDFORSK_FAST_SMALL_CRAFT.slam_probability,
            NORDFORSK_FAST_SMALL_CRAFT.wetness_probability
        ),
        "water shallower than half a wave length, where the forecast states its depth: responses of the deep-water waves \
         that are as long (flag shallow-water); elsewhere all water is deep"
            .into(),
        "not modelled: roll, yaw, steering, surfing, broaching of the hull, currents, the bottom's effect on the hull's own \
         resistance and motions and on breaking"
            .into(),
    ]
}
