//! A list to pick from, in words.

use crate::words::Words;

/// Moves a pick by steps, round and round.
pub fn picked(now: usize, step: i32, count: usize) -> usize {
    let count = count.max(1) as i64;
    (now as i64 + i64::from(step)).rem_euclid(count) as usize
}

/// A list with a mark at what is picked; as many of it as fit.
pub fn list(items: impl Iterator<Item = String>, pick: usize) -> String {
    let lines: Vec<String> = items
        .enumerate()
        .map(|(index, item)| {
            let mark = if index == pick { "> " } else { "  " };
            format!("{mark}{item}")
        })
        .collect();
    lines.join("\n")
}

/// What there is to read while something is picked from a list: what the last pick
/// came to, or `first` before any.
pub fn at_list(
    title: &str,
    step: String,
    told: &str,
    first: &str,
    list: String,
    keys: &str,
) -> Words {
    Words {
        title: title.to_owned(),
        step,
        coach: if told.is_empty() { first } else { told }.to_owned(),
        list,
        keys: keys.to_owned(),
        ..Words::default()
    }
}

/// What there is to read when it is over, with what it came to below.
pub fn over(title: &str, mut lines: Vec<String>, points: f64, passed: bool) -> Words {
    lines.push(format!(
        "{points:.0} of 100 points. {}",
        if passed { "Good." } else { "Not yet." }
    ));
    Words {
        title: title.to_owned(),
        step: "over".to_owned(),
        result: lines.join("\n"),
        ..Words::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pick_goes_round_both_ways() {
        assert_eq!(picked(0, -1, 5), 4);
        assert_eq!(picked(4, 1, 5), 0);
        assert_eq!(picked(2, 0, 5), 2);
        assert_eq!(picked(0, 1, 0), 0);
    }
}
