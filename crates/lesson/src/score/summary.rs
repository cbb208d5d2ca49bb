//! The first and the last sentences of a debrief.

use super::flown::Flight;

/// Sentences of advice at most.
const NEXT_STEPS: usize = 3;
/// A line that lost less than this needs no step of its own.
const WORTH_POINTS: f64 = 1.0;

/// What happened, in one sentence.
pub(super) fn headline(flight: &Flight, total: f64, zeroed_by: Option<&str>) -> String {
    if let Some(reason) = zeroed_by {
        return format!("No points: {reason}.");
    }
    if flight.released_s.is_none() {
        return "The plane was never let go.".to_owned();
    }
    let broken = flight.broken_parts();
    let state = if broken.is_empty() {
        "undamaged".to_owned()
    } else {
        format!("with broken parts ({})", broken.join(", "))
    };
    let outcome = if flight.goal_reached() {
        format!("Lesson completed {state} after {:.1} s", flight.flown_s())
    } else {
        format!(
            "Flown for {:.1} s to a height of {:.1} m, {state}",
            flight.flown_s(),
            flight.highest_m()
        )
    };
    format!("{outcome}: {total:.0} of 100 points.")
}

/// What to do next: the advice of the lines that lost most.
pub(super) fn next(mut losses: Vec<(f64, String)>, total: f64, endangered: bool) -> Vec<String> {
    let mut steps = Vec::new();
    if endangered {
        steps.push(
            "Before anything else: throw away from people and from the line, and turn back only \
             high up and on the flying side."
                .to_owned(),
        );
    }
    losses.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (lost, advice) in losses {
        if steps.len() < NEXT_STEPS && lost >= WORTH_POINTS && !steps.contains(&advice) {
            steps.push(advice);
        }
    }
    if steps.is_empty() || total >= 90.0 && !endangered {
        steps.push(
            "Fly it once more on another day; when that goes as well, take the next step of the \
             course (`larkfield lessons`)."
                .to_owned(),
        );
    }
    steps
}
