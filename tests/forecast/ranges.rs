//! Values out of range: named with count and place, missing from then on, and too many of them refuse the file.

use crate::common::classic::Classic;
use crate::common::files::data;
use crate::common::grib::{octet, open, passage};
use roughwater::base::{Alignment, WindowLength};
use roughwater::forecast::{CellSea, Forecast, Lack, SystemLabel};
use roughwater::region::Region;
use roughwater::survey::survey;

/// A sea in which one of four values of a variable is another; the cell is the one at 50 N 10 W.
fn with(variable: &str, standard_name: &str, unit: &str, values: [f32; 4]) -> Forecast {
    let attributes = [("standard_name", standard_name.into()), ("units", unit.into())];
    let sea = Classic::sea_now().variable(variable, &["time", "lat", "lon"], &attributes, values.to_vec());
    let (_dir, path) = sea.write();
    Forecast::open(&[path]).unwrap()
}

/// Three of six columns hold -999 and no attribute says that it stands for missing.
#[test]
fn an_undeclared_missing_value_is_a_gap_and_neither_land_nor_flat() {
    let forecast = Forecast::open(&[data("hs-minus999-undeclared.nc")]).unwrap();
    let sea = forecast.read_step(0).unwrap();
    let coverage = sea.coverage();
    assert_eq!((coverage.land, coverage.flat, coverage.sea), (0, 0, 18));
    assert_eq!(coverage.gaps, [(Lack::Height(SystemLabel::Total), 18)].into());
    let [outside] = sea.out_of_range() else { panic!("{:?}", sea.out_of_range()) };
    assert_eq!((outside.count, outside.present, outside.first), (18, 36, -999.0));
    assert_eq!(outside.at, Some((0.0, -30.0)));
}

#[test]
fn a_survey_tells_each_value_that_it_left_out() {
    let forecast = Forecast::open(&[data("hs-minus999-undeclared.nc")]).unwrap();
    let ring = vec![(-30.0, 0.0), (-25.0, 0.0), (-25.0, 5.0), (-30.0, 5.0), (-30.0, 0.0)];
    let polygon = geo::Polygon::new(geo::LineString::from(ring), Vec::new());
    let region =
        Region { name: "Box".to_owned(), polygons: geo::MultiPolygon(vec![polygon]), notes: Vec::new() };
    let surveyed =
        survey(&forecast, &[region], WindowLength::All, Alignment::Midnight, &[], &|_, _| Ok(())).unwrap();
    let told: Vec<String> = surveyed.out_of_range.words().collect();
    assert_eq!(told.len(), 1);
    for word in [
        "hs-minus999-undeclared.nc",
        "18 values of total sea Hs",
        "-999 m at latitude 0.000 longitude -30.000",
    ] {
        assert!(told[0].contains(word), "{word}: {told:?}");
    }
    let (.., part) = surveyed.set.parts().next().unwrap();
    let lacks: Vec<_> = part.lacks.keys().collect();
    assert_eq!(lacks, ["a height of the total sea that can be believed"]);
}

#[test]
fn every_quantity_has_values_that_are_not_believed() {
    let p = "sea_surface_wave_";
    let height = |values| with("hs", &format!("{p}significant_height"), "m", values);
    let period = |values| with("tp", &format!("{p}period_at_variance_spectral_density_maximum"), "s", values);
    let direction = |values| with("dir", &format!("{p}from_direction"), "degree", values);
    let speed = |values| with("ws", "wind_speed", "m s-1", values);
    let wind_from = |values| with("wd", "wind_from_direction", "degree", values);
    let total = SystemLabel::Total;
    let cases: [(&dyn Fn([f32; 4]) -> Forecast, f32, f32, Lack); 9] = [
        (&height, 2.0, -999.0, Lack::Height(total)),
        (&height, 2.0, 9999.0, Lack::Height(total)),
        (&height, 2.0, 9.999e20, Lack::Height(total)),
        (&height, 2.0, f32::INFINITY, Lack::Height(total)),
        (&period, 8.0, 0.001, Lack::Period(total)),
        (&period, 8.0, 9.999e20, Lack::Period(total)),
        (&direction, 270.0, -999.0, Lack::Direction(total)),
        (&speed, 10.0, -1.0, Lack::Wind),
        (&wind_from, 270.0, 9999.0, Lack::Wind),
    ];
    for (make, right, odd, lack) in cases {
        let sea = make([odd, right, right, right]).read_step(0).unwrap();
        assert_eq!(sea.cell(0), CellSea::Gap(lack), "{odd}");
        assert!((1..4).all(|cell| matches!(sea.cell(cell), CellSea::Sea(_))), "{odd}");
        assert_eq!((sea.out_of_range().len(), sea.out_of_range()[0].count), (1, 1), "{odd}");
        // half of the field is a gap, more than half refuses it
        assert!(make([odd, odd, right, right]).read_step(0).is_ok(), "{odd}");
        let text = make([odd, odd, odd, right]).read_step(0).unwrap_err().to_string();
        for word in
            ["made.nc", "3 of 4 values", "latitude 50.000 longitude -10.000", "at most 50 %", "remedy"]
        {
            assert!(text.contains(word), "{word}: {text}");
        }
    }
}

/// A calm sea without a period, the other custom of writing directions, and a storm are nothing out of range.
#[test]
fn what_models_write_is_in_range() {
    let p = "sea_surface_wave_";
    let calm =
        with("tp", &format!("{p}period_at_variance_spectral_density_maximum"), "s", [0.0, 8.0, 8.0, 8.0]);
    assert!(calm.read_step(0).unwrap().out_of_range().is_empty());
    let signed = with("dir", &format!("{p}from_direction"), "degree", [-90.0, -180.0, 180.0, 360.0]);
    assert!(signed.read_step(0).unwrap().out_of_range().is_empty());
    let storm = with("hs", &format!("{p}significant_height"), "m", [19.0, 25.0, 0.0, -0.004]);
    assert!(storm.read_step(0).unwrap().out_of_range().is_empty());
}

/// The height of the total sea of the invented passage with a payload of zeros and a reference value of 1,232 m (octets
/// 12 to 15 of section 5).
#[test]
fn a_zeroed_payload_refuses_the_file() {
    let mut messages = passage();
    let step = &mut messages[..19];
    let height = step.iter_mut().find(|m| m[octet(m, 4, 11)] == 3 && m[6] == 10).unwrap();
    let (reference, bits) = (octet(height, 5, 12), octet(height, 5, 20));
    height[reference..reference + 4].copy_from_slice(&1232f32.to_be_bytes());
    height[bits] = 0;
    let (_dir, forecast) = open(step);
    let text = forecast.unwrap().read_step(0).unwrap_err().to_string();
    assert!(text.contains("beyond 30 m") && text.contains("1232 m at"), "{text}");
}
