//! Shares, their intervals, and the table of many flights.

use larkfield_debrief::summary::{
    Cause, FirstStall, LandingArea, RepeatInput, RunSummary, Share, TouchDown, Z_95, median,
    quantile, summary_columns,
};
use larkfield_debrief::{read_summary_csv, summary_csv, summary_page};

mod made_up;

#[test]
fn wilson_intervals_agree_with_published_ones() {
    // R. G. Newcombe, "Two-sided confidence intervals for the single
    // proportion", Statistics in Medicine 17 (1998) 857, table I, method 3
    // (score, no continuity correction); digits from memory.
    let published = [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ];
    for (hits, of, low, high) in published {
        let interval = Share { hits, of }.interval(Z_95);
        assert!(
            (interval[0] - low).abs() <= 5e-5,
            "{hits}/{of}: {interval:?}"
        );
        assert!(
            (interval[1] - high).abs() <= 5e-5,
            "{hits}/{of}: {interval:?}"
        );
    }
}

#[test]
fn wilson_ends_lie_z_deviations_from_the_share() {
    // The definition: |share - p| = z sqrt(p (1 - p) / n) at both ends.
    for of in [1u64, 2, 7, 30, 200, 10_000] {
        for hits in [0, 1, of / 3, of / 2, of - 1, of] {
            let share = Share { hits, of };
            let [low, high] = share.interval(Z_95);
            assert!(0.0 <= low && low <= share.value() && share.value() <= high && high <= 1.0);
            for p in [low, high] {
                if p > 0.0 && p < 1.0 {
                    let away = (share.value() - p).abs();
                    let expected = Z_95 * (p * (1.0 - p) / of as f64).sqrt();
                    assert!(
                        (away - expected).abs() < 1e-12,
                        "{hits}/{of}: {away} {expected}"
                    );
                }
            }
        }
    }
    assert_eq!(Share { hits: 0, of: 0 }.interval(Z_95), [0.0, 1.0]);
}

#[test]
fn medians() {
    assert_eq!(median([3.0, 1.0, 2.0].into_iter()), 2.0);
    assert_eq!(median([4.0, 1.0, f64::NAN, 2.0, 3.0].into_iter()), 2.5);
    assert!(median(std::iter::empty()).is_nan());
}

#[test]
fn quantiles_lie_on_straight_lines_between_ranks() {
    // Definition 7 of Hyndman and Fan: of 1 to 5, the share p is at 1 + 4 p.
    let values = [1.0, 2.0, 3.0, 4.0, 5.0];
    for (share, expected) in [(0.0, 1.0), (0.1, 1.4), (0.5, 3.0), (0.9, 4.6), (1.0, 5.0)] {
        let found = quantile(&values, share);
        assert!((found - expected).abs() < 1e-12, "{share}: {found}");
    }
    assert!(quantile(&[], 0.5).is_nan());
}

/// A flight of a lesson with three phases; the last one touches.
fn run(seed: u64, score: f64) -> RunSummary {
    let done = |from: f64| (score > from).then_some(from);
    RunSummary {
        seed,
        score,
        completed: score > 60.0,
        phases_done_s: vec![done(10.0), done(40.0), done(60.0)],
        broken_parts: if score > 50.0 {
            Vec::new()
        } else {
            vec!["propeller".to_owned()]
        },
        lowest_height_m: score / 100.0,
        ended_by: "the plane broke".to_owned(),
        headline: format!("flight, number {seed}"),
        ..RunSummary::default()
    }
}

fn input_of(runs: Vec<RunSummary>) -> RepeatInput {
    RepeatInput {
        again_command: "fly --seed {seed}".to_owned(),
        phases: ["climb", "circuit", "touch"].map(str::to_owned).to_vec(),
        landing: Some(LandingArea {
            name: "the box".to_owned(),
            required: true,
            length_m: 40.0,
            width_m: 20.0,
            phase: 2,
        }),
        runs,
        ..RepeatInput::default()
    }
}

#[test]
fn the_page_counts_right_and_names_the_worst_with_their_seeds() {
    let mut zeroed = run(9, 80.0);
    zeroed.zeroed_by = Some("it crossed the line".to_owned());
    let input = input_of(vec![
        run(1, 90.0),
        run(2, 40.0),
        run(3, 100.0),
        run(4, 55.0),
        zeroed,
    ]);
    let page = summary_page(&input);
    // 90, 100 and the zeroed one were completed; 55 is undamaged but short.
    assert!(page.contains("3 of 5 flights completed every phase undamaged"));
    // Newcombe's method 3 of 3 in 5, by its formula: 0.2307 to 0.8824.
    assert!(page.contains("23.1 to 88.2 %"));
    assert!(page.contains("4 of 5</td>"), "undamaged");
    assert!(page.contains("fly --seed 9"), "the zeroed one is the worst");
    let places: Vec<usize> = [9, 2, 4, 1, 3]
        .iter()
        .map(|seed| page.find(&format!("Seed {seed}<")).unwrap())
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    // One flight in 40..50, one in 50..60, one in 80..90; 100 belongs to the
    // last column with 90.
    assert!(page.contains("[0, 0, 0, 0, 1, 1, 0, 0, 1, 2]"));
}

#[test]
fn the_funnel_counts_each_flight_where_it_ended() {
    let input = input_of(vec![
        run(1, 5.0),
        run(2, 40.0),
        run(3, 30.0),
        run(4, 55.0),
        run(5, 99.0),
    ]);
    let steps = input.funnel();
    let counts: Vec<[u64; 2]> = steps
        .iter()
        .map(|step| [step.done.hits, step.ended_here])
        .collect();
    assert_eq!(counts, [[4, 1], [2, 2], [1, 1]]);
}

#[test]
fn flights_that_failed_alike_are_counted_together() {
    let mut near = run(6, 70.0);
    near.zeroed_by = Some("the plane passed 4.2 m from the pilot; 10 m is the least".to_owned());
    let mut nearer = run(8, 70.0);
    nearer.zeroed_by = Some("the plane passed 1.0 m from the pilot; 10 m is the least".to_owned());
    let mut outside = run(7, 55.0);
    outside.touch = Some(TouchDown::default());
    let mut stalled = run(2, 20.0);
    stalled.airborne_s = 9.0;
    stalled.first_stall = Some(FirstStall {
        time_s: 8.0,
        height_m: 6.0,
    });
    let mut short = run(10, 55.0);
    short.failed = "touch: it was put down while it still flew".to_owned();
    let mut crossed = run(9, 20.0);
    crossed.zeroed_by = Some("the plane crossed the safety line".to_owned());
    let input = input_of(vec![
        run(1, 30.0),
        stalled,
        run(3, 35.0),
        run(4, 36.0),
        run(5, 99.0),
        near,
        outside,
        nearer,
        short,
        crossed,
    ]);
    assert_eq!(input.first_broken(), [("propeller", 5)]);
    let cause = |words: &str, seeds: &[u64]| Cause {
        words: words.to_owned(),
        seeds: seeds.to_vec(),
    };
    assert_eq!(
        input.causes(),
        [
            cause("Circuit: it hit the ground and broke", &[1, 3, 4]),
            cause(
                "Completed, but the plane passed too near to the pilot",
                &[6, 8]
            ),
            cause("Circuit: it hit the ground and broke, after a stall", &[2]),
            cause("Touch: it touched outside the box", &[7]),
            cause("Touch: it was put down while it still flew", &[10]),
            cause("Circuit: the plane crossed the safety line", &[9]),
        ]
    );
}

#[test]
fn the_table_holds_every_flight_and_gives_the_same_page() {
    let input = made_up::repeat();
    let mut bytes = Vec::new();
    summary_csv(&mut bytes, &input).unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let headers = reader.headers().unwrap().clone();
    assert_eq!(&headers[1], "score_points");
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), input.runs.len());
    let column = |name: &str| headers.iter().position(|header| header == name).unwrap();
    for (row, run) in rows.iter().zip(&input.runs) {
        assert_eq!(row[0].parse::<u64>().unwrap(), run.seed);
        assert_eq!(
            row[1].parse::<f64>().unwrap().to_bits(),
            run.score.to_bits()
        );
        assert_eq!(&row[column("headline")], run.headline);
        let sink = row[column("touch_sink_m_s")].parse::<f64>().ok();
        assert_eq!(sink, run.touch.as_ref().map(|touch| touch.sink_m_s));
    }
    let runs = read_summary_csv("flights.csv", &bytes, &input.phases).unwrap();
    assert_eq!(runs, input.runs);
    let again = RepeatInput {
        runs,
        ..input.clone()
    };
    assert_eq!(summary_page(&again), summary_page(&input));
}

#[test]
fn every_column_of_numbers_names_its_unit() {
    let columns = summary_columns(&made_up::repeat().phases);
    let without_unit = [
        "seed",
        "passed",
        "completed",
        "undamaged",
        "zeroed_by",
        "phases_done",
        "flying_after_3_s",
        "touch_in_area",
        "touch_part",
        "broken_parts",
        "failed",
        "ended_by",
        "headline",
    ];
    for column in &columns {
        let unit = ["_points", "_s", "_m", "_deg", "_fraction"]
            .iter()
            .any(|unit| column.ends_with(unit));
        assert!(unit || without_unit.contains(&column.as_str()), "{column}");
    }
    let mut unique = columns.clone();
    unique.sort();
    unique.dedup();
    assert_eq!(unique.len(), columns.len());
}

#[test]
fn a_damaged_table_is_refused_with_line_and_column() {
    let input = input_of(vec![run(1, 90.0), run(2, 40.0)]);
    let mut bytes = Vec::new();
    summary_csv(&mut bytes, &input).unwrap();
    let text = String::from_utf8(bytes).unwrap();
    let refused = |text: &str| {
        read_summary_csv("t.csv", text.as_bytes(), &input.phases)
            .unwrap_err()
            .to_string()
    };
    let cases = [
        (
            text.replace("\n2,40,", "\n2,forty,"),
            "t.csv:3: score_points",
        ),
        (
            text.replace("\n2,40,0,", "\n2,40,maybe,"),
            "t.csv:3: passed",
        ),
        (text.replace("\n2,40,", "\n-2,40,"), "t.csv:3: seed"),
        (text.replace("propeller", ""), "broken parts"),
        (text.replace("score_points", "score"), "t.csv:1:"),
        (text.replace("\n2,40,", "\n2,NaN,"), "t.csv:3: score_points"),
        (text.replace("flight, number 2\"", "flight\",7"), "t.csv"),
        (String::new(), "empty"),
    ];
    for (changed, part) in cases {
        assert_ne!(changed, text);
        let said = refused(&changed);
        assert!(said.contains(part), "{part}: {said}");
    }
    // A table of another lesson.
    let said = read_summary_csv("t.csv", text.as_bytes(), &input.phases[1..]).unwrap_err();
    assert_eq!(said.line, 1);
}
