//! From ruler and protractor to axes and radians: signs and sums by hand.

use std::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::{Airframe, ControlSurface, Gap, Panel, Rotation, Section};
use larkfield_files::airframe::read_airframe;

const DEG: f64 = PI / 180.0;

/// A plane around the panels of a case.
#[track_caller]
fn plane(panels: &str, rest: &str) -> Airframe {
    let text = format!(
        "(schema: 1, name: \"case\",
          sheets: [(name: \"foam\", thickness: \"6 mm\", areal_density: \"200 g/m2\")],
          panels: [{panels}],
          components: [(name: \"stone\", kind: Ballast, mass: \"1 oz\", aft: \"1 in\", right: \"2 in\", up: \"3 in\")],
          {rest})"
    );
    match read_airframe(&text, "case.ron") {
        Ok(airframe) => airframe,
        Err(errors) => panic!("{errors}"),
    }
}

const WING: &str =
    "(name: \"wing\", kind: Wing, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\",
    shape: Straight(span: \"500 mm\", chord: \"200 mm\"))";

#[track_caller]
fn panel<'a>(airframe: &'a Airframe, name: &str) -> &'a Panel {
    match airframe.panels.iter().find(|p| p.name == name) {
        Some(panel) => panel,
        None => panic!("no panel {name}"),
    }
}

#[track_caller]
fn control<'a>(airframe: &'a Airframe, name: &str) -> &'a ControlSurface {
    match airframe.controls.iter().find(|c| c.name == name) {
        Some(control) => control,
        None => panic!("no surface {name}"),
    }
}

#[track_caller]
fn at(ours: DVec3, expected: [f64; 3]) {
    let difference = (ours - DVec3::from_array(expected)).length();
    assert!(difference < 1e-12, "{ours} not {expected:?}");
}

#[track_caller]
fn near(ours: f64, expected: f64) {
    assert!((ours - expected).abs() < 1e-12, "{ours} not {expected}");
}

#[test]
fn aft_and_up_become_forward_and_down() {
    let plane = plane(WING, "");
    at(plane.components[0].position_m, [-0.0254, 0.0508, -0.0762]);
    near(plane.components[0].mass_kg, 0.028_349_523_125);
    let left = panel(&plane, "wing_left");
    at(left.stations[1].leading_edge_m, [0.0, -0.5, 0.0]);
    assert_eq!(left.thickness_m, 0.006);
    assert_eq!(left.areal_density_kg_m2, 0.2);
}

#[test]
fn joined_panels_continue_where_the_inner_one_ends() {
    let plane = plane(
        "(name: \"inner\", kind: Wing, root: (aft: \"10 mm\", out: \"20 mm\", up: \"30 mm\"), sheet: \"foam\",
          shape: Straight(span: \"100 mm\", chord: \"200 mm\", taper: 0.9, sweep: \"45 deg\"),
          dihedral: \"30 deg\", incidence: \"3 deg\", twist: \"-1 deg\", section: ThinIdeal,
          as_built: (warp_left: \"4 deg\", incidence_error: \"0.5 deg\")),
         (name: \"outer\", kind: Wing, joins: \"inner\", shape: Straight(span: \"100 mm\", chord: \"180 mm\", tip_chord: \"90 mm\", tip_aft: \"-5 mm\")),
         (name: \"plate\", kind: EndPlate, joins: \"outer\", shape: Straight(span: \"50 mm\", chord: \"90 mm\"), incidence: \"1 deg\")",
        "",
    );
    let (sin, cos) = (0.5, 3.0_f64.sqrt() / 2.0);
    let inner = panel(&plane, "inner_right");
    at(inner.stations[0].leading_edge_m, [-0.01, 0.02, -0.03]);
    let joint = [-0.11, 0.02 + 0.1 * cos, -0.03 - 0.1 * sin];
    at(inner.stations[1].leading_edge_m, joint);
    near(inner.stations[1].chord_m, 0.18);
    near(inner.stations[0].incidence_rad, 3.5 * DEG);
    near(inner.stations[1].incidence_rad, 2.5 * DEG);
    // The warp of the left half only, and carried on into what is glued to it.
    near(
        panel(&plane, "inner_left").stations[0].incidence_rad,
        3.5 * DEG,
    );
    near(
        panel(&plane, "inner_left").stations[1].incidence_rad,
        6.5 * DEG,
    );
    near(
        panel(&plane, "outer_left").stations[1].incidence_rad,
        6.5 * DEG,
    );
    let outer = panel(&plane, "outer_right");
    at(outer.stations[0].leading_edge_m, joint);
    at(
        outer.stations[1].leading_edge_m,
        [joint[0] + 0.005, joint[1] + 0.1, joint[2]],
    );
    near(outer.stations[1].incidence_rad, 2.5 * DEG);
    assert_eq!(outer.section, Section::ThinIdeal);
    // Upright plates: up from the tips; toed in by 1 deg, which is to port on
    // the right (against the normal) and to starboard on the left.
    let (right, left) = (panel(&plane, "plate_right"), panel(&plane, "plate_left"));
    at(
        right.stations[1].leading_edge_m - right.stations[0].leading_edge_m,
        [0.0, 0.0, -0.05],
    );
    near(right.stations[0].incidence_rad, -DEG);
    near(left.stations[0].incidence_rad, DEG);
}

#[test]
fn a_crooked_wing_turns_about_its_root() {
    let seated = plane(WING, "wing_seat: (yaw: \"2 deg\", roll: \"1 deg\")");
    let (right, left) = (panel(&seated, "wing_right"), panel(&seated, "wing_left"));
    let (r, l) = (
        right.stations[1].leading_edge_m,
        left.stations[1].leading_edge_m,
    );
    // Yaw to the right swings the right tip aft, the left one forward; roll to
    // the right lowers the right one.
    assert!(r.x < -0.015 && l.x > 0.015, "{r} {l}");
    assert!(r.z > 0.008 && l.z < -0.008, "{r} {l}");
    near((r - l).length(), 1.0);
    near((r.z - l.z) / 2.0, 0.5 * (DEG).sin());
}

#[test]
fn outlines_become_stations() {
    let plane = plane(
        &format!(
            "{WING}, (name: \"fin\", kind: Fin, root: (aft: \"500 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
              shape: Outline([(\"0 mm\", \"0 mm\"), (\"100 mm\", \"60 mm\"), (\"100 mm\", \"100 mm\"), (\"60 mm\", \"110 mm\"), (\"0 mm\", \"110 mm\")]),
              as_built: (skew: \"2 deg\", warp: \"1 deg\")),
             (name: \"dart\", kind: Tailplane, root: (aft: \"500 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
              shape: Outline([(\"0 mm\", \"0 mm\"), (\"0 mm\", \"100 mm\"), (\"200 mm\", \"100 mm\")]))"
        ),
        "",
    );
    let fin = panel(&plane, "fin");
    assert_eq!(fin.stations.len(), 3);
    at(fin.stations[1].leading_edge_m, [-0.536, 0.0, -0.06]);
    near(fin.stations[1].chord_m, 0.074);
    near(fin.stations[2].chord_m, 0.04);
    // Leading edge to the right is toward the normal of a fin.
    near(fin.stations[0].incidence_rad, 2.0 * DEG);
    near(fin.stations[2].incidence_rad, 3.0 * DEG);
    // A point is cut where 2 % of the chord are left.
    let dart = panel(&plane, "dart_right");
    near(dart.stations[1].chord_m, 0.002);
    near(dart.stations[1].leading_edge_m.y, 0.196);
    near(dart.stations[1].leading_edge_m.x, -0.598);
}

#[test]
fn travels_in_degrees_or_at_the_trailing_edge() {
    let plane = plane(
        "(name: \"wing\", kind: Wing, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
          shape: Straight(span: \"500 mm\", chord: \"200 mm\", tip_chord: \"100 mm\"),
          hinges: [(name: \"aileron\", function: Aileron, from: \"250 mm\", to: \"90 %\", chord: \"30 mm\", chord_outer: \"50 %\",
            gap: Open(\"0.8 mm\"), travel_up: \"15 mm\", travel_down: \"10 deg\", neutral: Up(\"1 deg\"),
            servo: (speed: \"0.12 s/60deg\", horn_ratio: \"50 %\", reversed: Left), slop: \"1 mm\")])",
        "",
    );
    let left = control(&plane, "aileron_left");
    let right = control(&plane, "aileron_right");
    assert_eq!((left.span_from, left.span_to), (0.5, 0.9));
    near(left.flap_fraction_from, 0.03 / 0.15);
    near(left.flap_fraction_to, 0.5);
    assert_eq!(left.gap, Gap::Open { width_m: 0.0008 });
    // Half the chord behind the hinge: the sine of 30 deg.
    near(left.travel_negative_rad, 30.0 * DEG);
    near(left.travel_positive_rad, 10.0 * DEG);
    near(left.neutral_rad, -DEG);
    near(left.servo.speed_rad_s, 60.0 * DEG / 0.12 / 2.0);
    near(left.servo.slop_rad, (1.0_f64 / 30.0).asin());
    assert!(left.servo.reversed && !right.servo.reversed);
    // Roll right: right one up (negative), left one down.
    assert_eq!((left.mix.roll, right.mix.roll), (1.0, -1.0));
    assert_eq!((left.mix.pitch, left.mix.yaw), (0.0, 0.0));
}

#[test]
fn functions_move_the_way_a_right_plane_does() {
    let plane = plane(
        "(name: \"wing\", kind: Wing, root: (aft: \"0 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
              shape: Straight(span: \"500 mm\", chord: \"200 mm\"),
              hinges: [(name: \"elevon\", function: Elevon, chord: \"20 %\", travel_up: \"20 deg\", travel_down: \"20 deg\", mix: (pitch: \"60 %\", roll: \"40 %\"))]),
             (name: \"vee\", kind: Tailplane, root: (aft: \"500 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal, dihedral: \"40 deg\",
              shape: Straight(span: \"200 mm\", chord: \"100 mm\"),
              hinges: [(name: \"ruddervator\", function: VTail, chord: \"30 %\", travel_up: \"20 deg\", travel_down: \"20 deg\")]),
             (name: \"fin\", kind: Fin, root: (aft: \"500 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
              shape: Straight(span: \"100 mm\", chord: \"100 mm\"),
              hinges: [(name: \"rudder\", function: Rudder, chord: \"30 %\", travel_left: \"25 deg\", travel_right: \"20 deg\")]),
             (name: \"tail\", kind: Tailplane, root: (aft: \"500 mm\", up: \"0 mm\"), sheet: \"foam\", section: ThinIdeal,
              shape: Straight(span: \"200 mm\", chord: \"100 mm\"),
              hinges: [(name: \"elevator\", function: Elevator, chord: \"30 %\", travel_up: \"20 deg\", travel_down: \"15 deg\")])",
        "",
    );
    let mix = |name: &str| {
        let m = control(&plane, name).mix;
        [m.roll, m.pitch, m.yaw]
    };
    // Up elevator is negative; roll right raises the right elevon.
    assert_eq!(mix("elevon_left"), [0.4, -0.6, 0.0]);
    assert_eq!(mix("elevon_right"), [-0.4, -0.6, 0.0]);
    // Nose right: right half down, left half up, seen from behind both to the
    // right.
    assert_eq!(mix("ruddervator_left"), [0.0, -0.5, -0.5]);
    assert_eq!(mix("ruddervator_right"), [0.0, -0.5, 0.5]);
    assert_eq!(mix("elevator_left"), [0.0, -1.0, 0.0]);
    assert_eq!(mix("rudder"), [0.0, 0.0, -1.0]);
    let rudder = control(&plane, "rudder");
    // Positive is to port.
    near(rudder.travel_positive_rad, 25.0 * DEG);
    near(rudder.travel_negative_rad, 20.0 * DEG);
    near(
        control(&plane, "elevator_right").travel_positive_rad,
        15.0 * DEG,
    );
}

#[test]
fn power_and_what_is_assumed() {
    let plane = plane(
        WING,
        "power: (
            motor: (speed_constant: \"1000 rpm/V\"),
            propeller: (diameter: \"10 in\", pitch: \"6 in\", geometry: [
                (radius: \"15 %\", chord: \"20 mm\", twist: \"40 deg\"),
                (radius: \"63.5 mm\", chord: \"18 %\", twist: \"20 deg\", zero_lift: \"-3 deg\"),
                (radius: \"100 %\", chord: \"5 %\", twist: \"9 deg\")]),
            battery: (cells: 3, capacity: \"1300 mAh\", discharge_rate: \"20 C\"),
            hub: (aft: \"-200 mm\", right: \"2 mm\", up: \"10 mm\"), downthrust: \"3 deg\", right_thrust: \"2 deg\")",
    );
    let Some(power) = &plane.power else {
        panic!("no power")
    };
    near(power.motor.speed_constant_rad_s_v, 1000.0 * 2.0 * PI / 60.0);
    near(power.battery.current_limit_a, 26.0);
    at(power.hub_m, [0.2, 0.002, -0.01]);
    let d = power.thrust_direction;
    near(d.length(), 1.0);
    near(d.z, (3.0 * DEG).sin());
    near(d.y / d.x, (2.0 * DEG).tan());
    near(power.propeller.geometry[0].chord_fraction, 0.02 / 0.127);
    near(power.propeller.geometry[1].radius_fraction, 0.5);
    assert_eq!(power.propeller.geometry[2].zero_lift_rad, None);
    assert_eq!(power.propeller.rotation, Rotation::Clockwise);
    // Whatever was left out is named, with value and reason.
    for field in [
        "panels[0].section",
        "power.motor.resistance",
        "power.motor.no_load_current",
        "power.motor.current_limit",
        "power.motor.rotor_inertia",
        "power.propeller.brake",
        "power.propeller.rotation",
        "power.battery.cell_resistance",
        "power.battery.charge",
        "power.controller.current_limit",
        "power.controller.response",
        "power.controller.cutoff_cell",
        "grip",
        "contacts",
        "break_limits",
    ] {
        let found = plane.assumed.iter().find(|a| a.field == field);
        assert!(
            found.is_some_and(|a| !a.value.is_empty() && !a.reason.is_empty()),
            "{field}: {:?}",
            plane.assumed
        );
    }
    assert!(
        plane
            .assumed
            .iter()
            .all(|a| a.field != "power.battery.current_limit")
    );
}

#[test]
fn imperial_and_metric_files_give_the_same_plane() {
    let metric = plane(
        "(name: \"wing\", kind: Wing, root: (aft: \"0 mm\", up: \"25.4 mm\"), sheet: \"foam\", section: ThinIdeal,
          shape: Straight(span: \"571.5 mm\", chord: \"203.2 mm\"))",
        "measured: (mass: \"453.59237 g\", balance_aft: \"63.5 mm\", static_current: \"9 A\")",
    );
    let imperial = plane(
        "(name: \"wing\", kind: Wing, root: (aft: \"0 ft\", up: \"1 in\"), sheet: \"foam\", section: ThinIdeal,
          shape: Straight(span: \"22.5 in\", chord: \"8 in\"))",
        "measured: (mass: \"1 lb\", balance_aft: \"2.5 in\", static_current: \"9 A\")",
    );
    assert_eq!(metric, imperial);
    assert_eq!(metric.measured.balance_x_m, Some(-0.0635));
}

#[test]
fn a_bad_plane_is_still_a_plane() {
    // Balanced behind its own tail: a verdict for others, no refusal.
    let bad = plane(WING, "measured: (balance_aft: \"900 mm\")");
    assert_eq!(bad.measured.balance_x_m, Some(-0.9));
}
