//! Samples go to whatever plays sound here. Nothing waits for it: a machine
//! without a sound card flies in silence, and a card that goes away may come
//! back.

use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, Mutex};
use std::time::Duration;

use cpal::traits::{DeviceTrait, HostTrait, StreamTrait};
use cpal::{FromSample, SampleFormat, SizedSample, Stream, StreamConfig};

use super::synth::{Heard, Synth};

/// A card that has gone away is looked for this often.
const LOOK_AGAIN: Duration = Duration::from_secs(2);

/// What is told to whoever plays.
type Told = Arc<Mutex<Heard>>;

/// Something that plays, or nothing.
pub struct Speaker {
    told: Told,
    /// Its end tells the thread that plays to stop.
    _open: Sender<()>,
}

impl Speaker {
    /// Opens what the system plays sound on, in a thread of its own: some systems
    /// take their time.
    pub fn open() -> Self {
        let told = Told::default();
        let (open, closed) = channel();
        if !may_sound() {
            return Self { told, _open: open };
        }
        let theirs = told.clone();
        let named = std::thread::Builder::new().name("sound".to_owned());
        // Without a thread there is no sound; that stops nobody.
        drop(named.spawn(move || keep_playing(&theirs, &closed)));
        Self { told, _open: open }
    }

    /// Says what there is to hear now.
    pub fn tell(&self, heard: Heard) {
        if let Ok(mut told) = self.told.lock() {
            *told = heard;
        }
    }
}

/// Whether it is worth asking for sound: a system that is asked for a card it does
/// not have fills the terminal with complaints.
#[cfg(target_os = "linux")]
fn may_sound() -> bool {
    let cards = std::fs::read_to_string("/proc/asound/cards").unwrap_or_default();
    // A sound server may be reached without a card of one's own.
    let served = std::env::var_os("XDG_RUNTIME_DIR").is_some_and(|folder| {
        let folder = std::path::PathBuf::from(folder);
        ["pulse/native", "pipewire-0"]
            .iter()
            .any(|socket| folder.join(socket).exists())
    });
    served || std::env::var_os("PULSE_SERVER").is_some() || has_card(&cards)
}

#[cfg(not(target_os = "linux"))]
fn may_sound() -> bool {
    true
}

/// Whether a list of cards has one: each has a line that begins with its number
/// and its name in brackets.
#[cfg(any(target_os = "linux", test))]
fn has_card(cards: &str) -> bool {
    cards.lines().any(|line| {
        let line = line.trim_start();
        line.starts_with(|c: char| c.is_ascii_digit()) && line.contains('[')
    })
}

/// Plays until the window closes.
fn keep_playing(told: &Told, closed: &Receiver<()>) {
    let (failed, failures) = channel();
    let mut stream = match play(told, failed.clone()) {
        Ok(stream) => stream,
        // None here from the beginning: nobody misses it.
        Err(_) => return,
    };
    loop {
        match closed.recv_timeout(LOOK_AGAIN) {
            Err(RecvTimeoutError::Timeout) => {}
            _ => return,
        }
        if failures.try_iter().count() > 0 {
            drop(stream);
            stream = loop {
                match play(told, failed.clone()) {
                    Ok(stream) => break stream,
                    Err(_) => match closed.recv_timeout(LOOK_AGAIN) {
                        Err(RecvTimeoutError::Timeout) => {}
                        _ => return,
                    },
                }
            };
        }
    }
}

/// There is nothing to play on, or it does not take what there is.
struct Silent;

fn play(told: &Told, failed: Sender<()>) -> Result<Stream, Silent> {
    let host = cpal::default_host();
    let device = host.default_output_device().ok_or(Silent)?;
    let config = device.default_output_config().map_err(|_| Silent)?;
    let format = config.sample_format();
    let config = StreamConfig::from(config);
    let stream = match format {
        SampleFormat::F32 => stream_of::<f32>(&device, config, told, failed),
        SampleFormat::I16 => stream_of::<i16>(&device, config, told, failed),
        SampleFormat::U16 => stream_of::<u16>(&device, config, told, failed),
        SampleFormat::I32 => stream_of::<i32>(&device, config, told, failed),
        _ => Err(Silent),
    }?;
    stream.play().map_err(|_| Silent)?;
    Ok(stream)
}

fn stream_of<T: SizedSample + FromSample<f32>>(
    device: &cpal::Device,
    config: StreamConfig,
    told: &Told,
    failed: Sender<()>,
) -> Result<Stream, Silent> {
    let told = told.clone();
    let channels = usize::from(config.channels.max(1));
    let mut synth = Synth::new(config.sample_rate as f32);
    let mut heard = Heard::default();
    let mut mono = Vec::new();
    let fill = move |samples: &mut [T], _: &cpal::OutputCallbackInfo| {
        // Whoever tells holds it for a moment only; the last word will do.
        if let Ok(told) = told.try_lock() {
            heard = *told;
        }
        mono.resize(samples.len() / channels, 0.0);
        synth.fill(&heard, &mut mono);
        for (frame, sample) in samples.chunks_mut(channels).zip(&mono) {
            frame.fill(T::from_sample(*sample));
        }
    };
    let fail = move |_| {
        // Nobody listens once the window is closed.
        let _ = failed.send(());
    };
    device
        .build_output_stream(config, fill, fail, None)
        .map_err(|_| Silent)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cards_are_found_in_the_list_of_the_kernel() {
        let one =
            " 0 [PCH            ]: HDA-Intel - HDA Intel PCH\n                      HDA Intel";
        assert!(has_card(one));
        assert!(!has_card("--- no soundcards ---\n"));
        assert!(!has_card(""));
    }
}
