//! Velocity that the vortices of one strip induce at another.
//!
//! Each strip carries a horseshoe: a bound segment along its quarter chord and
//! two legs that trail aft along the body's x axis. With the flow condition at
//! the three-quarter chord (Weissinger 1942, Pistolesi's theorem) one row of
//! horseshoes gives the lift slope of plain wings within about one per cent;
//! the lifting line with its condition at the quarter chord is 5 to 12 % high.
//!
//! The law of Biot and Savart for straight segments: any text on wing theory,
//! such as Katz and Plotkin, *Low-Speed Aerodynamics*, section 2.11 (from memory).

use core::ops::{Range, RangeInclusive};

use arrayvec::ArrayVec;
use glam::DVec3;

use crate::airborne::SurfaceStrips;
use crate::flow::Flow;
use crate::lanes::{Lanes, Processor, Singles, WIDTH, Wide, WideSingles};
use crate::strips::{Slots, Strip};

/// Direction of the trailing legs in body axes.
const AFT: DVec3 = DVec3::new(-1.0, 0.0, 0.0);
const FOUR_PI: f64 = 4.0 * core::f64::consts::PI;

/// Velocity for unit circulation induced at `point_m` by a straight segment
/// running from `start_m` to `end_m`; `core_m` keeps it finite on the axis.
fn segment(start_m: DVec3, end_m: DVec3, point_m: DVec3, core_m: f64) -> DVec3 {
    let r1 = point_m - start_m;
    let r2 = point_m - end_m;
    let along = end_m - start_m;
    let cross = r1.cross(r2);
    let floor = core_m * core_m * along.length_squared();
    let denominator = cross.length_squared() + floor;
    let (d1, d2) = (r1.length(), r2.length());
    if denominator < 1e-18 || d1 < 1e-9 || d2 < 1e-9 {
        return DVec3::ZERO;
    }
    cross * (along.dot(r1 / d1 - r2 / d2) / (FOUR_PI * denominator))
}

/// Velocity for unit circulation induced at `point_m` by a leg that starts at
/// `start_m` and runs aft for ever, circulation directed aft.
fn leg(start_m: DVec3, point_m: DVec3, core_m: f64) -> DVec3 {
    let r = point_m - start_m;
    let cross = AFT.cross(r);
    let denominator = cross.length_squared() + core_m * core_m;
    let distance = r.length();
    if denominator < 1e-18 || distance < 1e-9 {
        return DVec3::ZERO;
    }
    cross * ((1.0 + AFT.dot(r) / distance) / (FOUR_PI * denominator))
}

/// Velocity for unit circulation of the horseshoe of `source`, legs only.
pub(crate) fn legs(source: &Strip, point_m: DVec3, core_m: f64) -> DVec3 {
    leg(source.end_m, point_m, core_m) - leg(source.start_m, point_m, core_m)
}

/// Velocity for unit circulation of the whole horseshoe of `source`.
pub(crate) fn horseshoe(source: &Strip, point_m: DVec3, core_m: f64) -> DVec3 {
    segment(source.start_m, source.end_m, point_m, core_m) + legs(source, point_m, core_m)
}

/// Normal velocities that unit circulation of one strip induces at eight others:
/// first at the three-quarter chord, without the two-dimensional part of a
/// strip's own bound vortex (what bends the section's angle of attack); then at
/// the quarter chord, own bound vortex left out (what tilts the lift).
pub(crate) type Effect = Singles;

/// Effects of all strips on all blocks of strips.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Influence {
    /// In the order of their blocks.
    pub tiles: Vec<Tile>,
}

/// Blocks whose induced flow is reckoned together: what is loaded of a source
/// serves all of them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Tile {
    /// Index of the surface that each block is part of.
    pub surface_of_block: ArrayVec<usize, MOST_IN_TILE>,
    /// `[source][block]`.
    pub effects: Vec<Effect>,
}

/// Most blocks of a tile: their sums have to stay in the processor's registers.
pub(crate) const MOST_IN_TILE: usize = 6;

impl Influence {
    pub fn between(strips: &[Strip], slots: &Slots, surfaces: &[SurfaceStrips]) -> Self {
        let blocks = slots.blocks();
        // As many blocks in each, or one less in some.
        let count = blocks.div_ceil(MOST_IN_TILE);
        let first_of = |tile: usize| tile * blocks / count;
        let tiles = (0..count).map(|tile| {
            let range = first_of(tile)..first_of(tile + 1);
            let surface_of = |block: usize| {
                let is_of = |s: &SurfaceStrips| (s.first_block..s.end_block).contains(&block);
                surfaces.iter().position(is_of).unwrap_or(0)
            };
            Tile {
                surface_of_block: (range.clone()).map(surface_of).collect(),
                effects: effects_on(range, strips, slots),
            }
        });
        Self {
            tiles: tiles.collect(),
        }
    }
}

/// `[source][block]` of a range of blocks.
fn effects_on(blocks: Range<usize>, strips: &[Strip], slots: &Slots) -> Vec<Effect> {
    let mut effects = vec![Effect::ZERO; strips.len() * blocks.len()];
    for (j, source) in strips.iter().enumerate() {
        for (i, target) in strips.iter().enumerate() {
            let block = slots.block_of(i);
            if blocks.contains(&block) {
                let (ahead, bound) = effect_of(source, target, i == j);
                let entry = j * blocks.len() + block - blocks.start;
                effects[entry].set(slots.lane_of(i), ahead, bound);
            }
        }
    }
    effects
}

/// Downwash at a strip's own three-quarter chord for unit circulation, the
/// two-dimensional part left out.
pub(crate) fn own_legs(strip: &Strip) -> f64 {
    -ahead(strip, strip, true)
}

/// Normal velocity at the three-quarter chord of `target` for unit circulation, the
/// two-dimensional part left out where it is the source's `own`.
pub(crate) fn ahead(source: &Strip, target: &Strip, own: bool) -> f64 {
    effect_of(source, target, own).0
}

/// Normal velocities at the three-quarter and the quarter chord of `target`.
fn effect_of(source: &Strip, target: &Strip, own: bool) -> (f64, f64) {
    // A tail's strips do not line up with the wing's; the sheet between two
    // legs is smooth, so a leg must not act as a needle on whatever happens to
    // lie in its way. Where fin and tailplane meet, each is an end plate to the
    // other: there the flow between them is what counts.
    let core_m = if source.surface == target.surface {
        0.0
    } else if source.is_wing != target.is_wing {
        0.5 * source.width_m.max(target.width_m)
    } else {
        0.1 * source.width_m.min(target.width_m)
    };
    let mut ahead = horseshoe(source, target.three_quarter_m, core_m).dot(target.normal);
    let at_bound = if own {
        ahead += 1.0 / (core::f64::consts::PI * source.chord_m);
        legs(source, target.quarter_m, core_m)
    } else {
        horseshoe(source, target.quarter_m, core_m)
    };
    (ahead, at_bound.dot(target.normal))
}

/// Most surfaces that the image flow is reckoned for.
pub(crate) const MOST_SURFACES: usize = 12;

/// Heights of the quarter chord over the ground, in spans of the source
/// surface, at which the image flow is tabulated. Beyond the last it is nil.
const HEIGHTS_OVER_SPAN: [f64; GROUND_ROWS] = [0.04, 0.08, 0.14, 0.22, 0.35, 0.55, 0.9, 1.6];
const GROUND_ROWS: usize = 8;
/// The last row that has a next one.
const LAST_ROW: usize = GROUND_ROWS - 2;

/// Flow of the mirror images below the ground.
///
/// A full image matrix for each height would cost a hundred times the rest of
/// the tick. The image of a surface is far from the strip that feels it, so
/// only the surface's total circulation matters, spread as its chords are.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct GroundTables {
    surfaces: usize,
    pub one_over_span_m: f64,
    /// Corners of the box around all quarter chords.
    box_m: [DVec3; 2],
    /// `[block][row][surface]`.
    rows: Vec<GroundEffect>,
}

/// Normal velocities at eight strips when a surface's mean circulation is one: at
/// the row's height, and at the next row less that.
type GroundEffect = Singles;

impl GroundTables {
    /// `span_m` scales the heights.
    pub fn new(strips: &[Strip], slots: &Slots, surfaces: usize, span_m: f64) -> Self {
        let mut levels = vec![Lanes::ZERO; slots.blocks() * GROUND_ROWS * surfaces];
        let shape = spanwise_shape(strips, surfaces);
        for (i, target) in strips.iter().enumerate() {
            let (block, lane) = (slots.block_of(i), slots.lane_of(i));
            for (row, height) in HEIGHTS_OVER_SPAN.iter().enumerate() {
                // Ground below this strip, seen from the level attitude.
                let ground_z_m = target.quarter_m.z + height * span_m;
                for (source, shape) in strips.iter().zip(&shape) {
                    let velocity = image(source, target.quarter_m, ground_z_m);
                    let entry = (block * GROUND_ROWS + row) * surfaces + source.surface;
                    levels[entry].0[lane] += velocity.dot(target.normal) * shape;
                }
            }
        }
        let mut rows = vec![GroundEffect::ZERO; levels.len()];
        for (entry, row) in rows.iter_mut().enumerate() {
            let next = levels.get(entry + surfaces).unwrap_or(&Lanes::ZERO);
            for lane in 0..WIDTH {
                let level = levels[entry].0[lane];
                row.set(lane, level, next.0[lane] - level);
            }
        }
        Self {
            surfaces,
            one_over_span_m: 1.0 / span_m,
            box_m: [
                strips
                    .iter()
                    .map(|s| s.quarter_m)
                    .fold(DVec3::MAX, DVec3::min),
                strips
                    .iter()
                    .map(|s| s.quarter_m)
                    .fold(DVec3::MIN, DVec3::max),
            ],
            rows,
        }
    }

    /// Rows between which all strips are.
    #[inline(always)]
    pub fn rows(&self, flow: &Flow) -> RangeInclusive<usize> {
        let down = flow.down * self.one_over_span_m;
        let height = flow.height_m * self.one_over_span_m;
        let [one, other] = self.box_m.map(|corner_m| down * corner_m);
        let row_of = |below: DVec3| {
            let height = height - (below.x + below.y + below.z);
            let above = HEIGHTS_OVER_SPAN[1..=LAST_ROW].iter();
            above.filter(|row| height > **row).count()
        };
        row_of(one.max(other))..=row_of(one.min(other))
    }

    /// Image flow at a block of strips, given each strip's height over the span,
    /// rows that reach from the lowest to the highest and each surface's mean
    /// circulation.
    #[inline(always)]
    pub fn at<P: Processor>(
        &self,
        p: P,
        block: usize,
        height_over_span: Wide<P>,
        rows: &RangeInclusive<usize>,
        circulation_m2_s: &[f32],
    ) -> Wide<P> {
        let mut row = *rows.start();
        let mut share = share_of_row(row, height_over_span);
        let [mut sum, mut rise] = self.level_and_rise(p, block, row, circulation_m2_s);
        loop {
            sum += share * rise;
            if row >= *rows.end() {
                break;
            }
            row += 1;
            share = share_of_row(row, height_over_span);
            [_, rise] = self.level_and_rise(p, block, row, circulation_m2_s);
        }
        if row == LAST_ROW {
            // Fades to nothing: no step on climbing out.
            sum = sum * (1.0 - share);
        }
        sum
    }

    /// Image flow at a row, and at the next less that.
    #[inline(always)]
    fn level_and_rise<P: Processor>(
        &self,
        p: P,
        block: usize,
        row: usize,
        circulation_m2_s: &[f32],
    ) -> [Wide<P>; 2] {
        let mut both = WideSingles::all(p, 0.0);
        for (effect, gamma_m2_s) in self.row(block, row).iter().zip(circulation_m2_s) {
            both += effect.on(p) * WideSingles::all(p, *gamma_m2_s);
        }
        both.doubled()
    }

    /// Effects of each surface at a row.
    #[inline(always)]
    fn row(&self, block: usize, row: usize) -> &[GroundEffect] {
        let from = (block * GROUND_ROWS + row) * self.surfaces;
        &self.rows[from..from + self.surfaces]
    }
}

/// Share of the way from a row to the next that heights are above it.
#[inline(always)]
fn share_of_row<P: Processor>(row: usize, height_over_span: Wide<P>) -> Wide<P> {
    let (low, one_over_rise) = STEPS[row % GROUND_ROWS];
    ((height_over_span - low) * one_over_rise)
        .at_least(0.0)
        .at_most(1.0)
}

/// Each row's height and one over the way to the next.
const STEPS: [(f64, f64); GROUND_ROWS] = {
    let mut steps = [(0.0, 0.0); GROUND_ROWS];
    let mut row = 0;
    while row + 1 < GROUND_ROWS {
        let (low, high) = (HEIGHTS_OVER_SPAN[row], HEIGHTS_OVER_SPAN[row + 1]);
        steps[row] = (low, 1.0 / (high - low));
        row += 1;
    }
    steps
};

/// Circulation of each strip when its surface's mean is one: elliptic-like,
/// chord times the root of the distance to the tip.
fn spanwise_shape(strips: &[Strip], surfaces: usize) -> Vec<f64> {
    let mut shape = vec![0.0; strips.len()];
    for s in 0..surfaces {
        let members = || {
            strips
                .iter()
                .enumerate()
                .filter(move |(_, p)| p.surface == s)
        };
        let total: f64 = members()
            .map(|(_, p)| p.chord_m * p.width_m * p.loading)
            .sum();
        let width: f64 = members().map(|(_, p)| p.width_m).sum();
        for (j, p) in members() {
            shape[j] = p.chord_m * p.loading * width / total.max(1e-12);
        }
    }
    shape
}

/// Velocity at `point_m` of the mirror image of `source` under a level ground.
fn image(source: &Strip, point_m: DVec3, ground_z_m: f64) -> DVec3 {
    let mirror = |p: DVec3| DVec3::new(p.x, p.y, 2.0 * ground_z_m - p.z);
    // Mirroring turns the circulation round: start and end change places.
    let reflected = Strip {
        start_m: mirror(source.end_m),
        end_m: mirror(source.start_m),
        ..source.clone()
    };
    horseshoe(&reflected, point_m, 0.25 * source.width_m)
}
