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
    if state.stopped {
        return;
    }
    let share = commanded_share(surface, controls).clamp(-1.0, 1.0);
    let wanted = travel_rad(surface, share);
    let error = wanted - state.servo_rad;
    let dead =
        surface.servo.dead_band * 0.5 * (surface.travel_positive_rad + surface.travel_negative_rad);
    // A servo that has woken runs until it is there: where it stops must not
    // depend on how the way was cut into ticks.
    state.runs |= error.abs() > dead;
    if state.runs {
        let reach = surface.servo.speed_rad_s * dt_s;
        state.servo_rad += error.clamp(-reach, reach);
        state.runs = error.abs() > reach;
    }
    let play = 0.5 * surface.servo.slop_rad;
    let linkage = state.deflection_rad - surface.neutral_rad;
    let held = linkage.clamp(state.servo_rad - play, state.servo_rad + play);
    state.deflection_rad = held + surface.neutral_rad;
}
