//! A person flies with a device that was recorded: start gate, throw, plugs
//! that are pulled, and the same flight again.

use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::Output;

use crate::program::{err, expect_code, larkfield, out, temporary, text_of};

const RADIO: &str = "assets/radios/eight_channels_mode_1.ron";

/// What the radio of the file above sends.
struct Table(String);

impl Table {
    fn new() -> Self {
        Self("time_s,event,code,value\n0,connected,,Eight channels\n".to_owned())
    }

    fn axis(mut self, time_s: f64, code: &str, value: f64) -> Self {
        let _ = writeln!(self.0, "{time_s},axis,{code},{value}");
        self
    }

    fn line(mut self, line: &str) -> Self {
        self.0 += line;
        self.0.push('\n');
        self
    }

    /// Every stick and switch has moved and rests, the throttle shut.
    fn known(self, time_s: f64) -> Self {
        self.axis(time_s, "ABS_X", 0.0)
            .axis(time_s, "ABS_Y", 0.0)
            .axis(time_s, "ABS_RX", 0.0)
            .axis(time_s, "ABS_RY", -1.0)
            .axis(time_s, "ABS_RZ", -1.0)
            .axis(time_s, "ABS_Z", -0.999)
    }

    /// Holds the plane back, opens the throttle, lets go.
    fn throws(self, time_s: f64) -> Self {
        self.axis(time_s, "ABS_RZ", 1.0)
            .axis(time_s + 0.5, "ABS_Z", 1.0)
            .axis(time_s + 1.0, "ABS_RZ", -1.0)
    }

    fn write(&self, folder: &Path) -> String {
        let path = folder.join("device.csv");
        std::fs::write(&path, &self.0).unwrap_or_else(|e| panic!("{e}"));
        format!("replay:{}", path.display())
    }
}

fn fly(table: &Table, folder: &Path, name: &str) -> (Output, PathBuf) {
    let device = table.write(folder);
    let path = folder.join(name);
    let run = larkfield(&[
        "rehearse",
        "--pilot",
        "device",
        "--radio",
        RADIO,
        "--device",
        &device,
        "--out",
        text_of(&path),
    ]);
    (run, path)
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn whole_flight() -> Table {
    Table::new()
        .known(0.1)
        .throws(1.0)
        .axis(4.0, "ABS_X", 0.2)
        .axis(4.5, "ABS_X", 0.0)
        .axis(5.0, "ABS_Y", 0.1)
}

#[test]
fn a_flight_by_hand_is_scored_and_flown_again_byte_for_byte() {
    let folder = temporary();
    let (run, first) = fly(&whole_flight(), folder.path(), "first");
    expect_code(&run, 0);
    let said = err(&run);
    for word in [
        "ABS_RX, has not moved yet",
        "The sticks count",
        "in the hand",
        "m up",
    ] {
        assert!(said.contains(word), "{word}: {said}");
    }
    assert!(out(&run).contains("by person"), "{}", out(&run));
    assert!(
        first
            .join("inputs/radio/eight_channels_mode_1.ron")
            .is_file()
    );
    // The hand threw when the switch was let go: 2 s of the table are 1.9 s
    // after the gate opened, and the flight began there.
    let controls = read(&first, "controls.csv");
    let thrown = controls
        .lines()
        .skip(1)
        .find(|line| line.split(',').nth(9) == Some("1"));
    let held_s: f64 = thrown
        .and_then(|line| line.split(',').next()?.parse().ok())
        .unwrap_or(f64::NAN);
    assert!((held_s - 0.9).abs() <= 0.0021, "{held_s}");
    let events = read(&first, "events.csv");
    assert!(events.contains("released"), "{events}");

    let (run, second) = fly(&whole_flight(), folder.path(), "second");
    expect_code(&run, 0);
    crate::program::expect_same_files(&first, &second);

    // Played back with the same radio it is the same flight.
    let tape = format!("playback:{}", first.join("controls.csv").display());
    let again = folder.path().join("again");
    let run = larkfield(&[
        "rehearse",
        "--pilot",
        &tape,
        "--radio",
        RADIO,
        "--out",
        text_of(&again),
    ]);
    expect_code(&run, 0);
    for name in ["recording.csv", "events.csv", "controls.csv"] {
        assert!(read(&first, name) == read(&again, name), "{name}");
    }
    // From the folder alone, too.
    let kept = folder.path().join("kept");
    let run = larkfield(&[
        "rehearse",
        "--again",
        text_of(&first),
        "--pilot",
        &tape,
        "--out",
        text_of(&kept),
    ]);
    expect_code(&run, 0);
    crate::program::expect_same_files(&again, &kept);
    let run = larkfield(&["rehearse", "--again", text_of(&first)]);
    expect_code(&run, 2);
    assert!(err(&run).contains("a person flew it"), "{}", err(&run));
}

/// Unplugged for a while in the air, then back with every stick where it was:
/// the flight is the one that was never interrupted.
#[test]
fn a_pulled_plug_costs_nothing() {
    let folder = temporary();
    let (run, straight) = fly(&whole_flight(), folder.path(), "straight");
    expect_code(&run, 0);
    let interrupted = whole_flight()
        .line("7,disconnected,,")
        .line("19,connected,,Eight channels")
        .known(19.5)
        .axis(19.6, "ABS_Y", 0.1)
        .axis(20.0, "ABS_Z", 0.5)
        .axis(21.0, "ABS_Z", 1.0);
    // The throttle was shut for a moment as it came back, so the flight went
    // on with it shut; a radio that comes back as it was shows no such moment.
    let as_it_was = Table(interrupted.0.replace("19.5,axis,ABS_Z,-0.999\n", ""));
    assert_ne!(as_it_was.0, interrupted.0);
    let (run, back) = fly(&as_it_was, folder.path(), "back");
    expect_code(&run, 0);
    let said = err(&run);
    for word in [
        "Unplugged: motor off",
        "plug it back",
        "was at 100 %",
        "the flight goes on",
    ] {
        assert!(said.contains(word), "{word}: {said}");
    }
    for name in ["recording.csv", "controls.csv", "events.csv"] {
        assert!(read(&straight, name) == read(&back, name), "{name}");
    }
    let (run, shut) = fly(&interrupted, folder.path(), "shut");
    expect_code(&run, 0);
    assert!(read(&straight, "recording.csv") != read(&shut, "recording.csv"));
}

#[test]
fn a_plug_that_stays_out_leaves_what_was_flown() {
    let folder = temporary();
    let table = whole_flight().line("7,disconnected,,");
    let (run, path) = fly(&table, folder.path(), "run");
    expect_code(&run, 2);
    assert!(err(&run).contains("what was flown is in"), "{}", err(&run));
    assert!(!path.exists());
    let partial = folder.path().join("run.partial");
    let recording = read(&partial, "recording.csv");
    // 50 samples a second of the 6.9 s since the gate opened.
    assert!(
        (340..=347).contains(&recording.lines().count()),
        "{}",
        recording.lines().count()
    );
    assert!(read(&partial, "controls.csv").lines().count() > 4);
}

/// The plug is pulled while the plane is held back: nothing is thrown.
#[test]
fn a_pulled_plug_throws_no_plane() {
    let folder = temporary();
    let table = Table::new()
        .known(0.1)
        .axis(1.0, "ABS_RZ", 1.0)
        .axis(1.5, "ABS_Z", 1.0)
        .line("1.8,disconnected,,")
        .line("3,connected,,Eight channels")
        .known(4.0);
    let (run, _) = fly(&table, folder.path(), "run");
    expect_code(&run, 2);
    assert!(err(&run).contains("nobody threw"), "{}", err(&run));
    let events = read(&folder.path().join("run.partial"), "events.csv");
    assert!(!events.contains("released"), "{events}");
}

#[test]
fn sticks_that_are_not_known_start_nothing() {
    let folder = temporary();
    // No throttle; one that is open; a switch that nobody flipped.
    for (line, word) in [
        (
            "0.1,axis,ABS_Z,-0.999\n",
            "throttle (right stick), ABS_Z, has not moved",
        ),
        (
            "0.1,axis,ABS_RZ,-1\n",
            "the switch for throw, ABS_RZ, has not moved",
        ),
        (
            "0.1,axis,ABS_X,0\n",
            "aileron (right stick), ABS_X, has not moved",
        ),
    ] {
        let table = Table::new().known(0.1);
        let without = Table(table.0.replace(line, ""));
        assert_ne!(without.0, table.0, "{line}");
        let (run, path) = fly(&without, folder.path(), "run");
        expect_code(&run, 2);
        assert!(err(&run).contains(word), "{word}: {}", err(&run));
        // Nothing was flown, so nothing stands in the way of the next try.
        assert!(!path.exists() && !folder.path().join("run.partial").exists());
    }
    let open = Table(
        Table::new()
            .known(0.1)
            .0
            .replace("ABS_Z,-0.999", "ABS_Z,0.2"),
    );
    let (run, _) = fly(&open, folder.path(), "run");
    expect_code(&run, 2);
    assert!(
        err(&run).contains("% open: move it to its low stop"),
        "{}",
        err(&run)
    );
}

#[test]
fn options_that_do_not_go_together_are_refused() {
    let folder = temporary();
    let device = whole_flight().write(folder.path());
    for (arguments, word) in [
        (
            vec!["--pilot", "device", "--device", &device],
            "--radio FILE",
        ),
        (
            vec![
                "--pilot", "device", "--device", &device, "--radio", RADIO, "--repeat", "3",
            ],
            "leave --repeat out",
        ),
        (
            vec!["--pilot", "competent", "--radio", RADIO],
            "leave --radio out",
        ),
        (
            vec!["--pilot", "competent", "--device", &device],
            "--pilot device",
        ),
        (
            vec![
                "--pilot",
                "device:pad",
                "--device",
                &device,
                "--radio",
                RADIO,
            ],
            "give one of them",
        ),
        (
            vec![
                "--pilot", "device", "--device", &device, "--radio", "nowhere",
            ],
            "radio learn",
        ),
    ] {
        let path = folder.path().join("out");
        let mut all = vec!["rehearse", "--out", text_of(&path)];
        all.extend(arguments);
        let run = larkfield(&all);
        expect_code(&run, 2);
        assert!(err(&run).contains(word), "{word}: {}", err(&run));
        assert!(!path.exists());
    }
}

/// The plug is pulled at any moment after the gate, for six seconds, and every
/// stick and switch comes back as it was: the same flight every time.
#[test]
fn a_plug_pulled_at_any_moment_gives_the_same_flight() {
    let folder = temporary();
    // All but the last in the middle of a tick, so that rounding decides
    // nothing: the gate opens at 0.1 s, and a tick is 2 ms.
    let events = [
        (0.1, "ABS_X", 0.0),
        (0.1, "ABS_Y", 0.0),
        (0.1, "ABS_RX", 0.0),
        (0.1, "ABS_RY", -1.0),
        (0.1, "ABS_RZ", -1.0),
        (0.1, "ABS_Z", -0.999),
        (1.001, "ABS_RZ", 1.0),
        (1.501, "ABS_Z", 0.4),
        (2.001, "ABS_RZ", -1.0),
        (4.001, "ABS_X", 0.2),
        (4.501, "ABS_X", 0.0),
        (5.001, "ABS_Y", 0.1),
        (6.001, "ABS_Z", 0.3),
        (6.501, "ABS_RX", 0.3),
    ];
    let straight = events
        .iter()
        .fold(Table::new(), |table, (time_s, code, value)| {
            table.axis(*time_s, code, *value)
        });
    let (run, path) = fly(&straight, folder.path(), "straight");
    expect_code(&run, 0);
    let wanted = read(&path, "recording.csv");
    for pulled_s in [0.501, 1.701, 2.003, 2.601, 4.201, 6.003, 6.801, 8.001] {
        let all = events.into_iter();
        let (before, after): (Vec<_>, Vec<_>) = all.partition(|(time_s, ..)| *time_s < pulled_s);
        let mut table = Table::new();
        for (time_s, code, value) in &before {
            table = table.axis(*time_s, code, *value);
        }
        table = table
            .line(&format!("{pulled_s},disconnected,,"))
            .line(&format!("{},connected,,Eight channels", pulled_s + 5.0));
        // The throttle last: with it everything is known again.
        for code in ["ABS_X", "ABS_Y", "ABS_RX", "ABS_RY", "ABS_RZ", "ABS_Z"] {
            let last = before.iter().rev().find(|(_, known, _)| *known == code);
            let value = last.map_or(f64::NAN, |(.., value)| *value);
            table = table.axis(pulled_s + 6.0, code, value);
        }
        for (time_s, code, value) in after {
            table = table.axis(time_s + 6.0 - 0.000_5, code, value);
        }
        let (run, path) = fly(&table, folder.path(), &format!("pulled-{pulled_s}"));
        expect_code(&run, 0);
        assert!(
            err(&run).contains("Unplugged: motor off"),
            "pulled at {pulled_s} s: {}",
            err(&run)
        );
        assert!(
            read(&path, "recording.csv") == wanted,
            "pulled at {pulled_s} s"
        );
    }
}
