//! The recording, seen from the moment of release.

use larkfield_recording::{EventKind, Recording, Sample};

use crate::input::DebriefInput;
use crate::plot::{Band, Mark};

/// Flags that fit above a picture and can still be told apart.
const MOST_FLAGS: usize = 14;

/// An event worth a flag.
pub(super) struct Flagged {
    /// Its letter.
    pub(super) letter: String,
    /// Seconds after release.
    pub(super) at_s: f64,
    /// What happened, in words.
    pub(super) words: String,
    /// North and east, if the recording covers the moment.
    pub(super) place: Option<[f64; 2]>,
}

/// A recording with its zero of time at release.
pub(super) struct Flight<'a> {
    /// Samples.
    pub(super) samples: &'a [Sample],
    /// Time of release; the start when nothing was released.
    pub(super) release_s: f64,
    /// Whether there was a release.
    pub(super) released: bool,
    /// Events with letters, in order.
    pub(super) flags: Vec<Flagged>,
    /// First touch of the ground after the last flight worth the name.
    pub(super) touched_s: Option<f64>,
    /// Events for which there was no letter.
    pub(super) unflagged: usize,
    limits_m_s: &'a [f64],
}

impl<'a> Flight<'a> {
    pub(super) fn new(input: &'a DebriefInput) -> Self {
        let recording = &input.recording;
        let release = recording
            .events
            .iter()
            .find(|event| event.kind == EventKind::Released && event.time_s.is_finite())
            .map(|event| event.time_s);
        let start = recording.samples.first().map_or(0.0, |s| s.time_s);
        let release_s = release.unwrap_or(if start.is_finite() { start } else { 0.0 });
        let mut flight = Self {
            samples: &recording.samples,
            release_s,
            released: release.is_some(),
            flags: Vec::new(),
            touched_s: touched_s(recording),
            unflagged: 0,
            limits_m_s: &input.minimum_level_speed_m_s,
        };
        flight.collect_flags(input);
        flight
    }

    fn collect_flags(&mut self, input: &DebriefInput) {
        let mut last: Vec<(core::mem::Discriminant<EventKind>, f64)> = Vec::new();
        for event in &input.recording.events {
            let kind = core::mem::discriminant(&event.kind);
            // A bouncing plane touches many times in a second; one flag says it.
            let repeats = last
                .iter()
                .any(|(k, at)| *k == kind && (event.time_s - at).abs() < 1.0);
            last.retain(|(k, _)| *k != kind);
            last.push((kind, event.time_s));
            let once = matches!(
                event.kind,
                EventKind::Broke { .. } | EventKind::HitPerson { .. }
            );
            if repeats && !once {
                continue;
            }
            if self.flags.len() >= MOST_FLAGS || !event.time_s.is_finite() {
                self.unflagged += 1;
                continue;
            }
            let letter = char::from(b'A' + self.flags.len() as u8).to_string();
            self.flags.push(Flagged {
                letter,
                at_s: event.time_s - self.release_s,
                words: super::timeline::words(&event.kind),
                place: self.place_at(event.time_s),
            });
        }
    }

    fn place_at(&self, time_s: f64) -> Option<[f64; 2]> {
        let after = self.samples.iter().find(|s| s.time_s >= time_s);
        after
            .or_else(|| self.samples.last())
            .map(|s| [s.north_m, s.east_m])
    }

    /// Where it first touched the ground after flying.
    pub(super) fn touch(&self) -> Option<[f64; 2]> {
        self.touched_s.and_then(|time_s| self.place_at(time_s))
    }

    /// Length of the recording.
    pub(super) fn length_s(&self) -> Option<f64> {
        let (first, last) = (self.samples.first()?, self.samples.last()?);
        Some(last.time_s - first.time_s).filter(|s| s.is_finite())
    }

    /// Seconds after release of a sample.
    pub(super) fn at_s(&self, sample: &Sample) -> f64 {
        sample.time_s - self.release_s
    }

    /// A quantity against time.
    pub(super) fn trace(&self, quantity: impl Fn(&Sample) -> f64) -> Vec<[f64; 2]> {
        let point = |s: &Sample| [self.at_s(s), quantity(s)];
        self.samples.iter().map(point).collect()
    }

    /// The same from the moment of release on.
    pub(super) fn trace_free(&self, quantity: impl Fn(&Sample) -> f64) -> Vec<[f64; 2]> {
        let mut points = self.trace(quantity);
        if self.released {
            points.retain(|p| p[0] >= 0.0);
        }
        points
    }

    /// Minimum level speed against time; empty when it was not computed.
    pub(super) fn limits(&self) -> Vec<[f64; 2]> {
        let pairs = self.samples.iter().zip(self.limits_m_s);
        pairs
            .map(|(s, v)| [self.at_s(s), *v])
            .filter(|p| !self.released || p[0] >= 0.0)
            .collect()
    }

    /// Stretches with a hand off its stick, after release.
    pub(super) fn busy(&self) -> Vec<Band> {
        let mut bands: Vec<Band> = Vec::new();
        let mut open: Option<f64> = None;
        let mut last = 0.0;
        for sample in self.samples {
            let at = self.at_s(sample);
            match (sample.hand_busy, open) {
                (true, None) => open = Some(at),
                (false, Some(from)) => {
                    bands.push(busy_band(from, at));
                    open = None;
                }
                _ => {}
            }
            last = at;
        }
        if let Some(from) = open {
            bands.push(busy_band(from, last));
        }
        bands
    }

    /// Flags for a picture with a time axis.
    pub(super) fn marks(&self) -> Vec<Mark> {
        let mark = |flag: &Flagged| Mark {
            x: flag.at_s,
            label: flag.letter.clone(),
        };
        self.flags.iter().map(mark).collect()
    }

    /// Samples from release to the first touch of the ground.
    pub(super) fn free(&self) -> &'a [Sample] {
        let from = self
            .samples
            .iter()
            .position(|s| s.stage == larkfield_recording::FlightStage::Free)
            .unwrap_or(self.samples.len());
        let free = &self.samples[from..];
        let to = free
            .iter()
            .position(|s| s.stage != larkfield_recording::FlightStage::Free)
            .unwrap_or(free.len());
        &free[..to]
    }

    /// Air speed less minimum level speed where it is least in free flight:
    /// difference and seconds after release.
    pub(super) fn least_margin(&self) -> Option<(f64, f64)> {
        let free = self.free();
        let offset = free.first().and_then(|first| {
            let same = |s: &&Sample| s.time_s.to_bits() == first.time_s.to_bits();
            self.samples.iter().position(|s| same(&s))
        })?;
        let mut least: Option<(f64, f64)> = None;
        for (sample, limit) in free.iter().zip(self.limits_m_s.get(offset..)?) {
            let margin = sample.airspeed_m_s - limit;
            if margin.is_finite() && least.is_none_or(|(m, _)| margin < m) {
                least = Some((margin, self.at_s(sample)));
            }
        }
        least
    }
}

/// A hop before taking off is no landing: what counts is the first touch after
/// the plane was highest.
fn touched_s(recording: &Recording) -> Option<f64> {
    let highest = recording
        .samples
        .iter()
        .reduce(|a, b| if b.height_m > a.height_m { b } else { a })?;
    recording
        .events
        .iter()
        .find(|event| {
            matches!(event.kind, EventKind::TouchedGround { .. }) && event.time_s > highest.time_s
        })
        .map(|event| event.time_s)
}

fn busy_band(from: f64, to: f64) -> Band {
    Band {
        from_to: [from, to],
        label: "hand off stick".to_owned(),
    }
}
