//! A fault of some size, as it is typed and as it is kept.

use std::fmt;

use larkfield_units::closest;

use crate::{Fault, NotHere, Scene, Sizes, library};

/// A fault that a flight is to have.
#[derive(Debug, Clone, Copy)]
pub struct Injected {
    fault: &'static Fault,
    /// In the unit of the fault; 1 without one.
    size: f64,
}

/// Why a text is no fault. Each message says what would be right.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FaultError {
    /// No fault has this name.
    #[error("there is no fault called {name:?}{hint}; `larkfield faults` lists them all")]
    Unknown {
        /// The name.
        name: String,
        /// Names that are near.
        hint: String,
    },
    /// It is either there or not.
    #[error("{name} has no size: it is there or not; write {name} alone")]
    NoSize {
        /// The fault.
        name: &'static str,
    },
    /// Not a number with the right unit.
    #[error("the size of {name}: {problem}; write it from {range}, as in {example}")]
    BadSize {
        /// The fault.
        name: &'static str,
        /// What is wrong.
        problem: String,
        /// What is taken.
        range: String,
        /// One that is right.
        example: String,
    },
}

impl Injected {
    /// Reads `NAME` or `NAME=SIZE`, where a size is a number with its unit,
    /// `small`, `medium` or `large`.
    ///
    /// # Errors
    /// An unknown name, with near ones; a size of the wrong unit or range,
    /// with the right ones.
    pub fn parse(text: &str) -> Result<Self, FaultError> {
        let (name, size) = match text.split_once('=') {
            Some((name, size)) => (name.trim(), Some(size.trim())),
            None => (text.trim(), None),
        };
        let fault = (library().find(|fault| fault.name == name)).ok_or_else(|| unknown(name))?;
        let size = match (&fault.sizes, size) {
            (None, None) => 1.0,
            (None, Some(_)) => return Err(FaultError::NoSize { name: fault.name }),
            (Some(sizes), None) => sizes.medium,
            (Some(sizes), Some(size)) => read_size(fault.name, sizes, size)?,
        };
        Ok(Self { fault, size })
    }

    /// A fault of a size in its unit, taken as it is: less than nothing is the
    /// other way round. Without sizes it is there, whatever is said.
    #[must_use]
    pub fn of_size(fault: &'static Fault, size: f64) -> Self {
        let size = if fault.sizes.is_some() { size } else { 1.0 };
        Self { fault, size }
    }

    /// The entry in the library.
    #[must_use]
    pub fn fault(&self) -> &'static Fault {
        self.fault
    }

    /// Makes the change.
    ///
    /// # Errors
    /// A plane or a launch that cannot have this fault.
    pub fn apply(&self, scene: &mut Scene) -> Result<(), NotHere> {
        let per_si = (self.fault.sizes).map_or(1.0, |sizes| sizes.unit.per_si());
        (self.fault.change)(scene, self.size / per_si)
    }
}

impl fmt::Display for Injected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.fault.sizes {
            None => write!(f, "{}", self.fault.name),
            Some(sizes) => write!(
                f,
                "{}={} {}",
                self.fault.name,
                self.size,
                sizes.unit.symbol()
            ),
        }
    }
}

fn read_size(name: &'static str, sizes: &Sizes, text: &str) -> Result<f64, FaultError> {
    let symbol = sizes.unit.symbol();
    let bad = |problem: String| FaultError::BadSize {
        name,
        problem,
        range: format!("{} to {} {symbol}", sizes.least, sizes.most),
        example: format!("{name}=\"{} {symbol}\"", sizes.medium),
    };
    let size = match text {
        "small" => sizes.small,
        "medium" => sizes.medium,
        "large" => sizes.large,
        _ => (sizes.unit.read(text)).map_err(|error| bad(error.problem().to_owned()))?,
    };
    // A size that is no number fails as well.
    if !(size >= sizes.least && size <= sizes.most) {
        return Err(bad(format!("{size} {symbol} is out of range")));
    }
    Ok(size)
}

fn unknown(name: &str) -> FaultError {
    let mut near: Vec<&str> = closest(name, library().map(|fault| fault.name))
        .into_iter()
        .collect();
    let words = |text: &str| -> Vec<String> {
        let words = text.split('-').filter(|word| word.len() > 2);
        words.map(str::to_owned).collect()
    };
    for fault in library() {
        let shares = (words(name).iter()).any(|word| words(fault.name).contains(word));
        if shares && !near.contains(&fault.name) {
            near.push(fault.name);
        }
    }
    let hint = if near.is_empty() {
        String::new()
    } else {
        format!("; near to it are {}", near.join(", "))
    };
    FaultError::Unknown {
        name: name.to_owned(),
        hint,
    }
}
