//! Eyes: late by the delay, uncertain by distance, the same for every tick.

use glam::DVec3;
use larkfield_pilot::attitude::{PI, from_euler};
use larkfield_pilot::{Acuity, Eyes, Sight, Truth};

fn perfect(delay_s: f64) -> Acuity {
    Acuity {
        delay_s,
        angle_rad: 0.0,
        rate_rad_s: 0.0,
        height_share: 0.0,
        speed_m_s: 0.0,
        doubling_m: 40.0,
        wander_s: 0.7,
    }
}

fn at(t: f64) -> Truth {
    Truth {
        position_m: DVec3::new(6.0 * t, 0.0, -2.0 - t),
        velocity_m_s: DVec3::new(6.0, 0.0, -1.0),
        attitude: from_euler(0.0, 0.1, 0.3 * t),
        rates_rad_s: DVec3::new(0.3, 0.0, 0.0),
        motor_sound: 0.8,
        ..Truth::default()
    }
}

#[test]
fn without_errors_the_eye_sees_the_truth_one_delay_ago() {
    let mut eyes = Eyes::new(perfect(0.25), 1);
    for tick in 0..=500 {
        eyes.watch(f64::from(tick) * 0.002, &at(f64::from(tick) * 0.002));
    }
    let sight = eyes.look(1.0);
    // 0.75 s into the straight climb with a steady roll.
    let wanted = [
        (sight.bank_rad, 0.225),
        (sight.pitch_rad, 0.1),
        (sight.heading_rad, 0.0),
        (sight.height_m, 2.75),
        (sight.climb_m_s, 1.0),
        (sight.ground_speed_m_s, 6.0),
        (sight.track_rad, 0.0),
        (sight.roll_rate_rad_s, 0.3),
        // Eyes 1.7 m up: 4.5 m ahead and 1.05 m above.
        (sight.distance_m, (4.5_f64 * 4.5 + 1.05 * 1.05).sqrt()),
        (sight.motor_sound, 0.8),
    ];
    for (ours, wanted) in wanted {
        assert!((ours - wanted).abs() < 1e-6, "{ours} {wanted}");
    }
    assert!(sight.free);
}

#[test]
fn letting_go_is_noticed_one_delay_later() {
    let mut eyes = Eyes::new(perfect(0.2), 1);
    let mut noticed_s = f64::NAN;
    for tick in 0..500 {
        let time_s = f64::from(tick) * 0.002;
        let truth = Truth {
            in_hand: time_s < 0.3 - 1e-9,
            ..Truth::default()
        };
        eyes.watch(time_s, &truth);
        if noticed_s.is_nan() && eyes.look(time_s).free {
            noticed_s = time_s;
        }
    }
    // Kept samples are up to 5 ms apart.
    assert!((0.5..=0.506).contains(&noticed_s), "{noticed_s}");
}

fn seen(per_second: u32, seed: u64) -> Vec<Sight> {
    let mut eyes = Eyes::new(Acuity::unpractised(), seed);
    let mut seen = Vec::new();
    for tick in 0..=(4 * per_second) {
        let time_s = f64::from(tick) / f64::from(per_second);
        eyes.watch(time_s, &at(time_s));
        if tick % (per_second / 50) == 0 {
            seen.push(eyes.look(time_s));
        }
    }
    seen
}

#[test]
fn errors_depend_on_seed_and_time_and_not_on_the_tick() {
    let reference = seen(500, 3);
    assert_eq!(reference, seen(500, 3));
    assert_ne!(reference, seen(500, 4));
    for per_second in [50, 250, 1000] {
        for (ours, wanted) in seen(per_second, 3).iter().zip(&reference) {
            // The truth is straight between kept samples except the attitude,
            // whose chord over 20 ms is off by far less than a microradian.
            assert!((ours.bank_rad - wanted.bank_rad).abs() < 1e-6);
            assert!((ours.height_m - wanted.height_m).abs() < 1e-6);
            assert!((ours.climb_m_s - wanted.climb_m_s).abs() < 1e-6);
        }
    }
}

#[test]
fn errors_grow_with_distance_as_stated() {
    let acuity = Acuity::practised();
    let rms_at = |north_m: f64| {
        let truth = Truth {
            position_m: DVec3::new(north_m, 0.0, -1.7),
            ..Truth::default()
        };
        let mut eyes = Eyes::new(acuity, 9);
        let (mut sum, count) = (0.0, 40_000);
        for k in 0..count {
            let time_s = f64::from(k) * 0.05;
            eyes.watch(time_s, &truth);
            let bank = eyes.look(time_s).bank_rad;
            sum += bank * bank;
        }
        (sum / f64::from(count)).sqrt()
    };
    // Close by: the stated deviation. At the doubling distance: twice that.
    assert!((rms_at(0.0) / acuity.angle_rad - 1.0).abs() < 0.05);
    assert!((rms_at(acuity.doubling_m) / (2.0 * acuity.angle_rad) - 1.0).abs() < 0.05);
}

#[test]
fn a_plane_that_comes_back_has_aspect_zero() {
    let mut eyes = Eyes::new(perfect(0.0), 1);
    let mut truth = Truth {
        position_m: DVec3::new(50.0, 0.0, -10.0),
        attitude: from_euler(PI, 0.0, 0.0),
        ..Truth::default()
    };
    eyes.watch(0.0, &truth);
    assert!(eyes.look(0.0).aspect_rad() < 1e-9);
    truth.attitude = from_euler(0.0, 0.0, 0.0);
    eyes.watch(1.0, &truth);
    assert!((eyes.look(1.0).aspect_rad() - PI).abs() < 1e-9);
}
