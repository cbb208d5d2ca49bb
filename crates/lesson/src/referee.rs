//! Watches a flight and says what happened and when it is over.
//!
//! A small state machine over the truth, a function of time: it may be asked
//! every tick or less often.
//!
//! # Distance to people
//! Everybody's zone is [`SAFE_DISTANCE_M`] around their body. The plane starts
//! inside the zones of those who stand at the launch (thrower, pilot, helper),
//! so theirs counts only once it has been outside, or, when three seconds after
//! release it still is not outside, as soon as it comes back by more than a
//! metre: flying away slowly against the wind endangers nobody, turning back
//! does. A bystander's zone counts from the release on. A plane that
//! lies still endangers nobody any more.

use glam::DVec3;
use larkfield_recording::{EventKind, FlightStage, Person};

use crate::surprise::SurpriseWatch;
use crate::{
    CircuitFrame, Conditions, Disk, Field, Goal, GoalWatch, Lesson, PersonBody, Progress,
    SAFE_DISTANCE_M, SafetyLine, Surprise, Watch,
};

/// After this time the plane should have left the launch.
const LEAVING_S: f64 = 3.0;
/// Coming back by this much means coming back.
const RETURN_M: f64 = 1.0;
/// Outline points this near to a body touch it: half a fuselage's width.
const TOUCH_M: f64 = 0.05;
/// The thrower's body is touched by the plane only after it was this far.
const CLEAR_M: f64 = 0.3;
/// Slower than this is lying still.
const STILL_M_S: f64 = 0.2;
/// Lying still for this long ends the run.
const STILL_S: f64 = 0.5;
/// A broken plane is watched for this long.
const AFTER_BREAK_S: f64 = 2.0;
/// Stalled: more than this share of the wing area separated.
const STALLED_SHARE: f64 = 1.0 / 3.0;
/// Flying again: less than this.
const ATTACHED_SHARE: f64 = 0.2;

/// A plane at rest is waited for this long beyond the time it may take to
/// disarm it.
const AFTER_DISARM_S: f64 = 0.5;

/// One person and how near the plane has come.
#[derive(Debug, Clone, PartialEq)]
struct Zone {
    body: PersonBody,
    /// Farthest and nearest since the release.
    farthest_m: f64,
    nearest_inside_m: Option<f64>,
    reported: bool,
    was_clear: bool,
    hit: bool,
}

/// The state machine. `Clone`: the copy judges the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Referee {
    zones: Vec<Zone>,
    line: SafetyLine,
    phases: Vec<(String, Goal)>,
    frame: Option<CircuitFrame>,
    surprises: Vec<SurpriseWatch>,
    time_limit_s: f64,
    /// The time limit counts from the release.
    waits: bool,
    phase: usize,
    /// Watches the goal of the current phase, which began at this time.
    goal: Option<(GoalWatch, f64)>,
    released_s: Option<f64>,
    /// Has been in the air.
    flown: bool,
    touched: bool,
    still_since_s: Option<f64>,
    broken_s: Option<f64>,
    crossed: bool,
    stalled: bool,
    hand_cut: bool,
    ended: bool,
}

impl Referee {
    /// A referee for a lesson on a field, given where the thrower stands
    /// ([`larkfield_pilot::HandPath::feet_m`]) and the wind of the day.
    pub fn new(
        lesson: &Lesson,
        field: &Field,
        thrower_feet_m: DVec3,
        conditions: &Conditions,
    ) -> Self {
        let zones = lesson
            .people(field, thrower_feet_m)
            .into_iter()
            .map(|body| Zone {
                body,
                farthest_m: 0.0,
                nearest_inside_m: None,
                reported: false,
                was_clear: false,
                hit: false,
            })
            .collect();
        Self {
            zones,
            line: field.safety_line,
            phases: lesson
                .phases
                .iter()
                .map(|phase| (phase.name.clone(), phase.goal))
                .collect(),
            frame: lesson.frame(field, conditions),
            surprises: lesson
                .surprises
                .iter()
                .map(|surprise| SurpriseWatch::new(surprise.clone()))
                .collect(),
            time_limit_s: lesson.time_limit_s,
            waits: false,
            phase: 0,
            goal: None,
            released_s: None,
            flown: false,
            touched: false,
            still_since_s: None,
            broken_s: None,
            crossed: false,
            stalled: false,
            hand_cut: false,
            ended: false,
        }
    }

    /// Lets the time limit count from the release: somebody at the sticks throws
    /// when ready, and waiting costs nothing.
    pub fn count_from_release(&mut self) {
        self.waits = true;
    }

    /// True when the run is over.
    pub fn has_ended(&self) -> bool {
        self.ended
    }

    /// Distance from a point to the nearest body; infinite on an empty field.
    pub fn nearest_person_m(&self, point_m: DVec3) -> f64 {
        self.zones
            .iter()
            .map(|zone| zone.body.distance_m(point_m))
            .fold(f64::INFINITY, f64::min)
    }

    /// Signed distance to the safety line, positive on the flying side.
    pub fn safety_line_m(&self, point_m: DVec3) -> f64 {
        self.line.distance_m(point_m.x, point_m.y)
    }

    /// Looks at a moment and returns what happened since the last one, in
    /// order; [`EventKind::Ended`] comes last and only once.
    pub fn watch(&mut self, seen: &Watch) -> Vec<EventKind> {
        let mut events = Vec::new();
        if self.ended {
            return events;
        }
        if seen.stage != FlightStage::InHand && self.released_s.is_none() {
            self.released_s = Some(seen.time_s);
        }
        self.watch_hits(seen, &mut events);
        if let Some(released_s) = self.released_s {
            let free_s = seen.time_s - released_s;
            self.watch_zones(seen, free_s, &mut events);
            self.watch_line(seen, &mut events);
            self.watch_wing(seen, &mut events);
            self.watch_phases(seen, free_s, &mut events);
            self.spring(seen, free_s, &mut events);
        }
        if let Some(reason) = self.end_reason(seen, &mut events) {
            for zone in &mut self.zones {
                zone.report(&mut events);
            }
            events.push(EventKind::Ended {
                reason: reason.to_owned(),
            });
            self.ended = true;
        }
        events
    }

    /// Propeller and hand, propeller and bodies, plane and bodies.
    fn watch_hits(&mut self, seen: &Watch, events: &mut Vec<EventKind>) {
        let turning = seen.propeller.filter(|disk| disk.turning);
        if let (Some(disk), Some(arm), false) = (turning, seen.arm, self.hand_cut)
            && disk.meets(&arm)
        {
            self.hand_cut = true;
            events.push(EventKind::HitPerson {
                person: Person::Thrower,
                propeller: true,
            });
        }
        for zone in &mut self.zones {
            zone.watch_hit(seen, turning, self.released_s.is_some(), events);
        }
    }

    fn watch_zones(&mut self, seen: &Watch, free_s: f64, events: &mut Vec<EventKind>) {
        let moving = seen.velocity_m_s.length() > STILL_M_S;
        for zone in &mut self.zones {
            zone.watch_distance(seen.position_m, free_s, moving, events);
        }
    }

    fn watch_line(&mut self, seen: &Watch, events: &mut Vec<EventKind>) {
        if !self.crossed && self.safety_line_m(seen.position_m) < 0.0 {
            self.crossed = true;
            events.push(EventKind::CrossedSafetyLine);
        }
    }

    fn watch_wing(&mut self, seen: &Watch, events: &mut Vec<EventKind>) {
        if !self.stalled && seen.stalled_share > STALLED_SHARE {
            self.stalled = true;
            events.push(EventKind::Stalled);
        } else if self.stalled && seen.stalled_share < ATTACHED_SHARE {
            self.stalled = false;
        }
    }

    fn watch_phases(&mut self, seen: &Watch, free_s: f64, events: &mut Vec<EventKind>) {
        let on_ground = seen.stage == FlightStage::Ground;
        self.flown |= seen.stage == FlightStage::Free;
        while let Some((name, goal)) = self.phases.get(self.phase) {
            // What is flown in the air is not flown to the end on the ground or
            // in pieces. A plane that has yet to leave the ground may stand on it.
            let grounded = (on_ground && self.flown) || seen.broken;
            let launching = *goal == Goal::LiftOff && !seen.broken;
            self.touched |= grounded && !goal.is_on_ground() && !launching;
            if self.touched {
                break;
            }
            let frame = self.frame;
            let (watch, _) = self
                .goal
                .get_or_insert_with(|| (GoalWatch::new(*goal, frame), seen.time_s));
            let before = watch.progress();
            let now = watch.watch(seen, free_s);
            if let (Progress::Under(_), Progress::Failed(reason)) = (before, now) {
                events.push(EventKind::PhaseFailed {
                    why: format!("{name}: {reason}"),
                });
            }
            if now != Progress::Done {
                break;
            }
            events.push(EventKind::PhaseDone {
                phase: name.clone(),
            });
            self.phase += 1;
            self.goal = None;
        }
    }

    /// Surprises whose moment has come.
    fn spring(&mut self, seen: &Watch, free_s: f64, events: &mut Vec<EventKind>) {
        let began_s = self.goal.as_ref().map(|(_, began_s)| *began_s);
        let current = self.phases.get(self.phase).zip(began_s);
        let phase = current.map(|((name, _), began_s)| (name.as_str(), seen.time_s - began_s));
        for watch in &mut self.surprises {
            if watch.springs(free_s, seen.height_m(), phase) {
                events.push(match watch.surprise {
                    Surprise::PowerLoss(_) => EventKind::PowerLost,
                });
            }
        }
    }

    fn end_reason(&mut self, seen: &Watch, events: &mut Vec<EventKind>) -> Option<&'static str> {
        let still = self.flown
            && seen.stage == FlightStage::Ground
            && seen.velocity_m_s.length() < STILL_M_S;
        self.still_since_s = if still {
            Some(self.still_since_s.unwrap_or(seen.time_s))
        } else {
            None
        };
        if seen.broken && self.broken_s.is_none() {
            self.broken_s = Some(seen.time_s);
        }
        let longer_than = |since_s: Option<f64>, length_s: f64| {
            since_s.is_some_and(|since_s| seen.time_s - since_s >= length_s)
        };
        if self.hand_cut || self.zones.iter().any(|zone| zone.hit) {
            Some("somebody was hit")
        } else if self.crossed {
            Some("the plane crossed the safety line")
        } else if !self.phases.is_empty() && self.phase >= self.phases.len() {
            Some("the lesson was completed")
        } else if longer_than(self.still_since_s, self.still_s()) {
            events.push(EventKind::AtRest);
            Some("the plane came to rest")
        } else if longer_than(self.broken_s, AFTER_BREAK_S) {
            Some("the plane broke")
        } else if seen.time_s - self.waited_s(seen.time_s) >= self.time_limit_s {
            Some("the time was up")
        } else {
            None
        }
    }
}

impl Referee {
    /// Time that does not count.
    fn waited_s(&self, time_s: f64) -> f64 {
        if self.waits {
            self.released_s.unwrap_or(time_s)
        } else {
            0.0
        }
    }

    /// How long a plane lies still before the run ends: long enough for what
    /// the lesson still asks of it.
    fn still_s(&self) -> f64 {
        match self
            .goal
            .as_ref()
            .map(|(watch, _)| (watch.goal(), watch.progress()))
        {
            Some((Goal::Disarm { within_s }, Progress::Under(_))) => {
                STILL_S + within_s + AFTER_DISARM_S
            }
            Some((Goal::RollOut, Progress::Under(_))) => 2.0 * STILL_S,
            _ => STILL_S,
        }
    }
}

impl Zone {
    /// The body itself. While in the hand, and until it has once been clear,
    /// the plane may touch its thrower; a turning propeller never may.
    fn watch_hit(
        &mut self,
        seen: &Watch,
        turning: Option<Disk>,
        released: bool,
        events: &mut Vec<EventKind>,
    ) {
        // Far away nothing needs a closer look: no plane here is 3 m long.
        let distance_m = self.body.distance_m(seen.position_m);
        if self.hit || distance_m > 3.0 {
            self.was_clear |= released;
            return;
        }
        let propeller = turning.is_some_and(|disk| self.body.distance_to_disk_m(&disk) <= 0.0);
        let outline_m = seen
            .outline_m
            .iter()
            .map(|point_m| self.body.distance_m(*point_m))
            .fold(distance_m, f64::min);
        let counts = self.body.person != Person::Thrower || self.was_clear;
        if propeller || (released && counts && outline_m < TOUCH_M) {
            self.hit = true;
            events.push(EventKind::HitPerson {
                person: self.body.person,
                propeller,
            });
        }
        self.was_clear |= released && outline_m > CLEAR_M;
    }

    fn watch_distance(
        &mut self,
        position_m: DVec3,
        free_s: f64,
        moving: bool,
        events: &mut Vec<EventKind>,
    ) {
        let distance_m = self.body.distance_m(position_m);
        let counts = self.body.person == Person::Bystander
            || self.farthest_m > SAFE_DISTANCE_M
            || (free_s > LEAVING_S && distance_m < self.farthest_m - RETURN_M);
        self.farthest_m = self.farthest_m.max(distance_m);
        if counts && moving && distance_m < SAFE_DISTANCE_M {
            let nearest_m = self.nearest_inside_m.unwrap_or(f64::INFINITY);
            self.nearest_inside_m = Some(nearest_m.min(distance_m));
        }
        // The closest distance is known once the plane goes away again.
        if self
            .nearest_inside_m
            .is_some_and(|nearest_m| distance_m > nearest_m + RETURN_M)
        {
            self.report(events);
        }
    }

    fn report(&mut self, events: &mut Vec<EventKind>) {
        if let (Some(distance_m), false) = (self.nearest_inside_m, self.reported) {
            self.reported = true;
            events.push(EventKind::NearPerson {
                person: self.body.person,
                distance_m,
            });
        }
    }
}
