//! The same bytes whatever the processor: the vector path of this machine
//! against the plain one, bit by bit, through launch, stall and lost parts.

use glam::DVec3;
use larkfield_airframe::Airframe;

use crate::air_loads::{AirLoads, Conditions};
use crate::flow::Flow;
use crate::lanes::Plain;
use crate::power::{DiskFlow, Slipstream};
use crate::shipped::model;
use crate::state::BlockState;
use crate::{Controls, FlightModel, LocalWind, LostParts, Surroundings};

fn bits(loads: &AirLoads, blocks: &[BlockState]) -> Vec<u64> {
    let mut all = vec![
        loads.force_n.x,
        loads.force_n.y,
        loads.force_n.z,
        loads.moment_n_m.x,
        loads.moment_n_m.y,
        loads.moment_n_m.z,
        loads.stall_margin_rad,
        loads.stalled_left,
        loads.stalled_right,
    ];
    for block in blocks {
        all.extend(block.circulation_m2_s.0);
        all.extend(block.shed_m2_s.0);
        all.extend(block.attachment.0);
    }
    all.into_iter().map(f64::to_bits).collect()
}

#[test]
fn plain_and_vector_arithmetic_agree_to_the_bit() {
    let model = model("marram", 1.0);
    let airborne = &model.airborne;
    let deflections = model.state_at_rest().deflections;
    let mut plain = vec![BlockState::STILL; airborne.blocks.len()];
    let mut wide = plain.clone();
    #[cfg(target_arch = "x86_64")]
    let [mut narrower, mut widest] = [plain.clone(), plain.clone()];
    for tick in 0..400 {
        // From gliding to far past the stall, sideways and backward, turning.
        let t = f64::from(tick) / 400.0;
        let flow = Flow {
            velocity_m_s: DVec3::new(12.0 - 20.0 * t, 3.0 * t, 1.0 + 9.0 * t),
            rates_rad_s: DVec3::new(2.0 * t, 0.5, -t),
            lateral_m_s: DVec3::new(0.1, 0.2, 0.3 * t),
            tips_m_s: DVec3::new(0.0, -0.1, 0.1),
            tail_m_s: DVec3::new(0.1, 0.0, 0.2),
            down: DVec3::new(0.1, 0.2, 0.97),
            height_m: 3.0 * t,
        };
        let jet = Slipstream::new(
            DVec3::new(0.25, 0.0, 0.0),
            DVec3::X,
            0.1,
            8.0 - 12.0 * t,
            6.0,
            DVec3::new(0.0, 2.0 * t, t),
            40.0,
        );
        let conditions = Conditions {
            density_kg_m3: 1.225,
            viscosity_pa_s: 1.79e-5,
            flow: &flow,
            slipstream: Some(&jet),
            deflections: &deflections,
            lost: LostParts {
                wing_left: tick > 300,
                ..LostParts::default()
            },
            dt_s: 0.002,
        };
        let one = airborne.step_blocks::<_, 16>(Plain, &conditions, &mut plain);
        let other = airborne.step(&conditions, &mut wide);
        assert_eq!(bits(&one, &plain), bits(&other, &wide), "tick {tick}");
        // Each kind of vector processor that this machine can be, not only the
        // best of them.
        #[cfg(target_arch = "x86_64")]
        for (name, loads) in [
            (
                "AVX2",
                pulp::x86::V3::try_new()
                    .map(|p| airborne.step_blocks::<_, 16>(p, &conditions, &mut narrower)),
            ),
            (
                "AVX-512",
                pulp::x86::V4::try_new()
                    .map(|p| airborne.step_blocks::<_, 16>(p, &conditions, &mut widest)),
            ),
        ] {
            let state = if name == "AVX2" { &narrower } else { &widest };
            if let Some(loads) = loads {
                assert_eq!(
                    bits(&one, &plain),
                    bits(&loads, state),
                    "{name}, tick {tick}"
                );
            }
        }
    }
}

/// A plane that takes over what another has reckoned of its power train flies as
/// one that was made from nothing.
#[test]
fn what_is_taken_over_from_another_plane_changes_no_bit() {
    let changes: [fn(&mut Airframe); 5] = [
        |plane| plane.measured.mass_kg = Some(0.9),
        |plane| power(plane).battery.charge = 0.3,
        |plane| power(plane).thrust_direction = DVec3::new(1.0, 0.1, 0.05),
        |plane| power(plane).propeller.diameter_m *= 1.1,
        |plane| plane.measured.static_thrust_n = Some(5.0),
    ];
    let shipped = model("marram", 1.0);
    for (number, change) in changes.iter().enumerate() {
        let mut plane = shipped.airframe().clone();
        change(&mut plane);
        let made = FlightModel::new(&plane, shipped.air()).expect("it flies");
        let taken_over = shipped.of_another(&plane).expect("so does this");
        assert_eq!(flown(&made), flown(&taken_over), "change {number}");
        assert_ne!(flown(&made), flown(&shipped), "change {number}");
    }
}

/// By the rules of similarity (Buckingham, Physical Review 4, 1914; from memory) a
/// propeller of the same shape and shaft speed has a thrust that goes with the
/// fourth power of its size, a torque that goes with the fifth, and an inertia too.
/// The Reynolds number, which those leave out, changes by 2.4 % here.
#[test]
fn a_larger_propeller_pulls_with_the_fourth_power_of_its_size() {
    const LARGER: f64 = 1.024;
    let shipped = model("marram", 1.0);
    let larger = shipped.clone().with_propeller_enlarged(LARGER);
    let [shipped, larger] = [&shipped, &larger].map(|of| of.power().expect("it has a motor"));
    for omega_rad_s in [300.0, 600.0, 900.0] {
        let [before, after] = [shipped, larger].map(|of| {
            of.propeller().loads(DiskFlow {
                omega_rad_s,
                ..DiskFlow::default()
            })
        });
        let thrust = after.thrust_n / before.thrust_n;
        let torque = after.torque_n_m / before.torque_n_m;
        let (fourth, fifth) = (libm::pow(LARGER, 4.0), libm::pow(LARGER, 5.0));
        println!("{omega_rad_s} rad/s: thrust {thrust} {fourth}, torque {torque} {fifth}");
        assert!((thrust / fourth - 1.0).abs() < 0.01, "{thrust}");
        assert!((torque / fifth - 1.0).abs() < 0.01, "{torque}");
    }
    let heavier = larger.inertia_kg_m2() - shipped.inertia_kg_m2();
    let expected = shipped.propeller().inertia_kg_m2() * (libm::pow(LARGER, 5.0) - 1.0);
    assert!(
        (heavier / expected - 1.0).abs() < 1e-9,
        "{heavier} {expected}"
    );
}

fn power(plane: &mut Airframe) -> &mut larkfield_airframe::Power {
    plane.power.as_mut().expect("the trainer has a motor")
}

/// Where it is after a second at full throttle, and how fast.
fn flown(model: &FlightModel) -> [u64; 7] {
    let mut state = model.state_at_rest();
    state.position_m.z = -20.0;
    state.velocity_m_s = DVec3::new(9.0, 0.0, 0.5);
    let controls = Controls {
        throttle: 1.0,
        ..Controls::default()
    };
    let around = Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: 9.80665,
    };
    for _ in 0..500 {
        model.step(&mut state, &controls, &around, 0.002);
    }
    let DVec3 { x, y, z } = state.position_m;
    let v = state.velocity_m_s;
    [x, y, z, v.x, v.y, v.z, state.power.omega_rad_s].map(f64::to_bits)
}
