//! What a forecast's reader must be told: sentences for the manifest and for `inspect`.

use std::collections::{BTreeMap, BTreeSet};

use jiff::{SignedDuration, Timestamp};

use crate::forecast::gather::Messages;
use crate::forecast::message::Message;
use crate::forecast::quantity::{Quantity, SystemLabel};
use crate::forecast::step::Step;
use crate::forecast::wind::MOST_APART;

/// Everything that was combined, replaced, left out or is missing.
pub(super) fn write(steps: &[Step], gathered: &Messages) -> Vec<String> {
    let mut notes = Vec::new();
    notes.extend(foreign_wind(steps));
    notes.extend(no_wind(steps));
    notes.extend(wind_only(gathered));
    notes.extend(missing(steps));
    notes.extend(time_gaps(steps));
    notes.extend(uneven_members(steps));
    notes.extend(bands(steps));
    notes.extend(other_grids(steps, gathered));
    if gathered.replaced > 0 {
        notes.push(format!(
            "{} messages gave way to another of the same quantity and time: of a later forecast, or equal to it",
            gathered.replaced
        ));
    }
    notes.extend(gathered.reasons.iter().map(|(reason, codes)| {
        let listed: Vec<_> = codes.iter().take(6).map(String::as_str).collect();
        format!("{}: {reason}", listed.join(", "))
    }));
    notes
}

fn foreign_wind(steps: &[Step]) -> Option<String> {
    let foreign: Vec<_> = steps.iter().filter(|step| step.has_foreign_wind()).collect();
    let wind = foreign.first()?.wind.as_ref()?;
    let apart = |step: &&Step| step.wind.as_ref().map(|wind| wind.valid.duration_since(step.valid).abs());
    let farthest = foreign.iter().filter_map(apart).max().unwrap_or_default();
    let elsewhere =
        foreign.iter().any(|step| step.wind.as_ref().is_some_and(|wind| *wind.grid != *step.grid));
    let how = if elsewhere { "interpolated bilinearly, as a vector," } else { "taken" };
    Some(format!(
        "wind of {} steps is {how} from {} ({}), the nearest time, at most {} from the waves' ({} is allowed)",
        foreign.len(),
        wind.messages[0].1.path.display(),
        wind.grid.summary(),
        hours(farthest),
        hours(MOST_APART),
    ))
}

fn no_wind(steps: &[Step]) -> Option<String> {
    let bare: Vec<_> = steps.iter().filter(|step| step.wind.is_none()).map(|step| step.valid).collect();
    Some(format!(
        "{} steps have no wind within {}, the first at {}",
        bare.len(),
        hours(MOST_APART),
        bare.first()?
    ))
}

fn wind_only(gathered: &Messages) -> Option<String> {
    let times: Vec<_> = gathered
        .slots
        .iter()
        .filter(|(key, slot)| !slot.has_waves() && slot.wind(key.0).is_some())
        .map(|(key, _)| key.0)
        .collect();
    Some(format!("{} times have wind alone and are no steps, the first at {}", times.len(), times.first()?))
}

fn missing(steps: &[Step]) -> Vec<String> {
    let mut by_quantity: BTreeMap<Quantity, Vec<Timestamp>> = BTreeMap::new();
    for step in steps {
        for quantity in step.missing.iter().filter(|q| step.wind.is_some() || !q.is_of_wind()) {
            by_quantity.entry(*quantity).or_default().push(step.valid);
        }
    }
    let line = |(quantity, times): (Quantity, Vec<Timestamp>)| {
        format!(
            "{quantity} is missing from {} of {} steps, the first at {}",
            times.len(),
            steps.len(),
            times[0]
        )
    };
    by_quantity.into_iter().map(line).collect()
}

/// Times by member, each in order.
fn times(steps: &[Step]) -> BTreeMap<Option<u32>, BTreeSet<Timestamp>> {
    let mut times: BTreeMap<_, BTreeSet<_>> = BTreeMap::new();
    for step in steps {
        times.entry(step.member).or_default().insert(step.valid);
    }
    times
}

/// Spacings wider than the shortest one: forecasts widen theirs with time, but it may also be a file that was left out.
fn time_gaps(steps: &[Step]) -> Vec<String> {
    let all: Vec<_> = steps.iter().map(|step| step.valid).collect::<BTreeSet<_>>().into_iter().collect();
    let spacing = |pair: &[Timestamp]| pair[1].duration_since(pair[0]);
    let Some(shortest) = all.windows(2).map(spacing).min() else { return Vec::new() };
    let wide: Vec<_> = all.windows(2).filter(|pair| spacing(pair) > shortest).collect();
    let Some(first) = wide.first() else { return Vec::new() };
    vec![format!(
        "steps are {} apart, but {} between {} and {}{}",
        hours(shortest),
        hours(spacing(first)),
        first[0],
        first[1],
        match wide.len() - 1 {
            0 => String::new(),
            more => format!(", and wider than that {more} more times"),
        }
    )]
}

/// Pairs of neighbouring times that are further apart than a later pair: forecasts widen their steps but never narrow
/// them again, so a step between is missing.
pub(super) fn holes(steps: &[Step]) -> Vec<[Timestamp; 2]> {
    let all: Vec<_> = steps.iter().map(|step| step.valid).collect::<BTreeSet<_>>().into_iter().collect();
    let spacing = |pair: &[Timestamp]| pair[1].duration_since(pair[0]);
    let mut least_later: Option<SignedDuration> = None;
    let mut holes = Vec::new();
    for pair in all.windows(2).rev() {
        if least_later.is_some_and(|least| spacing(pair) > least) {
            holes.push([pair[0], pair[1]]);
        }
        least_later = Some(least_later.map_or(spacing(pair), |least| least.min(spacing(pair))));
    }
    holes.reverse();
    holes
}

fn uneven_members(steps: &[Step]) -> Vec<String> {
    let times = times(steps);
    let all: BTreeSet<_> = times.values().flatten().copied().collect();
    let lacking = times.iter().filter(|(_, own)| own.len() < all.len());
    lacking
        .map(|(member, own)| {
            let name =
                member.map_or("the forecast without a member number".to_owned(), |n| format!("member {n}"));
            format!("{name} has {} of {} times", own.len(), all.len())
        })
        .collect()
}

fn bands(steps: &[Step]) -> Option<String> {
    let is_band = |q: &Quantity| matches!(q, Quantity::BandHs { .. });
    let banded: Vec<_> = steps.iter().filter(|step| step.messages.keys().any(is_band)).collect();
    let first = banded.first()?;
    let has_period = |q: &Quantity| matches!(q, Quantity::Period(SystemLabel::Total, _));
    let use_made = if first.messages.keys().any(has_period)
        || !first.messages.contains_key(&Quantity::Hs(SystemLabel::Total))
    {
        "ignored: the sea has better periods"
    } else {
        "the only periods of the total sea: the middle of the highest band is taken as its peak period"
    };
    Some(format!("heights of period bands in {} steps are {use_made}", banded.len()))
}

fn other_grids(steps: &[Step], gathered: &Messages) -> Option<String> {
    let mut left_out = BTreeSet::new();
    for step in steps {
        let Some(slot) = gathered.slots.get(&(step.valid, step.member)) else { continue };
        let elsewhere = |(q, m): &(&Quantity, &Message)| !q.is_of_wind() && m.grid.as_ref() != Ok(&step.grid);
        left_out.extend(slot.fields.iter().filter(elsewhere).map(|(q, _)| q.to_string()));
    }
    let names: Vec<_> = left_out.into_iter().collect();
    (!names.is_empty()).then(|| format!("{} on another grid than the waves: not used", names.join(", ")))
}

fn hours(duration: SignedDuration) -> String {
    let minutes = duration.as_mins();
    if minutes % 60 == 0 { format!("{} h", minutes / 60) } else { format!("{minutes} min") }
}
