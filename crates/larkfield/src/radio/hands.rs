//! A person's sticks flying: events in, the control message of each tick out,
//! in real time from a device and as fast as possible from a recording.

use std::time::{Duration, Instant};

use larkfield_radio::{DeviceEvent, DeviceEventKind, StickReader, Transmitter};
use larkfield_recording::FlightStage;
use larkfield_rehearsal::{Hands, Moment};
use larkfield_world::TICK_S;

use super::source::{Heard, Source};
use crate::cues::cue;
use crate::stop::Stop;

/// Between two cues.
const CUE_EVERY_S: f64 = 2.0;
/// Behind by more than this, the flight goes on in slow motion.
const LATE: Duration = Duration::from_millis(250);
/// A recording that has ended leaves the sticks where they are, for this long
/// while nobody throws.
const NOBODY_THROWS_S: f64 = 10.0;

/// The hands of a person.
pub struct PersonHands {
    source: Source,
    reader: StickReader,
    stop: Stop,
    clock: Clock,
    told: Told,
    /// Why the flight was given up.
    pub gave_up: Option<String>,
    /// Longest time from an event of a device in flight to the message that
    /// carries it.
    pub slowest_s: f64,
    /// Events of a device in flight.
    pub heard: u64,
}

enum Clock {
    /// Flight time zero is at this instant; none while the flight waits.
    Live(Option<Instant>),
    /// The time of the recording, the next event of which is this one.
    Replay {
        now_s: f64,
        next: Option<DeviceEvent>,
        ended_s: Option<f64>,
    },
}

#[derive(Default)]
struct Told {
    missing: String,
    paused: bool,
    begun: bool,
    next_cue_s: f64,
}

impl PersonHands {
    /// Hands at a device.
    pub fn new(mut source: Source, radio: Transmitter, stop: Stop) -> Self {
        let clock = if source.is_live() {
            Clock::Live(None)
        } else {
            let next = following(&mut source);
            Clock::Replay {
                now_s: next.map_or(0.0, |event| event.time_s),
                next,
                ended_s: None,
            }
        };
        Self {
            source,
            reader: StickReader::new(radio),
            stop,
            clock,
            told: Told::default(),
            gave_up: None,
            slowest_s: 0.0,
            heard: 0,
        }
    }

    /// What the hands do at a moment of the flight.
    pub fn act(&mut self, moment: &Moment) -> Hands {
        if self.stop.asked() {
            return self.give_up("stopped by Ctrl-C");
        }
        self.listen();
        if self.reader.lost() {
            self.pause();
        }
        if !self.reader.live() {
            return self.wait();
        }
        if self.reader.take_again() && moment.time_s > 0.0 {
            return self.give_up("the pilot wants to fly again");
        }
        self.go_on(moment);
        if let Clock::Replay {
            now_s,
            ended_s: Some(ended_s),
            ..
        } = self.clock
            && moment.plane.stage == FlightStage::InHand
            && now_s - ended_s > NOBODY_THROWS_S
        {
            return self.give_up("the recording ended and nobody threw");
        }
        if moment.time_s >= self.told.next_cue_s {
            self.told.next_cue_s = moment.time_s + CUE_EVERY_S;
            eprintln!("{}", cue(moment));
        }
        self.keep_time(moment.time_s);
        Hands::Fly(self.reader.message())
    }

    /// Whether a tick was flown.
    pub fn began(&self) -> bool {
        self.told.begun
    }

    fn give_up(&mut self, why: &str) -> Hands {
        self.gave_up = Some(why.to_owned());
        Hands::Stop
    }

    /// Hears everything that has happened.
    fn listen(&mut self) {
        match &mut self.clock {
            Clock::Live(_) => {
                while let Some((event, age_s)) = self.source.take_with_age() {
                    // While the flight waits nobody is in a hurry.
                    if self.reader.live() {
                        self.heard += 1;
                        self.slowest_s = self.slowest_s.max(age_s);
                    }
                    self.reader.hear(&event.kind);
                    if event.kind == DeviceEventKind::Disconnected {
                        break;
                    }
                }
            }
            Clock::Replay { now_s, next, .. } => {
                while let Some(event) = next.filter(|event| event.time_s <= *now_s) {
                    self.reader.hear(&event.kind);
                    *next = following(&mut self.source);
                }
            }
        }
    }

    fn pause(&mut self) {
        if !self.told.paused {
            self.told.paused = true;
            eprintln!("Unplugged: motor off, the flight waits.");
        }
        if let Clock::Live(start) = &mut self.clock {
            *start = None;
        }
    }

    fn wait(&mut self) -> Hands {
        let missing: Vec<String> = self
            .reader
            .missing()
            .iter()
            .map(ToString::to_string)
            .collect();
        let missing = missing.join("\n  ");
        if self.told.missing != missing {
            eprintln!("Before the sticks count:\n  {missing}");
            self.told.missing = missing;
        }
        match &mut self.clock {
            Clock::Live(_) => {
                std::thread::sleep(Duration::from_millis(5));
                Hands::Wait
            }
            Clock::Replay { now_s, next, .. } => match next {
                Some(event) => {
                    *now_s = event.time_s;
                    Hands::Wait
                }
                None => {
                    let why = format!(
                        "the recording ended before the sticks counted:\n  {}",
                        self.told.missing
                    );
                    self.give_up(&why)
                }
            },
        }
    }

    /// The flight begins, or goes on after a pause.
    fn go_on(&mut self, moment: &Moment) {
        if self.told.paused {
            self.told.paused = false;
            eprintln!("Plugged in again: the flight goes on.");
        }
        self.told.missing.clear();
        if !self.told.begun {
            self.told.begun = true;
            if moment.plane.stage == FlightStage::InHand {
                eprintln!(
                    "The sticks count. Hold the switch for the throw, open the throttle, and let \
                     go to throw."
                );
            } else {
                eprintln!("The sticks count.");
            }
        }
    }

    /// Waits until it is time for the next tick.
    fn keep_time(&mut self, flight_s: f64) {
        match &mut self.clock {
            Clock::Live(start) => {
                let now = Instant::now();
                let flown = Duration::from_secs_f64(flight_s);
                let due = start.map(|start| start + flown);
                match due {
                    Some(due) if now <= due => std::thread::sleep(due - now),
                    Some(due) if now - due < LATE => {}
                    _ => *start = now.checked_sub(flown),
                }
            }
            Clock::Replay {
                now_s,
                next,
                ended_s,
            } => {
                if next.is_none() {
                    ended_s.get_or_insert(*now_s);
                }
                *now_s += TICK_S;
            }
        }
    }
}

fn following(source: &mut Source) -> Option<DeviceEvent> {
    match source.next() {
        Heard::Event(event) => Some(event),
        Heard::Quiet(_) | Heard::End => None,
    }
}
