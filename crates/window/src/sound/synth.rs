//! What a small electric plane sounds like from where one stands, made sample by
//! sample. No device and no clock: whoever plays it asks for samples.
//!
//! The propeller sounds at its blade-passing frequency, turns a second times
//! blades, and its harmonics; the motor whistles at turns a second times pole
//! pairs; wind hisses with the square of the speed; a separated wing shakes.
//! Loudness against each other: by ear, common practice, no source.

use std::f32::consts::TAU;

/// Speed of sound on a summer day.
pub const SOUND_M_S: f32 = 343.0;
/// Magnets of a usual outrunner in pairs.
const POLE_PAIRS: f32 = 7.0;
/// A sudden change of what is heard takes this long, so that nothing clicks.
const GLIDE_S: f32 = 0.03;
/// At this distance everything is half as loud as close by.
const HALF_M: f32 = 6.0;
/// A separated wing shakes so many times a second.
const BUFFET_HZ: f32 = 18.0;
/// A touch has faded in this time, a break in the other.
const TOUCH_S: f32 = 0.09;
const BREAK_S: f32 = 0.35;

/// What there is to hear at a moment.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heard {
    /// Turns of the propeller a second.
    pub turns_hz: f32,
    /// Its blades.
    pub blades: f32,
    /// How hard it works, 0 to 1.
    pub load: f32,
    /// Speed through the air.
    pub airspeed_m_s: f32,
    /// Share of the wing that is separated, 0 to 1.
    pub stalled: f32,
    /// From the ear.
    pub distance_m: f32,
    /// At which the distance shrinks.
    pub closing_m_s: f32,
    /// Loudness, 0 to 1; nought is mute.
    pub volume: f32,
    /// Touches so far, and how hard the last one was, 0 to 1.
    pub touches: u32,
    /// Hardness of the last touch.
    pub touch: f32,
    /// Parts broken so far.
    pub breaks: u32,
}

impl Heard {
    /// How much higher everything sounds that comes nearer.
    pub fn doppler(&self) -> f32 {
        let closing_m_s = self.closing_m_s.clamp(-0.5 * SOUND_M_S, 0.5 * SOUND_M_S);
        SOUND_M_S / (SOUND_M_S - closing_m_s)
    }

    /// How much is left of loudness at a distance.
    fn near(&self) -> f32 {
        1.0 / (1.0 + self.distance_m.max(0.0) / HALF_M)
    }
}

/// Makes samples.
#[derive(Debug, Clone)]
pub struct Synth {
    rate_hz: f32,
    /// As it is heard now: on its way to what was last told.
    now: Heard,
    /// Phases in turns: blades, motor, buffet, thump.
    blade: f32,
    whistle: f32,
    shake: f32,
    thump: f32,
    /// Noise, and two smoothings of it.
    dice: u32,
    hiss: f32,
    rumble: f32,
    /// What is left of a touch and of a break.
    touch: f32,
    broke: f32,
    seen_touches: u32,
    seen_breaks: u32,
}

impl Synth {
    /// For a device that wants so many samples a second.
    pub fn new(rate_hz: f32) -> Self {
        Self {
            rate_hz: rate_hz.max(1000.0),
            now: Heard::default(),
            blade: 0.0,
            whistle: 0.0,
            shake: 0.0,
            thump: 0.0,
            dice: 0x9E37_79B9,
            hiss: 0.0,
            rumble: 0.0,
            touch: 0.0,
            broke: 0.0,
            seen_touches: 0,
            seen_breaks: 0,
        }
    }

    /// Fills a buffer with what is heard; samples are from -1 to 1.
    pub fn fill(&mut self, heard: &Heard, samples: &mut [f32]) {
        let heard = sound(heard);
        if heard.touches != self.seen_touches {
            self.seen_touches = heard.touches;
            self.touch = self.touch.max(heard.touch);
        }
        if heard.breaks != self.seen_breaks {
            // Another flight begins with none.
            if heard.breaks > self.seen_breaks {
                self.broke = 1.0;
            }
            self.seen_breaks = heard.breaks;
        }
        for sample in samples {
            *sample = self.next(&heard);
        }
    }

    fn next(&mut self, heard: &Heard) -> f32 {
        let dt_s = 1.0 / self.rate_hz;
        self.glide(heard, dt_s / GLIDE_S);
        let now = self.now;
        let turns_hz = now.turns_hz * now.doppler();
        let blade_hz = turns_hz * heard.blades;
        self.blade = (self.blade + blade_hz * dt_s).fract();
        self.whistle = (self.whistle + turns_hz * POLE_PAIRS * dt_s).fract();
        self.shake = (self.shake + BUFFET_HZ * dt_s).fract();
        self.thump = (self.thump + 70.0 * dt_s).fract();
        let noise = self.noise();
        // Smoothed once for air, twice and slower for rumble.
        self.hiss += (noise - self.hiss) * (1.0 - (-TAU * 1800.0 * dt_s).exp());
        self.rumble += (noise - self.rumble) * (1.0 - (-TAU * 120.0 * dt_s).exp());

        // Half the loudness is in how fast it turns, half in how hard it works.
        let speed = (now.turns_hz / 150.0).min(1.5);
        let works = speed * speed * (0.5 + 0.5 * now.load);
        let mut propeller = 0.0;
        for harmonic in 1..=4_u8 {
            let order = f32::from(harmonic);
            // None above half the rate: it would fold back.
            if blade_hz * order < 0.45 * self.rate_hz {
                propeller += (TAU * self.blade * order).sin() / (order * order);
            }
        }
        let whistle = if turns_hz * POLE_PAIRS < 0.45 * self.rate_hz {
            (TAU * self.whistle).sin() * speed.min(1.0)
        } else {
            0.0
        };
        let air = (now.airspeed_m_s / 15.0).powi(2).min(2.0) * self.hiss;
        let shake = 0.5 + 0.5 * (TAU * self.shake).sin();
        let buffet = now.stalled * shake * self.rumble * (now.airspeed_m_s / 6.0).min(1.5);
        let thump = self.touch * ((TAU * self.thump).sin() + 2.0 * self.rumble);
        let crackle = self.broke * self.broke * noise;
        self.touch *= (-dt_s / TOUCH_S).exp();
        self.broke *= (-dt_s / BREAK_S).exp();
        let all = 0.38 * works * propeller
            + 0.05 * whistle
            + 0.5 * air
            + 1.6 * buffet
            + 0.5 * thump
            + 0.5 * crackle;
        // Loud things are squeezed, never cut.
        (all * now.near() * now.volume).tanh()
    }

    /// Goes part of the way to what is heard now.
    fn glide(&mut self, to: &Heard, share: f32) {
        let share = share.min(1.0);
        let now = &mut self.now;
        for (now, to) in [
            (&mut now.turns_hz, to.turns_hz),
            (&mut now.load, to.load),
            (&mut now.airspeed_m_s, to.airspeed_m_s),
            (&mut now.stalled, to.stalled),
            (&mut now.distance_m, to.distance_m),
            (&mut now.closing_m_s, to.closing_m_s),
            (&mut now.volume, to.volume),
        ] {
            *now += (to - *now) * share;
        }
    }

    /// The same noise every time (xorshift, Marsaglia 2003; from memory).
    fn noise(&mut self) -> f32 {
        self.dice ^= self.dice << 13;
        self.dice ^= self.dice >> 17;
        self.dice ^= self.dice << 5;
        self.dice as f32 / u32::MAX as f32 * 2.0 - 1.0
    }
}

/// Nothing that is not a number is heard.
fn sound(heard: &Heard) -> Heard {
    let number = |value: f32, most: f32| {
        if value.is_finite() {
            value.clamp(-most, most)
        } else {
            0.0
        }
    };
    Heard {
        turns_hz: number(heard.turns_hz, 1000.0).abs(),
        blades: number(heard.blades, 8.0).max(1.0),
        load: number(heard.load, 1.0).max(0.0),
        airspeed_m_s: number(heard.airspeed_m_s, 100.0).abs(),
        stalled: number(heard.stalled, 1.0).max(0.0),
        distance_m: number(heard.distance_m, 1.0e4).max(0.0),
        closing_m_s: number(heard.closing_m_s, 200.0),
        volume: number(heard.volume, 1.0).max(0.0),
        touch: number(heard.touch, 1.0).max(0.0),
        ..*heard
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE_HZ: f32 = 48_000.0;

    fn near() -> Heard {
        Heard {
            turns_hz: 150.0,
            blades: 2.0,
            load: 0.7,
            airspeed_m_s: 9.0,
            volume: 1.0,
            ..Heard::default()
        }
    }

    /// One second, after a second in which everything has settled.
    fn second(synth: &mut Synth, heard: &Heard) -> Vec<f32> {
        let mut samples = vec![0.0; RATE_HZ as usize];
        synth.fill(heard, &mut samples);
        synth.fill(heard, &mut samples);
        samples
    }

    fn loudness(samples: &[f32]) -> f32 {
        (samples.iter().map(|s| s * s).sum::<f32>() / samples.len() as f32).sqrt()
    }

    /// Strength of a tone in samples: one term of the discrete Fourier sum.
    fn tone(samples: &[f32], hz: f32) -> f32 {
        let (mut sine, mut cosine) = (0.0_f64, 0.0_f64);
        for (k, sample) in samples.iter().enumerate() {
            let turn = std::f64::consts::TAU * f64::from(hz) * k as f64 / f64::from(RATE_HZ);
            sine += f64::from(*sample) * turn.sin();
            cosine += f64::from(*sample) * turn.cos();
        }
        (sine.hypot(cosine) / samples.len() as f64) as f32
    }

    fn loudest(samples: &[f32], from_hz: u32, to_hz: u32) -> u32 {
        (from_hz..=to_hz)
            .max_by(|a, b| tone(samples, *a as f32).total_cmp(&tone(samples, *b as f32)))
            .unwrap_or(0)
    }

    /// Blade-passing frequency is turns a second times blades (any text on
    /// propeller noise).
    #[test]
    fn the_propeller_sounds_at_its_blade_passing_frequency() {
        for (turns_hz, blades) in [(100.0, 2.0), (150.0, 2.0), (110.0, 3.0)] {
            let heard = Heard {
                turns_hz,
                blades,
                ..near()
            };
            let samples = second(&mut Synth::new(RATE_HZ), &heard);
            let wanted = (turns_hz * blades) as u32;
            assert_eq!(loudest(&samples, wanted - 40, wanted + 40), wanted);
        }
    }

    /// Doppler (1842): `f c / (c - v)` for a source that comes nearer at `v`.
    #[test]
    fn a_plane_that_comes_nearer_sounds_higher() {
        let heard = Heard {
            closing_m_s: 17.15,
            ..near()
        };
        // 300 Hz * 343 / (343 - 17.15) = 315.8 Hz.
        let samples = second(&mut Synth::new(RATE_HZ), &heard);
        assert_eq!(loudest(&samples, 290, 340), 316);
    }

    #[test]
    fn farther_is_quieter_and_mute_is_silent() {
        let at = |distance_m: f32, volume: f32| {
            let heard = Heard {
                distance_m,
                volume,
                ..near()
            };
            loudness(&second(&mut Synth::new(RATE_HZ), &heard))
        };
        assert!(at(2.0, 1.0) > 2.0 * at(30.0, 1.0));
        assert!(at(30.0, 1.0) > 1e-3);
        assert!(at(2.0, 0.0) < 1e-6);
    }

    #[test]
    fn wind_stall_touch_and_break_are_heard() {
        let glider = Heard {
            turns_hz: 0.0,
            ..near()
        };
        let of = |heard: &Heard| loudness(&second(&mut Synth::new(RATE_HZ), heard));
        let slow = Heard {
            airspeed_m_s: 4.0,
            ..glider
        };
        assert!(of(&glider) > 2.0 * of(&slow), "wind");
        let stalled = Heard {
            stalled: 1.0,
            ..slow
        };
        assert!(of(&stalled) > 1.3 * of(&slow), "buffet");
        for (name, told) in [
            (
                "touch",
                Heard {
                    touches: 1,
                    touch: 1.0,
                    ..slow
                },
            ),
            ("break", Heard { breaks: 1, ..slow }),
        ] {
            let mut synth = Synth::new(RATE_HZ);
            second(&mut synth, &slow);
            let mut samples = vec![0.0; 2400];
            synth.fill(&told, &mut samples);
            let first = loudness(&samples);
            let later = loudness(&second(&mut synth, &told));
            assert!(first > 3.0 * later, "{name}: {first} then {later}");
        }
    }

    #[test]
    fn no_sample_is_too_loud_or_no_number() {
        let wild = Heard {
            turns_hz: f32::NAN,
            airspeed_m_s: f32::INFINITY,
            stalled: 9.0,
            distance_m: -5.0,
            closing_m_s: 1e9,
            touches: 7,
            touch: 1e9,
            breaks: 3,
            ..near()
        };
        for rate_hz in [8_000.0, 192_000.0] {
            let mut samples = vec![0.0; 5000];
            let mut synth = Synth::new(rate_hz);
            for heard in [wild, near(), Heard::default()] {
                synth.fill(&heard, &mut samples);
                assert!(samples.iter().all(|s| s.abs() <= 1.0), "{rate_hz}");
            }
        }
    }

    #[test]
    fn nothing_clicks_when_the_throttle_is_slammed() {
        let mut synth = Synth::new(RATE_HZ);
        let quiet = Heard {
            turns_hz: 20.0,
            airspeed_m_s: 0.0,
            ..near()
        };
        let mut samples = second(&mut synth, &quiet);
        let last = samples.last().copied().unwrap_or(0.0);
        let loud = Heard {
            airspeed_m_s: 0.0,
            ..near()
        };
        synth.fill(&loud, &mut samples[..1]);
        assert!((samples[0] - last).abs() < 0.02, "{last} to {}", samples[0]);
    }
}
