//! Flying a log again in short stretches with a plane that may have a fault.
//!
//! Each stretch begins where the log says the plane was, is flown with the
//! sticks of the log, and ends a moment later; how far it is from the log then
//! tells how well that plane explains it. A flight in one piece would not: the
//! smallest error grows for as long as it is flown.

use larkfield_airframe::{Airframe, MassProperties, SurfaceKind, plan_form};
use larkfield_faults::Scene;
use larkfield_flight::{
    CarriedMotion, Controls, FlightModel, FlightModelError, FlightState, StepReport, step_surface,
};
use larkfield_pilot::attitude::turn_of;
use larkfield_pilot::{ControlMessage, Mishaps, Radio, RadioSetup, Trims};

use crate::air::Air;
use crate::log::{Log, Row};

/// Tick of the flights; coarser than a rehearsal's is enough for half a second.
const TICK_S: f64 = 0.005;
/// Ticks in which it is carried at once.
const CARRIED_TICKS: usize = 2;
/// How often and how long servos and air settle before.
const SETTLE: usize = 15;
const SETTLE_S: f64 = 0.04;
/// Length of a stretch: long enough for a servo and a plane to answer.
pub(crate) const STRETCH_S: f64 = 0.5;
/// A flight that was over sooner is one stretch, down to this.
const SHORTEST_S: f64 = 0.2;
/// From the beginning of one to that of the next, at least.
const STRIDE_S: f64 = 0.25;
/// Most stretches of a flight: what is wrong with a plane shows early, and time
/// is short for whoever waits.
const MOST: usize = 16;
/// Before it, the plane is carried along the log, so that air, motor and servos
/// are as they were.
const CARRIED_S: f64 = 0.25;

/// What is not known: the wind, and how the plane differs from its design.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Unknown {
    /// Wind toward north and east, 10 m above the ground.
    pub wind_m_s: [f64; 2],
    /// Balance ahead of the design.
    pub balance_m: f64,
    /// Shares by which these are more than the design's.
    pub mass_share: f64,
    pub thrust_share: f64,
    pub drag_share: f64,
}

/// Numbers that tell two flights apart at the end of a stretch.
pub(crate) const MEASURES: usize = 8;

/// How far the log is from the flight at the end of a stretch: mean rates of
/// roll, pitch and yaw (rad/s), velocity ahead, to starboard and down (m/s),
/// propeller speed (share) and voltage (V).
pub(crate) type Miss = [f64; MEASURES];

/// A stretch of the log.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    pub from_s: f64,
    length_s: f64,
}

impl Stretch {
    pub fn ends_s(self) -> f64 {
        self.from_s + self.length_s
    }

    /// Stretches of a log, spread over it.
    pub fn all(log: &Log) -> Vec<Self> {
        let until_s = log.ends_s();
        let flown_s = until_s - log.released_s();
        let whole_ticks_s = TICK_S * (flown_s / TICK_S + 1e-6).floor();
        let length_s = STRETCH_S.min(whole_ticks_s);
        if length_s < SHORTEST_S {
            return Vec::new();
        }
        let stride_s = STRIDE_S.max(flown_s / MOST as f64);
        let mut all = Vec::new();
        let mut from_s = log.released_s();
        while from_s + length_s <= until_s + 1e-9 {
            let before_s = (from_s - CARRIED_S).max(log.begins_s());
            if log.is_whole(before_s, from_s + length_s) {
                all.push(Self { from_s, length_s });
            }
            from_s += stride_s;
        }
        all
    }
}

/// A plane with its radio, ready to fly stretches of a log.
pub(crate) struct Candidate {
    model: FlightModel,
    /// Parasitic deceleration for each square of the speed, of which the unknown
    /// drag is a share.
    drag_per_m: f64,
    radio: RadioSetup,
    trim_error: Trims,
    mishaps: Mishaps,
}

impl Candidate {
    /// `like` is another plane of the same air.
    pub fn new(
        scene: &Scene,
        unknown: &Unknown,
        like: &FlightModel,
    ) -> Result<Self, FlightModelError> {
        let mut airframe = scene.airframe.clone();
        let mass = MassProperties::of(&airframe);
        if unknown.balance_m != 0.0 {
            airframe.measured.balance_x_m = Some(mass.cg_m.x + unknown.balance_m);
        }
        if unknown.mass_share != 0.0 {
            airframe.measured.mass_kg = Some(mass.mass_kg * (1.0 + unknown.mass_share));
        }
        // At the same speed thrust goes with the fourth power of the propeller's
        // size; and so the shaft's speed and the moment of its offset change with it.
        let larger = libm::pow(1.0 + unknown.thrust_share, 0.25);
        let model = (like.of_another(&airframe)?).with_propeller_enlarged(larger);
        Ok(Self {
            drag_per_m: drag_per_m(&airframe, mass.mass_kg, like.air().density_kg_m3),
            model,
            radio: scene.radio,
            trim_error: scene.trim_error,
            mishaps: scene.mishaps.clone(),
        })
    }

    /// Commands at the servos for every tick of a log, from its beginning.
    fn commands(&self, log: &Log) -> Vec<Controls> {
        let mut radio = Radio::new(self.radio);
        let steering = self.radio.steering;
        let mut message = ControlMessage::default();
        let mut before = Controls::default();
        let ticks = ((log.ends_s() - log.begins_s()) / TICK_S).ceil() as usize + 1;
        (0..ticks)
            .map(|tick| {
                let time_s = log.begins_s() + tick as f64 * TICK_S;
                // In a gap the sticks stay.
                if let Some((row, _)) = log.at(time_s) {
                    message = row.message;
                }
                let free_s = free_s(log, time_s);
                let heard = self.mishaps.hears(free_s).then_some(&message);
                let controls = radio.relay(time_s, heard);
                let given = self.trim_error.misalign(controls, steering);
                before = self.mishaps.at_servos(free_s, given, before);
                before
            })
            .collect()
    }

    /// How far the log is from this plane at the end of each stretch.
    pub fn misses(&self, log: &Log, stretches: &[Stretch], unknown: &Unknown) -> Vec<Miss> {
        let commands = self.commands(log);
        (stretches.iter())
            .map(|stretch| self.miss(log, stretch, unknown, &commands))
            .collect()
    }

    fn miss(&self, log: &Log, stretch: &Stretch, unknown: &Unknown, commands: &[Controls]) -> Miss {
        let air = Air::of(unknown.wind_m_s);
        let ends = (
            self.brought_to(log, stretch, &air, commands),
            log.at(stretch.ends_s()),
        );
        // Stretches have no gaps.
        let (Some(mut state), Some((end, _))) = ends else {
            return [0.0; MEASURES];
        };
        let report = self.fly(&mut state, log, stretch, unknown, &air, commands);
        let turned = turn_of(state.attitude.inverse() * end.attitude) / stretch.length_s;
        let moved = end.attitude.inverse() * (end.velocity_m_s - state.velocity_m_s);
        let turning = report.propeller_rad_s.abs().max(50.0);
        let miss = [
            turned.x,
            turned.y,
            turned.z,
            moved.x,
            moved.y,
            moved.z,
            (end.propeller_rad_s - report.propeller_rad_s) / turning,
            end.voltage_v - report.voltage_v,
        ];
        // A plane that flies itself to pieces explains nothing.
        miss.map(|value| {
            if value.is_finite() {
                value.clamp(-50.0, 50.0)
            } else {
                50.0
            }
        })
    }

    /// The plane where a stretch begins, its air, motor and servos as the way
    /// there left them.
    fn brought_to(
        &self,
        log: &Log,
        stretch: &Stretch,
        air: &Air,
        commands: &[Controls],
    ) -> Option<FlightState> {
        let mut state = self.model.state_at_rest();
        let first = tick_at(log, (stretch.from_s - CARRIED_S).max(log.begins_s()));
        let begin = tick_at(log, stretch.from_s);
        let mut start = None;
        let times = (begin - first) / CARRIED_TICKS;
        for left in (0..=times).rev() {
            let tick = begin - left * CARRIED_TICKS;
            let time_s = log.begins_s() + tick as f64 * TICK_S;
            let Some((row, charge_c)) = log.at(time_s) else {
                continue;
            };
            let controls = command(commands, tick);
            let around = air.around(-row.position_m.z);
            let carry = |state: &mut FlightState, dt_s: f64| {
                (self.model).carry(state, &carried(&row), &controls, &around, dt_s);
            };
            if left == times {
                // Servos have long been where they are asked to be, the motor turns
                // as logged; from here on both go by themselves.
                for _ in 0..SETTLE {
                    state.power.omega_rad_s = row.propeller_rad_s;
                    carry(&mut state, SETTLE_S);
                }
                state.power.charge_used_c = charge_c;
                self.put_stopped(log, commands, tick, &mut state);
            }
            self.mishaps.stop_servos(free_s(log, time_s), &mut state);
            if left > 0 {
                carry(&mut state, CARRIED_TICKS as f64 * TICK_S);
                state.power.omega_rad_s = row.propeller_rad_s;
            }
            start = Some(row);
        }
        let motion = carried(&start?);
        state.position_m = motion.position_m;
        state.velocity_m_s = motion.velocity_m_s;
        state.attitude = motion.attitude;
        state.rates_rad_s = motion.rates_rad_s;
        Some(state)
    }

    /// Puts servos that stopped before a tick where they stopped.
    fn put_stopped(&self, log: &Log, commands: &[Controls], first: usize, state: &mut FlightState) {
        for (control, after_s) in self.mishaps.servo_stops() {
            let stopped = tick_at(log, log.released_s() + after_s);
            let surface = self.model.airframe().controls.get(control);
            if let (Some(surface), Some(moved)) = (surface, state.surfaces.get_mut(control))
                && stopped < first
            {
                for _ in 0..SETTLE {
                    step_surface(surface, moved, &command(commands, stopped), SETTLE_S);
                }
            }
        }
    }

    /// Flies a stretch; what the last tick saw.
    fn fly(
        &self,
        state: &mut FlightState,
        log: &Log,
        stretch: &Stretch,
        unknown: &Unknown,
        air: &Air,
        commands: &[Controls],
    ) -> StepReport {
        let begin = tick_at(log, stretch.from_s);
        let ticks = (stretch.length_s / TICK_S).round() as usize;
        let mut report = StepReport::default();
        for tick in begin..begin + ticks {
            let time_s = log.begins_s() + tick as f64 * TICK_S;
            self.mishaps.stop_servos(free_s(log, time_s), state);
            let around = air.around(-state.position_m.z);
            report = (self.model).step(state, &command(commands, tick), &around, TICK_S);
            if unknown.drag_share != 0.0 {
                let through_m_s = state.velocity_m_s - air.wind_m_s(-state.position_m.z);
                let share = through_m_s.length() * self.drag_per_m * unknown.drag_share;
                state.velocity_m_s -= through_m_s * (TICK_S * share);
            }
        }
        report
    }
}

/// Time since the release.
fn free_s(log: &Log, time_s: f64) -> Option<f64> {
    let free_s = time_s - log.released_s();
    (free_s >= -1e-9).then_some(free_s)
}

/// Number of the tick of a log that begins at a time.
fn tick_at(log: &Log, time_s: f64) -> usize {
    ((time_s - log.begins_s()) / TICK_S).round() as usize
}

/// The command of a tick; after the last it stays.
fn command(commands: &[Controls], tick: usize) -> Controls {
    let last = commands.len().saturating_sub(1);
    commands.get(tick.min(last)).copied().unwrap_or_default()
}

fn carried(row: &Row) -> CarriedMotion {
    CarriedMotion {
        position_m: row.position_m,
        velocity_m_s: row.velocity_m_s,
        attitude: row.attitude,
        rates_rad_s: row.rates_rad_s,
    }
}

/// What drags without lifting, a few hundredths of the wing's area (common
/// practice, no source).
fn drag_per_m(airframe: &Airframe, mass_kg: f64, density_kg_m3: f64) -> f64 {
    const DRAG_COEFFICIENT: f64 = 0.06;
    let wing = plan_form(airframe, |panel| panel.kind == SurfaceKind::Wing);
    let wing_m2 = wing.map_or(0.0, |wing| wing.area_m2);
    0.5 * density_kg_m3 * wing_m2 * DRAG_COEFFICIENT / mass_kg.max(1e-6)
}
