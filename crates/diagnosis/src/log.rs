//! What a logger on board could have measured, cut down to the part that tells
//! about the plane: from the release to the first touch.

use glam::{DQuat, DVec3};
use larkfield_pilot::attitude::from_euler;
use larkfield_pilot::{ControlMessage, Sticks};
use larkfield_recording::{FlightStage, Sample};

/// So much of the time in the hand is kept: link, motor and servos forget sooner.
const IN_HAND_S: f64 = 5.0;
/// Rows farther apart than this are not joined by a straight line.
pub(crate) const LONGEST_GAP_S: f64 = 0.1;

/// One moment of a log: satellite position, attitude and rates of a gyro, what
/// the sticks asked for, and what the controller reports. Neither wind nor
/// airspeed, angle of attack or surfaces: loggers of such planes have none.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Row {
    pub time_s: f64,
    pub position_m: DVec3,
    pub velocity_m_s: DVec3,
    pub attitude: DQuat,
    pub rates_rad_s: DVec3,
    pub message: ControlMessage,
    pub propeller_rad_s: f64,
    pub current_a: f64,
    pub voltage_v: f64,
    pub free: bool,
}

impl Row {
    fn of(sample: &Sample) -> Option<Self> {
        let row = Self {
            time_s: sample.time_s,
            position_m: DVec3::new(sample.north_m, sample.east_m, -sample.height_m),
            velocity_m_s: DVec3::new(
                sample.velocity_north_m_s,
                sample.velocity_east_m_s,
                -sample.climb_m_s,
            ),
            attitude: from_euler(sample.heading_rad, sample.pitch_rad, sample.bank_rad),
            rates_rad_s: DVec3::new(
                sample.roll_rate_rad_s,
                sample.pitch_rate_rad_s,
                sample.yaw_rate_rad_s,
            ),
            message: ControlMessage {
                sticks: Sticks {
                    roll: sample.stick_roll,
                    pitch: sample.stick_pitch,
                    yaw: sample.stick_yaw,
                    throttle: sample.stick_throttle,
                },
                hand_off: sample.hand_busy,
                ..ControlMessage::default()
            },
            propeller_rad_s: sample.propeller_rad_s,
            current_a: sample.current_a,
            voltage_v: sample.voltage_v,
            free: sample.stage == FlightStage::Free,
        };
        let finite = row.time_s.is_finite()
            && row.position_m.is_finite()
            && row.velocity_m_s.is_finite()
            && row.attitude.is_finite()
            && row.rates_rad_s.is_finite()
            && row.propeller_rad_s.is_finite()
            && row.current_a.is_finite()
            && row.voltage_v.is_finite();
        finite.then_some(row)
    }

    /// Part of the way to another row.
    fn toward(&self, other: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * share;
        // The shorter way round; a straight line is close enough in 20 ms.
        let end = if self.attitude.dot(other.attitude) < 0.0 {
            -other.attitude
        } else {
            other.attitude
        };
        let mut message = self.message;
        message.sticks = message.sticks.toward(other.message.sticks, share);
        Self {
            time_s: mix(self.time_s, other.time_s),
            position_m: self.position_m.lerp(other.position_m, share),
            velocity_m_s: self.velocity_m_s.lerp(other.velocity_m_s, share),
            attitude: (self.attitude * (1.0 - share) + end * share).normalize(),
            rates_rad_s: self.rates_rad_s.lerp(other.rates_rad_s, share),
            message,
            propeller_rad_s: mix(self.propeller_rad_s, other.propeller_rad_s),
            current_a: mix(self.current_a, other.current_a),
            voltage_v: mix(self.voltage_v, other.voltage_v),
            free: self.free,
        }
    }
}

/// A log of one flight, from a little before the release to the first touch.
#[derive(Debug, Clone)]
pub(crate) struct Log {
    rows: Vec<Row>,
    /// Charge taken from the battery until each row.
    charge_c: Vec<f64>,
    /// First row of free flight.
    released: usize,
}

impl Log {
    /// Reads the samples of a recording up to `most_s` after the release; rows that
    /// hold no numbers are left out. `None` when it never flies.
    ///
    /// However far apart the times of a damaged table are, what is kept is short.
    pub fn of(samples: &[Sample], most_s: f64) -> Option<Self> {
        let mut rows: Vec<Row> = Vec::with_capacity(samples.len());
        for sample in samples {
            let Some(row) = Row::of(sample) else { continue };
            if rows.last().is_some_and(|last| row.time_s <= last.time_s) {
                continue;
            }
            rows.push(row);
        }
        let released = rows.iter().position(|row| row.free)?;
        let flown = rows
            .iter()
            .skip(released)
            .take_while(|row| row.free)
            .count();
        rows.truncate(released + flown);
        let mut charge_c = Vec::with_capacity(rows.len());
        let mut used_c = 0.0;
        for (index, row) in rows.iter().enumerate() {
            if let Some(before) = index.checked_sub(1).and_then(|i| rows.get(i)) {
                used_c += 0.5 * (before.current_a + row.current_a) * (row.time_s - before.time_s);
            }
            charge_c.push(used_c);
        }
        let released_s = rows[released].time_s;
        let from = rows.partition_point(|row| row.time_s < released_s - IN_HAND_S);
        let to = rows.partition_point(|row| row.time_s <= released_s + most_s);
        Some(Self {
            rows: rows[from..to].to_vec(),
            charge_c: charge_c[from..to].to_vec(),
            released: released - from,
        })
    }

    /// Before the release.
    pub fn in_hand(&self) -> &[Row] {
        &self.rows[..self.released]
    }

    pub fn released(&self) -> &Row {
        &self.rows[self.released]
    }

    pub fn begins_s(&self) -> f64 {
        self.rows.first().map_or(0.0, |row| row.time_s)
    }

    pub fn released_s(&self) -> f64 {
        self.released().time_s
    }

    pub fn ends_s(&self) -> f64 {
        self.rows.last().map_or(0.0, |row| row.time_s)
    }

    /// True when it was in a hand before it flew.
    pub fn thrown(&self) -> bool {
        self.released > 0
    }

    /// The plane at a time, and the charge taken until then; `None` in a gap.
    pub fn at(&self, time_s: f64) -> Option<(Row, f64)> {
        const ROUNDING_S: f64 = 1e-6;
        let after = self
            .rows
            .partition_point(|row| row.time_s < time_s - ROUNDING_S);
        let next = self.rows.get(after)?;
        if next.time_s <= time_s + ROUNDING_S {
            return Some((*next, self.charge_c[after]));
        }
        let index = after.checked_sub(1)?;
        let before = &self.rows[index];
        let length_s = next.time_s - before.time_s;
        if length_s > LONGEST_GAP_S {
            return None;
        }
        let share = (time_s - before.time_s) / length_s;
        let charge_c = self.charge_c[index] + (self.charge_c[after] - self.charge_c[index]) * share;
        Some((before.toward(next, share), charge_c))
    }

    /// No gap between two times.
    pub fn is_whole(&self, from_s: f64, to_s: f64) -> bool {
        let first = self.rows.partition_point(|row| row.time_s <= from_s);
        let last = self.rows.partition_point(|row| row.time_s < to_s);
        self.rows[first.saturating_sub(1)..(last + 1).min(self.rows.len())]
            .windows(2)
            .all(|pair| pair[1].time_s - pair[0].time_s <= LONGEST_GAP_S)
    }
}
