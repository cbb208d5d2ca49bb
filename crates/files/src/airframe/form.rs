//! What a builder writes. Units, defaults and ranges: the format page in
//! `shared/airframe-format.md`, whose examples are parsed by a test.

use larkfield_units::{
    Angle, ArealDensity, Charge, Current, DischargeRate, Force, Impulse, Length, Mass,
    MomentOfInertia, Ratio, Resistance, SpeedConstant, SurfaceRate, Time, Voltage,
};
use serde::Deserialize;

use crate::given::{Given, LengthOrAngle, LengthOrShare};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AirframeForm {
    #[serde(rename = "schema")]
    pub _schema: u32,
    pub name: String,
    #[serde(default)]
    pub build_note: String,
    pub sheets: Vec<SheetForm>,
    pub panels: Vec<PanelForm>,
    pub wing_seat: Option<WingSeatForm>,
    #[serde(default)]
    pub bodies: Vec<BodyForm>,
    pub components: Vec<ComponentForm>,
    pub power: Option<PowerForm>,
    pub grip: Option<PlaceForm>,
    pub contacts: Option<Vec<ContactForm>>,
    pub break_limits: Option<Vec<BreakForm>>,
    pub measured: Option<MeasuredForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SheetForm {
    pub name: String,
    pub thickness: Given<Length>,
    pub areal_density: Given<ArealDensity>,
    #[serde(default)]
    pub material: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum KindForm {
    Wing,
    Tailplane,
    Fin,
    EndPlate,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum SidesForm {
    Both,
    Left,
    Right,
    Centre,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PanelForm {
    pub name: String,
    pub kind: KindForm,
    pub sides: Option<SidesForm>,
    pub root: Option<RootForm>,
    pub joins: Option<String>,
    pub shape: ShapeForm,
    pub dihedral: Option<Given<Angle>>,
    pub incidence: Option<Given<Angle>>,
    pub twist: Option<Given<Angle>>,
    pub sheet: Option<String>,
    pub section: Option<SectionForm>,
    #[serde(default)]
    pub hinges: Vec<HingeForm>,
    pub as_built: Option<AsBuiltForm>,
    pub colours: Option<ColoursForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RootForm {
    pub aft: Given<Length>,
    pub out: Option<Given<Length>>,
    pub up: Given<Length>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(clippy::large_enum_variant)] // a few dozen of them, read once
pub(super) enum ShapeForm {
    Straight {
        span: Given<Length>,
        chord: Given<Length>,
        tip_chord: Option<Given<Length>>,
        taper: Option<Given<Ratio>>,
        sweep: Option<Given<Angle>>,
        tip_aft: Option<Given<Length>>,
    },
    Outline(Vec<(Given<Length>, Given<Length>)>),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum SectionForm {
    FoamSheet {
        edges: Option<EdgesForm>,
        fold: Option<FoldForm>,
    },
    ThinIdeal,
    Polar(Vec<PolarRowForm>),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum EdgesForm {
    Rounded,
    Square,
    Folded,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FoldForm {
    pub at: Given<LengthOrShare>,
    pub angle: Given<Angle>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PolarRowForm {
    pub reynolds: f64,
    pub alpha: Given<Angle>,
    pub lift: f64,
    pub drag: f64,
    pub moment: f64,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AsBuiltForm {
    pub warp_left: Option<Given<Angle>>,
    pub warp_right: Option<Given<Angle>>,
    pub warp: Option<Given<Angle>>,
    pub incidence_error: Option<Given<Angle>>,
    pub skew: Option<Given<Angle>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColoursForm {
    pub top: String,
    pub bottom: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WingSeatForm {
    pub yaw: Option<Given<Angle>>,
    pub roll: Option<Given<Angle>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum FunctionForm {
    Rudder,
    Elevator,
    Aileron,
    Elevon,
    VTail,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum GapForm {
    Sealed,
    Open(Given<Length>),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) enum NeutralForm {
    Up(Given<LengthOrAngle>),
    Down(Given<LengthOrAngle>),
    Left(Given<LengthOrAngle>),
    Right(Given<LengthOrAngle>),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HingeForm {
    pub name: String,
    pub function: FunctionForm,
    pub from: Option<Given<LengthOrShare>>,
    pub to: Option<Given<LengthOrShare>>,
    pub chord: Given<LengthOrShare>,
    pub chord_outer: Option<Given<LengthOrShare>>,
    pub gap: Option<GapForm>,
    pub travel_up: Option<Given<LengthOrAngle>>,
    pub travel_down: Option<Given<LengthOrAngle>>,
    pub travel_left: Option<Given<LengthOrAngle>>,
    pub travel_right: Option<Given<LengthOrAngle>>,
    pub neutral: Option<NeutralForm>,
    pub mix: Option<MixForm>,
    pub servo: Option<ServoForm>,
    pub slop: Option<Given<LengthOrAngle>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MixForm {
    pub pitch: Option<Given<Ratio>>,
    pub roll: Option<Given<Ratio>>,
    pub yaw: Option<Given<Ratio>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum ReversedForm {
    No,
    Both,
    Left,
    Right,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ServoForm {
    pub speed: Option<Given<SurfaceRate>>,
    pub horn_ratio: Option<Given<Ratio>>,
    pub dead_band: Option<Given<Ratio>>,
    pub reversed: Option<ReversedForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BodyForm {
    pub name: String,
    pub sheet: String,
    pub right: Option<Given<Length>>,
    pub stations: Vec<BodyStationForm>,
    pub colour: Option<String>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BodyStationForm {
    pub aft: Given<Length>,
    pub up: Given<Length>,
    pub width: Given<Length>,
    pub height: Given<Length>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum ComponentKindForm {
    Motor,
    Propeller,
    Controller,
    Battery,
    Receiver,
    Servo,
    Gear,
    GlueAndTape,
    Ballast,
    Other,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ComponentForm {
    pub name: String,
    pub kind: ComponentKindForm,
    pub mass: Given<Mass>,
    pub aft: Given<Length>,
    pub right: Option<Given<Length>>,
    pub up: Given<Length>,
    pub size: Option<SizeForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SizeForm {
    pub length: Given<Length>,
    pub width: Given<Length>,
    pub height: Given<Length>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlaceForm {
    pub aft: Given<Length>,
    pub right: Option<Given<Length>>,
    pub up: Given<Length>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PowerForm {
    pub motor: MotorForm,
    pub propeller: PropellerForm,
    pub battery: BatteryForm,
    pub controller: Option<ControllerForm>,
    pub hub: PlaceForm,
    pub downthrust: Option<Given<Angle>>,
    pub right_thrust: Option<Given<Angle>>,
    #[serde(default)]
    pub pusher: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MotorForm {
    pub speed_constant: Given<SpeedConstant>,
    pub resistance: Option<Given<Resistance>>,
    pub no_load_current: Option<Given<Current>>,
    pub current_limit: Option<Given<Current>>,
    pub rotor_inertia: Option<Given<MomentOfInertia>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum RotationForm {
    Clockwise,
    Anticlockwise,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PropellerForm {
    pub diameter: Given<Length>,
    pub pitch: Given<Length>,
    pub blades: Option<u32>,
    #[serde(default)]
    pub geometry: Vec<BladeStationForm>,
    pub brake: Option<bool>,
    pub rotation: Option<RotationForm>,
    #[serde(default)]
    pub mounted_backward: bool,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BladeStationForm {
    pub radius: Given<LengthOrShare>,
    pub chord: Given<LengthOrShare>,
    pub twist: Given<Angle>,
    pub zero_lift: Option<Given<Angle>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BatteryForm {
    pub cells: u32,
    pub capacity: Given<Charge>,
    pub cell_resistance: Option<Given<Resistance>>,
    pub current_limit: Option<Given<Current>>,
    pub discharge_rate: Option<Given<DischargeRate>>,
    pub charge: Option<Given<Ratio>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ControllerForm {
    pub current_limit: Option<Given<Current>>,
    pub response: Option<Given<Time>>,
    pub cutoff_cell: Option<Given<Voltage>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum ContactKindForm {
    Wheel,
    Skid,
    HardPoint,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
pub(super) enum PartForm {
    Propeller,
    Nose,
    WingLeft,
    WingRight,
    Tail,
    Gear,
    Belly,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ContactForm {
    pub name: String,
    pub kind: ContactKindForm,
    pub part: PartForm,
    pub aft: Given<Length>,
    pub right: Option<Given<Length>>,
    pub up: Given<Length>,
    pub radius: Option<Given<Length>>,
    pub friction: Option<Given<Ratio>>,
    pub rolling_friction: Option<Given<Ratio>>,
    pub friction_along: Option<Given<Ratio>>,
    pub steering: Option<Given<Angle>>,
    pub leg: Option<LegForm>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LegForm {
    pub load: Option<Given<Force>>,
    pub gives: Option<Given<Length>>,
    pub damping: Option<Given<Ratio>>,
    pub travel: Option<Given<Length>>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BreakForm {
    pub part: PartForm,
    pub impulse: Given<Impulse>,
    #[serde(default)]
    pub reason: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MeasuredForm {
    pub mass: Option<Given<Mass>>,
    pub balance_aft: Option<Given<Length>>,
    pub balance_right: Option<Given<Length>>,
    pub static_thrust: Option<Given<Force>>,
    pub static_current: Option<Given<Current>>,
}
