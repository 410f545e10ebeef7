//! What is decoded at some points alone is what decoding the whole gives there, bit by bit.

use crate::common::files::{INVENTED, NOAA, data, file, forecast};
use crate::common::random::SplitMix;
use roughwater::forecast::{CellSea, Forecast, Message, Spans, index};
use std::path::PathBuf;

/// Every packing, and every order in which points can stand.
const SMALL: [&str; 14] = [
    "packing-simple.grib2",
    "packing-complex.grib2",
    "packing-complex_spatial_differencing.grib2",
    "packing-png.grib2",
    "packing-jpeg.grib2",
    "packing-ccsds.grib2",
    "packing-ieee.grib2",
    "scan-00.grib2",
    "scan-10.grib2",
    "scan-50.grib2",
    "scan-90.grib2",
    "all-missing.grib2",
    "ecmwf-ensemble.grib2",
    "noaa-order.grib1",
];

/// Real files that lie beside the checkout.
const REAL: [&str; 4] = [
    "aifs-single-wave.grib2",
    "gdaswave.t00z.wcoast.0p16.f000.grib2",
    "gfswave.20210826.t12z.atlocn.0p16.f000.grib2",
    "gfswave.t18z.atlocn.0p16.f001.grib2",
];

/// Points to look at: none, one, a box, scattered ones, all.
fn looks(points: usize, columns: usize, random: &mut SplitMix) -> Vec<Spans> {
    let boxed = |first: usize, rows: usize, width: usize| {
        Spans::of((0..rows).flat_map(|row| (0..width).map(move |k| first + row * columns + k)))
    };
    let inside = |spans: Spans| Spans::of(spans.places().filter(|place| *place < points));
    let scattered = (0..points.min(40)).map(|_| random.below(points)).collect::<Vec<_>>();
    vec![
        Spans::default(),
        Spans::of([random.below(points)]),
        inside(boxed(random.below(points), 1 + columns / 9, 1 + columns / 7)),
        inside(boxed(random.below(points), 70, columns.div_ceil(2))),
        Spans::of(scattered),
        Spans::whole(points),
    ]
}

fn check(message: &Message, random: &mut SplitMix) {
    let (Ok(grid), Ok(whole)) = (&message.grid, message.decode()) else { return };
    for look in looks(grid.points(), grid.columns(), random) {
        let part = message.decode_at(&look).unwrap();
        assert_eq!(part.len(), whole.len());
        for place in look.places() {
            let [found, expected] = [&part, &whole].map(|field| field.get(place).map(f32::to_bits));
            assert_eq!(found, expected, "{} {} point {place}", message.path.display(), message.place());
        }
    }
}

#[test]
fn every_packing_and_order_gives_the_same_bits_at_some_points_as_in_whole() {
    let mut random = SplitMix(7);
    for name in SMALL {
        let index = index(&data(name)).unwrap();
        assert!(!index.messages.is_empty());
        index.messages.iter().for_each(|message| check(message, &mut random));
    }
    for name in [INVENTED, NOAA] {
        let index = index(&file(name)).unwrap();
        index.messages.iter().take(20).for_each(|message| check(message, &mut random));
    }
}

#[test]
fn real_files_give_the_same_bits_at_some_points_as_in_whole() {
    let mut random = SplitMix(9);
    for path in REAL.iter().filter_map(|name| forecast(name)) {
        let index = index(&path).unwrap();
        index.messages.iter().take(12).for_each(|message| check(message, &mut random));
    }
}

/// A point that is not looked at holds nothing, so that nobody takes it for a value.
#[test]
fn what_is_not_looked_at_is_missing() {
    let message = index(&data("packing-simple.grib2")).unwrap().messages.remove(0);
    let whole = message.decode().unwrap();
    let present: Vec<usize> = (0..whole.len()).filter(|place| whole.get(*place).is_some()).collect();
    let part = message.decode_at(&Spans::of(present[..2].iter().copied())).unwrap();
    assert_eq!((0..part.len()).filter(|place| part.get(*place).is_some()).count(), 2);
}

/// The seas at some points, from the fields that they need, are those of the whole step.
#[test]
fn seas_at_some_points_are_those_of_the_whole_step() {
    let mut random = SplitMix(3);
    let others =
        ["ecmwf-ensemble.grib2", "cf-classic.nc", "ww3.nc", "ensemble.nc", "noaa-order.grib1", "spectra.nc"];
    let mut paths: Vec<PathBuf> = [INVENTED, NOAA].map(file).into();
    paths.extend(others.map(data));
    paths.extend(REAL.iter().filter_map(|name| forecast(name)));
    let mut opened = 0;
    for path in paths {
        let Ok(forecast) = Forecast::open(&[&path]) else { continue };
        opened += 1;
        for step in 0..forecast.steps().len().min(3) {
            let Ok(whole) = forecast.read_step(step) else { continue };
            for look in looks(whole.grid.points(), whole.grid.columns(), &mut random) {
                let part = forecast.read_step_at(step, &look).unwrap();
                for place in look.places() {
                    let [found, expected] = [&part, &whole].map(|sea| (sea.cell(place), sea.depth_m(place)));
                    assert_eq!(found, expected, "{} step {step} point {place}", path.display());
                    let is_sea = matches!(expected.0, CellSea::Sea(_));
                    assert!(!is_sea || part.spectrum(place) == whole.spectrum(place));
                }
            }
        }
    }
    assert!(opened >= 6, "{opened}");
}
