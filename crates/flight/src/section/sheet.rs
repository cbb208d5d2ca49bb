//! The formulas of a foam sheet, eight strips at a time.

use core::f64::consts::PI;

use super::thin_aerofoil::{Camber, FlapTheory};
use super::{SectionCoefficients, SectionFlow, SectionModel};
use crate::lanes::{Lanes, PairLanes, Plain, Processor, WIDTH, Wide};

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

/// The same for eight strips, with their flaps.
#[derive(Debug, Clone, Default)]
pub(crate) struct SheetBlock {
    /// Thickness over chord; root of nose sharpness times the root of the
    /// Reynolds number.
    thickness_and_root_sharpness: PairLanes,
    base_drag_and_stall_sine: PairLanes,
    /// One over the sine of the stall, and what a blunt nose takes off it.
    one_over_stall_and_blunt: PairLanes,
    plate_normal_and_bend: PairLanes,
    edge_suction_and_one_over_tip_burst: PairLanes,
    /// With flaps as they are built.
    rest: SheetAtRest,
    lift_effect_and_zero_lift_rad: PairLanes,
    nose_effect_and_ideal_rad: PairLanes,
    moment_effect_and_camber_moment: PairLanes,
    flap_fraction: Lanes,
}

/// A sheet with its flaps set.
pub(crate) struct SheetSetting<P: Processor> {
    /// From the chord to the line of no lift.
    lift: Turn<P>,
    /// To where the flow meets the nose without going round it.
    nose: Turn<P>,
    /// To the plate that a separated flow sees.
    plate: Turn<P>,
    flap_drag: Wide<P>,
    moment: Wide<P>,
}

/// The same as stored, flaps as they are built.
#[derive(Debug, Clone, Default)]
struct SheetAtRest {
    lift: PairLanes,
    nose: PairLanes,
    plate: PairLanes,
    moment: Lanes,
}

/// Cosine and sine of a small angle.
#[derive(Clone, Copy)]
struct Turn<P: Processor> {
    cosine: Wide<P>,
    sine: Wide<P>,
}

impl SheetBlock {
    /// Puts a section and its flap into one lane.
    pub fn set(&mut self, lane: usize, section: &SectionModel, flap: &FlapTheory) {
        let sheet = &section.sheet;
        let root_sharpness = (SHARP_NOSE / sheet.thickness_ratio.max(1e-6)).sqrt();
        self.thickness_and_root_sharpness
            .set(lane, sheet.thickness_ratio, root_sharpness);
        self.base_drag_and_stall_sine
            .set(lane, sheet.base_drag, sheet.stall_sine);
        let one_over_stall = 1.0 / sheet.stall_sine;
        self.one_over_stall_and_blunt.set(
            lane,
            one_over_stall,
            one_over_stall - 1.0 / (sheet.stall_sine + BLUNT_STALL_GAIN),
        );
        self.plate_normal_and_bend
            .set(lane, sheet.plate_normal, sheet.plate_bend);
        self.edge_suction_and_one_over_tip_burst.set(
            lane,
            sheet.edge_suction,
            1.0 / sheet.tip_burst.max(1e-3),
        );
        let camber = &sheet.camber;
        self.lift_effect_and_zero_lift_rad
            .set(lane, flap.lift_effect, camber.zero_lift_rad);
        self.nose_effect_and_ideal_rad
            .set(lane, flap.nose_effect, camber.ideal_rad);
        self.moment_effect_and_camber_moment
            .set(lane, flap.moment_effect, camber.moment);
        self.flap_fraction.0[lane] = flap.fraction;
        let nil = Wide::all(Plain, 0.0);
        let rest = self.deflected(Plain, nil, nil);
        self.rest.lift = rest.lift.stored();
        self.rest.nose = rest.nose.stored();
        self.rest.plate = rest.plate.stored();
        self.rest.moment = rest.moment.lanes();
    }

    /// With flaps as they are built.
    #[inline(always)]
    pub fn rest<P: Processor>(&self, p: P) -> SheetSetting<P> {
        SheetSetting {
            lift: Turn::from_stored(p, &self.rest.lift),
            nose: Turn::from_stored(p, &self.rest.nose),
            plate: Turn::from_stored(p, &self.rest.plate),
            flap_drag: Wide::all(p, 0.0),
            moment: self.rest.moment.on(p),
        }
    }

    /// With flaps deflected, and what the flow follows of it.
    #[inline(always)]
    pub fn deflected<P: Processor>(
        &self,
        p: P,
        flap_rad: Wide<P>,
        followed_rad: Wide<P>,
    ) -> SheetSetting<P> {
        let [lift_effect, zero_lift_rad] = self.lift_effect_and_zero_lift_rad.on(p);
        let [nose_effect, ideal_rad] = self.nose_effect_and_ideal_rad.on(p);
        let [moment_effect, camber_moment] = self.moment_effect_and_camber_moment.on(p);
        let open = flap_rad - followed_rad;
        SheetSetting {
            lift: Turn::by(lift_effect * followed_rad - zero_lift_rad),
            nose: Turn::by(nose_effect * followed_rad - ideal_rad),
            // Camber turns a separated plate by less.
            plate: Turn::by(self.flap_fraction * followed_rad - 0.4 * zero_lift_rad),
            flap_drag: self.flap_fraction * (open * open + 0.15 * flap_rad * flap_rad),
            moment: camber_moment + moment_effect * followed_rad,
        }
    }

    /// Coefficients at a flow, apart from the attachment in steady flow, which
    /// is given beside them.
    #[inline(always)]
    pub fn at<P: Processor>(
        &self,
        p: P,
        flow: &SectionFlow<Wide<P>>,
        setting: &SheetSetting<P>,
        one_over_reynolds: Wide<P>,
    ) -> (SectionCoefficients<Wide<P>>, Attachment<P>) {
        let [thickness_ratio, root_sharpness] = self.thickness_and_root_sharpness.on(p);
        let [base_drag, stall_sine] = self.base_drag_and_stall_sine.on(p);
        let [one_over_stall, blunt_over_stall] = self.one_over_stall_and_blunt.on(p);
        let [edge_suction, one_over_tip_burst] = self.edge_suction_and_one_over_tip_burst.on(p);
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
        let nose_re = re * thickness_ratio;
        let root_sharp = (root_sharpness * per_root_re).at_most(SHARPEST);
        let blunt = ((nose_re - SHARP_NOSE) * (1.0 / BLUNT_RANGE))
            .at_least(0.0)
            .at_most(1.0);
        let stall_sine = stall_sine + BLUNT_STALL_GAIN * blunt;
        let approach = nose_size * (one_over_stall - blunt_over_stall * blunt);
        // The loss grows with the three-quarter power of sharpness.
        let suction_loss =
            (0.55 * root_sharp * root_sharp.sqrt() * (1.0 + 0.8 * approach * approach))
                .at_most(1.0);
        let drag0 = friction + base_drag;

        let stall = Stall::of(nose_size - stall_sine, STALL_WIDTH - 0.022 * blunt);
        let burst = tip_vortices(flow, &setting.nose, one_over_tip_burst);
        let plate = self.plate(p, flow, &setting.plate);
        let normal = plate.numerator / plate.resistance;
        let coefficients = SectionCoefficients {
            lift_attached: lift,
            drag_attached: drag0 + suction_loss * (lift * nose).abs() + setting.flap_drag,
            moment_attached: sine.nil() + setting.moment,
            normal_edges: edges(flow, edge_suction),
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

    /// Force along the normal of a plate in fully separated flow, and its arm.
    #[inline(always)]
    fn plate<P: Processor>(&self, p: P, flow: &SectionFlow<Wide<P>>, turn: &Turn<P>) -> Plate<P> {
        let [plate_normal, plate_bend] = self.plate_normal_and_bend.on(p);
        let s = turn
            .of(flow.free_sine, flow.free_cosine)
            .at_least(-1.0)
            .at_most(1.0);
        let size = s.abs();
        let forward = 0.11 + 0.19 * (size - 0.26).at_least(0.0);
        let reversed = 0.25 + 0.25 * (1.0 - size);
        Plate {
            numerator: plate_normal * s,
            resistance: plate_bend + (1.0 - plate_bend) * size,
            behind_quarter: (-flow.free_cosine).where_above(0.0, reversed, forward),
        }
    }
}

/// One over the share of the tip vortices that still roll over the plate. Their
/// downwash keeps the flow on near the tips when the middle has let go; past the
/// stall they burst, and the whole plate is separated: its normal force is then
/// that of the measured plate wing of aspect ratio 2 at 25 degrees.
#[inline(always)]
fn tip_vortices<P: Processor>(
    flow: &SectionFlow<Wide<P>>,
    nose: &Turn<P>,
    one_over_tip_burst: Wide<P>,
) -> Wide<P> {
    let free_nose = nose.of(flow.free_sine, flow.free_cosine);
    let near = one_over_tip_burst * free_nose;
    let square = near * near;
    let fourth = square * square;
    let eighth = fourth * fourth;
    1.0 + eighth * eighth
}

/// Normal force of the vortices that roll over the side edges.
#[inline(always)]
fn edges<P: Processor>(flow: &SectionFlow<Wide<P>>, edge_suction: Wide<P>) -> Wide<P> {
    let (s, c) = (flow.free_sine, flow.free_cosine.at_least(0.0));
    edge_suction * s * s.abs() * c * c
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

impl<P: Processor> Turn<P> {
    #[inline(always)]
    fn by(angle_rad: Wide<P>) -> Self {
        let square = angle_rad * angle_rad;
        Self {
            cosine: 1.0 - 0.5 * square,
            sine: angle_rad * (1.0 - square * (1.0 / 6.0)),
        }
    }

    /// Sine of an angle turned.
    #[inline(always)]
    fn of(&self, sine: Wide<P>, cosine: Wide<P>) -> Wide<P> {
        sine * self.cosine + cosine * self.sine
    }

    /// As stored.
    fn stored(&self) -> PairLanes {
        let mut pair = PairLanes::default();
        let (cosine, sine) = (self.cosine.lanes(), self.sine.lanes());
        for lane in 0..WIDTH {
            pair.set(lane, cosine.0[lane], sine.0[lane]);
        }
        pair
    }

    #[inline(always)]
    fn from_stored(p: P, pair: &PairLanes) -> Self {
        let [cosine, sine] = pair.on(p);
        Self { cosine, sine }
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
