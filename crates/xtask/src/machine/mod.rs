//! Plugs a true USB joystick into a small virtual machine and lets the program
//! read it there: one like a radio with eight axes, one like a game pad.
//!
//! The guest's kernel enumerates the joystick, its HID driver maps the usages,
//! udev marks it, and the program of this repository lists it, learns it, and
//! flies with it while the plug is pulled and put back. What came out is checked
//! here, and the flight is flown again outside, where it has to give the same
//! bytes. Where the emulator or its kernel cannot be had, this is skipped and
//! says so.

mod check;
mod image;
mod kernel;
mod story;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::packages::{EMULATOR, install_or_say};
use crate::step::{RELEASED, Steps};
use story::Story;

/// Longest that a machine may run: in software it is slow, and on a busy system
/// slower still.
const LIMIT_S: u64 = 600;
/// The guest's own watchdog is a little earlier, and says where it was.
const GUEST_LIMIT_S: u64 = 580;

/// A joystick to plug in.
#[derive(Clone, Copy)]
pub struct Stick {
    /// Name of its script.
    pub name: &'static str,
    /// What is to come out.
    pub check: fn(&Story) -> Result<(), String>,
}

const STICKS: [Stick; 2] = [
    Stick {
        name: "radio",
        check: check::radio,
    },
    Stick {
        name: "pad",
        check: check::pad,
    },
];

const TITLE: &str = "A joystick plugged into a virtual machine";

/// Provides what the machines need; nothing when it cannot be had, and then their
/// step is left out.
///
/// # Errors
/// A message when the program for them cannot be built.
pub fn prepare(root: &Path, steps: &mut Steps) -> Result<Option<kernel::Kernel>, String> {
    println!("\n== What a virtual machine needs");
    let kernel = match ready(&folder(root)) {
        Ok(kernel) => kernel,
        Err(reason) => {
            steps.skip(TITLE, &reason);
            return Ok(None);
        }
    };
    let build = [&["build"][..], RELEASED].concat();
    steps.cargo("Build of the program for the virtual machine", &build)?;
    Ok(Some(kernel))
}

/// Runs the machines as one step.
///
/// # Errors
/// What came out wrong.
pub fn run(root: &Path, steps: &mut Steps, kernel: &kernel::Kernel) -> Result<(), String> {
    println!("\n== {TITLE}");
    steps.time(TITLE, || plug_in(root, &folder(root), kernel))
}

fn folder(root: &Path) -> PathBuf {
    root.join("target/machine")
}

/// The emulator and a kernel for it; why not, when they cannot be had.
fn ready(folder: &Path) -> Result<kernel::Kernel, String> {
    if !cfg!(all(target_os = "linux", target_arch = "x86_64")) {
        return Err("the machine is made of this system's own programs, x86-64 Linux".to_owned());
    }
    for need in &EMULATOR {
        install_or_say(need)?;
    }
    std::fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    kernel::provide(folder)
}

fn plug_in(root: &Path, folder: &Path, kernel: &kernel::Kernel) -> Result<(), String> {
    let image = image::make(root, folder, kernel)?;
    // Both at a time: most of a machine's time is waiting.
    let mut running = Vec::new();
    for stick in STICKS {
        let log = folder.join(format!("{}.log", stick.name));
        let machine = start(kernel, &image, stick.name, &log)?;
        running.push((stick, log, machine));
    }
    let start = Instant::now();
    let mut wrong = Vec::new();
    for (stick, log, mut machine) in running {
        let left = Duration::from_secs(LIMIT_S).saturating_sub(start.elapsed());
        let result = wait(&mut machine, left)
            .and_then(|()| story::read(&log))
            .and_then(|story| {
                (stick.check)(&story)?;
                check::flown_again(root, &folder.join(stick.name), &story)?;
                let took = story.line("flight", "from event to message");
                println!("{}: listed, learned, flown. {took}", stick.name);
                Ok(())
            });
        if let Err(what) = result {
            wrong.push(format!("{}: {what}\n(see {})", stick.name, log.display()));
        }
    }
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(wrong.join("\n"))
    }
}

fn start(
    kernel: &kernel::Kernel,
    image: &Path,
    stick: &str,
    log: &Path,
) -> Result<std::process::Child, String> {
    let _ = std::fs::remove_file(log);
    let serial = format!("file:{}", log.display());
    let append = format!(
        "console=ttyS0 quiet loglevel=3 panic=-1 mitigations=off tsc=reliable rdinit=/init \
         DEVICE={stick} LIMIT_S={GUEST_LIMIT_S}"
    );
    let mut command = Command::new("qemu-system-x86_64");
    // In software, so that it runs the same wherever it is run; a plain processor
    // is emulated faster than one with wide vectors, and its flight has to give
    // the same bytes as that of the processor outside.
    command.args(["-accel", "tcg", "-M", "pc", "-cpu", "qemu64", "-m", "1024"]);
    command.args(["-smp", "1", "-nodefaults", "-no-user-config", "-display"]);
    command.args(["none", "-no-reboot", "-nic", "none", "-serial", &serial]);
    command.arg("-kernel").arg(&kernel.image);
    command.arg("-initrd").arg(image).args(["-append", &append]);
    command
        .stdin(Stdio::null())
        .spawn()
        .map_err(|e| format!("the emulator could not be started: {e}"))
}

fn wait(machine: &mut std::process::Child, limit: Duration) -> Result<(), String> {
    let start = Instant::now();
    loop {
        match machine.try_wait() {
            Ok(Some(status)) if status.success() => return Ok(()),
            Ok(Some(status)) => return Err(format!("the emulator ended with {status}")),
            Ok(None) if start.elapsed() < limit => {
                std::thread::sleep(Duration::from_millis(100));
            }
            other => {
                // This one only, which was started here.
                let _ = machine.kill();
                let _ = machine.wait();
                return Err(match other {
                    Err(e) => format!("the emulator was lost: {e}"),
                    _ => "the machine did not end in time".to_owned(),
                });
            }
        }
    }
}

/// Runs a program and gives what it printed.
fn output(program: &str, arguments: &[&str], folder: &Path) -> Result<String, String> {
    let output = Command::new(program)
        .args(arguments)
        .current_dir(folder)
        .output()
        .map_err(|e| format!("{program} could not be started: {e}"))?;
    if output.status.success() {
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        Err(format!(
            "{program} {} failed: {}",
            arguments.join(" "),
            String::from_utf8_lossy(&output.stderr).trim()
        ))
    }
}

/// Copies a file, making the folders it needs.
fn copy(from: &Path, to: &PathBuf) -> Result<(), String> {
    let problem = |e: std::io::Error| format!("{} to {}: {e}", from.display(), to.display());
    if let Some(folder) = to.parent() {
        std::fs::create_dir_all(folder).map_err(problem)?;
    }
    std::fs::copy(from, to).map(|_| ()).map_err(problem)
}
