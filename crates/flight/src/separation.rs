//! Where the flow lets go, and what that does to its surroundings.

use core::cell::Cell;

use arrayvec::ArrayVec;
use glam::DVec3;

use crate::airborne::Airborne;
use crate::lanes::{Processor, Wide, Wide3};
use crate::state::BlockState;

/// What a block of strips asks of its attachment in a tick.
#[derive(Clone, Copy)]
pub(crate) struct Settling<P: Processor> {
    /// Length of the tick over the lag of separation.
    pub share: Wide<P>,
    /// Attachment in steady flow.
    pub steady: Wide<P>,
}

/// Sweeps in which neighbours learn of each other within a tick.
const SWEEPS: usize = 2;

/// Moves the attachment toward its steady value, spread along the span:
/// `f - l^2 f'' = f_steady` with `l` about a third of a chord. Cells of
/// separated flow are never much narrower than the chord (common observation,
/// no source); without it neighbouring narrow strips stall in turn, the
/// well-known sawtooth of strip methods past the stall.
///
/// Implicit in the strip itself, and in its neighbours by sweeps (Jacobi's
/// method): each sweep gives a mean of values old and new with weights that are
/// positive and add up to one, so that any tick is stable, and what is steady
/// does not depend on the number of sweeps. Each sweep takes off as much of
/// what a full solution would still change as the share that neighbours have in
/// the mean: a twentieth in a tick of two milliseconds.
#[inline(always)]
pub(crate) fn spread<P: Processor, const N: usize>(
    p: P,
    airborne: &Airborne,
    settling: &[Settling<P>],
    state: &mut [BlockState],
) {
    // Each strip: f = known + below f(previous) + above f(next).
    let mut mixes = ArrayVec::<Mix<P>, N>::new();
    let mut spread = ArrayVec::<Wide<P>, N>::new();
    for ((block, state), settling) in airborne.blocks.iter().zip(state.iter()).zip(settling) {
        let share = settling.share;
        let (down, up) = (share * block.spread_below, share * block.spread_above);
        let inverse = 1.0 / (1.0 + share + down + up);
        let now = state.attachment.on(p);
        spread.push(now);
        mixes.push(Mix {
            known: (now + share * settling.steady) * inverse,
            below: down * inverse,
            above: up * inverse,
        });
    }
    let nil = Wide::all(p, 0.0);
    let cells = Cell::from_mut(spread.as_mut_slice()).as_slice_of_cells();
    if let ([first, .., last], [.., last_mix]) = (cells, mixes.as_slice()) {
        for _ in 0..SWEEPS {
            let (mut previous, mut this) = (nil, first.get());
            for (pair, mix) in cells.windows(2).zip(&mixes) {
                let next = pair[1].get();
                pair[0].set(mix.of(previous, this, next));
                (previous, this) = (this, next);
            }
            last.set(last_mix.of(previous, this, nil));
        }
    }
    for (state, spread) in state.iter_mut().zip(&spread) {
        state.attachment = spread.lanes();
    }
}

/// What the new attachment of four strips is made of.
#[derive(Clone, Copy)]
struct Mix<P: Processor> {
    known: Wide<P>,
    /// Weights of the neighbours.
    below: Wide<P>,
    above: Wide<P>,
}

impl<P: Processor> Mix<P> {
    /// The mean, from attachments of the block before, of this and of the next.
    #[inline(always)]
    fn of(&self, previous: Wide<P>, this: Wide<P>, next: Wide<P>) -> Wide<P> {
        self.known + self.below * this.after(previous) + self.above * this.before(next)
    }
}

/// Separated share of the port and starboard wing.
#[inline(always)]
pub(crate) fn wing_stalled<P: Processor>(
    p: P,
    airborne: &Airborne,
    state: &[BlockState],
) -> [f64; 2] {
    let (mut left, mut right) = (Wide::all(p, 0.0), Wide::all(p, 0.0));
    for (block, state) in airborne.blocks.iter().zip(state) {
        let apart = 1.0 - state.attachment.on(p);
        left += apart * block.left_share;
        right += apart * block.right_share;
    }
    [left.sum(), right.sum()]
}

/// Slow air behind a separated wing.
#[derive(Clone, Copy)]
pub(crate) struct TailWake {
    depth: f64,
    origin_m: DVec3,
    rise: f64,
    one_over_width_m: f64,
}

impl TailWake {
    pub fn behind(airborne: &Airborne, velocity_m_s: DVec3, stalled: f64) -> Self {
        Self {
            depth: 0.4 * stalled,
            origin_m: airborne.wing_quarter_m,
            rise: 0.7 * velocity_m_s.z / velocity_m_s.x.max(0.5),
            one_over_width_m: 1.0 / (0.5 * airborne.wing_chord_m).max(1e-6),
        }
    }

    /// Factor on the free stream at a place; 1 outside the wake.
    #[inline(always)]
    pub fn at<P: Processor>(&self, point_m: &Wide3<P>) -> Wide<P> {
        let behind = (self.origin_m.x - point_m.x).at_least(0.0);
        let off = (point_m.z - self.origin_m.z + self.rise * behind) * self.one_over_width_m;
        let square = off * off;
        1.0 - self.depth / (1.0 + square * square)
    }
}
