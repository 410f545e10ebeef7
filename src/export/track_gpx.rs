//! Tracks with times as GPX 1.1.

use crate::error::{Error, Result};
use geo::Point;
use gpx::{Gpx, GpxVersion, Track, TrackSegment, Waypoint};
use jiff::Timestamp;
use std::io::Write;
use std::path::Path;
use time::OffsetDateTime;

/// A track of places with the time at each.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedTrack {
    /// Its name.
    pub name: String,
    /// Places, longitude within [-180, 180], and times.
    pub points: Vec<(Point, Timestamp)>,
}

/// Writes tracks to a file, whole or not at all.
///
/// # Errors
/// What the operating system reports.
pub fn write(path: &Path, tracks: Vec<TimedTrack>) -> Result<()> {
    let bytes = to_bytes(tracks)?;
    let failed = |error: std::io::Error| Error::io("write the track", path, &error);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(failed)?;
    let mut builder = tempfile::Builder::new();
    // a temporary file is closed to others; a result has the usual permissions
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut temporary = builder.tempfile_in(folder).map_err(failed)?;
    temporary.write_all(&bytes).map_err(failed)?;
    temporary.persist(path).map_err(|error| failed(error.error))?;
    Ok(())
}

fn to_bytes(tracks: Vec<TimedTrack>) -> Result<Vec<u8>> {
    let tracks = tracks.into_iter().map(track).collect::<Result<_>>()?;
    let gpx =
        Gpx { version: GpxVersion::Gpx11, creator: Some("roughwater".to_owned()), tracks, ..Gpx::default() };
    let mut bytes = Vec::new();
    gpx::write(&gpx, &mut bytes)
        .map_err(|error| Error::new(format!("cannot write the track as GPX: {error}")))?;
    bytes.push(b'\n');
    Ok(bytes)
}

fn track(timed: TimedTrack) -> Result<Track> {
    let points = timed.points.into_iter().map(|(place, time)| {
        // to the second: GPX readers differ over fractions
        let second = (time.as_millisecond() + 500).div_euclid(1000);
        let time = OffsetDateTime::from_unix_timestamp(second)
            .map_err(|error| Error::new(format!("a time of the track leaves the calendar: {error}")))?;
        let mut point = Waypoint::new(place);
        point.time = Some(time.into());
        Ok(point)
    });
    let segment = TrackSegment { points: points.collect::<Result<_>>()? };
    Ok(Track { name: Some(timed.name), segments: vec![segment], ..Track::default() })
}
