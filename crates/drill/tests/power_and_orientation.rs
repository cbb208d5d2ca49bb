//! What is dangerous counts for nothing, and the stick goes where geometry says.

use glam::DVec3;
use larkfield_drill::orientation::{Heading, OrientationDrill, Side, View, drawn, in_words, seen};
use larkfield_drill::power::{Act, Danger, Hidden, PowerDrill};

/// In an order that is safe (common practice, no source): surfaces first with
/// the propeller off; then what stops the motor; range; then the propeller with
/// the battery out; tied down; power.
const SAFE: [Act; 13] = [
    Act::PropellerOff,
    Act::TransmitterOn,
    Act::Connect,
    Act::Surfaces,
    Act::ThrottleCut,
    Act::FailSafe,
    Act::Range,
    Act::Disconnect,
    Act::PropellerOn,
    Act::Restrain,
    Act::Connect,
    Act::FullThrottle,
    Act::Fly,
];

fn done(hidden: Option<Hidden>, acts: &[Act]) -> PowerDrill {
    let mut drill = PowerDrill::with(hidden, 0.5);
    for act in acts {
        drill.act(*act);
    }
    drill
}

#[test]
fn a_safe_order_and_the_battery_out_first_pass() {
    let mut drill = done(None, &SAFE);
    assert!(!drill.over(), "it has to be made safe");
    drill.act(Act::Disconnect);
    let report = drill.report();
    assert!(drill.over() && report.passed, "{report:?}");
    assert_eq!(report.points, 100.0);
    // After landing anything else comes too early.
    for first in [Act::TransmitterOff, Act::PropellerOff, Act::Restrain] {
        let mut drill = done(None, &SAFE);
        drill.act(first);
        let report = drill.report();
        assert!(
            !report.passed && report.points == 0.0,
            "{first:?}: {report:?}"
        );
    }
}

#[test]
fn what_is_hidden_shows_where_it_should_and_keeps_the_plane_down() {
    for hidden in Hidden::ALL {
        let until = SAFE
            .iter()
            .position(|act| *act == hidden.shown_by())
            .expect("a check");
        let sound = done(None, &SAFE[..until]).act(hidden.shown_by());
        let mut drill = done(Some(hidden), &SAFE[..until]);
        let found = drill.act(hidden.shown_by());
        assert_ne!(sound.seen, found.seen, "{hidden:?} does not show");
        drill.act(Act::StayDown);
        drill.act(Act::Disconnect);
        assert!(drill.report().passed, "{hidden:?}: {:?}", drill.report());
        // Flown all the same.
        let flown = done(Some(hidden), &SAFE);
        assert!(flown.report().dangers.contains(&Danger::FlewUnchecked));
        assert_eq!(flown.report().points, 0.0);
    }
    // Kept down without a reason, or for a reason that was only guessed.
    let mut timid = done(None, &SAFE[..12]);
    timid.act(Act::StayDown);
    timid.act(Act::Disconnect);
    assert!(!timid.report().passed);
    let mut guess = PowerDrill::with(Some(Hidden::BatterySags), 0.5);
    guess.act(Act::StayDown);
    assert!(guess.over() && !guess.report().passed);
}

#[test]
fn whoever_could_be_hurt_gets_nothing() {
    let cases: [(&[Act], Danger); 5] = [
        (
            &[Act::TransmitterOn, Act::Connect],
            Danger::ConnectedWithPropeller,
        ),
        (
            &[Act::PropellerOff, Act::Connect],
            Danger::ConnectedWithoutRadio,
        ),
        (
            &[
                Act::PropellerOff,
                Act::TransmitterOn,
                Act::Connect,
                Act::PropellerOn,
            ],
            Danger::HandsAtPropeller,
        ),
        (
            &[Act::TransmitterOn, Act::Connect, Act::FullThrottle],
            Danger::RanFree,
        ),
        (
            &[
                Act::PropellerOff,
                Act::TransmitterOn,
                Act::Connect,
                Act::TransmitterOff,
            ],
            Danger::LeftAlone,
        ),
    ];
    for (acts, danger) in cases {
        let report = done(None, acts).report();
        assert!(report.dangers.contains(&danger), "{danger:?}: {report:?}");
        assert_eq!(report.points, 0.0);
    }
    // Each check left out of a safe order is a flight with something unknown.
    for check in [
        Act::Surfaces,
        Act::ThrottleCut,
        Act::FailSafe,
        Act::Range,
        Act::FullThrottle,
    ] {
        let acts: Vec<Act> = SAFE.into_iter().filter(|act| *act != check).collect();
        let report = done(None, &acts).report();
        assert!(report.dangers.contains(&Danger::FlewUnchecked), "{check:?}");
    }
    // Doing nothing, and leaving half-way.
    assert!(!PowerDrill::new(1).report().passed);
    assert!(!done(None, &SAFE[..8]).report().passed);
}

/// Wing tips of a plane, in spans.
const LEFT_TIP: DVec3 = DVec3::new(0.0, -0.5, 0.0);
const RIGHT_TIP: DVec3 = DVec3::new(0.0, 0.5, 0.0);

#[test]
fn the_stick_goes_to_the_low_wing_when_it_comes_and_to_the_high_one_when_it_goes() {
    for low in [Side::Left, Side::Right] {
        for heading in Heading::ALL {
            let view = View {
                heading,
                low,
                bank_rad: 0.6,
            };
            let [left, right] = [LEFT_TIP, RIGHT_TIP].map(|tip| seen(&view, tip));
            let (low_tip, high_tip) = match low {
                Side::Left => (left, right),
                Side::Right => (right, left),
            };
            assert!(low_tip.y < high_tip.y, "{view:?}: the low wing is not low");
            // The side of the picture on which the low wing is.
            let aside = low_tip.x - high_tip.x;
            if aside.abs() < 0.2 {
                continue;
            }
            let seen_right = aside > 0.0;
            let stick_right = view.stick() == Side::Right;
            let toward = matches!(
                heading,
                Heading::Toward | Heading::TowardLeft | Heading::TowardRight
            );
            assert_eq!(stick_right == seen_right, toward, "{view:?}");
        }
    }
}

#[test]
fn the_picture_shows_nose_or_tail_first() {
    // The letter of the nose is there when it comes toward you, and hidden by
    // nothing; going away the fin stands in front.
    let text = |heading| {
        in_words(&View {
            heading,
            low: Side::Left,
            bank_rad: 0.5,
        })
    };
    assert!(text(Heading::Toward).contains('O'));
    assert_ne!(text(Heading::Toward), text(Heading::Away));
    let mirrored = View {
        heading: Heading::Toward,
        low: Side::Right,
        bank_rad: 0.5,
    };
    assert_ne!(text(Heading::Toward), in_words(&mirrored));
}

#[test]
fn every_heading_comes_up_and_the_same_answer_fails() {
    for seed in 0..50 {
        let mut headings: Vec<Heading> = (0..8).map(|n| drawn(seed, n).heading).collect();
        headings.sort();
        assert_eq!(headings, Heading::ALL);
        for answer in [Some(Side::Left), Some(Side::Right), None] {
            let mut drill = OrientationDrill::new(16, seed);
            while drill.view().is_some() {
                drill.answer(answer, 0.3);
            }
            assert!(!drill.report().passed, "always {answer:?}, seed {seed}");
        }
    }
}

#[test]
fn quick_and_right_is_worth_all_and_late_is_worth_nothing() {
    let flown = |reaction_s: f64| {
        let mut drill = OrientationDrill::new(16, 7);
        while let Some(view) = drill.view() {
            drill.answer(Some(view.stick()), reaction_s);
        }
        drill.report()
    };
    assert_eq!((flown(0.5).points, flown(0.5).wrong), (100.0, 0));
    assert_eq!(flown(2.5).points, 70.0);
    assert_eq!((flown(6.0).points, flown(6.0).wrong), (0.0, 16));
    assert_eq!(flown(f64::NAN).points, 0.0);
    assert_eq!(flown(0.5).headings.len(), 8);
}
