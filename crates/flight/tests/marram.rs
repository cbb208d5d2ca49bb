//! The shipped trainer in free flight.
use glam::{DQuat, DVec3, EulerRot};
use larkfield_flight::{AirProperties, Controls, FlightModel, LocalWind, Surroundings};

#[test]
fn toss() {
    for file in [
        "marram",
        "marram-tail-heavy",
        "marram-under-powered",
        "marram-warped",
    ] {
        let path = format!(
            "{}/../../shared/airframes/{file}.ron",
            env!("CARGO_MANIFEST_DIR")
        );
        let plane = larkfield_files::airframe::read_airframe(
            &std::fs::read_to_string(&path).unwrap(),
            &path,
        )
        .unwrap();
        let model = FlightModel::new(
            &plane,
            AirProperties {
                density_kg_m3: 1.225,
                viscosity_pa_s: 1.79e-5,
            },
        )
        .unwrap();
        println!(
            "{file}: mass {:.3} cg aft {:.4} strips {} I {:?}",
            model.mass().mass_kg,
            -model.mass().cg_m.x,
            model.strip_count(),
            model.mass().inertia_kg_m2
        );
        if let Some(p) = model.power() {
            println!("static {:?}", p.static_point(1.0));
        }
        let around = Surroundings {
            wind: LocalWind::default(),
            ground_z_m: 0.0,
            gravity_m_s2: 9.80665,
        };
        for throttle in [0.0, 0.75, 1.0] {
            let mut s = model.state_at_rest();
            let c = Controls {
                throttle,
                ..Default::default()
            };
            let pitch = 8f64.to_radians();
            s.attitude = DQuat::from_euler(EulerRot::ZYX, 0.0, pitch, 0.0);
            s.position_m = DVec3::new(0.0, 0.0, -1.8);
            let v = 6.0 * DVec3::new(pitch.cos(), 0.0, -pitch.sin());
            for k in 0..500 {
                let m = larkfield_flight::CarriedMotion {
                    position_m: s.position_m,
                    velocity_m_s: v * (k as f64 / 500.0),
                    attitude: s.attitude,
                    rates_rad_s: DVec3::ZERO,
                };
                model.carry(&mut s, &m, &c, &around, 0.002);
            }
            s.velocity_m_s = v;
            for k in 0..5000 {
                let r = model.step(&mut s, &c, &around, 0.002);
                if k % 250 == 0 {
                    let (y, p, b) = s.attitude.to_euler(EulerRot::ZYX);
                    println!(
                        "thr {throttle} t {:.1} h {:.2} V {:.2} alpha {:.1} pitch {:.1} bank {:.1} head {:.1} T {:.2} stall {:.2}/{:.2} margin {:.1} n {:.2}",
                        k as f64 * 0.002,
                        -s.position_m.z,
                        r.airspeed_m_s,
                        r.alpha_rad.to_degrees(),
                        p.to_degrees(),
                        b.to_degrees(),
                        y.to_degrees(),
                        r.thrust_n,
                        r.stalled_left,
                        r.stalled_right,
                        r.stall_margin_rad.to_degrees(),
                        r.load_factor
                    );
                }
                if s.position_m.z > 0.0 {
                    println!("ground at {}", k as f64 * 0.002);
                    break;
                }
            }
        }
    }
}
