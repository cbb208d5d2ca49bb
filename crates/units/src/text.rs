//! Splitting a quantity text and finding the unit that was meant.

/// Splits at the end of the number: digits, sign, point, comma, and an
/// exponent when digits follow it.
pub(crate) fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let mut end = 0;
    while let Some(&byte) = bytes.get(end) {
        let part = match byte {
            b'0'..=b'9' | b'.' | b',' => true,
            b'+' | b'-' => end == 0 || matches!(bytes.get(end - 1), Some(b'e' | b'E')),
            b'e' | b'E' => {
                end > 0
                    && match bytes.get(end + 1) {
                        Some(b'0'..=b'9') => true,
                        Some(b'+' | b'-') => {
                            matches!(bytes.get(end + 2), Some(b'0'..=b'9'))
                        }
                        _ => false,
                    }
            }
            _ => false,
        };
        if !part {
            break;
        }
        end += 1;
    }
    // Every byte passed over is ASCII, so `end` is a character boundary.
    text.split_at(end)
}

/// One spelling for `g/m²`, `g / m^2`, `N·s`, `N s`, `°`, `mΩ`.
pub(crate) fn tidy_unit(text: &str) -> String {
    let mut unit = String::new();
    for c in text.chars() {
        match c {
            '²' => unit.push('2'),
            '³' => unit.push('3'),
            '°' | 'º' => unit.push_str("deg"),
            '\u{3a9}' | '\u{2126}' => unit.push_str("ohm"),
            '\u{b5}' | '\u{3bc}' => unit.push('u'),
            '^' | '·' | '*' | '⋅' => {}
            c if c.is_whitespace() => {}
            c => unit.push(c),
        }
    }
    unit
}

/// The name that differs least from `text`, when it differs in half of its
/// letters at most: what the writer probably meant.
pub fn closest<'a>(text: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let mut best: Option<(usize, &str)> = None;
    for name in names {
        let distance = if name.eq_ignore_ascii_case(text) {
            0
        } else {
            edit_distance(text, name)
        };
        if best.is_none_or(|(d, _)| distance < d) {
            best = Some((distance, name));
        }
    }
    let (distance, name) = best?;
    let length = text.chars().count();
    (distance * 2 <= length).then_some(name)
}

/// Least number of insertions, deletions and replacements (Levenshtein 1966).
fn edit_distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.chars().enumerate() {
        let mut diagonal = i;
        if let Some(first) = row.first_mut() {
            *first = i + 1;
        }
        for (j, cb) in b.iter().enumerate() {
            let above = row[j + 1];
            let replaced = diagonal + usize::from(ca != *cb);
            row[j + 1] = replaced.min(above + 1).min(row[j] + 1);
            diagonal = above;
        }
    }
    row[b.len()]
}
