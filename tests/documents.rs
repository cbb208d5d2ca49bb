//! What the documents say is what there is.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn text(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

#[test]
fn the_map_of_the_crates_is_the_workspace() {
    let guide = text("DEVELOPERS.md");
    let mapped: BTreeSet<String> = guide
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .map(str::to_owned)
        .collect();
    let entries = std::fs::read_dir(root().join("crates")).unwrap_or_else(|e| panic!("{e}"));
    let there: BTreeSet<String> = entries
        .flatten()
        .filter(|entry| entry.path().join("Cargo.toml").is_file())
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(mapped, there);
}

#[test]
fn every_link_in_the_documents_leads_somewhere() {
    let mut links = 0;
    for name in ["README.md", "DEVELOPERS.md"] {
        for part in text(name).split("](").skip(1) {
            let target = part.split(')').next().unwrap_or_default();
            if !target.starts_with("http") {
                assert!(root().join(target).is_file(), "{name}: {target}");
                links += 1;
            }
        }
    }
    assert!(links > 3);
}

#[test]
fn every_file_that_the_documents_name_is_there() {
    let mut files = 0;
    for name in ["README.md", "DEVELOPERS.md"] {
        for word in text(name).split('`').skip(1).step_by(2) {
            let ours = ["assets/", "shared/", "tests/", "crates/", ".ci/"];
            if ours.iter().any(|folder| word.starts_with(folder)) && !word.contains(' ') {
                assert!(root().join(word).exists(), "{name}: {word}");
                files += 1;
            }
        }
    }
    assert!(files > 8);
    for variant in ["tail-heavy", "warped", "under-powered"] {
        let file = format!("marram-{variant}.ron");
        assert!(text("README.md").contains(&file));
        assert!(
            root().join("shared/airframes").join(&file).is_file(),
            "{file}"
        );
    }
}

#[test]
fn stated_values_are_those_of_the_program() {
    let guide = text("DEVELOPERS.md");
    assert!(guide.contains("A tick is 2 ms."));
    assert_eq!(larkfield_world::TICK_S, 0.002);
    let workspace = text("Cargo.toml");
    let version = workspace
        .lines()
        .find_map(|line| line.strip_prefix("rust-version = "))
        .map(|value| value.trim_matches('"').to_owned())
        .unwrap_or_default();
    assert!(!version.is_empty());
    let said = format!("](https://www.rust-lang.org/tools/install) {version} or later");
    assert!(text("README.md").contains(&said), "{said}");
    assert!(workspace.contains("license = \"MIT OR Apache-2.0\""));
}

#[test]
fn the_top_of_the_repository_is_tidy() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "crates",
        "assets",
        "tests",
        "shared",
        "target",
        "runs",
    ];
    let entries = std::fs::read_dir(root()).unwrap_or_else(|e| panic!("{e}"));
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_str()),
            "{name}"
        );
    }
}

/// Cautions that a person with a real plane needs, and no promise.
#[test]
fn the_readme_cautions_and_does_not_promise() {
    let readme = text("README.md").to_lowercase();
    for word in [
        "spinning propeller cuts",
        "disconnect the battery",
        "rules of your country",
    ] {
        assert!(readme.contains(word), "{word}");
    }
    for promise in ["is safe to fly", "guarantee", "catch the plane", "catch it"] {
        assert!(!readme.contains(promise), "{promise}");
    }
}
