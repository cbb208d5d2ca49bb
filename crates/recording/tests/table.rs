//! The recording's files: nothing is lost on the way to disk and back, and a
//! damaged file gives up everything before the damage.

use larkfield_recording::table::{
    DEG_PER_RAD, as_written, read_events, read_recording, read_samples, sample_columns,
    write_events, write_samples,
};
use larkfield_recording::{Event, EventKind, FlightStage, Person, Recording, Sample};
use proptest::prelude::*;

fn samples_text(recording: &Recording) -> String {
    let mut out = Vec::new();
    write_samples(&mut out, recording).unwrap();
    String::from_utf8(out).unwrap()
}

fn events_text(events: &[Event]) -> String {
    let mut out = Vec::new();
    write_events(&mut out, events).unwrap();
    String::from_utf8(out).unwrap()
}

/// A ramp in every quantity; invented.
fn ramp(rows: usize) -> Recording {
    let samples = (0..rows)
        .map(|i| Sample {
            time_s: i as f64 * 0.02,
            stage: FlightStage::Free,
            height_m: 1.8 + 0.1 * i as f64,
            bank_rad: 0.01 * i as f64,
            hand_busy: i < 3,
            ..Sample::default()
        })
        .collect();
    Recording {
        interval_s: 0.02,
        samples,
        events: Vec::new(),
    }
}

fn one_of_each() -> Vec<Event> {
    let part = "wing, \"left\" tip\nfoam".to_owned();
    let kinds = vec![
        EventKind::Said {
            person: Person::Pilot,
            word: "go".to_owned(),
        },
        EventKind::ThrowBegan,
        EventKind::Released,
        EventKind::HandOnStick,
        EventKind::Stalled,
        EventKind::TouchedGround {
            sink_m_s: 1.5,
            part: part.clone(),
        },
        EventKind::Broke {
            part,
            impulse_n_s: 0.1 + 0.2,
            limit_n_s: 1e-7,
        },
        EventKind::PropellerStruck { impulse_n_s: 0.06 },
        EventKind::PieceAtRest {
            part: "tail".to_owned(),
            north_m: 12.5,
            east_m: -3.25,
        },
        EventKind::NearPerson {
            person: Person::Bystander,
            distance_m: 7.25,
        },
        EventKind::HitPerson {
            person: Person::Helper,
            propeller: true,
        },
        EventKind::CrossedSafetyLine,
        EventKind::PhaseDone {
            phase: "Steigflug – 30 m".to_owned(),
        },
        EventKind::PhaseFailed {
            why: "touch: \"hard\", then, over".to_owned(),
        },
        EventKind::PowerLost,
        EventKind::AtRest,
        EventKind::Ended {
            reason: String::new(),
        },
        EventKind::NotFinite {
            quantity: "roll rate".to_owned(),
        },
    ];
    kinds
        .into_iter()
        .enumerate()
        .map(|(i, kind)| Event {
            time_s: i as f64 / 3.0,
            kind,
        })
        .collect()
}

fn any_bits() -> impl Strategy<Value = f64> {
    prop_oneof![any::<u64>().prop_map(f64::from_bits), -200.0..200.0f64]
}

proptest! {
    #[test]
    fn a_file_read_and_written_again_is_the_same_file(
        plain in any_bits(), angle in any_bits(), rate in any_bits(), rpm in any_bits(),
        busy in any::<bool>(),
    ) {
        let sample = Sample {
            time_s: 1.0, height_m: plain, bank_rad: angle, roll_rate_rad_s: rate,
            propeller_rad_s: rpm, hand_busy: busy, ..Sample::default()
        };
        let recording = Recording { interval_s: 0.002, samples: vec![sample], events: vec![] };
        let text = samples_text(&recording);
        let read = read_samples("a.csv", text.as_bytes());
        prop_assert!(read.faults.is_empty(), "{:?}", read.faults);
        let back = Recording {
            interval_s: read.interval_s, samples: read.samples, events: vec![],
        };
        prop_assert_eq!(&samples_text(&back), &text);
        prop_assert_eq!(&samples_text(&as_written(&recording)), &text);
        let got = &back.samples[0];
        // A number that is not a number has one spelling, its bits are not kept.
        if !plain.is_nan() {
            prop_assert_eq!(got.height_m.to_bits(), plain.to_bits());
        }
        prop_assert_eq!(back.interval_s.to_bits(), 0.002f64.to_bits());
        prop_assert_eq!(got.hand_busy, busy);
        for (a, b) in [(got.bank_rad, angle), (got.propeller_rad_s, rpm)] {
            if (b * 60.0).is_finite() && b.is_normal() {
                prop_assert!((a - b).abs() <= 2.0 * f64::EPSILON * b.abs(), "{a:e} {b:e}");
            }
        }
        // What `as_written` gives is a fixed point, bit for bit.
        let settled = as_written(&recording).samples[0];
        if angle.is_finite() {
            prop_assert_eq!(got.bank_rad.to_bits(), settled.bank_rad.to_bits());
        }
    }

    #[test]
    fn no_bytes_make_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        let (_, faults) = read_recording("s.csv", &bytes, "e.csv", &bytes);
        prop_assert!(!faults.is_empty());
    }
}

/// Every place to cut is tried: a sample of them would miss the one cut that
/// takes nothing but the header's line break.
#[test]
fn a_file_cut_anywhere_gives_every_whole_row_before_the_cut() {
    let text = samples_text(&ramp(20));
    for cut in 0..=text.len() {
        let kept = &text.as_bytes()[..cut];
        let whole_lines = kept.iter().filter(|byte| **byte == b'\n').count();
        let whole_rows = whole_lines.saturating_sub(1);
        let read = read_samples("cut.csv", kept);
        assert_eq!(read.samples.len(), whole_rows, "cut at {cut}");
        let ends_on_a_line = kept.ends_with(b"\n");
        assert_eq!(
            read.faults.is_empty(),
            ends_on_a_line,
            "cut at {cut}: {:?}",
            read.faults
        );
    }
}

#[test]
fn people_read_degrees_and_revolutions_a_minute() {
    // A right angle is 90 degrees; 100 pi rad/s is 50 turns a second, 3000 rpm.
    let sample = Sample {
        bank_rad: core::f64::consts::FRAC_PI_2,
        propeller_rad_s: 100.0 * core::f64::consts::PI,
        ..Sample::default()
    };
    let text = samples_text(&Recording {
        interval_s: 0.02,
        samples: vec![sample],
        events: vec![],
    });
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let cells: Vec<&str> = lines.next().unwrap().split(',').collect();
    let cell = |name: &str| {
        let place = names.iter().position(|n| *n == name).unwrap();
        cells[place].parse::<f64>().unwrap()
    };
    assert_eq!(cell("bank_deg"), 90.0);
    assert!((cell("propeller_rpm") - 3000.0).abs() < 1e-9);
    assert!((DEG_PER_RAD - 57.295_779_513_082_32).abs() < 1e-13);
}

#[test]
fn every_column_of_a_number_names_its_unit() {
    let units = [
        "_s",
        "_m",
        "_deg",
        "_fraction",
        "_g",
        "_rpm",
        "_n",
        "_a",
        "_v",
        "_j",
    ];
    for name in sample_columns() {
        let plain_word = name == "stage" || name == "hand_busy";
        assert!(
            plain_word || units.iter().any(|u| name.ends_with(u)),
            "{name}"
        );
    }
}

#[test]
fn every_field_of_a_sample_has_its_own_column() {
    // Each column in turn gets a value of its own; a field wired to two columns
    // or to none would break the equality.
    let text = samples_text(&ramp(1));
    let names: Vec<&str> = text.lines().next().unwrap().split(',').collect();
    let row: Vec<String> = names
        .iter()
        .enumerate()
        .map(|(i, name)| match *name {
            "stage" => "ground".to_owned(),
            "hand_busy" => "1".to_owned(),
            "interval_s" => "0.5".to_owned(),
            _ => (i + 1).to_string(),
        })
        .collect();
    let file = format!("{}\n{}\n", names.join(","), row.join(","));
    let read = read_samples("all.csv", file.as_bytes());
    assert_eq!(read.faults, []);
    let back = Recording {
        interval_s: read.interval_s,
        samples: read.samples.clone(),
        events: vec![],
    };
    let again = samples_text(&back);
    let last = again.lines().last().unwrap();
    for ((cell, expected), name) in last.split(',').zip(&row).zip(&names) {
        // A typed number of degrees need not be a product of ours to the bit.
        let same = match (cell.parse::<f64>(), expected.parse::<f64>()) {
            (Ok(a), Ok(b)) => (a - b).abs() <= 1e-13 * b,
            _ => cell == expected,
        };
        assert!(same, "{name}: {cell} for {expected}");
    }
    let shown = format!("{:?}", read.samples[0]);
    assert!(!shown.contains(": 0.0"), "a field has no column: {shown}");
}

#[test]
fn events_of_every_kind_come_back_as_they_were() {
    let events = one_of_each();
    let text = events_text(&events);
    let read = read_events("events.csv", text.as_bytes());
    assert_eq!(read.faults, []);
    assert_eq!(read.events, events);
    assert_eq!(events_text(&read.events), text);
}

fn damaged(line: usize, change: impl Fn(&mut Vec<String>)) -> (usize, String) {
    let text = samples_text(&ramp(6));
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut cells: Vec<String> = lines[line - 1].split(',').map(str::to_owned).collect();
    change(&mut cells);
    lines[line - 1] = cells.join(",");
    let file = lines.join("\n") + "\n";
    let read = read_samples("flight.csv", file.as_bytes());
    assert_eq!(read.faults.len(), 1, "{:?}", read.faults);
    (read.samples.len(), read.faults[0].to_string())
}

#[test]
fn a_garbled_cell_is_named_by_file_line_and_column() {
    let place = |name: &str| sample_columns().iter().position(|n| *n == name).unwrap();
    let (rows, message) = damaged(4, |cells| {
        cells[place("bank_deg")] = "1,5".replace(',', ";")
    });
    assert_eq!(rows, 2);
    for part in [
        "flight.csv",
        "line 4",
        "bank_deg",
        "\"1;5\"",
        "such as 1.25",
    ] {
        assert!(message.contains(part), "{message}");
    }
    let (rows, message) = damaged(3, |cells| cells[place("stage")] = "flying".into());
    assert_eq!(rows, 1);
    assert!(
        message.contains("in_hand, free, ground, ended"),
        "{message}"
    );
    let (_, message) = damaged(3, |cells| cells[place("hand_busy")] = "yes".into());
    assert!(message.contains("hand_busy"), "{message}");
    let (rows, message) = damaged(5, |cells| cells.truncate(7));
    assert_eq!(rows, 3);
    assert!(message.contains("7 cells"), "{message}");
    let (_, message) = damaged(2, |cells| cells[place("height_m")] = "1e999".into());
    assert!(message.contains("height_m"), "{message}");
    let (_, message) = damaged(2, |cells| cells[place("interval_s")] = "0".into());
    assert!(message.contains("above zero"), "{message}");
}

#[test]
fn a_hole_in_time_and_time_running_back_are_told_apart() {
    let text = samples_text(&ramp(6));
    let without_line_4: Vec<&str> = text
        .lines()
        .enumerate()
        .filter(|(i, _)| *i != 3)
        .map(|(_, line)| line)
        .collect();
    let read = read_samples("hole.csv", (without_line_4.join("\n") + "\n").as_bytes());
    assert_eq!(read.samples.len(), 2);
    let message = read.faults[0].to_string();
    assert!(
        message.contains("rows are missing between 0.02 and 0.06"),
        "{message}"
    );
    assert!(message.contains("line 4"), "{message}");

    let (rows, message) = damaged(5, |cells| cells[0] = "0.01".into());
    assert_eq!(rows, 3);
    assert!(message.contains("time goes from 0.04 to 0.01"), "{message}");
}

#[test]
fn headers_are_read_by_name() {
    let text = samples_text(&ramp(3));
    let (header, rows) = text.split_once('\n').unwrap();
    let renamed = header.replace("height_m", "altitude_m");
    let read = read_samples("h.csv", format!("{renamed}\n{rows}").as_bytes());
    assert_eq!(read.samples.len(), 3, "the rest of the flight is kept");
    assert!(read.samples[0].height_m.is_nan());
    let messages: Vec<String> = read.faults.iter().map(ToString::to_string).collect();
    assert!(
        messages[0].contains("line 1, column height_m"),
        "{messages:?}"
    );
    assert!(messages[1].contains("altitude_m"), "{messages:?}");

    // A spreadsheet may save with carriage returns and a byte order mark.
    let saved = format!("\u{feff}{}", text.replace('\n', "\r\n"));
    let read = read_samples("h.csv", saved.as_bytes());
    assert_eq!(
        (read.samples.len(), read.faults.len()),
        (3, 0),
        "{:?}",
        read.faults
    );
}

#[test]
fn a_wrong_event_leaves_the_ones_before_it() {
    let text = events_text(&one_of_each());
    let file = text.replace("bystander", "dog");
    let read = read_events("events.csv", file.as_bytes());
    assert_eq!(read.events, one_of_each()[..9]);
    let message = read.faults[0].to_string();
    // Two of the nine rows before hold a line break in a quoted cell, so that
    // the eleventh row of the table starts on line 13.
    for part in ["events.csv", "line 13", "person", "\"dog\"", "bystander"] {
        assert!(message.contains(part), "{message}");
    }
    let cut = &text[..text.len() - 3];
    let read = read_events("events.csv", cut.as_bytes());
    assert_eq!(read.events.len(), one_of_each().len() - 1);
    assert!(read.faults[0].to_string().contains("cut off"));
    let empty = read_events("events.csv", b"");
    assert!(empty.faults[0].to_string().contains("empty"));
}

#[test]
fn a_full_disk_is_reported_and_what_fitted_can_be_read() {
    /// Takes so many bytes, then is full.
    struct Small(Vec<u8>, usize);
    impl std::io::Write for Small {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            let room = self.1 - self.0.len();
            if room == 0 {
                return Err(std::io::ErrorKind::StorageFull.into());
            }
            let taken = bytes.len().min(room);
            self.0.extend_from_slice(&bytes[..taken]);
            Ok(taken)
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let header = samples_text(&ramp(0)).len();
    let mut disk = Small(Vec::new(), header + 500);
    let error = write_samples(&mut disk, &ramp(50)).unwrap_err();
    assert_eq!(error.kind(), std::io::ErrorKind::StorageFull);
    let read = read_samples("full.csv", &disk.0);
    assert!(!read.samples.is_empty() && read.samples.len() < 50);
    assert_eq!(
        read.samples,
        as_written(&ramp(50)).samples[..read.samples.len()]
    );
    assert_eq!(read.faults.len(), 1);
}
