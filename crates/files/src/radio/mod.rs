//! Radio files: a person's own sticks, their mapping, calibration and switches.

mod form;
mod write;

use std::path::Path;

use larkfield_pilot::{Axes, Hand, Steering, StickMode, Trims};
use larkfield_radio::{
    AxisCode, AxisMap, ButtonCode, ChannelOrder, Function, Inputs, Link, Shaping, Switch,
    SwitchJob, ThrottleStop, Transmitter, Trigger,
};
use larkfield_units::{Ratio, Time};

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::given::Given;
use crate::reading::{load_text, read_ron};
use form::{
    AxesForm, EndsForm, FailSafeForm, HandForm, InputsForm, JobForm, LinkForm, MappedForm,
    RadioForm, ShapingForm, SteeringForm, StopForm, SwitchForm, TriggerForm,
};

pub use write::write_radio;

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

/// Reads a radio from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_radio(path: &Path) -> Result<Transmitter, FileErrors> {
    read_radio(&load_text(path)?, &path.display().to_string())
}

/// Reads a radio from text; `file_name` is for messages only.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_radio(text: &str, file_name: &str) -> Result<Transmitter, FileErrors> {
    let (form, locator) = read_ron::<RadioForm>(text, file_name, SCHEMA)?;
    let mut check = Checker::new(file_name, locator);
    let root = FieldPath::root();
    check.name(&root.field("name"), &form.name);
    if let Some(device) = &form.device {
        check.name(&root.field("device"), device);
    }
    let transmitter = Transmitter {
        mode: mode(&mut check, form.mode),
        throwing_hand: match form.throws_with {
            HandForm::Left => Hand::Left,
            HandForm::Right => Hand::Right,
        },
        inputs: inputs(&mut check, &form.inputs),
        throttle_stop: match form.throttle_stop {
            StopForm::LowEnd => ThrottleStop::LowEnd,
            StopForm::Centre => ThrottleStop::Centre,
        },
        trims: trims(&mut check, form.trims.as_ref()),
        shaping: shaping(&mut check, &form.shaping),
        steering: match form.steering {
            SteeringForm::SuitsPlane => None,
            SteeringForm::Ailerons => Some(Steering::Ailerons),
            SteeringForm::Rudder => Some(Steering::Rudder),
        },
        switches: switches(&mut check, &form.switches),
        link: link(&mut check, form.link.as_ref()),
        name: form.name,
        device: form.device,
    };
    if check.mistakes() == 0
        && let Err(problems) = transmitter.check()
    {
        for problem in problems {
            let field = FieldPath::written(&problem.field);
            check.refuse(&field, problem.problem, problem.remedy);
        }
    }
    check.finish(Some(transmitter)).map(|(radio, _)| radio)
}

fn mode(check: &mut Checker, given: u32) -> StickMode {
    match given {
        1 => StickMode::Mode1,
        2 => StickMode::Mode2,
        3 => StickMode::Mode3,
        4 => StickMode::Mode4,
        other => {
            check.refuse(
                &FieldPath::root().field("mode"),
                format!("there is no mode {other}"),
                "give 1, 2, 3 or 4 as the format's page draws them",
            );
            StickMode::default()
        }
    }
}

fn inputs(check: &mut Checker, form: &InputsForm) -> Inputs {
    let group = FieldPath::root().field("inputs");
    match form {
        InputsForm::Sticks {
            left_across,
            left_along,
            right_across,
            right_along,
        } => {
            let mut of = |name: &str, form: &MappedForm| mapped(check, &group.field(name), form);
            Inputs::Sticks {
                left_across: of("left_across", left_across),
                left_along: of("left_along", left_along),
                right_across: of("right_across", right_across),
                right_along: of("right_along", right_along),
            }
        }
        InputsForm::Channels {
            order,
            aileron,
            elevator,
            throttle,
            rudder,
        } => {
            let order = ChannelOrder::parse(order).unwrap_or_else(|problem| {
                check.refuse(
                    &group.field("order"),
                    problem,
                    "give A, E, T and R once each in the order of the channels, with - for \
                     channels between them, as in \"AETR\"; at most 8",
                );
                ChannelOrder::default()
            });
            let mut of = |function: Function, form: &Option<EndsForm>| {
                let code = order.axis_of(function);
                match form {
                    Some(form) => ends(check, &group.field(function.name()), code, form),
                    None => AxisMap::full(code),
                }
            };
            Inputs::Channels {
                order,
                aileron: of(Function::Aileron, aileron),
                elevator: of(Function::Elevator, elevator),
                throttle: of(Function::Throttle, throttle),
                rudder: of(Function::Rudder, rudder),
            }
        }
    }
}

fn mapped(check: &mut Checker, field: &FieldPath, form: &MappedForm) -> AxisMap {
    let code = axis_code(check, &field.field("axis"), &form.axis);
    let form = EndsForm {
        from: form.from.clone(),
        centre: form.centre.clone(),
        to: form.to.clone(),
        noise: form.noise.clone(),
    };
    ends(check, field, code, &form)
}

fn ends(check: &mut Checker, field: &FieldPath, code: AxisCode, form: &EndsForm) -> AxisMap {
    let mut raw = |name: &str, given: &Given<Ratio>| {
        check.quantity(&field.field(name), given, "-100 %", "100 %")
    };
    let (from, to) = (raw("from", &form.from), raw("to", &form.to));
    AxisMap {
        code,
        from,
        centre: match &form.centre {
            Some(given) => raw("centre", given),
            // Half-way, in the hundredths of a percent that files are written in.
            None => (0.5 * (from + to) * 1e4).round() / 1e4,
        },
        to,
        noise: check.quantity_or_zero(&field.field("noise"), form.noise.as_ref(), "0 %", "20 %"),
    }
}

fn axis_code(check: &mut Checker, field: &FieldPath, name: &str) -> AxisCode {
    AxisCode::from_name(name).unwrap_or_else(|| {
        check.refuse(
            field,
            format!("{name:?} is no axis"),
            "give its name as `larkfield radio list` prints it, such as \"ABS_X\"",
        );
        AxisCode(0)
    })
}

fn button_code(check: &mut Checker, field: &FieldPath, name: &str) -> ButtonCode {
    ButtonCode::from_name(name).unwrap_or_else(|| {
        check.refuse(
            field,
            format!("{name:?} is no button"),
            "give its name as `larkfield radio list` prints it, such as \"BTN_TRIGGER\"",
        );
        ButtonCode(0)
    })
}

fn axes(check: &mut Checker, group: &FieldPath, form: &AxesForm, least: &str, most: &str) -> Axes {
    let mut share =
        |name: &str, given: &Given<Ratio>| check.quantity(&group.field(name), given, least, most);
    Axes {
        roll: share("roll", &form.roll),
        pitch: share("pitch", &form.pitch),
        yaw: share("yaw", &form.yaw),
    }
}

fn trims(check: &mut Checker, form: Option<&AxesForm>) -> Trims {
    let group = FieldPath::root().field("trims");
    form.map_or(Trims::default(), |form| {
        let trims = axes(check, &group, form, "-50 %", "50 %");
        Trims {
            roll: trims.roll,
            pitch: trims.pitch,
            yaw: trims.yaw,
        }
    })
}

fn shaping(check: &mut Checker, form: &ShapingForm) -> Option<Shaping> {
    let group = FieldPath::root().field("shaping");
    match form {
        ShapingForm::AlreadyInRadio => None,
        ShapingForm::Here {
            rates,
            second_rates,
            expo,
            rudder_from_aileron,
        } => {
            let mut group_of =
                |name: &str, form: &Option<Box<AxesForm>>, least: &str, most: &str| {
                    let form = form.as_ref()?;
                    Some(axes(check, &group.field(name), form, least, most))
                };
            let rates = group_of("rates", rates, "5 %", "150 %");
            let second_rates = group_of("second_rates", second_rates, "5 %", "150 %");
            let expo = group_of("expo", expo, "-100 %", "100 %");
            Some(Shaping {
                rates,
                second_rates,
                expo: expo.unwrap_or(Shaping::default().expo),
                rudder_from_aileron: check.quantity_or_zero(
                    &group.field("rudder_from_aileron"),
                    rudder_from_aileron.as_ref(),
                    "-100 %",
                    "100 %",
                ),
            })
        }
    }
}

fn switches(check: &mut Checker, forms: &[SwitchForm]) -> Vec<Switch> {
    let list = FieldPath::root().field("switches");
    if !check.count(&list, forms.len(), 0, SwitchJob::ALL.len(), "switches") {
        return Vec::new();
    }
    let mut switches = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let when = list.item(index).field("when");
        let mut axis = |name: &str, given: &Given<Ratio>| {
            let limit = check.quantity(&when.member(1), given, "-100 %", "100 %");
            (axis_code(check, &when.member(0), name), limit)
        };
        let trigger = match &form.when {
            TriggerForm::Above(name, given) => {
                let (code, limit) = axis(name, given);
                Trigger::Above(code, limit)
            }
            TriggerForm::Below(name, given) => {
                let (code, limit) = axis(name, given);
                Trigger::Below(code, limit)
            }
            TriggerForm::Held(name) => Trigger::Held(button_code(check, &when.member(0), name)),
            TriggerForm::Toggled(name) => {
                Trigger::Toggled(button_code(check, &when.member(0), name))
            }
        };
        switches.push(Switch {
            job: match form.does {
                JobForm::ThrottleCut => SwitchJob::ThrottleCut,
                JobForm::SecondRates => SwitchJob::SecondRates,
                JobForm::Throw => SwitchJob::Throw,
                JobForm::Again => SwitchJob::Again,
                JobForm::InstructorPowerLoss => SwitchJob::InstructorPowerLoss,
                JobForm::InstructorGust => SwitchJob::InstructorGust,
            },
            trigger,
        });
    }
    switches
}

fn link(check: &mut Checker, form: Option<&LinkForm>) -> Link {
    let default = Link::default();
    let Some(form) = form else {
        return default;
    };
    let group = FieldPath::root().field("link");
    if matches!(form.fail_safe, FailSafeForm::Hold) {
        check.refuse(
            &group.field("fail_safe"),
            "a receiver that holds flies on with the motor running when the link is lost",
            "write `fail_safe: MotorOff` or leave it out, and set the real receiver so too",
        );
    }
    let steps = form.steps.unwrap_or(default.steps);
    if !(16..=65_536).contains(&steps) {
        check.refuse(
            &group.field("steps"),
            format!("{steps} steps are outside the possible range"),
            "give a number between 16 and 65536",
        );
    }
    let mut time = |name: &str, given: &Option<Given<Time>>, least: &str, most: &str, or: f64| {
        given.as_ref().map_or(or, |given| {
            check.quantity(&group.field(name), given, least, most)
        })
    };
    Link {
        latency_s: time(
            "latency",
            &form.latency,
            "0 ms",
            "500 ms",
            default.latency_s,
        ),
        frame_s: time("frame", &form.frame, "1 ms", "50 ms", default.frame_s),
        steps,
        fail_safe_after_s: time(
            "fail_safe_after",
            &form.fail_safe_after,
            "100 ms",
            "5 s",
            default.fail_safe_after_s,
        ),
    }
}
