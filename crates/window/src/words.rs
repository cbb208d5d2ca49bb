//! What stands on the screen, as plain text.

use larkfield_lesson::Lesson;
use larkfield_recording::{Event, EventKind, FlightStage};
use larkfield_rehearsal::Flown;

/// Texts of a frame.
#[derive(bevy::prelude::Resource, Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// Plane, lesson, and which attempt.
    pub title: String,
    /// The step of the lesson that is on.
    pub step: String,
    /// One line of what to do now.
    pub coach: String,
    /// Time, wind, battery.
    pub facts: String,
    /// What there is to pick from; empty in a flight.
    pub list: String,
    /// What the plane should do; empty in a flight.
    pub card: String,
    /// Keys, until there is something to fly.
    pub keys: String,
    /// What the flight came to; empty while it goes on.
    pub result: String,
}

/// The first phase that is not done.
pub fn step_of(lesson: &Lesson, events: &[Event]) -> String {
    let done = |name: &str| {
        events
            .iter()
            .any(|event| matches!(&event.kind, EventKind::PhaseDone { phase } if phase == name))
    };
    let count = lesson.phases.len();
    let now = lesson.phases.iter().position(|phase| !done(&phase.name));
    match now {
        Some(index) => format!(
            "Step {} of {count}: {}",
            index + 1,
            lesson.phases[index].name
        ),
        None => format!("All {count} steps done"),
    }
}

/// What to do now.
pub fn coach_for(stage: FlightStage, waits: bool, held: bool, hand_off: bool) -> &'static str {
    match stage {
        FlightStage::InHand if waits && held => "Let go of SPACE to throw",
        FlightStage::InHand if waits => {
            "Set the throttle, then hold SPACE: your hand takes the plane"
        }
        FlightStage::InHand => "Thrown. Eyes on the plane",
        FlightStage::Free if hand_off => "Your hand is on its way back to the stick",
        _ => "",
    }
}

/// What a flight came to.
pub fn result_of(flown: &Flown, is_looked_into: bool, said: &[String]) -> String {
    let score = &flown.score;
    let mut lines = vec![
        format!("{:.0} of 100 points. {}", score.total, score.headline),
        String::new(),
    ];
    let mut lost: Vec<_> = (score.marks.iter())
        .filter(|mark| mark.points + 0.5 < mark.of)
        .collect();
    lost.sort_by(|a, b| (b.of - b.points).total_cmp(&(a.of - a.points)));
    // Fewer marks leave room for what matters more.
    let marks = if flown.diagnosis.is_some() { 2 } else { 3 };
    for mark in lost.iter().take(marks) {
        lines.push(format!(
            "{}: {} ({}), {:.0} of {:.0} points",
            mark.name,
            mark.value_in_words(),
            mark.limit,
            mark.points,
            mark.of
        ));
    }
    if is_looked_into {
        lines.push(String::new());
        lines.push("Looking at what was wrong and what would have saved it ...".to_owned());
    }
    if let Some(diagnosis) = &flown.diagnosis {
        lines.push(String::new());
        lines.push(diagnosis.in_words());
    }
    if let Some(hindsight) = &flown.hindsight {
        lines.push(hindsight.in_words());
    }
    if let Some(first) = flown.next_steps().first() {
        lines.push(String::new());
        lines.push(first.clone());
    }
    lines.push(String::new());
    lines.extend(said.iter().cloned());
    lines.push("R again    B from 5 seconds earlier    N next    G look at it again".to_owned());
    lines.join("\n")
}

/// Keys, for those who ask.
pub const KEYS: &str = "\
SPACE        hold the plane back, let go to throw
arrow keys   ailerons (or rudder) and elevator; down arrow pulls
W S          throttle up and down
A D          rudder
I K  J L     trim: nose down and up, left and right
X            throttle cut on and off
R  B  N      again, from 5 seconds earlier, next
G            look at the flight again
V            look from elsewhere
Z            draw a far plane larger
P  Q         pause, sound on and off
F9 F10       instructor: the power is lost, a gust comes
F8           instructor: the keys fly while it is held
H            hide these words, or show them
M            hide all words, or show them
1 2 3 4      lesson, facts, advice, sticks
Esc          menu";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_is_the_first_that_is_not_done() {
        let lesson = Lesson::first_hand_launch();
        assert_eq!(step_of(&lesson, &[]), "Step 1 of 3: fly away from the hand");
        let done = |phase: &str| Event {
            time_s: 1.0,
            kind: EventKind::PhaseDone {
                phase: phase.to_owned(),
            },
        };
        let first = done("fly away from the hand");
        assert_eq!(step_of(&lesson, &[first]), "Step 2 of 3: climb to 30 m");
    }
}
