//! A helper throws: what is agreed before, which word comes when, and the one
//! word that everybody may say.

mod incident;
mod throws;
mod word;

pub use incident::Incident;
pub use throws::{BriefingDrill, BriefingReport, Mistake, PASS_POINTS, Slip};
pub use word::Word;
