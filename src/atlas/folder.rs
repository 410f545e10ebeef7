//! The folder of an atlas: a polar a sea, an index of them, one long table, and the file that `lookup` reads.

use crate::atlas::axes::FETCHES_NM;
use crate::atlas::build::Made;
use crate::atlas::contents::Atlas;
use crate::atlas::error_table::ErrorRow;
use crate::atlas::file;
use crate::atlas::quantity::{
    BAND, DECK_WATER_KG, FACTOR, RIDING_SHARE, SPEED_SD_KN, STAGE, STANDARD_ERROR, flags,
};
use crate::atlas::table::{Node, SystemTable};
use crate::balance::STAGE_NAMES;
use crate::base::flags::names;
use crate::base::{Error, Result};
use crate::derate::Tack;
use crate::files::{Column, Kind, TableFormat};
use crate::hydro::wind_frame::WaveSystem;
use crate::polar::{CsvOptions, Polar, TackChoice, csv_write};
use crate::result::table::TableWriter;
use crate::result::table::column::fixed;
use crate::sea::PartitionKind;
use serde::Serialize;
use std::path::Path;

/// The file that `lookup` reads.
const ATLAS: &str = "atlas.bin";
const INDEX_CSV: &str = "index.csv";
const INDEX_JSON: &str = "index.json";
const TABLE_CSV: &str = "atlas.csv";
const TABLE_PARQUET: &str = "atlas.parquet";
const POLARS: &str = "polars";

/// What a folder that an atlas may replace holds.
pub const NAMES: [&str; 6] = [ATLAS, INDEX_CSV, INDEX_JSON, TABLE_CSV, TABLE_PARQUET, POLARS];

/// Columns of the index.
const INDEX_COLUMNS: [&str; 6] = ["kind", "hs_m", "tp_s", "off_wind_deg", "fetch_nm", "file"];

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
    kind: &'static str,
    /// None for a sea of the growth curve, which has another in each column of the polar.
    hs_m: Option<f64>,
    tp_s: Option<f64>,
    off_wind_deg: f64,
    fetch_nm: Option<f64>,
    file: String,
}

#[derive(Serialize)]
struct IndexJson<'a> {
    boat: &'a str,
    digest: &'a str,
    fineness: &'a str,
    sailed_s: f64,
    tacks: TackChoice,
    errors: &'a [ErrorRow],
    seas: &'a [IndexedSea],
}

/// Reads the atlas of a folder.
///
/// # Errors
/// A folder without one.
pub fn read(folder: &Path) -> Result<Atlas> {
    file::read(&folder.join(ATLAS))
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
    let seas = write_polars(made, options, &mut put)?;
    let index = IndexJson {
        boat: &atlas.boat,
        digest: &atlas.digest,
        fineness: &atlas.fineness,
        sailed_s: atlas.sailed_s,
        tacks: TackChoice::Signed,
        errors: &made.tried,
        seas: &seas,
    };
    let json = serde_json::to_vec_pretty(&index);
    put(INDEX_JSON, &json.map_err(|error| Error::new(format!("cannot write the index: {error}")))?)?;
    put(INDEX_CSV, &index_csv(&seas)?)?;
    let mut rows = 0;
    if let Some(format) = table {
        let name = if format == TableFormat::Csv { TABLE_CSV } else { TABLE_PARQUET };
        let (written, contents) = long_table(atlas, format)?;
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

/// Polars of all seas, on both sides of the wind, and of the growth curve.
fn write_polars(
    made: &Made,
    options: &CsvOptions,
    put: &mut impl FnMut(&str, &[u8]) -> Result<()>,
) -> Result<Vec<IndexedSea>> {
    let atlas = &made.atlas;
    let mut seas = Vec::new();
    for (fetch_nm, speeds) in FETCHES_NM.into_iter().zip(&made.fetches_kn) {
        let file = format!("{POLARS}/fetch-{fetch_nm}nm.csv");
        put(&file, &csv_write::to_bytes(&signed_polar(atlas, speeds)?, options)?)?;
        seas.push(IndexedSea {
            kind: PartitionKind::WindSea.name(),
            hs_m: None,
            tp_s: None,
            off_wind_deg: 0.0,
            fetch_nm: Some(fetch_nm),
            file,
        });
    }
    for table in &atlas.tables {
        for node in table.nodes() {
            let system = table.system(node);
            let opposite = !atlas.both_sides && system.off_wind_deg > 0.0 && system.off_wind_deg < 180.0;
            let sides = [system.off_wind_deg, -system.off_wind_deg];
            for off_wind_deg in sides.into_iter().take(if opposite { 2 } else { 1 }) {
                let system = WaveSystem { off_wind_deg, ..system };
                let file = format!("{POLARS}/{}.csv", sea_name(&system));
                let speeds = atlas.speeds_kn(|_| vec![system])?;
                put(&file, &csv_write::to_bytes(&signed_polar(atlas, &speeds)?, options)?)?;
                seas.push(IndexedSea {
                    kind: system.kind.name(),
                    hs_m: Some(system.hs2_m2.sqrt()),
                    tp_s: Some(system.tp_s),
                    off_wind_deg,
                    fetch_nm: None,
                    file,
                });
            }
        }
    }
    Ok(seas)
}

/// `swell-2m-8.5s-60r`: from so many degrees to the right of the wind's direction, as one looks into it, or to the left.
fn sea_name(system: &WaveSystem) -> String {
    let deg = system.off_wind_deg;
    let side = if deg == 0.0 || deg.abs() == 180.0 {
        ""
    } else if deg > 0.0 {
        "r"
    } else {
        "l"
    };
    let hs_m = (system.hs2_m2.sqrt() * 100.0).round() / 100.0;
    format!("{}-{hs_m}m-{}s-{}{side}", system.kind.name(), system.tp_s, deg.abs())
}

/// A polar of both tacks, starboard tack positive, from one speed a heading and wind.
pub fn signed_polar(atlas: &Atlas, speeds_kn: &[f64]) -> Result<Polar> {
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
            sea.kind.to_owned(),
            number(sea.hs_m),
            number(sea.tp_s),
            format!("{}", sea.off_wind_deg + 0.0),
            number(sea.fetch_nm),
            sea.file.clone(),
        ];
        writer.write_record(fields).map_err(failed)?;
    }
    writer.into_inner().map_err(|error| failed(error.into_error().into()))
}

/// Columns of the long table before and after the stages.
const BEFORE: [Column; 9] = [
    ("kind", Kind::Text),
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

/// A row for each cell in each sea that was computed: on one side of the wind alone where the other is the mirror image.
fn long_table(atlas: &Atlas, format: TableFormat) -> Result<(u64, Vec<u8>)> {
    let stages: Vec<String> = STAGE_NAMES.iter().map(|name| format!("stage_{name}")).collect();
    // columns live as long as the program: names of stages are made once a run
    let stages: Vec<Column> =
        stages.into_iter().map(|name| (&*Box::leak(name.into_boxed_str()), Kind::Real)).collect();
    let columns: Vec<Column> = BEFORE.into_iter().chain(stages).chain(AFTER).collect();
    let mut writer = TableWriter::new(format, Vec::new(), &columns)?;
    for table in &atlas.tables {
        for node in table.nodes() {
            write_node(atlas, table, node, &mut writer)?;
        }
    }
    let rows = writer.rows();
    Ok((rows, writer.finish()?))
}

fn write_node(
    atlas: &Atlas,
    table: &SystemTable,
    node: Node,
    writer: &mut TableWriter<Vec<u8>>,
) -> Result<()> {
    let system = table.system(node);
    for (heading, (tack, twa_deg)) in atlas.headings.iter().enumerate() {
        for (column, tws_kn) in atlas.flat.tws_kn().iter().enumerate() {
            let flat_kn = atlas.flat_kn(heading, column);
            if flat_kn <= 0.0 {
                continue;
            }
            let kept = table.get(node, atlas.cell_number(heading, column));
            let real = |quantity: usize, decimals: usize| fixed(f64::from(kept[quantity]), decimals);
            let mut record = vec![
                system.kind.name().to_owned(),
                fixed(system.hs2_m2.sqrt(), 2),
                format!("{}", system.tp_s),
                format!("{}", system.off_wind_deg),
                tack.name().to_owned(),
                format!("{tws_kn}"),
                format!("{twa_deg}"),
                fixed(flat_kn, 2),
                real(FACTOR, 4),
            ];
            record.extend((0..STAGE_NAMES.len()).map(|stage| real(STAGE + stage, 4)));
            let stopped = if kept[FACTOR] > 0.0 { 0.0 } else { 1.0 };
            record.extend([
                real(SPEED_SD_KN, 2),
                real(RIDING_SHARE, 3),
                fixed(stopped, 2),
                real(BAND[0], 4),
                real(BAND[1], 4),
                real(STANDARD_ERROR, 4),
                real(DECK_WATER_KG, 0),
                names(flags(kept)),
            ]);
            writer.write(record)?;
        }
    }
    Ok(())
}
