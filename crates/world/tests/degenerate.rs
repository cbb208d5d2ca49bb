//! What nobody should get points for: in every shipped lesson whoever does
//! nothing, lands at once or flies away fails, and the run ends by itself.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use larkfield_files::airframe::load_airframe;
use larkfield_files::field::load_field;
use larkfield_files::lesson::load_lesson;
use larkfield_files::wind::load_wind;
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_lesson::{Conditions, Lesson, Moment, PASS_POINTS, Performance, score};
use larkfield_pilot::{ControlMessage, PilotKind, PlaneFeel, Sticks, Switches, Tape, TimedMessage};
use larkfield_weather::Wind;
use larkfield_world::{FieldSetup, FieldWorld, FlightSetup, LessonDay};

/// Ways to fail: the sticks as they are left.
#[derive(Debug, Clone, Copy)]
enum Strategy {
    DoNothing,
    LandAtOnce,
    FlyAway,
}

impl Strategy {
    fn messages(self) -> Tape {
        let (throttle, pitch) = match self {
            Self::DoNothing => return Vec::new().into(),
            Self::LandAtOnce => (0.0, 0.0),
            Self::FlyAway => (1.0, 0.05),
        };
        let message = ControlMessage {
            sticks: Sticks {
                throttle,
                pitch,
                ..Sticks::default()
            },
            // Whoever lands at once disarms as well, to lose nothing by that.
            switches: Switches {
                throttle_cut: throttle == 0.0,
                throw_held: false,
                second_rates: false,
            },
            ..ControlMessage::default()
        };
        vec![TimedMessage {
            time_s: 0.0,
            message,
        }]
        .into()
    }
}

fn lessons() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "ron"))
        .collect();
    paths.sort();
    paths
}

/// Days on which each is tried: once, the wind may happen to carry a plane with
/// its motor off round a whole circuit.
const DAYS: u64 = 3;

/// Flies one lesson with every strategy on several days. Nobody ever passes, and
/// on an average day nobody has the points for it either.
fn check(path: &Path) {
    let mut totals = [0.0; 3];
    for day in 1..=DAYS {
        for (sum, total) in totals.iter_mut().zip(fly(path, day)) {
            *sum += total / DAYS as f64;
        }
    }
    println!("{}: {totals:.1?}", path.display());
    assert!(
        totals.iter().all(|total| *total < PASS_POINTS),
        "{}: {totals:?}",
        path.display()
    );
}

/// Flies one lesson with every strategy; the points of each.
fn fly(path: &Path, seed: u64) -> [f64; 3] {
    let mut lesson = load_lesson(path).unwrap();
    let beside = |reference: &str| path.with_file_name(reference);
    let field = load_field(&beside(&lesson.field)).unwrap();
    let airframe = load_airframe(&beside(&lesson.airframe)).unwrap();
    let script = load_wind(&beside(&lesson.wind)).unwrap().over_field(&field);
    let wind = Arc::new(Wind::new(&script, seed).unwrap());
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.79e-5,
    };
    let model = Arc::new(FlightModel::new(&airframe, air).unwrap());
    let conditions = Conditions::of(&wind, &airframe, lesson.place(), lesson.time_limit_s);
    let mut world = FieldWorld::new(FieldSetup::default());
    let strategies = [Strategy::DoNothing, Strategy::LandAtOnce, Strategy::FlyAway];
    let ids = strategies.map(|strategy| {
        lesson.pilot = match strategy {
            Strategy::DoNothing => PilotKind::HandsOff,
            Strategy::LandAtOnce | Strategy::FlyAway => PilotKind::Playback,
        };
        let day = LessonDay {
            lesson: &lesson,
            field: &field,
            conditions: &conditions,
            feel: PlaneFeel::default(),
        };
        let messages = strategy.messages();
        world.add_flight(FlightSetup::for_lesson(
            &day,
            model.clone(),
            wind.clone(),
            seed,
            messages,
        ))
    });
    let limit_s = lesson.time_limit_s + 2.0;
    assert!(
        world.run_to_end(|time_s| time_s < limit_s),
        "{}",
        path.display()
    );
    let mut totals = [0.0; 3];
    for ((strategy, id), total) in strategies.into_iter().zip(ids).zip(&mut totals) {
        let recording = world.take_result(id).unwrap().recording;
        let score = score(
            &lesson,
            &field,
            &recording,
            &Performance::default(),
            &conditions,
        );
        let what = format!("{}, {strategy:?}: {}", path.display(), score.headline);
        // Without power from the start, coming down at once is the task itself; who
        // leaves the sticks alone meanwhile still does not pass.
        let task_itself = loses_power_at_once(&lesson) && matches!(strategy, Strategy::LandAtOnce);
        assert!(
            !score.passed && (task_itself || !score.goal_reached),
            "{what}"
        );
        *total = score.total;
    }
    totals
}

fn loses_power_at_once(lesson: &Lesson) -> bool {
    lesson
        .surprises
        .iter()
        .any(|surprise| matches!(surprise.moment(), Moment::Time { after_s } if *after_s < 5.0))
}

#[test]
fn doing_nothing_landing_at_once_and_flying_away_fail_every_lesson() {
    let paths = lessons();
    assert!(paths.len() >= 16);
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for part in paths.chunks(paths.len().div_ceil(workers)) {
            scope.spawn(|| part.iter().for_each(|path| check(path)));
        }
    });
}
