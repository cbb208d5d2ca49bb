//! Orientation: the plane out there, one wing low.

use larkfield_drill::orientation::{Answered, OrientationDrill, Side};

use super::stage::Stage;
use super::{Done, Exercise, Outcome};
use crate::seen::Seen;
use crate::session::Session;
use crate::words::Words;

const KEYS: &str = "\
left, right arrow, or the aileron stick: level the plane
H           hide these words, or show them
Esc         menu";

/// A stick that went so far has answered; nearer to its middle than that it
/// rests.
const ANSWERS: f64 = 0.4;
const AT_REST: f64 = 0.15;
/// What it was stays this long.
const TOLD_S: f64 = 1.6;

/// The drill and where its pilot is in it.
pub struct OrientationExercise {
    drill: OrientationDrill,
    /// Since the plane came into view.
    seen_s: f64,
    /// The last answer, and how much longer it is shown.
    told: Option<(Answered, f64)>,
}

impl OrientationExercise {
    /// So many planes.
    pub fn new(rounds: u32, seed: u64) -> Self {
        Self {
            drill: OrientationDrill::new(rounds, seed),
            seen_s: 0.0,
            told: None,
        }
    }

    /// What it came to so far.
    pub fn drill(&self) -> &OrientationDrill {
        &self.drill
    }
}

impl Exercise for OrientationExercise {
    fn go_on(&mut self, done: &Done) {
        let roll = done.message.sticks.roll;
        if let Some((answered, left_s)) = self.told {
            let left_s = left_s - done.frame_s;
            // The next plane comes once the stick is back in its middle.
            self.told = if left_s > 0.0 || roll.abs() > AT_REST {
                Some((answered, left_s))
            } else {
                None
            };
            return;
        }
        self.seen_s += done.frame_s;
        let answer = match roll {
            _ if roll >= ANSWERS => Some(Side::Right),
            _ if roll <= -ANSWERS => Some(Side::Left),
            _ => None,
        };
        if (answer.is_some() || self.seen_s > OrientationDrill::PATIENCE_S)
            && let Some(answered) = self.drill.answer(answer, self.seen_s)
        {
            self.told = Some((answered, TOLD_S));
            self.seen_s = 0.0;
        }
    }

    fn show(&self, stage: &Stage, seen: &mut Seen) {
        // What was answered stays in view while its answer is shown.
        let view = match &self.told {
            Some((answered, _)) => Some(answered.view),
            None => self.drill.view(),
        };
        if let Some(view) = view {
            seen.plane = stage.pose(view.heading.angle_rad(), view.signed_bank_rad());
        }
        seen.omega_rad_s = 300.0;
    }

    fn words(&self) -> Words {
        let (round, rounds) = self.drill.step();
        let coach = match &self.told {
            Some((answered, _)) => format!(
                "{}: its {} wing was low, so the stick goes {}. It flew {}",
                if answered.right() { "Right" } else { "Wrong" },
                answered.view.low.in_words(),
                answered.view.stick().in_words(),
                answered.view.heading.in_words()
            ),
            None => "Which way goes the aileron stick to level it?".to_owned(),
        };
        if self.drill.view().is_none() && self.told.is_none() {
            let report = self.drill.report();
            let mut lines: Vec<String> = (report.headings.iter())
                .map(|by| {
                    let took = by
                        .reaction_s
                        .map_or_else(String::new, |s| format!(", {s:.1} s"));
                    format!(
                        "{}: {} of {} right{took}",
                        by.heading.in_words(),
                        by.rounds - by.wrong,
                        by.rounds
                    )
                })
                .collect();
            lines.push(format!(
                "{:.0} of 100 points. {}",
                report.points,
                if report.passed { "Good." } else { "Not yet." }
            ));
            return Words {
                title: "Orientation".to_owned(),
                step: "over".to_owned(),
                result: lines.join("\n"),
                ..Words::default()
            };
        }
        Words {
            title: "Orientation".to_owned(),
            step: format!("Plane {round} of {rounds}"),
            coach,
            facts: format!("{:.1} s", self.seen_s),
            list: String::new(),
            card: String::new(),
            keys: KEYS.to_owned(),
            result: String::new(),
        }
    }

    fn outcome(&self) -> Option<Outcome> {
        let report = self.drill.report();
        self.drill.view().is_none().then_some(Outcome {
            points: report.points,
            passed: report.passed,
        })
    }

    fn stage(&self, session: &Session) -> Stage {
        Stage::out_there(session)
    }
}
