//! Loads of the air on all strips, and the strips' own states.

use glam::{DMat3, DVec3};
use larkfield_airframe::Airframe;

use crate::fuselage::Fuselage;
use crate::influence::{GroundTables, Influence};
use crate::power::{Slipstream, SlipstreamPlace};
use crate::section::{FlapTheory, SectionCoefficients, SectionFlow, SectionModel, followed_rad};
use crate::servo::realised_effect;
use crate::state::{LostParts, SurfaceState};
use crate::strips::{Group, MOST_STRIPS, Strip, cut};

/// Circulation follows its steady value with a lag of this many chords of
/// travel (the first, slow part of Wagner's function, one pole).
const CIRCULATION_LAG_CHORDS: f64 = 1.0;
/// The separation point follows with this lag: the sum of Goman and
/// Khrabrov's two time constants for thin sections, J. Aircraft 31(5), 1994
/// (from memory), in chords of travel.
const SEPARATION_LAG_CHORDS: f64 = 5.0;

/// Strips farther than this from the shaft line never feel the slipstream.
const JET_REACH_RADII: f64 = 3.0;
/// Distance along the span over which separation spreads, in chords.
const SEPARATION_REACH_CHORDS: f64 = 0.29;

/// Flow and section data of a strip between the two passes of a step.
#[derive(Clone, Copy, Default)]
struct Ask {
    v: DVec3,
    u: f64,
    w_bound: f64,
    /// Zero marks a strip that is no longer there.
    speed: f64,
    free_speed: f64,
    c: SectionCoefficients,
}

/// What never changes about a strip beyond its geometry.
#[derive(Debug, Clone)]
struct StripAir {
    section: SectionModel,
    flap: FlapTheory,
    /// Position over the half span, -1 port tip, 1 starboard tip.
    lateral: f64,
    /// Position between wing centre 0 and tail 1.
    aftness: f64,
    wash: Option<SlipstreamPlace>,
    /// Own trailing legs' effect times the section's slope: gain of the
    /// circulation loop, for the implicit step.
    loop_gain: f64,
    stall_angle_rad: f64,
}

/// Moving air around the plane, body axes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow {
    /// Velocity of the centre of gravity through the air at the wing centre.
    pub velocity_m_s: DVec3,
    pub rates_rad_s: DVec3,
    /// Extra wind at starboard tip less port tip, halved.
    pub lateral_m_s: DVec3,
    /// Extra wind at both tips over the centre.
    pub tips_m_s: DVec3,
    /// Extra wind at the tail over the centre.
    pub tail_m_s: DVec3,
    /// World's down direction in body axes.
    pub down: DVec3,
    /// Height of the centre of gravity over the ground.
    pub height_m: f64,
}

/// Sums over all strips and bodies.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct AirLoads {
    pub force_n: DVec3,
    pub moment_n_m: DVec3,
    pub stall_margin_rad: f64,
    pub stalled_left: f64,
    pub stalled_right: f64,
}

/// States of the strips that a step changes.
pub(crate) struct StripStates<'a> {
    /// Circulation of the attached flow.
    pub circulation_m2_s: &'a mut [f64],
    /// Circulation that the separated part sheds: what carries lift bends the
    /// flow behind it, attached or not.
    pub shed_m2_s: &'a mut [f64],
    pub attachment: &'a mut [f64],
}

/// Normal velocities induced at each strip.
struct Induced {
    /// At the three-quarter chord.
    ahead: [f64; MOST_STRIPS],
    /// At the quarter chord.
    bound: [f64; MOST_STRIPS],
    /// At the three-quarter chord, by other surfaces only.
    others: [f64; MOST_STRIPS],
}

impl Default for Induced {
    fn default() -> Self {
        Self {
            ahead: [0.0; MOST_STRIPS],
            bound: [0.0; MOST_STRIPS],
            others: [0.0; MOST_STRIPS],
        }
    }
}

/// The lifting surfaces and bodies of one aeroplane.
#[derive(Debug, Clone)]
pub(crate) struct Airborne {
    pub strips: Vec<Strip>,
    air: Vec<StripAir>,
    influence: Influence,
    ground: GroundTables,
    fuselage: Fuselage,
    surfaces: usize,
    /// First strip and one past the last of each surface.
    surface_range: Vec<(usize, usize)>,
    wing_quarter_m: DVec3,
    wing_chord_m: f64,
    wing_area_m2: [f64; 2],
    pub span_m: f64,
    pub tail_m: DVec3,
}

fn aspect_ratio(strips: &[Strip], surface: usize) -> f64 {
    let members = || strips.iter().filter(|p| p.surface == surface);
    let span: f64 = members().map(|p| p.width_m).sum();
    let area: f64 = members().map(Strip::area_m2).sum();
    let touches_other = members().any(|p| !p.is_wing) && members().all(|p| p.normal.y.abs() > 0.7);
    // A fin stands on a body or tailplane that mirrors part of its flow.
    let mirror = if touches_other { 1.5 } else { 1.0 };
    mirror * span * span / area.max(1e-9)
}

impl Airborne {
    pub fn new(airframe: &Airframe, cg_m: DVec3, fineness: f64) -> Self {
        let (strips, surfaces) = cut(airframe, cg_m, fineness);
        let influence = Influence::between(&strips);
        let mut span_m = 0.0_f64;
        let mut tail_m = DVec3::new(-0.1, 0.0, 0.0);
        let mut weighted = DVec3::ZERO;
        let (mut wing_chord_m, mut area) = (0.0, 0.0);
        let mut wing_area_m2 = [0.0; 2];
        for p in &strips {
            if p.is_wing {
                span_m = span_m.max(2.0 * (p.quarter_m.y.abs() + 0.5 * p.width_m));
                weighted += p.quarter_m * p.area_m2();
                wing_chord_m += p.chord_m * p.area_m2();
                area += p.area_m2();
                wing_area_m2[usize::from(p.group == Group::WingRight)] += p.area_m2();
            } else if p.quarter_m.x < tail_m.x {
                tail_m = DVec3::new(p.quarter_m.x, 0.0, p.quarter_m.z);
            }
        }
        let wing_quarter_m = weighted / f64::max(area, 1e-9);
        wing_chord_m /= f64::max(area, 1e-9);
        let span_m = span_m.max(0.05);
        let surface_range = (0..surfaces)
            .map(|s| {
                let from = strips.iter().position(|p| p.surface == s).unwrap_or(0);
                let to = strips
                    .iter()
                    .rposition(|p| p.surface == s)
                    .map_or(0, |k| k + 1);
                (from, to)
            })
            .collect();
        let aspect: Vec<f64> = (0..surfaces).map(|s| aspect_ratio(&strips, s)).collect();
        let arm = (wing_quarter_m.x - tail_m.x).max(0.05);
        let count = strips.len();
        let air = strips
            .iter()
            .enumerate()
            .map(|(i, p)| {
                let panel = &airframe.panels[p.panel];
                let section =
                    SectionModel::new(&panel.section, p.thickness_ratio, aspect[p.surface]);
                let flap = p.flap.map_or_else(FlapTheory::default, |f| {
                    let gap = airframe.controls[f.control].gap;
                    let realised = if section.is_ideal() {
                        1.0
                    } else {
                        realised_effect(gap, p.chord_m)
                    };
                    FlapTheory::new(f.fraction, realised)
                });
                let wash = airframe.power.as_ref().and_then(|power| {
                    let hub_m = power.hub_m - cg_m;
                    let radius_m = 0.5 * power.propeller.diameter_m;
                    let from_hub = p.three_quarter_m - hub_m;
                    let aside = from_hub.reject_from(power.thrust_direction).length();
                    // No jet ever drifts that far: spare the look each tick.
                    (aside < JET_REACH_RADII * radius_m + 0.5 * p.width_m).then(|| {
                        SlipstreamPlace::new(
                            hub_m,
                            power.thrust_direction,
                            radius_m,
                            p.three_quarter_m,
                            0.5 * p.width_m,
                        )
                    })
                });
                let own = -influence.at_three_quarter[i * count + i];
                let stall_angle_rad = libm::asin(section.stall_sine().min(1.0));
                StripAir {
                    flap,
                    lateral: (p.quarter_m.y / (0.5 * span_m)).clamp(-1.5, 1.5),
                    aftness: ((wing_quarter_m.x - p.quarter_m.x) / arm).clamp(-0.5, 1.2),
                    wash,
                    loop_gain: (own * core::f64::consts::PI * p.chord_m).max(0.0),
                    section,
                    stall_angle_rad,
                }
            })
            .collect();
        Self {
            ground: GroundTables::new(&strips, surfaces, span_m),
            fuselage: Fuselage::new(airframe, cg_m),
            influence,
            air,
            strips,
            surfaces,
            surface_range,
            wing_quarter_m,
            wing_chord_m,
            wing_area_m2,
            span_m,
            tail_m,
        }
    }

    pub fn count(&self) -> usize {
        self.strips.len()
    }

    /// Apparent mass: for each strip the air of the circle on its chord,
    /// at mid-chord along its normal. Returns unit (normal, moment arm cross
    /// normal) rows scaled by the root of the mass.
    pub fn apparent_mass(&self, density_kg_m3: f64) -> Vec<(DVec3, DVec3)> {
        let aspect: Vec<f64> = (0..self.surfaces)
            .map(|s| aspect_ratio(&self.strips, s))
            .collect();
        self.strips
            .iter()
            .map(|p| {
                let ar = aspect[p.surface];
                let finite = ar / (1.0 + ar * ar).sqrt();
                let mass = density_kg_m3
                    * core::f64::consts::PI
                    * 0.25
                    * p.chord_m
                    * p.chord_m
                    * p.width_m
                    * finite;
                let middle = p.quarter_m + p.aft * (0.25 * p.chord_m);
                let root = mass.sqrt();
                (p.normal * root, middle.cross(p.normal) * root)
            })
            .collect()
    }

    /// Steps the strips' circulation and attachment by `dt_s` and sums the loads.
    #[allow(clippy::too_many_arguments)]
    pub fn step(
        &self,
        density_kg_m3: f64,
        viscosity_pa_s: f64,
        flow: &Flow,
        slipstream: Option<&Slipstream>,
        surfaces: &[SurfaceState],
        lost: LostParts,
        states: StripStates<'_>,
        dt_s: f64,
    ) -> AirLoads {
        let StripStates {
            circulation_m2_s,
            shed_m2_s,
            attachment,
        } = states;
        let count = self.strips.len().min(MOST_STRIPS);
        let mut induced = Induced::default();
        let mut source = [0.0; MOST_STRIPS];
        for i in 0..count {
            source[i] = circulation_m2_s[i] + shed_m2_s[i];
        }
        self.induce(&source[..count], &mut induced);
        self.induce_ground(flow, &source[..count], &mut induced);

        let stalled = self.wing_stalled(attachment);
        let mut loads = AirLoads {
            stall_margin_rad: f64::MAX,
            ..AirLoads::default()
        };
        let mut followed = [0.0; MOST_CONTROLS];
        for (f, s) in followed.iter_mut().zip(surfaces) {
            *f = followed_rad(s.deflection_rad);
        }
        let mut asks = [Ask::default(); MOST_STRIPS];
        let mut settle = [0.0; MOST_STRIPS];
        let tail_wake = self.tail_wake(flow, stalled[0].max(stalled[1]));
        let reynolds_per_speed = density_kg_m3 / viscosity_pa_s;
        for i in 0..count {
            let (p, air) = (&self.strips[i], &self.air[i]);
            let gone = match p.group {
                Group::WingLeft => lost.wing_left,
                Group::WingRight => lost.wing_right,
                Group::Tail => lost.tail,
            };
            if gone {
                circulation_m2_s[i] = 0.0;
                shed_m2_s[i] = 0.0;
                continue;
            }
            let mut v = -(flow.velocity_m_s + flow.rates_rad_s.cross(p.quarter_m))
                + flow.lateral_m_s * air.lateral
                + flow.tips_m_s * air.lateral.abs()
                + flow.tail_m_s * air.aftness.max(0.0);
            if !p.is_wing {
                v *= tail_wake.at(p.quarter_m);
            }
            if let (Some(jet), Some(place)) = (slipstream, &air.wash) {
                let wash = jet.at(place);
                v += wash.velocity_m_s * wash.immersed;
            }
            let u = v.dot(p.aft);
            let w_bound = v.dot(p.normal);
            let w_alone = w_bound + 0.5 * p.chord_m * flow.rates_rad_s.dot(p.along);
            let w_free = w_alone + induced.others[i];
            let w = w_alone + induced.ahead[i];
            let speed = (u * u + w * w).sqrt().max(0.05);
            let free_speed = (u * u + w_free * w_free).sqrt().max(0.05);
            let (per_speed, per_free) = (1.0 / speed, 1.0 / free_speed);
            let (flap_rad, flap_followed_rad) = p.flap.map_or((0.0, 0.0), |f| {
                let asked = surfaces.get(f.control).map_or(0.0, |s| s.deflection_rad);
                let kept = followed.get(f.control).copied().unwrap_or(0.0);
                (f.coverage * asked, f.coverage * kept * air.flap.realised)
            });
            let c = air.section.at(
                &SectionFlow {
                    sine: w * per_speed,
                    cosine: u * per_speed,
                    free_sine: w_free * per_free,
                    free_cosine: u * per_free,
                    reynolds: speed * reynolds_per_speed * p.chord_m,
                    flap_rad,
                    flap_followed_rad,
                },
                &air.flap,
            );

            asks[i] = Ask {
                v,
                u,
                w_bound,
                speed,
                free_speed,
                c,
            };
            settle[i] = dt_s * speed / (p.chord_m * SEPARATION_LAG_CHORDS);
        }
        self.spread(&settle[..count], &asks[..count], attachment);
        for i in 0..count {
            let (p, air) = (&self.strips[i], &self.air[i]);
            let Ask {
                v,
                u,
                w_bound,
                speed,
                free_speed,
                c,
            } = asks[i];
            if speed == 0.0 {
                continue;
            }
            let bound = induced.bound[i];
            let f = attachment[i];
            let target = 0.5 * speed * p.chord_m * f * c.lift_attached;
            let r = dt_s * speed / (p.chord_m * CIRCULATION_LAG_CHORDS);
            let gamma = circulation_m2_s[i];
            let gamma = gamma + (target - gamma) * r / (1.0 + r * (1.0 + f * air.loop_gain));
            circulation_m2_s[i] = gamma;
            let shed = 0.5
                * free_speed
                * p.chord_m
                * (1.0 - f)
                * c.normal_separated
                * (u / free_speed).max(0.0);
            shed_m2_s[i] += (shed - shed_m2_s[i]) * r / (1.0 + r);

            // Loads.
            let local = v + p.normal * bound;
            let apart = 1.0 - f;
            let pressure_area = 0.5 * density_kg_m3 * p.area_m2();
            let along_flow = f * c.drag_attached + apart * c.drag_separated;
            let in_plane = p.aft * u + p.normal * (w_bound + bound);
            let force = local.cross(p.along) * (density_kg_m3 * gamma * p.width_m)
                + in_plane * (pressure_area * speed * along_flow)
                + p.normal
                    * (pressure_area
                        * free_speed
                        * free_speed
                        * (apart * c.normal_separated + f * c.normal_edges));
            // Virtual camber of a plate that turns (thin aerofoil theory).
            let turning =
                -core::f64::consts::PI / 8.0 * p.chord_m * flow.rates_rad_s.dot(p.along) / speed;
            let moment = pressure_area
                * p.chord_m
                * (speed * speed * f * (c.moment_attached + turning)
                    + free_speed * free_speed * moment_share(apart) * c.moment_separated);
            loads.force_n += force;
            loads.moment_n_m += p.quarter_m.cross(force) + p.along * moment;
            if p.is_wing && speed > 1.0 {
                let margin = air.stall_angle_rad - c.leading_edge_sine.abs();
                loads.stall_margin_rad = loads.stall_margin_rad.min(margin);
            }
        }
        if loads.stall_margin_rad == f64::MAX {
            loads.stall_margin_rad = 0.0;
        }
        [loads.stalled_left, loads.stalled_right] = self.wing_stalled(attachment);
        // Bodies sit on the shaft line: half the far wash is typical of their length.
        let wash = slipstream.map_or(0.0, |s| 1.5 * s.induced_m_s.max(0.0));
        let (force, moment) =
            self.fuselage
                .loads(density_kg_m3, flow.velocity_m_s, flow.rates_rad_s, wash);
        loads.force_n += force;
        loads.moment_n_m += moment;
        loads
    }

    /// Normal velocities that all circulations induce.
    fn induce(&self, source_m2_s: &[f64], induced: &mut Induced) {
        let count = source_m2_s.len();
        let ahead = &mut induced.ahead[..count];
        let bound = &mut induced.bound[..count];
        let others = &mut induced.others[..count];
        for (j, gamma) in source_m2_s.iter().enumerate() {
            let a = &self.influence.at_three_quarter[j * count..(j + 1) * count];
            let b = &self.influence.at_quarter[j * count..(j + 1) * count];
            for (w, k) in bound.iter_mut().zip(b) {
                *w += k * gamma;
            }
            let (from, to) = self.surface_range[self.strips[j].surface];
            for (w, k) in ahead[from..to].iter_mut().zip(&a[from..to]) {
                *w += k * gamma;
            }
            for (w, k) in others[..from].iter_mut().zip(&a[..from]) {
                *w += k * gamma;
            }
            for (w, k) in others[to..].iter_mut().zip(&a[to..]) {
                *w += k * gamma;
            }
        }
        for (w, k) in ahead.iter_mut().zip(others.iter()) {
            *w += k;
        }
    }

    fn induce_ground(&self, flow: &Flow, source_m2_s: &[f64], induced: &mut Induced) {
        if flow.height_m > 1.8 * self.span_m || self.surfaces > MOST_SURFACES {
            return;
        }
        let count = source_m2_s.len();
        let mut mean = [0.0; MOST_SURFACES];
        let mut width = [0.0; MOST_SURFACES];
        let mut height = [0.0; MOST_STRIPS];
        for i in 0..count {
            let p = &self.strips[i];
            mean[p.surface] += source_m2_s[i] * p.width_m;
            width[p.surface] += p.width_m;
            height[i] = flow.height_m - flow.down.dot(p.quarter_m);
        }
        for s in 0..self.surfaces {
            mean[s] /= f64::max(width[s], 1e-9);
        }
        let mut image = [0.0; MOST_STRIPS];
        self.ground.add(
            &height[..count],
            &mean[..self.surfaces],
            &mut image[..count],
        );
        // Tables hold for a plane that stands upright over the ground.
        let upright = flow.down.z.max(0.0);
        for (i, w) in image.iter().enumerate().take(count) {
            induced.ahead[i] += w * upright;
            induced.bound[i] += w * upright;
        }
    }

    /// Moves the attachment toward its steady value, spread along the span:
    /// `f - l^2 f'' = f_steady` with `l` a third of a chord. Cells of separated flow
    /// are never much narrower than the chord (common observation, no source);
    /// without it neighbouring narrow strips stall in turn, the well-known
    /// sawtooth of strip methods past the stall. Implicit: any tick is stable.
    fn spread(&self, settle: &[f64], asks: &[Ask], attachment: &mut [f64]) {
        for &(from, to) in &self.surface_range {
            let mut upper = [0.0; MOST_STRIPS];
            for i in from..to {
                let p = &self.strips[i];
                let reach = SEPARATION_REACH_CHORDS * p.chord_m / p.width_m;
                let d = settle[i] * reach * reach;
                let (below, above) = (
                    if i > from { d } else { 0.0 },
                    if i + 1 < to { d } else { 0.0 },
                );
                let pivot = 1.0 + settle[i] + below + above
                    - if i > from { below * upper[i - 1] } else { 0.0 };
                let inverse = 1.0 / pivot;
                upper[i] = above * inverse;
                let earlier = if i > from {
                    below * attachment[i - 1]
                } else {
                    0.0
                };
                attachment[i] =
                    (attachment[i] + settle[i] * asks[i].c.attachment + earlier) * inverse;
            }
            for i in (from..to.saturating_sub(1)).rev() {
                attachment[i] += upper[i] * attachment[i + 1];
            }
        }
    }

    /// Separated share of the port and starboard wing.
    fn wing_stalled(&self, attachment: &[f64]) -> [f64; 2] {
        let mut sum = [0.0; 2];
        for (p, f) in self.strips.iter().zip(attachment) {
            if p.is_wing {
                sum[usize::from(p.group == Group::WingRight)] += (1.0 - f) * p.area_m2();
            }
        }
        [
            sum[0] / self.wing_area_m2[0].max(1e-9),
            sum[1] / self.wing_area_m2[1].max(1e-9),
        ]
    }

    fn tail_wake(&self, flow: &Flow, stalled: f64) -> TailWake {
        let u = flow.velocity_m_s.x.max(0.5);
        TailWake {
            depth: 0.4 * stalled,
            origin_m: self.wing_quarter_m,
            rise: 0.7 * flow.velocity_m_s.z / u,
            width_m: 0.5 * self.wing_chord_m,
        }
    }
}

const MOST_SURFACES: usize = 12;
const MOST_CONTROLS: usize = 16;

/// How much of the separated moment acts: the centre of pressure leaves the
/// quarter chord as soon as a bubble has opened.
fn moment_share(apart: f64) -> f64 {
    let kept = 1.0 - apart;
    let square = kept * kept;
    1.0 - square * square * square
}

/// Slow air behind a separated wing.
struct TailWake {
    depth: f64,
    origin_m: DVec3,
    rise: f64,
    width_m: f64,
}

impl TailWake {
    /// Factor on the free stream at a place; 1 outside the wake.
    fn at(&self, point_m: DVec3) -> f64 {
        let behind = (self.origin_m.x - point_m.x).max(0.0);
        let off = (point_m.z - self.origin_m.z + self.rise * behind) / self.width_m.max(1e-6);
        1.0 - self.depth / (1.0 + off * off * off * off)
    }
}

/// Rotation matrix rows are world axes: helper for the down direction.
pub(crate) fn down_in_body(body_to_world: &DMat3) -> DVec3 {
    DVec3::new(
        body_to_world.x_axis.z,
        body_to_world.y_axis.z,
        body_to_world.z_axis.z,
    )
}
