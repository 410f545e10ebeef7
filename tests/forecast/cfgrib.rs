//! What cfgrib's `to_netcdf` makes of GRIB files: swells along `orderedSequenceData`, ecCodes' short names, the centre as an
//! attribute. Names and shapes are those that cfgrib 0.9.15 writes of a wave forecast of NOAA; values by hand.

use crate::common::classic::{Classic, Values};
use crate::common::places::state;
use roughwater::forecast::Forecast;
use roughwater::sea::{PartitionKind, PeriodKind, SeaState};

fn field(file: Classic, name: &str, dims: &[&str], unit: &str, values: Vec<f32>) -> Classic {
    let attributes = [
        ("units", unit.into()),
        ("standard_name", "unknown".into()),
        ("coordinates", "time step orderedSequenceData valid_time".into()),
    ];
    file.variable(name, dims, &attributes, values)
}

fn sea_of(centre: &str) -> (String, SeaState) {
    let plain = ["lat", "lon"];
    let ranked = ["orderedSequenceData", "lat", "lon"];
    let of_three = |values: [f32; 3]| values.iter().flat_map(|v| [*v; 4]).collect::<Vec<f32>>();
    let file = Classic::default()
        .dim("lat", 2)
        .dim("lon", 2)
        .dim("orderedSequenceData", 3)
        .coordinate("lat", "degrees_north", [50.0, 51.0])
        .coordinate("lon", "degrees_east", [-10.0, -9.0])
        .coordinate("orderedSequenceData", "1", [1.0, 2.0, 3.0])
        .variable(
            "valid_time",
            &[],
            &[("units", "seconds since 1970-01-01".into()), ("standard_name", Values::from("time"))],
            1_705_298_400.0,
        )
        .global("GRIB_centre", centre);
    let file = field(file, "ws", &plain, "m s**-1", vec![10.0; 4]);
    let file = field(file, "wdir", &plain, "Degree true", vec![250.0; 4]);
    let file = field(file, "shww", &plain, "m", vec![1.5; 4]);
    let file = field(file, "mpww", &plain, "s", vec![5.0; 4]);
    let file = field(file, "wvdir", &plain, "Degree true", vec![240.0; 4]);
    let file = field(file, "shts", &ranked, "m", of_three([2.0, 1.0, 0.5]));
    let file = field(file, "mpts", &ranked, "s", of_three([12.0, 14.0, 16.0]));
    let file = field(file, "swdir", &ranked, "Degree true", of_three([200.0, 180.0, 90.0]));
    let (_dir, path) = file.write();
    let forecast = Forecast::open(&[&path]).unwrap();
    (forecast.steps()[0].valid.to_string(), state(&forecast.read_step(0).unwrap(), 0))
}

#[test]
fn swells_are_told_apart_by_their_rank() {
    let (valid, sea) = sea_of("kwbc");
    assert_eq!(valid, "2024-01-15T06:00:00Z");
    let found: Vec<_> =
        sea.partitions.iter().map(|p| (p.kind, p.hs_m, p.period.seconds, p.from.deg())).collect();
    let swell = PartitionKind::Swell;
    let expected = [
        (PartitionKind::WindSea, 1.5, 5.0, 240.0),
        (swell, 2.0, 12.0, 200.0),
        (swell, 1.0, 14.0, 180.0),
        (swell, 0.5, 16.0, 90.0),
    ];
    assert_eq!(found, expected);
}

/// NOAA fills what ecCodes calls mean periods with peak periods; ECMWF writes energy periods there.
#[test]
fn a_mean_period_is_what_its_centre_writes() {
    let kinds = |centre: &str| -> Vec<PeriodKind> {
        let (_, sea) = sea_of(centre);
        sea.partitions.iter().map(|p| p.period.kind).collect()
    };
    assert_eq!(kinds("kwbc"), [PeriodKind::Peak; 4]);
    assert_eq!(kinds("ecmf"), [PeriodKind::Tm10; 4]);
}
