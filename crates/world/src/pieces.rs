//! What came off a plane: pieces that fall, slide and lie, and touch nobody.
//!
//! A piece flies as a tumbling body: weight and a drag that belongs to its mean
//! projected area, which for a thin plate is half of the plate (Cauchy's
//! theorem for convex bodies), with a drag coefficient of about 1.2 square to the
//! wind (handbook value, from memory). On the ground it slides against Coulomb
//! friction. Nothing here acts back on the plane or on anybody else.

use glam::{DQuat, DVec3};
use larkfield_airframe::{Airframe, BreakPart, ComponentKind, MassProperties, Panel, Station};
use larkfield_lesson::Terrain;
use larkfield_pilot::attitude::rotation;

use crate::contact::panel_part;
use crate::motion::Motion;

/// Drag coefficient of a plate square to the wind.
const PLATE_DRAG: f64 = 1.2;
/// Drag area of a propeller or of a leg with its wheel (estimated).
const SMALL_DRAG_AREA_M2: f64 = 0.002;
/// A piece lies about this high on its edges.
const LYING_M: f64 = 0.01;
/// Slower than this it lies still.
const STILL_M_S: f64 = 1e-3;

/// Something that came off.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What it was.
    pub part: BreakPart,
    /// Its mass.
    pub mass_kg: f64,
    /// Drag coefficient times area.
    pub drag_area_m2: f64,
    /// From the plane's centre of gravity to its own, while it was on; body axes.
    pub centre_m: DVec3,
    /// Its own centre of gravity, and how it moves.
    pub motion: Motion,
    /// It has come to rest.
    pub at_rest: bool,
}

impl Piece {
    /// The piece that a part becomes, moving as it moved with the plane; `None`
    /// for a part that stays on, or that has no mass.
    pub fn of(
        airframe: &Airframe,
        mass: &MassProperties,
        part: BreakPart,
        plane: &Motion,
    ) -> Option<Self> {
        let kind = match part {
            BreakPart::Propeller => Some(ComponentKind::Propeller),
            BreakPart::Gear => Some(ComponentKind::Gear),
            BreakPart::WingLeft | BreakPart::WingRight | BreakPart::Tail => None,
            BreakPart::Nose | BreakPart::Belly => return None,
        };
        let mut names: Vec<&str> = Vec::new();
        let mut area_m2 = 0.0;
        if let Some(kind) = kind {
            let components = airframe.components.iter();
            names.extend(
                components
                    .filter(|c| c.kind == kind)
                    .map(|c| c.name.as_str()),
            );
        } else {
            for panel in airframe.panels.iter().filter(|p| panel_part(p) == part) {
                names.push(&panel.name);
                area_m2 += area_of_m2(panel);
            }
        }
        let items = mass
            .breakdown
            .iter()
            .filter(|item| names.contains(&item.name.as_str()));
        let (mass_kg, moment_kg_m) = items.fold((0.0, DVec3::ZERO), |(mass_kg, moment), item| {
            (mass_kg + item.mass_kg, moment + item.cg_m * item.mass_kg)
        });
        if !(mass_kg > 0.0) {
            return None;
        }
        let centre_m = moment_kg_m / mass_kg - mass.cg_m;
        // A weighed plane's parts are heavier than their sums alike.
        let mass_kg = mass_kg * mass.mass_kg / mass.summed_mass_kg;
        Some(Self {
            part,
            mass_kg,
            drag_area_m2: (0.5 * PLATE_DRAG * area_m2).max(SMALL_DRAG_AREA_M2),
            centre_m,
            motion: Motion {
                position_m: plane.point_m(centre_m),
                velocity_m_s: plane.point_velocity_m_s(centre_m),
                ..*plane
            },
            at_rest: false,
        })
    }

    /// Moves it on; returns true when it has just come to rest.
    pub fn step(
        &mut self,
        wind_m_s: DVec3,
        density_kg_m3: f64,
        gravity_m_s2: f64,
        terrain: &Terrain,
        tick_s: f64,
    ) -> bool {
        if self.at_rest {
            return false;
        }
        let motion = &mut self.motion;
        let through_m_s = motion.velocity_m_s - wind_m_s;
        // Drag at the speed of the end of the tick: stable however light it is.
        let drag_per_s =
            0.5 * density_kg_m3 * self.drag_area_m2 * through_m_s.length() / self.mass_kg;
        let before_m_s = motion.velocity_m_s;
        let pulled = motion.velocity_m_s + DVec3::Z * (gravity_m_s2 * tick_s);
        motion.velocity_m_s =
            (pulled + wind_m_s * (drag_per_s * tick_s)) / (1.0 + drag_per_s * tick_s);
        let lowest_z_m = -LYING_M;
        let mean_m_s = |after: DVec3| (before_m_s + after) * 0.5;
        let falls_to_m = motion.position_m + mean_m_s(motion.velocity_m_s) * tick_s;
        if falls_to_m.z < lowest_z_m {
            motion.position_m = falls_to_m;
            let turn_rad = motion.rates_rad_s * tick_s;
            motion.attitude = (motion.attitude * rotation(turn_rad)).normalize();
            return false;
        }
        // On the ground: the blow stops the fall, and friction takes its share
        // of it from the slide.
        let ground = terrain.at(motion.position_m.x, motion.position_m.y);
        let slide_m_s = DVec3::new(motion.velocity_m_s.x, motion.velocity_m_s.y, 0.0);
        let taken_m_s = ground.friction * motion.velocity_m_s.z.max(0.0);
        let speed_m_s = slide_m_s.length();
        let left = if speed_m_s > taken_m_s {
            1.0 - taken_m_s / speed_m_s
        } else {
            0.0
        };
        motion.velocity_m_s = slide_m_s * left;
        let from_m_s = DVec3::new(before_m_s.x, before_m_s.y, 0.0);
        motion.position_m += (from_m_s + motion.velocity_m_s) * (0.5 * tick_s);
        motion.position_m.z = lowest_z_m;
        motion.rates_rad_s = DVec3::ZERO;
        motion.attitude = flat(motion.attitude);
        self.at_rest = motion.velocity_m_s.length() < STILL_M_S;
        self.at_rest
    }
}

/// Trapezia between the stations.
fn area_of_m2(panel: &Panel) -> f64 {
    let between = |pair: &[Station]| {
        let across = pair[1].leading_edge_m - pair[0].leading_edge_m;
        0.5 * (pair[0].chord_m + pair[1].chord_m)
            * (across.y * across.y + across.z * across.z).sqrt()
    };
    panel.stations.windows(2).map(between).sum()
}

/// The same heading, lying flat.
fn flat(attitude: DQuat) -> DQuat {
    let turn = DQuat::from_xyzw(0.0, 0.0, attitude.z, attitude.w);
    if turn.length_squared() > 1e-12 {
        turn.normalize()
    } else {
        DQuat::IDENTITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_lesson::{Ground, GroundKind};

    const GRAVITY_M_S2: f64 = 9.80665;
    const TICK_S: f64 = 0.002;

    fn piece(height_m: f64, velocity_m_s: DVec3) -> Piece {
        Piece {
            centre_m: DVec3::ZERO,
            part: BreakPart::WingLeft,
            mass_kg: 0.03,
            drag_area_m2: 0.08,
            motion: Motion {
                velocity_m_s,
                ..Motion::at_rest(DVec3::new(0.0, 0.0, -height_m - LYING_M))
            },
            at_rest: false,
        }
    }

    fn rest(mut piece: Piece, wind_m_s: DVec3, density_kg_m3: f64) -> (Piece, f64) {
        let terrain = Terrain::uniform(Ground::usual(GroundKind::MownGrass));
        let mut ticks = 0;
        while !piece.step(wind_m_s, density_kg_m3, GRAVITY_M_S2, &terrain, TICK_S) {
            ticks += 1;
            assert!(ticks < 100_000, "never rests");
        }
        (piece, f64::from(ticks) * TICK_S)
    }

    /// In a vacuum: down after sqrt(2 h / g); the blow of the landing takes
    /// mu v_z from the slide, the rest slides v^2 / (2 mu g).
    #[test]
    fn without_air_it_falls_and_slides_as_galileo_and_coulomb_say() {
        let (height_m, speed_m_s, mu) = (1.0, 6.0, 0.45);
        let fall_s = (2.0_f64 * height_m / GRAVITY_M_S2).sqrt();
        let left_m_s = speed_m_s - mu * GRAVITY_M_S2 * fall_s;
        let by_hand_m = speed_m_s * fall_s + left_m_s * left_m_s / (2.0 * mu * GRAVITY_M_S2);
        let (piece, time_s) = rest(piece(height_m, DVec3::X * speed_m_s), DVec3::ZERO, 0.0);
        let slid_m = piece.motion.position_m.x;
        assert!(
            (slid_m / by_hand_m - 1.0).abs() < 0.01,
            "{slid_m} {by_hand_m}"
        );
        let by_hand_s = fall_s + left_m_s / (mu * GRAVITY_M_S2);
        assert!(
            (time_s / by_hand_s - 1.0).abs() < 0.01,
            "{time_s} {by_hand_s}"
        );
    }

    /// Long enough in the air it sinks at sqrt(2 m g / (rho Cd A)) and drifts
    /// with the wind.
    #[test]
    fn in_air_it_sinks_at_its_terminal_speed_and_drifts() {
        let terrain = Terrain::uniform(Ground::usual(GroundKind::MownGrass));
        let mut piece = piece(100.0, DVec3::ZERO);
        let wind_m_s = DVec3::new(0.0, 3.0, 0.0);
        for _ in 0..2500 {
            piece.step(wind_m_s, 1.225, GRAVITY_M_S2, &terrain, TICK_S);
        }
        let by_hand_m_s = (2.0 * 0.03 * GRAVITY_M_S2 / (1.225 * 0.08_f64)).sqrt();
        let velocity_m_s = piece.motion.velocity_m_s;
        assert!(
            (velocity_m_s.z / by_hand_m_s - 1.0).abs() < 0.002,
            "{velocity_m_s}"
        );
        assert!((velocity_m_s.y - 3.0).abs() < 0.01, "{velocity_m_s}");
    }
}
