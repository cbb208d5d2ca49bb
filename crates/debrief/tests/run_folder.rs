//! A run folder is complete or says that it is not, whatever the disk does.

use std::io::{self, Write};
use std::path::Path;

use larkfield_debrief::run_folder::{Disk, RealDisk, SyncWrite};
use larkfield_debrief::{
    Existing, RunFacts, RunFolder, RunFolderError, Versions, check_run_folder,
};
use tempfile::tempdir;

fn facts() -> RunFacts {
    RunFacts {
        lesson: "First hand launch".to_owned(),
        plane: "Meadow Pipit 900".to_owned(),
        pilot: "beginner".to_owned(),
        seed: 41,
        versions: Versions {
            larkfield: "0.1.0".to_owned(),
            target: "x86_64-unknown-linux-gnu".to_owned(),
            libraries: [("rapier3d".to_owned(), "0.36.0".to_owned())].into(),
        },
    }
}

fn fill(folder: &mut RunFolder) -> Result<(), RunFolderError> {
    folder.add_input(
        "airframe",
        "/home/me/planes/pipit.ron",
        b"(name: \"Pipit\")\n",
    )?;
    folder.add_input("lesson", "pipit.ron", b"(lesson)\n")?;
    folder.add_with("recording.csv", |out| {
        for i in 0..5000 {
            writeln!(out, "{i},0.5")?;
        }
        Ok(())
    })?;
    folder.add("score.json", b"{}\n")?;
    folder.add("debrief.html", b"<!DOCTYPE html>\n")
}

fn write_run(parent: &Path, existing: Existing) -> Result<std::path::PathBuf, RunFolderError> {
    let mut folder = RunFolder::create(parent, "run", existing, facts())?;
    fill(&mut folder)?;
    folder.finish()
}

/// Every file below `root` with its content, in order of path.
fn contents(root: &Path) -> Vec<(String, Vec<u8>)> {
    fn walk(root: &Path, at: &Path, out: &mut Vec<(String, Vec<u8>)>) {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(root, &path, out);
            } else {
                let name = path.strip_prefix(root).unwrap().display().to_string();
                out.push((name, std::fs::read(&path).unwrap()));
            }
        }
    }
    let mut out = Vec::new();
    walk(root, root, &mut out);
    out.sort();
    out
}

#[test]
fn a_complete_run_holds_everything_and_its_digests() {
    let place = tempdir().unwrap();
    let path = write_run(place.path(), Existing::Refuse).unwrap();
    assert_eq!(path, place.path().join("run"));
    let names: Vec<String> = contents(&path).into_iter().map(|(name, _)| name).collect();
    assert_eq!(
        names,
        [
            "debrief.html",
            "inputs/airframe/pipit.ron",
            "inputs/lesson/pipit.ron",
            "recording.csv",
            "run.json",
            "score.json"
        ]
    );
    assert_eq!(check_run_folder(&path), []);
    let manifest = std::fs::read_to_string(path.join("run.json")).unwrap();
    let manifest: serde_json::Value = serde_json::from_str(&manifest).unwrap();
    assert_eq!(manifest["complete"], true);
    assert_eq!(manifest["run"]["seed"], 41);
    // SHA-256 of the three bytes "{}\n" by sha256sum of GNU coreutils 9.1:
    // printf '{}\n' | sha256sum
    let score = manifest["files"]
        .as_array()
        .unwrap()
        .iter()
        .find(|file| file["path"] == "score.json")
        .unwrap();
    assert_eq!(
        score["sha256"],
        "ca3d163bab055381827226140568f3bef7eaac187cebd76878e0b63e9e442356"
    );
    assert_eq!(score["bytes"], 3);
}

#[test]
fn equal_runs_are_equal_byte_for_byte_wherever_they_are() {
    let (a, b) = (tempdir().unwrap(), tempdir().unwrap());
    let a = write_run(a.path(), Existing::PickFree)
        .map(|p| contents(&p))
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(20));
    let b = write_run(b.path(), Existing::PickFree)
        .map(|p| contents(&p))
        .unwrap();
    assert_eq!(a, b);
}

#[test]
fn a_changed_or_missing_file_is_noticed() {
    let place = tempdir().unwrap();
    let path = write_run(place.path(), Existing::Refuse).unwrap();
    std::fs::write(path.join("score.json"), b"{\"total\":100}\n").unwrap();
    std::fs::remove_file(path.join("debrief.html")).unwrap();
    let faults: Vec<String> = check_run_folder(&path)
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(faults[0].contains("debrief.html") && faults[0].contains("cannot be read"));
    assert!(faults[1].contains("score.json") && faults[1].contains("not what was written"));
    let nothing = check_run_folder(place.path());
    assert!(
        nothing[0].to_string().contains("no run folder"),
        "{nothing:?}"
    );
}

#[test]
fn an_existing_run_is_never_overwritten() {
    let place = tempdir().unwrap();
    let first = write_run(place.path(), Existing::PickFree).unwrap();
    let before = contents(&first);
    let second = write_run(place.path(), Existing::PickFree).unwrap();
    assert_eq!(second, place.path().join("run-2"));
    let error = write_run(place.path(), Existing::Refuse)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("exists already") && error.contains("another name"),
        "{error}"
    );
    assert!(error.contains(&first.display().to_string()), "{error}");
    assert_eq!(contents(&first), before);
    assert_eq!(
        std::fs::read_dir(place.path()).unwrap().count(),
        2,
        "no partial is left"
    );
}

#[test]
fn a_run_is_replaced_when_asked_and_nothing_else_ever_is() {
    let place = tempdir().unwrap();
    let path = write_run(place.path(), Existing::Refuse).unwrap();
    std::fs::write(path.join("score.json"), b"old").unwrap();
    assert_eq!(write_run(place.path(), Existing::Replace).unwrap(), path);
    assert_eq!(check_run_folder(&path), []);
    assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);

    let photos = tempdir().unwrap();
    std::fs::create_dir(photos.path().join("run")).unwrap();
    std::fs::write(photos.path().join("run/photo.jpg"), b"dear").unwrap();
    let error = write_run(photos.path(), Existing::Replace)
        .unwrap_err()
        .to_string();
    assert!(error.contains("no run folder"), "{error}");
    assert_eq!(
        std::fs::read(photos.path().join("run/photo.jpg")).unwrap(),
        b"dear"
    );
}

#[test]
fn a_left_partial_folder_is_kept_and_named() {
    let place = tempdir().unwrap();
    let folder = RunFolder::create(place.path(), "run", Existing::PickFree, facts()).unwrap();
    folder.abandon("the pilot went home");
    let note = std::fs::read_to_string(place.path().join("run.partial/UNFINISHED.txt")).unwrap();
    assert!(
        note.contains("did not finish") && note.contains("went home"),
        "{note}"
    );
    let error = write_run(place.path(), Existing::Refuse)
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("run.partial") && error.contains("delete or rename"),
        "{error}"
    );
    let next = write_run(place.path(), Existing::PickFree).unwrap();
    assert_eq!(next, place.path().join("run-2"));
    assert!(place.path().join("run.partial").is_dir());
}

#[test]
fn names_cannot_lead_out_of_the_folder() {
    let place = tempdir().unwrap();
    for name in [
        "",
        "..",
        "a/b",
        "a\\b",
        ".hidden",
        "x.partial",
        "a\0b",
        "run.",
        "c:x",
    ] {
        let error = RunFolder::create(place.path(), name, Existing::PickFree, facts()).unwrap_err();
        assert!(
            matches!(error, RunFolderError::BadName { .. }),
            "{name:?}: {error}"
        );
    }
    let mut folder = RunFolder::create(place.path(), "run", Existing::PickFree, facts()).unwrap();
    for name in ["../evil", "run.json", "UNFINISHED.txt", ""] {
        assert!(folder.add(name, b"x").is_err(), "{name:?}");
    }
    assert!(folder.add_input("..", "x", b"x").is_err());
    folder.add_input("wind", "../../calm.ron", b"calm").unwrap();
    assert!(folder.partial_path().join("inputs/wind/calm.ron").is_file());
    let twice = folder.add_input("wind", "calm.ron", b"gale").unwrap_err();
    assert!(twice.to_string().contains("exists already"), "{twice}");
    assert_eq!(std::fs::read_dir(place.path()).unwrap().count(), 1);
}

/// What goes wrong on a [`Bad`] disk.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Fault {
    /// No byte of a file of this name can be written.
    Full(&'static str),
    /// The bytes of this file are taken and then cannot be forced to disk.
    NoSync(&'static str),
    /// The folder cannot be renamed.
    NoRename,
    /// The folder cannot be forced to disk.
    NoFolderSync,
}

/// A real disk with one fault.
#[derive(Debug)]
struct Bad(Fault);

struct Failing {
    inner: Box<dyn SyncWrite>,
    full: bool,
    no_sync: bool,
}

impl Write for Failing {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.full {
            return Err(io::ErrorKind::StorageFull.into());
        }
        self.inner.write(bytes)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}

impl SyncWrite for Failing {
    fn sync(&mut self) -> io::Result<()> {
        if self.no_sync {
            return Err(io::ErrorKind::StorageFull.into());
        }
        self.inner.sync()
    }
}

impl Disk for Bad {
    fn create(&self, path: &Path) -> io::Result<Box<dyn SyncWrite>> {
        let named = |name: &str| path.file_name().is_some_and(|n| n == name);
        Ok(Box::new(Failing {
            inner: RealDisk.create(path)?,
            full: matches!(self.0, Fault::Full(name) if named(name)),
            no_sync: matches!(self.0, Fault::NoSync(name) if named(name)),
        }))
    }
    fn rename_folder(&self, from: &Path, to: &Path) -> io::Result<()> {
        if self.0 == Fault::NoRename {
            return Err(io::ErrorKind::PermissionDenied.into());
        }
        RealDisk.rename_folder(from, to)
    }
    fn sync_folder(&self, path: &Path) -> io::Result<()> {
        if self.0 == Fault::NoFolderSync {
            return Err(io::ErrorKind::StorageFull.into());
        }
        RealDisk.sync_folder(path)
    }
}

#[test]
fn no_fault_of_the_disk_leaves_a_folder_that_claims_to_be_complete() {
    let faults = [
        Fault::Full("recording.csv"),
        Fault::Full("pipit.ron"),
        Fault::Full("debrief.html"),
        Fault::NoSync("recording.csv"),
        Fault::NoSync("score.json"),
        Fault::NoRename,
        Fault::NoFolderSync,
    ];
    for fault in faults {
        let place = tempdir().unwrap();
        let disk = Box::new(Bad(fault));
        let mut folder =
            RunFolder::create_on(disk, place.path(), "run", Existing::Refuse, facts()).unwrap();
        let result = fill(&mut folder).and_then(|()| folder.finish().map(|_| ()));
        let error = result.unwrap_err().to_string();
        let advised = error.contains("free some space") || error.contains("you may write to");
        assert!(advised && error.contains("run"), "{fault:?}: {error}");

        assert!(!place.path().join("run").exists(), "{fault:?}");
        let partial = place.path().join("run.partial");
        let manifest = std::fs::read_to_string(partial.join("run.json")).unwrap();
        assert!(
            manifest.contains("\"complete\": false"),
            "{fault:?}: {manifest}"
        );
        let note = std::fs::read_to_string(partial.join("UNFINISHED.txt")).unwrap();
        assert!(note.contains(&error), "{fault:?}: {note}");
        // What the manifest lists is whole.
        let problems = check_run_folder(&partial);
        assert_eq!(problems.len(), 1, "{fault:?}: {problems:?}");
        assert!(problems[0].to_string().contains("did not finish"));
    }
}

#[test]
fn a_disk_with_no_room_at_all_is_reported_at_once() {
    let place = tempdir().unwrap();
    let disk = Box::new(Bad(Fault::Full("UNFINISHED.txt")));
    let error = RunFolder::create_on(disk, place.path(), "run", Existing::Refuse, facts())
        .map(|_| ())
        .unwrap_err();
    assert!(error.to_string().contains("free some space"), "{error}");
    assert!(!place.path().join("run").exists());
}

#[test]
fn the_full_device_of_the_system_is_refused_with_advice() {
    // Linux offers a device that is always full; elsewhere there is nothing to
    // ask, and the faults above stand for it.
    #[derive(Debug)]
    struct FullDevice;
    impl Disk for FullDevice {
        fn create(&self, path: &Path) -> io::Result<Box<dyn SyncWrite>> {
            if path.ends_with("recording.csv") {
                let full = std::fs::OpenOptions::new().write(true).open("/dev/full")?;
                return Ok(Box::new(full));
            }
            RealDisk.create(path)
        }
        fn rename_folder(&self, from: &Path, to: &Path) -> io::Result<()> {
            RealDisk.rename_folder(from, to)
        }
        fn sync_folder(&self, path: &Path) -> io::Result<()> {
            RealDisk.sync_folder(path)
        }
    }
    if !Path::new("/dev/full").exists() {
        eprintln!("SKIPPED: this system has no /dev/full");
        return;
    }
    let place = tempdir().unwrap();
    let mut folder = RunFolder::create_on(
        Box::new(FullDevice),
        place.path(),
        "run",
        Existing::Refuse,
        facts(),
    )
    .unwrap();
    let error = fill(&mut folder).unwrap_err().to_string();
    assert!(
        error.contains("recording.csv") && error.contains("free some space"),
        "{error}"
    );
}

#[test]
fn a_name_taken_meanwhile_is_not_overwritten() {
    let place = tempdir().unwrap();
    let mut folder = RunFolder::create(place.path(), "run", Existing::PickFree, facts()).unwrap();
    fill(&mut folder).unwrap();
    std::fs::create_dir(place.path().join("run")).unwrap();
    std::fs::write(place.path().join("run/other.txt"), b"other").unwrap();
    let error = folder.finish().unwrap_err().to_string();
    assert!(error.contains("exists already"), "{error}");
    assert_eq!(
        std::fs::read(place.path().join("run/other.txt")).unwrap(),
        b"other"
    );
    let partial = place.path().join("run.partial");
    let manifest = std::fs::read_to_string(partial.join("run.json")).unwrap();
    assert!(manifest.contains("\"complete\": false"), "{manifest}");
}

#[test]
fn a_place_that_cannot_be_written_is_refused_with_advice() {
    let place = tempdir().unwrap();
    // A file where the folder should be fails for every user, root included.
    let file = place.path().join("file");
    std::fs::write(&file, b"x").unwrap();
    let error = write_run(&file, Existing::PickFree)
        .unwrap_err()
        .to_string();
    assert!(error.contains(&file.display().to_string()), "{error}");
    assert!(
        error.contains("move away") || error.contains("another place"),
        "{error}"
    );
}

#[test]
fn a_run_that_lost_a_file_cannot_be_finished_by_ignoring_it() {
    let place = tempdir().unwrap();
    let disk = Box::new(Bad(Fault::Full("score.json")));
    let mut folder =
        RunFolder::create_on(disk, place.path(), "run", Existing::Refuse, facts()).unwrap();
    assert!(folder.add("score.json", b"{}").is_err());
    folder.add("debrief.html", b"page").unwrap();
    let error = folder.finish().unwrap_err().to_string();
    assert!(error.contains("score.json could not be written"), "{error}");
    assert!(!place.path().join("run").exists());
}
