//! The plane is heard: what there is to hear is worked out from what is seen, made
//! into samples, and played where there is something to play it on.

mod play;
mod synth;

use bevy::prelude::*;
use larkfield_recording::FlightStage;

pub use play::Speaker;
pub use synth::{Heard, SOUND_M_S, Synth};

use crate::activity::Activity;
use crate::attempt::Paused;
use crate::plane::PlaneToShow;
use crate::replay::Replay;
use crate::seen::Seen;
use crate::settings::Settings;
use crate::steps::Steps;

/// A touch that sinks as fast as this is as loud as one can be.
const HARD_M_S: f64 = 3.0;

/// Makes the plane heard.
pub struct SoundPlugin;

impl Plugin for SoundPlugin {
    fn build(&self, app: &mut App) {
        app.insert_non_send(Speaker::open())
            .add_systems(Update, hear.after(Steps::Draw));
    }
}

/// What an ear hears of what is seen.
pub fn heard_by(ear_m: Vec3, blades: u32, seen: &Seen) -> Heard {
    let to_ear = ear_m - seen.plane.place_m;
    let distance_m = to_ear.length();
    Heard {
        turns_hz: (seen.omega_rad_s.abs() / std::f64::consts::TAU) as f32,
        blades: blades as f32,
        load: seen.thrust_share.clamp(0.0, 1.0) as f32,
        airspeed_m_s: if seen.stage == FlightStage::InHand {
            0.0
        } else {
            seen.airspeed_m_s as f32
        },
        stalled: seen.stalled as f32,
        distance_m,
        closing_m_s: seen.velocity_m_s.dot(to_ear) / distance_m.max(0.1),
        volume: 1.0,
        touches: seen.touches,
        touch: (seen.touch_sink_m_s / HARD_M_S).clamp(0.1, 1.0) as f32,
        breaks: seen.broken.len() as u32,
    }
}

fn hear(
    speaker: NonSend<Speaker>,
    (activity, paused): (Res<State<Activity>>, Option<Res<Paused>>),
    (seen, settings): (Res<Seen>, Res<Settings>),
    plane: Option<Res<PlaneToShow>>,
    replay: Option<Res<Replay>>,
    cameras: Query<&Transform, With<Camera3d>>,
) {
    let Ok(ear) = cameras.single() else {
        return;
    };
    let power = plane
        .as_ref()
        .and_then(|plane| plane.airframe.power.as_ref());
    let blades = power.map_or(2, |power| power.propeller.blades);
    let mut heard = heard_by(ear.translation, blades, &seen);
    // Slow motion sounds lower, as everything slow does.
    let speed = match activity.get() {
        Activity::Flight => f32::from(u8::from(!paused.is_some_and(|paused| paused.0))),
        Activity::Drill => 1.0,
        Activity::Replay => replay.map_or(0.0, |replay| {
            if replay.player.plays {
                replay.player.speed() as f32
            } else {
                0.0
            }
        }),
        Activity::Menu | Activity::Guide => 0.0,
    };
    heard.turns_hz *= speed;
    heard.volume = if speed > 0.0 {
        settings.sound_percent as f32 / 100.0
    } else {
        0.0
    };
    speaker.tell(heard);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::seen::Pose;

    #[test]
    fn a_plane_on_its_way_here_comes_nearer_as_fast_as_it_flies() {
        let seen = Seen {
            plane: Pose {
                place_m: Vec3::new(0.0, 30.0, -40.0),
                ..Pose::default()
            },
            // Toward the ear at the origin: 3-4-5.
            velocity_m_s: Vec3::new(0.0, -6.0, 8.0),
            omega_rad_s: -std::f64::consts::TAU * 100.0,
            ..Seen::default()
        };
        let heard = heard_by(Vec3::ZERO, 2, &seen);
        assert!((heard.distance_m - 50.0).abs() < 1e-4);
        assert!((heard.closing_m_s - 10.0).abs() < 1e-4);
        assert!((heard.turns_hz - 100.0).abs() < 1e-3);
    }
}
