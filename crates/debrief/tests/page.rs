//! The page as a document: well formed, complete, readable by machines that
//! read aloud, and deaf to what strangers write into files.

use larkfield_debrief::{DebriefInput, debrief_page, summary_page};
use scraper::{ElementRef, Html, Selector};

mod made_up;

fn pages() -> Vec<(&'static str, String)> {
    vec![
        ("debrief", debrief_page(&made_up::debrief())),
        ("ugly", debrief_page(&made_up::ugly_debrief())),
        ("circuit", debrief_page(&made_up::circuit::debrief())),
        ("empty", debrief_page(&DebriefInput::default())),
        ("summary", summary_page(&made_up::repeat())),
        ("no flights", summary_page(&Default::default())),
    ]
}

fn all<'a>(html: &'a Html, selector: &str) -> Vec<ElementRef<'a>> {
    html.select(&Selector::parse(selector).unwrap()).collect()
}

fn text(element: &ElementRef) -> String {
    element.text().collect()
}

#[test]
fn every_page_is_well_formed() {
    // The parser reports every deviation from the HTML standard: a stray or
    // missing end tag, a doubled attribute, a bad character.
    let broken = Html::parse_document("<!DOCTYPE html><p><b>x</p></i>");
    assert!(
        !broken.errors.is_empty(),
        "the parser must be able to complain"
    );
    for (name, page) in pages() {
        let html = Html::parse_document(&page);
        assert!(html.errors.is_empty(), "{name}: {:?}", html.errors);
        let mut ids: Vec<&str> = all(&html, "[id]")
            .iter()
            .filter_map(|e| e.attr("id"))
            .collect();
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "{name}: an id stands twice");
        for element in all(&html, "[aria-labelledby]") {
            for id in element.attr("aria-labelledby").unwrap().split(' ') {
                assert!(ids.contains(&id), "{name}: {id} is missing");
            }
        }
        assert_eq!(all(&html, "html[lang=en]").len(), 1, "{name}");
        assert_eq!(all(&html, "meta[name=viewport]").len(), 1, "{name}");
        assert_eq!(all(&html, "h1").len(), 1, "{name}");
        assert!(page.contains("@media print") && page.contains("size:A4"));
    }
}

#[test]
fn headings_step_down_one_level_at_a_time() {
    for (name, page) in pages() {
        let html = Html::parse_document(&page);
        let mut last = 0;
        for heading in all(&html, "h1,h2,h3,h4,h5,h6") {
            let level = heading.value().name()[1..].parse::<u32>().unwrap();
            assert!(level <= last + 1, "{name}: {}", text(&heading));
            last = level;
        }
    }
}

#[test]
fn every_picture_has_a_title_and_a_description() {
    for (name, page) in pages() {
        let html = Html::parse_document(&page);
        let pictures = all(&html, "svg");
        let expected = if name == "debrief" { 15 } else { 0 };
        assert!(pictures.len() >= expected, "{name}: {}", pictures.len());
        for picture in pictures {
            assert_eq!(picture.attr("role"), Some("img"));
            for part in ["title", "desc"] {
                let found = picture
                    .select(&Selector::parse(part).unwrap())
                    .next()
                    .unwrap();
                assert!(text(&found).len() > 3, "{name}: {part}");
            }
        }
    }
}

#[test]
fn pages_need_nothing_from_elsewhere() {
    for (name, page) in pages() {
        let html = Html::parse_document(&page);
        for tag in [
            "script", "link", "img", "iframe", "object", "embed", "form", "[src]", "[href]",
        ] {
            assert!(all(&html, tag).is_empty(), "{name}: {tag}");
        }
        let elsewhere = page.replace("http://www.w3.org/2000/svg", "");
        for word in ["http:", "https:", "url(", "@import", "//"] {
            assert!(!elsewhere.contains(word), "{name}: {word}");
        }
    }
}

#[test]
fn names_that_look_like_markup_stay_names() {
    let nasty = "</title><script>alert(1)</script><img src=x onerror=alert(2)>\"'>";
    let mut input = made_up::debrief();
    for field in [
        &mut input.plane_name,
        &mut input.build_note,
        &mut input.lesson_name,
        &mut input.lesson_description,
        &mut input.wind_summary,
        &mut input.pilot_name,
        &mut input.thrower_name,
        &mut input.headline,
    ] {
        *field = nasty.to_owned();
    }
    input.zeroed_by = Some(nasty.to_owned());
    input.next_steps = vec![nasty.to_owned()];
    input.damage = vec![nasty.to_owned()];
    for item in &mut input.assumed {
        item.name = nasty.to_owned();
        item.value = nasty.to_owned();
    }
    for mark in &mut input.marks {
        mark.name = nasty.to_owned();
        mark.value = nasty.to_owned();
        mark.limit = nasty.to_owned();
        mark.advice = nasty.to_owned();
    }
    input.goal_heights[0].name = nasty.to_owned();
    for event in &mut input.recording.events {
        use larkfield_recording::EventKind;
        if let EventKind::PhaseDone { phase: text } | EventKind::Ended { reason: text } =
            &mut event.kind
        {
            *text = nasty.to_owned();
        }
    }
    let mut repeat = made_up::repeat();
    for run in &mut repeat.runs {
        run.headline = nasty.to_owned();
        run.zeroed_by = Some(nasty.to_owned());
        run.broken_parts = vec![nasty.to_owned()];
        run.ended_by = nasty.to_owned();
    }
    for phase in &mut repeat.phases {
        *phase = nasty.to_owned();
    }
    if let Some(area) = &mut repeat.landing {
        area.name = nasty.to_owned();
    }
    repeat.again_command = nasty.to_owned();
    for page in [debrief_page(&input), summary_page(&repeat)] {
        let html = Html::parse_document(&page);
        assert!(html.errors.is_empty(), "{:?}", html.errors);
        assert!(all(&html, "script, img, [onerror]").is_empty());
        // It is shown, and shown whole.
        assert!(
            html.root_element()
                .text()
                .collect::<String>()
                .contains("alert(1)")
        );
    }
}

#[test]
fn a_reader_finds_result_score_advice_and_cautions() {
    let input = made_up::debrief();
    let page = debrief_page(&input);
    let html = Html::parse_document(&page);
    assert_eq!(text(&all(&html, "h1")[0]), input.headline);
    // 70.5 is shown as a whole number, half away from zero.
    assert_eq!(text(&all(&html, ".points")[0]), "71 of 100");
    let next: Vec<String> = all(&html, "ol.next li").iter().map(text).collect();
    assert_eq!(next, input.next_steps);
    assert_eq!(all(&html, "table tbody tr").len(), input.marks.len());
    for mark in &input.marks {
        let row = all(&html, "table tbody tr")
            .into_iter()
            .find(|row| text(row).contains(&mark.name))
            .unwrap();
        for part in [&mark.value, &mark.limit, &mark.advice] {
            assert!(text(&row).contains(part.as_str()), "{part}");
        }
    }
    let assumed = all(&html, "ul.assumed li");
    assert_eq!(assumed.len(), input.assumed.len());
    assert!(assumed.iter().all(|item| text(item).ends_with("assumed")));
    let cautions = text(&all(&html, ".caution")[0]);
    for word in [
        "check by hand",
        "propeller",
        "into wind",
        "never grab",
        "your country",
        "behind",
    ] {
        assert!(cautions.contains(word), "{word}");
    }
    // The result and what to do come before any picture.
    let first_picture = page.find("<svg").unwrap();
    assert!(page.find("What to do next").unwrap() < first_picture);
    // Nothing on the page calls a flight safe.
    let words = html
        .root_element()
        .text()
        .collect::<String>()
        .to_lowercase();
    for claim in ["is safe", "safe to fly", "safely"] {
        assert!(!words.contains(claim), "{claim}");
    }
}

#[test]
fn a_zeroed_flight_says_zero_and_why_first() {
    let page = debrief_page(&made_up::ugly_debrief());
    let html = Html::parse_document(&page);
    assert_eq!(text(&all(&html, ".points")[0]), "0 of 100");
    assert!(text(&all(&html, ".zero")[0]).contains("hit a bystander with the propeller turning"));
    let events: Vec<String> = all(&html, ".events li").iter().map(text).collect();
    assert!(
        events
            .iter()
            .any(|e| e.contains("1.31 N·s") && e.contains("0.80 N·s")),
        "{events:?}"
    );
    assert!(
        events
            .iter()
            .any(|e| e.contains("calculation failed (roll rate)")),
        "{events:?}"
    );
    assert!(!page.contains("NaN"));
}

#[test]
fn events_carry_the_same_letters_in_the_list_and_in_every_picture() {
    let html = Html::parse_document(&debrief_page(&made_up::debrief()));
    let letters: Vec<String> = all(&html, ".events b").iter().map(text).collect();
    assert_eq!(letters, ["A", "B", "C", "D", "E", "F"]);
    for id in [
        "speed",
        "stall",
        "stick-pitch",
        "throttle",
        "wind",
        "side-view",
    ] {
        let flags: Vec<String> = all(&html, &format!("#{id} .flag"))
            .iter()
            .map(text)
            .collect();
        assert!(!flags.is_empty(), "{id}");
        assert!(
            flags.iter().all(|flag| letters.contains(flag)),
            "{id}: {flags:?}"
        );
        assert!(flags.contains(&"E".to_owned()), "{id}: {flags:?}");
    }
}

#[test]
fn least_speed_margin_is_the_one_in_the_recording() {
    // Straight from the samples, independent of the page's own search.
    let input = made_up::debrief();
    let least = input
        .recording
        .samples
        .iter()
        .zip(&input.minimum_level_speed_m_s)
        .filter(|(s, _)| s.time_s >= 0.84)
        .map(|(s, limit)| s.airspeed_m_s - limit)
        .fold(f64::INFINITY, f64::min);
    let page = debrief_page(&input);
    let said = format!("holds height was {least:.1} m/s");
    assert!(page.contains(&said), "{said}");
}

#[test]
fn same_input_same_bytes() {
    assert_eq!(
        debrief_page(&made_up::debrief()),
        debrief_page(&made_up::debrief())
    );
    assert_eq!(
        summary_page(&made_up::repeat()),
        summary_page(&made_up::repeat())
    );
}

#[test]
fn a_page_is_small_enough_to_send() {
    let size = debrief_page(&made_up::debrief()).len();
    assert!(size < 400_000, "{size} bytes");
}

#[test]
fn the_map_shows_trees_where_there_are_some() {
    let map = |input: &DebriefInput| {
        let html = Html::parse_document(&debrief_page(input));
        let maps = all(&html, "svg");
        let found = maps.iter().find(|svg| {
            svg.attr("aria-labelledby")
                .is_some_and(|id| id.contains("ground-track"))
        });
        let labels = found.map(|svg| {
            let selector = Selector::parse("text.name").unwrap();
            let labels = svg.select(&selector).map(|label| text(&label));
            labels.collect::<Vec<String>>()
        });
        labels.unwrap_or_default()
    };
    let mut input = made_up::debrief();
    assert!(
        map(&input).contains(&"trees".to_owned()),
        "{:?}",
        map(&input)
    );
    input.field.tree_lines.clear();
    let without = map(&input);
    assert!(without.contains(&"strip".to_owned()), "{without:?}");
    assert!(!without.contains(&"trees".to_owned()), "{without:?}");
}

#[test]
fn a_landing_shows_its_phases_its_box_and_its_touch() {
    let page = debrief_page(&made_up::circuit::debrief());
    let html = Html::parse_document(&page);
    let rows: Vec<String> = all(&html, "#phases ~ table tbody tr")
        .iter()
        .map(text)
        .collect();
    assert_eq!(rows.len(), 6, "{rows:?}");
    assert!(rows[0].contains("downwind") && rows[0].contains("7.5 s"));
    assert!(rows[0].contains("to its end"), "{}", rows[0]);
    assert!(rows[5].contains("not to its end"), "{}", rows[5]);
    let names: Vec<String> = all(&html, "text.name").iter().map(text).collect();
    for name in ["box", "touch", "circuit as planned"] {
        assert!(names.iter().any(|n| n == name), "{name}: {names:?}");
    }
    // Nobody threw it: no close-up of the release, no launch on the map.
    assert!(!names.iter().any(|n| n == "launch"));
    assert!(all(&html, "#first").is_empty());
    assert_eq!(all(&html, "#landing-height").len(), 1);
    // A flight without a landing has none of this.
    let plain = Html::parse_document(&debrief_page(&made_up::debrief()));
    assert!(all(&plain, "#phases, #landing").is_empty());
}
