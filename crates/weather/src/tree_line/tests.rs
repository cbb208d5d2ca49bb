use super::*;

fn row() -> TreeLine {
    TreeLine {
        north_m: 30.0,
        east_m: -20.0,
        direction_rad: 1.9,
        length_m: 150.0,
        height_m: 9.0,
        porosity: 0.3,
    }
}

fn wake() -> Wake {
    Wake::new(&row(), 1.3, 5).unwrap_or_else(|e| panic!("{e}"))
}

/// Every curve's stated slope is the slope of the curve.
#[test]
fn slopes_are_those_of_the_curves() {
    let step = 1e-5;
    for i in 0..4000 {
        let behind = -5.5 + 0.0101 * f64::from(i);
        if behind > FIRST + step && behind < LAST - step {
            let off = (depth(behind + step).0 - depth(behind - step).0) / (2.0 * step);
            assert!((off - depth(behind).1).abs() < 1e-8, "D at {behind}: {off}");
        }
        let height = 0.01 + 0.001 * f64::from(i);
        let off = (layer(height + step).1 - layer(height - step).1) / (2.0 * step);
        assert!((off - layer(height).0).abs() < 1e-5, "Z at {height}: {off}");
    }
}

#[test]
fn curves_are_scaled_and_joined_as_said() {
    let mut most: (f64, f64) = (0.0, 0.0);
    let mut least: f64 = 0.0;
    for i in 0..100_000 {
        let height = 1e-4 * f64::from(i);
        let (held, lift) = layer(height);
        assert!(lift >= 0.0);
        if held > most.0 {
            most = (held, height);
        }
        least = least.min(held);
    }
    assert!((most.0 - 1.0).abs() < 1e-4, "{most:?}");
    assert!((most.1 - 0.34).abs() < 0.01, "{most:?}");
    assert!(least > -0.21 && least < -0.15, "{least}");
    assert_eq!(layer(TURNING_HEIGHT).0, 0.0);
    assert_eq!(layer(0.0), (0.0, 0.0));

    assert_eq!(depth(DEEPEST), (1.0, 0.0));
    let mut before = depth(FIRST);
    assert_eq!(before, (0.0, 0.0));
    let step = 0.001;
    for i in 1..=40_000 {
        let here = depth(FIRST + step * f64::from(i));
        assert!(here.0 > -1e-12 && here.0 < 1.0 + 1e-12);
        // No jump in value, slope or curvature: none is above 1 anywhere.
        assert!((here.0 - before.0).abs() < step);
        assert!((here.1 - before.1).abs() < step);
        before = here;
    }
    assert!(before.0.abs() < 1e-12 && before.1.abs() < 1e-12);
}

/// Mass is conserved: the divergence of the mean flow by central differences,
/// for any direction of the wind and near the ends of the row too.
#[test]
fn the_mean_flow_conserves_mass_everywhere() {
    let wake = wake();
    let step = 1e-3;
    let mut met = 0;
    let mut steepest: f64 = 0.0;
    for i in 0..4000 {
        let i = f64::from(i);
        let turn = 0.37 * i;
        let wind_m_s = DVec2::new(4.0 * libm::cos(turn), 4.0 * libm::sin(turn));
        let place = DVec2::new(
            30.0 + 100.0 * libm::sin(1.7 * i),
            -20.0 + 100.0 * libm::sin(2.3 * i + 1.0),
        );
        let height_m = 0.5 + 0.006 * i;
        let at = |place: DVec2, height_m: f64| wake.mean_m_s(place, height_m, wind_m_s);
        let slope_x =
            (at(place + DVec2::X * step, height_m) - at(place - DVec2::X * step, height_m)).x;
        let slope_y =
            (at(place + DVec2::Y * step, height_m) - at(place - DVec2::Y * step, height_m)).y;
        let slope_up = (at(place, height_m - step) - at(place, height_m + step)).z;
        let divergence = (slope_x + slope_y + slope_up) / (2.0 * step);
        assert!(divergence.abs() < 1e-6, "{i}: {divergence}");
        steepest = steepest.max((slope_up / (2.0 * step)).abs());
        met += u32::from(slope_up != 0.0);
    }
    // Not because there is nothing.
    assert!(met > 1000 && steepest > 0.02, "{met} {steepest}");
}

/// No jump when the place moves, when the wind turns past the row, or when it
/// dies and comes back from the other side.
#[test]
fn nothing_jumps() {
    let wake = wake();
    let fades = DVec3::ONE;
    let at = |place: DVec2, height_m: f64, wind_m_s: DVec2| {
        wake.velocity_m_s(place, height_m, wind_m_s, DVec2::ZERO, fades)
    };
    let across = wake.across;
    let mut before = at(wake.middle_m - across * 60.0, 5.0, across * 5.0);
    for i in 0..400_000 {
        let place = wake.middle_m + across * (-60.0 + 1e-3 * f64::from(i));
        let here = at(place, 5.0, across * 5.0);
        // 1 mm: less than a gradient of 5 m/s in a metre.
        assert!((here - before).length() < 5e-3, "{i}: {before} {here}");
        before = here;
    }
    for behind in [-8.0, 40.0, 90.0] {
        let place = wake.middle_m + across * behind + wake.along * 12.0;
        let mut before = None;
        for i in 0..=100_000 {
            let turn = 1e-4 * f64::from(i);
            let wind = DVec2::new(libm::cos(turn), libm::sin(turn)) * 5.0;
            let here = at(place, 4.0, wind);
            if let Some(before) = before {
                let change: DVec3 = here - before;
                // The lee's edge sweeps past, fastest in slanting winds: 18 m
                // of edge at less than 20 m a degree.
                assert!(change.length() < 1e-2, "{behind}, {turn}: {change}");
            }
            before = Some(here);
        }
        let mut before = at(place, 4.0, across * -5.0);
        for i in 1..=10_000 {
            let here = at(place, 4.0, across * (-5.0 + 1e-3 * f64::from(i)));
            assert!((here - before).length() < 2e-3, "{behind}: {before} {here}");
            before = here;
        }
    }
}

#[test]
fn a_wind_along_the_row_meets_no_wake_and_each_side_has_its_own() {
    let wake = wake();
    let at = |place: DVec2, wind: DVec2| wake.mean_m_s(place, 3.0, wind);
    let behind = wake.middle_m + wake.across * 40.0;
    let in_front = wake.middle_m - wake.across * 40.0;
    assert_eq!(at(behind, wake.along * 6.0), DVec3::ZERO);
    assert_eq!(at(behind, DVec2::ZERO), DVec3::ZERO);
    let sheltered = at(behind, wake.across * 6.0).truncate().dot(wake.across);
    assert!(sheltered < -3.0, "{sheltered}");
    assert!(at(in_front, wake.across * 6.0).length() < 0.1 * sheltered.abs());
    let other = at(in_front, wake.across * -6.0).truncate().dot(wake.across);
    assert!((sheltered + other).abs() < 1e-9, "{sheltered} {other}");
    // Beyond its end there is open field.
    let beside = wake.middle_m + wake.across * 40.0 + wake.along * 90.0;
    assert_eq!(at(beside, wake.across * 6.0), DVec3::ZERO);
}

/// Reference: unit variance of each component, and no mean, by construction of
/// a field of waves; pooled over seeds and places.
#[test]
fn eddies_have_unit_variance_in_every_direction() {
    let (mut mean, mut square) = (DVec3::ZERO, DVec3::ZERO);
    let count = 60 * 400;
    for seed in 0..60 {
        let eddies = Eddies::new(seed, 10.0);
        for i in 0..400 {
            let i = f64::from(i);
            let here = eddies.unit(DVec3::new(17.0 * i, -5.3 * i, 0.1 * i));
            mean += here / f64::from(count);
            square += here * here / f64::from(count);
        }
    }
    assert!(mean.abs().max_element() < 0.05, "{mean}");
    assert!((square - 1.0).abs().max_element() < 0.05, "{square}");
}
