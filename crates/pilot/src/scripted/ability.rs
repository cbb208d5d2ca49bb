//! What separates one pilot from another. Every number is an assumption
//! (common practice, no source) unless it says otherwise.

use crate::{Acuity, Noise};

/// How well somebody sees and how finely the hands answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ability {
    /// Eyes and reaction.
    pub acuity: Acuity,
    /// Roll stick for each radian of bank that is wrong, on a plane that steers
    /// with its rudder. Ailerons answer at once and get half of it.
    pub bank_gain: f64,
    /// Aileron stick taken off for each radian a second of roll.
    pub roll_damping_s: f64,
    /// Bank asked for, for each radian that the heading is wrong.
    pub heading_gain: f64,
    /// How far ahead the pilot sees where a turn will bring the nose.
    pub turn_lead_s: f64,
    /// Steepest bank asked for while climbing away.
    pub bank_limit_rad: f64,
    /// Steepest bank asked for in turns at height.
    pub turn_bank_rad: f64,
    /// Pitch stick for each radian that the nose is wrong.
    pub pitch_gain: f64,
    /// Pitch stick taken off for each radian a second of pitch.
    pub pitch_damping_s: f64,
    /// How fast a lasting error of bank or pitch turns into held stick, per
    /// radian and second.
    pub hold_gain_per_s: f64,
    /// Errors smaller than this are left alone.
    pub notice_rad: f64,
    /// Fastest the thumbs move, full throws (centre to end) a second.
    pub stick_speed_per_s: f64,
    /// Restlessness of the thumbs, one standard deviation.
    pub tremor: f64,
    /// Spread of all of the above between seeds, as a share.
    pub spread: f64,
}

/// What somebody does in a situation, rightly or wrongly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Habits {
    /// Nose attitude held while climbing away.
    pub climb_pitch_rad: f64,
    /// Eases the nose down while the plane sinks or mushes, and gives full power.
    pub eases_forward: bool,
    /// Stick pulled for each metre a second of sink.
    pub pull_per_m_s: f64,
    /// Steers with the yaw stick while the throwing hand is away.
    pub uses_yaw_stick: bool,
    /// Shuts the motor and lands ahead when the ground cannot be avoided.
    pub lands_ahead: bool,
    /// No stick turns the plane for this long after the release is noticed.
    pub roll_waits_s: f64,
    /// Share of the drift that is seen: 1 flies by where the plane goes, 0 by
    /// where the nose points.
    pub sees_drift: f64,
    /// Steepest climb as a share of what the plane usually climbs at.
    pub climb_share: f64,
    /// Track taken back toward the line of the launch for each metre beside it.
    pub track_gain_rad_m: f64,
    /// Share of the time in which roll is steered the wrong way while the
    /// plane comes toward the pilot.
    pub reverses_share: f64,
    /// Rudder given with each unit of aileron in a turn.
    pub rudder_share: f64,
    /// The slope flown on the approach as a share of the usual one.
    pub slope_share: f64,
    /// How much too late the turn to base begins.
    pub base_late_m: f64,
    /// Nose lowered for each metre above the slope of the approach: diving at the
    /// strip instead of taking power off.
    pub dives_rad_m: f64,
    /// How much the throttle answers to height and sink on the approach; 1 is
    /// what works, less is fixation.
    pub power_gain: f64,
    /// Turns away from the line that must not be crossed.
    pub minds_line: bool,
    /// Gives up an approach that does not work out.
    pub goes_round: bool,
    /// Height at which the flare begins.
    pub flare_from_m: f64,
    /// How much higher the plane seems in the flare than it is: positive
    /// flares late, negative flares high.
    pub flare_misjudged_m: f64,
    /// Height at which the motor is shut in the flare; below zero it is left
    /// running until the plane is down.
    pub shut_below_m: f64,
    /// Brings the nose round with the rudder just before the touch.
    pub aligns: bool,
    /// Nose held above the glide when the motor has stopped.
    pub glide_stretch_rad: f64,
    /// From the silence of the motor reaching the ear to knowing what it means.
    /// 0.7 s in an emergency less 0.2 s of simple reaction, which comes on top
    /// (experts.com, "Reaction Time": driver data).
    pub silence_s: f64,
}

impl Ability {
    /// Somebody with a few hundred flights.
    pub fn competent() -> Self {
        Self {
            acuity: Acuity::practised(),
            bank_gain: 1.8,
            roll_damping_s: 0.25,
            heading_gain: 0.4,
            turn_lead_s: 0.5,
            bank_limit_rad: 0.35,
            turn_bank_rad: 0.5,
            pitch_gain: 1.8,
            pitch_damping_s: 0.35,
            hold_gain_per_s: 0.4,
            notice_rad: 0.03,
            stick_speed_per_s: 5.0,
            tremor: 0.02,
            spread: 0.08,
        }
    }

    /// Somebody's first flights.
    pub fn beginner() -> Self {
        Self {
            acuity: Acuity::unpractised(),
            bank_gain: 2.4,
            roll_damping_s: 0.0,
            heading_gain: 1.2,
            turn_lead_s: 0.0,
            bank_limit_rad: 0.6,
            turn_bank_rad: 0.65,
            pitch_gain: 2.2,
            pitch_damping_s: 0.05,
            hold_gain_per_s: 0.3,
            notice_rad: 0.10,
            stick_speed_per_s: 7.0,
            tremor: 0.07,
            spread: 0.30,
        }
    }

    /// One person of this ability: every figure varied by the spread, the
    /// reaction never below 0.15 s.
    pub fn of_seed(&self, seed: u64) -> Self {
        let noise = Noise::new(seed, "ability");
        let vary = |channel: u32, value: f64| {
            value * (1.0 + self.spread * noise.bell(channel)).clamp(0.4, 1.8)
        };
        let mut person = *self;
        person.acuity.delay_s = vary(0, self.acuity.delay_s).max(0.15);
        person.acuity.angle_rad = vary(1, self.acuity.angle_rad);
        person.bank_gain = vary(2, self.bank_gain);
        person.roll_damping_s = vary(3, self.roll_damping_s);
        person.heading_gain = vary(4, self.heading_gain);
        person.pitch_gain = vary(5, self.pitch_gain);
        person.pitch_damping_s = vary(6, self.pitch_damping_s);
        person.notice_rad = vary(7, self.notice_rad);
        person.stick_speed_per_s = vary(8, self.stick_speed_per_s);
        person.tremor = vary(9, self.tremor);
        person
    }
}

impl Habits {
    /// What an instructor hopes for: shallow climb, nose eased down when the
    /// plane mushes, wings kept level from the first moment.
    pub fn competent() -> Self {
        Self {
            climb_pitch_rad: 0.22,
            eases_forward: true,
            pull_per_m_s: 0.0,
            uses_yaw_stick: true,
            lands_ahead: true,
            roll_waits_s: 0.0,
            sees_drift: 1.0,
            climb_share: 1.0,
            track_gain_rad_m: 0.025,
            reverses_share: 0.0,
            rudder_share: 0.25,
            slope_share: 1.0,
            base_late_m: 0.0,
            dives_rad_m: 0.0,
            power_gain: 1.0,
            minds_line: true,
            goes_round: true,
            flare_from_m: 1.5,
            flare_misjudged_m: 0.0,
            shut_below_m: 0.4,
            aligns: true,
            glide_stretch_rad: 0.0,
            silence_s: 0.5,
        }
    }

    /// What an instructor expects: steeper, pulls when it sinks, loses the
    /// sense of left and right when it comes back.
    pub fn beginner() -> Self {
        Self {
            climb_pitch_rad: 0.32,
            eases_forward: false,
            pull_per_m_s: 0.35,
            uses_yaw_stick: false,
            lands_ahead: false,
            roll_waits_s: 0.0,
            sees_drift: 0.0,
            climb_share: 3.0,
            track_gain_rad_m: 0.0,
            reverses_share: 0.6,
            rudder_share: 0.0,
            slope_share: 1.0,
            base_late_m: 8.0,
            dives_rad_m: 0.0,
            power_gain: 0.5,
            minds_line: true,
            goes_round: false,
            flare_from_m: 1.5,
            flare_misjudged_m: 0.1,
            shut_below_m: 0.1,
            aligns: false,
            glide_stretch_rad: 0.08,
            silence_s: 1.2,
        }
    }

    /// One person with these habits.
    pub fn of_seed(&self, seed: u64, spread: f64) -> Self {
        let noise = Noise::new(seed, "habits");
        let vary = |channel: u32| (1.0 + spread * noise.bell(channel)).clamp(0.3, 2.0);
        let mut person = *self;
        person.climb_pitch_rad *= vary(0);
        person.pull_per_m_s *= vary(1);
        person.reverses_share = (self.reverses_share * vary(2)).min(1.0);
        person.slope_share *= vary(3);
        person.base_late_m *= vary(4);
        person.flare_from_m *= 1.0 + 0.5 * spread * noise.bell(5);
        // Heights near the ground are misjudged by centimetres with practice
        // and by half a metre without.
        person.flare_misjudged_m += 1.5 * spread * noise.bell(6).clamp(-2.0, 2.0);
        person.shut_below_m += spread * noise.bell(7);
        person.glide_stretch_rad *= vary(8);
        person.silence_s *= vary(9);
        person
    }
}
