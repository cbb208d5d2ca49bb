//! Air loads on bodies at any angle.
//!
//! Potential part: slender-body theory (Munk 1924), a force in proportion to
//! the change of cross-section, which gives the nose-up couple of a body at
//! incidence; behind the widest section separation leaves part of it
//! (common practice, no source). Cross-flow part: drag of a box section
//! across the flow (Allen and Perkins's method; coefficient of a rectangular
//! bar from Hoerner 1965, from memory). Along the axis: turbulent friction
//! and the base.

use core::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::Airframe;

use crate::lanes::{Lanes, Lanes3, Processor, WIDTH, Wide3};
use crate::power::Slipstream;

/// Drag coefficient of a square bar across the flow.
const CROSS_FLOW_DRAG: f64 = 1.4;
/// Friction of rough sheet with edges and openings, on wetted area.
const FRICTION: f64 = 0.010;
/// Share of slender-body force that a closing tail still carries.
const TAIL_SHARE: f64 = 0.35;

/// Eight slices of bodies; those that are not there have no area.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Slices {
    centre_m: Lanes3,
    /// Half the friction area, along the axis.
    friction_m2: Lanes,
    /// Half the drag areas of the cross-flow, across and along z.
    drag_y_m2: Lanes,
    drag_z_m2: Lanes,
    /// Change of equivalent circular area from the front to the back face.
    growth_y_m2: Lanes,
    growth_z_m2: Lanes,
}

/// Bodies cut into slices, about the centre of gravity.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fuselage {
    slices: Vec<Slices>,
    /// Bluff ends facing forward: centre and area.
    nose: Vec<(DVec3, f64)>,
    /// Foremost and rearmost point of all bodies.
    ends_m: [DVec3; 2],
}

/// What the propeller adds to the flow along the bodies, backward positive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct BodyWash {
    /// At the nose.
    nose_m_s: f64,
    /// On the mean over the length.
    along_m_s: f64,
}

const SLICES: usize = 6;

impl Fuselage {
    pub fn new(airframe: &Airframe, cg_m: DVec3) -> Self {
        let mut slices: Vec<Slices> = Vec::new();
        let mut centres = Vec::new();
        let mut nose = Vec::new();
        for body in &airframe.bodies {
            let (Some(first), Some(last)) = (body.stations.first(), body.stations.last()) else {
                continue;
            };
            let length = first.x_m - last.x_m;
            if length <= 0.0 {
                continue;
            }
            let at = |x_m: f64| {
                let mut k = 0;
                while k + 2 < body.stations.len() && x_m < body.stations[k + 1].x_m {
                    k += 1;
                }
                let (a, b) = (&body.stations[k], &body.stations[k + 1]);
                let t = ((a.x_m - x_m) / (a.x_m - b.x_m).max(1e-9)).clamp(0.0, 1.0);
                let mix = |p: f64, q: f64| p + t * (q - p);
                (
                    mix(a.width_m, b.width_m),
                    mix(a.height_m, b.height_m),
                    mix(a.z_m, b.z_m),
                )
            };
            for k in 0..SLICES {
                let front = first.x_m - length * k as f64 / SLICES as f64;
                let back = first.x_m - length * (k + 1) as f64 / SLICES as f64;
                let (w0, h0, _) = at(front);
                let (w1, h1, _) = at(back);
                let middle = 0.5 * (front + back);
                let (width_m, height_m, z_m) = at(middle);
                // Only the extent across the flow makes apparent mass.
                let (mut gz, mut gy) = (w1 * w1 - w0 * w0, h1 * h1 - h0 * h0);
                if k == 0 {
                    gz += w0 * w0;
                    gy += h0 * h0;
                }
                let scale = |g: f64| 0.25 * PI * g * if g < 0.0 { TAIL_SHARE } else { 1.0 };
                let centre_m = DVec3::new(middle, body.y_m, z_m) - cg_m;
                let length_m = front - back;
                let lane = centres.len() % WIDTH;
                centres.push(centre_m);
                if lane == 0 {
                    slices.push(Slices::default());
                }
                if let Some(slices) = slices.last_mut() {
                    let wet_m2 = 2.0 * (width_m + height_m) * length_m;
                    slices.centre_m.set(lane, centre_m);
                    slices.friction_m2.0[lane] = 0.5 * FRICTION * wet_m2;
                    slices.drag_y_m2.0[lane] = 0.5 * CROSS_FLOW_DRAG * length_m * height_m;
                    slices.drag_z_m2.0[lane] = 0.5 * CROSS_FLOW_DRAG * length_m * width_m;
                    slices.growth_y_m2.0[lane] = scale(gy);
                    slices.growth_z_m2.0[lane] = scale(gz);
                }
            }
            nose.push((
                DVec3::new(first.x_m, body.y_m, first.z_m) - cg_m,
                first.width_m * first.height_m,
            ));
        }
        let ends_m = [
            centres.iter().max_by(|a, b| a.x.total_cmp(&b.x)),
            centres.iter().min_by(|a, b| a.x.total_cmp(&b.x)),
        ]
        .map(|end| end.copied().unwrap_or(DVec3::ZERO));
        Self {
            slices,
            nose,
            ends_m,
        }
    }

    /// The wash over bodies on the shaft line, whether they lie behind the
    /// disk or ahead of it. A propeller that brakes takes nothing off: its
    /// wake is wider and slower than the bodies' own.
    #[inline(always)]
    pub fn wash(&self, slipstream: &Slipstream) -> BodyWash {
        let nose = self.nose.first().map_or(self.ends_m[0], |n| n.0);
        BodyWash {
            nose_m_s: slipstream.added_m_s(nose).max(0.0),
            along_m_s: slipstream
                .mean_added_m_s(self.ends_m[0], self.ends_m[1])
                .max(0.0),
        }
    }

    /// Force and moment about the centre of gravity, body axes. `velocity_m_s`
    /// is that of the plane through the air.
    #[inline(always)]
    pub fn loads<P: Processor>(
        &self,
        p: P,
        density_kg_m3: f64,
        velocity_m_s: DVec3,
        rates_rad_s: DVec3,
        wash: BodyWash,
    ) -> (DVec3, DVec3) {
        let all = |v: DVec3| Wide3::all(p, v);
        let (mut force, mut moment) = (all(DVec3::ZERO), all(DVec3::ZERO));
        for slices in &self.slices {
            let centre_m = slices.centre_m.on(p);
            let v = all(velocity_m_s) + all(rates_rad_s).cross(centre_m);
            let across = (v.y * v.y + v.z * v.z).sqrt();
            let along = v.x + wash.along_m_s;
            let ahead = v.x.at_least(0.0);
            let f = Wide3 {
                x: slices.friction_m2 * along * along.abs(),
                y: v.y * (slices.drag_y_m2 * across + slices.growth_y_m2 * ahead),
                z: v.z * (slices.drag_z_m2 * across + slices.growth_z_m2 * ahead),
            };
            force += f;
            moment += centre_m.cross(f);
        }
        let mut force = force.sum() * -density_kg_m3;
        let mut moment = moment.sum() * -density_kg_m3;
        for (centre, area) in &self.nose {
            let v = velocity_m_s + rates_rad_s.cross(*centre);
            // A blunt box nose or a flat tail end: about 0.35 of its face
            // (Hoerner 1965, forebodies with rounded corners, from memory).
            let along = v.x + if v.x >= 0.0 { wash.nose_m_s } else { 0.0 };
            let f = DVec3::X * (-0.5 * density_kg_m3 * 0.35 * area * along * along.abs());
            force += f;
            moment += centre.cross(f);
        }
        (force, moment)
    }
}
