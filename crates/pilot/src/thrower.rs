//! How steadily somebody throws.

use crate::{Noise, Throw, ThrowKind};

/// Styles of throwing. All spreads are assumptions (common practice, no
/// source; no public measurement of model launches was found).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThrowerStyle {
    /// Exactly as written: for tests and for comparisons.
    #[default]
    Exact,
    /// A briefed helper; the pilot's hands stay on the sticks.
    SteadyHelper,
    /// A pilot who has thrown many planes.
    Solo,
    /// Somebody's first launches: slower, nose-high, one wing low, and the
    /// hand finds its stick late.
    NervousBeginner,
}

struct Spread {
    speed_share: f64,
    speed_bias_share: f64,
    pitch_rad: f64,
    pitch_bias_rad: f64,
    path_rad: f64,
    bank_rad: f64,
    heading_rad: f64,
    hand_back_s: f64,
    hand_late_s: f64,
}

impl Spread {
    /// The same person with angles that vary more.
    fn wider(self, factor: f64) -> Self {
        Self {
            pitch_rad: self.pitch_rad * factor,
            path_rad: self.path_rad * factor,
            bank_rad: self.bank_rad * factor,
            heading_rad: self.heading_rad * factor,
            ..self
        }
    }
}

const DEGREE: f64 = crate::attitude::PI / 180.0;

impl ThrowerStyle {
    fn spread(self) -> Option<Spread> {
        match self {
            Self::Exact => None,
            Self::SteadyHelper => Some(Spread {
                speed_share: 0.04,
                speed_bias_share: 0.0,
                pitch_rad: 1.5 * DEGREE,
                pitch_bias_rad: 0.0,
                path_rad: 1.0 * DEGREE,
                bank_rad: 1.5 * DEGREE,
                heading_rad: 2.0 * DEGREE,
                hand_back_s: 0.0,
                hand_late_s: 0.0,
            }),
            Self::Solo => Some(Spread {
                speed_share: 0.05,
                speed_bias_share: 0.0,
                pitch_rad: 2.0 * DEGREE,
                pitch_bias_rad: 0.0,
                path_rad: 1.5 * DEGREE,
                bank_rad: 2.5 * DEGREE,
                heading_rad: 3.0 * DEGREE,
                hand_back_s: 0.08,
                hand_late_s: 0.0,
            }),
            Self::NervousBeginner => Some(Spread {
                speed_share: 0.08,
                speed_bias_share: -0.06,
                pitch_rad: 4.0 * DEGREE,
                pitch_bias_rad: 3.0 * DEGREE,
                path_rad: 2.5 * DEGREE,
                bank_rad: 5.0 * DEGREE,
                heading_rad: 5.0 * DEGREE,
                hand_back_s: 0.15,
                hand_late_s: 0.1,
            }),
        }
    }

    /// The throw that this person makes of the throw asked for. The same seed
    /// gives the same throw.
    pub fn perform(self, asked: &Throw, seed: u64) -> Throw {
        let Some(spread) = self.spread() else {
            return *asked;
        };
        // A hand that swings around the body lets go less exactly than one that
        // pushes straight (estimated, no source).
        let spread = match asked.kind {
            ThrowKind::SideArm => spread.wider(1.5),
            ThrowKind::Underhand => spread.wider(1.2),
            ThrowKind::Overhand | ThrowKind::Helper => spread,
        };
        let noise = Noise::new(seed, "throw");
        let mut done = *asked;
        done.speed_m_s *= 1.0 + spread.speed_bias_share + spread.speed_share * noise.bell(0);
        done.pitch_rad += spread.pitch_bias_rad + spread.pitch_rad * noise.bell(1);
        done.path_rad += spread.path_rad * noise.bell(2);
        done.bank_rad += spread.bank_rad * noise.bell(3);
        done.heading_rad += spread.heading_rad * noise.bell(4);
        if self == Self::SteadyHelper {
            done.hand_back_s = 0.0;
        } else if asked.by_pilot() {
            let late_s = spread.hand_late_s + spread.hand_back_s * noise.bell(5);
            done.hand_back_s = (asked.hand_back_s + late_s).max(0.3);
        }
        done
    }
}
