//! Reference tables, plain wings and comparisons shared by the tests.
#![allow(dead_code, missing_docs)]

use glam::DVec3;
use larkfield_airframe::{
    Airframe, Component, ComponentKind, GripPoint, Measured, Panel, Section, Side, Station,
    SurfaceKind,
};

/// Rows of a reference table: header names and text cells.
pub struct Table {
    names: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

impl Table {
    pub fn read(file: &str) -> Self {
        let path = format!(
            "{}/../../tests/reference/{file}",
            env!("CARGO_MANIFEST_DIR")
        );
        let text = std::fs::read_to_string(&path).expect("reference file");
        let mut lines = text
            .lines()
            .filter(|l| !l.starts_with('#') && !l.is_empty());
        let split = |l: &str| l.split(',').map(str::to_owned).collect::<Vec<_>>();
        let names = split(lines.next().expect("header"));
        Self {
            names,
            rows: lines.map(split).collect(),
        }
    }

    pub fn text<'a>(&self, row: &'a [String], name: &str) -> &'a str {
        let k = self.names.iter().position(|n| n == name).expect("column");
        &row[k]
    }

    pub fn number(&self, row: &[String], name: &str) -> f64 {
        self.text(row, name).parse().expect("number")
    }

    pub fn row(&self, key: &str) -> &[String] {
        self.rows.iter().find(|r| r[0] == key).expect("row")
    }
}

/// Collects comparisons, prints them all, fails at the end if any is out.
#[derive(Default)]
pub struct Checks {
    failed: Vec<String>,
    count: usize,
}

impl Checks {
    pub fn near(&mut self, quantity: &str, ours: f64, reference: f64, allowed: f64) {
        let difference = ours - reference;
        // NaN is never within limits.
        let good = difference.abs() <= allowed;
        let line = format!(
            "{quantity}: ours {ours:.6}, reference {reference:.6}, difference {difference:.6}, allowed {allowed:.6}"
        );
        println!("{} {line}", if good { "ok  " } else { "FAIL" });
        self.count += 1;
        if !good {
            self.failed.push(line);
        }
    }

    pub fn share(&mut self, quantity: &str, ours: f64, reference: f64, share: f64) {
        self.near(quantity, ours, reference, share * reference.abs());
    }

    pub fn finish(self) {
        assert!(self.count > 0, "nothing was compared");
        assert!(
            self.failed.is_empty(),
            "out of limits:\n{}",
            self.failed.join("\n")
        );
    }
}

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
