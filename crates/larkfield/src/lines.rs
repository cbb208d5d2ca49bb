//! Where answers come from: a file, or somebody at the keyboard.

use std::collections::VecDeque;
use std::io::{BufRead, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use larkfield_drill::script::NotUnderstood;
use larkfield_rehearsal::Failure;

/// Answers, in their order.
pub enum Lines {
    /// From a file: numbered lines.
    File {
        /// The file.
        path: PathBuf,
        /// Lines that are left.
        left: VecDeque<(usize, String)>,
    },
    /// From the keyboard.
    Keyboard(Receiver<String>),
}

/// A line and where it stands.
pub struct Line {
    /// What it says.
    pub text: String,
    /// Number in its file.
    pub number: Option<usize>,
}

/// The next line, if there is one.
pub enum Next {
    /// This one.
    Line(Line),
    /// None yet.
    Later,
    /// There will be no more.
    End,
}

impl Lines {
    /// From a file when there is one.
    ///
    /// # Errors
    /// A file that cannot be read.
    pub fn open(file: Option<&Path>) -> Result<Self, Failure> {
        let Some(path) = file else {
            return Ok(Self::Keyboard(listen()));
        };
        let text = larkfield_files::load_text(path)?;
        Ok(Self::File {
            path: path.to_owned(),
            left: larkfield_drill::script::lines(&text)
                .map(|(number, line)| (number, line.to_owned()))
                .collect(),
        })
    }

    /// Whether somebody types them.
    pub fn typed(&self) -> bool {
        matches!(self, Self::Keyboard(_))
    }

    /// The next line; waits for a person.
    pub fn next(&mut self) -> Option<Line> {
        match self {
            Self::File { left, .. } => left.pop_front().map(numbered),
            Self::Keyboard(typed) => {
                let mut screen = std::io::stderr();
                // Nothing can be done about a closed error stream.
                let _ = write!(screen, "> ").and_then(|()| screen.flush());
                typed.recv().ok().map(plain)
            }
        }
    }

    /// The next line, if it is there already.
    pub fn poll(&mut self) -> Next {
        match self {
            Self::File { left, .. } => left
                .pop_front()
                .map_or(Next::End, |line| Next::Line(numbered(line))),
            Self::Keyboard(typed) => match typed.try_recv() {
                Ok(line) => Next::Line(plain(line)),
                Err(TryRecvError::Empty) => Next::Later,
                Err(TryRecvError::Disconnected) => Next::End,
            },
        }
    }

    /// What is wrong with a line: a person is told and may try again, a file is
    /// refused.
    ///
    /// # Errors
    /// For a file, with the line.
    pub fn not_understood(&self, line: &Line, why: &NotUnderstood) -> Result<(), Failure> {
        self.refuse(line, &why.to_string())
    }

    /// The same, for a line that is understood and still cannot be.
    ///
    /// # Errors
    /// For a file, with the line.
    pub fn refuse(&self, line: &Line, why: &str) -> Result<(), Failure> {
        match (self, line.number) {
            (Self::File { path, .. }, Some(number)) => Err(Failure::input(format!(
                "{}:{number}: {why}",
                path.display()
            ))),
            _ => {
                eprintln!("{why}");
                Ok(())
            }
        }
    }

    /// Lines of a file that nothing was left for.
    ///
    /// # Errors
    /// When there are any.
    pub fn all_used(&mut self) -> Result<(), Failure> {
        if let Self::File { path, left } = self
            && let Some((number, line)) = left.front()
        {
            return Err(Failure::input(format!(
                "{}:{number}: {line:?} comes after the end of the drill; leave it out, or ask for \
                 more with --rounds",
                path.display()
            )));
        }
        Ok(())
    }
}

fn numbered((number, text): (usize, String)) -> Line {
    Line {
        text,
        number: Some(number),
    }
}

fn plain(text: String) -> Line {
    Line { text, number: None }
}

/// Lines of the keyboard, while something else goes on.
fn listen() -> Receiver<String> {
    let (send, receive) = channel();
    std::thread::spawn(move || {
        for line in std::io::stdin().lock().lines() {
            let Ok(line) = line else { return };
            if send.send(line.trim().to_owned()).is_err() {
                return;
            }
        }
    });
    receive
}
