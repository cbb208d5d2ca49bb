//! The mean wind against height.

use larkfield_proof::{Chapter, Checks};
use larkfield_weather::MeanProfile;

/// Reference: ln(z/z0) / ln(z_s/z0), worked by hand for two roughness lengths of
/// the European Wind Atlas (0.03 m open grass, 0.01 m mown; from memory).
#[test]
fn logarithmic_law() {
    let mut checks = Checks::new(
        Chapter::Turbulence,
        "Wind by height",
        "ln(z/z0) over ln(z_s/z0), worked by hand for roughness lengths of the European Wind Atlas (0.03 m open grass, 0.01 m mown; from memory)",
    );
    // (z0, stated at, height, expected)
    let cases = [
        (0.03, 10.0, 2.0, 0.7229),
        (0.01, 10.0, 2.0, 0.7670),
        (0.03, 10.0, 0.5, 0.4843),
        (0.01, 10.0, 0.5, 0.5663),
        (0.03, 2.0, 10.0, 1.3832),
    ];
    for (roughness_m, stated_m, height_m, expected) in cases {
        let profile = MeanProfile::new(Some(roughness_m), stated_m).expect("in range");
        let what = format!("z0 {roughness_m} m, {height_m} m over {stated_m} m");
        checks.near(&what, profile.factor(height_m), expected, 1e-4);
        checks.near(&what, profile.factor(stated_m), 1.0, 1e-12);
        for height_m in [0.07_f64, 0.3, 5.0, 40.0, 200.0] {
            let law = (height_m / roughness_m).ln() / (stated_m / roughness_m).ln();
            checks.near(&what, profile.factor(height_m), law, 1e-12);
        }
    }
    checks.finish();
}

#[test]
fn still_below_the_roughness_then_smooth_and_rising() {
    let profile = MeanProfile::new(Some(0.03), 10.0).expect("in range");
    for height_m in [-5.0, 0.0, 0.01, 0.03, f64::NAN, f64::NEG_INFINITY] {
        assert_eq!(profile.factor(height_m), 0.0, "at {height_m} m");
    }
    let step_m = 1e-5;
    let at = |i: i32| profile.factor(f64::from(i) * step_m);
    for i in 0..30_000 {
        let (rise, next) = (at(i + 1) - at(i), at(i + 2) - at(i + 1));
        assert!(rise >= 0.0, "falls at {} m", f64::from(i) * step_m);
        // Slope steps stay small beside the steepest slope, 1/z0 per ln(z_s/z0).
        let steepest = step_m / 0.03 / (10.0_f64 / 0.03).ln();
        assert!((next - rise).abs() < 0.003 * steepest, "kink at step {i}");
    }
    assert_eq!(profile.factor(1e9), profile.factor(1e3));
}

#[test]
fn without_roughness_the_wind_is_the_same_at_every_height() {
    let profile = MeanProfile::new(None, 2.0).expect("in range");
    for height_m in [-1.0, 0.0, 0.001, 3.0, 1e6] {
        assert_eq!(profile.factor(height_m), 1.0);
    }
}

#[test]
fn impossible_ground_is_refused() {
    for (roughness, stated_m) in [
        (Some(0.0), 10.0),
        (Some(-0.1), 10.0),
        (Some(f64::NAN), 10.0),
        (Some(1.0), 2.0),
        (Some(0.03), f64::NAN),
        (None, -1.0),
    ] {
        assert!(MeanProfile::new(roughness, stated_m).is_err());
    }
}
