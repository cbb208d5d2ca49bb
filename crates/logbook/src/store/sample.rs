//! Flights for tests.

use crate::entry::{Entry, FlownAt, ScoreLine, sha256_hex};

/// A flight of a day of May, another one for each seed.
pub fn entry(seed: u64) -> Entry {
    let day = seed % 28 + u64::from(seed.is_multiple_of(28));
    let time = format!("2026-05-{day:02}T18:20:00+02:00");
    Entry {
        flown_at: FlownAt::parse(&time).unwrap_or_else(|e| panic!("{e}")),
        pilot: "Anna".to_owned(),
        plane: "Marram".to_owned(),
        airframe_sha256: sha256_hex(b"plane"),
        lesson: "First launch".to_owned(),
        lesson_sha256: sha256_hex(b"lesson"),
        wind: "light".to_owned(),
        wind_sha256: sha256_hex(b"wind"),
        wind_m_s: 2.5,
        gust_m_s: 1.25,
        seed,
        device: "sticks".to_owned(),
        thrown: true,
        points: 72.5,
        passed: true,
        goal_reached: true,
        danger: String::new(),
        score_lines: vec![ScoreLine {
            phase: "Climb".to_owned(),
            name: "bank".to_owned(),
            value: Some(12.5),
            unit: "deg".to_owned(),
            limit: "at most 15 deg".to_owned(),
            points: 8.5,
            of: 10.0,
        }],
        damage: Vec::new(),
        causes: Vec::new(),
        run_folder: format!("runs/marram-{seed}"),
        recording_sha256: sha256_hex(&seed.to_le_bytes()),
    }
}
