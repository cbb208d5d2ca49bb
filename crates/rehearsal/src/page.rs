//! From models and results to the plain data that a page is made from.

use larkfield_airframe::Airframe;
use larkfield_debrief::{
    Assumed, CauseLine, Causes, DebriefInput, FieldPlan, GoalHeight, LandingPlace, LookBack,
    MarkLine, PhaseLine, Rescue, Stander, Strip,
};
use larkfield_diagnosis::Diagnosis;
use larkfield_hindsight::{DELAY_S, Hindsight};
use larkfield_lesson::{
    Conditions, Field, Goal, Lesson, Performance, SAFE_DISTANCE_M, SafetyLine, Score,
};
use larkfield_pilot::ThrowerStyle;
use larkfield_recording::Recording;

use crate::effect::Effect;
use crate::flown::Flown;
use crate::inputs::Inputs;

/// Half the length of the safety line on the map.
const LINE_HALF_M: f64 = 150.0;
/// Final on the sketch of the circuit, before the box.
const FINAL_M: f64 = 40.0;

/// What the page of one flight says.
pub fn page_input(
    inputs: &Inputs,
    performance: &Performance,
    flown: &Flown,
    seed: u64,
) -> DebriefInput {
    let airframe = inputs.model.airframe();
    let (lesson, score) = (&inputs.lesson, &flown.score);
    DebriefInput {
        plane_name: airframe.name.clone(),
        build_note: airframe.build_note.clone(),
        assumed: assumed(airframe),
        lesson_name: lesson.name.clone(),
        lesson_description: lesson.description.clone(),
        wind_summary: inputs.wind.description.clone(),
        seed,
        pilot_name: inputs.pilot_name().into_owned(),
        thrower_name: thrower_name(lesson.thrower).to_owned(),
        recording: flown.recording.clone(),
        marks: marks(score),
        total: score.total,
        zeroed_by: score.zeroed_by.clone(),
        headline: score.headline.clone(),
        next_steps: flown.next_steps(),
        stall_speed_m_s: Some(performance.stall_speed_m_s).filter(|speed| speed.is_finite()),
        minimum_level_speed_m_s: minimum_level_speeds(&flown.recording, performance),
        goal_heights: goal_heights(lesson),
        field: field_plan(lesson, &inputs.field, flown.thrower_feet_m),
        landing: landing_place(inputs, &flown.conditions),
        phases: phase_lines(score),
        damage: score
            .broken_parts
            .iter()
            .map(|part| format!("{part} broke"))
            .collect(),
        look_back: flown.hindsight.as_ref().map(look_back_lines),
        effect: flown.effect.as_ref().map(Effect::in_words),
        causes: flown.diagnosis.as_ref().map(cause_lines),
    }
}

/// What would have saved a flight, for the page.
fn look_back_lines(hindsight: &Hindsight) -> LookBack {
    let cue = hindsight.first_cue;
    LookBack {
        trouble: hindsight.trouble.what.clone(),
        trouble_s: hindsight.trouble.time_s,
        tried_from_s: hindsight.tried_from_s,
        first_cue: cue.map(|(time_s, cue)| (time_s, cue.in_words().to_owned())),
        delay_s: DELAY_S,
        rescues: (hindsight.corrections.iter())
            .map(|last| Rescue {
                name: last.correction.in_words().to_owned(),
                decided_s: last.decided_s,
            })
            .collect(),
        verdict: hindsight.in_words(),
    }
}

/// What was wrong, for the page.
fn cause_lines(diagnosis: &Diagnosis) -> Causes {
    Causes {
        verdict: diagnosis.in_words(),
        causes: (diagnosis.worth_a_look().iter())
            .map(|cause| CauseLine {
                name: cause.name(),
                what: cause.fault.what.to_owned(),
                evidence: cause.evidence_in_words(),
                bench: cause.fault.bench.to_owned(),
                remedy: cause.fault.remedy.to_owned(),
            })
            .collect(),
    }
}

/// Values of the airframe that nobody measured.
pub fn assumed(airframe: &Airframe) -> Vec<Assumed> {
    airframe
        .assumed
        .iter()
        .map(|assumed| Assumed {
            name: assumed.field.clone(),
            value: format!("{} ({})", assumed.value, assumed.reason),
        })
        .collect()
}

fn marks(score: &Score) -> Vec<MarkLine> {
    score
        .marks
        .iter()
        .map(|mark| MarkLine {
            name: format!("{}: {}", mark.phase, mark.name),
            value: mark.value_in_words(),
            limit: mark.limit.clone(),
            points: mark.points,
            of: mark.of,
            advice: mark.advice.clone(),
        })
        .collect()
}

/// In a turn the wing carries weight over the cosine of the bank, and every
/// speed at a given lift coefficient grows with the square root of that.
fn minimum_level_speeds(recording: &Recording, performance: &Performance) -> Vec<f64> {
    let speed = |throttle: f64, bank_cosine: f64| {
        let level_m_s = performance.minimum_level_speed_m_s(throttle)?;
        (bank_cosine > 0.0).then(|| level_m_s / bank_cosine.sqrt())
    };
    recording
        .samples
        .iter()
        .map(|sample| speed(sample.stick_throttle, libm::cos(sample.bank_rad)).unwrap_or(f64::NAN))
        .collect()
}

fn goal_heights(lesson: &Lesson) -> Vec<GoalHeight> {
    lesson
        .phases
        .iter()
        .filter_map(|phase| match phase.goal {
            Goal::ClimbTo { height_m } => Some(GoalHeight {
                name: phase.name.clone(),
                height_m,
            }),
            _ => None,
        })
        .collect()
}

fn field_plan(lesson: &Lesson, field: &Field, thrower_feet_m: [f64; 3]) -> FieldPlan {
    let people = lesson.people(field, thrower_feet_m.into());
    FieldPlan {
        people: people
            .iter()
            .map(|body| Stander {
                person: body.person,
                north_m: body.north_m,
                east_m: body.east_m,
            })
            .collect(),
        safety_line: Some(line_ends(&field.safety_line)),
        strip: Some(Strip {
            north_m: field.strip.north_m,
            east_m: field.strip.east_m,
            length_m: field.strip.length_m,
            width_m: field.strip.width_m,
            heading_rad: field.strip.heading_rad,
        }),
        tree_lines: field
            .tree_lines
            .iter()
            .map(|trees| trees.ends_m().map(|end| end.to_array()))
            .collect(),
        safe_distance_m: SAFE_DISTANCE_M,
    }
}

/// Where the lesson lands on this day.
fn landing_place(inputs: &Inputs, conditions: &Conditions) -> Option<LandingPlace> {
    let frame = inputs.lesson.frame(&inputs.field, conditions)?;
    let (spacing_m, beyond_m) = (frame.spacing_m, frame.box_half_length_m + FINAL_M);
    let at = |(along_m, across_m): (f64, f64)| {
        let point_m = frame.at(along_m, across_m);
        [point_m.x, point_m.y]
    };
    Some(LandingPlace {
        corners: frame
            .box_corners_m()
            .map(|corner_m| [corner_m.x, corner_m.y])
            .to_vec(),
        aim: at((0.0, 0.0)),
        circuit: [
            (beyond_m, spacing_m),
            (-beyond_m, spacing_m),
            (-beyond_m, 0.0),
            (0.0, 0.0),
        ]
        .map(at)
        .to_vec(),
    })
}

fn phase_lines(score: &Score) -> Vec<PhaseLine> {
    score
        .phases
        .iter()
        .map(|phase| PhaseLine {
            name: phase.name.clone(),
            from_to_s: phase.from_s.zip(phase.to_s).map(|(from, to)| [from, to]),
            done: phase.done,
        })
        .collect()
}

fn line_ends(line: &SafetyLine) -> [[f64; 2]; 2] {
    let (sine, cosine) = libm::sincos(line.direction_rad);
    [-LINE_HALF_M, LINE_HALF_M].map(|along_m| {
        [
            line.north_m + along_m * cosine,
            line.east_m + along_m * sine,
        ]
    })
}

fn thrower_name(style: ThrowerStyle) -> &'static str {
    match style {
        ThrowerStyle::Exact => "exactly as the lesson says",
        ThrowerStyle::SteadyHelper => "a steady helper",
        ThrowerStyle::Solo => "the pilot",
        ThrowerStyle::NervousBeginner => "a nervous beginner",
    }
}
