//! Derivatives against vortex-lattice tables (tests/reference; sources in
//! their headers). Thin ideal section, so no viscous correction enters.
#![allow(missing_docs)]

mod support;

use larkfield_airframe::{ControlMix, Side, SurfaceKind};
use larkfield_flight::AirProperties;
use larkfield_preflight::{Derivatives, ReferenceSizes, derivatives_at};
use larkfield_proof::{Chapter, Checks, Table};
use support::{airframe, hinged, mirrored, panel, polyhedral, station};

const AIR: AirProperties = AirProperties {
    density_kg_m3: 1.225,
    viscosity_pa_s: 1.81e-5,
};

/// Limit of the fin's quantities.
const FIN: f64 = 0.15;

struct Trainer {
    name: &'static str,
    span: f64,
    chord: f64,
    poly: (f64, f64),
    tail: [f64; 4],
    fin: [f64; 3],
    cg: f64,
    elevator: f64,
    rudder: f64,
}

/// From the header of whole_airframes.csv.
const TRAINERS: [Trainer; 2] = [
    Trainer {
        name: "trainer_a",
        span: 1.15,
        chord: 0.205,
        poly: (0.62, 18.0),
        tail: [0.62, 0.02, 0.42, 0.13],
        fin: [0.6, 0.17, 0.15],
        cg: 0.065,
        elevator: 0.4,
        rudder: 0.45,
    },
    Trainer {
        name: "trainer_b",
        span: 0.9,
        chord: 0.17,
        poly: (0.5, 12.0),
        tail: [0.5, 0.0, 0.32, 0.1],
        fin: [0.49, 0.14, 0.12],
        cg: 0.05,
        elevator: 0.35,
        rudder: 0.4,
    },
];

fn fly(t: &Trainer) -> Derivatives {
    let mut panels = mirrored(
        "wing",
        SurfaceKind::Wing,
        &polyhedral(t.span, t.chord, t.poly.0, t.poly.1),
    );
    let [xt, zt, st, ct] = t.tail;
    panels.extend(mirrored(
        "tail",
        SurfaceKind::Tailplane,
        &[station(xt, 0.0, zt, ct), station(xt, 0.5 * st, zt, ct)],
    ));
    let [xf, hf, cf] = t.fin;
    panels.push(panel(
        "fin",
        SurfaceKind::Fin,
        Side::Centre,
        vec![
            station(xf, 0.0, zt, cf),
            station(xf + 0.03, 0.0, zt + hf, cf - 0.03),
        ],
    ));
    let mut plane = airframe(panels, t.cg);
    let up = ControlMix {
        pitch: -1.0,
        ..ControlMix::default()
    };
    let right = ControlMix {
        yaw: -1.0,
        ..ControlMix::default()
    };
    plane.controls = vec![
        hinged("elevator_right", 2, t.elevator, up),
        hinged("elevator_left", 3, t.elevator, up),
        hinged("rudder", 4, t.rudder, right),
    ];
    let sizes = ReferenceSizes {
        area_m2: t.span * t.chord,
        span_m: t.span,
        chord_m: t.chord,
    };
    derivatives_at(&plane, AIR, 8.0, 3.0_f64.to_radians(), sizes).expect("flies")
}

#[test]
fn whole_trainers_match_a_vortex_lattice() {
    let table = Table::read("whole_airframes.csv");
    let mut checks = Checks::against(
        Chapter::Airframes,
        "Whole trainers against a vortex lattice",
        &table,
    );
    for t in &TRAINERS {
        let d = fly(t);
        let get = |name: &str| table.number(table.row(t.name), name);
        let mut share = |name: &str, ours: f64, share: f64| {
            checks.share(&format!("{} {name}", t.name), ours, get(name), share);
        };
        share("CLa_per_rad", d.cl_lift_alpha_per_rad, 0.05);
        share("Cma_per_rad", d.cm_alpha_per_rad, 0.10);
        // The table turns the plane about the origin of its geometry, the wing
        // root's leading edge (its CLq of a plain wing about that point is 1.5
        // times the lift slope, which is what turning about the leading edge
        // gives the three-quarter chord). Ours turn about the balance point;
        // the difference is a rate of angle of attack or sideslip.
        let (ahead_chords, ahead_spans) = (2.0 * t.cg / t.chord, 2.0 * t.cg / t.span);
        let cm_q = d.cm_q + ahead_chords * d.cm_alpha_per_rad;
        let cl_q = d.cl_lift_q + ahead_chords * d.cl_lift_alpha_per_rad;
        let cn_r = d.cn_r - ahead_spans * d.cn_beta_per_rad;
        share("Cmq_per_rad", cm_q, 0.12);
        share("Clp_per_rad", d.cl_roll_p, 0.12);
        // 15 % is wanted; the fin is 20 % weak beside this table, in Cnb, Cnr
        // and rudder alike. The limits say how far it may go, not what is good.
        share("Cnb_per_rad", d.cn_beta_per_rad, FIN);
        share("Clb_per_rad", d.cl_roll_beta_per_rad, 0.15);
        share("Cnr_per_rad", cn_r, FIN);
        share("CLq_per_rad", cl_q, 0.12);
        // A nose-up command turns the trailing edge up, a nose-right one to
        // starboard: both against the table's sign.
        let elevator = |x: f64| -d.pitch_command.per_rad(x).expect("elevator");
        let rudder = |x: f64| -d.yaw_command.per_rad(x).expect("rudder");
        share(
            "CL_elevator",
            elevator(d.pitch_command.cl_lift_per_command),
            0.15,
        );
        share(
            "Cm_elevator",
            elevator(d.pitch_command.cm_per_command),
            0.15,
        );
        share("Cn_rudder", rudder(d.yaw_command.cn_per_command), FIN);
        checks.near(
            &format!("{} neutral point", t.name),
            d.neutral_point_aft_m,
            table.number(table.row(t.name), "neutral_point_x_m"),
            0.03 * t.chord,
        );
        println!(
            "{}: CYb {:.4} Cnp {:.4} Clr {:.4} Cl_rudder {:.4}",
            t.name,
            d.cy_beta_per_rad,
            d.cn_p,
            d.cl_roll_r,
            rudder(d.yaw_command.cl_roll_per_command)
        );
    }
    checks.finish();
}

#[test]
fn wings_alone_match_a_vortex_lattice() {
    let table = Table::read("finite_wings.csv");
    let mut checks = Checks::against(
        Chapter::FiniteWings,
        "Wings alone as preflight reports them",
        &table,
    );
    let rect = |span: f64| {
        vec![
            station(0.0, 0.0, 0.0, 0.2),
            station(0.0, 0.5 * span, 0.0, 0.2),
        ]
    };
    let (s5, c5) = (
        libm::sin(5.0_f64.to_radians()),
        libm::cos(5.0_f64.to_radians()),
    );
    let wings = [
        ("rect_ar4", rect(0.8)),
        ("rect_ar5", rect(1.0)),
        ("rect_ar6", rect(1.2)),
        ("rect_ar8", rect(1.6)),
        (
            "dihedral_5_ar6",
            vec![
                station(0.0, 0.0, 0.0, 0.2),
                station(0.0, 0.6 * c5, 0.6 * s5, 0.2),
            ],
        ),
        ("polyhedral_0.6_20deg", polyhedral(1.2, 0.2, 0.6, 20.0)),
    ];
    for (name, stations) in wings {
        let plane = airframe(mirrored("wing", SurfaceKind::Wing, &stations), 0.05);
        let sizes = ReferenceSizes {
            area_m2: table.number(table.row(name), "area_m2"),
            span_m: table.number(table.row(name), "span_m"),
            chord_m: table.number(table.row(name), "mac_m"),
        };
        let d = derivatives_at(&plane, AIR, 8.0, 4.0_f64.to_radians(), sizes).expect("flies");
        let mut share = |column: &str, ours: f64, share: f64| {
            let reference = table.number(table.row(name), column);
            checks.share(&format!("{name} {column}"), ours, reference, share);
        };
        share("CLa_per_rad", d.cl_lift_alpha_per_rad, 0.04);
        share("CL_at_4deg", d.lift_coefficient, 0.04);
        share("Clp_per_rad", d.cl_roll_p, 0.08);
        share("Cnp_per_rad", d.cn_p, 0.25);
        share("Clr_per_rad", d.cl_roll_r, 0.25);
        share("CDi_at_4deg", d.drag_coefficient, 0.10);
        if !name.starts_with("rect") {
            share("Clb_per_rad", d.cl_roll_beta_per_rad, 0.12);
        }
        checks.near(
            &format!("{name} neutral point"),
            d.neutral_point_aft_m,
            table.number(table.row(name), "neutral_point_x_m"),
            0.02 * sizes.chord_m,
        );
    }
    checks.finish();
}
