//! What may have been wrong with a plane that nobody recorded.

use serde_json::Value;

use crate::program::{err, expect_code, larkfield, out, temporary, text_of};

#[test]
fn what_is_remembered_becomes_a_list_of_checks() {
    let folder = temporary();
    let answers = folder.path().join("answers.txt");
    std::fs::write(&answers, "l\nf\ne\n-\n").expect("written");
    let told = larkfield(&["why", "--answers", text_of(&answers)]);
    expect_code(&told, 0);
    for words in [
        "propeller off",
        "Check:",
        "Do:",
        "check by hand",
        "thrust-line-left",
    ] {
        assert!(out(&told).contains(words), "{words}: {}", out(&told));
    }
    let told = larkfield(&["why", "--answers", text_of(&answers), "--json"]);
    expect_code(&told, 0);
    let report: Value = serde_json::from_str(&out(&told)).expect("JSON");
    let shares: Vec<f64> = (report["suspects"].as_array().into_iter().flatten())
        .filter_map(|suspect| suspect["share"].as_f64())
        .collect();
    assert!(
        shares.len() > 20 && shares.is_sorted_by(|a, b| a >= b),
        "{shares:?}"
    );

    std::fs::write(&answers, "l\nx\n").expect("written");
    let refused = larkfield(&["why", "--answers", text_of(&answers)]);
    expect_code(&refused, 2);
    for words in ["line 2", "\"x\"", "s, f"] {
        assert!(err(&refused).contains(words), "{words}: {}", err(&refused));
    }
}
