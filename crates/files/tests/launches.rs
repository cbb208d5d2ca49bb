//! How a lesson's flight begins, and what is refused with its place in the file.

use std::path::Path;

use larkfield_files::airframe::load_airframe;
use larkfield_files::field::read_field;
use larkfield_files::lesson::{read_lesson, refuse_lesson};
use larkfield_lesson::{Ground, GroundKind};
use larkfield_pilot::{GroundStart, Launch, ThrowKind};

fn text(path: &str) -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../assets")
        .join(path);
    std::fs::read_to_string(&file).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// The shipped lesson with something else in place of its throw and thrower.
fn lesson_with(launch: &str) -> String {
    let shipped = text("lessons/first_launch.ron");
    let from = shipped.find("    throw: (").expect("a throw");
    let thrower = "    thrower: SteadyHelper,\n";
    let to = shipped.find(thrower).expect("a thrower") + thrower.len();
    let rest = shipped[to..].replace("goal: FlyAway(for: \"2 s\")", "goal: LiftOff");
    format!("{}{launch}\n{rest}", &shipped[..from])
}

#[test]
fn a_ground_start_is_read() {
    let launch = "ground_start: (north: \"-5 m\", east: \"2 m\", heading: \"90 deg\", throttle: \"80 %\", opening: \"3 s\"),";
    let lesson = read_lesson(&lesson_with(launch), "l.ron").unwrap_or_else(|e| panic!("{e}"));
    let Launch::Ground(start) = lesson.launch else {
        panic!("{:?}", lesson.launch);
    };
    let wanted = GroundStart {
        north_m: -5.0,
        east_m: 2.0,
        heading_rad: std::f64::consts::FRAC_PI_2,
        throttle: 0.8,
        opening_s: 3.0,
    };
    assert_eq!(start, wanted);
}

#[test]
fn a_flight_begins_in_exactly_one_way() {
    let ground =
        "ground_start: (north: \"0 m\", east: \"0 m\", heading: \"0 deg\", throttle: \"80 %\"),";
    let shipped = text("lessons/first_launch.ron");
    let both = shipped.replace("    throw: (", &format!("    {ground}\n    throw: ("));
    let thrown = lesson_with(&format!("{ground}\n    thrower: Solo,"));
    for (text, named) in [
        (lesson_with(""), "does not say how the flight begins"),
        (both, "ground_start"),
        (thrown, "thrower"),
        (
            lesson_with(&ground.replace("80 %", "180 %")),
            "ground_start.throttle",
        ),
    ] {
        let errors = read_lesson(&text, "l.ron").err().map(|e| e.to_string());
        let said = errors.unwrap_or_default();
        assert!(
            said.contains(named) && said.contains("l.ron:"),
            "{named}: {said}"
        );
    }
}

/// A pusher with power before the throw is refused at the line that asks for it.
#[test]
fn power_before_the_throw_of_a_pusher_is_refused_where_it_stands() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes/ternwing.ron");
    let pusher = load_airframe(&file).unwrap_or_else(|e| panic!("{e}"));
    let shipped = text("lessons/first_launch.ron");
    let lesson = read_lesson(&shipped, "l.ron").unwrap_or_else(|e| panic!("{e}"));
    // The shipped lesson leaves the timing to the plane; for a tractor the power
    // stays before the throw.
    let tractor =
        load_airframe(&file.with_file_name("marram.ron")).unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(lesson.clone().suited(&tractor), lesson);
    assert!(lesson.check_with_airframe(&pusher).is_err());
    assert_eq!(lesson.suited(&pusher).check_with_airframe(&pusher), Ok(()));
    let text = shipped.replace("power: Suited", "power: Before");
    let lesson = read_lesson(&text, "l.ron").unwrap_or_else(|e| panic!("{e}"));
    let problems = lesson.check_with_airframe(&pusher).expect_err("refused");
    let said = refuse_lesson(&text, "l.ron", &problems)
        .expect_err("refused")
        .to_string();
    let line = 1 + text
        .lines()
        .position(|l| l.contains("power: Before"))
        .expect("a line");
    assert!(said.contains(&format!("l.ron:{line}:")), "{said}");
    assert!(
        said.contains("throw.power") && said.contains("after release"),
        "{said}"
    );
    let after = text.replace("power: Before", "power: After(delay: \"0.3 s\")");
    let lesson = read_lesson(&after, "l.ron").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(lesson.check_with_airframe(&pusher), Ok(()));
}

#[test]
fn a_strip_may_have_a_ground_of_its_own() {
    let shipped = text("fields/open_meadow.ron");
    let mown = shipped
        .replace(
            "ground: (kind: MownGrass),",
            "ground: (kind: LongGrass, grass_height: \"300 mm\"),",
        )
        .replace(
            "width: \"15 m\")",
            "width: \"15 m\", ground: (kind: MownGrass))",
        );
    let terrain = read_field(&mown, "f.ron")
        .unwrap_or_else(|e| panic!("{e}"))
        .terrain();
    // The strip runs from 10 m behind the launch point to 90 m ahead of it.
    for (north_m, east_m, kind) in [
        (0.0, 0.0, GroundKind::MownGrass),
        (89.0, 7.0, GroundKind::MownGrass),
        (91.0, 0.0, GroundKind::LongGrass),
        (40.0, 8.0, GroundKind::LongGrass),
    ] {
        assert_eq!(terrain.at(north_m, east_m).kind, kind, "{north_m} {east_m}");
    }
    assert_eq!(terrain.around.grass_height_m, 0.3);
    assert_eq!(*terrain.at(0.0, 0.0), Ground::usual(GroundKind::MownGrass));
    let wrong = mown.replace("300 mm", "3 m");
    let said = read_field(&wrong, "f.ron").err().map(|e| e.to_string());
    assert!(said.unwrap_or_default().contains("grass_height"));
}

#[test]
fn every_kind_of_throw_is_read_with_its_usual_arm() {
    let shipped = text("lessons/first_launch.ron");
    for (name, kind) in [
        ("Overhand", ThrowKind::Overhand),
        ("Underhand", ThrowKind::Underhand),
        ("SideArm", ThrowKind::SideArm),
        ("Helper", ThrowKind::Helper),
    ] {
        let text = shipped.replace("kind: Overhand", &format!("kind: {name}"));
        let lesson = read_lesson(&text, "l.ron").unwrap_or_else(|e| panic!("{e}"));
        let throw = lesson.launch.throw().expect("a throw");
        assert_eq!(throw.kind, kind);
        assert_eq!(throw.reach_m, kind.usual_reach_m());
        assert_eq!(throw.turn, kind.usual_turn());
        let turned = text.replace("throttle: \"75 %\"", "throttle: \"75 %\", turn: \"40 %\"");
        let read = read_lesson(&turned, "l.ron");
        // A straight push turns nothing.
        let swings = matches!(kind, ThrowKind::Underhand | ThrowKind::SideArm);
        assert_eq!(read.is_ok(), swings, "{name}");
        if let Err(errors) = read {
            assert!(errors.to_string().contains("throw.turn"), "{errors}");
        }
    }
    // Faster than anybody throws underhand.
    let fast = shipped
        .replace("kind: Overhand", "kind: Underhand")
        .replace("speed: \"6.5 m/s\"", "speed: \"12 m/s\"");
    let said = read_lesson(&fast, "l.ron").err().map(|e| e.to_string());
    assert!(said.unwrap_or_default().contains("throw.speed"));
}
