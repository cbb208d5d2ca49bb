//! What can be typed.

use std::path::PathBuf;

use clap::Parser;
use larkfield_rehearsal::{PilotChoice, Request};

use crate::menu::request_of;
use crate::settings::Settings;

/// Fly a lesson from where the pilot stands, in a window.
#[derive(Debug, Parser)]
#[command(name = "larkfield-window", version, after_help = crate::words::KEYS)]
pub struct Arguments {
    /// The lesson file [default: assets/lessons/first_launch.ron]
    #[arg(long, value_name = "FILE")]
    pub lesson: Option<PathBuf>,
    /// The airframe file [default: the one that the lesson names]
    #[arg(long, value_name = "FILE")]
    pub airframe: Option<PathBuf>,
    /// The wind file [default: the one that the lesson names]
    #[arg(long, value_name = "FILE")]
    pub wind: Option<PathBuf>,
    /// Fly with a game pad or a radio on a cable: its radio file, such as
    /// assets/radios/pad_mode_2.ron or one that `larkfield radio learn` made
    #[arg(long, value_name = "FILE", conflicts_with_all = ["again", "watch"])]
    pub radio: Option<PathBuf>,
    /// A second device, with which an instructor flies while holding its switch
    /// for the throw: its radio file. Without one the keys fly while F8 is held
    #[arg(long, value_name = "FILE", conflicts_with_all = ["again", "watch"])]
    pub instructor: Option<PathBuf>,
    /// Watch a run again: its folder
    #[arg(long, value_name = "DIR", conflicts_with_all = ["lesson", "watch"])]
    pub again: Option<PathBuf>,
    /// Practise on the ground instead: control-check, before-power or
    /// orientation
    #[arg(long, value_name = "NAME", value_parser = larkfield_drill::NAMES, conflicts_with_all = ["again", "watch"])]
    pub drill: Option<String>,
    /// Watch a scripted pilot instead of flying
    #[arg(long)]
    pub watch: bool,
    /// Seed of the first attempt: gusts and throw [default: 1; a drill has
    /// others every time]
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Fly a locked lesson all the same
    #[arg(long)]
    pub unlocked: bool,
    /// Leave no run folders
    #[arg(long)]
    pub discard: bool,
    /// Size of the window in pixels, such as 1280x720
    #[arg(long, value_name = "WxH", value_parser = size, default_value = "1280x720")]
    pub size: (u32, u32),
    /// Width of the picture on your screen, in millimetres: with the viewing
    /// distance it decides how large the plane looks
    #[arg(long, value_name = "MM", default_value_t = 530.0, value_parser = millimetres)]
    pub picture_width_mm: f32,
    /// Distance of your eyes from the screen, in millimetres
    #[arg(long, value_name = "MM", default_value_t = 600.0, value_parser = millimetres)]
    pub eye_distance_mm: f32,
    /// For weak machines: no smoothing of edges, no blades of grass
    #[arg(long)]
    pub plain: bool,
    /// Take pictures of a watched flight at these seconds, then leave
    #[arg(
        long,
        value_name = "S,S,...",
        value_delimiter = ',',
        requires = "pictures",
        conflicts_with = "walk"
    )]
    pub at: Vec<f64>,
    /// Press the keys and take the pictures of a script, then leave; steps are
    /// press KEY, hold KEY SECONDS, type WORDS, wait SECONDS, until PLACE and
    /// picture NAME, one in a line
    #[arg(long, value_name = "FILE", requires = "pictures")]
    pub walk: Option<PathBuf>,
    /// Folder for the pictures
    #[arg(long, value_name = "DIR")]
    pub pictures: Option<PathBuf>,
    /// Print what a frame costs, beside one with light alone, and how soon a
    /// stick is seen, then leave
    #[arg(long, conflicts_with_all = ["pictures", "drill", "watch", "again"])]
    pub measure: bool,
    /// Hide all words at first; M shows them
    #[arg(long)]
    pub bare: bool,
    /// Look from: pilot, thrower or chase
    #[arg(long, value_name = "PLACE", default_value = "pilot", value_parser = ["pilot", "thrower", "chase"])]
    pub look: String,
}

fn size(text: &str) -> Result<(u32, u32), String> {
    let asked = text.split_once('x').and_then(|(width, height)| {
        let pair = (width.parse().ok()?, height.parse().ok()?);
        Some(pair)
    });
    match asked {
        Some((width @ 320..=16384, height @ 240..=16384)) => Ok((width, height)),
        _ => Err("give pixels from 320x240 to 16384x16384, such as 1280x720".to_owned()),
    }
}

fn millimetres(text: &str) -> Result<f32, String> {
    match text.parse::<f32>() {
        Ok(mm) if (50.0..=10_000.0).contains(&mm) => Ok(mm),
        _ => Err("give millimetres from 50 to 10000".to_owned()),
    }
}

impl Arguments {
    /// Which faults and headings a drill has: others every time, unless somebody
    /// says which.
    pub fn drill_seed(&self) -> u64 {
        self.seed.unwrap_or_else(|| {
            let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
            now.map_or(1, |since| since.as_millis() as u64 % 1_000_000)
        })
    }

    /// Nothing was typed that says what to do.
    pub fn names_nothing(&self) -> bool {
        self.lesson.is_none()
            && self.airframe.is_none()
            && self.wind.is_none()
            && self.radio.is_none()
            && self.again.is_none()
            && self.drill.is_none()
            && (self.pictures.is_none() || self.walk.is_some())
            && !self.measure
            && !self.watch
    }

    /// What is to be flown: as typed, otherwise as somebody chose before.
    pub fn request(&self, settings: &Settings) -> Request {
        if self.names_nothing() {
            let chosen = request_of(settings);
            return Request {
                seed: self.seed.unwrap_or(1),
                unlocked: self.unlocked || settings.unlocked,
                ..chosen
            };
        }
        // Every run keeps what its pilot's hands did.
        let kept = self
            .again
            .as_ref()
            .map(|folder| folder.join("controls.csv"));
        let pilot = match kept {
            Some(controls) => Some(PilotChoice::Playback(controls)),
            None if self.watch => None,
            None if self.radio.is_some() => Some(PilotChoice::Person),
            None => Some(PilotChoice::AtKeys),
        };
        Request {
            lesson: self.lesson.clone(),
            airframe: self.airframe.clone(),
            wind: self.wind.clone(),
            pilot,
            radio: self.radio.clone(),
            seed: self.seed.unwrap_or(1),
            unlocked: self.unlocked,
            again: self.again.clone(),
            ..Request::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_and_nonsense_is_refused() {
        assert_eq!(size("1280x720"), Ok((1280, 720)));
        for wrong in ["1280", "0x0", "1280x", "-5x300", "99999x720"] {
            assert!(size(wrong).is_err(), "{wrong}");
        }
    }
}
