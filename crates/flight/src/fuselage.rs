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

use crate::power::Slipstream;

/// Drag coefficient of a square bar across the flow.
const CROSS_FLOW_DRAG: f64 = 1.4;
/// Friction of rough sheet with edges and openings, on wetted area.
const FRICTION: f64 = 0.010;
/// Share of slender-body force that a closing tail still carries.
const TAIL_SHARE: f64 = 0.35;

/// One slice of a body.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Slice {
    centre_m: DVec3,
    length_m: f64,
    width_m: f64,
    height_m: f64,
    /// Change of equivalent circular area from the front to the back face.
    growth_z_m2: f64,
    growth_y_m2: f64,
}

/// Bodies cut into slices, about the centre of gravity.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fuselage {
    slices: Vec<Slice>,
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
        let mut slices = Vec::new();
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
                slices.push(Slice {
                    centre_m: DVec3::new(middle, body.y_m, z_m) - cg_m,
                    length_m: front - back,
                    width_m,
                    height_m,
                    growth_z_m2: scale(gz),
                    growth_y_m2: scale(gy),
                });
            }
            nose.push((
                DVec3::new(first.x_m, body.y_m, first.z_m) - cg_m,
                first.width_m * first.height_m,
            ));
        }
        let centres = || slices.iter().map(|s| s.centre_m);
        let ends_m = [
            centres().max_by(|a, b| a.x.total_cmp(&b.x)),
            centres().min_by(|a, b| a.x.total_cmp(&b.x)),
        ]
        .map(|end| end.unwrap_or(DVec3::ZERO));
        Self {
            slices,
            nose,
            ends_m,
        }
    }

    /// The wash over bodies on the shaft line, whether they lie behind the
    /// disk or ahead of it. A propeller that brakes takes nothing off: its
    /// wake is wider and slower than the bodies' own.
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
    pub fn loads(
        &self,
        density_kg_m3: f64,
        velocity_m_s: DVec3,
        rates_rad_s: DVec3,
        wash: BodyWash,
    ) -> (DVec3, DVec3) {
        let (mut force, mut moment) = (DVec3::ZERO, DVec3::ZERO);
        for slice in &self.slices {
            let v = velocity_m_s + rates_rad_s.cross(slice.centre_m);
            let across = (v.y * v.y + v.z * v.z).sqrt();
            let drag = 0.5 * density_kg_m3 * CROSS_FLOW_DRAG * slice.length_m * across;
            let wet = 2.0 * (slice.width_m + slice.height_m) * slice.length_m;
            let along = v.x + wash.along_m_s;
            let f = DVec3::new(
                -0.5 * density_kg_m3 * FRICTION * wet * along * along.abs(),
                -drag * slice.height_m * v.y
                    - density_kg_m3 * v.x.max(0.0) * v.y * slice.growth_y_m2,
                -drag * slice.width_m * v.z
                    - density_kg_m3 * v.x.max(0.0) * v.z * slice.growth_z_m2,
            );
            force += f;
            moment += slice.centre_m.cross(f);
        }
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
