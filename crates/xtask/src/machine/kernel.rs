//! The guest's kernel: Debian's own, unpacked and not installed.

use std::path::{Path, PathBuf};

use super::output;
use crate::packages::update_lists;

/// Modules in the order in which they have to be loaded: input, HID, a USB host
/// and a USB device that are looped to each other, and the joystick.
const MODULES: [&str; 11] = [
    "evdev",
    "hid",
    "hid-generic",
    "usb-common",
    "usbcore",
    "usbhid",
    "udc-core",
    "dummy_hcd",
    "configfs",
    "libcomposite",
    "usb_f_hid",
];

/// A kernel and its modules.
pub struct Kernel {
    /// The kernel itself.
    pub image: PathBuf,
    /// Module files in the order in which they have to be loaded.
    pub modules: Vec<PathBuf>,
}

/// Finds the kernel that was unpacked before, or gets it.
///
/// # Errors
/// Why it cannot be had.
pub fn provide(folder: &Path) -> Result<Kernel, String> {
    let unpacked = folder.join("kernel");
    if let Ok(kernel) = find(&unpacked) {
        return Ok(kernel);
    }
    let package = newest().or_else(|_| {
        update_lists();
        newest()
    })?;
    println!("$ apt-get download {package}");
    output("apt-get", &["download", &package], folder)
        .map_err(|e| format!("the kernel {package} could not be downloaded ({e})"))?;
    let archive = std::fs::read_dir(folder)
        .map_err(|e| e.to_string())?
        .flatten()
        .map(|entry| entry.path())
        .find(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with(&package) && name.ends_with(".deb")
        })
        .ok_or_else(|| format!("{package} was downloaded to nowhere"))?;
    let _ = std::fs::remove_dir_all(&unpacked);
    let (from, to) = (
        archive.display().to_string(),
        unpacked.display().to_string(),
    );
    output("dpkg-deb", &["-x", &from, &to], folder)?;
    let _ = std::fs::remove_file(archive);
    find(&unpacked)
}

/// The package that the newest kernel of this system is in.
fn newest() -> Result<String, String> {
    let here = Path::new(".");
    let shown = output("apt-cache", &["show", "linux-image-amd64"], here)
        .map_err(|_| "this system has no package linux-image-amd64 with a kernel".to_owned())?;
    let depends = shown
        .lines()
        .find_map(|line| line.strip_prefix("Depends: "))
        .unwrap_or_default();
    depends
        .split([',', ' '])
        .find(|word| word.starts_with("linux-image-"))
        .map(str::to_owned)
        .ok_or_else(|| "linux-image-amd64 does not say which kernel is the newest".to_owned())
}

fn find(unpacked: &Path) -> Result<Kernel, String> {
    let entries = std::fs::read_dir(unpacked.join("boot")).map_err(|e| e.to_string())?;
    let image = entries
        .flatten()
        .map(|entry| entry.path())
        .find(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.starts_with("vmlinuz")
        })
        .ok_or("the package holds no kernel")?;
    let mut folders = vec![
        unpacked.join("lib/modules"),
        unpacked.join("usr/lib/modules"),
    ];
    let mut files = Vec::new();
    while let Some(here) = folders.pop() {
        for path in std::fs::read_dir(&here).into_iter().flatten().flatten() {
            let path = path.path();
            if path.is_dir() {
                folders.push(path);
            } else {
                files.push(path);
            }
        }
    }
    let modules = MODULES.iter().map(|module| {
        let wanted = module.replace('-', "_");
        let found = files.iter().find(|path| {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            name.split('.').next().unwrap_or_default().replace('-', "_") == wanted
                && name.contains(".ko")
        });
        found
            .cloned()
            .ok_or_else(|| format!("the kernel of this system has no module {module}"))
    });
    let modules = modules.collect::<Result<Vec<_>, String>>()?;
    Ok(Kernel { image, modules })
}
