//! What a pilot remembers leads to the faults that the trade names for it (common
//! practice, no source): lists of faults that leave the same trace.

use std::path::Path;

use larkfield_diagnosis::{Answered, Lineup, Remembered, Throws, Unpowered, Went};
use larkfield_rehearsal::{Inputs, Request, line_up};

fn lineup(plane: &str) -> Lineup {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let inputs = Inputs::resolve(&Request {
        airframe: Some(root.join(format!("shared/airframes/{plane}.ron"))),
        seed: 1,
        unlocked: true,
        ..Request::default()
    })
    .unwrap_or_else(|failure| panic!("{:#}", failure.error));
    assert!(line_up(&inputs, 1, |_| false).is_ok_and(|found| found.is_none()));
    line_up(&inputs, 1, |_| true)
        .unwrap_or_else(|failure| panic!("{:#}", failure.error))
        .expect("nobody stopped it")
}

/// One of `expected` is among the first five.
fn leads_to(lineup: &Lineup, remembered: Remembered, expected: &[&str]) {
    let found = lineup.suspects(&remembered);
    let whole: f64 = found.iter().map(|suspect| suspect.share).sum();
    assert!((whole - 1.0).abs() < 1e-9, "{whole}");
    assert!(found.is_sorted_by(|a, b| a.share >= b.share));
    let names: Vec<&str> = found
        .iter()
        .take(5)
        .map(|suspect| suspect.fault.name)
        .collect();
    println!("{remembered:?}: {names:?}");
    assert!(
        expected.iter().any(|fault| names.contains(fault)),
        "{remembered:?}: {names:?}, not one of {expected:?}"
    );
}

#[test]
fn what_is_remembered_leads_to_what_the_trade_would_look_for() {
    let marram = lineup("marram");
    // Left with power only: no right thrust.
    let swings_left = Remembered {
        went: Some(Went::Left),
        unpowered: Some(Unpowered::Fine),
        throws: Some(Throws::Every),
        answered: None,
    };
    leads_to(&marram, swings_left, &["thrust-line-left"]);
    // Left, power or not: built crooked.
    let rolls = Remembered {
        unpowered: Some(Unpowered::Same),
        ..swings_left
    };
    leads_to(&marram, rolls, &["wing-warp", "wing-crooked", "skewed-fin"]);
    // Sank, from this throw only.
    let sank = Remembered {
        went: Some(Went::Sank),
        throws: Some(Throws::One),
        ..Remembered::default()
    };
    leads_to(
        &marram,
        sank,
        &["soft-throw", "nose-low-throw", "downwind-launch"],
    );
    // Whoever remembers nothing accuses nothing more than another.
    let found = marram.suspects(&Remembered::default());
    let ends = (found.first(), found.last());
    let (Some(first), Some(last)) = ends else {
        panic!("no suspects");
    };
    assert!((first.share - last.share).abs() < 1e-12);
}

#[test]
fn how_it_answered_leads_to_its_linkages() {
    let curlew = lineup("curlew");
    let it_was = |answered| Remembered {
        answered: Some(answered),
        ..Remembered::default()
    };
    // Against the stick: something is reversed.
    for fault in ["elevator-reversed", "roll-reversed"] {
        leads_to(&curlew, it_was(Answered::Against), &[fault]);
    }
    leads_to(&curlew, it_was(Answered::Wildly), &["throws-large"]);
    leads_to(
        &curlew,
        it_was(Answered::Weakly),
        &["throws-small", "hinge-gap"],
    );
}
