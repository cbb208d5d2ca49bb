//! `larkfield join`: tables of neighbouring seeds become one, with the bytes
//! that flying all of them at once would have left.

use std::path::{Path, PathBuf};

use larkfield_debrief::{Manifest, RunSummary, Versions, read_summary_csv};
use larkfield_rehearsal::{Failure, Inputs, Request, begin, sources::manifest_of, versions};

use crate::args::JoinArguments;
use crate::batch::{TABLE, finish, page_of, phases_of};

/// One of the runs to be joined.
struct Part {
    folder: PathBuf,
    runs: Vec<RunSummary>,
}

impl Part {
    fn name(&self) -> String {
        self.folder.display().to_string()
    }

    fn first(&self) -> u64 {
        self.runs.first().map_or(0, |run| run.seed)
    }

    fn last(&self) -> u64 {
        self.runs.last().map_or(0, |run| run.seed)
    }
}

/// Runs the command.
///
/// # Errors
/// Folders that do not belong together, and why.
pub fn run(arguments: &JoinArguments) -> Result<(), Failure> {
    let mut manifests = Vec::new();
    for folder in &arguments.folders {
        manifests.push((folder.clone(), manifest_of(folder)?));
    }
    let Some((first, first_manifest)) = manifests.first() else {
        return Err(Failure::input("name at least one run folder"));
    };
    same_program(first, &first_manifest.run.versions)?;
    for (folder, manifest) in &manifests {
        same_run((first, first_manifest), (folder, manifest))?;
    }
    // The inputs are the same in all of them: those of the first will do.
    let mut as_flown = Request {
        again: Some(first.clone()),
        seed: first_manifest.run.seed,
        out: arguments.out.clone(),
        replace: arguments.replace,
        ..Request::default()
    };
    let inputs = Inputs::resolve(&as_flown)?;
    let phases = phases_of(&inputs.lesson);
    let mut parts = Vec::new();
    for (folder, manifest) in manifests {
        let runs = table_of(&folder, &phases)?;
        let part = Part { folder, runs };
        if part.first() != manifest.run.seed {
            return Err(Failure::input(format!(
                "{}: its first flight is that of seed {}, but its run.json says {}; fly it again",
                part.name(),
                part.first(),
                manifest.run.seed
            )));
        }
        parts.push(part);
    }
    parts.sort_by_key(Part::first);
    in_a_row(&parts)?;
    let runs: Vec<RunSummary> = parts.into_iter().flat_map(|part| part.runs).collect();
    let Some(first_seed) = runs.first().map(|run| run.seed) else {
        return Err(Failure::input("there are no flights in these folders"));
    };
    as_flown.seed = first_seed;
    let kind = format!("{first_seed}-times-{}", runs.len());
    let folder = begin(&as_flown, &inputs, &kind)?;
    finish(folder, &page_of(&inputs, runs), arguments.json)
}

/// The page is made by this program, so the flights must be as well.
fn same_program(folder: &Path, theirs: &Versions) -> Result<(), Failure> {
    let ours = versions();
    match difference(&ours, theirs) {
        None => Ok(()),
        Some(what) => Err(Failure::input(format!(
            "{}: it was not flown by this program: {what}; join with the program that flew it, or \
             fly it again",
            folder.display()
        ))),
    }
}

fn difference(ours: &Versions, theirs: &Versions) -> Option<String> {
    if ours.larkfield != theirs.larkfield {
        return Some(format!(
            "it is of larkfield {}, this is {}",
            theirs.larkfield, ours.larkfield
        ));
    }
    if ours.target != theirs.target {
        return Some(format!(
            "it ran on {}, this runs on {}",
            theirs.target, ours.target
        ));
    }
    (ours.libraries != theirs.libraries).then(|| "its libraries are of other versions".to_owned())
}

/// Two runs that differ in nothing but their seeds.
fn same_run(
    (first, of_first): (&Path, &Manifest),
    (other, of_other): (&Path, &Manifest),
) -> Result<(), Failure> {
    let refuse = |what: String| {
        Err(Failure::input(format!(
            "{} and {} cannot be joined: {what}; join runs that differ in their seeds only",
            first.display(),
            other.display()
        )))
    };
    if let Some(what) = difference(&of_first.run.versions, &of_other.run.versions) {
        return refuse(format!("other programs flew them ({what})"));
    }
    if of_first.run.pilot != of_other.run.pilot {
        return refuse(format!(
            "the pilots are {} and {}",
            of_first.run.pilot, of_other.run.pilot
        ));
    }
    let (inputs, others) = (inputs_of(of_first), inputs_of(of_other));
    let mut roles: Vec<&str> = inputs
        .iter()
        .chain(&others)
        .map(|(role, _)| *role)
        .collect();
    roles.sort_unstable();
    roles.dedup();
    for role in roles {
        let digest = |of: &[(&str, &str)]| {
            let found = of.iter().find(|(name, _)| *name == role);
            found.map(|(_, digest)| (*digest).to_owned())
        };
        if digest(&inputs) != digest(&others) {
            return refuse(format!("their input \"{role}\" is not the same"));
        }
    }
    Ok(())
}

/// Role and digest of every input.
fn inputs_of(manifest: &Manifest) -> Vec<(&str, &str)> {
    manifest
        .files
        .iter()
        .filter(|file| file.role != "output")
        .map(|file| (file.role.as_str(), file.sha256.as_str()))
        .collect()
}

/// The rows of a run, whose seeds must follow each other.
fn table_of(folder: &Path, phases: &[String]) -> Result<Vec<RunSummary>, Failure> {
    let path = folder.join(TABLE);
    let name = path.display().to_string();
    let bytes = std::fs::read(&path).map_err(|e| {
        Failure::input(format!(
            "{name}: it cannot be read ({e}); name folders of rehearse --repeat"
        ))
    })?;
    let runs =
        read_summary_csv(&name, &bytes, phases).map_err(|e| Failure::input(e.to_string()))?;
    if runs.is_empty() {
        return Err(Failure::input(format!("{name}: it holds no flights")));
    }
    let breaks = runs
        .windows(2)
        .find(|pair| pair[0].seed.checked_add(1) != Some(pair[1].seed));
    match breaks {
        None => Ok(runs),
        Some(pair) => Err(Failure::input(format!(
            "{name}: seed {} stands behind seed {}; expected seeds that follow each other",
            pair[1].seed, pair[0].seed
        ))),
    }
}

/// Every part must begin where the one before ends.
fn in_a_row(parts: &[Part]) -> Result<(), Failure> {
    for pair in parts.windows(2) {
        let (before, after) = (&pair[0], &pair[1]);
        let (last, first) = (before.last(), after.first());
        if first <= last {
            let end = last.min(after.last());
            return Err(Failure::input(format!(
                "{} and {} both hold {}; each seed may be there once",
                before.name(),
                after.name(),
                range(first, end)
            )));
        }
        if first - last > 1 {
            return Err(Failure::input(format!(
                "{} missing between {} and {}; fly with --seed {} --repeat {} and join that as \
                 well",
                range(last + 1, first - 1) + if first - last == 2 { " is" } else { " are" },
                before.name(),
                after.name(),
                last + 1,
                first - last - 1
            )));
        }
    }
    Ok(())
}

fn range(first: u64, last: u64) -> String {
    if first == last {
        format!("seed {first}")
    } else {
        format!("seeds {first} to {last}")
    }
}
