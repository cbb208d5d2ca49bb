//! System packages: which are missing, how to get them.

use std::path::PathBuf;
use std::process::Command;

/// Something that has to be on the machine.
pub struct Need {
    /// What it is, for people.
    what: &'static str,
    /// Why it is needed.
    why: &'static str,
    /// Any of these programs will do, or of these libraries.
    found_by: FoundBy,
    /// Package of Debian, and one to try when there is no such package.
    debian: &'static [&'static str],
}

/// How to tell that it is there.
enum FoundBy {
    /// One of these programs is on the search path.
    Program(&'static [&'static str]),
    /// One of these libraries is known to `pkg-config`.
    Library(&'static [&'static str]),
    /// This folder holds something.
    Folder(&'static str),
}

/// For linking Rust programs; without it not even this program can be built,
/// so it is here to be named, not to be found missing.
pub const LINKER: Need = Need {
    what: "a C linker",
    why: "Rust programs are linked with it",
    found_by: FoundBy::Program(&["cc", "gcc", "clang"]),
    debian: &["build-essential"],
};

/// For the tests that open the pages.
pub const BROWSER: Need = Need {
    what: "Chromium",
    why: "the tests open debrief pages in it, without a window",
    found_by: FoundBy::Program(&["chromium", "chromium-browser", "google-chrome"]),
    debian: &["chromium", "chromium-browser"],
};

/// For finding the next one when it is linked.
pub const PKG_CONFIG: Need = Need {
    what: "pkg-config",
    why: "libraries of the system are found with it",
    found_by: FoundBy::Program(&["pkg-config", "pkgconf"]),
    debian: &["pkg-config"],
};

/// For reading game pads and radios on a cable.
pub const UDEV: Need = Need {
    what: "the library udev",
    why: "game pads and radios on a cable are found with it",
    found_by: FoundBy::Library(&["libudev"]),
    debian: &["libudev-dev"],
};

/// For the virtual machine into which a joystick is plugged.
pub const EMULATOR: [Need; 5] = [
    Need {
        what: "the emulator QEMU",
        why: "a joystick is plugged into a virtual machine",
        found_by: FoundBy::Program(&["qemu-system-x86_64"]),
        debian: &["qemu-system-x86"],
    },
    Need {
        what: "a static busybox",
        why: "the virtual machine's shell",
        found_by: FoundBy::Program(&["busybox"]),
        debian: &["busybox-static"],
    },
    Need {
        what: "cpio",
        why: "packs what the virtual machine boots into",
        found_by: FoundBy::Program(&["cpio"]),
        debian: &["cpio"],
    },
    Need {
        what: "udev",
        why: "marks joysticks in the virtual machine; not run outside of it",
        found_by: FoundBy::Program(&["udevadm"]),
        debian: &["udev"],
    },
    Need {
        what: "dpkg-deb",
        why: "unpacks the virtual machine's kernel",
        found_by: FoundBy::Program(&["dpkg-deb"]),
        debian: &["dpkg"],
    },
];

/// What opening a window and hearing it needs.
pub const DESKTOP: [Need; 7] = [
    Need {
        what: "the library of sound (ALSA)",
        why: "the plane is heard with it; without a sound card it stays silent",
        found_by: FoundBy::Library(&["alsa"]),
        debian: &["libasound2-dev"],
    },
    Need {
        what: "the library of Wayland",
        why: "the window opens with it on newer desktops",
        found_by: FoundBy::Library(&["wayland-client"]),
        debian: &["libwayland-dev"],
    },
    Need {
        what: "the library of keyboards (xkbcommon)",
        why: "the window reads keys with it",
        found_by: FoundBy::Library(&["xkbcommon"]),
        debian: &["libxkbcommon-dev"],
    },
    Need {
        what: "its part for X11 (xkbcommon-x11)",
        why: "the window reads keys with it on older desktops",
        found_by: FoundBy::Library(&["xkbcommon-x11"]),
        debian: &["libxkbcommon-x11-dev"],
    },
    Need {
        what: "the library of X11 pointers (Xcursor)",
        why: "the window shows a pointer with it on X11",
        found_by: FoundBy::Library(&["xcursor"]),
        debian: &["libxcursor-dev"],
    },
    Need {
        what: "the library of X11 input (Xi)",
        why: "the window reads keys with it on X11",
        found_by: FoundBy::Library(&["xi"]),
        debian: &["libxi-dev"],
    },
    Need {
        what: "a Vulkan driver",
        why: "the window draws with it; this one needs no graphics card",
        found_by: FoundBy::Folder("/usr/share/vulkan/icd.d"),
        debian: &["mesa-vulkan-drivers"],
    },
];

/// For the tests of the window.
pub const SCREEN: Need = Need {
    what: "a screen without a monitor (Xvfb)",
    why: "the tests of the window look at it there",
    found_by: FoundBy::Program(&["Xvfb"]),
    debian: &["xvfb"],
};

/// For the test that opens the window on Wayland.
pub const COMPOSITOR: Need = Need {
    what: "the compositor Weston",
    why: "the tests open the window on Wayland too, without a monitor",
    found_by: FoundBy::Program(&["weston"]),
    debian: &["weston"],
};

impl FoundBy {
    /// Where it is; none when it is missing.
    fn place(&self) -> Option<String> {
        match self {
            Self::Program(names) => names
                .iter()
                .find_map(|name| find(name))
                .map(|path| path.display().to_string()),
            Self::Library(names) => names.iter().find_map(|name| library(name)),
            Self::Folder(path) => std::fs::read_dir(path)
                .is_ok_and(|mut entries| entries.next().is_some())
                .then(|| (*path).to_owned()),
        }
    }

    /// What would be right, for people.
    fn in_words(&self) -> String {
        match self {
            Self::Program(names) => {
                format!("one of the programs {} has to be on PATH", names.join(", "))
            }
            Self::Library(names) => {
                format!(
                    "pkg-config has to know {}, headers included",
                    names.join(" or ")
                )
            }
            Self::Folder(path) => format!("{path} has to hold one"),
        }
    }
}

/// The version of a library that can be linked.
fn library(name: &str) -> Option<String> {
    let tool = find("pkg-config").or_else(|| find("pkgconf"))?;
    let output = Command::new(tool)
        .args(["--modversion", name])
        .output()
        .ok()?;
    let version = String::from_utf8_lossy(&output.stdout).trim().to_owned();
    (output.status.success() && !version.is_empty()).then(|| format!("version {version}"))
}

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
        if let Some(place) = need.found_by.place() {
            println!("{}: found, {place}", need.what);
            continue;
        }
        println!("{}: missing ({})", need.what, need.why);
        if find("apt-get").is_none() {
            return Err(format!(
                "Please install {} with the package manager of this system ({}; Debian calls the \
                 package {}), then run this again.",
                need.what,
                need.found_by.in_words(),
                need.debian[0]
            ));
        }
        install(need)?;
    }
    Ok(())
}

/// Says what is there and installs what is missing, for something that can be
/// left out.
///
/// # Errors
/// Why it is not there.
pub fn install_or_say(need: &Need) -> Result<(), String> {
    if need.found_by.place().is_some() {
        return Ok(());
    }
    println!("{}: missing ({})", need.what, need.why);
    if find("apt-get").is_none() {
        return Err(format!("{} is missing, and there is no apt-get", need.what));
    }
    install(need)?;
    match need.found_by.place() {
        Some(_) => Ok(()),
        None => Err(format!("{} is missing", need.what)),
    }
}

fn install(need: &Need) -> Result<(), String> {
    update_lists();
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

/// Gets the lists of packages: a machine fresh from an image has none yet.
pub fn update_lists() {
    let _ = apt_get(&["update"]);
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
