//! What was learned about a device.

use larkfield_pilot::{Hand, StickMode, Trims};

use crate::{
    AxisCode, AxisMap, ChannelOrder, Function, Gimbal, Inputs, Link, Shaping, Switch, ThrottleStop,
    Transmitter,
};

/// Half-way by eye is half-way within this share.
const BY_EYE: f64 = 0.1;
/// A centre this far from the middle of what the device can send is worth a
/// word, and so is a travel this much short of it.
const OFF_CENTRE: f64 = 0.02;
const SHORT: f64 = 0.1;

/// One stick movement as the device sends it, before anything is normalised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LearnedAxis {
    /// The stick.
    pub gimbal: Gimbal,
    /// What it steers.
    pub function: Function,
    /// Axis, ends, centre, noise.
    pub map: AxisMap,
    /// Share of the way to the end that the device sends with the stick held
    /// half-way by eye; not asked of a throttle.
    pub half: Option<f64>,
    /// Jumps that were left out.
    pub jumps: u32,
}

impl LearnedAxis {
    /// Whether the raw value falls when the stick goes right or away.
    pub fn reversed(&self) -> bool {
        self.map.to < self.map.from
    }

    /// How far the centre is from the middle of what the device can send.
    pub fn offset(&self) -> f64 {
        self.map.centre
    }

    /// Share of what the device can send that the stick uses.
    pub fn travel(&self) -> f64 {
        0.5 * (self.map.to - self.map.from).abs()
    }

    /// Expo that would explain the half-way value, when that is off by more
    /// than an eye: from y = (1 - e)/2 + e/8, e = (4 - 8 y)/3.
    pub fn expo(&self) -> Option<f64> {
        let half = self.half?;
        ((half - 0.5).abs() > BY_EYE).then_some((4.0 - 8.0 * half) / 3.0)
    }

    /// Signs that the radio shapes this stick, for people.
    pub fn signs(&self) -> Vec<String> {
        let mut signs = Vec::new();
        let centred = self.function != Function::Throttle;
        if centred && self.offset().abs() > OFF_CENTRE {
            signs.push(format!(
                "its centre is at {:+.1} % (a trim lever or a sub-trim?)",
                self.offset() * 100.0
            ));
        }
        if self.travel() < 1.0 - SHORT {
            signs.push(format!(
                "it uses {:.0} % of what the device can send (rates or end points?)",
                self.travel() * 100.0
            ));
        }
        if let Some(expo) = self.expo() {
            signs.push(format!(
                "half-way it sends {:.0} % (expo of about {:.0} %?)",
                self.half.unwrap_or(0.5) * 100.0,
                expo * 100.0
            ));
        }
        signs
    }
}

/// Everything learned about a device.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// The mode that was flown.
    pub mode: StickMode,
    /// The four stick movements, left stick first.
    pub axes: [LearnedAxis; 4],
    /// Where the throttle is shut.
    pub throttle_stop: ThrottleStop,
    /// Switches.
    pub switches: Vec<Switch>,
    /// Axes that are never still and belong to no stick.
    pub restless: Vec<AxisCode>,
}

impl Learned {
    /// Whether anything looks as if the radio shapes its sticks.
    pub fn looks_shaped(&self) -> bool {
        self.axes.iter().any(|axis| !axis.signs().is_empty())
    }

    /// The order in which the device sends the functions, when its axes are
    /// those of channels.
    pub fn order(&self) -> Option<ChannelOrder> {
        ChannelOrder::of_axes(|function| {
            let axis = self.axes.iter().find(|axis| axis.function == function);
            axis.map_or(AxisCode(u32::MAX), |axis| axis.map.code)
        })
    }

    /// The radio that was learned. `already_shaped`: its owner says that rates,
    /// expo and trims are in what it sends, so Larkfield adds none.
    pub fn transmitter(
        &self,
        name: &str,
        device: Option<&str>,
        already_shaped: bool,
    ) -> Transmitter {
        let [left_across, left_along, right_across, right_along] = self.axes.map(|axis| axis.map);
        Transmitter {
            name: name.to_owned(),
            device: device.map(str::to_owned),
            mode: self.mode,
            throwing_hand: Hand::Right,
            inputs: Inputs::Sticks {
                left_across,
                left_along,
                right_across,
                right_along,
            },
            throttle_stop: self.throttle_stop,
            trims: Trims::default(),
            shaping: (!already_shaped).then(Shaping::default),
            steering: None,
            switches: self.switches.clone(),
            link: Link::default(),
        }
    }
}
