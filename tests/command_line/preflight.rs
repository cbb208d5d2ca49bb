//! The report before the flight.

use crate::program::{expect_code, larkfield, out, temporary, text_of};

#[test]
fn preflight_ends_in_a_verdict_and_draws() {
    let folder = temporary();
    let svg = folder.path().join("plane.svg");
    let run = larkfield(&[
        "preflight",
        "shared/airframes/marram.ron",
        "--svg",
        text_of(&svg),
    ]);
    expect_code(&run, 0);
    let text = out(&run).to_lowercase();
    assert!(text.contains("no fault found by calculation"), "{text}");
    let drawing = std::fs::read_to_string(&svg).unwrap_or_default();
    assert!(
        drawing.starts_with("<svg") || drawing.starts_with("<?xml"),
        "{drawing:.80}"
    );
    let run = larkfield(&["preflight", "shared/airframes/marram-tail-heavy.ron"]);
    expect_code(&run, 0);
    assert!(
        out(&run).to_lowercase().contains("not yet"),
        "{}",
        out(&run)
    );
}
