//! Section characteristics of foam sheet, the ideal thin section and user polars.
//!
//! A strip's force is a blend of two flows, weighted by the *attachment*: 1
//! when the flow follows the plate (circulation, lift across the local flow),
//! 0 when it leaves at the leading edge (a pressure difference across the
//! plate, force along its normal). The blend, not a clipped lift curve, gives
//! the plateau and the drag of a thin plate past its stall.
//!
//! Attached part
//! * lift slope 2 pi a radian (thin aerofoil theory) with a few per cent from
//!   the laminar bubble behind the nose, which grows as Reynolds number falls;
//! * friction 1.328/sqrt(Re) on each side (Blasius), then turbulent beyond
//!   half a million; base drag of the blunt rear edge in proportion to its
//!   thickness (Hoerner, *Fluid-Dynamic Drag*, 1965, chapter 3, from memory);
//! * part of the leading-edge suction is lost: the share falls with the root
//!   of the nose-radius Reynolds number, to which Re times thickness is
//!   proportional.
//!
//! Separated part
//! * normal force of a finite plate that reaches 1.11 + 0.018 AR square to
//!   the flow (Viterna's form) and about 2 in two dimensions (Hoerner 1965);
//!   its slope near zero is nine tenths of the slope of an attached wing of
//!   the same aspect ratio;
//! * centre of pressure from 0.36 of the chord just past the stall to the
//!   middle at 90 degrees and three quarters in reversed flow.
//!
//! The leading edge decides when a thin plate stalls: the governing angle is
//! the A0 coefficient of thin aerofoil theory, so camber and flap raise the
//! lift at which it happens, as they do in life.

use core::f64::consts::PI;

use larkfield_airframe::{EdgeShape, Fold, PolarRow, Section};

/// Sine of the leading-edge angle at which half the flow has let go.
const STALL_SINE: f64 = 0.163;
/// Half-width of the stall in the same measure.
const STALL_WIDTH: f64 = 0.043;

/// What the section adds, in coefficients.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SectionCoefficients {
    /// Lift across the local flow that circulation makes when fully attached.
    pub lift_attached: f64,
    /// Drag along the local flow when fully attached.
    pub drag_attached: f64,
    /// Moment about the quarter chord when fully attached, nose up positive.
    pub moment_attached: f64,
    /// Force along the normal from the vortices over the side edges while attached.
    pub normal_edges: f64,
    /// Force along the plate's normal when fully separated.
    pub normal_separated: f64,
    /// Moment about the quarter chord when fully separated.
    pub moment_separated: f64,
    /// Friction drag when fully separated.
    pub drag_separated: f64,
    /// Attachment in steady flow.
    pub attachment: f64,
    /// Sine of the leading-edge angle that decides about the stall.
    pub leading_edge_sine: f64,
}

/// Flow a section sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionFlow {
    /// Sine of the angle of attack, induced flow included.
    pub sine: f64,
    /// Its cosine.
    pub cosine: f64,
    /// Sine of the angle of attack without the flow induced by its own wing.
    pub free_sine: f64,
    /// Cosine of the same.
    pub free_cosine: f64,
    /// Chord Reynolds number.
    pub reynolds: f64,
    /// Flap deflection times coverage, trailing edge away from the normal positive.
    pub flap_rad: f64,
    /// What the flow follows of it: [`followed_rad`] of the deflection times
    /// coverage and [`FlapTheory::realised`].
    pub flap_followed_rad: f64,
}

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
    const STALL_RAD: f64 = 0.42;
    let r = deflection_rad / STALL_RAD;
    let square = r * r;
    deflection_rad / (1.0 + square * square).sqrt().sqrt()
}

/// Camber of a creased sheet in thin aerofoil theory.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Camber {
    zero_lift_rad: f64,
    ideal_rad: f64,
    moment: f64,
}

impl Camber {
    /// Integrals of the camber slope over the chord (Glauert 1926, from
    /// memory): the slope is `angle (1 - x)` before the crease and
    /// `-angle x` behind it.
    fn of(fold: Fold) -> Self {
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

/// A section ready to be evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionModel {
    kind: Kind,
    camber: Camber,
    thickness_ratio: f64,
    base_drag: f64,
    stall_sine: f64,
    plate_normal: f64,
    plate_bend: f64,
    edge_suction: f64,
}

#[derive(Debug, Clone, PartialEq)]
enum Kind {
    Foam,
    Ideal,
    Polar(Polar),
}

impl SectionModel {
    /// A section on a surface of the given aspect ratio; `f64::INFINITY` for
    /// two-dimensional flow.
    pub fn new(section: &Section, thickness_ratio: f64, aspect_ratio: f64) -> Self {
        let (kind, camber, edges) = match section {
            Section::FoamSheet { edges, fold } => {
                (Kind::Foam, fold.map(Camber::of).unwrap_or_default(), *edges)
            }
            Section::ThinIdeal => (Kind::Ideal, Camber::default(), EdgeShape::Rounded),
            Section::Polar(rows) => (
                Kind::Polar(Polar::new(rows)),
                Camber::default(),
                EdgeShape::Rounded,
            ),
        };
        // Viterna's finite plate, capped by the two-dimensional value.
        let plate_normal = (1.11 + 0.018 * aspect_ratio).min(1.98);
        let slope = 0.9
            * 2.0
            * PI
            * if aspect_ratio.is_finite() {
                aspect_ratio / (aspect_ratio + 2.0)
            } else {
                1.0
            };
        let t = thickness_ratio;
        // A square nose makes its own bubble from the start.
        let (base_factor, stall_sine) = match edges {
            EdgeShape::Rounded => (1.0, STALL_SINE),
            EdgeShape::Square => (1.35, STALL_SINE - 0.012),
            EdgeShape::Folded => (1.1, STALL_SINE + 0.008),
        };
        Self {
            kind,
            camber,
            thickness_ratio: t,
            base_drag: base_factor * (0.152 * t + 0.5 * t * t),
            stall_sine,
            plate_normal,
            plate_bend: plate_normal / slope,
            // Side-edge suction analogy (Lamar 1974, from memory): about 1.7
            // at aspect ratio 1, 1 at 2, falling with the share of the edges.
            edge_suction: if aspect_ratio.is_finite() {
                2.6 / (aspect_ratio + 0.5)
            } else {
                0.0
            },
        }
    }

    /// Angle of zero lift without flap.
    pub fn zero_lift_rad(&self) -> f64 {
        self.camber.zero_lift_rad
    }

    /// True for the ideal section, which neither drags nor stalls.
    pub fn is_ideal(&self) -> bool {
        self.kind == Kind::Ideal
    }

    /// Sine of the leading-edge angle at which half the flow has let go.
    pub fn stall_sine(&self) -> f64 {
        match &self.kind {
            Kind::Foam => self.stall_sine,
            Kind::Ideal => 1.0,
            Kind::Polar(polar) => polar.stall_sine,
        }
    }

    /// Coefficients at a flow.
    pub fn at(&self, flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
        match &self.kind {
            Kind::Foam => self.foam(flow, flap),
            Kind::Ideal => ideal(flow, flap),
            Kind::Polar(polar) => self.polar(polar, flow, flap),
        }
    }

    fn foam(&self, flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
        let followed_rad = flow.flap_followed_rad;
        let shift = flap.lift_effect * followed_rad - self.camber.zero_lift_rad;
        let sine = rotated(flow.sine, flow.cosine, shift);
        let nose = rotated(
            flow.sine,
            flow.cosine,
            flap.nose_effect * followed_rad - self.camber.ideal_rad,
        );
        let nose_size = nose.abs();
        let re = flow.reynolds.max(5_000.0);
        let low = 50_000.0 / re;
        // Laminar bubble: shortens with Reynolds number, lifts more as it
        // grows toward the stall (4 degrees is 0.0698).
        let growth = (nose_size * (1.0 / 0.0698)).min(1.22);
        let bubble = 1.0 + 0.02 * (re * 1e-5).min(1.0) + 0.055 * low.min(1.5) * growth * growth;
        let lift = 2.0 * PI * sine * bubble;

        let friction = 2.0 * 1.328 / re.sqrt();
        // Nose-radius Reynolds number: a blunter or faster nose keeps its suction
        // and lets go later and more suddenly.
        let nose_re = re * self.thickness_ratio;
        let sharp = (2_500.0 / nose_re).min(2.0);
        let blunt = ((nose_re - 2_500.0) * (1.0 / 11_500.0)).clamp(0.0, 1.0);
        let stall_sine = self.stall_sine + 0.012 * blunt;
        let approach = nose_size / stall_sine;
        let suction_loss =
            (0.55 * sharp / sharp.sqrt().sqrt() * (1.0 + 0.8 * approach * approach)).min(1.0);
        let open = flow.flap_rad - followed_rad;
        let flap_drag = flap.fraction * (open * open + 0.15 * flow.flap_rad * flow.flap_rad);
        let drag0 = friction + self.base_drag;
        let drag = drag0 + suction_loss * (lift * nose).abs() + flap_drag;

        let (normal, moment) = self.plate(flow, flap);
        SectionCoefficients {
            lift_attached: lift,
            drag_attached: drag,
            moment_attached: self.camber.moment + flap.moment_effect * followed_rad,
            normal_edges: self.edges(flow),
            normal_separated: normal,
            moment_separated: moment,
            drag_separated: drag0 * flow.free_cosine * flow.free_cosine + flap_drag,
            attachment: attachment(
                nose_size,
                stall_sine,
                STALL_WIDTH - 0.022 * blunt,
                flow.cosine,
            ),
            leading_edge_sine: nose,
        }
    }

    /// Normal force of the vortices that roll over the side edges.
    fn edges(&self, flow: &SectionFlow) -> f64 {
        let (s, c) = (flow.free_sine, flow.free_cosine.max(0.0));
        self.edge_suction * s * s.abs() * c * c
    }

    /// Force along the normal of a plate in fully separated flow, and its moment.
    fn plate(&self, flow: &SectionFlow, flap: &FlapTheory) -> (f64, f64) {
        let shift = flap.fraction * flow.flap_followed_rad - 0.4 * self.camber.zero_lift_rad;
        let s = rotated(flow.free_sine, flow.free_cosine, shift).clamp(-1.0, 1.0);
        let size = s.abs();
        let normal = self.plate_normal * s / (self.plate_bend + (1.0 - self.plate_bend) * size);
        let behind_quarter = if flow.free_cosine >= 0.0 {
            0.11 + 0.19 * (size - 0.26).max(0.0)
        } else {
            0.25 + 0.25 * (1.0 - size)
        };
        (normal, -normal * behind_quarter)
    }

    fn polar(&self, polar: &Polar, flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
        let followed_rad = flow.flap_followed_rad;
        let shift = flap.lift_effect * followed_rad;
        let alpha_rad = libm::atan2(flow.sine, flow.cosine) + shift;
        let row = polar.at(flow.reynolds, alpha_rad);
        let (normal, moment) = self.plate(flow, flap);
        SectionCoefficients {
            lift_attached: row.lift,
            drag_attached: row.drag + 0.15 * flap.fraction * flow.flap_rad * flow.flap_rad,
            moment_attached: row.moment + flap.moment_effect * followed_rad,
            normal_edges: 0.0,
            normal_separated: normal,
            moment_separated: moment,
            drag_separated: polar.least_drag * flow.free_cosine * flow.free_cosine,
            attachment: polar.attachment(alpha_rad),
            leading_edge_sine: flow.sine,
        }
    }
}

fn ideal(flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
    let shift = flap.lift_effect * flow.flap_rad;
    SectionCoefficients {
        lift_attached: 2.0 * PI * rotated(flow.sine, flow.cosine, shift),
        moment_attached: flap.moment_effect * flow.flap_rad,
        attachment: 1.0,
        leading_edge_sine: flow.sine,
        ..SectionCoefficients::default()
    }
}

/// Sine of an angle turned by a small `shift_rad`.
fn rotated(sine: f64, cosine: f64, shift_rad: f64) -> f64 {
    let square = shift_rad * shift_rad;
    sine * (1.0 - 0.5 * square) + cosine * shift_rad * (1.0 - square * (1.0 / 6.0))
}

/// Share of attached flow at a leading-edge angle in steady flow.
fn attachment(nose_sine: f64, stall_sine: f64, width: f64, cosine: f64) -> f64 {
    if cosine <= 0.0 {
        return 0.0;
    }
    let x = (nose_sine - stall_sine) / width;
    let y = x * (1.0 + 0.5 * x * x);
    0.5 * (1.0 - y / (1.0 + y * y).sqrt())
}

/// A table of rows by Reynolds number and angle.
#[derive(Debug, Clone, PartialEq)]
struct Polar {
    /// Reynolds number and rows sorted by angle.
    curves: Vec<(f64, Vec<PolarRow>)>,
    least_drag: f64,
    stall_sine: f64,
}

impl Polar {
    fn new(rows: &[PolarRow]) -> Self {
        let mut curves: Vec<(f64, Vec<PolarRow>)> = Vec::new();
        for row in rows {
            match curves.iter_mut().find(|(re, _)| *re == row.reynolds) {
                Some((_, curve)) => curve.push(*row),
                None => curves.push((row.reynolds, vec![*row])),
            }
        }
        curves.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, curve) in &mut curves {
            curve.sort_by(|a, b| a.alpha_rad.total_cmp(&b.alpha_rad));
        }
        let least_drag = rows.iter().map(|r| r.drag).fold(f64::MAX, f64::min);
        let top = rows
            .iter()
            .fold(None::<&PolarRow>, |best, r| match best {
                Some(b) if b.lift >= r.lift => Some(b),
                _ => Some(r),
            })
            .map_or(0.2, |r| r.alpha_rad);
        Self {
            curves,
            least_drag: if rows.is_empty() { 0.0 } else { least_drag },
            stall_sine: libm::sin(top),
        }
    }

    fn ends(&self) -> (f64, f64) {
        let mut low = f64::MIN;
        let mut high = f64::MAX;
        for (_, curve) in &self.curves {
            if let (Some(a), Some(b)) = (curve.first(), curve.last()) {
                low = low.max(a.alpha_rad);
                high = high.min(b.alpha_rad);
            }
        }
        (low, high)
    }

    /// Inside the table the table is the whole truth; beyond it the plate
    /// takes over within a few degrees.
    fn attachment(&self, alpha_rad: f64) -> f64 {
        const BLEND_RAD: f64 = 0.07;
        let (low, high) = self.ends();
        let beyond = (alpha_rad - high).max(low - alpha_rad).max(0.0) / BLEND_RAD;
        let t = beyond.min(1.0);
        1.0 - t * t * (3.0 - 2.0 * t)
    }

    fn at(&self, reynolds: f64, alpha_rad: f64) -> PolarRow {
        let Some(last) = self.curves.len().checked_sub(1) else {
            return PolarRow {
                reynolds,
                alpha_rad,
                lift: 0.0,
                drag: 0.0,
                moment: 0.0,
            };
        };
        let mut k = 0;
        while k < last && reynolds > self.curves[k + 1].0 {
            k += 1;
        }
        let low = along(&self.curves[k].1, alpha_rad);
        if k == last {
            return low;
        }
        let high = along(&self.curves[k + 1].1, alpha_rad);
        let (a, b) = (self.curves[k].0, self.curves[k + 1].0);
        mix(&low, &high, ((reynolds - a) / (b - a)).clamp(0.0, 1.0))
    }
}

fn along(curve: &[PolarRow], alpha_rad: f64) -> PolarRow {
    let last = curve.len() - 1;
    let mut k = 0;
    while k + 1 < last && alpha_rad > curve[k + 1].alpha_rad {
        k += 1;
    }
    if last == 0 {
        return curve[0];
    }
    let (a, b) = (curve[k].alpha_rad, curve[k + 1].alpha_rad);
    mix(
        &curve[k],
        &curve[k + 1],
        ((alpha_rad - a) / (b - a).max(1e-9)).clamp(0.0, 1.0),
    )
}

fn mix(a: &PolarRow, b: &PolarRow, t: f64) -> PolarRow {
    let m = |x: f64, y: f64| x + t * (y - x);
    PolarRow {
        reynolds: m(a.reynolds, b.reynolds),
        alpha_rad: m(a.alpha_rad, b.alpha_rad),
        lift: m(a.lift, b.lift),
        drag: m(a.drag, b.drag),
        moment: m(a.moment, b.moment),
    }
}
