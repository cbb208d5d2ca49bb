//! Every moment of a flight as it was seen, to be looked at again.

use bevy::prelude::*;
use larkfield_pilot::{ControlMessage, Sticks};
use larkfield_recording::FlightStage;
use larkfield_world::FlightView;

use crate::seen::{Loose, Pose, Seen, place};

/// A moment is kept this often.
const KEEP_EVERY_S: f64 = 0.01;
/// No flight of a lesson lasts this long; what comes later is not kept.
const LONGEST_S: f64 = 1200.0;

/// What was seen, and two things that nobody can see.
#[derive(Debug, Clone, Default)]
pub struct Moment {
    /// What there was to see.
    pub seen: Seen,
    /// Angle between the most loaded wing strip and its stall; negative:
    /// stalled.
    pub stall_margin_rad: f64,
    /// Velocity of the air at the plane.
    pub wind_m_s: Vec3,
}

/// A flight, moment by moment.
#[derive(Debug, Clone, Default)]
pub struct Track {
    moments: Vec<Moment>,
}

impl Track {
    /// Keeps how a flight is now, when the last kept moment is old enough.
    pub fn note(&mut self, view: &FlightView<'_>) {
        let due = self.to_s().is_none_or(|last_s| {
            let passed_s = view.time_s - last_s;
            passed_s >= KEEP_EVERY_S - 1e-9
        });
        if !due || view.time_s > LONGEST_S {
            return;
        }
        self.moments.push(Moment {
            seen: Seen::of(view),
            stall_margin_rad: view.plane.report.stall_margin_rad,
            wind_m_s: place(view.plane.around.wind.centre_m_s),
        });
    }

    /// Forgets everything after a time: the flight went on otherwise from there.
    pub fn cut(&mut self, time_s: f64) {
        self.moments
            .retain(|moment| moment.seen.time_s <= time_s + 1e-9);
    }

    /// All moments in order.
    pub fn moments(&self) -> &[Moment] {
        &self.moments
    }

    /// Time of the first moment.
    pub fn from_s(&self) -> Option<f64> {
        self.moments.first().map(|moment| moment.seen.time_s)
    }

    /// Time of the last moment.
    pub fn to_s(&self) -> Option<f64> {
        self.moments.last().map(|moment| moment.seen.time_s)
    }

    /// Time at which the hand let go; of the first moment for a plane that was
    /// never in a hand.
    pub fn free_s(&self) -> Option<f64> {
        let free = |moment: &&Moment| moment.seen.stage != FlightStage::InHand;
        let first = self.moments.iter().find(free);
        first.map(|moment| moment.seen.time_s)
    }

    /// How it was at a time, between the moments before and after; at the ends
    /// as it was there.
    pub fn at(&self, time_s: f64) -> Option<Moment> {
        let after = self
            .moments
            .partition_point(|moment| moment.seen.time_s <= time_s);
        let before = self.moments.get(after.saturating_sub(1))?;
        let Some(next) = self.moments.get(after) else {
            return Some(before.clone());
        };
        let length_s = next.seen.time_s - before.seen.time_s;
        let share = if length_s > 0.0 {
            ((time_s - before.seen.time_s) / length_s).clamp(0.0, 1.0)
        } else {
            0.0
        };
        Some(between(before, next, share))
    }
}

/// Part of the way from one moment to the next.
fn between(a: &Moment, b: &Moment, share: f64) -> Moment {
    let number = |from: f64, to: f64| from + (to - from) * share;
    let part = share as f32;
    let pose = |from: Pose, to: Pose| Pose {
        place_m: from.place_m.lerp(to.place_m, part),
        turn: from.turn.slerp(to.turn, part),
    };
    let deflections = a.seen.deflections_rad.iter().zip(&b.seen.deflections_rad);
    let loose = a.seen.loose.iter().map(|piece| {
        let same = |other: &&Loose| other.part == piece.part;
        let later = b.seen.loose.iter().find(same).unwrap_or(piece);
        Loose {
            part: piece.part,
            pose: pose(piece.pose, later.pose),
        }
    });
    let (from, to) = (&a.seen.message.sticks, &b.seen.message.sticks);
    Moment {
        stall_margin_rad: number(a.stall_margin_rad, b.stall_margin_rad),
        wind_m_s: a.wind_m_s.lerp(b.wind_m_s, part),
        seen: Seen {
            time_s: number(a.seen.time_s, b.seen.time_s),
            plane: pose(a.seen.plane, b.seen.plane),
            velocity_m_s: a.seen.velocity_m_s.lerp(b.seen.velocity_m_s, part),
            deflections_rad: deflections.map(|(from, to)| number(*from, *to)).collect(),
            omega_rad_s: number(a.seen.omega_rad_s, b.seen.omega_rad_s),
            airspeed_m_s: number(a.seen.airspeed_m_s, b.seen.airspeed_m_s),
            arm_m: (a.seen.arm_m.zip(b.seen.arm_m))
                .map(|(from, to)| core::array::from_fn(|joint| from[joint].lerp(to[joint], part))),
            loose: loose.collect(),
            message: ControlMessage {
                sticks: Sticks {
                    roll: number(from.roll, to.roll),
                    pitch: number(from.pitch, to.pitch),
                    yaw: number(from.yaw, to.yaw),
                    throttle: number(from.throttle, to.throttle),
                },
                ..a.seen.message
            },
            ..a.seen.clone()
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn track(times_s: &[f64]) -> Track {
        let moments = times_s.iter().map(|time_s| Moment {
            seen: Seen {
                time_s: *time_s,
                plane: Pose {
                    place_m: Vec3::new(0.0, 0.0, -10.0 * *time_s as f32),
                    turn: Quat::from_rotation_y(*time_s as f32),
                },
                stage: if *time_s < 1.0 {
                    FlightStage::InHand
                } else {
                    FlightStage::Free
                },
                ..Seen::default()
            },
            stall_margin_rad: 0.1 * time_s,
            wind_m_s: Vec3::X,
        });
        Track {
            moments: moments.collect(),
        }
    }

    #[test]
    fn between_two_moments_everything_is_part_of_the_way() {
        let track = track(&[0.0, 1.0, 2.0]);
        let moment = track.at(1.25).expect("there are moments");
        assert!((moment.seen.plane.place_m.z + 12.5).abs() < 1e-5);
        assert!((moment.stall_margin_rad - 0.125).abs() < 1e-12);
        let angle = moment.seen.plane.turn.angle_between(Quat::IDENTITY);
        assert!((angle - 1.25).abs() < 1e-5, "{angle}");
    }

    #[test]
    fn before_and_after_it_is_as_at_its_ends() {
        let track = track(&[0.5, 1.0, 2.0]);
        assert_eq!(track.at(-3.0).map(|m| m.seen.time_s), Some(0.5));
        assert_eq!(track.at(9.0).map(|m| m.seen.time_s), Some(2.0));
        assert!(Track::default().at(0.0).is_none());
        assert_eq!(track.free_s(), Some(1.0));
    }

    #[test]
    fn what_went_otherwise_is_forgotten() {
        let mut track = track(&[0.0, 1.0, 2.0, 3.0]);
        track.cut(1.0);
        assert_eq!((track.from_s(), track.to_s()), (Some(0.0), Some(1.0)));
    }
}
