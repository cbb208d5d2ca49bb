//! System packages: which are missing, how to get them.

use std::path::PathBuf;
use std::process::Command;

/// Something that has to be on the machine.
pub struct Need {
    /// What it is, for people.
    what: &'static str,
    /// Why it is needed.
    why: &'static str,
    /// Any of these programs will do.
    programs: &'static [&'static str],
    /// Package of Debian, and one to try when there is no such package.
    debian: &'static [&'static str],
}

/// For linking Rust programs; without it not even this program can be built,
/// so it is here to be named, not to be found missing.
pub const LINKER: Need = Need {
    what: "a C linker",
    why: "Rust programs are linked with it",
    programs: &["cc", "gcc", "clang"],
    debian: &["build-essential"],
};

/// For the tests that open the pages.
pub const BROWSER: Need = Need {
    what: "Chromium",
    why: "the tests open debrief pages in it, without a window",
    programs: &["chromium", "chromium-browser", "google-chrome"],
    debian: &["chromium", "chromium-browser"],
};

/// Finds a program on the search path.
fn find(program: &str) -> Option<PathBuf> {
    std::env::split_paths(&std::env::var_os("PATH")?)
        .map(|folder| folder.join(program))
        .find(|path| path.is_file())
}

/// Says what is there and installs what is missing.
///
/// # Errors
/// A message that names what is needed when it could not be installed.
pub fn provide(needs: &[Need]) -> Result<(), String> {
    println!("== System packages");
    for need in needs {
        if let Some(path) = need.programs.iter().find_map(|name| find(name)) {
            println!("{}: found, {}", need.what, path.display());
            continue;
        }
        println!("{}: missing ({})", need.what, need.why);
        if find("apt-get").is_none() {
            return Err(format!(
                "Please install {} with the package manager of this system (one of the programs \
                 {} has to be on PATH; Debian calls the package {}), then run this again.",
                need.what,
                need.programs.join(", "),
                need.debian[0]
            ));
        }
        install(need)?;
    }
    Ok(())
}

fn install(need: &Need) -> Result<(), String> {
    // A machine fresh from an image has no package lists yet.
    let _ = apt_get(&["update"]);
    for package in need.debian {
        if apt_get(&["install", "--yes", "--no-install-recommends", package]) {
            return Ok(());
        }
    }
    Err(format!(
        "{} could not be installed. Please install the package {} by hand, then run this again.",
        need.what, need.debian[0]
    ))
}

/// Runs apt-get, with sudo unless this is root; true when it went well.
fn apt_get(arguments: &[&str]) -> bool {
    let mut line: Vec<&str> = Vec::new();
    if !is_root() {
        line.push("sudo");
    }
    line.push("apt-get");
    line.extend(arguments);
    println!("$ {}", line.join(" "));
    Command::new(line[0])
        .args(&line[1..])
        .env("DEBIAN_FRONTEND", "noninteractive")
        .status()
        .is_ok_and(|status| status.success())
}

fn is_root() -> bool {
    Command::new("id")
        .arg("-u")
        .output()
        .is_ok_and(|out| out.stdout.trim_ascii() == b"0")
}
