//! What the table of many flights says of one, worked out by hand.

use glam::DVec3;
use larkfield_lesson::{
    Conditions, Field, Goal, LandingPlan, Lesson, Outcome, Performance, Phase, TouchArea, outcome,
    score,
};
use larkfield_pilot::{LandingTechnique, Undercarriage};
use larkfield_recording::{Event, EventKind, FlightStage, Recording, Sample};

/// Climb, then land in a box 40 m by 20 m around 20 m north, 60 m east.
fn lesson() -> Lesson {
    let phase = |name: &str, goal| Phase {
        name: name.to_owned(),
        goal,
        marks: Vec::new(),
    };
    Lesson {
        landing: Some(LandingPlan {
            aim_north_m: 20.0,
            aim_east_m: 60.0,
            box_length_m: 40.0,
            box_width_m: 20.0,
            circuit_height_m: 12.0,
            spacing_m: 35.0,
        }),
        phases: vec![
            phase("climb", Goal::ClimbTo { height_m: 8.0 }),
            phase(
                "touch",
                Goal::Touch {
                    area: TouchArea::Box,
                    technique: LandingTechnique::Usual,
                },
            ),
        ],
        ..Lesson::first_hand_launch()
    }
}

/// 3 m/s from the east: skids land to the east.
fn day() -> Conditions {
    Conditions {
        wind_m_s: DVec3::new(0.0, -3.0, 0.0),
        gust_m_s: 0.0,
        undercarriage: Undercarriage::Skids,
    }
}

/// Released at 1 s at 1.8 m, 1.5 m at 2 s, 9 m at 6 s, on the ground at 10 s:
/// 6 m beyond the aim and 3 m to the right of it, that is south, as the nose
/// points 6 degrees left of east.
fn sample(time_s: f64) -> Sample {
    let height_m = match time_s {
        t if t < 2.0 => 1.8 - 0.3 * (t - 1.0).max(0.0),
        t if t < 6.0 => 1.5 + 7.5 * (t - 2.0) / 4.0,
        t => 9.0 * (10.0 - t) / 4.0,
    };
    Sample {
        time_s,
        stage: match time_s {
            t if t < 1.0 => FlightStage::InHand,
            t if t < 10.0 => FlightStage::Free,
            _ => FlightStage::Ground,
        },
        north_m: 17.0,
        east_m: 66.0,
        height_m,
        velocity_north_m_s: -0.4,
        velocity_east_m_s: 5.0,
        heading_rad: 84.0_f64.to_radians(),
        bank_rad: -(5.0_f64.to_radians()),
        stick_throttle: 0.25,
        ..Sample::default()
    }
}

fn flight() -> Recording {
    let event = |time_s, kind| Event { time_s, kind };
    Recording {
        interval_s: 0.5,
        samples: (0..=24).map(|i| sample(0.5 * f64::from(i))).collect(),
        events: vec![
            event(1.0, EventKind::Released),
            event(4.0, EventKind::Stalled),
            event(
                5.5,
                EventKind::PhaseDone {
                    phase: "climb".to_owned(),
                },
            ),
            event(9.5, EventKind::Stalled),
            event(
                10.0,
                EventKind::TouchedGround {
                    sink_m_s: 0.8,
                    part: "belly".to_owned(),
                },
            ),
            event(
                10.0,
                EventKind::PhaseFailed {
                    why: "touch: for a reason".to_owned(),
                },
            ),
            event(
                12.0,
                EventKind::Ended {
                    reason: "it lay still".to_owned(),
                },
            ),
        ],
    }
}

fn look(recording: &Recording) -> Outcome {
    outcome(&lesson(), &Field::open_meadow(), recording, &day())
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() < 1e-9
}

#[test]
fn times_heights_and_reasons_are_those_of_the_recording() {
    let found = look(&flight());
    assert_eq!(found.released_s, Some(1.0));
    assert_eq!(found.phases_done_s, [Some(5.5), None]);
    // The lowest of 1 to 4 s is at 2 s.
    assert!(found.lowest_in_first_m.is_some_and(|m| near(m, 1.5)));
    assert_eq!(found.flying_after_first, Some(true));
    // Half way from 1.5 m to 9 m.
    assert!(
        found
            .first_stall
            .is_some_and(|(time_s, height_m)| time_s == 4.0 && near(height_m, 5.25))
    );
    assert_eq!(found.failed, "touch: for a reason");
    assert_eq!(found.ended_by, "it lay still");
}

#[test]
fn the_touch_is_measured_against_the_landing_direction() {
    let touch = look(&flight()).touch.unwrap();
    assert_eq!(touch.time_s, 10.0);
    assert!(near(touch.along_m, 6.0), "{touch:?}");
    assert!(near(touch.right_m, 3.0), "{touch:?}");
    assert!(touch.in_area);
    assert_eq!(touch.sink_m_s, 0.8);
    assert_eq!(touch.part, "belly");
    // 5 m/s east and 0.4 m/s south.
    assert!(near(touch.ground_speed_m_s, 25.16_f64.sqrt()), "{touch:?}");
    // Right of a nose at 84 degrees: 0.4 sin 84 + 5 cos 84.
    assert!((touch.drift_m_s - 0.920_451).abs() < 1e-6, "{touch:?}");
    assert!(near(touch.heading_error_deg, -6.0), "{touch:?}");
    assert!(near(touch.bank_deg, -5.0), "{touch:?}");
    assert_eq!(touch.throttle_fraction, 0.25);
}

#[test]
fn a_phase_done_in_the_last_instant_is_done_for_table_and_score_alike() {
    let mut lesson = lesson();
    for (name, goal) in [
        ("roll out", Goal::RollOut),
        ("disarm", Goal::Disarm { within_s: 8.0 }),
    ] {
        lesson.phases.push(Phase {
            name: name.to_owned(),
            goal,
            marks: Vec::new(),
        });
    }
    let mut recording = flight();
    let end = recording.events.pop().unwrap();
    recording.events.pop();
    // The throttle was cut while it still rolled: both end with the flight.
    for (name, time_s) in [("touch", 10.0), ("roll out", 12.0), ("disarm", 12.0)] {
        let phase = name.to_owned();
        recording.events.push(Event {
            time_s,
            kind: EventKind::PhaseDone { phase },
        });
    }
    recording.events.push(end);
    let (field, day) = (Field::open_meadow(), day());
    let table = outcome(&lesson, &field, &recording, &day);
    assert!(table.phases_done_s.iter().all(Option::is_some));
    let score = score(&lesson, &field, &recording, &Performance::default(), &day);
    assert!(score.goal_reached, "{:?}", score.phases);
}

#[test]
fn a_touch_beside_the_box_is_outside() {
    let mut recording = flight();
    for sample in &mut recording.samples {
        sample.north_m = 20.0 + 10.5;
    }
    let touch = look(&recording).touch.unwrap();
    assert!(!touch.in_area && near(touch.right_m, -10.5), "{touch:?}");
}

#[test]
fn without_a_landing_the_strip_counts() {
    let field = Field::open_meadow();
    let lesson = Lesson::first_hand_launch();
    let touch = outcome(&lesson, &field, &flight(), &day()).touch.unwrap();
    // The strip of the meadow points north.
    assert!(near(field.strip.heading_rad, 0.0));
    assert!(near(touch.along_m, 17.0 - field.strip.north_m), "{touch:?}");
    assert!(near(touch.right_m, 66.0 - field.strip.east_m), "{touch:?}");
    assert!(near(touch.heading_error_deg, 84.0), "{touch:?}");
}

#[test]
fn an_early_touch_or_break_is_no_flight_and_nothing_is_made_of_nothing() {
    let mut recording = flight();
    recording.events[1] = Event {
        time_s: 3.9,
        kind: EventKind::TouchedGround {
            sink_m_s: 1.0,
            part: "nose".to_owned(),
        },
    };
    let found = look(&recording);
    assert_eq!(found.flying_after_first, Some(false));
    // The stall of later is not in the air.
    assert_eq!(found.first_stall, None);
    assert_eq!(found.touch.map(|touch| touch.part).as_deref(), Some("nose"));

    let nothing = look(&Recording::default());
    assert_eq!(nothing.released_s, None);
    assert_eq!(nothing.lowest_in_first_m, None);
    assert_eq!(nothing.touch, None);
}

#[test]
fn hops_before_lifting_off_are_neither_touch_nor_flight() {
    let mut lesson = lesson();
    lesson.phases[0].goal = Goal::LiftOff;
    let mut recording = flight();
    recording.events.remove(0);
    recording.events[0].kind = EventKind::TouchedGround {
        sink_m_s: 0.1,
        part: "left wheel".to_owned(),
    };
    for sample in &mut recording.samples {
        if sample.time_s < 1.0 {
            sample.stage = FlightStage::Ground;
        }
    }
    let found = outcome(&lesson, &Field::open_meadow(), &recording, &day());
    assert_eq!(found.released_s, Some(0.0));
    assert_eq!(found.lowest_in_first_m, None);
    assert_eq!(found.flying_after_first, None);
    assert_eq!(
        found.touch.map(|touch| touch.part).as_deref(),
        Some("belly")
    );
    assert_eq!(found.first_stall.map(|(time_s, _)| time_s), Some(9.5));
}
