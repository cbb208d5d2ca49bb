//! Field files: the place, its line and its people.

use std::path::Path;

use larkfield_lesson::{
    Fence, Field, FlyingSide, Ground, GroundKind, PersonBody, Problem, SafetyLine, Strip, Sun,
};
use larkfield_recording::Person;
use larkfield_units::{Angle, Length, Ratio, Temperature};
use larkfield_weather::TreeLine;
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::given::Given;
use crate::reading::{load_text, read_ron};

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FieldForm {
    #[serde(rename = "schema")]
    _schema: u32,
    name: String,
    elevation: Given<Length>,
    temperature: Given<Temperature>,
    roughness_length: Given<Length>,
    ground: GroundForm,
    strip: StripForm,
    safety_line: LineForm,
    people: Vec<PersonForm>,
    #[serde(default)]
    tree_lines: Vec<TreeLineForm>,
    #[serde(default)]
    fences: Vec<FenceForm>,
    sun: Option<SunForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct GroundForm {
    kind: GroundKindForm,
    friction: Option<Given<Ratio>>,
    rolling_friction: Option<Given<Ratio>>,
    grass_height: Option<Given<Length>>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum GroundKindForm {
    MownGrass,
    LongGrass,
    Hard,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct StripForm {
    north: Given<Length>,
    east: Given<Length>,
    heading: Given<Angle>,
    length: Given<Length>,
    width: Given<Length>,
    ground: Option<GroundForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LineForm {
    north: Given<Length>,
    east: Given<Length>,
    direction: Given<Angle>,
    flying_side: SideForm,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum SideForm {
    Left,
    Right,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PersonForm {
    person: WhoForm,
    north: Given<Length>,
    east: Given<Length>,
    radius: Option<Given<Length>>,
    height: Option<Given<Length>>,
}

#[derive(Debug, Clone, Copy, Deserialize)]
enum WhoForm {
    Thrower,
    Pilot,
    Helper,
    Bystander,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TreeLineForm {
    north: Given<Length>,
    east: Given<Length>,
    direction: Given<Angle>,
    length: Given<Length>,
    height: Given<Length>,
    porosity: Option<Given<Ratio>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FenceForm {
    north: Given<Length>,
    east: Given<Length>,
    direction: Given<Angle>,
    length: Given<Length>,
    height: Option<Given<Length>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SunForm {
    azimuth: Given<Angle>,
    elevation: Given<Angle>,
}

/// A fence of which nothing is said: to the hip (common practice, no source).
const USUAL_FENCE_M: f64 = 1.1;

/// Trees in leaf of which nothing is said: common practice, no source.
const USUAL_POROSITY: f64 = 0.4;

/// Reads a field from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_field(path: &Path) -> Result<Field, FileErrors> {
    read_field(&load_text(path)?, &path.display().to_string())
}

/// Reads a field from text; `file_name` is for messages only.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_field(text: &str, file_name: &str) -> Result<Field, FileErrors> {
    let (form, locator) = read_ron::<FieldForm>(text, file_name, SCHEMA)?;
    let mut check = Checker::new(file_name, locator);
    let root = FieldPath::root();
    check.name(&root.field("name"), &form.name);
    let field = Field {
        name: form.name.clone(),
        elevation_m: check.quantity(
            &root.field("elevation"),
            &form.elevation,
            "-430 m",
            "5000 m",
        ),
        temperature_k: check.quantity(
            &root.field("temperature"),
            &form.temperature,
            "-50 C",
            "60 C",
        ),
        roughness_length_m: check.quantity(
            &root.field("roughness_length"),
            &form.roughness_length,
            "0.01 mm",
            "1 m",
        ),
        ground: ground(&mut check, &root.field("ground"), &form.ground),
        strip: strip(&mut check, &root.field("strip"), &form.strip),
        safety_line: line(&mut check, &root.field("safety_line"), &form.safety_line),
        people: people(&mut check, &root.field("people"), &form.people),
        tree_lines: tree_lines(&mut check, &root.field("tree_lines"), &form.tree_lines),
        fences: fences(&mut check, &root.field("fences"), &form.fences),
        sun: form.sun.as_ref().map_or(Sun::AFTERNOON, |form| {
            let group = root.field("sun");
            sun(&mut check, &group, form)
        }),
    };
    // What the model itself finds, unless the numbers are wrong already.
    let field = if check.mistakes() == 0 {
        match field.checked() {
            Ok(field) => Some(field),
            Err(problems) => {
                refuse_all(&mut check, &problems);
                None
            }
        }
    } else {
        None
    };
    check.finish(field).map(|(field, _)| field)
}

/// Puts problems of a model at their places in the file.
pub(crate) fn refuse_all(check: &mut Checker, problems: &[Problem]) {
    for problem in problems {
        check.refuse(
            &FieldPath::written(&problem.field),
            problem.problem.as_str(),
            problem.remedy.as_str(),
        );
    }
}

fn ground(check: &mut Checker, group: &FieldPath, form: &GroundForm) -> Ground {
    let usual = Ground::usual(match form.kind {
        GroundKindForm::MownGrass => GroundKind::MownGrass,
        GroundKindForm::LongGrass => GroundKind::LongGrass,
        GroundKindForm::Hard => GroundKind::Hard,
    });
    let friction = form.friction.as_ref().map_or(usual.friction, |given| {
        check.quantity(&group.field("friction"), given, "0", "2")
    });
    let rolling_friction = form
        .rolling_friction
        .as_ref()
        .map_or(usual.rolling_friction, |given| {
            check.quantity(&group.field("rolling_friction"), given, "0", "1")
        });
    let grass_height_m = form
        .grass_height
        .as_ref()
        .map_or(usual.grass_height_m, |given| {
            check.quantity(&group.field("grass_height"), given, "0 m", "1 m")
        });
    Ground {
        friction,
        rolling_friction,
        grass_height_m,
        ..usual
    }
}

fn place(
    check: &mut Checker,
    group: &FieldPath,
    north: &Given<Length>,
    east: &Given<Length>,
) -> (f64, f64) {
    let (least, most) = ("-10000 m", "10000 m");
    (
        check.quantity(&group.field("north"), north, least, most),
        check.quantity(&group.field("east"), east, least, most),
    )
}

fn strip(check: &mut Checker, group: &FieldPath, form: &StripForm) -> Strip {
    let (north_m, east_m) = place(check, group, &form.north, &form.east);
    Strip {
        north_m,
        east_m,
        heading_rad: check.quantity(
            &group.field("heading"),
            &form.heading,
            "-360 deg",
            "360 deg",
        ),
        length_m: check.quantity(&group.field("length"), &form.length, "1 m", "5000 m"),
        width_m: check.quantity(&group.field("width"), &form.width, "1 m", "500 m"),
        ground: form
            .ground
            .as_ref()
            .map(|form| ground(check, &group.field("ground"), form)),
    }
}

fn line(check: &mut Checker, group: &FieldPath, form: &LineForm) -> SafetyLine {
    let (north_m, east_m) = place(check, group, &form.north, &form.east);
    SafetyLine {
        north_m,
        east_m,
        direction_rad: direction(check, group, &form.direction),
        flying_side: match form.flying_side {
            SideForm::Left => FlyingSide::Left,
            SideForm::Right => FlyingSide::Right,
        },
    }
}

fn people(check: &mut Checker, list: &FieldPath, forms: &[PersonForm]) -> Vec<PersonBody> {
    if !check.count(list, forms.len(), 0, 100, "people") {
        return Vec::new();
    }
    let mut people = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        let (north_m, east_m) = place(check, &group, &form.north, &form.east);
        let person = match form.person {
            WhoForm::Thrower => Person::Thrower,
            WhoForm::Pilot => Person::Pilot,
            WhoForm::Helper => Person::Helper,
            WhoForm::Bystander => Person::Bystander,
        };
        let mut body = PersonBody::adult(person, north_m, east_m);
        if let Some(given) = &form.radius {
            body.radius_m = check.quantity(&group.field("radius"), given, "0.1 m", "1 m");
        }
        if let Some(given) = &form.height {
            body.height_m = check.quantity(&group.field("height"), given, "0.5 m", "2.5 m");
        }
        people.push(body);
    }
    people
}

/// In which a line or a row runs.
fn direction(check: &mut Checker, group: &FieldPath, given: &Given<Angle>) -> f64 {
    check.quantity(&group.field("direction"), given, "-360 deg", "360 deg")
}

fn tree_lines(check: &mut Checker, list: &FieldPath, forms: &[TreeLineForm]) -> Vec<TreeLine> {
    if !check.count(list, forms.len(), 0, 20, "tree lines") {
        return Vec::new();
    }
    let mut lines = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        let (north_m, east_m) = place(check, &group, &form.north, &form.east);
        lines.push(TreeLine {
            north_m,
            east_m,
            direction_rad: direction(check, &group, &form.direction),
            length_m: check.quantity(&group.field("length"), &form.length, "2 m", "5000 m"),
            height_m: check.quantity(&group.field("height"), &form.height, "1 m", "40 m"),
            porosity: form.porosity.as_ref().map_or(USUAL_POROSITY, |given| {
                check.quantity(&group.field("porosity"), given, "0 %", "95 %")
            }),
        });
    }
    lines
}

fn sun(check: &mut Checker, group: &FieldPath, form: &SunForm) -> Sun {
    let (azimuth, elevation) = (group.field("azimuth"), group.field("elevation"));
    Sun {
        azimuth_rad: check.quantity(&azimuth, &form.azimuth, "-360 deg", "360 deg"),
        elevation_rad: check.quantity(&elevation, &form.elevation, "5 deg", "90 deg"),
    }
}

fn fences(check: &mut Checker, list: &FieldPath, forms: &[FenceForm]) -> Vec<Fence> {
    if !check.count(list, forms.len(), 0, 20, "fences") {
        return Vec::new();
    }
    let mut fences = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let group = list.item(index);
        let (north_m, east_m) = place(check, &group, &form.north, &form.east);
        fences.push(Fence {
            north_m,
            east_m,
            direction_rad: direction(check, &group, &form.direction),
            length_m: check.quantity(&group.field("length"), &form.length, "1 m", "2000 m"),
            height_m: form.height.as_ref().map_or(USUAL_FENCE_M, |given| {
                check.quantity(&group.field("height"), given, "0.3 m", "3 m")
            }),
        });
    }
    fences
}
