//! Lessons that cannot be are refused with the path of the field.

use glam::DVec3;
use larkfield_lesson::{Field, Goal, Lesson, PersonBody, Phase};
use larkfield_pilot::ThrowerStyle;
use larkfield_recording::Person;

fn paths(lesson: Lesson) -> Vec<String> {
    let problems = lesson.checked().err().unwrap_or_default();
    problems.into_iter().map(|problem| problem.field).collect()
}

#[test]
fn the_first_lesson_is_possible_on_the_meadow() {
    assert!(paths(Lesson::first_hand_launch()).is_empty());
    assert_eq!(
        Lesson::first_hand_launch().check_with(&Field::open_meadow()),
        Ok(())
    );
    assert_eq!(Lesson::first_hand_launch().climb_to_m(), 30.0);
}

#[test]
fn impossible_lessons_are_refused_field_by_field() {
    let mut lesson = Lesson::first_hand_launch();
    lesson.name = " ".to_owned();
    lesson.launch.throw_mut().unwrap().speed_m_s = 60.0;
    lesson.thrower = ThrowerStyle::Solo;
    lesson.time_limit_s = f64::NAN;
    lesson.phases[1].goal = Goal::ClimbTo { height_m: -5.0 };
    lesson.phases[1].name = lesson.phases[0].name.clone();
    lesson.phases[0].marks[0].points = 20.0;
    assert_eq!(
        paths(lesson),
        [
            "name",
            "throw.speed",
            "throw.hand_back",
            "time_limit",
            "phases[1].goal.height",
            "phases[1].name",
            "phases"
        ]
    );
}

#[test]
fn a_lesson_without_phases_is_refused() {
    let mut lesson = Lesson::first_hand_launch();
    lesson.phases.clear();
    assert_eq!(paths(lesson), ["phases"]);
}

#[test]
fn bounds_out_of_order_are_refused() {
    use larkfield_lesson::Scale;
    let mut lesson = Lesson::first_hand_launch();
    lesson.phases[0].marks[1].scale = Scale::AtLeast {
        full: 0.0,
        zero: 10.0,
    };
    assert_eq!(paths(lesson), ["phases[0].marks[1].scale"]);
}

#[test]
fn nobody_is_thrown_at() {
    let lesson = Lesson::first_hand_launch();
    let mut field = Field::open_meadow();
    field
        .people
        .push(PersonBody::adult(Person::Bystander, 40.0, 3.0));
    let problems = lesson.check_with(&field).err().unwrap_or_default();
    assert_eq!(problems.len(), 1);
    assert_eq!(problems[0].field, "people[3].north");
}

#[test]
fn somebody_has_to_fly() {
    let mut field = Field::open_meadow();
    field.people.retain(|body| body.person != Person::Pilot);
    let mut lesson = Lesson::first_hand_launch();
    assert!(lesson.check_with(&field).is_err());
    lesson.thrower = ThrowerStyle::Solo;
    lesson.launch.throw_mut().unwrap().hand_back_s = 0.7;
    assert_eq!(lesson.check_with(&field), Ok(()));
}

#[test]
fn a_pilot_who_throws_stands_where_the_thrower_stands() {
    let feet_m = DVec3::new(-0.5, 0.0, 0.0);
    let field = Field::open_meadow();
    let helped = Lesson::first_hand_launch();
    // The pilot of the meadow stands 3 m west of the launch.
    assert_eq!(helped.pilot_eyes_m(&field, feet_m).y, -3.0);
    assert_eq!(helped.people(&field, feet_m).len(), 4);
    let mut solo = helped;
    solo.thrower = ThrowerStyle::Solo;
    solo.launch.throw_mut().unwrap().hand_back_s = 0.7;
    let eyes_m = solo.pilot_eyes_m(&field, feet_m);
    assert_eq!((eyes_m.x, eyes_m.y), (-0.5, 0.0));
    assert_eq!(solo.people(&field, feet_m).len(), 3);
}

#[test]
fn usual_phases_add_up_to_a_hundred_points() {
    let sum: f64 = [Phase::fly_away(), Phase::climb_to(30.0), Phase::level_off()]
        .iter()
        .flat_map(|phase| &phase.marks)
        .map(|mark| mark.points)
        .sum();
    assert_eq!(sum, 100.0);
}
