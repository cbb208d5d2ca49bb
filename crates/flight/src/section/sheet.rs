//! The formulas of a foam sheet, four strips at a time.

use core::f64::consts::PI;

use super::thin_aerofoil::{Camber, FlapTheory};
use super::{SectionCoefficients, SectionFlow, SectionModel};
use crate::lanes::{Lanes, Plain, Processor, Wide};

/// Half-width of the stall, as the sine of the leading-edge angle.
const STALL_WIDTH: f64 = 0.043;
/// Blasius: friction of both sides of a plate times the root of its Reynolds number.
const LAMINAR_FRICTION: f64 = 2.0 * 1.328;
/// Nose-radius Reynolds number below which a nose counts as sharp...
const SHARP_NOSE: f64 = 2_500.0;
/// ...and the range above it over which it becomes blunt.
const BLUNT_RANGE: f64 = 11_500.0;

/// Root of the sharpest nose that makes a difference.
const SHARPEST: f64 = core::f64::consts::SQRT_2;
/// How much later a blunt nose stalls, as the sine of the leading-edge angle.
const BLUNT_STALL_GAIN: f64 = 0.012;
/// Below this Reynolds number nothing gets worse.
const LEAST_REYNOLDS: f64 = 5_000.0;

/// What never changes about one section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SheetFigures {
    pub camber: Camber,
    pub thickness_ratio: f64,
    pub base_drag: f64,
    pub stall_sine: f64,
    pub plate_normal: f64,
    pub plate_bend: f64,
    pub edge_suction: f64,
    /// Sine of the free angle of attack at which half of the flow that the tip
    /// vortices held to the plate has gone with them.
    pub tip_burst: f64,
}

/// The same for four strips, with their flaps.
#[derive(Debug, Clone, Default)]
pub(crate) struct SheetBlock {
    zero_lift_rad: Lanes,
    ideal_rad: Lanes,
    camber_moment: Lanes,
    /// Root of nose sharpness times the root of the Reynolds number.
    root_sharpness: Lanes,
    /// One over the sine of the stall, and what a blunt nose takes off it.
    one_over_stall: Lanes,
    blunt_over_stall: Lanes,
    thickness_ratio: Lanes,
    base_drag: Lanes,
    stall_sine: Lanes,
    plate_normal: Lanes,
    plate_bend: Lanes,
    /// What is left of one beside `plate_bend`.
    plate_rest: Lanes,
    /// Angle by which camber turns a separated plate.
    plate_shift_rad: Lanes,
    edge_suction: Lanes,
    one_over_tip_burst: Lanes,
    lift_effect: Lanes,
    nose_effect: Lanes,
    moment_effect: Lanes,
    flap_fraction: Lanes,
    /// With flaps as they are built.
    pub rest: SheetSetting,
}

/// A sheet with its flaps set.
#[derive(Debug, Clone, Default)]
pub(crate) struct SheetSetting {
    /// From the chord to the line of no lift.
    lift: Turn,
    /// To where the flow meets the nose without going round it.
    nose: Turn,
    /// To the plate that a separated flow sees.
    plate: Turn,
    flap_drag: Lanes,
    moment: Lanes,
}

/// Cosine and sine of a small angle.
#[derive(Debug, Clone, Copy, Default)]
struct Turn {
    cosine: Lanes,
    sine: Lanes,
}

impl SheetBlock {
    /// Puts a section and its flap into one lane.
    pub fn set(&mut self, lane: usize, section: &SectionModel, flap: &FlapTheory) {
        let sheet = &section.sheet;
        self.zero_lift_rad.0[lane] = sheet.camber.zero_lift_rad;
        self.ideal_rad.0[lane] = sheet.camber.ideal_rad;
        self.camber_moment.0[lane] = sheet.camber.moment;
        self.root_sharpness.0[lane] = (SHARP_NOSE / sheet.thickness_ratio.max(1e-6)).sqrt();
        let one_over_stall = 1.0 / sheet.stall_sine;
        self.one_over_stall.0[lane] = one_over_stall;
        self.blunt_over_stall.0[lane] =
            one_over_stall - 1.0 / (sheet.stall_sine + BLUNT_STALL_GAIN);
        self.thickness_ratio.0[lane] = sheet.thickness_ratio;
        self.base_drag.0[lane] = sheet.base_drag;
        self.stall_sine.0[lane] = sheet.stall_sine;
        self.plate_normal.0[lane] = sheet.plate_normal;
        self.plate_bend.0[lane] = sheet.plate_bend;
        self.plate_rest.0[lane] = 1.0 - sheet.plate_bend;
        self.plate_shift_rad.0[lane] = 0.4 * sheet.camber.zero_lift_rad;
        self.edge_suction.0[lane] = sheet.edge_suction;
        self.one_over_tip_burst.0[lane] = 1.0 / sheet.tip_burst.max(1e-3);
        self.lift_effect.0[lane] = flap.lift_effect;
        self.nose_effect.0[lane] = flap.nose_effect;
        self.moment_effect.0[lane] = flap.moment_effect;
        self.flap_fraction.0[lane] = flap.fraction;
        let nil = Wide::all(Plain, 0.0);
        self.rest = self.deflected(nil, nil);
    }

    /// With flaps deflected, and what the flow follows of it.
    #[inline(always)]
    pub fn deflected<P: Processor>(
        &self,
        flap_rad: Wide<P>,
        followed_rad: Wide<P>,
    ) -> SheetSetting {
        let open = flap_rad - followed_rad;
        let drag = self.flap_fraction * (open * open + 0.15 * flap_rad * flap_rad);
        SheetSetting {
            lift: Turn::by(self.lift_effect * followed_rad - self.zero_lift_rad),
            nose: Turn::by(self.nose_effect * followed_rad - self.ideal_rad),
            plate: Turn::by(self.flap_fraction * followed_rad - self.plate_shift_rad),
            flap_drag: drag.lanes(),
            moment: (self.camber_moment + self.moment_effect * followed_rad).lanes(),
        }
    }

    /// Coefficients at a flow, apart from the attachment in steady flow, which
    /// is given beside them.
    #[inline(always)]
    pub fn at<P: Processor>(
        &self,
        flow: &SectionFlow<Wide<P>>,
        setting: &SheetSetting,
        one_over_reynolds: Wide<P>,
    ) -> (SectionCoefficients<Wide<P>>, Attachment<P>) {
        let sine = setting.lift.of(flow.sine, flow.cosine);
        let nose = setting.nose.of(flow.sine, flow.cosine);
        let nose_size = nose.abs();
        let re = flow.reynolds.at_least(LEAST_REYNOLDS);
        let one_over_re = one_over_reynolds.at_most(1.0 / LEAST_REYNOLDS);
        // Laminar bubble: shortens with Reynolds number, lifts more as it
        // grows toward the stall (4 degrees is 0.0698).
        let growth = (nose_size * (1.0 / 0.0698)).at_most(1.22);
        let low = (50_000.0 * one_over_re).at_most(1.5);
        let bubble = 1.0 + (re * 2e-7).at_most(0.02) + 0.055 * low * growth * growth;
        let lift = 2.0 * PI * sine * bubble;

        let per_root_re = one_over_re.sqrt();
        let friction = LAMINAR_FRICTION * per_root_re;
        // Nose-radius Reynolds number: a blunter or faster nose keeps its suction
        // and lets go later and more suddenly.
        let nose_re = re * self.thickness_ratio;
        let root_sharp = (self.root_sharpness * per_root_re).at_most(SHARPEST);
        let blunt = ((nose_re - SHARP_NOSE) * (1.0 / BLUNT_RANGE))
            .at_least(0.0)
            .at_most(1.0);
        let stall_sine = self.stall_sine + BLUNT_STALL_GAIN * blunt;
        let approach = nose_size * (self.one_over_stall - self.blunt_over_stall * blunt);
        // The loss grows with the three-quarter power of sharpness.
        let suction_loss =
            (0.55 * root_sharp * root_sharp.sqrt() * (1.0 + 0.8 * approach * approach))
                .at_most(1.0);
        let drag0 = friction + self.base_drag;

        let stall = Stall::of(nose_size - stall_sine, STALL_WIDTH - 0.022 * blunt);
        let burst = self.tip_vortices(flow, &setting.nose);
        let plate = self.plate(flow, &setting.plate);
        let normal = plate.numerator / plate.resistance;
        let coefficients = SectionCoefficients {
            lift_attached: lift,
            drag_attached: drag0 + suction_loss * (lift * nose).abs() + setting.flap_drag,
            moment_attached: sine.nil() + setting.moment,
            normal_edges: self.edges(flow),
            normal_separated: normal,
            moment_separated: -(normal * plate.behind_quarter),
            drag_separated: drag0 * flow.free_cosine * flow.free_cosine + setting.flap_drag,
            attachment: stall.numerator.nil(),
            leading_edge_sine: nose,
        };
        let attachment = Attachment {
            numerator: flow
                .cosine
                .where_above(0.0, stall.numerator, stall.numerator.nil()),
            size: stall.size * burst,
        };
        (coefficients, attachment)
    }

    /// One over the share of the tip vortices that still roll over the plate. Their downwash
    /// keeps the flow on near the tips when the middle has let go; past the
    /// stall they burst, and the whole plate is separated: its normal force is
    /// then that of the measured plate wing of aspect ratio 2 at 25 degrees.
    #[inline(always)]
    fn tip_vortices<P: Processor>(&self, flow: &SectionFlow<Wide<P>>, nose: &Turn) -> Wide<P> {
        let free_nose = nose.of(flow.free_sine, flow.free_cosine);
        let near = self.one_over_tip_burst * free_nose;
        let square = near * near;
        let fourth = square * square;
        let eighth = fourth * fourth;
        1.0 + eighth * eighth
    }

    /// Normal force of the vortices that roll over the side edges.
    #[inline(always)]
    fn edges<P: Processor>(&self, flow: &SectionFlow<Wide<P>>) -> Wide<P> {
        let (s, c) = (flow.free_sine, flow.free_cosine.at_least(0.0));
        self.edge_suction * s * s.abs() * c * c
    }

    /// Force along the normal of a plate in fully separated flow, and its arm.
    #[inline(always)]
    fn plate<P: Processor>(&self, flow: &SectionFlow<Wide<P>>, turn: &Turn) -> Plate<P> {
        let s = turn
            .of(flow.free_sine, flow.free_cosine)
            .at_least(-1.0)
            .at_most(1.0);
        let size = s.abs();
        let forward = 0.11 + 0.19 * (size - 0.26).at_least(0.0);
        let reversed = 0.25 + 0.25 * (1.0 - size);
        Plate {
            numerator: self.plate_normal * s,
            resistance: self.plate_bend + self.plate_rest * size,
            behind_quarter: (-flow.free_cosine).where_above(0.0, reversed, forward),
        }
    }
}

/// Share of attached flow in steady flow, the numerator over the size: it is
/// divided where more is to be divided.
#[derive(Clone, Copy)]
pub(crate) struct Attachment<P: Processor> {
    pub numerator: Wide<P>,
    pub size: Wide<P>,
}

impl<P: Processor> Attachment<P> {
    /// The share.
    pub fn share(&self) -> Wide<P> {
        self.numerator / self.size
    }

    /// The same with the share of one lane put right.
    pub fn with_lane(&self, processor: P, lane: usize, share: f64) -> Self {
        let put = |wide: Wide<P>, number: f64| {
            let mut lanes = wide.lanes();
            lanes.0[lane] = number;
            lanes.on(processor)
        };
        Self {
            numerator: put(self.numerator, share),
            size: put(self.size, 1.0),
        }
    }
}

/// A separated plate: its normal force is the numerator over the resistance.
struct Plate<P: Processor> {
    numerator: Wide<P>,
    resistance: Wide<P>,
    /// Distance of the force behind the quarter chord, in chords.
    behind_quarter: Wide<P>,
}

impl Turn {
    #[inline(always)]
    fn by<P: Processor>(angle_rad: Wide<P>) -> Self {
        let square = angle_rad * angle_rad;
        Self {
            cosine: (1.0 - 0.5 * square).lanes(),
            sine: (angle_rad * (1.0 - square * (1.0 / 6.0))).lanes(),
        }
    }

    /// Sine of an angle turned.
    #[inline(always)]
    fn of<P: Processor>(&self, sine: Wide<P>, cosine: Wide<P>) -> Wide<P> {
        sine * self.cosine + cosine * self.sine
    }
}

/// Sine of an angle turned by a small `shift` in radians.
#[inline(always)]
pub(super) fn rotated<P: Processor>(sine: Wide<P>, cosine: Wide<P>, shift: Wide<P>) -> Wide<P> {
    Turn::by(shift).of(sine, cosine)
}

/// Share of attached flow in steady flow, the numerator over the size.
struct Stall<P: Processor> {
    numerator: Wide<P>,
    size: Wide<P>,
}

impl<P: Processor> Stall<P> {
    /// `beyond` the leading-edge angle of the stall: `(1 - y / sqrt(1 + y^2)) / 2`
    /// with `y = x + x^3 / 2` and `x = beyond / width`, times the cube of the
    /// width above and below.
    #[inline(always)]
    fn of(beyond: Wide<P>, width: Wide<P>) -> Self {
        let square = width * width;
        let y = beyond * (square + 0.5 * beyond * beyond);
        let cube = square * width;
        let size = (cube * cube + y * y).sqrt();
        Self {
            numerator: 0.5 * (size - y),
            size,
        }
    }
}

/// How much of the separated moment acts: the centre of pressure leaves the
/// quarter chord as soon as a bubble has opened.
#[inline(always)]
pub(crate) fn moment_share<P: Processor>(attached: Wide<P>) -> Wide<P> {
    let square = attached * attached;
    1.0 - square * square * square
}
