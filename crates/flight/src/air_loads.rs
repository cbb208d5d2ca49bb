//! Loads of the air on all strips, and the strips' own states.

use core::f64::consts::PI;

use glam::DVec3;

use crate::airborne::{Airborne, CIRCULATION_LAG_CHORDS, StripBlock};
use crate::flow::Flow;
use crate::induced::Induced;
use crate::lanes::{Lanes, Plain, Processor, WIDTH, Wide, Wide3};
use crate::power::Slipstream;
use crate::section::{SectionCoefficients, SectionFlow, followed_rad, moment_share, with_lane};
use crate::separation::{Settling, TailWake, spread, wing_stalled};
use crate::state::{BlockState, LostParts, SurfaceState};
use crate::strips::MOST_STRIPS;

/// The separation point follows with this lag: the sum of Goman and
/// Khrabrov's two time constants for thin sections, J. Aircraft 31(5), 1994
/// (from memory), in chords of travel.
const SEPARATION_LAG_CHORDS: f64 = 5.0;
/// Slower than this, nothing is divided by a speed.
const LEAST_SPEED_M_S: f64 = 0.05;
/// Slower than this through the air, a wing is not said to stall.
const STALL_SEEN_M_S: f64 = 1.0;

/// The air, what blows in it and what of the plane is there.
#[derive(Clone, Copy)]
pub(crate) struct Conditions<'a> {
    pub density_kg_m3: f64,
    pub viscosity_pa_s: f64,
    pub flow: &'a Flow,
    pub slipstream: Option<&'a Slipstream>,
    pub surfaces: &'a [SurfaceState],
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

/// Flow and section data of four strips between the two passes of a step.
#[derive(Clone, Copy)]
struct Ask<P: Processor> {
    v_m_s: Wide3<P>,
    u_m_s: Wide<P>,
    w_bound_m_s: Wide<P>,
    induced_bound_m_s: Wide<P>,
    turn_rad_s: Wide<P>,
    speed_m_s: Wide<P>,
    per_speed: Wide<P>,
    free_speed_m_s: Wide<P>,
    free_cosine: Wide<P>,
    section: SectionCoefficients<Wide<P>>,
}

/// Deflections that several strips share.
struct Deflections {
    asked_rad: [f64; MOST_CONTROLS],
    followed_rad: [f64; MOST_CONTROLS],
}

const MOST_CONTROLS: usize = 16;

impl Airborne {
    /// Steps the strips' circulation and attachment and sums the loads.
    ///
    /// The work is done for as many blocks as the plane has, with whatever
    /// vector instructions the processor offers: each lane does the same
    /// operations in the same order on all of them.
    pub fn step(&self, conditions: &Conditions<'_>, state: &mut [BlockState]) -> AirLoads {
        match self.blocks.len() {
            0..=8 => self.step_wide::<8>(conditions, state),
            9..=12 => self.step_wide::<12>(conditions, state),
            13..=16 => self.step_wide::<16>(conditions, state),
            _ => self.step_wide::<MOST_BLOCKS>(conditions, state),
        }
    }

    fn step_wide<const N: usize>(
        &self,
        conditions: &Conditions<'_>,
        state: &mut [BlockState],
    ) -> AirLoads {
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
        let count = self.blocks.len().min(state.len()).min(N);
        let state = &mut state[..count];
        let mut source = [0.0; MOST_STRIPS];
        for (strip, source) in source.iter_mut().enumerate().take(self.count()) {
            let of = &state[self.slots.block_of(strip)];
            let lane = self.slots.lane_of(strip);
            *source = of.circulation_m2_s.0[lane] + of.shed_m2_s.0[lane];
        }
        let image = self.ground_image::<P, N>(p, flow, &source);
        let [left, right] = wing_stalled(p, self, state);
        let wake = TailWake::behind(self, flow.velocity_m_s, left.max(right));
        let deflections = Deflections::of(conditions.surfaces);

        let mut asks = [Ask::nil(p); N];
        let mut settling = [Settling::default(); N];
        for b in 0..count {
            let block = &self.blocks[b];
            let mut induced = self.induced(p, b, &source[..self.count()]);
            if let Some(normal_m_s) = &image {
                induced.ahead_m_s = induced.ahead_m_s + normal_m_s[b];
                induced.bound_m_s = induced.bound_m_s + normal_m_s[b];
            }
            let ask = block.ask(p, conditions, &induced, &wake, &deflections);
            let lag = CIRCULATION_LAG_CHORDS / SEPARATION_LAG_CHORDS;
            let share = ask.speed_m_s * block.circulation_rate * (lag * conditions.dt_s);
            settling[b] = Settling {
                share: (share * block.present(p, conditions.lost)).lanes(),
                steady: ask.section.attachment.lanes(),
            };
            asks[b] = ask;
        }
        spread(p, self, &settling, state);

        let nil = Wide3::all(p, DVec3::ZERO);
        let (mut force, mut moment) = (nil, nil);
        let mut margin = Wide::all(p, f64::MAX);
        for ((block, ask), state) in self.blocks.iter().zip(&asks).zip(state.iter_mut()) {
            let loads = block.loads(p, conditions, ask, state);
            force += loads.force_n;
            moment += loads.moment_n_m;
            margin = margin.min(loads.stall_margin_rad);
        }
        let margin = margin.least();
        let [stalled_left, stalled_right] = wing_stalled(p, self, state);
        let wash = conditions
            .slipstream
            .map_or_else(Default::default, |s| self.fuselage.wash(s));
        let (body_force, body_moment) = self.fuselage.loads(
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

impl Deflections {
    #[inline(always)]
    fn of(surfaces: &[SurfaceState]) -> Self {
        let mut all = Self {
            asked_rad: [0.0; MOST_CONTROLS],
            followed_rad: [0.0; MOST_CONTROLS],
        };
        for (k, surface) in surfaces.iter().enumerate().take(MOST_CONTROLS) {
            all.asked_rad[k] = surface.deflection_rad;
            all.followed_rad[k] = followed_rad(surface.deflection_rad);
        }
        all
    }

    #[inline(always)]
    fn pick<P: Processor>(p: P, from: &[f64; MOST_CONTROLS], control: &[usize; WIDTH]) -> Wide<P> {
        Lanes(control.map(|k| from[k % MOST_CONTROLS])).on(p)
    }
}

/// Loads of four strips.
struct BlockLoads<P: Processor> {
    force_n: Wide3<P>,
    moment_n_m: Wide3<P>,
    stall_margin_rad: Wide<P>,
}

impl<P: Processor> Ask<P> {
    /// Still air.
    #[inline(always)]
    fn nil(p: P) -> Self {
        let (nil, nil3) = (Wide::all(p, 0.0), Wide3::all(p, DVec3::ZERO));
        Self {
            v_m_s: nil3,
            u_m_s: nil,
            w_bound_m_s: nil,
            induced_bound_m_s: nil,
            turn_rad_s: nil,
            speed_m_s: nil,
            per_speed: nil,
            free_speed_m_s: nil,
            free_cosine: nil,
            section: SectionCoefficients::default().map(|number| Wide::all(p, number)),
        }
    }
}

impl StripBlock {
    /// 1 in the lanes whose strip is still on the plane.
    #[inline(always)]
    fn present<P: Processor>(&self, p: P, lost: LostParts) -> Wide<P> {
        if !(lost.wing_left || lost.wing_right || lost.tail) {
            return self.real.on(p);
        }
        let kept = |gone: bool| Wide::all(p, if gone { 0.0 } else { 1.0 });
        self.group[0] * kept(lost.wing_left)
            + self.group[1] * kept(lost.wing_right)
            + self.group[2] * kept(lost.tail)
    }

    /// The flow at the strips and what their sections make of it.
    #[inline(always)]
    fn ask<P: Processor>(
        &self,
        p: P,
        conditions: &Conditions<'_>,
        induced: &Induced<P>,
        wake: &TailWake,
        deflections: &Deflections,
    ) -> Ask<P> {
        let flow = conditions.flow;
        let all = |v: DVec3| Wide3::all(p, v);
        let rates = all(flow.rates_rad_s);
        let quarter_m = self.quarter_m.on(p);
        let mut v = all(flow.lateral_m_s) * self.lateral
            + all(flow.tips_m_s) * self.lateral.on(p).abs()
            + all(flow.tail_m_s) * self.aftness
            - (all(flow.velocity_m_s) + rates.cross(quarter_m));
        if self.in_wake {
            v = v * wake.at(&quarter_m);
        }
        if let (Some(jet), true) = (conditions.slipstream, self.in_wash) {
            let (immersed, added_m_s) = jet.at_block(p, &self.wash);
            v += added_m_s * immersed;
        }
        let u = v.dot(self.aft.on(p));
        let w_bound = v.dot(self.normal.on(p));
        let turn = rates.dot(self.along.on(p));
        let w_alone = w_bound + 0.5 * (self.chord_m * turn);
        let w_free = w_alone + induced.others_m_s;
        let w = w_alone + induced.ahead_m_s;
        let speed = (u * u + w * w).sqrt().at_least(LEAST_SPEED_M_S);
        let free_speed = (u * u + w_free * w_free).sqrt().at_least(LEAST_SPEED_M_S);
        // Two divisions in one.
        let per_both = 1.0 / (speed * free_speed);
        let (per_speed, per_free) = (per_both * free_speed, per_both * speed);
        let flap = &self.flap;
        let reynolds_per_m2_s = conditions.density_kg_m3 / conditions.viscosity_pa_s;
        let m2_s_per_reynolds = conditions.viscosity_pa_s / conditions.density_kg_m3;
        let section_flow = SectionFlow {
            sine: w * per_speed,
            cosine: u * per_speed,
            free_sine: w_free * per_free,
            free_cosine: u * per_free,
            reynolds: speed * self.chord_m * reynolds_per_m2_s,
            flap_rad: flap.coverage * Deflections::pick(p, &deflections.asked_rad, &flap.control),
            flap_followed_rad: flap.effective
                * Deflections::pick(p, &deflections.followed_rad, &flap.control),
        };
        let one_over_reynolds = per_speed * self.one_over_chord_m * m2_s_per_reynolds;
        let mut section = self.sheet.at(&section_flow, one_over_reynolds);
        for special in &self.special {
            let lane = special.lane;
            let one = special.section.corrected(
                section.map(|wide| wide.lanes().0[lane]),
                &section_flow.map(|wide| wide.lanes().0[lane]),
                &special.flap,
            );
            section = with_lane(section, p, lane, &one);
        }
        Ask {
            v_m_s: v,
            u_m_s: u,
            w_bound_m_s: w_bound,
            induced_bound_m_s: induced.bound_m_s,
            turn_rad_s: turn,
            speed_m_s: speed,
            per_speed,
            free_speed_m_s: free_speed,
            free_cosine: section_flow.free_cosine,
            section,
        }
    }

    /// Moves the circulation on and gives the loads.
    #[inline(always)]
    fn loads<P: Processor>(
        &self,
        p: P,
        conditions: &Conditions<'_>,
        ask: &Ask<P>,
        state: &mut BlockState,
    ) -> BlockLoads<P> {
        let Ask {
            v_m_s: v,
            u_m_s: u,
            speed_m_s: speed,
            free_speed_m_s: free_speed,
            section: c,
            ..
        } = *ask;
        let present = self.present(p, conditions.lost);
        let (along, normal) = (self.along.on(p), self.normal.on(p));
        let f = state.attachment.on(p);
        let apart = 1.0 - f;
        let travel = conditions.dt_s * (speed * self.circulation_rate);
        let target = 0.5 * speed * self.chord_m * f * c.lift_attached;
        let gamma = state.circulation_m2_s.on(p);
        // Two divisions in one.
        let (slow, loop_slow) = (1.0 + travel, 1.0 + travel * (1.0 + f * self.loop_gain));
        let per_both = travel / (slow * loop_slow);
        let gamma = (gamma + (target - gamma) * (per_both * slow)) * present;
        state.circulation_m2_s = gamma.lanes();
        let shed_target = 0.5
            * free_speed
            * self.chord_m
            * apart
            * c.normal_separated
            * ask.free_cosine.at_least(0.0);
        let shed = state.shed_m2_s.on(p);
        let shed = (shed + (shed_target - shed) * (per_both * loop_slow)) * present;
        state.shed_m2_s = shed.lanes();

        let density = conditions.density_kg_m3;
        let bound = ask.induced_bound_m_s;
        let local = v + normal * bound;
        let pressure_area = self.half_area_m2 * (density * present);
        let along_flow = f * c.drag_attached + apart * c.drag_separated;
        let in_plane = self.aft.on(p) * u + normal * (ask.w_bound_m_s + bound);
        let free_square = free_speed * free_speed;
        let force = local.cross(along) * (density * gamma * self.width_m)
            + in_plane * (pressure_area * speed * along_flow)
            + normal
                * (pressure_area * free_square * (apart * c.normal_separated + f * c.normal_edges));
        // Virtual camber of a plate that turns (thin aerofoil theory).
        let turning = -PI / 8.0 * (self.chord_m * ask.turn_rad_s * ask.per_speed);
        let moment = pressure_area
            * self.chord_m
            * (speed * speed * f * (c.moment_attached + turning)
                + free_square * moment_share(apart) * c.moment_separated);
        let margin = self.stall_angle_rad - c.leading_edge_sine.abs();
        let none = Wide::all(p, f64::MAX);
        BlockLoads {
            force_n: force,
            moment_n_m: self.quarter_m.on(p).cross(force) + along * moment,
            stall_margin_rad: (present * speed).where_above(STALL_SEEN_M_S, margin, none),
        }
    }
}
