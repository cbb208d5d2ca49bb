//! Go or no-go: what there is to see at a field before the plane leaves the car.

use larkfield_airframe::BreakPart;
use larkfield_drill::decision::{Call, GoNoGoDrill, Point};

use super::bench::{at_list, list, over, picked};
use super::stage::Stage;
use super::{Done, Exercise, Outcome};
use crate::seen::Seen;
use crate::session::Session;
use crate::words::Words;

const TITLE: &str = "Go or no-go";
const KEYS: &str = "\
TAB, SHIFT TAB   list   ENTER   look; again: it speaks against flying
H   hide this   Esc   menu";

/// The drill and where its pilot is in it.
pub struct DecisionExercise {
    drill: GoNoGoDrill,
    pick: usize,
    against: Vec<Point>,
    told: String,
}

/// Below the points: go, and no.
const GO: usize = Point::ALL.len();
const ENTRIES: usize = GO + 2;

impl DecisionExercise {
    /// So many days.
    pub fn new(days: u32, seed: u64) -> Self {
        Self {
            drill: GoNoGoDrill::new(days, seed),
            pick: 0,
            against: Vec::new(),
            told: String::new(),
        }
    }

    /// What it came to so far.
    pub fn drill(&self) -> &GoNoGoDrill {
        &self.drill
    }

    fn choose(&mut self) {
        if let Some(point) = Point::ALL.get(self.pick) {
            self.look(*point);
        } else if self.pick == GO {
            self.call(Call::Go);
        } else if self.against.is_empty() {
            self.told = "Say what speaks against it: look at it, then ENTER once more".to_owned();
        } else {
            let against = std::mem::take(&mut self.against);
            self.call(Call::No(against));
        }
    }

    /// Looks; who has looked already says whether it speaks against flying.
    fn look(&mut self, point: Point) {
        if self.drill.has_looked_at(point) {
            if self.against.contains(&point) {
                self.against.retain(|other| *other != point);
            } else {
                self.against.push(point);
            }
        }
        let seen = self.drill.look(point).unwrap_or_default();
        self.told = format!("{}: {seen}", point.name());
    }

    fn call(&mut self, call: Call) {
        self.against.clear();
        let Some(decided) = self.drill.call(call) else {
            return;
        };
        let mut told = vec![decided.verdict.in_words().to_owned()];
        for point in &decided.against {
            told.push(format!("{}: {}", point.name(), point.limit_in_words()));
        }
        self.told = told.join("\n");
        self.pick = 0;
    }

    fn entry(&self, index: usize) -> String {
        match Point::ALL.get(index) {
            Some(point) if self.against.contains(point) => {
                format!("{}: speaks against it", point.name())
            }
            Some(point) if self.drill.has_looked_at(*point) => {
                format!("{}: looked at", point.name())
            }
            Some(point) => point.name().to_owned(),
            None if index == GO => "decide: go".to_owned(),
            None => "decide: no".to_owned(),
        }
    }
}

impl Exercise for DecisionExercise {
    fn go_on(&mut self, done: &Done) {
        self.pick = picked(self.pick, done.pick, ENTRIES);
        if done.call && !self.drill.over() {
            self.choose();
        }
    }

    fn show(&self, stage: &Stage, seen: &mut Seen) {
        seen.plane = stage.pose(0.0, 0.0);
        // Not before it is decided.
        seen.broken = vec![BreakPart::Propeller];
    }

    fn words(&self) -> Words {
        if self.drill.over() {
            let report = self.drill.report();
            let days = report.days.iter().zip(1..);
            let lines: Vec<String> = days
                .map(|(day, number)| {
                    let (points, how) = (day.points, day.verdict.in_words());
                    format!("Day {number}: {how}, {points:.0} points")
                })
                .collect();
            return over(TITLE, lines, report.points, report.passed);
        }
        let (day, days) = self.drill.step();
        let step = format!("Day {day} of {days}");
        let first = "Look at whatever you want to know, then decide. Unsure is no";
        let entries = list((0..ENTRIES).map(|index| self.entry(index)), self.pick);
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
