//! How much of the swirl of the slipstream each surface meets.
//!
//! A propeller's torque turns the air behind it, and a wing in that air takes
//! part of the turning out again. How large a part hangs on what goes on inside
//! the jet: a plate there is short (two radii) and deep (a chord), and sheds
//! most of its load round its edges and over the edge of the jet. Strips as wide
//! as the jet see nothing of that, and would take out more than went in. So the
//! swirl that reaches a surface is scaled, once for an airframe, until the
//! moment that its strips make of it is the one of the plate inside the jet:
//!
//! - a strip of plate of chord `c` at the arm `y` about the axis meets the angle
//!   `w y / V`, and makes `rho V^2 a / 2 c (w y / V) y dy` of it;
//! - the slope `a` for such an antisymmetric load is [`slope_per_rad`];
//! - the surface behind meets what those before it have left.
//!
//! A plate right across the jet then takes at most a quarter, and no number of
//! surfaces takes more than there is. Load that spills onto the wing beside the jet
//! is left out: its share goes with the square of the outer speed over the inner,
//! an eighth at a launch; toward level flight it is more, and the plane rolls
//! somewhat less than reckoned here.

use core::f64::consts::{PI, TAU};
use core::ops::Range;

use glam::DVec3;
use larkfield_airframe::Airframe;
use nalgebra::{DMatrix, DVector};

use crate::airborne::SurfaceStrips;
use crate::influence::ahead;
use crate::power::{Slipstream, SlipstreamPlace};
use crate::strips::Strip;

/// A plate that reaches this share of the jet's radius beyond the axis stands on
/// both sides of it (own choice).
const SIDE_OF_RADIUS: f64 = 0.1;

/// Propeller of an airframe, about its centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Disk {
    pub hub_m: DVec3,
    /// Unit vector, forward.
    pub direction: DVec3,
    pub radius_m: f64,
}

impl Disk {
    /// Of an airframe with a motor.
    pub fn of(airframe: &Airframe, cg_m: DVec3) -> Option<Self> {
        let power = airframe.power.as_ref()?;
        Some(Self {
            hub_m: power.hub_m - cg_m,
            direction: power.thrust_direction,
            radius_m: 0.5 * power.propeller.diameter_m,
        })
    }

    /// A place in the slipstream that extends `half_width_m` to either side.
    pub fn place(&self, point_m: DVec3, half_width_m: f64) -> SlipstreamPlace {
        SlipstreamPlace::new(
            self.hub_m,
            self.direction,
            self.radius_m,
            point_m,
            half_width_m,
        )
    }

    /// A jet that turns at 1 rad/s behind the disk, as a hand launch has it: in the
    /// end at about twice the speed of flight, which is 1 m/s along the body.
    fn jet(&self) -> Slipstream {
        let axial_m_s = self.direction.x;
        Slipstream::new(
            self.hub_m,
            self.direction,
            self.radius_m,
            axial_m_s,
            0.5,
            self.direction * axial_m_s - DVec3::X,
            1.0,
        )
    }
}

/// Lift slope for each radian of a plate whose angle grows from the axis to either
/// side, for its half span over its chord.
///
/// Between the slender plate that turns about its axis, whose moment is that of
/// the apparent inertia `pi rho s^4 / 8` (Lamb, Hydrodynamics, 1932, article 71;
/// from memory), and the endless one with two pi, in the form that Helmbold
/// (1942) gave for the evenly set wing.
fn slope_per_rad(half_span_over_chord: f64) -> f64 {
    let k = 8.0 / 3.0;
    let a = half_span_over_chord;
    TAU * a / (k + (a * a + k * k).sqrt())
}

/// Shares of the swirl that the strips of each surface are to meet.
pub(crate) fn met(disk: &Disk, strips: &[Strip], surfaces: &[SurfaceStrips]) -> Vec<f64> {
    let jet = disk.jet();
    let mut met = vec![1.0; surfaces.len()];
    let mut front_to_back: Vec<usize> = (0..surfaces.len()).collect();
    let forward_m = |s: &usize| {
        let members = &strips[surfaces[*s].from..surfaces[*s].to];
        let sum: f64 = members
            .iter()
            .map(|p| p.quarter_m.dot(disk.direction))
            .sum();
        sum / members.len().max(1) as f64
    };
    front_to_back.sort_by(|a, b| forward_m(b).total_cmp(&forward_m(a)));

    let response = Response::new(&jet, disk, strips);
    let mut circulation_m2_s = DVector::zeros(strips.len());
    let mut left = 1.0;
    for s in front_to_back {
        let range = surfaces[s].from..surfaces[s].to;
        let wanted = left * taken(&jet, disk, &strips[range.clone()]);
        left -= wanted;
        let Some(unit) = response.of(range.clone()) else {
            continue;
        };
        // What wakes of the surfaces before it make of it already.
        let already = response.share(&circulation_m2_s, range.clone());
        let by_itself = response.share(&unit, range);
        if by_itself > 1.0e-9 {
            met[s] = ((wanted - already) / by_itself).clamp(0.0, 1.0);
            circulation_m2_s += unit * met[s];
        }
    }
    met
}

/// Share of the jet's angular momentum that the plate of a surface inside it
/// takes out.
fn taken(jet: &Slipstream, disk: &Disk, strips: &[Strip]) -> f64 {
    let (mut width_m, mut area_m2, mut share_at_unit_slope) = (0.0, 0.0, 0.0);
    let mut sides = [false; 2];
    for p in strips {
        let behind_m = (disk.hub_m - p.three_quarter_m).dot(disk.direction);
        let middle_m = p.three_quarter_m - jet.axis_m(behind_m);
        let radius_m = jet.radius_m(behind_m);
        let span_m = p.end_m - p.start_m;
        let Some([from, to]) = inside(
            middle_m.reject_from(disk.direction),
            span_m.reject_from(disk.direction),
            radius_m,
        ) else {
            continue;
        };
        let arm_m = |share: f64| {
            let point_m = middle_m + span_m * share;
            disk.direction.cross(point_m).dot(p.normal)
        };
        let [first_m, half_way_m, last_m] = [from, 0.5 * (from + to), to].map(arm_m);
        sides[0] |= first_m.min(last_m) < -SIDE_OF_RADIUS * radius_m;
        sides[1] |= first_m.max(last_m) > SIDE_OF_RADIUS * radius_m;
        let inside_m = p.width_m * (to - from);
        width_m += inside_m;
        area_m2 += p.chord_m * inside_m;
        // The arm is linear, so Simpson's rule has its square right.
        let square_m2 = (first_m * first_m + 4.0 * half_way_m * half_way_m + last_m * last_m) / 6.0;
        // Turning there over that of a jet of its radius in which it has all begun.
        let narrowed = radius_m / disk.radius_m;
        let begun = jet.swirl_rate_rad_s(behind_m) * narrowed * narrowed;
        share_at_unit_slope +=
            begun * 0.5 * p.chord_m * square_m2 * inside_m / (0.5 * PI * fourth(radius_m));
    }
    if area_m2 <= 0.0 {
        return 0.0;
    }
    let half_span_m = if sides == [true; 2] {
        0.5 * width_m
    } else {
        width_m
    };
    slope_per_rad(half_span_m * width_m / area_m2) * share_at_unit_slope
}

/// To the fourth; the same bytes in every build, which `powi` does not promise.
fn fourth(x: f64) -> f64 {
    x * x * (x * x)
}

/// Part of a straight line, from -1/2 to 1/2 of its `span_m` about its middle, that
/// lies inside a circle about the origin.
fn inside(middle_m: DVec3, span_m: DVec3, radius_m: f64) -> Option<[f64; 2]> {
    let square_m2 = span_m.length_squared();
    let nearest = -middle_m.dot(span_m) / square_m2;
    let aside_m2 = (middle_m + span_m * nearest).length_squared();
    let reach = ((radius_m * radius_m - aside_m2) / square_m2).sqrt();
    let [from, to] = [nearest - reach, nearest + reach].map(|t| t.clamp(-0.5, 0.5));
    // Nor is it where there is no number.
    (to > from).then_some([from, to])
}

/// What strips make of the swirl, steady and attached, at two pi each.
struct Response {
    /// Velocity along the normal from the swirl of the jet.
    swirl_m_s: DVector<f64>,
    /// Moment about the axis for unit circulation, over density and over the flow
    /// of angular momentum of the jet.
    share_per_m2_s: DVector<f64>,
    /// Flow condition at all three-quarter chords.
    condition: nalgebra::LU<f64, nalgebra::Dyn, nalgebra::Dyn>,
}

impl Response {
    fn new(jet: &Slipstream, disk: &Disk, strips: &[Strip]) -> Self {
        let count = strips.len();
        let matrix = DMatrix::from_fn(count, count, |i, j| {
            let own = if i == j {
                1.0 / (PI * strips[i].chord_m)
            } else {
                0.0
            };
            own - ahead(&strips[j], &strips[i], i == j)
        });
        let mut swirl_m_s = DVector::zeros(count);
        let mut share_per_m2_s = DVector::zeros(count);
        let flow_m5_s2 = 0.5 * PI * fourth(disk.radius_m) * jet.through_m_s();
        for (i, p) in strips.iter().enumerate() {
            let wash = jet.at(&disk.place(p.three_quarter_m, 0.5 * p.width_m));
            let along = wash.velocity_m_s.dot(disk.direction);
            let across = wash.velocity_m_s - disk.direction * along;
            swirl_m_s[i] = wash.immersed * across.dot(p.normal);
            let speed_m_s = jet.axial_m_s - wash.immersed * along;
            let behind_m = (disk.hub_m - p.quarter_m).dot(disk.direction);
            let from_axis_m = p.quarter_m - jet.axis_m(behind_m);
            let arm_m = from_axis_m.cross(p.normal).dot(disk.direction);
            share_per_m2_s[i] = speed_m_s * p.width_m * arm_m / flow_m5_s2;
        }
        Self {
            swirl_m_s,
            share_per_m2_s,
            condition: matrix.lu(),
        }
    }

    /// Circulation of all strips when those of a range alone meet the swirl; none
    /// without a solution.
    fn of(&self, range: Range<usize>) -> Option<DVector<f64>> {
        let mut swirl_m_s = DVector::zeros(self.swirl_m_s.len());
        swirl_m_s
            .rows_mut(range.start, range.len())
            .copy_from(&self.swirl_m_s.rows(range.start, range.len()));
        self.condition.solve(&swirl_m_s)
    }

    /// Share of the jet's angular momentum that a range of strips takes out.
    fn share(&self, circulation_m2_s: &DVector<f64>, range: Range<usize>) -> f64 {
        range
            .map(|i| self.share_per_m2_s[i] * circulation_m2_s[i])
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use larkfield_airframe::MassProperties;

    use super::*;
    use crate::airborne::Airborne;
    use crate::shipped::airframe;
    use crate::strips::Group;

    const DISK: Disk = Disk {
        hub_m: DVec3::ZERO,
        direction: DVec3::X,
        radius_m: 0.1,
    };

    /// A level plate far behind the disk, from one side of its axis to the other.
    fn plate(from_y_m: f64, to_y_m: f64, chord_m: f64) -> Strip {
        let at = |x_m: f64, y_m: f64| DVec3::new(x_m, y_m, 0.0);
        let middle_m = 0.5 * (from_y_m + to_y_m);
        Strip {
            panel: 0,
            surface: 0,
            group: Group::WingLeft,
            is_wing: true,
            chord_m,
            width_m: to_y_m - from_y_m,
            start_m: at(-9.0, from_y_m),
            end_m: at(-9.0, to_y_m),
            quarter_m: at(-9.0, middle_m),
            three_quarter_m: at(-9.0, middle_m),
            normal: DVec3::NEG_Z,
            aft: DVec3::NEG_X,
            along: DVec3::Y,
            loading: 1.0,
            flap: None,
            thickness_ratio: 0.03,
        }
    }

    #[test]
    fn a_deep_plate_across_the_jet_takes_a_quarter() {
        // Apparent inertia of a turning plate, pi rho s^4 / 8 (Lamb 1932, article
        // 71; from memory), over that of the solid jet, pi rho s^4 / 2.
        let share = taken(&DISK.jet(), &DISK, &[plate(-0.5, 0.5, 50.0)]);
        assert!((share - 0.25).abs() < 0.005, "{share}");
    }

    #[test]
    fn a_shallow_plate_takes_what_two_pi_says() {
        // Sections by themselves: 2 pi (1/2) c (2/3) r^3 over (pi / 2) r^4, so
        // 4 c / 3 r; the jet far behind has 3/4 of the disk's area.
        let radius_m = 0.1 * 0.75_f64.sqrt();
        let chord_m = 0.0005;
        let share = taken(&DISK.jet(), &DISK, &[plate(-0.5, 0.5, chord_m)]);
        let expected = 4.0 * chord_m / (3.0 * radius_m);
        assert!((share / expected - 1.0).abs() < 0.03, "{share} {expected}");
    }

    #[test]
    fn half_a_plate_takes_half_and_one_beside_the_jet_nothing() {
        let jet = DISK.jet();
        let whole = taken(&jet, &DISK, &[plate(-0.5, 0.5, 50.0)]);
        let half = taken(&jet, &DISK, &[plate(0.0, 0.5, 50.0)]);
        assert!((half / whole - 0.5).abs() < 0.01, "{half} {whole}");
        assert_eq!(taken(&jet, &DISK, &[plate(0.1, 0.5, 50.0)]), 0.0);
    }

    /// The scale is there so that the width of strips does not matter: convergence,
    /// limits own choice.
    #[test]
    fn strips_take_the_same_whatever_their_width() {
        for name in ["marram", "curlew", "sandpiper"] {
            let plane = airframe(name);
            let cg_m = MassProperties::of(&plane).cg_m;
            let disk = Disk::of(&plane, cg_m).expect("a motor");
            let all = [0.5, 1.0, 1.7].map(|fineness| {
                let Airborne {
                    strips, surfaces, ..
                } = Airborne::new(&plane, cg_m, fineness);
                let response = Response::new(&disk.jet(), &disk, &strips);
                let met = met(&disk, &strips, &surfaces);
                let mut circulation_m2_s = DVector::zeros(strips.len());
                for (s, share) in surfaces.iter().zip(met) {
                    let unit = response.of(s.from..s.to).expect("a solution");
                    circulation_m2_s += unit * share;
                }
                response.share(&circulation_m2_s, 0..strips.len())
            });
            println!("{name}: {all:.3?}");
            assert!(all.iter().all(|share| (0.2..1.0).contains(share)));
            assert!(all.iter().all(|share| (share / all[1] - 1.0).abs() < 0.08));
        }
    }

    #[test]
    fn what_lies_ahead_of_the_disk_takes_nothing() {
        let plane = airframe("ternwing");
        let cg_m = MassProperties::of(&plane).cg_m;
        let disk = Disk::of(&plane, cg_m).expect("a motor");
        let model = Airborne::new(&plane, cg_m, 1.0);
        assert_eq!(taken(&disk.jet(), &disk, &model.strips), 0.0);
    }
}
