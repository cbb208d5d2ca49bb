//! The flow at eight strips, in three short steps, and what their sections make
//! of it.

use glam::DVec3;

use crate::air_loads::Conditions;
use crate::airborne::StripBlock;
use crate::induced::Induced;
use crate::lanes::{Processor, Wide, Wide3};
use crate::section::{Attachment, SectionCoefficients, SectionFlow, with_lane};
use crate::separation::TailWake;
use crate::state::Deflection;

/// Slower than this, nothing is divided by a speed.
const LEAST_SPEED_M_S: f64 = 0.05;

/// The air as it moves past eight strips by itself.
#[derive(Clone, Copy)]
pub(crate) struct Motion<P: Processor> {
    /// Along the chord, aft.
    pub u_m_s: Wide<P>,
    /// Along the normal, at the quarter and at the three-quarter chord.
    pub w_bound_m_s: Wide<P>,
    pub w_ahead_m_s: Wide<P>,
    pub turn_rad_s: Wide<P>,
}

/// How it meets the strips once circulation has bent it.
#[derive(Clone, Copy)]
pub(crate) struct Meeting<P: Processor> {
    pub speed_m_s: Wide<P>,
    pub per_speed: Wide<P>,
    pub sine: Wide<P>,
    pub cosine: Wide<P>,
    /// The same without the flow that the strips' own surface induces.
    pub free_speed_m_s: Wide<P>,
    pub free_sine: Wide<P>,
    pub free_cosine: Wide<P>,
    pub induced_bound_m_s: Wide<P>,
}

/// Reynolds number for each square metre a second of speed times chord, and one
/// over it.
pub(crate) struct Viscosity {
    pub reynolds_per_m2_s: f64,
    pub m2_s_per_reynolds: f64,
}

impl Viscosity {
    pub fn of(conditions: &Conditions<'_>) -> Self {
        Self {
            reynolds_per_m2_s: conditions.density_kg_m3 / conditions.viscosity_pa_s,
            m2_s_per_reynolds: conditions.viscosity_pa_s / conditions.density_kg_m3,
        }
    }
}

impl<P: Processor> Motion<P> {
    #[inline(always)]
    pub fn meet(&self, induced: &Induced<P>) -> Meeting<P> {
        let u = self.u_m_s;
        let w_free = self.w_ahead_m_s + induced.others_m_s;
        let w = self.w_ahead_m_s + induced.ahead_m_s;
        let speed = (u * u + w * w).sqrt().at_least(LEAST_SPEED_M_S);
        let free_speed = (u * u + w_free * w_free).sqrt().at_least(LEAST_SPEED_M_S);
        // Two divisions in one.
        let per_both = 1.0 / (speed * free_speed);
        let (per_speed, per_free) = (per_both * free_speed, per_both * speed);
        Meeting {
            speed_m_s: speed,
            per_speed,
            sine: w * per_speed,
            cosine: u * per_speed,
            free_speed_m_s: free_speed,
            free_sine: w_free * per_free,
            free_cosine: u * per_free,
            induced_bound_m_s: induced.bound_m_s,
        }
    }
}

impl StripBlock {
    /// The air past the strips, what their own plane induces left out.
    #[inline(always)]
    pub fn motion<P: Processor>(
        &self,
        p: P,
        conditions: &Conditions<'_>,
        wake: &TailWake,
        immersed: &Wide<P>,
    ) -> Motion<P> {
        let flow = conditions.flow;
        let all = |v: DVec3| Wide3::all(p, v);
        let rates = all(flow.rates_rad_s);
        let [quarter_m, along] = self.quarter_m_and_along.on(p);
        let [lateral, aftness] = self.lateral_and_aftness.on(p);
        let mut v = all(flow.lateral_m_s) * lateral
            + all(flow.tips_m_s) * lateral.abs()
            + all(flow.tail_m_s) * aftness
            - (all(flow.velocity_m_s) + rates.cross(quarter_m));
        if self.in_wake {
            v = v * wake.at(&quarter_m);
        }
        if let (Some(jet), true) = (conditions.slipstream, self.in_wash) {
            v += jet.added(p, &self.wash) * *immersed;
        }
        let [normal, aft] = self.normal_and_aft.on(p);
        let [chord_m, _] = self.chord_and_inverse.on(p);
        let w_bound = v.dot(normal);
        let turn = rates.dot(along);
        Motion {
            u_m_s: v.dot(aft),
            w_bound_m_s: w_bound,
            w_ahead_m_s: w_bound + 0.5 * (chord_m * turn),
            turn_rad_s: turn,
        }
    }

    /// What the sections answer, and their attachment in steady flow.
    #[inline(always)]
    pub fn answer<P: Processor>(
        &self,
        p: P,
        viscosity: &Viscosity,
        meeting: &Meeting<P>,
        deflections: &[Deflection],
    ) -> (SectionCoefficients<Wide<P>>, Attachment<P>) {
        let [mut flap_rad, mut flap_followed_rad] = [meeting.sine.nil(); 2];
        for flap in &self.flaps {
            let [coverage, effective] = flap.coverage_and_effective.on(p);
            let Some(deflection) = deflections.get(flap.control) else {
                continue;
            };
            flap_rad += coverage * deflection.asked_rad;
            flap_followed_rad += effective * deflection.followed_rad;
        }
        let [chord_m, one_over_chord_m] = self.chord_and_inverse.on(p);
        let flow = SectionFlow {
            sine: meeting.sine,
            cosine: meeting.cosine,
            free_sine: meeting.free_sine,
            free_cosine: meeting.free_cosine,
            reynolds: meeting.speed_m_s * chord_m * viscosity.reynolds_per_m2_s,
            flap_rad,
            flap_followed_rad,
        };
        let one_over_reynolds = meeting.per_speed * one_over_chord_m * viscosity.m2_s_per_reynolds;
        let setting = if self.flaps.is_empty() {
            self.sheet.rest(p)
        } else {
            self.sheet.deflected(p, flap_rad, flap_followed_rad)
        };
        let (mut section, mut attachment) = self.sheet.at(p, &flow, &setting, one_over_reynolds);
        for special in &self.special {
            let lane = special.lane;
            let one = special.section.corrected(
                section.map(|wide| wide.lanes().0[lane]),
                &flow.map(|wide| wide.lanes().0[lane]),
                &special.flap,
            );
            section = with_lane(section, p, lane, &one);
            attachment = attachment.with_lane(p, lane, one.attachment);
        }
        (section, attachment)
    }
}
