//! Blade elements with inflow: one annulus of the disk in balance.
//!
//! In each annulus the force on the blade sections equals the rate of change
//! of the momentum of the air that passes (Glauert, Airplane Propellers, in
//! Durand's Aerodynamic Theory IV, 1935). Prandtl's factor stands for the
//! loss at the tip of a few blades. The unknown is the axial velocity `w`
//! induced at the disk, positive backward, like thrust; swirl follows from
//! the tangential force at once.
//!
//! Momentum theory has no answer where the air goes one way and the induced
//! velocity the other with about the same size (vortex ring, turbulent
//! windmill). There the mass flow is given a floor that closes the gap
//! smoothly, see [`mass_flow_speed`].

use std::f64::consts::PI;

use super::blade::{Annulus, Rotor};

/// Speed that carries momentum through the disk, m/s, with `axial_m_s` the
/// speed of the air onto the disk and `induced_m_s` that induced at it.
///
/// `|V + w|` of plain momentum theory, plus a term that acts only where the
/// two are opposed and alike. With `a = -w/V` the thrust coefficient becomes
/// `4 a sqrt((1-a)^2 + 2 a^4/(1+a^2)^3)`: 1.12 at a = 0.5 and 2.0 at a = 1,
/// against 1.06 and 2.0 of Buhl's line through Glauert's windmill
/// measurements (NREL/TP-500-36834, 2005; from memory) and 1.33 times the
/// static induced velocity in the vortex ring, where 1.3 to 1.9 is measured
/// (Johnson, Helicopter Theory, 1980, section 3-2; from memory). It rises
/// steadily, so each annulus has one balance for a given load.
#[must_use]
pub fn mass_flow_speed(axial_m_s: f64, induced_m_s: f64) -> f64 {
    let through = axial_m_s + induced_m_s;
    let product = axial_m_s * induced_m_s;
    if product >= 0.0 {
        return through.abs();
    }
    let sum = axial_m_s * axial_m_s + induced_m_s * induced_m_s;
    let square = product * product;
    (through * through + 2.0 * square * square / (sum * sum * sum)).sqrt()
}

/// Induced velocity at the disk, m/s, that gives `thrust / (2 rho A)` equal
/// to `load_m2_s2` with the air coming on at `axial_m_s`. Signed like thrust.
#[must_use]
pub fn induced_speed(load_m2_s2: f64, axial_m_s: f64) -> f64 {
    let mut low = 0.0;
    let mut high = load_m2_s2.abs().sqrt() * 2.0 + 1.0e-9;
    let sign = if load_m2_s2 < 0.0 { -1.0 } else { 1.0 };
    for _ in 0..48 {
        let middle = 0.5 * (low + high);
        if middle * mass_flow_speed(axial_m_s, sign * middle) < load_m2_s2.abs() {
            low = middle;
        } else {
            high = middle;
        }
    }
    sign * 0.5 * (low + high)
}

/// Speed of sound for the compressibility correction, 15 degrees C.
const SOUND_M_S: f64 = 340.3;

/// Running condition of the disk.
#[derive(Debug, Clone, Copy)]
pub(super) struct Running {
    /// Air onto the disk along the shaft, backward positive.
    pub axial_m_s: f64,
    /// Turning rate, positive the way the propeller is made to turn.
    pub omega_rad_s: f64,
    /// Kinematic viscosity.
    pub viscosity_m2_s: f64,
}

/// Force of all blades in an annulus for each metre of span and each unit of
/// density, m3/s2, and how it answers small changes.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct AnnulusLoad {
    /// Along the shaft, thrust positive.
    pub axial: f64,
    /// Against the turning of the blade.
    pub tangential: f64,
    /// Axial force by a change of tangential speed, induced flow answering.
    pub axial_by_tangential: f64,
    /// Tangential force by a change of tangential speed, same.
    pub tangential_by_tangential: f64,
    /// Axial force by a change of axial speed, same.
    pub axial_by_axial: f64,
    /// Tangential force by a change of axial speed, same.
    pub tangential_by_axial: f64,
    /// Induced axial velocity at the disk.
    pub induced_m_s: f64,
    /// Speed of the mass flow.
    pub flow_m_s: f64,
}

/// Force of all blades for each metre of span and unit of density.
#[derive(Debug, Clone, Copy)]
struct Blade {
    axial: f64,
    tangential: f64,
}

struct Balance<'a> {
    annulus: &'a Annulus,
    running: Running,
    blade_chord_m: f64,
    backward: bool,
    swirl_m_s: f64,
    tip_loss: f64,
}

impl Balance<'_> {
    /// Force at given axial and tangential speeds of the air past the blade.
    fn blade(&self, axial_m_s: f64, tangential_m_s: f64) -> Blade {
        let a = self.annulus;
        let square = axial_m_s * axial_m_s + tangential_m_s * tangential_m_s;
        let speed = square.sqrt();
        if speed < 1.0e-9 {
            return Blade {
                axial: 0.0,
                tangential: 0.0,
            };
        }
        let (flow_sin, flow_cos) = (axial_m_s / speed, tangential_m_s / speed);
        let mut sin = a.twist_sin * flow_cos - a.twist_cos * flow_sin;
        let mut cos = a.twist_cos * flow_cos + a.twist_sin * flow_sin;
        if self.backward {
            // Turned about the blade axis by half a turn.
            sin = -sin;
            cos = -cos;
        }
        let reynolds = speed * a.chord_m / self.running.viscosity_m2_s;
        // Rotation helps only as far as the speed comes from rotation.
        let turning = flow_cos * flow_cos;
        let force = a.section.force(
            sin,
            cos,
            reynolds,
            speed / SOUND_M_S,
            a.rotation_lift * turning,
        );
        let pressure = 0.5 * square * self.blade_chord_m;
        Blade {
            axial: pressure * (force.lift * flow_cos - force.drag * flow_sin),
            tangential: pressure * (force.lift * flow_sin + force.drag * flow_cos),
        }
    }

    /// Momentum flux less blade force; rises with `w`.
    fn residual(&mut self, w: f64) -> f64 {
        let a = self.annulus;
        let axial = self.running.axial_m_s + w;
        let turning = self.running.omega_rad_s * a.radius_m;
        let flow = mass_flow_speed(self.running.axial_m_s, w);
        let mut load = self.blade(axial, turning - self.swirl_m_s);
        self.tip_loss = tip_loss(a.tip_exponent, axial, turning - self.swirl_m_s);
        let ring = 4.0 * PI * a.radius_m * self.tip_loss;
        // Swirl at the disk from v * sqrt(M^2 + v^2) = tangential force /
        // ring: v = S/M with plenty of flow, never more than sqrt(S). One
        // pass does: the search for w comes back here with better and
        // better starting values.
        let s = load.tangential / ring;
        let m2 = flow * flow;
        let root = (m2 * m2 + 4.0 * s * s).sqrt();
        let v2 = 2.0 * s * s / (m2 + root).max(1.0e-12);
        self.swirl_m_s = v2.sqrt().copysign(s);
        load = self.blade(axial, turning - self.swirl_m_s);
        ring * flow * w - load.axial
    }
}

/// Prandtl's tip factor with the helix angle of the local flow.
fn tip_loss(tip_exponent: f64, axial_m_s: f64, tangential_m_s: f64) -> f64 {
    let speed = (axial_m_s * axial_m_s + tangential_m_s * tangential_m_s).sqrt();
    let sin = (axial_m_s.abs() / speed.max(1.0e-9)).max(0.02);
    let f = libm::exp(-tip_exponent / sin);
    (2.0 / PI * libm::acos(f.min(1.0))).max(0.05)
}

/// Balances one annulus.
pub(super) fn balance(rotor: &Rotor, annulus: &Annulus, running: Running) -> AnnulusLoad {
    let mut state = Balance {
        annulus,
        running,
        blade_chord_m: rotor.blades * annulus.chord_m,
        backward: rotor.mounted_backward,
        swirl_m_s: 0.0,
        tip_loss: 1.0,
    };
    let turning = running.omega_rad_s * annulus.radius_m;
    let scale = (running.axial_m_s * running.axial_m_s + turning * turning).sqrt();
    let w = root(scale, |w| state.residual(w));
    // Once more at the root, so that swirl and tip loss belong to it.
    state.residual(w);

    let axial = running.axial_m_s + w;
    let tangential = turning - state.swirl_m_s;
    let load = state.blade(axial, tangential);
    let flow = mass_flow_speed(running.axial_m_s, w);

    let step = 1.0e-3 * scale.max(1.0e-6);
    let difference = |axial_step: f64, tangential_step: f64| {
        let more = state.blade(axial + axial_step, tangential + tangential_step);
        let less = state.blade(axial - axial_step, tangential - tangential_step);
        (
            (more.axial - less.axial) / (2.0 * step),
            (more.tangential - less.tangential) / (2.0 * step),
        )
    };
    let (axial_by_tangential, tangential_by_tangential) = difference(0.0, step);
    let (axial_by_axial, tangential_by_axial) = difference(step, 0.0);
    // A load that varies once round the disk induces a flow that varies
    // likewise, twice as strongly as annulus momentum says (Pitt and Peters,
    // Vertica 5, 1981: gain 4 against 2; from memory).
    let ring = 2.0 * PI * annulus.radius_m * state.tip_loss * (flow + w.abs()).max(0.02 * scale);
    let answer = 2.0 / ring;
    let relief = 1.0 / (1.0 - (axial_by_axial * answer).min(0.0));
    AnnulusLoad {
        axial: load.axial,
        tangential: load.tangential,
        axial_by_tangential: axial_by_tangential * relief,
        tangential_by_tangential: tangential_by_tangential
            + tangential_by_axial * answer * axial_by_tangential * relief,
        axial_by_axial: axial_by_axial * relief,
        tangential_by_axial: tangential_by_axial * relief,
        induced_m_s: w,
        flow_m_s: flow.max(0.02 * scale),
    }
}

/// Root of a rising function between -2 and 2 times `scale`: Chandrupatla's
/// mixture of inverse parabola and halving, which cannot leave its bracket
/// (Advances in Engineering Software 28, 1997; from memory).
fn root(scale: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    if scale <= 0.0 {
        return 0.0;
    }
    let (mut a, mut b) = (-0.5 * scale, 0.5 * scale);
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..4 {
        if fa <= 0.0 && fb >= 0.0 {
            break;
        }
        a *= 2.0;
        b *= 2.0;
        fa = f(a);
        fb = f(b);
    }
    let mut t = 0.5;
    let tolerance = 3.0e-5 * scale;
    for _ in 0..60 {
        let x = a + t * (b - a);
        let fx = f(x);
        let (c, fc) = if (fx > 0.0) == (fa > 0.0) {
            (a, fa)
        } else {
            (b, fb)
        };
        if (fx > 0.0) != (fa > 0.0) {
            b = a;
            fb = fa;
        }
        a = x;
        fa = fx;
        let best = if fa.abs() < fb.abs() { a } else { b };
        let limit = tolerance / (b - a).abs().max(1.0e-30);
        if limit > 0.5 || fx == 0.0 {
            return best;
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        t = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
        } else {
            0.5
        };
        if t.is_nan() {
            t = 0.5;
        }
        t = t.clamp(limit, 1.0 - limit);
    }
    0.5 * (a + b)
}
