//! The length of a tick is a matter of cost, not of flying.
//!
//! Two questions. Do the same sticks at half the tick fly the same flight? The
//! pilot flies each shipped lesson, and what the hands did is played back at half
//! the tick: for [`SAME_STICKS_S`], because with nobody to answer the spiral
//! doubles any difference every few seconds. And does the lesson as a whole come
//! out the same when the pilot flies it anew? Where it does not, a third flight
//! tells whether that is the tick's doing: at the ordinary tick, begun two
//! centimetres elsewhere. What the tick does to a lesson on average over many days
//! is on the page `crates/rehearsal/TICK.md`.
#![allow(missing_docs)]

#[path = "support/at_tick.rs"]
mod at_tick;
#[path = "support/each.rs"]
mod each;

use std::path::Path;

use at_tick::{NUDGE_M, Outline, Run, lessons};
use each::each;
use larkfield_proof::{Chapter, Checks};
use larkfield_rehearsal::{Inputs, Request};
use larkfield_world::TICK_S;

/// Seeds flown of each lesson: throw and wind of three days.
const SEEDS: [u64; 3] = [1, 2, 3];

/// How long the same sticks are to give the same flight.
const SAME_STICKS_S: f64 = 5.0;
/// A lesson on one day, as flown.
struct Flown {
    name: String,
    /// By its pilot.
    whole: Outline,
    /// The same at half the tick.
    half: Outline,
    /// The same from a place beside.
    beside: Outline,
    /// The first seconds, and the same with the same sticks at half the tick.
    first: [Outline; 2],
}

impl Flown {
    fn of(path: &Path, seed: u64) -> Self {
        let inputs = Inputs::resolve(&Request {
            lesson: Some(path.to_owned()),
            unlocked: true,
            ..Request::default()
        })
        .unwrap_or_else(|failure| panic!("{:#}", failure.error));
        let (whole, sticks) = Run::WHOLE.fly(&inputs, seed);
        let played = |tick_s| {
            let run = Run {
                sticks: Some(&sticks),
                free_s: SAME_STICKS_S,
                tick_s,
                ..Run::WHOLE
            };
            run.fly(&inputs, seed).0
        };
        let half = Run {
            tick_s: 0.5 * TICK_S,
            ..Run::WHOLE
        };
        let beside = Run {
            aside_m: NUDGE_M,
            ..Run::WHOLE
        };
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        Self {
            name: format!("{stem}, seed {seed}"),
            whole,
            half: half.fly(&inputs, seed).0,
            beside: beside.fly(&inputs, seed).0,
            first: [TICK_S, 0.5 * TICK_S].map(played),
        }
    }
}

/// Every lesson on every day, on all processors.
fn all_flown() -> Vec<Flown> {
    let mut days = Vec::new();
    for path in lessons() {
        days.extend(SEEDS.map(|seed| (path.clone(), seed)));
    }
    each(&days, |_, (path, seed)| Some(Flown::of(path, *seed)))
}

fn apart_m(one: &Outline, other: &Outline) -> f64 {
    if one.touched != other.touched {
        return f64::NAN;
    }
    f64::hypot(one.end_m[0] - other.end_m[0], one.end_m[1] - other.end_m[1])
}

/// Which of apex, end and largest angle of attack are within one per cent.
fn within(one: &Outline, other: &Outline) -> [bool; 3] {
    let near = |a: f64, b: f64| (a - b).abs() <= 0.01 * a.abs();
    [
        near(one.apex_m, other.apex_m),
        apart_m(one, other) <= 0.01 * one.way_m,
        near(one.alpha_rad, other.alpha_rad),
    ]
}

#[test]
fn lessons_at_half_the_tick_are_the_same_lessons() {
    let mut checks = Checks::new(
        Chapter::RigidBody,
        "Shipped lessons at half the tick",
        "convergence: the limit of 1 % is this project's own requirement, no outside data",
    );
    let flown = all_flown();
    let named = |start: &'static str| move |one: &&Flown| one.name.starts_with(start);
    let (off_wheels, from_hands): (Vec<_>, Vec<_>) =
        (flown.iter()).partition(named("rise_off_ground"));
    let (in_gusts, in_the_air): (Vec<_>, Vec<_>) =
        (from_hands.into_iter()).partition(named("gusty_day"));
    for Flown { name, first, .. } in &flown {
        let [whole, half] = first;
        let name = format!("{name}, same sticks");
        checks.share(&format!("{name}: apex, m"), half.apex_m, whole.apex_m, 0.01);
        let what = format!("{name}: apart at the end, m");
        checks.near(&what, apart_m(whole, half), 0.0, 0.01 * whole.way_m);
    }
    for Flown { name, first, .. } in in_the_air {
        let [whole, half] = first.map(|outline| outline.alpha_rad.to_degrees());
        let what = format!("{name}, same sticks: largest angle of attack, deg");
        checks.share(&what, half, whole, 0.01);
    }
    let change = |one: &&Flown| {
        let [whole, half] = one.first.map(|outline| outline.alpha_rad);
        100.0 * (half / whole - 1.0).abs()
    };
    checks.known_miss(
        "off wheels, same sticks: worst change of the largest angle of attack, %",
        off_wheels.iter().map(change).fold(0.0, f64::max),
        0.0,
        1.0,
        "Before it flies, this one has run over rough ground, where wheels leave and touch between \
         ticks. What that shifts comes to a few hundredths of a degree out of two.",
    );
    checks.known_miss(
        "in gusts, same sticks: worst change of the largest angle of attack, %",
        in_gusts.iter().map(change).fold(0.0, f64::max),
        0.0,
        1.0,
        "In rough air a plane that has got a few millimetres elsewhere meets other gusts.",
    );
    in_whole(&mut checks, &flown);
    checks.finish();
}

/// The pilot flies the lesson anew. Amplified by a minute of decisions, any small
/// difference makes another flight: the tick's as well as a nudge's.
fn in_whole(checks: &mut Checks, flown: &[Flown]) {
    let count = |other: fn(&Flown) -> &Outline, which: usize| {
        let same = |one: &&Flown| within(&one.whole, other(one))[which];
        flown.iter().filter(same).count()
    };
    let all = flown.len();
    let apex = count(|f| &f.half, 0) as f64;
    checks.near(
        &format!("flown anew: apex within 1 % in so many of {all}"),
        apex,
        all as f64,
        0.5,
    );
    for (which, what) in [(1, "touch-down point"), (2, "largest angle of attack")] {
        let (by_tick, by_nudge) = (count(|f| &f.half, which), count(|f| &f.beside, which));
        // Two counts of the same chance differ by this much one time in twenty or
        // less (normal limit of the binomial distribution, both at a half).
        let by_chance = 1.96 * (0.5 * all as f64).sqrt();
        checks.near(
            &format!("flown anew: {what} the same in so many of {all}, as after a nudge"),
            by_tick as f64,
            by_nudge as f64,
            by_chance,
        );
        checks.known_miss(
            &format!("flown anew: {what} within 1 % in so many of {all}"),
            by_tick as f64,
            all as f64,
            0.5,
            &format!(
                "A pilot who looks and answers makes a new flight of any small difference. At \
                 the same tick, begun {:.0} mm to the side, {by_nudge} of {all} stay within 1 %. \
                 With the same sticks the tick changes nothing by so much; for the mean of 200 \
                 days see crates/rehearsal/TICK.md.",
                NUDGE_M * 1e3
            ),
        );
    }
}
