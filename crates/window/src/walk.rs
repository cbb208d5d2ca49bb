//! A walk through the window by a script: keys pressed and pictures taken at
//! stated moments, with every word that stands in them and where. For tests, and
//! for whoever wants the same picture twice.
//!
//! One step in a line, `#` begins a remark:
//!
//! - `press Escape`: a key is pressed and let go;
//! - `hold Space 1.5`: it is held for so many seconds, and let go;
//! - `type some words`: they are typed;
//! - `wait 2.0`: so many seconds pass;
//! - `until Flight`, `until over`: nothing is done until the window is at that,
//!   or the flight is over, at most two minutes;
//! - `picture name`: `name.png` and `name.json` are written.

use std::collections::VecDeque;
use std::path::{Path, PathBuf};

use bevy::input::ButtonState;
use bevy::input::keyboard::{Key, KeyboardInput, NativeKeyCode};
use bevy::prelude::*;
use bevy::render::view::screenshot::Screenshot;
use bevy::time::TimeUpdateStrategy;
use bevy::window::PrimaryWindow;
use serde::Serialize;

use crate::activity::Activity;
use crate::picture::{FRAME_S, frames_of, shoot};
use crate::session::Session;

/// A step that waits for something waits no longer than this.
const LONGEST_S: f64 = 120.0;

/// A step.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// A key goes down.
    Down(KeyCode),
    /// A key comes up.
    Up(KeyCode),
    /// Words are typed.
    Type(String),
    /// Time passes.
    Wait(f64),
    /// Until the window is at something.
    Until(Activity),
    /// Until the flight is over and looked into.
    UntilOver,
    /// A picture of a name.
    Picture(String),
}

/// Keys by the names that scripts know.
const KEYS: [(&str, KeyCode); 28] = [
    ("Escape", KeyCode::Escape),
    ("Enter", KeyCode::Enter),
    ("Space", KeyCode::Space),
    ("Tab", KeyCode::Tab),
    ("Up", KeyCode::ArrowUp),
    ("Down", KeyCode::ArrowDown),
    ("Left", KeyCode::ArrowLeft),
    ("Right", KeyCode::ArrowRight),
    ("Home", KeyCode::Home),
    ("End", KeyCode::End),
    ("F8", KeyCode::F8),
    ("F9", KeyCode::F9),
    ("F10", KeyCode::F10),
    ("A", KeyCode::KeyA),
    ("B", KeyCode::KeyB),
    ("D", KeyCode::KeyD),
    ("F", KeyCode::KeyF),
    ("G", KeyCode::KeyG),
    ("H", KeyCode::KeyH),
    ("M", KeyCode::KeyM),
    ("N", KeyCode::KeyN),
    ("P", KeyCode::KeyP),
    ("Q", KeyCode::KeyQ),
    ("R", KeyCode::KeyR),
    ("S", KeyCode::KeyS),
    ("T", KeyCode::KeyT),
    ("V", KeyCode::KeyV),
    ("W", KeyCode::KeyW),
];

/// Reads a script.
///
/// # Errors
/// The first line that is no step, with its number and what would be one.
pub fn read(text: &str) -> Result<Vec<Step>, String> {
    let mut steps = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.split('#').next().unwrap_or_default().trim();
        if !line.is_empty() {
            let read = steps_of(line).map_err(|why| format!("line {}: {why}", index + 1))?;
            steps.extend(read);
        }
    }
    Ok(steps)
}

fn steps_of(line: &str) -> Result<Vec<Step>, String> {
    let (verb, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let rest = rest.trim();
    let key = |name: &str| {
        let known = KEYS.iter().find(|(known, _)| *known == name);
        known.map(|(_, key)| *key).ok_or_else(|| {
            let all: Vec<&str> = KEYS.iter().map(|(name, _)| *name).collect();
            format!("there is no key {name:?}; there are {}", all.join(", "))
        })
    };
    let seconds = |text: &str| match text.parse::<f64>() {
        Ok(time_s) if (0.0..=LONGEST_S).contains(&time_s) => Ok(time_s),
        _ => Err(format!("{text:?}: give seconds from 0 to {LONGEST_S}")),
    };
    match verb {
        "press" => Ok(vec![Step::Down(key(rest)?), Step::Up(key(rest)?)]),
        "hold" => {
            let (name, time) = rest
                .split_once(char::is_whitespace)
                .ok_or("say how long, such as: hold Space 1.5")?;
            let key = key(name)?;
            Ok(vec![
                Step::Down(key),
                Step::Wait(seconds(time.trim())?),
                Step::Up(key),
            ])
        }
        "type" => Ok(vec![Step::Type(rest.to_owned())]),
        "wait" => Ok(vec![Step::Wait(seconds(rest)?)]),
        "until" => Ok(vec![match rest {
            "over" => Step::UntilOver,
            "Flight" => Step::Until(Activity::Flight),
            "Replay" => Step::Until(Activity::Replay),
            "Drill" => Step::Until(Activity::Drill),
            "Menu" => Step::Until(Activity::Menu),
            "Guide" => Step::Until(Activity::Guide),
            other => {
                return Err(format!(
                    "{other:?}: say over, Flight, Replay, Drill, Menu or Guide"
                ));
            }
        }]),
        "picture" => {
            let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
            if rest.is_empty() || !rest.chars().all(plain) {
                return Err(format!("{rest:?}: name a picture with letters and digits"));
            }
            Ok(vec![Step::Picture(rest.to_owned())])
        }
        other => Err(format!(
            "{other:?} is no step; there are press, hold, type, wait, until, picture"
        )),
    }
}

/// Walks.
pub struct WalkPlugin;

impl Plugin for WalkPlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(frames_of(FRAME_S))
            .add_systems(PreUpdate, step.after(bevy::input::InputSystems))
            .add_systems(Last, picture);
    }
}

/// The way that is left.
#[derive(Resource, Debug)]
pub struct Walk {
    steps: VecDeque<Step>,
    folder: PathBuf,
    waited_s: f64,
    /// This picture is taken once what was pressed has been drawn.
    asked: Option<(String, u32)>,
    waits: bool,
}

impl Walk {
    /// With pictures into a folder.
    pub fn new(steps: Vec<Step>, folder: &Path) -> Self {
        Self {
            steps: steps.into(),
            folder: folder.to_owned(),
            waited_s: 0.0,
            asked: None,
            waits: false,
        }
    }
}

/// Frames from a key to a picture in which everything that follows from it stands.
const DRAWN_FRAMES: u32 = 3;

#[expect(clippy::too_many_arguments, reason = "a system names what it touches")]
fn step(
    mut walk: ResMut<Walk>,
    mut keys: ResMut<ButtonInput<KeyCode>>,
    mut typed: MessageWriter<KeyboardInput>,
    windows: Query<Entity, With<PrimaryWindow>>,
    activity: Res<State<Activity>>,
    session: NonSend<Session>,
    mut time: ResMut<TimeUpdateStrategy>,
    mut exit: MessageWriter<AppExit>,
) {
    if walk.asked.is_some() || walk.waits {
        return;
    }
    *time = frames_of(FRAME_S);
    let Ok(window) = windows.single() else {
        return;
    };
    let Some(now) = walk.steps.front().cloned() else {
        exit.write(AppExit::Success);
        return;
    };
    let done = match &now {
        Step::Down(key) => {
            keys.press(*key);
            true
        }
        Step::Up(key) => {
            keys.release(*key);
            true
        }
        Step::Type(words) => {
            for letter in words.chars() {
                typed.write(KeyboardInput {
                    // No key that means anything by itself.
                    key_code: KeyCode::Unidentified(NativeKeyCode::Unidentified),
                    logical_key: if letter == ' ' {
                        Key::Space
                    } else {
                        Key::Character(letter.to_string().into())
                    },
                    state: ButtonState::Pressed,
                    text: None,
                    repeat: false,
                    window,
                });
            }
            true
        }
        Step::Wait(time_s) => walk.waited_s + 1e-9 >= *time_s,
        Step::Until(wanted) => activity.get() == wanted,
        Step::UntilOver => session.flown().is_some() && !session.is_looked_into(),
        Step::Picture(name) => {
            walk.asked = Some((name.clone(), DRAWN_FRAMES));
            // Nothing goes on until it is there.
            *time = frames_of(0.0);
            true
        }
    };
    if done {
        walk.steps.pop_front();
        walk.waited_s = 0.0;
    } else if walk.waited_s > LONGEST_S {
        eprintln!("{now:?} did not happen within {LONGEST_S} s");
        exit.write(AppExit::error());
    } else {
        walk.waited_s += FRAME_S;
    }
}

/// Words in a picture.
#[derive(Serialize)]
struct Said {
    text: String,
    /// Left, top, right, bottom in pixels.
    place_px: [f32; 4],
    letters_px: f32,
}

/// What stands in a picture.
#[derive(Serialize)]
struct Stands {
    size_px: [f32; 2],
    said: Vec<Said>,
}

fn picture(
    mut commands: Commands,
    mut walk: ResMut<Walk>,
    shots: Query<(), With<Screenshot>>,
    windows: Query<&Window, With<PrimaryWindow>>,
    texts: Query<(
        &Text,
        &TextFont,
        &ComputedNode,
        &UiGlobalTransform,
        &InheritedVisibility,
    )>,
    scale: Res<UiScale>,
    mut exit: MessageWriter<AppExit>,
) {
    if walk.waits {
        walk.waits = !shots.is_empty();
        return;
    }
    let Some((name, frames)) = walk.asked.take() else {
        return;
    };
    if frames > 0 {
        walk.asked = Some((name, frames - 1));
        return;
    }
    let Ok(window) = windows.single() else {
        return;
    };
    let shown = texts
        .iter()
        .filter(|(text, _, _, _, visible)| visible.get() && !text.0.is_empty());
    let said = shown.map(|(text, font, node, transform, _)| {
        let (middle, half) = (transform.translation, 0.5 * node.size);
        let (low, high) = (middle - half, middle + half);
        let letters_px = match font.font_size {
            bevy::text::FontSize::Px(px) => px,
            _ => f32::NAN,
        };
        Said {
            text: text.0.clone(),
            place_px: [low.x, low.y, high.x, high.y],
            letters_px: letters_px * scale.0,
        }
    });
    let stands = Stands {
        size_px: window.physical_size().as_vec2().to_array(),
        said: said.collect(),
    };
    let file = walk.folder.join(format!("{name}.json"));
    let written = serde_json::to_string_pretty(&stands)
        .map_err(std::io::Error::from)
        .and_then(|text| std::fs::write(&file, text));
    if let Err(error) = written {
        eprintln!("{}: {error}", file.display());
        exit.write(AppExit::error());
        return;
    }
    walk.waits = true;
    shoot(&mut commands, walk.folder.join(format!("{name}.png")));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_read_one_in_a_line() {
        let steps =
            read("# a remark\npress Escape\n\nhold Space 1.5 # thrown\ntype Å b\nuntil over\n")
                .expect("all of them are steps");
        assert_eq!(
            steps,
            [
                Step::Down(KeyCode::Escape),
                Step::Up(KeyCode::Escape),
                Step::Down(KeyCode::Space),
                Step::Wait(1.5),
                Step::Up(KeyCode::Space),
                Step::Type("Å b".to_owned()),
                Step::UntilOver,
            ]
        );
    }

    #[test]
    fn what_is_no_step_is_named_with_its_line() {
        for (text, says) in [
            ("press Esc", "line 1: there is no key \"Esc\""),
            ("wait 2\nwait -1", "line 2"),
            ("wait nan", "line 1"),
            ("hold Space", "say how long"),
            ("picture ../x", "name a picture"),
            ("dance", "there are press"),
            ("until later", "say over"),
        ] {
            let complaint = read(text).expect_err("refused");
            assert!(complaint.contains(says), "{complaint}");
        }
    }
}
