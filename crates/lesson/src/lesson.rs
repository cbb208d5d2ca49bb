//! What a pilot is to do, and with what.

use glam::DVec3;
use larkfield_airframe::Airframe;
use larkfield_pilot::{
    Launch, PilotKind, PowerTiming, Throw, ThrowRefused, ThrowerStyle, Trims, Undercarriage,
};
use larkfield_recording::Person;

use crate::problem::require_range;
use crate::{
    AirStart, Field, Goal, LandingPlan, PersonBody, Phase, Problem, SAFE_DISTANCE_M, Surprise,
    sequence,
};

/// From release to power for a pusher: the propeller has passed the hand, and
/// the plane is not slow yet (common practice, no source).
const PUSHER_DELAY_S: f64 = 0.3;

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
    /// Lessons that have to be passed before this one, by the names of their
    /// files without folder and ending.
    pub requires: Vec<String>,
    /// How the flight begins: the throw that is meant, or the place on the
    /// ground. Unused by a lesson that starts in the air.
    pub launch: Launch,
    /// Whether the throw leaves open when the motor runs, see [`Lesson::suited`].
    pub power_suits_plane: bool,
    /// A start in flight instead.
    pub air_start: Option<AirStart>,
    /// How far roll, pitch and yaw are out of trim, as shares of full travel:
    /// somebody set the linkages wrong.
    pub trim_error: Trims,
    /// Where to land.
    pub landing: Option<LandingPlan>,
    /// What happens without warning.
    pub surprises: Vec<Surprise>,
    /// What is wrong with plane, radio or throw, in the words of the library of
    /// faults: `NAME` or `NAME=SIZE`. Lesson and pilot know nothing more of it.
    pub faults: Vec<String>,
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
            description: "Throw into wind, fly away level, climb straight ahead to 30 m and level \
                          off."
                .to_owned(),
            airframe: String::new(),
            field: String::new(),
            wind: String::new(),
            requires: Vec::new(),
            launch: Launch::Throw(Throw::default()),
            power_suits_plane: false,
            air_start: None,
            trim_error: Trims::default(),
            landing: None,
            surprises: Vec::new(),
            faults: Vec::new(),
            thrower: ThrowerStyle::SteadyHelper,
            pilot: PilotKind::Competent,
            phases: vec![Phase::fly_away(), Phase::climb_to(30.0), Phase::level_off()],
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
        if self.air_start.is_none() {
            self.check_launch(found);
            self.check_hands(found);
        }
        self.check_parts(found);
        require_range(found, "time_limit", self.time_limit_s, (3.0, 900.0, "s"));
        self.check_phases(found);
        sequence::check(&self, found);
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
        if let Some(landing) = &self.landing {
            landing.check_with(field, &mut problems);
        }
        // Launching at somebody is refused before anything flies: nobody may
        // stand ahead of the launch within the corridor that the plane needs.
        let (sine, cosine) = libm::sincos(self.launch.heading_rad());
        for (index, body) in field.people.iter().enumerate() {
            let (north_m, east_m) = (body.north_m - start_north_m, body.east_m - start_east_m);
            let ahead_m = north_m * cosine + east_m * sine;
            let aside_m = (east_m * cosine - north_m * sine).abs();
            let in_the_way = self.air_start.is_none() && ahead_m > 0.0 && ahead_m < 100.0;
            if in_the_way && aside_m < SAFE_DISTANCE_M && !self.beside(body) {
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

    /// The lesson for a plane: where it leaves the timing of the power open, a
    /// tractor has it before the throw, a pusher after the release.
    #[must_use]
    pub fn suited(mut self, airframe: &Airframe) -> Self {
        let pusher = airframe.power.as_ref().is_some_and(|power| power.pusher);
        if let (Launch::Throw(throw), true) = (&mut self.launch, self.power_suits_plane) {
            throw.power = if pusher {
                PowerTiming::After {
                    delay_s: PUSHER_DELAY_S,
                }
            } else {
                PowerTiming::Before
            };
        }
        self
    }

    /// Checks what the lesson and the airframe say about each other: a throw that
    /// would hurt the thrower is refused before anything flies.
    ///
    /// # Errors
    /// Everything that does not fit, with the field of the lesson.
    pub fn check_with_airframe(&self, airframe: &Airframe) -> Result<(), Vec<Problem>> {
        let throw = self.launch.throw().filter(|_| self.air_start.is_none());
        let refused = throw.map(|throw| throw.check_with(airframe));
        let Some(Err(reason)) = refused else {
            return Ok(());
        };
        Err(vec![Problem::new(
            "throw.power",
            format!("{} cannot be thrown like this: {reason}", airframe.name),
            "give `power: After(delay: \"0.3 s\")`, or `power: Suited` for planes of both kinds",
        )])
    }

    /// True when the pilot throws: the one person on the field who is both.
    pub fn pilot_throws(&self) -> bool {
        let throw = self.launch.throw().filter(|_| self.air_start.is_none());
        throw.is_some_and(Throw::by_pilot) && self.thrower != ThrowerStyle::SteadyHelper
    }

    /// Everybody on the field, the thrower first, given where the thrower's
    /// feet are. A pilot who throws is the thrower and stands there only. Off the
    /// ground nobody throws.
    pub fn people(&self, field: &Field, thrower_feet_m: DVec3) -> Vec<PersonBody> {
        let thrower = self
            .launch
            .throw()
            .filter(|_| self.air_start.is_none())
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
                _ => None,
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

    /// Landing, start, surprises, what has to be passed first.
    fn check_parts(&self, found: &mut Vec<Problem>) {
        if let Some(landing) = &self.landing {
            landing.check(found);
        }
        if let Some(start) = &self.air_start {
            start.check(self.landing.is_some(), found);
        }
        let names: Vec<&str> = self
            .phases
            .iter()
            .map(|phase| phase.name.as_str())
            .collect();
        for (index, surprise) in self.surprises.iter().enumerate() {
            surprise.check(&format!("surprises[{index}]"), &names, found);
        }
        for (axis, share) in [
            ("roll", self.trim_error.roll),
            ("pitch", self.trim_error.pitch),
            ("yaw", self.trim_error.yaw),
        ] {
            let limits = (-0.5, 0.5, "of full travel");
            require_range(found, format!("trim_error.{axis}"), share, limits);
        }
        for (index, name) in self.requires.iter().enumerate() {
            let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
            if name.is_empty() || !name.chars().all(plain) {
                found.push(Problem::new(
                    format!("requires[{index}]"),
                    format!("{name:?} is no name of a lesson file"),
                    "give the name of the file without folder and ending, as in \"approach_calm\"",
                ));
            }
        }
        if self.requires.is_empty() && self.phases.iter().any(|p| p.goal.is_stall_limit()) {
            found.push(Problem::new(
                "requires",
                "a landing at the stall has to be unlocked by approaches that were passed",
                "name the lessons, as in [\"approach_calm\"]",
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
        let sum = |undercarriage| -> f64 {
            let marks = self.phases.iter().flat_map(|phase| &phase.marks);
            marks
                .filter(|mark| mark.counts_for(undercarriage))
                .map(|mark| mark.points)
                .sum()
        };
        let (wheels, skids) = (sum(Undercarriage::Wheels), sum(Undercarriage::Skids));
        let off = (wheels - 100.0).abs().max((skids - 100.0).abs());
        if wheels.is_nan() || skids.is_nan() || off > 1e-6 {
            let sums = if wheels == skids {
                format!("{wheels}")
            } else {
                format!("{wheels} with wheels and {skids} with skids")
            };
            found.push(Problem::new(
                "phases",
                format!("the points of all marks add up to {sums}"),
                "make them add up to 100",
            ));
        }
    }
}
