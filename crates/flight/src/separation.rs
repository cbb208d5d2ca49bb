//! Where the flow lets go, and what that does to its surroundings.

use glam::DVec3;

use crate::airborne::Airborne;
use crate::lanes::{Lanes, Processor, WIDTH, Wide, Wide3};
use crate::state::BlockState;

/// What a block of strips asks of its attachment in a tick.
#[derive(Clone, Copy, Default)]
pub(crate) struct Settling {
    /// Length of the tick over the lag of separation.
    pub share: Lanes,
    /// Attachment in steady flow.
    pub steady: Lanes,
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
    settling: &[Settling; N],
    state: &mut [BlockState],
) {
    // Each strip: f = known + below f(previous) + above f(next).
    let mut known = [[0.0; WIDTH]; N];
    let mut below = [[0.0; WIDTH]; N];
    let mut above = [[0.0; WIDTH]; N];
    for (b, (block, state)) in airborne.blocks.iter().zip(state.iter()).enumerate().take(N) {
        let share = settling[b].share.on(p);
        let (down, up) = (share * block.spread_below, share * block.spread_above);
        let inverse = 1.0 / (1.0 + share + down + up);
        let given = state.attachment.on(p) + share * settling[b].steady;
        known[b] = (given * inverse).lanes().0;
        below[b] = (down * inverse).lanes().0;
        above[b] = (up * inverse).lanes().0;
    }
    let (known, below, above) = (
        known.as_flattened_mut(),
        below.as_flattened_mut(),
        above.as_flattened_mut(),
    );
    for surface in &airborne.surfaces {
        let from = airborne.slots.slot_of(surface.from);
        let to = from + (surface.to - surface.from);
        solve(
            &mut known[from..to],
            &mut below[from..to],
            &mut above[from..to],
        );
    }
    for (state, solved) in state.iter_mut().zip(known.as_chunks::<WIDTH>().0) {
        state.attachment = Lanes(*solved);
    }
}

/// Solves `f(i) = known(i) + below(i) f(i - 1) + above(i) f(i + 1)` into
/// `known`. Elimination runs from both ends to the middle at once: half as long
/// a chain of divisions, each of which waits for the one before.
#[inline(always)]
fn solve(known: &mut [f64], below: &mut [f64], above: &mut [f64]) {
    let count = known.len();
    let middle = count / 2;
    if middle == 0 {
        return;
    }
    let (known_low, known_high) = known.split_at_mut(middle);
    let (below_low, below_high) = below.split_at_mut(middle);
    let (above_low, above_high) = above.split_at_mut(middle);
    let top = count - middle - 1;
    for k in 1..middle {
        let inverse = 1.0 / (1.0 - below_low[k] * above_low[k - 1]);
        known_low[k] = (known_low[k] + below_low[k] * known_low[k - 1]) * inverse;
        above_low[k] *= inverse;
        let j = top - k;
        let inverse = 1.0 / (1.0 - above_high[j] * below_high[j + 1]);
        known_high[j] = (known_high[j] + above_high[j] * known_high[j + 1]) * inverse;
        below_high[j] *= inverse;
    }
    if top + 1 > middle {
        // An odd number of strips: the upper half has one more.
        let inverse = 1.0 / (1.0 - above_high[0] * below_high[1]);
        known_high[0] = (known_high[0] + above_high[0] * known_high[1]) * inverse;
        below_high[0] *= inverse;
    }
    let (low, high) = (middle - 1, 0);
    known_high[high] = (known_high[high] + below_high[high] * known_low[low])
        / (1.0 - below_high[high] * above_low[low]);
    known_low[low] += above_low[low] * known_high[high];
    for k in 1..middle {
        known_low[low - k] += above_low[low - k] * known_low[low - k + 1];
        known_high[k] += below_high[k] * known_high[k - 1];
    }
    if top + 1 > middle {
        known_high[top] += below_high[top] * known_high[top - 1];
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
