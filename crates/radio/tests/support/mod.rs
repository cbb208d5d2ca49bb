//! A device that is known to the last digit, and a person who does with it what
//! is asked, or not.
#![allow(missing_docs, dead_code)]

use larkfield_pilot::StickMode;
use larkfield_radio::learn::{Learner, Progress, Prompt};
use larkfield_radio::{
    AxisCode, ButtonCode, DeviceEvent, DeviceEventKind, DeviceId, DeviceInfo, Function, Gimbal,
    Recorded, SwitchJob,
};

/// One axis: raw = centre + stick * half, with expo, in steps, with noise.
#[derive(Debug, Clone, Copy)]
pub struct Axis {
    pub gimbal: Gimbal,
    pub code: AxisCode,
    pub from: f64,
    pub centre: f64,
    pub to: f64,
    /// Cubic share of the radio's own.
    pub expo: f64,
    /// Springs back to its centre; otherwise stays.
    pub sprung: bool,
}

#[derive(Debug, Clone)]
pub struct Device {
    pub mode: StickMode,
    pub axes: Vec<Axis>,
    /// To each side, uniform.
    pub noise: f64,
    /// Steps of what the device can send, -1 to 1.
    pub steps: f64,
    /// An axis that nothing moves and that is never still.
    pub restless: Option<AxisCode>,
    /// Buttons for throw, throttle cut, second rates, again, and an instructor's
    /// power loss and gust.
    pub buttons: [Option<ButtonCode>; 6],
    /// A channel that a switch moves from -1 to 1, for throttle cut.
    pub cut_axis: Option<AxisCode>,
    /// Jumps of 40 ms, one every so many seconds.
    pub jump_every_s: Option<f64>,
}

/// What a person does wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slip {
    None,
    /// Never moves this stick when asked to, after stirring.
    Leaves(Gimbal),
    /// Moves the first stick when asked for the second.
    Mistakes(Gimbal, Gimbal),
    /// Moves the other along.
    MovesToo(Gimbal, Gimbal),
    /// A spring that lets go elsewhere: raw offset once it has been moved alone.
    Wanders(Gimbal, f64),
    /// Pulls the plug after so many seconds.
    Unplugs(f64),
}

impl Device {
    /// Eight axes in AETR, mode 2, all of the range, quiet and fine.
    pub fn radio() -> Self {
        let axis = |gimbal, index, sprung| Axis {
            gimbal,
            code: AxisCode(index),
            from: -1.0,
            centre: 0.0,
            to: 1.0,
            expo: 0.0,
            sprung,
        };
        Self {
            mode: StickMode::Mode2,
            axes: vec![
                axis(Gimbal::LeftAcross, 3, true),
                axis(Gimbal::LeftAlong, 2, false),
                axis(Gimbal::RightAcross, 0, true),
                axis(Gimbal::RightAlong, 1, true),
            ],
            noise: 0.0,
            steps: 2047.0,
            restless: None,
            buttons: [
                Some(ButtonCode(0x120)),
                Some(ButtonCode(0x121)),
                None,
                None,
                None,
                None,
            ],
            cut_axis: None,
            jump_every_s: None,
        }
    }

    pub fn axis(&mut self, gimbal: Gimbal) -> &mut Axis {
        let found = self.axes.iter_mut().find(|axis| axis.gimbal == gimbal);
        found.expect("it has every stick")
    }
}

/// Random numbers from 0 to 1, the same ones for a seed everywhere (the
/// generator of Park and Miller, Communications of the ACM 31, 1988).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed % 2_147_483_646 + 1)
    }

    pub fn next(&mut self) -> f64 {
        self.0 = self.0 * 16_807 % 2_147_483_647;
        self.0 as f64 / 2_147_483_647.0
    }
}

/// Readings a second.
const EVERY_S: f64 = 0.008;
/// From being asked to doing it.
const REACTION_S: f64 = 0.4;
/// Full travels a second.
const SPEED: f64 = 3.0;

/// Sticks, -1 to 1, in the order of `Gimbal::ALL`.
struct Person {
    sticks: [f64; 4],
    asked: Option<Prompt>,
    asked_s: f64,
    /// Sticks that have been moved alone.
    touched: [bool; 4],
}

fn place(gimbal: Gimbal) -> usize {
    Gimbal::ALL.iter().position(|g| *g == gimbal).unwrap_or(0)
}

impl Person {
    fn low(device: &Device) -> [f64; 4] {
        Gimbal::ALL.map(|gimbal| {
            let throttle = gimbal.function(device.mode) == Function::Throttle;
            let sprung = device.axes.iter().any(|a| a.gimbal == gimbal && a.sprung);
            if throttle && !sprung { -1.0 } else { 0.0 }
        })
    }

    /// Where the sticks are wanted.
    fn wanted(&mut self, device: &Device, slip: Slip, now_s: f64, held: [f64; 4]) -> [f64; 4] {
        let mut wanted = held;
        let after_s = now_s - self.asked_s - REACTION_S;
        let moved = |gimbal: Gimbal| match slip {
            Slip::Mistakes(wrong, right) if gimbal == right => wrong,
            _ => gimbal,
        };
        let idle = |gimbal: Gimbal| slip == Slip::Leaves(gimbal);
        match self.asked {
            Some(Prompt::Stir(_)) if after_s < 8.0 => {
                // Corner after corner, each stick across and along.
                let corner = (after_s.max(0.0) / 0.9) as usize % 4;
                let across = [-1.0, 1.0, 1.0, -1.0][corner];
                let along = [-1.0, -1.0, 1.0, 1.0][corner];
                return [across, along, across, along];
            }
            Some(Prompt::Stir(_)) => return Self::low(device),
            Some(Prompt::Hold { gimbal, to }) if after_s > 0.0 && !idle(gimbal) => {
                let end = if to { 1.0 } else { -1.0 };
                wanted[place(moved(gimbal))] = end;
                self.touched[place(gimbal)] = true;
                if let Slip::MovesToo(with, other) = slip
                    && with == gimbal
                {
                    wanted[place(other)] = end;
                }
            }
            Some(Prompt::Half(gimbal)) if after_s > 0.0 => wanted[place(moved(gimbal))] = 0.5,
            Some(Prompt::LetGo(gimbal)) if after_s > 0.0 => {
                let sprung = device.axes.iter().any(|a| a.gimbal == gimbal && a.sprung);
                if sprung {
                    wanted[place(moved(gimbal))] = 0.0;
                }
            }
            _ => {}
        }
        wanted
    }
}

/// Lets the person learn the device; returns how it ended and what the device
/// sent.
pub fn learn(device: &Device, slip: Slip, seed: u64) -> (Progress, Recorded) {
    let id = DeviceId(0);
    let mut learner = Learner::new(device.mode);
    if device.buttons[4..].iter().any(Option::is_some) {
        learner = learner.with_instructor();
    }
    let mut chance = Chance::new(seed);
    let mut sent: Vec<(AxisCode, f64)> = Vec::new();
    let mut events = vec![DeviceEvent {
        time_s: 0.0,
        device: id,
        kind: DeviceEventKind::Connected,
    }];
    let mut person = Person {
        sticks: Person::low(device),
        asked: None,
        asked_s: 0.0,
        touched: [false; 4],
    };
    let mut pressed: Option<ButtonCode> = None;
    let mut switch = -1.0;
    for reading in 1..60_000_u32 {
        let now_s = f64::from(reading) * EVERY_S;
        learner.pass(now_s);
        let Progress::Ask(prompt) = learner.progress() else {
            break;
        };
        if person.asked != Some(prompt) {
            person.asked = Some(prompt);
            person.asked_s = now_s;
        }
        let mut hear = |kind: DeviceEventKind| {
            let event = DeviceEvent {
                time_s: now_s,
                device: id,
                kind,
            };
            learner.hear(&event);
            events.push(event);
        };
        if let Slip::Unplugs(at_s) = slip
            && now_s >= at_s
        {
            hear(DeviceEventKind::Disconnected);
            continue;
        }
        let wanted = person.wanted(device, slip, now_s, person.sticks);
        for (stick, wanted) in person.sticks.iter_mut().zip(wanted) {
            let way = wanted - *stick;
            *stick += way.clamp(-2.0 * SPEED * EVERY_S, 2.0 * SPEED * EVERY_S);
        }
        for axis in &device.axes {
            let stick = person.sticks[place(axis.gimbal)];
            let shaped = (1.0 - axis.expo) * stick + axis.expo * stick * stick * stick;
            let half = if stick >= 0.0 {
                axis.to - axis.centre
            } else {
                axis.centre - axis.from
            };
            let mut raw = axis.centre + shaped * half;
            if let Slip::Wanders(gimbal, offset) = slip
                && gimbal == axis.gimbal
                && person.touched[place(gimbal)]
                && stick.abs() < 0.02
            {
                raw += offset;
            }
            raw += device.noise * (2.0 * chance.next() - 1.0);
            if let Some(every_s) = device.jump_every_s
                && now_s % every_s < 0.040
                && now_s > every_s
            {
                raw = -0.9 * raw.signum();
            }
            send(device, &mut sent, &mut hear, axis.code, raw);
        }
        if let Some(code) = device.restless {
            send(
                device,
                &mut sent,
                &mut hear,
                code,
                2.0 * chance.next() - 1.0,
            );
        }
        let asked_for_s = now_s - person.asked_s;
        if let Prompt::Switch(job) = prompt {
            let slot = [
                SwitchJob::Throw,
                SwitchJob::ThrottleCut,
                SwitchJob::SecondRates,
                SwitchJob::Again,
                SwitchJob::InstructorPowerLoss,
                SwitchJob::InstructorGust,
            ];
            let slot = slot.iter().position(|j| *j == job).unwrap_or(0);
            let over = asked_for_s > REACTION_S && asked_for_s < 2.0 * REACTION_S;
            let by_axis = job == SwitchJob::ThrottleCut && device.cut_axis.is_some();
            switch = if over && by_axis { 1.0 } else { -1.0 };
            let button = device.buttons[slot].filter(|_| over && !by_axis);
            if button != pressed {
                if let Some(code) = pressed {
                    hear(DeviceEventKind::Button {
                        code,
                        pressed: false,
                    });
                }
                if let Some(code) = button {
                    hear(DeviceEventKind::Button {
                        code,
                        pressed: true,
                    });
                }
                pressed = button;
            }
        } else if matches!(prompt, Prompt::Stir(_)) && asked_for_s < 2.0 {
            // Flipped with the rest, so that it is known.
            switch = if asked_for_s < 1.0 { 1.0 } else { -1.0 };
        }
        if let Some(code) = device.cut_axis {
            send(device, &mut sent, &mut hear, code, switch);
        }
    }
    let info = DeviceInfo {
        id,
        name: "known device".to_owned(),
        axes: Vec::new(),
        buttons: Vec::new(),
    };
    (learner.progress(), Recorded { info, events })
}

/// Sends a value in the steps of the device, when it has changed.
fn send(
    device: &Device,
    sent: &mut Vec<(AxisCode, f64)>,
    hear: &mut impl FnMut(DeviceEventKind),
    code: AxisCode,
    raw: f64,
) {
    let half = 0.5 * device.steps;
    let value = ((raw.clamp(-1.0, 1.0) * half).round() / half).clamp(-1.0, 1.0);
    let value = (value * 1e6).round() / 1e6;
    match sent.iter_mut().find(|(known, _)| *known == code) {
        // The kernel starts every axis at its lowest value and tells changes.
        None if value <= -1.0 => sent.push((code, value)),
        None => {
            sent.push((code, value));
            hear(DeviceEventKind::Axis { code, value });
        }
        Some((_, last)) if (*last - value).abs() > 1e-9 => {
            *last = value;
            hear(DeviceEventKind::Axis { code, value });
        }
        Some(_) => {}
    }
}
