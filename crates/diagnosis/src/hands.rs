//! What the pilot's hands and the air had to do with it.
//!
//! A plane can be flown again with a fault; a pilot cannot. So these are rules
//! over the sticks and over how the plane lay, with the thresholds of the trade
//! (common practice, no source, where nothing else is said). They are asked only
//! of a flight that went wrong: a stick held too long that did no harm is for the
//! score.

use glam::{DQuat, DVec3};
use larkfield_airframe::{Airframe, MassProperties, SurfaceKind, plan_form};
use larkfield_faults::{Fault, library};
use larkfield_pilot::Steering;
use larkfield_pilot::attitude::{from_euler, wrap};
use larkfield_recording::{FlightStage, Sample};

use crate::air::{Air, GRAVITY_M_S2};
use crate::log::LONGEST_GAP_S;

/// So long after the release it is still the throw.
const THROW_S: f64 = 0.5;
/// Landings come later than this.
const LANDS_AFTER_S: f64 = 4.0;
/// Largest lift coefficient of such planes, 0.8 to 1.2 (common practice, no
/// source).
const MOST_LIFT: f64 = 1.0;
/// A sheet wing stalls at 10 to 15 degrees (aviation.govt.nz, "Wing-drop
/// stalling": about 15); beyond this it is near.
const NEAR_STALL_RAD: f64 = 0.18;
/// And beyond this it has, though the wind is only guessed (own choice).
const SURELY_STALLED_RAD: f64 = 0.3;

/// A rule that was broken.
pub(crate) struct Broken {
    pub fault: &'static Fault,
    /// How much speaks for it, on the scale of the other causes.
    pub gain: f64,
    pub at_s: f64,
    pub what: &'static str,
    pub unit: &'static str,
    pub was: f64,
    /// Where it should have stayed.
    pub limit: f64,
}

/// One moment as a rule needs it.
struct Moment {
    time_s: f64,
    /// Since the release.
    free_s: f64,
    /// Since the moment before; none in a gap.
    lasts_s: f64,
    height_m: f64,
    airspeed_m_s: f64,
    alpha_rad: f64,
    bank_rad: f64,
    pitch_rad: f64,
    roll_rate_rad_s: f64,
    climb_m_s: f64,
    /// Angle between the nose and the way to the pilot.
    off_pilot_rad: f64,
    roll: f64,
    pitch: f64,
    yaw: f64,
    throttle: f64,
    busy: bool,
}

/// What the hands did in a flight.
pub(crate) struct Hands {
    pub released_s: f64,
    moments: Vec<Moment>,
    stall_m_s: f64,
    steering: Steering,
    /// Wind across the first heading, from the right.
    across_m_s: f64,
    along_m_s: f64,
}

impl Hands {
    /// Reads the samples from the release to the first touch. `wind_m_s`: toward
    /// north and east, 10 m above the ground.
    pub fn of(
        airframe: &Airframe,
        density_kg_m3: f64,
        steering: Steering,
        wind_m_s: [f64; 2],
        samples: &[Sample],
    ) -> Option<Self> {
        let air = Air::of(wind_m_s);
        let first = (samples.iter()).position(|s| s.stage == FlightStage::Free)?;
        let flown = samples.get(first..)?;
        let flown = flown.iter().take_while(|s| s.stage == FlightStage::Free);
        let released_s = samples.get(first)?.time_s;
        let mut before_s = released_s;
        let mut moments = Vec::new();
        for sample in flown {
            let passed_s = sample.time_s - before_s;
            let finite = sample.height_m.is_finite() && sample.bank_rad.is_finite();
            if !finite || passed_s < 0.0 {
                continue;
            }
            before_s = sample.time_s;
            let wind = air.wind_m_s(sample.height_m);
            let lasts_s = if passed_s > LONGEST_GAP_S {
                0.0
            } else {
                passed_s
            };
            moments.push(moment(sample, released_s, lasts_s, wind));
        }
        let wing = plan_form(airframe, |panel| panel.kind == SurfaceKind::Wing)?;
        let weight_n = MassProperties::of(airframe).mass_kg * GRAVITY_M_S2;
        let stall_m_s = (2.0 * weight_n / (density_kg_m3 * wing.area_m2 * MOST_LIFT)).sqrt();
        let (sine, cosine) = libm::sincos(samples.get(first)?.heading_rad);
        Some(Self {
            released_s,
            moments,
            stall_m_s,
            steering,
            across_m_s: wind_m_s[0] * sine - wind_m_s[1] * cosine,
            along_m_s: wind_m_s[0] * cosine + wind_m_s[1] * sine,
        })
    }

    /// Every rule that was broken.
    pub fn broken(&self) -> Vec<Broken> {
        let confused = self.nose_in_reversal();
        // Who steers the wrong way swings about as well.
        let swings = match &confused {
            Some(_) => None,
            None => self.over_control(),
        };
        let rules = [
            self.torque_left_alone(),
            self.over_pull(),
            confused,
            swings,
            self.aileron_at_stall(),
            self.dive_to_strip(),
            self.late_flare(),
            self.high_flare(),
            self.power_left_on(),
            self.crosswind(),
        ];
        rules.into_iter().flatten().collect()
    }

    /// It rolls away, and for four tenths of a second no stick answers.
    fn torque_left_alone(&self) -> Option<Broken> {
        let (lasted_s, at_s) = self.longest(|m| {
            m.free_s < 3.0
                && m.bank_rad.abs() > 0.1
                && m.bank_rad * m.roll_rate_rad_s > 0.0
                && m.roll.abs().max(m.yaw.abs()) < 0.08
        });
        // Nobody answers what has not been seen for the time of a reaction.
        broken(
            "torque-left-alone",
            "time without a stick against the roll",
            "s",
            at_s,
            lasted_s,
            0.5,
            0.1,
        )
    }

    /// Pulls hard at a wing that has stalled; or, slower than the stall and nose up,
    /// does not push. In a flare that belongs there.
    fn over_pull(&self) -> Option<Broken> {
        let hard = |m: &&Moment| {
            self.not_landing(m)
                && m.free_s > THROW_S
                && m.pitch > 0.5
                && (m.airspeed_m_s < self.stall_m_s || m.alpha_rad > SURELY_STALLED_RAD)
        };
        let what = "time of much up elevator with the wing stalled or slower than its stall";
        let pulled = self.total("over-pull", what, hard, 0.3, 0.1);
        let slow = |m: &&Moment| self.is_slow(m) && m.pitch > -0.1 && m.pitch_rad > 0.0;
        let what = "time slower than the stall without a push";
        let waited = self.total("over-pull", what, slow, 0.7, 0.2);
        let broken = [pulled, waited].into_iter().flatten();
        broken.max_by(|a, b| a.gain.total_cmp(&b.gain))
    }

    /// A good part of the stick deepens a bank that is there already when the plane
    /// comes, and not when it goes.
    fn nose_in_reversal(&self) -> Option<Broken> {
        let toward = |m: &Moment| m.off_pilot_rad < core::f64::consts::FRAC_PI_3;
        let deepens = |m: &&Moment| m.bank_rad.abs() > 0.25 && m.roll * m.bank_rad.signum() > 0.25;
        let seconds = |comes: bool| {
            let there = self.moments.iter().filter(|m| toward(m) == comes);
            let all_s: f64 = there.clone().map(|m| m.lasts_s).sum();
            let deepened_s: f64 = there.filter(deepens).map(|m| m.lasts_s).sum();
            (deepened_s, all_s)
        };
        let ((toward_s, all_toward_s), (away_s, all_away_s)) = (seconds(true), seconds(false));
        // Turns are begun so as well, on every heading.
        let turns = away_s / all_away_s.max(1.0);
        let limit_s = 0.6 + turns * all_toward_s;
        let worst = (self.moments.iter())
            .filter(deepens)
            .filter(|m| toward(m))
            .max_by(|a, b| a.bank_rad.abs().total_cmp(&b.bank_rad.abs()))?;
        let what = "time of stick that deepened a bank while it came back";
        broken(
            "nose-in-reversal",
            what,
            "s",
            worst.time_s,
            toward_s,
            limit_s,
            0.2,
        )
    }

    /// The plane swings from side to side, or up and down, with the stick behind
    /// every swing. A busy stick alone is not it: some planes want one.
    fn over_control(&self) -> Option<Broken> {
        const WINDOW_S: f64 = 4.0;
        const BANK_RAD: f64 = 0.35;
        const PITCH_RAD: f64 = 0.25;
        let mut worst: Option<(f64, f64)> = None;
        // Landings are flown with large sticks.
        let high = || self.moments.iter().filter(|m| self.not_landing(m));
        let bank = swings(high(), |m| m.bank_rad, |m| m.roll, BANK_RAD);
        let pitch = swings(high(), |m| m.pitch_rad, |m| m.pitch, PITCH_RAD);
        for turns in [bank, pitch] {
            for (index, from_s) in turns.iter().enumerate() {
                let within = turns[index..]
                    .iter()
                    .take_while(|t| **t < from_s + WINDOW_S);
                let rate = within.count() as f64 / WINDOW_S;
                if worst.is_none_or(|(most, _)| rate > most) {
                    worst = Some((rate, *from_s));
                }
            }
        }
        let (rate, at_s) = worst?;
        broken(
            "over-control",
            "swings back and forth, with the stick behind them",
            "1/s",
            at_s,
            rate,
            0.5,
            0.1,
        )
    }

    /// Aileron against a bank that grows, near the stall.
    fn aileron_at_stall(&self) -> Option<Broken> {
        if self.steering != Steering::Ailerons {
            return None;
        }
        let fights =
            |m: &&Moment| self.is_slow(m) && m.roll * m.bank_rad < 0.0 && m.roll.abs() > 0.5;
        let what = "time of much aileron slower than the stall";
        self.total("aileron-at-stall", what, fights, 0.25, 0.1)
    }

    /// Fast and nose down in the last seconds.
    fn dive_to_strip(&self) -> Option<Broken> {
        let end_s = self.moments.last()?.free_s;
        let near = self.moments.iter().filter(|m| {
            m.free_s > LANDS_AFTER_S
                && m.free_s > end_s - 8.0
                && (0.8..10.0).contains(&m.height_m)
                && m.pitch_rad < -0.08
                // A plane that spirals down is not flown to the strip.
                && m.bank_rad.abs() < 0.6
        });
        let fastest = near.max_by(|a, b| a.airspeed_m_s.total_cmp(&b.airspeed_m_s))?;
        let times = fastest.airspeed_m_s / self.stall_m_s;
        broken(
            "dive-to-strip",
            "speed on the final, over the stall",
            "times",
            fastest.time_s,
            times,
            1.7,
            0.06,
        )
    }

    /// Sinks at the touch, and flies.
    fn late_flare(&self) -> Option<Broken> {
        let last = self.touch()?;
        if last.airspeed_m_s < 1.05 * self.stall_m_s {
            return None;
        }
        broken(
            "late-flare",
            "sink at the touch",
            "m/s",
            last.time_s,
            -last.climb_m_s,
            1.5,
            0.15,
        )
    }

    /// Slow above the grass, then drops.
    fn high_flare(&self) -> Option<Broken> {
        let last = self.touch()?;
        let (lasted_s, at_s) = self.longest(|m| {
            m.free_s > LANDS_AFTER_S
                && m.free_s > last.free_s - 4.0
                && (0.8..3.0).contains(&m.height_m)
                && m.airspeed_m_s < 1.1 * self.stall_m_s
                && m.alpha_rad > NEAR_STALL_RAD - 0.05
        });
        broken(
            "high-flare",
            "time near the stall well above the grass",
            "s",
            at_s,
            lasted_s,
            0.25,
            0.1,
        )
    }

    /// The motor runs at the touch.
    fn power_left_on(&self) -> Option<Broken> {
        let last = self.touch()?;
        let percent = 100.0 * last.throttle;
        broken(
            "power-left-on",
            "throttle at the touch",
            "%",
            last.time_s,
            percent,
            5.0,
            3.0,
        )
    }

    /// Thrown across the wind.
    fn crosswind(&self) -> Option<Broken> {
        let across_m_s = self.across_m_s.abs();
        let first = self.moments.first()?;
        if across_m_s < 0.5 * self.along_m_s.abs() {
            return None;
        }
        let what = "wind across the launch, by how it drifted";
        broken(
            "crosswind",
            what,
            "m/s",
            first.time_s,
            across_m_s,
            1.5,
            0.25,
        )
    }

    /// The last moment before a touch that could have been a landing.
    fn touch(&self) -> Option<&Moment> {
        self.moments.last().filter(|m| {
            m.free_s > LANDS_AFTER_S
                && m.height_m < 1.0
                && m.bank_rad.abs() < 0.5
                && m.pitch_rad.abs() < 0.5
        })
    }

    /// Slower than the stall, after the throw and before a landing.
    fn is_slow(&self, m: &Moment) -> bool {
        self.not_landing(m) && m.free_s > THROW_S && m.airspeed_m_s < self.stall_m_s
    }

    /// A rule over all the time for which something holds.
    fn total(
        &self,
        name: &str,
        what: &'static str,
        holds: impl Fn(&&Moment) -> bool,
        limit_s: f64,
        usual_s: f64,
    ) -> Option<Broken> {
        let all_s = self.moments.iter().filter(&holds).map(|m| m.lasts_s).sum();
        let first = self.moments.iter().find(|m| holds(m))?;
        broken(name, what, "s", first.time_s, all_s, limit_s, usual_s)
    }

    fn not_landing(&self, m: &Moment) -> bool {
        m.free_s < LANDS_AFTER_S || m.height_m > 2.0
    }

    /// The longest time for which something holds, and when it begins.
    fn longest(&self, holds: impl Fn(&Moment) -> bool) -> (f64, f64) {
        let (mut best, mut now_s, mut from_s) = ((0.0, 0.0), 0.0, 0.0);
        for m in &self.moments {
            if !holds(m) || m.lasts_s == 0.0 {
                now_s = 0.0;
                continue;
            }
            if now_s == 0.0 {
                from_s = m.time_s;
            }
            now_s += m.lasts_s;
            if now_s > best.0 {
                best = (now_s, from_s);
            }
        }
        best
    }
}

/// A rule of a fault: how far beyond its limit, in units of what is usual.
fn broken(
    name: &str,
    what: &'static str,
    unit: &'static str,
    at_s: f64,
    was: f64,
    limit: f64,
    usual: f64,
) -> Option<Broken> {
    let fault = library().find(|fault| fault.name == name)?;
    let beyond = (was - limit) / usual;
    (beyond > 0.0).then_some(Broken {
        fault,
        gain: 0.5 * beyond * beyond,
        at_s,
        what,
        unit,
        was,
        limit,
    })
}

fn moment(sample: &Sample, released_s: f64, lasts_s: f64, wind_m_s: DVec3) -> Moment {
    let velocity_m_s = DVec3::new(
        sample.velocity_north_m_s,
        sample.velocity_east_m_s,
        -sample.climb_m_s,
    );
    let attitude: DQuat = from_euler(sample.heading_rad, sample.pitch_rad, sample.bank_rad);
    let through = attitude.inverse() * (velocity_m_s - wind_m_s);
    let to_pilot_rad = libm::atan2(-sample.east_m, -sample.north_m);
    Moment {
        time_s: sample.time_s,
        free_s: sample.time_s - released_s,
        lasts_s,
        height_m: sample.height_m,
        airspeed_m_s: through.length(),
        alpha_rad: libm::atan2(through.z, through.x.max(0.1)),
        bank_rad: sample.bank_rad,
        pitch_rad: sample.pitch_rad,
        roll_rate_rad_s: sample.roll_rate_rad_s,
        climb_m_s: sample.climb_m_s,
        off_pilot_rad: wrap(to_pilot_rad - sample.heading_rad).abs(),
        roll: sample.stick_roll,
        pitch: sample.stick_pitch,
        yaw: sample.stick_yaw,
        throttle: sample.stick_throttle,
        busy: sample.hand_busy,
    }
}

/// When the plane turned back by a good part of a swing, with its stick hard over
/// that way.
fn swings<'a>(
    mut moments: impl Iterator<Item = &'a Moment>,
    of: fn(&Moment) -> f64,
    stick: fn(&Moment) -> f64,
    least_rad: f64,
) -> Vec<f64> {
    const HARD: f64 = 0.4;
    let mut turns = Vec::new();
    let Some(first) = moments.next() else {
        return turns;
    };
    let (mut way, mut end, mut hardest) = (0.0, of(first), 0.0_f64);
    for m in moments.filter(|m| !m.busy) {
        let x = of(m);
        hardest = hardest.max(-way * stick(m));
        if (x - end) * way > 0.0 || (way == 0.0 && (x - end).abs() > least_rad) {
            way = (x - end).signum();
            (end, hardest) = (x, -way * stick(m));
        } else if (end - x) * way > least_rad {
            if hardest > HARD {
                turns.push(m.time_s);
            }
            (way, end, hardest) = (-way, x, 0.0);
        }
    }
    turns
}
