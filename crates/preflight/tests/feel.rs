//! What pilots are told of a plane, against closed forms of steady flight.

use std::path::Path;

use larkfield_files::airframe::{read_airframe, read_airframe_as_designed};
use larkfield_flight::{AirProperties, FlightModel};
use larkfield_pilot::Undercarriage;
use larkfield_preflight::plane_feel;

fn text(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../shared/airframes");
    std::fs::read_to_string(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn model(name: &str) -> FlightModel {
    let airframe = read_airframe(&text(name), name).unwrap_or_else(|e| panic!("{e}"));
    let air = AirProperties {
        density_kg_m3: 1.225,
        viscosity_pa_s: 1.79e-5,
    };
    FlightModel::new(&airframe, air).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn attitudes_slopes_and_throttles_stand_in_the_order_of_steady_flight() {
    for (name, undercarriage) in [
        ("marram.ron", Undercarriage::Skids),
        ("curlew.ron", Undercarriage::Wheels),
        ("sandpiper.ron", Undercarriage::Skids),
        ("ternwing.ron", Undercarriage::Skids),
    ] {
        let feel = plane_feel(&model(name), 0.75);
        assert_eq!(feel.undercarriage, undercarriage, "{name}");
        // Nose: lowest in the glide, highest just before the stall and in the climb.
        let nose = [
            feel.glide_pitch_rad,
            feel.approach_pitch_rad,
            feel.level_pitch_rad,
            feel.touch_pitch_rad,
        ];
        assert!(nose.is_sorted(), "{name}: {nose:?}");
        assert!(feel.climb_pitch_rad > feel.level_pitch_rad, "{name}");
        // Power lifts the path: none in the glide, some on the approach.
        let slopes = [0.0, feel.approach_slope_rad, feel.glide_slope_rad];
        assert!(slopes.is_sorted(), "{name}: {slopes:?}");
        assert!(
            0.0 < feel.approach_throttle
                && feel.approach_throttle < feel.level_throttle
                && feel.level_throttle < 0.75,
            "{name}"
        );
        // Glide ratio of small foam planes 5 to 9 (common practice, no source);
        // a windmilling propeller included, and a clean wing a little better.
        let ratio = 1.0 / feel.glide_slope_rad;
        assert!((4.5..10.0).contains(&ratio), "{name}: {ratio}");
        // Speeds were asked for at 1.6, 1.4 and 1.35 times one stall speed.
        let glide_m_s = feel.glide_speed_m_s / libm::cos(feel.glide_slope_rad);
        let ratio = feel.level_speed_m_s / glide_m_s;
        assert!((ratio - 1.6 / 1.4).abs() < 0.01, "{name}: {ratio}");
    }
}

#[test]
fn errors_of_one_example_are_no_part_of_what_the_pilot_expects() {
    let warped = text("marram-warped.ron");
    let built = read_airframe(&warped, "warped").unwrap_or_else(|e| panic!("{e}"));
    let meant = read_airframe_as_designed(&warped, "warped").unwrap_or_else(|e| panic!("{e}"));
    let good = read_airframe(&text("marram.ron"), "good").unwrap_or_else(|e| panic!("{e}"));
    assert_ne!(built.panels, good.panels);
    assert_eq!(meant.panels, good.panels);
}
