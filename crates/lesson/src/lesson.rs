//! What a pilot is to do, and with what.

use glam::DVec3;
use larkfield_airframe::Airframe;
use larkfield_pilot::{Launch, PilotKind, Throw, ThrowRefused, ThrowerStyle};
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
    /// How the flight begins: the throw that is meant, or the place on the ground.
    pub launch: Launch,
    /// How steadily a throw is made.
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
            launch: Launch::Throw(Throw::default()),
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
        self.check_launch(found);
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
                "the pilot does not throw, but no pilot stands on the field",
                "add a person who is the pilot, or let the pilot throw",
            ));
        }
        let (start_north_m, start_east_m) = match &self.launch {
            Launch::Throw(_) => (0.0, 0.0),
            Launch::Ground(start) => (start.north_m, start.east_m),
        };
        let inside_m = field.safety_line.distance_m(start_north_m, start_east_m);
        if inside_m.is_nan() || inside_m <= 0.0 {
            problems.push(Problem::new(
                "ground_start",
                "the plane starts behind the safety line",
                "start it on the flying side of the line",
            ));
        }
        // Launching at somebody is refused before anything flies: nobody may
        // stand ahead of the launch within the corridor that the plane needs.
        let (sine, cosine) = libm::sincos(self.launch.heading_rad());
        for (index, body) in field.people.iter().enumerate() {
            let (north_m, east_m) = (body.north_m - start_north_m, body.east_m - start_east_m);
            let ahead_m = north_m * cosine + east_m * sine;
            let aside_m = (east_m * cosine - north_m * sine).abs();
            if ahead_m > 0.0 && ahead_m < 100.0 && aside_m < SAFE_DISTANCE_M && !self.beside(body) {
                problems.push(Problem::new(
                    format!("people[{index}].north"),
                    "this person stands where the plane is launched to",
                    format!(
                        "keep everybody at least {SAFE_DISTANCE_M} m from the line of the launch, \
                         or launch in another direction"
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

    /// Checks what the lesson and the airframe say about each other: a throw that
    /// would hurt the thrower is refused before anything flies.
    ///
    /// # Errors
    /// Everything that does not fit, with the field of the lesson.
    pub fn check_with_airframe(&self, airframe: &Airframe) -> Result<(), Vec<Problem>> {
        let refused = self.launch.throw().map(|throw| throw.check_with(airframe));
        let Some(Err(reason)) = refused else {
            return Ok(());
        };
        Err(vec![Problem::new(
            "throw.power",
            format!("{} cannot be thrown like this: {reason}", airframe.name),
            "give `power: After(delay: \"0.3 s\")`",
        )])
    }

    /// True when the pilot throws: the one person on the field who is both.
    pub fn pilot_throws(&self) -> bool {
        self.launch.throw().is_some_and(Throw::by_pilot)
            && self.thrower != ThrowerStyle::SteadyHelper
    }

    /// Everybody on the field, the thrower first, given where the thrower's
    /// feet are. A pilot who throws is the thrower and stands there only. Off the
    /// ground nobody throws.
    pub fn people(&self, field: &Field, thrower_feet_m: DVec3) -> Vec<PersonBody> {
        let thrower = self
            .launch
            .throw()
            .map(|_| PersonBody::adult(Person::Thrower, thrower_feet_m.x, thrower_feet_m.y));
        let others = field
            .people
            .iter()
            .filter(|body| !(self.pilot_throws() && body.person == Person::Pilot));
        thrower.into_iter().chain(others.copied()).collect()
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

    fn check_launch(&self, found: &mut Vec<Problem>) {
        let (group, checked) = match &self.launch {
            Launch::Throw(throw) => ("throw", throw.check()),
            Launch::Ground(start) => ("ground_start", start.check()),
        };
        for reason in checked.err().unwrap_or_default() {
            found.push(match reason {
                ThrowRefused::OutOfRange {
                    field,
                    value,
                    least,
                    most,
                    unit,
                } => Problem::new(
                    format!("{group}.{field}"),
                    format!("{value} {unit} is not possible"),
                    format!("give a value from {least} to {most} {unit}"),
                ),
                other => Problem::new(group, other.to_string(), "change the throw"),
            });
        }
    }

    fn check_hands(&self, found: &mut Vec<Problem>) {
        let needs_time = matches!(
            self.thrower,
            ThrowerStyle::Solo | ThrowerStyle::NervousBeginner
        );
        let thrown = self.launch.throw();
        if needs_time && thrown.is_some_and(|throw| !throw.by_pilot()) {
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
