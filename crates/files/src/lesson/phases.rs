//! Phases: what each asks for and what it is marked on.

use larkfield_lesson::{Goal, Phase, TouchArea};
use larkfield_pilot::LandingTechnique;
use larkfield_units::{Angle, Length, Time};
use serde::Deserialize;

use super::marks::{self, MarkForm};
use crate::check::{Checker, FieldPath};
use crate::given::Given;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PhaseForm {
    name: String,
    goal: GoalForm,
    #[serde(default)]
    marks: Vec<MarkForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
enum GoalForm {
    FlyAway {
        r#for: Given<Time>,
    },
    LiftOff,
    ClimbTo {
        height: Given<Length>,
    },
    LevelOff {
        r#for: Given<Time>,
        band: Given<Length>,
    },
    TrimOut {
        r#for: Given<Time>,
        band: Given<Length>,
    },
    FigureEight {
        band: Given<Length>,
    },
    Stall {
        bank: Given<Angle>,
        lost: Given<Length>,
    },
    Downwind,
    Base,
    Final {
        to: Given<Length>,
    },
    GoRound {
        below: Given<Length>,
        climb_to: Given<Length>,
    },
    GlideDown {
        to: Given<Length>,
    },
    Touch {
        #[serde(default)]
        area: AreaForm,
        #[serde(default)]
        technique: TechniqueForm,
    },
    RollOut,
    Disarm {
        within: Given<Time>,
    },
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
enum AreaForm {
    #[default]
    Box,
    Field,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
enum TechniqueForm {
    #[default]
    Usual,
    StallLimit,
}

pub(super) fn phases(check: &mut Checker, list: &FieldPath, forms: &[PhaseForm]) -> Vec<Phase> {
    if !check.count(list, forms.len(), 1, 50, "phases") {
        return Vec::new();
    }
    let mut phases = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        check.name(&group.field("name"), &form.name);
        phases.push(Phase {
            name: form.name.clone(),
            goal: goal(check, &group.field("goal"), &form.goal),
            marks: marks::marks(check, &group.field("marks"), &form.marks),
        });
    }
    phases
}

fn goal(check: &mut Checker, group: &FieldPath, form: &GoalForm) -> Goal {
    let mut length = |name: &str, given: &Given<Length>, least: &str, most: &str| {
        check.quantity(&group.field(name), given, least, most)
    };
    match form {
        GoalForm::ClimbTo { height } => Goal::ClimbTo {
            height_m: length("height", height, "3 m", "120 m"),
        },
        GoalForm::FigureEight { band } => Goal::FigureEight {
            band_m: length("band", band, "1 m", "50 m"),
        },
        GoalForm::Stall { bank, lost } => Goal::Stall {
            lost_m: length("lost", lost, "1 m", "50 m"),
            bank_rad: check.quantity(&group.field("bank"), bank, "0 deg", "45 deg"),
        },
        GoalForm::Final { to } => Goal::Final {
            to_m: length("to", to, "0.5 m", "20 m"),
        },
        GoalForm::GoRound { below, climb_to } => Goal::GoRound {
            below_m: length("below", below, "1 m", "50 m"),
            climb_to_m: length("climb_to", climb_to, "3 m", "120 m"),
        },
        GoalForm::GlideDown { to } => Goal::GlideDown {
            to_m: length("to", to, "0.5 m", "20 m"),
        },
        GoalForm::FlyAway { r#for } => Goal::FlyAway {
            for_s: check.quantity(&group.field("for"), r#for, "0.1 s", "60 s"),
        },
        GoalForm::LevelOff { r#for, band } => Goal::LevelOff {
            for_s: check.quantity(&group.field("for"), r#for, "0.5 s", "60 s"),
            band_m: check.quantity(&group.field("band"), band, "0.5 m", "50 m"),
        },
        GoalForm::TrimOut { r#for, band } => Goal::TrimOut {
            for_s: check.quantity(&group.field("for"), r#for, "0.5 s", "60 s"),
            band_m: check.quantity(&group.field("band"), band, "0.5 m", "50 m"),
        },
        GoalForm::Disarm { within } => Goal::Disarm {
            within_s: check.quantity(&group.field("within"), within, "1 s", "60 s"),
        },
        GoalForm::Touch { area, technique } => Goal::Touch {
            area: match area {
                AreaForm::Box => TouchArea::Box,
                AreaForm::Field => TouchArea::Field,
            },
            technique: match technique {
                TechniqueForm::Usual => LandingTechnique::Usual,
                TechniqueForm::StallLimit => LandingTechnique::StallLimit,
            },
        },
        GoalForm::LiftOff => Goal::LiftOff,
        GoalForm::Downwind => Goal::Downwind,
        GoalForm::Base => Goal::Base,
        GoalForm::RollOut => Goal::RollOut,
    }
}
