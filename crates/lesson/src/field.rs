//! The place: ground, line, people.

use larkfield_pilot::{Boundary, Side};
use larkfield_recording::Person;
use larkfield_weather::TreeLine;

use crate::problem::require_range;
use crate::{PersonBody, Problem, SAFE_DISTANCE_M};

mod trees;

/// What grows on the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum GroundKind {
    /// Cut grass.
    #[default]
    MownGrass,
    /// Long grass.
    LongGrass,
    /// Asphalt, concrete, hard earth.
    Hard,
}

/// The ground as something to land on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ground {
    /// What it is.
    pub kind: GroundKind,
    /// Coulomb friction of a belly sliding on it.
    pub friction: f64,
    /// Rolling resistance of a wheel on it, as a share of its load.
    pub rolling_friction: f64,
    /// Height of the grass.
    pub grass_height_m: f64,
    /// Work of laying the grass down, for each square metre swept at its foot.
    pub grass_work_j_m2: f64,
}

impl Ground {
    /// Usual values of a kind of ground. Mown grass: slide 0.3 to 0.6, roll
    /// 0.05 to 0.10, its blades included; the others estimated from it (common
    /// practice, no source). Long grass also has to be pushed over by whatever
    /// goes through it: some 500 stems a square metre, each bent with 0.03 N
    /// over 0.1 m (estimated, no source).
    pub fn usual(kind: GroundKind) -> Self {
        let (friction, rolling_friction, grass_height_m, grass_work_j_m2) = match kind {
            GroundKind::MownGrass => (0.45, 0.08, 0.03, 0.0),
            GroundKind::LongGrass => (0.6, 0.2, 0.2, 1.5),
            GroundKind::Hard => (0.5, 0.02, 0.0, 0.0),
        };
        Self {
            kind,
            friction,
            rolling_friction,
            grass_height_m,
            grass_work_j_m2,
        }
    }

    fn check(&self, path: &str, found: &mut Vec<Problem>) {
        for (field, value, limits) in [
            ("friction", self.friction, (0.0, 2.0, "")),
            ("rolling_friction", self.rolling_friction, (0.0, 1.0, "")),
            ("grass_height", self.grass_height_m, (0.0, 1.0, "m")),
            ("grass_work", self.grass_work_j_m2, (0.0, 50.0, "J/m2")),
        ] {
            require_range(found, format!("{path}.{field}"), value, limits);
        }
    }
}

/// Side of a line as somebody walking along its direction sees it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FlyingSide {
    /// Left of the direction.
    Left,
    /// Right of the direction.
    Right,
}

/// The line that the plane may not cross.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SafetyLine {
    /// A point of it, north of the launch point.
    pub north_m: f64,
    /// The point, east of the launch point.
    pub east_m: f64,
    /// Direction of the line, clockwise from north.
    pub direction_rad: f64,
    /// Where flying is allowed.
    pub flying_side: FlyingSide,
}

impl SafetyLine {
    /// The same as a pilot is told it.
    pub fn boundary(&self) -> Boundary {
        Boundary {
            north_m: self.north_m,
            east_m: self.east_m,
            direction_rad: self.direction_rad,
            flying_side: match self.flying_side {
                FlyingSide::Right => Side::Right,
                FlyingSide::Left => Side::Left,
            },
        }
    }

    /// Distance of a place from the line, positive on the flying side.
    pub fn distance_m(&self, north_m: f64, east_m: f64) -> f64 {
        let (sine, cosine) = libm::sincos(self.direction_rad);
        let right_m = -(north_m - self.north_m) * sine + (east_m - self.east_m) * cosine;
        match self.flying_side {
            FlyingSide::Right => right_m,
            FlyingSide::Left => -right_m,
        }
    }
}

/// The landing strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strip {
    /// Its middle, north of the launch point.
    pub north_m: f64,
    /// Its middle, east of the launch point.
    pub east_m: f64,
    /// Direction, clockwise from north.
    pub heading_rad: f64,
    /// Along the direction.
    pub length_m: f64,
    /// Across.
    pub width_m: f64,
    /// Its ground, when that differs from the field's.
    pub ground: Option<Ground>,
}

impl Strip {
    /// Whether a place lies on it.
    pub fn contains(&self, north_m: f64, east_m: f64) -> bool {
        let (sine, cosine) = libm::sincos(self.heading_rad);
        let (north_m, east_m) = (north_m - self.north_m, east_m - self.east_m);
        let along_m = north_m * cosine + east_m * sine;
        let across_m = east_m * cosine - north_m * sine;
        along_m.abs() <= 0.5 * self.length_m && across_m.abs() <= 0.5 * self.width_m
    }
}

/// The ground of a whole field: one kind all around, perhaps another on the
/// strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terrain {
    /// Everywhere but on the strip.
    pub around: Ground,
    /// The strip, when it has a ground of its own.
    pub strip: Option<(Strip, Ground)>,
}

impl Terrain {
    /// The same ground everywhere.
    pub fn uniform(ground: Ground) -> Self {
        Self {
            around: ground,
            strip: None,
        }
    }

    /// The ground at a place.
    pub fn at(&self, north_m: f64, east_m: f64) -> &Ground {
        match &self.strip {
            Some((strip, ground)) if strip.contains(north_m, east_m) => ground,
            _ => &self.around,
        }
    }
}

/// A flying field. Everything is measured from the launch point: the spot of
/// ground over which the plane is let go.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Name.
    pub name: String,
    /// Height above sea level.
    pub elevation_m: f64,
    /// Temperature of the air.
    pub temperature_k: f64,
    /// Roughness length of the ground for the wind's gradient.
    pub roughness_length_m: f64,
    /// The ground to land on.
    pub ground: Ground,
    /// The strip.
    pub strip: Strip,
    /// The line that the plane may not cross.
    pub safety_line: SafetyLine,
    /// Pilot, helpers, bystanders. The thrower is not listed: whoever throws
    /// stands behind the launch point.
    pub people: Vec<PersonBody>,
    /// Rows of trees: what the wind blows over and through.
    pub tree_lines: Vec<TreeLine>,
    /// Fences, to be seen. Nothing crashes into them, and no wind minds them.
    pub fences: Vec<Fence>,
    /// Where the sun stands.
    pub sun: Sun,
}

/// The sun in the sky: where shadows fall, and where a pilot is blinded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// Where it stands, clockwise from north.
    pub azimuth_rad: f64,
    /// Above the horizon.
    pub elevation_rad: f64,
}

impl Sun {
    /// An afternoon: in the south-west, behind a pilot who looks north.
    pub const AFTERNOON: Sun = Sun {
        azimuth_rad: 215.0 * std::f64::consts::PI / 180.0,
        elevation_rad: 40.0 * std::f64::consts::PI / 180.0,
    };
    /// Unit vector from the sun to the field: north, east, down.
    pub fn rays(&self) -> [f64; 3] {
        let (sin, cos) = libm::sincos(self.azimuth_rad);
        let (up, level) = libm::sincos(self.elevation_rad);
        [-cos * level, -sin * level, up]
    }
}

/// A straight fence of posts and rails.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fence {
    /// Its middle, north of the launch point.
    pub north_m: f64,
    /// East of the launch point.
    pub east_m: f64,
    /// In which it runs, either way round.
    pub direction_rad: f64,
    /// From end to end.
    pub length_m: f64,
    /// To the top of its posts.
    pub height_m: f64,
}

impl Field {
    /// An open mown field at sea level, 15 degrees C: strip to the north, the
    /// line 15 m west of the launch point with flying to the east of it, the
    /// pilot 3 m to the left of the thrower, two bystanders 15 m behind the line
    /// (line 15 m from the strip, pits 15 m behind it:
    /// truromodelflyingclub.co.uk, "Safety Guidelines").
    pub fn open_meadow() -> Self {
        Self {
            name: "Open meadow".to_owned(),
            elevation_m: 0.0,
            temperature_k: 288.15,
            roughness_length_m: 0.01,
            ground: Ground::usual(GroundKind::MownGrass),
            strip: Strip {
                north_m: 40.0,
                east_m: 0.0,
                heading_rad: 0.0,
                length_m: 100.0,
                width_m: 15.0,
                ground: None,
            },
            safety_line: SafetyLine {
                north_m: 0.0,
                east_m: -15.0,
                direction_rad: 0.0,
                flying_side: FlyingSide::Right,
            },
            people: vec![
                PersonBody::adult(Person::Pilot, -0.5, -3.0),
                PersonBody::adult(Person::Bystander, -5.0, -30.0),
                PersonBody::adult(Person::Bystander, 5.0, -31.0),
            ],
            tree_lines: Vec::new(),
            fences: Vec::new(),
            sun: Sun::AFTERNOON,
        }
    }

    /// What there is to land on.
    pub fn terrain(&self) -> Terrain {
        Terrain {
            around: self.ground,
            strip: self.strip.ground.map(|ground| (self.strip, ground)),
        }
    }

    /// The field when nothing about it is impossible.
    ///
    /// # Errors
    /// Everything that is, with the path of its field and a remedy.
    pub fn checked(self) -> Result<Self, Vec<Problem>> {
        let mut problems = Vec::new();
        let found = &mut problems;
        // Dead Sea shore to the highest airfields; the coldest and the hottest
        // days that somebody might fly on.
        require_range(found, "elevation", self.elevation_m, (-430.0, 5000.0, "m"));
        require_range(
            found,
            "temperature",
            self.temperature_k,
            (223.15, 333.15, "K"),
        );
        require_range(
            found,
            "roughness_length",
            self.roughness_length_m,
            (1e-5, 1.0, "m"),
        );
        self.ground.check("ground", found);
        if let Some(ground) = &self.strip.ground {
            ground.check("strip.ground", found);
        }
        require_range(
            found,
            "strip.length",
            self.strip.length_m,
            (1.0, 5000.0, "m"),
        );
        require_range(found, "strip.width", self.strip.width_m, (1.0, 500.0, "m"));
        for (path, value) in [
            ("strip.heading", self.strip.heading_rad),
            ("strip.north", self.strip.north_m),
            ("strip.east", self.strip.east_m),
            ("safety_line.direction", self.safety_line.direction_rad),
            ("safety_line.north", self.safety_line.north_m),
            ("safety_line.east", self.safety_line.east_m),
        ] {
            require_range(found, path, value, (-1e5, 1e5, ""));
        }
        let to_line_m = self.safety_line.distance_m(0.0, 0.0);
        if to_line_m.is_nan() || to_line_m <= 0.0 {
            found.push(Problem::new(
                "safety_line",
                "the launch point is not on the flying side of the line",
                "move the line behind the launch point or change flying_side",
            ));
        }
        self.check_people(found);
        trees::check(&self, found);
        self.check_fences(found);
        let turn = (-10.0, 10.0, "rad");
        require_range(found, "sun.azimuth", self.sun.azimuth_rad, turn);
        // Lower than 5 degrees a shadow is longer than a field.
        let height = (0.087, 1.571, "rad");
        require_range(found, "sun.elevation", self.sun.elevation_rad, height);
        if problems.is_empty() {
            Ok(self)
        } else {
            Err(problems)
        }
    }

    fn check_fences(&self, found: &mut Vec<Problem>) {
        for (index, fence) in self.fences.iter().enumerate() {
            let path = |field: &str| format!("fences[{index}].{field}");
            require_range(found, path("north"), fence.north_m, (-1e4, 1e4, "m"));
            require_range(found, path("east"), fence.east_m, (-1e4, 1e4, "m"));
            let direction = (-10.0, 10.0, "rad");
            require_range(found, path("direction"), fence.direction_rad, direction);
            require_range(found, path("length"), fence.length_m, (1.0, 2000.0, "m"));
            require_range(found, path("height"), fence.height_m, (0.3, 3.0, "m"));
        }
    }

    fn check_people(&self, found: &mut Vec<Problem>) {
        for (index, body) in self.people.iter().enumerate() {
            let path = |field: &str| format!("people[{index}].{field}");
            require_range(found, path("north"), body.north_m, (-1e4, 1e4, "m"));
            require_range(found, path("east"), body.east_m, (-1e4, 1e4, "m"));
            require_range(found, path("radius"), body.radius_m, (0.1, 1.0, "m"));
            require_range(found, path("height"), body.height_m, (0.5, 2.5, "m"));
            let away_m = (body.north_m * body.north_m + body.east_m * body.east_m).sqrt();
            if body.person == Person::Thrower {
                found.push(Problem::new(
                    path("person"),
                    "the thrower stands behind the launch point and is not listed",
                    "leave this entry out, or make the person a helper",
                ));
            } else if body.person == Person::Bystander && away_m <= SAFE_DISTANCE_M {
                found.push(Problem::new(
                    path("north"),
                    format!("a bystander stands {away_m:.1} m from the launch point"),
                    format!("move the bystander more than {SAFE_DISTANCE_M} m away"),
                ));
            }
        }
        let pilots = self.people.iter().filter(|b| b.person == Person::Pilot);
        if pilots.count() > 1 {
            found.push(Problem::new(
                "people",
                "there is more than one pilot",
                "keep one pilot and make the others helpers",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_knows_its_sides() {
        let mut line = Field::open_meadow().safety_line;
        // The line runs north, 15 m west of the launch point; flying is east.
        assert!((line.distance_m(50.0, 0.0) - 15.0).abs() < 1e-12);
        assert!((line.distance_m(-7.0, -17.0) + 2.0).abs() < 1e-12);
        line.flying_side = FlyingSide::Left;
        assert!((line.distance_m(50.0, 0.0) + 15.0).abs() < 1e-12);
        // Running east through 3 m north; right of it is south.
        let line = SafetyLine {
            north_m: 3.0,
            east_m: 0.0,
            direction_rad: std::f64::consts::FRAC_PI_2,
            flying_side: FlyingSide::Right,
        };
        assert!((line.distance_m(0.0, 99.0) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn rays_come_from_where_the_sun_stands() {
        use std::f64::consts::{FRAC_PI_2, FRAC_PI_6};
        // In the east, 30 degrees high: its light goes west and half as far down.
        let sun = Sun {
            azimuth_rad: FRAC_PI_2,
            elevation_rad: FRAC_PI_6,
        };
        let [north, east, down] = sun.rays();
        assert!(north.abs() < 1e-12 && (down - 0.5).abs() < 1e-12);
        assert!((east + 0.75_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn the_shipped_meadow_is_possible() {
        assert_eq!(Field::open_meadow().checked(), Ok(Field::open_meadow()));
    }

    #[test]
    fn impossible_fields_are_refused_with_the_path_of_the_field() {
        let mut field = Field::open_meadow();
        field.temperature_k = f64::NAN;
        field.safety_line.flying_side = FlyingSide::Left;
        field.people[1].north_m = 3.0;
        field.people[1].east_m = 4.0;
        field.people[2].person = Person::Thrower;
        let problems = field.checked().err().unwrap_or_default();
        let paths: Vec<&str> = problems.iter().map(|p| p.field.as_str()).collect();
        assert_eq!(
            paths,
            [
                "temperature",
                "safety_line",
                "people[1].north",
                "people[2].person"
            ]
        );
        assert!(problems[2].problem.contains("5.0 m"), "{}", problems[2]);
    }
}
