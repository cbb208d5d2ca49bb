//! Geometry of the pictures, checked by hand, and text that stays text.

use larkfield_debrief::plot::{
    Axis, Chart, Ink, Level, Map, MapItem, Mark, Scale, Series, Shape, Ticks, clip, coordinate,
    decimate, escape, fixed, thin,
};

fn line_chart() -> Chart {
    Chart {
        id: "c".to_owned(),
        title: "t".to_owned(),
        x: Axis::new("time", "s").from_to(0.0, 10.0),
        y: Axis::new("height", "m").from_to(0.0, 20.0),
        series: vec![Series {
            points: vec![[0.0, 0.0], [5.0, 10.0], [10.0, 20.0]],
            ..Series::default()
        }],
        size: [380.0, 200.0],
        ..Chart::default()
    }
}

#[test]
fn a_known_line_lands_on_known_pixels() {
    // The plot runs from 38 to 380 - 13 = 367 across and, without flags, from
    // 200 - 34 = 166 up to 20. By hand: the middle of the line is at
    // (38 + 329 / 2, 166 - 146 / 2) = (202.5, 93).
    let svg = line_chart().svg();
    assert!(svg.contains("d=\"M38 166L202.5 93L367 20\""), "{svg}");
    let frame = line_chart().frame();
    assert_eq!(frame.x.place(10.0), 367.0);
    assert_eq!(frame.y.place(20.0), 20.0);
    // 146 / 20 = 7.3 units of the picture for a metre.
    assert!((frame.y.size() - 7.3).abs() < 1e-12);
}

#[test]
fn a_line_is_cut_at_the_frame_and_broken_where_nothing_is_known() {
    let mut chart = line_chart();
    // Leaves the top at x = 5: 20 = 4 * 5.
    chart.series[0].points = vec![[0.0, 0.0], [10.0, 40.0]];
    assert!(
        chart.svg().contains("d=\"M38 166L202.5 20\""),
        "{}",
        chart.svg()
    );
    chart.series[0].points = vec![
        [0.0, 0.0],
        [2.5, 0.0],
        [5.0, f64::NAN],
        [7.5, 0.0],
        [10.0, 0.0],
    ];
    let svg = chart.svg();
    // A quarter of 329 is 82.25.
    assert!(
        svg.contains("M38 166L120.2 166\"") && svg.contains("M284.8 166L367 166\""),
        "{svg}"
    );
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}

#[test]
fn nothing_drawn_from_wild_numbers_is_wild() {
    let wild = [
        f64::NAN,
        f64::INFINITY,
        -f64::INFINITY,
        1e300,
        -1e300,
        0.0,
        1e-300,
    ];
    for a in wild {
        for b in wild {
            let mut chart = line_chart();
            chart.x.range = None;
            chart.y.range = None;
            chart.series[0].points = vec![[a, b], [b, a], [1.0, 2.0]];
            chart.levels = vec![Level {
                y: a,
                label: "l".to_owned(),
                ink: Ink::Limit,
            }];
            chart.marks = vec![Mark {
                x: b,
                label: "m".to_owned(),
            }];
            let svg = chart.svg();
            assert!(
                !svg.contains("NaN") && !svg.contains("inf\""),
                "{a} {b}: {svg}"
            );
            let map = map_of(vec![
                Shape::Path(vec![[a, b], [3.0, 4.0]]),
                Shape::Line([[a, a], [b, b]]),
            ]);
            assert!(
                !map.svg().contains("NaN") && !map.svg().contains("inf"),
                "{a} {b}"
            );
        }
    }
}

fn map_of(shapes: Vec<Shape>) -> Map {
    let item = |shape| MapItem {
        shape,
        label: String::new(),
        ink: Ink::Main,
        frames: true,
    };
    Map {
        id: "m".to_owned(),
        title: "map".to_owned(),
        description: String::new(),
        items: shapes.into_iter().map(item).collect(),
        wind: None,
        up: None,
        width: 380.0,
    }
}

#[test]
fn a_map_is_to_scale_and_north_up() {
    // 100 m east and 50 m north fill the inner width of 380 - 2 * 6 = 368:
    // 3.68 units a metre; 50 m are 184 high, from 190 up to 6.
    let svg = map_of(vec![Shape::Path(vec![
        [0.0, 0.0],
        [100.0, 0.0],
        [100.0, 50.0],
    ])])
    .svg();
    assert!(svg.contains("d=\"M6 190L374 190L374 6\""), "{svg}");
    // A circle of 10 m in the middle of the same field.
    let circle = Shape::Circle {
        centre: [50.0, 25.0],
        radius_m: 10.0,
    };
    let field = Shape::Path(vec![[0.0, 0.0], [100.0, 50.0]]);
    let svg = map_of(vec![field, circle]).svg();
    assert!(svg.contains("cx=\"190\" cy=\"98\" r=\"36.8\""), "{svg}");
}

#[test]
fn the_wind_arrow_flies_with_the_wind() {
    // Air moving east is a quarter turn clockwise from north.
    let mut map = map_of(vec![Shape::Dot([0.0, 0.0])]);
    map.wind = Some((core::f64::consts::FRAC_PI_2, "west wind".to_owned()));
    assert!(map.svg().contains("rotate(90)"));
}

#[test]
fn an_axis_that_counts_has_ticks_at_whole_numbers_only() {
    let mut chart = line_chart();
    for (most, values) in [
        (2.0, vec![0.0, 1.0, 2.0]),
        (10.0, vec![0.0, 2.0, 4.0, 6.0, 8.0, 10.0]),
    ] {
        chart.x = Axis::new("flight", "").from_to(0.0, most).counting();
        let ticks = chart.frame().x_ticks;
        assert_eq!(ticks.values, values);
        assert_eq!(ticks.label(1.0), "1");
    }
}

#[test]
fn ticks_are_one_two_or_five_times_a_power_of_ten() {
    let ticks = Ticks::new(0.0, 10.0, 5);
    assert_eq!(ticks.values, [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
    assert_eq!(ticks.decimals, 0);
    let ticks = Ticks::new(-0.31, 0.42, 4);
    assert_eq!(ticks.step, 0.2);
    let labels: Vec<String> = ticks.values.iter().map(|v| ticks.label(*v)).collect();
    assert_eq!(labels, ["−0.2", "0.0", "0.2", "0.4"]);
    for exponent in -9..9 {
        for factor in [1.0, 1.3, 2.0, 3.7, 5.0, 9.99] {
            let span = factor * 10f64.powi(exponent);
            let ticks = Ticks::new(0.0, span, 6);
            let lead = ticks.step / 10f64.powi(ticks.step.log10().floor() as i32);
            let round = [1.0, 2.0, 5.0, 10.0]
                .iter()
                .any(|r| (lead - r).abs() < 1e-6);
            assert!(round, "{span}: {}", ticks.step);
            let steps = span / ticks.step;
            assert!((2.3..=6.001).contains(&steps), "{span}: {steps} steps");
        }
    }
    for (lo, hi) in [
        (1.0, 1.0),
        (2.0, 1.0),
        (f64::NAN, 1.0),
        (0.0, f64::INFINITY),
    ] {
        assert_eq!(Ticks::new(lo, hi, 5).values.len(), 0);
    }
}

#[test]
fn fewer_points_keep_every_peak() {
    let mut points: Vec<[f64; 2]> = (0..30_000).map(|i| [f64::from(i), 0.0]).collect();
    points[12_345][1] = 9.0;
    points[23_456][1] = -9.0;
    let few = decimate(&points, 600);
    assert!(few.len() <= 602, "{}", few.len());
    assert!(few.contains(&[12_345.0, 9.0]) && few.contains(&[23_456.0, -9.0]));
    assert_eq!((few[0], few[few.len() - 1]), (points[0], points[29_999]));
    assert!(few.windows(2).all(|p| p[0][0] < p[1][0]), "in order");
    assert_eq!(decimate(&points[..10], 600), points[..10]);

    let spiral: Vec<[f64; 2]> = (0..5000)
        .map(|i| f64::from(i) * 0.002)
        .map(|a| [a * a.cos(), a * a.sin()])
        .collect();
    let kept = thin(&spiral, 0.1);
    assert!(kept.len() < 1000);
    for point in &spiral {
        let near = kept
            .iter()
            .any(|k| (k[0] - point[0]).hypot(k[1] - point[1]) < 0.1);
        assert!(near, "{point:?}");
    }
}

#[test]
fn clipping_keeps_what_is_inside() {
    let unit = |points: &[[f64; 2]]| clip(points, [0.0, 0.0], [1.0, 1.0]);
    // A diagonal through the box, cut at both sides.
    assert_eq!(unit(&[[-1.0, -1.0], [2.0, 2.0]]).len(), 1);
    let run = &unit(&[[-1.0, -1.0], [2.0, 2.0]])[0];
    assert!((run[0][0]).abs() < 1e-15 && (run[1][1] - 1.0).abs() < 1e-15);
    assert!(unit(&[[-1.0, 2.0], [2.0, 2.0]]).is_empty());
    // Out and in again: two pieces.
    let pieces = unit(&[[0.5, 0.5], [0.5, 3.0], [0.8, 3.0], [0.8, 0.5]]);
    assert_eq!(
        pieces,
        [vec![[0.5, 0.5], [0.5, 1.0]], vec![[0.8, 1.0], [0.8, 0.5]]]
    );
    assert_eq!(unit(&[[0.2, 0.2], [0.3, 0.4], [0.9, 0.1]]).len(), 1);
}

#[test]
fn text_stays_text() {
    assert_eq!(
        escape("<script>alert('x')</script> & \"y\"\u{0}"),
        "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &amp; &quot;y&quot;\u{fffd}"
    );
    let nasty = "\"><script>x</script>".to_owned();
    let mut chart = line_chart();
    chart.id.clone_from(&nasty);
    chart.title.clone_from(&nasty);
    chart.description.clone_from(&nasty);
    chart.x.label.clone_from(&nasty);
    chart.y.unit.clone_from(&nasty);
    chart.series[0].label.clone_from(&nasty);
    chart.marks = vec![Mark {
        x: 3.0,
        label: nasty.clone(),
    }];
    chart.levels = vec![Level {
        y: 3.0,
        label: nasty.clone(),
        ink: Ink::Third,
    }];
    assert!(!chart.svg().contains("<script"));
    assert!(chart.svg().matches("&lt;script&gt;").count() >= 6);
}

#[test]
fn numbers_are_written_for_people() {
    assert_eq!(fixed(-0.04, 1), "0.0");
    assert_eq!(fixed(-1.25, 2), "\u{2212}1.25");
    assert_eq!(fixed(f64::NAN, 1), "not known");
    assert_eq!(coordinate(-0.04), "0");
    assert_eq!(coordinate(3.0), "3");
}

#[test]
fn scales_run_both_ways() {
    let down = Scale {
        values: [0.0, 4.0],
        places: [100.0, 20.0],
    };
    assert_eq!((down.place(1.0), down.size()), (80.0, 20.0));
}

/// Contrast of two colours by WCAG 2.2, "relative luminance" and "contrast
/// ratio".
fn contrast(a: &str, b: &str) -> f64 {
    let luminance = |colour: &str| {
        let channel = |i: usize| {
            let value = f64::from(u8::from_str_radix(&colour[i..i + 2], 16).unwrap()) / 255.0;
            if value <= 0.04045 {
                value / 12.92
            } else {
                ((value + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    };
    let (x, y) = (luminance(a), luminance(b));
    (x.max(y) + 0.05) / (x.min(y) + 0.05)
}

#[test]
fn inks_can_be_seen_and_told_apart_without_colour() {
    // Black on white is 21 to 1 by definition.
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
    let inks = [Ink::Main, Ink::Limit, Ink::Third, Ink::Plain, Ink::Faint];
    for ink in inks {
        // WCAG 2.2: 1.4.11 asks 3 to 1 of lines, 1.4.3 asks 4.5 to 1 of text;
        // on the page, on a map and on a shaded stretch.
        for ground in ["#fffefa", "#f3f4ea"] {
            assert!(contrast(ink.line(), ground) >= 3.0, "{ink:?} on {ground}");
            assert!(contrast(ink.text(), ground) >= 4.5, "{ink:?} on {ground}");
        }
        assert!(contrast(ink.text(), "#e7e3d6") >= 4.5, "{ink:?} on a band");
        assert!(contrast(ink.line(), "#e7e3d6") >= 2.8, "{ink:?} on a band");
    }
    for (i, a) in inks.iter().enumerate() {
        for b in &inks[..i] {
            let apart = a.dash() != b.dash() || (a.width() - b.width()).abs() > 0.5;
            assert!(apart, "{a:?} {b:?}");
        }
    }
}
