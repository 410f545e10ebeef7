//! What any input file is and holds.

use crate::atlas::file::MARK;
use crate::atlas::{file_in, is_part};
use crate::base::position::position;
use crate::base::{Error, Result, flags};
use crate::boat;
use crate::boat::Boat;
use crate::boat::BoatModel;
use crate::examine::atlas;
use crate::examine::atlas::AtlasReport;
use crate::examine::other;
use crate::examine::other::{ResponsesReport, ResultReport, TableReport, TallyReport, TrackReport};
use crate::examine::sea_sheet::SeaSheet;
use crate::files::text_file;
use crate::forecast::FileReport;
use crate::forecast::inspect::inspect;
use crate::hull::{Decked, FLARE_AT, Hull, Hydrostatics};
use crate::hydro::response::Method;
use crate::job::JobFile;
use crate::polar::{Polar, PolarAsRead, Tacks, believable};
use crate::region;
use serde::{Serialize, Serializer};
use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

/// What a file is, with what it holds.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Examination {
    /// A forecast.
    Forecast(Box<FileReport>),
    /// A polar.
    Polar(PolarReport),
    /// A boat file.
    Boat(Box<BoatReport>),
    /// Hull sections.
    Sections(HullReport),
    /// Regions.
    Regions(RegionsReport),
    /// A job.
    Job(JobReport),
    /// A sheet of seas.
    Seas(SeaSheet),
    /// A track.
    Track(TrackReport),
    /// A tally.
    Tally(TallyReport),
    /// A result folder.
    Result(Box<ResultReport>),
    /// A table of a result.
    ResultTable(TableReport),
    /// Own responses.
    Responses(ResponsesReport),
    /// An atlas.
    Atlas(Box<AtlasReport>),
}

/// The ranges of a polar.
#[derive(Debug, Clone, Serialize)]
pub struct PolarReport {
    /// True wind speeds, kn.
    pub tws_kn: Vec<f64>,
    /// True wind angles, degrees.
    pub twa_deg: Vec<f64>,
    /// Whether the tacks differ.
    pub signed: bool,
    /// Least and greatest speed, kn.
    pub speed_kn: [f64; 2],
    /// What was put in order, and what is unusual.
    pub asked: Vec<String>,
}

/// Hydrostatics of a hull.
#[derive(Debug, Clone, Serialize)]
pub struct HullReport {
    /// Number of stations.
    pub stations: usize,
    /// Length, beam and draught at the waterline, m.
    pub lwl_m: f64,
    /// Greatest beam at the waterline, m.
    pub bwl_m: f64,
    /// Greatest draught, m.
    pub draught_m: f64,
    /// Displacement in sea water, kg.
    pub displacement_kg: f64,
    /// Centre of buoyancy forward of the aft end of the waterline, m.
    pub lcb_m: f64,
    /// Centre of flotation, m.
    pub lcf_m: f64,
    /// Area of the waterplane, m².
    pub waterplane_area_m2: f64,
    /// Wetted surface, m².
    pub wetted_surface_m2: f64,
    /// Block coefficient.
    pub cb: f64,
    /// Prismatic coefficient.
    pub cp: f64,
    /// Greatest-section coefficient.
    pub cm: f64,
    /// Waterplane coefficient.
    pub cwp: f64,
    /// What is known above the water; none where the sections end at the waterline.
    pub topsides: Option<TopsidesReport>,
}

/// A hull between waterline and deck.
#[derive(Debug, Clone, Serialize)]
pub struct TopsidesReport {
    /// Length over all, m.
    pub length_overall_m: f64,
    /// Greatest beam of the deck, m.
    pub deck_beam_m: f64,
    /// Height of the deck's edge at the stem, m.
    pub bow_freeboard_m: f64,
    /// Angle of the side from the vertical at nine tenths of the waterline, degrees; none where no section tells.
    pub bow_flare_deg: Option<f64>,
    /// Volume between waterline and deck, m³.
    pub reserve_buoyancy_m3: f64,
    /// The part of it before three quarters of the waterline, m³.
    pub reserve_buoyancy_forward_m3: f64,
    /// The same over the displaced volume.
    pub reserve_buoyancy_forward_ratio: f64,
    /// Trim, bow down about the centre of flotation, that puts the deck's edge at the stem under, degrees.
    pub bow_under_trim_deg: f64,
}

/// A boat and what the model would lack.
#[derive(Debug, Clone, Serialize)]
pub struct BoatReport {
    /// The file as read.
    pub boat: Boat,
    /// Her hull.
    pub hull: HullReport,
    /// What the model leaves out for want of a table in the file.
    pub lacks: Vec<String>,
    /// Reservations about every result of this boat.
    pub flags: String,
    /// Figures that are possible but unusual.
    pub asked: Vec<String>,
}

/// The regions of a file.
#[derive(Debug, Clone, Serialize)]
pub struct RegionsReport {
    /// In the order of the file.
    pub regions: Vec<RegionReport>,
}

/// One region.
#[derive(Debug, Clone, Serialize)]
pub struct RegionReport {
    /// Its name.
    pub name: String,
    /// Its polygons.
    pub polygons: usize,
    /// Its area, square nautical miles.
    pub area_nm2: f64,
    /// What was read into it.
    pub notes: Vec<String>,
}

/// The files a job names.
#[derive(Debug, Clone, Serialize)]
pub struct JobReport {
    /// Each file with whether it is there.
    pub files: Vec<NamedFile>,
    /// Why the job cannot run as it stands.
    pub lacks: Vec<String>,
}

/// A file that a job names; in JSON a list of these.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedFile {
    /// What it serves as.
    pub role: &'static str,
    /// Its path.
    pub file: PathBuf,
    /// Whether it is there.
    pub is_there: bool,
}

impl Serialize for NamedFile {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        (self.role, &self.file, self.is_there).serialize(serializer)
    }
}

/// Reads a file as what its name and first bytes say it is.
///
/// # Errors
/// What the reader of that kind of file finds wrong.
pub fn examine(path: &Path) -> Result<Examination> {
    // a file of that folder, or the folder itself
    let folder = if path.is_dir() { Some(path) } else { path.parent().filter(|_| is_part(path)) };
    if let Some(file) = folder.map(file_in).filter(|file| file.is_file()) {
        return atlas::atlas(&file).map(|report| Examination::Atlas(Box::new(report)));
    }
    if path.is_dir() {
        return other::result(path).map(|report| Examination::Result(Box::new(report)));
    }
    let extension = path.extension().and_then(|e| e.to_str()).unwrap_or_default().to_ascii_lowercase();
    match extension.as_str() {
        "toml" => settings(path),
        "json" | "geojson" | "html" if other::is_part_of_result(path) => {
            let folder = path.parent().unwrap_or(Path::new("."));
            other::result(folder).map(|report| Examination::Result(Box::new(report)))
        }
        "gpx" => other::track(path).map(Examination::Track),
        "parquet" => match other::parquet_of_result(path) {
            Some(report) => Ok(Examination::ResultTable(report)),
            None => other::tally(path).map(Examination::Tally),
        },
        "json" | "geojson" => {
            if let Ok(track) = other::track(path) {
                return Ok(Examination::Track(track));
            }
            let regions = region::read(path)?.iter().map(region_report).collect();
            Ok(Examination::Regions(RegionsReport { regions }))
        }
        "csv" | "tsv" | "txt" => table(path),
        _ if is_atlas(path) => atlas::atlas(path).map(|report| Examination::Atlas(Box::new(report))),
        _ => Ok(Examination::Forecast(Box::new(inspect(path)?))),
    }
}

/// Whether a file begins as an atlas does, whatever it is called.
fn is_atlas(path: &Path) -> bool {
    let mut first = [0; MARK.len()];
    File::open(path).and_then(|mut file| file.read_exact(&mut first)).is_ok() && first == *MARK
}

/// A job or a boat: a boat has a hull.
pub(super) fn settings(path: &Path) -> Result<Examination> {
    let text = text_file::read(path)?;
    let is_boat = text.parse::<toml::Table>().is_ok_and(|table| table.contains_key("hull"));
    if is_boat {
        boat_report(path).map(|report| Examination::Boat(Box::new(report)))
    } else {
        job(path).map(Examination::Job)
    }
}

/// Sections, a sheet of seas or a polar, by the header.
pub(super) fn table(path: &Path) -> Result<Examination> {
    let text = text_file::read(path)?;
    let header =
        text.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or_default();
    if header.contains("x_m") && header.contains("z_m") {
        return Ok(Examination::Sections(hull_report(&Hull::read_offsets(path)?)));
    }
    if ["speed_kn", "wave_angle_deg", "period_s"].iter().all(|name| header.contains(name)) {
        return other::responses(path).map(Examination::Responses);
    }
    if let Some(report) = other::table_of_result(&text) {
        return Ok(Examination::ResultTable(report));
    }
    let names_places = header.to_lowercase().contains("lat") && header.to_lowercase().contains("lon");
    if names_places || position(header).is_ok() {
        return other::track(path).map(Examination::Track);
    }
    if SeaSheet::has_header(header) {
        return Ok(Examination::Seas(SeaSheet::parse(&text).map_err(|error| error.file(path))?));
    }
    let PolarAsRead { polar, notes } = PolarAsRead::read(path)?;
    let asked = notes.into_iter().chain(believable::doubts(&polar)).collect();
    Ok(Examination::Polar(PolarReport { asked, ..polar_report(&polar) }))
}

/// The hull of a boat file or of a file of sections, with what it is called.
///
/// # Errors
/// What the reader of that kind of file finds wrong, or a file of another kind.
pub fn hull_of(path: &Path) -> Result<(String, Hull)> {
    match examine(path)? {
        Examination::Boat(report) => {
            let model = BoatModel::new(report.boat, Method::RadiatedEnergy, None)?;
            Ok((model.boat.name, model.hull))
        }
        Examination::Sections(_) => {
            let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            Ok((name, Hull::read_offsets(path)?))
        }
        _ => Err(Error::new("there is no hull to draw in this file")
            .file(path)
            .expected("a boat file or hull sections")
            .remedy("leave out --drawing, or name a boat file")),
    }
}

pub(super) fn polar_report(polar: &Polar) -> PolarReport {
    let speeds = polar.speeds_kn().iter().copied();
    PolarReport {
        tws_kn: polar.tws_kn().to_vec(),
        twa_deg: polar.twa_deg().to_vec(),
        signed: polar.tacks() == Tacks::Signed,
        asked: Vec::new(),
        speed_kn: [speeds.clone().fold(f64::INFINITY, f64::min), speeds.fold(0.0, f64::max)],
    }
}

pub(super) fn boat_report(path: &Path) -> Result<BoatReport> {
    let model = BoatModel::new(Boat::read(path)?, Method::RadiatedEnergy, None)?;
    let boat = model.boat.clone();
    let wanted = [
        (boat.sails.is_none(), "[sails]: no balance, so no corrected polar; `response` works without"),
        (boat.appendages.is_none(), "[appendages]: no drag of keel, rudders and side force"),
        (boat.deck.is_none(), "[deck]: no water on deck, no wetness rate"),
        (
            model.hull.decked().is_none(),
            "[topsides], or sections up to the deck: her bow ends at the waterline",
        ),
        (boat.foils.is_none(), "[foils]: she does not fly"),
        (boat.windage.is_none(), "[windage]: nothing in the wind but what the polar holds"),
    ];
    let lacks = wanted.iter().filter(|(lacking, _)| *lacking).map(|(_, what)| (*what).to_owned()).collect();
    let asked = boat::believable::doubts(&model);
    Ok(BoatReport { asked, hull: hull_report(&model.hull), flags: flags::names(model.flags), boat, lacks })
}

pub(super) fn hull_report(hull: &Hull) -> HullReport {
    let h = hull.hydrostatics();
    HullReport {
        stations: hull.stations().len(),
        lwl_m: h.lwl_m,
        bwl_m: h.bwl_m,
        draught_m: h.draught_m,
        displacement_kg: h.volume_m3 * crate::base::units::RHO_WATER,
        lcb_m: h.lcb_m,
        lcf_m: h.lcf_m,
        waterplane_area_m2: h.waterplane_area_m2,
        wetted_surface_m2: h.wetted_surface_m2,
        cb: h.cb,
        cp: h.cp,
        cm: h.cm,
        cwp: h.cwp,
        topsides: hull.decked().map(|decked| topsides_report(decked, &h)),
    }
}

fn topsides_report(decked: &Decked, h: &Hydrostatics) -> TopsidesReport {
    let [aft, fore] = decked.ends_m();
    let [head_x_m, head_z_m] = decked.stem_head_m();
    let reserve = decked.reserve_buoyancy(0.75 * h.lwl_m);
    TopsidesReport {
        length_overall_m: fore - aft,
        deck_beam_m: decked.deck_beam_m(),
        bow_freeboard_m: head_z_m,
        bow_flare_deg: decked.flare_rad(FLARE_AT * h.lwl_m).map(f64::to_degrees),
        reserve_buoyancy_m3: reserve.volume_m3,
        reserve_buoyancy_forward_m3: reserve.forward_m3,
        reserve_buoyancy_forward_ratio: reserve.forward_m3 / h.volume_m3,
        bow_under_trim_deg: (head_z_m / (head_x_m - h.lcf_m)).atan().to_degrees(),
    }
}

pub(super) fn region_report(region: &region::Region) -> RegionReport {
    RegionReport {
        name: region.name.clone(),
        polygons: region.polygons.0.len(),
        area_nm2: region.area_m2() / crate::base::units::NAUTICAL_MILE_M.powi(2),
        notes: region.notes.clone(),
    }
}

pub(super) fn job(path: &Path) -> Result<JobReport> {
    let job = JobFile::read(path)?;
    let named = [("boat", &job.boat), ("polar", &job.polar), ("regions", &job.regions)];
    let files = named
        .into_iter()
        .filter_map(|(role, file)| file.clone().map(|file| (role, file)))
        .map(|(role, file)| NamedFile { role, is_there: file.exists(), file })
        .collect();
    let lacks = job.complete().err().map(|error| error.to_string()).into_iter().collect();
    Ok(JobReport { files, lacks })
}
