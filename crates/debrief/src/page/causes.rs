//! What was wrong with plane, throw, hands or air.

use core::fmt::Write;

use crate::input::DebriefInput;
use crate::plot::escape;

/// The sentence, then each cause with its evidence and its check by hand.
pub(super) fn section(out: &mut String, input: &DebriefInput) {
    let Some(causes) = &input.causes else {
        return;
    };
    let _ = write!(
        out,
        "<section aria-labelledby=\"causes\"><h2 id=\"causes\">What was wrong</h2>\n<p>{}</p>\n",
        escape(&causes.verdict)
    );
    if !causes.causes.is_empty() {
        out.push_str(
            "<p>From the recording and the plane as designed alone: which fault would have made \
             it fly like this, with these sticks? Check by hand before you believe it.</p>\n<ol>\n",
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
    out.push_str("</section>\n");
}
