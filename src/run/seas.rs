//! The seas of a job: tallied from its forecast, or read from a tally.

use crate::base::window::LONE_STEP;
use crate::base::{Error, Result};
use crate::files::FileState;
use crate::forecast::{Forecast, MemberChoice};
use crate::hydro::wind_frame::WindFrameSea;
use crate::job::Job;
use crate::job::{ForecastSeas, Seas};
use crate::region;
use crate::region::{Extent, Region, Regions, corridor, of_boxes, overlaps, tiles};
use crate::result::{Input, InputRole};
use crate::survey::{KeptSteps, Reused, StepCache};
use crate::survey::{LeftOut, Surveyed, check_covered, leave_out_empty, station_notes, survey_keeping};
use crate::tally::{Origin, TallySet};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Seas that are ready to be tallied: every file is open, nothing has been decoded.
#[derive(Debug)]
pub struct Opened(Source);

/// What becomes of the first and the last step, whose time other files may tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ends {
    Open,
    Settled,
}

#[derive(Debug)]
enum Source {
    Forecast {
        forecast: Forecast,
        regions: Vec<Region>,
        seas: ForecastSeas,
        inputs: Vec<Input>,
        states: Vec<FileState>,
    },
    Tally {
        set: TallySet,
        input: Input,
    },
}

/// Tallied seas.
#[derive(Debug)]
pub struct Gathered {
    /// The tallies.
    pub set: TallySet,
    /// Those of each member of an ensemble, where a job wants polars of each.
    pub members: BTreeMap<u32, TallySet>,
    /// The files they came from.
    pub inputs: Vec<Input>,
    /// The forecast they were tallied from; none for a tally read.
    pub forecast: Option<Forecast>,
    /// What the files were before they were digested and read.
    pub states: Vec<FileState>,
    /// What was found of steps tallied before.
    pub reused: Reused,
}

impl Gathered {
    /// # Errors
    /// A file that changed since: what was read need not be one forecast, nor have the digest that is recorded.
    pub fn check_unchanged(states: &[FileState]) -> Result<()> {
        states.iter().try_for_each(FileState::check_unchanged)
    }
}

impl Opened {
    /// Opens the files of a job's seas.
    ///
    /// # Errors
    /// Files that cannot be used.
    pub fn open(seas: &Seas) -> Result<Self> {
        match seas {
            Seas::Tally(path) => {
                let state = FileState::of(path)?;
                let set = TallySet::read(path)?;
                let input = Input::of(InputRole::Tally, path)?;
                state.check_unchanged()?;
                Ok(Self(Source::Tally { set, input }))
            }
            Seas::Forecast(seas) => {
                let mut inputs = Vec::new();
                let files = seas.regions.file().into_iter().chain(seas.files.iter().map(PathBuf::as_path));
                let states = files.map(FileState::of).collect::<Result<Vec<_>>>()?;
                if let Some(path) = seas.regions.file() {
                    inputs.push(Input::of(InputRole::Regions, path)?);
                }
                for path in &seas.files {
                    inputs.push(Input::of(InputRole::Forecast, path)?);
                }
                let forecast = Forecast::open(&seas.files)?;
                check_members(seas, &forecast)?;
                let regions = regions(&seas.regions, &forecast)?;
                Ok(Self(Source::Forecast { forecast, regions, seas: seas.clone(), inputs, states }))
            }
        }
    }

    /// Tallies the seas; `progress` is told the steps done and the steps in all.
    ///
    /// # Errors
    /// As [`survey`].
    pub fn tally(self, progress: &dyn Fn(usize, usize) -> Result<()>) -> Result<Gathered> {
        self.gather(Ends::Settled, progress)
    }

    /// As [`Opened::tally`], for a tally that others will be added to: its first and last step are left open.
    ///
    /// # Errors
    /// As [`survey`].
    pub fn tally_to_keep(self, progress: &dyn Fn(usize, usize) -> Result<()>) -> Result<Gathered> {
        self.gather(Ends::Open, progress)
    }

    fn gather(self, ends: Ends, progress: &dyn Fn(usize, usize) -> Result<()>) -> Result<Gathered> {
        match self.0 {
            Source::Tally { mut set, input } => {
                if ends == Ends::Settled {
                    set.settle().map_err(|error| error.input(&input.file))?;
                }
                Ok(Gathered {
                    set,
                    members: BTreeMap::new(),
                    inputs: vec![input],
                    forecast: None,
                    states: Vec::new(),
                    reused: Reused::default(),
                })
            }
            Source::Forecast { forecast, regions, seas, inputs, states } => {
                let mut origin = origin(&regions, &forecast, &inputs);
                let apart = members_apart(&seas, &forecast);
                let kept = kept_steps(&seas, &regions, &inputs);
                let Surveyed { mut set, members, out_of_range, unreadable, reused } = survey_keeping(
                    &forecast,
                    &regions,
                    seas.window,
                    seas.window_alignment,
                    &apart,
                    kept.as_ref(),
                    progress,
                )
                .or_else(|error| Gathered::check_unchanged(&states).and(Err(error)))?;
                // before anything is said of what was found: a changed file may look damaged
                Gathered::check_unchanged(&states)?;
                origin.warnings.extend(out_of_range.words().map(|told| format!("forecast: {told}")));
                let why = |error: Error| match unreadable.first() {
                    Some(first) => {
                        error.found(format!("{} unreadable messages, the first: {first}", unreadable.len()))
                    }
                    None => error,
                };
                let open = (ends == Ends::Open).then(|| set.clone());
                set.settle()?;
                match &seas.regions {
                    Regions::File(path) => {
                        check_covered(&set).map_err(|error| why(error.file(path)))?;
                        origin.warnings.extend(overlaps::note(&regions));
                    }
                    Regions::Boxes(_) => {
                        check_covered(&set).map_err(|error| why(error.input("box")))?;
                        origin.warnings.extend(overlaps::note(&regions));
                    }
                    Regions::Tiles(_) => without_empty(&mut set, "tiles", &mut origin)?,
                    Regions::Corridor(_) => without_empty(&mut set, "legs", &mut origin)?,
                }
                if let Some(mut open) = open {
                    open.regions.retain(|region| set.region(&region.region.name).is_some());
                    set = open;
                }
                origin.gaps.extend(unreadable);
                set.add_origin(&origin);
                Ok(Gathered { set, members, inputs, forecast: Some(forecast), states, reused })
            }
        }
    }
}

/// The steps of these files and regions that are kept, unless the job wants none.
fn kept_steps(seas: &ForecastSeas, regions: &[Region], inputs: &[Input]) -> Option<KeptSteps> {
    let forecasts = inputs.iter().filter(|input| input.role == InputRole::Forecast);
    let files = seas.files.iter().cloned().zip(forecasts.map(|input| input.sha256.clone())).collect();
    match seas.step_cache {
        StepCache::Kept => KeptSteps::new(regions, files),
        StepCache::Off => None,
    }
}

/// The members that get tallies of their own.
fn members_apart(seas: &ForecastSeas, forecast: &Forecast) -> Vec<u32> {
    match seas.members {
        MemberChoice::Together => Vec::new(),
        MemberChoice::Each => forecast.members(),
    }
}

fn check_members(seas: &ForecastSeas, forecast: &Forecast) -> Result<()> {
    if seas.members == MemberChoice::Together || !forecast.members().is_empty() {
        return Ok(());
    }
    let files: Vec<String> = seas.files.iter().map(|file| file.display().to_string()).collect();
    Err(Error::new("the forecast has no ensemble members to make a polar of each")
        .input(files.join(", "))
        .found("members \"each\" with a single forecast")
        .expected("files that number their members: GRIB's perturbation number, or a NetCDF dimension such as `number`")
        .remedy("leave members out, or name an ensemble's files"))
}

/// Leaves out drawn regions that are land alone, or that the forecast does not reach; says so, of the latter as a gap.
fn without_empty(set: &mut TallySet, what: &str, origin: &mut Origin) -> Result<()> {
    let all = set.regions.len();
    let LeftOut { land, empty } = leave_out_empty(set);
    if set.parts().all(|(.., part)| part.tally.is_empty()) {
        return Err(Error::new(format!("none of the {what} holds any sea with all the model needs"))
            .found(format!("{all} {what}, {land} of them land, {empty} beyond the forecast"))
            .expected("some sea of the forecast")
            .remedy("run `inspect` on the forecast to see what it lacks"));
    }
    if land > 0 {
        origin.warnings.insert(format!("{land} {what} hold no sea by the coastline and were left out"));
    }
    if empty > 0 {
        let told =
            "lie at sea where the forecast has no waves, outside its grid or its model's domain: no polar";
        origin.gaps.insert(format!("{empty} {what} {told}"));
    }
    Ok(())
}

fn origin(regions: &[Region], forecast: &Forecast, inputs: &[Input]) -> Origin {
    let forecasts = inputs.iter().filter(|input| input.role == InputRole::Forecast);
    let mut gaps = Vec::new();
    if forecast.missing_messages() > 0 {
        gaps.push(format!("{} fields that other steps have are missing", forecast.missing_messages()));
    }
    gaps.extend(forecast.holes().iter().map(|[before, after]| {
        format!("no forecast step between {before} and {after}, though later ones are closer together")
    }));
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
    warnings.extend(forecast.steps().first().into_iter().flat_map(|step| station_notes(regions, &step.grid)));
    warnings.extend(forecast.notes().iter().map(|note| format!("forecast: {note}")));
    let mut times = forecast.steps().iter().map(|step| step.valid);
    if let Some(only) = times.next().filter(|only| times.all(|time| time == *only)) {
        let hours = LONE_STEP.as_hours();
        warnings.push(format!(
            "forecast: one step alone, {only}: nothing says when the next would come, so it serves for the {hours} h from its time, \
             or the whole of its window where the job's windows have a length"
        ));
    }
    if forecast.unused_messages() > 0 {
        warnings.push(format!(
            "{} forecast messages hold nothing that is needed and were passed over",
            forecast.unused_messages()
        ));
    }
    if forecast.stray_bytes() > 0 {
        warnings.push(format!("{} bytes of the forecast files belong to no message", forecast.stray_bytes()));
    }
    warnings
}

fn regions(regions: &Regions, forecast: &Forecast) -> Result<Vec<Region>> {
    match regions {
        Regions::File(path) => region::read(path),
        Regions::Boxes(boxes) => of_boxes(boxes),
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

/// All seas of a job with their weights, or those of one of its regions.
///
/// # Errors
/// Forecast or regions that cannot be used; a region that the job has not.
pub fn job_seas(job: &Job, region: Option<&str>) -> Result<Vec<(WindFrameSea, f64)>> {
    let set = Opened::open(&job.seas)?.tally(&|_, _| Ok(()))?.set;
    let known: Vec<&str> = set.regions.iter().map(|region| region.region.name.as_str()).collect();
    if let Some(name) = region.filter(|name| !known.contains(name)) {
        return Err(Error::new("the job has no such region")
            .found(format!("\"{name}\""))
            .expected(format!("one of {}", known.join(", ")))
            .remedy("name a region of the job's regions file"));
    }
    let wanted = |name: &str| region.is_none_or(|region| region == name);
    let parts = set.parts().filter(|(region, ..)| wanted(&region.name));
    Ok(parts.flat_map(|(.., part)| part.tally.seas()).collect())
}
