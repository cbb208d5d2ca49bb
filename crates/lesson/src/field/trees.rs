//! Trees may stand anywhere but where planes start and land.

use larkfield_weather::TreeLine;

use super::{Field, Strip};
use crate::Problem;
use crate::problem::require_range;

/// Open ground around the launch point, m: a thrower's run-up and a plane's
/// first lengths. Own choice.
const CLEAR_OF_LAUNCH_M: f64 = 5.0;

/// Finds what is impossible about a field's trees.
pub(super) fn check(field: &Field, found: &mut Vec<Problem>) {
    for (index, trees) in field.tree_lines.iter().enumerate() {
        let path = |name: &str| format!("tree_lines[{index}].{name}");
        let before = found.len();
        require_range(found, path("north"), trees.north_m, (-1e4, 1e4, "m"));
        require_range(found, path("east"), trees.east_m, (-1e4, 1e4, "m"));
        require_range(
            found,
            path("direction"),
            trees.direction_rad,
            (-10.0, 10.0, "rad"),
        );
        require_range(found, path("length"), trees.length_m, (2.0, 5000.0, "m"));
        require_range(found, path("height"), trees.height_m, (1.0, 40.0, "m"));
        require_range(found, path("porosity"), trees.porosity, (0.0, 0.95, ""));
        if found.len() > before {
            continue;
        }
        let away_m = trees.distance_m(0.0, 0.0);
        let group = format!("tree_lines[{index}]");
        if away_m < CLEAR_OF_LAUNCH_M {
            found.push(Problem::new(
                group,
                format!("these trees stand {away_m:.1} m from the launch point"),
                format!("move them {CLEAR_OF_LAUNCH_M} m away or farther"),
            ));
        } else if stands_on(&field.strip, trees) {
            found.push(Problem::new(
                group,
                "these trees stand on the landing strip",
                "move them off the strip or make the strip shorter",
            ));
        }
    }
}

/// Whether a row crosses a strip: the row is clipped by the strip's sides, in
/// coordinates along and across it.
fn stands_on(strip: &Strip, trees: &TreeLine) -> bool {
    let (sine, cosine) = libm::sincos(strip.heading_rad);
    let [first, last] = trees.ends_m().map(|end| {
        let (north_m, east_m) = (end.x - strip.north_m, end.y - strip.east_m);
        [
            north_m * cosine + east_m * sine,
            east_m * cosine - north_m * sine,
        ]
    });
    let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
    let halves_m = [0.5 * strip.length_m, 0.5 * strip.width_m];
    for ((from, to), half_m) in first.into_iter().zip(last).zip(halves_m) {
        let run = to - from;
        if run == 0.0 {
            if from.abs() > half_m {
                return false;
            }
            continue;
        }
        let (one, other) = ((-half_m - from) / run, (half_m - from) / run);
        enters = enters.max(one.min(other));
        leaves = leaves.min(one.max(other));
    }
    enters <= leaves
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(north_m: f64, east_m: f64, direction_rad: f64, length_m: f64) -> TreeLine {
        TreeLine {
            north_m,
            east_m,
            direction_rad,
            length_m,
            height_m: 8.0,
            porosity: 0.4,
        }
    }

    fn problems(trees: TreeLine) -> Vec<String> {
        let mut field = Field::open_meadow();
        field.tree_lines.push(trees);
        let problems = field.checked().err().unwrap_or_default();
        problems.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn trees_beside_the_strip_are_possible_and_trees_on_it_are_not() {
        use std::f64::consts::FRAC_PI_2;
        // The strip runs from 10 m south of the launch point to 90 m north of
        // it, 7.5 m to either side.
        for clear in [
            row(120.0, 0.0, FRAC_PI_2, 200.0),
            row(40.0, 30.0, 0.0, 200.0),
            row(90.0, 60.0, FRAC_PI_2, 100.0),
            row(100.0, 20.0, -0.5, 40.0),
        ] {
            assert_eq!(problems(clear), Vec::<String>::new(), "{clear:?}");
        }
        for across in [
            row(40.0, 0.0, FRAC_PI_2, 200.0),
            row(80.0, 5.0, 0.0, 30.0),
            row(80.0, 56.0, FRAC_PI_2, 100.0),
            row(100.0, 20.0, 0.8, 100.0),
        ] {
            let found = problems(across).join("\n");
            assert!(found.contains("tree_lines[0]"), "{found}");
            assert!(found.contains("landing strip"), "{found}");
        }
    }

    #[test]
    fn impossible_trees_are_named() {
        let found = problems(row(-3.0, 0.0, 1.5, 40.0)).join("\n");
        assert!(found.contains("3.0 m from the launch point"), "{found}");
        let tall = TreeLine {
            height_m: f64::NAN,
            ..row(200.0, 0.0, 1.5, 40.0)
        };
        let found = problems(tall).join("\n");
        assert!(found.contains("tree_lines[0].height"), "{found}");
    }
}
