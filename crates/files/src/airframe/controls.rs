//! Hinged surfaces: from ruler and protractor to fractions and radians.

use larkfield_airframe::{ControlMix, ControlSurface, Gap, Servo};
use larkfield_units::{Ratio, SurfaceRate};

use crate::check::{Checker, FieldPath};
use crate::given::{Given, LengthOrAngle};

use super::form::{
    AirframeForm, FunctionForm, GapForm, HingeForm, MixForm, NeutralForm, ReversedForm,
};
use super::outline::Cut;
use super::panels::{Built, Sides};

pub(super) fn controls(
    check: &mut Checker,
    form: &AirframeForm,
    built: &Built,
) -> Vec<ControlSurface> {
    let list = FieldPath::root().field("panels");
    let mut controls: Vec<ControlSurface> = Vec::new();
    for ((i, panel), sides) in form.panels.iter().enumerate().zip(&built.by_form) {
        let hinges = list.item(i).field("hinges");
        if !check.count(&hinges, panel.hinges.len(), 0, 8, "hinges") || sides.cuts.is_empty() {
            continue;
        }
        let mut spans: Vec<(f64, f64)> = Vec::new();
        for (k, hinge) in panel.hinges.iter().enumerate() {
            let field = hinges.item(k);
            let before = check.mistakes();
            check.name(&field.field("name"), &hinge.name);
            let made = one(check, &field, hinge, sides);
            if let Some(first) = made.first() {
                let span = (first.span_from, first.span_to);
                let overlaps = spans
                    .iter()
                    .any(|s| span.0 < s.1 - 1e-9 && s.0 < span.1 - 1e-9);
                if overlaps && check.mistakes() == before {
                    check.refuse(
                        &field.field("from"),
                        "this surface overlaps another one on the same panel",
                        "let one end where the next begins with `from` and `to`",
                    );
                }
                spans.push(span);
            }
            for surface in made {
                if controls.iter().any(|c| c.name == surface.name) {
                    check.refuse(
                        &field.field("name"),
                        format!("there is another surface `{}`", surface.name),
                        "give every hinged surface a name of its own",
                    );
                }
                controls.push(surface);
            }
        }
    }
    controls
}

fn one(
    check: &mut Checker,
    field: &FieldPath,
    hinge: &HingeForm,
    sides: &Sides,
) -> Vec<ControlSurface> {
    if (hinge.function == FunctionForm::Rudder) != sides.steep {
        let (problem, remedy) = if sides.steep {
            (
                "an upright panel (a fin, or dihedral 60 deg or more) cannot carry this function",
                "use Rudder here",
            )
        } else {
            (
                "a rudder needs an upright panel (a fin, or dihedral 60 deg or more)",
                "use Elevator, Aileron, Elevon or VTail here",
            )
        };
        check.refuse(&field.field("function"), problem, remedy);
        return Vec::new();
    }
    let span_m = sides.span_m;
    let from = hinge.from.as_ref().map_or(0.0, |given| {
        check.share(&field.field("from"), given, span_m, "0 %", "100 %")
    });
    let to = hinge.to.as_ref().map_or(1.0, |given| {
        check.share(&field.field("to"), given, span_m, "0 %", "100 %")
    });
    if from >= to {
        check.refuse(
            &field.field("to"),
            "the surface ends where it begins, or before",
            "let `to` be farther from the root than `from`",
        );
    }
    let inner_m = chord_at(&sides.cuts, from * span_m);
    let outer_m = chord_at(&sides.cuts, to * span_m);
    let before = check.mistakes();
    let flap_from = check.share(&field.field("chord"), &hinge.chord, inner_m, "2 %", "100 %");
    let flap_to = match &hinge.chord_outer {
        Some(given) => check.share(&field.field("chord_outer"), given, outer_m, "2 %", "100 %"),
        None if check.mistakes() > before => flap_from,
        None => check.share(&field.field("chord"), &hinge.chord, outer_m, "2 %", "100 %"),
    };
    let flap_m = flap_from * inner_m;
    let gap = gap(check, field, hinge.gap.as_ref());
    let (positive_rad, negative_rad) = travels(check, field, hinge, flap_m);
    let neutral_rad = neutral(check, field, hinge, flap_m);
    let slop_rad = match &hinge.slop {
        Some(given) => check.deflection(&field.field("slop"), given, flap_m, "20 deg"),
        None => {
            check.assume(
                &field.field("slop"),
                "1 deg",
                "common practice, no source: a tidy linkage",
            );
            1.0_f64.to_radians()
        }
    };
    let servo = |check: &mut Checker, first: bool| servo(check, field, hinge, slop_rad, first);
    let reversed = hinge
        .servo
        .as_ref()
        .and_then(|s| s.reversed)
        .unwrap_or(ReversedForm::No);

    let made = [
        (sides.left, "_left", 1.0, ReversedForm::Left),
        (sides.right, "_right", -1.0, ReversedForm::Right),
        (sides.centre, "", 0.0, ReversedForm::No),
    ];
    let both = sides.left.is_some() && sides.right.is_some();
    let mut surfaces = Vec::new();
    for (index, suffix, port, own) in made {
        let Some(panel) = index else { continue };
        let name = if both {
            format!("{}{suffix}", hinge.name)
        } else {
            hinge.name.clone()
        };
        let mut servo = servo(check, surfaces.is_empty());
        servo.reversed = match reversed {
            ReversedForm::No => false,
            ReversedForm::Both => true,
            side => side == own,
        };
        surfaces.push(ControlSurface {
            name,
            panel,
            span_from: from,
            span_to: to,
            flap_fraction_from: flap_from,
            flap_fraction_to: flap_to,
            gap,
            travel_positive_rad: positive_rad,
            travel_negative_rad: negative_rad,
            neutral_rad,
            mix: mix(check, field, hinge, port, surfaces.is_empty()),
            servo,
        });
    }
    surfaces
}

/// Chord at a distance from the root.
fn chord_at(cuts: &[Cut], out_m: f64) -> f64 {
    for pair in cuts.windows(2) {
        if let [a, b] = pair
            && out_m <= b.out_m
        {
            let t = ((out_m - a.out_m) / (b.out_m - a.out_m)).max(0.0);
            return a.chord_m + t * (b.chord_m - a.chord_m);
        }
    }
    cuts.last().map_or(0.0, |c| c.chord_m)
}

fn gap(check: &mut Checker, field: &FieldPath, form: Option<&GapForm>) -> Gap {
    let field = field.field("gap");
    match form {
        Some(GapForm::Sealed) => Gap::Sealed,
        Some(GapForm::Open(given)) => Gap::Open {
            width_m: check.quantity(&field, given, "0 mm", "20 mm"),
        },
        None => {
            check.assume(
                &field,
                "Sealed",
                "common practice, no source: a live hinge or a taped slot",
            );
            Gap::Sealed
        }
    }
}

/// Travel away from the normal (down, to port) and toward it (up, to
/// starboard).
fn travels(check: &mut Checker, field: &FieldPath, hinge: &HingeForm, flap_m: f64) -> (f64, f64) {
    let up = ("travel_up", &hinge.travel_up);
    let down = ("travel_down", &hinge.travel_down);
    let left = ("travel_left", &hinge.travel_left);
    let right = ("travel_right", &hinge.travel_right);
    let rudder = hinge.function == FunctionForm::Rudder;
    let (wanted, others) = if rudder {
        ([left, right], [up, down])
    } else {
        ([down, up], [left, right])
    };
    for (name, given) in others {
        if given.is_some() {
            check.refuse(
                &field.field(name),
                format!("`{name}` has no meaning for this function"),
                format!("use `{}` and `{}`", wanted[0].0, wanted[1].0),
            );
        }
    }
    let mut read = |(name, given): (&str, &Option<Given<LengthOrAngle>>)| match given {
        Some(given) => check.deflection(&field.field(name), given, flap_m, "90 deg"),
        None => {
            check.refuse(
                &field.field(name),
                format!("`{name}` is missing"),
                format!("measure it and add `{name}: \"15 deg\"`, or in mm at the trailing edge"),
            );
            0.0
        }
    };
    (read(wanted[0]), read(wanted[1]))
}

fn neutral(check: &mut Checker, field: &FieldPath, hinge: &HingeForm, flap_m: f64) -> f64 {
    let field = field.field("neutral");
    let Some(form) = &hinge.neutral else {
        return 0.0;
    };
    let (given, sign, upright) = match form {
        NeutralForm::Down(given) => (given, 1.0, false),
        NeutralForm::Up(given) => (given, -1.0, false),
        NeutralForm::Left(given) => (given, 1.0, true),
        NeutralForm::Right(given) => (given, -1.0, true),
    };
    if upright != (hinge.function == FunctionForm::Rudder) {
        check.refuse(
            &field,
            "this direction has no meaning for this function",
            "write Left or Right for a rudder, Up or Down for the others",
        );
    }
    sign * check.deflection(&field, given, flap_m, "45 deg")
}

/// Gains of a correctly set-up plane, see [`ControlMix`]. `port` is 1 on the
/// port half, -1 on the starboard half, 0 on the centre line. A starboard
/// V-tail half with its trailing edge down pushes the tail up and to port:
/// the nose goes down and to the right.
fn mix(
    check: &mut Checker,
    field: &FieldPath,
    hinge: &HingeForm,
    port: f64,
    first: bool,
) -> ControlMix {
    let field = field.field("mix");
    let form = hinge.mix.as_ref();
    let mut share = |name: &str, pick: fn(&MixForm) -> Option<&Given<Ratio>>| {
        let given = form.and_then(pick);
        if first {
            check.quantity_or(
                &field.field(name),
                given,
                "0 %",
                "100 %",
                "50 %",
                "common practice, no source: half the travel for each stick",
            )
        } else {
            // The other half of the pair: its mistakes are on record already.
            given
                .and_then(|g| g.value.as_ref().ok())
                .map_or(0.5, |r| r.fraction())
        }
    };
    let (uses, mix): (&[&str], ControlMix) = match hinge.function {
        FunctionForm::Rudder => (
            &[],
            ControlMix {
                yaw: -1.0,
                ..ControlMix::default()
            },
        ),
        FunctionForm::Elevator => (
            &[],
            ControlMix {
                pitch: -1.0,
                ..ControlMix::default()
            },
        ),
        FunctionForm::Aileron => (
            &[],
            ControlMix {
                roll: port,
                ..ControlMix::default()
            },
        ),
        FunctionForm::Elevon => (
            &["pitch", "roll"],
            ControlMix {
                pitch: -share("pitch", |m| m.pitch.as_ref()),
                roll: port * share("roll", |m| m.roll.as_ref()),
                yaw: 0.0,
            },
        ),
        FunctionForm::VTail => (
            &["pitch", "yaw"],
            ControlMix {
                pitch: -share("pitch", |m| m.pitch.as_ref()),
                yaw: -port * share("yaw", |m| m.yaw.as_ref()),
                roll: 0.0,
            },
        ),
    };
    if let Some(form) = form
        && first
    {
        for (name, given) in [
            ("pitch", &form.pitch),
            ("roll", &form.roll),
            ("yaw", &form.yaw),
        ] {
            if given.is_some() && !uses.contains(&name) {
                check.refuse(
                    &field.field(name),
                    format!("`{name}` has no share in this function"),
                    "an Elevon mixes pitch and roll, a VTail pitch and yaw, the others nothing",
                );
            }
        }
    }
    mix
}

fn servo(
    check: &mut Checker,
    field: &FieldPath,
    hinge: &HingeForm,
    slop_rad: f64,
    first: bool,
) -> Servo {
    let field = field.field("servo");
    let form = hinge.servo.as_ref();
    if !first {
        // The other half of a pair has the same servo; defaults and mistakes
        // are on record once.
        return servo_values(&mut Checker::silent(), &field, form, slop_rad);
    }
    servo_values(check, &field, form, slop_rad)
}

fn servo_values(
    check: &mut Checker,
    field: &FieldPath,
    form: Option<&super::form::ServoForm>,
    slop_rad: f64,
) -> Servo {
    let arm_rad_s = check.quantity_or::<SurfaceRate>(
        &field.field("speed"),
        form.and_then(|s| s.speed.as_ref()),
        "10 deg/s",
        "5000 deg/s",
        "0.20 s/60deg",
        "common practice, no source: small servo under load",
    );
    let ratio = check.quantity_or(
        &field.field("horn_ratio"),
        form.and_then(|s| s.horn_ratio.as_ref()),
        "5 %",
        "300 %",
        "50 %",
        "common practice, no source: the surface turns half as far as the servo arm",
    );
    Servo {
        speed_rad_s: arm_rad_s * ratio,
        dead_band: check.quantity_or(
            &field.field("dead_band"),
            form.and_then(|s| s.dead_band.as_ref()),
            "0 %",
            "50 %",
            "1 %",
            "common practice, no source: small analogue servo",
        ),
        slop_rad,
        reversed: false,
    }
}
