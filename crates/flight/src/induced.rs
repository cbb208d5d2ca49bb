//! Normal velocities that circulation and its mirror image induce at each strip.

use crate::airborne::Airborne;
use crate::flow::Flow;
use crate::influence::{Effect, MOST_SURFACES};
use crate::lanes::{Lanes, Processor, Wide, Wide3};
use crate::strips::MOST_STRIPS;

/// Induced normal velocities at a block of strips.
#[derive(Clone, Copy)]
pub(crate) struct Induced<P: Processor> {
    /// At the three-quarter chord, by all.
    pub ahead_m_s: Wide<P>,
    /// At the three-quarter chord, by other surfaces only.
    pub others_m_s: Wide<P>,
    /// At the quarter chord.
    pub bound_m_s: Wide<P>,
}

/// Effect of sources on a block: two chains of sums at each place, so that one
/// addition need not wait for the one before it.
#[inline(always)]
fn sum<P: Processor>(p: P, effects: &[Effect], source_m2_s: &[f64]) -> (Wide<P>, Wide<P>) {
    let nil = Wide::all(p, 0.0);
    let (mut ahead, mut bound) = ([nil; 2], [nil; 2]);
    let (effects, last) = effects.as_chunks::<2>();
    let (sources, last_source) = source_m2_s.as_chunks::<2>();
    for (effects, sources) in effects.iter().zip(sources) {
        for chain in 0..2 {
            let gamma = Wide::all(p, sources[chain]);
            ahead[chain] += effects[chain].at_three_quarter * gamma;
            bound[chain] += effects[chain].at_quarter * gamma;
        }
    }
    if let (Some(effect), Some(source)) = (last.first(), last_source.first()) {
        let gamma = Wide::all(p, *source);
        ahead[0] += effect.at_three_quarter * gamma;
        bound[0] += effect.at_quarter * gamma;
    }
    (ahead[0] + ahead[1], bound[0] + bound[1])
}

impl Airborne {
    /// What all circulations (one for each strip) induce at a block.
    #[inline(always)]
    pub(crate) fn induced<P: Processor>(
        &self,
        p: P,
        block: usize,
        source_m2_s: &[f64],
    ) -> Induced<P> {
        let effects = self.influence.on(block);
        let (from, to) = self.blocks[block].surface_strips;
        let (others_before, bound_before) = sum(p, &effects[..from], &source_m2_s[..from]);
        let (own, bound_own) = sum(p, &effects[from..to], &source_m2_s[from..to]);
        let (others_after, bound_after) = sum(p, &effects[to..], &source_m2_s[to..]);
        let others = others_before + others_after;
        Induced {
            ahead_m_s: others + own,
            others_m_s: others,
            bound_m_s: bound_before + bound_own + bound_after,
        }
    }

    /// Image flow at all blocks; `None` where the ground is out of reach.
    #[inline(always)]
    pub(crate) fn ground_image<P: Processor, const N: usize>(
        &self,
        p: P,
        flow: &Flow,
        source_m2_s: &[f64; MOST_STRIPS],
    ) -> Option<[Lanes; N]> {
        if flow.height_m > 1.8 * self.span_m || self.surfaces.len() > MOST_SURFACES {
            return None;
        }
        let mut mean = [0.0; MOST_SURFACES];
        for (surface, mean) in self.surfaces.iter().zip(&mut mean) {
            let sources = &source_m2_s[surface.from..surface.to];
            let shares = &self.width_share[surface.from..surface.to];
            for (source, share) in sources.iter().zip(shares) {
                *mean += source * share;
            }
        }
        // Tables hold for a plane that stands upright over the ground.
        let upright = flow.down.z.max(0.0);
        let mut normal_m_s = [Lanes::ZERO; N];
        for ((b, block), normal_m_s) in self.blocks.iter().enumerate().zip(&mut normal_m_s) {
            let height_m = flow.height_m - Wide3::all(p, flow.down).dot(block.quarter_m.on(p));
            let mean = &mean[..self.surfaces.len()];
            *normal_m_s = (self.ground.at(p, b, height_m, mean) * upright).lanes();
        }
        Some(normal_m_s)
    }
}
