//! A boat and her polars, ready to be derated.

use crate::balance::BoatTables;
use crate::base::units::kn_to_m_s;
use crate::base::{Error, Result};
use crate::boat::Boat;
use crate::boat::cache;
use crate::boat::own_table_file;
use crate::boat::{BoatModel, BodyChoice, ModelChoices, Surge, Told, large_waves, reaches_the_deck};
use crate::derate::Performance;
use crate::job::Job;
use crate::polar::{Polar, PolarAsRead};
use crate::result::{Input, InputRole};
use crate::run::doubts::doubts;

/// Makes a boat's tables up to the fastest speed of her polars.
///
/// # Errors
/// A foils-up polar or hull sections that cannot be used; a boat file without sails.
pub fn performance_of(boat: Boat, flat: Polar, choices: &ModelChoices) -> Result<Performance> {
    Ready::new(boat, flat, choices)?.tabulate(&|_, _| Ok(()))
}

/// A boat and her polars, read and checked; the tables, which take seconds, come last.
pub(super) struct Ready {
    model: BoatModel,
    flat: Polar,
    foils_up: Option<Polar>,
    surge: Surge,
    body: BodyChoice,
    notes: Vec<String>,
}

impl Ready {
    pub(super) fn read(job: &Job) -> Result<Self> {
        let of_boat = |error: Error| error.file(&job.boat);
        let mut boat = Boat::read(&job.boat)?;
        for side in job.model.without_foil.as_slice() {
            boat = boat.without_foil(*side).map_err(of_boat)?;
        }
        let PolarAsRead { polar, notes } = PolarAsRead::read(&job.polar)?;
        let mut ready = Self::new(boat, polar, &job.model).map_err(of_boat)?;
        ready.notes.extend(notes.into_iter().map(|note| format!("polar: {note}")));
        Ok(ready)
    }

    /// What was put in order in the files, and what of them is unusual.
    pub(super) fn notes(&self) -> &[String] {
        &self.notes
    }

    fn new(boat: Boat, flat: Polar, choices: &ModelChoices) -> Result<Self> {
        let foils_up = boat.foils.as_ref().and_then(|foils| foils.foils_up_polar.as_ref());
        let foils_up = foils_up.map(|path| Polar::read(path)).transpose()?;
        let own = choices.own_responses.as_deref().map(own_table_file::read).transpose()?;
        let model = BoatModel::new(boat, choices.added_resistance, own)?;
        model.sails()?;
        if choices.body == BodyChoice::Exact {
            reaches_the_deck(&model)?;
        }
        let notes = doubts(&model, &flat);
        Ok(Self { model, flat, foils_up, surge: choices.counted_surge(), body: choices.body, notes })
    }

    /// Tables made or taken from the cache; `told` hears of seas in which all of her hull is simulated.
    pub(super) fn tabulate(self, told: Told) -> Result<Performance> {
        let Self { model, flat, foils_up, surge, body, notes: _ } = self;
        let fastest = |polar: &Polar| polar.speeds_kn().iter().copied().fold(0.0_f64, f64::max);
        let top_m_s = kn_to_m_s(fastest(&flat).max(foils_up.as_ref().map_or(0.0, fastest)));
        let responses = cache::response_table(&model, top_m_s);
        let large_waves = match body {
            BodyChoice::Linear => None,
            BodyChoice::Exact => Some(large_waves(&model, &responses, top_m_s, told)?),
        };
        let mut tables = BoatTables::with_responses(model, responses, top_m_s);
        tables.large_waves = large_waves;
        Ok(Performance { tables, flat, foils_up, surge })
    }
}

/// The files that a boat and her polars come from.
pub(super) fn inputs(job: &Job, ready: &Ready) -> Result<Vec<Input>> {
    let boat = &ready.model.boat;
    let mut inputs = vec![Input::of(InputRole::Boat, &job.boat)?, Input::of(InputRole::Polar, &job.polar)?];
    if let Some(path) = &boat.hull.sections {
        inputs.push(Input::of(InputRole::Sections, path)?);
    }
    if let Some(path) = boat.foils.as_ref().and_then(|foils| foils.foils_up_polar.as_ref()) {
        inputs.push(Input::of(InputRole::FoilsUpPolar, path)?);
    }
    if let Some(path) = &job.model.own_responses {
        inputs.push(Input::of(InputRole::OwnResponses, path)?);
    }
    Ok(inputs)
}
