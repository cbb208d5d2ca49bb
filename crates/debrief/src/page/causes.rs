//! What was wrong with plane, throw, hands or air.

use core::fmt::Write;

use crate::input::{Causes, DebriefInput};
use crate::plot::escape;

/// What was found, then what was wrong on purpose.
pub(super) fn section(out: &mut String, input: &DebriefInput) {
    if input.causes.is_none() && input.effect.is_none() {
        return;
    }
    out.push_str("<section aria-labelledby=\"causes\"><h2 id=\"causes\">What was wrong</h2>\n");
    if let Some(causes) = &input.causes {
        found(out, causes);
    }
    if let Some(effect) = &input.effect {
        let _ = writeln!(out, "<p>Flown so on purpose. {}</p>", escape(effect));
    }
    out.push_str("</section>\n");
}

/// The sentence, then each cause with its evidence and its check by hand.
fn found(out: &mut String, causes: &Causes) {
    let _ = writeln!(out, "<p>{}</p>", escape(&causes.verdict));
    if causes.causes.is_empty() {
        return;
    }
    out.push_str(
        "<p>From the recording and the plane as designed alone: which fault would have made it \
         fly like this, with these sticks? Check by hand before you believe it.</p>\n<ol>\n",
    );
    for cause in &causes.causes {
        let _ = writeln!(
            out,
            "<li><strong>{}</strong>: {}<br>In the recording: {}.<br>\
             <em>Check:</em> {}<br><em>Do:</em> {}</li>",
            escape(&cause.name),
            escape(&cause.what),
            escape(&cause.evidence),
            escape(&cause.bench),
            escape(&cause.remedy),
        );
    }
    out.push_str("</ol>\n");
}
