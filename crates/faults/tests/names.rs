//! Names, sizes and what is said when they are wrong.

use std::collections::BTreeSet;

use larkfield_faults::{FaultError, Injected, library};

#[test]
fn every_entry_is_named_once_sized_in_order_and_explained() {
    let names: BTreeSet<&str> = library().map(|fault| fault.name).collect();
    assert_eq!(names.len(), library().count());
    for fault in library() {
        for text in [fault.what, fault.shows, fault.bench, fault.remedy] {
            assert!(text.len() > 20 && text.ends_with('.'), "{}", fault.name);
        }
        if let Some(sizes) = &fault.sizes {
            let rising = [
                sizes.least,
                sizes.small,
                sizes.medium,
                sizes.large,
                sizes.most,
            ];
            assert!(rising.is_sorted_by(|a, b| a < b), "{}", fault.name);
            assert!(sizes.least > 0.0, "{}", fault.name);
        }
    }
}

#[test]
fn what_is_written_reads_back() {
    for text in ["tail-heavy=7.5 mm", "elevator-reversed", "soft-throw=30 %"] {
        let fault = Injected::parse(text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(fault.to_string(), text);
    }
    for fault in library() {
        for size in ["small", "medium", "large"] {
            let text = match fault.sizes {
                Some(_) => format!("{}={size}", fault.name),
                None => fault.name.to_owned(),
            };
            let read = Injected::parse(&text).unwrap_or_else(|e| panic!("{e}"));
            let again = Injected::parse(&read.to_string()).unwrap_or_else(|e| panic!("{e}"));
            assert_eq!(read.to_string(), again.to_string());
        }
    }
    // 0.5 in is 12.7 mm by definition of the inch.
    let inch = Injected::parse("tail-heavy=0.5 in").unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(inch.to_string(), "tail-heavy=12.7 mm");
}

#[test]
fn mistakes_are_told_with_what_would_be_right() {
    let message = |text: &str| -> String {
        Injected::parse(text).map_or_else(|e: FaultError| e.to_string(), |f| f.to_string())
    };
    assert!(message("tail-heavi").contains("tail-heavy"));
    assert!(message("elevator-wrong").contains("elevator-reversed"));
    assert!(message("").contains("larkfield faults"));
    for wrong in [
        "tail-heavy=400 mm",
        "tail-heavy=-5 mm",
        "tail-heavy=0 mm",
        "tail-heavy=5 deg",
        "tail-heavy=5",
        "tail-heavy=NaN mm",
        "tail-heavy=",
    ] {
        let said = message(wrong);
        assert!(said.contains("1 to 60 mm"), "{wrong}: {said}");
    }
    assert!(message("elevator-reversed=5 mm").contains("no size"));
}
