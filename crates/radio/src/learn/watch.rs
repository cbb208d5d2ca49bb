//! One axis as it is watched: jumps left out, stillness found.

use std::collections::VecDeque;

/// An axis is still when it stays within 4 % to each side for this long.
pub const STILL_S: f64 = 0.6;
/// Largest minus smallest raw value of a still axis: 4 % to each side.
const STILL_SPREAD: f64 = 0.08;
/// What a still axis did in this last part of the time counts: before it the
/// stick may have come to rest.
const COUNTED_S: f64 = 0.4;
/// A change by more than this from one value to the next may be a jump.
const JUMP: f64 = 0.2;
/// A jump that is back within this time was no movement of a stick. Hands need
/// longer: common practice, no source.
pub const JUMP_S: f64 = 0.06;

/// What is known of a still axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Mean raw value.
    pub value: f64,
    /// How far it wandered to each side.
    pub noise: f64,
}

/// An axis over time.
#[derive(Debug, Clone, Default)]
pub struct AxisWatch {
    /// Values of the last [`STILL_S`], and the one before.
    recent: VecDeque<(f64, f64)>,
    /// A jump that is not believed yet: since when, where to.
    jump: Option<(f64, f64)>,
    /// Smallest and largest value believed so far.
    range: Option<(f64, f64)>,
    /// Jumps that were left out.
    pub jumps: u32,
}

impl AxisWatch {
    /// A value arrives.
    pub fn hear(&mut self, time_s: f64, raw: f64) {
        self.pass(time_s);
        let Some(believed) = self.value() else {
            self.believe(time_s, raw);
            return;
        };
        if (raw - believed).abs() <= JUMP {
            if self.jump.take().is_some() {
                self.jumps += 1;
            }
            self.believe(time_s, raw);
        } else {
            let since_s = self.jump.map_or(time_s, |(since_s, _)| since_s);
            self.jump = Some((since_s, raw));
        }
    }

    /// Time passes.
    pub fn pass(&mut self, time_s: f64) {
        if let Some((since_s, raw)) = self.jump
            && time_s - since_s >= JUMP_S
        {
            self.jump = None;
            self.believe(since_s + JUMP_S, raw);
        }
        while (self.recent.get(1)).is_some_and(|(at_s, _)| *at_s <= time_s - STILL_S) {
            self.recent.pop_front();
        }
    }

    fn believe(&mut self, time_s: f64, raw: f64) {
        self.recent.push_back((time_s, raw));
        let (low, high) = self.range.unwrap_or((raw, raw));
        self.range = Some((low.min(raw), high.max(raw)));
    }

    /// The value now; `None` until the axis has moved.
    pub fn value(&self) -> Option<f64> {
        self.recent.back().map(|(_, raw)| *raw)
    }

    /// Smallest and largest value so far.
    pub fn range(&self) -> Option<(f64, f64)> {
        self.range
    }

    /// Where it rests; `None` while it moves or has not moved yet, or when it
    /// has been watched for too short a time.
    pub fn rest(&self, time_s: f64) -> Option<Rest> {
        let (first_s, _) = *self.recent.front()?;
        if self.jump.is_some() || time_s - first_s < STILL_S {
            return None;
        }
        let (low, high) = bounds(self.recent.iter().map(|(_, raw)| *raw))?;
        if high - low > STILL_SPREAD {
            return None;
        }
        let from_s = time_s - COUNTED_S;
        let mut counted: Vec<f64> = (self.recent.iter())
            .filter(|(at_s, _)| *at_s >= from_s)
            .map(|(_, raw)| *raw)
            .collect();
        if counted.is_empty() {
            // Nothing has changed for so long.
            counted.extend(self.value());
        }
        let (low, high) = bounds(counted.iter().copied())?;
        Some(Rest {
            value: counted.iter().sum::<f64>() / counted.len() as f64,
            noise: 0.5 * (high - low),
        })
    }
}

fn bounds(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |bounds, value| {
        let (low, high) = bounds.unwrap_or((value, value));
        Some((low.min(value), high.max(value)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_jump_is_counted_and_left_out() {
        let mut watch = AxisWatch::default();
        watch.hear(0.0, 0.0);
        watch.hear(1.0, 0.9);
        watch.hear(1.02, 0.95);
        watch.hear(1.05, 0.01);
        assert_eq!((watch.jumps, watch.value()), (1, Some(0.01)));
        assert_eq!(watch.range(), Some((0.0, 0.01)));
        // One that stays is a movement.
        watch.hear(2.0, 0.9);
        watch.pass(2.059);
        assert_eq!(watch.value(), Some(0.01));
        watch.pass(2.061);
        assert_eq!((watch.jumps, watch.value()), (1, Some(0.9)));
    }

    #[test]
    fn coming_to_rest_does_not_count_as_noise() {
        let mut watch = AxisWatch::default();
        watch.hear(0.0, 0.5);
        // Runs out slowly, then flickers by 1 % to each side.
        for (time_s, raw) in [(0.1, 0.4), (0.2, 0.35), (0.3, 0.33)] {
            watch.hear(time_s, raw);
        }
        for step in 0..60 {
            let side = if step % 2 == 0 { 0.01 } else { -0.01 };
            watch.hear(0.4 + 0.01 * f64::from(step), 0.3 + side);
        }
        assert!(watch.rest(0.5).is_none());
        let rest = watch.rest(1.0).expect("it rests");
        assert!((rest.value - 0.3).abs() < 1e-3, "{rest:?}");
        assert!((rest.noise - 0.01).abs() < 1e-9, "{rest:?}");
    }

    #[test]
    fn an_axis_that_says_nothing_more_rests_where_it_is() {
        let mut watch = AxisWatch::default();
        assert_eq!(watch.rest(9.0), None);
        watch.hear(1.0, -0.992);
        assert_eq!(watch.rest(1.5), None);
        watch.pass(30.0);
        let rest = Rest {
            value: -0.992,
            noise: 0.0,
        };
        assert_eq!(watch.rest(30.0), Some(rest));
    }
}
