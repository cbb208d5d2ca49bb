//! A made-up flight for tests of the page: closed forms chosen to look like a
//! hand launch and climb-out. It is no output of the flight model and proves
//! nothing about one.

// Each test takes what it needs.
#![allow(dead_code)]

pub mod circuit;

use core::f64::consts::PI;

use larkfield_debrief::summary::{FirstStall, LandingArea, RepeatInput, RunSummary, TouchDown};
use larkfield_debrief::{
    Assumed, CauseLine, Causes, DebriefInput, FieldPlan, GoalHeight, LookBack, MarkLine, Rescue,
    Stander, Strip,
};
use larkfield_recording::{Event, EventKind, FlightStage, Person, Recording, Sample};

const RATE_HZ: f64 = 50.0;
const RELEASE_S: f64 = 0.84;
const LENGTH_S: f64 = 27.0;

fn deg(angle: f64) -> f64 {
    angle * PI / 180.0
}

/// A bump of height one around `middle`.
fn bump(t: f64, middle: f64, width: f64) -> f64 {
    let x = (t - middle) / width;
    libm::exp(-x * x)
}

fn sample(time_s: f64, before: &Sample) -> Sample {
    let t = time_s - RELEASE_S;
    let step = 1.0 / RATE_HZ;
    let free = t >= 0.0;
    let gust = 0.35 * libm::sin(1.9 * t) + 0.2 * libm::sin(4.3 * t + 1.0);
    let wind_east = 2.0 + gust;
    let heading = deg(262.0) + deg(22.0) * (t - 9.0).clamp(0.0, 8.6);
    let airspeed = if free {
        6.1 + 2.0 - 1.1 * bump(t, 0.9, 0.7) + 1.6 * (1.0 - libm::exp(-t / 3.0)) + 0.3 * gust
    } else {
        2.0 + 6.0 * (1.0 + t / 0.5).max(0.0)
    };
    let ground = if free { airspeed } else { airspeed - 2.0 };
    let vn = ground * libm::cos(heading);
    let ve = ground * libm::sin(heading) + if free { wind_east } else { 0.0 };
    let height = if free {
        1.8 - 0.62 * bump(t, 1.0, 0.55) + 1.32 * (t - 1.1).max(0.0)
    } else {
        1.7 + 0.2 * (1.0 + t / RELEASE_S)
    };
    let alpha = deg(5.0) + deg(7.5) * bump(t, 0.9, 0.5) + deg(0.8) * gust;
    let bank = deg(-11.0) * bump(t, 0.8, 0.6) + deg(24.0) * bump(t, 15.0, 5.5);
    let busy = t > -0.6 && t < 0.72;
    let pitch_stick = if busy {
        0.0
    } else {
        0.34 * bump(t, 1.2, 0.5) + 0.05
    };
    let yaw_stick = if busy {
        0.0
    } else {
        0.5 * bump(t, 1.1, 0.35) + 0.35 * bump(t, 10.0, 1.5)
    };
    Sample {
        time_s,
        stage: if free {
            FlightStage::Free
        } else {
            FlightStage::InHand
        },
        north_m: before.north_m + vn * step,
        east_m: before.east_m + ve * step,
        height_m: height,
        velocity_north_m_s: vn,
        velocity_east_m_s: ve,
        climb_m_s: (height - before.height_m) / step,
        bank_rad: bank,
        pitch_rad: deg(6.0) + alpha * 0.6,
        heading_rad: heading,
        airspeed_m_s: airspeed,
        alpha_rad: alpha,
        stall_margin_rad: deg(13.8) - alpha - deg(1.5) * bank.abs(),
        load_factor: 1.0,
        wind_east_m_s: wind_east,
        wind_up_m_s: 0.25 * libm::sin(1.1 * t),
        stick_pitch: pitch_stick,
        stick_yaw: yaw_stick,
        stick_throttle: if t < -0.5 { 0.0 } else { 0.8 },
        hand_busy: busy,
        elevator_rad: -deg(14.0) * before.stick_pitch,
        rudder_rad: -deg(25.0) * before.stick_yaw,
        propeller_rad_s: if t < -0.5 {
            0.0
        } else {
            820.0 * (1.0 - libm::exp(-(t + 0.5) / 0.15)) + 12.0 * gust
        },
        current_a: if t < -0.5 { 0.0 } else { 8.4 },
        voltage_v: if t < -0.5 { 12.5 } else { 11.7 - 0.012 * t },
        nearest_person_m: 1.0,
        safety_line_m: 12.0,
        ..Sample::default()
    }
}

/// The flight.
pub fn recording() -> Recording {
    let mut samples: Vec<Sample> = Vec::new();
    // The arm carries the plane from behind to the launch point.
    let mut before = Sample {
        north_m: 0.18,
        east_m: 1.3,
        height_m: 1.7,
        ..Sample::default()
    };
    for i in 0..=(LENGTH_S * RATE_HZ) as usize {
        before = sample(i as f64 / RATE_HZ, &before);
        samples.push(before);
    }
    let at = |t: f64, kind| Event {
        time_s: RELEASE_S + t,
        kind,
    };
    let phase = |name: &str| EventKind::PhaseDone {
        phase: name.to_owned(),
    };
    Recording {
        interval_s: 1.0 / RATE_HZ,
        samples,
        events: vec![
            at(-0.5, EventKind::ThrowBegan),
            at(0.0, EventKind::Released),
            at(0.72, EventKind::HandOnStick),
            at(2.0, phase("first two seconds")),
            at(22.46, phase("climbed to 30 m")),
            at(
                26.16,
                EventKind::Ended {
                    reason: "the lesson is done".to_owned(),
                },
            ),
        ],
    }
}

fn mark(name: &str, value: &str, limit: &str, points: f64, of: f64, advice: &str) -> MarkLine {
    MarkLine {
        name: name.to_owned(),
        value: value.to_owned(),
        limit: limit.to_owned(),
        points,
        of,
        advice: advice.to_owned(),
    }
}

/// A debrief of that flight; scores and words are made up as well.
pub fn debrief() -> DebriefInput {
    let recording = recording();
    let minimum = recording
        .samples
        .iter()
        .map(|s| 6.6 + 0.5 * s.bank_rad.abs() + 0.15 * libm::sin(s.time_s))
        .collect();
    let assumed = |name: &str, value: &str| Assumed {
        name: name.to_owned(),
        value: value.to_owned(),
    };
    let stander = |person, north_m, east_m| Stander {
        person,
        north_m,
        east_m,
    };
    DebriefInput {
        plane_name: "Meadow Pipit 900".to_owned(),
        build_note: "as drawn, 5 mm foam, rudder and elevator".to_owned(),
        assumed: vec![
            assumed("Motor resistance", "0.12 ohm"),
            assumed("Battery resistance", "0.045 ohm"),
            assumed("Servo speed", "0.15 s for 60 degrees"),
            assumed("Linkage slop", "0.5 mm"),
        ],
        lesson_name: "First hand launch".to_owned(),
        lesson_description: "Throw into wind, keep the wings level, climb straight to 30 m."
            .to_owned(),
        wind_summary: "2 m/s from the west at 2 m height, light gusts".to_owned(),
        seed: 41,
        pilot_name: "beginner".to_owned(),
        thrower_name: "steady helper".to_owned(),
        marks: vec![
            mark(
                "Lowest height, first 2 s",
                "1.2 m",
                "at least 1.0 m",
                18.0,
                20.0,
                "Throw level and firmly; a plane that sinks with its nose up was thrown too softly.",
            ),
            mark(
                "Speed in hand, first 2 s",
                "0.4 m/s",
                "at least 1.0 m/s",
                8.0,
                20.0,
                "If the nose is up and it sinks, hold the attitude; do not pull.",
            ),
            mark(
                "Bank held",
                "11 degrees left",
                "within 15 degrees",
                12.5,
                15.0,
                "A little right rudder as soon as your hand is back on the stick.",
            ),
            mark(
                "Heading held",
                "6 degrees",
                "within 20 degrees",
                15.0,
                15.0,
                "Pick a tree to fly at before you throw.",
            ),
            mark(
                "Climb",
                "1.3 m/s",
                "at least 1.0 m/s",
                12.0,
                15.0,
                "Climb shallow; if it goes quiet and soft, ease the nose down.",
            ),
            mark(
                "Stall margin",
                "1.3 degrees",
                "at least 3 degrees",
                5.0,
                15.0,
                "Soft controls and a nose that hangs mean less back stick, now.",
            ),
        ],
        total: 70.5,
        zeroed_by: None,
        headline: "It sank to knee height after a soft throw, then climbed to 30 m undamaged."
            .to_owned(),
        next_steps: vec![
            "Throw harder: ask for a run of three steps before the throw.".to_owned(),
            "Leave the elevator alone for the first second; it flew itself out.".to_owned(),
            "Rehearse seeds 42 to 60 and see whether the left wing drops every time.".to_owned(),
        ],
        stall_speed_m_s: Some(5.6),
        minimum_level_speed_m_s: minimum,
        goal_heights: vec![GoalHeight {
            name: "goal".to_owned(),
            height_m: 30.0,
        }],
        field: FieldPlan {
            people: vec![
                stander(Person::Thrower, 0.0, 0.6),
                stander(Person::Pilot, 2.0, 2.5),
                stander(Person::Bystander, -24.0, 12.0),
            ],
            safety_line: Some([[-14.0, 0.0], [-14.0, 50.0]]),
            strip: Some(Strip {
                north_m: 2.0,
                east_m: -12.0,
                length_m: 60.0,
                width_m: 12.0,
                heading_rad: deg(90.0),
            }),
            tree_lines: vec![[[30.0, -25.0], [30.0, 15.0]]],
            safe_distance_m: 10.0,
        },
        landing: None,
        phases: Vec::new(),
        damage: Vec::new(),
        look_back: Some(LookBack {
            trouble: "the tip of the left wing broke".to_owned(),
            trouble_s: 6.4,
            tried_from_s: 1.2,
            first_cue: Some((3.1, "a wing drops below 25 degrees".to_owned())),
            delay_s: 0.55,
            rescues: [
                ("ease the elevator back to its middle", Some(2.4)),
                ("add power smoothly", None),
                ("level the wings, elevator in its middle", Some(4.9)),
                ("let go of the sticks, throttle as it is", Some(1.2)),
                ("motor off, wings level, land ahead", Some(6.3)),
            ]
            .map(|(name, decided_s)| Rescue {
                name: name.to_owned(),
                decided_s,
            })
            .to_vec(),
            verdict: "Saved by this, decided upon up to 5.1 s after the release: motor off."
                .to_owned(),
        }),
        effect: Some("wing-warp=1.8 deg cost 31 points.".to_owned()),
        causes: Some(Causes {
            verdict: "Likeliest: wing-warp, about 1.8 deg.".to_owned(),
            causes: vec![CauseLine {
                name: "wing-warp, about 1.8 deg".to_owned(),
                what: "The starboard wing is twisted.".to_owned(),
                evidence: "1.3 s after the release, roll rate: -21 deg/s off the plane as designed"
                    .to_owned(),
                bench: "Sight along the wing from behind.".to_owned(),
                remedy: "Twist it back with gentle warmth.".to_owned(),
            }],
        }),
        recording,
    }
}

/// The same with an ugly end: zeroed, broken, not finite, odd names.
pub fn ugly_debrief() -> DebriefInput {
    let mut input = debrief();
    let events = &mut input.recording.events;
    events.truncate(3);
    let times = [1.1, 1.9, 2.6, 2.62, 2.7, 3.0, 4.4];
    let kinds = [
        EventKind::Stalled,
        EventKind::CrossedSafetyLine,
        EventKind::TouchedGround {
            sink_m_s: 4.2,
            part: "left wing tip".to_owned(),
        },
        EventKind::Broke {
            part: "wing".to_owned(),
            impulse_n_s: 1.31,
            limit_n_s: 0.8,
        },
        EventKind::HitPerson {
            person: Person::Bystander,
            propeller: true,
        },
        EventKind::NotFinite {
            quantity: "roll rate".to_owned(),
        },
        EventKind::AtRest,
    ];
    for (t, kind) in times.into_iter().zip(kinds) {
        events.push(Event {
            time_s: RELEASE_S + t,
            kind,
        });
    }
    input.recording.samples.truncate(270);
    for (i, s) in input.recording.samples.iter_mut().enumerate() {
        if s.time_s > RELEASE_S + 2.6 {
            s.stage = FlightStage::Ground;
            s.height_m = 0.1;
        }
        if i % 50 == 7 {
            s.airspeed_m_s = f64::NAN;
            s.alpha_rad = f64::INFINITY;
            s.north_m = f64::NAN;
        }
    }
    input.minimum_level_speed_m_s.truncate(100);
    input.headline = "It stalled, dropped the left wing and hit a bystander.".to_owned();
    input.zeroed_by = Some("it hit a bystander with the propeller turning".to_owned());
    input.damage = vec!["wing, left of the root".to_owned()];
    input.plane_name = "Ä".to_owned() + &"VeryLongNameWithoutAnySpace".repeat(6);
    input
}

/// Numbers between 0 and 1 that look random.
fn luck(seed: u64, salt: f64) -> f64 {
    let x = libm::sin(seed as f64 * 12.9898 + salt) * 43758.5453;
    x - libm::floor(x)
}

/// A made-up flight of a circuit.
fn one_of_many(seed: u64, phases: usize) -> RunSummary {
    let luck = |salt: f64| luck(seed, salt);
    let zeroed = seed % 67 == 5;
    let done = if luck(0.0) > 0.25 {
        phases
    } else {
        (luck(1.0) * phases as f64) as usize
    };
    let completed = done == phases && !zeroed;
    let touch = (luck(2.0) > 0.05).then(|| {
        let wild = if done + 3 < phases { 8.0 } else { 1.0 };
        TouchDown {
            time_s: 60.0 + 20.0 * luck(3.0),
            along_m: wild * 24.0 * (luck(4.0) + luck(5.0) - 1.0),
            right_m: wild * 9.0 * (luck(6.0) + luck(7.0) - 1.0),
            in_area: wild < 2.0 && luck(8.0) > 0.1,
            sink_m_s: wild * (0.3 + 0.9 * luck(9.0)),
            ground_speed_m_s: 4.0 + 3.0 * luck(10.0),
            drift_m_s: 1.5 * (luck(11.0) + luck(12.0) - 1.0),
            bank_deg: 20.0 * (luck(13.0) - 0.5),
            heading_error_deg: 30.0 * (luck(14.0) - 0.5),
            throttle_fraction: 0.1 * luck(15.0),
            part: "skid".to_owned(),
        }
    });
    let broken = if done < phases || luck(16.0) < 0.06 {
        vec!["propeller".to_owned(), "left wing".to_owned()]
    } else {
        Vec::new()
    };
    RunSummary {
        seed,
        score: if zeroed {
            0.0
        } else {
            100.0 * libm::sqrt(luck(17.0))
        },
        passed: completed && broken.is_empty() && luck(17.0) > 0.36,
        completed: done == phases,
        zeroed_by: zeroed.then(|| "the plane crossed the safety line".to_owned()),
        phases_done_s: (0..phases)
            .map(|phase| (phase < done).then(|| 1.5 + 8.0 * phase as f64 + luck(18.0)))
            .collect(),
        released_s: 1.5,
        lowest_height_m: 1.8 * libm::sqrt(luck(19.0)),
        flying_after_3_s: Some(done > 0),
        highest_height_m: 12.0 + 4.0 * luck(20.0),
        first_stall: (luck(21.0) < 0.3).then(|| FirstStall {
            time_s: 50.0,
            height_m: 5.0 * luck(22.0),
        }),
        touch,
        broken_parts: broken,
        airborne_s: 4.0 + 70.0 * luck(23.0),
        failed: String::new(),
        ended_by: if done == phases {
            "the lesson was completed".to_owned()
        } else {
            "the plane broke".to_owned()
        },
        headline: if done == phases {
            "Lesson completed, \"undamaged\", after 71.0 s: 84 of 100 points.".to_owned()
        } else {
            "Flown for 12.3 s to a height of 9.1 m, with broken parts (propeller, left wing)."
                .to_owned()
        },
    }
}

/// Two hundred made-up results.
pub fn repeat() -> RepeatInput {
    let phases = [
        "fly away from the hand",
        "climb",
        "downwind",
        "base",
        "final",
        "flare and touch",
        "roll out",
        "stop & disarm",
    ];
    RepeatInput {
        plane_name: "Meadow Pipit 900".to_owned(),
        lesson_name: "Launch, circuit, landing".to_owned(),
        phases: phases.map(str::to_owned).to_vec(),
        landing: Some(LandingArea {
            name: "the box".to_owned(),
            required: true,
            length_m: 40.0,
            width_m: 20.0,
            phase: 5,
        }),
        pilot_name: "beginner".to_owned(),
        wind_summary: "2 m/s from the west at 2 m height, light gusts".to_owned(),
        again_command: "larkfield rehearse --again . --seed {seed}".to_owned(),
        assumed: debrief().assumed,
        runs: (0..200)
            .map(|seed| one_of_many(seed, phases.len()))
            .collect(),
    }
}
