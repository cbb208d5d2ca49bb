//! A person who flies by eye: looks, decides, moves the thumbs.
//!
//! Decisions fall on a grid of 20 ms whatever the tick; between them the thumbs
//! travel at their own speed toward where they were sent. That makes a flyer a
//! function of time.

use crate::scripted::captain::Captain;
use crate::scripted::pitch::Pitch;
use crate::scripted::scene::Scene;
use crate::scripted::steer::Steer;
use crate::scripted::{Ability, Aim, Habits, Task};
use crate::{ControlMessage, Eyes, HandOff, Noise, Sight, Sticks, Switches, Trims, Truth};

/// Time between decisions.
pub(super) const DECIDE_EVERY_S: f64 = 0.020;
/// A trim lever clicks this often at most, by this share of full travel.
const CLICK_EVERY_S: f64 = 0.2;
const CLICK: f64 = 0.01;
/// Stick pressure below which no lever is touched.
const PRESSURE: f64 = 0.02;

/// A pilot with an ability, habits and a task.
#[derive(Debug, Clone, PartialEq)]
pub struct Flyer {
    ability: Ability,
    habits: Habits,
    task: Task,
    eyes: Eyes,
    noise: Noise,
    hand: HandOff,
    /// Where the thumbs are and where they are going.
    sticks: Sticks,
    wanted: Sticks,
    trims: Trims,
    switches: Switches,
    decision: f64,
    last_s: Option<f64>,
    /// When the pilot noticed the release.
    free_since_s: Option<f64>,
    next_click_s: f64,
    captain: Captain,
    steer: Steer,
    pitch: Pitch,
}

impl Flyer {
    /// The person that the seed picks among people of this ability and these
    /// habits.
    pub fn new(ability: Ability, habits: Habits, task: Task, seed: u64) -> Self {
        let person = ability.of_seed(seed);
        Self {
            eyes: Eyes::new(person.acuity, seed),
            ability: person,
            habits: habits.of_seed(seed, ability.spread),
            captain: Captain::new(&task, 0.2 * Noise::new(seed, "windsock").bell(0)),
            trims: task.trims,
            task,
            noise: Noise::new(seed, "thumbs"),
            hand: HandOff::default(),
            sticks: Sticks::default(),
            wanted: Sticks::default(),
            switches: Switches::default(),
            decision: -1.0,
            last_s: None,
            free_since_s: None,
            next_click_s: 0.0,
            steer: Steer::default(),
            pitch: Pitch::default(),
        }
    }

    /// Which stick does what, and which hand throws.
    pub fn hand(&self) -> HandOff {
        self.hand
    }

    /// Flies with another stick mode or throws with the other hand.
    pub fn with_hand(mut self, hand: HandOff) -> Self {
        self.hand = hand;
        self
    }

    /// The person's own figures.
    pub fn ability(&self) -> &Ability {
        &self.ability
    }

    /// What the person usually does.
    pub fn habits(&self) -> &Habits {
        &self.habits
    }

    /// The same person with other hands and habits; the eyes stay.
    pub fn change(&mut self, ability: Ability, habits: Habits) {
        self.ability = ability;
        self.habits = habits;
    }

    /// What the hands do now.
    pub fn act(&mut self, time_s: f64, truth: &Truth) -> ControlMessage {
        self.eyes.watch(time_s, truth);
        // First where the thumbs have got to: what is decided now moves them from
        // now on, not from a tick ago.
        let passed_s = self.last_s.map_or(0.0, |last_s| (time_s - last_s).max(0.0));
        self.last_s = Some(time_s);
        self.move_thumbs(passed_s);
        let due = (time_s / DECIDE_EVERY_S + 1e-6).floor();
        if due > self.decision {
            self.decision = due;
            self.decide(time_s, truth.hand_off);
        }
        let message = ControlMessage {
            sticks: self.sticks.within_gates(),
            trims: self.trims,
            switches: self.switches,
            ..ControlMessage::default()
        };
        let given = self.hand.apply(message, truth.hand_off);
        // A thumb that is away is not moving either: it starts again from where
        // the stick was left.
        self.sticks = given.sticks;
        given
    }

    fn move_thumbs(&mut self, passed_s: f64) {
        let reach = self.ability.stick_speed_per_s * passed_s;
        let slew = |now: f64, wanted: f64| now + (wanted - now).clamp(-reach, reach);
        self.sticks.roll = slew(self.sticks.roll, self.wanted.roll);
        self.sticks.pitch = slew(self.sticks.pitch, self.wanted.pitch);
        self.sticks.yaw = slew(self.sticks.yaw, self.wanted.yaw);
        self.sticks.throttle = slew(self.sticks.throttle, self.wanted.throttle);
    }

    fn decide(&mut self, time_s: f64, hand_off: bool) {
        let sight = self.eyes.look(time_s);
        if sight.free && self.free_since_s.is_none() {
            self.free_since_s = Some(time_s);
        }
        let free_s = self.free_since_s.map(|since_s| time_s - since_s);
        let wanted = if free_s.is_some() {
            self.fly(time_s, free_s, &sight, hand_off)
        } else {
            Sticks {
                throttle: self.task.launch_throttle(None),
                ..Sticks::default()
            }
        };
        self.wanted = wanted.within_gates();
    }

    /// Sticks of a plane that flies, rolls or stands by itself.
    fn fly(&mut self, time_s: f64, free_s: Option<f64>, sight: &Sight, hand_off: bool) -> Sticks {
        let mut habits = self.habits;
        habits.goes_round &= self.captain.may_go_round();
        let circuit = self.captain.circuit();
        let scene = Scene {
            time_s,
            step_s: DECIDE_EVERY_S,
            sight,
            task: &self.task,
            circuit: &circuit,
            ability: &self.ability,
            habits: &habits,
            wind: self.captain.wind(),
            free_s,
        };
        let mut aim = self.captain.aim(&scene, self.sticks.throttle);
        aim.nose_rad = self.pitch.toward(aim.nose_rad, &aim);
        let sideways = self.steer.sticks(&scene, &aim, hand_off, &self.noise);
        let pitch = self.pitch.stick(&scene, &aim, hand_off);
        let tremor = |channel| {
            if aim.thumbs_off {
                0.0
            } else {
                self.ability.tremor * self.noise.at(channel, time_s, 0.3)
            }
        };
        let sticks = Sticks {
            roll: sideways.roll + tremor(0),
            pitch: pitch + tremor(1),
            yaw: sideways.yaw,
            throttle: aim.throttle,
        };
        self.switches.throttle_cut = aim.cut;
        self.click(time_s, &aim);
        sticks
    }

    /// Moves the trim levers: one click at a time toward the pressure that the
    /// thumbs hold, and what the aim asks for besides.
    fn click(&mut self, time_s: f64, aim: &Aim) {
        self.trims.roll = (self.trims.roll + aim.clicks.roll).clamp(-1.0, 1.0);
        self.trims.pitch = (self.trims.pitch + aim.clicks.pitch).clamp(-1.0, 1.0);
        if !aim.trims_by_feel || time_s < self.next_click_s {
            return;
        }
        self.next_click_s = time_s + CLICK_EVERY_S;
        let click = |hold: &mut f64, trim: &mut f64| {
            if hold.abs() > PRESSURE {
                let step = CLICK.copysign(*hold);
                *trim = (*trim + step).clamp(-1.0, 1.0);
                *hold -= step;
            }
        };
        click(&mut self.steer.hold, &mut self.trims.roll);
        click(&mut self.pitch.hold, &mut self.trims.pitch);
    }
}
