//! Before the throw: what calculation says about an aeroplane.
//!
//! [`preflight`] builds the flight model of an airframe and asks it for loads
//! at chosen speeds, angles and commands, far above the ground. From these
//! come trim and performance ([`mod@trim`], [`envelope`]), derivatives and
//! neutral point ([`derivatives`]), modes ([`modes`]), answers to a builder's
//! questions ([`builder`]) and a verdict over the spread of what a builder
//! can measure ([`verdict`]). [`report_text`] writes it for people,
//! [`Preflight`] serialises with units in its names, [`three_view_svg`] draws.
//!
//! Nothing here calls a flight safe: the best verdict is "no fault found by
//! calculation", followed by what to check by hand.

pub mod bench;
pub mod builder;
mod cases;
pub mod derivatives;
pub mod envelope;
mod feel;
pub mod gear;
mod hand;
mod layout;
pub mod modes;
mod performance;
mod preflight;
mod report;
mod rules;
mod sizes;
mod three_view;
pub mod trim;
pub mod verdict;

pub use derivatives::{Derivatives, ReferenceSizes, derivatives_at};
pub use feel::plane_feel;
pub use hand::HandReport;
pub use layout::Layout;
pub use performance::{GlideReport, PerformanceReport, PowerReport};
pub use preflight::{AssumedValue, Options, Preflight, PreflightError, preflight};
pub use report::report_text;
pub use sizes::{MassReport, SizesReport};
pub use three_view::three_view_svg;
pub use verdict::{Finding, Subject, Verdict};
