//! What the pilot's hands and the air had to do with it.
//!
//! A plane can be flown again with a fault; a pilot cannot. So these are rules
//! over the sticks and over how the plane lay, with the thresholds of the trade
//! (common practice, no source, where nothing else is said). They are asked only
//! of a flight that did not pass: a stick held too long that did no harm is for the
//! score.

mod landing;
mod moment;
mod rough_air;
mod up_high;

use larkfield_airframe::{MassProperties, SurfaceKind, plan_form};
use larkfield_faults::{Fault, library};
use larkfield_pilot::Steering;
use larkfield_recording::{FlightStage, Sample};

use crate::air::{Air, GRAVITY_M_S2};
use crate::causes::{NAMED_FROM, Plane};
use crate::log::LONGEST_GAP_S;
use moment::{Moment, drifted_with};
pub(crate) use rough_air::OF_ROUGH_AIR;

/// So long after the release it is still the throw.
const THROW_S: f64 = 0.5;
/// Landings come later than this.
const LANDS_AFTER_S: f64 = 4.0;
/// Largest lift coefficient of such planes, 0.8 to 1.2 (common practice, no
/// source); the least of it without a tail, whose work the wing's own trailing
/// edge does.
const MOST_LIFT: f64 = 1.0;
const MOST_LIFT_TAILLESS: f64 = 0.8;
/// Less wind than this has no direction to speak of (own choice).
const FELT_M_S: f64 = 1.0;

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

/// What the hands did in a flight.
pub(crate) struct Hands {
    pub released_s: f64,
    moments: Vec<Moment>,
    stall_m_s: f64,
    steering: Steering,
    is_thrown: bool,
    /// Wind across the first heading, from the right.
    across_m_s: f64,
    along_m_s: f64,
    /// Heading against the wind, where there is one to speak of.
    upwind_rad: Option<f64>,
}

impl Hands {
    /// Reads the samples from the release to the first touch. `believed_m_s`: wind
    /// toward north and east, 10 m above the ground, as far as the first seconds
    /// tell.
    pub fn of(plane: &Plane<'_>, believed_m_s: [f64; 2], samples: &[Sample]) -> Option<Self> {
        let first = (samples.iter()).position(|s| s.stage == FlightStage::Free)?;
        let flown = samples.get(first..)?;
        let flown = (flown.iter()).take_while(|s| s.stage == FlightStage::Free);
        let wind_m_s = drifted_with(believed_m_s, flown.clone());
        let air = Air::of(wind_m_s);
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
            moments.push(Moment::of(sample, released_s, lasts_s, wind));
        }
        let wing = plan_form(plane.airframe, |panel| panel.kind == SurfaceKind::Wing)?;
        let weight_n = MassProperties::of(plane.airframe).mass_kg * GRAVITY_M_S2;
        let tail = plan_form(plane.airframe, |panel| panel.kind == SurfaceKind::Tailplane);
        let most_lift = match tail {
            Some(_) => MOST_LIFT,
            None => MOST_LIFT_TAILLESS,
        };
        let density_kg_m3 = plane.air.density_kg_m3;
        let stall_m_s = (2.0 * weight_n / (density_kg_m3 * wing.area_m2 * most_lift)).sqrt();
        let (sine, cosine) = libm::sincos(samples.get(first)?.heading_rad);
        Some(Self {
            released_s,
            moments,
            stall_m_s,
            steering: plane.radio.steering,
            is_thrown: plane.throw.is_some(),
            across_m_s: wind_m_s[0] * sine - wind_m_s[1] * cosine,
            along_m_s: wind_m_s[0] * cosine + wind_m_s[1] * sine,
            upwind_rad: (libm::hypot(wind_m_s[0], wind_m_s[1]) > FELT_M_S)
                .then(|| libm::atan2(-wind_m_s[1], -wind_m_s[0])),
        })
    }

    /// Every rule that was broken.
    pub fn broken(&self) -> Vec<Broken> {
        // Who swings all the time deepens banks on the way back too, and makes the
        // bumps; who steers the wrong way swings about as well.
        let (confused, rough) = if self.swings_all_the_time() {
            (None, [None, None])
        } else {
            (self.nose_in_reversal(), self.rough_air())
        };
        let swings = match &confused {
            Some(_) => None,
            None => self.over_control(),
        };
        let dived = self.dive_to_strip();
        let mut late = self.late_flare();
        // Who dives at the strip has little time to flare: the dive came first, and
        // ranks just before what it brought.
        if let (Some(dived), Some(late)) = (&dived, &mut late)
            && dived.gain >= NAMED_FROM
        {
            late.gain = late.gain.min(0.99 * dived.gain);
        }
        let rules = [
            self.torque_left_alone(),
            self.over_pull(),
            confused,
            swings,
            self.aileron_at_stall(),
            dived,
            late,
            self.high_flare(),
            self.power_left_on(),
            self.no_go_round(),
            self.crosswind(),
        ];
        rules.into_iter().chain(rough).flatten().collect()
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
