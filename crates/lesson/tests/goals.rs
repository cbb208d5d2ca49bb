//! Goals against motions worked out by hand.

use glam::DVec3;
use larkfield_lesson::{CircuitFrame, Goal, GoalWatch, Progress, TouchArea, Watch};
use larkfield_pilot::attitude::PI;
use larkfield_pilot::{Circuit, LandingTechnique, Side};
use larkfield_recording::FlightStage;

const DEGREE: f64 = PI / 180.0;

fn circuit(heading_deg: f64, turns: Side) -> Circuit {
    Circuit {
        landing_heading_rad: heading_deg * DEGREE,
        touch_north_m: 20.0,
        touch_east_m: 25.0,
        box_half_length_m: 20.0,
        box_half_width_m: 8.0,
        turns,
        height_m: 12.0,
        spacing_m: 35.0,
    }
}

/// A rectangle at 8 m/s in the circuit's own coordinates: from 60 m before the
/// touch point is abeam, 120 m downwind, 35 m across, 60 m of final that goes
/// down from 12 m to nothing at the touch point. Along, across, height and the
/// direction of flight in those coordinates.
fn rectangle(time_s: f64) -> (f64, f64, f64, [f64; 2]) {
    let way_m = 8.0 * time_s;
    if way_m < 120.0 {
        (60.0 - way_m, 35.0, 12.0, [-1.0, 0.0])
    } else if way_m < 155.0 {
        (-60.0, 155.0 - way_m, 12.0, [0.0, -1.0])
    } else {
        let along_m = way_m - 215.0;
        (along_m, 0.0, (-along_m / 5.0).max(0.1), [1.0, 0.0])
    }
}

fn flown(frame: &CircuitFrame, time_s: f64) -> Watch<'static> {
    let (along_m, across_m, height_m, ahead) = rectangle(time_s);
    let ground_m = frame.at(along_m, across_m);
    let origin_m = frame.at(0.0, 0.0);
    let velocity_m_s = (frame.at(ahead[0], ahead[1]) - origin_m) * 8.0;
    Watch {
        time_s,
        stage: FlightStage::Free,
        position_m: ground_m - DVec3::Z * height_m,
        velocity_m_s,
        heading_rad: libm::atan2(velocity_m_s.y, velocity_m_s.x),
        ..Watch::default()
    }
}

/// Runs a goal over a motion; the time at which it was done, or NaN.
fn done_at(
    goal: Goal,
    frame: Option<CircuitFrame>,
    step_s: f64,
    motion: impl Fn(f64) -> Watch<'static>,
) -> f64 {
    let mut watch = GoalWatch::new(goal, frame);
    for tick in 0..(60.0 / step_s) as u32 {
        let time_s = f64::from(tick) * step_s;
        if watch.watch(&motion(time_s), time_s) == Progress::Done {
            return time_s;
        }
    }
    f64::NAN
}

#[test]
fn the_legs_of_a_rectangle_are_done_where_they_end_whichever_way_it_lies() {
    for (heading_deg, turns) in [
        (0.0, Side::Right),
        (0.0, Side::Left),
        (137.0, Side::Left),
        (270.0, Side::Right),
    ] {
        let frame = CircuitFrame::of(&circuit(heading_deg, turns));
        // Abeam after 60 m; turned in after 155 m; 2 m high 10 m before the
        // touch point, after 205 m: at 8 m/s 7.5, 19.375 and 25.625 s.
        for (goal, from_s, wanted_s) in [
            (Goal::Downwind, 0.0, 7.5),
            (Goal::Base, 7.5, 19.375),
            (Goal::Final { to_m: 2.0 }, 19.375, 25.625),
        ] {
            for step_s in [0.01, 0.05] {
                let motion = |t: f64| flown(&frame, t + from_s);
                let done_s = done_at(goal, Some(frame), step_s, motion) + from_s;
                let late_s = done_s - wanted_s;
                assert!(late_s > -1e-9 && late_s < 0.051, "{goal:?}: {done_s}");
            }
        }
    }
}

#[test]
fn legs_on_the_wrong_side_or_joined_too_late_are_not_flown() {
    let right = CircuitFrame::of(&circuit(0.0, Side::Right));
    let left = CircuitFrame::of(&circuit(0.0, Side::Left));
    assert!(done_at(Goal::Downwind, Some(left), 0.02, |t| flown(&right, t)).is_nan());
    // From 8 s on the touch point is already behind.
    assert!(
        done_at(Goal::Downwind, Some(right), 0.02, |t| flown(
            &right,
            t + 8.0
        ))
        .is_nan()
    );
    // Straight in: no base.
    assert!(done_at(Goal::Base, Some(right), 0.02, |t| flown(&right, t + 20.0)).is_nan());
    // Without a circuit nothing of it can be flown.
    assert!(done_at(Goal::Downwind, None, 0.02, |t| flown(&right, t)).is_nan());
}

/// Turning at 30 deg/s to the right for a while and then to the left.
fn turning(time_s: f64, back_s: f64, climb_m_s: f64) -> Watch<'static> {
    let turned_deg = if time_s < back_s {
        30.0 * time_s
    } else {
        30.0 * (2.0 * back_s - time_s)
    };
    Watch {
        time_s,
        stage: FlightStage::Free,
        position_m: DVec3::Z * -(25.0 + climb_m_s * time_s),
        velocity_m_s: DVec3::X,
        heading_rad: turned_deg * DEGREE,
        ..Watch::default()
    }
}

#[test]
fn a_figure_eight_is_a_full_turn_each_way_within_its_band() {
    let goal = Goal::FigureEight { band_m: 5.0 };
    // A full turn right takes 12 s; 300 deg of the turn left are complete 10 s
    // later.
    let done_s = done_at(goal, None, 0.02, |t| turning(t, 12.0, 0.0));
    assert!((done_s - 22.0).abs() < 0.05, "{done_s}");
    // 270 deg one way are not a turn; circling one way is no eight.
    let short = |t: f64| turning(t.min(18.0), 9.0, 0.0);
    assert!(done_at(goal, None, 0.02, short).is_nan());
    assert!(done_at(goal, None, 0.02, |t| turning(t, 1e9, 0.0)).is_nan());
    // Climbing 0.5 m/s it leaves a band of 5 m after 10 s, again and again.
    assert!(done_at(goal, None, 0.02, |t| turning(t, 12.0, 0.5)).is_nan());
    // The nose of a plane that tumbles comes round too. On its back after 5 s it
    // begins again there: the turn right that is left, 210 deg, is none.
    let at_5_s = |t: f64| (5.0..5.1).contains(&t);
    for (bank_rad, stalled_share) in [(2.0, 0.0), (0.0, 0.6)] {
        let tumbled = |t: f64| Watch {
            bank_rad: if at_5_s(t) { bank_rad } else { 0.4 },
            stalled_share: if at_5_s(t) { stalled_share } else { 0.0 },
            ..turning(t, 12.0, 0.0)
        };
        assert!(done_at(goal, None, 0.02, tumbled).is_nan());
    }
}

/// Level, from 3 s to 4.5 s stalled and sinking 2 m/s, then level again.
fn stalling(time_s: f64, share: f64, bank_deg: f64) -> Watch<'static> {
    let sunk_s = (time_s - 3.0).clamp(0.0, 1.5);
    let stalled = (3.0..4.5).contains(&time_s);
    Watch {
        time_s,
        stage: FlightStage::Free,
        position_m: DVec3::Z * -(60.0 - 2.0 * sunk_s),
        velocity_m_s: DVec3::new(8.0, 0.0, if stalled { 2.0 } else { 0.0 }),
        stalled_share: if stalled { share } else { 0.0 },
        bank_rad: if time_s < 4.5 { bank_deg * DEGREE } else { 0.0 },
        ..Watch::default()
    }
}

#[test]
fn a_stall_is_stalled_as_asked_and_caught_in_time() {
    let straight = |lost_m| Goal::Stall {
        bank_rad: 0.0,
        lost_m,
    };
    let banked = Goal::Stall {
        bank_rad: 15.0 * DEGREE,
        lost_m: 5.0,
    };
    // It flies again at 4.5 s, and a second later that counts.
    let done_s = done_at(straight(5.0), None, 0.02, |t| stalling(t, 0.5, 0.0));
    assert!((done_s - 5.5).abs() < 0.05, "{done_s}");
    let done_s = done_at(banked, None, 0.02, |t| stalling(t, 0.5, -20.0));
    assert!((done_s - 5.5).abs() < 0.05, "{done_s}");
    // 1.5 s at 2 m/s are 3 m.
    assert!(done_at(straight(2.9), None, 0.02, |t| stalling(t, 0.5, 0.0)).is_nan());
    // A fifth of the wing is no stall; banked it is not straight, and level it is
    // no turn.
    assert!(done_at(straight(5.0), None, 0.02, |t| stalling(t, 0.2, 0.0)).is_nan());
    assert!(done_at(straight(5.0), None, 0.02, |t| stalling(t, 0.5, 30.0)).is_nan());
    assert!(done_at(banked, None, 0.02, |t| stalling(t, 0.5, 10.0)).is_nan());
    // Over on its back, or never out of it.
    let over = |t: f64| Watch {
        bank_rad: if (4.0..4.2).contains(&t) { 2.0 } else { 0.0 },
        ..stalling(t, 0.5, 0.0)
    };
    assert!(done_at(straight(5.0), None, 0.02, over).is_nan());
    let for_ever = |t: f64| Watch {
        stalled_share: if t > 3.0 { 0.5 } else { 0.0 },
        ..stalling(t, 0.5, 0.0)
    };
    assert!(done_at(straight(5.0), None, 0.02, for_ever).is_nan());
}

fn level(time_s: f64, climb_m_s: f64, stick: f64) -> Watch<'static> {
    Watch {
        time_s,
        stage: FlightStage::Free,
        position_m: DVec3::new(8.0 * time_s, 0.0, -(30.0 + climb_m_s * time_s)),
        velocity_m_s: DVec3::X * 8.0,
        stick_pitch: stick,
        ..Watch::default()
    }
}

#[test]
fn trimmed_out_is_level_with_nobody_on_the_sticks() {
    let goal = Goal::TrimOut {
        for_s: 4.0,
        band_m: 3.0,
    };
    // A thumb on the stick for 3 s, then off it for 4 s.
    let done_s = done_at(goal, None, 0.02, |t| {
        level(t, 0.0, if t < 3.0 { 0.1 } else { 0.0 })
    });
    assert!((done_s - 7.0).abs() < 0.05, "{done_s}");
    // 4 s at 1 m/s are 4 m, more than the band; at 0.7 m/s 2.8 m.
    assert!(done_at(goal, None, 0.02, |t| level(t, 1.0, 0.0)).is_nan());
    assert!((done_at(goal, None, 0.02, |t| level(t, 0.7, 0.0)) - 4.0).abs() < 0.05);
}

#[test]
fn levelled_off_is_level_and_flown_by_hand() {
    let goal = Goal::LevelOff {
        for_s: 4.0,
        band_m: 3.0,
    };
    // The stick moves every half second, the first time after half a second.
    let busy = |t: f64| 0.1 * (t * 2.0).floor().rem_euclid(2.0);
    let done_s = done_at(goal, None, 0.02, |t| level(t, 0.7, busy(t)));
    assert!((done_s - 4.5).abs() < 0.05, "{done_s}");
    assert!(done_at(goal, None, 0.02, |t| level(t, 1.0, busy(t))).is_nan());
    // The same with a stick that nobody moves.
    assert!(done_at(goal, None, 0.02, |t| level(t, 0.0, 0.0)).is_nan());
}

#[test]
fn a_go_round_comes_down_first_and_climbs_then() {
    let frame = CircuitFrame::of(&circuit(0.0, Side::Right));
    let goal = Goal::GoRound {
        below_m: 5.0,
        climb_to_m: 10.0,
    };
    let motion = |lowest_m: f64| {
        move |t: f64| Watch {
            time_s: t,
            stage: FlightStage::Free,
            // Down from 12 m and up again, 1 m/s each.
            position_m: DVec3::Z * -(lowest_m + (t - (12.0 - lowest_m)).abs()),
            velocity_m_s: DVec3::X * 8.0,
            ..Watch::default()
        }
    };
    // Lowest 4 m at 8 s, 10 m again 6 s later.
    assert!((done_at(goal, Some(frame), 0.02, motion(4.0)) - 14.0).abs() < 0.05);
    assert!(done_at(goal, Some(frame), 0.02, motion(6.0)).is_nan());
}

#[test]
fn gliding_down_means_without_power() {
    let goal = Goal::GlideDown { to_m: 2.0 };
    let down = |thrust_n: f64| {
        move |t: f64| Watch {
            time_s: t,
            stage: FlightStage::Free,
            position_m: DVec3::Z * -(12.0 - t),
            thrust_n,
            // The stick may still be open: nobody has shut it yet.
            stick_throttle: 0.7,
            ..Watch::default()
        }
    };
    assert!((done_at(goal, None, 0.02, down(-0.1)) - 10.0).abs() < 0.05);
    assert!(done_at(goal, None, 0.02, down(1.0)).is_nan());
}

#[test]
fn lifted_off_is_a_metre_above_where_it_stood() {
    let motion = |t: f64| Watch {
        time_s: t,
        stage: if t < 2.0 {
            FlightStage::Ground
        } else {
            FlightStage::Free
        },
        position_m: DVec3::Z * -(0.15 + (t - 2.0).max(0.0)),
        ..Watch::default()
    };
    assert!((done_at(Goal::LiftOff, None, 0.02, motion) - 3.0).abs() < 0.05);
}

/// The end of a landing to the north at the touch point: half a metre a second
/// down until the touch at 2 s, then at rest from 3 s on.
fn landing(time_s: f64) -> Watch<'static> {
    let touched = time_s >= 2.0;
    Watch {
        time_s,
        stage: if touched {
            FlightStage::Ground
        } else {
            FlightStage::Free
        },
        position_m: DVec3::new(20.0, 25.0, -0.1 - 0.5 * (2.0 - time_s).max(0.0)),
        velocity_m_s: if touched {
            DVec3::X * (5.0 * (3.0 - time_s)).max(0.0)
        } else {
            DVec3::new(5.0, 0.0, 0.5)
        },
        stall_margin_rad: 0.02,
        ..Watch::default()
    }
}

/// What becomes of a touch in the box, with one thing changed.
fn touch(technique: LandingTechnique, change: impl Fn(&mut Watch<'static>)) -> Progress {
    let frame = CircuitFrame::of(&circuit(0.0, Side::Right));
    let area = TouchArea::Box;
    let mut watch = GoalWatch::new(Goal::Touch { area, technique }, Some(frame));
    for tick in 0..150 {
        let mut seen = landing(f64::from(tick) * 0.02);
        change(&mut seen);
        let free_s = seen.time_s;
        watch.watch(&seen, free_s);
    }
    watch.progress()
}

#[test]
fn a_landing_is_upright_whole_and_in_the_box() {
    let usual = LandingTechnique::Usual;
    assert_eq!(touch(usual, |_| {}), Progress::Done);
    // The box is 40 m long and 16 m wide.
    assert_eq!(touch(usual, |s| s.position_m.x += 19.9), Progress::Done);
    assert_eq!(touch(usual, |s| s.position_m.y -= 7.9), Progress::Done);
    for (change, why) in [
        (
            (|s| s.position_m.x += 20.1) as fn(&mut Watch<'static>),
            "outside the box",
        ),
        (|s| s.position_m.y -= 8.1, "outside the box"),
        (|s| s.bank_rad = 0.8, "upright"),
        (|s| s.pitch_rad = -0.8, "upright"),
        (|s| s.broken = s.stage == FlightStage::Ground, "broke"),
    ] {
        match touch(usual, change) {
            Progress::Failed(reason) => assert!(reason.contains(why), "{reason}"),
            other => panic!("{why}: {other:?}"),
        }
    }
}

#[test]
fn a_landing_at_the_stall_keeps_all_its_rules() {
    let at_the_stall = LandingTechnique::StallLimit;
    let stalls_at = |height_m: f64| {
        move |s: &mut Watch<'static>| {
            // Heights are above the touch, where the balance point is at 0.1 m.
            let high_m = s.height_m() - 0.1;
            s.stalled_share = if (high_m - height_m).abs() < 0.02 {
                0.5
            } else {
                0.0
            };
            s.stall_margin_rad = 0.2;
        }
    };
    assert_eq!(touch(at_the_stall, |_| {}), Progress::Done);
    assert_eq!(touch(at_the_stall, stalls_at(0.25)), Progress::Done);
    for (what, progress) in [
        ("stalled too high", touch(at_the_stall, stalls_at(0.6))),
        (
            "still flew",
            touch(at_the_stall, |s| s.stall_margin_rad = 0.2),
        ),
        ("too hard", touch(at_the_stall, |s| s.velocity_m_s.z = 1.1)),
        (
            // Shut only 0.3 s before the touch at 2 s.
            "not stopped first",
            touch(at_the_stall, |s| {
                s.stick_throttle = if s.time_s < 1.7 { 0.3 } else { 0.0 };
            }),
        ),
        (
            "outside the box",
            touch(at_the_stall, |s| s.position_m.y += 30.0),
        ),
    ] {
        match progress {
            Progress::Failed(reason) => assert!(reason.contains(what), "{what}: {reason}"),
            other => panic!("{what}: {other:?}"),
        }
    }
}

#[test]
fn rolled_out_is_at_rest_and_upright_and_disarming_has_a_time() {
    // Still from 3 s on; believed 0.3 s later.
    let roll = done_at(Goal::RollOut, None, 0.02, |t| landing(t + 2.0));
    assert!((roll - 1.3).abs() < 0.05, "{roll}");
    let over = |t: f64| Watch {
        bank_rad: PI,
        ..landing(t + 2.0)
    };
    assert!(done_at(Goal::RollOut, None, 0.02, over).is_nan());
    let cut = |at_s: f64| {
        move |t: f64| Watch {
            throttle_cut: t >= at_s,
            ..landing(t + 5.0)
        }
    };
    let goal = Goal::Disarm { within_s: 5.0 };
    assert!((done_at(goal, None, 0.02, cut(3.0)) - 3.0).abs() < 0.05);
    assert!(done_at(goal, None, 0.02, cut(5.5)).is_nan());
    // The switch alone is not enough while the stick is open.
    let open = |t: f64| Watch {
        stick_throttle: 0.5,
        ..cut(1.0)(t)
    };
    assert!(done_at(goal, None, 0.02, open).is_nan());
}

#[test]
fn numbers_that_are_none_reach_no_goal() {
    let frame = CircuitFrame::of(&circuit(0.0, Side::Right));
    let nowhere = |t: f64| Watch {
        position_m: DVec3::NAN,
        ..flown(&frame, t)
    };
    for goal in [
        Goal::Downwind,
        Goal::Base,
        Goal::Final { to_m: 2.0 },
        Goal::ClimbTo { height_m: 5.0 },
        Goal::LevelOff {
            for_s: 1.0,
            band_m: 5.0,
        },
    ] {
        assert!(
            done_at(goal, Some(frame), 0.02, nowhere).is_nan(),
            "{goal:?}"
        );
    }
}
