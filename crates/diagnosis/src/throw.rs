//! How far a release is from the throw that was meant.

use larkfield_faults::{Fault, Unit, library};
use larkfield_pilot::Throw;
use larkfield_pilot::attitude::{to_euler, wrap};

use crate::log::Log;

/// Throws of one practised person differ by this much (common practice, no
/// source): share of the speed, and angles.
const SPEED_SHARE: f64 = 0.05;
const PITCH_RAD: f64 = 0.035;
const BANK_RAD: f64 = 0.052;

/// A fault of the throw.
pub(crate) struct Thrown {
    pub fault: &'static Fault,
    /// In the fault's unit; `None` for one without a size.
    pub size: Option<f64>,
    pub mirrored: bool,
    /// Logarithm of how much likelier the release is with it: squares of what is
    /// usual, halved.
    pub gain: f64,
    /// As it was and as it was meant, with the unit.
    pub was: f64,
    pub meant: f64,
    pub unit: &'static str,
    pub what: &'static str,
}

/// What the log says of the release.
pub(crate) fn thrown(log: &Log, meant: &Throw) -> Vec<Thrown> {
    let row = log.released();
    let (heading_rad, pitch_rad, bank_rad) = to_euler(row.attitude);
    let speed_m_s = row.velocity_m_s.length();
    let slower = 1.0 - speed_m_s / meant.speed_m_s.max(0.1);
    // Nose and path go up together when a hand lets go too early or too late; one
    // alone also comes from the plane.
    let path_rad = libm::asin((-row.velocity_m_s.z / speed_m_s.max(0.1)).clamp(-1.0, 1.0));
    let higher_rad = 0.5 * (pitch_rad - meant.pitch_rad + path_rad - meant.path_rad);
    let lower_wing_rad = bank_rad - meant.bank_rad;
    let mut found = Vec::new();
    let mut push = |name: &str, size_si: f64, usual: f64, mirrored: bool, was, to, unit, what| {
        if let Some(fault) = library().find(|fault| fault.name == name) {
            let per_si = fault.sizes.map_or(1.0, |sizes| sizes.unit.per_si());
            found.push(Thrown {
                fault,
                size: fault.sizes.map(|_| size_si.abs() * per_si),
                mirrored,
                gain: 0.5 * (size_si / usual) * (size_si / usual),
                was,
                meant: to,
                unit,
                what,
            });
        }
    };
    let degrees = Unit::Degree.per_si();
    if slower > 0.0 {
        let what = "speed over the ground at the release";
        let meant_m_s = meant.speed_m_s;
        push(
            "soft-throw",
            slower,
            SPEED_SHARE,
            false,
            speed_m_s,
            meant_m_s,
            "m/s",
            what,
        );
    }
    let name = if higher_rad > 0.0 {
        "nose-high-throw"
    } else {
        "nose-low-throw"
    };
    let to = 0.5 * (meant.pitch_rad + meant.path_rad) * degrees;
    let was = to + higher_rad * degrees;
    let what = "elevation of nose and path at the release, their mean";
    push(name, higher_rad, PITCH_RAD, false, was, to, "deg", what);
    let (was, to) = (bank_rad * degrees, meant.bank_rad * degrees);
    let what = "bank at the release, right wing low";
    let left_low = lower_wing_rad < 0.0;
    push(
        "banked-throw",
        lower_wing_rad,
        BANK_RAD,
        left_low,
        was,
        to,
        "deg",
        what,
    );
    let turned_rad = wrap(heading_rad - meant.heading_rad);
    if turned_rad.abs() > 0.5 * core::f64::consts::PI {
        // Nobody turns round by mistake: as sure as anything here.
        let (was, to) = (heading_rad * degrees, meant.heading_rad * degrees);
        let what = "heading at the release";
        push(
            "downwind-launch",
            turned_rad,
            0.3,
            false,
            was,
            to,
            "deg",
            what,
        );
    }
    found
}
