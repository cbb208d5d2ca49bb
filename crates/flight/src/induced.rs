//! Normal velocities that circulation and its mirror image induce at each strip.

use core::ops::Range;

use crate::airborne::{Airborne, SurfaceStrips};
use crate::flow::Flow;
use crate::influence::{Effect, MOST_SURFACES};
use crate::lanes::{Processor, WIDTH, Wide, Wide3};
use crate::state::BlockState;
use crate::strips::{MOST_STRIPS, Slots};

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

/// Circulation of every strip that is there, side by side.
pub(crate) struct Sources {
    circulation_m2_s: [f64; MOST_SOURCES],
    count: usize,
}

/// Room for all strips and the empty lanes of the last block.
const MOST_SOURCES: usize = MOST_STRIPS + WIDTH;

impl Sources {
    #[inline(always)]
    pub fn of<P: Processor>(
        p: P,
        surfaces: &[SurfaceStrips],
        slots: &Slots,
        state: &[BlockState],
    ) -> Self {
        let mut circulation_m2_s = [0.0; MOST_SOURCES];
        let mut count = 0;
        for surface in surfaces {
            let blocks = slots.blocks_of(surface.from, surface.to);
            // The next surface overwrites what empty lanes have left.
            let mut at = surface.from;
            for of in state.get(blocks).unwrap_or_default() {
                let sum = of.circulation_m2_s.on(p) + of.shed_m2_s;
                if let Some(room) = circulation_m2_s.get_mut(at..at + WIDTH) {
                    room.copy_from_slice(&sum.lanes().0);
                }
                at += WIDTH;
            }
            count = surface.to;
        }
        Self {
            circulation_m2_s,
            count,
        }
    }

    /// Of the strips in a range.
    #[inline(always)]
    fn strips(&self, range: Range<usize>) -> &[f64] {
        let to = range.end.min(self.count);
        self.circulation_m2_s
            .get(range.start..to)
            .unwrap_or_default()
    }
}

/// Effect of sources on a tile: two chains of sums at each place, so that one
/// addition need not wait for the one before it.
#[inline(always)]
fn sum<P: Processor, const K: usize>(
    p: P,
    effects: &[[Effect; K]],
    source_m2_s: &[f64],
) -> Sums<P, K> {
    let nil = [Wide::all(p, 0.0); K];
    let mut chains = [Sums {
        ahead_m_s: nil,
        bound_m_s: nil,
    }; CHAINS];
    let count = effects.len().min(source_m2_s.len());
    let (effects, last_effects) = effects[..count].as_chunks::<CHAINS>();
    let (sources, last_sources) = source_m2_s[..count].as_chunks::<CHAINS>();
    for (effects, sources) in effects.iter().zip(sources) {
        for (chain, (effects, gamma)) in chains.iter_mut().zip(effects.iter().zip(sources)) {
            chain.add(effects, Wide::all(p, *gamma));
        }
    }
    let last = last_effects.iter().zip(last_sources);
    for (chain, (effects, gamma)) in chains.iter_mut().zip(last) {
        chain.add(effects, Wide::all(p, *gamma));
    }
    let [one, other] = chains;
    one.plus(&other)
}

/// Chains of sums.
const CHAINS: usize = 2;

impl<P: Processor, const K: usize> Sums<P, K> {
    /// Adds what a source induces.
    #[inline(always)]
    fn add(&mut self, effects: &[Effect; K], gamma_m2_s: Wide<P>) {
        for (k, effect) in effects.iter().enumerate() {
            let [at_three_quarter, at_quarter] = effect.on(gamma_m2_s.processor());
            self.ahead_m_s[k] += at_three_quarter * gamma_m2_s;
            self.bound_m_s[k] += at_quarter * gamma_m2_s;
        }
    }

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
/// own surface has the strips `own`.
#[inline(always)]
pub(crate) fn induced<P: Processor, const K: usize>(
    p: P,
    effects: &[[Effect; K]],
    own: SurfaceStrips,
    source: &Sources,
) -> [Induced<P>; K] {
    let (from, to) = (own.from, own.to);
    let before = sum(p, &effects[..from], source.strips(0..from));
    let after = sum(p, &effects[to..], source.strips(to..source.count));
    let others = before.plus(&after);
    let all = sum(p, &effects[from..to], source.strips(from..to)).plus(&others);
    core::array::from_fn(|k| Induced {
        ahead_m_s: all.ahead_m_s[k],
        others_m_s: others.ahead_m_s[k],
        bound_m_s: all.bound_m_s[k],
    })
}

impl Airborne {
    /// Adds the image flow at all blocks where the ground is within reach.
    #[inline(always)]
    pub(crate) fn add_ground_image<P: Processor>(
        &self,
        p: P,
        flow: &Flow,
        state: &[BlockState],
        all: &mut [Induced<P>],
    ) {
        if flow.height_m > 1.8 * self.span_m || self.surfaces.len() > MOST_SURFACES {
            return;
        }
        let mut mean = [0.0; MOST_SURFACES];
        for (surface, mean) in self.surfaces.iter().zip(&mut mean) {
            let blocks = self.slots.blocks_of(surface.from, surface.to);
            let mut sum = Wide::all(p, 0.0);
            let members = state.get(blocks.clone()).unwrap_or_default();
            for (of, block) in members.iter().zip(&self.blocks[blocks]) {
                sum += (of.circulation_m2_s.on(p) + of.shed_m2_s) * block.width_share;
            }
            *mean = sum.sum();
        }
        // Tables hold for a plane that stands upright over the ground.
        let upright = flow.down.z.max(0.0);
        let mean = &mean[..self.surfaces.len()];
        let mut row = 0;
        for (b, (block, induced)) in self.blocks.iter().zip(all).enumerate() {
            let [quarter_m, _] = block.quarter_m_and_along.on(p);
            let height_m = flow.height_m - Wide3::all(p, flow.down).dot(quarter_m);
            let normal_m_s = self.ground.at(p, b, height_m, mean, &mut row) * upright;
            induced.ahead_m_s += normal_m_s;
            induced.bound_m_s += normal_m_s;
        }
    }
}
