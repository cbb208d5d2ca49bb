//! What a radio file may say.

use larkfield_units::{Ratio, Time};
use serde::Deserialize;

use crate::given::Given;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RadioForm {
    #[serde(rename = "schema")]
    _schema: u32,
    pub name: String,
    pub device: Option<String>,
    pub mode: u32,
    #[serde(default)]
    pub throws_with: HandForm,
    pub inputs: InputsForm,
    #[serde(default)]
    pub throttle_stop: StopForm,
    pub trims: Option<AxesForm>,
    #[serde(default)]
    pub shaping: ShapingForm,
    #[serde(default)]
    pub steering: SteeringForm,
    #[serde(default)]
    pub switches: Vec<SwitchForm>,
    pub link: Option<LinkForm>,
}

#[derive(Debug, Default, Deserialize)]
pub(super) enum HandForm {
    Left,
    #[default]
    Right,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum InputsForm {
    Sticks {
        left_across: MappedForm,
        left_along: MappedForm,
        right_across: MappedForm,
        right_along: MappedForm,
    },
    Channels {
        order: String,
        aileron: Option<EndsForm>,
        elevator: Option<EndsForm>,
        throttle: Option<EndsForm>,
        rudder: Option<EndsForm>,
    },
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MappedForm {
    pub axis: String,
    pub from: Given<Ratio>,
    pub centre: Option<Given<Ratio>>,
    pub to: Given<Ratio>,
    pub noise: Option<Given<Ratio>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct EndsForm {
    pub from: Given<Ratio>,
    pub centre: Option<Given<Ratio>>,
    pub to: Given<Ratio>,
    pub noise: Option<Given<Ratio>>,
}

#[derive(Debug, Default, Deserialize)]
pub(super) enum StopForm {
    #[default]
    LowEnd,
    Centre,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AxesForm {
    pub roll: Given<Ratio>,
    pub pitch: Given<Ratio>,
    pub yaw: Given<Ratio>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum ShapingForm {
    AlreadyInRadio,
    Here {
        rates: Option<Box<AxesForm>>,
        second_rates: Option<Box<AxesForm>>,
        expo: Option<Box<AxesForm>>,
        rudder_from_aileron: Option<Given<Ratio>>,
    },
}

impl Default for ShapingForm {
    fn default() -> Self {
        Self::Here {
            rates: None,
            second_rates: None,
            expo: None,
            rudder_from_aileron: None,
        }
    }
}

#[derive(Debug, Default, Deserialize)]
pub(super) enum SteeringForm {
    #[default]
    SuitsPlane,
    Ailerons,
    Rudder,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SwitchForm {
    pub does: JobForm,
    pub when: TriggerForm,
}

#[derive(Debug, Deserialize)]
pub(super) enum JobForm {
    ThrottleCut,
    SecondRates,
    Throw,
    Again,
    InstructorPowerLoss,
    InstructorGust,
}

#[derive(Debug, Deserialize)]
pub(super) enum TriggerForm {
    Held(String),
    Toggled(String),
    Above(String, Given<Ratio>),
    Below(String, Given<Ratio>),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LinkForm {
    pub latency: Option<Given<Time>>,
    pub frame: Option<Given<Time>>,
    pub steps: Option<u32>,
    #[serde(default)]
    pub fail_safe: FailSafeForm,
    pub fail_safe_after: Option<Given<Time>>,
}

#[derive(Debug, Default, Deserialize)]
pub(super) enum FailSafeForm {
    #[default]
    MotorOff,
    /// Known, so that the refusal can say why.
    Hold,
}
