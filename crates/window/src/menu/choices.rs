//! From the files there are and what a person chose before to rows, and back.

use std::path::{Path, PathBuf};

use larkfield_files::airframe::load_airframe;
use larkfield_files::lesson::load_lesson;
use larkfield_files::radio::load_radio;
use larkfield_rehearsal::{
    PilotChoice, Request, course, lesson_name, own_radios, ron_files, shipped_like,
};

use super::rows::{Holds, Pick, Row, Rows, Subject};
use crate::settings::{SOUND_PERCENT, Settings, TEXT_PERCENT};

/// One file of each kind, by which the others are found.
const LESSONS: &str = "assets/lessons/first_launch.ron";
const PLANES: &str = "shared/airframes/marram.ron";
const WINDS: &str = "assets/winds/calm.ron";
const RADIOS: &str = "assets/radios/pad_mode_2.ron";

/// The files of a kind with the names that people know; those that cannot be
/// read are left out, because `larkfield` names what is wrong with them.
fn files(one: &str, name: impl Fn(&Path) -> Option<String>) -> Vec<Pick> {
    let there = shipped_like(one).unwrap_or_default();
    picks(there, name)
}

fn picks(files: Vec<PathBuf>, name: impl Fn(&Path) -> Option<String>) -> Vec<Pick> {
    let pick = |file: PathBuf| {
        Some(Pick {
            label: name(&file)?,
            file: Some(file),
            number: 0,
        })
    };
    files.into_iter().filter_map(pick).collect()
}

/// Lessons in the order of the course, then those beside it.
fn in_order(mut lessons: Vec<Pick>) -> Vec<Pick> {
    if let Ok(course) = course() {
        let step = |pick: &Pick| {
            let name = pick.file.as_deref().map(lesson_name);
            name.and_then(|name| course.step_of(&name))
        };
        lessons.sort_by_key(|pick| step(pick).unwrap_or(usize::MAX));
    }
    lessons
}

/// A file as its name says it.
fn stem(file: &Path) -> Option<String> {
    let stem = file.file_stem()?.to_string_lossy();
    Some(stem.replace(['_', '-'], " "))
}

/// Puts a file of somebody's own among the others.
fn with_own(mut picks: Vec<Pick>, own: Option<&PathBuf>) -> Vec<Pick> {
    if let Some(own) = own
        && !picks.iter().any(|pick| same(pick.file.as_ref(), Some(own)))
    {
        picks.push(Pick {
            label: own.display().to_string(),
            file: Some(own.clone()),
            number: 0,
        });
    }
    picks
}

/// Whether two names mean one file.
fn same(a: Option<&PathBuf>, b: Option<&PathBuf>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => {
            let real = |path: &PathBuf| path.canonicalize().unwrap_or_else(|_| path.clone());
            a == b || real(a) == real(b)
        }
        (a, b) => a == b,
    }
}

fn none(label: &str) -> Pick {
    Pick {
        label: label.to_owned(),
        ..Pick::default()
    }
}

fn yes_no(subject: Subject, name: &'static str, no: &str, yes: &str, is: bool) -> Row {
    let pick = |label: &str, number: u32| Pick {
        label: label.to_owned(),
        file: None,
        number,
    };
    Row::one(subject, name, vec![pick(no, 0), pick(yes, 1)], |pick| {
        (pick.number == 1) == is
    })
}

fn percents(subject: Subject, name: &'static str, of: &[u32], is: u32) -> Row {
    let label = |percent: u32| match (subject, percent) {
        (Subject::Sound, 0) => "mute".to_owned(),
        _ => format!("{percent} %"),
    };
    let mut of = of.to_vec();
    if !of.contains(&is) {
        of.push(is);
        of.sort_unstable();
    }
    let picks = of.into_iter().map(|percent| Pick {
        label: label(percent),
        file: None,
        number: percent,
    });
    Row::one(subject, name, picks.collect(), |pick| pick.number == is)
}

/// All that can be picked.
pub fn rows(settings: &Settings, flown: bool) -> Rows {
    let lessons = files(LESSONS, |file| Some(load_lesson(file).ok()?.name));
    let lessons = with_own(in_order(lessons), settings.lesson.as_ref());
    let mut planes = vec![none("the lesson's own")];
    planes.extend(files(PLANES, |file| {
        let name = load_airframe(file).ok()?.name;
        let stem = stem(file)?;
        // Several files may hold one plane, sound and with a fault.
        Some(if stem.eq_ignore_ascii_case(&name) {
            name
        } else {
            format!("{name} ({stem})")
        })
    }));
    let mut winds = vec![none("the lesson's own")];
    winds.extend(files(WINDS, stem));
    let mut sticks = vec![none("keys")];
    let radio = |file: &Path| Some(load_radio(file).ok()?.name);
    if let Some(own) = own_radios() {
        let mut own = ron_files(&own);
        own.sort();
        sticks.extend(picks(own, radio));
    }
    sticks.extend(files(RADIOS, radio));
    let lesson = settings.lesson.clone();
    let first = |pick: &Pick| match &lesson {
        Some(lesson) => same(pick.file.as_ref(), Some(lesson)),
        None => pick
            .file
            .as_ref()
            .is_some_and(|file| file.ends_with("first_launch.ron")),
    };
    let chosen = |own: &Option<PathBuf>| {
        let own = own.clone();
        move |pick: &Pick| same(pick.file.as_ref(), own.as_ref())
    };
    let mut rows = vec![
        Row::deed(Subject::Fly, "Fly"),
        Row::one(Subject::Lesson, "Lesson", lessons, first),
        Row::one(
            Subject::Plane,
            "Plane",
            with_own(planes, settings.airframe.as_ref()),
            chosen(&settings.airframe),
        ),
        Row::one(
            Subject::Wind,
            "Wind",
            with_own(winds, settings.wind.as_ref()),
            chosen(&settings.wind),
        ),
        Row::one(
            Subject::Sticks,
            "Sticks",
            with_own(sticks, settings.radio.as_ref()),
            chosen(&settings.radio),
        ),
        Row {
            subject: Subject::Pilot,
            name: "Pilot",
            holds: Holds::Typed(settings.pilot.clone()),
        },
        yes_no(
            Subject::Locked,
            "Locked",
            "in the order of the course",
            "any lesson",
            settings.unlocked,
        ),
    ];
    if flown {
        rows.push(Row::deed(Subject::Replay, "Look at the flight again"));
    }
    rows.extend([
        Row::deed(Subject::Drill("go-or-no-go"), "Practise go or no-go"),
        Row::deed(
            Subject::Drill("control-check"),
            "Practise the control check",
        ),
        Row::deed(
            Subject::Drill("before-power"),
            "Practise what comes before power",
        ),
        Row::deed(Subject::Drill("orientation"), "Practise left and right"),
        Row::deed(
            Subject::Drill("helper-briefing"),
            "Practise with a helper who throws",
        ),
        percents(Subject::Text, "Text", &TEXT_PERCENT, settings.text_percent),
        yes_no(
            Subject::Motion,
            "Motion",
            "as it is",
            "less of it",
            settings.reduced_motion,
        ),
        yes_no(
            Subject::Graphics,
            "Graphics",
            "full",
            "plain, for a weak machine",
            settings.is_plain(),
        ),
        percents(
            Subject::Sound,
            "Sound",
            &SOUND_PERCENT,
            settings.sound_percent,
        ),
        yes_no(
            Subject::Coach,
            "Advice",
            "in flight",
            "none",
            settings.silent_coach,
        ),
        Row::deed(Subject::Guide, "Show me around"),
        Row::deed(Subject::Leave, "Leave"),
    ]);
    Rows::new(rows)
}

/// What the rows say, on top of what was chosen before.
pub fn settings_of(rows: &Rows, before: &Settings) -> Settings {
    let file = |subject: Subject| rows.picked(subject).and_then(|pick| pick.file.clone());
    let number = |subject: Subject| rows.picked(subject).map_or(0, |pick| pick.number);
    let mut settings = before.clone();
    settings.pilot = rows
        .typed(Subject::Pilot)
        .unwrap_or_default()
        .trim()
        .to_owned();
    settings.lesson = file(Subject::Lesson);
    settings.airframe = file(Subject::Plane);
    settings.wind = file(Subject::Wind);
    settings.radio = file(Subject::Sticks);
    settings.unlocked = number(Subject::Locked) == 1;
    settings.text_percent = number(Subject::Text);
    settings.reduced_motion = number(Subject::Motion) == 1;
    let plain = number(Subject::Graphics) == 1;
    if plain != settings.is_plain() {
        settings.plain = plain;
        settings.plain_this_time = false;
    }
    settings.sound_percent = number(Subject::Sound);
    settings.silent_coach = number(Subject::Coach) == 1;
    settings
}

/// The flight that these settings ask for.
pub fn request_of(settings: &Settings) -> Request {
    Request {
        lesson: settings.lesson.clone(),
        airframe: settings.airframe.clone(),
        wind: settings.wind.clone(),
        radio: settings.radio.clone(),
        pilot: Some(match settings.radio {
            Some(_) => PilotChoice::Person,
            None => PilotChoice::AtKeys,
        }),
        unlocked: settings.unlocked,
        seed: 1,
        ..Request::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_for_this_time_is_remembered_only_when_it_is_chosen() {
        let mut settings = Settings::default();
        settings.plain_this_time = true;
        let mut rows = rows(&settings, true);
        let left_alone = settings_of(&rows, &settings);
        assert!(left_alone.is_plain() && !left_alone.plain);
        // Full, and plain again.
        let mut graphics = rows.rows().iter();
        let graphics = graphics
            .position(|row| row.subject == Subject::Graphics)
            .expect("a row");
        rows.point(graphics);
        rows.turn(1);
        let full = settings_of(&rows, &settings);
        assert!(!full.is_plain());
        rows.turn(1);
        assert!(settings_of(&rows, &full).plain);
    }

    #[test]
    fn lessons_come_in_the_order_of_the_course() {
        let rows = rows(&Settings::default(), true);
        let row = rows
            .rows()
            .iter()
            .find(|row| row.subject == Subject::Lesson);
        let Some(Row {
            holds: Holds::One { of, .. },
            ..
        }) = row
        else {
            panic!("{row:?}");
        };
        let at = |name: &str| {
            let is = |pick: &Pick| pick.file.as_deref().map(lesson_name).as_deref() == Some(name);
            of.iter()
                .position(is)
                .unwrap_or_else(|| panic!("no {name}"))
        };
        assert_eq!(at("first_launch"), 0);
        assert!(at("first_launch") < at("own_throw") && at("own_throw") < at("go_round"));
        // Beside the course.
        assert!(at("stall_limit_landing") < at("rise_off_ground"));
    }

    #[test]
    fn rows_give_the_settings_they_were_made_from() {
        let mut settings = Settings::default();
        settings.pilot = "Tern".to_owned();
        settings.text_percent = 137;
        settings.sound_percent = 0;
        settings.reduced_motion = true;
        settings.plain = true;
        settings.silent_coach = true;
        settings.unlocked = true;
        settings.shown_around = true;
        let rows = rows(&settings, true);
        // Somebody new flies the first launch.
        let first = rows.picked(Subject::Lesson).expect("there are lessons");
        assert!(
            first
                .file
                .as_ref()
                .is_some_and(|f| f.ends_with("first_launch.ron")),
            "{first:?}"
        );
        settings.lesson = first.file.clone();
        assert_eq!(settings_of(&rows, &settings), settings);
        let names = |subject| {
            rows.rows()
                .iter()
                .find(|row| row.subject == subject)
                .map(|row| match &row.holds {
                    Holds::One { of, .. } => of.len(),
                    _ => 0,
                })
        };
        // The shipped ones and what stands for none of them.
        for (subject, folder) in [
            (Subject::Plane, "shared/airframes"),
            (Subject::Wind, "assets/winds"),
        ] {
            let there = Path::new(env!("CARGO_MANIFEST_DIR"))
                .join("../..")
                .join(folder);
            assert_eq!(
                names(subject),
                Some(ron_files(&there).len() + 1),
                "{folder}"
            );
        }
        assert!(rows.rows().iter().any(|row| row.subject == Subject::Replay));
    }

    #[test]
    fn a_file_of_ones_own_stays_picked() {
        let mut settings = Settings::default();
        settings.airframe = Some(PathBuf::from("my_plane.ron"));
        let rows = rows(&settings, false);
        let picked = rows.picked(Subject::Plane).and_then(|p| p.file.clone());
        assert_eq!(picked, settings.airframe);
        assert!(!rows.rows().iter().any(|row| row.subject == Subject::Replay));
    }
}
