//! A program killed while it writes a run leaves no folder that claims to be
//! complete. This test starts itself as the program to be killed.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Stdio};

use larkfield_debrief::{Existing, RunFacts, RunFolder, check_run_folder};

const VICTIM: &str = "--write-a-run-into";

fn main() {
    let args: Vec<String> = std::env::args().collect();
    if let Some(i) = args.iter().position(|arg| arg == VICTIM) {
        write_slowly(Path::new(&args[i + 1]));
        return;
    }
    // The usual way to ask a test binary what is in it.
    if args.iter().any(|arg| arg == "--list") {
        println!("a_killed_program_leaves_a_partial_folder: test");
        return;
    }
    a_killed_program_leaves_a_partial_folder();
    println!("test a_killed_program_leaves_a_partial_folder ... ok");
}

/// Writes a run step by step and says each step aloud.
fn write_slowly(parent: &Path) {
    let say = |what: &str| {
        println!("{what}");
        std::io::stdout().flush().unwrap();
        std::thread::sleep(std::time::Duration::from_millis(300));
    };
    let facts = RunFacts::default();
    let mut folder = RunFolder::create(parent, "run", Existing::Refuse, facts).unwrap();
    say("created");
    folder.add_input("lesson", "first.ron", b"lesson").unwrap();
    say("input");
    folder
        .add_with("recording.csv", |out| {
            out.write_all(b"time_s\n")?;
            say("recording");
            out.write_all(b"0\n")
        })
        .unwrap();
    say("recorded");
    folder.finish().unwrap();
    println!("finished");
}

fn a_killed_program_leaves_a_partial_folder() {
    for stop_at in ["created", "input", "recording", "recorded"] {
        let place = tempfile::tempdir().unwrap();
        let mut child = Command::new(std::env::current_exe().unwrap())
            .arg(VICTIM)
            .arg(place.path())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let lines = BufReader::new(child.stdout.take().unwrap()).lines();
        let reached = lines.map_while(Result::ok).any(|line| line == stop_at);
        assert!(reached, "the program never came to {stop_at:?}");
        child.kill().unwrap();
        child.wait().unwrap();

        assert!(!place.path().join("run").exists(), "{stop_at}");
        let partial = place.path().join("run.partial");
        assert!(partial.join("UNFINISHED.txt").is_file(), "{stop_at}");
        let manifest = std::fs::read_to_string(partial.join("run.json")).unwrap();
        assert!(
            manifest.contains("\"complete\": false"),
            "{stop_at}: {manifest}"
        );
        let faults = check_run_folder(&partial);
        assert!(
            faults[0].to_string().contains("did not finish"),
            "{faults:?}"
        );
    }
    // Left alone, the same program leaves a complete run: the test above
    // killed something that works.
    let place = tempfile::tempdir().unwrap();
    let done = Command::new(std::env::current_exe().unwrap())
        .arg(VICTIM)
        .arg(place.path())
        .output()
        .unwrap();
    assert!(done.status.success());
    assert_eq!(check_run_folder(&place.path().join("run")), []);
    assert!(!place.path().join("run.partial").exists());
}
