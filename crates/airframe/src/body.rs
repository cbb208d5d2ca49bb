//! Box fuselages of sheet strips.

use crate::panel::Colour;

/// One cross-section of a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BodyStation {
    /// Position along the airframe's x axis (forward positive).
    pub x_m: f64,
    /// Height of the centre of the cross-section in airframe axes (down positive).
    pub z_m: f64,
    /// Full width.
    pub width_m: f64,
    /// Full height.
    pub height_m: f64,
}

/// A rectangular tube of sheet between stations, nose first.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Unique name within the airframe.
    pub name: String,
    /// Lateral position of the centre line.
    pub y_m: f64,
    /// Cross-sections from nose to tail, at least two.
    pub stations: Vec<BodyStation>,
    /// Sheet thickness.
    pub thickness_m: f64,
    /// Mass of the sheet for each square metre of its four walls.
    pub areal_density_kg_m2: f64,
    /// Foam or board, for break limits and reports.
    pub material: String,
    /// Colour of all sides.
    pub colour: Colour,
}
