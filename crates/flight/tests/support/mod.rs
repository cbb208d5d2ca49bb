//! Plain wings and aeroplanes for the tests.
#![allow(dead_code, missing_docs)]

use glam::{DQuat, DVec3, EulerRot};
use larkfield_airframe::{
    Airframe, Component, ComponentKind, EdgeShape, GripPoint, Measured, Panel, Section, Side,
    Station, SurfaceKind,
};
use larkfield_flight::section::{FlapTheory, SectionFlow, SectionModel};
use larkfield_flight::{
    AirProperties, CarriedMotion, Controls, FlightModel, FlightState, LocalWind, Surroundings,
};

/// Sea-level air of the standard atmosphere (ISO 2533).
pub const AIR: AirProperties = AirProperties {
    density_kg_m3: 1.225,
    viscosity_pa_s: 1.789e-5,
};
pub const GRAVITY_M_S2: f64 = 9.80665;

/// Still air over flat ground.
pub fn still_air() -> Surroundings {
    Surroundings {
        wind: LocalWind::default(),
        ground_z_m: 0.0,
        gravity_m_s2: GRAVITY_M_S2,
    }
}

/// Thrown level into still air from 1.8 m, the nose along the path: held for a
/// second while the motor runs up and the arm reaches its speed.
pub fn thrown(
    model: &FlightModel,
    speed_m_s: f64,
    pitch_deg: f64,
    controls: &Controls,
    tick_s: f64,
) -> FlightState {
    let pitch = pitch_deg.to_radians();
    let velocity = speed_m_s * DVec3::new(pitch.cos(), 0.0, -pitch.sin());
    let mut state = model.state_at_rest();
    for k in 0..500 {
        let motion = CarriedMotion {
            position_m: DVec3::new(0.0, 0.0, -1.8),
            velocity_m_s: velocity * (f64::from(k) / 499.0),
            attitude: DQuat::from_euler(EulerRot::ZYX, 0.0, pitch, 0.0),
            rates_rad_s: DVec3::ZERO,
        };
        model.carry(&mut state, &motion, controls, &still_air(), tick_s);
    }
    state
}

/// Steady lift, drag and moment coefficients of a section by itself.
pub fn steady(model: &SectionModel, alpha: f64, reynolds: f64) -> (f64, f64, f64) {
    let (s, c) = alpha.sin_cos();
    let flow = SectionFlow {
        sine: s,
        cosine: c,
        free_sine: s,
        free_cosine: c,
        reynolds,
        flap_rad: 0.0,
        flap_followed_rad: 0.0,
    };
    let k = model.at(&flow, &FlapTheory::default());
    let (f, apart) = (k.attachment, 1.0 - k.attachment);
    let normal = apart * k.normal_separated;
    (
        f * k.lift_attached + normal * c,
        f * k.drag_attached + apart * k.drag_separated + normal * s,
        f * k.moment_attached + (1.0 - f.powi(6)) * k.moment_separated,
    )
}

/// Forces across and along the flow, moments about body axes.
#[derive(Debug, Clone, Copy)]
pub struct Coefficients {
    pub lift: f64,
    pub drag: f64,
    pub roll: f64,
    pub pitch: f64,
    pub yaw: f64,
}

/// A wing or plane held in steady flow.
pub struct Tunnel {
    pub model: FlightModel,
    pub area_m2: f64,
    pub span_m: f64,
    pub chord_m: f64,
    pub speed_m_s: f64,
    /// Of the centre of gravity over the ground.
    pub height_m: f64,
}

impl Tunnel {
    /// Far from the ground, wing area and span as given.
    pub fn new(plane: &Airframe, area_m2: f64, span_m: f64, speed_m_s: f64) -> Self {
        Self {
            model: FlightModel::new(plane, AIR).expect("model"),
            area_m2,
            span_m,
            chord_m: area_m2 / span_m,
            speed_m_s,
            height_m: 100.0,
        }
    }

    /// Settled coefficients at angles and dimensionless rates.
    pub fn at(&self, alpha_rad: f64, beta_rad: f64, rates: DVec3) -> Coefficients {
        let v = self.speed_m_s;
        let mut state = self.model.state_at_rest();
        state.position_m.z = -self.height_m;
        state.attitude = DQuat::IDENTITY;
        state.velocity_m_s = v * DVec3::new(
            alpha_rad.cos() * beta_rad.cos(),
            beta_rad.sin(),
            alpha_rad.sin() * beta_rad.cos(),
        );
        state.rates_rad_s = rates * 2.0 * v / DVec3::new(self.span_m, self.chord_m, self.span_m);
        let loads = self.model.settled_loads(&mut state, 0.0, &still_air());
        self.coefficients(alpha_rad, loads.air_force_n, loads.air_moment_n_m)
    }

    /// Coefficients of a force and moment.
    pub fn coefficients(&self, alpha_rad: f64, f: DVec3, m: DVec3) -> Coefficients {
        let (s, c) = alpha_rad.sin_cos();
        let q = 0.5 * AIR.density_kg_m3 * self.speed_m_s * self.speed_m_s * self.area_m2;
        Coefficients {
            lift: (-f.z * c + f.x * s) / q,
            drag: (-f.x * c - f.z * s) / q,
            roll: m.x / q / self.span_m,
            pitch: m.y / q / self.chord_m,
            yaw: m.z / q / self.span_m,
        }
    }
}

/// A straight wing of constant chord.
pub fn straight_wing(span_m: f64, chord_m: f64, section: Section) -> Airframe {
    let stations = [
        station(0.0, 0.0, 0.0, chord_m),
        station(0.0, 0.5 * span_m, 0.0, chord_m),
    ];
    wing_of(&stations, section)
}

/// A wing of starboard stations, balanced at a quarter of its root chord.
pub fn wing_of(stations: &[Station], section: Section) -> Airframe {
    let mut panels = mirrored("wing", SurfaceKind::Wing, stations);
    for panel in &mut panels {
        panel.section = section.clone();
    }
    airframe(panels, 0.25 * stations[0].chord_m)
}

/// Starboard half of an elliptic wing with a straight quarter-chord line.
pub fn elliptic_half(span_m: f64, root_m: f64) -> Vec<Station> {
    const PIECES: u32 = 10;
    (0..=PIECES)
        .map(|k| {
            let angle = 0.5 * core::f64::consts::PI * f64::from(k) / f64::from(PIECES);
            let chord = root_m * angle.cos().max(0.03);
            let aft = 0.25 * (root_m - chord);
            station(aft, 0.5 * span_m * angle.sin(), 0.0, chord)
        })
        .collect()
}

/// Foam sheet with rounded edges and no fold.
pub fn foam() -> Section {
    Section::FoamSheet {
        edges: EdgeShape::Rounded,
        fold: None,
    }
}

/// An aeroplane of the shipped folder.
pub fn shipped(name: &str) -> Airframe {
    let path = format!(
        "{}/../../shared/airframes/{name}.ron",
        env!("CARGO_MANIFEST_DIR")
    );
    let text = std::fs::read_to_string(&path).expect("shipped airframe");
    larkfield_files::airframe::read_airframe(&text, &path).expect("readable airframe")
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
