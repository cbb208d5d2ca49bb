//! The lifting surfaces and bodies of one aeroplane, made ready to be flown.

use core::f64::consts::PI;

use glam::DVec3;
use larkfield_airframe::Airframe;

use crate::fuselage::Fuselage;
use crate::influence::{GroundTables, Influence};
use crate::lanes::{Lanes, PairLanes, PairLanes3, WIDTH};
use crate::power::SlipstreamBlock;
use crate::section::{FlapTheory, SectionModel, SheetBlock};
use crate::servo::realised_effect;
use crate::strips::{Flap, Group, Slots, Strip, cut};
use crate::swirl::{self, Disk};

/// Strips farther than this from the shaft line never feel the slipstream.
const JET_REACH_RADII: f64 = 3.0;

/// Distance along the span over which separation spreads, in chords.
const SEPARATION_REACH_CHORDS: f64 = 0.29;

/// Instead of a stall angle where there is no stall.
const NO_STALL_RAD: f64 = 1e6;

/// What never changes about eight strips of one surface, in the order in which a
/// tick asks for it and packed by pairs, so that all of a plane stays close to
/// the processor. Lanes beyond the last strip of a surface have no width and
/// are not real.
#[derive(Debug, Clone, Default)]
pub(crate) struct StripBlock {
    /// Share of the port or starboard wing's area.
    pub left_and_right_share: PairLanes,
    /// Width of each strip over the width of its surface.
    pub width_share: Lanes,
    pub in_wash: bool,
    pub wash: SlipstreamBlock,
    /// Middle of the bound vortex; unit vector along it.
    pub quarter_m_and_along: PairLanes3,
    pub normal_and_aft: PairLanes3,
    /// Position over the half span, -1 port tip, 1 starboard tip; between wing
    /// centre 0 and tail 1.
    pub lateral_and_aftness: PairLanes,
    /// The wake of a separated wing reaches these strips: they are not part of it.
    pub in_wake: bool,
    /// Chord in metres and one over it.
    pub chord_and_inverse: PairLanes,
    pub flaps: Vec<FlapBlock>,
    pub sheet: SheetBlock,
    /// Sections that are not foam sheet.
    pub special: Vec<SpecialSection>,
    /// Coupling of separation to the neighbour on either side.
    pub spread_below_and_above: PairLanes,
    /// 1 where the surface has another strip on that side.
    pub neighbour_below_and_above: PairLanes,
    /// Gains of the circulation loop. First for what varies smoothly along the
    /// span: downwash of an elliptic load times the section's slope. Then for a
    /// strip by itself, its own trailing legs: what would swing up from tick to
    /// tick first.
    pub smooth_and_own_gain: PairLanes,
    /// Width in metres, half the area in square metres.
    pub width_and_half_area: PairLanes,
    /// Angle at which wing strips stall; beyond any angle for other strips.
    pub stall_angle_rad: Lanes,
    /// 1 in the lanes that belong to a group, see [`Group`].
    pub group: [Lanes; 3],
}

/// What one control does to eight strips.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct FlapBlock {
    /// Index in [`Airframe::controls`].
    pub control: usize,
    /// Share of the strip's span that is hinged, 0 without this flap; the same
    /// times the share of the theoretical effect that is left.
    pub coverage_and_effective: PairLanes,
}

/// A section with a law of its own in one lane.
#[derive(Debug, Clone)]
pub(crate) struct SpecialSection {
    pub lane: usize,
    pub section: SectionModel,
    pub flap: FlapTheory,
}

/// Strips of a surface: first and one past the last.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SurfaceStrips {
    pub from: usize,
    pub to: usize,
    /// Blocks that hold them, likewise.
    pub first_block: usize,
    pub end_block: usize,
}

/// The lifting surfaces and bodies of one aeroplane.
#[derive(Debug, Clone)]
pub(crate) struct Airborne {
    pub strips: Vec<Strip>,
    #[cfg(test)]
    pub slots: Slots,
    pub blocks: Vec<StripBlock>,
    pub surfaces: Vec<SurfaceStrips>,
    pub influence: Influence,
    pub ground: GroundTables,
    pub fuselage: Fuselage,
    pub wing_quarter_m: DVec3,
    pub wing_chord_m: f64,
    pub span_m: f64,
    pub tail_m: DVec3,
}

fn aspect_ratio(strips: &[Strip]) -> f64 {
    let span: f64 = strips.iter().map(|p| p.width_m).sum();
    let area: f64 = strips.iter().map(Strip::area_m2).sum();
    let upright =
        strips.iter().any(|p| !p.is_wing) && strips.iter().all(|p| p.normal.y.abs() > 0.7);
    // A fin stands on a body or tailplane that mirrors part of its flow.
    let mirror = if upright { 1.5 } else { 1.0 };
    mirror * span * span / area.max(1e-9)
}

/// Wing and tail as a whole.
struct Layout {
    wing_quarter_m: DVec3,
    wing_chord_m: f64,
    wing_area_m2: [f64; 2],
    span_m: f64,
    tail_m: DVec3,
}

impl Layout {
    fn of(strips: &[Strip]) -> Self {
        let mut span_m = 0.0_f64;
        let mut tail_m = DVec3::new(-0.1, 0.0, 0.0);
        let mut weighted = DVec3::ZERO;
        let (mut wing_chord_m, mut area) = (0.0, 0.0);
        let mut wing_area_m2 = [0.0; 2];
        for p in strips {
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
        Self {
            wing_quarter_m: weighted / f64::max(area, 1e-9),
            wing_chord_m: wing_chord_m / f64::max(area, 1e-9),
            wing_area_m2,
            span_m: span_m.max(0.05),
            tail_m,
        }
    }
}

impl Airborne {
    pub fn new(airframe: &Airframe, cg_m: DVec3, fineness: f64) -> Self {
        let (strips, surface_count) = cut(airframe, cg_m, fineness);
        let slots = Slots::of(&strips);
        let layout = Layout::of(&strips);
        let surfaces: Vec<SurfaceStrips> = (0..surface_count)
            .map(|s| {
                let from = strips.iter().position(|p| p.surface == s).unwrap_or(0);
                let members = strips.iter().filter(|p| p.surface == s).count();
                let first_block = slots.block_of(from);
                let last = members.checked_sub(1);
                SurfaceStrips {
                    from,
                    to: from + members,
                    first_block,
                    end_block: last.map_or(first_block, |last| slots.block_of(from + last) + 1),
                }
            })
            .collect();
        let blown = Disk::of(airframe, cg_m).map(|disk| Blown {
            swirl_share: swirl::met(&disk, &strips, &surfaces),
            disk,
        });
        let blocks = Blocks {
            airframe,
            strips: &strips,
            slots: &slots,
            surfaces: &surfaces,
            layout: &layout,
            blown,
        }
        .build();
        Self {
            influence: Influence::between(&strips, &slots, &surfaces),
            ground: GroundTables::new(&strips, &slots, surface_count, layout.span_m),
            fuselage: Fuselage::new(airframe, cg_m),
            blocks,
            surfaces,
            wing_quarter_m: layout.wing_quarter_m,
            wing_chord_m: layout.wing_chord_m,
            span_m: layout.span_m,
            tail_m: layout.tail_m,
            strips,
            #[cfg(test)]
            slots,
        }
    }

    pub fn count(&self) -> usize {
        self.strips.len()
    }

    /// Apparent mass: for each strip the air of the circle on its chord,
    /// at mid-chord along its normal. Returns unit (normal, moment arm cross
    /// normal) rows scaled by the root of the mass.
    pub fn apparent_mass(&self, density_kg_m3: f64) -> Vec<(DVec3, DVec3)> {
        self.strips
            .iter()
            .map(|p| {
                let surface = self.surfaces[p.surface];
                let ar = aspect_ratio(&self.strips[surface.from..surface.to]);
                // A rectangular plate carries less air than a strip of an endless
                // one (Pabst, 1930; from memory).
                let square = 1.0 + ar * ar;
                let finite = ar / square.sqrt() * (1.0 - 0.425 * ar / square);
                let circle_m2 = PI * 0.25 * p.chord_m * p.chord_m;
                let mass = density_kg_m3 * circle_m2 * p.width_m * finite;
                let middle = p.quarter_m + p.aft * (0.25 * p.chord_m);
                let root = mass.sqrt();
                (p.normal * root, middle.cross(p.normal) * root)
            })
            .collect()
    }
}

/// Everything from which blocks are made.
struct Blocks<'a> {
    airframe: &'a Airframe,
    strips: &'a [Strip],
    slots: &'a Slots,
    surfaces: &'a [SurfaceStrips],
    layout: &'a Layout,
    blown: Option<Blown>,
}

/// What of the slipstream is known beforehand.
struct Blown {
    disk: Disk,
    /// For each surface, see [`swirl::met`].
    swirl_share: Vec<f64>,
}

impl Blocks<'_> {
    fn build(&self) -> Vec<StripBlock> {
        let mut blocks = vec![StripBlock::default(); self.slots.blocks()];
        // Lanes without a strip are filled like the block's first strip and then
        // given no width, so that no division there goes wrong.
        for (index, strip) in self.strips.iter().enumerate() {
            let block = &mut blocks[self.slots.block_of(index)];
            if self.slots.lane_of(index) == 0 {
                for lane in 0..WIDTH {
                    self.shape(block, lane, strip);
                }
                block.width_and_half_area = PairLanes::default();
                block.stall_angle_rad = Lanes([NO_STALL_RAD; WIDTH]);
            }
            let lane = self.slots.lane_of(index);
            self.shape(block, lane, strip);
            self.presence(block, lane, index, strip);
        }
        blocks
    }

    /// Geometry and section.
    fn shape(&self, block: &mut StripBlock, lane: usize, p: &Strip) {
        let (section, flap) = self.section(p);
        block.quarter_m_and_along.set(lane, p.quarter_m, p.along);
        block.normal_and_aft.set(lane, p.normal, p.aft);
        block
            .chord_and_inverse
            .set(lane, p.chord_m, 1.0 / p.chord_m);
        block
            .width_and_half_area
            .set(lane, p.width_m, 0.5 * p.area_m2());
        let half_span_m = 0.5 * self.layout.span_m;
        let lateral = (p.quarter_m.y / half_span_m).clamp(-1.5, 1.5);
        let arm_m = (self.layout.wing_quarter_m.x - self.layout.tail_m.x).max(0.05);
        let behind_m = self.layout.wing_quarter_m.x - p.quarter_m.x;
        let aftness = (behind_m / arm_m).clamp(0.0, 1.2);
        block.lateral_and_aftness.set(lane, lateral, aftness);
        let own = crate::influence::own_legs(p);
        let own_gain = (own * PI * p.chord_m).max(0.0);
        let surface = self.surfaces[p.surface];
        let all = &self.strips[surface.from..surface.to];
        let span_m: f64 = all.iter().map(|q| q.width_m).sum();
        // An elliptic load of circulation G bends the flow by G / 2 b
        // (Prandtl, 1918), and 2 pi of slope answers with pi c of that.
        let smooth_gain = PI * p.chord_m / (2.0 * span_m.max(1e-6));
        block.smooth_and_own_gain.set(lane, smooth_gain, own_gain);
        block.stall_angle_rad.0[lane] = if p.is_wing {
            libm::asin(section.stall_sine().min(1.0))
        } else {
            NO_STALL_RAD
        };
        block.sheet.set(lane, &section, &flap);
    }

    /// Section and hinge of a strip.
    fn section(&self, p: &Strip) -> (SectionModel, FlapTheory) {
        let surface = self.surfaces[p.surface];
        let aspect = aspect_ratio(&self.strips[surface.from..surface.to]);
        let panel = &self.airframe.panels[p.panel];
        let section = SectionModel::new(&panel.section, p.thickness_ratio, aspect);
        let flap = p.flap.map_or_else(FlapTheory::default, |f| {
            let realised = if section.is_ideal() {
                1.0
            } else {
                realised_effect(self.airframe.controls[f.control].gap, p.chord_m)
            };
            FlapTheory::new(f.fraction, realised)
        });
        (section, flap)
    }

    /// What only a strip that is there has.
    fn presence(&self, block: &mut StripBlock, lane: usize, index: usize, p: &Strip) {
        let surface = self.surfaces[p.surface];
        block.in_wake = !p.is_wing;
        let all = &self.strips[surface.from..surface.to];
        block.width_share.0[lane] = p.width_m / f64::max(all.iter().map(|q| q.width_m).sum(), 1e-9);
        block.group[p.group as usize].0[lane] = 1.0;
        let reach = SEPARATION_REACH_CHORDS * p.chord_m / p.width_m;
        let spread_where = |there: bool| if there { reach * reach } else { 0.0 };
        let [is_below, is_above] = [index > surface.from, index + 1 < surface.to];
        let (below, above) = (spread_where(is_below), spread_where(is_above));
        block.spread_below_and_above.set(lane, below, above);
        let there = |there: bool| f64::from(u8::from(there));
        block
            .neighbour_below_and_above
            .set(lane, there(is_below), there(is_above));
        if p.is_wing {
            let [left_m2, right_m2] = self.layout.wing_area_m2;
            let [left, right] = if p.group == Group::WingRight {
                [0.0, p.area_m2() / right_m2.max(1e-9)]
            } else {
                [p.area_m2() / left_m2.max(1e-9), 0.0]
            };
            block.left_and_right_share.set(lane, left, right);
        }
        let (section, flap) = self.section(p);
        if let Some(hinged) = p.flap {
            block.hinge(lane, hinged, flap.realised);
        }
        if !section.is_sheet() {
            block.special.push(SpecialSection {
                lane,
                section,
                flap,
            });
        }
        self.set_wash(block, lane, p);
    }

    fn set_wash(&self, block: &mut StripBlock, lane: usize, p: &Strip) {
        let Some(Blown { disk, swirl_share }) = &self.blown else {
            return;
        };
        let from_hub = p.three_quarter_m - disk.hub_m;
        let aside_m = from_hub.reject_from(disk.direction).length();
        // No jet ever drifts that far: spare the look each tick.
        if aside_m < JET_REACH_RADII * disk.radius_m + 0.5 * p.width_m {
            let place = disk
                .place(p.three_quarter_m, 0.5 * p.width_m)
                .with_swirl_share(swirl_share[p.surface]);
            block.wash.set(lane, &place);
            block.in_wash = true;
        }
    }
}

impl StripBlock {
    /// Hangs a control on the strip in a lane; `realised` is the share of its
    /// theoretical effect that is left.
    fn hinge(&mut self, lane: usize, flap: Flap, realised: f64) {
        let is_it = |block: &FlapBlock| block.control == flap.control;
        if !self.flaps.iter().any(is_it) {
            self.flaps.push(FlapBlock {
                control: flap.control,
                ..FlapBlock::default()
            });
        }
        for block in self.flaps.iter_mut().filter(|block| is_it(block)) {
            let effective = flap.coverage * realised;
            block
                .coverage_and_effective
                .set(lane, flap.coverage, effective);
        }
    }
}
