//! A panel of foam sheet: what stands still of it, and what turns on a hinge.

use bevy::math::Quat;
use glam::DVec3;
use larkfield_airframe::{ControlSurface, Panel, chord_aft};

use super::faces::{Faces, linear};

/// Pieces that a panel is cut into along its span, so that its underside can
/// carry stripes.
const STRIPES: u32 = 6;
/// The dark stripes of the underside have this share of its brightness: which
/// way up the plane is shows by pattern, not by colour alone.
const STRIPE_SHADE: f32 = 0.25;
/// Hinge line and ends of a flap are cut this wide.
const CUT_M: f64 = 0.001;

/// A flap on its hinge.
pub struct Flap {
    /// Which of the airframe's controls.
    pub control: usize,
    /// A point of the hinge line; body axes from the balance point.
    pub hinge_m: DVec3,
    /// Positive deflections turn about this.
    pub axis: DVec3,
    /// Faces, from [`Flap::hinge_m`].
    pub faces: Faces,
}

/// How far a flap has turned about its axis.
pub fn turned(axis: DVec3, deflection_rad: f64) -> Quat {
    Quat::from_axis_angle(axis.as_vec3(), deflection_rad as f32)
}

/// A panel ready to draw.
pub struct Cut {
    /// What stands still, from the balance point.
    pub faces: Faces,
    /// What turns.
    pub flaps: Vec<Flap>,
}

/// Where a panel is at a share of its span and a share of its chord.
struct Sheet<'a> {
    panel: &'a Panel,
    balance_m: DVec3,
    /// Length along the sheet from the first station to each.
    lengths_m: Vec<f64>,
}

impl<'a> Sheet<'a> {
    fn of(panel: &'a Panel, balance_m: DVec3) -> Self {
        let mut lengths_m = vec![0.0];
        for pair in panel.stations.windows(2) {
            let along_m = pair[1].leading_edge_m - pair[0].leading_edge_m;
            let before_m = lengths_m.last().copied().unwrap_or(0.0);
            lengths_m.push(before_m + along_m.y.hypot(along_m.z));
        }
        Self {
            panel,
            balance_m,
            lengths_m,
        }
    }

    fn shares(&self) -> impl Iterator<Item = f64> + '_ {
        let whole_m = self.whole_m();
        self.lengths_m
            .iter()
            .map(move |length_m| length_m / whole_m)
    }

    fn whole_m(&self) -> f64 {
        self.lengths_m.last().copied().unwrap_or(0.0).max(1e-9)
    }

    fn at(&self, span: f64, chord: f64) -> DVec3 {
        let stations = &self.panel.stations;
        let want_m = span * self.whole_m();
        let last = stations.len().saturating_sub(2);
        let bay = (0..last)
            .find(|i| want_m <= self.lengths_m[i + 1])
            .unwrap_or(last);
        let [root, tip] = &stations[bay..bay + 2] else {
            return -self.balance_m;
        };
        let (from_m, to_m) = (self.lengths_m[bay], self.lengths_m[bay + 1]);
        let t = ((want_m - from_m) / (to_m - from_m).max(1e-9)).clamp(0.0, 1.0);
        let normal = (self.panel).flat_normal(tip.leading_edge_m - root.leading_edge_m);
        let incidence_rad = root.incidence_rad + t * (tip.incidence_rad - root.incidence_rad);
        let aft = chord_aft(normal, incidence_rad);
        let chord_m = root.chord_m + t * (tip.chord_m - root.chord_m);
        root.leading_edge_m.lerp(tip.leading_edge_m, t) + aft * (chord * chord_m) - self.balance_m
    }

    /// Square to the sheet: up for what lies, to starboard for what stands.
    fn normal(&self) -> DVec3 {
        let across = (self.at(1.0, 0.5) - self.at(0.0, 0.5))
            .cross(self.at(0.5, 1.0) - self.at(0.5, 0.0))
            .normalize_or_zero();
        let side = if across.z.abs() > 0.5 {
            -across.z
        } else {
            across.y
        };
        if side < 0.0 { -across } else { across }
    }

    /// Both sides and the four edges of a piece; corners are shares of span and
    /// chord, running round it.
    fn plate(&self, faces: &mut Faces, corners: [(f64, f64); 4], from_m: DVec3, dark: bool) {
        let normal = self.normal();
        let half = normal * (0.5 * self.panel.thickness_m.max(0.001));
        let middle = corners.map(|(span, chord)| self.at(span, chord) - from_m);
        let (top, bottom) = (middle.map(|p| p + half), middle.map(|p| p - half));
        let mut under = linear(self.panel.colour_bottom);
        if dark {
            for channel in &mut under[..3] {
                *channel *= STRIPE_SHADE;
            }
        }
        let over = linear(self.panel.colour_top);
        faces.quad_facing(top, normal, over);
        faces.quad_facing(bottom, -normal, under);
        let centre = (middle[0] + middle[1] + middle[2] + middle[3]) * 0.25;
        for i in 0..4 {
            let j = (i + 1) % 4;
            let outward = (middle[i] + middle[j]) * 0.5 - centre;
            faces.quad_facing([top[i], top[j], bottom[j], bottom[i]], outward, over);
        }
    }
}

/// Cuts a panel along its hinges. `controls` are those of the whole airframe.
pub fn cut(panel: &Panel, index: usize, controls: &[ControlSurface], balance_m: DVec3) -> Cut {
    let sheet = Sheet::of(panel, balance_m);
    let mut out = Cut {
        faces: Faces::default(),
        flaps: Vec::new(),
    };
    if panel.stations.len() < 2 {
        return out;
    }
    let own: Vec<(usize, &ControlSurface)> = (controls.iter().enumerate())
        .filter(|(_, c)| c.panel == index)
        .collect();
    let mut spans: Vec<f64> = sheet.shares().collect();
    spans.extend((0..=STRIPES).map(|i| f64::from(i) / f64::from(STRIPES)));
    spans.extend(own.iter().flat_map(|(_, c)| [c.span_from, c.span_to]));
    spans.sort_by(f64::total_cmp);
    spans.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let hinge = |c: &ControlSurface, span: f64| {
        let t = (span - c.span_from) / (c.span_to - c.span_from).max(1e-9);
        1.0 - (c.flap_fraction_from + t * (c.flap_fraction_to - c.flap_fraction_from))
    };
    let dark = |span: f64| (span * f64::from(STRIPES)) as u32 % 2 == 1;
    let over = |c: &ControlSurface, middle: f64| (c.span_from..c.span_to).contains(&middle);
    for bay in spans.windows(2) {
        let (from, to) = (bay[0], bay[1]);
        let middle = 0.5 * (from + to);
        let flap = own.iter().find(|(_, c)| over(c, middle));
        let (end_from, end_to) = flap.map_or((1.0, 1.0), |(_, c)| (hinge(c, from), hinge(c, to)));
        let corners = [(from, 0.0), (to, 0.0), (to, end_to), (from, end_from)];
        sheet.plate(&mut out.faces, corners, DVec3::ZERO, dark(middle));
    }
    let away = -sheet.normal();
    for (control, c) in own {
        let whole = c.span_to - c.span_from;
        let gap = (CUT_M / sheet.whole_m()).min(0.1 * whole);
        let hinge_m = sheet.at(c.span_from, hinge(c, c.span_from));
        let along = sheet.at(c.span_to, hinge(c, c.span_to)) - hinge_m;
        let axis = along.normalize_or(DVec3::Y);
        let aft = sheet.at(c.span_from, 1.0) - hinge_m;
        let axis = if axis.cross(aft).dot(away) < 0.0 {
            -axis
        } else {
            axis
        };
        let mut faces = Faces::default();
        for bay in spans
            .windows(2)
            .filter(|bay| over(c, 0.5 * (bay[0] + bay[1])))
        {
            let from = bay[0].max(c.span_from + gap);
            let to = bay[1].min(c.span_to - gap);
            let corners = [
                (from, hinge(c, from)),
                (to, hinge(c, to)),
                (to, 1.0),
                (from, 1.0),
            ];
            sheet.plate(&mut faces, corners, hinge_m, dark(0.5 * (bay[0] + bay[1])));
        }
        out.flaps.push(Flap {
            control,
            hinge_m,
            axis,
            faces,
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use larkfield_airframe::{
        Colour, ControlMix, EdgeShape, Gap, Section, Servo, Side, Station, SurfaceKind,
    };

    /// 0.5 m of span to starboard, 0.2 m of chord, a flap of a quarter chord
    /// along the outer half.
    fn wing(kind: SurfaceKind, tip_m: DVec3) -> (Panel, ControlSurface) {
        let station = |leading_edge_m| Station {
            leading_edge_m,
            chord_m: 0.2,
            incidence_rad: 0.0,
        };
        let panel = Panel {
            name: "panel".to_owned(),
            kind,
            side: Side::Right,
            stations: vec![station(DVec3::ZERO), station(tip_m)],
            thickness_m: 0.004,
            areal_density_kg_m2: 0.2,
            section: Section::FoamSheet {
                edges: EdgeShape::Square,
                fold: None,
            },
            material: String::new(),
            colour_top: Colour::default(),
            colour_bottom: Colour::default(),
        };
        let control = ControlSurface {
            name: "flap".to_owned(),
            panel: 0,
            span_from: 0.5,
            span_to: 1.0,
            flap_fraction_from: 0.25,
            flap_fraction_to: 0.25,
            gap: Gap::Sealed,
            travel_positive_rad: 0.5,
            travel_negative_rad: 0.5,
            neutral_rad: 0.0,
            mix: ControlMix::default(),
            servo: Servo {
                speed_rad_s: 5.0,
                dead_band: 0.0,
                slop_rad: 0.0,
                reversed: false,
            },
        };
        (panel, control)
    }

    /// Where the trailing edge of the flap's inner end goes: flap chord 0.05 m.
    fn moved_m(kind: SurfaceKind, tip_m: DVec3, deflection_rad: f64) -> DVec3 {
        let (panel, control) = wing(kind, tip_m);
        let cut = cut(&panel, 0, &[control], DVec3::ZERO);
        let flap = &cut.flaps[0];
        let trailing = DVec3::new(-0.2, 0.0, 0.0) + tip_m * 0.5 - flap.hinge_m;
        let turned = turned(flap.axis, deflection_rad) * trailing.as_vec3();
        (turned - trailing.as_vec3()).as_dvec3()
    }

    #[test]
    fn a_positive_flap_goes_down_on_a_wing_and_to_port_on_a_fin() {
        // sin 0.1 of 0.05 m.
        let down = moved_m(SurfaceKind::Wing, DVec3::new(0.0, 0.5, 0.0), 0.1);
        assert!((down.z - 0.05 * 0.1_f64.sin()).abs() < 1e-6, "{down}");
        let left_wing = moved_m(SurfaceKind::Wing, DVec3::new(0.0, -0.5, 0.0), 0.1);
        assert!(
            (left_wing.z - 0.05 * 0.1_f64.sin()).abs() < 1e-6,
            "{left_wing}"
        );
        let port = moved_m(SurfaceKind::Fin, DVec3::new(0.0, 0.0, -0.5), 0.1);
        assert!((port.y + 0.05 * 0.1_f64.sin()).abs() < 1e-6, "{port}");
    }

    #[test]
    fn panel_and_flap_together_cover_the_whole_chord() {
        let (panel, control) = wing(SurfaceKind::Wing, DVec3::new(0.0, 0.5, 0.0));
        let cut = cut(&panel, 0, &[control], DVec3::ZERO);
        let reach = |faces: &Faces, from_m: DVec3| {
            faces
                .corners_m()
                .iter()
                .map(|c| f64::from(c[0]) + from_m.x)
                .fold(0.0, f64::min)
        };
        assert!((reach(&cut.faces, DVec3::ZERO) + 0.2).abs() < 1e-6);
        let flap = &cut.flaps[0];
        assert!((flap.hinge_m - DVec3::new(-0.15, 0.25, 0.0)).length() < 1e-9);
        assert!((reach(&flap.faces, flap.hinge_m) + 0.2).abs() < 1e-6);
    }
}
