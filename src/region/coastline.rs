//! Where land is: the coastline of Natural Earth at 1:50 million (public domain, by world-atlas 2.0.2), as TopoJSON.

use crate::base::bearing::wrap180;
use serde::Deserialize;
use std::sync::LazyLock;

/// The coastline as it stands in the file, for whoever draws it.
pub const TOPOJSON: &str = include_str!("land.json");

/// How far from the coastline a point may lie and still be taken for land, nautical miles: at 1:50 million capes, islets and
/// lagoons are left out, and wave models widen shores. Common practice, no source.
const SHORE_NMI: f64 = 20.0;

/// Coastal segments by whole degrees: of latitude from -90, of longitude from -180.
struct Coastline {
    by_latitude: Vec<Vec<Segment>>,
    by_longitude: Vec<Vec<Segment>>,
}

/// Longitude and latitude of both ends, degrees; the longitude of the second runs on beyond 180.
#[derive(Debug, Clone, Copy)]
struct Segment {
    from: [f64; 2],
    to: [f64; 2],
}

#[derive(Deserialize)]
struct Topology {
    transform: Transform,
    objects: Objects,
    arcs: Vec<Vec<[i64; 2]>>,
}

#[derive(Deserialize)]
struct Transform {
    scale: [f64; 2],
    translate: [f64; 2],
}

#[derive(Deserialize)]
struct Objects {
    land: Land,
}

#[derive(Deserialize)]
struct Land {
    geometries: Vec<Polygons>,
}

#[derive(Deserialize)]
struct Polygons {
    arcs: Vec<Vec<Vec<i64>>>,
}

// the file is part of the program: were it broken, nothing would be land, and the test below would fail
static COASTLINE: LazyLock<Coastline> = LazyLock::new(|| Coastline::of(serde_json::from_str(TOPOJSON).ok()));

impl Coastline {
    fn of(topology: Option<Topology>) -> Self {
        let mut by_latitude: Vec<Vec<Segment>> = vec![Vec::new(); 180];
        let mut by_longitude: Vec<Vec<Segment>> = vec![Vec::new(); 360];
        for line in topology.iter().flat_map(lines) {
            for pair in line.windows(2) {
                // polygons run across 180 without a cut
                let to = [pair[0][0] + wrap180(pair[1][0] - pair[0][0]), pair[1][1]];
                let segment = Segment { from: pair[0], to };
                let (south, north) = (pair[0][1].min(to[1]), pair[0][1].max(to[1]));
                for band in band_of(south)..=band_of(north) {
                    by_latitude[band].push(segment);
                }
                let (west, east) =
                    (pair[0][0].min(to[0]).floor() as i64, pair[0][0].max(to[0]).floor() as i64);
                for degree in west..=east {
                    by_longitude[meridian_of(degree as f64)].push(segment);
                }
            }
        }
        Self { by_latitude, by_longitude }
    }
}

/// The coast's arcs, once for each polygon that they bound; the direction does not matter.
fn lines(topology: &Topology) -> impl Iterator<Item = Vec<[f64; 2]>> {
    let Transform { scale, translate } = &topology.transform;
    let polygons = topology.objects.land.geometries.iter().flat_map(|polygons| &polygons.arcs);
    let arcs = polygons
        .flatten()
        .flatten()
        .filter_map(|&arc| usize::try_from(if arc < 0 { !arc } else { arc }).ok());
    arcs.filter_map(|arc| topology.arcs.get(arc)).map(move |steps| {
        // positions are steps from the one before
        let mut at = [0_i64; 2];
        let place = |step: &[i64; 2]| {
            at = [at[0] + step[0], at[1] + step[1]];
            [0, 1].map(|axis| at[axis] as f64 * scale[axis] + translate[axis])
        };
        steps.iter().map(place).collect()
    })
}

fn band_of(lat_deg: f64) -> usize {
    (lat_deg.floor() + 90.0).clamp(0.0, 179.0) as usize
}

fn meridian_of(lon_deg: f64) -> usize {
    (lon_deg.floor() + 180.0).rem_euclid(360.0) as usize
}

/// Whether a point lies on land by the coastline.
pub fn is_land(lat_deg: f64, lon_deg: f64) -> bool {
    let meridian = &COASTLINE.by_longitude[meridian_of(wrap180(lon_deg))];
    // on the way to the North Pole, which lies at sea, land is left once more often than it is entered
    let crossed = meridian.iter().filter(|Segment { from, to }| {
        let start = wrap180(from[0] - lon_deg);
        let end = start + to[0] - from[0];
        (start > 0.0) != (end > 0.0) && {
            let along = start / (start - end);
            from[1] + along * (to[1] - from[1]) > lat_deg
        }
    });
    crossed.count() % 2 == 1
}

/// Whether a point without a sea in some grid is taken for land: it lies on land, or no further from the coastline than
/// 20 nautical miles and `reach_deg`, the half of a grid cell that it stands for.
pub fn is_land_or_shore(lat_deg: f64, lon_deg: f64, reach_deg: f64) -> bool {
    let reach_deg = reach_deg + SHORE_NMI / 60.0;
    let east = lat_deg.to_radians().cos();
    let near = |segment: &Segment| {
        let start = wrap180(segment.from[0] - lon_deg);
        let end = start + segment.to[0] - segment.from[0];
        let from = [start * east, segment.from[1] - lat_deg];
        distance(from, [end * east, segment.to[1] - lat_deg]) <= reach_deg
    };
    let bands = band_of(lat_deg - reach_deg)..=band_of(lat_deg + reach_deg);
    is_land(lat_deg, lon_deg) || bands.into_iter().any(|band| COASTLINE.by_latitude[band].iter().any(near))
}

/// The distance of the origin from a segment.
fn distance(from: [f64; 2], to: [f64; 2]) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let length2 = along[0].powi(2) + along[1].powi(2);
    let part = if length2 > 0.0 { -(from[0] * along[0] + from[1] * along[1]) / length2 } else { 0.0 };
    let part = part.clamp(0.0, 1.0);
    (from[0] + part * along[0]).hypot(from[1] + part * along[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Inland and out at sea, far from any coast, on both sides of 180 and at both poles.
    #[test]
    fn land_is_where_maps_have_it() {
        for (lat, lon) in
            [(47.0, 2.0), (-45.0, 169.5), (67.0, -178.0), (67.0, 182.0), (-85.0, 0.0), (66.5, 175.0)]
        {
            assert!(is_land(lat, lon), "{lat} {lon}");
        }
        for (lat, lon) in
            [(30.0, -45.0), (-52.0, 179.5), (0.0, 0.0), (85.0, 0.0), (-60.0, -180.0), (45.0, -20.0)]
        {
            assert!(!is_land(lat, lon) && !is_land_or_shore(lat, lon, 0.5), "{lat} {lon}");
        }
    }

    /// By hand: the south coast of Portugal lies near 37.0 N at 8 W; 36.8 N is 12 nm off, 36 N 60 nm.
    #[test]
    fn shores_reach_some_miles_out() {
        assert!(!is_land(36.8, -8.0) && is_land_or_shore(36.8, -8.0, 0.0));
        assert!(!is_land_or_shore(36.0, -8.0, 0.1));
        assert!(is_land_or_shore(36.0, -8.0, 1.0));
    }

    /// By hand: from (0, 0) to the line from (-1, 1) to (1, 1) is 1; to the one from (1, 1) to (2, 1) is the square root of 2.
    #[test]
    fn distances_are_to_the_nearest_point() {
        assert_eq!(distance([-1.0, 1.0], [1.0, 1.0]), 1.0);
        assert!((distance([1.0, 1.0], [2.0, 1.0]) - 2f64.sqrt()).abs() < 1e-12);
    }
}
