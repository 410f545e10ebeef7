//! A passage as a track with times.

use geo::Point;
use roughwater::base::Result;
use roughwater::passage::{Manner, Passage, Setting, Stretch, Voyage, after};
use roughwater::result::{TimedPoint, TimedTrack};

const TWO_TACKS: &str = "Where a point says that she beats or gybes, the line is the way she makes good: her own is \
longer, and where she turns is not computed.";

/// Times are written in whole seconds; nearer places would share one.
const SHORTEST_S: f64 = 1.0;

/// The ends of legs, where she begins or ends to beat or gybe, and between them the first place of each hour.
pub(super) fn timed(setting: &Setting, passage: &Passage) -> Result<TimedTrack> {
    let voyage = &passage.corrected;
    let mut marks = marks(voyage);
    let end = match (&voyage.stopped, setting.legs.last()) {
        (Some(stopped), _) => Some((stopped.place, stopped.at_s)),
        (None, leg) => leg.map(|leg| (leg.to(), voyage.duration_s())),
    };
    if let Some((place, at_s)) = end {
        marks.pop_if(|last| at_s - last.at_s < SHORTEST_S);
        marks.push(Mark { place, at_s, manner: Manner::Straight });
    }
    let point = |mark: &Mark| {
        let description = onwards(mark.manner).map(str::to_owned);
        Ok(TimedPoint { place: mark.place, time: after(passage.start, mark.at_s)?, description })
    };
    let points = marks.iter().map(point).collect::<Result<Vec<_>>>()?;
    Ok(TimedTrack {
        name: format!("on the corrected polars, from {}", passage.start),
        description: points.iter().any(|point| point.description.is_some()).then(|| TWO_TACKS.to_owned()),
        points,
    })
}

/// A place to write down, s from the start, and how she sails from there on.
struct Mark {
    place: Point,
    at_s: f64,
    manner: Manner,
}

/// Of places within [`SHORTEST_S`], the first with what holds after the last.
fn marks(voyage: &Voyage) -> Vec<Mark> {
    let key = |stretch: &Stretch| (stretch.leg, (stretch.start_s / 3600.0).floor() as i64, stretch.manner);
    let mut marks: Vec<Mark> = Vec::new();
    for alike in voyage.stretches.chunk_by(|a, b| key(a) == key(b)) {
        let Stretch { from: place, start_s: at_s, manner, .. } = alike[0];
        match marks.last_mut().filter(|last| at_s - last.at_s < SHORTEST_S) {
            Some(last) => last.manner = manner,
            None => marks.push(Mark { place, at_s, manner }),
        }
    }
    marks
}

/// How she sails from a point to the next, where that is not along the line.
fn onwards(manner: Manner) -> Option<&'static str> {
    match manner {
        Manner::Straight => None,
        Manner::Beating => Some("beats to the next point, on both tacks in turn"),
        Manner::Gybing => Some("gybes to the next point, on both tacks in turn"),
    }
}
