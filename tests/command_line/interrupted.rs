//! Disks that are full or shut, and Ctrl-C.

use std::process::Command;

use serde_json::Value;

use crate::program::{err, expect_code, files_below, larkfield, root, temporary, text_of};

#[test]
fn an_output_that_cannot_be_written_leaves_nothing_that_looks_complete() {
    let folder = temporary();
    let blocker = folder.path().join("file");
    std::fs::write(&blocker, "not a folder").unwrap_or_else(|e| panic!("{e}"));
    let inside = blocker.join("run");
    let run = larkfield(&["rehearse", "--out", text_of(&inside)]);
    expect_code(&run, 1);
    assert!(err(&run).contains("file"), "{}", err(&run));

    // Somebody's folder is never written into.
    let taken = folder.path().join("taken");
    std::fs::create_dir(&taken).unwrap_or_else(|e| panic!("{e}"));
    let run = larkfield(&["rehearse", "--out", text_of(&taken)]);
    expect_code(&run, 2);
    let run = larkfield(&["rehearse", "--replace", "--out", text_of(&taken)]);
    expect_code(&run, 2);
    assert_eq!(files_below(&taken).len(), 0);

    let run = larkfield(&[
        "preflight",
        "shared/airframes/marram.ron",
        "--svg",
        text_of(&inside),
    ]);
    expect_code(&run, 1);
}

/// A device that is always full, where the system has one.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_an_error() {
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full");
    let Ok(full) = full else { return };
    let status = Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(["preflight", "shared/airframes/marram.ron"])
        .current_dir(root())
        .stdout(full)
        .status();
    assert_eq!(status.ok().and_then(|status| status.code()), Some(1));
}

/// Ctrl-C while a long rehearsal runs: exit code, and a folder that says so.
#[cfg(unix)]
#[test]
fn ctrl_c_leaves_only_a_partial_folder() {
    let folder = temporary();
    let path = folder.path().join("long");
    let mut child = Command::new(env!("CARGO_BIN_EXE_larkfield"))
        .args(["rehearse", "--repeat", "100000", "--threads", "2"])
        .args(["--out", text_of(&path)])
        .current_dir(root())
        .stderr(std::process::Stdio::null())
        .spawn()
        .unwrap_or_else(|e| panic!("{e}"));
    let partial = folder.path().join("long.partial");
    for _ in 0..600 {
        if partial.join("inputs/airframe/marram.ron").is_file() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    // Let it fly a while.
    std::thread::sleep(std::time::Duration::from_millis(500));
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.is_ok_and(|status| status.success()));
    let asked = std::time::Instant::now();
    let status = child.wait().unwrap_or_else(|e| panic!("{e}"));
    assert_eq!(status.code(), Some(130));
    // Alone it takes a fraction of a second; this machine may be busy.
    assert!(asked.elapsed().as_secs() < 20, "{:?}", asked.elapsed());
    assert!(!path.exists());
    let manifest = std::fs::read(partial.join("run.json")).unwrap_or_default();
    let manifest: Value = serde_json::from_slice(&manifest).unwrap_or_default();
    assert_eq!(manifest["complete"], false, "{manifest}");
}
