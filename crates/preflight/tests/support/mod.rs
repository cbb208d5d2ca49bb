//! Plain wings and aeroplanes for the tests.
#![allow(dead_code, missing_docs)]

use glam::DVec3;
use larkfield_airframe::{
    Airframe, Colour, Component, ComponentKind, ControlMix, ControlSurface, Gap, GripPoint,
    Measured, Panel, Section, Servo, Side, Station, SurfaceKind,
};

pub fn station(aft: f64, right: f64, up: f64, chord: f64) -> Station {
    Station {
        leading_edge_m: DVec3::new(-aft, right, -up),
        chord_m: chord,
        incidence_rad: 0.0,
    }
}

pub fn panel(name: &str, kind: SurfaceKind, side: Side, stations: Vec<Station>) -> Panel {
    let white = Colour {
        red: 255,
        green: 255,
        blue: 255,
    };
    Panel {
        name: name.into(),
        kind,
        side,
        stations,
        thickness_m: 0.005,
        areal_density_kg_m2: 0.2,
        section: Section::ThinIdeal,
        material: "foam".into(),
        colour_top: white,
        colour_bottom: white,
    }
}

/// Both halves of a symmetric surface from its starboard stations.
pub fn mirrored(name: &str, kind: SurfaceKind, right: &[Station]) -> Vec<Panel> {
    let left = right
        .iter()
        .map(|s| Station {
            leading_edge_m: s.leading_edge_m * DVec3::new(1.0, -1.0, 1.0),
            ..*s
        })
        .collect();
    vec![
        panel(&format!("{name}_right"), kind, Side::Right, right.to_vec()),
        panel(&format!("{name}_left"), kind, Side::Left, left),
    ]
}

/// Starboard stations of a wing whose outer panels are bent up; lengths along
/// the sheet.
pub fn polyhedral(span: f64, chord: f64, fraction: f64, tip_deg: f64) -> Vec<Station> {
    let half = 0.5 * span;
    let (s, c) = (
        libm::sin(tip_deg.to_radians()),
        libm::cos(tip_deg.to_radians()),
    );
    let out = half * (1.0 - fraction);
    vec![
        station(0.0, 0.0, 0.0, chord),
        station(0.0, half * fraction, 0.0, chord),
        station(0.0, half * fraction + out * c, out * s, chord),
    ]
}

pub fn airframe(panels: Vec<Panel>, cg_aft_m: f64) -> Airframe {
    Airframe {
        name: "test".into(),
        build_note: String::new(),
        panels,
        controls: Vec::new(),
        bodies: Vec::new(),
        components: vec![Component {
            name: "ballast".into(),
            kind: ComponentKind::Ballast,
            mass_kg: 0.3,
            position_m: DVec3::ZERO,
            size_m: DVec3::splat(0.05),
        }],
        power: None,
        grip: GripPoint {
            position_m: DVec3::ZERO,
        },
        contacts: Vec::new(),
        break_limits: Vec::new(),
        measured: Measured {
            balance_x_m: Some(-cg_aft_m),
            ..Measured::default()
        },
        assumed: Vec::new(),
    }
}

/// Whole-span hinged surface with ten degrees of travel each way.
pub fn hinged(name: &str, panel: usize, fraction: f64, mix: ControlMix) -> ControlSurface {
    let travel = 10.0_f64.to_radians();
    ControlSurface {
        name: name.into(),
        panel,
        span_from: 0.0,
        span_to: 1.0,
        flap_fraction_from: fraction,
        flap_fraction_to: fraction,
        gap: Gap::Sealed,
        travel_positive_rad: travel,
        travel_negative_rad: travel,
        neutral_rad: 0.0,
        mix,
        servo: Servo {
            speed_rad_s: 5.0,
            dead_band: 0.0,
            slop_rad: 0.0,
            reversed: false,
        },
    }
}
