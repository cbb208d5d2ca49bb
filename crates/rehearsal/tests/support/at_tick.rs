//! Shipped lessons flown whole, at a tick of one's choice, and what must not
//! depend on it.

use std::path::{Path, PathBuf};

use larkfield_recording::{EventKind, FlightStage};
use larkfield_rehearsal::{Inputs, Ready, ron_files};
use larkfield_world::{Aircraft, FieldSetup, FieldWorld, TICK_S};

/// Files of the shipped lessons.
pub fn lessons() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/lessons");
    let mut files = ron_files(&folder);
    assert!(!files.is_empty(), "no lessons");
    files.sort();
    files
}

/// Higher than this it flies.
const FLIES_M: f64 = 1.0;
/// A flight begun so far aside is another one for whatever is chaotic in it; what
/// half the tick shifts the same sticks by in five seconds, about.
pub const NUDGE_M: f64 = 0.01;

/// What must not depend on the tick.
#[derive(Debug, Clone, Copy)]
pub struct Outline {
    /// Greatest height above the ground.
    pub apex_m: f64,
    /// Where it was at the end, from where it first flew; north and east.
    pub end_m: [f64; 2],
    /// It had touched the ground by then.
    pub touched: bool,
    /// Length of the way over the ground until then.
    pub way_m: f64,
    /// Largest angle of attack in the air.
    pub alpha_rad: f64,
}

/// How to fly a lesson.
#[derive(Clone, Copy)]
pub struct Run {
    pub tick_s: f64,
    /// Aside from its place when it becomes free.
    pub aside_m: f64,
}

impl Run {
    /// From beginning to end as it is.
    pub const WHOLE: Self = Self {
        tick_s: TICK_S,
        aside_m: 0.0,
    };

    /// Its pilot flies it on the day of a seed, until it ends or touches.
    pub fn fly(&self, inputs: &Inputs, seed: u64) -> Outline {
        let setup = Ready::of(inputs, seed)
            .unwrap_or_else(|failure| panic!("{:#}", failure.error))
            .setup;
        let mut world = FieldWorld::new(FieldSetup {
            tick_s: self.tick_s,
            ..FieldSetup::default()
        });
        let id = world.add_flight(setup);
        let mut outline = Outline {
            apex_m: 0.0,
            end_m: [0.0; 2],
            touched: false,
            way_m: 0.0,
            alpha_rad: f64::NEG_INFINITY,
        };
        let (mut ticks, mut free_ticks) = (0_u32, 0_u32);
        let mut alphas = Vec::new();
        let mut last_m = [0.0; 2];
        let mut from_m = last_m;
        while !world.all_ended() && !outline.touched {
            if free_ticks == 1 && self.aside_m > 0.0 {
                change(&mut world, |plane| plane.state.position_m.y += self.aside_m);
            }
            world.step(1);
            ticks += 1;
            let plane = world.aircraft(id).expect("on the field");
            let at_m = [plane.state.position_m.x, plane.state.position_m.y];
            match plane.stage {
                FlightStage::Free if free_ticks > 0 || flies(plane) => {
                    if free_ticks == 0 {
                        (from_m, last_m) = (at_m, at_m);
                    }
                    alphas.push((f64::from(ticks - 1) * self.tick_s, plane.report.alpha_rad));
                    free_ticks += 1;
                    outline.apex_m = outline.apex_m.max(-plane.state.position_m.z);
                    outline.way_m += f64::hypot(at_m[0] - last_m[0], at_m[1] - last_m[1]);
                }
                FlightStage::Ground if free_ticks > 0 => outline.touched = true,
                _ => {}
            }
            outline.end_m = [at_m[0] - from_m[0], at_m[1] - from_m[1]];
            last_m = at_m;
        }
        assert!(free_ticks > 0, "it never flew");
        let result = world.take_result(id).expect("flown");
        let events = &result.recording.events;
        let released = events
            .iter()
            .find(|event| event.kind == EventKind::Released);
        // A tick reports the flow of its start. In the one of the release that was
        // met in the hand.
        let from_s = released.map_or(0.0, |event| event.time_s);
        outline.alpha_rad = alphas
            .iter()
            .filter(|(start_s, _)| *start_s >= from_s)
            .map(|(_, alpha)| *alpha)
            .fold(f64::NEG_INFINITY, f64::max);
        outline
    }
}

/// A hop on the take-off run is not a flight.
pub fn flies(plane: &Aircraft) -> bool {
    plane.stage == FlightStage::Free && -plane.state.position_m.z > FLIES_M
}

/// Puts the only plane of a world somewhere else.
pub fn change(world: &mut FieldWorld, how: impl Fn(&mut Aircraft)) {
    let planes = world.app_mut().world_mut();
    let mut planes_of = planes.query::<&mut Aircraft>();
    for mut plane in planes_of.iter_mut(planes) {
        how(&mut plane);
    }
}
