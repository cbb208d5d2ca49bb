//! `larkfield radio` at a plain terminal, with a device that was recorded.

#[path = "../../crates/radio/tests/support/mod.rs"]
mod known;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use known::{Device, Slip, learn};
use larkfield_pilot::StickMode;
use larkfield_radio::{AxisCode, Gimbal};
use serde_json::Value;

use crate::program::{err, expect_code, larkfield, out, root, temporary, text_of};

/// Odd axes, one stick reversed, a coarse and noisy device with rates of its
/// own on one stick.
fn odd() -> Device {
    let mut device = Device::radio();
    for (gimbal, code, from, centre, to) in [
        (Gimbal::LeftAcross, 7, 1.0, 0.0, -1.0),
        (Gimbal::LeftAlong, 0, -1.0, 0.0, 1.0),
        (Gimbal::RightAcross, 40, -0.7, 0.0, 0.7),
        (Gimbal::RightAlong, 5, -1.0, 0.0, 1.0),
    ] {
        let axis = device.axis(gimbal);
        (axis.code, axis.from, axis.centre, axis.to) = (AxisCode(code), from, centre, to);
    }
    device.noise = 0.01;
    device.steps = 255.0;
    device
}

fn recorded(folder: &Path, device: &Device, slip: Slip) -> String {
    let path = folder.join("device.csv");
    let (_, recorded) = learn(device, slip, 1);
    std::fs::write(&path, recorded.write()).unwrap_or_else(|e| panic!("{e}"));
    format!("replay:{}", path.display())
}

/// The program with a folder for settings of its own.
fn with_settings(settings: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(arguments)
        .current_dir(root())
        .env("XDG_CONFIG_HOME", settings)
        .output()
        .unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn help_names_every_command_and_option() {
    let help = out(&larkfield(&["radio", "--help"]));
    for word in ["list", "learn", "show", "verify", "record", "Exit codes"] {
        assert!(help.contains(word), "{word}: {help}");
    }
    let help = out(&larkfield(&["radio", "learn", "--help"]));
    for word in [
        "--mode",
        "--device",
        "--ready",
        "--shaped",
        "--out",
        "--replace",
        "--json",
        "replay:FILE",
        "throttle",
        "propeller off",
    ] {
        assert!(help.contains(word), "{word}: {help}");
    }
}

#[test]
fn help_draws_the_modes_as_they_are() {
    let help = out(&larkfield(&["radio", "learn", "--help"]));
    let modes = [
        StickMode::Mode1,
        StickMode::Mode2,
        StickMode::Mode3,
        StickMode::Mode4,
    ];
    for (number, mode) in (1..).zip(modes) {
        let of = |gimbal: Gimbal| gimbal.function(mode).name();
        let row = format!(
            "{number} {} {} {} {}",
            of(Gimbal::LeftAlong),
            of(Gimbal::LeftAcross),
            of(Gimbal::RightAlong),
            of(Gimbal::RightAcross)
        );
        let words = |line: &str| line.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(help.lines().any(|line| words(line) == row), "{row}: {help}");
    }
}

#[test]
fn a_recorded_device_is_learned_shown_and_checked() {
    let folder = temporary();
    let device = recorded(folder.path(), &odd(), Slip::None);
    let file = folder.path().join("mine.ron");
    let arguments = |more: &[&'static str]| {
        let mut all = vec!["radio", "learn", "--mode", "2", "--device", &device];
        all.extend(["--out", text_of(&file)]);
        all.extend(more);
        larkfield(&all)
    };
    // Nobody says whether the radio shapes: nothing is assumed.
    let run = arguments(&[]);
    expect_code(&run, 2);
    assert!(
        err(&run).contains("--shaped") && !file.exists(),
        "{}",
        err(&run)
    );

    let run = arguments(&["--shaped", "yes"]);
    expect_code(&run, 0);
    let text = out(&run);
    for word in [
        "ABS_RUDDER",
        "reversed",
        "ABS_0x28",
        "uses 70 % of what",
        "adds no rates",
        "check every surface at the plane",
    ] {
        assert!(text.contains(word), "{word}: {text}");
    }
    let written = std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{e}"));
    assert!(written.contains("AlreadyInRadio"), "{written}");
    assert!(
        written.contains("left_along: (axis: \"ABS_X\""),
        "{written}"
    );
    // What is there stays unless told otherwise.
    let run = arguments(&["--shaped", "no"]);
    expect_code(&run, 2);
    assert!(err(&run).contains("--replace"));
    let run = arguments(&["--shaped", "no", "--replace", "--json"]);
    expect_code(&run, 0);
    let report: Value = serde_json::from_str(&out(&run)).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(report["already_shaped"], false);
    assert_eq!(report["looks_shaped"], true);
    assert_eq!(report["channel_order"], Value::Null);
    let aileron = &report["axes"][0];
    assert_eq!(aileron["axis"], "ABS_0x28");
    let travel = aileron["travel_fraction"].as_f64().unwrap_or(f64::NAN);
    assert!((travel - 0.7).abs() < 0.01, "{travel}");

    let run = larkfield(&["radio", "verify", text_of(&file)]);
    expect_code(&run, 0);
    assert!(out(&run).contains("no mistake found"), "{}", out(&run));
    let picture = folder.path().join("mine.svg");
    let run = larkfield(&["radio", "show", text_of(&file), "--svg", text_of(&picture)]);
    expect_code(&run, 0);
    assert!(out(&run).contains("<----+----> rudder"), "{}", out(&run));
    let svg = std::fs::read_to_string(&picture).unwrap_or_else(|e| panic!("{e}"));
    assert!(svg.starts_with("<svg") && svg.ends_with("</svg>\n"));
}

#[test]
fn a_radio_is_kept_among_the_settings_and_found_by_its_name() {
    let folder = temporary();
    let device = recorded(folder.path(), &Device::radio(), Slip::None);
    let settings = folder.path().join("settings");
    let run = with_settings(
        &settings,
        &[
            "radio",
            "learn",
            "--mode",
            "2",
            "--shaped",
            "no",
            "--name",
            "My (old) radio",
            "--device",
            &device,
        ],
    );
    expect_code(&run, 0);
    let kept = settings.join("larkfield/radios/my_old_radio.ron");
    assert!(kept.is_file(), "{}", out(&run));
    for (named, found) in [
        ("my_old_radio", true),
        ("my_old_radio.ron", true),
        ("pad_mode_2", true),
        ("none", false),
    ] {
        let run = with_settings(&settings, &["radio", "verify", named]);
        expect_code(&run, if found { 0 } else { 2 });
        if !found {
            let said = err(&run);
            assert!(
                said.contains("radio learn") && said.contains("settings"),
                "{said}"
            );
        }
    }
}

#[test]
fn what_cannot_be_learned_is_refused_with_what_to_do_and_leaves_no_file() {
    let mut missing = Device::radio();
    missing.axes.retain(|axis| axis.gimbal != Gimbal::LeftAlong);
    for (device, slip, words) in [
        (
            missing,
            Slip::None,
            ["only 3 of the four", "another device"],
        ),
        (
            Device::radio(),
            Slip::Leaves(Gimbal::RightAcross),
            ["right stick did not move", "learn again"],
        ),
        (
            Device::radio(),
            Slip::Mistakes(Gimbal::LeftAcross, Gimbal::RightAcross),
            [
                "ABS_RX moves for the left stick and for the right stick",
                "learn again",
            ],
        ),
        (
            Device::radio(),
            Slip::Wanders(Gimbal::RightAlong, 0.2),
            ["its centre wanders", "worn"],
        ),
        (
            Device::radio(),
            Slip::Unplugs(15.0),
            ["unplugged", "plug it back"],
        ),
    ] {
        let folder = temporary();
        let device = recorded(folder.path(), &device, slip);
        let file = folder.path().join("mine.ron");
        let run = larkfield(&[
            "radio",
            "learn",
            "--mode",
            "2",
            "--shaped",
            "no",
            "--device",
            &device,
            "--out",
            text_of(&file),
        ]);
        expect_code(&run, 2);
        for word in words {
            assert!(err(&run).contains(word), "{slip:?} {word}: {}", err(&run));
        }
        assert!(!file.exists());
    }
}

#[test]
fn a_recorded_device_is_listed_with_its_last_values() {
    let folder = temporary();
    let path: PathBuf = folder.path().join("d.csv");
    let table = "time_s,event,code,value\n0,connected,,Test radio\n0.1,axis,ABS_X,-0.25\n\
                 0.2,button,BTN_TRIGGER,1\n0.3,axis,ABS_X,0.5\n";
    std::fs::write(&path, table).unwrap_or_else(|e| panic!("{e}"));
    let device = format!("replay:{}", path.display());
    let run = larkfield(&["radio", "list", "--device", &device]);
    expect_code(&run, 0);
    let text = out(&run);
    assert!(
        text.contains("Test radio") && text.contains("+50.0 %"),
        "{text}"
    );
    assert!(text.contains("pressed: BTN_TRIGGER"), "{text}");
    let run = larkfield(&["radio", "list", "--json", "--device", &device]);
    let report: Value = serde_json::from_str(&out(&run)).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(report["devices"][0]["axes"][0]["value_fraction"], 0.5);
    // Recorded once more, it is the same.
    let again = folder.path().join("again.csv");
    let run = larkfield(&[
        "radio",
        "record",
        "--device",
        &device,
        "--out",
        text_of(&again),
    ]);
    expect_code(&run, 0);
    assert_eq!(std::fs::read_to_string(&again).ok().as_deref(), Some(table));
    expect_code(
        &larkfield(&[
            "radio",
            "record",
            "--device",
            &device,
            "--out",
            text_of(&again),
        ]),
        2,
    );
}

#[test]
fn mistakes_are_named_by_place() {
    let folder = temporary();
    let path = folder.path().join("d.csv");
    std::fs::write(&path, "time_s,event,code,value\n0,axis,ABS_X,7\n")
        .unwrap_or_else(|e| panic!("{e}"));
    let device = format!("replay:{}", path.display());
    for arguments in [
        vec!["radio", "list", "--device", &device],
        vec![
            "radio", "learn", "--mode", "1", "--shaped", "no", "--device", &device, "--out",
            "x.ron",
        ],
    ] {
        let run = larkfield(&arguments);
        expect_code(&run, 2);
        assert!(err(&run).contains("d.csv:2: value is 7"), "{}", err(&run));
    }
    let wrong = crate::program::changed(
        folder.path(),
        "assets/radios/pad_mode_2.ron",
        "mode: 2",
        "mode: 9",
    );
    for command in ["verify", "show"] {
        let run = larkfield(&["radio", command, text_of(&wrong.0)]);
        expect_code(&run, 2);
        let place = format!("changed.ron:{}:", wrong.1);
        assert!(err(&run).contains(&place), "{}", err(&run));
    }
    for arguments in [
        ["radio", "learn", "--mode", "5"],
        ["radio", "list", "--device", "replay:"],
        ["radio", "list", "--device", "replay:/nowhere/at/all.csv"],
    ] {
        expect_code(&larkfield(&arguments), 2);
    }
}

/// A machine with a stick plugged in asks first, and one without says so; the
/// test with a virtual machine plugs one in.
#[test]
fn without_a_device_there_is_nothing_to_wait_for() {
    let run = larkfield(&["radio", "list", "--seconds", "0"]);
    if err(&run).contains("disconnect the plane's flight battery") {
        // Nobody is at the keyboard of this test.
        expect_code(&run, 2);
        assert!(err(&run).contains("--ready") && out(&run).is_empty());
    } else {
        expect_code(&run, 0);
        assert!(
            out(&run).contains("No game pad and no radio"),
            "{}",
            out(&run)
        );
    }
}
