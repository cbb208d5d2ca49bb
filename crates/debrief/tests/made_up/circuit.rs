//! A made-up circuit with a landing: a rectangle with rounded corners, flown at
//! 8 m/s from the downwind leg to rest. It is no output of the flight model.

use core::f64::consts::PI;

use larkfield_debrief::{DebriefInput, LandingPlace, PhaseLine};
use larkfield_recording::{Event, EventKind, FlightStage, Recording, Sample};

const SPEED_M_S: f64 = 8.0;
const RATE_HZ: f64 = 50.0;
/// Ends of the legs along the way, metres, and the radius of the corners.
const DOWNWIND_M: f64 = 110.0;
const RADIUS_M: f64 = 12.0;
const BASE_M: f64 = 20.0;
const FINAL_M: f64 = 60.0;

/// North, east and heading after a way; the touch point is at 20 m, 25 m.
fn place(way_m: f64) -> (f64, f64, f64) {
    let corner_m = 0.5 * PI * RADIUS_M;
    let (start_north, east) = (80.0, 69.0);
    let south_m = start_north - DOWNWIND_M;
    let mut way = way_m;
    if way < DOWNWIND_M {
        return (start_north - way, east, PI);
    }
    way -= DOWNWIND_M;
    if way < corner_m {
        let turn = way / RADIUS_M;
        return (
            south_m - RADIUS_M * libm::sin(turn),
            east - RADIUS_M * (1.0 - libm::cos(turn)),
            PI + turn,
        );
    }
    way -= corner_m;
    if way < BASE_M {
        return (south_m - RADIUS_M, east - RADIUS_M - way, 1.5 * PI);
    }
    way -= BASE_M;
    if way < corner_m {
        let turn = way / RADIUS_M;
        return (
            south_m - RADIUS_M * libm::cos(turn),
            east - RADIUS_M - BASE_M - RADIUS_M * libm::sin(turn),
            1.5 * PI + turn,
        );
    }
    way -= corner_m;
    (south_m + way, east - 2.0 * RADIUS_M - BASE_M, 2.0 * PI)
}

fn recording() -> Recording {
    let touch_m = DOWNWIND_M + PI * RADIUS_M + BASE_M + FINAL_M;
    let touch_s = touch_m / SPEED_M_S;
    let rest_s = touch_s + 2.0;
    let mut samples = Vec::new();
    for index in 0..=((rest_s + 2.5) * RATE_HZ) as usize {
        let time_s = index as f64 / RATE_HZ;
        let sliding_s = (time_s - touch_s).clamp(0.0, 2.0);
        // Evenly slower over two seconds of sliding.
        let way_m = SPEED_M_S * time_s.min(touch_s)
            + SPEED_M_S * (sliding_s - 0.25 * sliding_s * sliding_s);
        let (north_m, east_m, heading_rad) = place(way_m);
        let left_s = (touch_s - time_s).max(0.0);
        let height_m = 0.1
            + (0.4 * left_s)
                .min(12.0)
                .min(0.3 + 1.3 * (left_s - 1.5).max(0.0));
        let height_m = height_m.clamp(0.1, 12.0);
        samples.push(Sample {
            time_s,
            stage: if time_s < touch_s {
                FlightStage::Free
            } else {
                FlightStage::Ground
            },
            north_m,
            east_m,
            height_m,
            heading_rad: heading_rad % (2.0 * PI),
            airspeed_m_s: SPEED_M_S,
            climb_m_s: if left_s > 1.5 && height_m < 12.0 {
                -1.3
            } else {
                -0.3
            },
            stall_margin_rad: 0.1,
            stick_throttle: if left_s > 2.0 { 0.35 } else { 0.0 },
            wind_north_m_s: -2.0,
            nearest_person_m: 30.0,
            safety_line_m: 40.0,
            ..Sample::default()
        });
    }
    let at = |time_s, kind| Event { time_s, kind };
    let done = |name: &str| EventKind::PhaseDone {
        phase: name.to_owned(),
    };
    Recording {
        interval_s: 1.0 / RATE_HZ,
        samples,
        events: vec![
            at(7.5, done("downwind")),
            at(22.0, done("base")),
            at(26.5, done("final")),
            at(
                touch_s,
                EventKind::TouchedGround {
                    sink_m_s: 0.3,
                    part: "belly".to_owned(),
                },
            ),
            at(touch_s, done("flare and touch")),
            at(rest_s, done("roll out")),
            at(
                rest_s + 2.5,
                EventKind::Ended {
                    reason: "the plane came to rest".to_owned(),
                },
            ),
        ],
    }
}

/// A debrief of that flight, its words from another made-up one.
pub fn debrief() -> DebriefInput {
    let line = |name: &str, from_to_s: Option<[f64; 2]>, done| PhaseLine {
        name: name.to_owned(),
        from_to_s,
        done,
    };
    DebriefInput {
        lesson_name: "Approach and landing".to_owned(),
        recording: recording(),
        minimum_level_speed_m_s: Vec::new(),
        goal_heights: Vec::new(),
        landing: Some(LandingPlace {
            corners: vec![[40.0, 35.0], [40.0, 15.0], [0.0, 15.0], [0.0, 35.0]],
            aim: [20.0, 25.0],
            circuit: vec![[80.0, 60.0], [-40.0, 60.0], [-40.0, 25.0], [20.0, 25.0]],
        }),
        phases: vec![
            line("downwind", Some([0.0, 7.5]), true),
            line("base", Some([7.5, 22.0]), true),
            line("final", Some([22.0, 26.5]), true),
            line("flare and touch", Some([26.5, 28.5]), true),
            line("roll out", Some([28.5, 30.5]), true),
            line("stop and disarm", Some([30.5, 33.0]), false),
        ],
        ..super::debrief()
    }
}
