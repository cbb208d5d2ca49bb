//! The wake of the propeller as wing and tail meet it.
//!
//! A uniform jet from momentum theory: the induced speed at the disk doubles
//! downstream as the field of a tube of ring vortices says, the jet contracts
//! to carry the same flow, it drifts with the crossflow, and it turns as a
//! solid body with the angular momentum that the torque puts in. Every part
//! fades to nothing with the thrust; a windmilling propeller leaves a slower,
//! wider wake.

use glam::DVec3;

use crate::lanes::{Lanes, PairLanes, Plain, Processor, WIDTH, Wide, Wide3};

/// Share of the jet radius over which its edge is spread by mixing (a rough
/// figure for the first two diameters; common practice, no source).
const EDGE_FRACTION: f64 = 0.2;
/// Distance behind the disk over which swirl appears, in radii: it starts at
/// the blades, and a blade chord is about this wide.
const SWIRL_START_RADII: f64 = 0.2;
/// Least axial speed that drift is reckoned with, m/s.
const DRIFT_SPEED_M_S: f64 = 1.0;

/// State of the slipstream at one instant, in body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slipstream {
    /// Centre of the disk.
    pub hub_m: DVec3,
    /// Unit vector of the thrust line, forward; the jet goes the other way.
    pub direction: DVec3,
    /// Disk radius.
    pub disk_radius_m: f64,
    /// Forward speed of the hub along the shaft.
    pub axial_m_s: f64,
    /// Induced speed at the disk, backward positive.
    pub induced_m_s: f64,
    /// Velocity of the air across the shaft, seen from the airframe.
    pub drift_m_s: DVec3,
    /// Turning of the jet just behind the disk about `direction`.
    pub swirl_rad_s: f64,
    /// Growth of the induced speed from the disk to far behind.
    growth_m_s: f64,
    /// The same over the flow through the disk.
    growth_share: f64,
    /// Sideways shift for each metre behind the disk.
    drift_m_m: DVec3,
}

/// What of a place in relation to the disk never changes: made once for each
/// strip, see [`Slipstream::at`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlipstreamPlace {
    behind_m: f64,
    offset_m: DVec3,
    half_width_m: f64,
    develop: f64,
    swirl: f64,
}

/// Slipstream at a place.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Wash {
    /// Part of the place that lies inside the jet, 0 to 1.
    pub immersed: f64,
    /// Velocity of the air added inside the jet, body axes. Not yet
    /// multiplied with the immersed part.
    pub velocity_m_s: DVec3,
}

impl SlipstreamPlace {
    /// Place at `point_m` that extends `half_width_m` to either side.
    ///
    /// `hub_m`, `direction` (unit, forward) and `disk_radius_m` as in
    /// [`Slipstream`]; all in the same axes.
    #[must_use]
    pub fn new(
        hub_m: DVec3,
        direction: DVec3,
        disk_radius_m: f64,
        point_m: DVec3,
        half_width_m: f64,
    ) -> Self {
        let from_hub = point_m - hub_m;
        let behind_m = -from_hub.dot(direction);
        let t = (behind_m / (SWIRL_START_RADII * disk_radius_m).max(1.0e-9)).clamp(0.0, 1.0);
        Self {
            behind_m,
            offset_m: from_hub + direction * behind_m,
            half_width_m: half_width_m.abs(),
            develop: development(behind_m, disk_radius_m),
            swirl: t * t * (3.0 - 2.0 * t),
        }
    }

    /// The same place where only a share of the swirl is met.
    #[must_use]
    pub(crate) fn with_swirl_share(mut self, share: f64) -> Self {
        self.swirl *= share;
        self
    }
}

/// Growth of the induced speed beyond its value at the disk, -1 far ahead, 0
/// at the disk, 1 far behind: `x / sqrt(x^2 + R^2)`, on the axis of a
/// semi-infinite vortex tube (McCormick, Aerodynamics, Aeronautics and Flight
/// Mechanics, 1979, chapter 6; from memory).
fn development(behind_m: f64, disk_radius_m: f64) -> f64 {
    let size = (behind_m * behind_m + disk_radius_m * disk_radius_m).sqrt();
    if size > 0.0 { behind_m / size } else { 0.0 }
}

impl Slipstream {
    /// Wake with the given flow at the disk; see the fields for the terms.
    #[must_use]
    #[inline]
    pub fn new(
        hub_m: DVec3,
        direction: DVec3,
        disk_radius_m: f64,
        axial_m_s: f64,
        induced_m_s: f64,
        drift_m_s: DVec3,
        swirl_rad_s: f64,
    ) -> Self {
        let through = axial_m_s + induced_m_s;
        // 1 when the wake goes backward, -1 when forward, smooth between.
        let size = (through * through + 0.004 * induced_m_s * induced_m_s).sqrt();
        let backward = if size > 1.0e-9 { through / size } else { 0.0 };
        let growth_m_s = induced_m_s * backward;
        // The jet is carried aside at the speed of the developed wake.
        let carried = (through + growth_m_s).max(DRIFT_SPEED_M_S);
        let growth_share = if through.abs() > 1.0e-9 {
            growth_m_s / through
        } else {
            0.0
        };
        Self {
            hub_m,
            direction,
            disk_radius_m,
            axial_m_s,
            induced_m_s,
            drift_m_s,
            swirl_rad_s,
            growth_m_s,
            growth_share,
            drift_m_m: drift_m_s / carried,
        }
    }

    /// Flow through the disk, m/s, backward positive.
    #[must_use]
    pub fn through_m_s(&self) -> f64 {
        self.axial_m_s + self.induced_m_s
    }

    /// Induced speed at a development of -1..1, and jet area over disk area.
    fn section(&self, develop: f64) -> (f64, f64) {
        let growth = self.growth_m_s * develop;
        // Same flow at every section; the wake of a hard-braked windmill is
        // left at twice the disk area, where momentum theory has no answer.
        let area = 1.0 / (1.0 + self.growth_share * develop).max(0.5);
        (self.induced_m_s + growth, area)
    }

    /// Speed of the air that the disk adds along the shaft at a point near the
    /// shaft line, backward positive: weak ahead of the disk, up to twice that
    /// of the disk behind it.
    #[must_use]
    pub fn added_m_s(&self, point_m: DVec3) -> f64 {
        let behind_m = self.behind_m(point_m);
        self.induced_m_s + self.growth_m_s * development(behind_m, self.disk_radius_m)
    }

    /// Mean of [`Slipstream::added_m_s`] from one point near the shaft line to
    /// another: the mean of `x / sqrt(x^2 + R^2)` is the rise of its root.
    #[must_use]
    pub fn mean_added_m_s(&self, from_m: DVec3, to_m: DVec3) -> f64 {
        let (from, to) = (self.behind_m(from_m), self.behind_m(to_m));
        let length = to - from;
        if length.abs() <= 1.0e-6 {
            return self.added_m_s(from_m);
        }
        let root = |x: f64| (x * x + self.disk_radius_m * self.disk_radius_m).sqrt();
        self.induced_m_s + self.growth_m_s * ((root(to) - root(from)) / length)
    }

    fn behind_m(&self, point_m: DVec3) -> f64 {
        (self.hub_m - point_m).dot(self.direction)
    }

    /// Middle of the jet at a distance behind the disk (negative: ahead).
    #[must_use]
    pub fn axis_m(&self, behind_m: f64) -> DVec3 {
        self.hub_m - self.direction * behind_m + self.drift_m_m * behind_m.max(0.0)
    }

    /// Jet radius at a distance behind the disk (negative: ahead), m.
    #[must_use]
    pub fn radius_m(&self, behind_m: f64) -> f64 {
        let (_, area) = self.section(development(behind_m, self.disk_radius_m));
        self.disk_radius_m * area.sqrt()
    }

    /// Speed of the air along the shaft at a distance behind the disk, m/s,
    /// backward positive, flight speed included.
    #[must_use]
    pub fn axial_velocity_m_s(&self, behind_m: f64) -> f64 {
        let (induced, _) = self.section(development(behind_m, self.disk_radius_m));
        self.axial_m_s + induced
    }

    /// Turning of the jet about `direction` at a distance behind the disk.
    #[must_use]
    pub fn swirl_rate_rad_s(&self, behind_m: f64) -> f64 {
        let place = SlipstreamPlace::new(
            self.hub_m,
            self.direction,
            self.disk_radius_m,
            self.hub_m - self.direction * behind_m,
            0.0,
        );
        let (_, area) = self.section(place.develop);
        self.swirl_rad_s * place.swirl / area
    }

    /// Jet at a place prepared before.
    #[must_use]
    pub fn at(&self, place: &SlipstreamPlace) -> Wash {
        let mut block = SlipstreamBlock::default();
        for lane in 0..WIDTH {
            block.set(lane, place);
        }
        let immersed = self.immersed(Plain, &block);
        let velocity = self.added(Plain, &block);
        let velocity = velocity.lanes();
        Wash {
            immersed: immersed.lanes().0[0],
            velocity_m_s: DVec3::new(velocity.x.0[0], velocity.y.0[0], velocity.z.0[0]),
        }
    }

    /// Way of eight places aside from the middle of the jet.
    #[inline(always)]
    fn aside_m<P: Processor>(&self, p: P, places: &SlipstreamBlock) -> Wide3<P> {
        let [x, y] = places.offset_x_and_y_m.on(p);
        let [z, behind] = places.offset_z_and_behind_m.on(p);
        Wide3 { x, y, z } - Wide3::all(p, self.drift_m_m) * behind.at_least(0.0)
    }

    /// One over the area of the jet where it has developed so far, the disk's
    /// being one.
    #[inline(always)]
    fn one_over_area<P: Processor>(&self, develop: Wide<P>) -> Wide<P> {
        // The same flow at every section; see `section`.
        (1.0 + self.growth_share * develop).at_least(0.5)
    }

    /// Parts of eight places that lie inside the jet.
    #[inline(always)]
    pub(crate) fn immersed<P: Processor>(&self, p: P, places: &SlipstreamBlock) -> Wide<P> {
        let aside = self.aside_m(p, places);
        let [half_width_m, develop] = places.half_width_m_and_develop.on(p);
        // Everything times the root of the area, to divide only once.
        let narrowing = self.one_over_area(develop).sqrt();
        let radius = self.disk_radius_m;
        let edge = (half_width_m * narrowing).at_least(EDGE_FRACTION * radius);
        let inside = radius + edge - aside.dot(aside).sqrt() * narrowing;
        let t = (0.5 * inside / edge).at_least(0.0).at_most(1.0);
        t * t * (3.0 - 2.0 * t)
    }

    /// Velocities that the jet adds at eight places inside it.
    #[inline(always)]
    pub(crate) fn added<P: Processor>(&self, p: P, places: &SlipstreamBlock) -> Wide3<P> {
        let [_, develop] = places.half_width_m_and_develop.on(p);
        let spin = self.swirl_rad_s * (places.swirl * self.one_over_area(develop));
        let induced = self.induced_m_s + self.growth_m_s * develop;
        let direction = Wide3::all(p, self.direction);
        direction.cross(self.aside_m(p, places)) * spin - direction * induced
    }
}

/// [`SlipstreamPlace`] for eight strips at once.
#[derive(Debug, Clone)]
pub(crate) struct SlipstreamBlock {
    offset_x_and_y_m: PairLanes,
    offset_z_and_behind_m: PairLanes,
    half_width_m_and_develop: PairLanes,
    swirl: Lanes,
}

impl Default for SlipstreamBlock {
    /// Places that no jet ever reaches.
    fn default() -> Self {
        const FAR_ASIDE_M: f64 = 1.0e6;
        let mut block = Self {
            offset_x_and_y_m: PairLanes::default(),
            offset_z_and_behind_m: PairLanes::default(),
            half_width_m_and_develop: PairLanes::default(),
            swirl: Lanes::ZERO,
        };
        for lane in 0..WIDTH {
            block.offset_x_and_y_m.set(lane, FAR_ASIDE_M, FAR_ASIDE_M);
        }
        block
    }
}

impl SlipstreamBlock {
    /// Puts a place into one lane.
    pub fn set(&mut self, lane: usize, place: &SlipstreamPlace) {
        let offset_m = place.offset_m;
        self.offset_x_and_y_m.set(lane, offset_m.x, offset_m.y);
        self.offset_z_and_behind_m
            .set(lane, offset_m.z, place.behind_m);
        self.half_width_m_and_develop
            .set(lane, place.half_width_m.max(1.0e-9), place.develop);
        self.swirl.0[lane] = place.swirl;
    }
}
