//! Where the flow lets go, and what that does to its surroundings.

use core::cell::Cell;

use arrayvec::ArrayVec;
use glam::DVec3;

use crate::airborne::{Airborne, StripBlock};
use crate::lanes::{Processor, Wide, Wide3};
use crate::section::Attachment;
use crate::state::BlockState;

/// What the attachment of eight strips in the middle of a tick is made of, each of
/// them `f = known + below f(previous) + above f(next)`.
#[derive(Clone, Copy)]
pub(crate) struct Mix<P: Processor> {
    known: Wide<P>,
    below: Wide<P>,
    above: Wide<P>,
    /// What a tick changes over what changes by its middle.
    onward: Wide<P>,
}

impl<P: Processor> Mix<P> {
    /// From the attachment `now` and `steady` in steady flow, in a tick that is
    /// `share` of the lag of separation.
    #[inline(always)]
    pub fn new(
        p: P,
        block: &StripBlock,
        now: Wide<P>,
        steady: &Attachment<P>,
        share: Wide<P>,
    ) -> Self {
        let [spread_below, spread_above] = block.spread_below_and_above.on(p);
        let square = share * share;
        let long = square * square;
        // The middle is `short` over `both` of the share away, the end `both` over
        // `short` times as far as the middle.
        let short = LONG_SHARE_FOURTH + long;
        let both = short + LONG_SHARE_FOURTH;
        let to_middle = share * short;
        let whole = both + to_middle * (1.0 + spread_below + spread_above);
        // Three divisions in one.
        let size = steady.size;
        let per_all = 1.0 / (whole * size * short);
        let per_whole = per_all * (size * short);
        let part = to_middle * per_whole;
        Self {
            known: now * (both * per_whole) + to_middle * (steady.numerator * (per_all * short)),
            below: part * spread_below,
            above: part * spread_above,
            onward: both * (per_all * (whole * size)),
        }
    }

    /// The mean, from attachments of the block before, of this and of the next.
    #[inline(always)]
    fn of(&self, previous: Wide<P>, this: Wide<P>, next: Wide<P>) -> Wide<P> {
        self.known + self.below * this.after(previous) + self.above * this.before(next)
    }
}

/// Fourth power of a tick's share of the lag at which its middle is half its end.
/// The share in a tick of a flight is a few hundredths.
const LONG_SHARE_FOURTH: f64 = 0.25;
/// Sweeps in which neighbours learn of each other within a tick.
const SWEEPS: usize = 2;

/// The attachment in the middle of a tick, on its way toward the steady value,
/// spread along the span: `f - l^2 f'' = f_steady` with `l` about a third of a
/// chord. Cells of separated flow are never much narrower than the chord (common
/// observation, no source); without it neighbouring narrow strips stall in turn,
/// the well-known sawtooth of strip methods past the stall.
///
/// Loads meet that of the middle, and [`go_on`] goes on to the end: so it comes
/// late by exactly its lag and changes no faster or slower than it should, to the
/// second order of the tick (the trapezoidal rule, seen from its middle). In long
/// steps, which would swing, the middle moves up to the end.
///
/// Implicit in the strip itself, and in its neighbours by sweeps (Jacobi's
/// method): each sweep gives a mean of values old and new with weights that are
/// positive and add up to one, so that any tick is stable, and what is steady
/// does not depend on the number of sweeps. Each sweep takes off as much of
/// what a full solution would still change as the share that neighbours have in
/// the mean: a fortieth in half a tick of two milliseconds.
#[inline(always)]
pub(crate) fn spread<P: Processor, const N: usize>(
    p: P,
    mixes: &[Mix<P>],
    state: &[BlockState],
) -> ArrayVec<Wide<P>, N> {
    let mut spread = ArrayVec::<Wide<P>, N>::new();
    for of in state {
        spread.push(of.attachment.on(p));
    }
    for _ in 0..SWEEPS {
        sweep(p, mixes, &mut spread);
    }
    spread
}

/// Each block from itself and its neighbours as they were.
#[inline(always)]
fn sweep<P: Processor>(p: P, mixes: &[Mix<P>], spread: &mut [Wide<P>]) {
    let cells = Cell::from_mut(spread).as_slice_of_cells();
    let (Some(first), Some(last), Some(last_mix)) = (cells.first(), cells.last(), mixes.last())
    else {
        return;
    };
    let nil = Wide::all(p, 0.0);
    let (mut previous, mut this) = (nil, first.get());
    for (pair, mix) in cells.windows(2).zip(mixes) {
        let next = pair[1].get();
        pair[0].set(mix.of(previous, this, next));
        (previous, this) = (this, next);
    }
    last.set(last_mix.of(previous, this, nil));
}

/// Goes on from the middle of a tick to its end.
#[inline(always)]
pub(crate) fn go_on<P: Processor>(
    p: P,
    mixes: &[Mix<P>],
    middle: &[Wide<P>],
    state: &mut [BlockState],
) {
    for ((mix, middle), state) in mixes.iter().zip(middle).zip(state) {
        let now = state.attachment.on(p);
        state.attachment = (now + mix.onward * (*middle - now)).lanes();
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
        let [left_share, right_share] = block.left_and_right_share.on(p);
        left += apart * left_share;
        right += apart * right_share;
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
