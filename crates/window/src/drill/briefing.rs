//! A helper throws: what is agreed, and which word comes when.

use larkfield_drill::briefing::{BriefingDrill, Word};

use super::bench::{at_list, list, over, picked};
use super::stage::Stage;
use super::{Done, Exercise, Outcome};
use crate::seen::Seen;
use crate::session::Session;
use crate::words::Words;

const TITLE: &str = "Helper briefing";
const KEYS: &str = "\
TAB, SHIFT TAB   list   ENTER   say it, do it
H   hide this   Esc   menu";

/// The drill and where its pilot is in it.
pub struct BriefingExercise {
    drill: BriefingDrill,
    pick: usize,
    told: String,
}

impl BriefingExercise {
    /// So many throws.
    pub fn new(throws: u32, seed: u64) -> Self {
        Self {
            drill: BriefingDrill::new(throws, seed),
            pick: 0,
            told: String::new(),
        }
    }

    /// What it came to so far.
    pub fn drill(&self) -> &BriefingDrill {
        &self.drill
    }
}

impl Exercise for BriefingExercise {
    fn go_on(&mut self, done: &Done) {
        self.pick = picked(self.pick, done.pick, Word::ALL.len());
        if done.call && !self.drill.over() {
            let word = Word::ALL[self.pick];
            let told = self.drill.say(word);
            self.told = format!("{}\n{told}", word.in_words());
        }
    }

    fn show(&self, stage: &Stage, seen: &mut Seen) {
        seen.plane = stage.pose(0.0, 0.0);
        seen.broken = Vec::new();
    }

    fn words(&self) -> Words {
        if self.drill.over() {
            let report = self.drill.report();
            let dangers = report.mistakes.iter().map(|m| m.in_words());
            let mut lines: Vec<String> = dangers.map(|d| format!("DANGER: {d}.")).collect();
            let stopped = report.stopped.iter().map(|i| i.in_words());
            lines.extend(stopped.map(|what| format!("Stopped: {what}.")));
            return over(TITLE, lines, report.points, report.passed);
        }
        let (throw, throws) = self.drill.step();
        let step = format!("Throw {throw} of {throws}: {}", self.drill.state_in_words());
        let first = "Agree on everything, then one word after the other; anybody says stop";
        let entries = list(
            Word::ALL.iter().map(|word| {
                if !Word::AGREED.contains(word) {
                    return word.in_words().to_owned();
                }
                let done = if self.drill.has_agreed(*word) {
                    ", done"
                } else {
                    ""
                };
                format!("agree: {}{done}", word.name().replace('_', " "))
            }),
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
