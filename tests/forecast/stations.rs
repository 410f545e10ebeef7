//! Spectra of stations, which lie on no grid.
//!
//! What the file holds is stated in `tests/reference/make_netcdf.py`; heights and directions were read back with xarray
//! 2026.9.0 and numpy 2.4.6: 4 sqrt(trapezoid over frequency of the sum over directions), and the direction of the
//! energy's mean vector.

use crate::common::files::data;
use crate::common::places::state;
use roughwater::forecast::Forecast;
use roughwater::sea::PartitionKind;

#[test]
fn stations_have_the_heights_and_directions_that_xarray_reads() {
    let forecast = Forecast::open(&[data("stations.nc")]).unwrap();
    let expected = [[(2.00000001, 250.0), (2.99999996, 300.0)], [(2.49999993, 250.0), (2.99999996, 300.0)]];
    assert_eq!(forecast.steps().len(), 2);
    for (step, expected) in expected.iter().enumerate() {
        let sea = forecast.read_step(step).unwrap();
        assert_eq!(sea.grid.points(), 2);
        assert_eq!(sea.depth_m(1), Some(3500.0));
        for (station, (hs, from)) in expected.iter().enumerate() {
            let spectrum = sea.spectrum(station).unwrap();
            assert!((spectrum.hs_m() - hs).abs() < 1e-6, "{}", spectrum.hs_m());
            assert!((spectrum.mean_from().unwrap().deg() - from).abs() < 1e-3);
        }
    }
    let sea = forecast.read_step(1).unwrap();
    let (lat, lon) = sea.grid.centre(1).unwrap();
    assert!((lat + 50.5).abs() < 1e-5 && (lon - 179.25).abs() < 1e-5);
    let first = state(&sea, 0);
    assert_eq!((first.wind.tws_m_s, first.wind.from.deg()), (11.0, 280.0));
    // 12.5 s waves run at 19.5 m/s, faster than 1.5 x 11 m/s
    let largest = first.partitions.iter().max_by(|a, b| a.hs_m.total_cmp(&b.hs_m)).unwrap();
    assert_eq!(largest.kind, PartitionKind::Swell);
    assert!((largest.period.seconds - 12.5).abs() < 0.3, "{:?}", largest.period);
    assert!(first.spectrum.is_some());
}
