//! What the window remembers from one day to the next: a small file among a
//! person's settings.

use std::path::{Path, PathBuf};

use bevy::prelude::Resource;
use larkfield_rehearsal::own_settings;
use serde::{Deserialize, Serialize};

/// Names another file.
pub const VARIABLE: &str = "LARKFIELD_WINDOW_SETTINGS";
/// This form of the file.
const SCHEMA: u32 = 1;
/// Sizes of text, in hundredths.
pub const TEXT_PERCENT: [u32; 6] = [75, 100, 125, 150, 175, 200];
/// Loudness, in hundredths.
pub const SOUND_PERCENT: [u32; 5] = [0, 25, 50, 75, 100];

/// Choices of a person.
#[derive(Resource, Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    schema: u32,
    /// Who flies, for the logbook; empty: nobody said.
    pub pilot: String,
    /// The lesson; `None`: the first launch.
    pub lesson: Option<PathBuf>,
    /// The plane; `None`: the lesson's.
    pub airframe: Option<PathBuf>,
    /// The wind; `None`: the lesson's.
    pub wind: Option<PathBuf>,
    /// The radio file of the sticks; `None`: keys.
    pub radio: Option<PathBuf>,
    /// Locked lessons are flown all the same.
    pub unlocked: bool,
    /// Size of text.
    pub text_percent: u32,
    /// Nothing moves that need not: replays are watched from where the pilot
    /// stands, and blades of a propeller do not flicker.
    pub reduced_motion: bool,
    /// For weak machines.
    pub plain: bool,
    /// The same, asked for when the window was opened: not remembered.
    #[serde(skip)]
    pub plain_this_time: bool,
    /// Loudness; nought is mute.
    pub sound_percent: u32,
    /// The coaching line is off.
    pub silent_coach: bool,
    /// Has been shown around.
    pub shown_around: bool,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            schema: SCHEMA,
            pilot: String::new(),
            lesson: None,
            airframe: None,
            wind: None,
            radio: None,
            unlocked: false,
            text_percent: 100,
            reduced_motion: false,
            plain: false,
            plain_this_time: false,
            sound_percent: 75,
            silent_coach: false,
            shown_around: false,
        }
    }
}

impl Settings {
    /// Whether the picture is the plain one.
    pub fn is_plain(&self) -> bool {
        self.plain || self.plain_this_time
    }
}

/// Settings and where they came from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// As read, or as they are for somebody new.
    pub settings: Settings,
    /// Where they are written; `None`: nowhere.
    pub file: Option<PathBuf>,
    /// What is wrong with the file, which is then left alone.
    pub complaint: Option<String>,
}

impl Kept {
    /// Reads the file of this person.
    pub fn read() -> Self {
        let named = std::env::var_os(VARIABLE).filter(|name| !name.is_empty());
        let file = match named {
            Some(name) => Some(PathBuf::from(name)),
            None => own_settings().map(|folder| folder.join("window.ron")),
        };
        file.map_or_else(Self::nowhere, |file| Self::from(&file))
    }

    /// As for somebody new, and nothing is remembered.
    pub fn nowhere() -> Self {
        Self {
            settings: Settings::default(),
            file: None,
            complaint: None,
        }
    }

    /// Reads a file. One that cannot be used is never written over.
    pub fn from(file: &Path) -> Self {
        let read = match std::fs::read_to_string(file) {
            Ok(text) => parse(&text).map_err(|e| format!("{}: {e}", file.display())),
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(Settings::default()),
            Err(e) => Err(format!("{}: it cannot be read ({e})", file.display())),
        };
        match read {
            Ok(settings) => Self {
                settings,
                file: Some(file.to_owned()),
                complaint: None,
            },
            Err(complaint) => Self {
                settings: Settings::default(),
                file: None,
                complaint: Some(format!(
                    "{complaint}. It is left as it is, and nothing is remembered until it is \
                     mended or removed"
                )),
            },
        }
    }
}

/// Where settings are kept while the window is open; nowhere when the file is
/// damaged or there is no place for it.
#[derive(Resource, Debug, Clone, Default)]
pub struct Remembered {
    file: Option<PathBuf>,
}

impl From<&Kept> for Remembered {
    fn from(kept: &Kept) -> Self {
        Self {
            file: kept.file.clone(),
        }
    }
}

impl Remembered {
    /// Keeps settings.
    ///
    /// # Errors
    /// What the disk says.
    pub fn keep(&self, settings: &Settings) -> Result<(), String> {
        self.file
            .as_deref()
            .map_or(Ok(()), |file| write(file, settings))
    }
}

/// Reads the text of the file.
///
/// # Errors
/// Line, what is wrong, what would be right.
pub fn parse(text: &str) -> Result<Settings, String> {
    let settings: Settings = ron::from_str(text).map_err(|e| {
        let at = e.span.start;
        format!("line {}, column {}: {}", at.line, at.col, e.code)
    })?;
    let within = |name: &str, value: u32, low: u32, high: u32| {
        if (low..=high).contains(&value) {
            Ok(())
        } else {
            Err(format!("{name}: {value} is not from {low} to {high}"))
        }
    };
    within("schema", settings.schema, SCHEMA, SCHEMA)?;
    within("text_percent", settings.text_percent, 50, 300)?;
    within("sound_percent", settings.sound_percent, 0, 100)?;
    if settings.pilot.chars().count() > 60 || settings.pilot.chars().any(char::is_control) {
        return Err("pilot: give a name of at most 60 letters in one line".to_owned());
    }
    Ok(settings)
}

/// Writes settings beside the old ones first, so that a program that is killed
/// leaves one or the other.
///
/// # Errors
/// What the disk says.
pub fn write(file: &Path, settings: &Settings) -> Result<(), String> {
    let complain = |e: std::io::Error| format!("{}: {e}", file.display());
    let text = ron::ser::to_string_pretty(settings, ron::ser::PrettyConfig::default())
        .map_err(|e| e.to_string())?;
    if let Some(folder) = file.parent() {
        std::fs::create_dir_all(folder).map_err(complain)?;
    }
    let beside = file.with_extension("ron.new");
    std::fs::write(&beside, text + "\n").map_err(complain)?;
    std::fs::rename(&beside, file).map_err(complain)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("larkfield-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        folder.join("window.ron")
    }

    #[test]
    fn what_is_written_is_read_again() {
        let file = scratch("settings");
        let settings = Settings {
            pilot: "Ada \"quick\" Ü".to_owned(),
            lesson: Some(PathBuf::from("a b.ron")),
            text_percent: 150,
            ..Settings::default()
        };
        write(&file, &settings).expect("a folder of its own");
        assert_eq!(Kept::from(&file).settings, settings);
        let _ = std::fs::remove_dir_all(file.parent().expect("a folder"));
    }

    #[test]
    fn a_damaged_file_is_named_and_never_written_over() {
        let file = scratch("damaged");
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("room");
        for (text, says) in [
            ("(schema: 1,\n pilott: \"x\")", "line 2"),
            ("(schema", "line 1"),
            ("", "line 1"),
        ] {
            std::fs::write(&file, text).expect("room");
            let kept = Kept::from(&file);
            assert_eq!(kept.file, None, "{text}");
            let complaint = kept.complaint.expect("it is wrong");
            assert!(complaint.contains(says), "{complaint}");
            assert!(complaint.contains("window.ron"), "{complaint}");
        }
        let _ = std::fs::remove_dir_all(file.parent().expect("a folder"));
    }

    #[test]
    fn sizes_out_of_range_are_refused() {
        let text = |percent: u32| {
            ron::to_string(&Settings {
                text_percent: percent,
                ..Settings::default()
            })
            .expect("settings can be written")
        };
        assert!(parse(&text(150)).is_ok());
        for wrong in [0, 49, 9999] {
            let complaint = parse(&text(wrong)).expect_err("refused");
            assert!(complaint.starts_with("text_percent"), "{complaint}");
        }
    }

    #[test]
    fn somebody_new_has_no_file_and_is_shown_around() {
        let kept = Kept::from(&scratch("new"));
        assert!(!kept.settings.shown_around && kept.complaint.is_none());
        assert!(kept.file.is_some());
    }
}
