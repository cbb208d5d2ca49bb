//! A person's radio or pad as a whole: its axes, sticks, switches and shaping.

use larkfield_airframe::Airframe;
use larkfield_pilot::{
    Axes, FailSafe, Hand, HandOff, RadioSetup, Steering, StickMode, Trims, Wiring,
};
use larkfield_units::Problem;

use crate::axis::LEAST_TRAVEL;
use crate::{AxisCode, AxisMap, CHANNEL_AXES, Function, Inputs, Switch};

/// Where the throttle is shut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThrottleStop {
    /// At the end toward you: a stick that stays where it is put.
    #[default]
    LowEnd,
    /// Let go, and anywhere below: a stick that springs back to its middle.
    Centre,
}

/// What Larkfield does to the sticks, for a device that sends them bare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shaping {
    /// Share of full travel at full stick; without it those that suit the plane.
    pub rates: Option<Axes>,
    /// The rates of the switch.
    pub second_rates: Option<Axes>,
    /// Share of cubic response, positive softer around the centre.
    pub expo: Axes,
    /// Share of the roll stick that moves the rudder as well.
    pub rudder_from_aileron: f64,
}

impl Default for Shaping {
    fn default() -> Self {
        let setup = RadioSetup::default();
        Self {
            rates: None,
            second_rates: None,
            expo: setup.expo,
            rudder_from_aileron: 0.0,
        }
    }
}

/// The modelled link from the transmitter to the receiver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link {
    /// From stick to receiver.
    pub latency_s: f64,
    /// Time between frames.
    pub frame_s: f64,
    /// Steps from one end of a channel to the other.
    pub steps: u32,
    /// How long the receiver waits for a frame before it fails safe.
    pub fail_safe_after_s: f64,
}

impl Default for Link {
    /// Latency and frame of [`RadioSetup`], whose sources stand there; 2048
    /// steps, eleven bits (common practice, no source).
    fn default() -> Self {
        let setup = RadioSetup::default();
        Self {
            latency_s: setup.latency_s,
            frame_s: setup.frame_s,
            steps: 2048,
            fail_safe_after_s: setup.fail_safe_after_s,
        }
    }
}

/// Everything a radio file says.
#[derive(Debug, Clone, PartialEq)]
pub struct Transmitter {
    /// Name for people.
    pub name: String,
    /// Part of the device's own name, to find it among several.
    pub device: Option<String>,
    /// Which stick does what.
    pub mode: StickMode,
    /// The hand that throws, whose stick stays where it was left.
    pub throwing_hand: Hand,
    /// The axes of the four functions.
    pub inputs: Inputs,
    /// Where the throttle is shut.
    pub throttle_stop: ThrottleStop,
    /// Trim levers, shares of full travel; roll right, nose up, nose right.
    pub trims: Trims,
    /// Shaping; `None` when the radio has shaped what it sends.
    pub shaping: Option<Shaping>,
    /// What the roll stick steers; `None`: what suits the plane.
    pub steering: Option<Steering>,
    /// Switches.
    pub switches: Vec<Switch>,
    /// The modelled link.
    pub link: Link,
}

impl Transmitter {
    /// Every mistake that several fields make together, or that a number makes
    /// by itself.
    ///
    /// # Errors
    /// All of them, by the field of a radio file.
    pub fn check(&self) -> Result<(), Vec<Problem>> {
        let mut problems = Vec::new();
        for (index, function) in Function::ALL.into_iter().enumerate() {
            let field = self.inputs.field(function, self.mode);
            let axis = self.axis(function);
            self.check_axis(function, axis, &field, &mut problems);
            for other in &Function::ALL[..index] {
                if self.axis(*other).code == axis.code {
                    problems.push(Problem::new(
                        format!("{field}.axis"),
                        format!(
                            "{} is the axis of {} already",
                            axis.code,
                            self.inputs.field(*other, self.mode)
                        ),
                        "give each stick movement an axis of its own",
                    ));
                }
            }
        }
        self.check_switches(&mut problems);
        if problems.is_empty() {
            Ok(())
        } else {
            Err(problems)
        }
    }

    fn check_axis(
        &self,
        function: Function,
        axis: &AxisMap,
        field: &str,
        problems: &mut Vec<Problem>,
    ) {
        let mut refuse = |name: &str, problem: String, remedy: &str| {
            problems.push(Problem::new(format!("{field}.{name}"), problem, remedy));
        };
        if let Inputs::Channels { order, .. } = &self.inputs
            && order.axis_of(function) != axis.code
        {
            refuse(
                "axis",
                format!("{} is not where the order has it", axis.code),
                "leave the axis to the order",
            );
        }
        let travel = (axis.to - axis.from).abs();
        if !(travel >= LEAST_TRAVEL) {
            refuse(
                "to",
                format!("its ends are {:.1} % apart", travel * 50.0),
                "move the stick from end to end and give the two values it sends there",
            );
            return;
        }
        let stays = function == Function::Throttle && self.throttle_stop == ThrottleStop::LowEnd;
        let halves = [(axis.to - axis.centre), (axis.centre - axis.from)];
        let sign = (axis.to - axis.from).signum();
        let shortest = halves
            .map(|half| half * sign)
            .into_iter()
            .fold(travel, f64::min);
        if !stays && !(shortest >= 0.25 * LEAST_TRAVEL) {
            refuse(
                "centre",
                "it is not between the two ends".to_owned(),
                "give the value that the device sends with the stick let go",
            );
        } else if !(axis.noise >= 0.0) || axis.noise > 0.25 * if stays { travel } else { shortest }
        {
            refuse(
                "noise",
                format!(
                    "{:.1} % is too much for so short a travel",
                    axis.noise * 100.0
                ),
                "give how far the value wanders with the stick let go, at most a quarter of the \
                 shorter half",
            );
        }
    }

    fn check_switches(&self, problems: &mut Vec<Problem>) {
        for (index, switch) in self.switches.iter().enumerate() {
            let field = format!("switches[{index}]");
            let before = &self.switches[..index];
            if before.iter().any(|other| other.job == switch.job) {
                problems.push(Problem::new(
                    format!("{field}.does"),
                    format!("{} has a switch already", switch.job.name()),
                    "leave one of the two out",
                ));
            }
            let of_stick = |code: AxisCode| {
                (Function::ALL.into_iter()).find(|function| self.axis(*function).code == code)
            };
            if let Some(function) = switch.trigger.axis().and_then(of_stick) {
                problems.push(Problem::new(
                    format!("{field}.when"),
                    format!("this axis is that of the {}", function.name()),
                    "give a switch an axis or a button of its own",
                ));
            }
            let button = switch.trigger.button();
            if button.is_some() && before.iter().any(|other| other.trigger.button() == button) {
                problems.push(Problem::new(
                    format!("{field}.when"),
                    "this button has a job already".to_owned(),
                    "give each switch a button of its own",
                ));
            }
        }
    }

    /// The calibrated axis of a function.
    pub fn axis(&self, function: Function) -> &AxisMap {
        self.inputs.axis(function, self.mode)
    }

    /// Every axis that has to be known before anything may start, with what it
    /// is for, each once.
    pub fn mapped_axes(&self) -> Vec<(AxisCode, String)> {
        let mut axes: Vec<(AxisCode, String)> = Vec::new();
        let functions = Function::ALL.into_iter().map(|function| {
            let gimbal = function.gimbal(self.mode);
            let name = format!("{} ({})", function.name(), gimbal.stick());
            (self.axis(function).code, name)
        });
        let switches = self.switches.iter().filter_map(|switch| {
            let code = switch.trigger.axis()?;
            Some((code, format!("the switch for {}", switch.job.name())))
        });
        for (code, name) in functions.chain(switches) {
            if axes.iter().all(|(known, _)| *known != code) {
                axes.push((code, name));
            }
        }
        axes
    }

    /// The set-up that shapes this radio's sticks on the way to a plane, the
    /// only place where anything is shaped.
    pub fn radio_setup(&self, airframe: &Airframe) -> RadioSetup {
        let suits = RadioSetup::for_airframe(airframe);
        let steering = self.steering.unwrap_or(suits.steering);
        let whole = |share: f64| Axes {
            roll: share,
            pitch: share,
            yaw: share,
        };
        let (rates, second_rates, expo, rudder_from_aileron) = match &self.shaping {
            None => (whole(1.0), None, whole(0.0), 0.0),
            Some(shaping) => (
                shaping.rates.unwrap_or(suits.rates),
                shaping.second_rates,
                shaping.expo,
                shaping.rudder_from_aileron,
            ),
        };
        RadioSetup {
            rates,
            second_rates,
            expo,
            steering,
            rudder_from_aileron,
            wiring: Wiring::Right,
            steps: Some(self.link.steps),
            latency_s: self.link.latency_s,
            frame_s: self.link.frame_s,
            fail_safe_after_s: self.link.fail_safe_after_s,
            fail_safe: FailSafe::MotorOff,
        }
    }

    /// The hands of whoever holds this radio.
    pub fn hand_off(&self) -> HandOff {
        HandOff::new(self.mode, self.throwing_hand)
    }

    /// A radio in mode 2 that sends AETR on the first four axes, uses all of
    /// them, and has no switches: a start for others.
    pub fn plain() -> Self {
        let axis = |index: usize| AxisMap::full(CHANNEL_AXES[index]);
        Self {
            name: "radio".to_owned(),
            device: None,
            mode: StickMode::Mode2,
            throwing_hand: Hand::Right,
            inputs: Inputs::Sticks {
                left_across: axis(3),
                left_along: axis(2),
                right_across: axis(0),
                right_along: axis(1),
            },
            throttle_stop: ThrottleStop::LowEnd,
            trims: Trims::default(),
            shaping: Some(Shaping::default()),
            steering: None,
            switches: Vec::new(),
            link: Link::default(),
        }
    }
}
