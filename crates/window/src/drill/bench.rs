//! A list to pick from, in words.

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
