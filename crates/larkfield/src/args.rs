//! What can be typed. Nothing here opens a file.

use std::path::PathBuf;

use crate::card::CardArguments;
use crate::drill::args::DrillCommand;
use crate::lessons::LessonsArguments;
use crate::logbook::args::{KeepArguments, LogbookArguments};
use crate::radio::args::{DeviceChoice, RadioCommand, device};
use clap::{Args, Parser, Subcommand};
use larkfield_pilot::Skill;
use larkfield_rehearsal::{PilotChoice, Request};
use larkfield_units::{Length, Quantity, Speed, Temperature, parse};

const EXIT_CODES: &str = "\
Exit codes:
  0    done, whatever the verdict or the score
  1    the work could not be done, for example because the disk is full
  2    arguments or an input file are wrong; the message says where and what
       would be right
  130  stopped with Ctrl-C; what was written is in a folder ending in .partial

Colour is used on a terminal only, and not when NO_COLOR is set.";

/// Check a scratch-built foam aeroplane before its first throw, and rehearse
/// that throw.
#[derive(Debug, Parser)]
#[command(name = "larkfield", version, after_help = EXIT_CODES, arg_required_else_help = true)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Calculate what an airframe file will do in the air, and say what to mend
    #[command(after_help = EXIT_CODES)]
    Preflight(PreflightArguments),
    /// Print one page for the field: balance, throws, launch, first two seconds
    #[command(after_help = EXIT_CODES)]
    Card(CardArguments),
    /// Fly a hand launch, score it, and leave a page that explains it
    #[command(after_help = EXIT_CODES)]
    Rehearse(RehearseArguments),
    /// Find out from the recording of a run what was wrong: with plane, throw,
    /// radio, air or hands
    #[command(after_help = EXIT_CODES)]
    Causes(CausesArguments),
    /// Find out what may have been wrong with a real plane that went in, from
    /// what you remember
    #[command(after_help = EXIT_CODES)]
    Why(WhyArguments),
    /// List the faults that a rehearsal can have, or explain one of them
    #[command(after_help = EXIT_CODES)]
    Faults(FaultsArguments),
    /// Join the tables of rehearsals that differ in their seeds only
    #[command(after_help = EXIT_CODES)]
    Join(JoinArguments),
    /// List the lessons with what your logbook says, or check one of your own
    #[command(after_help = EXIT_CODES)]
    Lessons(LessonsArguments),
    /// See your progress, and whether rehearsal finds a reason to wait with a
    /// real launch
    #[command(after_help = EXIT_CODES)]
    Logbook(LogbookArguments),
    /// Map, calibrate and check your own sticks: a game pad or a radio on its
    /// cable
    #[command(subcommand, after_help = EXIT_CODES)]
    Radio(RadioCommand),
    /// Practise what comes before a flight: control check, before power,
    /// orientation
    #[command(subcommand, after_help = EXIT_CODES)]
    Drill(DrillCommand),
}

/// Arguments of `preflight`.
#[derive(Debug, Args)]
pub struct PreflightArguments {
    /// The airframe file
    #[arg(value_name = "FILE")]
    pub airframe: PathBuf,
    /// Print the report as JSON, with units in its names
    #[arg(long)]
    pub json: bool,
    /// Draw the plane from three sides, with its balance and neutral point
    #[arg(long, value_name = "FILE")]
    pub svg: Option<PathBuf>,
    /// Speed for derivatives and modes, such as "8 m/s" [default:
    /// cruise]
    #[arg(long, value_name = "SPEED", value_parser = quantity::<Speed>)]
    pub speed: Option<Speed>,
    /// Height of the field above sea level, such as "450 m"
    #[arg(long, value_name = "HEIGHT", value_parser = quantity::<Length>, default_value = "0 m")]
    pub elevation: Length,
    /// Temperature at the field, such as "25 C" [default: the standard one of
    /// that height]
    #[arg(long, value_name = "TEMPERATURE", value_parser = quantity::<Temperature>)]
    pub temperature: Option<Temperature>,
}

/// Arguments of `rehearse`.
#[derive(Debug, Args, Default)]
pub struct RehearseArguments {
    /// The lesson file [default: assets/lessons/first_launch.ron]
    #[arg(long, value_name = "FILE")]
    pub lesson: Option<PathBuf>,
    /// The airframe file [default: the one that the lesson names]
    #[arg(long, value_name = "FILE")]
    pub airframe: Option<PathBuf>,
    /// The wind file [default: the one that the lesson names]
    #[arg(long, value_name = "FILE")]
    pub wind: Option<PathBuf>,
    /// Who flies: competent, beginner, learner:PERCENT for somebody on the way
    /// from the first day to mastery, hands-off, playback:FILE with the
    /// controls.csv (exact) or recording.csv of another run, or you: device or
    /// device:NAME with part of the name of a game pad or a radio on its cable
    /// [default: the one that the lesson names]
    #[arg(long, value_name = "PILOT", value_parser = pilot)]
    pub pilot: Option<Pilot>,
    /// The radio file of your sticks, or the name of one that is kept or shipped
    #[arg(long, value_name = "FILE")]
    pub radio: Option<PathBuf>,
    /// Fly with what a device did earlier: replay:FILE, as `radio record`
    /// writes it
    #[arg(long, value_name = "DEVICE", value_parser = device)]
    pub device: Option<DeviceChoice>,
    /// Don't wait: flight battery disconnected, propeller off, radio
    /// transmission off where the radio allows
    #[arg(long)]
    pub ready: bool,
    /// Something wrong with plane, radio or throw, such as "tail-heavy=12 mm";
    /// may be given several times; `larkfield faults` lists them
    #[arg(long = "fault", value_name = "NAME[=SIZE]")]
    pub faults: Vec<String>,
    /// Seed of everything random: gusts, throw, hands
    #[arg(
        long,
        value_name = "N",
        default_value_t = 1,
        allow_negative_numbers = true
    )]
    pub seed: u64,
    /// Fly this many times, with this seed and the following ones, and leave a
    /// table and a summary page
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub repeat: Option<u32>,
    /// Run folder of a lesson that was passed, for a lesson that asks for it;
    /// may be given several times
    #[arg(long, value_name = "DIR")]
    pub passed: Vec<PathBuf>,
    /// Fly a locked lesson all the same
    #[arg(long)]
    pub unlocked: bool,
    /// Fly on so many threads at a time; the output is the same whatever their
    /// number [default: one for each core]
    #[arg(long, value_name = "N", requires = "repeat", value_parser = clap::value_parser!(u8).range(1..))]
    pub threads: Option<u8>,
    /// Fly with the files and the pilot that an earlier run kept in its folder
    #[arg(long, value_name = "DIR", conflicts_with = "lesson")]
    pub again: Option<PathBuf>,
    /// Folder for the run, which must not exist yet [default: a new one in runs/]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Do not ask what was wrong and what would have saved a flight that went wrong,
    /// which takes seconds; `larkfield causes` can ask later
    #[arg(long)]
    pub score_only: bool,
    /// Let the new run take the place of an earlier one in the folder --out
    #[arg(long, requires = "out")]
    pub replace: bool,
    /// Print the score, or the summary of many flights, as JSON
    #[arg(long)]
    pub json: bool,
    /// What goes into the logbook.
    #[command(flatten)]
    pub keep: KeepArguments,
}

/// Arguments of `faults`.
#[derive(Debug, Args)]
pub struct FaultsArguments {
    /// The fault to explain
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `causes`.
#[derive(Debug, Args)]
pub struct CausesArguments {
    /// The folder that a rehearsal left
    #[arg(value_name = "DIR")]
    pub run: PathBuf,
    /// Another recording of that flight, such as a logger's, with the columns of
    /// recording.csv [default: the run's own]
    #[arg(long, value_name = "FILE")]
    pub recording: Option<PathBuf>,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `why`.
#[derive(Debug, Args)]
pub struct WhyArguments {
    /// The airframe file of the plane [default: the one that the lesson names]
    #[arg(value_name = "FILE")]
    pub airframe: Option<PathBuf>,
    /// A lesson with the throw that was meant [default:
    /// assets/lessons/first_launch.ron]
    #[arg(long, value_name = "FILE")]
    pub lesson: Option<PathBuf>,
    /// Take the answers from a file, one to a line, - for not known
    #[arg(long, value_name = "FILE")]
    pub answers: Option<PathBuf>,
    /// Print as JSON
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `join`.
#[derive(Debug, Args)]
pub struct JoinArguments {
    /// Folders left by rehearse --repeat: same files, pilot and program, seeds
    /// that follow each other without gap or overlap, in any order
    #[arg(value_name = "DIR", required = true)]
    pub folders: Vec<PathBuf>,
    /// Folder for the joined run, which must not exist yet [default: a new one
    /// in runs/]
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Let the joined run take the place of an earlier one in the folder --out
    #[arg(long, requires = "out")]
    pub replace: bool,
    /// Print the summary as JSON
    #[arg(long)]
    pub json: bool,
}

impl RehearseArguments {
    /// What is to be rehearsed, and where the run goes.
    pub fn request(&self) -> Request {
        Request {
            lesson: self.lesson.clone(),
            airframe: self.airframe.clone(),
            wind: self.wind.clone(),
            pilot: self.pilot.as_ref().map(|pilot| match pilot {
                Pilot::Choice(choice) => choice.clone(),
                Pilot::Device(_) => PilotChoice::Person,
            }),
            radio: self.radio.clone(),
            faults: self.faults.clone(),
            seed: self.seed,
            passed: self.passed.clone(),
            unlocked: self.unlocked,
            again: self.again.clone(),
            out: self.out.clone(),
            replace: self.replace,
        }
    }
}

fn quantity<Q: Quantity>(text: &str) -> Result<Q, String> {
    parse::<Q>(text).map_err(|e| format!("{}; {}", e.problem(), e.remedy()))
}

/// Who flies, as it is typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Pilot {
    /// Somebody whose sticks come from the program or from a file.
    Choice(PilotChoice),
    /// Whoever is at a device, perhaps one of this name.
    Device(Option<String>),
}

fn pilot(text: &str) -> Result<Pilot, String> {
    let choice = match text {
        "competent" => PilotChoice::Competent,
        "beginner" => PilotChoice::Beginner,
        "hands-off" => PilotChoice::HandsOff,
        "device" => return Ok(Pilot::Device(None)),
        _ => match text.split_once(':') {
            Some(("playback", file)) if !file.is_empty() => {
                PilotChoice::Playback(PathBuf::from(file))
            }
            Some(("learner", percent)) => PilotChoice::Learner(skill(percent)?),
            Some(("device", name)) if !name.is_empty() => {
                return Ok(Pilot::Device(Some(name.to_owned())));
            }
            _ => {
                return Err(
                    "give competent, beginner, learner:PERCENT, hands-off, playback:FILE, device \
                     or device:NAME"
                        .to_owned(),
                );
            }
        },
    };
    Ok(Pilot::Choice(choice))
}

/// How far a learner has come.
fn skill(percent: &str) -> Result<Skill, String> {
    match percent.trim_end_matches('%').trim().parse() {
        Ok(percent @ 0..=100) => Ok(Skill::percent(percent)),
        _ => Err("give the learner's way in percent, from learner:0 to learner:100".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_definition_of_the_arguments_is_consistent() {
        Arguments::command().debug_assert();
    }

    #[test]
    fn pilots_are_known_by_name() {
        let known = |choice| Ok(Pilot::Choice(choice));
        assert_eq!(pilot("hands-off"), known(PilotChoice::HandsOff));
        assert_eq!(
            pilot("playback:a.csv"),
            known(PilotChoice::Playback(PathBuf::from("a.csv")))
        );
        assert_eq!(pilot("device"), Ok(Pilot::Device(None)));
        assert_eq!(pilot("device:pad"), Ok(Pilot::Device(Some("pad".into()))));
        for wrong in ["playback:", "device:", "ace"] {
            assert!(pilot(wrong).is_err(), "{wrong}");
        }
    }
}
