//! What is made of many flights, flown here or joined: rows, page, words, JSON.

use std::fmt::Write;
use std::path::Path;

use larkfield_debrief::summary::{Cause, Share, Spread, Z_95, median, spread};
use larkfield_debrief::{
    FirstStall, LandingArea, RepeatInput, RunFolder, RunSummary, TouchDown, summary_csv,
    summary_page,
};
use larkfield_lesson::{Goal, Lesson, TouchArea, outcome};
use larkfield_rehearsal::{Failure, Flown, Inputs, assumed, json};
use serde::Serialize;

use crate::terminal::{bold, say};

/// Name of the table.
pub const TABLE: &str = "flights.csv";
/// Name of the page.
const PAGE: &str = "summary.html";

/// The row of one flight.
pub fn row_of(inputs: &Inputs, seed: u64, flown: &Flown) -> RunSummary {
    let score = &flown.score;
    let happened = outcome(
        &inputs.lesson,
        &inputs.field,
        &flown.recording,
        &flown.conditions,
    );
    RunSummary {
        seed,
        score: score.total,
        passed: score.passed,
        completed: score.goal_reached,
        zeroed_by: score.zeroed_by.clone(),
        phases_done_s: happened.phases_done_s,
        released_s: happened.released_s.unwrap_or(f64::NAN),
        lowest_height_m: happened.lowest_in_first_m.unwrap_or(f64::NAN),
        flying_after_3_s: happened.flying_after_first,
        highest_height_m: score.highest_m,
        first_stall: happened
            .first_stall
            .map(|(time_s, height_m)| FirstStall { time_s, height_m }),
        touch: happened.touch.map(|touch| TouchDown {
            time_s: touch.time_s,
            along_m: touch.along_m,
            right_m: touch.right_m,
            in_area: touch.in_area,
            sink_m_s: touch.sink_m_s,
            ground_speed_m_s: touch.ground_speed_m_s,
            drift_m_s: touch.drift_m_s,
            bank_deg: touch.bank_deg,
            heading_error_deg: touch.heading_error_deg,
            throttle_fraction: touch.throttle_fraction,
            part: touch.part,
        }),
        broken_parts: score.broken_parts.clone(),
        airborne_s: score.flown_s,
        failed: happened.failed,
        ended_by: happened.ended_by,
        headline: score.headline.clone(),
    }
}

/// Everything that the page says, from the inputs and the rows alone.
pub fn page_of(inputs: &Inputs, runs: Vec<RunSummary>) -> RepeatInput {
    RepeatInput {
        plane_name: inputs.model.airframe().name.clone(),
        lesson_name: inputs.lesson.name.clone(),
        phases: phases_of(&inputs.lesson),
        landing: landing_area(inputs),
        pilot_name: inputs.pilot_name().into_owned(),
        wind_summary: inputs.wind.description.clone(),
        again_command: "larkfield rehearse --again . --seed {seed}".to_owned(),
        assumed: assumed(inputs.model.airframe()),
        runs,
    }
}

/// Names of the phases of a lesson.
pub fn phases_of(lesson: &Lesson) -> Vec<String> {
    lesson
        .phases
        .iter()
        .map(|phase| phase.name.clone())
        .collect()
}

fn landing_area(inputs: &Inputs) -> Option<LandingArea> {
    let phases = inputs.lesson.phases.iter().enumerate();
    let (phase, area) = phases
        .filter_map(|(index, phase)| match phase.goal {
            Goal::Touch { area, .. } => Some((index, area)),
            _ => None,
        })
        .next()?;
    let (name, length_m, width_m) = match &inputs.lesson.landing {
        Some(landing) => ("the box", landing.box_length_m, landing.box_width_m),
        None => {
            let strip = &inputs.field.strip;
            ("the strip", strip.length_m, strip.width_m)
        }
    };
    Some(LandingArea {
        name: name.to_owned(),
        required: area == TouchArea::Box,
        length_m,
        width_m,
        phase,
    })
}

/// Writes table and page, completes the folder, and says what came out.
///
/// # Errors
/// When the disk or the output refuses.
pub fn finish(mut folder: RunFolder, input: &RepeatInput, as_json: bool) -> Result<(), Failure> {
    folder.add_with(TABLE, |mut out| summary_csv(&mut out, input))?;
    folder.add(PAGE, summary_page(input).as_bytes())?;
    let path = folder.finish()?;
    if as_json {
        say(&json(&Report::of(input, &path))?)?;
    } else {
        say(&in_words(input, &path))?;
    }
    Ok(())
}

fn in_words(input: &RepeatInput, path: &Path) -> String {
    let good = input.share(RunSummary::good);
    let [low, high] = good.interval(Z_95);
    let mut out = bold(&format!(
        "{} of {} flights completed every phase undamaged.",
        good.hits, good.of
    ));
    // Writing to a text cannot fail.
    let _ = write!(
        out,
        "\nIn the long run that is {:.1} to {:.1} % (95 % interval). Half of all flights scored \
         {:.0} points or more.\n",
        100.0 * low,
        100.0 * high,
        median(input.runs.iter().map(|run| run.score)),
    );
    for Cause { words, seeds } in input.causes().iter().take(3) {
        let first = seeds.first().copied().unwrap_or_default();
        let _ = writeln!(out, "  {:>4} x {words} (seed {first})", seeds.len());
    }
    let _ = writeln!(out, "\nSummary: {}", path.join(PAGE).display());
    out
}

/// A share for programs.
#[derive(Serialize)]
struct Known {
    flights: u64,
    of: u64,
    /// Ends of the 95 % interval of Wilson.
    share_low: f64,
    share_high: f64,
}

impl From<Share> for Known {
    fn from(share: Share) -> Self {
        let [share_low, share_high] = share.interval(Z_95);
        Self {
            flights: share.hits,
            of: share.of,
            share_low,
            share_high,
        }
    }
}

/// A measured value for programs.
#[derive(Serialize)]
struct Values {
    known: usize,
    tenth_below: f64,
    half_below: f64,
    nine_tenths_below: f64,
    largest: f64,
}

impl From<Spread> for Values {
    fn from(spread: Spread) -> Self {
        Self {
            known: spread.count,
            tenth_below: spread.p10,
            half_below: spread.median,
            nine_tenths_below: spread.p90,
            largest: spread.most,
        }
    }
}

/// Touches of planes that had come as far as landing.
#[derive(Serialize)]
struct Touches {
    flights: usize,
    inside: usize,
    sink_m_s: Values,
    ground_speed_m_s: Values,
    drift_size_m_s: Values,
    bank_size_deg: Values,
    heading_error_size_deg: Values,
    throttle_fraction: Values,
    along_m: Values,
    right_m: Values,
}

#[derive(Serialize)]
struct PhaseReport {
    name: String,
    done: u64,
    ended_here: u64,
}

#[derive(Serialize)]
struct CauseReport {
    what: String,
    flights: usize,
    seeds: Vec<u64>,
}

/// What `--json` prints for many flights.
#[derive(Serialize)]
struct Report<'a> {
    run_folder: String,
    plane: &'a str,
    lesson: &'a str,
    pilot: &'a str,
    wind: &'a str,
    first_seed: u64,
    flights: usize,
    completed_undamaged: Known,
    passed: Known,
    completed: Known,
    undamaged: Known,
    endangered_somebody: Known,
    flying_after_3_s: Known,
    mean_score_points: f64,
    median_score_points: f64,
    phases: Vec<PhaseReport>,
    causes: Vec<CauseReport>,
    touches: Option<Touches>,
}

impl<'a> Report<'a> {
    fn of(input: &'a RepeatInput, path: &Path) -> Self {
        let scores = || input.runs.iter().map(|run| run.score);
        Self {
            run_folder: path.display().to_string(),
            plane: &input.plane_name,
            lesson: &input.lesson_name,
            pilot: &input.pilot_name,
            wind: &input.wind_summary,
            first_seed: input.runs.first().map_or(0, |run| run.seed),
            flights: input.runs.len(),
            completed_undamaged: input.share(RunSummary::good).into(),
            passed: input.share(|run| run.passed).into(),
            completed: input.share(|run| run.completed).into(),
            undamaged: input.share(RunSummary::undamaged).into(),
            endangered_somebody: input.share(|run| run.zeroed_by.is_some()).into(),
            flying_after_3_s: input.share(|run| run.flying_after_3_s == Some(true)).into(),
            mean_score_points: scores().sum::<f64>() / input.runs.len() as f64,
            median_score_points: median(scores()),
            phases: input
                .funnel()
                .into_iter()
                .map(|step| PhaseReport {
                    name: step.phase,
                    done: step.done.hits,
                    ended_here: step.ended_here,
                })
                .collect(),
            causes: input
                .causes()
                .into_iter()
                .map(|cause| CauseReport {
                    what: cause.words,
                    flights: cause.seeds.len(),
                    seeds: cause.seeds,
                })
                .collect(),
            touches: touches(input),
        }
    }
}

fn touches(input: &RepeatInput) -> Option<Touches> {
    let landings = input.landings();
    let of = |value: fn(&TouchDown) -> f64| -> Values {
        spread(landings.iter().map(|(_, touch)| value(touch))).into()
    };
    (!landings.is_empty()).then(|| Touches {
        flights: landings.len(),
        inside: landings.iter().filter(|(_, touch)| touch.in_area).count(),
        sink_m_s: of(|touch| touch.sink_m_s),
        ground_speed_m_s: of(|touch| touch.ground_speed_m_s),
        drift_size_m_s: of(|touch| touch.drift_m_s.abs()),
        bank_size_deg: of(|touch| touch.bank_deg.abs()),
        heading_error_size_deg: of(|touch| touch.heading_error_deg.abs()),
        throttle_fraction: of(|touch| touch.throttle_fraction),
        along_m: of(|touch| touch.along_m),
        right_m: of(|touch| touch.right_m),
    })
}
