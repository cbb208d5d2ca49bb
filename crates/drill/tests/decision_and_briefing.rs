//! A go that could have hurt somebody counts for nothing, saying no to everything
//! teaches nothing, and "stop" is never wrong.

use larkfield_drill::briefing::{BriefingDrill, Incident, Mistake, Word};
use larkfield_drill::decision::{Call, Day, GoNoGoDrill, Point, Verdict, drawn};
use larkfield_drill::script::{DecisionLine, briefing_line, decision_line};

/// All points looked at, then called.
fn decided(drill: &mut GoNoGoDrill, call: Call) -> Verdict {
    for point in Point::ALL {
        assert!(drill.look(point).is_some());
    }
    drill.call(call).expect("a day").verdict
}

/// Numbers in a text, in their order.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter_map(|word| word.trim_end_matches('.').parse().ok())
        .collect()
}

/// What is said about wind and trees can be measured against what is said to be
/// the limit: the card's own, gusts included; fifteen heights (common practice,
/// no source).
#[test]
fn what_there_is_to_see_says_what_speaks_against_a_day() {
    for seed in 0..200 {
        for against in [Vec::new(), vec![Point::Wind], vec![Point::Trees]] {
            let day = Day::with(against.clone(), seed, 3);
            let wind = numbers(&day.seen(Point::Wind));
            let [mean, gust, limit] = wind[..] else {
                panic!("{wind:?}");
            };
            assert!(mean < gust && mean < limit, "{wind:?}");
            assert_eq!(gust > limit, against.contains(&Point::Wind), "{wind:?}");
            let trees = numbers(&day.seen(Point::Trees));
            let [height, away] = trees[..] else {
                panic!("{trees:?}");
            };
            let near = away < 15.0 * height;
            assert_eq!(near, against.contains(&Point::Trees), "{trees:?}");
        }
    }
    // A text that serves both ways would not decide anything.
    for point in Point::ALL {
        for seed in 0..50 {
            let bad = Day::with(vec![point], seed, 0).seen(point);
            for other in 0..50 {
                assert_ne!(bad, Day::with(Vec::new(), other, 0).seen(point));
            }
        }
    }
}

#[test]
fn five_days_bring_good_and_bad_ones_and_every_point_comes_up() {
    for seed in 0..100 {
        for lap in 0..3 {
            let five = (5 * lap..5 * lap + 5).map(|round| drawn(seed, round));
            let against: Vec<usize> = five.map(|day| day.against().len()).collect();
            assert_eq!(
                against.iter().filter(|n| **n == 0).count(),
                2,
                "{against:?}"
            );
        }
        for point in Point::ALL {
            let comes_up = (0..10).any(|round| drawn(seed, round).against().contains(&point));
            assert!(comes_up, "{point:?} in ten days of seed {seed}");
        }
    }
}

#[test]
fn who_looks_and_sees_passes_and_nobody_else() {
    for seed in 0..50 {
        let days = || (0..5).map(|round| drawn(seed, round));
        let mut seeing = GoNoGoDrill::new(5, seed);
        for day in days() {
            let call = if day.against().is_empty() {
                Call::Go
            } else {
                Call::No(day.against().to_vec())
            };
            decided(&mut seeing, call);
        }
        let report = seeing.report();
        assert!(report.passed && report.points == 100.0, "{report:?}");

        let always = |call: Call| {
            let mut drill = GoNoGoDrill::new(5, seed);
            for _ in days() {
                decided(&mut drill, call.clone());
            }
            drill.report()
        };
        let report = always(Call::Go);
        assert!(report.points == 0.0 && report.dangerous == 3, "{report:?}");
        assert!(!always(Call::No(Point::ALL.to_vec())).passed);
        for point in Point::ALL {
            assert!(!always(Call::No(vec![point])).passed, "{point:?}");
        }
    }
}

#[test]
fn a_go_without_looking_is_luck_at_best() {
    for left_out in Point::ALL {
        let mut drill = GoNoGoDrill::with(vec![Day::with(Vec::new(), 1, 0)]);
        for point in Point::ALL.into_iter().filter(|point| *point != left_out) {
            drill.look(point);
        }
        let decided = drill.call(Call::Go).expect("a day");
        assert_eq!(decided.not_looked_at, [left_out]);
        assert_eq!(decided.verdict, Verdict::Lucky);
        assert!(!drill.report().passed);
    }
    // One reason is enough, however little else was looked at.
    let mut drill = GoNoGoDrill::with(vec![Day::with(vec![Point::People, Point::Sun], 1, 0)]);
    drill.look(Point::People);
    let decided = drill.call(Call::No(vec![Point::People])).expect("a day");
    assert_eq!((decided.verdict, decided.points), (Verdict::Stayed, 100.0));
    assert!(drill.over() && drill.look(Point::Wind).is_none());
    assert!(drill.call(Call::Go).is_none());
}

fn agreed(between: Vec<Option<(Incident, bool)>>) -> BriefingDrill {
    let mut drill = BriefingDrill::with(between);
    for word in Word::AGREED {
        drill.say(word);
    }
    drill
}

/// Who stops at everything that is seen, shuts the motor and begins anew.
fn careful(drill: &mut BriefingDrill) {
    for _ in 0..100 {
        let state = drill.state_in_words();
        let between = Incident::ALL.iter().any(|i| state.contains(i.in_words()));
        let word = match () {
            () if between => Word::Stop,
            () if state.contains("stand still") => Word::Shut,
            () if state.contains("the motor runs") => Word::Throw,
            () if state.contains("\"ready\"") => Word::Power,
            () => Word::Ready,
        };
        drill.say(word);
        if drill.over() {
            return;
        }
    }
    panic!("never thrown: {drill:?}");
}

#[test]
fn who_stops_at_what_comes_between_passes() {
    let every = Incident::ALL.into_iter();
    let every: Vec<_> = every
        .flat_map(|i| [Some((i, true)), Some((i, false)), None])
        .collect();
    let mut drill = agreed(every.clone());
    careful(&mut drill);
    let report = drill.report();
    assert!(report.passed && report.points == 100.0, "{report:?}");
    assert_eq!(report.stopped.len(), 2 * Incident::ALL.len());
    assert_eq!(report.thrown as usize, every.len());
    for seed in 0..100 {
        let mut drill = BriefingDrill::new(3, seed);
        for word in Word::AGREED {
            drill.say(word);
        }
        careful(&mut drill);
        assert!(drill.report().passed, "seed {seed}");
    }
}

#[test]
fn going_on_counts_for_nothing() {
    for incident in Incident::ALL {
        for (early, words, mistake) in [
            (true, &[Word::Ready, Word::Power][..], Mistake::WentOn),
            (
                false,
                &[Word::Ready, Word::Power, Word::Throw],
                Mistake::WentOn,
            ),
            (
                false,
                &[Word::Ready, Word::Power, Word::Stop, Word::Throw],
                Mistake::MotorLeftOn,
            ),
        ] {
            let mut drill = agreed(vec![Some((incident, early))]);
            for word in words {
                drill.say(*word);
            }
            careful(&mut drill);
            let report = drill.report();
            assert_eq!(report.mistakes, [mistake], "{incident:?}");
            assert!(report.points == 0.0 && !report.passed);
        }
    }
}

#[test]
fn power_comes_when_all_is_agreed_and_all_are_ready() {
    for left_out in Word::AGREED {
        let mut drill = BriefingDrill::with(vec![None]);
        for word in Word::AGREED.into_iter().filter(|word| *word != left_out) {
            drill.say(word);
        }
        careful(&mut drill);
        let report = drill.report();
        assert_eq!(report.left_out, [left_out]);
        assert_eq!(report.mistakes, [Mistake::PowerUnagreed]);
        assert!(!report.passed);
    }
    let mut drill = agreed(vec![None]);
    drill.say(Word::Power);
    drill.say(Word::Throw);
    assert_eq!(drill.report().mistakes, [Mistake::PowerUnasked]);
}

#[test]
fn a_stop_too_many_costs_nothing_and_a_drill_of_stops_is_not_passed() {
    let mut drill = agreed(vec![None]);
    for _ in 0..5 {
        drill.say(Word::Stop);
        drill.say(Word::Ready);
        drill.say(Word::Stop);
        drill.say(Word::Ready);
        drill.say(Word::Power);
        drill.say(Word::Stop);
        drill.say(Word::Shut);
    }
    let report = drill.report();
    assert!(report.mistakes.is_empty() && report.slips == 0 && !report.passed);
    careful(&mut drill);
    assert!(drill.report().passed && drill.report().points == 100.0);
}

#[test]
fn words_are_understood_or_explained() {
    assert_eq!(
        decision_line("no wind people wind"),
        Ok(DecisionLine::Call(Call::No(vec![
            Point::Wind,
            Point::People
        ])))
    );
    assert_eq!(decision_line(" sun "), Ok(DecisionLine::Look(Point::Sun)));
    assert_eq!(decision_line("go"), Ok(DecisionLine::Call(Call::Go)));
    for wrong in ["no", "no rain", "go now", "", "wind sun"] {
        let why = decision_line(wrong).expect_err("not a line").to_string();
        assert!(
            why.contains("no wind") || why.contains("wind, direction"),
            "{why}"
        );
    }
    for word in Word::ALL {
        assert_eq!(briefing_line(word.name()), Ok(word));
    }
    let why = briefing_line("go").expect_err("not a word").to_string();
    assert!(why.contains("stop"), "{why}");
}
