//! Words and sticks on top of the picture. Each part can be hidden.

mod letters;
mod sticks;

use bevy::prelude::*;
use larkfield_recording::FlightStage;

use crate::seen::Seen;
use crate::settings::Settings;
use crate::steps::Steps;
use crate::words::Words;

pub use sticks::knobs_at;

/// Text is legible on this, and the contrast does not depend on what is behind.
pub const PLATE: Color = Color::srgba(0.02, 0.03, 0.05, 0.88);
/// Of text.
pub const INK: Color = Color::srgb(0.96, 0.96, 0.92);
/// Letters of the result of a flight, when it is short.
const RESULT_PX: f32 = 18.0;
/// Share of the window that centred words may take.
const ROW_WIDTH: f32 = 0.62;

/// Which parts are shown.
#[derive(Resource, Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shown {
    /// Any of it.
    pub all: bool,
    /// The list of keys.
    pub keys: bool,
    /// Plane, lesson, step.
    pub lesson: bool,
    /// Time, wind, battery.
    pub facts: bool,
    /// The line of advice.
    pub coach: bool,
    /// The sticks.
    pub sticks: bool,
}

impl Default for Shown {
    fn default() -> Self {
        Self {
            all: true,
            keys: true,
            lesson: true,
            facts: true,
            coach: true,
            sticks: true,
        }
    }
}

/// A text of the screen.
#[derive(Component, Debug, Clone, Copy, PartialEq, Eq)]
pub enum Area {
    /// Plane, lesson, step.
    Lesson,
    /// Time, wind, battery.
    Facts,
    /// The line of advice.
    Coach,
    /// What the flight came to.
    Result,
    /// The list of keys.
    Keys,
    /// What to pick from.
    List,
    /// What the plane should do.
    Card,
    /// Sticks, drawn.
    Sticks,
}

/// Draws the words.
pub struct HudPlugin;

impl Plugin for HudPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Shown>()
            .init_resource::<Settings>()
            .init_resource::<Words>()
            .add_systems(Startup, lay_out)
            .add_systems(
                Update,
                (
                    scale,
                    write,
                    (hide, sticks::size, sticks::push, letters::fit),
                )
                    .chain()
                    .in_set(Steps::Draw),
            );
    }
}

fn plate(area: Area, place: Node) -> impl Bundle {
    (
        area,
        Node {
            position_type: PositionType::Absolute,
            padding: UiRect::axes(px(12), px(8)),
            border_radius: BorderRadius::all(px(3)),
            max_width: match place.max_width {
                Val::Auto => percent(48),
                narrower => narrower,
            },
            ..place
        },
        BackgroundColor(PLATE),
        Visibility::Hidden,
    )
}

fn lay_out(mut commands: Commands) {
    let text = |area: Area, size: f32| {
        (
            area,
            Text::default(),
            TextFont::from_font_size(size),
            TextColor(INK),
        )
    };
    let corners = [
        (
            Area::Lesson,
            17.0,
            Node {
                left: px(14),
                top: px(14),
                ..default()
            },
        ),
        (
            Area::Facts,
            17.0,
            Node {
                right: px(14),
                top: px(14),
                ..default()
            },
        ),
        (
            Area::Keys,
            14.0,
            Node {
                right: px(14),
                bottom: px(14),
                ..default()
            },
        ),
        // Beside a plane in the middle of the picture.
        (
            Area::List,
            14.0,
            Node {
                right: px(14),
                top: percent(31),
                max_width: percent(27),
                ..default()
            },
        ),
        (
            Area::Card,
            14.0,
            Node {
                left: px(14),
                top: percent(31),
                max_width: percent(27),
                ..default()
            },
        ),
    ];
    for (area, size, node) in corners {
        commands.spawn((plate(area, node), children![text(area, size)]));
    }
    // Centred ones stand in a row as wide as the window.
    let rows = [
        (Area::Coach, 20.0, percent(15), 0.46),
        (Area::Result, RESULT_PX, percent(14), ROW_WIDTH),
    ];
    for (area, size, top, width) in rows {
        commands.spawn((
            Node {
                position_type: PositionType::Absolute,
                width: percent(100),
                top,
                justify_content: JustifyContent::Center,
                ..default()
            },
            children![(
                plate(
                    area,
                    Node {
                        position_type: PositionType::Relative,
                        max_width: percent(100.0 * width),
                        ..default()
                    }
                ),
                children![text(area, size)]
            )],
        ));
    }
    sticks::lay(&mut commands);
}

/// Words keep their share of the window from a small window to a large screen.
fn scale(windows: Query<&Window>, settings: Res<Settings>, mut scale: ResMut<UiScale>) {
    if let Ok(window) = windows.single() {
        let wanted = scale_for(window.size()) * settings.text_percent as f32 / 100.0;
        if (scale.0 - wanted).abs() > 0.01 {
            scale.0 = wanted;
        }
    }
}

/// One at 1280 by 720.
pub fn scale_for(window_px: Vec2) -> f32 {
    (window_px.x / 1280.0)
        .min(window_px.y / 720.0)
        .clamp(0.5, 6.0)
}

fn write(words: Res<Words>, seen: Res<Seen>, mut texts: Query<(&Area, &mut Text)>) {
    for (area, mut text) in &mut texts {
        let wanted = match area {
            Area::Lesson => format!("{}\n{}", words.title, words.step),
            Area::Facts => words.facts.clone(),
            Area::Coach => words.coach.clone(),
            Area::Result => words.result.clone(),
            Area::Keys => words.keys.clone(),
            Area::List => words.list.clone(),
            Area::Card => words.card.clone(),
            Area::Sticks => sticks::in_words(&seen),
        };
        if text.0 != wanted {
            text.0 = wanted;
        }
    }
}

/// Plates with words on them.
type Plates<'w, 's> = Query<
    'w,
    's,
    (&'static Area, &'static mut Visibility),
    (With<Node>, Without<sticks::Knob>, Without<sticks::Square>),
>;

fn hide(words: Res<Words>, seen: Res<Seen>, shown: Res<Shown>, mut plates: Plates<'_, '_>) {
    for (area, mut visibility) in &mut plates {
        let wanted = match area {
            Area::Lesson => shown.lesson && !words.title.is_empty(),
            Area::Sticks => shown.sticks && !words.title.is_empty(),
            Area::Facts => shown.facts && !words.facts.is_empty(),
            Area::Coach => shown.coach && !words.coach.is_empty(),
            Area::Result => !words.result.is_empty(),
            Area::List => !words.list.is_empty(),
            Area::Card => !words.card.is_empty(),
            // Nobody reads it while there is something to fly.
            Area::Keys => shown.keys && !words.keys.is_empty() && seen.stage == FlightStage::InHand,
        };
        visibility.set_if_neq(if shown.all && wanted {
            Visibility::Inherited
        } else {
            Visibility::Hidden
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance and contrast of Web Content Accessibility Guidelines
    /// 2.1, which ask for 4.5 to 1.
    #[test]
    fn text_is_legible_over_the_brightest_sky_and_the_darkest_wood() {
        let luminance = |c: LinearRgba| 0.2126 * c.red + 0.7152 * c.green + 0.0722 * c.blue;
        let ink = luminance(INK.into());
        let plate: LinearRgba = PLATE.into();
        for behind in [1.0_f32, 0.0] {
            // The renderer mixes light, not codes.
            let under = luminance(plate) * plate.alpha + behind * (1.0 - plate.alpha);
            let contrast = (ink + 0.05) / (under + 0.05);
            assert!(contrast >= 4.5, "{contrast} over {behind}");
        }
    }
}
