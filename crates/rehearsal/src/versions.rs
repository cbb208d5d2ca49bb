//! What made a run.

use std::collections::BTreeMap;

use larkfield_debrief::Versions;

/// Libraries whose version may change bits of a flight.
const LIBRARIES: [&str; 8] = [
    "bevy",
    "bevy_rapier3d",
    "glam",
    "libm",
    "nalgebra",
    "parry3d",
    "rapier3d",
    "simba",
];

/// The versions that this program was built with, by its lock file.
pub fn versions() -> Versions {
    Versions {
        larkfield: env!("CARGO_PKG_VERSION").to_owned(),
        target: env!("LARKFIELD_TARGET").to_owned(),
        libraries: locked(include_str!("../../../Cargo.lock")),
    }
}

fn locked(lock: &str) -> BTreeMap<String, String> {
    let mut found: BTreeMap<String, String> = BTreeMap::new();
    let mut name = "";
    for line in lock.lines() {
        if let Some(value) = line.strip_prefix("name = ") {
            name = value.trim_matches('"');
        } else if let Some(value) = line.strip_prefix("version = ")
            && LIBRARIES.contains(&name)
        {
            let version = value.trim_matches('"');
            // Several versions of one library may be linked.
            found
                .entry(name.to_owned())
                .and_modify(|all| *all = format!("{all}, {version}"))
                .or_insert_with(|| version.to_owned());
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_found_in_a_lock_file() {
        let lock = "[[package]]\nname = \"libm\"\nversion = \"0.2.16\"\n\n[[package]]\n\
                    name = \"other\"\nversion = \"1.0.0\"\n[[package]]\nname = \"glam\"\n\
                    version = \"0.30.1\"\n[[package]]\nname = \"glam\"\nversion = \"0.32.0\"\n";
        let found = locked(lock);
        assert_eq!(found.get("libm").map(String::as_str), Some("0.2.16"));
        assert_eq!(
            found.get("glam").map(String::as_str),
            Some("0.30.1, 0.32.0")
        );
        assert_eq!(found.len(), 2);
    }

    #[test]
    fn this_program_knows_its_engine() {
        let versions = versions();
        for name in ["bevy", "rapier3d", "libm"] {
            assert!(versions.libraries.contains_key(name), "{name}");
        }
        assert!(!versions.target.is_empty());
    }
}
