//! Tracks with times as GPX 1.1.

use crate::base::{Error, Result, guarded};
use crate::files::whole_file;
use geo::Point;
use gpx::{Gpx, GpxVersion, Track, TrackSegment, Waypoint};
use jiff::Timestamp;
use std::path::Path;
use time::OffsetDateTime;

/// A track of places with the time at each.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedTrack {
    /// Its name.
    pub name: String,
    /// What a reader must know about it.
    pub description: Option<String>,
    /// Places with times.
    pub points: Vec<TimedPoint>,
}

/// A place of a track.
#[derive(Debug, Clone, PartialEq)]
pub struct TimedPoint {
    /// Where, longitude within [-180, 180].
    pub place: Point,
    /// When.
    pub time: Timestamp,
    /// What holds from there on.
    pub description: Option<String>,
}

/// Writes tracks to a file, whole or not at all.
///
/// # Errors
/// What the operating system reports.
pub fn write(path: &Path, tracks: Vec<TimedTrack>) -> Result<()> {
    whole_file::write("the track", path, &to_bytes(tracks)?)
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
    let points = timed.points.into_iter().map(|timed| {
        // to the second: GPX readers differ over fractions
        let second = (timed.time.as_millisecond() + 500).div_euclid(1000);
        let time = OffsetDateTime::from_unix_timestamp(second)
            .map_err(|error| Error::new(format!("a time of the track leaves the calendar: {error}")))?;
        let mut point = Waypoint::new(timed.place);
        point.time = Some(time.into());
        point.description = timed.description;
        Ok(point)
    });
    let segment = TrackSegment { points: points.collect::<Result<_>>()? };
    Ok(Track {
        name: Some(timed.name),
        description: timed.description,
        segments: vec![segment],
        ..Track::default()
    })
}

/// Reads tracks as [`write`] writes them: every point has a time.
///
/// # Errors
/// A file that is no GPX, has no track, or a track with a point without a time.
pub fn read(path: &Path) -> Result<Vec<TimedTrack>> {
    let bytes = std::fs::read(path).map_err(|error| Error::io("read the track", path, &error))?;
    parse(&bytes).map_err(|error| error.file(path))
}

fn parse(bytes: &[u8]) -> Result<Vec<TimedTrack>> {
    let remedy = "name a file that passage wrote with --gpx";
    let unread = |found: String| {
        Error::new("the passage is not a GPX file that can be read")
            .found(found)
            .expected("GPX 1.1")
            .remedy(remedy)
    };
    let gpx = guarded(|| gpx::read(bytes)).ok_or_else(|| unread("data without sense".to_owned()))?;
    let gpx = gpx.map_err(|error| unread(error.to_string()))?;
    if gpx.tracks.is_empty() {
        return Err(Error::new("the GPX file holds no track")
            .found("routes or waypoints alone")
            .remedy(remedy));
    }
    gpx.tracks.into_iter().enumerate().map(|(number, track)| timed(number, track, remedy)).collect()
}

fn timed(number: usize, track: Track, remedy: &str) -> Result<TimedTrack> {
    let points = track.segments.into_iter().flat_map(|segment| segment.points).enumerate();
    let points = points.map(|(place, point)| {
        let second = point.time.map(|time| OffsetDateTime::from(time).unix_timestamp());
        let time = second.and_then(|second| Timestamp::from_second(second).ok()).ok_or_else(|| {
            Error::new("a point of the passage has no time")
                .at(format!("track {}, point {}", number + 1, place + 1))
                .expected("a time of each point")
                .remedy(remedy)
        })?;
        Ok(TimedPoint { place: point.point(), time, description: point.description })
    });
    Ok(TimedTrack {
        name: track.name.unwrap_or_default(),
        description: track.description,
        points: points.collect::<Result<_>>()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let time = |text: &str| text.parse::<Timestamp>().unwrap();
        let point = |lon: f64, lat: f64, at: &str, description: Option<&str>| TimedPoint {
            place: Point::new(lon, lat),
            time: time(at),
            description: description.map(str::to_owned),
        };
        let points = vec![
            point(179.5, -50.0, "2030-01-01T00:00:00Z", Some("up & down")),
            point(-179.5, -50.25, "2030-01-01T03:30:10Z", None),
        ];
        let tracks =
            vec![TimedTrack { name: "there & back".into(), description: Some("<long>".into()), points }];
        assert_eq!(parse(&to_bytes(tracks.clone()).unwrap()).unwrap(), tracks);
    }

    #[test]
    fn a_track_without_times_is_named() {
        let text = r#"<gpx version="1.1" creator="by hand"><trk><trkseg><trkpt lat="1" lon="2"/></trkseg></trk></gpx>"#;
        let error = parse(text.as_bytes()).unwrap_err().to_string();
        assert!(error.contains("track 1, point 1") && error.contains("--gpx"), "{error}");
        assert!(parse(b"<gpx version=\"1.1\" creator=\"by hand\"></gpx>").is_err());
        assert!(parse(b"no gpx").is_err());
    }
}
