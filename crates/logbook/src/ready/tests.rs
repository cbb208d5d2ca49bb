use super::*;
use crate::entry::FlownAt;
use crate::store::sample::entry;

/// A flight on a day of May in a wind of its own.
fn on(day: u32, seed: u64, safe: bool) -> Entry {
    Entry {
        flown_at: FlownAt::parse(&format!("2026-05-{day:02}T10:00:00+02:00"))
            .unwrap_or_else(|e| panic!("{e}")),
        seed,
        goal_reached: safe,
        damage: if safe {
            vec![]
        } else {
            vec!["wing".to_owned()]
        },
        ..entry(seed)
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

/// First attempts of ten days in ten winds count in full.
#[test]
fn ten_days_with_eight_safe_are_between_48_and_94_percent() {
    let flights: Vec<Entry> = (1..=10)
        .map(|day| on(day, u64::from(day), day > 2))
        .collect();
    let found = ready(&flights, |_| true);
    assert_eq!((found.attempts, found.safe, found.days), (10, 8, 10));
    assert!(near(found.counted, 10.0) && near(found.counted_safe, 8.0));
    assert_eq!(found.verdict, Verdict::PractiseOn);
    assert_eq!(
        crate::rate_in_words(&found),
        "8 of 10 safe: between 48 and 94 %; practise on"
    );
}

/// By hand: 1 + 1/2 + ... + 1/10 = 7381/2520.
#[test]
fn ten_in_a_row_count_for_less_than_three_days() {
    let flights: Vec<Entry> = (1..=10).map(|seed| on(1, seed, true)).collect();
    let found = ready(&flights, |_| true);
    assert!(near(found.counted, 7381.0 / 2520.0));
    assert_eq!(found.verdict, Verdict::PractiseOn);
    let days: Vec<Entry> = (1..=3).map(|day| on(day, u64::from(day), true)).collect();
    assert!(ready(&days, |_| true).rate.low > found.rate.low);
}

#[test]
fn a_wind_that_was_flown_counts_half_even_in_another_lesson() {
    let other = Entry {
        lesson: "Other".to_owned(),
        ..on(1, 5, true)
    };
    let flights = [other, on(2, 5, true), on(3, 6, true)];
    let found = ready(&flights, |flight| flight.lesson != "Other");
    assert!(near(found.counted, 1.5), "{}", found.counted);
}

/// By hand: with n safe of n the low end is the (n + 1)-th root of 0.025; it
/// passes 0.8 between n = 15 (0.7941) and n = 16 (0.8049).
#[test]
fn sixteen_safe_first_attempts_are_enough_and_fifteen_are_not() {
    let flights: Vec<Entry> = (1..=16).map(|day| on(day, u64::from(day), true)).collect();
    assert_eq!(ready(&flights[..15], |_| true).verdict, Verdict::PractiseOn);
    let found = ready(&flights, |_| true);
    assert_eq!(found.verdict, Verdict::NoReasonToWait);
    assert!(!crate::rate_in_words(&found).contains("safe to fly"));
}

#[test]
fn an_attempt_that_reached_nothing_is_not_safe() {
    let idle = Entry {
        goal_reached: false,
        damage: vec![],
        ..on(1, 1, true)
    };
    assert_eq!(ready(&[idle], |_| true).safe, 0);
    let danger = Entry {
        danger: "a person".to_owned(),
        ..on(1, 1, true)
    };
    assert_eq!(ready(&[danger], |_| true).safe, 0);
}

#[test]
fn a_changed_plane_begins_anew() {
    let before = Entry {
        airframe_sha256: "0".repeat(64),
        ..on(1, 1, true)
    };
    let rolled = Entry {
        thrown: false,
        ..on(4, 4, true)
    };
    let found = launches(&[before, on(2, 2, true), on(3, 3, true), rolled]);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].ready.attempts, found[0].of_earlier_files), (2, 1));
}

#[test]
fn nothing_flown_says_so() {
    assert_eq!(
        crate::rate_in_words(&ready(&[], |_| true)),
        "none flown; practise on"
    );
    assert!(launches(&[]).is_empty());
}
