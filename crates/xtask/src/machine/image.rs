//! What the guest boots into: a shell, udev, the modules, the program.

use std::path::{Path, PathBuf};

use super::kernel::Kernel;
use super::{copy, output};

/// Rules by which udev marks joysticks.
const RULES: [&str; 5] = [
    "50-udev-default.rules",
    "60-evdev.rules",
    "60-input-id.rules",
    "60-persistent-input.rules",
    "70-joystick.rules",
];

/// Scripts that the guest runs.
const SCRIPTS: [(&str, &str); 5] = [
    ("init", include_str!("init.sh")),
    ("gadget.sh", include_str!("gadget.sh")),
    ("radio.sh", include_str!("radio.sh")),
    ("pad.sh", include_str!("pad.sh")),
    ("person.sh", include_str!("person.sh")),
];

/// Makes the image and says where it is.
///
/// # Errors
/// What is missing.
pub fn make(root: &Path, folder: &Path, kernel: &Kernel) -> Result<PathBuf, String> {
    let top = folder.join("image");
    let _ = std::fs::remove_dir_all(&top);
    for empty in ["proc", "sys", "dev", "tmp", "run", "bin"] {
        make_folder(&top.join(empty))?;
    }
    copy(&program(&["busybox"])?, &top.join("bin/busybox"))?;
    let busybox = top.join("bin/busybox").display().to_string();
    if output("ldd", &[&busybox], root).is_ok_and(|text| text.contains("=>")) {
        return Err("busybox is not the static one; install busybox-static".to_owned());
    }
    link("busybox", &top.join("bin/sh"))?;
    let udevadm = program(&["udevadm"])?;
    with_libraries(&udevadm, &top.join("bin/udevadm"), &top)?;
    copy(&udevadm, &top.join("lib/systemd/systemd-udevd"))?;
    for rule in RULES {
        let places = ["/usr/lib/udev/rules.d", "/lib/udev/rules.d"];
        let found = places.map(|place| Path::new(place).join(rule));
        if let Some(path) = found.iter().find(|path| path.is_file()) {
            copy(path, &top.join("lib/udev/rules.d").join(rule))?;
        }
    }
    for accounts in ["/etc/passwd", "/etc/group"] {
        copy(Path::new(accounts), &top.join(&accounts[1..]))?;
    }
    add_modules(kernel, &top)?;
    let built = root.join("target/release/larkfield");
    with_libraries(&built, &top.join("bin/larkfield"), &top)?;
    let stripped = top.join("bin/larkfield").display().to_string();
    // Smaller is faster to boot; as large as it is, it works as well.
    let _ = output("strip", &[&stripped], root);
    for files in ["assets", "shared"] {
        copy_tree(&root.join(files), &top.join("larkfield").join(files))?;
    }
    for (name, text) in SCRIPTS {
        let path = top.join(name);
        std::fs::write(&path, text).map_err(|e| format!("{}: {e}", path.display()))?;
        output("chmod", &["755", name], &top)?;
    }
    let image = folder.join("image.gz");
    let pack = format!(
        "find . | cpio --quiet -o -H newc -R 0:0 | gzip -1 > '{}'",
        image.display()
    );
    output("sh", &["-c", &pack], &top)?;
    Ok(image)
}

fn add_modules(kernel: &Kernel, top: &Path) -> Result<(), String> {
    let mut order = String::new();
    for module in &kernel.modules {
        let name = module.file_name().unwrap_or_default().to_string_lossy();
        copy(module, &top.join("modules").join(&*name))?;
        let loaded = match name.strip_suffix(".xz") {
            Some(plain) => {
                output("xz", &["-d", "-f", &name], &top.join("modules"))?;
                plain.to_owned()
            }
            None => name.into_owned(),
        };
        order += &format!("{loaded}\n");
    }
    std::fs::write(top.join("modules/order"), order).map_err(|e| e.to_string())
}

/// A program on the search path or where system programs are.
fn program(names: &[&str]) -> Result<PathBuf, String> {
    let path = std::env::var_os("PATH").unwrap_or_default();
    let folders =
        std::env::split_paths(&path).chain(["/bin", "/usr/bin", "/sbin"].map(PathBuf::from));
    folders
        .flat_map(|folder| names.iter().map(move |name| folder.join(name)))
        .find(|path| path.is_file())
        .ok_or_else(|| format!("{} is missing", names.join(" or ")))
}

/// Copies a program and the libraries it is linked with.
fn with_libraries(from: &Path, to: &PathBuf, top: &Path) -> Result<(), String> {
    copy(from, to)?;
    let listed = output("ldd", &[&from.display().to_string()], top)?;
    for line in listed.lines() {
        let mut words = line.split_whitespace().filter(|word| word.starts_with('/'));
        if let Some(library) = words.next() {
            let place = top.join(library.trim_start_matches('/'));
            if !place.exists() {
                copy(Path::new(library), &place)?;
            }
        }
    }
    Ok(())
}

fn copy_tree(from: &Path, to: &Path) -> Result<(), String> {
    let entries = std::fs::read_dir(from).map_err(|e| format!("{}: {e}", from.display()))?;
    for path in entries.flatten().map(|entry| entry.path()) {
        let place = to.join(path.file_name().unwrap_or_default());
        if path.is_dir() {
            copy_tree(&path, &place)?;
        } else {
            copy(&path, &place)?;
        }
    }
    Ok(())
}

fn make_folder(path: &Path) -> Result<(), String> {
    std::fs::create_dir_all(path).map_err(|e| format!("{}: {e}", path.display()))
}

#[cfg(unix)]
fn link(to: &str, at: &Path) -> Result<(), String> {
    std::os::unix::fs::symlink(to, at).map_err(|e| format!("{}: {e}", at.display()))
}

#[cfg(not(unix))]
fn link(_: &str, at: &Path) -> Result<(), String> {
    Err(format!("{}: this system has no links", at.display()))
}
