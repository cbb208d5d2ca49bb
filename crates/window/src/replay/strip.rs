//! The time of a flight as a strip along the bottom, with what happened on it; a
//! mouse can point at a time.

use bevy::prelude::*;
use bevy::ui::RelativeCursorPosition;

use super::{OfReplay, Replay};
use crate::hud::{INK, PLATE};

/// Of what happened.
const MARK: Color = Color::srgb(0.95, 0.75, 0.2);

/// Share of the window that the strip takes.
const WIDTH: f32 = 0.5;
/// Words stand in so many rows.
const ROWS: usize = 4;
const ROW_PX: f32 = 16.0;
/// A letter is so wide, as a share of the strip in a window of 1280 pixels.
const LETTER: f64 = 8.0 / (0.5 * 1280.0);

/// Where the word of a mark stands.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Label {
    /// Share of the strip at its left end.
    from: f64,
    row: usize,
}

/// Words beside their marks, each in the first row with room for it.
fn labels(marks: &[(f64, &str)]) -> Vec<Label> {
    let mut ends = [f64::NEG_INFINITY; ROWS];
    let place = |(share, word): &(f64, &str)| {
        let width = (word.chars().count() as f64 + 1.5) * LETTER;
        // Near the end it stands before its mark.
        let from = if share + width > 1.0 {
            share - width
        } else {
            *share
        };
        let row = (0..ROWS).find(|row| ends[*row] <= from).unwrap_or(ROWS - 1);
        ends[row] = ends[row].max(from + width);
        Label { from, row }
    };
    marks.iter().map(place).collect()
}

/// The strip that is pointed at.
#[derive(Component)]
pub struct Strip;

/// Shows the time that is looked at.
#[derive(Component)]
pub struct Cursor;

/// Lays the strip out.
pub fn lay(mut commands: Commands, replay: Option<Res<Replay>>) {
    let Some(replay) = replay else {
        return;
    };
    let strip = commands
        .spawn((
            OfReplay,
            Strip,
            Interaction::default(),
            RelativeCursorPosition::default(),
            Node {
                position_type: PositionType::Absolute,
                left: percent(31),
                width: percent(100.0 * WIDTH),
                bottom: px(16),
                height: px(ROWS as f32 * ROW_PX + 6.0),
                border: UiRect::all(px(1)),
                ..default()
            },
            BackgroundColor(PLATE),
            BorderColor::all(INK),
        ))
        .id();
    let shares: Vec<(f64, &str)> = (replay.marks.iter())
        .map(|(time_s, word)| (replay.player.share_of(*time_s), *word))
        .collect();
    let labels = labels(&shares);
    for ((share, word), label) in shares.iter().zip(&labels) {
        let left = percent(100.0 * *share as f32);
        commands.spawn((
            ChildOf(strip),
            Node {
                position_type: PositionType::Absolute,
                left,
                width: px(2),
                height: percent(100),
                ..default()
            },
            BackgroundColor(MARK),
        ));
        commands.spawn((
            ChildOf(strip),
            Node {
                position_type: PositionType::Absolute,
                left: percent(100.0 * label.from as f32),
                top: px(2.0 + ROW_PX * label.row as f32),
                padding: UiRect::horizontal(px(4)),
                ..default()
            },
            Text::new(*word),
            TextFont::from_font_size(13.0),
            TextColor(INK),
        ));
    }
    commands.spawn((
        ChildOf(strip),
        Cursor,
        Node {
            position_type: PositionType::Absolute,
            width: px(6),
            height: percent(100),
            ..default()
        },
        BackgroundColor(INK),
    ));
}

/// A mouse points at a time.
pub fn point(
    strips: Query<(&Interaction, &RelativeCursorPosition), With<Strip>>,
    mut replay: ResMut<Replay>,
) {
    for (interaction, cursor) in &strips {
        if *interaction == Interaction::Pressed
            && let Some(at) = cursor.normalized
        {
            replay.player.look_at_share(f64::from(at.x) + 0.5);
        }
    }
}

/// The cursor stands where one looks.
pub fn mark(replay: Res<Replay>, mut cursors: Query<&mut Node, With<Cursor>>) {
    // Its own width stays within the strip.
    let left = percent(98.8 * replay.player.share() as f32);
    for mut node in &mut cursors {
        if node.left != left {
            node.left = left;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_would_cover_each_other_stand_in_rows() {
        let marks = [
            (0.1, "let go"),
            (0.12, "stall"),
            (0.5, "touch"),
            (0.97, "near a person"),
            (0.98, "hit a person"),
            (0.99, "broke"),
        ];
        let labels = labels(&marks);
        let width = |word: &str| (word.chars().count() as f64 + 1.5) * LETTER;
        for (i, (a, (_, word))) in labels.iter().zip(&marks).enumerate() {
            assert!(
                a.from >= 0.0 && a.from + width(word) <= 1.0 + 1e-9,
                "{word}"
            );
            for (b, (_, other)) in labels.iter().zip(&marks).take(i) {
                let apart =
                    a.from >= b.from + width(other) - 1e-9 || b.from >= a.from + width(word) - 1e-9;
                assert!(a.row != b.row || apart, "{word} over {other}");
            }
        }
    }
}
