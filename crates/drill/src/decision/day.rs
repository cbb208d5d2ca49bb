//! A day at a field, as somebody who looks around would find it.

use larkfield_pilot::Noise;

use super::Point;

/// Trees nearer than so many of their heights make the air rough (common
/// practice, no source).
const LEAST_TREE_HEIGHTS: f64 = 15.0;

/// A day, and what speaks against flying on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    against: Vec<Point>,
    /// From 0 to 1: how everything looks.
    looks: [f64; 7],
}

/// Of five days in a row, in any order: how many things speak against each.
const FIVE_DAYS: [usize; 5] = [0, 0, 1, 1, 2];

/// The day of a round.
pub fn drawn(seed: u64, round: u32) -> Day {
    let (lap, place) = (round / 5, (round % 5) as usize);
    let lengths = order::<5>(seed, "how many things speak against a day", lap);
    let against_on = |day: usize| FIVE_DAYS[lengths[day]];
    // Every point comes up once before one comes up again.
    let before = 4 * lap as usize + (0..place).map(against_on).sum::<usize>();
    let mut against: Vec<Point> = (before..before + against_on(place))
        .map(|nth| {
            let of_lap = order::<7>(seed, "what speaks against a day", (nth / 7) as u32);
            Point::ALL[of_lap[nth % 7]]
        })
        .collect();
    against.sort_unstable();
    against.dedup();
    Day::with(against, seed, round)
}

/// Numbers below `N` by random keys, the same on every machine.
fn order<const N: usize>(seed: u64, what: &str, lap: u32) -> [usize; N] {
    let noise = Noise::new(seed, what);
    let key = |i: usize| noise.uniform(lap.wrapping_mul(N as u32).wrapping_add(i as u32));
    let mut order: [usize; N] = core::array::from_fn(|i| i);
    order.sort_by(|a, b| key(*a).total_cmp(&key(*b)));
    order
}

impl Day {
    /// A day with these against it.
    pub fn with(against: Vec<Point>, seed: u64, round: u32) -> Self {
        let noise = Noise::new(seed, "how a day looks");
        let looks = |i: usize| noise.uniform(round.wrapping_mul(7).wrapping_add(i as u32));
        Self {
            against,
            looks: core::array::from_fn(looks),
        }
    }

    /// What speaks against flying.
    pub fn against(&self) -> &[Point] {
        &self.against
    }

    /// What somebody finds who looks at a point.
    pub fn seen(&self, point: Point) -> String {
        let look = self.looks[point as usize];
        let bad = self.against.contains(&point);
        let pick = |texts: &[&str]| {
            let index = (look * texts.len() as f64) as usize;
            texts[index.min(texts.len() - 1)].to_owned()
        };
        match (point, bad) {
            (Point::Wind, _) => self.wind(look, bad),
            (Point::Trees, _) => self.trees(look, bad),
            (Point::Direction, false) => format!(
                "into the wind there are {:.0} m of mown grass, and nothing stands on them",
                130.0 + (look * 12.0).floor() * 10.0
            ),
            (Point::Direction, true) => pick(&[
                "into the wind a hedge stands at 40 m; the open side lies downwind",
                "into the wind a road with traffic begins after 60 m",
                "the only open side lies across the wind",
            ]),
            (Point::Sun, false) => pick(&[
                "it stands high behind you",
                "it is hidden behind even cloud",
                "it stands low behind you, and throw and first turn lead away from it",
            ]),
            (Point::Sun, true) => pick(&[
                "it stands low, straight over where the throw goes",
                "it stands low on the right, where the first turn leads",
                "between clouds it comes and goes, low ahead of you",
            ]),
            (Point::People, false) => pick(&[
                "nobody is here but your helper, who knows what comes",
                "two people watch from behind the line and have been told",
            ]),
            (Point::People, true) => pick(&[
                "somebody with a dog walks across the field ahead and looks at the ground",
                "children have sat down beside the strip, beyond the line",
                "a group comes along the path under your first turn",
            ]),
            (Point::Rules, false) => pick(&[
                "who answers for the field says such planes may fly today, and you hold what the \
                 local rules ask for",
                "your club flies here on this day, you are a member, and its papers are in order",
            ]),
            (Point::Rules, true) => pick(&[
                "nobody can say whose meadow it is",
                "a board at the gate says no flying before two; it is noon",
                "the field asks for an insurance, and yours ran out last month",
            ]),
            (Point::Yourself, false) => pick(&[
                "rested, fed, and nobody waits for you",
                "a little excited, with the whole afternoon ahead",
            ]),
            (Point::Yourself, true) => pick(&[
                "you have driven for three hours, and your head aches",
                "in ten minutes it gets dark, and you have promised that it flies today",
                "a crowd has come for it, somebody films, and your hands shake",
            ]),
        }
    }

    /// The mean is always below the limit; the gusts may not be.
    fn wind(&self, look: f64, bad: bool) -> String {
        let limit_m_s = 3.0 + 0.5 * (look * 7.0).floor();
        // Shares well clear of one: to be read off a meter, not to be guessed.
        let gust_m_s = limit_m_s
            * if bad {
                1.25 + 0.25 * look
            } else {
                0.85 - 0.15 * look
            };
        format!(
            "in two minutes {:.1} m/s in the mean, gusts to {gust_m_s:.1} m/s; the plane's card \
             allows {limit_m_s:.1} m/s",
            0.65 * gust_m_s
        )
    }

    fn trees(&self, look: f64, bad: bool) -> String {
        let height_m = 8.0 + (look * 9.0).floor();
        let heights = if bad { 0.4 + 0.35 * look } else { 1.3 + look };
        // To the ten metres that one can pace or see.
        let away_m = (heights * LEAST_TREE_HEIGHTS * height_m / 10.0).round() * 10.0;
        format!("upwind stands a row of trees {height_m:.0} m high, {away_m:.0} m from the strip")
    }
}
