//! What would have saved it, on the flight's own axis of time.

use core::fmt::Write;

use super::flight::Flight;
use crate::input::{DebriefInput, LookBack};
use crate::plot::{Ink, coordinate, escape, fixed, open_picture};

const WIDTH: f64 = 420.0;
/// Room for a number on the right.
const LEFT: f64 = 4.0;
const RIGHT: f64 = 44.0;
/// A name and its bar below it.
const ROW: f64 = 38.0;
const TOP: f64 = 40.0;

/// The sentence, the picture, and how it was reckoned.
pub(super) fn section(out: &mut String, input: &DebriefInput, flight: &Flight) {
    let Some(look_back) = &input.look_back else {
        return;
    };
    let _ = write!(
        out,
        "<section aria-labelledby=\"saved\"><h2 id=\"saved\">What would have saved it</h2>\n\
         <p>{}</p>\n",
        escape(&look_back.verdict)
    );
    out.push_str("<figure class=\"wide\">");
    draw(out, look_back, flight);
    let _ = writeln!(
        out,
        "<figcaption>Each bar ends at the last moment at which this could still be decided upon; \
         the sticks move {} s later. Where there is no bar, it would not have helped at any moment \
         that was tried. From copies of this very flight, flown on with one plain correction \
         each, until four seconds went by unharmed or it lay there whole. A real plane differs, \
         and so does a hand.</figcaption></figure></section>",
        fixed(look_back.delay_s, 2)
    );
}

/// From a time to a place across.
struct Axis {
    from_s: f64,
    to_s: f64,
}

impl Axis {
    fn x(&self, time_s: f64) -> f64 {
        let share = (time_s - self.from_s) / (self.to_s - self.from_s).max(0.1);
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            0.0
        };
        LEFT + share * (WIDTH - LEFT - RIGHT)
    }
}

fn draw(out: &mut String, look_back: &LookBack, flight: &Flight) {
    let axis = Axis {
        from_s: look_back.tried_from_s.min(look_back.trouble_s),
        to_s: look_back.trouble_s,
    };
    let after = |time_s: f64| format!("{} s", fixed(time_s - flight.release_s, 1));
    let rows = look_back.rescues.len() as f64;
    let bottom = TOP + rows * ROW;
    let described: Vec<String> = look_back
        .rescues
        .iter()
        .map(|rescue| match rescue.decided_s {
            Some(last_s) => format!("{}: up to {}", rescue.name, after(last_s)),
            None => format!("{}: never", rescue.name),
        })
        .collect();
    open_picture(
        out,
        "saved-by",
        "By when each correction would have saved it",
        &described.join("; "),
        [WIDTH, bottom + 26.0],
    );
    for (index, rescue) in look_back.rescues.iter().enumerate() {
        let middle = TOP + (index as f64 + 0.72) * ROW;
        let _ = write!(
            out,
            "<text x=\"{}\" y=\"{}\" fill=\"{}\">{}</text>",
            coordinate(LEFT),
            coordinate(middle - 11.0),
            Ink::Plain.text(),
            escape(&rescue.name)
        );
        match rescue.decided_s {
            Some(last_s) => {
                let (from, to) = (axis.x(axis.from_s), axis.x(last_s));
                let _ = write!(
                    out,
                    "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"12\" fill=\"{}\"/>\
                     <text x=\"{}\" y=\"{}\" fill=\"{}\">{}</text>",
                    coordinate(from),
                    coordinate(middle - 6.0),
                    coordinate((to - from).max(2.0)),
                    Ink::Main.line(),
                    coordinate(to.max(from + 2.0) + 5.0),
                    coordinate(middle + 4.0),
                    Ink::Main.text(),
                    after(last_s)
                );
            }
            None => {
                let _ = write!(
                    out,
                    "<text x=\"{}\" y=\"{}\" fill=\"{}\">never</text>",
                    coordinate(LEFT + 2.0),
                    coordinate(middle + 4.0),
                    Ink::Faint.text()
                );
            }
        }
    }
    let mut mark = |time_s: f64, ink: Ink, words: &str, y: f64, anchor: &str| {
        let x = axis.x(time_s);
        let _ = write!(
            out,
            "<line x1=\"{0}\" x2=\"{0}\" y1=\"{1}\" y2=\"{2}\" stroke=\"{3}\" stroke-width=\"1.6\" \
             stroke-dasharray=\"{4}\"/>\
             <text x=\"{0}\" y=\"{5}\" text-anchor=\"{anchor}\" fill=\"{6}\">{7}</text>",
            coordinate(x),
            coordinate(TOP - 4.0),
            coordinate(bottom),
            ink.line(),
            ink.dash(),
            coordinate(y),
            ink.text(),
            escape(words)
        );
    };
    if let Some((cue_s, _)) = &look_back.first_cue {
        let words = format!("first to see, {}", after(*cue_s));
        let anchor = if axis.x(*cue_s) > 0.5 * (LEFT + WIDTH) {
            "end"
        } else {
            "start"
        };
        mark(*cue_s, Ink::Third, &words, TOP - 10.0, anchor);
    }
    let words = format!("{}, {}", look_back.trouble, after(look_back.trouble_s));
    mark(look_back.trouble_s, Ink::Limit, &words, TOP - 26.0, "end");
    let _ = write!(
        out,
        "<text x=\"{}\" y=\"{}\" fill=\"{}\">seconds after the release</text></svg>",
        coordinate(LEFT),
        coordinate(bottom + 18.0),
        Ink::Faint.text()
    );
}
