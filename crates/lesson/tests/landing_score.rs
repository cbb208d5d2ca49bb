//! Values of a landing, worked out by hand from one made up for the purpose.

use glam::DVec3;
use larkfield_lesson::{
    AirStart, Conditions, Field, Goal, LandingPlan, Lesson, MarkKind, MarkRule, Performance, Phase,
    Scale, Score, TouchArea, score,
};
use larkfield_pilot::{LandingTechnique, Undercarriage};
use larkfield_recording::{Event, EventKind, FlightStage, Recording, Sample};

/// Landing north at 20 m, 60 m on the open meadow; a light wind from 10 deg.
fn conditions() -> Conditions {
    let (sine, cosine) = libm::sincos(10.0_f64.to_radians());
    Conditions {
        wind_m_s: DVec3::new(-cosine, -sine, 0.0) * 2.0,
        gust_m_s: 0.0,
        undercarriage: Undercarriage::Wheels,
    }
}

/// Marks that are worth a point each, all of it above nothing.
fn marks(kinds: &[MarkKind]) -> Vec<MarkRule> {
    let rule = |kind: &MarkKind| MarkRule {
        kind: *kind,
        points: 1.0,
        scale: Scale::AtMost {
            full: 0.0,
            zero: 1e6,
        },
        only: None,
    };
    kinds.iter().map(rule).collect()
}

fn lesson() -> Lesson {
    let phase = |name: &str, goal, kinds: &[MarkKind]| Phase {
        name: name.to_owned(),
        goal,
        marks: marks(kinds),
    };
    let touch = Goal::Touch {
        area: TouchArea::Box,
        technique: LandingTechnique::Usual,
    };
    Lesson {
        air_start: Some(AirStart::Final {
            before_m: 80.0,
            height_m: 10.0,
        }),
        landing: Some(LandingPlan {
            aim_north_m: 20.0,
            aim_east_m: 60.0,
            box_length_m: 40.0,
            box_width_m: 20.0,
            circuit_height_m: 12.0,
            spacing_m: 35.0,
        }),
        phases: vec![
            phase(
                "final",
                Goal::Final { to_m: 2.0 },
                &[
                    MarkKind::Steadiness,
                    MarkKind::CentreLine,
                    MarkKind::Alignment,
                ],
            ),
            phase(
                "touch",
                touch,
                &[
                    MarkKind::SinkAtTouch,
                    MarkKind::DriftAtTouch,
                    MarkKind::IntoWind,
                    MarkKind::DistanceFromAim,
                    MarkKind::CentreLine,
                    MarkKind::Alignment,
                    MarkKind::PowerAtTouch,
                    MarkKind::Float,
                    MarkKind::FlareHeight,
                    MarkKind::StallHeight,
                    MarkKind::HeldOff,
                    MarkKind::GoalReached,
                ],
            ),
            phase(
                "roll",
                Goal::RollOut,
                &[MarkKind::RollOut, MarkKind::Bounces, MarkKind::CentreLine],
            ),
            phase(
                "disarm",
                Goal::Disarm { within_s: 9.0 },
                &[MarkKind::TimeToDisarm],
            ),
        ],
        ..Lesson::first_hand_launch()
    }
}

/// Comes down at 1.5 m/s until 1 m above the touch, then at 0.5 m/s for 2 s, at
/// 7 m/s to the north and 0.7 m/s to the east; touches at 10 s with the balance
/// point at 0.1 m, 3 m beyond the aim point and 4 m east of it; rolls straight
/// north from 6 m/s to rest in 3 s; disarmed 2 s later.
const TOUCH_S: f64 = 10.0;
const REST_S: f64 = 13.0;

fn sample(time_s: f64) -> Sample {
    let left_s = TOUCH_S - time_s;
    let touched = left_s <= 1e-9;
    let rolled_s = (time_s - TOUCH_S).clamp(0.0, 3.0);
    let above_m = if left_s > 2.0 {
        1.0 + 1.5 * (left_s - 2.0)
    } else {
        0.5 * left_s.max(0.0)
    };
    Sample {
        time_s,
        stage: if touched {
            FlightStage::Ground
        } else {
            FlightStage::Free
        },
        north_m: 23.0 - 7.0 * left_s.max(0.0) + 6.0 * rolled_s - rolled_s * rolled_s,
        east_m: 64.0 - 0.7 * left_s.max(0.0),
        height_m: 0.1 + above_m,
        velocity_north_m_s: if touched { 6.0 - 2.0 * rolled_s } else { 7.0 },
        velocity_east_m_s: if touched { 0.0 } else { 0.7 },
        climb_m_s: if touched {
            0.0
        } else if left_s > 2.0 {
            -1.5
        } else {
            -0.5
        },
        airspeed_m_s: 8.0,
        stall_margin_rad: 4.0_f64.to_radians(),
        // Stalled for a moment, half a metre above the touch.
        stalled_left: if (left_s - 1.0).abs() < 0.03 {
            1.0
        } else {
            0.0
        },
        stick_throttle: if left_s > 1.0 { 0.3 } else { 0.02 },
        ..Sample::default()
    }
}

fn recording() -> Recording {
    let event = |time_s, kind| Event { time_s, kind };
    let done = |name: &str| EventKind::PhaseDone {
        phase: name.to_owned(),
    };
    let touched = |sink_m_s| EventKind::TouchedGround {
        sink_m_s,
        part: "gear".to_owned(),
    };
    Recording {
        interval_s: 0.02,
        samples: (0..=750).map(|k| sample(f64::from(k) * 0.02)).collect(),
        events: vec![
            // 2 m are passed 2 + 0.9 / 1.5 s before the touch.
            event(TOUCH_S - 2.6, done("final")),
            event(TOUCH_S, touched(0.5)),
            event(TOUCH_S, done("touch")),
            event(TOUCH_S + 0.5, touched(0.1)),
            event(REST_S, done("roll")),
            event(REST_S + 2.0, done("disarm")),
        ],
    }
}

fn scored(recording: &Recording) -> Score {
    score(
        &lesson(),
        &Field::open_meadow(),
        recording,
        &Performance::default(),
        &conditions(),
    )
}

#[track_caller]
fn check(score: &Score, phase: &str, kind: MarkKind, wanted: f64, tolerance: f64) {
    let found = score
        .marks
        .iter()
        .find(|mark| mark.phase == phase && mark.name == kind.name());
    let value = found.and_then(|mark| mark.value).unwrap_or(f64::NAN);
    assert!(
        (value - wanted).abs() <= tolerance,
        "{phase}, {kind:?}: {value}, wanted {wanted}"
    );
}

#[test]
fn a_landing_has_the_values_that_geometry_gives_it() {
    let score = scored(&recording());
    assert!(
        score.goal_reached && score.zeroed_by.is_none(),
        "{score:#?}"
    );
    // One sample of 20 ms at 7 m/s is 0.14 m, at 0.5 m/s 0.01 m.
    let step_m = 0.15;
    check(&score, "final", MarkKind::Steadiness, 0.0, 1e-9);
    // 2.6 s before the touch it is 0.7 x 2.6 = 1.82 m less far east than 4 m.
    check(&score, "final", MarkKind::CentreLine, 2.18, 0.02);
    // atan(0.7 / 7) = 5.71 deg off the landing direction.
    check(&score, "final", MarkKind::Alignment, 5.711, 0.01);
    check(&score, "touch", MarkKind::SinkAtTouch, 0.5, 1e-9);
    check(&score, "touch", MarkKind::DriftAtTouch, 0.7, 1e-9);
    check(&score, "touch", MarkKind::IntoWind, 10.0, 1e-6);
    check(&score, "touch", MarkKind::DistanceFromAim, 5.0, step_m);
    check(&score, "touch", MarkKind::CentreLine, 4.0, 0.02);
    check(&score, "touch", MarkKind::Alignment, 0.0, 1e-9);
    check(&score, "touch", MarkKind::PowerAtTouch, 2.0, 1e-9);
    // The last metre takes 2 s at sqrt(7^2 + 0.7^2) = 7.035 m/s.
    check(&score, "touch", MarkKind::Float, 14.07, step_m);
    // From 1 m on the sink is a third of the approach's.
    check(&score, "touch", MarkKind::FlareHeight, 1.0, 0.05);
    check(&score, "touch", MarkKind::StallHeight, 0.5, 0.03);
    check(&score, "touch", MarkKind::HeldOff, 4.0, 1e-9);
    check(&score, "touch", MarkKind::GoalReached, 100.0, 1e-9);
    // 6 m/s to rest in 3 s are 9 m.
    check(&score, "roll", MarkKind::RollOut, 9.0, step_m);
    check(&score, "roll", MarkKind::Bounces, 1.0, 1e-9);
    check(&score, "roll", MarkKind::CentreLine, 4.0, 1e-9);
    check(&score, "disarm", MarkKind::TimeToDisarm, 2.0, 1e-9);
    let times: Vec<Option<f64>> = score.phases.iter().map(|phase| phase.to_s).collect();
    assert_eq!(times, [Some(7.4), Some(10.0), Some(13.0), Some(15.0)]);
}

#[test]
fn a_touch_outside_the_box_is_measured_but_not_reached() {
    let mut outside = recording();
    outside
        .events
        .retain(|event| !matches!(&event.kind, EventKind::PhaseDone { phase } if phase != "final"));
    let score = scored(&outside);
    assert!(!score.goal_reached && !score.passed);
    check(&score, "touch", MarkKind::SinkAtTouch, 0.5, 1e-9);
    check(&score, "touch", MarkKind::GoalReached, 0.0, 1e-9);
    assert!(!score.phases[1].done && score.phases[2].from_s.is_none());
    let rolled = score.marks.iter().filter(|mark| mark.phase == "roll");
    assert!(rolled.clone().count() == 3 && rolled.clone().all(|mark| mark.points == 0.0));
}
