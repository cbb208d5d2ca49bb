//! Reading tests/reference and comparing with it.
#![allow(dead_code, reason = "every test binary uses a part of this")]

use std::collections::BTreeMap;
use std::path::Path;

/// The rows of a reference table by column name; `#` lines are its sources.
pub fn rows(file: &str) -> Vec<BTreeMap<String, f64>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/reference")
        .join(file);
    let text = std::fs::read_to_string(&path).expect("the reference table is there");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let names: Vec<&str> = lines.next().expect("a header").split(',').collect();
    lines
        .map(|line| {
            let values = line.split(',').map(|v| v.parse().expect("a number"));
            names.iter().map(|n| (*n).to_owned()).zip(values).collect()
        })
        .collect()
}

/// Fails, with all the numbers, unless the difference is within what is
/// allowed. NaN fails.
#[track_caller]
pub fn assert_close(what: &str, ours: f64, reference: f64, allowed: f64) {
    let difference = (ours - reference).abs();
    let line = format!(
        "{what}: ours {ours:.6e}, reference {reference:.6e}, \
         difference {difference:.2e}, allowed {allowed:.2e}"
    );
    println!("{line}");
    assert!(difference <= allowed, "{line}");
}
