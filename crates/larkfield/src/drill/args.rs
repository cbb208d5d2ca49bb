//! What can be typed after `larkfield drill`.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use larkfield_drill::briefing::Word;
use larkfield_drill::control::SetupFault;
use larkfield_drill::decision::Point;

use crate::logbook::args::pilot_name;
use crate::radio::args::DeviceArguments;

const ANSWERS: &str = "\
Without a device the words above are typed, one line each. A file of the same
lines is given with --answers; text behind a # is left out.";

/// Which drill.
#[derive(Debug, Subcommand)]
pub enum DrillCommand {
    /// A field and a day: look at what has to be looked at, then decide
    #[command(after_help = decision_help())]
    GoOrNoGo(DecisionArguments),
    /// Find what is wrong with a set-up: work the sticks, watch the surfaces,
    /// make the call
    #[command(after_help = control_help())]
    ControlCheck(ControlArguments),
    /// Bring a plane to life in an order that hurts nobody, and find what is
    /// wrong on the way
    #[command(after_help = power_help())]
    BeforePower(PowerArguments),
    /// One wing is low: which way goes the stick?
    #[command(after_help = ANSWERS)]
    Orientation(OrientationArguments),
    /// A helper throws: agree on everything, say the right word, and stop when
    /// something comes between
    #[command(after_help = briefing_help())]
    HelperBriefing(BriefingArguments),
}

fn decision_help() -> String {
    let mut text = format!("{}\n\nPoints:\n", larkfield_drill::script::DECISION_WORDS);
    for point in Point::ALL {
        text += &format!("  {:<10} {}\n", point.name(), point.in_words());
    }
    text + "\n" + ANSWERS
}

fn briefing_help() -> String {
    let mut text = "What can be said and done:\n".to_owned();
    for word in Word::ALL {
        text += &format!("  {:<12} {}\n", word.name(), word.in_words());
    }
    text + "\n" + ANSWERS
}

fn control_help() -> String {
    let mut text = format!("{}\n\nFaults:\n", larkfield_drill::script::CONTROL_WORDS);
    for fault in SetupFault::ALL {
        text += &format!("  {:<21} {}\n", fault.name(), fault.in_words());
    }
    text + "\n" + ANSWERS
}

fn power_help() -> String {
    let mut text = "What can be done:\n".to_owned();
    for act in larkfield_drill::power::Act::ALL {
        text += &format!("  {:<16} {}\n", act.name(), act.in_words());
    }
    text + "\n" + ANSWERS
}

/// What all drills understand.
#[derive(Debug, Args, Clone)]
pub struct DrillArguments {
    /// Answers from a file instead of the keyboard
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Which faults or headings come up [default: others every time, with
    /// --answers 1]
    #[arg(long, value_name = "N")]
    pub seed: Option<u64>,
    /// Print the result as JSON
    #[arg(long)]
    pub json: bool,
    /// Whose drill it is, for the logbook; what a person types or does with a live
    /// device goes into it without a name too, files of answers only with one
    #[arg(long, value_name = "PILOT", value_parser = pilot_name)]
    pub name: Option<String>,
    /// The logbook [default: the file that LARKFIELD_LOGBOOK names, otherwise
    /// one in your folder of data]
    #[arg(long, value_name = "FILE")]
    pub logbook: Option<PathBuf>,
}

impl DrillArguments {
    /// The seed, and whether somebody chose it.
    pub fn seed(&self) -> u64 {
        match (self.seed, &self.answers) {
            (Some(seed), _) => seed,
            (None, Some(_)) => 1,
            (None, None) => {
                let now = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
                now.map_or(1, |since| since.as_millis() as u64 % 1_000_000)
            }
        }
    }
}

/// Whose sticks.
#[derive(Debug, Args, Clone)]
pub struct SticksArguments {
    /// The radio file of your sticks, or the name of one that is kept or
    /// shipped; with it the sticks of a device are read
    #[arg(long, value_name = "FILE")]
    pub radio: Option<PathBuf>,
    /// Which device
    #[command(flatten)]
    pub device: DeviceArguments,
}

/// Arguments of `drill control-check`.
#[derive(Debug, Args)]
pub struct ControlArguments {
    /// The airframe file [default: shared/airframes/curlew.ron]
    #[arg(long, value_name = "FILE")]
    pub airframe: Option<PathBuf>,
    /// How many planes
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub rounds: u32,
    /// For an instructor: what is wrong, plane by plane, such as
    /// trim_off,none,dead_servo [default: drawn]
    #[arg(long, value_name = "NAME,...", value_delimiter = ',', value_parser = hidden, conflicts_with = "rounds")]
    pub hidden: Vec<Hidden>,
    /// Sticks
    #[command(flatten)]
    pub sticks: SticksArguments,
    /// Answers, seed, JSON
    #[command(flatten)]
    pub drill: DrillArguments,
}

/// What an instructor hides; `None`: nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hidden(pub Option<SetupFault>);

/// Arguments of `drill go-or-no-go`.
#[derive(Debug, Args)]
pub struct DecisionArguments {
    /// How many days
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub rounds: u32,
    /// For an instructor: what speaks against each day, such as
    /// wind,none,sun+people [default: drawn]
    #[arg(long, value_name = "POINT+...,...", value_delimiter = ',', value_parser = against, conflicts_with = "rounds")]
    pub hidden: Vec<Against>,
    /// Answers, seed, JSON
    #[command(flatten)]
    pub drill: DrillArguments,
}

/// What an instructor puts against a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Against(pub Vec<Point>);

/// Arguments of `drill helper-briefing`.
#[derive(Debug, Args)]
pub struct BriefingArguments {
    /// How many throws
    #[arg(long, value_name = "N", default_value_t = 3, value_parser = clap::value_parser!(u32).range(1..=100))]
    pub rounds: u32,
    /// Answers, seed, JSON
    #[command(flatten)]
    pub drill: DrillArguments,
}

/// Arguments of `drill before-power`.
#[derive(Debug, Args)]
pub struct PowerArguments {
    /// Answers, seed, JSON
    #[command(flatten)]
    pub drill: DrillArguments,
}

/// Arguments of `drill orientation`.
#[derive(Debug, Args)]
pub struct OrientationArguments {
    /// How many planes
    #[arg(long, value_name = "N", default_value_t = 16, value_parser = clap::value_parser!(u32).range(1..=1000))]
    pub rounds: u32,
    /// Sticks
    #[command(flatten)]
    pub sticks: SticksArguments,
    /// Answers, seed, JSON
    #[command(flatten)]
    pub drill: DrillArguments,
}

fn against(text: &str) -> Result<Against, String> {
    if text == "none" {
        return Ok(Against(Vec::new()));
    }
    let point = |name: &str| {
        Point::named(name).ok_or_else(|| {
            let names: Vec<&str> = Point::ALL.iter().map(|point| point.name()).collect();
            format!(
                "give none or some of {}, with + between them",
                names.join(", ")
            )
        })
    };
    text.split('+')
        .map(point)
        .collect::<Result<_, _>>()
        .map(Against)
}

fn hidden(text: &str) -> Result<Hidden, String> {
    if text == "none" {
        return Ok(Hidden(None));
    }
    SetupFault::named(text)
        .map(|fault| Hidden(Some(fault)))
        .ok_or_else(|| {
            let names: Vec<&str> = SetupFault::ALL.iter().map(|f| f.name()).collect();
            format!("give none or one of {}", names.join(", "))
        })
}
