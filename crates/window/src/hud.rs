//! Words and sticks on top of the picture. Each part can be hidden.

use bevy::prelude::*;
use larkfield_pilot::Sticks;
use larkfield_recording::FlightStage;

use crate::seen::Seen;
use crate::settings::Settings;
use crate::steps::Steps;
use crate::words::Words;

/// Text is legible on this, and the contrast does not depend on what is behind.
pub const PLATE: Color = Color::srgba(0.02, 0.03, 0.05, 0.88);
/// Of text.
pub const INK: Color = Color::srgb(0.96, 0.96, 0.92);
const FRAME: Color = Color::srgb(0.72, 0.74, 0.72);
/// Side of the square that a stick moves in.
const STICK_PX: f32 = 92.0;
const KNOB_PX: f32 = 16.0;
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

/// What a stick moves in.
#[derive(Component)]
struct Square;

/// A ring where the stick is of a pilot who does not fly just now.
#[derive(Component)]
struct Ring;

/// The knob of a stick.
#[derive(Component, Debug, Clone, Copy, PartialEq, Eq)]
enum Knob {
    /// Throttle and rudder, in mode 2.
    Left,
    /// Elevator and ailerons.
    Right,
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
                (scale, write, (hide, size_squares, push_knobs, fit))
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
    sticks(&mut commands);
}

fn sticks(commands: &mut Commands) {
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
            Area::Sticks => stick_words(&seen),
        };
        if text.0 != wanted {
            text.0 = wanted;
        }
    }
}

/// Letters of an area when there is room, and the share of the window's width and
/// height that it may take, whatever the size of text.
fn room(area: Area) -> (f32, Vec2) {
    match area {
        Area::Lesson | Area::Facts => (17.0, Vec2::new(0.46, 0.145)),
        Area::Coach => (20.0, Vec2::new(0.46, 0.13)),
        Area::Result => (RESULT_PX, Vec2::new(ROW_WIDTH, 0.68)),
        Area::Keys => (14.0, Vec2::new(0.52, 0.42)),
        Area::List | Area::Card => (14.0, Vec2::new(0.27, 0.5)),
        Area::Sticks => (15.0, Vec2::new(0.14, 0.13)),
    }
}

/// Letters shrink where there are more of them than there is room for.
fn fit(
    windows: Query<&Window>,
    scale: Res<UiScale>,
    mut texts: Query<(&Area, &Text, &mut TextFont)>,
) {
    let Ok(window) = windows.single() else {
        return;
    };
    for (area, text, mut font) in &mut texts {
        let (most, share) = room(*area);
        let wanted = letters_px(&text.0, window.size() / scale.0 * share, most);
        let is = TextFont::from_font_size(wanted);
        if font.font_size != is.font_size {
            font.font_size = is.font_size;
        }
    }
}

/// Size of letters with which a text fits into a plate of a size, at most `most`;
/// all in scaled pixels.
pub fn letters_px(text: &str, plate_px: Vec2, most: f32) -> f32 {
    let fits = |letters: f32| {
        // A letter of this face is 0.6 as wide as high, a line 1.2 times as high.
        let in_line = ((plate_px.x - 24.0) / (0.6 * letters)).floor().max(4.0);
        let lines: f32 = (text.lines())
            .map(|line| wrapped(line, in_line as usize) as f32)
            .sum();
        lines * letters * 1.2 + 16.0 <= plate_px.y
    };
    let mut letters = most;
    while letters > 4.0 && !fits(letters) {
        letters -= 0.5;
    }
    letters
}

/// Lines that a line takes when words wrap.
fn wrapped(line: &str, in_line: usize) -> usize {
    let (mut lines, mut at) = (1, 0);
    for word in line.split_inclusive(' ') {
        let letters = word.chars().count();
        if at > 0 && at + word.trim_end().chars().count() > in_line {
            lines += 1;
            at = 0;
        }
        at += letters;
    }
    lines
}

fn stick_words(seen: &Seen) -> String {
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

/// Plates with words on them.
type Plates<'w, 's> = Query<
    'w,
    's,
    (&'static Area, &'static mut Visibility),
    (With<Node>, Without<Knob>, Without<Square>),
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
fn size_squares(settings: Res<Settings>, mut squares: Query<&mut Node, With<Square>>) {
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

fn push_knobs(seen: Res<Seen>, settings: Res<Settings>, mut knobs: Knobs<'_, '_>) {
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

    #[test]
    fn many_words_have_smaller_letters() {
        let plate_px = Vec2::new(790.0, 490.0);
        assert_eq!(letters_px("short", plate_px, 18.0), 18.0);
        let long = "Words that go on for a while and a little longer. ".repeat(30);
        let letters = letters_px(&long, plate_px, 18.0);
        assert!((8.0..18.0).contains(&letters), "{letters}");
        // A plate half as large has a quarter of the room.
        assert!(letters_px(&long, plate_px * 0.5, 18.0) < letters);
    }

    #[test]
    fn words_wrap_at_blanks() {
        assert_eq!(wrapped("one two three", 20), 1);
        assert_eq!(wrapped("one two three", 8), 2);
        assert_eq!(wrapped("one two three", 5), 3);
        assert_eq!(wrapped("", 5), 1);
    }

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
