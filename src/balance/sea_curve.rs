//! One sea met at one true wind angle: its responses at every speed, and what of it is not modelled.

use crate::balance::carriage::{Carriage, Carried};
use crate::balance::rungs::{RUNG_M_S, rungs_below};
use crate::balance::tables::BoatTables;
use crate::base::bearing::wave_angle_rad;
use crate::base::{Flag, Flags};
use crate::boat::{Beyond, LargeWaves, Met};
use crate::hydro::dispersion::phase_speed_m_s;
use crate::hydro::response::{BEAM_SECTOR_RAD, QUANTITIES, Response, ResponseTable, SpeedPlace};
use crate::hydro::wind_frame::{MINOR_ENERGY, WindFrameSea};
use crate::sea::PartitionKind;
use std::cell::OnceCell;
use std::f64::consts::FRAC_PI_2;

/// Share of the nodes read in which she pitch-poled from which it is flagged (judged).
const LOST: f64 = 0.05;
/// Standard error of what large waves add, over added resistance, from which it is flagged (judged).
const WORTH_A_WORD: f64 = 0.05;
/// Waves this close to the beam cross her course, they do not run with her.
const LEAST_COSINE: f64 = 1e-3;

/// Responses of the whole sea by speed; made once for a sea and a heading, used for every wind speed.
#[derive(Debug, Clone)]
pub struct SeaCurve<'t> {
    tables: &'t BoatTables,
    rows: Vec<[f32; QUANTITIES]>,
    /// Speed of the crests of the largest system along the course, where they run with her, m/s.
    crest_m_s: Option<f64>,
    /// Whether she can fly on this heading: then freeboards are those in flight, also for the seconds of a recovery.
    flies: bool,
    /// Mean water on deck at the speeds of the table, kg.
    water_kg: Vec<f64>,
    /// Mean force of the water that comes aboard at the speeds of the table, N.
    shipping_n: Vec<f64>,
    /// What large waves change at the speeds of the table; empty where her body is linear.
    beyond: Vec<Beyond>,
    /// Where the rungs lie among the speeds of the table.
    places: Vec<SpeedPlace>,
    /// The rungs without a sea.
    still: Vec<SeaRung>,
    /// What the sea does at each rung, worked out when a cell first asks.
    rungs: Vec<OnceCell<SeaRung>>,
    /// Reservations about this sea on this heading.
    pub flags: Flags,
}

/// What a sea does at one speed of the ladder.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct SeaRung {
    /// Added resistance by the method in use and by the second, N.
    pub added_n: [f64; 2],
    /// What large waves add to it, N.
    pub beyond_n: f64,
    /// Variance of the pitch rate, rad²/s².
    pub pitch_rate: f64,
    /// Mean force of the water that comes aboard, N.
    pub deck_water_n: f64,
    /// By the carriage's number.
    pub carried: [Carried; Carriage::ALL.len()],
}

impl SeaRung {
    /// Mean force of the water that comes aboard as she is so carried, N.
    pub(super) fn deck_water_on_n(&self, carriage: Carriage) -> f64 {
        if carriage.is_wet() { self.deck_water_n } else { 0.0 }
    }
}

impl<'t> SeaCurve<'t> {
    /// A curve to be filled by [`SeaCurve::set`].
    pub fn new(tables: &'t BoatTables) -> Self {
        let rungs = rungs_below(tables.top_m_s()) + 1;
        let responses_top_m_s = tables.responses_top_m_s();
        let speeds = || (0..rungs).map(|rung| RUNG_M_S * rung as f64);
        let still = |speed| SeaRung {
            carried: Carriage::ALL
                .map(|carriage| carriage.at(tables.hull(), speed, &Response::default(), 0.0)),
            ..SeaRung::default()
        };
        Self {
            tables,
            rows: tables.responses.empty_curve(),
            crest_m_s: None,
            flies: false,
            water_kg: vec![0.0; tables.responses.speed_count()],
            shipping_n: vec![0.0; tables.responses.speed_count()],
            beyond: match &tables.large_waves {
                Some(_) => vec![Beyond::default(); tables.responses.speed_count()],
                None => Vec::new(),
            },
            places: speeds().map(|speed| tables.responses.place(speed.min(responses_top_m_s))).collect(),
            still: speeds().map(still).collect(),
            rungs: vec![OnceCell::new(); rungs],
            flags: Flags::empty(),
        }
    }

    /// Fills the curve for a sea on a signed true wind angle: over its own spectrum where it has one, else over the
    /// assumed spectra of its systems.
    pub fn set(&mut self, sea: &WindFrameSea, twa_deg: f64) {
        self.rows.fill([0.0; QUANTITIES]);
        self.flags = sea.flags | left_out(sea, twa_deg);
        self.flies = self.tables.model.flies(twa_deg);
        self.crest_m_s = crest_m_s(sea, twa_deg);
        let energy: f64 = sea.systems.iter().map(|system| system.hs2_m2).sum();
        for system in &sea.systems {
            let mu = wave_angle_rad(system.off_wind_deg, twa_deg);
            if sea.spectrum.is_none()
                && !self.tables.responses.add_curve(
                    system.kind,
                    system.hs2_m2,
                    system.tp_s,
                    mu,
                    &mut self.rows,
                )
            {
                self.flags |= Flag::PeriodOutOfRange;
            }
            if system.hs2_m2 >= MINOR_ENERGY * energy
                && self.tables.model.waves.own.as_ref().is_some_and(|own| !own.covers_period(system.tp_s))
            {
                self.flags |= Flag::OwnTableLeft;
            }
        }
        if let Some(spectrum) = &sea.spectrum {
            self.tables.responses.add_spectrum(spectrum, twa_deg, &mut self.rows);
        }
        self.set_deck_water();
        if let Some(large_waves) = &self.tables.large_waves {
            self.set_large_waves(large_waves, sea, twa_deg);
        }
        self.rungs.fill(OnceCell::new());
    }

    fn set_deck_water(&mut self) {
        let Some(freeboards_m) = self.tables.freeboards_m(self.flies) else { return };
        let speeds = self.tables.responses.speeds_m_s();
        for (node, (speed_m_s, freeboard_m)) in speeds.zip(freeboards_m).enumerate() {
            let response = Response::from_array(self.rows[node].map(f64::from));
            let water = self.tables.model.shipped_water(&response, speed_m_s, Some(*freeboard_m));
            (self.water_kg[node], self.shipping_n[node]) = (water.carried_kg, water.force_n);
        }
    }

    fn set_large_waves(&mut self, large_waves: &LargeWaves, sea: &WindFrameSea, twa_deg: f64) {
        let met = sea.systems.iter().map(|system| Met {
            hs2_m2: system.hs2_m2,
            tp_s: system.tp_s,
            mu_rad: wave_angle_rad(system.off_wind_deg, twa_deg),
        });
        if large_waves.leaves(met.clone()) {
            self.flags |= Flag::LargeWavesLeft;
        }
        let likeness: Vec<Vec<f64>> = sea
            .systems
            .iter()
            .zip(met.clone())
            .map(|(system, met)| self.likeness(system.kind, &met))
            .collect();
        for (node, speed_m_s) in self.tables.responses.speeds_m_s().enumerate() {
            let alike = |(met, likeness): (Met, &Vec<f64>)| Met {
                hs2_m2: met.hs2_m2 * likeness.get(node).copied().unwrap_or(1.0),
                ..met
            };
            let beyond = large_waves.at(met.clone().zip(&likeness).map(alike), speed_m_s);
            self.beyond[node] = beyond;
            // by chance and between nodes the sum may come out below a dry deck
            self.water_kg[node] = (self.water_kg[node] + beyond.deck_kg).max(0.0);
            self.shipping_n[node] += beyond.deck_n;
        }
    }

    /// How much of the bow's motion against the water in a wind sea, squared, a system of a kind makes at the speeds of the table:
    /// large waves were simulated in wind seas, and a swell has next to none of the short waves that move a boat against the water.
    /// Empty for a wind sea.
    fn likeness(&self, kind: PartitionKind, met: &Met) -> Vec<f64> {
        if kind != PartitionKind::Swell {
            return Vec::new();
        }
        let responses = &self.tables.responses;
        let bow = |kind| {
            let mut rows = responses.empty_curve();
            responses.add_curve(kind, met.hs2_m2, met.tp_s, met.mu_rad, &mut rows);
            rows.into_iter().map(|row| Response::from_array(row.map(f64::from)).bow_motion)
        };
        let share = |(swell, wind_sea): (f64, f64)| {
            if wind_sea > 0.0 { (swell / wind_sea).clamp(0.0, 1.0) } else { 1.0 }
        };
        bow(PartitionKind::Swell).zip(bow(PartitionKind::WindSea)).map(share).collect()
    }

    /// What large waves add to the force of the sea at a speed, N, and its standard error; nothing where her body is linear.
    pub fn beyond_n(&self, speed_m_s: f64) -> [f64; 2] {
        self.beyond_at(&self.tables.responses.place(speed_m_s.min(self.tables.responses_top_m_s())))
    }

    /// Whether she pitch-poled in some of the seas that what large waves add is read from.
    pub(super) fn pitch_poled(&self, speed_m_s: f64) -> bool {
        let place = self.tables.responses.place(speed_m_s.min(self.tables.responses_top_m_s()));
        !self.beyond.is_empty() && place.in_line(|node| [self.beyond[node].lost_share])[0] > LOST
    }

    /// Whether chance leaves what large waves add open by more than itself, where that is worth a word.
    pub(super) fn chance_covers_large_waves(&self, speed_m_s: f64) -> bool {
        let [beyond_n, error_n] = self.beyond_n(speed_m_s);
        error_n > beyond_n.abs().max(WORTH_A_WORD * self.at(speed_m_s).added_resistance.abs())
    }

    fn beyond_at(&self, place: &SpeedPlace) -> [f64; 2] {
        if self.beyond.is_empty() {
            return [0.0; 2];
        }
        let at = |node: usize| [self.beyond[node].hull_n, self.beyond[node].hull_error_n];
        place.in_line(at)
    }

    /// What the sea does at a rung up to the greatest speed of the tables.
    pub(super) fn rung(&self, index: usize) -> &SeaRung {
        self.rungs[index].get_or_init(|| self.new_rung(index))
    }

    /// A rung without a sea.
    pub(super) fn still(&self, index: usize) -> &SeaRung {
        &self.still[index]
    }

    fn new_rung(&self, index: usize) -> SeaRung {
        let speed = RUNG_M_S * index as f64;
        let place = &self.places[index];
        let (response, water_kg) = self.at_place(place);
        let mut rung = SeaRung {
            added_n: [response.added_resistance, response.second_added_resistance],
            beyond_n: self.beyond_at(place)[0],
            pitch_rate: response.pitch_rate,
            deck_water_n: ResponseTable::between_speeds(&self.shipping_n, place),
            ..self.still[index]
        };
        for carriage in Carriage::ALL {
            if carriage == Carriage::Stalling || (carriage != Carriage::Flat && water_kg > 0.0) {
                rung.carried[carriage.number()] = carriage.at(self.tables.hull(), speed, &response, water_kg);
            }
        }
        rung
    }

    /// Speed of the crests of the largest wave system along the course, m/s; none where they do not run with her.
    pub fn crest_speed_m_s(&self) -> Option<f64> {
        self.crest_m_s
    }

    /// The response at a speed.
    pub fn at(&self, speed_m_s: f64) -> Response {
        self.tables.responses.at_speed(&self.rows, speed_m_s)
    }

    /// Mean water on deck at a speed, kg; zero for a boat without `[deck]`.
    pub fn deck_water_kg(&self, speed_m_s: f64) -> f64 {
        ResponseTable::between_speeds(&self.water_kg, &self.tables.responses.place(speed_m_s))
    }

    /// Mean force of the water that comes aboard at a speed, N, positive astern; zero for a boat without `[deck]`.
    pub fn deck_water_n(&self, speed_m_s: f64) -> f64 {
        ResponseTable::between_speeds(&self.shipping_n, &self.tables.responses.place(speed_m_s))
    }

    /// Effective freeboard at a speed, m; none for a boat without `[deck]`.
    pub fn effective_freeboard_m(&self, speed_m_s: f64) -> Option<f64> {
        let freeboards_m = self.tables.freeboards_m(self.flies)?;
        Some(ResponseTable::between_speeds(freeboards_m, &self.tables.responses.place(speed_m_s)))
    }

    /// Draught of the hull at the forefoot at a speed, m.
    pub fn forefoot_draught_m(&self, speed_m_s: f64) -> f64 {
        let draughts_m = self.tables.forefoot_draughts_m(self.flies);
        ResponseTable::between_speeds(draughts_m, &self.tables.responses.place(speed_m_s))
    }

    /// Response and water at a speed.
    pub(super) fn response_and_water_kg(&self, speed_m_s: f64) -> (Response, f64) {
        self.at_place(&self.tables.responses.place(speed_m_s))
    }

    fn at_place(&self, place: &SpeedPlace) -> (Response, f64) {
        (ResponseTable::at_place(&self.rows, place), ResponseTable::between_speeds(&self.water_kg, place))
    }
}

/// Speed at which a course cuts the crests of the sea's largest system, m/s.
fn crest_m_s(sea: &WindFrameSea, twa_deg: f64) -> Option<f64> {
    let largest = sea.systems.iter().max_by(|a, b| a.hs2_m2.total_cmp(&b.hs2_m2))?;
    let cos_mu = wave_angle_rad(largest.off_wind_deg, twa_deg).cos();
    (cos_mu > LEAST_COSINE).then(|| phase_speed_m_s(largest.tp_s) / cos_mu)
}

/// What the model leaves out for most of a sea, by the energy of the systems that come from a sector.
fn left_out(sea: &WindFrameSea, twa_deg: f64) -> Flags {
    let energy = |within: fn(f64) -> bool| -> f64 {
        let there = sea.systems.iter().filter(|s| within(wave_angle_rad(s.off_wind_deg, twa_deg)));
        there.map(|system| system.hs2_m2).sum()
    };
    let most = 0.5 * energy(|_| true);
    let mut flags = Flags::empty();
    if energy(|mu| mu < FRAC_PI_2) > most {
        flags |= Flag::FollowingSeaNotModelled;
    }
    if energy(|mu| (mu - FRAC_PI_2).abs() <= BEAM_SECTOR_RAD) > most {
        flags |= Flag::BeamSeaNotModelled;
    }
    flags
}
