//! Programs that are killed while they write, and programs that write at the
//! same time. This test starts itself as those programs.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use larkfield_logbook::{Entry, FlownAt, Logbook, sha256_hex};

const WRITER: &str = "--write-flights-into";
const EACH: u64 = 60;

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let Some(i) = args.iter().position(|arg| arg == WRITER) {
        write_flights(Path::new(&args[i + 1]), &args[i + 2], &args[i + 3]);
        return;
    }
    let tests: [(&str, fn()); 2] = [
        (
            "a_killed_program_loses_nothing",
            a_killed_program_loses_nothing,
        ),
        (
            "programs_write_at_the_same_time",
            programs_write_at_the_same_time,
        ),
    ];
    for (name, test) in tests {
        // The usual way to ask a test binary what is in it.
        if args.iter().any(|arg| arg == "--list") {
            println!("{name}: test");
        } else {
            test();
            println!("test {name} ... ok");
        }
    }
}

/// Writes flights one by one and says each aloud once it is kept.
fn write_flights(file: &Path, pilot: &str, count: &str) {
    let count: u64 = count.parse().unwrap();
    let mut logbook = Logbook::open(file).unwrap();
    for seed in 0..count {
        logbook.add(&flight(pilot, seed)).unwrap();
        println!("{seed}");
        std::io::stdout().flush().unwrap();
    }
}

fn flight(pilot: &str, seed: u64) -> Entry {
    Entry {
        flown_at: FlownAt::parse("2026-05-03T18:20:00+02:00").unwrap(),
        pilot: pilot.to_owned(),
        plane: "Marram".to_owned(),
        airframe_sha256: sha256_hex(b"plane"),
        lesson: "First launch".to_owned(),
        lesson_sha256: sha256_hex(b"lesson"),
        // Large enough to need pages of its own, so that writing takes time.
        wind: "light ".repeat(4000),
        wind_sha256: sha256_hex(b"wind"),
        wind_m_s: 2.5,
        gust_m_s: 1.0,
        seed,
        device: "sticks".to_owned(),
        thrown: true,
        points: 70.0,
        passed: true,
        goal_reached: true,
        danger: String::new(),
        score_lines: Vec::new(),
        damage: Vec::new(),
        causes: Vec::new(),
        run_folder: "runs/one".to_owned(),
        recording_sha256: sha256_hex(&seed.to_le_bytes()),
    }
}

fn start(file: &Path, pilot: &str, count: u64) -> Child {
    Command::new(std::env::current_exe().unwrap())
        .arg(WRITER)
        .arg(file)
        .args([pilot, &count.to_string()])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap()
}

/// Killed again and again at other moments, as `kill -9` does, the logbook has
/// every flight that was said to be kept, and whole ones only.
fn a_killed_program_loses_nothing() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("logbook.db");
    for round in 0..12_u64 {
        let pilot = format!("pilot {round}");
        let mut child = start(&file, &pilot, u64::MAX);
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let wanted = round % 4;
        while let Some(Ok(line)) = lines.next() {
            if line.parse::<u64>().unwrap() >= wanted {
                break;
            }
        }
        std::thread::sleep(std::time::Duration::from_micros(700 * round));
        child.kill().unwrap();
        child.wait().unwrap();
        let said = lines.map_while(Result::ok).count() as u64 + wanted + 1;
        let entries = Logbook::open(&file).unwrap().entries().unwrap();
        let kept: Vec<&Entry> = entries.iter().filter(|e| e.pilot == pilot).collect();
        // The last one may be kept without having been said.
        let count = kept.len() as u64;
        assert!(
            count == said || count == said + 1,
            "{count} kept, {said} said"
        );
        for (seed, entry) in (0..).zip(kept) {
            assert!(*entry == flight(&pilot, seed), "{seed}");
        }
    }
}

fn programs_write_at_the_same_time() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("logbook.db");
    let pilots = ["Anna", "Bo", "Cy"];
    let children = pilots.map(|pilot| start(&file, pilot, EACH));
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{output:?}");
    }
    let entries = Logbook::open(&file).unwrap().entries().unwrap();
    for pilot in pilots {
        let seeds: Vec<u64> = entries
            .iter()
            .filter(|e| e.pilot == pilot)
            .map(|e| e.seed)
            .collect();
        assert!(seeds == (0..EACH).collect::<Vec<_>>(), "{pilot}: {seeds:?}");
    }
}
