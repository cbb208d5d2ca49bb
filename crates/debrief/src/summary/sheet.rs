//! The table of many flights as CSV.

use std::io::{self, Write};

use super::RepeatInput;

/// Writes one row a flight, in the order given. Numbers are the shortest that
/// read back to the same bits; yes is 1 and no is 0.
///
/// # Errors
/// Whatever `out` reports.
pub fn summary_csv(out: &mut impl Write, input: &RepeatInput) -> io::Result<()> {
    let mut writer = csv::Writer::from_writer(out);
    writer.write_record([
        "seed",
        "score_points",
        "undamaged",
        "reached_goal",
        "lowest_height_m",
        "airborne_s",
        "zeroed_by",
        "headline",
        "folder",
    ])?;
    let yes = |holds: bool| if holds { "1" } else { "0" }.to_owned();
    for run in &input.runs {
        writer.write_record([
            run.seed.to_string(),
            run.score.to_string(),
            yes(run.undamaged),
            yes(run.reached_goal),
            run.lowest_height_m.to_string(),
            run.airborne_s.to_string(),
            run.zeroed_by.clone().unwrap_or_default(),
            run.headline.clone(),
            run.folder.clone().unwrap_or_default(),
        ])?;
    }
    writer.flush()
}
