//! Pilots and the radio link between them and their planes.

use bevy::prelude::*;
use glam::DVec3;
use larkfield_flight::Controls;
use larkfield_flight::power::PowerState;
use larkfield_pilot::{ControlMessage, Mishaps, Radio, ScriptedPilot, Trims, Truth};
use larkfield_recording::{EventKind, FlightStage};

use crate::aircraft::{Aircraft, Happenings};
use crate::throw::Hand;
use crate::tick::{RunStart, Tick, TickClock, TickSystems};

/// A pilot of one plane.
#[derive(Component, Debug, Clone)]
pub struct Pilot {
    /// Who flies.
    pub who: ScriptedPilot,
    /// Where the eyes are, world axes.
    pub eyes_m: DVec3,
    /// Propeller speed at full throttle standing still, against which the motor
    /// is heard.
    pub full_sound_rad_s: f64,
    /// What the hands did last. A window writes this for a person who flies.
    pub message: ControlMessage,
}

/// Transmitter, receiver and what the receiver gives out.
#[derive(Component, Debug, Clone)]
pub struct Link {
    /// Transmitter and receiver.
    pub radio: Radio,
    /// Commands at the servos and the controller.
    pub controls: Controls,
    /// The power was lost: the motor stays stopped.
    pub motor_stopped: bool,
    /// The propeller struck something: the controller waits for a shut throttle.
    pub struck: Option<Struck>,
    /// How far each command is out of trim: linkages that somebody set wrong,
    /// so it stays when the link is lost.
    pub trim_error: Trims,
    /// What gives way in flight.
    pub mishaps: Mishaps,
    /// When the plane was let go.
    free_since_s: Option<f64>,
}

/// A controller whose motor was stopped by a blow. It arms again, as when it is
/// switched on, once the throttle has been shut for a while (common practice,
/// no source).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Struck {
    shut_since_s: Option<f64>,
}

impl Struck {
    /// Throttle below this is shut.
    const SHUT: f64 = 0.03;
    /// For this long.
    const ARMS_AFTER_S: f64 = 1.0;

    /// Whether it is armed again.
    fn arms(&mut self, time_s: f64, throttle: f64) -> bool {
        if throttle > Self::SHUT {
            self.shut_since_s = None;
            return false;
        }
        let since_s = *self.shut_since_s.get_or_insert(time_s);
        time_s - since_s >= Self::ARMS_AFTER_S
    }
}

impl Link {
    /// How long the plane has been free, at a time of its run.
    pub(crate) fn free_s(&self, time_s: f64) -> Option<f64> {
        self.free_since_s.map(|since_s| time_s - since_s)
    }

    /// A link that has just been switched on.
    pub fn new(radio: Radio) -> Self {
        Self {
            radio,
            controls: Controls::default(),
            motor_stopped: false,
            struck: None,
            trim_error: Trims::default(),
            mishaps: Mishaps::default(),
            free_since_s: None,
        }
    }
}

/// Lets scripted pilots look and act, and sends what they do.
pub struct PilotPlugin;

impl Plugin for PilotPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(
            Tick,
            (
                act.in_set(TickSystems::Pilot),
                transmit.in_set(TickSystems::Link),
            ),
        );
    }
}

/// A propeller that is driven sounds as loud as it turns; one that only
/// windmills whirrs softly. Shares are common practice, no source.
fn motor_sound(power: &PowerState, full_sound_rad_s: f64) -> f64 {
    const WHIRR: f64 = 0.25;
    const DRIVEN_DUTY: f64 = 0.1;
    // Written so that NaN, too, is no sound.
    if full_sound_rad_s > 0.0 {
        let driven = (power.duty / DRIVEN_DUTY).clamp(0.0, 1.0);
        power.omega_rad_s.abs() / full_sound_rad_s * (WHIRR + (1.0 - WHIRR) * driven)
    } else {
        0.0
    }
}

fn act(
    clock: Res<TickClock>,
    mut pilots: Query<(&RunStart, &Aircraft, Option<&Hand>, &mut Pilot)>,
) {
    for (run, plane, hand, mut pilot) in &mut pilots {
        if plane.ended() {
            continue;
        }
        let time_s = clock.start_s(run);
        let motor_sound = motor_sound(&plane.state.power, pilot.full_sound_rad_s);
        let truth = Truth {
            position_m: plane.state.position_m,
            velocity_m_s: plane.state.velocity_m_s,
            attitude: plane.state.attitude,
            rates_rad_s: plane.state.rates_rad_s,
            motor_sound,
            in_hand: plane.stage == FlightStage::InHand,
            hand_off: hand.is_some_and(|hand| hand.hand_off(time_s)),
            eyes_m: pilot.eyes_m,
        };
        pilot.message = pilot.who.act(time_s, &truth);
    }
}

type Linked<'a> = (
    &'a RunStart,
    &'a Aircraft,
    &'a Pilot,
    &'a mut Link,
    &'a mut Happenings,
);

fn transmit(clock: Res<TickClock>, mut links: Query<Linked>) {
    for (run, plane, pilot, mut link, mut happenings) in &mut links {
        if plane.ended() {
            continue;
        }
        let time_s = clock.start_s(run);
        if link.free_since_s.is_none() && plane.stage != FlightStage::InHand {
            link.free_since_s = Some(time_s);
        }
        let free_s = link.free_s(time_s);
        let heard = link.mishaps.hears(free_s).then_some(&pilot.message);
        let mut controls = link.radio.relay(time_s, heard);
        if pilot.message.unseen.power_lost && !link.motor_stopped {
            link.motor_stopped = true;
            happenings.note(time_s, EventKind::PowerLost);
        }
        let throttle = controls.throttle;
        if link
            .struck
            .as_mut()
            .is_some_and(|struck| struck.arms(time_s, throttle))
        {
            link.struck = None;
        }
        if link.motor_stopped || link.struck.is_some() {
            controls.throttle = 0.0;
        }
        let steering = link.radio.setup().steering;
        let given = link.trim_error.misalign(controls, steering);
        link.controls = link.mishaps.at_servos(free_s, given, link.controls);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_struck_controller_arms_after_a_second_of_shut_throttle() {
        let mut struck = Struck::default();
        assert!(!struck.arms(0.0, 0.8));
        assert!(!struck.arms(0.5, 0.0));
        assert!(!struck.arms(1.4, 0.0));
        // Opened too early: the second starts again.
        assert!(!struck.arms(1.45, 0.5));
        assert!(!struck.arms(1.6, 0.0));
        assert!(!struck.arms(2.5, 0.0));
        assert!(struck.arms(2.6, 0.0));
    }
}
