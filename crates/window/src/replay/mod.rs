//! A flight looked at again: as slow as one likes, from anywhere, with its way in
//! the air and the same lesson flown well beside it.

mod keys;
mod path;
mod player;
mod strip;

use bevy::prelude::*;
use larkfield_recording::{Event, EventKind};

pub use path::Margin;
pub use player::Player;

use crate::activity::Activity;
use crate::eyes::Look;
use crate::seen::Seen;
use crate::session::Session;
use crate::settings::Settings;
use crate::steps::Steps;
use crate::track::{Moment, Track};
use crate::words::Words;

/// Looks again.
pub struct ReplayPlugin;

impl Plugin for ReplayPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(OnEnter(Activity::Replay), (enter, strip::lay).chain())
            .add_systems(OnExit(Activity::Replay), leave)
            .add_systems(
                Update,
                (
                    (keys::press, strip::point).in_set(Steps::Choose),
                    (show, strip::mark).chain().in_set(Steps::Fly),
                )
                    .run_if(in_state(Activity::Replay).and_then(resource_exists::<Replay>)),
            );
    }
}

/// The flight that is looked at.
#[derive(Resource)]
pub struct Replay {
    /// Where one looks.
    pub player: Player,
    track: Track,
    beside: Option<Beside>,
    /// The way is drawn.
    pub way_shown: bool,
    /// The flight beside it is drawn.
    pub beside_shown: bool,
    marks: Vec<(f64, &'static str)>,
    look_before: Look,
}

/// The same lesson on the same day, flown by a pilot who can.
struct Beside {
    track: Track,
    /// Its time less that of the flight, when both were let go.
    later_s: f64,
}

/// So much of the time in the hand is shown.
const WAIT_S: f64 = 2.0;

/// What there is only while one looks again.
#[derive(Component)]
pub struct OfReplay;

/// Belongs to the way of the flight, or to the flight beside it.
#[derive(Component, Clone, Copy, PartialEq, Eq)]
enum Drawn {
    Way,
    Beside,
}

/// Where the other plane is.
#[derive(Component)]
struct Marker;

/// What deserves a mark on the time of a flight, in a word.
fn mark_of(kind: &EventKind) -> Option<&'static str> {
    match kind {
        EventKind::Released => Some("let go"),
        EventKind::Stalled => Some("stall"),
        EventKind::PowerLost => Some("power lost"),
        EventKind::TouchedGround { .. } => Some("touch"),
        EventKind::Broke { .. } => Some("broke"),
        EventKind::PropellerStruck { .. } => Some("propeller"),
        EventKind::NearPerson { .. } => Some("near a person"),
        EventKind::HitPerson { .. } => Some("hit a person"),
        EventKind::CrossedSafetyLine => Some("safety line"),
        _ => None,
    }
}

/// Marks of events, those of one kind that follow each other closely only once.
fn marks_of(events: &[Event]) -> Vec<(f64, &'static str)> {
    let mut marks: Vec<(f64, &'static str)> = Vec::new();
    for event in events {
        let Some(word) = mark_of(&event.kind) else {
            continue;
        };
        let said = marks
            .iter()
            .any(|(time_s, said)| *said == word && event.time_s - time_s < 1.0);
        if !said {
            marks.push((event.time_s, word));
        }
    }
    marks
}

fn enter(
    mut commands: Commands,
    (session, settings): (NonSend<Session>, Res<Settings>),
    mut look: ResMut<Look>,
    (mut meshes, mut materials): (ResMut<Assets<Mesh>>, ResMut<Assets<StandardMaterial>>),
) {
    let track = session.track().clone();
    let (Some(first_s), Some(to_s)) = (track.from_s(), track.to_s()) else {
        return;
    };
    let free_s = track.free_s().unwrap_or(first_s);
    // Nobody wants to watch a plane wait in a hand.
    let from_s = first_s.max(free_s - WAIT_S);
    let beside = session.flown_well().and_then(|track| {
        let later_s = track.free_s()? - free_s;
        Some(Beside { track, later_s })
    });
    let paint = materials.add(StandardMaterial {
        unlit: true,
        double_sided: true,
        cull_mode: None,
        ..default()
    });
    let flown = |track: &Track| -> Vec<Moment> {
        let free_s = track.free_s().unwrap_or(0.0);
        let free = |moment: &&Moment| moment.seen.time_s >= free_s;
        track.moments().iter().filter(free).cloned().collect()
    };
    let moments = flown(&track);
    let mut draw = |faces: crate::plane::Faces, drawn: Drawn| {
        if faces.is_empty() {
            return;
        }
        commands.spawn((
            OfReplay,
            drawn,
            Mesh3d(meshes.add(faces.mesh())),
            MeshMaterial3d(paint.clone()),
            Transform::default(),
        ));
    };
    draw(path::way(&moments), Drawn::Way);
    draw(path::arrows(&moments), Drawn::Way);
    if let Some(beside) = &beside {
        draw(path::way_beside(&flown(&beside.track)), Drawn::Beside);
        let mut faces = crate::plane::Faces::default();
        // Small enough to leave the plane itself in view, with a mast that shows
        // from far where it is.
        let (up, grey) = (glam::DVec3::Y, [0.25, 0.25, 0.25, 1.0]);
        crate::field::ball(
            &mut faces,
            glam::DVec3::ZERO,
            glam::DVec3::splat(0.07),
            grey,
        );
        crate::field::tube(&mut faces, [up * 0.1, up * 1.6], [0.015; 2], grey);
        crate::field::ball(&mut faces, up * 1.7, glam::DVec3::splat(0.12), grey);
        commands.spawn((
            OfReplay,
            Drawn::Beside,
            Marker,
            Mesh3d(meshes.add(faces.mesh())),
            MeshMaterial3d(paint),
            Transform::default(),
        ));
    }
    commands.insert_resource(Replay {
        player: Player::new(from_s, to_s, free_s),
        marks: session
            .view()
            .map(|view| marks_of(view.events))
            .unwrap_or_default(),
        track,
        beside,
        way_shown: true,
        beside_shown: true,
        look_before: *look,
    });
    // A camera that flies along is a lot of motion.
    *look = if settings.reduced_motion {
        Look::Pilot
    } else {
        Look::Chase
    };
}

fn leave(
    mut commands: Commands,
    mut look: ResMut<Look>,
    replay: Option<Res<Replay>>,
    drawn: Query<Entity, With<OfReplay>>,
) {
    if let Some(replay) = replay {
        *look = replay.look_before;
    }
    for entity in &drawn {
        commands.entity(entity).despawn();
    }
    commands.remove_resource::<Replay>();
}

fn show(
    time: Res<Time>,
    look: Res<Look>,
    mut replay: ResMut<Replay>,
    (mut seen, mut words): (ResMut<Seen>, ResMut<Words>),
    mut drawn: Query<(&Drawn, &mut Visibility)>,
    mut markers: Query<&mut Transform, With<Marker>>,
) {
    replay.player.go_on(time.delta_secs_f64());
    let at_s = replay.player.at_s();
    let Some(moment) = replay.track.at(at_s) else {
        return;
    };
    for (drawn, mut visibility) in &mut drawn {
        let shown = match drawn {
            Drawn::Way => replay.way_shown,
            Drawn::Beside => replay.beside_shown,
        };
        visibility.set_if_neq(if shown {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
    if let Some(beside) = &replay.beside
        && let Some(other) = beside.track.at(at_s + beside.later_s)
    {
        for mut transform in &mut markers {
            transform.translation = other.seen.plane.place_m;
        }
    }
    let new = words_of(&replay, &moment, *look);
    *seen = moment.seen;
    if *words != new {
        *words = new;
    }
}

fn words_of(replay: &Replay, moment: &Moment, look: Look) -> Words {
    let seen = &moment.seen;
    let margin = match Margin::of(moment.stall_margin_rad) {
        Margin::Stalled => "STALLED".to_owned(),
        _ => format!(
            "{:.0} deg below the stall",
            moment.stall_margin_rad.to_degrees()
        ),
    };
    let through_m_s = f64::from((seen.velocity_m_s - moment.wind_m_s).length());
    let wind_m_s = moment.wind_m_s.length();
    let player = &replay.player;
    let now = if player.plays { "plays" } else { "stands" };
    let beside = if replay.beside.is_some() {
        "\nGrey: the same launch and wind, flown by the scripted competent pilot"
    } else {
        ""
    };
    Words {
        title: "Looking at the flight again".to_owned(),
        step: format!("{now}, {}, from {}", player.speed_in_words(), look.name()),
        facts: format!(
            "{:.2} s\n{through_m_s:.1} m/s through the air\n{margin}\n{:.1} m up, climbing {:+.1} \
             m/s\nwind {wind_m_s:.1} m/s",
            seen.time_s, seen.plane.place_m.y, seen.velocity_m_s.y
        ),
        card: format!("{}.{beside}", path::LEGEND),
        list: keys::KEYS.to_owned(),
        ..Words::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_break_of_many_parts_is_one_mark() {
        let broke = |time_s: f64| Event {
            time_s,
            kind: EventKind::Broke {
                part: "wing".to_owned(),
                impulse_n_s: 2.0,
                limit_n_s: 1.0,
            },
        };
        let marks = marks_of(&[broke(3.0), broke(3.2), broke(9.0)]);
        assert_eq!(marks, [(3.0, "broke"), (9.0, "broke")]);
    }
}
