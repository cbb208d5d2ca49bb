//! Normal velocities that circulation and its mirror image induce at each strip.

use arrayvec::ArrayVec;

use crate::airborne::Airborne;
use crate::flow::Flow;
use crate::influence::{Effect, MOST_SURFACES};
use crate::lanes::{Lanes, Processor, WIDTH, Wide, Wide3};

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
fn sum<P: Processor>(
    p: P,
    effects: &[[Effect; WIDTH]],
    source_m2_s: &[Lanes],
) -> (Wide<P>, Wide<P>) {
    let nil = Wide::all(p, 0.0);
    let (mut ahead, mut bound) = ([nil; 2], [nil; 2]);
    for (effects, sources) in effects.iter().zip(source_m2_s) {
        for (k, effect) in effects.iter().enumerate() {
            let gamma = Wide::all(p, sources.0[k]);
            ahead[k % 2] += effect.at_three_quarter * gamma;
            bound[k % 2] += effect.at_quarter * gamma;
        }
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
        source_m2_s: &[Lanes],
    ) -> Induced<P> {
        let effects = self.influence.on(block);
        let (from, to) = self.blocks[block].surface_blocks;
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
        source_m2_s: &[Lanes],
    ) -> Option<ArrayVec<Wide<P>, N>> {
        if flow.height_m > 1.8 * self.span_m || self.surfaces.len() > MOST_SURFACES {
            return None;
        }
        let mut mean = [0.0; MOST_SURFACES];
        for (surface, mean) in self.surfaces.iter().zip(&mut mean) {
            let (from, to) = self.slots.blocks_of(surface.from, surface.to);
            let mut sum = Wide::all(p, 0.0);
            for (source, block) in source_m2_s[from..to].iter().zip(&self.blocks[from..to]) {
                sum += source.on(p) * block.width_share;
            }
            *mean = sum.sum();
        }
        // Tables hold for a plane that stands upright over the ground.
        let upright = flow.down.z.max(0.0);
        let mean = &mean[..self.surfaces.len()];
        let mut normal_m_s = ArrayVec::new();
        let mut row = 0;
        for (b, block) in self.blocks.iter().enumerate().take(N) {
            let height_m = flow.height_m - Wide3::all(p, flow.down).dot(block.quarter_m.on(p));
            normal_m_s.push(self.ground.at(p, b, height_m, mean, &mut row) * upright);
        }
        Some(normal_m_s)
    }
}
