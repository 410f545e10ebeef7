//! The folder of an atlas: a polar a sea, an index of them, one long table, and the file that `lookup` reads.

use crate::atlas::build::Made;
use crate::atlas::contents::{Atlas, MetSea};
use crate::atlas::error_table::ErrorRow;
use crate::atlas::file;
use crate::atlas::page;
use crate::atlas::seas::{Raised, TabledSea, seas};
use crate::balance::STAGE_NAMES;
use crate::base::flags::names;
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::files::{Column, HeldTable, Kind, TableFormat};
use crate::hydro::wind_frame::WaveSystem;
use crate::polar::{CsvOptions, Polar, TackChoice, csv_write};
use crate::result::audit::{self, AuditColumn};
use crate::result::table::TableWriter;
use crate::result::table::column::fixed;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// The file that `lookup` reads.
const ATLAS: &str = "atlas.bin";
const INDEX_CSV: &str = "index.csv";
const INDEX_JSON: &str = "index.json";
const PAGE: &str = "atlas.html";
const TABLE_CSV: &str = "atlas.csv";
const TABLE_PARQUET: &str = "atlas.parquet";
const POLARS: &str = "polars";

/// What a folder that an atlas may replace holds.
pub const NAMES: [&str; 7] = [ATLAS, INDEX_CSV, INDEX_JSON, PAGE, TABLE_CSV, TABLE_PARQUET, POLARS];

/// Columns of the index.
const INDEX_COLUMNS: [&str; 7] = ["sea", "hs_m", "tp_s", "off_wind_deg", "fetch_nm", "duration_h", "file"];

/// What was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Polars.
    pub polars: usize,
    /// Rows of the long table.
    pub rows: u64,
    /// Bytes of all files.
    pub bytes: u64,
}

/// A sea of the index.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct IndexedSea {
    /// Its name, in the table too.
    sea: String,
    /// None for a sea that the wind raises, which is another in each column of the polar.
    hs_m: Option<f64>,
    tp_s: Option<f64>,
    off_wind_deg: f64,
    fetch_nm: Option<f64>,
    duration_h: Option<f64>,
    file: String,
}

#[derive(Serialize)]
struct IndexJson<'a> {
    boat: &'a str,
    digest: &'a str,
    fineness: &'a str,
    sailed_s: f64,
    tacks: TackChoice,
    /// Of all grids that were tried.
    errors: Vec<&'a ErrorRow>,
    seas: Vec<IndexedSea>,
}

/// Reads the atlas of a folder.
///
/// # Errors
/// A folder without one.
pub fn read(folder: &Path) -> Result<Atlas> {
    file::read(&file_in(folder))
}

/// The file of a folder that an atlas is read from.
pub fn file_in(folder: &Path) -> PathBuf {
    folder.join(ATLAS)
}

/// Whether a file is a part of an atlas's folder that `atlas.bin` tells more of.
pub fn is_part(path: &Path) -> bool {
    path.file_name().is_some_and(|name| [INDEX_JSON, PAGE, ATLAS].iter().any(|part| name == *part))
        && path.parent().is_some_and(|folder| folder.join(ATLAS).is_file())
}

/// Writes an atlas into a folder, whole or not at all; an earlier atlas there is replaced.
///
/// # Errors
/// A folder that holds something else; what the operating system reports.
pub fn write(
    made: &Made,
    folder: &Path,
    options: &CsvOptions,
    table: Option<TableFormat>,
) -> Result<Written> {
    let atlas = &made.atlas;
    check_replaceable(folder)?;
    let failed = |error: std::io::Error| Error::io("write the atlas", folder, &error);
    let parent = folder.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::create_dir_all(parent).map_err(failed)?;
    let home = tempfile::Builder::new().prefix(".roughwater-").tempdir_in(parent).map_err(failed)?;
    let new = home.path().join("atlas");
    std::fs::create_dir_all(new.join(POLARS)).map_err(failed)?;
    let mut bytes = 0;
    let mut put = |name: &str, contents: &[u8]| {
        bytes += contents.len() as u64;
        std::fs::write(new.join(name), contents).map_err(failed)
    };
    let seas = seas(atlas);
    for sea in &seas {
        let polar = signed_polar(atlas, &atlas.speeds_kn(|tws_kn| sea.systems(tws_kn))?)?;
        put(&file_of(sea), &csv_write::to_bytes(&polar, options)?)?;
    }
    let index = IndexJson {
        boat: &atlas.boat,
        digest: &atlas.digest,
        fineness: &atlas.fineness,
        sailed_s: atlas.sailed_s,
        tacks: TackChoice::Signed,
        errors: made.tried.iter().flat_map(|tried| &tried.rows).collect(),
        seas: seas.iter().map(indexed).collect(),
    };
    let json = serde_json::to_vec_pretty(&index);
    put(INDEX_JSON, &json.map_err(|error| Error::new(format!("cannot write the index: {error}")))?)?;
    put(INDEX_CSV, &index_csv(&index.seas)?)?;
    put(PAGE, page::to_html(atlas)?.as_bytes())?;
    let mut rows = 0;
    if let Some(format) = table {
        let name = if format == TableFormat::Csv { TABLE_CSV } else { TABLE_PARQUET };
        let (written, contents) = long_table(atlas, &seas, format)?;
        rows = written;
        put(name, &contents)?;
    }
    put(ATLAS, &file::to_bytes(atlas)?)?;
    put_in_place(&new, folder, home.path()).map_err(failed)?;
    Ok(Written { polars: seas.len(), rows, bytes })
}

/// Moves the new folder to its name, and an earlier one away.
fn put_in_place(new: &Path, folder: &Path, home: &Path) -> std::io::Result<()> {
    crate::files::on_disk::flush_tree(new)?;
    if !folder.exists() {
        return std::fs::rename(new, folder);
    }
    if crate::files::on_disk::exchange(new, folder)? {
        return Ok(());
    }
    std::fs::rename(folder, home.join("earlier"))?;
    std::fs::rename(new, folder)
}

fn check_replaceable(folder: &Path) -> Result<()> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Ok(()) };
    for entry in entries.flatten() {
        let name = entry.file_name();
        if !NAMES.iter().any(|own| name == *own) {
            return Err(Error::new("the folder holds something that is no atlas's")
                .file(folder)
                .found(name.display())
                .remedy("name another folder, or move that file away"));
        }
    }
    Ok(())
}

fn file_of(sea: &TabledSea) -> String {
    format!("{POLARS}/{}.csv", sea.name())
}

fn indexed(sea: &TabledSea) -> IndexedSea {
    let swell = match sea {
        TabledSea::Swell(system) => Some(system),
        TabledSea::Raised(_) => None,
    };
    IndexedSea {
        sea: sea.name(),
        hs_m: swell.map(|system| system.hs2_m2.sqrt()),
        tp_s: swell.map(|system| system.tp_s),
        off_wind_deg: swell.map_or(0.0, |system| system.off_wind_deg),
        fetch_nm: if let TabledSea::Raised(Raised::FetchNm(nm)) = sea { Some(*nm) } else { None },
        duration_h: if let TabledSea::Raised(Raised::DurationH(hours)) = sea { Some(*hours) } else { None },
        file: file_of(sea),
    }
}

/// A polar of both tacks, starboard tack positive, from one speed a heading and wind.
pub(super) fn signed_polar(atlas: &Atlas, speeds_kn: &[f64]) -> Result<Polar> {
    let columns = atlas.flat.tws_kn().len();
    let mut rows: Vec<(f64, &[f64])> = Vec::new();
    for (heading, (tack, twa_deg)) in atlas.headings.iter().enumerate() {
        // head to wind stands once
        if *tack == Tack::Starboard || *twa_deg > 0.0 {
            rows.push((tack.signed(*twa_deg), &speeds_kn[heading * columns..(heading + 1) * columns]));
        }
    }
    rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    let twa_deg = rows.iter().map(|row| row.0).collect();
    Polar::new(atlas.flat.tws_kn().to_vec(), twa_deg, rows.iter().flat_map(|row| row.1.to_vec()).collect())
}

fn index_csv(seas: &[IndexedSea]) -> Result<Vec<u8>> {
    let failed = |error: csv::Error| Error::new(format!("cannot write the index: {error}"));
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(INDEX_COLUMNS).map_err(failed)?;
    let number = |value: Option<f64>| value.map(|value| format!("{value}")).unwrap_or_default();
    for sea in seas {
        let fields = [
            sea.sea.clone(),
            number(sea.hs_m),
            number(sea.tp_s),
            format!("{}", sea.off_wind_deg + 0.0),
            number(sea.fetch_nm),
            number(sea.duration_h),
            sea.file.clone(),
        ];
        writer.write_record(fields).map_err(failed)?;
    }
    writer.into_inner().map_err(|error| failed(error.into_error().into()))
}

/// Columns of the long table before and after the stages.
const BEFORE: [Column; 9] = [
    ("sea", Kind::Text),
    ("hs_m", Kind::Real),
    ("tp_s", Kind::Real),
    ("off_wind_deg", Kind::Real),
    ("tack", Kind::Text),
    ("tws_kn", Kind::Real),
    ("twa_deg", Kind::Real),
    ("flat_kn", Kind::Real),
    ("factor", Kind::Real),
];
const AFTER: [Column; 8] = [
    ("speed_sd_kn", Kind::Real),
    ("riding_share", Kind::Real),
    ("stopped_share", Kind::Real),
    ("factor_band_slow", Kind::Real),
    ("factor_band_fast", Kind::Real),
    ("factor_standard_error", Kind::Real),
    ("deck_water_kg", Kind::Real),
    ("flags", Kind::Text),
];

/// The columns of the long table.
fn columns() -> Vec<Column> {
    // those of the audit, in the stages' own order
    let stages = STAGE_NAMES.iter().filter_map(|name| {
        let is_its = |column: &&AuditColumn| column.name.strip_prefix("stage_") == Some(name);
        audit::COLUMNS.iter().find(is_its).map(AuditColumn::head)
    });
    BEFORE.into_iter().chain(stages).chain(AFTER).collect()
}

/// The long table in memory, with the numbers of its file.
///
/// # Errors
/// None but faults of the program.
pub fn table(atlas: &Atlas) -> Result<HeldTable> {
    let mut held = HeldTable::new(&columns());
    each_record(atlas, &seas(atlas), &mut |record| held.add(record))?;
    Ok(held)
}

fn long_table(atlas: &Atlas, seas: &[TabledSea], format: TableFormat) -> Result<(u64, Vec<u8>)> {
    let mut writer = TableWriter::new(format, Vec::new(), &columns())?;
    each_record(atlas, seas, &mut |record| writer.write(record))?;
    let rows = writer.rows();
    Ok((rows, writer.finish()?))
}

/// A row for each cell with a flat speed in each sea of the index.
fn each_record(
    atlas: &Atlas,
    seas: &[TabledSea],
    put: &mut dyn FnMut(Vec<String>) -> Result<()>,
) -> Result<()> {
    for sea in seas {
        for (column, tws_kn) in atlas.flat.tws_kn().iter().enumerate() {
            let systems = sea.systems(*tws_kn);
            let placed = atlas.within(&systems)?;
            for heading in 0..atlas.headings.len() {
                let met = atlas.met(&placed, heading);
                if atlas.flat_kn(heading, column) > 0.0 {
                    put(record(atlas, (&sea.name(), &systems), &met, heading, column))?;
                }
            }
        }
    }
    Ok(())
}

fn record(
    atlas: &Atlas,
    (name, systems): (&str, &[WaveSystem]),
    met: &MetSea,
    heading: usize,
    column: usize,
) -> Vec<String> {
    let cell = atlas.cell(met, heading, column);
    let (tack, twa_deg) = atlas.headings[heading];
    let of_sea =
        |of: fn(&WaveSystem) -> f64, decimals: usize| fixed(systems.first().map_or(0.0, of), decimals);
    let mut record = vec![
        name.to_owned(),
        of_sea(|system| system.hs2_m2.sqrt(), 2),
        of_sea(|system| system.tp_s, 2),
        of_sea(|system| system.off_wind_deg, 0),
        tack.name().to_owned(),
        format!("{}", atlas.flat.tws_kn()[column]),
        format!("{twa_deg}"),
        fixed(atlas.flat_kn(heading, column), 2),
        fixed(cell.factor, 4),
    ];
    record.extend(cell.stages.map(|stage| fixed(stage, 4)));
    record.extend([
        fixed(cell.speed_sd_kn, 2),
        fixed(cell.riding_share, 3),
        fixed(if cell.factor > 0.0 { 0.0 } else { 1.0 }, 2),
        fixed(cell.band[0], 4),
        fixed(cell.band[1], 4),
        fixed(cell.standard_error, 4),
        fixed(cell.deck_water_kg, 0),
        names(cell.flags),
    ]);
    record
}
