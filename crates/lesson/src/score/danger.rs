//! What makes the score zero.

use larkfield_recording::{EventKind, FlightStage, Person, Recording};

use crate::{Field, SAFE_DISTANCE_M};

/// Why the score is zero, the worst first; `None` when nobody was endangered.
pub(super) fn zeroed_by(field: &Field, recording: &Recording) -> Option<String> {
    let mut reasons: Vec<(u8, String)> = Vec::new();
    for event in &recording.events {
        match &event.kind {
            EventKind::HitPerson {
                person,
                propeller: true,
            } => reasons.push((
                0,
                format!("the turning propeller hit {}: an injury", who(*person)),
            )),
            EventKind::HitPerson {
                person,
                propeller: false,
            } => reasons.push((1, format!("the plane hit {}", who(*person)))),
            // A distance that is no number counts as too near.
            EventKind::NearPerson { person, distance_m }
                if distance_m.is_nan() || *distance_m < SAFE_DISTANCE_M =>
            {
                reasons.push((
                    2,
                    format!(
                        "the plane passed {distance_m:.1} m from {}; {SAFE_DISTANCE_M} m is the least",
                        who(*person)
                    ),
                ));
            }
            EventKind::CrossedSafetyLine => {
                reasons.push((3, "the plane crossed the safety line".to_owned()));
            }
            EventKind::NotFinite { quantity } => reasons.push((
                4,
                format!("the calculation of {quantity} failed, so the run proves nothing"),
            )),
            _ => {}
        }
    }
    let crossed = recording.samples.iter().any(|sample| {
        sample.stage == FlightStage::Free
            && field.safety_line.distance_m(sample.north_m, sample.east_m) < 0.0
    });
    if crossed {
        reasons.push((3, "the plane crossed the safety line".to_owned()));
    }
    reasons.sort_by_key(|(rank, _)| *rank);
    reasons.into_iter().next().map(|(_, reason)| reason)
}

fn who(person: Person) -> &'static str {
    match person {
        Person::Thrower => "the thrower",
        Person::Pilot => "the pilot",
        Person::Helper => "the helper",
        Person::Bystander => "a bystander",
    }
}
