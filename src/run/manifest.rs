//! The manifest of a result.

use crate::base::units::m_s_to_kn;
use crate::base::{Flags, Window};
use crate::boat::{LargeWaves, MADE_IN};
use crate::derate::Performance;
use crate::hydro::rates::NORDFORSK_FAST_SMALL_CRAFT;
use crate::hydro::response::Method;
use crate::job::{Job, Seas};
use crate::result::{AdvisoryLimits, Counts, Input, Manifest, ManifestOptions, PartSea};
use crate::run::cells::Audited;
use crate::run::summary::{PartSummary, Summary};
use crate::tally::{RegionTallies, TallySet};
use jiff::Timestamp;

/// Inputs, options, counts, warnings and gaps of a result.
pub(super) fn manifest(
    job: &Job,
    set: &TallySet,
    inputs: Vec<Input>,
    performance: &Performance,
    boat_flags: Flags,
    forecast_runs: Vec<Timestamp>,
    summary: &Summary,
    audited: &Audited,
) -> Manifest {
    let origin = set.origin();
    let large_waves = performance.tables.large_waves.as_ref().map(large_waves_note);
    let steps = |region: &RegionTallies| region.windows.values().map(|window| window.steps).sum::<u64>();
    let counts = Counts {
        forecast_steps: set.regions.iter().map(steps).max().unwrap_or(0),
        ensemble_members: origin.members.len(),
        windows: set.windows().len(),
        polars: summary.polars,
        sea_states: summary.sea_states,
        tally_bins: summary.bins,
        cell_audit_rows: audited.rows,
    };
    Manifest {
        inputs,
        boat_flags: boat_flags.iter().map(|flag| flag.name().to_owned()).collect(),
        options: options(job, set, audited),
        counts,
        joined: summary.errors_left.clone(),
        warnings: summary.warnings.clone(),
        gaps: summary.gaps.clone(),
        model: model_notes(job.model.added_resistance).into_iter().chain(large_waves).collect(),
        boat_name: performance.tables.model.boat.name.clone(),
        forecast_runs,
        advisory_limits: Some(advisory_limits()),
        seas: summary.parts.iter().map(sea).collect(),
    }
}

fn options(job: &Job, set: &TallySet, audited: &Audited) -> ManifestOptions {
    let (seas, tallied) = match &job.seas {
        Seas::Forecast(seas) => (Some(seas), None),
        Seas::Tally(_) => (None, Some(set.origin().sources)),
    };
    ManifestOptions {
        window: seas.map(|seas| seas.window),
        window_alignment: seas.map(|seas| seas.window_alignment),
        members: seas.map(|seas| seas.members),
        regions: seas.map(|seas| seas.regions.clone()),
        tallied_forecasts: tallied,
        seas_of_a_wind_column: job.match_wind,
        split_error_kn: job.split_error_kn,
        audit_format: job.audit_format.clone(),
        cell_audit: audited.formats.clone(),
        tacks: job.tacks,
        polar_csv: job.polar_csv.clone(),
        model: job.model.clone(),
        tally_bins: set.bins,
        atlas: None,
    }
}

fn sea(part: &PartSummary) -> PartSea {
    let Window { start, end } = part.window;
    // to what a forecast's own packing leaves of a height and a wind
    let rounded = |value: f64, steps: f64| (value * steps).round() / steps;
    PartSea {
        region: part.region.clone(),
        window_start: start,
        window_end: end,
        hs_m: rounded(part.hs_m, 1000.0),
        tws_p10_kn: rounded(part.tws_kn[0], 100.0),
        tws_p90_kn: rounded(part.tws_kn[1], 100.0),
    }
}

fn advisory_limits() -> AdvisoryLimits {
    let limits = NORDFORSK_FAST_SMALL_CRAFT;
    AdvisoryLimits {
        source: "NORDFORSK 1987, fast small craft".into(),
        bow_acceleration_rms_g: limits.bow_acceleration_g,
        slam_share: limits.slam_probability,
        wetness_share: limits.wetness_probability,
    }
}

/// The table of large waves by name, with its range and what chance leaves open.
fn large_waves_note(table: &LargeWaves) -> String {
    let ([low_m, high_m], [first_s, last_s], top_m_s) = table.range();
    let [size_n, error_n] = table.size_and_error_n();
    let [lost, all] = table.lost();
    format!(
        "body exact: what large waves change of added resistance and water on deck, by simulating all of her hull held at a speed in \
         {MADE_IN}; table {}, heights up to {low_m:.2} m at {first_s} s and {high_m:.2} m at {last_s} s, speeds up to {:.1} kn; root \
         mean square over its nodes {size_n:.0} N, of its standard error {error_n:.0} N; she pitch-poled in {lost} of {all} nodes, where the next lower height stands; a swell counts as the wind sea of its period that \
         moves her bow against the water as much; surge is that of the linear forces",
        table.digest,
        m_s_to_kn(top_m_s),
    )
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
