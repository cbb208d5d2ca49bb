//! `larkfield faults`: what can be wrong with a plane, its radio or its throw.

use larkfield_faults::{Fault, Injected, Sizes, library};
use larkfield_rehearsal::{Failure, json};
use serde::Serialize;

use crate::args::FaultsArguments;
use crate::terminal::say;

/// A fault as JSON.
#[derive(Serialize)]
struct Entry {
    name: &'static str,
    origin: &'static str,
    unit: Option<&'static str>,
    small: Option<f64>,
    medium: Option<f64>,
    large: Option<f64>,
    least: Option<f64>,
    most: Option<f64>,
    what: &'static str,
    shows: &'static str,
    bench: &'static str,
    remedy: &'static str,
}

impl From<&'static Fault> for Entry {
    fn from(fault: &'static Fault) -> Self {
        let size = |of: fn(&Sizes) -> f64| fault.sizes.as_ref().map(of);
        Self {
            name: fault.name,
            origin: fault.origin.name(),
            unit: fault.sizes.map(|sizes| sizes.unit.symbol()),
            small: size(|sizes| sizes.small),
            medium: size(|sizes| sizes.medium),
            large: size(|sizes| sizes.large),
            least: size(|sizes| sizes.least),
            most: size(|sizes| sizes.most),
            what: fault.what,
            shows: fault.shows,
            bench: fault.bench,
            remedy: fault.remedy,
        }
    }
}

/// Runs the command.
///
/// # Errors
/// A name that no fault has, with near ones.
pub fn run(arguments: &FaultsArguments) -> Result<(), Failure> {
    let Some(name) = &arguments.name else {
        if arguments.json {
            let entries: Vec<Entry> = library().map(Entry::from).collect();
            say(&json(&entries)?)?;
        } else {
            say(&listed())?;
        }
        return Ok(());
    };
    let fault = Injected::parse(name)
        .map_err(|e| Failure::input(e.to_string()))?
        .fault();
    if arguments.json {
        say(&json(&Entry::from(fault))?)?;
    } else {
        say(&explained(fault))?;
    }
    Ok(())
}

fn sizes_text(fault: &Fault) -> String {
    match &fault.sizes {
        None => "there or not".to_owned(),
        Some(sizes) => format!(
            "{} / {} / {} {}",
            sizes.small,
            sizes.medium,
            sizes.large,
            sizes.unit.symbol()
        ),
    }
}

fn listed() -> String {
    let rows = library().map(|fault| {
        format!(
            "{:9} {:22} {:20} {}\n",
            fault.origin.name(),
            fault.name,
            sizes_text(fault),
            fault.what
        )
    });
    let table: String = rows.collect();
    format!(
        "Sizes are small / medium / large; a name alone stands for medium.\n\n{table}\n\
         Fly with one: larkfield rehearse --fault \"tail-heavy=12 mm\"\n"
    )
}

fn explained(fault: &Fault) -> String {
    let range = fault.sizes.map_or(String::new(), |sizes| {
        let symbol = sizes.unit.symbol();
        format!("; from {} to {} {symbol}", sizes.least, sizes.most)
    });
    format!(
        "{} ({})\n\nWhat:   {}\nShows:  {}\nBench:  {}\nMend:   {}\nSizes:  {}{range}\n\n\
         A rehearsal cannot tell whether a real plane is fit to fly: check it by hand, and keep \
         to local rules. A connected battery is live; keep clear of the propeller.\n",
        fault.name,
        fault.origin.name(),
        fault.what,
        fault.shows,
        fault.bench,
        fault.remedy,
        sizes_text(fault),
    )
}
