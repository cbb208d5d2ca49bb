//! The event table.

use std::io::{self, Write};

use super::fault::{TableFault, quoted};
use super::number::{read_number, write_number};
use crate::{Event, EventKind, Person};

/// Columns of the event table, in order. A cell that says nothing about its
/// event is empty.
pub const EVENT_COLUMNS: [&str; 12] = [
    "time_s",
    "event",
    "person",
    "part",
    "sink_m_s",
    "impulse_n_s",
    "limit_n_s",
    "distance_m",
    "propeller_turning",
    "north_m",
    "east_m",
    "text",
];
const PERSON: usize = 2;
const PART: usize = 3;
const SINK: usize = 4;
const IMPULSE: usize = 5;
const LIMIT: usize = 6;
const DISTANCE: usize = 7;
const PROPELLER: usize = 8;
const NORTH: usize = 9;
const EAST: usize = 10;
const TEXT: usize = 11;

const EVENT_WORDS: &str = "said, throw_began, released, hand_on_stick, stalled, touched_ground, broke, \
     propeller_struck, piece_at_rest, near_person, hit_person, crossed_safety_line, phase_done, phase_failed, power_lost, at_rest, ended, not_finite";
const PEOPLE: [(&str, Person); 4] = [
    ("thrower", Person::Thrower),
    ("pilot", Person::Pilot),
    ("helper", Person::Helper),
    ("bystander", Person::Bystander),
];

/// What could be read of an event table.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ReadEvents {
    /// The rows before the first wrong one.
    pub events: Vec<Event>,
    /// What was wrong; empty for a whole file.
    pub faults: Vec<TableFault>,
}

/// Writes the events, one a row below a header; text is quoted where CSV
/// (RFC 4180) asks for it.
///
/// # Errors
/// Whatever `out` reports.
pub fn write_events(out: &mut impl Write, events: &[Event]) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record(EVENT_COLUMNS)?;
    for event in events {
        writer.write_record(row_of(event))?;
    }
    writer.flush()
}

fn row_of(event: &Event) -> [String; 12] {
    let mut row: [String; 12] = Default::default();
    let who = |person: &Person| {
        let found = PEOPLE.iter().find(|(_, p)| p == person);
        found.map_or(String::new(), |(word, _)| (*word).to_owned())
    };
    let word = match &event.kind {
        EventKind::Said { person, word } => {
            row[PERSON] = who(person);
            row[TEXT].clone_from(word);
            "said"
        }
        EventKind::ThrowBegan => "throw_began",
        EventKind::Released => "released",
        EventKind::HandOnStick => "hand_on_stick",
        EventKind::Stalled => "stalled",
        EventKind::TouchedGround { sink_m_s, part } => {
            row[SINK] = write_number(*sink_m_s);
            row[PART].clone_from(part);
            "touched_ground"
        }
        EventKind::Broke {
            part,
            impulse_n_s,
            limit_n_s,
        } => {
            row[PART].clone_from(part);
            row[IMPULSE] = write_number(*impulse_n_s);
            row[LIMIT] = write_number(*limit_n_s);
            "broke"
        }
        EventKind::PropellerStruck { impulse_n_s } => {
            row[IMPULSE] = write_number(*impulse_n_s);
            "propeller_struck"
        }
        EventKind::PieceAtRest {
            part,
            north_m,
            east_m,
        } => {
            row[PART].clone_from(part);
            row[NORTH] = write_number(*north_m);
            row[EAST] = write_number(*east_m);
            "piece_at_rest"
        }
        EventKind::NearPerson { person, distance_m } => {
            row[PERSON] = who(person);
            row[DISTANCE] = write_number(*distance_m);
            "near_person"
        }
        EventKind::HitPerson { person, propeller } => {
            row[PERSON] = who(person);
            row[PROPELLER] = if *propeller { "1" } else { "0" }.to_owned();
            "hit_person"
        }
        EventKind::CrossedSafetyLine => "crossed_safety_line",
        EventKind::PhaseDone { phase } => {
            row[TEXT].clone_from(phase);
            "phase_done"
        }
        EventKind::PhaseFailed { why } => {
            row[TEXT].clone_from(why);
            "phase_failed"
        }
        EventKind::PowerLost => "power_lost",
        EventKind::AtRest => "at_rest",
        EventKind::Ended { reason } => {
            row[TEXT].clone_from(reason);
            "ended"
        }
        EventKind::NotFinite { quantity } => {
            row[TEXT].clone_from(quantity);
            "not_finite"
        }
    };
    row[0] = write_number(event.time_s);
    row[1] = word.to_owned();
    row
}

/// Reads an event table from `bytes`; `file` is its name in messages.
#[must_use]
pub fn read_events(file: &str, bytes: &[u8]) -> ReadEvents {
    let mut out = ReadEvents::default();
    let fault = |line: u64, (column, problem, expected): Complaint| TableFault {
        file: file.to_owned(),
        line,
        column: column.to_owned(),
        problem,
        expected,
    };
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(bytes);
    // A quote left open runs to the end of the file, line breaks and all.
    let quotes = bytes.iter().filter(|b| **b == b'"').count();
    let whole = bytes.ends_with(b"\n") && quotes.is_multiple_of(2);
    let mut record = csv::ByteRecord::new();
    let mut first = true;
    let mut last_s = f64::NEG_INFINITY;
    loop {
        match reader.read_byte_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                let told = ("(whole row)", error.to_string(), "a row of CSV".to_owned());
                out.faults.push(fault(line, told));
                break;
            }
        }
        let line = record.position().map_or(0, csv::Position::line);
        if first {
            first = false;
            if !record.iter().eq(EVENT_COLUMNS.iter().map(|c| c.as_bytes())) {
                let problem = format!("the header reads {}", quoted(record.as_slice()));
                let expected = EVENT_COLUMNS.join(",");
                out.faults
                    .push(fault(line, ("(header)", problem, expected)));
                break;
            }
            continue;
        }
        let cut = !whole && reader.position().byte() >= bytes.len() as u64;
        let read = if cut {
            Err((
                "(whole row)",
                "the row is cut off at the end of the file".to_owned(),
                "a row ends with a line break".to_owned(),
            ))
        } else {
            event_of(&record).and_then(|event| {
                if event.time_s < last_s {
                    Err((
                        "time_s",
                        format!("time goes back from {last_s} to {}", event.time_s),
                        "events stand in order of time".to_owned(),
                    ))
                } else {
                    Ok(event)
                }
            })
        };
        match read {
            Ok(event) => {
                last_s = event.time_s;
                out.events.push(event);
            }
            Err(complaint) => {
                out.faults.push(fault(line, complaint));
                break;
            }
        }
    }
    if first && out.faults.is_empty() {
        let told = (
            "(header)",
            "the file is empty".to_owned(),
            EVENT_COLUMNS.join(","),
        );
        out.faults.push(fault(1, told));
    }
    out
}

/// Column, problem, what would be right.
type Complaint = (&'static str, String, String);

fn event_of(record: &csv::ByteRecord) -> Result<Event, Complaint> {
    if record.len() != EVENT_COLUMNS.len() {
        return Err((
            "(whole row)",
            format!("{} cells", record.len()),
            format!("{} cells, one for each name in line 1", EVENT_COLUMNS.len()),
        ));
    }
    let wrong = |index: usize, expected: &str| {
        let problem = format!("{} does not fit", quoted(&record[index]));
        (EVENT_COLUMNS[index], problem, expected.to_owned())
    };
    let number = |index: usize| {
        read_number(&record[index]).ok_or_else(|| wrong(index, "a number such as 1.25"))
    };
    let text = |index: usize| {
        String::from_utf8(record[index].to_vec()).map_err(|_| wrong(index, "text in UTF-8"))
    };
    let person = || {
        let found = PEOPLE
            .iter()
            .find(|(word, _)| word.as_bytes() == &record[PERSON]);
        found
            .map(|(_, person)| *person)
            .ok_or_else(|| wrong(PERSON, "one of thrower, pilot, helper, bystander"))
    };
    let kind = match &record[1] {
        b"said" => EventKind::Said {
            person: person()?,
            word: text(TEXT)?,
        },
        b"throw_began" => EventKind::ThrowBegan,
        b"released" => EventKind::Released,
        b"hand_on_stick" => EventKind::HandOnStick,
        b"stalled" => EventKind::Stalled,
        b"touched_ground" => EventKind::TouchedGround {
            sink_m_s: number(SINK)?,
            part: text(PART)?,
        },
        b"broke" => EventKind::Broke {
            part: text(PART)?,
            impulse_n_s: number(IMPULSE)?,
            limit_n_s: number(LIMIT)?,
        },
        b"propeller_struck" => EventKind::PropellerStruck {
            impulse_n_s: number(IMPULSE)?,
        },
        b"piece_at_rest" => EventKind::PieceAtRest {
            part: text(PART)?,
            north_m: number(NORTH)?,
            east_m: number(EAST)?,
        },
        b"near_person" => EventKind::NearPerson {
            person: person()?,
            distance_m: number(DISTANCE)?,
        },
        b"hit_person" => EventKind::HitPerson {
            person: person()?,
            propeller: match &record[PROPELLER] {
                b"1" => true,
                b"0" => false,
                _ => return Err(wrong(PROPELLER, "1 for turning, 0 for still")),
            },
        },
        b"crossed_safety_line" => EventKind::CrossedSafetyLine,
        b"phase_done" => EventKind::PhaseDone { phase: text(TEXT)? },
        b"phase_failed" => EventKind::PhaseFailed { why: text(TEXT)? },
        b"power_lost" => EventKind::PowerLost,
        b"at_rest" => EventKind::AtRest,
        b"ended" => EventKind::Ended {
            reason: text(TEXT)?,
        },
        b"not_finite" => EventKind::NotFinite {
            quantity: text(TEXT)?,
        },
        _ => return Err(wrong(1, &format!("one of {EVENT_WORDS}"))),
    };
    Ok(Event {
        time_s: number(0)?,
        kind,
    })
}
