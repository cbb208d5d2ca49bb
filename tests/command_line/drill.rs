//! `larkfield drill` at a plain terminal, from files of answers and from a
//! recorded device.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use larkfield_files::radio::load_radio;
use larkfield_radio::{
    DeviceEvent, DeviceEventKind, DeviceId, DeviceInfo, Function, Recorded, Transmitter,
};
use serde_json::Value;

use crate::program::{err, expect_code, larkfield, out, root, temporary, text_of};

/// Everything looked at, as a person would type it.
const WHOLE: &str = "\
aileron right
aileron left
aileron centre
elevator back
elevator forward
elevator centre
rudder right
rudder left
rudder centre
throttle 100
throttle 50
transmitter off
wait 1.5
transmitter on
throttle 0
";

fn answered(folder: &Path, answers: &str, arguments: &[&str]) -> Output {
    let file = folder.join("answers.txt");
    std::fs::write(&file, answers).unwrap_or_else(|e| panic!("{e}"));
    let mut all = vec!["drill"];
    all.extend(arguments);
    all.extend(["--answers", text_of(&file)]);
    larkfield(&all)
}

fn json(output: &Output) -> Value {
    expect_code(output, 0);
    serde_json::from_str(&out(output)).unwrap_or_else(|e| panic!("{e}: {}", out(output)))
}

#[test]
fn a_control_check_is_scored_by_what_was_called_and_looked_at() {
    let folder = temporary();
    let answers = format!(
        "{WHOLE}fault elevator_reversed # as it was\n{WHOLE}fit\n{WHOLE}fit\n{WHOLE}fault dead_servo\nfit\n"
    );
    let run = answered(
        folder.path(),
        &answers,
        &[
            "control-check",
            "--hidden",
            "elevator_reversed,none,rudder_reversed,none,none",
            "--json",
        ],
    );
    let report = json(&run);
    let verdicts: Vec<&str> = report["rounds"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|round| round["verdict"].as_str())
        .collect();
    assert_eq!(
        verdicts,
        [
            "right",
            "right",
            "missed",
            "false alarm",
            "called before it could be seen"
        ]
    );
    assert_eq!(
        (&report["found"], &report["missed"], &report["false_alarms"]),
        (&1.into(), &1.into(), &1.into())
    );
    assert_eq!(report["passed"], false);
    // Two of five are worth 100.
    assert_eq!(report["points"], 40.0);
    // The same answers, the same bytes; in words too.
    let again = answered(
        folder.path(),
        &answers,
        &[
            "control-check",
            "--hidden",
            "elevator_reversed,none,rudder_reversed,none,none",
        ],
    );
    expect_code(&again, 0);
    let text = out(&again);
    for word in [
        "elevator left      down 11 degrees",
        "trailing edge goes down",
        "propeller off",
        "only your own eyes can check",
        "a fault that is missed here flies",
        "Nobody looked at",
    ] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn mistakes_in_answers_are_named_with_their_line() {
    let folder = temporary();
    for (drill, answers, says) in [
        (
            "control-check",
            "aileron right\n\naileron up\n",
            "answers.txt:3: \"aileron up\"",
        ),
        ("control-check", "fault elevater\n", "answers.txt:1"),
        ("control-check", "throttle 101\n", "from 0 to 100"),
        (
            "control-check",
            "fit\nfit\nfit\nfit\nfit\nfit\n",
            "answers.txt:6",
        ),
        ("before-power", "conect\n", "answers.txt:1"),
        ("go-or-no-go", "wind\nrain\n", "answers.txt:2"),
        ("go-or-no-go", "no\n", "no wind"),
        ("helper-briefing", "roles\ngo\n", "answers.txt:2"),
        ("orientation", "left\n", "0.9 left"),
        ("orientation", "0.5 up\n", "answers.txt:1"),
        ("orientation", "NaN left\n", "answers.txt:1"),
    ] {
        let run = answered(folder.path(), answers, &[drill]);
        expect_code(&run, 2);
        assert!(err(&run).contains(says), "{says}: {}", err(&run));
    }
    let run = larkfield(&["drill", "orientation", "--answers", "nowhere.txt"]);
    expect_code(&run, 2);
    let run = larkfield(&["drill", "control-check", "--hidden", "gremlin"]);
    expect_code(&run, 2);
    assert!(err(&run).contains("dead_servo"), "{}", err(&run));
    // A plane without ailerons cannot have them reversed.
    let marram = "shared/airframes/marram.ron";
    let run = larkfield(&[
        "drill",
        "control-check",
        "--airframe",
        marram,
        "--hidden",
        "aileron_reversed",
    ]);
    expect_code(&run, 2);
}

#[test]
fn days_are_decided_and_throws_are_stopped() {
    let folder = temporary();
    let answers = "all\nno wind   # the gusts\nsun\nno sun\nall\ngo\n";
    let hidden = ["--hidden", "wind,sun+people,none"];
    let run = answered(
        folder.path(),
        answers,
        &[&["go-or-no-go"], &hidden[..]].concat(),
    );
    expect_code(&run, 0);
    let text = out(&run);
    for says in [
        "gusts to",
        "100 of 100 points, good",
        "a no, and rightly",
        "a go, and everything",
    ] {
        assert!(text.contains(says), "{says}: {text}");
    }
    let run = answered(
        folder.path(),
        "all\ngo\n",
        &["go-or-no-go", "--hidden", "people", "--json"],
    );
    expect_code(&run, 0);
    let report: serde_json::Value = serde_json::from_str(&out(&run)).expect("JSON");
    assert_eq!(report["points"], 0.0);
    assert_eq!(report["dangerous"], 1);
    assert_eq!(report["days"][0]["against"][0], "people");

    let agreed = "roles\nwords\nfingers\nmanner\nafterwards\ngoes_wrong\n";
    // Stops that are not needed cost nothing, and nothing that comes between
    // outlasts them.
    let throw = "ready\nstop\nready\npower\nstop\nshut\nready\npower\nthrow\n";
    for seed in ["1", "2", "3", "4", "5"] {
        let run = answered(
            folder.path(),
            &format!("{agreed}{throw}"),
            &["helper-briefing", "--rounds", "1", "--seed", seed],
        );
        expect_code(&run, 0);
        let text = out(&run);
        assert!(text.contains("100 of 100 points, good"), "{seed}: {text}");
    }
    let run = answered(
        folder.path(),
        "ready\npower\nthrow\n",
        &["helper-briefing", "--rounds", "1", "--json"],
    );
    expect_code(&run, 0);
    let report: serde_json::Value = serde_json::from_str(&out(&run)).expect("JSON");
    assert_eq!(report["points"], 0.0);
    assert_eq!(report["passed"], false);
}

#[test]
fn before_power_counts_nothing_where_somebody_could_be_hurt() {
    let folder = temporary();
    let safe = "propeller_off\ntransmitter_on\nconnect\nsurfaces\nthrottle_cut\nfail_safe\n\
                range\ndisconnect\npropeller_on\nrestrain\nconnect\nfull_throttle\n";
    let mut sound = 0;
    for seed in ["1", "2", "3", "4", "5", "6", "7", "8"] {
        let flown = answered(
            folder.path(),
            &format!("{safe}fly\ndisconnect\n"),
            &["before-power", "--json", "--seed", seed],
        );
        let report = json(&flown);
        let hidden = !report["hidden"].is_null();
        sound += u32::from(!hidden);
        assert_eq!(report["passed"], !hidden, "{report}");
        let down = answered(
            folder.path(),
            &format!("{safe}stay_down\ndisconnect\n"),
            &["before-power", "--json", "--seed", seed],
        );
        assert_eq!(json(&down)["passed"], hidden);
    }
    assert!((1..8).contains(&sound), "{sound} of 8 are sound");
    let hurt = answered(
        folder.path(),
        "transmitter_on\nconnect\nfly\ntransmitter_off\n",
        &["before-power"],
    );
    expect_code(&hurt, 0);
    let text = out(&hurt);
    for word in ["DANGER", "0 of 100 points", "Left out", "club"] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

#[test]
fn orientation_is_scored_by_heading() {
    let folder = temporary();
    // Sides to answer with come from the report of a run that answers nothing.
    let nothing = "none\n".repeat(16).replace("none", "0.1 none");
    let asked = json(&answered(
        folder.path(),
        &nothing,
        &["orientation", "--json", "--seed", "4"],
    ));
    assert_eq!(
        (&asked["wrong"], &asked["passed"]),
        (&16.into(), &false.into())
    );
    let rounds = || asked["rounds"].as_array().into_iter().flatten();
    let answers: String = rounds()
        .map(|round| {
            // Raise the low wing, whichever way it points.
            let stick = if round["low_wing"] == "left" {
                "right"
            } else {
                "left"
            };
            format!("0.7 {stick}\n")
        })
        .collect();
    let right = json(&answered(
        folder.path(),
        &answers,
        &["orientation", "--json", "--seed", "4"],
    ));
    assert_eq!(
        (&right["points"], &right["passed"]),
        (&100.0.into(), &true.into())
    );
    assert_eq!(right["by_heading"].as_array().map(Vec::len), Some(8));
    // Who mixes up the planes that come toward them is told so.
    let mixed: String = rounds()
        .zip(answers.lines())
        .map(|(round, line)| {
            let comes = round["heading"]
                .as_str()
                .is_some_and(|h| h.contains("toward"));
            let other = if line.contains("left") {
                "0.7 right"
            } else {
                "0.7 left"
            };
            format!("{}\n", if comes { other } else { line })
        })
        .collect();
    let mixed = json(&answered(
        folder.path(),
        &mixed,
        &["orientation", "--json", "--seed", "4"],
    ));
    assert_eq!(mixed["passed"], false);
    for by in mixed["by_heading"].as_array().into_iter().flatten() {
        let comes = by["heading"].as_str().is_some_and(|h| h.contains("toward"));
        assert_eq!(
            by["wrong"],
            if comes {
                by["rounds"].clone()
            } else {
                0.into()
            }
        );
    }
}

#[test]
fn a_person_at_a_plain_terminal_is_led_through() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(["drill", "control-check", "--hidden", "aileron_reversed"])
        .current_dir(root())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("{e}"));
    let typed = b"ailerons right\naileron right\nfault aileron_reversed\n";
    child
        .stdin
        .take()
        .unwrap_or_else(|| panic!("no input"))
        .write_all(typed)
        .unwrap_or_else(|e| panic!("{e}"));
    let run = child.wait_with_output().unwrap_or_else(|e| panic!("{e}"));
    expect_code(&run, 0);
    let (text, asides) = (out(&run), err(&run));
    assert!(
        asides.contains("\"ailerons right\" is not understood"),
        "{asides}"
    );
    for word in [
        "Right is, at full (half) stick",
        "right aileron up",
        "aileron right      down",
        "right; the ailerons are reversed",
        "elevator stick toward you",
    ] {
        let word = word.replace("right aileron up", "aileron right up");
        assert!(text.contains(&word), "{word}: {text}");
    }
}

const RADIO: &str = "assets/radios/trainer_mode_2.ron";

fn radio() -> Transmitter {
    load_radio(&root().join(RADIO)).unwrap_or_else(|e| panic!("{e}"))
}

/// A device on which every stick was held at both its ends, a second each, from
/// the third second on; it ends with the throttle shut.
fn held_everywhere(folder: &Path) -> String {
    let radio = radio();
    let mut events = Vec::new();
    let mut moved = |time_s: f64, function: Function, value: f64| {
        events.push(DeviceEvent {
            time_s,
            device: DeviceId(0),
            kind: DeviceEventKind::Axis {
                code: radio.axis(function).code,
                value,
            },
        });
    };
    // Moved a little first: an axis that has not moved is unknown.
    for (time_s, aside) in [(0.5, 0.01), (1.0, 0.0)] {
        for function in Function::ALL {
            let axis = radio.axis(function);
            let rest = if function == Function::Throttle {
                axis.from
            } else {
                axis.centre
            };
            moved(time_s, function, rest + aside * (axis.to - axis.from));
        }
    }
    let mut time_s = 3.0;
    for function in Function::ALL {
        let axis = *radio.axis(function);
        let rest = if function == Function::Throttle {
            axis.from
        } else {
            axis.centre
        };
        for to in [axis.to, axis.from, rest] {
            moved(time_s, function, to);
            time_s += 1.0;
        }
    }
    let recorded = Recorded {
        info: DeviceInfo {
            id: DeviceId(0),
            name: "held everywhere".to_owned(),
            axes: Vec::new(),
            buttons: Vec::new(),
        },
        events,
    };
    let path = folder.join("device.csv");
    std::fs::write(&path, recorded.write()).unwrap_or_else(|e| panic!("{e}"));
    format!("replay:{}", path.display())
}

#[test]
fn a_recorded_device_works_the_sticks() {
    let folder = temporary();
    let device = held_everywhere(folder.path());
    let with = |hidden: &str, answers: &str| {
        answered(
            folder.path(),
            answers,
            &[
                "control-check",
                "--hidden",
                hidden,
                "--radio",
                RADIO,
                "--device",
                &device,
                "--json",
            ],
        )
    };
    let report = json(&with("rudder_reversed", "wait 16\nfault rudder_reversed\n"));
    let round = &report["rounds"][0];
    assert_eq!(round["verdict"], "right", "{report}");
    // A recording cannot switch its transmitter off, a line of the file can.
    let left: Vec<&str> = (round["not_looked_at"].as_array().into_iter().flatten())
        .filter_map(Value::as_str)
        .collect();
    assert_eq!(left, ["transmitter off with the motor running"]);
    let whole = "wait 9\ntransmitter off\nwait 1.2\ntransmitter on\nwait 6\nfit\n";
    let report = json(&with("none", whole));
    assert_eq!(report["points"], 100.0, "{report}");
    // Called before the hands had done anything.
    let report = json(&with("none", "wait 1\nfit\n"));
    assert_eq!(report["points"], 0.0, "{report}");
    // Sticks by words are not those of the device.
    let run = with("none", "aileron right\nfit\n");
    expect_code(&run, 2);
    assert!(err(&run).contains("answers.txt:1"), "{}", err(&run));
    // A device without a radio file, and a recording on which nothing moves.
    let run = larkfield(&["drill", "orientation", "--device", &device]);
    expect_code(&run, 2);
    assert!(err(&run).contains("--radio"), "{}", err(&run));
}

#[test]
fn orientation_is_answered_with_a_recorded_stick() {
    let folder = temporary();
    let device = held_everywhere(folder.path());
    let run = larkfield(&[
        "drill",
        "orientation",
        "--rounds",
        "2",
        "--radio",
        RADIO,
        "--device",
        &device,
        "--json",
    ]);
    let report = json(&run);
    let answers: Vec<&Value> = (report["rounds"].as_array().into_iter().flatten())
        .map(|round| &round["answer"])
        .collect();
    // Right at the third second; then, having been back in the middle, nothing
    // more comes in time.
    assert_eq!(answers, [&Value::from("right"), &Value::Null], "{report}");
}
