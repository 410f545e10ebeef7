//! One sea of a cell: wave systems as she meets them, the forces at her solved speed, and the speed after each cause.

use crate::balance::{
    Added, BalancePoint, BoatTables, CellBalance, Closing, FoilState, Forces, STAGE_NAMES, SeaCurve, Swing,
};
use crate::base::bearing::wave_angle_rad;
use crate::base::units::{G, m_s_to_kn};
use crate::base::{Flag, Flags};
use crate::derate::{Performance, compared, surge_in};
use crate::explain::stage_value::{StageValue, as_map};
use crate::hydro::dispersion::wave_length_m;
use crate::hydro::response::Response;
use crate::hydro::wind_frame::{WaveSystem, WindFrameSea};
use crate::sea::PartitionKind;
use crate::tally::SeaBin;
use serde::Serialize;

/// One sea of a cell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeaAccount {
    /// Its share of area and time among the seas of the cell, 0 to 1.
    pub weight: f64,
    /// Sea states that it is the mean of.
    pub sea_states: u64,
    /// The wind that came with it, kn; the cell is sailed in the wind of its column.
    pub tws_kn: f64,
    /// Significant height of all systems, m.
    pub hs_m: f64,
    /// Its wave systems.
    pub systems: Vec<SystemAccount>,
    /// Speed in flat water and after each stage, kn.
    #[serde(serialize_with = "as_map")]
    pub speeds_kn: Vec<StageValue>,
    /// How her speed swings; none where surge is left out or she makes no way.
    pub swing: Option<SwingAccount>,
    /// Speed after the last stage with the second method of added resistance, kn.
    pub second_method_kn: f64,
    /// The same at both ends of the model band, kn.
    pub band_kn: [f64; 2],
    /// What balances: one way of sailing, or two that share the time.
    pub balances: Vec<BalanceAccount>,
    /// Reservations.
    pub flags: Vec<&'static str>,
}

/// One wave system, and what it adds to resistance at the speed of the first balance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SystemAccount {
    /// Wind sea, swell or total.
    pub kind: PartitionKind,
    /// Significant height, m.
    pub hs_m: f64,
    /// Peak period, s.
    pub peak_period_s: f64,
    /// Length of a wave of that period in deep water, m.
    pub wave_length_m: f64,
    /// Direction the waves come from less the direction the wind comes from, degrees.
    pub off_wind_deg: f64,
    /// Wave angle, degrees: 0 following, 90 beam, 180 head.
    pub wave_angle_deg: f64,
    /// Added resistance by the method in use, N, all the weight hull-borne.
    pub added_resistance_n: f64,
    /// The same by the second method.
    pub second_added_resistance_n: f64,
}

/// One way of sailing at its solved speed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BalanceAccount {
    /// Whether the foils carry what they can, or nothing.
    pub foils_in_use: bool,
    /// Part of the time she sails so, 0 to 1.
    pub time_share: f64,
    /// The solved speed, kn.
    pub speed_kn: f64,
    /// Forces, N.
    pub forces: Forces,
    /// Why the search for a speed ended there.
    pub closing: Closing,
    /// Added resistance of the sea by the method in use, N, before the hull-borne share.
    pub sea_added_resistance_n: f64,
    /// The same by the second method.
    pub sea_second_added_resistance_n: f64,
    /// Relative motion at the bow, root mean square, m.
    pub bow_motion_rms_m: f64,
    /// Vertical acceleration at the bow, root mean square, g.
    pub bow_acceleration_rms_g: f64,
    /// Pitch rate, root mean square, degrees a second.
    pub pitch_rate_rms_deg_s: f64,
    /// Freeboard left at the bow as she sails, m.
    pub effective_freeboard_m: Option<f64>,
    /// Mean water on deck, kg.
    pub deck_water_kg: f64,
    /// The foil, where it carries something.
    pub foil: Option<FoilAccount>,
}

/// The foil in flight.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FoilAccount {
    /// Share of the weight that it would carry without stall.
    pub weight_share: f64,
    /// Mean angle of attack from zero lift, degrees.
    pub mean_angle_deg: f64,
    /// Its standard deviation, degrees.
    pub angle_sd_deg: f64,
    /// Mean lift over the lift without stall.
    pub lift_ratio: f64,
    /// Stalls an hour of flight.
    pub stall_rate_per_h: f64,
    /// Broaches an hour of flight.
    pub broach_rate_per_h: f64,
    /// Part of the time in flight: 1 / (1 + events a second x recovery).
    pub availability: f64,
}

/// How her speed swings in the sea.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SwingAccount {
    /// Standard deviation of the speed, kn.
    pub speed_sd_kn: f64,
    /// Part of the time faster than the crests of the largest waves run along the course.
    pub riding_share: f64,
    /// Standard error of the mean speed, by simulating only so long, kn.
    pub standard_error_kn: f64,
}

impl SwingAccount {
    fn of(swing: Swing) -> Self {
        Self {
            speed_sd_kn: m_s_to_kn(swing.variance_m2_s2.sqrt()),
            riding_share: swing.riding_share,
            standard_error_kn: m_s_to_kn(swing.error_m2_s2.sqrt()),
        }
    }
}

impl SeaAccount {
    /// Speed after the last stage, kn.
    pub fn corrected_kn(&self) -> f64 {
        self.speeds_kn.last().map_or(0.0, |speed| speed.value)
    }
}

/// Solves a cell in one sea and tells how it came about.
pub(super) fn account(
    performance: &Performance,
    cell: &CellBalance,
    bin: &SeaBin,
    weight: f64,
    signed_twa_deg: f64,
) -> SeaAccount {
    let tables = &performance.tables;
    let mut curve = SeaCurve::new(tables);
    curve.set(&bin.sea, signed_twa_deg);
    let mut outcome = cell.solve(&curve, Added::Used(1.0));
    let swing = surge_in(performance, cell, (bin, &curve), weight, signed_twa_deg, &outcome);
    if performance.surge.is_counted() {
        outcome.flags -= Flag::FollowingSeaNotModelled;
    }
    let outcome = swing.map_or(outcome, |swing| outcome.surged(swing.speed_m_s));
    let surge = swing.map_or(1.0, |swing| swing.speed_m_s / outcome.balance_m_s());
    let [second, slow, fast] =
        cell.compared_speeds(&curve, compared()).map(|speed_m_s| m_s_to_kn(surge * speed_m_s));
    let points = cell.balances(&curve);
    let speed = points.first().map_or(0.0, |point| point.speed_m_s);
    let names = ["flat"].into_iter().chain(STAGE_NAMES);
    SeaAccount {
        weight,
        sea_states: bin.count,
        tws_kn: m_s_to_kn(bin.sea.tws_m_s),
        hs_m: bin.sea.hs_m(),
        systems: bin
            .sea
            .systems
            .iter()
            .map(|system| system_account(tables, system, signed_twa_deg, speed))
            .collect(),
        speeds_kn: names
            .zip(outcome.speeds)
            .map(|(stage, speed)| StageValue { stage, value: m_s_to_kn(speed) })
            .collect(),
        swing: swing.map(SwingAccount::of),
        second_method_kn: second,
        band_kn: [slow, fast],
        balances: points.iter().map(|point| balance(tables, &curve, point)).collect(),
        flags: outcome.flags.iter().map(Flag::name).collect(),
    }
}

fn system_account(
    tables: &BoatTables,
    system: &WaveSystem,
    signed_twa_deg: f64,
    speed_m_s: f64,
) -> SystemAccount {
    let systems = [*system].into_iter().collect();
    let alone = WindFrameSea { tws_m_s: 0.0, systems, spectrum: None, flags: Flags::empty() };
    let mut curve = SeaCurve::new(tables);
    curve.set(&alone, signed_twa_deg);
    let response = curve.at(speed_m_s);
    SystemAccount {
        kind: system.kind,
        hs_m: system.hs2_m2.sqrt(),
        peak_period_s: system.tp_s,
        wave_length_m: wave_length_m(system.tp_s),
        off_wind_deg: system.off_wind_deg,
        wave_angle_deg: wave_angle_rad(system.off_wind_deg, signed_twa_deg).to_degrees(),
        added_resistance_n: response.added_resistance,
        second_added_resistance_n: response.second_added_resistance,
    }
}

fn balance(tables: &BoatTables, curve: &SeaCurve, point: &BalancePoint) -> BalanceAccount {
    let speed = point.speed_m_s;
    let response = curve.at(speed);
    let rms = |variance: f64| variance.max(0.0).sqrt();
    let deck_water_kg = curve.deck_water_kg(speed);
    BalanceAccount {
        foils_in_use: point.foils_in_use,
        time_share: point.time_share,
        speed_kn: m_s_to_kn(speed),
        forces: point.forces,
        closing: point.closing,
        sea_added_resistance_n: response.added_resistance,
        sea_second_added_resistance_n: response.second_added_resistance,
        bow_motion_rms_m: rms(response.bow_motion),
        bow_acceleration_rms_g: rms(response.bow_acceleration) / G,
        pitch_rate_rms_deg_s: rms(response.pitch_rate).to_degrees(),
        effective_freeboard_m: curve.effective_freeboard_m(speed),
        deck_water_kg,
        foil: point.foils_in_use.then(|| foil(tables, &response, speed, deck_water_kg)).flatten(),
    }
}

fn foil(tables: &BoatTables, response: &Response, speed_m_s: f64, deck_water_kg: f64) -> Option<FoilAccount> {
    let foils = tables.model.foils.as_ref()?;
    let weight_share = foils.share.at(speed_m_s);
    if weight_share <= 0.0 {
        return None;
    }
    let state = FoilState::new(foils, response, speed_m_s, tables.model.displacement_kg + deck_water_kg);
    Some(FoilAccount {
        weight_share,
        mean_angle_deg: state.mean_rad.to_degrees(),
        angle_sd_deg: state.angle_sd_rad.to_degrees(),
        lift_ratio: state.lift_ratio,
        stall_rate_per_h: 3600.0 * state.stall_rate_hz,
        broach_rate_per_h: 3600.0 * state.broach_rate_hz,
        availability: state.availability(foils),
    })
}
