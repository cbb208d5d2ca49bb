//! Lift and drag of a moulded propeller blade section at any angle.
//!
//! Small moulded blades are thin cambered sections at chord Reynolds numbers
//! of 10 000 to 150 000. Four regimes are joined by smooth weights, so that
//! every quadrant of propeller running has a force with a continuous slope:
//! attached flow over the leading edge, attached flow over the trailing edge
//! (turning backward or mounted backward), and fully separated flow between.
//!
//! The constants below were placed near the values their sources give so that
//! one measured slow-turning propeller comes out right (the rows in
//! tests/reference/propeller_measured.csv); no other propeller was used. Two
//! lie above the ranges quoted beside them: the turbulent lift slope and the
//! least drag. Agreement with those rows is therefore a fit, not a prediction.
//!
//! Everything is written in the sine and cosine of the angle of attack: no
//! trigonometric function is called per evaluation.

use std::f64::consts::PI;

/// Zero-lift angle assumed for a section whose camber nobody measured, rad.
///
/// Thin-aerofoil theory gives a parabolic arc -2 rad for each unit of camber
/// ratio (Glauert, 1926; from memory). Moulded slow-turning blades are hollow
/// below and carry 5 to 6 % camber (common practice, no source); 6 % makes
/// -6.9 degrees, of which the boundary layer at these Reynolds numbers leaves
/// about nine tenths (common practice, no source): -6.2 degrees.
pub const ASSUMED_ZERO_LIFT_RAD: f64 = -0.9 * 2.0 * 0.060;

/// Reynolds number at which a stated zero-lift angle is taken to hold.
const REFERENCE_REYNOLDS: f64 = 1.0e5;
/// Share of the ideal lift slope left when the laminar layer, once separated,
/// does not come back to the surface.
const SLOPE_LAMINAR: f64 = 0.75;
/// Share with the layer turbulent behind a short bubble, thickness included
/// (1 + 0.77 t/c for t/c = 0.1 to 0.12, Theodorsen; from memory) and the
/// radial outflow of a turning blade, which thins the layer.
const SLOPE_TURBULENT: f64 = 1.15;
/// Reynolds number midway between the two: laminar bubbles fail to close
/// below about 70 000 (Lissaman, Annual Review of Fluid Mechanics 15, 1983;
/// from memory).
const BUBBLE_REYNOLDS: f64 = 7.0e4;
/// Loss of zero-lift angle when Reynolds number falls: the share lost when
/// the relative boundary-layer thickness, which goes with 1/sqrt(Re),
/// doubles (common practice, no source).
const DECAMBER: f64 = 0.25;
/// Least profile drag at the reference Reynolds number: 0.015 to 0.02 for a
/// 10 % thick section (Hoerner, Fluid-Dynamic Drag, 1965, chapter VI; from
/// memory), and a little for the blunt moulded trailing edge.
const DRAG_MIN: f64 = 0.026;
/// Part of it that is skin friction and goes with 1/sqrt(Re) (Blasius); the
/// rest is pressure drag of blunt edges, which does not change.
const DRAG_FRICTION_SHARE: f64 = 0.6;
/// Leading-edge suction lost with the nose below the chord's own direction.
/// A thin cambered section meets the flow smoothly with its chord along it;
/// below that the flow leaves the pressure side of its sharp nose, and the
/// suction that would have pulled the nose forward, `2 pi alpha^2`, is lost
/// and appears as drag (thin-aerofoil theory; share: common practice).
const SUCTION_LOST_BELOW: f64 = 0.6;
/// The same with the nose above it, where the upper side is rounded.
const SUCTION_LOST_ABOVE: f64 = 0.2;
/// Absolute angle (from zero lift) at which half the flow has separated:
/// 18 degrees, a maximum lift coefficient near 1.3 at 14 degrees.
const STALL_RAD: f64 = 18.0 * PI / 180.0;
/// The same below zero lift: a cambered thin section separates early there.
const STALL_NEGATIVE_RAD: f64 = 16.0 * PI / 180.0;
/// The same for flow that arrives at the trailing edge.
const STALL_REVERSED_RAD: f64 = 10.0 * PI / 180.0;
/// Share of the ideal lift slope with the sharp edge leading and the blunt
/// edge trailing.
const SLOPE_REVERSED: f64 = 0.75;
/// Least drag with the sharp edge leading, about twice that of the right way.
const DRAG_REVERSED: f64 = 0.035;
/// Angle up to which rotation keeps a separated inboard section lifting.
const ROTATION_LIMIT_RAD: f64 = 40.0 * PI / 180.0;

/// Force coefficients of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionForce {
    /// Lift coefficient, positive a quarter turn anticlockwise from the flow
    /// with the nose to the left.
    pub lift: f64,
    /// Drag coefficient, along the flow.
    pub drag: f64,
}

/// One blade section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    zero_lift_rad: f64,
    tan_half_stall: f64,
    tan_half_negative: f64,
    tan_half_reversed: f64,
    tan_half_rotation: f64,
}

impl Section {
    /// Section with the zero-lift angle `zero_lift_rad` (negative for camber
    /// toward the suction side) at a Reynolds number of 100 000.
    #[must_use]
    pub fn new(zero_lift_rad: f64) -> Self {
        Self {
            zero_lift_rad,
            tan_half_stall: libm::tan(0.5 * STALL_RAD),
            tan_half_negative: libm::tan(0.5 * STALL_NEGATIVE_RAD),
            tan_half_reversed: libm::tan(0.5 * STALL_REVERSED_RAD),
            tan_half_rotation: libm::tan(0.5 * ROTATION_LIMIT_RAD),
        }
    }

    /// Force at the angle of attack whose sine and cosine are given, from 0
    /// to a full turn.
    ///
    /// `rotation_lift` in 0..1 is the share of the lift lost to separation
    /// that rotation gives back (see [`rotation_lift`]).
    #[must_use]
    pub fn force(
        &self,
        sin: f64,
        cos: f64,
        reynolds: f64,
        mach: f64,
        rotation_lift: f64,
    ) -> SectionForce {
        let reynolds = reynolds.clamp(2.0e3, 2.0e6);
        let thickness_ratio = (REFERENCE_REYNOLDS / reynolds).sqrt();
        // The layer cannot eat more than most of the camber.
        let kept = (1.0 - DECAMBER * (thickness_ratio - 1.0)).max(0.4);
        let zero_lift = self.zero_lift_rad * kept;
        // Zero-lift angles stay under a fifth of a radian: two terms of the
        // series are exact to 1e-5.
        let zero_sin = zero_lift * (1.0 - zero_lift * zero_lift / 6.0);
        let zero_cos = 1.0 - 0.5 * zero_lift * zero_lift;

        let closed = reynolds / BUBBLE_REYNOLDS;
        let closed = closed * closed;
        // Prandtl-Glauert: 3 % at the tip of a fast small propeller.
        let mach = mach.min(0.7);
        let slope = 2.0 * PI / (1.0 - mach * mach).sqrt()
            * (SLOPE_LAMINAR + (SLOPE_TURBULENT - SLOPE_LAMINAR) * closed / (1.0 + closed));

        // Leading edge first. Half-angle tangents grow without limit toward
        // reversed flow, so each weight dies in the other's country.
        let front_sin = sin * zero_cos - cos * zero_sin;
        let front_cos = cos * zero_cos + sin * zero_sin;
        let front_half = half_tangent(front_sin, front_cos);
        let stall = if front_half > 0.0 {
            self.tan_half_stall
        } else {
            self.tan_half_negative
        };
        let attached = fade(front_half / stall);
        let held =
            attached + (1.0 - attached) * rotation_lift * fade(front_half / self.tan_half_rotation);
        let front_lift = slope * front_sin;

        // Trailing edge first: the arc seen from behind is bent the other way.
        let back_sin = -(sin * zero_cos + cos * zero_sin);
        let back_cos = -(cos * zero_cos - sin * zero_sin);
        let back = fade(half_tangent(back_sin, back_cos) / self.tan_half_reversed);
        let back_lift = 2.0 * PI * SLOPE_REVERSED * back_sin;

        // Separated: Hoerner's normal force of an inclined plate (1965,
        // chapter VII), with 1.3 square to the flow as for a plate ten times
        // as long as wide (Viterna: 1.11 + 0.018 AR; both from memory).
        let separated = (1.0 - held - back).max(0.0);
        let normal = sin / (0.486 * sin.abs() + 0.283);

        let lost = if sin < 0.0 {
            SUCTION_LOST_BELOW
        } else {
            SUCTION_LOST_ABOVE
        };
        let least_drag = DRAG_MIN * (1.0 + DRAG_FRICTION_SHARE * (thickness_ratio - 1.0));
        let front_drag = least_drag + 2.0 * PI * lost * sin * sin;
        let back_drag = DRAG_REVERSED * thickness_ratio;
        // The plate's chordwise friction keeps drag above zero everywhere.
        let plate_drag = normal * sin + least_drag;
        // Flow held by rotation still pays the drag of separation.
        SectionForce {
            lift: held * front_lift + back * back_lift + separated * normal * cos,
            drag: attached * front_drag
                + back * back_drag
                + (1.0 - attached - back).max(0.0) * plate_drag,
        }
    }
}

/// Share of the lift lost to separation that rotation gives back at a station
/// with the given chord over radius: 3 (c/r)^2, limited to 1 (Snel, Houwink
/// and Bosschers, ECN-C--93-052, 1993; from memory).
#[must_use]
pub fn rotation_lift(chord_over_radius: f64) -> f64 {
    libm::tanh(3.0 * chord_over_radius * chord_over_radius)
}

/// Tangent of half the angle, limited where it would be infinite.
fn half_tangent(sin: f64, cos: f64) -> f64 {
    sin / (1.0 + cos).max(1.0e-6)
}

/// Smooth step down: one below the stall, a half at 1, zero far beyond.
fn fade(ratio: f64) -> f64 {
    let two = ratio * ratio;
    let four = two * two;
    let eight = four * four;
    1.0 / (1.0 + eight)
}
