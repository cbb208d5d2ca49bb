//! One flight of a person.

use std::fmt::Write;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// A line of the score as it was.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ScoreLine {
    /// Phase of the lesson.
    pub phase: String,
    /// What was judged.
    pub name: String,
    /// What was measured, in `unit`.
    pub value: Option<f64>,
    /// Unit of `value`.
    pub unit: String,
    /// What was asked, in words.
    pub limit: String,
    /// Points given.
    pub points: f64,
    /// Points to be had.
    pub of: f64,
}

/// When a flight ended: a calendar time with its offset from UTC, as ISO 8601
/// writes it, such as `2026-05-03T18:20:00+02:00`. The day is that of the
/// place, not that of UTC.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FlownAt(String);

impl FlownAt {
    /// Checks a time.
    ///
    /// # Errors
    /// What is wrong and what would be right.
    pub fn parse(text: &str) -> Result<Self, String> {
        if is_time(text.as_bytes()) {
            return Ok(Self(text.to_owned()));
        }
        Err(format!(
            "{text:?} is no time with an offset; write it as 2026-05-03T18:20:00+02:00"
        ))
    }

    /// As it is written.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The day, such as `2026-05-03`.
    pub fn day(&self) -> &str {
        // `parse` let nothing in whose first ten bytes are not a date.
        self.0.get(..10).unwrap_or_default()
    }
}

/// Digits and signs in their places, and numbers in their ranges.
fn is_time(text: &[u8]) -> bool {
    const SHAPE: &[u8] = b"dddd-dd-ddTdd:dd:dd";
    let (Some(head), Some(tail)) = (text.get(..SHAPE.len()), text.get(SHAPE.len()..)) else {
        return false;
    };
    let fits = |text: &[u8], shape: &[u8]| {
        text.len() == shape.len()
            && text.iter().zip(shape).all(|(byte, wanted)| match wanted {
                b'd' => byte.is_ascii_digit(),
                b's' => matches!(byte, b'+' | b'-'),
                other => byte == other,
            })
    };
    let number = |at: usize| u32::from(head[at] - b'0') * 10 + u32::from(head[at + 1] - b'0');
    if !fits(head, SHAPE) || !(tail == b"Z" || fits(tail, b"sdd:dd")) {
        return false;
    }
    let year = number(0) * 100 + number(2);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match number(5) {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&number(8)) && number(11) < 24 && number(14) < 60 && number(17) < 61
}

/// One scored flight of a person.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// When it ended.
    pub flown_at: FlownAt,
    /// Who flew.
    pub pilot: String,
    /// Name of the plane.
    pub plane: String,
    /// SHA-256 of the airframe file.
    pub airframe_sha256: String,
    /// Name of the lesson.
    pub lesson: String,
    /// SHA-256 of the lesson file.
    pub lesson_sha256: String,
    /// The wind in words.
    pub wind: String,
    /// SHA-256 of the wind file. With `seed` it tells one wind from another.
    pub wind_sha256: String,
    /// Mean wind at 2 m.
    pub wind_m_s: f64,
    /// Fastest wind less the mean.
    pub gust_m_s: f64,
    /// Seed of everything random.
    pub seed: u64,
    /// What the sticks were.
    pub device: String,
    /// A hand let the plane go. The flight says something about launches.
    pub thrown: bool,
    /// Points, 0 to 100.
    pub points: f64,
    /// The lesson was passed.
    pub passed: bool,
    /// Every goal of the lesson was reached.
    pub goal_reached: bool,
    /// Why the total is zero: somebody was endangered. Empty when nobody was.
    pub danger: String,
    /// Lines of the score.
    pub score_lines: Vec<ScoreLine>,
    /// Parts that broke.
    pub damage: Vec<String>,
    /// Likely causes of what went wrong, the likeliest first.
    pub causes: Vec<String>,
    /// Folder of the run, with its recording.
    pub run_folder: String,
    /// SHA-256 of the recording. The same recording of the same lesson by the
    /// same pilot is the same flight.
    pub recording_sha256: String,
}

impl Entry {
    /// A safe attempt: the goal was reached, nothing broke and nobody was
    /// endangered.
    pub fn safe(&self) -> bool {
        self.goal_reached && self.damage.is_empty() && self.danger.is_empty()
    }
}

/// The SHA-256 of bytes in hexadecimal.
pub fn sha256_hex(bytes: &[u8]) -> String {
    let mut out = String::new();
    for byte in Sha256::digest(bytes) {
        // Writing to a text cannot fail.
        let _ = write!(out, "{byte:02x}");
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_checked() {
        for right in [
            "2026-05-03T18:20:00+02:00",
            "2024-02-29T00:00:00Z",
            "2026-12-31T23:59:60-11:30",
        ] {
            let time = FlownAt::parse(right).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(time.day(), &right[..10]);
        }
        for wrong in [
            "",
            "2026-05-03",
            "2026-05-03 18:20:00Z",
            "2026-13-03T18:20:00Z",
            "2026-02-29T18:20:00Z",
            "2026-05-03T24:20:00Z",
            "2026-05-03T18:20:00",
            "2026-05-03T18:20:00+2:00",
            "2026-05-0äT18:20:00Z",
        ] {
            assert!(FlownAt::parse(wrong).is_err(), "{wrong}");
        }
    }

    /// The digest of "abc" in FIPS 180-4's examples.
    #[test]
    fn digests_are_those_of_the_standard() {
        assert_eq!(
            sha256_hex(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
