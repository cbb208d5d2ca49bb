//! What it took to get to the first picture, for those who wait for it.

use std::time::Instant;

use bevy::prelude::*;

/// Frames until the field has been drawn: one lays it out, one draws it.
const FRAMES: u32 = 2;
/// What the kernel counts processor time in (`sysconf(_SC_CLK_TCK)`, which is
/// 100 on every Linux of today).
const TICKS_A_SECOND: f64 = 100.0;

/// When the program began.
#[derive(Resource, Debug, Clone, Copy)]
pub struct Began(pub Instant);

/// Says it once.
pub struct FirstFramePlugin;

impl Plugin for FirstFramePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Last, tell);
    }
}

fn tell(began: Res<Began>, mut frames: Local<u32>) {
    *frames = frames.saturating_add(1);
    if *frames != FRAMES {
        return;
    }
    let after_s = began.0.elapsed().as_secs_f64();
    match processor_s() {
        Some(cpu_s) => {
            eprintln!("First picture after {after_s:.1} s, {cpu_s:.1} s of processor time.")
        }
        None => eprintln!("First picture after {after_s:.1} s."),
    }
}

/// Processor time of this program so far; `None` where the system does not say.
fn processor_s() -> Option<f64> {
    processor_of(&std::fs::read_to_string("/proc/self/stat").ok()?)
}

/// Fields 14 and 15 of `proc_pid_stat(5)`, counted behind the name, which may
/// hold blanks and brackets.
fn processor_of(stat: &str) -> Option<f64> {
    let behind_name = &stat[stat.rfind(')')? + 1..];
    let mut fields = behind_name.split_whitespace().skip(11);
    let user: f64 = fields.next()?.parse().ok()?;
    let system: f64 = fields.next()?.parse().ok()?;
    Some((user + system) / TICKS_A_SECOND)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn processor_time_is_read_whatever_the_program_is_called() {
        let stat = "71 (a) b) S 1 71 71 0 -1 4194560 500 0 9 0 123 45 0 0 20 0 1 0 99";
        assert_eq!(processor_of(stat), Some(1.68));
        assert_eq!(processor_of("nothing"), None);
    }
}
