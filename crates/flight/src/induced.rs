//! Normal velocities that circulation and its mirror image induce at each strip.

use core::ops::Range;

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

/// Sums at the three-quarter and the quarter chord of a tile of blocks.
#[derive(Clone, Copy)]
struct Sums<P: Processor, const K: usize> {
    ahead_m_s: [Wide<P>; K],
    bound_m_s: [Wide<P>; K],
}

/// Effect of sources on a tile: two chains of sums at each place, so that one
/// addition need not wait for the one before it.
#[inline(always)]
fn sum<P: Processor, const K: usize>(
    p: P,
    effects: &[[[Effect; K]; WIDTH]],
    source_m2_s: &[Lanes],
) -> Sums<P, K> {
    let nil = [Wide::all(p, 0.0); K];
    let mut chains = [Sums {
        ahead_m_s: nil,
        bound_m_s: nil,
    }; 2];
    for (effects, sources) in effects.iter().zip(source_m2_s) {
        for (lane, effects) in effects.iter().enumerate() {
            let gamma = Wide::all(p, sources.0[lane]);
            let chain = &mut chains[lane % 2];
            for (k, effect) in effects.iter().enumerate() {
                chain.ahead_m_s[k] += effect.at_three_quarter * gamma;
                chain.bound_m_s[k] += effect.at_quarter * gamma;
            }
        }
    }
    let [one, other] = chains;
    one.plus(&other)
}

impl<P: Processor, const K: usize> Sums<P, K> {
    #[inline(always)]
    fn plus(mut self, other: &Self) -> Self {
        for k in 0..K {
            self.ahead_m_s[k] += other.ahead_m_s[k];
            self.bound_m_s[k] += other.bound_m_s[k];
        }
        self
    }
}

/// What all circulations (one for each strip) induce at a tile of blocks, whose
/// own surface has the blocks `own`.
#[inline(always)]
pub(crate) fn induced<P: Processor, const K: usize>(
    p: P,
    effects: &[[[Effect; K]; WIDTH]],
    own: Range<usize>,
    source_m2_s: &[Lanes],
) -> [Induced<P>; K] {
    let (from, to) = (own.start, own.end);
    let before = sum(p, &effects[..from], &source_m2_s[..from]);
    let after = sum(p, &effects[to..], &source_m2_s[to..]);
    let others = before.plus(&after);
    let all = sum(p, &effects[from..to], &source_m2_s[from..to]).plus(&others);
    core::array::from_fn(|k| Induced {
        ahead_m_s: all.ahead_m_s[k],
        others_m_s: others.ahead_m_s[k],
        bound_m_s: all.bound_m_s[k],
    })
}

impl Airborne {
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
            let blocks = self.slots.blocks_of(surface.from, surface.to);
            let mut sum = Wide::all(p, 0.0);
            for (source, block) in source_m2_s[blocks.clone()].iter().zip(&self.blocks[blocks]) {
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
