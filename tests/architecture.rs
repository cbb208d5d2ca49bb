//! Which crate may know which: data flows one way, and the crates that fly
//! know no engine, no files and no serialisation of their own state.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// Crates in the order in which data flows; each may use only those before it.
const ORDER: [&str; 23] = [
    "larkfield-units",
    "larkfield-airframe",
    "larkfield-weather",
    "larkfield-flight",
    "larkfield-recording",
    "larkfield-pilot",
    "larkfield-radio",
    "larkfield-drill",
    "larkfield-lesson",
    "larkfield-faults",
    "larkfield-diagnosis",
    "larkfield-preflight",
    "larkfield-files",
    "larkfield-world",
    "larkfield-hindsight",
    "larkfield-debrief",
    "larkfield-logbook",
    "larkfield-rehearsal",
    "larkfield-devices",
    "larkfield",
    "larkfield-window",
    "larkfield-proof",
    "xtask",
];

/// Crates that know no Bevy, no files and no clock.
const PLAIN: [&str; 12] = [
    "larkfield-units",
    "larkfield-airframe",
    "larkfield-weather",
    "larkfield-flight",
    "larkfield-recording",
    "larkfield-pilot",
    "larkfield-radio",
    "larkfield-drill",
    "larkfield-lesson",
    "larkfield-faults",
    "larkfield-diagnosis",
    "larkfield-preflight",
];

/// Crates on the path from sticks to motion, which have to give the same bytes
/// everywhere.
const FLIGHT_PATH: [&str; 5] = [
    "larkfield-airframe",
    "larkfield-weather",
    "larkfield-flight",
    "larkfield-pilot",
    "larkfield-radio",
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn cargo(arguments: &[&str]) -> String {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap_or_else(|e| panic!("cargo could not be started: {e}"));
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// What cargo says about the workspace, dependencies from elsewhere left out.
fn metadata() -> Value {
    let text = cargo(&[
        "metadata",
        "--format-version",
        "1",
        "--no-deps",
        "--offline",
    ]);
    serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}"))
}

/// What each workspace member depends on when it is built, tests aside.
fn dependencies() -> BTreeMap<String, BTreeSet<String>> {
    let metadata = metadata();
    let mut found = BTreeMap::new();
    for package in metadata["packages"].as_array().into_iter().flatten() {
        let names = package["dependencies"]
            .as_array()
            .into_iter()
            .flatten()
            .filter(|dependency| dependency["kind"].is_null())
            .filter_map(|dependency| dependency["name"].as_str())
            .map(str::to_owned)
            .collect();
        found.insert(
            package["name"].as_str().unwrap_or_default().to_owned(),
            names,
        );
    }
    found
}

#[test]
fn every_crate_has_its_place_and_uses_only_those_before_it() {
    let dependencies = dependencies();
    let members: BTreeSet<&str> = dependencies.keys().map(String::as_str).collect();
    assert_eq!(members, ORDER.into_iter().collect::<BTreeSet<_>>());
    for (place, name) in ORDER.iter().enumerate() {
        for used in dependencies.get(*name).into_iter().flatten() {
            if let Some(other) = ORDER.iter().position(|member| member == used) {
                assert!(other < place, "{name} may not use {used}");
                assert!(used != "larkfield-proof", "{name} is no test");
            }
        }
    }
}

/// Everything that a crate is built from, features as they are when it is built
/// alone, one name and version a line.
fn built_from(package: &str) -> String {
    cargo(&[
        "tree",
        "--package",
        package,
        "--edges",
        "normal,build",
        "--prefix",
        "none",
        "--offline",
        "--locked",
    ])
}

#[test]
fn a_build_of_everything_leaves_out_the_window_and_nothing_else() {
    let metadata = metadata();
    let set = |key: &str| -> BTreeSet<String> {
        let ids = metadata[key].as_array().into_iter().flatten();
        ids.filter_map(|id| id.as_str().map(str::to_owned))
            .collect()
    };
    let (all, by_default) = (set("workspace_members"), set("workspace_default_members"));
    let left_out: Vec<&String> = all.difference(&by_default).collect();
    assert!(
        matches!(left_out[..], [one] if one.contains("window")),
        "{left_out:?}"
    );
}

#[test]
fn only_the_window_draws() {
    let draws = |package: &str| {
        let tree = built_from(package);
        ["wgpu", "bevy_render", "bevy_pbr", "winit", "bevy_window"]
            .into_iter()
            .filter(|part| {
                tree.lines()
                    .any(|line| line.split(' ').next() == Some(part))
            })
            .count()
    };
    assert_eq!(
        draws("larkfield"),
        0,
        "the command line has to build without a screen"
    );
    assert_eq!(draws("larkfield-rehearsal"), 0);
    // The names are those that drawing really goes by.
    assert_eq!(draws("larkfield-window"), 5);
}

#[test]
fn plain_crates_know_no_engine() {
    let dependencies = dependencies();
    for name in PLAIN {
        let used = dependencies.get(name).cloned().unwrap_or_default();
        for other in &used {
            let engine = ["bevy", "rapier", "parry", "wgpu", "winit"];
            assert!(
                !engine.iter().any(|e| other.contains(e)),
                "{name} uses {other}"
            );
        }
    }
    for name in FLIGHT_PATH {
        let used = dependencies.get(name).cloned().unwrap_or_default();
        for other in ["serde", "ron", "serde_json", "rand", "rayon"] {
            assert!(!used.contains(other), "{name} uses {other}");
        }
    }
    for name in ["xtask", "larkfield-proof"] {
        assert!(dependencies.get(name).is_some_and(BTreeSet::is_empty));
    }
}

fn sources(name: &str) -> Vec<(PathBuf, String)> {
    let folder = name.strip_prefix("larkfield-").unwrap_or(name);
    let mut folders = vec![root().join("crates").join(folder).join("src")];
    let mut found = Vec::new();
    while let Some(here) = folders.pop() {
        let entries = std::fs::read_dir(&here).unwrap_or_else(|e| panic!("{here:?}: {e}"));
        for path in entries.flatten().map(|entry| entry.path()) {
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{e}"));
                found.push((path, text));
            }
        }
    }
    assert!(!found.is_empty(), "{name} has no sources");
    // Modules that are tests from end to end are declared as such.
    let declared: String = found.iter().map(|(_, text)| text.as_str()).collect();
    found.retain(|(path, _)| {
        let module = path.file_stem().unwrap_or_default().to_string_lossy();
        !declared.contains(&format!("#[cfg(test)]\nmod {module};"))
    });
    found
}

/// Code without its comments and without the tests at its end.
fn code(text: &str) -> String {
    let tests = text.find("#[cfg(test)]\nmod tests {").unwrap_or(text.len());
    text[..tests]
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn plain_crates_open_no_files_and_ask_no_clock() {
    for name in PLAIN {
        for (path, text) in sources(name) {
            let code = code(&text);
            for word in [
                "std::fs",
                "std::env",
                "std::net",
                "std::thread",
                "std::process",
                "Instant::now",
                "SystemTime",
                "println!",
                "eprintln!",
            ] {
                assert!(!code.contains(word), "{} contains {word}", path.display());
            }
        }
    }
}

#[test]
fn the_flight_path_uses_only_arithmetic_that_is_the_same_everywhere() {
    let everywhere =
        FLIGHT_PATH
            .into_iter()
            .chain(["larkfield-world", "larkfield-lesson", "larkfield-faults"]);
    for name in everywhere {
        for (path, text) in sources(name) {
            let code = code(&text);
            for word in [
                ".sin()",
                ".cos()",
                ".tan()",
                ".sin_cos()",
                ".asin()",
                ".acos()",
                ".atan()",
                ".atan2(",
                ".exp()",
                ".exp2()",
                ".exp_m1()",
                ".ln()",
                ".log10()",
                ".log2()",
                ".ln_1p()",
                ".powf(",
                ".sinh()",
                ".cosh()",
                ".tanh()",
                ".hypot(",
                ".cbrt()",
                ".mul_add(",
                "HashMap",
                "HashSet",
            ] {
                assert!(!code.contains(word), "{} contains {word}", path.display());
            }
        }
    }
}

/// Features of libraries as the headless program is built with them.
#[test]
fn the_headless_program_holds_no_window_and_no_threads() {
    let tree = cargo(&[
        "tree",
        "--package",
        "larkfield",
        "--edges",
        "normal,features",
        "--prefix",
        "none",
        "--offline",
        "--locked",
    ]);
    assert!(
        tree.contains("bevy_rapier3d"),
        "the tree is not that of the program: {tree:.200}"
    );
    for word in [
        "bevy_render ",
        "bevy_winit ",
        "bevy_window ",
        "bevy_gilrs",
        "winit ",
        "wgpu ",
        "bevy_audio ",
        "rayon ",
        "feature \"multi_threaded\"",
        // Bevy's own `parallel` is a container that any thread may fill; these
        // two would share work among threads.
        "rapier3d feature \"parallel\"",
        "parry3d feature \"parallel\"",
        "feature \"async-collider\"",
    ] {
        let line = tree.lines().find(|line| line.contains(word));
        assert!(line.is_none(), "the headless program contains {line:?}");
    }
}
