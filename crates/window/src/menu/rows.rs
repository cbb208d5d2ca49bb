//! What can be picked, and a finger on it. Nothing here draws or opens a file.

use std::path::PathBuf;

/// What a row is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// Go flying.
    Fly,
    /// Which lesson.
    Lesson,
    /// Which plane.
    Plane,
    /// Which wind.
    Wind,
    /// Keys or a device.
    Sticks,
    /// Who flies.
    Pilot,
    /// Locked lessons too.
    Locked,
    /// Look at the last flight again.
    Replay,
    /// Practise on the ground: the name of a drill.
    Drill(&'static str),
    /// Size of text.
    Text,
    /// Less motion.
    Motion,
    /// For weak machines.
    Graphics,
    /// Loudness.
    Sound,
    /// The coaching line.
    Coach,
    /// Be shown around.
    Guide,
    /// Close the window.
    Leave,
}

/// One thing to pick.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pick {
    /// What people read.
    pub label: String,
    /// A file that goes with it.
    pub file: Option<PathBuf>,
    /// A number that goes with it.
    pub number: u32,
}

/// What a row holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Holds {
    /// It does something.
    Deed,
    /// One of several.
    One {
        /// All of them.
        of: Vec<Pick>,
        /// The one.
        at: usize,
    },
    /// A word that is typed.
    Typed(String),
}

/// A row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What it is about.
    pub subject: Subject,
    /// What stands before it.
    pub name: &'static str,
    /// What it holds.
    pub holds: Holds,
}

/// Longest name.
const LONGEST_NAME: usize = 60;

impl Row {
    /// A row that does something.
    pub fn deed(subject: Subject, name: &'static str) -> Self {
        Self {
            subject,
            name,
            holds: Holds::Deed,
        }
    }

    /// A row of several, the first for which `is` says so picked.
    pub fn one(
        subject: Subject,
        name: &'static str,
        of: Vec<Pick>,
        is: impl Fn(&Pick) -> bool,
    ) -> Self {
        let at = of.iter().position(is).unwrap_or(0);
        Self {
            subject,
            name,
            holds: Holds::One { of, at },
        }
    }

    /// What people read of it.
    pub fn in_words(&self) -> String {
        match &self.holds {
            Holds::Deed => self.name.to_owned(),
            Holds::One { of, at } => {
                let label = of.get(*at).map_or("none", |pick| pick.label.as_str());
                format!("{:<12}< {label} >", self.name)
            }
            Holds::Typed(text) => format!("{:<12}{text}_", self.name),
        }
    }
}

/// Rows and a finger.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rows {
    rows: Vec<Row>,
    at: usize,
}

impl Rows {
    /// The finger on the first.
    pub fn new(rows: Vec<Row>) -> Self {
        Self { rows, at: 0 }
    }

    /// All rows.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// Where the finger is.
    pub fn at(&self) -> usize {
        self.at
    }

    /// The row under the finger.
    pub fn row(&self) -> Option<&Row> {
        self.rows.get(self.at)
    }

    /// Down by so many rows (up for less than none), round the ends.
    pub fn down(&mut self, by: i32) {
        let count = self.rows.len() as i64;
        if count > 0 {
            self.at = (self.at as i64 + i64::from(by)).rem_euclid(count) as usize;
        }
    }

    /// Puts the finger on a row.
    pub fn point(&mut self, at: usize) {
        if at < self.rows.len() {
            self.at = at;
        }
    }

    /// Another of several, round the ends. Tells whether there was one.
    pub fn turn(&mut self, by: i32) -> bool {
        let Some(Row {
            holds: Holds::One { of, at },
            ..
        }) = self.rows.get_mut(self.at)
        else {
            return false;
        };
        if of.len() < 2 {
            return false;
        }
        *at = (*at as i64 + i64::from(by)).rem_euclid(of.len() as i64) as usize;
        true
    }

    /// Types into the row under the finger. Tells whether that changed it.
    pub fn type_in(&mut self, text: &str) -> bool {
        let Some(Row {
            holds: Holds::Typed(name),
            ..
        }) = self.rows.get_mut(self.at)
        else {
            return false;
        };
        let before = name.len();
        for letter in text.chars().filter(|letter| !letter.is_control()) {
            if name.chars().count() < LONGEST_NAME {
                name.push(letter);
            }
        }
        name.len() != before
    }

    /// Takes the last letter away. Tells whether there was one.
    pub fn erase(&mut self) -> bool {
        match self.rows.get_mut(self.at) {
            Some(Row {
                holds: Holds::Typed(name),
                ..
            }) => name.pop().is_some(),
            _ => false,
        }
    }

    /// What is picked about a subject.
    pub fn picked(&self, subject: Subject) -> Option<&Pick> {
        let row = self.rows.iter().find(|row| row.subject == subject)?;
        match &row.holds {
            Holds::One { of, at } => of.get(*at),
            _ => None,
        }
    }

    /// What is typed about a subject.
    pub fn typed(&self, subject: Subject) -> Option<&str> {
        let row = self.rows.iter().find(|row| row.subject == subject)?;
        match &row.holds {
            Holds::Typed(text) => Some(text),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows() -> Rows {
        let pick = |label: &str| Pick {
            label: label.to_owned(),
            ..Pick::default()
        };
        Rows::new(vec![
            Row::deed(Subject::Fly, "Fly"),
            Row::one(
                Subject::Wind,
                "Wind",
                vec![pick("calm"), pick("breeze"), pick("gusty")],
                |pick| pick.label == "breeze",
            ),
            Row {
                subject: Subject::Pilot,
                name: "Pilot",
                holds: Holds::Typed(String::new()),
            },
        ])
    }

    #[test]
    fn the_finger_goes_round_and_so_do_choices() {
        let mut rows = rows();
        rows.down(-1);
        assert_eq!(rows.row().map(|r| r.subject), Some(Subject::Pilot));
        rows.down(2);
        assert_eq!(rows.row().map(|r| r.subject), Some(Subject::Wind));
        let label = |rows: &Rows| rows.picked(Subject::Wind).map(|p| p.label.clone());
        assert_eq!(label(&rows).as_deref(), Some("breeze"));
        assert!(rows.turn(1) && rows.turn(1));
        assert_eq!(label(&rows).as_deref(), Some("calm"));
        assert!(rows.turn(-1));
        assert_eq!(label(&rows).as_deref(), Some("gusty"));
        // A deed has nothing to turn, and no row lies outside.
        rows.point(0);
        assert!(!rows.turn(1));
        rows.point(99);
        assert_eq!(rows.at(), 0);
        Rows::default().down(1);
    }

    #[test]
    fn a_name_is_typed_and_erased() {
        let mut rows = rows();
        assert!(!rows.type_in("x"), "nothing is typed into a deed");
        rows.point(2);
        assert!(rows.type_in("Åsa\n"));
        assert_eq!(rows.typed(Subject::Pilot), Some("Åsa"));
        assert!(rows.erase() && rows.erase() && rows.erase());
        assert!(!rows.erase());
        rows.type_in(&"x".repeat(200));
        assert_eq!(rows.typed(Subject::Pilot).map(str::len), Some(LONGEST_NAME));
    }
}
