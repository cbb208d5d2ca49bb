//! Shares, their intervals, and the table of many flights.

use larkfield_debrief::summary::{RepeatInput, RunSummary, Share, Z_95, median};
use larkfield_debrief::{summary_csv, summary_page};

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

fn run(seed: u64, score: f64) -> RunSummary {
    RunSummary {
        seed,
        score,
        undamaged: score > 50.0,
        reached_goal: score > 60.0,
        lowest_height_m: score / 100.0,
        headline: format!("flight, number {seed}"),
        ..RunSummary::default()
    }
}

#[test]
fn the_page_counts_right_and_names_the_worst_with_their_seeds() {
    let mut zeroed = run(9, 80.0);
    zeroed.zeroed_by = Some("it crossed the line".to_owned());
    let input = RepeatInput {
        again_command: "fly --seed {seed}".to_owned(),
        runs: vec![
            run(1, 90.0),
            run(2, 40.0),
            run(3, 100.0),
            run(4, 55.0),
            zeroed,
        ],
        ..RepeatInput::default()
    };
    let page = summary_page(&input);
    // 90, 100 and the zeroed one reached the goal; 55 is undamaged but short.
    assert!(page.contains("3 of 5 flights got there undamaged"));
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
fn the_table_holds_every_flight() {
    let input = made_up::repeat();
    let mut bytes = Vec::new();
    summary_csv(&mut bytes, &input).unwrap();
    let mut reader = csv::Reader::from_reader(bytes.as_slice());
    let headers = reader.headers().unwrap().clone();
    assert_eq!(&headers[1], "score_points");
    assert_eq!(&headers[4], "lowest_height_m");
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), input.runs.len());
    for (row, run) in rows.iter().zip(&input.runs) {
        assert_eq!(row[0].parse::<u64>().unwrap(), run.seed);
        assert_eq!(
            row[1].parse::<f64>().unwrap().to_bits(),
            run.score.to_bits()
        );
        assert_eq!(&row[7], run.headline);
    }
}
