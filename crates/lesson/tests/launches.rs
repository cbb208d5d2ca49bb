//! Pilots, throws and scores on the shipped trainer with the real flight model.
//!
//! The bounds are what the first lesson is for: a competent pilot nearly always
//! gets away, a beginner often does not, and leaving the plane alone is worth
//! less than trying to fly it.

mod support;

use larkfield_pilot::{PilotKind, ThrowerStyle};
use larkfield_recording::EventKind;
use support::{Flown, Setting};

const SEEDS: u64 = 60;

fn flights(setting: &Setting, kind: PilotKind) -> Vec<Flown> {
    (0..SEEDS)
        .map(|seed| setting.fly(setting.pilot(kind, seed), seed))
        .collect()
}

fn reached(flights: &[Flown]) -> usize {
    let safely = |f: &&Flown| f.reached() && f.score.zeroed_by.is_none();
    flights.iter().filter(safely).count()
}

fn mean_score(flights: &[Flown]) -> f64 {
    flights.iter().map(|f| f.score.total).sum::<f64>() / flights.len() as f64
}

#[test]
fn in_a_breeze_competent_pilots_arrive_beginners_often_do_not_and_hands_off_scores_least() {
    let setting = Setting::shipped("marram.ron", "breeze_2.ron");
    let competent = flights(&setting, PilotKind::Competent);
    let beginner = flights(&setting, PilotKind::Beginner);
    let hands_off = flights(&setting, PilotKind::HandsOff);
    let all = SEEDS as usize;

    let arrived = reached(&competent);
    assert!(arrived * 100 > all * 95, "competent: {arrived} of {all}");
    let arrived = reached(&beginner);
    assert!(arrived * 100 <= all * 70, "beginner: {arrived} of {all}");
    assert!(
        arrived * 100 >= all * 20,
        "a beginner is not hopeless: {arrived} of {all}"
    );

    let survived = hands_off.iter().filter(|f| f.survived_s() > 3.0).count();
    assert!(
        survived * 100 > all * 90,
        "hands off: {survived} of {all} for 3 s"
    );

    let scores = [&competent, &beginner, &hands_off].map(|f| mean_score(f));
    assert!(scores[0] > scores[1] + 10.0, "{scores:?}");
    assert!(scores[1] > scores[2] + 10.0, "{scores:?}");
}

#[test]
fn thrown_alone_in_calm_air_the_trainer_is_above_the_hand_after_three_seconds() {
    // 6 m/s from 1.8 m at launch throttle, nobody on the stick for 0.7 s, and
    // nobody afterwards either.
    let mut setting = Setting::shipped("marram.ron", "calm.ron");
    setting.lesson.thrower = ThrowerStyle::Exact;
    setting.lesson.launch.throw_mut().unwrap().speed_m_s = 6.0;
    setting.lesson.launch.throw_mut().unwrap().hand_back_s = 0.7;
    for kind in [PilotKind::HandsOff, PilotKind::Competent] {
        let flown = setting.fly(setting.pilot(kind, 1), 1);
        let at_s = flown.released_s() + 3.0;
        let sample = flown.recording.samples.iter().find(|s| s.time_s >= at_s);
        let Some(sample) = sample else {
            panic!("{kind:?}: over before 3 s");
        };
        assert!(sample.height_m > 1.8, "{kind:?}: {}", sample.height_m);
        assert!(sample.climb_m_s > 0.0, "{kind:?}: {}", sample.climb_m_s);
    }
}

#[test]
fn the_stick_of_the_throwing_hand_stays_until_the_hand_is_back() {
    let mut setting = Setting::shipped("marram.ron", "breeze_2.ron");
    setting.lesson.thrower = ThrowerStyle::NervousBeginner;
    setting.lesson.launch.throw_mut().unwrap().hand_back_s = 0.7;
    for seed in 0..10 {
        let flown = setting.fly(setting.pilot(PilotKind::Competent, seed), seed);
        let busy: Vec<_> = flown
            .recording
            .samples
            .iter()
            .filter(|s| s.hand_busy)
            .collect();
        assert!(busy.len() > 50, "{}", busy.len());
        assert!(
            busy.iter()
                .all(|s| s.stick_roll == 0.0 && s.stick_pitch == 0.0)
        );
        assert!(busy.iter().any(|s| s.stick_throttle > 0.5));
        let free = flown.recording.samples.iter().filter(|s| !s.hand_busy);
        assert!(free.into_iter().any(|s| s.stick_pitch != 0.0));
    }
}

#[test]
fn the_same_seed_flies_the_same_flight_and_another_seed_another() {
    let setting = Setting::shipped("marram.ron", "gusty.ron");
    for kind in [PilotKind::Competent, PilotKind::Beginner] {
        let one = setting.fly(setting.pilot(kind, 3), 3).recording;
        assert_eq!(one, setting.fly(setting.pilot(kind, 3), 3).recording);
        assert_ne!(one, setting.fly(setting.pilot(kind, 4), 4).recording);
    }
}

#[test]
fn sticks_played_back_fly_the_flight_again() {
    use larkfield_pilot::{ControlMessage, ScriptedPilot, Sticks, scripted::TimedMessage};
    let mut setting = Setting::shipped("marram.ron", "breeze_2.ron");
    setting.lesson.thrower = ThrowerStyle::Exact;
    let flown = setting.fly(setting.pilot(PilotKind::Competent, 2), 2);
    // Samples are taken at the end of a tick, sticks at its start.
    let tape: Vec<TimedMessage> = flown
        .recording
        .samples
        .iter()
        .map(|s| TimedMessage {
            time_s: s.time_s - 0.002,
            message: ControlMessage {
                sticks: Sticks {
                    roll: s.stick_roll,
                    pitch: s.stick_pitch,
                    yaw: s.stick_yaw,
                    throttle: s.stick_throttle,
                },
                ..ControlMessage::default()
            },
        })
        .collect();
    let again = setting.fly(ScriptedPilot::playback(tape), 2);
    // The radio reads the sticks every 20 ms, when the samples were taken too.
    // The last sample is taken when the referee ends the flight, which hangs on
    // what the pilot said as well, and a tape says nothing.
    let (one, other) = (&flown.recording.samples, &again.recording.samples);
    assert!(one.len().abs_diff(other.len()) <= 1);
    let whole = one.len().min(other.len()) - 1;
    for (first, second) in one.iter().zip(other).take(whole) {
        assert!(
            (first.height_m - second.height_m).abs() < 1e-6,
            "{first:?} {second:?}"
        );
    }
}

#[test]
fn every_flight_ends_for_one_stated_reason_and_scores_within_bounds() {
    for plane in [
        "marram.ron",
        "marram-tail-heavy.ron",
        "marram-warped.ron",
        "marram-under-powered.ron",
    ] {
        let setting = Setting::shipped(plane, "gusty.ron");
        for kind in [
            PilotKind::Competent,
            PilotKind::Beginner,
            PilotKind::HandsOff,
        ] {
            for seed in 0..8 {
                let flown = setting.fly(setting.pilot(kind, seed), seed);
                assert!((0.0..=100.0).contains(&flown.score.total));
                let ends = flown.recording.events.iter().filter(|event| {
                    matches!(
                        event.kind,
                        EventKind::Ended { .. } | EventKind::TouchedGround { .. }
                    )
                });
                assert_eq!(ends.count(), 1, "{plane} {kind:?} {seed}");
                assert!(!flown.score.next.is_empty());
            }
        }
    }
}
