//! The menu on the screen. What the finger is on stands out by its shape, a mark
//! before it and light turned round, not by a colour alone.

use bevy::prelude::*;

use super::rows::Holds;
use super::{KEYS, Menu};
use crate::hud::{INK, PLATE};

/// Everything of the menu.
#[derive(Component)]
pub struct OfMenu;

/// A row, by its number.
#[derive(Component, Clone, Copy)]
pub struct RowNode(usize);

/// The text of a row.
#[derive(Component, Clone, Copy)]
pub struct RowText(usize);

/// What did not work.
#[derive(Component)]
pub struct ComplaintText;

/// What stands there without being a row.
#[derive(Component)]
pub struct Hint;

const ROW_PX: f32 = 17.0;

/// Lays it out.
pub fn lay(mut commands: Commands, menu: Res<Menu>) {
    let board = commands
        .spawn((
            OfMenu,
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                height: percent(100),
                justify_content: JustifyContent::Center,
                align_items: AlignItems::Center,
                ..default()
            },
        ))
        .id();
    let list = commands
        .spawn((
            ChildOf(board),
            Node {
                flex_direction: FlexDirection::Column,
                padding: UiRect::all(px(10)),
                max_width: percent(90),
                border_radius: BorderRadius::all(px(3)),
                ..default()
            },
            BackgroundColor(PLATE),
        ))
        .id();
    let line = |text: &str| {
        (
            ChildOf(list),
            Hint,
            Node {
                padding: UiRect::axes(px(8), px(1)),
                ..default()
            },
            Text::new(text),
            TextFont::from_font_size(ROW_PX),
            TextColor(INK),
        )
    };
    commands.spawn(line("Larkfield: what comes next?"));
    for index in 0..menu.rows.rows().len() {
        commands.spawn((
            ChildOf(list),
            RowNode(index),
            Interaction::default(),
            Node {
                padding: UiRect::axes(px(8), px(1)),
                ..default()
            },
            BackgroundColor(Color::NONE),
            children![(
                RowText(index),
                Text::default(),
                TextFont::from_font_size(ROW_PX),
                TextColor(INK),
            )],
        ));
    }
    commands.spawn(line(KEYS));
    commands.spawn((
        ChildOf(list),
        ComplaintText,
        Text::default(),
        TextFont::from_font_size(ROW_PX),
        TextColor(INK),
    ));
}

/// Takes it away.
pub fn clear(mut commands: Commands, all: Query<Entity, With<OfMenu>>) {
    for entity in &all {
        commands.entity(entity).despawn();
    }
    commands.remove_resource::<Menu>();
}

/// A mouse points at rows and clicks.
pub fn point(
    rows: Query<(&RowNode, &Interaction), Changed<Interaction>>,
    mut moved: MessageReader<CursorMoved>,
    mut menu: ResMut<Menu>,
) {
    let moves = moved.read().count() > 0;
    for (row, interaction) in &rows {
        match interaction {
            // A mouse that lies there when the menu opens points at nothing.
            Interaction::Hovered if moves => menu.rows.point(row.0),
            Interaction::Pressed => {
                menu.rows.point(row.0);
                menu.clicked = true;
            }
            Interaction::Hovered | Interaction::None => {}
        }
    }
}

/// Writes the rows.
pub fn write(
    menu: Res<Menu>,
    mut texts: Query<(&RowText, &mut Text, &mut TextColor), Without<ComplaintText>>,
    mut rows: Query<(&RowNode, &mut BackgroundColor)>,
    mut complaints: Query<&mut Text, With<ComplaintText>>,
) {
    let at = menu.rows.at();
    for (row, mut text, mut colour) in &mut texts {
        let Some(this) = menu.rows.rows().get(row.0) else {
            continue;
        };
        let mark = if row.0 == at { ">" } else { " " };
        let wanted = match &this.holds {
            // Where a letter would go is only shown where one can be typed.
            Holds::Typed(name) if row.0 != at => format!("{mark} {:<12}{name}", this.name),
            _ => format!("{mark} {}", this.in_words()),
        };
        if text.0 != wanted {
            text.0 = wanted;
        }
        colour.set_if_neq(TextColor(if row.0 == at {
            PLATE.with_alpha(1.0)
        } else {
            INK
        }));
    }
    for (row, mut background) in &mut rows {
        background.set_if_neq(BackgroundColor(if row.0 == at { INK } else { Color::NONE }));
    }
    for mut text in &mut complaints {
        if text.0 != menu.complaint {
            text.0.clone_from(&menu.complaint);
        }
    }
}

/// Letters of the menu.
type Letters<'w, 's> =
    Query<'w, 's, &'static mut TextFont, Or<(With<RowText>, With<ComplaintText>, With<Hint>)>>;

/// All rows fit into the window whatever the size of text.
pub fn fit(
    menu: Res<Menu>,
    windows: Query<&Window>,
    scale: Res<UiScale>,
    mut texts: Letters<'_, '_>,
) {
    let Ok(window) = windows.single() else {
        return;
    };
    let wanted = row_px(window.height() / scale.0, menu.rows.rows().len());
    for mut font in &mut texts {
        let is = TextFont::from_font_size(wanted);
        if font.font_size != is.font_size {
            font.font_size = is.font_size;
        }
    }
}

/// Size of a row's letters in a window of a height, both in scaled pixels.
pub fn row_px(window_px: f32, rows: usize) -> f32 {
    // A line is 1.2 times its letters high, and has two pixels of room; a title,
    // two lines of keys and two for a complaint stand there too.
    let room = (window_px * 0.94 - 20.0) / (rows + 5) as f32;
    ((room - 2.0) / 1.2).clamp(5.0, ROW_PX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_rows_fit_at_any_size_of_text() {
        for (height, scale) in [(720.0, 1.0), (720.0, 2.0), (2160.0, 6.0), (480.0, 0.66)] {
            let window_px = height / scale;
            let letters = row_px(window_px, 18);
            let all = 23.0 * (letters * 1.2 + 2.0) + 20.0;
            assert!(all <= window_px, "{all} of {window_px}");
        }
    }
}
