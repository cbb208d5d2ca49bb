//! The phases of the lesson, one line each.

use core::fmt::Write;

use super::flight::Flight;
use crate::input::DebriefInput;
use crate::plot::{escape, fixed};

/// When each phase began, how long it took, whether it was flown to its end.
pub(super) fn section(out: &mut String, input: &DebriefInput, flight: &Flight) {
    if input.phases.is_empty() {
        return;
    }
    out.push_str(
        "<section aria-labelledby=\"phases\"><h2 id=\"phases\">Phase by phase</h2>\n\
         <table><thead><tr><th scope=\"col\">Phase</th>\
         <th scope=\"col\">Began</th><th scope=\"col\">Took</th>\
         <th scope=\"col\">Flown</th></tr></thead>\n<tbody>\n",
    );
    for phase in &input.phases {
        let (began, took) = match phase.from_to_s {
            Some([from, to]) => (
                format!("{} s", fixed(from - flight.release_s, 1)),
                format!("{} s", fixed(to - from, 1)),
            ),
            None => ("-".to_owned(), "-".to_owned()),
        };
        let flown = match (phase.done, phase.from_to_s) {
            (true, _) => "to its end",
            (false, Some(_)) => "not to its end",
            (false, None) => "never begun",
        };
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{}</th><td class=\"num\">{began}</td>\
             <td class=\"num\">{took}</td><td>{flown}</td></tr>",
            escape(&phase.name),
        );
    }
    out.push_str("</tbody></table></section>\n");
}
