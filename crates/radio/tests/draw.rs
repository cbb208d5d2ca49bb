//! Drawings show the functions at the sticks of their mode.

use larkfield_pilot::StickMode;
use larkfield_radio::Transmitter;
use larkfield_radio::draw::{mapping_svg, mapping_text};

/// Along and across of the left stick, then of the right one, as the trade
/// draws the modes (3 and 4 as most of it numbers them).
const MODES: [(StickMode, [&str; 4]); 4] = [
    (
        StickMode::Mode1,
        ["elevator", "rudder", "throttle", "aileron"],
    ),
    (
        StickMode::Mode2,
        ["throttle", "rudder", "elevator", "aileron"],
    ),
    (
        StickMode::Mode3,
        ["elevator", "aileron", "throttle", "rudder"],
    ),
    (
        StickMode::Mode4,
        ["throttle", "aileron", "elevator", "rudder"],
    ),
];

#[test]
fn the_terminal_shows_each_function_at_its_stick() {
    for (mode, [left, left_across, right, right_across]) in MODES {
        let text = mapping_text(&Transmitter {
            mode,
            ..Transmitter::plain()
        });
        let lines: Vec<Vec<&str>> = (text.lines())
            .map(|l| l.split_whitespace().collect())
            .collect();
        assert_eq!(lines[3], [left, right], "{text}");
        assert_eq!(
            lines[6],
            ["<----+---->", left_across, "<----+---->", right_across],
            "{text}"
        );
        assert!(text.contains("not checked by this"));
    }
}

#[test]
fn the_picture_shows_each_function_beside_its_stick() {
    for (mode, names) in MODES {
        let svg = mapping_svg(&Transmitter {
            mode,
            name: "A & B <\"x\">\u{7}".to_owned(),
            ..Transmitter::plain()
        });
        // Labels of the left stick start left of the right stick's square.
        let labels: Vec<(f64, &str)> = (svg.lines())
            .filter(|line| {
                line.contains("bold") && names.iter().any(|n| line.contains(&format!(">{n}<")))
            })
            .map(|line| {
                let x = line.split('"').nth(1).and_then(|x| x.parse().ok());
                let name = line
                    .split('>')
                    .nth(1)
                    .and_then(|rest| rest.split('<').next());
                (x.unwrap_or(f64::NAN), name.unwrap_or_default())
            })
            .collect();
        assert_eq!(labels.iter().map(|l| l.1).collect::<Vec<_>>(), names);
        assert!(labels[0].0 < 420.0 && labels[1].0 < 420.0 && labels[2].0 > 420.0);
        assert!(
            svg.contains("A &amp; B &lt;&quot;x&quot;&gt;:"),
            "{svg:.600}"
        );
        assert!(!svg.contains('\u{7}'));
    }
}
