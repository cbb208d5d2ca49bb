//! The sticks on the screen: squares, a knob in each, and a ring for whoever does
//! not fly just now.

use bevy::prelude::*;
use larkfield_pilot::Sticks;

use super::{Area, INK, plate};
use crate::seen::Seen;
use crate::settings::Settings;

const FRAME: Color = Color::srgb(0.72, 0.74, 0.72);
/// Side of the square that a stick moves in.
const STICK_PX: f32 = 92.0;
const KNOB_PX: f32 = 16.0;

/// What a stick moves in.
#[derive(Component)]
pub struct Square;

/// A ring where the stick is of a pilot who does not fly just now.
#[derive(Component)]
pub struct Ring;

/// The knob of a stick.
#[derive(Component, Debug, Clone, Copy, PartialEq, Eq)]
pub enum Knob {
    /// Throttle and rudder, in mode 2.
    Left,
    /// Elevator and ailerons.
    Right,
}

/// Lays them out.
pub fn lay(commands: &mut Commands) {
    let square = |knob: Knob| {
        (
            Square,
            Node {
                width: px(STICK_PX),
                height: px(STICK_PX),
                border: UiRect::all(px(2)),
                ..default()
            },
            BorderColor::all(FRAME),
            children![
                (
                    knob,
                    Node {
                        position_type: PositionType::Absolute,
                        width: px(KNOB_PX),
                        height: px(KNOB_PX),
                        border_radius: BorderRadius::all(percent(50)),
                        ..default()
                    },
                    BackgroundColor(INK),
                ),
                (
                    knob,
                    Ring,
                    Node {
                        position_type: PositionType::Absolute,
                        width: px(KNOB_PX),
                        height: px(KNOB_PX),
                        border: UiRect::all(px(3)),
                        border_radius: BorderRadius::all(percent(50)),
                        ..default()
                    },
                    BorderColor::all(INK),
                    Visibility::Hidden,
                )
            ],
        )
    };
    commands.spawn((
        plate(
            Area::Sticks,
            Node {
                left: px(14),
                bottom: px(14),
                column_gap: px(14),
                align_items: AlignItems::End,
                ..default()
            },
        ),
        children![
            square(Knob::Left),
            square(Knob::Right),
            (
                Area::Sticks,
                Text::default(),
                TextFont::from_font_size(15.0),
                TextColor(INK),
            )
        ],
    ));
}

/// What stands beside them.
pub fn in_words(seen: &Seen) -> String {
    let message = &seen.message;
    let throttle = message.sticks.throttle * 100.0;
    let cut = if message.switches.throttle_cut {
        "\nthrottle cut"
    } else {
        ""
    };
    let away = if message.hand_off {
        "\nright hand at the plane"
    } else {
        ""
    };
    format!("throttle {throttle:.0} %{cut}{away}")
}

/// Where the knobs are in their squares, as shares from left and top: left
/// stick, right stick, in mode 2. Pulled back is down.
pub fn knobs_at(sticks: &Sticks) -> [(f64, f64); 2] {
    let share = |stick: f64| 0.5 + 0.5 * stick;
    [
        (share(sticks.yaw), 1.0 - sticks.throttle),
        (share(sticks.roll), share(sticks.pitch)),
    ]
}

/// The squares of the sticks are as large as they are whatever the size of text.
pub fn size(settings: Res<Settings>, mut squares: Query<&mut Node, With<Square>>) {
    let side = px(stick_px(&settings));
    for mut node in &mut squares {
        if node.width != side {
            node.width = side;
            node.height = side;
        }
    }
}

/// Side of a stick's square in scaled pixels.
fn stick_px(settings: &Settings) -> f32 {
    STICK_PX * 100.0 / settings.text_percent as f32
}

/// Knobs and rings.
type Knobs<'w, 's> = Query<
    'w,
    's,
    (
        &'static Knob,
        &'static mut Node,
        &'static mut Visibility,
        Has<Ring>,
    ),
    Without<Square>,
>;

/// Puts knobs and rings where the sticks are.
pub fn push(seen: Res<Seen>, settings: Res<Settings>, mut knobs: Knobs<'_, '_>) {
    let room = stick_px(&settings) - KNOB_PX - 4.0;
    for (knob, mut node, mut visibility, is_ring) in &mut knobs {
        let sticks = if is_ring {
            visibility.set_if_neq(match seen.others {
                Some(_) => Visibility::Inherited,
                None => Visibility::Hidden,
            });
            seen.others.unwrap_or_default()
        } else {
            seen.message.sticks
        };
        let (x, y) = knobs_at(&sticks)[usize::from(*knob == Knob::Right)];
        let (left, top) = (px(x as f32 * room), px(y as f32 * room));
        if node.left != left || node.top != top {
            node.left = left;
            node.top = top;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn knobs_stand_as_the_sticks_do() {
        let pulled = Sticks {
            pitch: 1.0,
            roll: -1.0,
            yaw: 0.0,
            throttle: 1.0,
        };
        assert_eq!(knobs_at(&pulled), [(0.5, 0.0), (0.0, 1.0)]);
    }
}
