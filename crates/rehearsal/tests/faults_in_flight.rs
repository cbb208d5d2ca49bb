//! What gives way in flight, what the air does and what a pilot does leave the
//! signatures that the trade knows. Thresholds are the trade's (common practice,
//! no source) unless they say otherwise; none comes from a run of ours.

#[path = "support/faulty.rs"]
mod faulty;

use faulty::{BREEZE, CIRCUIT, THROW, Where, first, flown, flown_on, released_s};
use larkfield_debrief::summary::median;
use larkfield_recording::{EventKind, FlightStage, Sample};
use larkfield_rehearsal::{Flown, PilotChoice};

const COMPETENT: PilotChoice = PilotChoice::Competent;

/// What one pilot does on one day is chance; on these it is a habit.
const DAYS: [u64; 7] = [1, 2, 3, 4, 5, 6, 7];

/// Samples from so long after the release on.
fn later(samples: &[Sample], seconds: f64) -> Vec<Sample> {
    let from_s = samples.first().map_or(0.0, |s| s.time_s) + seconds;
    (samples.iter().filter(|s| s.time_s >= from_s))
        .copied()
        .collect()
}

fn spread(samples: &[Sample], of: impl Fn(&Sample) -> f64) -> f64 {
    let ends = samples.iter().map(of);
    let ends = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
        (low.min(x), high.max(x))
    });
    ends.1 - ends.0
}

#[test]
fn a_servo_that_stopped_follows_its_stick_until_then_and_never_again() {
    for (fault, surface) in [
        (
            "pitch-servo-stops=2 s",
            (|s| s.elevator_rad) as fn(&Sample) -> f64,
        ),
        ("roll-servo-stops=2 s", |s| s.rudder_rad),
    ] {
        let samples = first(&flown("marram", THROW, COMPETENT, &[fault]), 6.0);
        let before: Vec<Sample> = (samples.iter())
            .filter(|s| s.time_s < samples[0].time_s + 1.9)
            .copied()
            .collect();
        assert!(spread(&before, surface) > 0.005, "{fault}");
        // One tick of rounding at the moment itself.
        assert!(spread(&later(&samples, 2.05), surface) < 1e-12, "{fault}");
        let stick = |s: &Sample| s.stick_pitch + s.stick_roll;
        assert!(spread(&later(&samples, 2.05), stick) > 0.02, "{fault}");
    }
}

#[test]
fn without_its_link_a_plane_shuts_the_motor_or_flies_on_as_its_fail_safe_says() {
    // The receiver waits half a second, and servos need a little.
    let after = |fault| {
        later(
            &first(&flown("marram", THROW, COMPETENT, &[fault]), 5.0),
            3.0,
        )
    };
    let lost = after("link-lost=2 s");
    assert!(lost.iter().all(|s| s.current_a.abs() < 0.5));
    assert!(spread(&lost, |s| s.elevator_rad) < 1e-9);
    let held = after("fail-safe-holds=2 s");
    for of in [|s: &Sample| s.elevator_rad, |s: &Sample| s.rudder_rad] {
        assert!(spread(&held, of) < 1e-9);
    }
    assert!(held.iter().all(|s| s.current_a > 1.0), "the motor ran on");
}

#[test]
fn a_receiver_that_starts_anew_is_back_after_a_while() {
    let samples = first(
        &flown("marram", THROW, COMPETENT, &["receiver-brown-out=2 s"]),
        6.0,
    );
    let at = |from: f64, to: f64| -> Vec<Sample> {
        let zero_s = samples[0].time_s;
        (samples.iter())
            .filter(|s| (from..to).contains(&(s.time_s - zero_s)))
            .copied()
            .collect()
    };
    let gone = at(2.3, 3.4);
    assert!(!gone.is_empty() && gone.iter().all(|s| s.current_a < 0.5));
    assert!(spread(&gone, |s| s.elevator_rad) < 1e-9);
    let back = at(4.0, 6.0);
    assert!(spread(&back, |s| s.elevator_rad) > 0.01 || back.iter().any(|s| s.current_a > 1.0));
}

#[test]
fn a_motor_that_is_cut_or_was_never_armed_leaves_the_throttle_stick_alone() {
    let samples = first(
        &flown("marram", THROW, COMPETENT, &["motor-cuts-out=1 s"]),
        3.0,
    );
    // Thrust steps to nothing while the stick is where it was.
    let cut = samples
        .iter()
        .find(|s| s.current_a < 0.5 && s.stick_throttle > 0.5);
    assert!(cut.is_some());
    let unarmed = flown("marram", THROW, COMPETENT, &["motor-not-armed"]);
    assert!(unarmed.recording.samples.iter().all(|s| s.current_a < 0.5));
    assert!(
        unarmed
            .recording
            .samples
            .iter()
            .any(|s| s.stick_throttle > 0.5)
    );
}

#[test]
fn a_reversed_motor_pushes_back_while_its_revolutions_are_normal() {
    let released =
        |faults: &[&str]| first(&flown("marram", THROW, PilotChoice::HandsOff, faults), 0.3)[0];
    let (sound, reversed) = (released(&[]), released(&["motor-reversed"]));
    assert!(sound.thrust_n > 0.5, "{}", sound.thrust_n);
    let backward = released(&["propeller-backward"]);
    // Along its own shaft, which points to the rear, it pulls like a propeller
    // that is on the wrong way round; the plane is slowed down by it.
    let turns = reversed.propeller_rad_s.abs() / sound.propeller_rad_s.abs();
    assert!((0.7..1.5).contains(&turns), "{turns}");
    let gain = |faults: &[&str]| {
        let samples = first(&flown("marram", THROW, PilotChoice::HandsOff, faults), 0.6);
        samples[samples.len() - 1].airspeed_m_s - samples[0].airspeed_m_s
    };
    assert!(backward.thrust_n > 0.0);
    assert!(gain(&["motor-reversed"]) < gain(&["motor-not-armed"]));
}

#[test]
fn crossed_sticks_do_what_their_names_say() {
    // The throttle is open, nobody pulls or turns: in the other mode that is a
    // pushed elevator stick and a half open throttle; with the channels in the
    // other order it is a stick to the right.
    let first_second = |fault: &str| {
        first(
            &flown("curlew", THROW, PilotChoice::HandsOff, &[fault]),
            1.0,
        )
    };
    let pushed = first_second("stick-mode-wrong");
    let sound = first(&flown("curlew", THROW, PilotChoice::HandsOff, &[]), 1.0);
    let end = |samples: &[Sample]| samples[samples.len() - 1];
    assert!(end(&pushed).pitch_rad < end(&sound).pitch_rad - 0.2);
    let rolled = first_second("channel-order-wrong");
    assert!(end(&rolled).bank_rad > end(&sound).bank_rad + 0.3);
}

#[test]
fn the_air_does_what_each_fault_says() {
    // Airspeed falls by more than a fifth without any stick.
    let lull = first(
        &flown(
            "marram",
            BREEZE,
            PilotChoice::HandsOff,
            &["gusts-from-behind=5 m/s"],
        ),
        6.0,
    );
    let calmer = first(&flown("marram", BREEZE, PilotChoice::HandsOff, &[]), 6.0);
    let most = (lull.iter().zip(&calmer))
        .map(|(a, b)| 1.0 - a.airspeed_m_s / b.airspeed_m_s)
        .fold(0.0, f64::max);
    assert!(most > 0.2, "{most}");
    // The wind comes from the right of a throw to the north: from the east.
    let across = first(
        &flown(
            "marram",
            BREEZE,
            PilotChoice::HandsOff,
            &["crosswind=90 deg"],
        ),
        1.0,
    );
    let mean = |of: fn(&Sample) -> f64| across.iter().map(of).sum::<f64>() / across.len() as f64;
    let heading = flown_heading_rad(BREEZE);
    let (sine, cosine) = heading.sin_cos();
    let (north, east) = (mean(|s| s.wind_north_m_s), mean(|s| s.wind_east_m_s));
    let to_right = east * cosine - north * sine;
    let ahead = north * cosine + east * sine;
    assert!(
        to_right < -1.0 && ahead.abs() < 0.3 * -to_right,
        "{to_right} {ahead}"
    );
}

fn flown_heading_rad(place: Where) -> f64 {
    first(&flown("marram", place, PilotChoice::HandsOff, &[]), 0.1)[0].heading_rad
}

#[test]
fn a_rough_field_upwind_takes_the_wind_away_below() {
    // Logarithmic law: the wind at 1 m is ln(1/z) / ln(5/z) of that at 5 m (Stull,
    // An Introduction to Boundary Layer Meteorology, 1988, 9.7; from memory). In a
    // steady wind both are met on the way up.
    let steady = Where {
        lesson: "launch_circuit_landing",
        wind: "breeze_3_gradient",
    };
    let mut samples = first(
        &flown("marram", steady, COMPETENT, &["strong-gradient=400 mm"]),
        60.0,
    );
    let above = samples.iter().position(|s| s.height_m > 6.0);
    samples.truncate(above.expect("it climbs"));
    let wind_at = |height_m: f64| {
        let near = samples.iter().min_by(|a, b| {
            (a.height_m - height_m)
                .abs()
                .total_cmp(&(b.height_m - height_m).abs())
        });
        let near = near.expect("it flies");
        (near.height_m, near.wind_north_m_s.hypot(near.wind_east_m_s))
    };
    let ((low_m, low), (high_m, high)) = (wind_at(2.0), wind_at(5.0));
    let law = (low_m / 0.4).ln() / (high_m / 0.4).ln();
    assert!((low / high - law).abs() < 0.1, "{} {law}", low / high);
}

#[test]
fn torque_left_alone_rolls_it_while_no_stick_answers() {
    let left = first(
        &flown("curlew", THROW, COMPETENT, &["torque-left-alone=1.5 s"]),
        1.4,
    );
    assert!(
        left.iter().all(|s| s.stick_roll.abs() < 0.15),
        "tremor only"
    );
    // Which way depends on the right thrust that was built in.
    let most = |faults: &[&str]| {
        let samples = first(&flown("curlew", THROW, COMPETENT, faults), 2.0);
        samples.iter().map(|s| s.bank_rad.abs()).fold(0.0, f64::max)
    };
    let (left_alone, sound) = (most(&["torque-left-alone=1.5 s"]), most(&[]));
    assert!(left_alone > sound + 0.03, "{left_alone} {sound}");
}

#[test]
fn over_pulling_adds_elevator_as_the_speed_falls() {
    let slow = |faults: &[&str]| {
        // The throw itself is slow as well.
        let samples = later(
            &first(&flown("marram", THROW, COMPETENT, faults), 24.0),
            1.0,
        );
        let slowest = samples
            .iter()
            .min_by(|a, b| a.airspeed_m_s.total_cmp(&b.airspeed_m_s));
        let least_margin = samples
            .iter()
            .map(|s| s.stall_margin_rad)
            .fold(9.0, f64::min);
        (*slowest.expect("it flies"), least_margin)
    };
    let ((pulling, margin), (sound, sound_margin)) = (slow(&["over-pull=large"]), slow(&[]));
    assert!(
        pulling.stick_pitch > sound.stick_pitch + 0.1,
        "{} {}",
        pulling.stick_pitch,
        sound.stick_pitch
    );
    assert!(margin < sound_margin, "{margin} {sound_margin}");
}

/// Where a number begins, turns back, and ends; less of a way back than `least` is
/// no turning.
fn turns(samples: &[Sample], of: impl Fn(&Sample) -> f64, least: f64) -> Vec<f64> {
    let (mut turns, mut way, mut end) = (vec![of(&samples[0])], 0.0, of(&samples[0]));
    for sample in samples {
        let x = of(sample);
        if (x - end) * way > 0.0 || way == 0.0 && (x - end).abs() > least {
            (way, end) = ((x - end).signum(), x);
        } else if (end - x) * way > least {
            turns.push(end);
            (way, end) = (-way, x);
        }
    }
    turns.push(end);
    turns
}

/// Reversals of the roll stick, a second.
fn reversals(samples: &[Sample]) -> f64 {
    // A third of the way back counts as a reversal, less does not.
    let count = turns(samples, |s| s.stick_roll, 0.3).len() - 2;
    count as f64 / (samples[samples.len() - 1].time_s - samples[0].time_s)
}

/// Bank from each turning point to the next.
fn swings_rad(samples: &[Sample]) -> Vec<f64> {
    let turns = turns(samples, |s| s.bank_rad, 0.05);
    turns
        .windows(2)
        .map(|two| (two[1] - two[0]).abs())
        .collect()
}

#[test]
fn over_control_swings_from_side_to_side_and_the_swings_grow() {
    // Pilots who over-control swing at 0.5 to 2 Hz: a reversal a second and more.
    let banks = |faults: &[&str]| -> Vec<Vec<Sample>> {
        let flown = flown_on(&DAYS, "curlew", BREEZE, COMPETENT, faults);
        flown.iter().map(|one| first(one, 8.0)).collect()
    };
    let (over, sound) = (banks(&["over-control=large"]), banks(&[]));
    let often = |days: &[Vec<Sample>]| median(days.iter().map(|day| reversals(day)));
    let (much, usual) = (often(&over), often(&sound));
    assert!(much >= 1.0 && usual < 0.5, "{much} and {usual} a second");
    // They grow, until a wing or a stick can do no more.
    let largest = |day: &Vec<Sample>| swings_rad(day).into_iter().fold(0.0, f64::max);
    let growth = over.iter().map(|day| largest(day) / swings_rad(day)[0]);
    let growth: Vec<f64> = growth.collect();
    assert!(median(growth.iter().copied()) > 1.5, "{growth:?}");
    let [over, sound] = [&over, &sound].map(|days| median(days.iter().map(largest)));
    assert!(over > 1.5 * sound, "{over} {sound}");
}

#[test]
fn nose_in_reversal_deepens_the_bank_only_when_it_comes_back() {
    // Share of the time in which the stick goes with a bank of more than 6
    // degrees, by whether the plane comes toward the pilot or goes away. One
    // circuit comes toward the pilot for a few seconds only: six of them.
    let with_bank = |faults: &[&str]| {
        let all = flown_on(&[1, 2, 3, 4, 5, 6], "curlew", CIRCUIT, COMPETENT, faults);
        let samples: Vec<Sample> = all.iter().flat_map(|one| first(one, 120.0)).collect();
        let of = |toward: bool| {
            let banked = samples.iter().filter(|s| {
                // Nose toward the pilot, who stands near the launch point, within
                // 60 degrees.
                let back_rad = (-s.east_m).atan2(-s.north_m) - s.heading_rad;
                let closing = back_rad.cos() > 0.5;
                closing == toward && s.bank_rad.abs() > 0.1 && s.stick_roll.abs() > 0.05
            });
            let (mut with, mut all) = (0.0, 0.0_f64);
            for s in banked {
                with += f64::from(u8::from(s.stick_roll * s.bank_rad > 0.0));
                all += 1.0;
            }
            with / all.max(1.0)
        };
        (of(true), of(false))
    };
    let (toward, away) = with_bank(&["nose-in-reversal=90 %"]);
    let (sound_toward, sound_away) = with_bank(&[]);
    // That there is a difference, and which way; how large it is the trade does
    // not say.
    assert!(toward > sound_toward + 0.05, "{toward} {sound_toward}");
    assert!(away < sound_away + 0.05, "{away} {sound_away}");
}

#[test]
fn aileron_at_the_stall_stalls_where_a_careful_pilot_does_not() {
    let least = |faults: &[&str]| -> Vec<f64> {
        let flown = flown_on(&DAYS, "curlew", THROW, COMPETENT, faults);
        // The throw itself is slow as well.
        let samples = flown.iter().map(|one| later(&first(one, 12.0), 1.0));
        let margin = |samples: Vec<Sample>| {
            let margins = samples.iter().map(|s| s.stall_margin_rad);
            margins.fold(f64::INFINITY, f64::min)
        };
        samples.map(margin).collect()
    };
    let (fighting, careful) = (least(&["aileron-at-stall"]), least(&[]));
    // Some of the days: a wing that is held at the stall drops when the air says.
    assert!(fighting.iter().any(|margin| *margin < 0.0), "{fighting:?}");
    assert!(careful.iter().all(|margin| *margin > 0.0), "{careful:?}");
    assert!(median(fighting.into_iter()) < median(careful.into_iter()) - 0.03);
}

/// A circuit in a calm, so that only the pilot makes the landing.
const LANDING: Where = Where {
    lesson: "launch_circuit_landing",
    wind: "calm",
};

/// The first touch after the circuit: sink, throttle, and what came before.
struct Touch {
    sink_m_s: f64,
    throttle: f64,
    before: Vec<Sample>,
}

impl Touch {
    fn of(flown: &Flown) -> Self {
        let (time_s, sink_m_s) = touched(flown);
        let before: Vec<Sample> = (flown.recording.samples.iter())
            .filter(|s| s.stage == FlightStage::Free && s.time_s < time_s)
            .copied()
            .collect();
        Self {
            sink_m_s,
            throttle: before.last().map_or(0.0, |s| s.stick_throttle),
            before,
        }
    }

    /// In the last ten seconds.
    fn fastest_m_s(&self) -> f64 {
        let last_s = self.before[self.before.len() - 1].time_s - 10.0;
        let near = self.before.iter().filter(|s| s.time_s > last_s);
        near.map(|s| s.airspeed_m_s).fold(0.0, f64::max)
    }
}

fn touch(plane: &str, faults: &[&str]) -> Touch {
    Touch::of(&flown(plane, LANDING, COMPETENT, faults))
}

/// Median over all days.
fn usually(plane: &str, faults: &[&str], of: fn(&Touch) -> f64) -> f64 {
    let flown = flown_on(&DAYS, plane, LANDING, COMPETENT, faults);
    median(flown.iter().map(|one| of(&Touch::of(one))))
}

/// When it touches first after the circuit, and its sink in m/s.
fn touched(flown: &Flown) -> (f64, f64) {
    let after_s = released_s(flown) + 3.0;
    let touch = flown
        .recording
        .events
        .iter()
        .find_map(|event| match event.kind {
            EventKind::TouchedGround { sink_m_s, .. } if event.time_s > after_s => {
                Some((event.time_s, sink_m_s))
            }
            _ => None,
        });
    touch.expect("it comes down")
}

#[test]
fn flares_too_late_and_too_high_and_power_left_on_show_at_the_touch() {
    let late = usually("curlew", &["late-flare=1200 mm"], |touch| touch.sink_m_s);
    let in_time = usually("curlew", &[], |touch| touch.sink_m_s);
    // "Sink of more than 1.5 m/s at the touch" is that of a plane which glides
    // steeply; one that glides well comes down at about 1.2 m/s when nobody flares.
    // Half a flare's worth (own choice) is what has to show.
    assert!(late > in_time + 0.3, "{late} {in_time}");
    let sound = touch("marram", &[]);
    // "Stall above one metre": slow up there already.
    let slowest_above = |touch: &Touch| {
        let last_s = touch.before[touch.before.len() - 1].time_s - 6.0;
        (touch.before.iter())
            .filter(|s| s.time_s > last_s && s.height_m > 0.7)
            .map(|s| s.airspeed_m_s)
            .fold(f64::INFINITY, f64::min)
    };
    let high = touch("marram", &["high-flare=1800 mm"]);
    assert!(slowest_above(&high) < slowest_above(&sound) - 0.3);
    let powered = touch("marram", &["power-left-on"]);
    assert!(
        sound.throttle < 0.05 && powered.throttle > 0.05,
        "{} {}",
        sound.throttle,
        powered.throttle
    );
}

#[test]
fn a_dive_to_the_strip_is_fast_and_a_stare_leaves_the_power_as_it_is() {
    let dive = usually("marram", &["dive-to-strip=large"], Touch::fastest_m_s);
    let sound = usually("marram", &[], Touch::fastest_m_s);
    assert!(dive > sound + 1.0, "{dive} {sound}");
    let stare = touch("marram", &["no-go-round"]);
    let final_s = stare.before[stare.before.len() - 1].time_s;
    // On the final, before the flare, straight: one throttle.
    let on_final: Vec<Sample> = (stare.before.iter())
        .filter(|s| s.time_s > final_s - 8.0 && s.height_m > 3.0 && s.bank_rad.abs() < 0.1)
        .copied()
        .collect();
    assert!(spread(&on_final, |s| s.stick_throttle) < 0.05);
}

#[test]
fn trees_upwind_are_there_for_the_eye_as_well() {
    let inputs = faulty::inputs("marram", BREEZE, COMPETENT, &["lee-of-trees"]);
    let inputs = inputs.unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(inputs.field.tree_lines.len(), 1);
    assert!(
        faulty::inputs("marram", THROW, COMPETENT, &["lee-of-trees"]).is_err(),
        "a calm"
    );
}
