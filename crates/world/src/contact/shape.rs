//! Which points of an aeroplane can touch the ground.
//!
//! Over flat ground only the corners of a body's convex hull ever touch, so a
//! plane is a set of small balls: the contact points of its file, plus the
//! corners of its panels, bodies and propeller. One ball gives one contact, its
//! own friction and the part that takes the blow.

use glam::DVec3;
use larkfield_airframe::{
    Airframe, BreakPart, ContactKind, Leg, Panel, Side, SurfaceKind, chord_aft,
};
use larkfield_lesson::{Ground, GroundKind};

/// Smallest ball: thinner sheet is treated as this thick, so that contact
/// points stay well above the rounding of f32 at the far end of the field.
const LEAST_RADIUS_M: f64 = 0.002;

/// A ball that can touch the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactShape {
    /// Name for events.
    pub name: String,
    /// How it touches.
    pub kind: ContactKind,
    /// Centre in body axes (from the centre of gravity).
    pub centre_m: DVec3,
    /// Radius.
    pub radius_m: f64,
    /// Coulomb friction across x; like the next on mown grass.
    pub friction: f64,
    /// The same along x: rolling resistance of a wheel.
    pub friction_along: f64,
    /// Angle to starboard by which the yaw command turns it at full right.
    pub steering_rad: f64,
    /// What it is held by, when that gives way.
    pub leg: Option<Leg>,
    /// Part that takes the blow.
    pub part: BreakPart,
}

impl ContactShape {
    /// A hard corner that slides alike in every direction.
    pub fn corner(
        name: impl Into<String>,
        centre_m: DVec3,
        radius_m: f64,
        friction: f64,
        part: BreakPart,
    ) -> Self {
        Self {
            name: name.into(),
            kind: ContactKind::HardPoint,
            centre_m,
            radius_m,
            friction,
            friction_along: friction,
            steering_rad: 0.0,
            leg: None,
            part,
        }
    }

    /// Where its centre is when it gives way no more.
    pub(super) fn hard_centre_m(&self) -> DVec3 {
        self.centre_m - DVec3::Z * self.leg.map_or(0.0, |leg| leg.travel_m)
    }

    /// How far it gives way under a load.
    pub(super) fn sag_m(&self, load_n: f64) -> f64 {
        self.leg.map_or(0.0, |leg| {
            (load_n / leg.stiffness_n_m).max(0.0).min(leg.travel_m)
        })
    }
}

/// All balls of an airframe, in an order that depends on nothing but the file.
/// `cg_m` is the centre of gravity in airframe axes. Points that the file does
/// not mention slide as a belly does on mown grass.
pub fn contact_shapes(airframe: &Airframe, cg_m: DVec3) -> Vec<ContactShape> {
    let bare_friction = Ground::usual(GroundKind::MownGrass).friction;
    let mut shapes = Vec::new();
    for contact in &airframe.contacts {
        shapes.push(ContactShape {
            name: contact.name.clone(),
            kind: contact.kind,
            centre_m: contact.position_m - cg_m,
            radius_m: contact.radius_m.max(LEAST_RADIUS_M),
            friction: contact.friction,
            friction_along: contact.friction_along,
            steering_rad: contact.steering_rad,
            leg: contact.leg,
            part: contact.part,
        });
    }
    for panel in &airframe.panels {
        push_panel(&mut shapes, panel, cg_m, bare_friction);
    }
    push_bodies(&mut shapes, airframe, cg_m, bare_friction);
    push_propeller(&mut shapes, airframe, cg_m, bare_friction);
    shapes
}

/// The part a panel belongs to.
pub fn panel_part(panel: &Panel) -> BreakPart {
    let outboard_y_m = panel
        .stations
        .last()
        .map_or(0.0, |station| station.leading_edge_m.y);
    match (panel.kind, panel.side) {
        (SurfaceKind::Tailplane | SurfaceKind::Fin, _) => BreakPart::Tail,
        (_, Side::Left) => BreakPart::WingLeft,
        (_, Side::Right) => BreakPart::WingRight,
        (_, Side::Centre) if outboard_y_m < 0.0 => BreakPart::WingLeft,
        (_, Side::Centre) => BreakPart::WingRight,
    }
}

/// Leading and trailing corner of the outer station, and of every inner station
/// where the panel bends; the root corners lie inside the hull or on another panel.
fn push_panel(shapes: &mut Vec<ContactShape>, panel: &Panel, cg_m: DVec3, bare_friction: f64) {
    let part = panel_part(panel);
    let radius_m = (panel.thickness_m / 2.0).max(LEAST_RADIUS_M);
    for bay in panel.stations.windows(2) {
        let [inner, station] = bay else { continue };
        let normal = panel.flat_normal(station.leading_edge_m - inner.leading_edge_m);
        let aft_m = chord_aft(normal, station.incidence_rad) * station.chord_m;
        let corners = [
            ("leading corner", station.leading_edge_m),
            ("trailing corner", station.leading_edge_m + aft_m),
        ];
        for (corner, position_m) in corners {
            shapes.push(ContactShape::corner(
                format!("{} {corner}", panel.name),
                position_m - cg_m,
                radius_m,
                bare_friction,
                part,
            ));
        }
    }
}

/// Four corners of every cross-section. The foremost station is the nose, the
/// hindmost belongs to the tail, the rest to the belly.
fn push_bodies(
    shapes: &mut Vec<ContactShape>,
    airframe: &Airframe,
    cg_m: DVec3,
    bare_friction: f64,
) {
    for body in &airframe.bodies {
        let last = body.stations.len().saturating_sub(1);
        for (index, station) in body.stations.iter().enumerate() {
            let part = if index == 0 {
                BreakPart::Nose
            } else if index == last {
                BreakPart::Tail
            } else {
                BreakPart::Belly
            };
            let radius_m = (body.thickness_m / 2.0).max(LEAST_RADIUS_M);
            let half_width_m = (station.width_m / 2.0 - radius_m).max(0.0);
            let half_height_m = (station.height_m / 2.0 - radius_m).max(0.0);
            for (side, y_sign) in [("port", -1.0), ("starboard", 1.0)] {
                for (level, z_sign) in [("upper", -1.0), ("lower", 1.0)] {
                    let position_m = DVec3::new(
                        station.x_m,
                        body.y_m + y_sign * half_width_m,
                        station.z_m + z_sign * half_height_m,
                    );
                    shapes.push(ContactShape::corner(
                        format!("{} {level} {side} corner {index}", body.name),
                        position_m - cg_m,
                        radius_m,
                        bare_friction,
                        part,
                    ));
                }
            }
        }
    }
}

/// Hub and two blade tips. A propeller that strikes the ground ends up across
/// the fuselage, so the blades are laid out to port and starboard; the turning
/// disk is looked after by the damage rules.
fn push_propeller(
    shapes: &mut Vec<ContactShape>,
    airframe: &Airframe,
    cg_m: DVec3,
    bare_friction: f64,
) {
    let Some(power) = &airframe.power else {
        return;
    };
    let hub_m = power.hub_m - cg_m;
    let tip_m = power.propeller.diameter_m / 2.0;
    let points = [
        ("propeller hub", hub_m, 0.008),
        (
            "propeller blade port",
            hub_m - DVec3::Y * tip_m,
            LEAST_RADIUS_M,
        ),
        (
            "propeller blade starboard",
            hub_m + DVec3::Y * tip_m,
            LEAST_RADIUS_M,
        ),
    ];
    for (name, centre_m, radius_m) in points {
        shapes.push(ContactShape::corner(
            name,
            centre_m,
            radius_m,
            bare_friction,
            BreakPart::Propeller,
        ));
    }
}

/// Largest distance of any ball's far side from the centre of gravity.
pub fn reach_m(shapes: &[ContactShape]) -> f64 {
    shapes.iter().fold(0.0, |reach: f64, shape| {
        reach.max(shape.centre_m.length() + shape.radius_m)
    })
}
