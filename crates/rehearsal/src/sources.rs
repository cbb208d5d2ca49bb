//! Where the files of a rehearsal come from: named one by one, named by the
//! lesson, or kept in the folder of an earlier run.

use std::path::{Path, PathBuf};

use larkfield_debrief::{Manifest, read_run_folder};
use larkfield_pilot::Skill;

use crate::failure::Failure;
use crate::faults::FAULTS;
use crate::inputs::LEARNER;
use crate::places::{DEFAULT_LESSON, shipped};
use crate::request::{PilotChoice, Request};

/// Files and pilot; where there is none, the lesson names it.
pub struct Sources {
    /// The lesson file.
    pub lesson: PathBuf,
    /// The field file.
    pub field: Option<PathBuf>,
    /// The wind file.
    pub wind: Option<PathBuf>,
    /// The airframe file.
    pub airframe: Option<PathBuf>,
    /// The pilot.
    pub pilot: Option<PilotChoice>,
    /// The radio file of a person's sticks.
    pub radio: Option<PathBuf>,
    /// The faults of an earlier run.
    pub faults: Option<PathBuf>,
}

impl Sources {
    /// What a request says; what it names comes before what an earlier run
    /// kept.
    ///
    /// # Errors
    /// A folder that is no complete run, or a lesson that is nowhere.
    pub fn of(request: &Request) -> Result<Self, Failure> {
        let kept = match &request.again {
            Some(folder) => Some(Self::kept_in(folder, &manifest_of(folder)?, request)?),
            None => None,
        };
        let mut sources = match (kept, &request.lesson) {
            (Some(kept), _) => kept,
            (None, lesson) => Self {
                lesson: match lesson {
                    Some(path) => path.clone(),
                    None => shipped(DEFAULT_LESSON)?,
                },
                field: None,
                wind: None,
                airframe: None,
                pilot: None,
                radio: None,
                faults: None,
            },
        };
        for (given, place) in [
            (&request.wind, &mut sources.wind),
            (&request.airframe, &mut sources.airframe),
            (&request.radio, &mut sources.radio),
        ] {
            if given.is_some() {
                place.clone_from(given);
            }
        }
        if request.pilot.is_some() {
            sources.pilot.clone_from(&request.pilot);
        }
        Ok(sources)
    }

    fn kept_in(folder: &Path, manifest: &Manifest, request: &Request) -> Result<Self, Failure> {
        let file = |role: &str| {
            let entry = manifest.files.iter().find(|file| file.role == role);
            entry.map(|file| folder.join(&file.path)).ok_or_else(|| {
                Failure::input(format!(
                    "{}: it holds no {role}; name the folder of a rehearsal",
                    folder.display()
                ))
            })
        };
        let none_of_ours = |name: &str| {
            Failure::input(format!(
                "{}: its pilot {name:?} is none of this program; name one with --pilot",
                folder.display()
            ))
        };
        let pilot = match manifest.run.pilot.as_str() {
            // Whoever is named flies instead.
            _ if request.pilot.is_some() => None,
            "person" => {
                return Err(Failure::input(format!(
                    "{0}: a person flew it; name a pilot, as in --pilot \
                     playback:{0}/controls.csv for the same flight or --pilot device for another",
                    folder.display()
                )));
            }
            kept if kept.starts_with(LEARNER) => {
                let percent = kept.strip_prefix(LEARNER).unwrap_or(kept);
                let percent = percent
                    .trim_end_matches(" %")
                    .parse()
                    .map_err(|_| none_of_ours(kept))?;
                Some(PilotChoice::Learner(Skill::percent(percent)))
            }
            kept => Some(match kept {
                "competent" => PilotChoice::Competent,
                "beginner" => PilotChoice::Beginner,
                "hands off" => PilotChoice::HandsOff,
                "playback" => PilotChoice::Playback(file("sticks")?),
                other => return Err(none_of_ours(other)),
            }),
        };
        Ok(Self {
            lesson: file("lesson")?,
            field: Some(file("field")?),
            wind: Some(file("wind")?),
            airframe: Some(file("airframe")?),
            pilot,
            radio: match request.pilot {
                None | Some(PilotChoice::Playback(_) | PilotChoice::Person) => file("radio").ok(),
                Some(_) => None,
            },
            faults: file(FAULTS).ok(),
        })
    }
}

/// The manifest of a complete run.
///
/// # Errors
/// Everything that is wrong with the folder.
pub fn manifest_of(folder: &Path) -> Result<Manifest, Failure> {
    read_run_folder(folder).map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Failure::input(lines.join("\n"))
    })
}
