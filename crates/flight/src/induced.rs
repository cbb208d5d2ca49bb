//! Normal velocities that circulation and its mirror image induce at each strip.

use arrayvec::ArrayVec;

use crate::airborne::{Airborne, SurfaceStrips};
use crate::flow::Flow;
use crate::influence::{Effect, MOST_SURFACES, Tile};
use crate::lanes::{Processor, WIDTH, Wide, Wide3, WideSingles, single};
use crate::state::BlockState;

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

/// What is induced at the three-quarter chord, then at the quarter chord of each
/// of a tile of blocks.
type Sums<P, const K: usize> = [WideSingles<P>; K];

/// Circulation of every strip, in the order of blocks and lanes.
pub(crate) struct Sources<const N: usize> {
    circulation_m2_s: [[f32; WIDTH]; N],
    /// Mean of each surface where the ground is within reach, times how far the
    /// plane stands upright: the tables of the ground hold for a plane that does.
    mean_m2_s: ArrayVec<f32, MOST_SURFACES>,
}

impl<const N: usize> Sources<N> {
    #[inline(always)]
    pub fn of<P: Processor>(p: P, plane: &Airborne, flow: &Flow, state: &[BlockState]) -> Self {
        let mut all = Self {
            circulation_m2_s: [[0.0; WIDTH]; N],
            mean_m2_s: ArrayVec::new(),
        };
        let is_ground_near =
            flow.height_m <= 1.8 * plane.span_m && plane.surfaces.len() <= MOST_SURFACES;
        let upright = flow.down.z.max(0.0);
        let blocks = plane.blocks.iter().zip(state);
        let mut rooms = all.circulation_m2_s.iter_mut().zip(blocks);
        for surface in &plane.surfaces {
            let mut weighted = Wide::all(p, 0.0);
            for (room, (block, of)) in (&mut rooms).take(surface.end_block - surface.first_block) {
                let sum = of.circulation_m2_s.on(p) + of.shed_m2_s;
                *room = sum.lanes().0.map(single);
                if is_ground_near {
                    weighted += sum * block.width_share;
                }
            }
            if is_ground_near {
                all.mean_m2_s.push(single(weighted.sum() * upright));
            }
        }
        all
    }

    /// Of the strips of a surface that begins with a block.
    #[inline(always)]
    fn beginning_with(&self, block: usize) -> &[f32] {
        let rest = self.circulation_m2_s.get(block..).unwrap_or_default();
        rest.as_flattened()
    }
}

/// Effect of sources on a tile.
#[inline(always)]
fn sum<P: Processor, const K: usize>(
    p: P,
    effects: &[[Effect; K]],
    source_m2_s: &[f32],
) -> Sums<P, K> {
    let mut sums = [WideSingles::all(p, 0.0); K];
    for (effects, gamma_m2_s) in effects.iter().zip(source_m2_s) {
        let gamma_m2_s = WideSingles::all(p, *gamma_m2_s);
        for (sum, effect) in sums.iter_mut().zip(effects) {
            *sum += effect.on(p) * gamma_m2_s;
        }
    }
    sums
}

impl Tile {
    /// What all circulations induce at the blocks of the tile, of which there are
    /// `K`.
    #[inline(always)]
    pub(crate) fn induced<P: Processor, const K: usize, const N: usize>(
        &self,
        p: P,
        surfaces: &[SurfaceStrips],
        source: &Sources<N>,
    ) -> [Induced<P>; K] {
        let (effects, _) = self.effects.as_chunks::<K>();
        let nil = [WideSingles::all(p, 0.0); K];
        let (mut all, mut others) = (nil, nil);
        for (index, surface) in surfaces.iter().enumerate() {
            let effects = effects.get(surface.from..surface.to).unwrap_or_default();
            let sums = sum(p, effects, source.beginning_with(surface.first_block));
            for (k, sum) in sums.into_iter().enumerate() {
                all[k] += sum;
                if self.surface_of_block[k] != index {
                    others[k] += sum;
                }
            }
        }
        core::array::from_fn(|k| {
            let [ahead_m_s, bound_m_s] = all[k].doubled();
            let [others_m_s, _] = others[k].doubled();
            Induced {
                ahead_m_s,
                others_m_s,
                bound_m_s,
            }
        })
    }
}

impl Airborne {
    /// Adds the flow of the images under the ground at all blocks, where it is
    /// within reach.
    #[inline(always)]
    pub(crate) fn add_ground_image<P: Processor, const N: usize>(
        &self,
        p: P,
        flow: &Flow,
        source: &Sources<N>,
        all: &mut [Induced<P>],
    ) {
        let mean = source.mean_m2_s.as_slice();
        if mean.is_empty() {
            return;
        }
        let one_over_span_m = self.ground.one_over_span_m;
        let down = Wide3::all(p, flow.down * one_over_span_m);
        let height_over_span = flow.height_m * one_over_span_m;
        let rows = self.ground.rows(flow);
        for (b, (block, induced)) in self.blocks.iter().zip(all).enumerate() {
            let [quarter_m, _] = block.quarter_m_and_along.on(p);
            let height_over_span = height_over_span - down.dot(quarter_m);
            let normal_m_s = self.ground.at(p, b, height_over_span, &rows, mean);
            induced.ahead_m_s += normal_m_s;
            induced.bound_m_s += normal_m_s;
        }
    }
}
