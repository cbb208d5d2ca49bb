//! Moves planes: in a hand, in the air, and what the ground made of it.

use bevy::prelude::*;
use larkfield_flight::StepReport;
use larkfield_recording::{EventKind, FlightStage};

use crate::aircraft::{Aircraft, Happenings};
use crate::contact::{ContactBody, ContactOutcome, ContactSystems};
use crate::damage::part_name;
use crate::motion::TickMotion;
use crate::pilot::Link;
use crate::throw::{Hand, SAME_TIME_S};
use crate::tick::{RunStart, Tick, TickClock, TickSystems};
use crate::weather::{SentGust, WindOf};

/// A plane counts as on the ground for this long after it last touched, so that
/// a slide over rough spots is one landing.
const STILL_ON_GROUND_S: f64 = 0.1;

/// When a plane last touched the ground.
#[derive(Component, Debug, Clone, Copy, Default, PartialEq)]
pub struct LastTouch {
    /// Time since the start of the run.
    pub time_s: Option<f64>,
}

/// Steps the flight models and takes contacts back into them.
pub struct FlightPlugin;

impl Plugin for FlightPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(
            Tick,
            (
                fly.in_set(TickSystems::Air),
                land.in_set(TickSystems::Contact).after(ContactSystems),
            ),
        );
    }
}

type Flying<'a> = (
    &'a RunStart,
    &'a Link,
    Option<&'a Hand>,
    &'a WindOf,
    &'a SentGust,
    &'a mut Aircraft,
    &'a mut TickMotion,
    &'a mut ContactBody,
    &'a mut Happenings,
);

/// One tick of carrying, of flight, or of both: the hand lets go at its own
/// time, and a tick that contains the release is divided there.
fn fly(clock: Res<TickClock>, mut planes: Query<Flying>) {
    for (run, link, hand, wind, gust, mut plane, mut motion, mut body, mut happenings) in
        &mut planes
    {
        if plane.ended() {
            body.active = false;
            continue;
        }
        let (start_s, end_s) = (clock.start_s(run), clock.end_s(run));
        let plane = &mut *plane;
        link.mishaps
            .stop_servos(link.free_s(start_s), &mut plane.state);
        let mut flown_s = clock.tick_s;
        if let Some(hand) = hand.filter(|hand| start_s + SAME_TIME_S < hand.release_s()) {
            let until_s = end_s.min(hand.release_s());
            plane.report = plane.model.carry(
                &mut plane.state,
                &hand.at(until_s),
                &link.controls,
                &plane.around,
                until_s - start_s,
            );
            let released = hand.release_s() <= end_s + SAME_TIME_S;
            plane.stage = if released {
                FlightStage::Free
            } else {
                FlightStage::InHand
            };
            body.active = released;
            flown_s = end_s - until_s;
            if released && flown_s > SAME_TIME_S {
                // It becomes free in the air of that moment and that place.
                plane.meet_with(&wind.0.at(until_s), gust.at_m_s(until_s));
            }
        }
        body.steer = link.controls.yaw;
        motion.start = plane.motion();
        if flown_s > SAME_TIME_S {
            plane.report =
                plane
                    .model
                    .step(&mut plane.state, &link.controls, &plane.around, flown_s);
            plane.audit.air_work_j += plane.report.air_work_j;
            plane.audit.thrust_work_j += plane.report.thrust_work_j;
        }
        if !plane.state.is_finite() {
            freeze(plane, &motion, &mut happenings, end_s);
            body.active = false;
        }
        motion.end = plane.motion();
    }
}

/// A state that stopped being finite is a fault of the model; the plane stays
/// where it was and says so, and nobody else notices.
fn freeze(plane: &mut Aircraft, motion: &TickMotion, happenings: &mut Happenings, time_s: f64) {
    let state = &plane.state;
    let quantity = if !state.position_m.is_finite() || !state.velocity_m_s.is_finite() {
        "position or velocity"
    } else if !state.attitude.is_finite() || !state.rates_rad_s.is_finite() {
        "attitude or rates"
    } else {
        "flow or motor"
    };
    let mut frozen = plane.model.state_at_rest();
    frozen.position_m = motion.start.position_m;
    frozen.attitude = motion.start.attitude;
    frozen.lost = state.lost;
    plane.state = frozen;
    plane.report = StepReport::default();
    plane.stage = FlightStage::Ended;
    happenings.note(
        time_s,
        EventKind::NotFinite {
            quantity: quantity.to_owned(),
        },
    );
    happenings.note(
        time_s,
        EventKind::Ended {
            reason: "the calculation broke down".to_owned(),
        },
    );
}

type Landing<'a> = (
    &'a RunStart,
    &'a ContactBody,
    &'a ContactOutcome,
    &'a TickMotion,
    &'a mut Aircraft,
    &'a mut LastTouch,
    &'a mut Happenings,
);

/// Takes what the ground did into the flight state, with its work.
fn land(clock: Res<TickClock>, mut planes: Query<Landing>) {
    for (run, body, outcome, motion, mut plane, mut last, mut happenings) in &mut planes {
        if !matches!(plane.stage, FlightStage::Free | FlightStage::Ground) {
            continue;
        }
        let time_s = clock.end_s(run);
        let Some(after) = outcome.after else {
            let left = last
                .time_s
                .is_none_or(|touch_s| time_s - touch_s > STILL_ON_GROUND_S);
            if left && plane.stage == FlightStage::Ground {
                plane.stage = FlightStage::Free;
            }
            continue;
        };
        let plane = &mut *plane;
        let before_j = plane.energy_j();
        plane.model.contact(
            &mut plane.state,
            outcome.velocity_change_m_s,
            outcome.rate_change_rad_s,
            after.position_m,
            after.attitude,
        );
        plane.audit.contact_work_j += plane.energy_j() - before_j;
        last.time_s = Some(time_s);
        if plane.stage == FlightStage::Free {
            plane.stage = FlightStage::Ground;
            let hardest = outcome.blows.iter().max_by(|a, b| {
                a.impulse_n_s
                    .length_squared()
                    .total_cmp(&b.impulse_n_s.length_squared())
            });
            let part = hardest.and_then(|blow| body.shapes.get(blow.shape));
            happenings.note(
                time_s,
                EventKind::TouchedGround {
                    sink_m_s: motion.end.velocity_m_s.z,
                    part: part
                        .map_or("plane", |shape| part_name(shape.part))
                        .to_owned(),
                },
            );
        }
    }
}
