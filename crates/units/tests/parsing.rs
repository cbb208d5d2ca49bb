//! Texts against values from the definitions of the units.
//!
//! Factors: NIST Special Publication 811 (2008), appendix B. The literal on
//! the right is what the exact decimal product rounds to, worked by hand.

use larkfield_units::{
    Angle, ArealDensity, Charge, Current, DischargeRate, Force, Frequency, Impulse, Length, Mass,
    MomentOfInertia, Pressure, Quantity, Ratio, Resistance, Speed, SpeedConstant, SurfaceRate,
    Temperature, Time, Voltage, parse, to_text,
};

#[track_caller]
fn exact<Q: Quantity>(text: &str, si: f64) {
    match parse::<Q>(text) {
        Ok(q) => assert_eq!(
            q.si().to_bits(),
            si.to_bits(),
            "{text}: {} not {si}",
            q.si()
        ),
        Err(e) => panic!("{text}: {e}"),
    }
}

#[track_caller]
fn near<Q: Quantity>(text: &str, si: f64) {
    match parse::<Q>(text) {
        Ok(q) => {
            let relative = ((q.si() - si) / si).abs();
            assert!(relative < 4e-16, "{text}: {} not {si}", q.si());
        }
        Err(e) => panic!("{text}: {e}"),
    }
}

#[test]
fn metric_and_imperial_give_the_same_bits() {
    exact::<Length>("1150 mm", 1.15);
    exact::<Length>("45 in", 1.143);
    exact::<Length>("114.3cm", 1.143);
    exact::<Length>("3 ft", 0.9144);
    exact::<Length>("0.1 in", 0.00254);
    exact::<Length>("-6.35 mm", -0.00635);
    exact::<Length>("-0.25 in", -0.00635);
    exact::<Mass>("28 g", 0.028);
    exact::<Mass>("0.30 lb", 0.136_077_711);
    exact::<Mass>("9 oz", 0.255_145_708_125);
    exact::<Mass>("16 oz", 0.453_592_37);
    exact::<ArealDensity>("180 g/m2", 0.18);
    exact::<ArealDensity>("1.8 g/dm²", 0.18);
    exact::<Speed>("10 mph", 4.4704);
    exact::<Charge>("1300 mAh", 4680.0);
    exact::<Charge>("1.3 Ah", 4680.0);
    exact::<Force>("800 gf", 7.845_32);
    exact::<Force>("800 g", 7.845_32);
    exact::<Force>("1 lbf", 4.448_221_615_260_5);
    exact::<Impulse>("1.2 N s", 1.2);
    exact::<Impulse>("1.2 N·s", 1.2);
    exact::<Temperature>("15 C", 288.15);
    exact::<Temperature>("15 °C", 288.15);
    exact::<Temperature>("59 F", 288.15);
    exact::<Temperature>("-40 F", 233.15);
    exact::<Ratio>("60 %", 0.6);
    exact::<Ratio>("0.6", 0.6);
    exact::<Resistance>("40 mohm", 0.04);
    exact::<Resistance>("40 mΩ", 0.04);
    exact::<Current>("20 A", 20.0);
    exact::<Voltage>("11.1 V", 11.1);
    exact::<Time>("500 ms", 0.5);
    exact::<Frequency>("50 Hz", 50.0);
    exact::<Pressure>("1013.25 hPa", 101_325.0);
    exact::<MomentOfInertia>("30 g cm2", 3e-6);
}

#[test]
fn factors_with_a_quotient_or_pi_are_within_a_rounding_or_two() {
    near::<Angle>("180 deg", std::f64::consts::PI);
    exact::<Speed>("5 kt", 9260.0 / 3600.0);
    exact::<Speed>("36 km/h", 10.0);
    near::<SpeedConstant>("1000 rpm/V", 1000.0 * 2.0 * std::f64::consts::PI / 60.0);
    // 60 degrees in 0.12 s.
    near::<SurfaceRate>("0.12 s/60deg", std::f64::consts::PI / 3.0 / 0.12);
    near::<SurfaceRate>("500 deg/s", 500.0 * std::f64::consts::PI / 180.0);
    // NIST SP 811 appendix B.9: ounce a square foot is 0.305 151 7 kg/m2.
    let fabric = parse::<ArealDensity>("1.5 oz/ft2").map(ArealDensity::kg_m2);
    assert!(fabric.is_ok_and(|v| (v - 1.5 * 0.305_151_7).abs() < 1.5 * 5e-8));
    near::<DischargeRate>("20 C", 20.0 / 3600.0);
}

#[track_caller]
fn refused<Q: Quantity>(text: &str, problem_has: &str, remedy_has: &str) {
    match parse::<Q>(text) {
        Ok(q) => panic!("{text} was read as {}", q.si()),
        Err(e) => {
            assert!(e.problem().contains(problem_has), "{text}: {}", e.problem());
            assert!(e.remedy().contains(remedy_has), "{text}: {}", e.remedy());
        }
    }
}

#[test]
fn messages_say_what_is_wrong_and_what_would_be_right() {
    refused::<Length>(
        "1150 mas",
        "`mas` is not a unit of length",
        "use mm, cm, m, in or ft, as in \"1150 mm\"",
    );
    refused::<Length>("1150", "has no unit", "add the unit (mm, cm, m, in or ft)");
    refused::<Length>("1150 MM", "`MM` is not a unit", "did you mean `mm`?");
    refused::<Length>("28 g", "`g` is not a unit of length", "use mm");
    refused::<Mass>("28 mm", "`mm` is not a unit of mass", "use g, kg, oz or lb");
    refused::<Length>("", "empty", "1150 mm");
    refused::<Length>("mm", "does not start with a number", "1150 mm");
    refused::<Length>("NaN mm", "not a finite number", "1150 mm");
    refused::<Length>("-inf m", "not a finite number", "1150 mm");
    refused::<Length>("1,5 m", "comma", "1150 mm");
    refused::<Length>("1e400 m", "number", "1150 mm");
    refused::<SurfaceRate>("0 s/60deg", "not a finite value", "0.12 s/60deg");
    refused::<Angle>("5 %", "`%` is not a unit of angle", "deg or rad");
}

#[test]
fn garbage_never_panics() {
    for text in [
        "\0\0", "½ in", "1½ in", "🛩", "1🛩", "--", "+", "1e", "1e+", "1e+m", "e", " \t ",
    ] {
        assert!(parse::<Length>(text).is_err(), "{text:?}");
    }
    assert!(parse::<Length>(&"9".repeat(100_000)).is_err());
    assert!(parse::<Length>(&format!("1 {}", "m".repeat(100_000))).is_err());
}

#[test]
fn text_written_reads_back_to_the_same_bits() {
    for text in [
        "45 in",
        "1150 mm",
        "0.1 in",
        "7 ft",
        "33.333333333 mm",
        "-12.7 mm",
    ] {
        let Ok(q) = parse::<Length>(text) else {
            panic!("{text}")
        };
        exact::<Length>(&to_text(q), q.si());
    }
    for i in 0..2000 {
        let rad = f64::from(i) * 0.001_234_5;
        exact::<Angle>(&to_text(Angle::from_rad(rad)), rad);
        exact::<SurfaceRate>(&to_text(SurfaceRate::from_rad_s(rad + 0.1)), rad + 0.1);
        exact::<Temperature>(&to_text(Temperature::from_k(rad + 250.0)), rad + 250.0);
    }
    assert_eq!(to_text(Length::from_m(1.15)), "1150 mm");
    assert_eq!(to_text(Ratio::from_fraction(0.6)), "60 %");
}

#[test]
fn serde_reads_text_and_explains_bare_numbers() {
    assert_eq!(
        ron::from_str::<Length>("\"45 in\""),
        Ok(Length::from_m(1.143))
    );
    assert_eq!(
        ron::from_str::<Ratio>("0.25"),
        Ok(Ratio::from_fraction(0.25))
    );
    let bare = ron::from_str::<Length>("1150").map_err(|e| e.to_string());
    assert!(bare.is_err_and(|e| e.contains("1150 has no unit") && e.contains("\"1150 mm\"")));
    let wrong = ron::from_str::<Length>("\"3 kg\"").map_err(|e| e.to_string());
    assert!(wrong.is_err_and(|e| e.contains("`kg` is not a unit of length")));
    assert_eq!(
        ron::to_string(&Length::from_m(1.143)),
        Ok("\"1143 mm\"".to_owned())
    );
}
