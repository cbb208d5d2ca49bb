//! Screens without a monitor on which the window is opened.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A screen of this test's own, gone when the test is.
pub struct Screen {
    server: Child,
    /// Tells programs where it is.
    environment: Vec<(&'static str, PathBuf)>,
    /// Its own folder, when it has one.
    folder: Option<PathBuf>,
}

impl Screen {
    /// Opens one of X11.
    pub fn x11() -> Self {
        let mut server = Command::new("Xvfb")
            .args([
                "-displayfd",
                "1",
                "-screen",
                "0",
                "3840x2160x24",
                "-nolisten",
                "tcp",
            ])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|e| panic!("Xvfb could not be started, install it (xvfb): {e}"));
        let mut line = String::new();
        let mut out = std::io::BufReader::new(server.stdout.take().expect("it was asked for"));
        std::io::BufRead::read_line(&mut out, &mut line).expect("Xvfb tells its number");
        let display = PathBuf::from(format!(":{}", line.trim()));
        Self::of(server, vec![("DISPLAY", display)], None)
    }

    /// The screen of a server, with what tells programs where it is and a folder
    /// that goes when it does.
    pub fn of(
        server: Child,
        environment: Vec<(&'static str, PathBuf)>,
        folder: Option<PathBuf>,
    ) -> Self {
        Self {
            server,
            environment,
            folder,
        }
    }

    /// Runs the window until it leaves by itself.
    pub fn show(&self, arguments: &[&str], environment: &[(&str, &Path)]) {
        let said = self.read(arguments, environment);
        assert!(said.is_empty(), "{arguments:?} said {said}");
    }

    /// The window's program, on this screen.
    pub fn program(&self, arguments: &[&str]) -> Command {
        let mut program = Command::new(env!("CARGO_BIN_EXE_larkfield-window"));
        (program.args(arguments))
            .env_remove("DISPLAY")
            .env_remove("WAYLAND_DISPLAY")
            .envs(self.environment.iter().map(|(name, value)| (name, value)))
            .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."));
        program
    }

    /// Runs it until it leaves, and reads what it prints.
    pub fn read(&self, arguments: &[&str], environment: &[(&str, &Path)]) -> String {
        let mut window = (self.program(arguments).envs(environment.iter().copied()))
            .stdout(Stdio::piped())
            .spawn()
            .expect("the window starts");
        // Slow machines that build beside take seconds for a frame; nothing takes
        // this long.
        for _ in 0..9000 {
            if let Some(status) = window.try_wait().expect("a child can be waited for") {
                assert!(status.success(), "{arguments:?}: {status}");
                let mut said = String::new();
                let mut out = window.stdout.take().expect("it was asked for");
                std::io::Read::read_to_string(&mut out, &mut said).expect("it is text");
                return said;
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        let _ = window.kill();
        panic!("{arguments:?}: still running after a quarter of an hour");
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        let _ = self.server.kill();
        let _ = self.server.wait();
        if let Some(folder) = &self.folder {
            let _ = std::fs::remove_dir_all(folder);
        }
    }
}

/// A folder for pictures, empty.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("window")
        .join(name);
    let _ = std::fs::remove_dir_all(&folder);
    folder
}
