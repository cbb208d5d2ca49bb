//! Running one thing after the other and saying how long each took.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Arguments for the program as people get it.
pub const RELEASED: &[&str] = &["--locked", "--release", "--package", "larkfield"];

/// Steps so far and the time each took.
pub struct Steps {
    root: PathBuf,
    start: Instant,
    done: Vec<(String, Duration)>,
    /// Steps that were left out, and why.
    skipped: Vec<(String, String)>,
}

/// A step that runs while others do.
pub struct Beside {
    title: String,
    shown: String,
    log: PathBuf,
    child: Child,
    start: Instant,
}

impl Drop for Beside {
    /// Nothing goes on when the steps beside it have failed.
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Steps {
    /// Steps that run in this folder.
    pub fn new(root: &Path) -> Self {
        Self {
            root: root.to_owned(),
            start: Instant::now(),
            done: Vec::new(),
            skipped: Vec::new(),
        }
    }

    /// Runs cargo.
    ///
    /// # Errors
    /// A message when it fails.
    pub fn cargo(&mut self, title: &str, arguments: &[&str]) -> Result<(), String> {
        self.cargo_with(title, arguments, &[])
    }

    /// Runs cargo with more environment variables.
    ///
    /// # Errors
    /// A message when it fails.
    pub fn cargo_with(
        &mut self,
        title: &str,
        arguments: &[&str],
        environment: &[(&str, &str)],
    ) -> Result<(), String> {
        println!("\n== {title}\n$ {}", shown(arguments, environment));
        let command = self.command(arguments, environment);
        self.finish(title, command)
    }

    /// Starts cargo beside the steps that follow; what it says is printed when it
    /// is [waited for](Steps::wait_for).
    ///
    /// # Errors
    /// A message when it cannot be started.
    pub fn beside(
        &self,
        title: &str,
        arguments: &[&str],
        environment: &[(&str, &str)],
    ) -> Result<Beside, String> {
        let log = self.root.join("target/beside.log");
        let problem = |e: std::io::Error| format!("\"{title}\" could not be started: {e}");
        let file = File::create(&log).map_err(problem)?;
        let child = self
            .command(arguments, environment)
            .stdin(Stdio::null())
            .stdout(file.try_clone().map_err(problem)?)
            .stderr(file)
            .spawn()
            .map_err(problem)?;
        Ok(Beside {
            title: title.to_owned(),
            shown: shown(arguments, environment),
            log,
            child,
            start: Instant::now(),
        })
    }

    /// Waits for what runs beside.
    ///
    /// # Errors
    /// A message when it fails.
    pub fn wait_for(&mut self, mut beside: Beside) -> Result<(), String> {
        let title = format!("{}, beside what came before", beside.title);
        println!("\n== {title}\n$ {}", beside.shown);
        let status = beside.child.wait();
        let took = beside.start.elapsed();
        let said = std::fs::read(&beside.log).unwrap_or_default();
        print!("{}", String::from_utf8_lossy(&said));
        println!("-- {title}: {}", in_words(took));
        self.done.push((title.clone(), took));
        match status {
            Ok(status) if status.success() => Ok(()),
            Ok(status) => Err(format!("\"{title}\" failed ({status}); see above.")),
            Err(e) => Err(format!("\"{title}\" was lost: {e}")),
        }
    }

    fn command(&self, arguments: &[&str], environment: &[(&str, &str)]) -> Command {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut command = Command::new(cargo);
        command
            .args(arguments)
            .envs(environment.iter().copied())
            // Set for this program by cargo; the crates to be built are others.
            .env_remove("CARGO_MANIFEST_DIR")
            .current_dir(&self.root);
        command
    }

    /// Runs a program that is built already, as a path below the root.
    ///
    /// # Errors
    /// A message when it fails.
    pub fn program(&mut self, title: &str, path: &str, arguments: &[&str]) -> Result<(), String> {
        println!("\n== {title}\n$ {path} {}", arguments.join(" "));
        let mut command = Command::new(self.root.join(path));
        command.args(arguments).current_dir(&self.root);
        self.finish(title, command)
    }

    fn finish(&mut self, title: &str, mut command: Command) -> Result<(), String> {
        self.time(title, || {
            let status = command.status().map_err(|e| {
                let program = Path::new(command.get_program()).display().to_string();
                format!("{program} could not be started: {e}")
            })?;
            if status.success() {
                Ok(())
            } else {
                Err(format!("\"{title}\" failed ({status}); see above."))
            }
        })
    }

    /// Runs something else as a step.
    ///
    /// # Errors
    /// Those of the step.
    pub fn time(
        &mut self,
        title: &str,
        step: impl FnOnce() -> Result<(), String>,
    ) -> Result<(), String> {
        let start = Instant::now();
        let result = step();
        let took = start.elapsed();
        println!("-- {title}: {}", in_words(took));
        self.done.push((title.to_owned(), took));
        result
    }

    /// Leaves a step out and says why.
    pub fn skip(&mut self, title: &str, reason: &str) {
        println!("-- {title}: SKIPPED, {reason}");
        self.skipped.push((title.to_owned(), reason.to_owned()));
    }

    /// Whether anything was left out.
    pub fn skipped(&self) -> bool {
        !self.skipped.is_empty()
    }

    /// Prints the table of times.
    pub fn summary(&self) {
        println!("\n== How long it took");
        for (title, took) in &self.done {
            println!("{:>9}  {title}", in_words(*took));
        }
        for (title, reason) in &self.skipped {
            println!("{:>9}  {title}: {reason}", "SKIPPED");
        }
        println!("{:>9}  in all", in_words(self.start.elapsed()));
    }
}

/// A command of cargo as one would type it.
fn shown(arguments: &[&str], environment: &[(&str, &str)]) -> String {
    let environment: String = environment
        .iter()
        .map(|(name, value)| format!("{name}=\"{value}\" "))
        .collect();
    format!("{environment}cargo {}", arguments.join(" "))
}

fn in_words(took: Duration) -> String {
    let seconds = took.as_secs_f64();
    if seconds < 60.0 {
        return format!("{seconds:.1} s");
    }
    // Rounded before it is divided, or 119.8 s would be "1 min 60 s".
    let whole = seconds.round() as u64;
    format!("{} min {:02} s", whole / 60, whole % 60)
}
