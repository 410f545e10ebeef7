use roughwater::balance::Tables;
use roughwater::boat::Boat;
use roughwater::hydro::response::*;
use roughwater::hydro::wave_shape::WaveShape;
use roughwater::model::Model;
use roughwater::sea::PartitionKind;
use std::time::Instant;
#[test]
fn errors() {
    for name in ["sleet-heron-15", "oat-plover-10"] {
        let boat = Boat::read(format!("examples/boats/{name}.toml").as_ref()).unwrap();
        let model = Model::new(boat, Method::RadiatedEnergy).unwrap_or_else(|e| panic!("{e}"));
        println!("{:?} {:?}", model.hydrostatics, model.flags);
        let t = Instant::now();
        let tables = Tables::new(model, 16.0);
        println!("build {:?}", t.elapsed());
        let t = Instant::now();
        let mut n = 0;
        for _ in 0..1000 { n += 1; std::hint::black_box(tables.model.waves.regular(5.0, 1.0 + n as f64 * 1e-4, 2.5)); }
        println!("regular {:?}", t.elapsed() / n);
        for kind in [PartitionKind::WindSea, PartitionKind::Swell] {
            let mut worst = [(0.0, 0.0, 0.0, 0.0); QUANTITIES];
            for i in 0..48u32 {
                let r = |k: f64| (i as f64 * k).fract();
                let (v, tp, mu) = (1.0 + 14.0 * r(0.618034), 3.0 + 13.0 * r(0.414214), std::f64::consts::PI * r(0.732051));
                let hs = 0.02 * tp * tp;
                let d = direct(&tables.model.waves, v, mu, hs, tp, WaveShape::of(kind, hs, tp)).to_array();
                let mut c = tables.responses.empty_curve();
                tables.responses.add_curve(kind, hs * hs, tp, mu, &mut c);
                let t = tables.responses.at_speed(&c, v).to_array();
                let big = {
                    let mut m = [0.0f64; QUANTITIES];
                    for k in 0..19 { let mut c = tables.responses.empty_curve(); tables.responses.add_curve(kind, hs * hs, tp, k as f64 * std::f64::consts::PI / 18.0, &mut c); let a = tables.responses.at_speed(&c, v).to_array(); for q in 0..QUANTITIES { m[q] = m[q].max(a[q]); } }
                    m
                };
                for q in 0..QUANTITIES {
                    let e = (t[q] - d[q]).abs() / if d[q].abs() > 0.1 * big[q] { d[q].abs() } else { big[q].max(1e-12) };
                    if e > worst[q].0 { worst[q] = (e, v, tp, mu.to_degrees()); }
                }
            }
            println!("{kind:?}");
            for w in worst { println!("   {:.4} v {:.2} tp {:.2} mu {:.1}", w.0, w.1, w.2, w.3); }
        }
    }
}
