//! The referee against situations worked out by hand.

use glam::DVec3;
use larkfield_lesson::{Conditions, Disk, Field, Lesson, PersonBody, Referee, Watch};
use larkfield_pilot::Arm;
use larkfield_recording::{EventKind, FlightStage, Person};

/// Thrower half a metre behind the launch point, throwing north.
const FEET_M: DVec3 = DVec3::new(-0.5, 0.0, 0.0);

fn referee() -> Referee {
    Referee::new(
        &Lesson::first_hand_launch(),
        &Field::open_meadow(),
        FEET_M,
        &Conditions::default(),
    )
}

fn flying(time_s: f64, north_m: f64, east_m: f64, height_m: f64) -> Watch<'static> {
    Watch {
        time_s,
        stage: FlightStage::Free,
        position_m: DVec3::new(north_m, east_m, -height_m),
        velocity_m_s: DVec3::new(6.0, 0.0, -1.0),
        ..Watch::default()
    }
}

/// Runs the referee over a motion at 100 Hz and collects times and events.
fn run(
    referee: &mut Referee,
    length_s: f64,
    motion: impl Fn(f64) -> Watch<'static>,
) -> Vec<(f64, EventKind)> {
    let mut events = Vec::new();
    for tick in 0..(length_s * 100.0) as u32 {
        let time_s = f64::from(tick) * 0.01;
        for kind in referee.watch(&motion(time_s)) {
            events.push((time_s, kind));
        }
    }
    events
}

fn reason(events: &[(f64, EventKind)]) -> &str {
    match events.last() {
        Some((_, EventKind::Ended { reason })) => reason,
        _ => "",
    }
}

/// 6 m/s to the north and 2 m/s up from 1.8 m, level at 30 m.
fn climb(t: f64) -> Watch<'static> {
    Watch {
        // A thumb at work: the stick moves every tenth of a second.
        stick_roll: 0.1 * (t * 10.0 + 0.5).floor().rem_euclid(2.0),
        ..flying(t, 6.0 * t, 0.0, (1.8 + 2.0 * t).min(30.01))
    }
}

#[test]
fn a_climb_completes_its_phases_and_ends_the_run_at_the_goal() {
    // Released at time 0 from 1.8 m, 6 m/s to the north, climbing 2 m/s:
    // 2 s after release the first phase, (30 - 1.8) / 2 = 14.1 s the second,
    // 5 s within the band of 5 m later the third: the band is left behind, so
    // it counts from 14.1 s, or from the next move of the stick, a tenth of a
    // second later at most.
    let mut referee = referee();
    let events = run(&mut referee, 20.0, climb);
    let done: Vec<f64> = events
        .iter()
        .filter(|(_, kind)| matches!(kind, EventKind::PhaseDone { .. }))
        .map(|(time_s, _)| *time_s)
        .collect();
    assert_eq!(done.len(), 3, "{events:?}");
    for (done_s, wanted_s) in done.iter().zip([2.0, 14.1, 19.1]) {
        assert!((done_s - wanted_s).abs() < 0.12, "{done:?}");
    }
    assert_eq!(reason(&events), "the lesson was completed");
    assert_eq!(events.len(), 4, "nothing else happens: {events:?}");
    assert!(referee.has_ended());
    assert!(referee.watch(&flying(30.0, 0.0, 0.0, 5.0)).is_empty());
}

#[test]
fn leaving_the_launch_endangers_nobody_even_against_the_wind() {
    // 2 m/s over the ground: still inside everybody's 10 m after 3 s.
    let events = run(&mut referee(), 12.0, |t| flying(t, 2.0 * t, 0.0, 1.8 + t));
    assert!(
        !events
            .iter()
            .any(|(_, kind)| matches!(kind, EventKind::NearPerson { .. })),
        "{events:?}"
    );
}

#[test]
fn coming_back_over_the_thrower_is_near_and_the_distance_is_the_closest() {
    // Out to 20 m north at 8 m height, back over the thrower: the top of the
    // head is at 1.75 m, so 6.25 m is the closest.
    let events = run(&mut referee(), 20.0, |t| {
        let north_m = if t < 4.0 {
            5.0 * t
        } else {
            20.0 - 5.0 * (t - 4.0)
        };
        flying(t, north_m, 0.0, 8.0)
    });
    let near: Vec<&EventKind> = events
        .iter()
        .map(|(_, kind)| kind)
        .filter(|kind| {
            matches!(
                kind,
                EventKind::NearPerson {
                    person: Person::Thrower,
                    ..
                }
            )
        })
        .collect();
    assert_eq!(near.len(), 1, "{events:?}");
    let EventKind::NearPerson { distance_m, .. } = near[0] else {
        panic!();
    };
    assert!((distance_m - 6.25).abs() < 0.01, "{distance_m}");
}

#[test]
fn turning_back_before_ten_metres_counts_after_three_seconds() {
    // Out to 8 m and back over the thrower's head; told once it goes away again.
    let events = run(&mut referee(), 12.0, |t| {
        let north_m = if t < 4.0 {
            2.0 * t
        } else {
            8.0 - 2.0 * (t - 4.0)
        };
        flying(t, north_m, 0.0, 4.0)
    });
    let first = events.iter().find(|(_, kind)| {
        matches!(
            kind,
            EventKind::NearPerson {
                person: Person::Thrower,
                ..
            }
        )
    });
    assert!(first.is_some(), "{events:?}");
}

#[test]
fn a_bystander_counts_from_the_release_on() {
    let mut field = Field::open_meadow();
    field
        .people
        .push(PersonBody::adult(Person::Bystander, 0.0, 12.0));
    let mut referee = Referee::new(
        &Lesson::first_hand_launch(),
        &field,
        FEET_M,
        &Conditions::default(),
    );
    // Straight past at 4 m to the side of the bystander's middle: 3.75 m.
    let events = run(&mut referee, 4.0, |t| flying(t, -3.0 + 3.0 * t, 8.0, 1.0));
    let near = events.iter().find_map(|(_, kind)| match kind {
        EventKind::NearPerson {
            person: Person::Bystander,
            distance_m,
        } => Some(*distance_m),
        _ => None,
    });
    assert!(near.is_some_and(|d| (d - 3.75).abs() < 1e-9), "{events:?}");
}

#[test]
fn crossing_the_line_ends_the_run() {
    // The line is 15 m west; flying west at 4 m/s crosses it after 3.75 s.
    let events = run(&mut referee(), 6.0, |t| flying(t, 20.0, -4.0 * t, 10.0));
    let crossed = events
        .iter()
        .find(|(_, kind)| matches!(kind, EventKind::CrossedSafetyLine));
    assert!(
        crossed.is_some_and(|(time_s, _)| (time_s - 3.76).abs() < 0.011),
        "{events:?}"
    );
    assert_eq!(reason(&events), "the plane crossed the safety line");
}

#[test]
fn rest_break_and_time_end_the_run() {
    let lying = |t: f64| Watch {
        stage: if t < 1.0 {
            FlightStage::Free
        } else {
            FlightStage::Ground
        },
        velocity_m_s: if t < 1.5 { DVec3::X } else { DVec3::ZERO },
        ..flying(t, 12.0, 0.0, 0.1)
    };
    let events = run(&mut referee(), 5.0, lying);
    assert_eq!(reason(&events), "the plane came to rest");
    assert!(
        events
            .iter()
            .any(|(t, kind)| *kind == EventKind::AtRest && (t - 2.0).abs() < 0.011)
    );
    assert!(
        !events
            .iter()
            .any(|(_, kind)| matches!(kind, EventKind::PhaseDone { .. }))
    );

    let events = run(&mut referee(), 8.0, |t| Watch {
        broken: t > 1.0,
        ..flying(t, 12.0 + t, 0.0, 3.0)
    });
    assert_eq!(reason(&events), "the plane broke");

    let events = run(&mut referee(), 70.0, |t| flying(t, 12.0 + t, 0.0, 10.0));
    assert_eq!(reason(&events), "the time was up");
    assert!(events.last().is_some_and(|(t, _)| (t - 60.0).abs() < 0.011));
}

#[test]
fn a_turning_propeller_that_reaches_the_hand_is_an_injury_and_a_still_one_is_not() {
    let hand_m = DVec3::new(0.0, 0.0, -1.8);
    let at = |north_m: f64, turning: bool| Watch {
        stage: FlightStage::InHand,
        propeller: Some(Disk {
            centre_m: DVec3::new(north_m, 0.0, -1.7),
            axis: DVec3::X,
            radius_m: 0.12,
            turning,
        }),
        // Stretched out: the arm runs down and back from the hand at 45 degrees.
        arm: Some(Arm::reaching(hand_m + DVec3::new(-0.5, 0.0, 0.5), hand_m)),
        ..flying(0.0, 0.5, 0.0, 1.8)
    };
    assert!(referee().watch(&at(0.25, true)).is_empty());
    assert!(referee().watch(&at(0.02, false)).is_empty());
    // Behind the hand the forearm passes 50 mm below the hub.
    assert!(!referee().watch(&at(-0.15, true)).is_empty());
    assert!(referee().watch(&at(-0.15, false)).is_empty());
    let events = referee().watch(&at(0.02, true));
    assert!(events.contains(&EventKind::HitPerson {
        person: Person::Thrower,
        propeller: true
    }));
}

#[test]
fn the_plane_may_touch_its_thrower_only_until_it_has_left() {
    // Tail still beside the head at release, gone, and back into the chest.
    let events = run(&mut referee(), 8.0, |t| {
        let north_m = if t < 3.0 {
            4.0 * t
        } else {
            12.0 - 4.0 * (t - 3.0)
        };
        flying(t, north_m - 0.3, 0.0, 1.5)
    });
    let hits: Vec<f64> = events
        .iter()
        .filter(|(_, kind)| {
            matches!(
                kind,
                EventKind::HitPerson {
                    propeller: false,
                    ..
                }
            )
        })
        .map(|(time_s, _)| *time_s)
        .collect();
    // Back at the skin plus 5 cm: north -0.5 + 0.25 + 0.05 = -0.2, t = 5.975.
    assert_eq!(hits.len(), 1, "{events:?}");
    assert!((hits[0] - 5.98).abs() < 0.011, "{hits:?}");
    assert_eq!(reason(&events), "somebody was hit");
}

#[test]
fn a_stall_is_told_once_until_the_wing_flies_again() {
    let share = |t: f64| if (t * 2.0) as u32 % 2 == 1 { 0.6 } else { 0.1 };
    let events = run(&mut referee(), 3.0, |t| Watch {
        stalled_share: share(t),
        ..flying(t, 6.0 * t, 0.0, 5.0)
    });
    let stalls = events
        .iter()
        .filter(|(_, kind)| *kind == EventKind::Stalled);
    assert_eq!(stalls.count(), 3);
}

#[test]
fn looking_less_often_tells_the_same_story() {
    let motion = climb;
    let mut coarse = referee();
    let mut names = Vec::new();
    for tick in 0..200 {
        for kind in coarse.watch(&motion(f64::from(tick) * 0.1)) {
            names.push(kind);
        }
    }
    let fine: Vec<EventKind> = run(&mut referee(), 20.0, motion)
        .into_iter()
        .map(|(_, kind)| kind)
        .collect();
    assert_eq!(names, fine);
}

/// The first launch with a power loss, watched over a climb of 2 m/s from 1.8 m.
fn power_lost_at(moment: larkfield_lesson::Moment) -> Vec<f64> {
    let mut lesson = Lesson::first_hand_launch();
    lesson.surprises = vec![larkfield_lesson::Surprise::PowerLoss(moment)];
    let mut referee = Referee::new(
        &lesson,
        &Field::open_meadow(),
        FEET_M,
        &Conditions::default(),
    );
    run(&mut referee, 18.0, climb)
        .into_iter()
        .filter(|(_, kind)| *kind == EventKind::PowerLost)
        .map(|(time_s, _)| time_s)
        .collect()
}

#[test]
fn the_power_is_lost_once_and_when_the_lesson_says() {
    use larkfield_lesson::Moment;
    let after = |name: &str, after_s| Moment::Phase {
        name: name.to_owned(),
        after_s,
    };
    for (moment, wanted_s) in [
        (Moment::Time { after_s: 5.0 }, 5.0),
        // (10 - 1.8) / 2 s.
        (Moment::Height { height_m: 10.0 }, 4.1),
        // The climb begins 2 s after the release.
        (after("climb to 30 m", 1.5), 3.5),
    ] {
        let times = power_lost_at(moment.clone());
        assert_eq!(times.len(), 1, "{moment:?}");
        assert!((times[0] - wanted_s).abs() < 0.021, "{moment:?}: {times:?}");
    }
    assert!(power_lost_at(Moment::Height { height_m: 90.0 }).is_empty());
}

#[test]
fn whatever_a_lesson_asks_for_the_run_ends_with_its_time() {
    for goal in [
        larkfield_lesson::Goal::FigureEight { band_m: 1.0 },
        larkfield_lesson::Goal::Downwind,
        larkfield_lesson::Goal::RollOut,
        larkfield_lesson::Goal::Disarm { within_s: 60.0 },
        larkfield_lesson::Goal::LiftOff,
    ] {
        let mut lesson = Lesson::first_hand_launch();
        lesson.phases[0].goal = goal;
        lesson.time_limit_s = 12.0;
        let field = Field::open_meadow();
        let mut referee = Referee::new(&lesson, &field, FEET_M, &Conditions::default());
        // Standing on the ground for ever, or flying for ever.
        for motion in [
            (|t| flying(t, 6.0 * t, 0.0, 10.0)) as fn(f64) -> Watch<'static>,
            |t| Watch {
                stage: FlightStage::Ground,
                velocity_m_s: DVec3::ZERO,
                ..flying(t, 30.0, 0.0, 0.1)
            },
        ] {
            let mut copy = referee.clone();
            let events = run(&mut copy, 13.0, motion);
            assert!(
                matches!(events.last(), Some((_, EventKind::Ended { .. }))),
                "{goal:?}"
            );
        }
        assert!(referee.watch(&flying(0.0, 0.0, 0.0, 2.0)).is_empty());
    }
}

#[test]
fn a_phase_that_can_no_longer_be_done_says_why_once() {
    use larkfield_lesson::{Goal, TouchArea};
    let mut lesson = Lesson::first_hand_launch();
    lesson.phases.truncate(1);
    lesson.phases[0].name = "touch".to_owned();
    lesson.phases[0].goal = Goal::Touch {
        area: TouchArea::Field,
        technique: larkfield_pilot::LandingTechnique::Usual,
    };
    let field = Field::open_meadow();
    let mut referee = Referee::new(&lesson, &field, FEET_M, &Conditions::default());
    // Down on its wing tip after 2 s, and still from then on.
    let events = run(&mut referee, 6.0, |t| Watch {
        stage: if t < 2.0 {
            FlightStage::Free
        } else {
            FlightStage::Ground
        },
        velocity_m_s: if t < 2.0 { DVec3::X * 8.0 } else { DVec3::ZERO },
        bank_rad: 1.2,
        ..flying(t, 30.0, 0.0, 0.5)
    });
    let failed: Vec<&(f64, EventKind)> = events
        .iter()
        .filter(|(_, kind)| matches!(kind, EventKind::PhaseFailed { .. }))
        .collect();
    assert_eq!(failed.len(), 1, "{events:?}");
    let EventKind::PhaseFailed { why } = &failed[0].1 else {
        panic!();
    };
    assert_eq!(why, "touch: it did not touch upright");
    assert!((failed[0].0 - 2.0).abs() < 0.011);
    assert_eq!(reason(&events), "the plane came to rest");
}
