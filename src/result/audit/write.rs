//! Writes the audit: long CSV, RFC 4180, or Parquet with the numbers of the CSV.

use crate::base::Result;
use crate::files::{Column, HeldTable, Kind, TableFormat};
use crate::result::audit::columns::{AuditColumn, COLUMNS};
use crate::result::audit::part::{AuditPart, PlacedCell};
use crate::result::table::write::TableWriter;
use rayon::prelude::*;

/// The column behind the others in the audit of an ensemble's members.
const MEMBER: Column = ("member", Kind::Count);

/// Parts whose numbers are made text at once, on all processors.
const AT_ONCE: usize = 16;

/// The audit of all parts. Fields without a value are empty: a flat speed of zero has no factor.
///
/// # Errors
/// When the rows cannot be written to memory.
pub fn to_bytes(format: TableFormat, parts: &[AuditPart]) -> Result<Vec<u8>> {
    let mut table = TableWriter::new(format, Vec::new(), &heads())?;
    for parts in parts.chunks(AT_ONCE) {
        let records: Vec<Vec<Vec<String>>> =
            parts.par_iter().map(|part| part.placed().map(|placed| record(&placed)).collect()).collect();
        records.into_iter().flatten().try_for_each(|record| table.write(record))?;
    }
    table.finish()
}

/// The audit of all parts in memory, with the numbers that its files hold.
///
/// # Errors
/// A fault of the program.
pub fn held(parts: &[AuditPart]) -> Result<HeldTable> {
    let mut table = HeldTable::new(&heads());
    parts.iter().flat_map(AuditPart::placed).try_for_each(|placed| table.add(record(&placed)))?;
    Ok(table)
}

/// The audit of the parts of an ensemble's members: the same columns, then `member`.
///
/// # Errors
/// As [`to_bytes`].
pub fn members_to_bytes(parts: &[(u32, AuditPart)]) -> Result<Vec<u8>> {
    let heads = [heads(), vec![MEMBER]].concat();
    let mut table = TableWriter::new(TableFormat::Csv, Vec::new(), &heads)?;
    for (member, part) in parts {
        for placed in part.placed() {
            let mut record = record(&placed);
            record.push(member.to_string());
            table.write(record)?;
        }
    }
    table.finish()
}

fn heads() -> Vec<Column> {
    COLUMNS.iter().map(AuditColumn::head).collect()
}

fn record(placed: &PlacedCell) -> Vec<String> {
    COLUMNS.iter().map(|column| (column.field)(placed)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::balance::STAGES;
    use crate::result::audit::part::samples::{derated_cell, six_hours};
    use crate::result::audit::row::AuditReader;
    use crate::tally::{Bins, Tally};

    /// By hand: half of 10 kn.
    #[test]
    fn what_is_written_is_read() {
        let mut stages = [1.0; STAGES];
        stages[0] = 0.5;
        let (tally, cells) = (Tally::new(Bins::default()), [derated_cell(stages)]);
        let part = AuditPart { region: "a, b", window: six_hours(), tally: &tally, cells: &cells };
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), to_bytes(TableFormat::Csv, &[part]).unwrap()).unwrap();
        let mut reader = AuditReader::open(file.path()).unwrap();
        let row = reader.next_row().unwrap().unwrap();
        assert_eq!((row.region(), row.tack(), row.window), ("a, b", "port", six_hours()));
        assert_eq!((row.tws_kn, row.twa_deg, row.flat_kn, row.corrected_kn), (12.0, 60.0, 10.0, 5.0));
        assert_eq!((row.factor, row.dominant_stage()), (Some(0.5), "added_resistance"));
        assert_eq!(row.flags().collect::<Vec<_>>(), ["thrust-held", "partly-covered"]);
        assert!(reader.next_row().unwrap().is_none());
    }

    #[test]
    fn a_member_stands_behind_the_other_columns() {
        let (tally, cells) = (Tally::new(Bins::default()), [derated_cell([1.0; STAGES])]);
        let part = AuditPart { region: "a", window: six_hours(), tally: &tally, cells: &cells };
        let text = String::from_utf8(members_to_bytes(&[(7, part)]).unwrap()).unwrap();
        let lines: Vec<&str> = text.split("\r\n").collect();
        assert!(lines[0].ends_with(",member") && lines[1].ends_with(",7"), "{text}");
    }
}
