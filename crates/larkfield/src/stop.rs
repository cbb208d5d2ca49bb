//! Ctrl-C: asked for once, the run stops at the next simulated second; asked
//! for twice, the program ends at once. Either way only a partial folder stays.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use anyhow::Context;
use larkfield_rehearsal::{Failure, STOPPED};

/// Whether somebody asked to stop.
#[derive(Debug, Clone, Default)]
pub struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Listens from now on.
    ///
    /// # Errors
    /// When the system does not let it.
    pub fn listen() -> Result<Self, Failure> {
        let stop = Self::default();
        let flag = stop.0.clone();
        ctrlc::set_handler(move || {
            if flag.swap(true, Ordering::SeqCst) {
                std::process::exit(i32::from(STOPPED));
            }
        })
        .context("Ctrl-C could not be prepared")?;
        Ok(stop)
    }

    /// True once somebody asked.
    pub fn asked(&self) -> bool {
        self.0.load(Ordering::SeqCst)
    }
}
