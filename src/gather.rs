//! The seas of a job: tallied from its forecast, or read from a tally.

use crate::error::{Error, Result};
use crate::export::manifest::Input;
use crate::forecast::Forecast;
use crate::job::{ForecastSeas, Regions, Seas};
use crate::region::{self, Extent, Region, corridor, tiles};
use crate::survey::{check_covered, leave_out_land, survey};
use crate::tally::{Origin, TallySet};
use std::path::Path;

/// Seas that are ready to be tallied: every file is open, nothing has been decoded.
#[derive(Debug)]
pub struct Opened(Source);

#[derive(Debug)]
enum Source {
    Forecast { forecast: Forecast, regions: Vec<Region>, seas: ForecastSeas, inputs: Vec<Input> },
    Tally { set: TallySet, input: Input },
}

/// Tallied seas.
#[derive(Debug)]
pub struct Gathered {
    /// The tallies.
    pub set: TallySet,
    /// The files they came from.
    pub inputs: Vec<Input>,
    /// The forecast they were tallied from; none for a tally read.
    pub gridded: Option<Gridded>,
}

/// A forecast and the regions it is wanted in.
#[derive(Debug)]
pub struct Gridded {
    /// The forecast.
    pub forecast: Forecast,
    /// The regions.
    pub regions: Vec<Region>,
}

impl Opened {
    /// Opens the files of a job's seas.
    ///
    /// # Errors
    /// Files that cannot be used.
    pub fn open(seas: &Seas) -> Result<Self> {
        match seas {
            Seas::Tally(path) => {
                let set = TallySet::read(path)?;
                Ok(Self(Source::Tally { set, input: Input::of("tally", path)? }))
            }
            Seas::Forecast(seas) => {
                let mut inputs = Vec::new();
                if let Some(path) = seas.regions.file() {
                    inputs.push(Input::of("regions", path)?);
                }
                for path in &seas.files {
                    inputs.push(Input::of("forecast", path)?);
                }
                let forecast = Forecast::open(&seas.files)?;
                let regions = regions(&seas.regions, &forecast)?;
                Ok(Self(Source::Forecast { forecast, regions, seas: seas.clone(), inputs }))
            }
        }
    }

    /// Tallies the seas; `progress` is told the steps done and the steps in all.
    ///
    /// # Errors
    /// As [`survey`].
    pub fn tally(self, progress: &dyn Fn(usize, usize)) -> Result<Gathered> {
        match self.0 {
            Source::Tally { set, input } => Ok(Gathered { set, inputs: vec![input], gridded: None }),
            Source::Forecast { forecast, regions, seas, inputs } => {
                let mut origin = origin(&regions, &forecast, &inputs);
                let mut set = survey(&forecast, &regions, seas.window, seas.window_alignment, progress)?;
                match &seas.regions {
                    Regions::File(path) => check_covered(&set).map_err(|error| error.file(path))?,
                    Regions::Tiles(_) => origin.warnings.extend(without_land(&mut set, "tiles")?),
                    Regions::Corridor(_) => origin.warnings.extend(without_land(&mut set, "legs")?),
                }
                set.add_origin(&origin);
                Ok(Gathered { set, inputs, gridded: Some(Gridded { forecast, regions }) })
            }
        }
    }
}

/// Leaves out drawn regions that are land alone; says so.
fn without_land(set: &mut TallySet, what: &str) -> Result<Option<String>> {
    let all = set.regions.len();
    let on_land = leave_out_land(set);
    if set.parts().all(|(.., part)| part.tally.is_empty()) {
        return Err(Error::new(format!("none of the {what} holds any sea with all the model needs"))
            .found(format!("{all} {what}, {on_land} of them land"))
            .expected("some sea of the forecast")
            .remedy("run `inspect` on the forecast to see what it lacks"));
    }
    Ok((on_land > 0).then(|| format!("{on_land} {what} hold no sea and were left out")))
}

fn origin(regions: &[Region], forecast: &Forecast, inputs: &[Input]) -> Origin {
    let forecasts = inputs.iter().filter(|input| input.role == "forecast");
    let mut gaps = Vec::new();
    if forecast.missing_messages() > 0 {
        gaps.push(format!("{} fields that other steps have are missing", forecast.missing_messages()));
    }
    Origin {
        sources: forecasts.map(|input| (input.sha256.clone(), input.file.clone())).collect(),
        warnings: warnings(regions, forecast).into_iter().collect(),
        gaps: gaps.into_iter().collect(),
        ..Origin::default()
    }
}

fn warnings(regions: &[Region], forecast: &Forecast) -> Vec<String> {
    let mut warnings: Vec<String> = regions
        .iter()
        .flat_map(|region| region.notes.iter().map(move |note| format!("region \"{}\": {note}", region.name)))
        .collect();
    warnings.extend(forecast.notes().iter().map(|note| format!("forecast: {note}")));
    let counted = [
        (forecast.unused_messages(), "messages hold nothing that is needed and were passed over"),
        (forecast.replaced_messages(), "messages gave way to another of the same quantity and time"),
    ];
    warnings.extend(counted.iter().filter(|(n, _)| *n > 0).map(|(n, what)| format!("{n} forecast {what}")));
    if forecast.stray_bytes() > 0 {
        warnings.push(format!("{} bytes of the forecast files belong to no message", forecast.stray_bytes()));
    }
    warnings
}

fn regions(regions: &Regions, forecast: &Forecast) -> Result<Vec<Region>> {
    match regions {
        Regions::File(path) => region::read(path),
        Regions::Corridor(choice) => corridor::read(&choice.track, choice.half_width_nm, choice.leg_nm),
        Regions::Tiles(size) => {
            let grid = forecast.steps().first().map(|step| step.grid.summary()).ok_or_else(|| {
                Error::new("the forecast has no step to lay tiles over").remedy("name a regions file")
            })?;
            let extent = Extent {
                south: grid.south_deg,
                north: grid.north_deg,
                west: grid.west_deg,
                east: grid.east_deg,
            };
            tiles(size.lat_deg, size.lon_deg, extent)
        }
    }
}

impl Regions {
    /// The file that the regions come from, if they do.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Corridor(choice) => Some(&choice.track),
            Self::Tiles(_) => None,
        }
    }
}
