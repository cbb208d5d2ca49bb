//! `larkfield radio learn`: a person moves sticks, and a radio file comes out.

use std::fmt::Write;
use std::path::PathBuf;

use larkfield_files::radio::{read_radio, write_radio};
use larkfield_radio::draw::UNCHECKED;
use larkfield_radio::learn::{Learned, Learner, Progress, Prompt};
use larkfield_radio::{Function, ThrottleStop};
use larkfield_rehearsal::{Failure, json, own_radios};
use serde::Serialize;

use super::args::LearnArguments;
use super::caution::{answer, before_sticks};
use super::place;
use super::show::FunctionReport;
use super::source::{Heard, Source};
use crate::check::write_whole;
use crate::stop::Stop;
use crate::terminal::say;

/// What `--json` prints. Shares are of what the device can send.
#[derive(Serialize)]
struct Report {
    file: String,
    device: String,
    already_shaped: bool,
    looks_shaped: bool,
    channel_order: Option<String>,
    throttle_shut_in_middle: bool,
    axes: Vec<AxisReport>,
    switches: Vec<String>,
    unchecked: &'static str,
}

#[derive(Serialize)]
struct AxisReport {
    #[serde(flatten)]
    function: FunctionReport,
    reversed: bool,
    offset_fraction: f64,
    travel_fraction: f64,
    half_way_fraction: Option<f64>,
    apparent_expo_fraction: Option<f64>,
    jumps_left_out: u32,
}

/// Runs the command.
///
/// # Errors
/// No device, a stick that cannot be used, a file that cannot be written.
pub fn run(arguments: &LearnArguments) -> Result<(), Failure> {
    let mut source = Source::open(arguments.device.device.as_ref(), None)?;
    let name = (arguments.name.clone()).unwrap_or_else(|| source.info().name.clone());
    let name: String = name.chars().filter(|c| !c.is_control()).take(60).collect();
    let path = target(arguments, &name)?;
    if !source.is_live() && arguments.shaped.is_none() {
        return Err(Failure::input(
            "a recording cannot say whether the radio shaped its sticks; give --shaped yes or \
             --shaped no",
        ));
    }
    before_sticks(arguments.device.ready, source.is_live())?;
    let learned = watch(&mut source, arguments)?;
    let lines = in_words(&learned);
    if !arguments.json {
        say(&lines)?;
    }
    let already_shaped = match arguments.shaped {
        Some(shaped) => shaped,
        None => ask_shaped(&learned)?,
    };
    let device = source.is_live().then(|| source.info().name.clone());
    let radio = learned.transmitter(&name, device.as_deref(), already_shaped);
    let text = write_radio(&radio);
    // Whatever a device calls itself, the file can be read.
    read_radio(&text, &path.display().to_string())?;
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
    {
        std::fs::create_dir_all(folder)
            .map_err(|e| anyhow::Error::new(e).context(format!("{}", folder.display())))?;
    }
    write_whole(&path, &text)?;
    if arguments.json {
        say(&json(&report(
            &learned,
            already_shaped,
            source.info().name.clone(),
            &path,
        ))?)?;
    } else {
        let shaping = if already_shaped {
            "Larkfield adds no rates, expo or trims to what this radio sends."
        } else {
            "Larkfield adds its own rates and expo; change them in the file."
        };
        say(&format!(
            "{shaping}\n{UNCHECKED}\nWritten: {}\n",
            path.display()
        ))?;
    }
    Ok(())
}

/// Where the file goes, before anybody moves a stick for nothing.
fn target(arguments: &LearnArguments, name: &str) -> Result<PathBuf, Failure> {
    let path = match &arguments.out {
        Some(path) => path.clone(),
        None => own_radios()
            .map(|folder| folder.join(place::file_name(name)))
            .ok_or_else(|| {
                Failure::input("this system has no place for settings; give --out FILE")
            })?,
    };
    if path.exists() && !arguments.replace {
        return Err(Failure::input(format!(
            "{} is there already; give another --out FILE, or --replace",
            path.display()
        )));
    }
    Ok(path)
}

/// Lets somebody move the sticks until everything is known.
fn watch(source: &mut Source, arguments: &LearnArguments) -> Result<Learned, Failure> {
    let stop = Stop::listen()?;
    let mut learner = Learner::new(arguments.mode);
    if arguments.instructor {
        learner = learner.with_instructor();
    }
    let mut shown: Option<Prompt> = None;
    loop {
        match learner.progress() {
            Progress::Done(learned) => return Ok(*learned),
            Progress::Refused(why) => {
                return Err(Failure::input(format!("nothing was learned: {why}")));
            }
            Progress::Ask(prompt) => {
                if source.is_live() && shown != Some(prompt) {
                    let (step, steps) = learner.step();
                    eprintln!("{step:>2} of {steps}  {prompt}");
                    shown = Some(prompt);
                }
            }
        }
        match source.next() {
            Heard::Event(event) => learner.hear(&event),
            Heard::Quiet(now_s) => learner.pass(now_s),
            Heard::End => learner.finish(),
        }
        if stop.asked() {
            return Err(Failure::stopped("stopped; nothing was written"));
        }
    }
}

fn ask_shaped(learned: &Learned) -> Result<bool, Failure> {
    eprintln!(
        "Does the radio itself apply rates, expo or trims in the model memory that is chosen? {}\n\
         If it does, Larkfield adds none. yes or no:",
        if learned.looks_shaped() {
            "It looks so, see above."
        } else {
            "It does not look so."
        }
    );
    loop {
        match answer()?.to_lowercase().as_str() {
            "y" | "yes" => return Ok(true),
            "n" | "no" => return Ok(false),
            _ => eprintln!("yes or no:"),
        }
    }
}

/// What the device sends, before anything is normalised.
fn in_words(learned: &Learned) -> String {
    let mut out = "What the device sends, as it is:\n".to_owned();
    // Writing to a text cannot fail.
    for axis in &learned.axes {
        let _ = writeln!(
            out,
            "  {:<9} {:<12} {:<13} {:+6.1} % to {:+6.1} %, noise {:.1} %{}",
            axis.function.name(),
            axis.gimbal.stick(),
            axis.map.code.to_string(),
            axis.map.from * 100.0,
            axis.map.to * 100.0,
            axis.map.noise * 100.0,
            if axis.reversed() { ", reversed" } else { "" }
        );
        for sign in axis.signs() {
            let _ = writeln!(out, "            {sign}");
        }
        if axis.jumps > 0 {
            let _ = writeln!(
                out,
                "            {} jumps of less than 60 ms were left out: look at cable and stick",
                axis.jumps
            );
        }
    }
    if let Some(order) = learned.order() {
        let _ = writeln!(out, "  channel order {}", order.letters());
    }
    if learned.throttle_stop == ThrottleStop::Centre {
        let _ = writeln!(out, "  the throttle springs back: shut in its middle");
    }
    for switch in &learned.switches {
        let _ = writeln!(out, "  switch found: {}", switch.job.name());
    }
    for code in &learned.restless {
        let _ = writeln!(
            out,
            "  {code} is never still and belongs to no stick: ignored"
        );
    }
    out
}

fn report(
    learned: &Learned,
    already_shaped: bool,
    device: String,
    path: &std::path::Path,
) -> Report {
    let axes = Function::ALL.into_iter().filter_map(|function| {
        let axis = learned.axes.iter().find(|axis| axis.function == function)?;
        Some(AxisReport {
            function: FunctionReport::of(function, axis.gimbal, &axis.map),
            reversed: axis.reversed(),
            offset_fraction: axis.offset(),
            travel_fraction: axis.travel(),
            half_way_fraction: axis.half,
            apparent_expo_fraction: axis.expo(),
            jumps_left_out: axis.jumps,
        })
    });
    Report {
        file: path.display().to_string(),
        device,
        already_shaped,
        looks_shaped: learned.looks_shaped(),
        channel_order: learned.order().map(|order| order.letters()),
        throttle_shut_in_middle: learned.throttle_stop == ThrottleStop::Centre,
        axes: axes.collect(),
        switches: (learned.switches.iter())
            .map(|switch| switch.job.name().to_owned())
            .collect(),
        unchecked: UNCHECKED,
    }
}
