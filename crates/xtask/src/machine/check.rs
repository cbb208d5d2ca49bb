//! What has to come out of the machines.

use std::path::Path;

use super::output;
use super::story::Story;

/// Each stick of the radio, from its descriptor: values 0 to 2047, of which the
/// reading library makes -0.9990 to 1, 1023 exactly 0. The rudder is reversed.
const RADIO: [&str; 4] = [
    "left_across: (axis: \"ABS_RX\", from: \"100 %\", centre: \"0 %\", to: \"-99.9 %\"",
    "left_along: (axis: \"ABS_Z\", from: \"-99.9 %\", centre: \"0.05 %\", to: \"100 %\"",
    "right_across: (axis: \"ABS_X\", from: \"-99.9 %\", centre: \"0 %\", to: \"100 %\"",
    "right_along: (axis: \"ABS_Y\", from: \"-99.9 %\", centre: \"0 %\", to: \"100 %\"",
];

/// Each stick of the pad: values 0 to 255, of which the reading library makes
/// -0.9922 to 1, 127 exactly 0. Away from you is less.
const PAD: [&str; 4] = [
    "left_across: (axis: \"ABS_X\", from: \"-99.22 %\", centre: \"0 %\", to: \"100 %\"",
    "left_along: (axis: \"ABS_Y\", from: \"100 %\", centre: \"0 %\", to: \"-99.22 %\"",
    "right_across: (axis: \"ABS_RX\", from: \"-99.22 %\", centre: \"0 %\", to: \"100 %\"",
    "right_along: (axis: \"ABS_RY\", from: \"100 %\", centre: \"0 %\", to: \"-99.22 %\"",
];

/// The radio with eight axes.
///
/// # Errors
/// What is not as it has to be.
pub fn radio(story: &Story) -> Result<(), String> {
    holds(story, "list", &["Eight channel radio"])?;
    for axis in ["ABS_X", "ABS_Y", "ABS_Z", "ABS_RX", "ABS_RUDDER"] {
        let line = story.line("list", &format!("  {axis} "));
        if !line.contains('%') {
            return Err(format!("list: {axis} has no value: {line:?}"));
        }
    }
    // At its low stop once more.
    holds(story, "list", &["ABS_Z            -99.9 %", "BTN_TRIGGER"])?;
    holds(story, "radio.ron", &RADIO)?;
    holds(
        story,
        "radio.ron",
        &[
            "(does: Throw, when: Held(\"BTN_TRIGGER\"))",
            "(does: ThrottleCut, when: Held(\"BTN_THUMB\"))",
            "(does: SecondRates, when: Held(\"BTN_THUMB2\"))",
            "(does: Again, when: Held(\"BTN_TOP\"))",
        ],
    )?;
    holds(story, "learn", &["channel order AETR", "reversed"])?;
    flown(story)
}

/// The game pad.
///
/// # Errors
/// What is not as it has to be.
pub fn pad(story: &Story) -> Result<(), String> {
    holds(story, "list", &["Two stick pad", "BTN_SOUTH", "ABS_RY"])?;
    if !story.remarked("OTHER RADIO ENDED 2") {
        return Err("the radio file of another device was not refused".to_owned());
    }
    holds(story, "other", &["has no ABS_WHEEL", "radio learn"])?;
    holds(story, "radio.ron", &PAD)?;
    holds(
        story,
        "radio.ron",
        &[
            "throttle_stop: Centre",
            "(does: Throw, when: Held(\"BTN_SOUTH\"))",
            "(does: SecondRates, when: Toggled(\"BTN_C\"))",
        ],
    )?;
    flown(story)
}

/// A flight that was interrupted and went on to its own end.
fn flown(story: &Story) -> Result<(), String> {
    for ended in ["SILENT LIST ENDED 2", "LEARN ENDED 0", "FLIGHT ENDED 0"] {
        if !story.remarked(ended) {
            return Err(format!("the machine does not say {ended}"));
        }
    }
    let before = "disconnect the plane's flight battery";
    holds(story, "silent", &[before, "--ready"])?;
    holds(story, "asked", &[before])?;
    holds(
        story,
        "flight",
        &[
            "has not moved yet",
            "The sticks count",
            "Unplugged: motor off, the flight waits.",
            "Plugged in again: the flight goes on.",
            "from event to message at most",
        ],
    )?;
    holds(story, "score", &["by person"])?;
    // The pilot, the radio file's name, and the very recording that was left.
    let sums = story.line("sums", "recording.csv");
    let recording = sums.split(' ').next().unwrap_or_default();
    if recording.len() != 64 {
        return Err(format!("sums: no checksum of the recording: {sums:?}"));
    }
    holds(story, "logbook.csv", &["Newcomer", "Learned", recording])?;
    // From the throw on, full throttle reached the flight and both ways of the
    // aileron's stick: one before the plug was pulled, one after.
    let field = |row: &str, index: usize| {
        let text = row.split(',').nth(index).unwrap_or_default();
        text.parse::<f64>().unwrap_or(f64::NAN)
    };
    let rows = story.file("controls.csv").lines().skip(1);
    let flown: Vec<&str> = rows.skip_while(|row| field(row, 9) != 1.0).collect();
    let rolls = flown.iter().map(|row| field(row, 1));
    let (least, most) = rolls.fold((0.0_f64, 0.0_f64), |(least, most), roll| {
        (least.min(roll), most.max(roll))
    });
    // Half-way, to a step or two of eight bits.
    let half = |share: f64| (share - 0.5).abs() < 0.02;
    let throttle = flown.iter().map(|row| field(row, 4)).fold(0.0, f64::max);
    if half(most) && half(-least) && throttle > 0.99 {
        Ok(())
    } else {
        Err(format!(
            "controls.csv: from the throw on the stick went to {least} and {most} and the \
             throttle to {throttle}; they were moved half-way to each side, and to 1"
        ))
    }
}

fn holds(story: &Story, file: &str, wanted: &[&str]) -> Result<(), String> {
    let text = story.file(file);
    match wanted.iter().find(|words| !text.contains(**words)) {
        None => Ok(()),
        Some(words) => Err(format!("{file} does not say {words:?}; it says:\n{text}")),
    }
}

/// Flies the same controls with the same radio here: the recording has to be
/// the one of the machine, byte for byte.
///
/// # Errors
/// A flight that differs.
pub fn flown_again(root: &Path, folder: &Path, story: &Story) -> Result<(), String> {
    let _ = std::fs::remove_dir_all(folder);
    std::fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    for name in ["controls.csv", "radio.ron", "flight", "list", "learn"] {
        let path = folder.join(name);
        std::fs::write(&path, story.file(name)).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    let text = |name: &str| folder.join(name).display().to_string();
    let program = root.join("target/release/larkfield").display().to_string();
    let (tape, radio, run) = (
        format!("playback:{}", text("controls.csv")),
        text("radio.ron"),
        text("run"),
    );
    let arguments = [
        "rehearse", "--seed", "1", "--pilot", &tape, "--radio", &radio, "--out", &run,
    ];
    output(&program, &arguments, root)?;
    let files = ["recording.csv", "events.csv", "controls.csv"];
    let here = output("sha256sum", &files, &folder.join("run"))?;
    if here.trim() == story.file("sums").trim() {
        Ok(())
    } else {
        Err(format!(
            "flown again outside, the flight is another:\n{here}in the machine:\n{}",
            story.file("sums")
        ))
    }
}
