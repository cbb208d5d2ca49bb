//! What kind of aeroplane it is, as far as rules and words depend on it.

use larkfield_airframe::{Airframe, ContactKind, SurfaceKind};
use serde::Serialize;

/// Kind of aeroplane.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Layout {
    /// It has a motor.
    pub powered: bool,
    /// The propeller works behind its motor.
    pub pusher: bool,
    /// No tailplane: wing and elevons alone make it stable in pitch.
    pub tailless: bool,
    /// Surfaces that answer both pitch and roll.
    pub elevons: bool,
    /// Surfaces that answer both pitch and yaw.
    pub v_tail: bool,
    /// It stands on wheels.
    pub wheels: bool,
    /// Mean deflection of the surfaces that answer pitch for a full command,
    /// trailing edge up or down.
    pub pitch_travel_rad: Option<f64>,
    /// Mean deflection of the same with the stick centred, trailing edge up
    /// positive.
    pub pitch_rest_up_rad: Option<f64>,
}

impl Layout {
    /// Of an airframe.
    #[must_use]
    pub fn of(airframe: &Airframe) -> Self {
        let pitching: Vec<_> = (airframe.controls.iter())
            .filter(|c| c.mix.pitch != 0.0)
            .collect();
        let mean = |value: &dyn Fn(&larkfield_airframe::ControlSurface) -> f64| {
            let count = pitching.len() as f64;
            (count > 0.0).then(|| pitching.iter().map(|c| value(c)).sum::<f64>() / count)
        };
        Self {
            powered: airframe.power.is_some(),
            pusher: airframe.power.as_ref().is_some_and(|p| p.pusher),
            tailless: (airframe.panels.iter()).all(|p| p.kind != SurfaceKind::Tailplane),
            elevons: pitching.iter().any(|c| c.mix.roll != 0.0),
            v_tail: pitching.iter().any(|c| c.mix.yaw != 0.0),
            wheels: (airframe.contacts.iter()).any(|c| c.kind == ContactKind::Wheel),
            pitch_travel_rad: mean(&|c| {
                0.5 * (c.travel_positive_rad + c.travel_negative_rad) * c.mix.pitch.abs()
            }),
            pitch_rest_up_rad: mean(&|c| -c.neutral_rad),
        }
    }

    /// What a builder calls the surface that pitches it.
    #[must_use]
    pub fn pitch_surface(&self) -> &'static str {
        match (self.elevons, self.v_tail) {
            (true, _) => "elevons",
            (_, true) => "V-tail surfaces",
            _ => "elevator",
        }
    }
}
