//! Every key of a job file: unit, meaning, what stands in where it is not said, and the option that stands in for it.

use crate::files::keys::{Key, KeyList, KeyTable, Need};

/// The keys of a job file.
pub const JOB_KEYS: KeyList = KeyList { file: "job", tables: &TABLES, keys: &KEYS };

const TABLES: [KeyTable; 5] = [
    table("", "the inputs, the regions and windows, and where the result goes"),
    table("tiles", "regions as tiles of one size over the forecast's extent"),
    table("corridor", "regions as legs of a corridor along a track"),
    table("polar_csv", "how corrected polars are written"),
    table("model", "choices of the model"),
];

const fn table(name: &'static str, meaning: &'static str) -> KeyTable {
    KeyTable { name, meaning, is_needed: false }
}

/// A key that a table needs, or one of which a default tells what holds without it.
const fn key(
    table: &'static str,
    name: &'static str,
    option: &'static str,
    usual: &'static str,
    meaning: &'static str,
    default: &'static str,
) -> Key {
    let need = if default.is_empty() { Need::Always } else { Need::No(default) };
    Key { table, name, unit: "", meaning, usual, need, older: "", option }
}

/// What stands in for a key that a job needs, but not its file.
const BY_OPTION: &str = "its option must say it";

const KEYS: [Key; 34] = [
    key("", "boat", "--boat", "\"boat.toml\"", "the boat file", BY_OPTION),
    key("", "polar", "--polar", "\"polar.csv\"", "the flat-water polar", BY_OPTION),
    key(
        "",
        "forecast",
        "--forecast",
        "\"*.grib2\", or a list",
        "forecast files, folders of them, or patterns with * and ?",
        BY_OPTION,
    ),
    key(
        "",
        "regions",
        "--regions",
        "\"regions.geojson\"",
        "GeoJSON file of the polygons that polars are made for",
        "box, tiles or corridor says where",
    ),
    key(
        "",
        "box",
        "--box",
        "[40, -20, 50, -5], or a list of such",
        "boxes of sea in place of a regions file: south, west, north, east, in degrees",
        "no box",
    ),
    Key {
        unit: "knots",
        ..key(
            "",
            "split_error_kn",
            "--split-error-kn",
            "0.05 to 0.5",
            "how far from the joint polar a tile and window may lie",
            "0.2 with split = \"auto\"",
        )
    },
    key(
        "",
        "split",
        "--split",
        "\"given\" or \"auto\"",
        "whether neighbouring tiles and hours are joined where one polar serves them",
        "\"given\"",
    ),
    key(
        "",
        "tally",
        "--tally",
        "\"seas.parquet\"",
        "a tally in place of forecast, regions and window",
        "the forecast is tallied",
    ),
    key("", "window", "--window", "\"6h\", \"1d\" or \"all\"", "length of the time windows", "\"6h\""),
    key(
        "",
        "window_alignment",
        "--window-alignment",
        "\"midnight\" or \"first-step\"",
        "where windows begin",
        "\"midnight\"",
    ),
    key(
        "",
        "members",
        "--members",
        "\"together\" or \"each\"",
        "whether the members of an ensemble get polars of their own besides",
        "\"together\"",
    ),
    key(
        "",
        "match_wind",
        "--match-wind",
        "true",
        "whether each wind column sees only the seas that come with winds like its own",
        "true",
    ),
    key(
        "",
        "audit_format",
        "--audit-format",
        "\"csv\" or \"parquet\"",
        "in which formats the audit is written; CSV is always there",
        "\"csv\"",
    ),
    key(
        "",
        "cell_audit",
        "--cell-audit",
        "\"csv\", \"parquet\" or \"none\", or a list",
        "how each forecast cell is accounted for",
        "\"csv\" up to 20000 rows",
    ),
    key(
        "",
        "atlas",
        "--atlas",
        "\"out/atlas\"",
        "folder of an atlas of this boat and polar, which answers for the seas it holds: sooner done, less exact",
        "every sea is solved",
    ),
    key("", "output", "--output", "\"out\"", "folder of the result", BY_OPTION),
    key(
        "",
        "tacks",
        "--tacks",
        "\"mean\", \"slower\", \"starboard\", \"port\" or \"signed\"",
        "which tacks the corrected polars hold",
        "\"mean\"",
    ),
    Key { unit: "degrees", ..key("tiles", "lat_deg", "--tiles", "1 to 10", "height of a tile", "") },
    Key {
        unit: "degrees",
        ..key("tiles", "lon_deg", "--tiles", "1 to 20; it divides 360", "width of a tile", "")
    },
    key(
        "corridor",
        "track",
        "--corridor",
        "\"track.gpx\"",
        "the track: GPX, GeoJSON line, CSV, or waypoints typed one after the other with ; between",
        "",
    ),
    Key {
        unit: "nautical miles",
        older: "half_width_nm",
        ..key("corridor", "half_width_nmi", "--half-width-nmi", "30 to 120", "half the corridor's width", "")
    },
    Key {
        unit: "nautical miles",
        older: "leg_nm",
        ..key("corridor", "leg_nmi", "--leg-nmi", "100 to 600", "longest leg; each leg is a region", "")
    },
    key(
        "polar_csv",
        "delimiter",
        "--delimiter",
        "\"comma\", \"semicolon\" or \"tab\"",
        "what stands between fields",
        "\"comma\"",
    ),
    key(
        "polar_csv",
        "decimal",
        "--decimal",
        "\"point\" or \"comma\"",
        "the decimal mark; a comma needs another delimiter",
        "\"point\"",
    ),
    key("polar_csv", "corner", "--corner", "\"twa_deg\"", "the text in the table's corner", "\"twa_deg\""),
    key(
        "polar_csv",
        "layout",
        "--layout",
        "\"matrix\" or \"long\"",
        "a table of TWS by TWA, or a row for each cell",
        "\"matrix\"",
    ),
    key("polar_csv", "line_end", "--line-end", "\"crlf\" or \"lf\"", "what ends a line", "\"crlf\""),
    key(
        "polar_csv",
        "smoothing",
        "--smoothing",
        "\"none\" or \"binomial\"",
        "whether factors are averaged with their neighbours",
        "\"none\"",
    ),
    key(
        "model",
        "added_resistance",
        "--added-resistance",
        "\"radiated-energy\", \"snnm\" or \"table\"",
        "method of added resistance in waves",
        "\"radiated-energy\"",
    ),
    key(
        "model",
        "own_responses",
        "--own-responses",
        "\"responses.csv\"",
        "your own responses from a tank or another code, in place of the built-in ones",
        "the built-in responses",
    ),
    key(
        "model",
        "without_foil",
        "--without-foil",
        "\"port\", \"starboard\", or a list",
        "foils that she sails without",
        "both as the boat file has them",
    ),
    key(
        "model",
        "surge",
        "--surge",
        "\"on\" or \"off\"",
        "whether the swing of her speed in the waves, and surfing with it, is counted",
        "\"on\"",
    ),
    key(
        "model",
        "surfing_gains",
        "--surfing-gains",
        "\"on\" or \"off\"",
        "whether surfing may make her faster than mean forces let her",
        "\"on\"",
    ),
    key(
        "model",
        "body",
        "--body",
        "\"linear\" or \"exact\"",
        "exact: what large waves change of the mean forces comes from simulating all of her hull up to the deck; some minutes a boat, once",
        "\"linear\"",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::file::JobFile;
    use std::collections::BTreeSet;

    /// The keys that the reader itself knows in a table: it names them when it meets one that it does not know.
    fn read_in(table: &str) -> BTreeSet<String> {
        let head = if table.is_empty() { String::new() } else { format!("[{table}]\n") };
        let error = toml::from_str::<JobFile>(&format!("{head}zz = true\n")).unwrap_err();
        error.message().split('`').skip(3).step_by(2).map(str::to_owned).collect()
    }

    #[test]
    fn the_list_is_what_the_reader_knows() {
        for table in JOB_KEYS.tables {
            let mut listed: BTreeSet<String> =
                JOB_KEYS.of(table.name).map(|key| key.name.to_owned()).collect();
            listed.extend(
                JOB_KEYS.of(table.name).filter(|key| !key.older.is_empty()).map(|key| key.older.to_owned()),
            );
            if table.name.is_empty() {
                listed.extend(JOB_KEYS.tables.iter().skip(1).map(|inner| inner.name.to_owned()));
            }
            assert_eq!(read_in(table.name), listed, "[{}]", table.name);
        }
    }
}
