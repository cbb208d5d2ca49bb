//! Every fault of the library is flown, from the hand, and leaves its mark in
//! the recording. Marks and thresholds are the trade's (common practice, no
//! source); no expected value comes from a run of ours.

#[path = "support/faulty.rs"]
mod faulty;

use std::collections::BTreeMap;
use std::path::Path;

use faulty::{BREEZE, CIRCUIT, THROW, Where, first};
use larkfield_faults::{Fault, Injected, Origin, library};
use larkfield_recording::Sample;
use larkfield_rehearsal::{Flown, Inputs, PilotChoice, Request};

/// Where it shows, for a library that is flown through.
fn shows_in(fault: &Fault) -> Where {
    match (fault.name, fault.origin) {
        ("strong-gradient" | "nose-in-reversal", _) => CIRCUIT,
        ("dive-to-strip" | "late-flare" | "high-flare" | "power-left-on" | "no-go-round", _) => {
            CIRCUIT
        }
        (_, Origin::Air) => BREEZE,
        _ => THROW,
    }
}

fn inputs(airframe: &str, pilot: PilotChoice, faults: &[&str]) -> Result<Inputs, String> {
    faulty::inputs(airframe, THROW, pilot, faults)
}

fn flown(airframe: &str, pilot: PilotChoice, faults: &[&str]) -> Flown {
    faulty::flown(airframe, THROW, pilot, faults)
}

#[test]
fn every_fault_of_a_plane_changes_its_flight() {
    each_changes_the_flight(library().filter(|fault| fault.origin.is_of_plane()));
}

#[test]
fn every_fault_of_throw_air_and_pilot_changes_the_flight() {
    each_changes_the_flight(library().filter(|fault| !fault.origin.is_of_plane()));
}

/// Each flown with a plane that can have it.
fn each_changes_the_flight(faults: impl Iterator<Item = &'static Fault>) {
    let competent = PilotChoice::Competent;
    let mut sound = BTreeMap::new();
    for fault in faults {
        let place = shows_in(fault);
        let can =
            |plane: &&str| faulty::inputs(plane, place, competent.clone(), &[fault.name]).is_ok();
        let plane = ["marram", "curlew", "ternwing"].into_iter().find(can);
        let plane = plane.unwrap_or_else(|| panic!("no plane can have {}", fault.name));
        // A circuit to its end; of a launch what comes before the pilot finds out.
        let seconds = if place == CIRCUIT { 300.0 } else { 8.0 };
        let fly = |faults: &[&str]| {
            first(
                &faulty::flown(plane, place, competent.clone(), faults),
                seconds,
            )
        };
        let key = (plane, place.lesson, place.wind);
        let sound = sound.entry(key).or_insert_with(|| fly(&[]));
        let faulty = fly(&[fault.name]);
        let apart_m = (sound.iter().zip(&faulty))
            .map(|(a, b)| {
                let (north, east) = (a.north_m - b.north_m, a.east_m - b.east_m);
                let up = a.height_m - b.height_m;
                (north * north + east * east + up * up).sqrt()
            })
            .fold(0.0, f64::max);
        // Where it ends early it was something else as well; what a pilot or a
        // landing differs by may come last and be small.
        let shorter = faulty.len() * 10 < sound.len() * 9;
        let subtle = place == CIRCUIT || fault.origin == Origin::Pilot;
        let least_m = if subtle { 0.05 } else { 0.3 };
        assert!(
            apart_m > least_m || shorter,
            "{plane}, {}: {apart_m} m apart",
            fault.name
        );
    }
}

#[test]
fn faults_are_hidden_from_lesson_and_pilot_and_kept_with_the_run() {
    let sound = inputs("marram", PilotChoice::Competent, &[]).unwrap_or_else(|e| panic!("{e}"));
    let faulty = inputs(
        "marram",
        PilotChoice::Competent,
        &["soft-throw=large", "tail-heavy"],
    )
    .unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(sound.lesson.launch, faulty.lesson.launch);
    assert_eq!(sound.feel, faulty.feel);
    let kept = faulty.files.iter().find(|file| file.role == "faults");
    let text = kept.map(|file| String::from_utf8_lossy(&file.bytes).into_owned());
    assert_eq!(text.as_deref(), Some("soft-throw=45 %\ntail-heavy=12 mm\n"));
    assert!(!sound.files.iter().any(|file| file.role == "faults"));
}

#[test]
fn a_lesson_may_have_faults_of_its_own() {
    let mut lesson = std::env::temp_dir();
    lesson.push(format!(
        "larkfield-faulty-lesson-{}.ron",
        std::process::id()
    ));
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let shipped = root.join("assets/lessons/first_launch.ron");
    let text = std::fs::read_to_string(shipped).unwrap_or_else(|e| panic!("{e}"));
    let text = text.replacen(
        "    pilot:",
        "    faults: [\"elevator-reversed\"],\n    pilot:",
        1,
    );
    // It lies elsewhere, and names its files from there.
    let (top, assets) = (root.display(), root.join("assets"));
    let text = text
        .replace("\"../../", &format!("\"{top}/"))
        .replace("\"../", &format!("\"{}/", assets.display()));
    std::fs::write(&lesson, text).unwrap_or_else(|e| panic!("{e}"));
    let inputs = Inputs::resolve(&Request {
        lesson: Some(lesson.clone()),
        airframe: Some(root.join("shared/airframes/marram.ron")),
        wind: Some(root.join("assets/winds/calm.ron")),
        faults: vec!["soft-throw".to_owned()],
        ..Request::default()
    });
    let _ = std::fs::remove_file(&lesson);
    let inputs = inputs.unwrap_or_else(|f| panic!("{:#}", f.error));
    let named: Vec<String> = inputs.faults.iter().map(ToString::to_string).collect();
    assert_eq!(named, ["elevator-reversed", "soft-throw=25 %"]);
}

#[test]
fn throws_leave_the_hand_as_they_went_wrong() {
    let released = |fault: &[&str]| {
        let flown = flown("marram", PilotChoice::HandsOff, fault);
        first(&flown, 1.5)
    };
    let sound = released(&[]);
    let at_release = |samples: &[Sample]| samples.first().copied().expect("released");
    // A quarter slower is three quarters of the speed in a calm.
    let soft = at_release(&released(&["soft-throw=25 %"]));
    let ratio = soft.airspeed_m_s / at_release(&sound).airspeed_m_s;
    assert!((ratio - 0.75).abs() < 0.03, "{ratio}");
    let high = released(&["nose-high-throw=16 deg"]);
    let up = (at_release(&high).pitch_rad - at_release(&sound).pitch_rad).to_degrees();
    assert!((up - 16.0).abs() < 2.0, "{up}");
    // "Nose above 20 degrees; the speed decays": height is bought with speed.
    let slowest = |samples: &[Sample]| {
        samples
            .iter()
            .map(|s| s.airspeed_m_s)
            .fold(f64::INFINITY, f64::min)
    };
    let (slow, usual) = (slowest(&high), slowest(&sound));
    assert!(slow < usual - 0.1, "{slow} instead of {usual} m/s");
    let low = at_release(&released(&["nose-low-throw=12 deg"]));
    assert!(low.pitch_rad < at_release(&sound).pitch_rad - 0.15);
    // "Bank above 15 degrees at the release with no stick."
    // In a calm there is no downwind; that it goes the other way is seen.
    let away = at_release(&released(&["downwind-launch"])).heading_rad;
    let turned = (away - at_release(&sound).heading_rad).abs().to_degrees();
    assert!((turned - 180.0).abs() < 10.0, "{turned}");
    let banked = at_release(&released(&["banked-throw=18 deg"]));
    let bank = (banked.bank_rad - at_release(&sound).bank_rad).to_degrees();
    assert!((bank - 18.0).abs() < 2.0, "{bank}");
    assert_eq!(banked.stick_roll, 0.0);
}

#[test]
fn reversed_controls_answer_the_wrong_way_round() {
    // Whether roll rate follows the stick, summed over the flight: positive when
    // it does. The stick reaches the plane a link and a servo later.
    let follows = |faults: &[&str], of: fn(&Sample) -> (f64, f64)| {
        let samples = first(&flown("curlew", PilotChoice::Competent, faults), 6.0);
        let later = 8;
        (samples.iter().zip(samples.iter().skip(later)))
            .map(|(now, then)| of(now).0 * of(then).1)
            .sum::<f64>()
    };
    let roll: fn(&Sample) -> (f64, f64) = |s| (s.stick_roll, s.roll_rate_rad_s);
    let pitch: fn(&Sample) -> (f64, f64) = |s| (s.stick_pitch, s.pitch_rate_rad_s);
    assert!(follows(&[], roll) > 0.0);
    assert!(follows(&["roll-reversed"], roll) < 0.0);
    assert!(follows(&["elevator-reversed"], pitch) < follows(&[], pitch));
    let gone = flown("curlew", PilotChoice::Competent, &["elevator-reversed"]);
    assert!(
        !gone.score.broken_parts.is_empty(),
        "nobody lands a plane with a reversed elevator"
    );
}

#[test]
fn what_pulls_less_climbs_less() {
    let climbed = |faults: &[&str]| {
        let samples = first(&flown("marram", PilotChoice::Competent, faults), 12.0);
        samples.iter().map(|s| s.height_m).fold(0.0, f64::max)
    };
    let sound = climbed(&[]);
    for fault in [
        "propeller-backward",
        "battery-used=large",
        "overweight=large",
    ] {
        if library().any(|entry| fault.starts_with(entry.name)) {
            let height_m = climbed(&[fault]);
            assert!(height_m < 0.8 * sound, "{fault}: {height_m} of {sound} m");
        }
    }
}

#[test]
fn trims_that_are_off_bank_and_pitch_it_with_the_sticks_let_go() {
    let after = |faults: &[&str]| {
        let samples = first(&flown("curlew", PilotChoice::HandsOff, faults), 1.0);
        samples.last().copied().expect("it flies for a second")
    };
    let sound = after(&[]);
    let roll = after(&["roll-trim-off"]);
    assert_eq!(roll.stick_roll, 0.0);
    assert!(roll.bank_rad > sound.bank_rad + 0.1, "{}", roll.bank_rad);
    let pitch = after(&["pitch-trim-off"]);
    assert!(
        pitch.pitch_rad > sound.pitch_rad + 0.1,
        "{}",
        pitch.pitch_rad
    );
}

#[test]
fn mistakes_and_planes_that_cannot_have_it_are_refused() {
    for (plane, fault, says) in [
        ("marram", "tail-hevy", "tail-heavy"),
        ("marram", "tail-heavy=400 mm", "1 to 60 mm"),
        ("marram", "elevon-reversed", "elevon"),
        ("ternwing", "rudder-reversed", "rudder"),
    ] {
        let error = inputs(plane, PilotChoice::Competent, &[fault]).err();
        let error = error.unwrap_or_else(|| panic!("{plane} cannot have {fault}"));
        assert!(error.contains(says), "{error}");
    }
    // Written down with a run, they read back.
    for fault in library() {
        assert!(Injected::parse(fault.name).is_ok());
    }
}
