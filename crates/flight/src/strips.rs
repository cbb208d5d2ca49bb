//! Cutting the panels into strips.

use glam::DVec3;
use larkfield_airframe::{Airframe, Panel, Section, Side, SurfaceKind, chord_aft};

use crate::lanes::WIDTH;

/// Most strips a model may have; the influence matrix grows with the square.
pub(crate) const MOST_STRIPS: usize = 64;

/// Group that comes off together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Group {
    WingLeft = 0,
    WingRight = 1,
    Tail = 2,
}

/// A control surface's hold on a strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Flap {
    /// Index in `Airframe::controls`.
    pub control: usize,
    /// Share of the strip's span that is hinged.
    pub coverage: f64,
    /// Chord behind the hinge over the chord.
    pub fraction: f64,
}

/// One strip of a panel, body axes with the origin at the centre of gravity.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Strip {
    /// Index of the panel it was cut from.
    pub panel: usize,
    /// Connected surface (wing, tail, fin) it belongs to.
    pub surface: usize,
    pub group: Group,
    pub is_wing: bool,
    pub chord_m: f64,
    pub width_m: f64,
    /// Ends of the bound vortex at the quarter chord, in the sense in which
    /// positive circulation runs (to starboard on a wing, down on a fin).
    pub start_m: DVec3,
    pub end_m: DVec3,
    /// Middle of the bound vortex.
    pub quarter_m: DVec3,
    pub three_quarter_m: DVec3,
    /// Unit vector out of the plate, to the side toward which positive lift acts.
    pub normal: DVec3,
    /// Unit vector along the chord, aft.
    pub aft: DVec3,
    /// Unit vector along the bound vortex.
    pub along: DVec3,
    /// Typical spanwise loading, 1 in the middle of the surface, 0 at its tips.
    pub loading: f64,
    pub flap: Option<Flap>,
    /// Thickness over chord.
    pub thickness_ratio: f64,
}

impl Strip {
    pub fn area_m2(&self) -> f64 {
        self.chord_m * self.width_m
    }
}

/// Where each strip lies in blocks of eight: every surface begins a block of its
/// own, so that a block never mixes surfaces.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Slots {
    slot: Vec<usize>,
    blocks: usize,
}

impl Slots {
    pub fn of(strips: &[Strip]) -> Self {
        let mut slot = Vec::with_capacity(strips.len());
        let mut next = 0_usize;
        let mut surface = None;
        for strip in strips {
            if surface.is_some_and(|s| s != strip.surface) {
                next = next.next_multiple_of(WIDTH);
            }
            surface = Some(strip.surface);
            slot.push(next);
            next += 1;
        }
        Self {
            slot,
            blocks: next.div_ceil(WIDTH),
        }
    }

    /// Number of blocks.
    pub fn blocks(&self) -> usize {
        self.blocks
    }

    pub fn block_of(&self, strip: usize) -> usize {
        self.slot[strip] / WIDTH
    }

    pub fn lane_of(&self, strip: usize) -> usize {
        self.slot[strip] % WIDTH
    }
}

/// Frame of a plate between two stations: unit vectors (aft, normal, along).
fn frame(panel: &Panel, spanwise: DVec3, incidence_rad: f64) -> (DVec3, DVec3, DVec3) {
    let flat_normal = panel.flat_normal(spanwise);
    let along = DVec3::X.cross(flat_normal);
    let aft = chord_aft(flat_normal, incidence_rad);
    (aft, aft.cross(along), along)
}

/// Interpolated leading edge, chord and incidence at a share of the panel's span.
struct At {
    leading_edge_m: DVec3,
    chord_m: f64,
    incidence_rad: f64,
}

struct Ruler {
    /// Share of the span at each station, 0 to 1.
    shares: Vec<f64>,
    length_m: f64,
}

fn flatten(v: DVec3) -> DVec3 {
    DVec3::new(0.0, v.y, v.z)
}

impl Ruler {
    fn along(panel: &Panel) -> Self {
        let mut shares = vec![0.0];
        let mut length_m = 0.0;
        for pair in panel.stations.windows(2) {
            length_m += flatten(pair[1].leading_edge_m - pair[0].leading_edge_m).length();
            shares.push(length_m);
        }
        for share in &mut shares {
            *share /= length_m.max(1e-9);
        }
        Self { shares, length_m }
    }

    fn at(&self, panel: &Panel, share: f64) -> At {
        let last = panel.stations.len().saturating_sub(2);
        let mut k = 0;
        while k < last && share > self.shares[k + 1] {
            k += 1;
        }
        let (a, b) = (&panel.stations[k], &panel.stations[k + 1]);
        let t = (share - self.shares[k]) / (self.shares[k + 1] - self.shares[k]).max(1e-12);
        At {
            leading_edge_m: a.leading_edge_m.lerp(b.leading_edge_m, t),
            chord_m: a.chord_m + t * (b.chord_m - a.chord_m),
            incidence_rad: a.incidence_rad + t * (b.incidence_rad - a.incidence_rad),
        }
    }
}

/// Joins panels whose ends meet into surfaces; returns a surface for each panel.
fn surfaces_of(airframe: &Airframe) -> (Vec<usize>, usize) {
    let count = airframe.panels.len();
    let mut surface: Vec<usize> = (0..count).collect();
    let ends = |p: &Panel| -> [DVec3; 2] {
        let quarter =
            |s: &larkfield_airframe::Station| s.leading_edge_m - DVec3::X * (0.25 * s.chord_m);
        match (p.stations.first(), p.stations.last()) {
            (Some(a), Some(b)) => [quarter(a), quarter(b)],
            _ => [DVec3::ZERO; 2],
        }
    };
    for i in 0..count {
        for j in 0..i {
            if airframe.panels[i].kind != airframe.panels[j].kind {
                continue;
            }
            let near = ends(&airframe.panels[i]).iter().any(|a| {
                ends(&airframe.panels[j])
                    .iter()
                    .any(|b| a.distance(*b) < 0.04)
            });
            if near {
                let (from, to) = (surface[i], surface[j]);
                for s in &mut surface {
                    if *s == from {
                        *s = to;
                    }
                }
            }
        }
    }
    let mut names: Vec<usize> = Vec::new();
    let numbered = surface
        .iter()
        .map(|s| match names.iter().position(|n| n == s) {
            Some(k) => k,
            None => {
                names.push(*s);
                names.len() - 1
            }
        })
        .collect();
    (numbered, names.len())
}

/// Span shares at which strips of a panel must begin or end: stations and the
/// ends of hinged parts, so that no strip is half flap.
fn cuts(airframe: &Airframe, panel_index: usize, ruler: &Ruler) -> Vec<f64> {
    let mut cuts = ruler.shares.clone();
    for control in airframe.controls.iter().filter(|c| c.panel == panel_index) {
        for share in [control.span_from, control.span_to] {
            if cuts.iter().all(|c| (c - share).abs() > 0.04) {
                cuts.push(share);
            }
        }
    }
    cuts.sort_by(f64::total_cmp);
    cuts
}

/// Strips of all panels about a centre of gravity, and the number of surfaces.
pub(crate) fn cut(airframe: &Airframe, cg_m: DVec3, fineness: f64) -> (Vec<Strip>, usize) {
    let (surface, surfaces) = surfaces_of(airframe);
    let rulers: Vec<Ruler> = airframe.panels.iter().map(Ruler::along).collect();
    let mut span_of = vec![0.0; surfaces];
    for (panel, ruler) in rulers.iter().enumerate() {
        span_of[surface[panel]] += ruler.length_m;
    }
    let mut strips = Vec::new();
    for (index, panel) in airframe.panels.iter().enumerate() {
        let ruler = &rulers[index];
        let per_span = match panel.kind {
            SurfaceKind::Wing => 22.0,
            SurfaceKind::Tailplane => 8.0,
            SurfaceKind::Fin | SurfaceKind::EndPlate => 4.0,
        } * fineness;
        let target_width = (span_of[surface[index]] / per_span).max(1e-4);
        let edges = cuts(airframe, index, ruler);
        for pair in edges.windows(2) {
            let length = (pair[1] - pair[0]) * ruler.length_m;
            if length < 1e-6 {
                continue;
            }
            let pieces = libm::round(length / target_width).clamp(1.0, 16.0 * fineness) as usize;
            for piece in 0..pieces {
                if strips.len() >= MOST_STRIPS {
                    break;
                }
                let from = pair[0] + (pair[1] - pair[0]) * piece as f64 / pieces as f64;
                let to = pair[0] + (pair[1] - pair[0]) * (piece + 1) as f64 / pieces as f64;
                strips.push(one(airframe, index, ruler, surface[index], from, to, cg_m));
            }
        }
    }
    // Each surface's strips side by side, in order along the span: influence
    // loops run over ranges and separation spreads to neighbours.
    strips.sort_by(|a, b| {
        let along = |p: &Strip| p.quarter_m.y + p.quarter_m.z;
        a.surface
            .cmp(&b.surface)
            .then(along(a).total_cmp(&along(b)))
    });
    set_loading(&mut strips, surfaces);
    (strips, surfaces)
}

fn one(
    airframe: &Airframe,
    index: usize,
    ruler: &Ruler,
    surface: usize,
    from: f64,
    to: f64,
    cg_m: DVec3,
) -> Strip {
    let panel = &airframe.panels[index];
    let (a, b) = (ruler.at(panel, from), ruler.at(panel, to));
    let mid = ruler.at(panel, 0.5 * (from + to));
    let (aft, normal, along) = frame(
        panel,
        flatten(b.leading_edge_m - a.leading_edge_m),
        mid.incidence_rad,
    );
    let mut ends = [
        a.leading_edge_m + aft * (0.25 * a.chord_m) - cg_m,
        b.leading_edge_m + aft * (0.25 * b.chord_m) - cg_m,
    ];
    if (ends[1] - ends[0]).dot(along) < 0.0 {
        ends.swap(0, 1);
    }
    let quarter_m = 0.5 * (ends[0] + ends[1]);
    let group = match (panel.kind, panel.side) {
        (SurfaceKind::Wing, Side::Left) => Group::WingLeft,
        (SurfaceKind::Wing, Side::Right) => Group::WingRight,
        (SurfaceKind::Wing, Side::Centre) if quarter_m.y < 0.0 => Group::WingLeft,
        (SurfaceKind::Wing, Side::Centre) => Group::WingRight,
        _ => Group::Tail,
    };
    let middle = 0.5 * (from + to);
    let flap = airframe
        .controls
        .iter()
        .enumerate()
        .filter(|(_, c)| c.panel == index)
        .find_map(|(control, c)| {
            let overlap = (to.min(c.span_to) - from.max(c.span_from)) / (to - from);
            (overlap > 1e-6).then(|| {
                let t =
                    ((middle - c.span_from) / (c.span_to - c.span_from).max(1e-9)).clamp(0.0, 1.0);
                Flap {
                    control,
                    coverage: overlap.min(1.0),
                    fraction: c.flap_fraction_from
                        + t * (c.flap_fraction_to - c.flap_fraction_from),
                }
            })
        });
    let folded = matches!(
        panel.section,
        Section::FoamSheet {
            edges: larkfield_airframe::EdgeShape::Folded,
            ..
        }
    );
    Strip {
        panel: index,
        surface,
        group,
        is_wing: panel.kind == SurfaceKind::Wing,
        chord_m: mid.chord_m,
        width_m: flatten(ends[1] - ends[0]).length(),
        start_m: ends[0],
        end_m: ends[1],
        quarter_m,
        three_quarter_m: quarter_m + aft * (0.5 * mid.chord_m),
        normal,
        aft,
        along,
        loading: 1.0,
        flap,
        thickness_ratio: panel.thickness_m * if folded { 1.5 } else { 1.0 } / mid.chord_m,
    }
}

/// Elliptic loading over each surface's own span, for the ground image and
/// for lumped circulations.
fn set_loading(strips: &mut [Strip], surfaces: usize) {
    for s in 0..surfaces {
        let along = |p: &Strip| p.quarter_m.y + p.quarter_m.z;
        let (mut low, mut high) = (f64::MAX, f64::MIN);
        for p in strips.iter().filter(|p| p.surface == s) {
            low = low.min(along(p) - 0.5 * p.width_m);
            high = high.max(along(p) + 0.5 * p.width_m);
        }
        let (middle, half) = (0.5 * (low + high), 0.5 * (high - low).max(1e-9));
        for p in strips.iter_mut().filter(|p| p.surface == s) {
            let x = ((along(p) - middle) / half).clamp(-1.0, 1.0);
            p.loading = (1.0 - x * x).max(0.02).sqrt();
        }
    }
}
