//! `larkfield rehearse --pilot device`: a person flies, with words for eyes.

use larkfield_lesson::Performance;
use larkfield_radio::Transmitter;
use larkfield_rehearsal::{Failure, Inputs, PilotChoice, Request, add_traces, begin, fly_by_hand};

use crate::args::{Pilot, RehearseArguments};
use crate::logbook::keep::Keeper;
use crate::radio::args::DeviceChoice;
use crate::radio::caution::before_sticks;
use crate::radio::hands::PersonHands;
use crate::radio::source::Source;
use crate::rehearse::{leave, look_back};
use crate::stop::Stop;

/// The device, when a person flies.
///
/// # Errors
/// A device that is not there, and options that do not go together.
pub fn source(arguments: &RehearseArguments, inputs: &Inputs) -> Result<Option<Source>, Failure> {
    let named = match (&arguments.pilot, &arguments.device) {
        (Some(Pilot::Device(None)), choice) => choice.clone(),
        (Some(Pilot::Device(Some(name))), None) => Some(DeviceChoice::Named(name.clone())),
        (Some(Pilot::Device(Some(_))), Some(_)) => {
            return Err(Failure::input(
                "--pilot device:NAME and --device both name a device; give one of them",
            ));
        }
        (_, Some(_)) => {
            return Err(Failure::input(
                "--device is for a person's flight; give --pilot device with it",
            ));
        }
        (_, None) => return Ok(None),
    };
    if arguments.repeat.is_some() {
        return Err(Failure::input(
            "a person flies once at a time; leave --repeat out, or name another --pilot",
        ));
    }
    let of_file = inputs
        .radio
        .as_ref()
        .and_then(|radio| radio.device.as_deref());
    let source = Source::open(named.as_ref(), of_file)?;
    if let Some(radio) = &inputs.radio {
        has_axes(&source, radio)?;
    }
    before_sticks(arguments.ready, source.is_live())?;
    Ok(Some(source))
}

/// A radio file of another device is found out before anybody moves a stick.
fn has_axes(source: &Source, radio: &Transmitter) -> Result<(), Failure> {
    let info = source.info();
    // A recording knows only what moved, and says so itself.
    if !source.is_live() || info.axes.is_empty() {
        return Ok(());
    }
    let mapped = radio.mapped_axes();
    match mapped.iter().find(|(code, _)| !info.axes.contains(code)) {
        None => Ok(()),
        Some((code, what)) => Err(Failure::input(format!(
            "{:?} has no {code}, which {:?} has for {what}; take the radio file of this device, \
             or make one with `larkfield radio learn`",
            info.name, radio.name
        ))),
    }
}

/// Flies by hand and leaves the run. A flight that is given up leaves what it
/// has in the partial folder.
///
/// # Errors
/// A flight that was given up, a disk that refuses.
pub fn run(
    arguments: &RehearseArguments,
    request: &Request,
    inputs: &Inputs,
    performance: &Performance,
    source: Source,
    keeper: Option<Keeper>,
    stop: Stop,
) -> Result<(), Failure> {
    debug_assert_eq!(request.pilot, Some(PilotChoice::Person));
    let Some(radio) = inputs.radio.clone() else {
        return Err(Failure::input(
            "sticks of a device need a radio file; give --radio FILE",
        ));
    };
    let live = source.is_live();
    let mut folder = begin(request, inputs, &arguments.seed.to_string())?;
    let mut hands = PersonHands::new(source, radio, stop.clone());
    let mut ended = fly_by_hand(inputs, performance, arguments.seed, |moment| {
        hands.act(moment)
    })?;
    if live {
        eprintln!(
            "{} events of the device; from event to message at most {:.1} ms.",
            hands.heard,
            hands.slowest_s * 1e3
        );
    }
    if ended.whole {
        if !arguments.score_only {
            look_back(inputs, arguments.seed, &mut ended.flown, &stop)?;
        }
        return leave(arguments, inputs, folder, performance, &ended.flown, keeper);
    }
    let began = hands.began();
    let why = hands.gave_up.unwrap_or_else(|| "given up".to_owned());
    let partial = folder.partial_path().to_owned();
    let message = if began {
        // What was flown is not lost, whatever comes of the rest.
        add_traces(&mut folder, &ended.flown)?;
        folder.abandon(&why);
        format!("{why}; what was flown is in {}", partial.display())
    } else {
        // Nothing but copies of the inputs is in it.
        drop(folder);
        let _ = std::fs::remove_dir_all(&partial);
        why
    };
    if stop.asked() {
        Err(Failure::stopped(message))
    } else {
        Err(Failure::input(message))
    }
}
