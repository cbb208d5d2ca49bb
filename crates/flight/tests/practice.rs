//! The shipped trainer against what people who fly such planes expect.
//!
//! Common practice, no source: the limits are those of a good polyhedral
//! rudder-elevator trainer. A plane outside them is not thereby wrong, but one
//! that ships as the good trainer should be inside.
#![allow(missing_docs)]

mod support;

use std::f64::consts::PI;

use glam::{DQuat, DVec2, DVec3, EulerRot};
use larkfield_airframe::{Airframe, Rotation};
use larkfield_flight::{CarriedMotion, Controls, FlightModel, FlightState, StepReport};
use larkfield_proof::{Chapter, Checks};
use support::{AIR, shipped, still_air, thrown};

const TICK_S: f64 = 0.002;

/// Euler angles: yaw, pitch, bank in degrees.
fn angles_deg(state: &FlightState) -> DVec3 {
    let (yaw, pitch, bank) = state.attitude.to_euler(EulerRot::ZYX);
    DVec3::new(yaw, pitch, bank) * (180.0 / PI)
}

struct Flight<'a> {
    model: &'a FlightModel,
    state: FlightState,
    time_s: f64,
}

impl<'a> Flight<'a> {
    /// See [`thrown`].
    fn thrown(model: &'a FlightModel, speed_m_s: f64, pitch_deg: f64, throttle: f64) -> Self {
        let controls = Controls {
            throttle,
            ..Controls::default()
        };
        Self {
            state: thrown(model, speed_m_s, pitch_deg, &controls, TICK_S),
            model,
            time_s: 0.0,
        }
    }

    /// In the air at a speed, level, high up.
    fn aloft(model: &'a FlightModel, speed_m_s: f64) -> Self {
        let mut state = model.state_at_rest();
        state.position_m.z = -400.0;
        state.velocity_m_s = DVec3::X * speed_m_s;
        Self {
            model,
            state,
            time_s: 0.0,
        }
    }

    fn step(&mut self, controls: &Controls) -> StepReport {
        self.time_s += TICK_S;
        (self.model).step(&mut self.state, controls, &still_air(), TICK_S)
    }

    /// Rudder as a calm pilot keeps the wings level with it.
    fn level_rudder(&self) -> f64 {
        let bank = angles_deg(&self.state).z;
        let rate = self.state.rates_rad_s.x.to_degrees();
        (-0.02 * bank - 0.006 * rate).clamp(-1.0, 1.0)
    }

    /// Elevator centred, wings kept level; averages over the last half.
    fn cruise(&mut self, throttle: f64, seconds: f64) -> Average {
        let ticks = (seconds / TICK_S) as u32;
        let mut from = (DVec3::ZERO, 0.0);
        let mut stalled: f64 = 0.0;
        for k in 0..ticks {
            if k == ticks / 2 {
                from = (self.state.position_m, self.time_s);
            }
            let report = self.step(&Controls {
                yaw: self.level_rudder(),
                throttle,
                ..Controls::default()
            });
            if k >= ticks / 2 {
                stalled = stalled.max(0.5 * (report.stalled_left + report.stalled_right));
            }
        }
        let moved = self.state.position_m - from.0;
        let lasted = self.time_s - from.1;
        Average {
            climb_m_s: -moved.z / lasted,
            ground_m_s: moved.truncate().length() / lasted,
            stalled,
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct Average {
    climb_m_s: f64,
    ground_m_s: f64,
    stalled: f64,
}

/// Throttle at which it holds its height with the elevator centred.
fn level_throttle(model: &FlightModel) -> f64 {
    let (mut low, mut high) = (0.1, 1.0);
    for _ in 0..9 {
        let middle = 0.5 * (low + high);
        let climb = Flight::aloft(model, 8.0).cruise(middle, 40.0).climb_m_s;
        println!("throttle {middle:.3}: climb {climb:.3} m/s");
        if climb < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[test]
fn the_good_trainer_flies_as_trainers_do() {
    let plane = shipped("marram");
    let model = FlightModel::new(&plane, AIR).expect("model");
    let mut checks = Checks::new(
        Chapter::Practice,
        "The good trainer",
        "common practice, no source",
    );

    // A gentle toss, nose up, three quarters of the throttle, sticks still
    // but for the rudder that keeps it straight.
    for pitch_deg in [15.0, 20.0] {
        let mut flight = Flight::thrown(&model, 6.0, pitch_deg, 0.75);
        let start = flight.state.position_m;
        let mut low = f64::MAX;
        while flight.time_s < 6.0 {
            let controls = Controls {
                yaw: flight.level_rudder(),
                throttle: 0.75,
                ..Controls::default()
            };
            flight.step(&controls);
            low = low.min(-flight.state.position_m.z);
        }
        let climb = (start.z - flight.state.position_m.z) / flight.time_s;
        checks.between(
            &format!("toss, nose {pitch_deg} deg up: climb over 6 s, m/s"),
            climb,
            1.5,
            6.0,
        );
        checks.between(
            &format!("toss, nose {pitch_deg} deg up: lowest height, m"),
            low,
            1.3,
            10.0,
        );
    }

    let throttle = level_throttle(&model);
    checks.between("throttle of trimmed level flight", throttle, 0.40, 0.75);

    let shallow = Flight::aloft(&model, 8.0).cruise(0.24, 40.0);
    let slope = (-shallow.climb_m_s / shallow.ground_m_s)
        .atan()
        .to_degrees();
    checks.between(
        "just under a quarter of the throttle: descent, deg",
        slope,
        1.0,
        10.0,
    );
    checks.between(
        "the same: separated share of the wing",
        shallow.stalled,
        0.0,
        0.3,
    );

    let glide = Flight::aloft(&model, 8.0).cruise(0.0, 40.0);
    let ratio = glide.ground_m_s / -glide.climb_m_s;
    checks.between("glide, metres for a metre of height", ratio, 5.0, 9.0);

    // Right rudder from trimmed level flight.
    let mut flight = Flight::aloft(&model, 8.0);
    flight.cruise(throttle, 20.0);
    let before = angles_deg(&flight.state).z;
    let start_s = flight.time_s;
    let mut banked_s = f64::NAN;
    while flight.time_s < start_s + 3.0 {
        flight.step(&Controls {
            yaw: 0.5,
            throttle,
            ..Controls::default()
        });
        let bank = angles_deg(&flight.state).z - before;
        if banked_s.is_nan() && bank > 10.0 {
            banked_s = flight.time_s - start_s;
        }
    }
    checks.between(
        "half right rudder: seconds to a bank of 10 deg right",
        banked_s,
        0.3,
        0.8,
    );

    torque(&mut checks, &plane);
    checks.finish();
}

/// A second after a release at 6 m/s and three quarters throttle with the sticks
/// still.
struct Torque {
    /// Largest roll rate to the left.
    left_deg_s: f64,
    /// Largest at the shaft.
    torque_n_m: f64,
    power_w: f64,
}

impl Torque {
    fn of(plane: &Airframe) -> Self {
        let throttle = 0.75;
        let model = FlightModel::new(plane, AIR).expect("model");
        let motor = plane.power.as_ref().map(|p| p.motor).expect("a motor");
        let mut flight = Flight::thrown(&model, 6.0, 10.0, throttle);
        let mut most = Self {
            left_deg_s: 0.0,
            torque_n_m: 0.0,
            power_w: 0.0,
        };
        while flight.time_s < 1.0 {
            let report = flight.step(&Controls {
                throttle,
                ..Controls::default()
            });
            let left_deg_s = -flight.state.rates_rad_s.x.to_degrees();
            most.left_deg_s = most.left_deg_s.max(left_deg_s);
            // First-order motor: torque is current less that without load, over Kv.
            let current_a = report.current_a / throttle;
            let torque_n_m = (current_a - motor.no_load_current_a) / motor.speed_constant_rad_s_v;
            most.torque_n_m = most.torque_n_m.max(torque_n_m);
            most.power_w = most.power_w.max(torque_n_m * report.propeller_rad_s);
        }
        most
    }
}

/// The rule is 20 to 30 deg/s to the left with 80 to 150 W at the shaft, which is
/// 0.10 to 0.16 N m, at 6 m/s.
fn torque(checks: &mut Checks, plane: &Airframe) {
    let as_built = Torque::of(plane);
    // As strong as the rule has it: a propeller of 10 x 6 in, another cell.
    let mut strong = plane.clone();
    let power = strong.power.as_mut().expect("a motor");
    power.thrust_direction = DVec3::X;
    power.battery.cells = 3;
    power.propeller.diameter_m = 0.0254 * 10.0;
    let strong = Torque::of(&strong);
    let motor = "motor straight, 3 cells and 10 x 6 in, three quarters";
    let what = format!("{motor}: power at the shaft, W");
    checks.between(&what, strong.power_w, 80.0, 150.0);
    let what = format!("{motor}: torque, N m");
    checks.between(&what, strong.torque_n_m, 0.10, 0.16);
    checks.between(
        &format!("{motor}: that torque over the roll damping at 6 m/s, deg/s"),
        strong.torque_n_m / roll_damping_n_m_s(plane, 6.0) * (180.0 / PI),
        20.0,
        30.0,
    );
    let back = "The rule is torque over roll damping, and that holds, see above. In flight wing and \
                tail take about half of it back out of the swirl of the slipstream (that it counteracts \
                torque: FAA-H-8083-25, chapter 5, corkscrew effect; from memory), for which the rule \
                has nothing, and the plane gathers speed from the first instant.";
    checks.known_miss(
        &format!("{motor}: roll to the left after a throw, deg/s"),
        strong.left_deg_s,
        25.0,
        5.0,
        back,
    );
    checks.known_miss(
        "as built at launch power: roll to the left, deg/s",
        as_built.left_deg_s,
        25.0,
        5.0,
        &format!(
            "{back} As built it has {:.0} W at the shaft and {:.3} N m, and right thrust.",
            as_built.power_w, as_built.torque_n_m,
        ),
    );
    checks.source("angular momentum is conserved: closed form");
    for name in ["marram", "curlew", "sandpiper"] {
        for speed_m_s in [6.0, 9.0] {
            let what = format!(
                "{name} at {speed_m_s} m/s: share of the shaft's torque that wing and tail take back \
                 out of the swirl"
            );
            checks.between(&what, swirl_share(&shipped(name), speed_m_s), 0.0, 1.0);
        }
    }
}

/// Rolling moment of the air against the roll for each rad/s, at a speed in level
/// flight without power.
fn roll_damping_n_m_s(plane: &Airframe, speed_m_s: f64) -> f64 {
    let model = FlightModel::new(plane, AIR).expect("model");
    let moment_n_m = |rate_rad_s: f64| {
        let mut state = model.state_at_rest();
        state.position_m.z = -50.0;
        state.velocity_m_s = DVec3::new(speed_m_s, 0.0, 0.3);
        state.rates_rad_s.x = rate_rad_s;
        let loads = model.settled_loads(&mut state, 0.0, &still_air());
        loads.air_moment_n_m.x
    };
    -(moment_n_m(0.2) - moment_n_m(-0.2)) / 0.4
}

/// Rolling moment of the air that changes sides with the sense of the propeller,
/// over its torque; level flight.
fn swirl_share(plane: &Airframe, speed_m_s: f64) -> f64 {
    let moments_n_m = |rotation| {
        let mut plane = plane.clone();
        let power = plane.power.as_mut().expect("a motor");
        power.propeller.rotation = rotation;
        let model = FlightModel::new(&plane, AIR).expect("model");
        let mut state = model.state_at_rest();
        state.position_m.z = -50.0;
        state.velocity_m_s = DVec3::new(speed_m_s, 0.0, 0.3);
        let loads = model.settled_loads(&mut state, 0.75, &still_air());
        DVec2::new(loads.air_moment_n_m.x, loads.propeller_moment_n_m.x)
    };
    let both = moments_n_m(Rotation::Clockwise) - moments_n_m(Rotation::Anticlockwise);
    -both.x / both.y
}

/// What a launch, its apex and its touch-down come to, hands off: two seconds
/// at launch power, then a glide to the ground.
fn launch(model: &FlightModel, tick_s: f64) -> [f64; 4] {
    let pitch = 10f64.to_radians();
    let velocity = 6.0 * DVec3::new(pitch.cos(), 0.0, -pitch.sin());
    let mut state = model.state_at_rest();
    let controls = |throttle: f64| Controls {
        throttle,
        ..Controls::default()
    };
    let held = (1.0 / tick_s) as u32;
    for k in 1..=held {
        let motion = CarriedMotion {
            position_m: DVec3::new(0.0, 0.0, -1.8),
            velocity_m_s: velocity * (f64::from(k) / f64::from(held)),
            attitude: DQuat::from_euler(EulerRot::ZYX, 0.0, pitch, 0.0),
            rates_rad_s: DVec3::ZERO,
        };
        model.carry(&mut state, &motion, &controls(0.75), &still_air(), tick_s);
    }
    let (mut apex_m, mut alpha_deg, mut time_s) = (0.0_f64, 0.0_f64, 0.0);
    let mut before = state.position_m;
    while state.position_m.z < 0.0 && time_s < 60.0 {
        before = state.position_m;
        let throttle = if time_s < 2.0 { 0.75 } else { 0.0 };
        let report = model.step(&mut state, &controls(throttle), &still_air(), tick_s);
        time_s += tick_s;
        apex_m = apex_m.max(-state.position_m.z);
        alpha_deg = alpha_deg.max(report.alpha_rad.to_degrees());
    }
    // Where the path meets the ground, between two ticks.
    let share = before.z / (before.z - state.position_m.z);
    let touch = before.lerp(state.position_m, share);
    [apex_m, alpha_deg, touch.x, touch.y]
}

#[test]
fn halving_the_tick_moves_a_launch_by_less_than_one_per_cent() {
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "A launch with half the tick",
        "the same launch, two seconds of power and a glide, with half the tick; allowed 1 % (of \
         the distance flown for the touch-down point)",
    );
    for name in ["marram", "curlew", "sandpiper", "ternwing", "marram-warped"] {
        let model = FlightModel::new(&shipped(name), AIR).expect("model");
        let [coarse, fine] = [0.002, 0.001].map(|tick_s| launch(&model, tick_s));
        let far = fine[2].hypot(fine[3]);
        checks.share(&format!("{name}: apex, m"), coarse[0], fine[0], 0.01);
        let what = format!("{name}: largest angle of attack, deg");
        checks.share(&what, coarse[1], fine[1], 0.01);
        let what = format!("{name}: touch-down north, m");
        checks.near(&what, coarse[2], fine[2], 0.01 * far);
        let what = format!("{name}: touch-down east, m");
        checks.near(&what, coarse[3], fine[3], 0.01 * far);
    }
    checks.finish();
}
