//! Faults that a plane, its radio, its thrower, its pilot or the air may have.
//!
//! A fault is a named change, with a size, to what a flight starts from: the
//! [`Scene`]. It never says what happens next; that is left to the physics.
//! Several faults act together, each on what those before it left.
//!
//! - [`Fault`]: one entry of the library, with words for whoever builds;
//! - [`library`]: all of them;
//! - [`Injected`]: a fault of some size, read from `NAME` or `NAME=SIZE`.

mod air;
mod build;
mod flight;
mod injected;
mod launch;
mod pilot;
mod power;
mod scene;
mod setup;
mod size;

pub use injected::{FaultError, Injected};
pub use scene::{NotHere, Person, Scene};
pub use size::{Sizes, Unit};

/// Where a fault comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// How the plane was built.
    Build,
    /// Motor, propeller and battery.
    Power,
    /// How linkages and radio were set up.
    SetUp,
    /// What gives way once it flies.
    Flight,
    /// How it is thrown.
    Launch,
    /// The air it flies in.
    Air,
    /// How it is flown.
    Pilot,
}

impl Origin {
    /// Whether it is a matter of the plane and what is in it: whoever flies it
    /// the next time, in whatever air, has it again.
    #[must_use]
    pub fn is_of_plane(self) -> bool {
        match self {
            Self::Build | Self::Power | Self::SetUp | Self::Flight => true,
            Self::Launch | Self::Air | Self::Pilot => false,
        }
    }

    /// Its name in a word or two.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Build => "build",
            Self::Power => "power",
            Self::SetUp => "set-up",
            Self::Flight => "in flight",
            Self::Launch => "launch",
            Self::Air => "air",
            Self::Pilot => "pilot",
        }
    }
}

/// One entry of the library.
#[derive(Debug)]
pub struct Fault {
    /// Name, in lower case with hyphens.
    pub name: &'static str,
    /// Where it comes from.
    pub origin: Origin,
    /// Its sizes; none for a fault that is either there or not.
    pub sizes: Option<Sizes>,
    /// What it is.
    pub what: &'static str,
    /// How it shows to the pilot.
    pub shows: &'static str,
    /// How a builder checks for it on the ground.
    pub bench: &'static str,
    /// What to do about it.
    pub remedy: &'static str,
    /// The change; its size in SI units, 1 without sizes.
    change: fn(&mut Scene, f64) -> Result<(), NotHere>,
}

/// Every fault, in order of origin.
pub fn library() -> impl Iterator<Item = &'static Fault> {
    (build::FAULTS.iter())
        .chain(&power::FAULTS)
        .chain(&setup::FAULTS)
        .chain(&flight::FAULTS)
        .chain(&launch::FAULTS)
        .chain(&air::FAULTS)
        .chain(&pilot::FAULTS)
}
