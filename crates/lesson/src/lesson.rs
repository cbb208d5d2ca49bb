//! What a pilot is to do, and with what.

use glam::DVec3;
use larkfield_pilot::{PilotKind, Throw, ThrowerStyle};
use larkfield_recording::Person;

use crate::problem::require_range;
use crate::{Field, Goal, PersonBody, Phase, Problem, SAFE_DISTANCE_M};

/// A lesson. Airframe, field and wind are referred to by the names of their
/// files; whoever reads them brings the values.
#[derive(Debug, Clone, PartialEq)]
pub struct Lesson {
    /// Name.
    pub name: String,
    /// What is to be learned, in a sentence or two.
    pub description: String,
    /// Reference to the airframe.
    pub airframe: String,
    /// Reference to the field.
    pub field: String,
    /// Reference to the wind.
    pub wind: String,
    /// The throw that is meant.
    pub throw: Throw,
    /// How steadily it is made.
    pub thrower: ThrowerStyle,
    /// Who flies.
    pub pilot: PilotKind,
    /// Phases in order.
    pub phases: Vec<Phase>,
    /// The run ends after this time whatever happens.
    pub time_limit_s: f64,
}

impl Lesson {
    /// The first hand launch and climb to 30 m, thrown by a steady helper and
    /// flown by a competent pilot. References are empty.
    pub fn first_hand_launch() -> Self {
        Self {
            name: "First hand launch".to_owned(),
            description: "Throw into wind, fly away level, climb straight ahead to 30 m."
                .to_owned(),
            airframe: String::new(),
            field: String::new(),
            wind: String::new(),
            throw: Throw::default(),
            thrower: ThrowerStyle::SteadyHelper,
            pilot: PilotKind::Competent,
            phases: vec![Phase::fly_away(), Phase::climb_to(30.0)],
            time_limit_s: 60.0,
        }
    }

    /// The lesson when nothing about it is impossible.
    ///
    /// # Errors
    /// Everything that is, with the path of its field and a remedy.
    pub fn checked(self) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let found = &mut problems;
        if self.name.trim().is_empty() {
            found.push(Problem::new(
                "name",
                "the lesson has no name",
                "give it a name that a pilot understands",
            ));
        }
        if let Err(refused) = self.throw.check() {
            found.extend(refused.into_iter().map(|reason| match reason {
                larkfield_pilot::ThrowRefused::OutOfRange {
                    field,
                    value,
                    least,
                    most,
                    unit,
                } => Problem::new(
                    format!("throw.{field}"),
                    format!("{value} {unit} is not possible"),
                    format!("give a value from {least} to {most} {unit}"),
                ),
                other => Problem::new("throw", other.to_string(), "change the throw"),
            }));
        }
        self.check_hands(found);
        require_range(found, "time_limit", self.time_limit_s, (3.0, 900.0, "s"));
        self.check_phases(found);
        if problems.is_empty() {
            Ok(self)
        } else {
            Err(problems)
        }
    }

    /// Checks what the lesson and its field say about each other.
    ///
    /// # Errors
    /// Everything that does not fit.
    pub fn check_with(&self, field: &Field) -> Result<(), Vec<Problem>> {
        let mut problems = Vec::new();
        let has_pilot = field.people.iter().any(|b| b.person == Person::Pilot);
        if !self.pilot_throws() && !has_pilot {
            problems.push(Problem::new(
                "people",
                "somebody else throws, but no pilot stands on the field",
                "add a person who is the pilot, or let the pilot throw",
            ));
        }
        // Throwing at somebody is refused before anything flies: nobody may
        // stand ahead of the launch within the corridor that the plane needs.
        let (sine, cosine) = libm::sincos(self.throw.heading_rad);
        for (index, body) in field.people.iter().enumerate() {
            let ahead_m = body.north_m * cosine + body.east_m * sine;
            let aside_m = (body.east_m * cosine - body.north_m * sine).abs();
            if ahead_m > 0.0 && ahead_m < 100.0 && aside_m < SAFE_DISTANCE_M && !self.beside(body) {
                problems.push(Problem::new(
                    format!("people[{index}].north"),
                    "this person stands where the plane is thrown to",
                    format!(
                        "keep everybody at least {SAFE_DISTANCE_M} m from the line of the throw, \
                         or throw in another direction"
                    ),
                ));
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(problems)
        }
    }

    /// True when the pilot throws: the one person on the field who is both.
    pub fn pilot_throws(&self) -> bool {
        self.throw.by_pilot() && self.thrower != ThrowerStyle::SteadyHelper
    }

    /// Everybody on the field, the thrower first, given where the thrower's
    /// feet are. A pilot who throws is the thrower and stands there only.
    pub fn people(&self, field: &Field, thrower_feet_m: DVec3) -> Vec<PersonBody> {
        let thrower = PersonBody::adult(Person::Thrower, thrower_feet_m.x, thrower_feet_m.y);
        let others = field
            .people
            .iter()
            .filter(|body| !(self.pilot_throws() && body.person == Person::Pilot));
        std::iter::once(thrower).chain(others.copied()).collect()
    }

    /// Where the pilot's eyes are; the thrower's when nobody else is the pilot.
    pub fn pilot_eyes_m(&self, field: &Field, thrower_feet_m: DVec3) -> DVec3 {
        let people = self.people(field, thrower_feet_m);
        people
            .iter()
            .find(|body| body.person == Person::Pilot)
            .or(people.first())
            .map_or(thrower_feet_m, PersonBody::eyes_m)
    }

    /// The height to climb to; 0 when no phase climbs.
    pub fn climb_to_m(&self) -> f64 {
        self.phases
            .iter()
            .filter_map(|phase| match phase.goal {
                Goal::ClimbTo { height_m } => Some(height_m),
                Goal::FlyAway { .. } => None,
            })
            .fold(0.0, f64::max)
    }

    /// Close enough to the launch point to be part of the launch.
    fn beside(&self, body: &PersonBody) -> bool {
        let away_m = (body.north_m * body.north_m + body.east_m * body.east_m).sqrt();
        body.person != Person::Bystander && away_m < 0.5 * SAFE_DISTANCE_M
    }

    fn check_hands(&self, found: &mut Vec<Problem>) {
        let needs_time = matches!(
            self.thrower,
            ThrowerStyle::Solo | ThrowerStyle::NervousBeginner
        );
        if needs_time && !self.throw.by_pilot() {
            found.push(Problem::new(
                "throw.hand_back",
                "the pilot throws, but the time until the hand is back on its stick is 0",
                "give 0.4 to 1 s, or choose a helper as the thrower",
            ));
        }
    }

    fn check_phases(&self, found: &mut Vec<Problem>) {
        if self.phases.is_empty() {
            found.push(Problem::new(
                "phases",
                "the lesson has no phases",
                "add at least one phase with a goal",
            ));
            return;
        }
        for (index, phase) in self.phases.iter().enumerate() {
            phase.check(&format!("phases[{index}]"), found);
            let earlier = self.phases.iter().take(index);
            if earlier.into_iter().any(|other| other.name == phase.name) {
                found.push(Problem::new(
                    format!("phases[{index}].name"),
                    format!("there are two phases called {:?}", phase.name),
                    "give each phase its own name",
                ));
            }
        }
        let points: f64 = self
            .phases
            .iter()
            .flat_map(|phase| &phase.marks)
            .map(|mark| mark.points)
            .sum();
        let off = (points - 100.0).abs();
        if off.is_nan() || off > 1e-6 {
            found.push(Problem::new(
                "phases",
                format!("the points of all marks add up to {points}"),
                "make them add up to 100",
            ));
        }
    }
}
