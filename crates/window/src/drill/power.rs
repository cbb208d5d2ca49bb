//! Before power: what is done with the plane in the car park.

use larkfield_airframe::BreakPart;
use larkfield_drill::power::{Act, PowerDrill};

use super::bench::{at_list, list, over, picked};
use super::stage::Stage;
use super::{Done, Exercise, Outcome};
use crate::seen::Seen;
use crate::session::Session;
use crate::words::Words;

const TITLE: &str = "Before power";
const KEYS: &str = "\
TAB, SHIFT TAB   list   ENTER   do it
H   hide this   Esc   menu";

/// The drill and where its pilot is in it.
pub struct PowerExercise {
    drill: PowerDrill,
    pick: usize,
    told: String,
}

impl PowerExercise {
    /// A plane that may have something wrong with it.
    pub fn new(seed: u64) -> Self {
        Self {
            drill: PowerDrill::new(seed),
            pick: 0,
            told: String::new(),
        }
    }

    /// What it came to so far.
    pub fn drill(&self) -> &PowerDrill {
        &self.drill
    }
}

impl Exercise for PowerExercise {
    fn go_on(&mut self, done: &Done) {
        self.pick = picked(self.pick, done.pick, Act::ALL.len());
        if done.call && !self.drill.over() {
            let finding = self.drill.act(Act::ALL[self.pick]);
            self.told = match finding.danger {
                Some(danger) => format!("{}\nDANGER: {}", finding.seen, danger.in_words()),
                None => finding.seen,
            };
        }
    }

    fn show(&self, stage: &Stage, seen: &mut Seen) {
        seen.plane = stage.pose(0.0, 0.0);
        seen.broken = if self.drill.propeller_on() {
            Vec::new()
        } else {
            vec![BreakPart::Propeller]
        };
    }

    fn words(&self) -> Words {
        if self.drill.over() {
            let report = self.drill.report();
            let mut lines = vec![match report.hidden {
                Some(hidden) => format!("Hidden: {}.", hidden.in_words()),
                None => "Nothing was wrong with this one.".to_owned(),
            }];
            lines.extend(
                report
                    .dangers
                    .iter()
                    .map(|d| format!("DANGER: {}.", d.in_words())),
            );
            lines.extend(
                report
                    .left_out
                    .iter()
                    .map(|act| format!("Left out: {}.", act.in_words())),
            );
            if !report.call_right {
                lines.push("The call, to fly or to stay down, was not right.".to_owned());
            }
            return over(TITLE, lines, report.points, report.passed);
        }
        let step = format!("Now: {}", self.drill.state_in_words());
        let first = "Bring it to life in an order that hurts nobody, then decide";
        let entries = list(
            Act::ALL.iter().map(|act| act.in_words().to_owned()),
            self.pick,
        );
        at_list(TITLE, step, &self.told, first, entries, KEYS)
    }

    fn outcome(&self) -> Option<Outcome> {
        let report = self.drill.report();
        self.drill.over().then_some(Outcome {
            points: report.points,
            passed: report.passed,
        })
    }

    fn stage(&self, session: &Session) -> Stage {
        Stage::at_stand(session)
    }
}
