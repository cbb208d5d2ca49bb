//! What may come between a pilot and a throw.

use larkfield_pilot::Noise;

/// Something that ends a throw before it begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Incident {
    /// The helper says stop.
    HelperStops,
    /// Somebody who watches says stop.
    WatcherStops,
    /// Somebody walks in ahead.
    PersonAhead,
    /// The helper's other hand comes near the propeller.
    HandNearPropeller,
    /// The wind has turned.
    WindTurned,
    /// A surface moves by itself.
    SurfaceJerks,
}

impl Incident {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::HelperStops,
        Self::WatcherStops,
        Self::PersonAhead,
        Self::HandNearPropeller,
        Self::WindTurned,
        Self::SurfaceJerks,
    ];

    /// As it is seen and heard.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::HelperStops => "your helper says \"stop\" and does not say why",
            Self::WatcherStops => "somebody behind you calls \"stop\"",
            Self::PersonAhead => "somebody steps out of the hedge, ahead of you",
            Self::HandNearPropeller => "your helper's free hand goes forward along the nose",
            Self::WindTurned => "the ribbon swings round: the wind is from behind now",
            Self::SurfaceJerks => "the elevator jerks, and you have not moved the stick",
        }
    }
}

/// What comes between in a throw, and whether before the motor runs.
pub(super) fn drawn(seed: u64, throw: u32) -> Option<(Incident, bool)> {
    let noise = Noise::new(seed, "what comes between a throw");
    let of = |what: u32| noise.uniform(throw.wrapping_mul(3).wrapping_add(what));
    (of(0) < 0.65).then(|| {
        let index = (of(1) * Incident::ALL.len() as f64) as usize;
        let incident = Incident::ALL[index.min(Incident::ALL.len() - 1)];
        (incident, of(2) < 0.35)
    })
}
