//! How a lesson's flight begins: `throw` or `ground_start`.

use larkfield_pilot::{GroundStart, Launch, PowerTiming, Throw, ThrowKind, ThrowerStyle};
use larkfield_units::{Angle, Length, Ratio, Speed, Time};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::given::Given;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ThrowForm {
    kind: ThrowKindForm,
    speed: Given<Speed>,
    path: Given<Angle>,
    pitch: Given<Angle>,
    bank: Option<Given<Angle>>,
    heading: Given<Angle>,
    release_height: Given<Length>,
    power: PowerTimingForm,
    throttle: Given<Ratio>,
    hand_back: Option<Given<Time>>,
    run_up: Option<Given<Speed>>,
    reach: Option<Given<Length>>,
    turn: Option<Given<Ratio>>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum ThrowKindForm {
    Overhand,
    Underhand,
    SideArm,
    Helper,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum PowerTimingForm {
    Suited,
    Before,
    After { delay: Given<Time> },
}

#[derive(Debug, Clone, Copy, Deserialize)]
pub(super) enum ThrowerForm {
    Exact,
    SteadyHelper,
    Solo,
    NervousBeginner,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GroundStartForm {
    north: Given<Length>,
    east: Given<Length>,
    heading: Given<Angle>,
    throttle: Given<Ratio>,
    opening: Option<Given<Time>>,
}

/// Whether a throw leaves the timing of the power to the plane.
pub(super) fn power_suits_plane(thrown: Option<&ThrowForm>) -> bool {
    thrown.is_some_and(|form| matches!(form.power, PowerTimingForm::Suited))
}

/// The launch and the style of whoever throws; nobody throws from the ground.
pub(super) fn launch(
    check: &mut Checker,
    thrown: Option<&ThrowForm>,
    thrower: Option<ThrowerForm>,
    ground: Option<&GroundStartForm>,
    in_the_air: bool,
) -> (Launch, ThrowerStyle) {
    let root = FieldPath::root();
    if in_the_air {
        if thrown.is_some() || thrower.is_some() || ground.is_some() {
            check.refuse(
                &root.field("air_start"),
                "the lesson has another start as well",
                "keep one of `throw` with `thrower`, `ground_start` and `air_start`",
            );
        }
        return (Launch::Throw(Throw::default()), ThrowerStyle::Exact);
    }
    let launch = match (thrown, ground) {
        (Some(form), None) => {
            if thrower.is_none() {
                check.refuse(
                    &root.field("thrower"),
                    "`thrower` is missing",
                    "say who throws: Exact, SteadyHelper, Solo or NervousBeginner",
                );
            }
            Launch::Throw(throw(check, &root.field("throw"), form))
        }
        (None, Some(form)) => {
            if thrower.is_some() {
                check.refuse(
                    &root.field("thrower"),
                    "nobody throws a plane that starts from the ground",
                    "leave this out",
                );
            }
            Launch::Ground(ground_start(check, &root.field("ground_start"), form))
        }
        (Some(_), Some(_)) => {
            check.refuse(
                &root.field("ground_start"),
                "the lesson has a throw as well",
                "keep `throw` or `ground_start`, not both",
            );
            Launch::Ground(GroundStart::default())
        }
        (None, None) => {
            check.refuse(
                &root,
                "the lesson does not say how the flight begins",
                "add `throw: (...)`, `ground_start: (...)` or `air_start: ...`",
            );
            Launch::Ground(GroundStart::default())
        }
    };
    let style = match thrower {
        Some(ThrowerForm::Exact) | None => ThrowerStyle::Exact,
        Some(ThrowerForm::SteadyHelper) => ThrowerStyle::SteadyHelper,
        Some(ThrowerForm::Solo) => ThrowerStyle::Solo,
        Some(ThrowerForm::NervousBeginner) => ThrowerStyle::NervousBeginner,
    };
    (launch, style)
}

fn ground_start(check: &mut Checker, group: &FieldPath, form: &GroundStartForm) -> GroundStart {
    let usual = GroundStart::default();
    GroundStart {
        north_m: check.quantity(&group.field("north"), &form.north, "-1000 m", "1000 m"),
        east_m: check.quantity(&group.field("east"), &form.east, "-1000 m", "1000 m"),
        heading_rad: check.quantity(
            &group.field("heading"),
            &form.heading,
            "-360 deg",
            "720 deg",
        ),
        throttle: check.quantity(&group.field("throttle"), &form.throttle, "0 %", "100 %"),
        opening_s: form.opening.as_ref().map_or(usual.opening_s, |given| {
            check.quantity(&group.field("opening"), given, "0 s", "10 s")
        }),
    }
}

fn throw(check: &mut Checker, group: &FieldPath, form: &ThrowForm) -> Throw {
    let kind = match form.kind {
        ThrowKindForm::Overhand => ThrowKind::Overhand,
        ThrowKindForm::Underhand => ThrowKind::Underhand,
        ThrowKindForm::SideArm => ThrowKind::SideArm,
        ThrowKindForm::Helper => ThrowKind::Helper,
    };
    let straight = matches!(kind, ThrowKind::Overhand | ThrowKind::Helper);
    if straight && form.turn.is_some() {
        check.refuse(
            &group.field("turn"),
            "a straight push does not turn the plane",
            "leave this out, or give `kind: SideArm` or `kind: Underhand`",
        );
    }
    Throw {
        kind,
        speed_m_s: check.quantity(&group.field("speed"), &form.speed, "0.5 m/s", "15 m/s"),
        path_rad: check.quantity(&group.field("path"), &form.path, "-45 deg", "60 deg"),
        pitch_rad: check.quantity(&group.field("pitch"), &form.pitch, "-60 deg", "80 deg"),
        bank_rad: check.quantity_or_zero(
            &group.field("bank"),
            form.bank.as_ref(),
            "-90 deg",
            "90 deg",
        ),
        heading_rad: check.quantity(
            &group.field("heading"),
            &form.heading,
            "-360 deg",
            "720 deg",
        ),
        release_height_m: check.quantity(
            &group.field("release_height"),
            &form.release_height,
            "0.3 m",
            "3 m",
        ),
        power: match &form.power {
            // Which it is comes out when the plane is known.
            PowerTimingForm::Suited | PowerTimingForm::Before => PowerTiming::Before,
            PowerTimingForm::After { delay } => PowerTiming::After {
                delay_s: check.quantity(&group.field("power").field("delay"), delay, "0 s", "5 s"),
            },
        },
        throttle: check.quantity(&group.field("throttle"), &form.throttle, "0 %", "100 %"),
        hand_back_s: check.quantity_or_zero(
            &group.field("hand_back"),
            form.hand_back.as_ref(),
            "0 s",
            "3 s",
        ),
        run_up_m_s: check.quantity_or_zero(
            &group.field("run_up"),
            form.run_up.as_ref(),
            "0 m/s",
            "4 m/s",
        ),
        reach_m: form.reach.as_ref().map_or(kind.usual_reach_m(), |given| {
            check.quantity(&group.field("reach"), given, "0.3 m", "1.4 m")
        }),
        turn: form.turn.as_ref().map_or(kind.usual_turn(), |given| {
            check.quantity(&group.field("turn"), given, "0 %", "100 %")
        }),
    }
}
