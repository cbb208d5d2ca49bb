//! The first time: what the window is, the sticks one by one, then the control
//! check. Nothing here has to be remembered; the menu shows it again.

use bevy::prelude::*;
use larkfield_pilot::ControlMessage;
use larkfield_recording::FlightStage;

use crate::activity::Activity;
use crate::attempt::{self, NewFlight};
use crate::control::{AtSticks, Given};
use crate::drill::{ControlExercise, Drill};
use crate::hands::Hands;
use crate::menu::Before;
use crate::seen::Seen;
use crate::session::Session;
use crate::settings::{Remembered, Settings};
use crate::steps::Steps;
use crate::words::Words;

/// A stick that somebody means to move goes at least this far.
const FAR: f64 = 0.6;
/// It counts once it has been there for so long: nobody learns from a twitch.
const HELD_S: f64 = 0.15;

/// What is asked for, in this order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ask {
    Welcome,
    Throttle,
    Shut,
    Pull,
    Push,
    Right,
    Left,
    Rudder,
    Hold,
    Ready,
}

const ASKS: [Ask; 10] = [
    Ask::Welcome,
    Ask::Throttle,
    Ask::Shut,
    Ask::Pull,
    Ask::Push,
    Ask::Right,
    Ask::Left,
    Ask::Rudder,
    Ask::Hold,
    Ask::Ready,
];

impl Ask {
    /// Whether hands do what is asked for; `None` when ENTER does.
    fn done_by(self, message: &ControlMessage) -> Option<bool> {
        let sticks = &message.sticks;
        match self {
            Self::Welcome | Self::Ready => None,
            Self::Throttle => Some(sticks.throttle > FAR),
            Self::Shut => Some(sticks.throttle < 0.05),
            Self::Pull => Some(sticks.pitch > FAR),
            Self::Push => Some(sticks.pitch < -FAR),
            Self::Right => Some(sticks.roll > FAR),
            Self::Left => Some(sticks.roll < -FAR),
            Self::Rudder => Some(sticks.yaw > FAR),
            Self::Hold => Some(message.switches.throw_held),
        }
    }

    /// What is read.
    fn in_words(self, keys: bool) -> String {
        let by = |key: &str| {
            if keys {
                format!(" ({key})")
            } else {
                String::new()
            }
        };
        match self {
            Self::Welcome => "You stand at the edge of a mown field with the sticks in your \
                              hands.\nHere you practise the first hand launch; a crash costs \
                              nothing.\nNothing here moves or checks a real plane."
                .to_owned(),
            Self::Throttle => format!("Open the throttle{}: the motor gives more", by("W")),
            Self::Shut => format!("Shut it again{}: the motor stops", by("S")),
            Self::Pull => format!(
                "Pull the elevator stick toward you{}: the nose comes up",
                by("down arrow")
            ),
            Self::Push => format!("Push it away{}: the nose goes down", by("up arrow")),
            Self::Right => format!(
                "Bank right{}: on a plane without ailerons this is the rudder",
                by("right arrow")
            ),
            Self::Left => format!(
                "Bank left{}. Coming toward you, push the stick to the low wing",
                by("left arrow")
            ),
            Self::Rudder => format!("The rudder stick to the right{}", by("D")),
            Self::Hold => format!(
                "Hold the plane back as if to throw it{}; letting go throws it",
                by("SPACE")
            ),
            Self::Ready => {
                "That is all. Before every flight comes the control check: which way do \
                            the surfaces move?\nENTER practises it, Esc leads to the menu."
                    .to_owned()
            }
        }
    }
}

/// Where in it somebody is.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tour {
    at: usize,
    held_s: f64,
}

impl Tour {
    fn ask(&self) -> Ask {
        ASKS[self.at.min(ASKS.len() - 1)]
    }

    /// A frame passes. Tells whether the tour is over.
    pub fn go_on(&mut self, message: &ControlMessage, enter: bool, frame_s: f64) -> bool {
        let done = match self.ask().done_by(message) {
            None => enter,
            Some(there) => {
                self.held_s = if there { self.held_s + frame_s } else { 0.0 };
                self.held_s >= HELD_S || enter
            }
        };
        if done {
            self.held_s = 0.0;
            if self.ask() == Ask::Ready {
                return true;
            }
            self.at += 1;
        }
        false
    }

    /// What is read; for hands at keys or at a device.
    pub fn words(&self, keys: bool) -> Words {
        let ask = self.ask();
        let text = ask.in_words(keys);
        let (coach, result) = match ask {
            Ask::Welcome | Ask::Ready => (String::new(), text),
            _ => (text, String::new()),
        };
        Words {
            title: "Showing you around".to_owned(),
            step: format!("{} of {}", self.at + 1, ASKS.len()),
            coach,
            result,
            keys: "ENTER goes on, Esc leads to the menu".to_owned(),
            ..Words::default()
        }
    }
}

/// Shows around.
pub struct GuidePlugin;

/// The tour that is on.
#[derive(Resource, Default)]
struct OnTour(Tour);

impl Plugin for GuidePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<OnTour>()
            .add_systems(OnEnter(Activity::Guide), begin.after(attempt::enter))
            .add_systems(
                Update,
                walk.in_set(Steps::Choose).run_if(in_state(Activity::Guide)),
            );
    }
}

fn begin(mut tour: ResMut<OnTour>, mut hands: ResMut<AtSticks>) {
    tour.0 = Tour::default();
    // Everything is to be moved once.
    hands.0 = Hands::default();
}

#[expect(clippy::too_many_arguments, reason = "a system names what it touches")]
fn walk(
    mut commands: Commands,
    keys: Res<ButtonInput<KeyCode>>,
    time: Res<Time>,
    given: Res<Given>,
    mut tour: ResMut<OnTour>,
    (mut words, mut seen): (ResMut<Words>, ResMut<Seen>),
    mut settings: ResMut<Settings>,
    (remembered, mut before): (Res<Remembered>, ResMut<Before>),
    (session, mut new_flight): (NonSend<Session>, ResMut<NewFlight>),
    mut next: ResMut<NextState<Activity>>,
) {
    if let Some(view) = session.view() {
        *seen = Seen::of(&view);
    }
    seen.stage = FlightStage::InHand;
    seen.message = given.message;
    let enter = keys.just_pressed(KeyCode::Enter) || keys.just_pressed(KeyCode::NumpadEnter);
    let leaves = keys.just_pressed(KeyCode::Escape);
    let waits = !given.wanted.is_empty();
    let over = !waits && tour.0.go_on(&given.message, enter, time.delta_secs_f64());
    if over || leaves {
        settings.shown_around = true;
        if let Err(complaint) = remembered.keep(&settings) {
            eprintln!("Not remembered: {complaint}");
        }
        before.0 = Activity::Flight;
        // The hands have moved everything.
        new_flight.0 = true;
        if over {
            let exercise = Box::new(ControlExercise::new(&session, 3, 1));
            commands.insert_resource(Drill::new("control-check", 1, exercise));
            next.set(Activity::Drill);
        } else {
            next.set(Activity::Menu);
        }
        return;
    }
    let mut new = tour.0.words(session.inputs().radio.is_none());
    if waits {
        new.coach.clone_from(&given.wanted);
    }
    if *words != new {
        *words = new;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_pilot::{Sticks, Switches};

    #[test]
    fn every_stick_is_asked_for_and_held_before_it_counts() {
        let mut tour = Tour::default();
        let still = ControlMessage::default();
        assert!(!tour.go_on(&still, true, 0.05), "the welcome");
        let hands = [
            (0.0, 0.0, 0.0, 1.0),
            (0.0, 0.0, 0.0, 0.0),
            (0.0, 1.0, 0.0, 0.0),
            (0.0, -1.0, 0.0, 0.0),
            (1.0, 0.0, 0.0, 0.0),
            (-1.0, 0.0, 0.0, 0.0),
            (0.0, 0.0, 1.0, 0.0),
        ];
        for (k, (roll, pitch, yaw, throttle)) in hands.into_iter().enumerate() {
            let message = ControlMessage {
                sticks: Sticks {
                    roll,
                    pitch,
                    yaw,
                    throttle,
                },
                ..ControlMessage::default()
            };
            assert!(!tour.go_on(&message, false, 0.05));
            assert_eq!(tour.at, k + 1, "a twitch is not enough");
            for _ in 0..3 {
                assert!(!tour.go_on(&message, false, 0.05));
            }
            assert_eq!(tour.at, k + 2);
        }
        let held = ControlMessage {
            switches: Switches {
                throw_held: true,
                ..Switches::default()
            },
            ..ControlMessage::default()
        };
        for _ in 0..4 {
            tour.go_on(&held, false, 0.05);
        }
        assert_eq!(tour.ask(), Ask::Ready);
        assert!(!tour.go_on(&still, false, 9.0));
        assert!(tour.go_on(&still, true, 0.0));
    }
}
