//! What breaks: impulses over a sliding window against the limits of each part.
//!
//! A peak contact force depends on the length of the tick (a stiff blow of the
//! same impulse is twice as forceful in half the time), an impulse does not. So
//! each part adds up the impulses that the ground gave it over the last 20 ms,
//! as vectors, and breaks when their sum exceeds its limit.

use std::collections::VecDeque;

use bevy::prelude::*;
use glam::DVec3;
use larkfield_airframe::BreakPart;
use larkfield_recording::{EventKind, FlightStage};

use crate::aircraft::{Aircraft, Happenings};
use crate::contact::{ContactBody, ContactOutcome};
use crate::pieces::Piece;
use crate::pilot::{Link, Struck};
use crate::throw::SAME_TIME_S;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// Length of the window.
pub const WINDOW_S: f64 = 0.020;

/// A propeller slower than this neither cuts nor is stopped by a touch: about
/// 300 rpm, a few turns a second. Common practice, no source.
pub const TURNING_RAD_S: f64 = 30.0;

/// Blows to the parts of a plane, and what they broke.
#[derive(Component, Debug, Clone, Default)]
pub struct Damage {
    /// Parts that broke, in order.
    pub broken: Vec<BreakPart>,
    /// Largest sum of impulses within a window that each part has taken.
    pub worst_n_s: Vec<(BreakPart, f64)>,
    /// What came off, and where it is.
    pub pieces: Vec<Piece>,
    window: VecDeque<Taken>,
}

#[derive(Debug, Clone, Copy)]
struct Taken {
    time_s: f64,
    part: BreakPart,
    impulse_n_s: DVec3,
}

impl Damage {
    /// Adds a blow.
    fn take(&mut self, time_s: f64, part: BreakPart, impulse_n_s: DVec3) {
        self.window.push_back(Taken {
            time_s,
            part,
            impulse_n_s,
        });
    }

    /// Forgets what left the window by `time_s`.
    fn forget(&mut self, time_s: f64) {
        while self
            .window
            .front()
            .is_some_and(|taken| time_s - taken.time_s > WINDOW_S - SAME_TIME_S)
        {
            self.window.pop_front();
        }
    }

    /// Sum of the impulses on a part within the window.
    fn sum_n_s(&self, part: BreakPart) -> f64 {
        let blows = self.window.iter().filter(|taken| taken.part == part);
        blows
            .fold(DVec3::ZERO, |sum, taken| sum + taken.impulse_n_s)
            .length()
    }

    fn note_worst(&mut self, part: BreakPart, sum_n_s: f64) {
        match self.worst_n_s.iter_mut().find(|(known, _)| *known == part) {
            Some((_, worst_n_s)) => *worst_n_s = worst_n_s.max(sum_n_s),
            None => self.worst_n_s.push((part, sum_n_s)),
        }
    }
}

/// What a part is called.
pub fn part_name(part: BreakPart) -> &'static str {
    match part {
        BreakPart::Propeller => "propeller",
        BreakPart::Nose => "nose",
        BreakPart::WingLeft => "port wing",
        BreakPart::WingRight => "starboard wing",
        BreakPart::Tail => "tail",
        BreakPart::Gear => "gear",
        BreakPart::Belly => "belly",
    }
}

/// Adds up blows and breaks parts.
pub struct DamagePlugin;

impl Plugin for DamagePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(
            Tick,
            (strike_propeller, suffer, fall)
                .chain()
                .in_set(TickSystems::Damage),
        );
    }
}

/// Height of the lowest point of the propeller's disk above the ground.
fn lowest_blade_m(plane: &Aircraft) -> Option<f64> {
    let power = plane.model.airframe().power.as_ref()?;
    let hub_m = power.hub_m - plane.model.mass().cg_m;
    let shaft = plane.state.attitude * power.thrust_direction;
    let hub_z_m = (plane.state.position_m + plane.state.attitude * hub_m).z;
    // A disk square to the shaft hangs down from its hub by the radius times
    // the sine of the angle between the shaft and the vertical.
    let hang = (1.0 - shaft.z * shaft.z).max(0.0).sqrt();
    Some(-hub_z_m - 0.5 * power.propeller.diameter_m * hang)
}

type Striking<'a> = (
    &'a RunStart,
    &'a ContactBody,
    &'a mut Aircraft,
    &'a mut Link,
    &'a mut Damage,
    &'a mut Happenings,
);

/// A turning propeller that reaches the ground stops at once; the controller
/// then wants the throttle shut before it starts again.
fn strike_propeller(clock: Res<TickClock>, mut planes: Query<Striking>) {
    for (run, body, mut plane, mut link, mut damage, mut happenings) in &mut planes {
        if !matches!(plane.stage, FlightStage::Free | FlightStage::Ground)
            || plane.state.lost.propeller
            || plane.state.power.omega_rad_s.abs() < TURNING_RAD_S
        {
            continue;
        }
        if !lowest_blade_m(&plane).is_some_and(|height_m| height_m < 0.0) {
            continue;
        }
        let plane = &mut *plane;
        let Some(impulse_n_s) = tip_blow_n_s(plane) else {
            continue;
        };
        let time_s = clock.end_s(run);
        let world_n_s = plane.state.attitude * impulse_n_s;
        damage.take(time_s, BreakPart::Propeller, world_n_s);
        kick(plane, body, impulse_n_s);
        plane.state.power.omega_rad_s = 0.0;
        plane.state.power.duty = 0.0;
        link.struck = Some(Struck::default());
        happenings.note(
            time_s,
            EventKind::PropellerStruck {
                impulse_n_s: impulse_n_s.length(),
            },
        );
    }
}

/// What the ground gives to the tip of the lowest blade, body axes. It takes the
/// rotor's whole angular momentum, I w, at the radius R, so it is I w / R, along
/// the ground against the way of the tip.
fn tip_blow_n_s(plane: &Aircraft) -> Option<DVec3> {
    let power = plane.model.power()?;
    let turn =
        power.direction() * (power.propeller().sense() * plane.state.power.omega_rad_s.signum());
    let down = plane.state.attitude.conjugate() * DVec3::Z;
    let lowest = (down - turn * down.dot(turn)).try_normalize()?;
    let momentum_n_m_s = power.inertia_kg_m2() * plane.state.power.omega_rad_s.abs();
    Some(turn.cross(lowest) * (-momentum_n_m_s / power.propeller().radius_m()))
}

/// The blow at the tip as the airframe feels it. Its moment about the shaft
/// stops the rotor; what is left is the same impulse at the hub, which throws
/// the nose aside. The energy comes out of the rotor, so it counts as the
/// propeller's work.
fn kick(plane: &mut Aircraft, body: &ContactBody, impulse_n_s: DVec3) {
    let Some(hub_m) = plane.model.power().map(|power| power.hub_m()) else {
        return;
    };
    let before_j = plane.energy_j();
    let (velocity_m_s, rates_rad_s) = body.inverse.answer(impulse_n_s, hub_m.cross(impulse_n_s));
    let (position_m, attitude) = (plane.state.position_m, plane.state.attitude);
    plane.model.contact(
        &mut plane.state,
        attitude * velocity_m_s,
        rates_rad_s,
        position_m,
        attitude,
    );
    plane.audit.thrust_work_j += plane.energy_j() - before_j;
}

type Falling<'a> = (
    &'a RunStart,
    &'a Aircraft,
    &'a ContactBody,
    &'a mut Damage,
    &'a mut Happenings,
);

/// What came off goes its own way.
fn fall(clock: Res<TickClock>, mut planes: Query<Falling>) {
    for (run, plane, body, mut damage, mut happenings) in &mut planes {
        if plane.ended() || damage.pieces.is_empty() {
            continue;
        }
        let density_kg_m3 = plane.model.air().density_kg_m3;
        let around = &plane.around;
        for piece in &mut damage.pieces {
            let rested = piece.step(
                around.wind.centre_m_s,
                density_kg_m3,
                around.gravity_m_s2,
                &body.terrain,
                clock.tick_s,
            );
            if rested {
                let place_m = piece.motion.position_m;
                happenings.note(
                    clock.end_s(run),
                    EventKind::PieceAtRest {
                        part: part_name(piece.part).to_owned(),
                        north_m: place_m.x,
                        east_m: place_m.y,
                    },
                );
            }
        }
    }
}

type Suffering<'a> = (
    &'a RunStart,
    &'a ContactOutcome,
    &'a mut ContactBody,
    &'a mut Aircraft,
    &'a mut Damage,
    &'a mut Happenings,
);

fn suffer(clock: Res<TickClock>, mut planes: Query<Suffering>) {
    for (run, outcome, mut body, mut plane, mut damage, mut happenings) in &mut planes {
        if plane.ended() {
            continue;
        }
        let time_s = clock.end_s(run);
        damage.forget(time_s);
        for blow in &outcome.blows {
            if let Some(shape) = body.shapes.get(blow.shape) {
                damage.take(time_s, shape.part, blow.impulse_n_s);
            }
        }
        if damage.window.is_empty() {
            continue;
        }
        let model = plane.model.clone();
        for limit in &model.airframe().break_limits {
            let sum_n_s = damage.sum_n_s(limit.part);
            if sum_n_s > 0.0 {
                damage.note_worst(limit.part, sum_n_s);
            }
            if sum_n_s > limit.impulse_n_s && !damage.broken.contains(&limit.part) {
                damage.broken.push(limit.part);
                lose(limit.part, &mut plane, &mut body);
                let motion = plane.motion();
                for part in [BreakPart::Propeller, limit.part] {
                    // A crushed nose lets go of the propeller too.
                    let with_it = part == limit.part || limit.part == BreakPart::Nose;
                    let off = damage.pieces.iter().any(|piece| piece.part == part);
                    if with_it && !off {
                        let piece = Piece::of(model.airframe(), model.mass(), part, &motion);
                        damage.pieces.extend(piece);
                    }
                }
                happenings.note(
                    time_s,
                    EventKind::Broke {
                        part: part_name(limit.part).to_owned(),
                        impulse_n_s: sum_n_s,
                        limit_n_s: limit.impulse_n_s,
                    },
                );
            }
        }
    }
}

/// A broken part no longer works. What comes off no longer touches either; a
/// crushed nose stays where it was, without thrust.
fn lose(part: BreakPart, plane: &mut Aircraft, body: &mut ContactBody) {
    let lost = &mut plane.state.lost;
    match part {
        BreakPart::Propeller => lost.propeller = true,
        BreakPart::Nose => {
            lost.propeller = true;
            body.gone.push(BreakPart::Propeller);
        }
        BreakPart::WingLeft => lost.wing_left = true,
        BreakPart::WingRight => lost.wing_right = true,
        BreakPart::Tail => lost.tail = true,
        BreakPart::Gear | BreakPart::Belly => {}
    }
    if !matches!(part, BreakPart::Nose | BreakPart::Belly) {
        body.gone.push(part);
    }
}
