//! Control check: the plane from behind on its stand, surfaces that follow.

use larkfield_drill::control::{
    AtTransmitter, Call, Called, ControlCheck, SetupFault, card, drawn, moved_in_words,
};
use larkfield_pilot::{RadioSetup, StickMode};

use super::bench::{list, picked};
use super::stage::Stage;
use super::{Done, Exercise, Outcome};
use crate::seen::Seen;
use crate::session::Session;
use crate::words::Words;

const KEYS: &str = "\
arrow keys, W S, A D   sticks          T   transmitter
TAB, SHIFT TAB   list   ENTER   call   H   hide this   Esc   menu";

/// A stick that is being moved again.
const MOVED: f64 = 0.3;

/// The drill and where its pilot is in it.
pub struct ControlExercise {
    check: ControlCheck,
    calls: Vec<Call>,
    pick: usize,
    transmits: bool,
    /// The last call, until a stick moves again.
    told: Option<Called>,
}

impl ControlExercise {
    /// So many planes like the one of a session.
    pub fn new(session: &Session, rounds: u32, seed: u64) -> Self {
        let inputs = session.inputs();
        let airframe = inputs.model.airframe();
        let (setup, mode) = match &inputs.radio {
            Some(radio) => (radio.radio_setup(airframe), radio.mode),
            None => (RadioSetup::for_airframe(airframe), StickMode::Mode2),
        };
        let faults = (0..rounds)
            .map(|round| drawn(airframe, seed, round))
            .collect();
        let can = SetupFault::ALL
            .into_iter()
            .filter(|fault| fault.fits(airframe));
        Self {
            check: ControlCheck::new(airframe, &setup, mode, faults, seed),
            calls: [Call::Fit]
                .into_iter()
                .chain(can.map(Call::Fault))
                .collect(),
            pick: 0,
            transmits: true,
            told: None,
        }
    }

    /// What it came to so far.
    pub fn check(&self) -> &ControlCheck {
        &self.check
    }

    fn tell(called: &Called) -> String {
        let was = match called.fault {
            None => "Nothing was wrong.".to_owned(),
            Some(fault) => format!(
                "Hidden: {}. It shows: {}.\nWhat to do: {}.",
                fault.in_words(),
                fault.shows(),
                fault.to_do()
            ),
        };
        let mut text = format!("{}.\n{was}", capital(called.verdict.in_words()));
        if !called.left.is_empty() {
            let left: Vec<&str> = called.left.iter().map(|end| end.in_words()).collect();
            text += &format!("\nNobody looked at: {}.", left.join(", "));
        }
        text
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

impl Exercise for ControlExercise {
    fn go_on(&mut self, done: &Done) {
        self.transmits ^= done.transmitter;
        self.pick = picked(self.pick, done.pick, self.calls.len());
        let sticks = done.message.sticks;
        if sticks
            .roll
            .abs()
            .max(sticks.pitch.abs())
            .max(sticks.yaw.abs())
            > MOVED
        {
            self.told = None;
        }
        let at = AtTransmitter {
            message: done.message,
            on: self.transmits,
        };
        self.check.act(&at, done.frame_s.min(0.25));
        if done.call
            && let Some(call) = self.calls.get(self.pick).copied()
            && let Some(called) = self.check.call(call)
        {
            self.told = Some(called.clone());
            self.transmits = true;
            self.pick = 0;
        }
    }

    fn show(&self, stage: &Stage, seen: &mut Seen) {
        seen.plane = stage.pose(0.0, 0.0);
        if let Some(round) = self.check.round() {
            seen.deflections_rad = round.bench().deflections_rad();
            let rpm = round.bench().motor().map_or(0.0, |motor| motor.rpm);
            seen.omega_rad_s = rpm * std::f64::consts::TAU / 60.0;
        }
    }

    fn words(&self) -> Words {
        let (round, rounds) = self.check.step();
        let airframe = self.check.airframe();
        let Some(on) = self.check.round() else {
            let report = self.check.report();
            return Words {
                title: format!("Control check, {}", airframe.name),
                step: "over".to_owned(),
                result: format!(
                    "{:.0} of 100 points: {} found, {} missed, {} false alarms.\n{}\nWhich \
                     way the servos of your real plane move, only your own eyes can check.",
                    report.points,
                    report.found,
                    report.missed,
                    report.false_alarms,
                    if report.passed {
                        "Good enough."
                    } else {
                        "Not yet."
                    },
                ),
                ..Words::default()
            };
        };
        let deflections = on.bench().deflections_rad();
        let mut facts: Vec<String> = (airframe.controls.iter().zip(&deflections))
            .map(|(surface, deflection_rad)| {
                let panel = &airframe.panels[surface.panel];
                let name = surface.name.replace('_', " ");
                format!("{name}: {}", moved_in_words(panel, *deflection_rad))
            })
            .collect();
        if let Some(motor) = on.bench().motor() {
            facts.push(if motor.rpm < 100.0 {
                "motor: still".to_owned()
            } else {
                format!("motor: {:.0} rpm, pulls {:.1} N", motor.rpm, motor.pull_n)
            });
        }
        facts.push(
            if self.transmits {
                "transmitter on"
            } else {
                "transmitter OFF"
            }
            .to_owned(),
        );
        let names = self.calls.iter().map(|call| match call {
            Call::Fit => "fit".to_owned(),
            Call::Fault(fault) => fault.name().replace('_', " "),
        });
        Words {
            title: format!("Control check, {}", airframe.name),
            step: format!("Plane {round} of {rounds}"),
            coach: match &self.told {
                None => {
                    "Hold each stick at both its ends, watch the surfaces, make the call".to_owned()
                }
                Some(called) => capital(called.verdict.in_words()),
            },
            facts: facts.join("\n"),
            list: format!("Your call:\n{}", list(names, self.pick)),
            card: match &self.told {
                None => card(airframe, self.check.setup()),
                Some(called) => format!("The last one\n\n{}", Self::tell(called)),
            },
            keys: KEYS.to_owned(),
            result: String::new(),
        }
    }

    fn outcome(&self) -> Option<Outcome> {
        let report = self.check.report();
        (report.rounds.len() == self.check.rounds()).then_some(Outcome {
            points: report.points,
            passed: report.passed,
        })
    }

    fn stage(&self, session: &Session) -> Stage {
        Stage::at_stand(session)
    }
}
