//! The length of a tick is a matter of cost, not of flying.
//!
//! Two questions. Do the same sticks at half the tick fly the same flight? The
//! pilot flies each shipped lesson from the throw to the touch, and what the hands
//! did is played back at half the tick, in legs of five seconds of which each
//! begins where the lesson was. And does the lesson as a whole come out the same
//! when the pilot flies it anew? Where it does not, flights at the ordinary tick,
//! begun a little aside, tell whether that is the tick's doing. What the tick does to
//! a lesson on average over many days is on the page `crates/rehearsal/TICK.md`.
#![allow(missing_docs)]

#[path = "support/at_tick.rs"]
mod at_tick;
#[path = "support/each.rs"]
mod each;
#[path = "support/legs.rs"]
mod legs;

use std::path::Path;

use at_tick::{NUDGE_M, Outline, Run, lessons};
use each::each;
use larkfield_proof::{Chapter, Checks};
use larkfield_rehearsal::{Inputs, Request};
use larkfield_world::TICK_S;
use legs::Legs;

/// Seeds flown of each lesson: throw and wind of three days.
const SEEDS: [u64; 3] = [1, 2, 3];
/// Far less than any tick changes.
const HAIR_M: f64 = 1e-6;
/// What everything may change by.
const SHARE: f64 = 0.01;

/// A lesson on one day, as flown.
struct Flown {
    name: String,
    /// The same sticks at half the tick.
    legs: Legs,
    /// By its pilot.
    whole: Outline,
    /// The same at half the tick.
    half: Outline,
    /// The same from a place beside, and from one a hair's breadth beside.
    beside: [Outline; 2],
}

impl Flown {
    fn of(path: &Path, seed: u64) -> Self {
        let inputs = Inputs::resolve(&Request {
            lesson: Some(path.to_owned()),
            unlocked: true,
            ..Request::default()
        })
        .unwrap_or_else(|failure| panic!("{:#}", failure.error));
        let half = Run {
            tick_s: 0.5 * TICK_S,
            ..Run::WHOLE
        };
        let beside = |aside_m| Run {
            aside_m,
            ..Run::WHOLE
        };
        let stem = path.file_stem().unwrap_or_default().to_string_lossy();
        Self {
            name: format!("{stem}, seed {seed}"),
            legs: Legs::fly(&inputs, seed),
            whole: Run::WHOLE.fly(&inputs, seed),
            half: half.fly(&inputs, seed),
            beside: [NUDGE_M, HAIR_M].map(|aside_m| beside(aside_m).fly(&inputs, seed)),
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

fn change([whole, half]: [f64; 2]) -> f64 {
    (half / whole - 1.0).abs()
}

/// Which of apex, end and largest angle of attack are within one per cent.
fn within(one: &Outline, other: &Outline) -> [bool; 3] {
    let apart_m = if one.touched == other.touched {
        f64::hypot(one.end_m[0] - other.end_m[0], one.end_m[1] - other.end_m[1])
    } else {
        f64::NAN
    };
    [
        change([one.apex_m, other.apex_m]) <= SHARE,
        apart_m <= SHARE * one.way_m,
        change([one.alpha_rad, other.alpha_rad]) <= SHARE,
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
    same_sticks(&mut checks, &flown);
    anew(&mut checks, &flown);
    checks.finish();
}

/// From the throw, or from standing, to the touch.
fn same_sticks(checks: &mut Checks, flown: &[Flown]) {
    for Flown { name, legs, .. } in flown {
        let name = format!("{name}, same sticks");
        let [apex_m, apex_half_m] = legs.apex_m;
        checks.share(&format!("{name}: apex, m"), apex_half_m, apex_m, SHARE);
        let what = format!("{name}: apart after 5 s at worst, % of the way");
        checks.near(&what, 100.0 * legs.apart, 0.0, 100.0 * SHARE);
        if let Some(apart) = legs.touch_apart {
            let what = format!("{name}: apart where they touch, % of the way in 5 s");
            checks.near(&what, 100.0 * apart, 0.0, 100.0 * SHARE);
        }
        let [alpha_deg, half_deg] = legs.alpha_rad.map(f64::to_degrees);
        let what = format!("{name}: largest angle of attack, deg");
        checks.share(&what, half_deg, alpha_deg, SHARE);
    }
}

/// The pilot flies the lesson anew. Amplified by a minute of decisions, any small
/// difference makes another flight: the tick's as well as a hair's breadth.
fn anew(checks: &mut Checks, flown: &[Flown]) {
    let count = |other: fn(&Flown) -> &Outline, which: usize| {
        let same = |one: &&Flown| within(&one.whole, other(one))[which];
        flown.iter().filter(same).count()
    };
    let all = flown.len();
    for (which, what) in ["apex", "touch-down point", "largest angle of attack"]
        .into_iter()
        .enumerate()
    {
        let by_tick = count(|f| &f.half, which);
        let by_nudge = count(|f| &f.beside[0], which);
        let by_hair = count(|f| &f.beside[1], which);
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
                 the same tick, begun {:.0} mm to the side, {by_nudge} of {all} stay within 1 %, \
                 and begun a thousandth of a millimetre to the side {by_hair}. With the same sticks \
                 the tick changes next to nothing; for the mean of 200 days see \
                 crates/rehearsal/TICK.md.",
                NUDGE_M * 1e3
            ),
        );
    }
}
