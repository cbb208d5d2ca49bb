//! Where a landing lies on a day, worked out by hand.

use glam::DVec3;
use larkfield_lesson::{AirStart, CircuitFrame, Conditions, Field, LandingPlan};
use larkfield_pilot::attitude::{PI, wrap};
use larkfield_pilot::{Side, Undercarriage};

const DEGREE: f64 = PI / 180.0;

/// A box around a place of the open meadow, whose line runs north at 15 m west.
fn plan(north_m: f64, east_m: f64) -> LandingPlan {
    LandingPlan {
        aim_north_m: north_m,
        aim_east_m: east_m,
        box_length_m: 40.0,
        box_width_m: 20.0,
        circuit_height_m: 12.0,
        spacing_m: 35.0,
    }
}

/// A wind from a direction.
fn wind(from_deg: f64, speed_m_s: f64, undercarriage: Undercarriage) -> Conditions {
    let (sine, cosine) = libm::sincos(from_deg * DEGREE);
    Conditions {
        wind_m_s: DVec3::new(-cosine, -sine, 0.0) * speed_m_s,
        gust_m_s: 0.0,
        undercarriage,
    }
}

fn heading_deg(plan: &LandingPlan, conditions: &Conditions) -> f64 {
    let circuit = plan.circuit(&Field::open_meadow(), conditions);
    wrap(circuit.landing_heading_rad) / DEGREE
}

#[test]
fn wheels_land_along_the_strip_the_way_that_has_more_headwind() {
    let far = plan(20.0, 60.0);
    for (from_deg, wanted_deg) in [(0.0, 0.0), (80.0, 0.0), (-60.0, 0.0), (100.0, 180.0)] {
        let day = wind(from_deg, 4.0, Undercarriage::Wheels);
        let off_deg = wrap((heading_deg(&far, &day) - wanted_deg) * DEGREE);
        assert!(off_deg.abs() < 1e-9, "{from_deg}: {off_deg}");
    }
}

#[test]
fn skids_land_into_the_wind_wherever_that_is() {
    // 60 m east of the launch point there is room in every direction.
    let far = plan(20.0, 60.0);
    for from_deg in [0.0, 37.0, 90.0, 179.0, -90.0, -130.0] {
        let day = wind(from_deg, 3.0, Undercarriage::Skids);
        let off_rad = wrap((heading_deg(&far, &day) - from_deg) * DEGREE);
        assert!(off_rad.abs() < 1e-9, "{from_deg}: {off_rad}");
    }
    // In a calm there is no such thing: along the strip.
    assert_eq!(
        heading_deg(&far, &wind(90.0, 0.3, Undercarriage::Skids)),
        0.0
    );
}

#[test]
fn near_the_line_skids_land_as_far_into_the_wind_as_keeps_off_it() {
    // 25 m east: 40 m from the line. A final of 60 m from the west that keeps
    // 10 m off it may be turned by asin(30 / 60) = 30 deg from north; the
    // direction is looked for in steps of 5 deg.
    let near = plan(20.0, 25.0);
    let turned_deg = heading_deg(&near, &wind(90.0, 4.0, Undercarriage::Skids));
    assert!(turned_deg > 24.9 && turned_deg < 30.1, "{turned_deg}");
    // From the west, 40 m beyond the touch: asin(30 / 40) = 48.6 deg.
    let turned_deg = heading_deg(&near, &wind(-90.0, 4.0, Undercarriage::Skids));
    assert!(turned_deg < -44.9 && turned_deg > -48.6, "{turned_deg}");
}

#[test]
fn the_circuit_lies_away_from_the_line() {
    for (from_deg, turns) in [(0.0, Side::Right), (180.0, Side::Left)] {
        let day = wind(from_deg, 3.0, Undercarriage::Skids);
        let circuit = plan(20.0, 25.0).circuit(&Field::open_meadow(), &day);
        assert_eq!(circuit.turns, turns, "{from_deg}");
        let frame = CircuitFrame::of(&circuit);
        // The downwind leg is 35 m farther east than the box.
        let leg_m = frame.at(0.0, 35.0);
        assert!(
            (leg_m - DVec3::new(20.0, 60.0, 0.0)).length() < 1e-9,
            "{leg_m}"
        );
    }
    // Landing west both sides are as far from the line: away from the people,
    // who stand in the south.
    let day = wind(-90.0, 3.0, Undercarriage::Skids);
    let circuit = plan(20.0, 60.0).circuit(&Field::open_meadow(), &day);
    assert_eq!(circuit.turns, Side::Right);
}

#[test]
fn there_and_back_again_is_the_same_place() {
    let day = wind(37.0, 3.0, Undercarriage::Skids);
    let frame = CircuitFrame::of(&plan(20.0, 60.0).circuit(&Field::open_meadow(), &day));
    for (along_m, across_m) in [(0.0, 0.0), (12.0, -7.0), (-80.0, 35.0)] {
        let (along, across) = frame.place(frame.at(along_m, across_m));
        assert!((along - along_m).abs() < 1e-9 && (across - across_m).abs() < 1e-9);
    }
}

#[test]
fn air_starts_lie_where_the_circuit_is() {
    let day = wind(0.0, 2.0, Undercarriage::Skids);
    let frame = CircuitFrame::of(&plan(20.0, 25.0).circuit(&Field::open_meadow(), &day));
    // Landing north with the circuit in the east: 60 m north of the touch point
    // and 35 m east of it, flying south at 12 m.
    let start = AirStart::Downwind { before_m: 60.0 };
    let (place_m, heading_rad) = start.place(Some(&frame)).unwrap_or_default();
    assert!(
        (place_m - DVec3::new(80.0, 60.0, -12.0)).length() < 1e-9,
        "{place_m}"
    );
    assert!((wrap(heading_rad).abs() - PI).abs() < 1e-9);
    let start = AirStart::Final {
        before_m: 50.0,
        height_m: 9.0,
    };
    let (place_m, heading_rad) = start.place(Some(&frame)).unwrap_or_default();
    assert!(
        (place_m - DVec3::new(-30.0, 25.0, -9.0)).length() < 1e-9,
        "{place_m}"
    );
    assert_eq!(heading_rad, 0.0);
    assert_eq!(start.place(None), None);
}
