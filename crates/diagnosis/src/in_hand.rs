//! What a log tells before the plane is let go.

use larkfield_faults::{Fault, Injected, Scene, library};

use crate::log::{Log, Row};

/// A propeller that turns faster than this and draws more than this is driven.
const TURNS_RAD_S: f64 = 150.0;
const DRAWS_A: f64 = 0.3;
/// The throttle stick is at its low stop.
const SHUT: f64 = 0.03;
/// For so long it has been; a motor that was running has stopped before.
const SHUT_S: f64 = 0.3;
/// It runs for this long: more than a number or two gone wrong (own choice).
const RUNS_S: f64 = 0.1;

/// Set-ups in which another stick than that of the throttle moves the motor. In the
/// hand nothing else tells them apart.
const ANOTHER_STICK: [&str; 2] = ["stick-mode-wrong", "channel-order-wrong"];

/// The motor ran in the hand although its stick was shut.
pub(crate) struct RanShut {
    /// Faults that do that, among those that this plane can have.
    pub faults: Vec<&'static Fault>,
    /// When it began.
    pub at_s: f64,
    pub fastest_rad_s: f64,
}

impl RanShut {
    /// Looks for it.
    pub fn of(log: &Log, scene: &Scene) -> Option<Self> {
        let is_shut = |row: &&Row| row.message.sticks.throttle <= SHUT;
        let in_hand = log.in_hand();
        let from_s = in_hand.first().filter(is_shut)?.time_s;
        let shut = in_hand.iter().take_while(is_shut);
        let driven = |row: &&Row| {
            row.time_s - from_s > SHUT_S
                && row.propeller_rad_s > TURNS_RAD_S
                && row.current_a > DRAWS_A
        };
        let runs: Vec<&Row> = shut.filter(driven).collect();
        let (first, last) = (runs.first()?, runs.last()?);
        let can_have = |fault: &&'static Fault| {
            let injected = Injected::of_size(fault, 1.0);
            injected.apply(&mut scene.clone()).is_ok()
        };
        let known = library().filter(|fault| ANOTHER_STICK.contains(&fault.name));
        (last.time_s - first.time_s >= RUNS_S).then(|| Self {
            faults: known.filter(can_have).collect(),
            at_s: first.time_s,
            fastest_rad_s: runs
                .iter()
                .map(|row| row.propeller_rad_s)
                .fold(0.0, f64::max),
        })
    }
}
