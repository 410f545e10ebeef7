//! One sea met at one true wind angle: its responses at every speed, and what of it is not modelled.

use crate::balance::carriage::{Carriage, Carried};
use crate::balance::foil_state::FoilState;
use crate::balance::rungs::{RUNG_M_S, rungs_below};
use crate::balance::tables::BoatTables;
use crate::base::bearing::wave_angle_rad;
use crate::base::{Flag, Flags};
use crate::boat::{Beyond, Foils, Met};
use crate::hydro::dispersion::phase_speed_m_s;
use crate::hydro::response::{BEAM_SECTOR_RAD, Response, ResponseTable, SeaResponses, SpeedPlace};
use crate::hydro::wind_frame::{MINOR_ENERGY, WaveSystem, WindFrameSea};
use crate::sea::{MAX_PARTITIONS, PartitionKind};
use std::cell::OnceCell;
use std::f64::consts::FRAC_PI_2;

/// Share of the nodes read in which she pitch-poled from which it is flagged (judged).
const LOST: f64 = 0.05;
/// Standard error of what large waves add, over added resistance, from which it is flagged (judged).
const WORTH_A_WORD: f64 = 0.05;
/// Waves this close to the beam cross her course, they do not run with her.
const LEAST_COSINE: f64 = 1e-3;

/// Responses of the whole sea by speed; made once for a sea and a heading, used for every wind speed. What is asked of it is worked
/// out when it is first asked for.
#[derive(Debug, Clone)]
pub struct SeaCurve<'t> {
    tables: &'t BoatTables,
    responses: SeaResponses<'t>,
    /// Speed of the crests of the largest system along the course, where they run with her, m/s.
    crest_m_s: Option<f64>,
    /// Whether she can fly on this heading: then freeboards are those in flight, also for the seconds of a recovery.
    flies: bool,
    /// The systems as large waves read them; empty where her body is linear.
    met: Vec<MetSystem<'t>>,
    /// The speeds of the table.
    speeds_m_s: Vec<f64>,
    /// What comes aboard at them.
    aboard: Vec<OnceCell<Aboard>>,
    /// Where the rungs lie among the speeds of the table.
    places: Vec<SpeedPlace>,
    /// What carries her on the rungs without a sea, by the carriage's number.
    still_carried: Vec<[Carried; Carriage::ALL.len()]>,
    /// What the sea does at each rung.
    rungs: Vec<OnceCell<SeaRung>>,
    /// What carries her in it, by the carriage's number.
    carried: Vec<[OnceCell<Carried>; Carriage::ALL.len()]>,
    /// Stalls, ventilations and broaches a second at each rung.
    event_rates_hz: Vec<OnceCell<f64>>,
    /// Reservations about this sea on this heading.
    pub flags: Flags,
}

/// What comes aboard at one speed of the tables, and what large waves change there.
#[derive(Debug, Clone, Copy, Default)]
struct Aboard {
    /// Mean water on deck, kg.
    water_kg: f64,
    /// Mean force of the water that comes aboard, N.
    shipping_n: f64,
    /// What large waves change; nothing where her body is linear.
    beyond: Beyond,
}

/// The same between the speeds of the tables.
#[derive(Debug, Clone, Copy)]
pub(super) struct AboardAt {
    /// Mean water on deck, kg.
    pub water_kg: f64,
    /// Mean force of the water that comes aboard, N.
    pub deck_water_n: f64,
    /// What large waves add to the force of the sea, N.
    pub beyond_n: f64,
    /// Its standard error, N.
    beyond_error_n: f64,
}

/// A system as large waves read it, which were simulated in wind seas.
#[derive(Debug, Clone)]
struct MetSystem<'t> {
    met: Met,
    /// What it does as the swell that it is, and would do as a wind sea; none for a wind sea.
    swell_and_wind_sea: Option<[SeaResponses<'t>; 2]>,
}

impl<'t> MetSystem<'t> {
    fn new(responses: &'t ResponseTable, system: &WaveSystem, twa_deg: f64) -> Self {
        let WaveSystem { hs2_m2, tp_s, .. } = *system;
        let mu_rad = wave_angle_rad(system.off_wind_deg, twa_deg);
        let of = |kind| {
            let mut sea = SeaResponses::new(responses);
            sea.add_system(kind, hs2_m2, tp_s, mu_rad);
            sea
        };
        Self {
            met: Met { hs2_m2, tp_s, mu_rad },
            swell_and_wind_sea: (system.kind == PartitionKind::Swell)
                .then(|| [PartitionKind::Swell, PartitionKind::WindSea].map(of)),
        }
    }

    /// At one of the table's speeds, as high as a wind sea that moves the bow as much against the water: a swell has next to none of
    /// the short waves that move a boat so.
    fn at_node(&self, node: usize) -> Met {
        let Some(both) = &self.swell_and_wind_sea else { return self.met };
        let [swell, wind_sea] = [&both[0], &both[1]].map(|sea| sea.at_node(node).bow_motion);
        let likeness = if wind_sea > 0.0 { (swell / wind_sea).clamp(0.0, 1.0) } else { 1.0 };
        Met { hs2_m2: self.met.hs2_m2 * likeness, ..self.met }
    }
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
    /// Mean water on deck, kg.
    water_kg: f64,
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
        let still = |speed| {
            Carriage::ALL.map(|carriage| carriage.at(tables.hull(), speed, &Response::default(), 0.0))
        };
        Self {
            tables,
            responses: SeaResponses::new(&tables.responses),
            crest_m_s: None,
            flies: false,
            met: Vec::with_capacity(if tables.large_waves.is_some() { MAX_PARTITIONS } else { 0 }),
            speeds_m_s: tables.responses.speeds_m_s().collect(),
            aboard: vec![OnceCell::new(); tables.responses.speed_count()],
            places: speeds().map(|speed| tables.responses.place(speed.min(responses_top_m_s))).collect(),
            still_carried: speeds().map(still).collect(),
            rungs: vec![OnceCell::new(); rungs],
            carried: vec![Default::default(); rungs],
            event_rates_hz: vec![OnceCell::new(); rungs],
            flags: Flags::empty(),
        }
    }

    /// Fills the curve for a sea on a signed true wind angle: over its own spectrum where it has one, else over the
    /// assumed spectra of its systems.
    pub fn set(&mut self, sea: &WindFrameSea, twa_deg: f64) {
        self.responses.clear();
        self.flags = sea.flags | left_out(sea, twa_deg);
        self.flies = self.tables.model.flies(twa_deg);
        self.crest_m_s = crest_m_s(sea, twa_deg);
        let energy: f64 = sea.systems.iter().map(|system| system.hs2_m2).sum();
        for system in &sea.systems {
            let mu = wave_angle_rad(system.off_wind_deg, twa_deg);
            if sea.spectrum.is_none()
                && !self.responses.add_system(system.kind, system.hs2_m2, system.tp_s, mu)
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
            self.responses.add_spectrum(spectrum, twa_deg);
        }
        if let Some(large_waves) = &self.tables.large_waves {
            self.met.clear();
            let responses = &self.tables.responses;
            self.met.extend(sea.systems.iter().map(|system| MetSystem::new(responses, system, twa_deg)));
            if large_waves.leaves(self.met.iter().map(|system| system.met)) {
                self.flags |= Flag::LargeWavesLeft;
            }
        }
        self.aboard.fill(OnceCell::new());
        self.rungs.fill(OnceCell::new());
        self.carried.fill(Default::default());
        self.event_rates_hz.fill(OnceCell::new());
    }

    fn aboard(&self, node: usize) -> &Aboard {
        self.aboard[node].get_or_init(|| self.new_aboard(node))
    }

    fn new_aboard(&self, node: usize) -> Aboard {
        let speed_m_s = self.speeds_m_s[node];
        let mut aboard = Aboard::default();
        if let Some(freeboards_m) = self.tables.freeboards_m(self.flies) {
            let response = self.responses.at_node(node);
            let water = self.tables.model.shipped_water(&response, speed_m_s, Some(freeboards_m[node]));
            (aboard.water_kg, aboard.shipping_n) = (water.carried_kg, water.force_n);
        }
        if let Some(large_waves) = &self.tables.large_waves {
            let beyond = large_waves.at(self.met.iter().map(|system| system.at_node(node)), speed_m_s);
            aboard.beyond = beyond;
            // by chance and between nodes the sum may come out below a dry deck
            aboard.water_kg = (aboard.water_kg + beyond.deck_kg).max(0.0);
            aboard.shipping_n += beyond.deck_n;
        }
        aboard
    }

    /// What large waves add to the force of the sea at a speed, N, and its standard error; nothing where her body is linear.
    pub fn beyond_n(&self, speed_m_s: f64) -> [f64; 2] {
        let aboard = self.aboard_at(&self.tables.responses.place(speed_m_s));
        [aboard.beyond_n, aboard.beyond_error_n]
    }

    /// Whether she pitch-poled in some of the seas that what large waves add is read from.
    pub(super) fn pitch_poled(&self, speed_m_s: f64) -> bool {
        let lost_share = |node| [self.aboard(node).beyond.lost_share];
        self.tables.large_waves.is_some()
            && self.tables.responses.place(speed_m_s).in_line(lost_share)[0] > LOST
    }

    /// Whether chance leaves what large waves add open by more than itself, where that is worth a word.
    pub(super) fn chance_covers_large_waves(&self, speed_m_s: f64) -> bool {
        if self.tables.large_waves.is_none() {
            return false;
        }
        let [beyond_n, error_n] = self.beyond_n(speed_m_s);
        error_n > beyond_n.abs().max(WORTH_A_WORD * self.at(speed_m_s).added_resistance.abs())
    }

    /// What the sea does at a rung up to the greatest speed of the tables.
    pub(super) fn rung(&self, index: usize) -> &SeaRung {
        self.rungs[index].get_or_init(|| self.new_rung(index))
    }

    /// What carries her at a rung, and at what drag.
    pub(super) fn carried(&self, index: usize, carriage: Carriage) -> &Carried {
        let still = &self.still_carried[index][carriage.number()];
        let water_kg = if carriage.is_wet() { self.rung(index).water_kg } else { 0.0 };
        if water_kg <= 0.0 && carriage != Carriage::Stalling {
            return still;
        }
        self.carried[index][carriage.number()].get_or_init(|| {
            let response = self.responses.at_place(&self.places[index]);
            carriage.at(self.tables.hull(), RUNG_M_S * index as f64, &response, water_kg)
        })
    }

    /// The same without a sea.
    pub(super) fn still_carried(&self, index: usize, carriage: Carriage) -> &Carried {
        &self.still_carried[index][carriage.number()]
    }

    /// Stalls, ventilations and broaches of her foils a second at a rung.
    pub(super) fn event_rate_hz(&self, index: usize, foils: &Foils) -> f64 {
        *self.event_rates_hz[index].get_or_init(|| {
            let speed = (RUNG_M_S * index as f64).min(self.tables.responses_top_m_s());
            if foils.share.at(speed) <= 0.0 {
                return 0.0;
            }
            let weight_kg = self.tables.model.displacement_kg + self.rung(index).water_kg;
            let response = self.responses.at_place(&self.places[index]);
            FoilState::new(foils, &response, speed, weight_kg).event_rate_hz()
        })
    }

    fn new_rung(&self, index: usize) -> SeaRung {
        let place = &self.places[index];
        let (response, aboard) = (self.responses.at_place(place), self.aboard_at(place));
        SeaRung {
            added_n: [response.added_resistance, response.second_added_resistance],
            beyond_n: aboard.beyond_n,
            pitch_rate: response.pitch_rate,
            deck_water_n: aboard.deck_water_n,
            water_kg: aboard.water_kg,
        }
    }

    fn aboard_at(&self, place: &SpeedPlace) -> AboardAt {
        let [water_kg, deck_water_n, beyond_n, beyond_error_n] = place.in_line(|node| {
            let Aboard { water_kg, shipping_n, beyond } = self.aboard(node);
            [*water_kg, *shipping_n, beyond.hull_n, beyond.hull_error_n]
        });
        AboardAt { water_kg, deck_water_n, beyond_n, beyond_error_n }
    }

    /// Speed of the crests of the largest wave system along the course, m/s; none where they do not run with her.
    pub fn crest_speed_m_s(&self) -> Option<f64> {
        self.crest_m_s
    }

    /// The response at a speed.
    pub fn at(&self, speed_m_s: f64) -> Response {
        self.responses.at(speed_m_s)
    }

    /// Mean water on deck at a speed, kg; zero for a boat without `[deck]`.
    pub fn deck_water_kg(&self, speed_m_s: f64) -> f64 {
        self.aboard_at(&self.tables.responses.place(speed_m_s)).water_kg
    }

    /// Mean force of the water that comes aboard at a speed, N, positive astern; zero for a boat without `[deck]`.
    pub fn deck_water_n(&self, speed_m_s: f64) -> f64 {
        self.aboard_at(&self.tables.responses.place(speed_m_s)).deck_water_n
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

    /// The response at a speed, and what comes aboard.
    pub(super) fn all_at(&self, speed_m_s: f64) -> (Response, AboardAt) {
        let place = self.tables.responses.place(speed_m_s);
        (self.responses.at_place(&place), self.aboard_at(&place))
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
