//! Choices of a job that contradict each other or make no sense. Errors do not yet name the job file.

use crate::base::{Error, Result};
use crate::forecast::MemberChoice;
use crate::job::choices::{CellAudit, Split};
use crate::job::file::JobFile;
use std::path::Path;

/// Common practice, no source: what a helmsman loses in a few minutes out of trim.
const DEFAULT_SPLIT_ERROR_KN: f64 = 0.2;

/// How far from its polar a region and window may lie that is joined to others, kn; none joins nothing.
pub(super) fn split_error_kn(job: &JobFile) -> Result<Option<f64>> {
    match (job.split, job.split_error_kn) {
        (Split::Given, None) => Ok(None),
        (Split::Auto, None) => Ok(Some(DEFAULT_SPLIT_ERROR_KN)),
        (Split::Auto, Some(error_kn)) if error_kn > 0.0 && error_kn.is_finite() => Ok(Some(error_kn)),
        (Split::Auto, Some(error_kn)) => {
            Err(Error::new("the error that regions may be joined within is out of range")
                .at("split_error_kn")
                .found(error_kn)
                .expected("a speed above 0, kn")
                .remedy("take a value such as 0.2"))
        }
        (Split::Given, Some(_)) => {
            Err(Error::new("the job says within which error to join regions, but not to join them")
                .found("\"split_error_kn\" without \"split\"")
                .expected("both, or neither")
                .remedy("add split = \"auto\", or take split_error_kn out"))
        }
    }
}

/// How each forecast cell is accounted for.
pub(super) fn cell_audit(job: &JobFile) -> Result<CellAudit> {
    let Some(words) = &job.cell_audit else { return Ok(CellAudit::IfSmall) };
    let choice = CellAudit::of(words.as_slice()).ok_or_else(|| {
        Error::new("the cell audit is both wanted and not wanted")
            .at("cell_audit")
            .found("\"none\" beside a format")
            .expected("csv, parquet, both, or none")
            .remedy("take \"none\" out, or leave it alone")
    })?;
    if choice.is_asked_for() && job.tally.is_some() {
        return Err(Error::new("a tally holds no single cells to audit")
            .found("\"cell_audit\" and \"tally\" in one job")
            .expected("a forecast")
            .remedy("derate from the forecast itself, or leave the cell audit out"));
    }
    Ok(choice)
}

/// Errors: regions of more than one kind.
pub(super) fn regions_of_one_kind(job: &JobFile) -> Result<()> {
    let given = [
        ("regions", job.regions.is_some()),
        ("box", !job.boxes.as_slice().is_empty()),
        ("tiles", job.tiles.is_some()),
        ("corridor", job.corridor.is_some()),
    ];
    let keys: Vec<&str> = given.iter().filter(|(_, given)| *given).map(|(key, _)| *key).collect();
    if let [first, second, ..] = keys.as_slice() {
        return Err(Error::new(format!("the job has both {first} and {second}"))
            .found(format!("keys \"{first}\" and \"{second}\""))
            .expected("one of them")
            .remedy("take one out"));
    }
    Ok(())
}

/// Errors: polars of each ensemble member, which a tally cannot give.
pub(super) fn members_of_a_tally(job: &JobFile, tally: &Path) -> Result<()> {
    if job.members != Some(MemberChoice::Each) {
        return Ok(());
    }
    Err(Error::new("a tally holds the members of an ensemble together, so there are no polars of each")
        .input(tally.display())
        .found("members \"each\" beside a tally")
        .expected("a forecast, or members \"together\"")
        .remedy("name the forecast files instead of the tally, or leave members out"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::TableFormat;

    fn job(text: &str) -> JobFile {
        toml::from_str(text).unwrap()
    }

    #[test]
    fn an_error_is_only_for_regions_that_are_joined() {
        for (text, expected) in
            [("", None), ("split='auto'", Some(0.2)), ("split='auto'\nsplit_error_kn=0.5", Some(0.5))]
        {
            assert_eq!(split_error_kn(&job(text)).unwrap(), expected, "{text:?}");
        }
        for (text, words) in [
            ("split='auto'\nsplit_error_kn=0.0", "a speed above 0"),
            ("split='auto'\nsplit_error_kn=inf", "a speed above 0"),
            ("split_error_kn=0.5", "without \"split\""),
        ] {
            let error = split_error_kn(&job(text)).expect_err(text).to_string();
            assert!(error.contains(words), "{text:?} should say {words:?}:\n{error}");
        }
    }

    #[test]
    fn cells_are_audited_once_a_format_or_not_at_all() {
        for (text, expected) in [
            ("", CellAudit::IfSmall),
            ("cell_audit='none'\ntally='t.parquet'", CellAudit::Formats(vec![])),
            ("cell_audit='csv'", CellAudit::Formats(vec![TableFormat::Csv])),
        ] {
            assert_eq!(cell_audit(&job(text)).unwrap(), expected, "{text:?}");
        }
        for (text, words) in [
            ("cell_audit=['none', 'csv']", "\"none\" beside a format"),
            ("cell_audit='csv'\ntally='t.parquet'", "no single cells"),
        ] {
            let error = cell_audit(&job(text)).expect_err(text).to_string();
            assert!(error.contains(words), "{text:?} should say {words:?}:\n{error}");
        }
    }

    #[test]
    fn a_tally_has_no_polars_of_members() {
        let tally = Path::new("t.parquet");
        assert!(members_of_a_tally(&job("members='together'"), tally).is_ok());
        let error = members_of_a_tally(&job("members='each'"), tally).unwrap_err().to_string();
        assert!(error.contains("t.parquet") && error.contains("beside a tally"), "{error}");
    }
}
