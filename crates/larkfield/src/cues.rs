//! What somebody on the field sees and hears of a plane, in a line.

use larkfield_pilot::attitude::to_euler;
use larkfield_recording::FlightStage;
use larkfield_rehearsal::Moment;

/// Below these angles nobody sees a bank or a nose that is off level.
/// Assumed; common practice, no source.
const BANK_SEEN_DEG: f64 = 8.0;
const PITCH_SEEN_DEG: f64 = 6.0;

/// Where the plane is, which way it goes, how it hangs, and its motor.
pub fn cue(moment: &Moment) -> String {
    let plane = moment.plane;
    let time = format!("{:5.1} s", moment.time_s);
    match plane.stage {
        FlightStage::InHand => return format!("{time}  in the hand"),
        FlightStage::Ended => return format!("{time}  over"),
        FlightStage::Free | FlightStage::Ground => {}
    }
    let away_m = plane.state.position_m - moment.eyes_m;
    let height_m = plane.around.ground_z_m - plane.state.position_m.z;
    let mut words = vec![
        format!("{:.0} m off", away_m.x.hypot(away_m.y)),
        format!("{height_m:.0} m up"),
    ];
    if plane.stage == FlightStage::Ground {
        words.push("on the ground".to_owned());
    }
    let velocity = plane.state.velocity_m_s;
    let speed_m_s = velocity.x.hypot(velocity.y);
    let distance_m = away_m.x.hypot(away_m.y);
    if speed_m_s > 1.0 && distance_m > 1.0 {
        let along = (velocity.x * away_m.x + velocity.y * away_m.y) / (speed_m_s * distance_m);
        // Positive when it passes from left to right before whoever looks at it.
        let across = away_m.x * velocity.y - away_m.y * velocity.x;
        words.push(
            match (along, across) {
                (along, _) if along > 0.7 => "going away",
                (along, _) if along < -0.7 => "coming toward you",
                (_, across) if across > 0.0 => "crossing to the right",
                _ => "crossing to the left",
            }
            .to_owned(),
        );
    }
    let (_, pitch_rad, bank_rad) = to_euler(plane.state.attitude);
    let (pitch_deg, bank_deg) = (pitch_rad.to_degrees(), bank_rad.to_degrees());
    if bank_deg.abs() > BANK_SEEN_DEG {
        let side = if bank_deg > 0.0 { "right" } else { "left" };
        words.push(format!("its {side} wing low"));
    }
    if pitch_deg.abs() > PITCH_SEEN_DEG {
        let way = if pitch_deg > 0.0 { "up" } else { "down" };
        words.push(format!("nose {way}"));
    }
    words.push(
        if plane.state.power.duty > 0.05 {
            "motor running"
        } else {
            "motor silent"
        }
        .to_owned(),
    );
    format!("{time}  {}", words.join(", "))
}
