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
//!   middle at 90 degrees and three quarters in reversed flow;
//! * the downwash of the tip vortices keeps the flow on near the tips when the
//!   middle has let go, until the vortices burst.
//!
//! The leading edge decides when a thin plate stalls: the governing angle is
//! the A0 coefficient of thin aerofoil theory, so camber and flap raise the
//! lift at which it happens, as they do in life.

mod polar;
mod sheet;
mod thin_aerofoil;

use core::f64::consts::PI;

use larkfield_airframe::{EdgeShape, Section};

use crate::lanes::{Plain, Processor, Wide};
use polar::Polar;
use sheet::SheetFigures;
pub(crate) use sheet::moment_share;
pub(crate) use sheet::{Attachment, SheetBlock};
use thin_aerofoil::Camber;
pub use thin_aerofoil::{FlapTheory, followed_rad};

/// Sine of the leading-edge angle at which half the flow has let go.
const STALL_SINE: f64 = 0.163;

/// What the section adds, in coefficients.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SectionCoefficients<N = f64> {
    /// Lift across the local flow that circulation makes when fully attached.
    pub lift_attached: N,
    /// Drag along the local flow when fully attached.
    pub drag_attached: N,
    /// Moment about the quarter chord when fully attached, nose up positive.
    pub moment_attached: N,
    /// Force along the normal from the vortices over the side edges while attached.
    pub normal_edges: N,
    /// Force along the plate's normal when fully separated.
    pub normal_separated: N,
    /// Moment about the quarter chord when fully separated.
    pub moment_separated: N,
    /// Friction drag when fully separated.
    pub drag_separated: N,
    /// Attachment in steady flow.
    pub attachment: N,
    /// Sine of the leading-edge angle that decides about the stall.
    pub leading_edge_sine: N,
}

/// Flow a section sees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionFlow<N = f64> {
    /// Sine of the angle of attack, induced flow included.
    pub sine: N,
    /// Its cosine.
    pub cosine: N,
    /// Sine of the angle of attack without the flow induced by its own wing.
    pub free_sine: N,
    /// Cosine of the same.
    pub free_cosine: N,
    /// Chord Reynolds number.
    pub reynolds: N,
    /// Flap deflection times coverage, trailing edge away from the normal positive.
    pub flap_rad: N,
    /// What the flow follows of it: [`followed_rad`] of the deflection times
    /// coverage and [`FlapTheory::realised`].
    pub flap_followed_rad: N,
}

/// A section ready to be evaluated.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionModel {
    kind: Kind,
    sheet: SheetFigures,
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
        let sheet = SheetFigures {
            camber,
            thickness_ratio: t,
            base_drag: base_factor * (0.152 * t + 0.5 * t * t),
            stall_sine,
            plate_normal,
            plate_bend: plate_normal / slope,
            // Side-edge suction analogy (Lamar 1974, from memory): about 1.8
            // at aspect ratio 1, 1.1 at 2, falling with the share of the edges.
            edge_suction: if aspect_ratio.is_finite() {
                2.7 / (aspect_ratio + 0.5)
            } else {
                0.0
            },
            // Free angle of the stall (the section's own and the induced angle
            // at a lift of 0.75) and six degrees.
            tip_burst: if aspect_ratio.is_finite() {
                stall_sine + 0.24 / aspect_ratio.max(0.4) + 0.11
            } else {
                1.0e3
            },
        };
        Self { kind, sheet }
    }

    /// Angle of zero lift without flap.
    pub fn zero_lift_rad(&self) -> f64 {
        self.sheet.camber.zero_lift_rad
    }

    /// True for the ideal section, which neither drags nor stalls.
    pub fn is_ideal(&self) -> bool {
        self.kind == Kind::Ideal
    }

    /// True when the sheet's formulas are all there is to it.
    pub(crate) fn is_sheet(&self) -> bool {
        self.kind == Kind::Foam
    }

    /// Sine of the leading-edge angle at which half the flow has let go.
    pub fn stall_sine(&self) -> f64 {
        match &self.kind {
            Kind::Foam => self.sheet.stall_sine,
            Kind::Ideal => 1.0,
            Kind::Polar(polar) => polar.stall_sine,
        }
    }

    /// Coefficients at a flow.
    pub fn at(&self, flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
        let mut block = SheetBlock::default();
        for lane in 0..crate::lanes::WIDTH {
            block.set(lane, self, flap);
        }
        let wide = flow.map(|number| Wide::all(Plain, number));
        let setting = block.deflected(Plain, wide.flap_rad, wide.flap_followed_rad);
        let one_over_reynolds = Wide::all(Plain, 1.0 / flow.reynolds);
        let (mut sheet, attachment) = block.at(Plain, &wide, &setting, one_over_reynolds);
        sheet.attachment = attachment.share();
        let sheet = sheet.map(|wide| wide.lanes().0[0]);
        self.corrected(sheet, flow, flap)
    }

    /// What the sheet's formulas gave, put right for sections of other kinds.
    pub(crate) fn corrected(
        &self,
        sheet: SectionCoefficients,
        flow: &SectionFlow,
        flap: &FlapTheory,
    ) -> SectionCoefficients {
        match &self.kind {
            Kind::Foam => sheet,
            Kind::Ideal => ideal(flow, flap),
            Kind::Polar(polar) => from_polar(polar, &sheet, flow, flap),
        }
    }
}

/// A user's polar while the flow is attached, the flat plate beyond.
fn from_polar(
    polar: &Polar,
    plate: &SectionCoefficients,
    flow: &SectionFlow,
    flap: &FlapTheory,
) -> SectionCoefficients {
    let followed_rad = flow.flap_followed_rad;
    let alpha_rad = libm::atan2(flow.sine, flow.cosine) + flap.lift_effect * followed_rad;
    let row = polar.at(flow.reynolds, alpha_rad);
    SectionCoefficients {
        lift_attached: row.lift,
        drag_attached: row.drag + 0.15 * flap.fraction * flow.flap_rad * flow.flap_rad,
        moment_attached: row.moment + flap.moment_effect * followed_rad,
        normal_edges: 0.0,
        normal_separated: plate.normal_separated,
        moment_separated: plate.moment_separated,
        drag_separated: polar.least_drag * flow.free_cosine * flow.free_cosine,
        attachment: polar.attachment(alpha_rad),
        leading_edge_sine: flow.sine,
    }
}

fn ideal(flow: &SectionFlow, flap: &FlapTheory) -> SectionCoefficients {
    let [sine, cosine, shift] = [flow.sine, flow.cosine, flap.lift_effect * flow.flap_rad]
        .map(|number| Wide::all(Plain, number));
    let turned = sheet::rotated(sine, cosine, shift).lanes();
    SectionCoefficients {
        lift_attached: 2.0 * PI * turned.0[0],
        moment_attached: flap.moment_effect * flow.flap_rad,
        attachment: 1.0,
        leading_edge_sine: flow.sine,
        ..SectionCoefficients::default()
    }
}

impl<N: Copy> SectionFlow<N> {
    /// The same with each number put through `f`.
    #[inline(always)]
    pub(crate) fn map<M>(&self, f: impl Fn(N) -> M) -> SectionFlow<M> {
        SectionFlow {
            sine: f(self.sine),
            cosine: f(self.cosine),
            free_sine: f(self.free_sine),
            free_cosine: f(self.free_cosine),
            reynolds: f(self.reynolds),
            flap_rad: f(self.flap_rad),
            flap_followed_rad: f(self.flap_followed_rad),
        }
    }
}

impl<N: Copy> SectionCoefficients<N> {
    /// The same with each number put through `f`.
    #[inline(always)]
    pub(crate) fn map<M>(&self, f: impl Fn(N) -> M) -> SectionCoefficients<M> {
        SectionCoefficients {
            lift_attached: f(self.lift_attached),
            drag_attached: f(self.drag_attached),
            moment_attached: f(self.moment_attached),
            normal_edges: f(self.normal_edges),
            normal_separated: f(self.normal_separated),
            moment_separated: f(self.moment_separated),
            drag_separated: f(self.drag_separated),
            attachment: f(self.attachment),
            leading_edge_sine: f(self.leading_edge_sine),
        }
    }
}

/// Coefficients of eight sections in which some are put right.
pub(crate) fn with_lane<P: Processor>(
    all: SectionCoefficients<Wide<P>>,
    processor: P,
    lane: usize,
    one: &SectionCoefficients,
) -> SectionCoefficients<Wide<P>> {
    let put = |wide: Wide<P>, number: f64| {
        let mut lanes = wide.lanes();
        lanes.0[lane] = number;
        lanes.on(processor)
    };
    SectionCoefficients {
        lift_attached: put(all.lift_attached, one.lift_attached),
        drag_attached: put(all.drag_attached, one.drag_attached),
        moment_attached: put(all.moment_attached, one.moment_attached),
        normal_edges: put(all.normal_edges, one.normal_edges),
        normal_separated: put(all.normal_separated, one.normal_separated),
        moment_separated: put(all.moment_separated, one.moment_separated),
        drag_separated: put(all.drag_separated, one.drag_separated),
        attachment: put(all.attachment, one.attachment),
        leading_edge_sine: put(all.leading_edge_sine, one.leading_edge_sine),
    }
}
