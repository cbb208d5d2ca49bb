//! Areas, spans, chords and tail arms, as preflight quotes them.

use glam::DVec3;

use crate::{Airframe, Panel, SurfaceKind};

/// Plan form of all panels of one kind, projected as its kind is used: wings
/// and tailplanes onto the ground plane, fins and end plates onto the plane
/// of symmetry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanForm {
    /// Projected area.
    pub area_m2: f64,
    /// Area along the sheet, nothing projected.
    pub sheet_area_m2: f64,
    /// Largest extent across: tip to tip for a wing, height for a fin.
    pub span_m: f64,
    /// Mean aerodynamic chord, integral of chord squared over that of chord
    /// (Etkin and Reid, Dynamics of Flight, 3rd edition, 1996, appendix C).
    pub mean_chord_m: f64,
    /// Leading edge of the mean aerodynamic chord along x, chord-weighted.
    pub mean_chord_leading_edge_x_m: f64,
    /// Span squared over projected area.
    pub aspect_ratio: f64,
    /// Centre of the projected area's quarter-chord line.
    pub quarter_chord_m: DVec3,
}

/// Plan form of the panels that `pick` keeps; `None` when there are none or
/// their projected area is zero.
#[must_use]
pub fn plan_form(airframe: &Airframe, pick: impl Fn(&Panel) -> bool) -> Option<PlanForm> {
    let mut area_m2 = 0.0;
    let mut sheet_area_m2 = 0.0;
    let mut chord_squared = 0.0;
    let mut leading_edge = 0.0;
    let mut quarter = DVec3::ZERO;
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for panel in airframe.panels.iter().filter(|p| pick(p)) {
        let upright = matches!(panel.kind, SurfaceKind::Fin | SurfaceKind::EndPlate);
        for pair in panel.stations.windows(2) {
            let [root, tip] = pair else { continue };
            let along = tip.leading_edge_m - root.leading_edge_m;
            let sheet_width_m = DVec3::new(0.0, along.y, along.z).length();
            let width_m = if upright {
                along.z.abs()
            } else {
                along.y.abs()
            };
            for end in [root, tip] {
                let across = if upright {
                    end.leading_edge_m.z
                } else {
                    end.leading_edge_m.y
                };
                low = low.min(across);
                high = high.max(across);
            }
            // Simpson's rule is exact for these quadratics and cubics.
            for (t, weight) in [(0.0, 1.0 / 6.0), (0.5, 4.0 / 6.0), (1.0, 1.0 / 6.0)] {
                let chord_m = root.chord_m + t * (tip.chord_m - root.chord_m);
                let edge = root.leading_edge_m + along * t;
                area_m2 += weight * width_m * chord_m;
                sheet_area_m2 += weight * sheet_width_m * chord_m;
                chord_squared += weight * width_m * chord_m * chord_m;
                leading_edge += weight * width_m * chord_m * edge.x;
                quarter +=
                    (edge - DVec3::new(chord_m / 4.0, 0.0, 0.0)) * (weight * width_m * chord_m);
            }
        }
    }
    // Written so that NaN gives `None`.
    if !(area_m2 > 0.0 && high > low) {
        return None;
    }
    let span_m = high - low;
    Some(PlanForm {
        area_m2,
        sheet_area_m2,
        span_m,
        mean_chord_m: chord_squared / area_m2,
        mean_chord_leading_edge_x_m: leading_edge / area_m2,
        aspect_ratio: span_m * span_m / area_m2,
        quarter_chord_m: quarter / area_m2,
    })
}

/// Sizes of the whole plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Geometry {
    /// Main wing.
    pub wing: PlanForm,
    /// Horizontal tail, if there is one.
    pub tailplane: Option<PlanForm>,
    /// Fins, if there are any (end plates are not counted).
    pub fin: Option<PlanForm>,
    /// From the wing's quarter chord back to the tailplane's.
    pub tail_arm_m: Option<f64>,
    /// From the wing's quarter chord back to the fin's.
    pub fin_arm_m: Option<f64>,
    /// Tailplane area times arm over wing area times mean chord.
    pub tail_volume: Option<f64>,
    /// Fin area times arm over wing area times wing span.
    pub fin_volume: Option<f64>,
}

impl Geometry {
    /// Sizes of a plane; `None` when it has no wing. A V-tail counts as a
    /// tailplane with its projection onto the ground plane.
    #[must_use]
    pub fn of(airframe: &Airframe) -> Option<Self> {
        let of_kind = |kind| plan_form(airframe, |p: &Panel| p.kind == kind);
        let wing = of_kind(SurfaceKind::Wing)?;
        let tailplane = of_kind(SurfaceKind::Tailplane);
        let fin = of_kind(SurfaceKind::Fin);
        let arm =
            |tail: Option<PlanForm>| tail.map(|t| wing.quarter_chord_m.x - t.quarter_chord_m.x);
        let (tail_arm_m, fin_arm_m) = (arm(tailplane), arm(fin));
        Some(Self {
            wing,
            tailplane,
            fin,
            tail_arm_m,
            fin_arm_m,
            tail_volume: (tailplane.zip(tail_arm_m))
                .map(|(t, arm)| t.area_m2 * arm / (wing.area_m2 * wing.mean_chord_m)),
            fin_volume: (fin.zip(fin_arm_m))
                .map(|(f, arm)| f.area_m2 * arm / (wing.area_m2 * wing.span_m)),
        })
    }
}
