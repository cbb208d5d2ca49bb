//! Lines of the score sheet: what is marked, for how many points, on which scale.

use larkfield_lesson::{MarkKind, MarkRule, Scale};
use larkfield_pilot::Undercarriage;
use larkfield_units::{
    Angle, AngularSpeed, Frequency, Length, Quantity, Ratio, Speed, Time, parse,
};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::given::{AnyText, Given};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MarkForm {
    kind: MarkKindForm,
    points: f64,
    scale: ScaleForm,
    only: Option<OnlyForm>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum OnlyForm {
    Wheels,
    Skids,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum MarkKindForm {
    LowestHeight,
    SpeedMargin,
    BankHeld,
    HeadingHeld,
    ClimbAngle,
    StallMargin,
    GoalReached,
    InControl,
    StickReversals,
    Damage,
    HeightBand,
    CircuitHeight,
    Spacing,
    Alignment,
    CentreLine,
    Steadiness,
    FlareHeight,
    SinkAtTouch,
    DriftAtTouch,
    IntoWind,
    DistanceFromAim,
    PowerAtTouch,
    Float,
    StallHeight,
    HeldOff,
    Bounces,
    RollOut,
    TrimDrift,
    TrimTurn,
    Symmetry,
    TimeToDisarm,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum ScaleForm {
    AtLeast {
        full: Given<AnyText>,
        zero: Given<AnyText>,
    },
    AtMost {
        full: Given<AnyText>,
        zero: Given<AnyText>,
    },
    Between {
        zero_below: Given<AnyText>,
        full_from: Given<AnyText>,
        full_to: Given<AnyText>,
        zero_above: Given<AnyText>,
    },
}

impl MarkKindForm {
    fn model(self) -> MarkKind {
        match self {
            Self::LowestHeight => MarkKind::LowestHeight,
            Self::SpeedMargin => MarkKind::SpeedMargin,
            Self::BankHeld => MarkKind::BankHeld,
            Self::HeadingHeld => MarkKind::HeadingHeld,
            Self::ClimbAngle => MarkKind::ClimbAngle,
            Self::StallMargin => MarkKind::StallMargin,
            Self::GoalReached => MarkKind::GoalReached,
            Self::InControl => MarkKind::InControl,
            Self::StickReversals => MarkKind::StickReversals,
            Self::Damage => MarkKind::Damage,
            Self::HeightBand => MarkKind::HeightBand,
            Self::CircuitHeight => MarkKind::CircuitHeight,
            Self::Spacing => MarkKind::Spacing,
            Self::Alignment => MarkKind::Alignment,
            Self::CentreLine => MarkKind::CentreLine,
            Self::Steadiness => MarkKind::Steadiness,
            Self::FlareHeight => MarkKind::FlareHeight,
            Self::SinkAtTouch => MarkKind::SinkAtTouch,
            Self::DriftAtTouch => MarkKind::DriftAtTouch,
            Self::IntoWind => MarkKind::IntoWind,
            Self::DistanceFromAim => MarkKind::DistanceFromAim,
            Self::PowerAtTouch => MarkKind::PowerAtTouch,
            Self::Float => MarkKind::Float,
            Self::StallHeight => MarkKind::StallHeight,
            Self::HeldOff => MarkKind::HeldOff,
            Self::Bounces => MarkKind::Bounces,
            Self::RollOut => MarkKind::RollOut,
            Self::TrimDrift => MarkKind::TrimDrift,
            Self::TrimTurn => MarkKind::TrimTurn,
            Self::Symmetry => MarkKind::Symmetry,
            Self::TimeToDisarm => MarkKind::TimeToDisarm,
        }
    }
}

pub(super) fn marks(check: &mut Checker, list: &FieldPath, forms: &[MarkForm]) -> Vec<MarkRule> {
    if !check.count(list, forms.len(), 0, 50, "marks") {
        return Vec::new();
    }
    let mut rules = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        let kind = form.kind.model();
        rules.push(MarkRule {
            kind,
            points: check.number(&group.field("points"), form.points, 0.0, 100.0),
            scale: scale(check, &group.field("scale"), &form.scale, kind.unit()),
            only: form.only.map(|only| match only {
                OnlyForm::Wheels => Undercarriage::Wheels,
                OnlyForm::Skids => Undercarriage::Skids,
            }),
        });
    }
    rules
}

fn scale(check: &mut Checker, group: &FieldPath, form: &ScaleForm, unit: &str) -> Scale {
    let mut bound = |name: &str, given: &Given<AnyText>| {
        let field = group.field(name);
        match unit {
            "m" => quantity::<Length>(check, &field, given, 1.0, "-1000 m", "1000 m"),
            "%" => quantity::<Ratio>(check, &field, given, 100.0, "-1000 %", "1000 %"),
            "deg" => {
                let degrees = 180.0 / core::f64::consts::PI;
                quantity::<Angle>(check, &field, given, degrees, "-180 deg", "180 deg")
            }
            "m/s" => quantity::<Speed>(check, &field, given, 1.0, "-100 m/s", "100 m/s"),
            "s" => quantity::<Time>(check, &field, given, 1.0, "0 s", "900 s"),
            "deg/s" => {
                let degrees = 180.0 / core::f64::consts::PI;
                quantity::<AngularSpeed>(check, &field, given, degrees, "0 deg/s", "720 deg/s")
            }
            "1/s" => quantity::<Frequency>(check, &field, given, 1.0, "0 /s", "100 /s"),
            _ => match given.text.trim().parse::<f64>() {
                Ok(number) => check.number(&field, number, 0.0, 100.0),
                Err(_) => {
                    check.refuse(
                        &field,
                        format!("\"{}\" is not a number of {unit}", given.text),
                        "give a plain number, as in 1",
                    );
                    0.0
                }
            },
        }
    };
    match form {
        ScaleForm::AtLeast { full, zero } => Scale::AtLeast {
            full: bound("full", full),
            zero: bound("zero", zero),
        },
        ScaleForm::AtMost { full, zero } => Scale::AtMost {
            full: bound("full", full),
            zero: bound("zero", zero),
        },
        ScaleForm::Between {
            zero_below,
            full_from,
            full_to,
            zero_above,
        } => Scale::Between {
            zero_below: bound("zero_below", zero_below),
            full_from: bound("full_from", full_from),
            full_to: bound("full_to", full_to),
            zero_above: bound("zero_above", zero_above),
        },
    }
}

/// A bound in the unit of its mark. Angles come back in degrees; what the
/// conversion leaves in the last places is rounded off, so that "12 deg" is 12.
fn quantity<Q: Quantity>(
    check: &mut Checker,
    field: &FieldPath,
    given: &Given<AnyText>,
    per_si: f64,
    least: &str,
    most: &str,
) -> f64 {
    let typed: Given<Q> = Given {
        value: parse(&given.text),
        text: given.text.clone(),
    };
    let value = check.quantity(field, &typed, least, most) * per_si;
    (value * 1e9).round() / 1e9
}
