//! Line charts and plan maps as SVG text.
//!
//! A small drawing module for pages people read on a phone: pictures are drawn
//! about as wide as a phone is, so that their letters keep a readable size;
//! lines are labelled where they run, and told apart by dash and marker as well
//! as by colour. All text is escaped here, callers pass it as it is.

mod chart;
mod chart_draw;
mod ink;
mod label;
mod line;
mod map;
mod scale;
mod svg;

pub use chart::{Axis, Band, Bar, Chart, Corridor, Dot, Frame, Level, Mark, Series};
pub use ink::Ink;
pub use line::{clip, decimate, thin};
pub use map::{Map, MapItem, Shape};
pub use scale::{Scale, Ticks};
pub(crate) use svg::open as open_picture;
pub use svg::{coordinate, escape, fixed};
