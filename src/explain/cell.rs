//! One cell of a corrected polar, taken apart: its seas, what the boat does in each, the forces that balance, and how
//! they make up the cell's speed and factors. Every number can be followed by hand.

use crate::balance::STAGE_NAMES;
use crate::base::Window;
use crate::base::{Error, Flag, Result};
use crate::derate::SeaChoice;
use crate::derate::{Performance, PolarCell, Tack, derate, seen};
use crate::explain::sea;
use crate::explain::sea::SeaAccount;
use crate::explain::stage_value::{StageValue, as_map};
use crate::hydro::response::Method;
use crate::tally::{SeaBin, Tally};
use rayon::prelude::*;
use serde::{Serialize, Serializer};

/// Which cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place<'a> {
    /// The region's name.
    pub region: &'a str,
    /// The time window.
    pub window: Window,
    /// True wind speed of a column, kn.
    pub tws_kn: f64,
    /// True wind angle of a row, degrees: + on starboard tack, - on port tack.
    pub signed_twa_deg: f64,
}

/// A cell taken apart.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Explanation {
    /// The region's name.
    pub region: String,
    /// The time window.
    #[serde(flatten)]
    pub window: WindowAccount,
    /// The tack.
    pub tack: Tack,
    /// True wind speed, kn.
    pub tws_kn: f64,
    /// True wind angle, 0 to 180 degrees.
    pub twa_deg: f64,
    /// Speed in flat water, kn.
    pub flat_kn: f64,
    /// Speed in the sea: distance over time over the seas in which she moves, kn.
    pub corrected_kn: f64,
    /// Corrected over flat; none where flat speed is zero.
    pub factor: Option<f64>,
    /// Factor of each stage, in order; they multiply to the factor.
    #[serde(serialize_with = "as_map")]
    pub stages: Vec<StageValue>,
    /// Mean speed in flat water and after each stage, kn.
    pub mean_speeds_kn: Vec<f64>,
    /// The stage that takes most.
    pub dominant_stage: &'static str,
    /// The method of added resistance in use, and the second.
    pub methods: [&'static str; 2],
    /// Corrected over flat with the second method.
    pub factor_second_method: Option<f64>,
    /// Corrected over flat at both ends of the model band, added resistance times exp(0.5) and exp(-0.5).
    pub factor_band: Option<[f64; 2]>,
    /// Displacement without water on deck, kg.
    pub displacement_kg: f64,
    /// Time to fly again after a stall or broach, s.
    pub foil_recovery_s: Option<f64>,
    /// Sea states that the cell was averaged over.
    pub sea_states: u64,
    /// Share of the weight whose seas stop her.
    pub stopped_share: f64,
    /// Two speeds that she can hold in flat water, or between which she falls in some sea, kn.
    pub two_balances_kn: Option<[f64; 2]>,
    /// Speed over the other seas alone, kn; none where all of them stop her.
    pub without_stopping_kn: Option<f64>,
    /// Every reservation with the share of the weight that it holds for; none where it is not a sea's.
    pub flags: Vec<FlagAccount>,
    /// Every sea, the heaviest first.
    pub seas: Vec<SeaAccount>,
}

/// A time window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WindowAccount {
    /// Its start.
    pub window_start: String,
    /// The first instant after it.
    pub window_end: String,
}

/// A reservation.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlagAccount {
    /// Which.
    #[serde(rename = "name", serialize_with = "name")]
    pub flag: Flag,
    /// Share of the weight.
    pub share: Option<f64>,
}

fn name<S: Serializer>(flag: &Flag, serializer: S) -> std::result::Result<S::Ok, S::Error> {
    serializer.serialize_str(flag.name())
}

/// Takes a cell apart; `choice` is the one its result was made with.
///
/// # Errors
/// A wind that is no cell of the flat polar; a boat file that lacks what a balance needs.
pub fn explain(
    performance: &Performance,
    tally: &Tally,
    choice: SeaChoice,
    place: Place,
) -> Result<Explanation> {
    let (tack, twa_deg) = row(performance, place.signed_twa_deg)?;
    let cells = derate(&performance.balances_on(tack, twa_deg)?, tally, choice);
    let cell =
        cells.iter().find(|cell| cell.tws_kn == place.tws_kn).ok_or_else(|| no_column(performance, place))?;
    let seas = seas(performance, tally, choice, place, cell)?;
    let model = &performance.tables.model;
    let slowness = |seas: &mut dyn Iterator<Item = &SeaAccount>| {
        let (weight, time) = seas.fold((0.0, 0.0), |(weight, time), sea| {
            (weight + sea.weight, time + sea.weight / sea.corrected_kn())
        });
        (weight > 0.0).then(|| weight / time)
    };
    let stopping = |sea: &&SeaAccount| sea.corrected_kn() <= 0.0;
    Ok(Explanation {
        region: place.region.to_owned(),
        window: WindowAccount {
            window_start: place.window.start.to_string(),
            window_end: place.window.end.to_string(),
        },
        tack,
        tws_kn: cell.tws_kn,
        twa_deg,
        flat_kn: cell.flat_kn,
        corrected_kn: cell.corrected_kn,
        factor: cell.factor(),
        stages: stages(cell),
        mean_speeds_kn: mean_speeds_kn(cell),
        dominant_stage: cell.dominant_stage().unwrap_or("none"),
        methods: methods(model.waves.method),
        factor_second_method: cell.factor_second_method,
        factor_band: cell.factor_band,
        displacement_kg: model.displacement_kg,
        foil_recovery_s: model.foils.as_ref().map(|foils| foils.recovery_s),
        sea_states: cell.sea_states,
        stopped_share: cell.stopped_share,
        two_balances_kn: cell.two_balances_kn,
        without_stopping_kn: slowness(&mut seas.iter().filter(|sea| !stopping(sea))),
        flags: flags(cell, &seas),
        seas,
    })
}

pub(super) fn methods(method: Method) -> [&'static str; 2] {
    [method.name(), method.second().name()]
}

/// The tack and the unsigned angle of a row of the flat polar.
pub(super) fn row(performance: &Performance, signed_twa_deg: f64) -> Result<(Tack, f64)> {
    let tack = if signed_twa_deg < 0.0 { Tack::Port } else { Tack::Starboard };
    let angles: Vec<f64> =
        performance.headings().filter(|(of, _)| *of == tack).map(|(_, twa_deg)| twa_deg).collect();
    if angles.contains(&signed_twa_deg.abs()) {
        return Ok((tack, signed_twa_deg.abs()));
    }
    Err(Error::new(format!("the polar has no such true wind angle on {} tack", tack.name()))
        .found(signed_twa_deg.abs())
        .expected(listed(&angles))
        .remedy("name an angle of the polar, on port tack with a minus sign"))
}

pub(super) fn no_column(performance: &Performance, place: Place) -> Error {
    Error::new("the polar has no such true wind speed")
        .found(place.tws_kn)
        .expected(format!("{} kn", listed(performance.flat.tws_kn())))
        .remedy("name a wind speed of the polar")
}

pub(super) fn listed(values: &[f64]) -> String {
    values.iter().map(f64::to_string).collect::<Vec<_>>().join(", ")
}

/// The seas that the cell's column sees, the heaviest first; equal ones in the order of the tally.
pub(super) fn seas(
    performance: &Performance,
    tally: &Tally,
    choice: SeaChoice,
    place: Place,
    cell: &PolarCell,
) -> Result<Vec<SeaAccount>> {
    let (bins, columns) = seen(performance, tally.bin_seas().collect(), choice);
    let columns = performance.flat.tws_kn().iter().zip(columns);
    let shares = columns.filter(|(tws_kn, _)| **tws_kn == cell.tws_kn).flat_map(|(_, seen)| seen.shares);
    let seen: Vec<(&SeaBin, f64)> = bins
        .iter()
        .zip(shares)
        .filter(|(_, share)| *share > 0.0)
        .map(|(bin, share)| (bin, share * bin.weight))
        .collect();
    let whole: f64 = seen.iter().map(|(_, weight)| weight).sum();
    let solver = performance.cell(cell.tws_kn, place.signed_twa_deg, cell.flat_kn)?;
    let mut seas: Vec<SeaAccount> = seen
        .into_par_iter()
        .map(|(bin, weight)| sea::account(performance, &solver, bin, weight / whole, place.signed_twa_deg))
        .collect();
    seas.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    Ok(seas)
}

pub(super) fn stages(cell: &PolarCell) -> Vec<StageValue> {
    let factors = cell.stages.into_iter().flatten();
    STAGE_NAMES.into_iter().zip(factors).map(|(stage, value)| StageValue { stage, value }).collect()
}

pub(super) fn mean_speeds_kn(cell: &PolarCell) -> Vec<f64> {
    let mut speeds = vec![cell.flat_kn];
    for stage in cell.stages.into_iter().flatten() {
        speeds.push(speeds[speeds.len() - 1] * stage);
    }
    speeds
}

pub(super) fn flags(cell: &PolarCell, seas: &[SeaAccount]) -> Vec<FlagAccount> {
    let share = |name: &str| {
        let of = seas.iter().filter(|sea| sea.flags.contains(&name)).map(|sea| sea.weight);
        of.fold(None, |sum: Option<f64>, weight| Some(sum.unwrap_or(0.0) + weight))
    };
    cell.flags.iter().map(|flag| FlagAccount { flag, share: share(flag.name()) }).collect()
}
