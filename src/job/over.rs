//! Keys of a job that a calling program gives, laid over those of a job file.

use crate::base::{Error, Result};
use crate::files::strict_toml;
use crate::job::file::JobFile;
use crate::job::keys::JOB_KEYS;
use serde::Serialize;
use serde::de::DeserializeOwned;
use std::path::Path;
use toml::Table;

impl JobFile {
    /// Lays keys over the job's, by their names in a job file: each stands in the place of the job's own, a forecast in that of a
    /// tally, and one way to regions in that of any other. Paths are relative to the current folder. `source` names the keys in
    /// errors.
    ///
    /// # Errors
    /// Keys that are not known, values of the wrong kind.
    pub fn lay_over(&mut self, keys: &Table, source: &Path) -> Result<()> {
        let text = toml::to_string(keys).map_err(|error| {
            Error::new("keys of a job cannot be taken together")
                .file(source)
                .found(error)
                .expected("keys of a job file")
        })?;
        JOB_KEYS.check(&text, source)?;
        let given: Self = strict_toml::parse(&text, source)?;
        let is_given = |key: &str| keys.contains_key(key);
        if is_given("forecast") {
            self.forecast = given.forecast;
            self.tally = None;
        }
        if ["regions", "box", "tiles", "corridor"].into_iter().any(is_given) {
            self.regions = given.regions;
            self.boxes = given.boxes;
            self.tiles = given.tiles;
            self.corridor = given.corridor;
        }
        if is_given("split") {
            self.split = given.split;
        }
        if is_given("audit_format") {
            self.audit_format = given.audit_format;
        }
        over(&mut self.boat, given.boat);
        over(&mut self.polar, given.polar);
        over(&mut self.tally, given.tally);
        over(&mut self.atlas, given.atlas);
        over(&mut self.split_error_kn, given.split_error_kn);
        over(&mut self.window, given.window);
        over(&mut self.window_alignment, given.window_alignment);
        over(&mut self.members, given.members);
        over(&mut self.match_wind, given.match_wind);
        over(&mut self.cell_audit, given.cell_audit);
        over(&mut self.output, given.output);
        over(&mut self.tacks, given.tacks);
        lay_over_table(&mut self.polar_csv, keys.get("polar_csv"))?;
        lay_over_table(&mut self.model, keys.get("model"))
    }
}

fn over<T>(own: &mut Option<T>, given: Option<T>) {
    if given.is_some() {
        *own = given;
    }
}

/// Lays the keys of an inner table, which have been read once, over those of the job's.
fn lay_over_table<T: Serialize + DeserializeOwned>(own: &mut T, given: Option<&toml::Value>) -> Result<()> {
    let Some(given) = given.and_then(toml::Value::as_table) else { return Ok(()) };
    let fault = |error: String| Error::fault("keys of a job do not go together").found(error);
    let mut all = Table::try_from(&*own).map_err(|error| fault(error.to_string()))?;
    all.extend(given.clone());
    *own = all.try_into().map_err(|error: toml::de::Error| fault(error.to_string()))?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::OnOff;
    use crate::job::choices::Split;
    use crate::polar::{Delimiter, Layout, TackChoice};
    use std::path::PathBuf;

    fn job(text: &str) -> JobFile {
        toml::from_str(text).unwrap()
    }

    fn laid_over(own: &str, given: &str) -> Result<JobFile> {
        let mut job = job(own);
        job.lay_over(&given.parse().unwrap(), Path::new("arguments")).map(|()| job)
    }

    #[test]
    fn what_is_given_stands_and_the_rest_stays() {
        let own = "boat='b'\npolar='p'\ntacks='port'\nsplit='auto'\n[model]\nsurge='off'\n[polar_csv]\nlayout='long'";
        let given = "polar='q'\nwindow='1d'\n[model]\nsurfing_gains='off'\n[polar_csv]\ndelimiter='tab'";
        let job = laid_over(own, given).unwrap();
        assert_eq!((job.boat, job.polar), (Some("b".into()), Some("q".into())));
        assert_eq!((job.tacks, job.split), (Some(TackChoice::Port), Split::Auto));
        assert_eq!((job.model.surge, job.model.surfing_gains), (OnOff::Off, OnOff::Off));
        assert_eq!((job.polar_csv.layout, job.polar_csv.delimiter), (Layout::Long, Delimiter::Tab));
    }

    #[test]
    fn a_forecast_ends_a_tally_and_regions_end_other_regions() {
        let job = laid_over("tally='t'\nregions='r'", "forecast='f'\nbox=[1.0, 2.0, 3.0, 4.0]").unwrap();
        assert_eq!((job.tally, job.regions), (None, None));
        assert_eq!(job.forecast.as_slice(), [PathBuf::from("f")]);
        assert_eq!(job.boxes.as_slice().len(), 1);
    }

    /// Every key of a job, none at its default.
    const ALL: &str = "boat='b'
        polar='p'
        forecast='f'
        regions='r'
        box=[1.0, 2.0, 3.0, 4.0]
        split='auto'
        split_error_kn=0.3
        tally='t'
        atlas='a'
        window='1d'
        window_alignment='first-step'
        members='each'
        match_wind=false
        audit_format='parquet'
        cell_audit='none'
        output='o'
        tacks='signed'
        tiles={lat_deg=5.0, lon_deg=10.0}
        corridor={track='c', half_width_nmi=30.0, leg_nmi=100.0}
        polar_csv={delimiter='semicolon', decimal='comma', corner='x', layout='long', line_end='lf', smoothing='binomial'}
        [model]
        added_resistance='snnm'
        body='exact'
        own_responses='own'
        without_foil='port'
        surge='off'
        surfing_gains='off'";

    #[test]
    fn no_key_is_forgotten() {
        let all: Table = ALL.parse().unwrap();
        for key in JOB_KEYS.keys {
            let table = if key.table.is_empty() { Some(&all) } else { all[key.table].as_table() };
            assert!(table.unwrap().contains_key(key.name), "{} is not tried", key.path());
        }
        assert_eq!(laid_over("", ALL).unwrap(), job(ALL));
    }

    #[test]
    fn what_is_wrong_is_said_as_of_a_job_file() {
        for (given, words) in [
            ("tacks='both'", ["arguments", "\"both\"", "mean, slower, starboard, port, signed"]),
            ("forcast='x'", ["arguments", "\"forcast\"", "did you mean \"forecast\"?"]),
            ("[model]\nsurge='of'", ["arguments", "\"of\"", "did you mean \"off\"?"]),
        ] {
            let error = laid_over("", given).expect_err(given).to_string();
            assert!(words.iter().all(|word| error.contains(word)), "{given}: {error}");
        }
    }
}
