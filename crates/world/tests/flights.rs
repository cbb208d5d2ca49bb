//! Whole flights of the shipped trainer.

#[path = "common/flights.rs"]
mod flights;

use flights::{breeze, calm, launch, trainer};
use larkfield_pilot::PilotKind;
use larkfield_recording::{EventKind, FlightStage};
use larkfield_world::{FieldSetup, FieldWorld};

#[test]
fn a_competent_pilot_launches_and_climbs() {
    let model = trainer();
    for (seed, wind) in [(1, calm()), (2, breeze(2))] {
        let mut world = FieldWorld::new(FieldSetup::default());
        let id = world.add_flight(launch(&model, &wind, PilotKind::Competent, seed));
        assert!(world.run_to_end(|_| true));
        let result = world.take_result(id).unwrap();
        let samples = &result.recording.samples;
        for e in &result.recording.events {
            eprintln!("{:.3} {:?}", e.time_s, e.kind);
        }
        for s in samples.iter().step_by(25) {
            eprintln!(
                "{:.2} {:?} n {:.1} e {:.1} h {:.2} v {:.2} bank {:.2} pitch {:.2} climb {:.2} thr {:.2} el {:.3} E {:.2} air {:.2} thrust {:.2} contact {:.2}",
                s.time_s,
                s.stage,
                s.north_m,
                s.east_m,
                s.height_m,
                s.airspeed_m_s,
                s.bank_rad,
                s.pitch_rad,
                s.climb_m_s,
                s.thrust_n,
                s.elevator_rad,
                s.energy_j,
                s.air_work_j,
                s.thrust_work_j,
                s.contact_work_j
            );
        }
        assert_eq!(samples.last().unwrap().stage, FlightStage::Ended);
        assert!(matches!(
            result.recording.events.last().unwrap().kind,
            EventKind::Ended { .. }
        ));
    }
}
