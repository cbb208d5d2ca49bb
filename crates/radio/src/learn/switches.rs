//! Finding the button or the switch that somebody presses.

use crate::{AxisCode, ButtonCode, Switch, SwitchJob, Trigger};

/// A switch that is over for this long stays there.
const STAYS_OVER_S: f64 = 2.0;
/// An axis has been switched when it has moved this far, and is back when it is
/// within half of that.
const SWITCHED: f64 = 0.5;

/// What has been seen in the present step.
#[derive(Debug, Clone, Copy)]
struct Seen {
    trigger: Trigger,
    since_s: f64,
    /// It was put back.
    back: bool,
}

/// Looks for switches, one job after the other.
#[derive(Debug, Clone, Default)]
pub struct SwitchHunt {
    switches: Vec<Switch>,
    seen: Option<Seen>,
}

impl SwitchHunt {
    /// A button changed.
    pub fn button(&mut self, time_s: f64, code: ButtonCode, pressed: bool) {
        let taken = |switch: &Switch| switch.trigger.button() == Some(code);
        if self.switches.iter().any(taken) {
            return;
        }
        match &mut self.seen {
            None if pressed => {
                self.seen = Some(Seen {
                    trigger: Trigger::Held(code),
                    since_s: time_s,
                    back: false,
                });
            }
            Some(seen) if !pressed && seen.trigger.button() == Some(code) => seen.back = true,
            _ => {}
        }
    }

    /// Axes that belong to no stick: each with its value when the step began
    /// and now.
    pub fn axes(&mut self, now_s: f64, values: impl Iterator<Item = (AxisCode, f64, f64)>) {
        for (code, before, now) in values {
            let way = now - before;
            let taken = |switch: &Switch| switch.trigger.axis() == Some(code);
            if self.switches.iter().any(taken) {
                continue;
            }
            match &mut self.seen {
                None if way.abs() > SWITCHED => {
                    // Half-way, in the hundredths of a percent of a file.
                    let limit = (0.5 * (before + now) * 1e4).round() / 1e4;
                    let trigger = if way > 0.0 {
                        Trigger::Above(code, limit)
                    } else {
                        Trigger::Below(code, limit)
                    };
                    self.seen = Some(Seen {
                        trigger,
                        since_s: now_s,
                        back: false,
                    });
                }
                Some(seen) if seen.trigger.axis() == Some(code) => {
                    seen.back |= way.abs() < 0.5 * SWITCHED;
                }
                _ => {}
            }
        }
    }

    /// Gives the job to what was seen, when that has been put back or stays
    /// over; true when it did.
    pub fn take(&mut self, now_s: f64, job: SwitchJob) -> bool {
        let done = |seen: &Seen| seen.back || now_s - seen.since_s >= STAYS_OVER_S;
        let Some(seen) = self.seen.filter(done) else {
            return false;
        };
        self.seen = None;
        let trigger = match seen.trigger {
            // A button that springs back would have to be held all the time.
            Trigger::Held(code) if job == SwitchJob::SecondRates && code.springs_back() => {
                Trigger::Toggled(code)
            }
            trigger => trigger,
        };
        self.switches.push(Switch { job, trigger });
        true
    }

    /// Forgets what was seen in a step that is left out.
    pub fn forget(&mut self) {
        self.seen = None;
    }

    /// Everything found.
    pub fn switches(&self) -> Vec<Switch> {
        self.switches.clone()
    }
}
