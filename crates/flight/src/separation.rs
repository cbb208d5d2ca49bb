//! Where the flow lets go, and what that does to its surroundings.

use arrayvec::ArrayVec;
use glam::DVec3;

use crate::airborne::Airborne;
use crate::lanes::{Lanes, Processor, WIDTH, Wide, Wide3};
use crate::state::BlockState;

/// What a block of strips asks of its attachment in a tick.
#[derive(Clone, Copy)]
pub(crate) struct Settling<P: Processor> {
    /// Length of the tick over the lag of separation.
    pub share: Wide<P>,
    /// Attachment in steady flow.
    pub steady: Wide<P>,
}

/// Moves the attachment toward its steady value, spread along the span:
/// `f - l^2 f'' = f_steady` with `l` about a third of a chord. Cells of
/// separated flow are never much narrower than the chord (common observation,
/// no source); without it neighbouring narrow strips stall in turn, the
/// well-known sawtooth of strip methods past the stall. Implicit: any tick is
/// stable.
#[inline(always)]
pub(crate) fn spread<P: Processor, const N: usize>(
    p: P,
    airborne: &Airborne,
    settling: &[Settling<P>],
    state: &mut [BlockState],
) {
    // Each strip: f = known + below f(previous) + above f(next).
    let mut known = ArrayVec::<[f64; WIDTH], N>::new();
    let mut below = ArrayVec::<[f64; WIDTH], N>::new();
    let mut above = ArrayVec::<[f64; WIDTH], N>::new();
    for ((block, state), settling) in airborne.blocks.iter().zip(state.iter()).zip(settling) {
        let share = settling.share;
        let (down, up) = (share * block.spread_below, share * block.spread_above);
        let inverse = 1.0 / (1.0 + share + down + up);
        let given = state.attachment.on(p) + share * settling.steady;
        known.push((given * inverse).lanes().0);
        below.push((down * inverse).lanes().0);
        above.push((up * inverse).lanes().0);
    }
    let mut pivots = ArrayVec::<[f64; WIDTH], N>::new();
    for _ in 0..known.len() {
        pivots.push([1.0; WIDTH]);
    }
    for surface in &airborne.surfaces {
        let strips = airborne.slots.slots_of(surface.from, surface.to);
        eliminate(
            &mut known.as_flattened_mut()[strips.clone()],
            &mut below.as_flattened_mut()[strips.clone()],
            &mut above.as_flattened_mut()[strips.clone()],
            &mut pivots.as_flattened_mut()[strips],
        );
    }
    for (b, pivot) in pivots.iter().enumerate() {
        let inverse = 1.0 / Lanes(*pivot).on(p);
        known[b] = (inverse * Lanes(known[b])).lanes().0;
        below[b] = (inverse * Lanes(below[b])).lanes().0;
        above[b] = (inverse * Lanes(above[b])).lanes().0;
    }
    for surface in &airborne.surfaces {
        let strips = airborne.slots.slots_of(surface.from, surface.to);
        substitute(
            &mut known.as_flattened_mut()[strips.clone()],
            &below.as_flattened()[strips.clone()],
            &above.as_flattened()[strips],
        );
    }
    for (state, solved) in state.iter_mut().zip(&known) {
        state.attachment = Lanes(*solved);
    }
}

/// Begins to solve `f(i) = known(i) + below(i) f(i - 1) + above(i) f(i + 1)`,
/// from both ends to the middle at once. No division is done on the way, for
/// each would wait for the one before: what is left in `known` and, towards the
/// middle, in `above` and `below`, is to be divided by the pivots, which are one
/// to begin with. They are the leading minors of the matrix; its diagonal is one
/// and the rest smaller, so that they neither vanish nor overflow.
#[inline(always)]
fn eliminate(known: &mut [f64], below: &mut [f64], above: &mut [f64], pivots: &mut [f64]) {
    let count = known.len();
    let middle = count / 2;
    if middle == 0 {
        return;
    }
    let (known_low, known_high) = known.split_at_mut(middle);
    let (below_low, below_high) = below.split_at_mut(middle);
    let (above_low, above_high) = above.split_at_mut(middle);
    let (pivots_low, pivots_high) = pivots.split_at_mut(middle);
    let top = count - middle - 1;
    for k in 1..middle {
        let pivot = pivots_low[k - 1];
        pivots_low[k] = pivot - below_low[k] * above_low[k - 1];
        known_low[k] = known_low[k] * pivot + below_low[k] * known_low[k - 1];
        above_low[k] *= pivot;
        let j = top - k;
        let pivot = pivots_high[j + 1];
        pivots_high[j] = pivot - above_high[j] * below_high[j + 1];
        known_high[j] = known_high[j] * pivot + above_high[j] * known_high[j + 1];
        below_high[j] *= pivot;
    }
    if top + 1 > middle {
        // An odd number of strips: the upper half has one more.
        let pivot = pivots_high[1];
        pivots_high[0] = pivot - above_high[0] * below_high[1];
        known_high[0] = known_high[0] * pivot + above_high[0] * known_high[1];
        below_high[0] *= pivot;
    }
}

/// Ends the solution, from the middle to both ends, once the pivots are
/// divided out.
#[inline(always)]
fn substitute(known: &mut [f64], below: &[f64], above: &[f64]) {
    let count = known.len();
    let middle = count / 2;
    if middle == 0 {
        return;
    }
    let (known_low, known_high) = known.split_at_mut(middle);
    let (above_low, below_high) = (&above[..middle], &below[middle..]);
    let low = middle - 1;
    known_high[0] =
        (known_high[0] + below_high[0] * known_low[low]) / (1.0 - below_high[0] * above_low[low]);
    known_low[low] += above_low[low] * known_high[0];
    for k in 1..middle {
        known_low[low - k] += above_low[low - k] * known_low[low - k + 1];
        known_high[k] += below_high[k] * known_high[k - 1];
    }
    if count - middle > middle {
        known_high[middle] += below_high[middle] * known_high[middle - 1];
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
