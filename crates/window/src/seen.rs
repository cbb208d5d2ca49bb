//! What there is to see this frame, in the axes of the renderer. Everything
//! that draws reads this and nothing else, so a recording can be shown by
//! whoever fills it in.

use bevy::prelude::*;
use glam::{DQuat, DVec3};
use larkfield_airframe::BreakPart;
use larkfield_pilot::{ControlMessage, Sticks};
use larkfield_recording::{EventKind, FlightStage};
use larkfield_world::axes::{attitude_to_bevy, to_bevy};
use larkfield_world::{FlightView, Piece};

/// Where something is: from body axes about a point to the renderer's world.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pose {
    /// The point.
    pub place_m: Vec3,
    /// Body axes to the world.
    pub turn: Quat,
}

impl Pose {
    /// From the model's world axes.
    pub fn of(position_m: DVec3, attitude: DQuat) -> Self {
        Self {
            place_m: place(position_m),
            turn: Quat::from_array(attitude_to_bevy(attitude).to_array()),
        }
    }

    /// A point of the body.
    pub fn point(&self, body_m: Vec3) -> Vec3 {
        self.place_m + self.turn * body_m
    }
}

/// A point of the model's world where the renderer has it.
pub fn place(ned_m: DVec3) -> Vec3 {
    Vec3::from_array(to_bevy(ned_m).to_array())
}

/// A part that came off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loose {
    /// Which.
    pub part: BreakPart,
    /// The plane's balance point as this part would have it.
    pub pose: Pose,
}

/// This frame.
#[derive(Resource, Debug, Clone, Default)]
pub struct Seen {
    /// Time of the flight.
    pub time_s: f64,
    /// In the hand, free, on the ground, over.
    pub stage: FlightStage,
    /// The plane about its balance point.
    pub plane: Pose,
    /// Its velocity over the ground.
    pub velocity_m_s: Vec3,
    /// Of each control, positive away from the panel's normal.
    pub deflections_rad: Vec<f64>,
    /// Of the propeller.
    pub omega_rad_s: f64,
    /// Share of the battery's charge left; `None` for a glider.
    pub charge: Option<f64>,
    /// Shoulder, elbow and fist of whoever throws.
    pub arm_m: Option<[Vec3; 3]>,
    /// Parts that broke.
    pub broken: Vec<BreakPart>,
    /// Those that lie about.
    pub loose: Vec<Loose>,
    /// What the pilot's hands do.
    pub message: ControlMessage,
    /// The pilot's own sticks while an instructor flies.
    pub others: Option<Sticks>,
    /// Speed through the air.
    pub airspeed_m_s: f64,
    /// Share of the wing that is separated.
    pub stalled: f64,
    /// Thrust over weight.
    pub thrust_share: f64,
    /// Touches of the ground so far.
    pub touches: u32,
    /// Rate of descent at the last of them.
    pub touch_sink_m_s: f64,
}

impl Seen {
    /// Looks at a flight.
    pub fn of(view: &FlightView) -> Self {
        let state = &view.plane.state;
        let battery = view
            .plane
            .model
            .airframe()
            .power
            .as_ref()
            .map(|p| p.battery);
        let used_c = state.power.charge_used_c;
        let report = &view.plane.report;
        let weight_n = view.plane.model.mass().mass_kg * view.plane.around.gravity_m_s2;
        let sinks_m_s = || {
            view.events.iter().filter_map(|event| match event.kind {
                EventKind::TouchedGround { sink_m_s, .. } => Some(sink_m_s),
                _ => None,
            })
        };
        Self {
            time_s: view.time_s,
            stage: view.plane.stage,
            plane: Pose::of(state.position_m, state.attitude),
            velocity_m_s: place(state.velocity_m_s),
            deflections_rad: state.surfaces.iter().map(|s| s.deflection_rad).collect(),
            omega_rad_s: state.power.omega_rad_s,
            charge: battery.map(|b| (b.charge - used_c / b.capacity_c).clamp(0.0, 1.0)),
            arm_m: view
                .arm
                .map(|arm| [arm.shoulder_m, arm.elbow_m, arm.hand_m].map(place)),
            broken: view.damage.broken.clone(),
            loose: view.damage.pieces.iter().map(loose).collect(),
            message: view.message,
            others: None,
            airspeed_m_s: report.airspeed_m_s,
            stalled: 0.5 * (report.stalled_left + report.stalled_right),
            thrust_share: report.thrust_n / weight_n.max(1e-6),
            touches: u32::try_from(sinks_m_s().count()).unwrap_or(u32::MAX),
            touch_sink_m_s: sinks_m_s().next_back().unwrap_or(0.0),
        }
    }
}

fn loose(piece: &Piece) -> Loose {
    let motion = &piece.motion;
    let balance_m = motion.position_m - motion.attitude * piece.centre_m;
    Loose {
        part: piece.part,
        pose: Pose::of(balance_m, motion.attitude),
    }
}
