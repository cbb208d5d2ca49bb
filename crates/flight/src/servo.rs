//! Servos, linkages and hinges.

use larkfield_airframe::{ControlSurface, Gap};

use crate::state::{Controls, SurfaceState};

/// Share of thin-aerofoil flap effect that is left at model Reynolds numbers:
/// gap and low Reynolds number together take about a third away (common
/// practice, no source); a sealed hinge keeps more of it.
pub(crate) fn realised_effect(gap: Gap, chord_m: f64) -> f64 {
    const SEALED: f64 = 0.80;
    match gap {
        Gap::Sealed => SEALED,
        // A slot of two per cent of the chord costs a further quarter.
        Gap::Open { width_m } => {
            let slot = (width_m / chord_m.max(1e-3)).max(0.0);
            SEALED * (1.0 - 0.25 * (slot / 0.02).min(2.0)).max(0.4)
        }
    }
}

/// Share of full travel that commands ask of a surface, toward positive
/// deflection. Beyond 1 either way the servo stands at its stop; a mixed
/// surface gets there when two sticks ask at once.
#[must_use]
pub fn commanded_share(surface: &ControlSurface, controls: &Controls) -> f64 {
    let mix = &surface.mix;
    let share = mix.roll * controls.roll + mix.pitch * controls.pitch + mix.yaw * controls.yaw;
    if surface.servo.reversed {
        -share
    } else {
        share
    }
}

/// Deflection by the servo at a share of full travel, the surface's own
/// neutral not included. Shares beyond 1 go on in proportion.
#[must_use]
pub fn travel_rad(surface: &ControlSurface, share: f64) -> f64 {
    if share >= 0.0 {
        share * surface.travel_positive_rad
    } else {
        share * surface.travel_negative_rad
    }
}

/// Moves the servo toward its command and the surface after it.
///
/// Free play: the surface stays where it is until the linkage takes it along;
/// air load holds it against one end, which this leaves out.
pub fn step(surface: &ControlSurface, state: &mut SurfaceState, controls: &Controls, dt_s: f64) {
    let _ = travel(surface, state, controls, dt_s);
}

/// [`step`], and the way on which the surface goes.
pub(crate) fn travel(
    surface: &ControlSurface,
    state: &mut SurfaceState,
    controls: &Controls,
    dt_s: f64,
) -> Travel {
    let from_rad = state.deflection_rad;
    let rests = Travel::rest(from_rad);
    if state.stopped {
        return rests;
    }
    let share = commanded_share(surface, controls).clamp(-1.0, 1.0);
    let wanted = travel_rad(surface, share);
    let error = wanted - state.servo_rad;
    let dead =
        surface.servo.dead_band * 0.5 * (surface.travel_positive_rad + surface.travel_negative_rad);
    // A servo that has woken runs until it is there: where it stops must not
    // depend on how the way was cut into ticks.
    state.runs |= error.abs() > dead;
    let from_servo_rad = state.servo_rad;
    if state.runs {
        let reach = surface.servo.speed_rad_s * dt_s;
        state.servo_rad += error.clamp(-reach, reach);
        state.runs = error.abs() > reach;
    }
    let play = 0.5 * surface.servo.slop_rad;
    let linkage = from_rad - surface.neutral_rad;
    let held = linkage.clamp(state.servo_rad - play, state.servo_rad + play);
    state.deflection_rad = held + surface.neutral_rad;
    if state.deflection_rad == from_rad {
        return rests;
    }
    // Before it takes the surface along, the servo has the play to cross.
    let way = held - linkage;
    let begins_rad = (linkage + play.copysign(way) - from_servo_rad).abs();
    let per_rad_s = 1.0 / surface.servo.speed_rad_s;
    Travel {
        from_rad,
        by_rad: way,
        begins_s: (begins_rad * per_rad_s).min(dt_s),
        ends_s: (error.abs() * per_rad_s).min(dt_s),
    }
}

/// How a surface moves in a tick: it rests, goes at the speed of its servo and
/// rests again.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Travel {
    from_rad: f64,
    by_rad: f64,
    begins_s: f64,
    ends_s: f64,
}

impl Travel {
    fn rest(at_rad: f64) -> Self {
        Self {
            from_rad: at_rad,
            by_rad: 0.0,
            begins_s: 0.0,
            ends_s: 0.0,
        }
    }

    /// Mean deflection over either half of the tick.
    pub fn halves_rad(&self, dt_s: f64) -> [f64; 2] {
        let first_rad = self.mean_rad(0.5 * dt_s);
        [first_rad, 2.0 * self.mean_rad(dt_s) - first_rad]
    }

    /// Mean deflection of the time from 0 to `until_s`.
    fn mean_rad(&self, until_s: f64) -> f64 {
        let moves_s = self.ends_s - self.begins_s;
        if self.by_rad == 0.0 || !(until_s > 0.0) {
            return self.from_rad;
        }
        if !(moves_s > 0.0) {
            // At once.
            let there_s = (until_s - self.ends_s).max(0.0);
            return self.from_rad + self.by_rad * there_s / until_s;
        }
        let moving_s = (until_s - self.begins_s).clamp(0.0, moves_s);
        let there_s = (until_s - self.ends_s).max(0.0);
        let way = self.by_rad * (0.5 * moving_s * moving_s / moves_s + there_s);
        self.from_rad + way / until_s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shipped::model;
    use crate::state::Deflection;

    const COMMAND: Controls = Controls {
        roll: 0.0,
        pitch: 0.1,
        yaw: 0.0,
        throttle: 0.0,
    };
    /// What the command asks for: away from the normal or toward it.
    const WAY_RAD: f64 = 0.02;

    /// An elevator with free play either way and no dead band.
    fn elevator(play_rad: f64) -> (ControlSurface, SurfaceState) {
        let airframe = model("marram", 1.0).airframe().clone();
        let is_elevator = |surface: &&ControlSurface| surface.mix.pitch != 0.0;
        let elevator = airframe.controls.iter().find(is_elevator);
        let mut surface = elevator.cloned().expect("an elevator");
        surface.neutral_rad = 0.0;
        surface.travel_positive_rad = 10.0 * WAY_RAD;
        surface.travel_negative_rad = 10.0 * WAY_RAD;
        surface.servo.dead_band = 0.0;
        surface.servo.slop_rad = 2.0 * play_rad;
        surface.servo.speed_rad_s = 5.0;
        let state = SurfaceState {
            deflection_rad: 0.0,
            servo_rad: 0.0,
            runs: false,
            stopped: false,
        };
        (surface, state)
    }

    /// A ramp of 4 ms after the play is crossed, then rest: areas of a triangle and
    /// of a rectangle.
    #[test]
    fn the_mean_of_a_way_is_the_area_under_it() {
        for (play_rad, begins_s) in [(0.0, 0.0), (0.002, 0.0004)] {
            let (surface, mut state) = elevator(play_rad);
            let travel = travel(&surface, &mut state, &COMMAND, 0.010);
            let way_rad = WAY_RAD - play_rad;
            let area = 0.5 * way_rad * (0.004 - begins_s) + way_rad * 0.006;
            let mean_rad = travel.mean_rad(0.010).abs();
            assert!((mean_rad - area / 0.010).abs() < 1e-12, "{mean_rad}");
            // Half way up.
            let middle_s = 0.5 * (begins_s + 0.004);
            let mean_rad = travel.mean_rad(middle_s).abs();
            let triangle = 0.25 * way_rad * (middle_s - begins_s);
            assert!((mean_rad - triangle / middle_s).abs() < 1e-12, "{mean_rad}");
        }
    }

    /// What ticks meet adds up to the area under the way, from half a tick before
    /// the first to half a tick before the end of the last, wherever between two
    /// ticks the servo stops.
    #[test]
    fn what_ticks_meet_adds_up_to_the_way() {
        for tick_s in [0.002, 0.001, 0.0013] {
            let (surface, mut state) = elevator(0.0);
            let mut met = Deflection::of(&state);
            let mut sum = 0.0;
            let ticks = 20;
            for _ in 0..ticks {
                let from_rad = state.deflection_rad;
                let travel = travel(&surface, &mut state, &COMMAND, tick_s);
                met.lead(from_rad, travel.halves_rad(tick_s), state.deflection_rad);
                sum += met.asked_rad * tick_s;
            }
            let until_s = (f64::from(ticks) - 0.5) * tick_s;
            let area = WAY_RAD * (until_s - 0.5 * 0.004);
            assert!((sum.abs() - area).abs() < 1e-12, "{tick_s}: {sum} {area}");
        }
    }
}
