//! Circulation follows what its strip asks for.
//!
//! The lag must not hang on the tick. Stepped explicitly, and met by the loads
//! as it was before the step, circulation comes late by exactly its lag, however
//! it is spread along the span and whatever the tick: `g' = g + r (t - g)` is
//! `(1 - r) / r` ticks late after the step and so `1 / r` before it, as the
//! differential equation is. An implicit step would be later by a part of a tick
//! that depends on the spread.
//!
//! Explicit steps can swing up. In long ones, which a settled state is found with
//! and a dive may have, the lag therefore becomes implicit. And a strip's own
//! trailing legs are far stronger than all that is smooth together: strips in
//! turn above and below what they should be would swing up even in short steps.
//! Such a sawtooth is taken out of the *changes*, between each strip and its
//! neighbours; what is smooth passes, and where nothing changes any more nothing
//! is taken out. (Explicit schemes of fluid dynamics smooth their residuals for
//! the same reason; Jameson and Baker, AIAA 83-1929, from memory.)

use crate::airborne::StripBlock;
use crate::lanes::{Processor, Wide};
use crate::section::SectionCoefficients;
use crate::state::{BlockState, LostParts};
use crate::strip_flow::Meeting;

/// Circulation follows its steady value with a lag of this many chords of
/// travel (the first, slow part of Wagner's function, one pole).
const LAG_CHORDS: f64 = 1.0;

/// What is taken out of the difference to either neighbour, for the fourth power
/// of a strip's own gain `g` in a tick, and at most. In an endless row of equal
/// strips that are in turn too strong and too weak, legs induce pi / 2 of what one
/// strip's own do. What is left of that, `pi / 2 g (1 - 4 evened)`, would swing up
/// from 2 on; up to g = 9 it stays below 1.3. A lower power would take part in
/// ticks in which nothing can swing up, and flights would hang on the tick.
const EVENED_PER_FOURTH: f64 = 0.06;
const MOST_EVENED: f64 = 0.234;
/// Fourth power of the travel in a tick, in lags, at which the lag is half
/// implicit. Travel in a tick of a flight is about a tenth; by that power hardly
/// anything of it is.
const LONG_TRAVEL_FOURTH: f64 = 0.25;
/// Sixth power of a strip's own gain in a tick from which on it is implicit too.
/// No tick of a flight is so long; the steps to a settled state are.
const LONG_SIXTH: f64 = 729.0;

/// How circulation is about to change in a tick.
#[derive(Clone, Copy)]
pub(crate) struct Change<P: Processor> {
    m2_s: Wide<P>,
    /// Share of the difference to either neighbour that is taken out.
    evened: Wide<P>,
}

impl<P: Processor> Change<P> {
    /// Moves the shed circulation on and says how the attached one is to change.
    #[inline(always)]
    #[allow(
        clippy::too_many_arguments,
        reason = "one for what each stage before has found"
    )]
    pub fn begin(
        p: P,
        block: &StripBlock,
        dt_s: f64,
        lost: Option<LostParts>,
        meeting: &Meeting<P>,
        c: &SectionCoefficients<Wide<P>>,
        f: Wide<P>,
        state: &mut BlockState,
    ) -> Self {
        let (speed, free_speed) = (meeting.speed_m_s, meeting.free_speed_m_s);
        let apart = 1.0 - f;
        let [chord_m, one_over_chord_m] = block.chord_and_inverse.on(p);
        let [smooth_gain, own_gain] = block.smooth_and_own_gain.on(p);
        let travel = dt_s / LAG_CHORDS * (speed * one_over_chord_m);
        let target = 0.5 * speed * chord_m * f * c.lift_attached;
        let gamma = state.circulation_m2_s.on(p);
        let own = travel * (f * own_gain);
        let own_square = own * own;
        let own_fourth = own_square * own_square;
        let sixth = own_fourth * own_square;
        let travel_square = travel * travel;
        let long = travel_square * travel_square;
        let any = LONG_TRAVEL_FOURTH + long;
        let slow = any + travel * long;
        let loop_slow = (any + travel * (1.0 + f * smooth_gain) * long) * (LONG_SIXTH + sixth)
            + own * (sixth * any);
        // Two divisions in one.
        let per_both = travel / (slow * loop_slow);
        let shed_target = 0.5
            * free_speed
            * chord_m
            * apart
            * c.normal_separated
            * meeting.free_cosine.at_least(0.0);
        let shed = state.shed_m2_s.on(p);
        let shed = shed + (shed_target - shed) * (per_both * loop_slow * any);
        state.shed_m2_s = block.keep(p, lost, shed).lanes();
        Self {
            m2_s: (target - gamma) * (per_both * slow * (any * (LONG_SIXTH + sixth))),
            evened: (EVENED_PER_FOURTH * own_fourth).at_most(MOST_EVENED),
        }
    }
}

/// Moves circulation on, once the loads have met it as it was.
#[inline(always)]
pub(crate) fn follow<P: Processor>(
    p: P,
    blocks: &[StripBlock],
    lost: Option<LostParts>,
    changes: &[Change<P>],
    state: &mut [BlockState],
) {
    let Some(first) = changes.first() else {
        return;
    };
    let nil = Wide::all(p, 0.0);
    let (mut previous, mut this) = (nil, *first);
    for (b, (block, state)) in blocks.iter().zip(state).enumerate() {
        let next = changes.get(b + 1).copied().unwrap_or(this);
        let change = this.m2_s;
        let [below, above] = block.neighbour_below_and_above.on(p);
        let rough =
            below * (change - change.after(previous)) + above * (change - change.before(next.m2_s));
        let gamma = state.circulation_m2_s.on(p) + (change - this.evened * rough);
        state.circulation_m2_s = block.keep(p, lost, gamma).lanes();
        (previous, this) = (change, next);
    }
}

#[cfg(test)]
mod tests {
    use glam::DVec3;

    use crate::shipped::model;
    use crate::{Controls, FlightModel, FlightState, LocalWind, Surroundings};

    /// Largest step of circulation from strip to strip that turns back at once.
    fn sawtooth_m2_s(model: &FlightModel, state: &FlightState) -> f64 {
        let airborne = &model.airborne;
        let circulation = |strip: usize| {
            let block = &state.blocks[airborne.slots.block_of(strip)];
            block.circulation_m2_s.0[airborne.slots.lane_of(strip)]
        };
        let mut largest = 0.0_f64;
        for surface in &airborne.surfaces {
            for strip in surface.from + 1..surface.to.saturating_sub(1) {
                let beside = 0.5 * (circulation(strip - 1) + circulation(strip + 1));
                largest = largest.max((circulation(strip) - beside).abs());
            }
        }
        largest
    }

    /// What is in turn too strong and too weak dies out: in a dive as in level
    /// flight, in ticks of a flight and in longer ones, however narrow the strips.
    #[test]
    fn a_sawtooth_of_circulation_dies_out() {
        let around = Surroundings {
            wind: LocalWind::default(),
            ground_z_m: 0.0,
            gravity_m_s2: 9.80665,
        };
        for (fineness, speed_m_s, tick_s) in [
            (1.0, 9.0, 0.002),
            (1.0, 9.0, 0.004),
            (1.0, 40.0, 0.002),
            (1.0, 40.0, 0.004),
            (2.0, 9.0, 0.002),
            (2.0, 40.0, 0.004),
        ] {
            let model = model("marram", fineness);
            let mut state = model.state_at_rest();
            state.position_m = DVec3::new(0.0, 0.0, -50.0);
            state.velocity_m_s = DVec3::new(speed_m_s, 0.0, 0.03 * speed_m_s);
            let run = |state: &mut FlightState| {
                for _ in 0..400 {
                    let _ = model.tick_loads(state, &Controls::default(), &around, tick_s);
                }
            };
            run(&mut state);
            let settled_m2_s = sawtooth_m2_s(&model, &state);
            for strip in 0..model.airborne.count() {
                let slots = &model.airborne.slots;
                let lane = slots.lane_of(strip);
                let by_m2_s = if strip % 2 == 0 { 1.0 } else { -1.0 };
                state.blocks[slots.block_of(strip)].circulation_m2_s.0[lane] += by_m2_s;
            }
            let shaken_m2_s = sawtooth_m2_s(&model, &state);
            assert!(shaken_m2_s > settled_m2_s + 1.0);
            run(&mut state);
            let left_m2_s = sawtooth_m2_s(&model, &state) - settled_m2_s;
            assert!(
                left_m2_s.abs() < 1e-3,
                "{fineness} times the strips, {speed_m_s} m/s, {tick_s} s: {left_m2_s} m2/s are left"
            );
        }
    }
}
