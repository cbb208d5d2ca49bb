//! The mean wind of a script over time, and how far it has carried the air.
//!
//! Speed and direction are interpolated each on its own by monotone cubics, so
//! a wind that veers keeps its speed and a rising wind never overshoots. The
//! result is tabulated as a velocity with its rate of change; between table
//! times a cubic Hermite stands for it. That cubic's integral is known exactly,
//! and so is the distance the air has drifted, which frozen gusts and
//! turbulence ride on. No trigonometry is left when a wind is sampled.

use glam::DVec2;

use crate::WeatherError;
use crate::error::in_range;

/// One point of a wind script.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WindPoint {
    /// Time on the flight's clock, s.
    pub time_s: f64,
    /// Mean speed at the stated height, m/s.
    pub speed_m_s: f64,
    /// Direction the wind comes from, rad, clockwise from north.
    pub from_rad: f64,
}

/// Table steps between two script points. A direction change of 180 degrees
/// within one segment is then met within 1e-5 of the speed.
const STEPS: u32 = 32;

/// Times beyond these are taken as these, s. They bound what any later formula
/// can meet; four months each way.
const TIME_LIMIT_S: f64 = 1e7;

/// The mean wind over time. Horizontal; components north and east.
#[derive(Debug, Clone, PartialEq)]
pub struct MeanWind {
    nodes: Vec<Node>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Node {
    time_s: f64,
    velocity_m_s: DVec2,
    acceleration_m_s2: DVec2,
    drift_m: DVec2,
}

/// The mean wind at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeanState {
    /// Velocity of the air at the stated height, north and east, m/s.
    pub velocity_m_s: DVec2,
    /// How far that velocity has carried air since the first script point, m;
    /// negative before it.
    pub drift_m: DVec2,
}

impl MeanWind {
    /// The wind through these points. Before the first and after the last the
    /// wind is steady. Between two points the direction turns the shorter way
    /// round; which way 180 degrees turn is left open, so give a point between.
    ///
    /// # Errors
    /// No points; times that do not rise or lie beyond 1e6 s; speeds outside 0
    /// to 60 m/s; directions beyond 100 rad either way.
    pub fn new(points: &[WindPoint]) -> Result<Self, WeatherError> {
        let points = checked(points)?;
        let Some(first) = points.first() else {
            return Err(WeatherError::NoPoints);
        };
        let slopes = slopes(&points);
        let mut nodes = vec![Node {
            time_s: first.time_s,
            velocity_m_s: velocity(first.speed_m_s, first.from_rad),
            acceleration_m_s2: DVec2::ZERO,
            drift_m: DVec2::ZERO,
        }];
        for (ends, rates) in points.windows(2).zip(slopes.windows(2)) {
            let ([from, to], [rate, next_rate]) = (ends, rates) else {
                continue;
            };
            let span_s = to.time_s - from.time_s;
            for step in 0..=STEPS {
                let s = f64::from(step) / f64::from(STEPS);
                let speed = Cubic::new(from.speed_m_s, to.speed_m_s, rate.x, next_rate.x, span_s);
                let angle = Cubic::new(from.from_rad, to.from_rad, rate.y, next_rate.y, span_s);
                let (speed_m_s, speed_rate) = (speed.value(s), speed.slope(s));
                let (from_rad, turn_rate) = (angle.value(s), angle.slope(s));
                let velocity_m_s = velocity(speed_m_s, from_rad);
                let node = Node {
                    time_s: from.time_s + s * span_s,
                    velocity_m_s,
                    acceleration_m_s2: velocity(speed_rate, from_rad)
                        + turn_rate * velocity_m_s.perp(),
                    drift_m: DVec2::ZERO,
                };
                push(&mut nodes, node, step == 0);
            }
        }
        Ok(Self { nodes })
    }

    /// Unit vector of the first wind of the script that is not a calm, north
    /// and east; zero if there is none.
    pub(crate) fn first_direction(&self) -> DVec2 {
        let mut winds = self.nodes.iter().map(|node| node.velocity_m_s);
        winds
            .find(|wind| wind.length() > 1e-3)
            .map_or(DVec2::ZERO, |wind| wind / wind.length())
    }

    /// The mean wind at a time; a time that is not a number counts as 0.
    #[must_use]
    pub fn at(&self, time_s: f64) -> MeanState {
        let time_s = if time_s.is_nan() { 0.0 } else { time_s };
        let time_s = time_s.clamp(-TIME_LIMIT_S, TIME_LIMIT_S);
        let later = self.nodes.partition_point(|node| node.time_s <= time_s);
        match (
            later.checked_sub(1).and_then(|i| self.nodes.get(i)),
            self.nodes.get(later),
        ) {
            (Some(node), Some(next)) => node.between(next, time_s),
            (Some(node), None) | (None, Some(node)) => MeanState {
                velocity_m_s: node.velocity_m_s,
                drift_m: node.drift_m + node.velocity_m_s * (time_s - node.time_s),
            },
            // Unreachable: there is always a first node. Still air, not a panic.
            (None, None) => MeanState {
                velocity_m_s: DVec2::ZERO,
                drift_m: DVec2::ZERO,
            },
        }
    }
}

impl Node {
    /// Cubic Hermite velocity between two nodes, and its integral.
    fn between(&self, next: &Self, time_s: f64) -> MeanState {
        let span_s = next.time_s - self.time_s;
        let s = (time_s - self.time_s) / span_s;
        let change = next.velocity_m_s - self.velocity_m_s;
        let linear = self.acceleration_m_s2 * span_s;
        let end = next.acceleration_m_s2 * span_s;
        let square = 3.0 * change - 2.0 * linear - end;
        let cube = linear + end - 2.0 * change;
        let velocity_m_s = self.velocity_m_s + s * (linear + s * (square + s * cube));
        let mean = self.velocity_m_s + s * (linear / 2.0 + s * (square / 3.0 + s * cube / 4.0));
        MeanState {
            velocity_m_s,
            drift_m: self.drift_m + mean * (s * span_s),
        }
    }
}

/// Appends a node with its drift; where two segments join, the first node of
/// the second one replaces what is there, since it knows the slope to come.
fn push(nodes: &mut Vec<Node>, mut node: Node, joins: bool) {
    if let Some(last) = nodes.last_mut() {
        if joins {
            node.drift_m = last.drift_m;
            *last = node;
            return;
        }
        node.drift_m = last.between(&node, node.time_s).drift_m;
    }
    nodes.push(node);
}

/// Velocity of air that comes from a direction, north and east.
fn velocity(speed_m_s: f64, from_rad: f64) -> DVec2 {
    DVec2::new(-libm::cos(from_rad), -libm::sin(from_rad)) * speed_m_s
}

/// The points with directions unwrapped, so that each differs from the one
/// before by at most half a turn.
fn checked(points: &[WindPoint]) -> Result<Vec<WindPoint>, WeatherError> {
    let mut unwrapped: Vec<WindPoint> = Vec::with_capacity(points.len());
    for (index, point) in points.iter().enumerate() {
        in_range("time of a wind point in s", point.time_s, -1e6, 1e6)?;
        in_range("mean wind speed in m/s", point.speed_m_s, 0.0, 60.0)?;
        in_range("wind direction in rad", point.from_rad, -100.0, 100.0)?;
        let mut point = *point;
        if let Some(before) = unwrapped.last() {
            // A shortest step, so that slopes and table steps stay finite.
            if point.time_s - before.time_s < 1e-3 {
                return Err(WeatherError::TimesNotRising { index });
            }
            let turn = point.from_rad - before.from_rad;
            point.from_rad = before.from_rad + libm::remainder(turn, 2.0 * core::f64::consts::PI);
        }
        unwrapped.push(point);
    }
    Ok(unwrapped)
}

/// Slopes of speed (x) and direction (y) at each point: zero at both ends,
/// where a steady wind follows, and inside the weighted harmonic mean of the
/// neighbouring chords, which keeps the cubics monotone (Fritsch and Butland,
/// SIAM J. Sci. Stat. Comput. 5(2), 1984).
fn slopes(points: &[WindPoint]) -> Vec<DVec2> {
    let mut slopes = vec![DVec2::ZERO; points.len()];
    for (three, slope) in points.windows(3).zip(slopes.iter_mut().skip(1)) {
        let [before, here, after] = three else {
            continue;
        };
        let spans = (here.time_s - before.time_s, after.time_s - here.time_s);
        let mean = |first: f64, second: f64| {
            let chords = (first / spans.0, second / spans.1);
            if chords.0 * chords.1 <= 0.0 {
                return 0.0;
            }
            let weights = (spans.0 + 2.0 * spans.1, 2.0 * spans.0 + spans.1);
            (weights.0 + weights.1) / (weights.0 / chords.0 + weights.1 / chords.1)
        };
        *slope = DVec2::new(
            mean(
                here.speed_m_s - before.speed_m_s,
                after.speed_m_s - here.speed_m_s,
            ),
            mean(
                here.from_rad - before.from_rad,
                after.from_rad - here.from_rad,
            ),
        );
    }
    slopes
}

/// Cubic Hermite of one number over a span of time; `s` runs from 0 to 1.
struct Cubic {
    start: f64,
    linear: f64,
    square: f64,
    cube: f64,
    span_s: f64,
}

impl Cubic {
    fn new(start: f64, end: f64, start_slope: f64, end_slope: f64, span_s: f64) -> Self {
        let change = end - start;
        let (first, last) = (start_slope * span_s, end_slope * span_s);
        Self {
            start,
            linear: first,
            square: 3.0 * change - 2.0 * first - last,
            cube: first + last - 2.0 * change,
            span_s,
        }
    }

    fn value(&self, s: f64) -> f64 {
        self.start + s * (self.linear + s * (self.square + s * self.cube))
    }

    fn slope(&self, s: f64) -> f64 {
        (self.linear + s * (2.0 * self.square + s * 3.0 * self.cube)) / self.span_s
    }
}

#[cfg(test)]
mod tests;
