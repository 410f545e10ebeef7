//! Whether a result gets a cell audit, and its making.

use crate::base::Result;
use crate::derate::Performance;
use crate::files::TableFormat;
use crate::forecast::Forecast;
use crate::job::CellAudit;
use crate::result::OutputFolder;
use crate::result::cells::CellsWriter;
use crate::result::names;
use crate::survey::AuditedRegion;
use crate::survey::cells::audit_cells;
use crate::tally::{RegionTallies, TallySet};

/// The most rows that are written unasked: on the demo a cell takes 0.8 ms of one processor in the release build.
const UNASKED_ROWS: u64 = 20_000;

/// What became of the cell audit.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Audited {
    /// The formats it was written in.
    pub formats: Vec<TableFormat>,
    /// Rows written.
    pub rows: u64,
    /// Why it was not written, where nobody said that it should not be.
    pub left_out: Option<String>,
}

/// Writes the cell audit that a job asks for, or that is small enough to come unasked, of the regions and windows that a
/// set has.
///
/// # Errors
/// Fields that cannot be read; what the operating system reports; an error of `progress`.
pub(super) fn write<'s>(
    choice: &CellAudit,
    output: &OutputFolder,
    performance: &Performance,
    forecast: Option<&Forecast>,
    set: &'s TallySet,
    progress: &dyn Fn(usize, usize) -> Result<()>,
) -> Result<Audited> {
    let cells: u64 = set.parts().map(|(.., part)| part.tally.count()).sum();
    let left_out = |why: String| Audited { left_out: Some(why), ..Audited::default() };
    let Some(forecast) = forecast else {
        return Ok(left_out("no cell audit: a tally holds no single cells".into()));
    };
    let formats = match choice {
        CellAudit::IfSmall if cells > UNASKED_ROWS => {
            return Ok(left_out(format!(
                "no cell audit: it would have up to {cells} rows, and over {UNASKED_ROWS} it is written only where the job \
                 asks for it with cell_audit = \"csv\" or \"parquet\""
            )));
        }
        CellAudit::IfSmall => vec![TableFormat::Csv],
        CellAudit::Formats(formats) => formats.clone(),
    };
    if formats.is_empty() {
        return Ok(Audited::default());
    }
    let ensemble = !set.origin().members.is_empty();
    let begun = |format: &TableFormat| {
        CellsWriter::new(*format, output.create_file(names::cells(*format))?, ensemble)
    };
    let mut tables = formats.iter().map(begun).collect::<Result<Vec<_>>>()?;
    let audited = |part: &'s RegionTallies| AuditedRegion {
        region: &part.region,
        windows: part.windows.keys().copied().collect(),
    };
    let regions: Vec<AuditedRegion> = set.regions.iter().map(audited).collect();
    let all = forecast.steps().len();
    let mut told = None;
    audit_cells(performance, forecast, &regions, &mut |step, rows| {
        if told.replace(step) != Some(step) {
            progress(step, all)?;
        }
        rows.iter().try_for_each(|row| tables.iter_mut().try_for_each(|table| table.write(row)))
    })?;
    let mut rows = 0;
    for table in tables {
        rows = table.finish()?;
    }
    Ok(Audited { formats, rows, left_out: None })
}
