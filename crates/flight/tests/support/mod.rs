//! Plain wings and aeroplanes for the tests.
#![allow(dead_code, missing_docs)]

use glam::DVec3;
use larkfield_airframe::{
    Airframe, Component, ComponentKind, GripPoint, Measured, Panel, Section, Side, Station,
    SurfaceKind,
};

pub fn station(aft: f64, right: f64, up: f64, chord: f64) -> Station {
    Station {
        leading_edge_m: DVec3::new(-aft, right, -up),
        chord_m: chord,
        incidence_rad: 0.0,
    }
}

pub fn panel(name: &str, kind: SurfaceKind, side: Side, stations: Vec<Station>) -> Panel {
    Panel {
        name: name.into(),
        kind,
        side,
        stations,
        thickness_m: 0.005,
        areal_density_kg_m2: 0.2,
        section: Section::ThinIdeal,
        material: "foam".into(),
        ..blank_panel()
    }
}

fn blank_panel() -> Panel {
    Panel {
        name: String::new(),
        kind: SurfaceKind::Wing,
        side: Side::Centre,
        stations: Vec::new(),
        thickness_m: 0.005,
        areal_density_kg_m2: 0.2,
        section: Section::ThinIdeal,
        material: String::new(),
        colour_top: Default::default(),
        colour_bottom: Default::default(),
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
            position_m: DVec3::new(0.0, 0.0, 0.0),
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
