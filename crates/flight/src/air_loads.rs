//! Loads of the air on all strips, and the strips' own states.

use core::f64::consts::PI;

use arrayvec::ArrayVec;
use glam::DVec3;

use crate::airborne::{Airborne, StripBlock};
use crate::circulation::{Change, follow};
use crate::flow::Flow;
use crate::induced::{Induced, Sources};
use crate::lanes::{Plain, Processor, Wide, Wide3};
use crate::power::Slipstream;
use crate::section::{Attachment, SectionCoefficients, moment_share};
use crate::separation::{Mix, TailWake, go_on, spread, wing_stalled};
use crate::state::{BlockState, Deflection, LostParts};
use crate::strip_flow::{Meeting, Motion, Viscosity};
use crate::strips::MOST_STRIPS;

/// The separation point follows with this lag: the sum of Goman and
/// Khrabrov's two time constants for thin sections, J. Aircraft 31(5), 1994
/// (from memory), in chords of travel.
const SEPARATION_LAG_CHORDS: f64 = 5.0;
/// Slower than this through the air, a wing is not said to stall.
const STALL_SEEN_M_S: f64 = 1.0;

/// The air, what blows in it and what of the plane is there.
#[derive(Clone, Copy)]
pub(crate) struct Conditions<'a> {
    pub density_kg_m3: f64,
    pub viscosity_pa_s: f64,
    pub flow: &'a Flow,
    pub slipstream: Option<&'a Slipstream>,
    pub deflections: &'a [Deflection],
    pub lost: LostParts,
    pub dt_s: f64,
}

/// Sums over all strips and bodies.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct AirLoads {
    pub force_n: DVec3,
    pub moment_n_m: DVec3,
    pub stall_margin_rad: f64,
    pub stalled_left: f64,
    pub stalled_right: f64,
}

impl Airborne {
    /// Steps the strips' circulation and attachment and sums the loads.
    ///
    /// The work is done for as many blocks as the plane has, with whatever
    /// vector instructions the processor offers: each lane does the same
    /// operations in the same order on all of them.
    pub fn step(&self, conditions: &Conditions<'_>, state: &mut [BlockState]) -> AirLoads {
        match self.blocks.len() {
            0..=4 => self.step_wide::<4>(conditions, state),
            5 | 6 => self.step_wide::<6>(conditions, state),
            7 | 8 => self.step_wide::<8>(conditions, state),
            _ => self.step_wide::<MOST_BLOCKS>(conditions, state),
        }
    }

    fn step_wide<const N: usize>(
        &self,
        conditions: &Conditions<'_>,
        state: &mut [BlockState],
    ) -> AirLoads {
        #[cfg(target_arch = "x86_64")]
        if let Some(processor) = pulp::x86::V4::try_new() {
            return processor.vectorize(Step::<_, N> {
                processor,
                airborne: self,
                conditions,
                state,
            });
        }
        #[cfg(target_arch = "x86_64")]
        if let Some(processor) = pulp::x86::V3::try_new() {
            return processor.vectorize(Step::<_, N> {
                processor,
                airborne: self,
                conditions,
                state,
            });
        }
        self.step_blocks::<_, N>(Plain, conditions, state)
    }

    #[inline(always)]
    pub(crate) fn step_blocks<P: Processor, const N: usize>(
        &self,
        p: P,
        conditions: &Conditions<'_>,
        state: &mut [BlockState],
    ) -> AirLoads {
        let flow = conditions.flow;
        let lost = conditions.lost;
        let lost = (lost.wing_left || lost.wing_right || lost.tail).then_some(lost);
        let count = self.blocks.len().min(state.len()).min(N);
        let state = &mut state[..count];
        let blocks = &self.blocks[..count];
        let source = Sources::<N>::of(p, self, flow, state);
        // What needs no propeller comes first: the processor does it while it
        // still waits for the last of the power train.
        let mut all_induced = ArrayVec::<Induced<P>, N>::new();
        for tile in &self.influence.tiles {
            macro_rules! of_blocks {
                ($count:literal) => {
                    for induced in tile.induced::<P, $count, N>(p, &self.surfaces, &source) {
                        all_induced.push(induced);
                    }
                };
            }
            match tile.surface_of_block.len() {
                1 => of_blocks!(1),
                2 => of_blocks!(2),
                3 => of_blocks!(3),
                4 => of_blocks!(4),
                5 => of_blocks!(5),
                _ => of_blocks!(6),
            }
        }
        self.add_ground_image(p, flow, &source, &mut all_induced);
        let [left, right] = wing_stalled(p, self, state);
        let wake = TailWake::behind(self, flow.velocity_m_s, left.max(right));

        // Each loop is a short piece of the way, so that a processor works on
        // several blocks at once while one waits for a root or a division.
        let mut motions = ArrayVec::<Motion<P>, N>::new();
        let mut all_immersed = ArrayVec::<Wide<P>, N>::new();
        for block in blocks {
            all_immersed.push(match conditions.slipstream {
                Some(jet) if block.in_wash => jet.immersed(p, &block.wash),
                _ => Wide::all(p, 0.0),
            });
        }
        for (block, immersed) in blocks.iter().zip(&all_immersed) {
            motions.push(block.motion(p, conditions, &wake, immersed));
        }
        let mut meetings = ArrayVec::<Meeting<P>, N>::new();
        for (motion, induced) in motions.iter().zip(&all_induced) {
            meetings.push(motion.meet(induced));
        }
        let mut sections = ArrayVec::<SectionCoefficients<Wide<P>>, N>::new();
        let mut attachments = ArrayVec::<Attachment<P>, N>::new();
        let viscosity = Viscosity::of(conditions);
        for (block, meeting) in blocks.iter().zip(&meetings) {
            let (section, attachment) =
                block.answer(p, &viscosity, meeting, conditions.deflections);
            sections.push(section);
            attachments.push(attachment);
        }
        let mut mixes = ArrayVec::<Mix<P>, N>::new();
        let lag = conditions.dt_s / SEPARATION_LAG_CHORDS;
        for (b, (meeting, attachment)) in meetings.iter().zip(&attachments).enumerate() {
            let block = &blocks[b];
            let [_, one_over_chord_m] = block.chord_and_inverse.on(p);
            let share = meeting.speed_m_s * one_over_chord_m * lag;
            let share = block.keep(p, lost, share);
            let now = state[b].attachment.on(p);
            mixes.push(Mix::new(p, block, now, attachment, share));
        }
        let attached = spread::<P, N>(p, &mixes, state);

        let nil = Wide3::all(p, DVec3::ZERO);
        let (mut force, mut moment) = (nil, nil);
        let mut margin = Wide::all(p, f64::MAX);
        let flows = meetings.iter().zip(&sections);
        let mut changes = ArrayVec::<Change<P>, N>::new();
        let strips = blocks.iter().zip(state.iter_mut()).zip(&attached);
        for (((block, state), attached), flow) in strips.zip(flows) {
            let (meeting, section) = flow;
            changes.push(Change::begin(
                p,
                block,
                conditions.dt_s,
                lost,
                meeting,
                section,
                *attached,
                state,
            ));
        }
        let flows = motions.iter().zip(&meetings).zip(&sections);
        let strips = blocks.iter().zip(state.iter()).zip(&attached);
        for (((block, state), attached), flow) in strips.zip(flows) {
            let ((motion, meeting), section) = flow;
            let loads = block.loads(
                p, conditions, lost, motion, meeting, section, *attached, state,
            );
            force += loads.force_n;
            moment += loads.moment_n_m;
            margin = margin.min(loads.stall_margin_rad);
        }
        follow(p, blocks, lost, &changes, state);
        go_on(p, &mixes, &attached, state);
        let margin = margin.least();
        let [stalled_left, stalled_right] = wing_stalled(p, self, state);
        let wash = conditions
            .slipstream
            .map_or_else(Default::default, |s| self.fuselage.wash(s));
        let (body_force, body_moment) = self.fuselage.loads(
            p,
            conditions.density_kg_m3,
            flow.velocity_m_s,
            flow.rates_rad_s,
            wash,
        );
        AirLoads {
            force_n: force.sum() + body_force,
            moment_n_m: moment.sum() + body_moment,
            stall_margin_rad: if margin < 10.0 { margin } else { 0.0 },
            stalled_left,
            stalled_right,
        }
    }
}

/// A step as something that can be compiled for each kind of processor. (A
/// closure would not be: it is a function of its own that keeps the least
/// instruction set.)
struct Step<'a, P: Processor, const N: usize> {
    processor: P,
    airborne: &'a Airborne,
    conditions: &'a Conditions<'a>,
    state: &'a mut [BlockState],
}

impl<P: Processor, const N: usize> pulp::NullaryFnOnce for Step<'_, P, N> {
    type Output = AirLoads;

    #[inline(always)]
    fn call(self) -> AirLoads {
        self.airborne
            .step_blocks::<P, N>(self.processor, self.conditions, self.state)
    }
}

/// Most blocks a plane may have: each of its surfaces may waste part of one.
pub(crate) const MOST_BLOCKS: usize = MOST_STRIPS;

/// Loads of eight strips.
struct BlockLoads<P: Processor> {
    force_n: Wide3<P>,
    moment_n_m: Wide3<P>,
    stall_margin_rad: Wide<P>,
}

impl StripBlock {
    /// A number where the strip is still on the plane, zero where it is not.
    /// (Lanes without a strip need no care: they have neither width nor area.)
    #[inline(always)]
    pub(crate) fn keep<P: Processor>(
        &self,
        p: P,
        lost: Option<LostParts>,
        number: Wide<P>,
    ) -> Wide<P> {
        let Some(lost) = lost else {
            return number;
        };
        let kept = |gone: bool| Wide::all(p, if gone { 0.0 } else { 1.0 });
        number
            * (self.group[0] * kept(lost.wing_left)
                + self.group[1] * kept(lost.wing_right)
                + self.group[2] * kept(lost.tail))
    }

    /// The loads.
    #[inline(always)]
    #[allow(
        clippy::too_many_arguments,
        reason = "one for what each stage before has found"
    )]
    fn loads<P: Processor>(
        &self,
        p: P,
        conditions: &Conditions<'_>,
        lost: Option<LostParts>,
        motion: &Motion<P>,
        meeting: &Meeting<P>,
        c: &SectionCoefficients<Wide<P>>,
        f: Wide<P>,
        state: &BlockState,
    ) -> BlockLoads<P> {
        let Motion {
            u_m_s: u,
            w_bound_m_s: w_bound,
            turn_rad_s: turn,
            ..
        } = *motion;
        let Meeting {
            speed_m_s: speed,
            free_speed_m_s: free_speed,
            per_speed,
            induced_bound_m_s: bound,
            ..
        } = *meeting;
        let keep = |number| self.keep(p, lost, number);
        let apart = 1.0 - f;
        let gamma = state.circulation_m2_s;

        let density = conditions.density_kg_m3;
        let [width_m, half_area_m2] = self.width_and_half_area.on(p);
        let [normal, aft] = self.normal_and_aft.on(p);
        let [quarter_m, along] = self.quarter_m_and_along.on(p);
        let [chord_m, _] = self.chord_and_inverse.on(p);
        let pressure_area = keep(half_area_m2 * density);
        let along_flow = f * c.drag_attached + apart * c.drag_separated;
        let free_square = free_speed * free_speed;
        // Lift across the local flow (u aft, w along the normal) and drag along
        // it, in the strip's own frame, where aft x along is the normal.
        let w = w_bound + bound;
        let lift = density * (gamma.on(p) * width_m);
        let drag = pressure_area * speed * along_flow;
        let plate = pressure_area * free_square * (apart * c.normal_separated + f * c.normal_edges);
        let force = aft * (drag * u - lift * w) + normal * (lift * u + drag * w + plate);
        // Virtual camber of a plate that turns (thin aerofoil theory).
        let turning = -PI / 8.0 * (chord_m * turn * per_speed);
        let moment = pressure_area
            * chord_m
            * (speed * speed * f * (c.moment_attached + turning)
                + free_square * moment_share(f) * c.moment_separated);
        let margin = self.stall_angle_rad - c.leading_edge_sine.abs();
        let none = Wide::all(p, f64::MAX);
        BlockLoads {
            force_n: force,
            moment_n_m: quarter_m.cross(force) + along * moment,
            stall_margin_rad: keep(speed).where_above(STALL_SEEN_M_S, margin, none),
        }
    }
}
