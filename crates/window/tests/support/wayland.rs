//! A screen of Wayland.

use std::os::unix::fs::DirBuilderExt;
use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::support::Screen;

const SOCKET: &str = "larkfield-test";

/// Opens one of this test's own.
pub fn screen() -> Screen {
    // Not in the target folder: the path of a socket is 108 bytes at most.
    let folder = std::env::temp_dir().join(format!("larkfield-{}", std::process::id()));
    std::fs::DirBuilder::new()
        .recursive(true)
        .mode(0o700)
        .create(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let server = Command::new("weston")
        .args(["--backend=headless-backend.so", "--no-config"])
        .args(["--idle-time=0", "--width=1280", "--height=720"])
        .arg(format!("--socket={SOCKET}"))
        .env("XDG_RUNTIME_DIR", &folder)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap_or_else(|e| panic!("Weston could not be started, install it (weston): {e}"));
    let environment = vec![
        ("WAYLAND_DISPLAY", PathBuf::from(SOCKET)),
        ("XDG_RUNTIME_DIR", folder.clone()),
    ];
    let screen = Screen::of(server, environment, Some(folder.clone()));
    for _ in 0..300 {
        if folder.join(SOCKET).exists() {
            return screen;
        }
        std::thread::sleep(Duration::from_millis(100));
    }
    panic!("Weston opens no socket in {}", folder.display());
}
