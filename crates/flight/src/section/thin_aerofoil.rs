//! What a hinge and a crease do to a thin section.

use core::f64::consts::PI;

use larkfield_airframe::Fold;

/// Flap geometry reduced to what thin aerofoil theory needs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FlapTheory {
    /// Change of zero-lift angle for unit deflection (Glauert).
    pub lift_effect: f64,
    /// Change of the leading-edge angle A0 for unit deflection.
    pub nose_effect: f64,
    /// Change of the quarter-chord moment for unit deflection.
    pub moment_effect: f64,
    /// Share of the theoretical effect that real flow leaves.
    pub realised: f64,
    /// Chord behind the hinge over the chord.
    pub fraction: f64,
}

impl FlapTheory {
    /// Thin aerofoil with a hinge (Glauert, *Elements of Aerofoil and Airscrew
    /// Theory*, 1926; from memory). `fraction` is the chord behind the hinge.
    pub fn new(fraction: f64, realised: f64) -> Self {
        let fraction = fraction.clamp(0.0, 1.0);
        let theta = libm::acos((2.0 * fraction - 1.0).clamp(-1.0, 1.0));
        let sine = libm::sin(theta);
        Self {
            lift_effect: (PI - theta + sine) / PI,
            nose_effect: (PI - theta) / PI,
            moment_effect: -0.5 * sine * (1.0 - libm::cos(theta)),
            realised,
            fraction,
        }
    }
}

/// Deflection that the flow still follows: beyond about 20 degrees the flap
/// itself stalls and more deflection brings mostly drag.
#[must_use]
pub fn followed_rad(deflection_rad: f64) -> f64 {
    const ONE_OVER_STALL_RAD: f64 = 1.0 / 0.42;
    let r = deflection_rad * ONE_OVER_STALL_RAD;
    let square = r * r;
    deflection_rad / (1.0 + square * square).sqrt().sqrt()
}

/// Camber of a creased sheet in thin aerofoil theory.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Camber {
    /// Angle of zero lift.
    pub zero_lift_rad: f64,
    /// Angle at which the flow meets the nose without going round it.
    pub ideal_rad: f64,
    /// Moment about the quarter chord, nose up positive.
    pub moment: f64,
}

impl Camber {
    /// Integrals of the camber slope over the chord (Glauert 1926, from
    /// memory): the slope is `angle (1 - x)` before the crease and
    /// `-angle x` behind it.
    pub fn of(fold: Fold) -> Self {
        let x = fold.chord_fraction.clamp(0.01, 0.99);
        let theta = libm::acos(1.0 - 2.0 * x);
        let (front, back) = (fold.angle_rad * (1.0 - x), -fold.angle_rad * x);
        let sine = libm::sin(theta);
        let zero_lift_rad = -(front * (sine - theta) + back * (-sine - (PI - theta))) / PI;
        let ideal_rad = (front * theta + back * (PI - theta)) / PI;
        let a1 = 2.0 / PI * (front - back) * sine;
        let a2 = (front - back) * libm::sin(2.0 * theta) / PI;
        Self {
            zero_lift_rad,
            ideal_rad,
            moment: 0.25 * PI * (a2 - a1),
        }
    }
}
