//! `larkfield card`: what goes into the box with the plane.

use serde_json::Value;

use crate::program::{err, expect_code, larkfield, out, temporary, text_of};

const PLANES: [&str; 4] = ["curlew", "marram", "sandpiper", "ternwing"];

#[test]
fn a_card_says_what_preflight_says_and_calls_nothing_safe() {
    for plane in PLANES {
        let file = format!("shared/airframes/{plane}.ron");
        let card = larkfield(&["card", &file]);
        expect_code(&card, 0);
        let card = out(&card);
        let report = out(&larkfield(&["preflight", &file, "--json"]));
        let report: Value = serde_json::from_str(&report).unwrap_or_else(|e| panic!("{e}"));
        let mm = |value: &Value| format!("{:.0} mm", value.as_f64().unwrap_or(f64::NAN) * 1e3);
        for number in [
            mm(&report["mass"]["balance_aft_m"]),
            mm(&report["balance"]["fore_limit_m"]),
            mm(&report["balance"]["aft_limit_m"]),
            format!(
                "throttle {:.0} %",
                report["launch"]["throttle"].as_f64().unwrap_or(f64::NAN) * 100.0
            ),
        ] {
            assert!(card.contains(&number), "{plane}: {number}\n{card}");
        }
        for word in [
            "check by hand",
            "land ahead",
            "behind the propeller",
            "club",
            "[ ]",
        ] {
            assert!(card.contains(word), "{plane}: {word}\n{card}");
        }
        for promise in ["is safe", "catch", "guarantee"] {
            assert!(!card.contains(promise), "{plane}: {promise}");
        }
    }
    // The pusher gets its power after the release.
    let pusher = out(&larkfield(&["card", "shared/airframes/ternwing.ron"]));
    assert!(
        pusher.contains("power only 0.5 s after the release"),
        "{pusher}"
    );
    let bad = out(&larkfield(&[
        "card",
        "shared/airframes/marram-tail-heavy.ron",
    ]));
    assert!(bad.contains("Not yet: mend this first."), "{bad}");
}

#[test]
fn a_card_is_written_whole_and_needs_nothing() {
    let folder = temporary();
    let page = folder.path().join("card.html");
    let run = larkfield(&[
        "card",
        "shared/airframes/marram.ron",
        "--page",
        text_of(&page),
    ]);
    expect_code(&run, 0);
    let html = std::fs::read_to_string(&page).unwrap_or_else(|e| panic!("{e}"));
    assert!(html.contains("Field card of Marram") && html.trim_end().ends_with("</html>"));
    assert!(
        !html.contains("http://") && !html.contains("<script"),
        "{html}"
    );
    let run = larkfield(&["card", "nowhere.ron"]);
    expect_code(&run, 2);
    assert!(err(&run).contains("nowhere.ron"));
}
