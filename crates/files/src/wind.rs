//! Wind files: what the air does over the time of a flight.
//!
//! A file says where the wind comes *from*, as a weather report does; the model
//! wants to know where it goes, so the sign flips here.

use std::path::Path;

use glam::DVec3;
use larkfield_lesson::Field;
use larkfield_units::{Angle, Length, Ratio, Speed, Time};
use larkfield_weather::{
    Feature, Gust, GustExtent, Thermal, TurbulenceScript, Wind, WindPoint, WindScript,
};
use serde::Deserialize;

use crate::check::{Checker, FieldPath};
use crate::fault::FileErrors;
use crate::given::Given;
use crate::reading::{load_text, read_ron};

/// Lowest stated height over the roughness length, as the weather model has it.
const LEAST_STATED_ROUGHNESSES: f64 = 4.0;

/// Version of the format that this program reads.
pub const SCHEMA: u32 = 1;

/// A wind script as its file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct WindFile {
    /// Name.
    pub name: String,
    /// In words, for reports.
    pub description: String,
    /// The script; without a roughness length where the field's counts.
    script: WindScript,
    same_at_every_height: bool,
}

impl WindFile {
    /// The script over ground of a roughness length, which counts unless the
    /// file brings its own or asks for the same wind at every height.
    #[must_use]
    pub fn over_ground(&self, roughness_length_m: f64) -> WindScript {
        let mut script = self.script.clone();
        if !self.same_at_every_height && script.roughness_m.is_none() {
            script.roughness_m = Some(roughness_length_m);
        }
        script
    }

    /// The script over a field: its ground and its trees.
    #[must_use]
    pub fn over_field(&self, field: &Field) -> WindScript {
        let mut script = self.over_ground(field.roughness_length_m);
        script.tree_lines.clone_from(&field.tree_lines);
        script
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct WindForm {
    #[serde(rename = "schema")]
    _schema: u32,
    name: String,
    #[serde(default)]
    description: String,
    mean: Vec<PointForm>,
    stated_height: Option<Given<Length>>,
    gradient: Option<GradientForm>,
    #[serde(default)]
    gusts: Vec<GustForm>,
    #[serde(default)]
    thermals: Vec<ThermalForm>,
    turbulence: Option<TurbulenceForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PointForm {
    time: Given<Time>,
    speed: Given<Speed>,
    from: Given<Angle>,
}

#[derive(Debug, Deserialize)]
enum GradientForm {
    OverField,
    Roughness(Given<Length>),
    SameAtEveryHeight,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct GustForm {
    time: Given<Time>,
    duration: Option<Given<Time>>,
    length: Option<Given<Length>>,
    speed: Option<Given<Speed>>,
    from: Option<Given<Angle>>,
    up: Option<Given<Speed>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ThermalForm {
    time: Given<Time>,
    north: Given<Length>,
    east: Given<Length>,
    core_radius: Given<Length>,
    up: Given<Speed>,
    depth: Option<Given<Length>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct TurbulenceForm {
    intensity: Given<Ratio>,
    #[serde(default)]
    seed: u64,
}

/// Reads a wind from a file.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn load_wind(path: &Path) -> Result<WindFile, FileErrors> {
    read_wind(&load_text(path)?, &path.display().to_string())
}

/// Reads a wind from text; `file_name` is for messages only.
///
/// # Errors
/// Every mistake found, see [`FileErrors`].
pub fn read_wind(text: &str, file_name: &str) -> Result<WindFile, FileErrors> {
    let (form, locator) = read_ron::<WindForm>(text, file_name, SCHEMA)?;
    let mut check = Checker::new(file_name, locator);
    let root = FieldPath::root();
    check.name(&root.field("name"), &form.name);

    let points = points(&mut check, &root.field("mean"), &form.mean);
    let stated_height_m = form.stated_height.as_ref().map_or(2.0, |given| {
        check.quantity(&root.field("stated_height"), given, "0.5 m", "100 m")
    });
    let roughness_m = match &form.gradient {
        Some(GradientForm::Roughness(given)) => {
            let field = root.field("gradient").member(0);
            let roughness_m = check.quantity(&field, given, "0.01 mm", "0.4 m");
            if stated_height_m < LEAST_STATED_ROUGHNESSES * roughness_m {
                check.refuse(
                    &field,
                    format!(
                        "the wind is stated at {stated_height_m} m, too near such rough ground"
                    ),
                    format!(
                        "state the wind at {} m or higher, or give a shorter roughness length",
                        LEAST_STATED_ROUGHNESSES * roughness_m
                    ),
                );
            }
            Some(roughness_m)
        }
        Some(GradientForm::OverField | GradientForm::SameAtEveryHeight) | None => None,
    };
    // Gusts first, so that the model's own refusals count them as the file does.
    let mut features = gusts(&mut check, &root.field("gusts"), &form.gusts);
    features.extend(thermals(
        &mut check,
        &root.field("thermals"),
        &form.thermals,
    ));
    let turbulence = form.turbulence.as_ref().map(|given| TurbulenceScript {
        intensity: check.quantity(
            &root.field("turbulence").field("intensity"),
            &given.intensity,
            "0 %",
            "500 %",
        ),
        seed: given.seed,
    });
    let script = WindScript {
        points,
        stated_height_m,
        roughness_m,
        features,
        tree_lines: Vec::new(),
        turbulence,
    };
    if check.mistakes() == 0
        && let Err(error) = Wind::new(&script, 0)
    {
        check.refuse(&root, error.to_string(), "change the wind accordingly");
    }
    let wind = WindFile {
        description: if form.description.is_empty() {
            form.name.clone()
        } else {
            form.description
        },
        name: form.name,
        script,
        same_at_every_height: matches!(form.gradient, Some(GradientForm::SameAtEveryHeight)),
    };
    check.finish(Some(wind)).map(|(wind, _)| wind)
}

fn points(check: &mut Checker, list: &FieldPath, forms: &[PointForm]) -> Vec<WindPoint> {
    if !check.count(list, forms.len(), 1, 1000, "points") {
        return Vec::new();
    }
    let mut points: Vec<WindPoint> = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let field = list.item(index);
        let point = WindPoint {
            time_s: check.quantity(&field.field("time"), &form.time, "0 s", "3600 s"),
            speed_m_s: check.quantity(&field.field("speed"), &form.speed, "0 m/s", "30 m/s"),
            from_rad: check.quantity(&field.field("from"), &form.from, "-360 deg", "360 deg"),
        };
        if points
            .last()
            .is_some_and(|last| last.time_s >= point.time_s)
        {
            check.refuse(
                &field.field("time"),
                "this point is not later than the one before it",
                "put the points in order of time, each time once",
            );
        }
        points.push(point);
    }
    points
}

fn gusts(check: &mut Checker, list: &FieldPath, forms: &[GustForm]) -> Vec<Feature> {
    if !check.count(list, forms.len(), 0, 1000, "gusts") {
        return Vec::new();
    }
    let mut features = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let field = list.item(index);
        let start_time_s = check.quantity(&field.field("time"), &form.time, "0 s", "3600 s");
        let speed_m_s = form.speed.as_ref().map_or(0.0, |given| {
            check.quantity(&field.field("speed"), given, "0 m/s", "30 m/s")
        });
        let from_rad = check.quantity_or_zero::<Angle>(
            &field.field("from"),
            form.from.as_ref(),
            "-360 deg",
            "360 deg",
        );
        if form.speed.is_some() != form.from.is_some() {
            check.refuse(
                &field,
                "a gust along the ground needs both its speed and where it comes from",
                "give both `speed` and `from`, or neither",
            );
        }
        let up_m_s = check.quantity_or_zero::<Speed>(
            &field.field("up"),
            form.up.as_ref(),
            "-20 m/s",
            "20 m/s",
        );
        let extent = match (&form.duration, &form.length) {
            (Some(given), None) => GustExtent::DurationS(check.quantity(
                &field.field("duration"),
                given,
                "0.05 s",
                "600 s",
            )),
            (None, Some(given)) => GustExtent::LengthM(check.quantity(
                &field.field("length"),
                given,
                "0.1 m",
                "5000 m",
            )),
            _ => {
                check.refuse(
                    &field,
                    "it is not clear how long this gust is",
                    "give either `duration` (as in \"3 s\") or `length` (as in \"10 m\")",
                );
                GustExtent::DurationS(1.0)
            }
        };
        let (sine, cosine) = libm::sincos(from_rad);
        features.push(Feature::Gust(Gust {
            start_time_s,
            amplitude_m_s: DVec3::new(-speed_m_s * cosine, -speed_m_s * sine, -up_m_s),
            extent,
        }));
    }
    features
}

fn thermals(check: &mut Checker, list: &FieldPath, forms: &[ThermalForm]) -> Vec<Feature> {
    if !check.count(list, forms.len(), 0, 100, "thermals") {
        return Vec::new();
    }
    let mut features = Vec::new();
    for (index, form) in forms.iter().enumerate() {
        let field = list.item(index);
        let place = |check: &mut Checker, name: &str, given: &Given<Length>| {
            check.quantity(&field.field(name), given, "-10000 m", "10000 m")
        };
        features.push(Feature::Thermal(Thermal {
            start_time_s: check.quantity(&field.field("time"), &form.time, "-3600 s", "3600 s"),
            north_m: place(check, "north", &form.north),
            east_m: place(check, "east", &form.east),
            core_radius_m: check.quantity(
                &field.field("core_radius"),
                &form.core_radius,
                "2 m",
                "200 m",
            ),
            up_m_s: check.quantity(&field.field("up"), &form.up, "0.1 m/s", "10 m/s"),
            depth_m: form
                .depth
                .as_ref()
                .map(|given| check.quantity(&field.field("depth"), given, "4 m", "1000 m")),
        }));
    }
    features
}
