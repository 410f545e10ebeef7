//! `report`: the page of a result, made again from its files.

use crate::cli::outcome::Outcome;
use crate::cli::print::{but_written, print};
use clap::Args;
use roughwater::base::Result;
use roughwater::files::{relative, shortest, whole_file};
use roughwater::report::{Around, AtlasOfPage, Sailed, to_bytes};
use roughwater::result::gpx;
use roughwater::result::names::REPORT;
use std::path::{Path, PathBuf};

/// Make the report page of a result folder again, from the files in it
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Options {
    /// Folder that derate wrote
    result: PathBuf,
    /// File to write [default: report.html in the folder]
    #[arg(long, short)]
    output: Option<PathBuf>,
    /// Draw this passage on the map: a GPX file that passage wrote with --gpx
    #[arg(long, value_name = "GPX")]
    passage: Option<PathBuf>,
    /// Let the page compute her polar in any sea, by sliders: a folder that atlas wrote of the same boat. A page that would
    /// exceed 3 MB is left as it is, and one with the atlas written beside it, NAME-what-if.html
    #[arg(long, value_name = "FOLDER")]
    atlas: Option<PathBuf>,
}

/// The size from which on the atlas goes into a page of its own, bytes.
const MOST_WITH_ATLAS: usize = 3_000_000;

const EXAMPLES: &str = "Examples:\n  \
roughwater report out/south-pacific\n  \
roughwater report out/south-pacific --passage timed.gpx --output passage.html\n  \
roughwater report out/south-pacific --atlas out/atlas\n\n\
The page is one file that opens offline. A planning aid: the skipper, official forecasts and the rules decide.";

/// Runs the command.
pub(super) fn run(options: &Options) -> Result<Outcome> {
    let sailed = options.passage.as_deref().map(sailed).transpose()?;
    let output = options.output.clone().unwrap_or_else(|| options.result.join(REPORT));
    let folder = output.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let way = relative(&options.result, folder);
    let atlas =
        options.atlas.as_deref().map(|folder| AtlasOfPage::read(folder, &options.result)).transpose()?;
    let around = Around { way: &way, sailed: sailed.as_ref(), atlas: atlas.as_ref(), what_if: None };
    let page = to_bytes(&options.result, &around)?;
    if atlas.is_none() || page.len() <= MOST_WITH_ATLAS {
        return write(&output, &page);
    }
    let beside = beside(&output);
    let name = beside.file_name().unwrap_or_default().to_string_lossy();
    let around = Around { atlas: None, what_if: Some(&name), ..around };
    let light = to_bytes(&options.result, &around)?;
    write(&beside, &page)?;
    write(&output, &light)
}

/// The page beside another one that holds the atlas.
fn beside(output: &Path) -> PathBuf {
    let stem = output.file_stem().unwrap_or_default().to_string_lossy();
    output.with_file_name(format!("{stem}-what-if.html"))
}

fn write(output: &Path, page: &[u8]) -> Result<Outcome> {
    whole_file::write("the report", output, page)?;
    print(&format!(
        "{}: {} kB, opens in a browser without a network\n",
        shortest(output).display(),
        page.len() / 1000
    ))
    .map_err(|error| but_written(error, "the page", output))?;
    Ok(Outcome::Whole)
}

fn sailed(path: &Path) -> Result<Sailed> {
    Ok(Sailed { file: path.display().to_string(), tracks: gpx::read(path)? })
}
