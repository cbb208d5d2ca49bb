//! Flat plates of foam sheet.

use glam::DVec3;

/// What a panel is for. Decides how preflight adds up areas and tail volumes;
/// the air does not care.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurfaceKind {
    /// Main lifting surface.
    Wing,
    /// Horizontal tail (or canard).
    Tailplane,
    /// Vertical tail.
    Fin,
    /// Plate at the end of another surface.
    EndPlate,
}

/// Which side of the plane of symmetry the panel is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Port half.
    Left,
    /// Starboard half.
    Right,
    /// On the plane of symmetry (a fin).
    Centre,
}

/// Colour of a surface, for the eye of the pilot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Colour {
    /// Red, 0 to 255 (sRGB).
    pub red: u8,
    /// Green, 0 to 255 (sRGB).
    pub green: u8,
    /// Blue, 0 to 255 (sRGB).
    pub blue: u8,
}

/// One spanwise station; between stations everything varies linearly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Leading edge in airframe axes.
    pub leading_edge_m: DVec3,
    /// Chord along the airframe's x axis at zero incidence.
    pub chord_m: f64,
    /// Angle between the chord and the x axis, positive when the leading edge
    /// is turned toward the panel's normal (nose up for a wing, leading edge
    /// to starboard for a fin). Rigging, warp and as-built error added up.
    pub incidence_rad: f64,
}

/// A plate between two or more stations.
///
/// The *normal* of a panel points up for wings and tails (to the side that is
/// up when the dihedral is below 60 degrees) and to starboard for fins and
/// steeper plates.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Unique name within the airframe, such as `wing_tip_left`.
    pub name: String,
    /// What the panel is for.
    pub kind: SurfaceKind,
    /// Side of the plane of symmetry.
    pub side: Side,
    /// Stations from root to tip, at least two.
    pub stations: Vec<Station>,
    /// Sheet thickness.
    pub thickness_m: f64,
    /// Mass of the sheet for each square metre, skins and tape included.
    pub areal_density_kg_m2: f64,
    /// How the section behaves in the air.
    pub section: Section,
    /// Foam or board, for break limits and reports.
    pub material: String,
    /// Colour of the side the normal points to.
    pub colour_top: Colour,
    /// Colour of the other side.
    pub colour_bottom: Colour,
}

impl Panel {
    /// Unit normal of the untwisted plate, on the side that [`Panel`] defines.
    /// `across` leads across the span, of any length, either way; its x does not
    /// count.
    #[must_use]
    pub fn flat_normal(&self, across: DVec3) -> DVec3 {
        let outward = DVec3::new(0.0, across.y, across.z).normalize_or(DVec3::Y);
        let normal = DVec3::new(0.0, outward.z, -outward.y);
        // The cosine of 60 degrees of dihedral is 0.5.
        let steep = outward.y.abs() <= 0.5 + 1e-9;
        let right_way = if steep || self.kind == SurfaceKind::Fin {
            normal.y >= 0.0
        } else {
            normal.z <= 0.0
        };
        if right_way { normal } else { -normal }
    }
}

/// Unit vector along a chord from its leading edge aft. With the leading edge
/// turned toward the plate's `flat_normal`, the way aft leads away from it.
#[must_use]
pub fn chord_aft(flat_normal: DVec3, incidence_rad: f64) -> DVec3 {
    let (sin, cos) = (libm::sin(incidence_rad), libm::cos(incidence_rad));
    DVec3::new(-cos, 0.0, 0.0) - flat_normal * sin
}

/// How the front and back edges of a sheet are finished.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EdgeShape {
    /// Sanded round.
    Rounded,
    /// As the knife left it.
    Square,
    /// Sheet folded back on itself at the leading edge: double thickness, blunt.
    Folded,
}

/// A crease along the span that gives a flat sheet camber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fold {
    /// Distance of the crease from the leading edge over the chord, 0 to 1.
    pub chord_fraction: f64,
    /// Angle between the two flats; positive makes the upper side convex.
    pub angle_rad: f64,
}

/// One row of a two-dimensional polar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PolarRow {
    /// Chord Reynolds number.
    pub reynolds: f64,
    /// Angle of attack.
    pub alpha_rad: f64,
    /// Lift coefficient.
    pub lift: f64,
    /// Drag coefficient.
    pub drag: f64,
    /// Moment coefficient about the quarter chord, nose up positive.
    pub moment: f64,
}

/// Section choice of a panel.
#[derive(Debug, Clone, PartialEq)]
pub enum Section {
    /// Real foam sheet.
    FoamSheet {
        /// Finish of the edges.
        edges: EdgeShape,
        /// Crease, if the sheet is folded to a camber.
        fold: Option<Fold>,
    },
    /// Thin aerofoil theory: 2 pi a radian, no viscosity, no stall.
    ThinIdeal,
    /// A table measured or computed by somebody else; rows sorted by Reynolds
    /// number, then by angle.
    Polar(Vec<PolarRow>),
}
