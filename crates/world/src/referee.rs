//! Judges each flight: people, safety line, phases, and the end of the run.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_airframe::BreakPart;
use larkfield_lesson::{Disk, Referee, Watch};
use larkfield_pilot::attitude::to_euler;
use larkfield_recording::{EventKind, FlightStage};

use crate::aircraft::{Aircraft, Happenings};
use crate::contact::{ContactBody, ContactShape};
use crate::damage::{Damage, TURNING_RAD_S};
use crate::pilot::{Link, Pilot};
use crate::throw::Hand;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// The hand is watched for this long after it let go: it follows through and
/// the propeller of a pusher passes it. Longer than any follow-through.
const HAND_WATCHED_S: f64 = 0.5;

/// The referee of one flight.
#[derive(Component, Debug, Clone)]
pub struct Judge {
    /// State of the judgement.
    pub referee: Referee,
    /// Outline of the plane, body axes.
    outline_m: Vec<DVec3>,
    /// From the centre of gravity to the grip, body axes.
    pub(crate) grip_m: DVec3,
    /// The outline in world axes, kept to save its memory.
    outline_world_m: Vec<DVec3>,
}

impl Judge {
    /// A judge for a plane with these shapes.
    pub fn new(referee: Referee, shapes: &[ContactShape], grip_m: DVec3) -> Self {
        let outline_m = outline(shapes);
        Self {
            referee,
            outline_world_m: Vec::with_capacity(outline_m.len()),
            outline_m,
            grip_m,
        }
    }
}

/// The outermost point in each of six directions: nose, tail, tips, top, keel.
/// The propeller is watched as a disk of its own.
fn outline(shapes: &[ContactShape]) -> Vec<DVec3> {
    let mut points: Vec<DVec3> = Vec::new();
    for direction in [
        DVec3::X,
        DVec3::NEG_X,
        DVec3::Y,
        DVec3::NEG_Y,
        DVec3::Z,
        DVec3::NEG_Z,
    ] {
        let outermost = shapes
            .iter()
            .filter(|shape| shape.part != BreakPart::Propeller)
            .map(|shape| shape.centre_m + direction * shape.radius_m)
            .max_by(|a, b| a.dot(direction).total_cmp(&b.dot(direction)));
        if let Some(point_m) = outermost
            && !points.contains(&point_m)
        {
            points.push(point_m);
        }
    }
    points
}

/// Lets referees watch and ends flights.
pub struct RefereePlugin;

impl Plugin for RefereePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Tick, judge.in_set(TickSystems::Referee));
    }
}

type Judged<'a> = (
    &'a RunStart,
    Option<&'a Hand>,
    &'a Damage,
    &'a Pilot,
    &'a mut Link,
    &'a mut Aircraft,
    &'a mut Judge,
    &'a mut ContactBody,
    &'a mut Happenings,
);

fn judge(clock: Res<TickClock>, mut flights: Query<Judged>) {
    for (run, hand, damage, pilot, mut link, mut plane, mut judge, mut body, mut happenings) in
        &mut flights
    {
        if plane.ended() {
            continue;
        }
        let time_s = clock.end_s(run);
        let judge = &mut *judge;
        let motion = plane.motion();
        judge.outline_world_m.clear();
        let outline = judge.outline_m.iter().map(|point| motion.point_m(*point));
        judge.outline_world_m.extend(outline);
        let arm = hand
            .filter(|hand| time_s < hand.release_s() + HAND_WATCHED_S)
            .map(|hand| hand.arm(time_s, judge.grip_m));
        let (heading_rad, pitch_rad, bank_rad) = to_euler(plane.state.attitude);
        let sticks = pilot.message.sticks;
        let watch = Watch {
            time_s,
            stage: plane.stage,
            position_m: motion.position_m,
            velocity_m_s: motion.velocity_m_s,
            outline_m: &judge.outline_world_m,
            propeller: propeller_disk(&plane),
            arm,
            stalled_share: 0.5 * (plane.report.stalled_left + plane.report.stalled_right),
            broken: !damage.broken.is_empty(),
            bank_rad,
            pitch_rad,
            heading_rad,
            stall_margin_rad: plane.report.stall_margin_rad,
            thrust_n: plane.report.thrust_n,
            stick_roll: sticks.roll,
            stick_pitch: sticks.pitch,
            stick_yaw: sticks.yaw,
            stick_throttle: sticks.throttle,
            throttle_cut: pilot.message.switches.throttle_cut,
        };
        for kind in judge.referee.watch(&watch) {
            match kind {
                EventKind::Ended { .. } => {
                    plane.stage = FlightStage::Ended;
                    body.active = false;
                }
                // From the next tick on the controller gives no current.
                EventKind::PowerLost => link.motor_stopped = true,
                _ => {}
            }
            happenings.note(time_s, kind);
        }
    }
}

/// The propeller in world axes; `None` when there is none any more.
fn propeller_disk(plane: &Aircraft) -> Option<Disk> {
    let airframe = plane.model.airframe();
    let power = airframe.power.as_ref()?;
    if plane.state.lost.propeller {
        return None;
    }
    let hub_m = power.hub_m - plane.model.mass().cg_m;
    Some(Disk {
        centre_m: plane.motion().point_m(hub_m),
        axis: plane.state.attitude * power.thrust_direction,
        radius_m: 0.5 * power.propeller.diameter_m,
        turning: plane.state.power.omega_rad_s.abs() > TURNING_RAD_S,
    })
}
