//! `cargo xtask demo` and `cargo xtask test`, the two commands of this repository,
//! and `cargo xtask fly`, which opens the window.
//!
//! All say which system packages are missing, install them by name on Debian
//! and Ubuntu, and say elsewhere what is needed.

mod demo;
mod gate;
mod machine;
mod packages;
mod step;
mod window;

use std::path::PathBuf;
use std::process::ExitCode;

const HELP: &str = "\
Usage: cargo xtask <COMMAND>

Commands:
  demo   Build Larkfield, check the shipped trainer before flight, rehearse its
         first hand launch, and say where the debrief is
  test   Everything a change has to pass: formatting, lints, tests and the page
         of what they compared (target/proof/index.html), the same flight in
         debug and release builds, a joystick plugged into a virtual machine,
         documentation
  device Only the part of test that plugs a joystick into a virtual machine
  fly    Open the field in a window and fly the first hand launch by keyboard;
         arguments after it go to the window, \"fly --help\" lists them
  help   Print this

All install missing system packages with apt-get on Debian and Ubuntu (with
sudo unless run by root) and name them elsewhere.
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let result = match words.as_slice() {
        ["demo"] => demo::run(&root()),
        ["test"] => gate::run(&root()),
        ["device"] => gate::device(&root()),
        ["fly", arguments @ ..] => window::run(&root(), arguments),
        [] | ["help" | "--help" | "-h"] => {
            print!("{HELP}");
            return ExitCode::SUCCESS;
        }
        other => {
            eprint!("there is no command \"{}\"\n\n{HELP}", other.join(" "));
            return ExitCode::from(2);
        }
    };
    match result {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("\n{message}");
            ExitCode::FAILURE
        }
    }
}

/// Top of the repository.
fn root() -> PathBuf {
    let here = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).map_or(here.clone(), PathBuf::from)
}
