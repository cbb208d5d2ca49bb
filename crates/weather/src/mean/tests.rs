use super::*;
use core::f64::consts::PI;

fn point(time_s: f64, speed_m_s: f64, from_degrees: f64) -> WindPoint {
    WindPoint {
        time_s,
        speed_m_s,
        from_rad: from_degrees * PI / 180.0,
    }
}

fn wind(points: &[WindPoint]) -> MeanWind {
    MeanWind::new(points).expect("valid points")
}

#[test]
fn a_wind_from_the_north_blows_south() {
    let state = wind(&[point(0.0, 4.0, 0.0)]).at(3.0);
    assert!((state.velocity_m_s - DVec2::new(-4.0, 0.0)).length() < 1e-12);
    assert!((state.drift_m - DVec2::new(-12.0, 0.0)).length() < 1e-12);
    let from_west = wind(&[point(0.0, 4.0, 270.0)]).at(0.0);
    assert!((from_west.velocity_m_s - DVec2::new(0.0, 4.0)).length() < 1e-12);
}

#[test]
fn points_are_met_and_nothing_overshoots() {
    let points = [
        point(0.0, 2.0, 350.0),
        point(5.0, 6.0, 10.0),
        point(6.0, 6.0, 60.0),
        point(30.0, 1.0, 240.0),
    ];
    let wind = wind(&points);
    for point in points {
        let found = wind.at(point.time_s).velocity_m_s;
        let stated = velocity(point.speed_m_s, point.from_rad);
        assert!((found - stated).length() < 1e-12, "{found} for {stated}");
    }
    for step in 0..=4_000 {
        let time_s = f64::from(step) * 0.01;
        let speed = wind.at(time_s).velocity_m_s.length();
        assert!((0.999..=6.001).contains(&speed), "{speed} at {time_s} s");
        if time_s <= 5.0 {
            // 350 to 10 degrees goes through north.
            assert!(wind.at(time_s).velocity_m_s.x < -1.9);
        }
    }
}

/// Reference: the midpoint sum of the velocity itself.
#[test]
fn drift_is_the_integral_of_the_velocity() {
    let wind = wind(&[
        point(2.0, 2.0, 350.0),
        point(7.0, 5.0, 80.0),
        point(9.0, 3.0, 200.0),
    ]);
    let step_s = 1e-3;
    let mut sum = -2.0 * wind.at(0.0).velocity_m_s;
    for step in 0..12_000 {
        sum += wind.at((f64::from(step) + 0.5) * step_s).velocity_m_s * step_s;
        if step % 500 == 499 {
            let drift = wind.at(f64::from(step + 1) * step_s).drift_m;
            assert!((drift - sum).length() < 1e-5, "{drift} for {sum}");
        }
    }
}

/// Velocity and acceleration have no steps: over 1 ms neither changes more than
/// the curve's own rate allows.
#[test]
fn the_wind_changes_smoothly() {
    let wind = wind(&[
        point(0.0, 0.0, 0.0),
        point(4.0, 5.0, 90.0),
        point(6.0, 5.0, 45.0),
    ]);
    let step_s = 1e-3;
    let at = |i: i32| wind.at(f64::from(i) * step_s).velocity_m_s;
    for i in -1_000..8_000 {
        let slope = (at(i + 1) - at(i)) / step_s;
        let next = (at(i + 2) - at(i + 1)) / step_s;
        assert!(slope.length() < 8.0);
        assert!(
            (next - slope).length() < 0.05,
            "{} at {i} ms",
            (next - slope).length()
        );
    }
}

#[test]
fn bad_points_are_refused() {
    assert_eq!(MeanWind::new(&[]), Err(WeatherError::NoPoints));
    let twice = [point(1.0, 2.0, 0.0), point(1.0, 3.0, 0.0)];
    assert_eq!(
        MeanWind::new(&twice),
        Err(WeatherError::TimesNotRising { index: 1 })
    );
    for bad in [
        point(f64::NAN, 1.0, 0.0),
        point(0.0, f64::NAN, 0.0),
        point(0.0, -1.0, 0.0),
        point(0.0, 1.0, f64::INFINITY),
    ] {
        assert!(matches!(
            MeanWind::new(&[bad]),
            Err(WeatherError::OutOfRange { .. })
        ));
    }
}
