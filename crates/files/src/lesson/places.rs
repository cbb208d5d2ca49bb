//! Where a lesson starts in the air, where it lands, what surprises it holds.

use larkfield_lesson::{AirStart, LandingPlan, Moment, Surprise};
use larkfield_pilot::Trims;
use larkfield_units::{Angle, Length, Ratio, Time};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::given::Given;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum AirStartForm {
    At {
        north: Given<Length>,
        east: Given<Length>,
        height: Given<Length>,
        heading: Given<Angle>,
    },
    Downwind {
        before: Given<Length>,
    },
    Final {
        before: Given<Length>,
        height: Given<Length>,
    },
}

pub(super) fn air_start(check: &mut Checker, group: &FieldPath, form: &AirStartForm) -> AirStart {
    let mut length = |name: &str, given: &Given<Length>, least: &str, most: &str| {
        check.quantity(&group.field(name), given, least, most)
    };
    match form {
        AirStartForm::At {
            north,
            east,
            height,
            heading,
        } => AirStart::At {
            north_m: length("north", north, "-500 m", "500 m"),
            east_m: length("east", east, "-500 m", "500 m"),
            height_m: length("height", height, "3 m", "120 m"),
            heading_rad: check.quantity(&group.field("heading"), heading, "-360 deg", "720 deg"),
        },
        AirStartForm::Downwind { before } => AirStart::Downwind {
            before_m: length("before", before, "0 m", "300 m"),
        },
        AirStartForm::Final { before, height } => AirStart::Final {
            before_m: length("before", before, "5 m", "300 m"),
            height_m: length("height", height, "2 m", "120 m"),
        },
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LandingForm {
    aim: AimForm,
    r#box: BoxForm,
    circuit: CircuitForm,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct AimForm {
    north: Given<Length>,
    east: Given<Length>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct BoxForm {
    length: Given<Length>,
    width: Given<Length>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct CircuitForm {
    height: Given<Length>,
    spacing: Given<Length>,
}

pub(super) fn landing(check: &mut Checker, group: &FieldPath, form: &LandingForm) -> LandingPlan {
    let mut length = |inner: &str, name: &str, given: &Given<Length>, least: &str, most: &str| {
        check.quantity(&group.field(inner).field(name), given, least, most)
    };
    LandingPlan {
        aim_north_m: length("aim", "north", &form.aim.north, "-500 m", "500 m"),
        aim_east_m: length("aim", "east", &form.aim.east, "-500 m", "500 m"),
        box_length_m: length("box", "length", &form.r#box.length, "2 m", "200 m"),
        box_width_m: length("box", "width", &form.r#box.width, "2 m", "100 m"),
        circuit_height_m: length("circuit", "height", &form.circuit.height, "5 m", "100 m"),
        spacing_m: length("circuit", "spacing", &form.circuit.spacing, "10 m", "150 m"),
    }
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TrimErrorForm {
    roll: Option<Given<Ratio>>,
    pitch: Option<Given<Ratio>>,
    yaw: Option<Given<Ratio>>,
}

pub(super) fn trim_error(check: &mut Checker, group: &FieldPath, form: &TrimErrorForm) -> Trims {
    let mut share = |name: &str, given: &Option<Given<Ratio>>| {
        check.quantity_or_zero(&group.field(name), given.as_ref(), "-50 %", "50 %")
    };
    Trims {
        roll: share("roll", &form.roll),
        pitch: share("pitch", &form.pitch),
        yaw: share("yaw", &form.yaw),
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SurpriseForm {
    kind: SurpriseKindForm,
    time: Option<Given<Time>>,
    height: Option<Given<Length>>,
    phase: Option<String>,
    after: Option<Given<Time>>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum SurpriseKindForm {
    PowerLoss,
}

pub(super) fn surprises(
    check: &mut Checker,
    list: &FieldPath,
    forms: &[SurpriseForm],
) -> Vec<Surprise> {
    if !check.count(list, forms.len(), 0, 20, "surprises") {
        return Vec::new();
    }
    let mut surprises = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        if let Some(moment) = moment(check, &list.item(index), form) {
            surprises.push(match form.kind {
                SurpriseKindForm::PowerLoss => Surprise::PowerLoss(moment),
            });
        }
    }
    surprises
}

fn moment(check: &mut Checker, group: &FieldPath, form: &SurpriseForm) -> Option<Moment> {
    let after = form.after.as_ref();
    match (&form.time, &form.height, &form.phase) {
        (Some(time), None, None) if after.is_none() => Some(Moment::Time {
            after_s: check.quantity(&group.field("time"), time, "0 s", "900 s"),
        }),
        (None, Some(height), None) if after.is_none() => Some(Moment::Height {
            height_m: check.quantity(&group.field("height"), height, "0.5 m", "120 m"),
        }),
        (None, None, Some(name)) => Some(Moment::Phase {
            name: name.clone(),
            after_s: check.quantity_or_zero(&group.field("after"), after, "0 s", "300 s"),
        }),
        _ => {
            check.refuse(
                group,
                "it is not clear when this happens",
                "give one of `time` (as in \"12 s\"), `height` (as in \"10 m\") or `phase` (a name, \
                 with `after` if it comes later)",
            );
            None
        }
    }
}
