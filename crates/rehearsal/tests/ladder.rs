//! Scores mean something: the further somebody has come, the more points. The
//! whole ladder over every lesson is flown by the example `ladder`; this samples
//! it. That skill and mean score go together with a rank correlation of 0.9 or
//! more is what is asked of the scores, not what came out of them.

#[path = "support/rungs.rs"]
mod rungs;

use std::path::Path;

use rungs::{mean_scores, rank_correlation};

#[test]
fn ranks_are_compared_as_in_the_textbook() {
    // One swap of neighbours among five: 1 - 6 * 2 / (5 * 24) = 0.9.
    let swapped = rank_correlation(&[10.0, 30.0, 20.0, 40.0, 50.0]);
    assert!((swapped - 0.9).abs() < 1e-12, "{swapped}");
    assert!((rank_correlation(&[3.0, 2.0, 1.0]) + 1.0).abs() < 1e-12);
}

#[test]
fn whoever_has_come_further_scores_more() {
    let lessons = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    for lesson in ["first_launch", "launch_circuit_landing", "figure_eight"] {
        let scores = mean_scores(&lessons.join(format!("{lesson}.ron")), 10);
        let correlation = rank_correlation(&scores);
        println!("{lesson}: {scores:.0?}, rank correlation {correlation:.2}");
        assert!(correlation >= 0.9, "{lesson}: {scores:.0?}");
    }
}
