//! Text that goes into a page: escaped, and numbers of fixed length.

use core::fmt::Write;

/// Makes text harmless inside HTML and SVG, between tags and in quoted
/// attributes alike. Control characters, which no page may hold, become the
/// replacement character.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(' '),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// A number for people: so many decimals, a true minus sign, no minus zero.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not known".to_owned();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|b| b == b'0' || b == b'.') => size.to_owned(),
        Some(size) => format!("\u{2212}{size}"),
        None => text,
    }
}

/// A coordinate in a picture: one decimal, which is a fraction of a pixel.
#[must_use]
pub fn coordinate(value: f64) -> String {
    let text = format!("{value:.1}");
    let text = text.strip_suffix(".0").unwrap_or(&text);
    if text == "-0" { "0" } else { text }.to_owned()
}

/// Adds the `points` of one unbroken line as path commands.
pub(super) fn push_path(out: &mut String, points: &[[f64; 2]]) {
    for (index, [x, y]) in points.iter().enumerate() {
        let command = if index == 0 { 'M' } else { 'L' };
        // Writing to a string cannot fail.
        let _ = write!(out, "{command}{} {}", coordinate(*x), coordinate(*y));
    }
}

/// Opens a picture that a screen reader announces by title and description.
pub(crate) fn open(out: &mut String, id: &str, title: &str, description: &str, size: [f64; 2]) {
    let (id, w, h) = (escape(id), coordinate(size[0]), coordinate(size[1]));
    let _ = write!(
        out,
        "<svg id=\"{id}\" class=\"plot\" viewBox=\"0 0 {w} {h}\" role=\"img\" \
         aria-labelledby=\"{id}-title {id}-desc\" xmlns=\"http://www.w3.org/2000/svg\">\
         <title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>",
        escape(title),
        escape(description),
    );
}
