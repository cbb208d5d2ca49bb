//! What one fault leaves unexplained, and which other explains it.
//!
//! To first order two faults do what each does by itself, one on top of the
//! other; so every pair is reckoned from flights that have been flown already, and
//! only the likeliest pair is flown, to see whether that held.

use crate::causes::{Cause, TOLD_APART};
use crate::fit::Fit;
use crate::inquiry::{Asked, Inquiry, Variant, likeliest};

/// So many of the likeliest causes are tried as one of two.
const TRIED: usize = 6;
/// A second fault is the best of many that were tried beside the first, so by
/// chance one of them fits better by as much (found on 383 flights with one fault,
/// of which 12 had a second named without it, 6 with it; 51 with two lost none).
const CHOSEN: f64 = 2.0;
/// So many of the likeliest pairs are flown.
const FLOWN_PAIRS: usize = 2;

/// The likeliest causes, each list one answer whose causes cannot be told apart.
pub(crate) struct Answers {
    /// What the plane as designed leaves, then what the first answer leaves.
    pub answers: Vec<Vec<Cause>>,
    /// Less likely instead of the first.
    pub others: Vec<Cause>,
}

/// A fault of a size, by its number among those asked and among its variants.
type Place = (usize, usize);

/// Two faults that explain a log together.
struct Pair {
    first: Place,
    second: Place,
    /// How well.
    fit: Fit,
}

impl Pair {
    /// The same two, whichever comes first.
    fn is_of(&self, other: &Self) -> bool {
        let [one, two] = [self.first.0, self.second.0];
        [[one, two], [two, one]].contains(&[other.first.0, other.second.0])
    }
}

impl Inquiry<'_> {
    /// Ranks what was asked; where one fault is not enough, two.
    pub fn answers(&self, asked: &mut [Asked]) -> Answers {
        self.ask_likeliest_closely(asked);
        match self.pair(asked) {
            Some(pair) => self.both(asked, &pair),
            None => match self.ranked(asked, &self.designed, None) {
                none if none.is_empty() && self.wind_is_doubtful() => {
                    Answers::of(self.each_in_its_own_wind(asked))
                }
                causes => Answers::of(causes),
            },
        }
    }

    /// The likeliest few, each in the wind that suits it: a plane that went in at
    /// once leaves the wind that the plane as designed would have needed, which may
    /// be a gale.
    fn each_in_its_own_wind(&self, asked: &[Asked]) -> Vec<Cause> {
        let mut causes: Vec<Cause> = (by_likelihood(asked).into_iter())
            .take(TRIED)
            .filter_map(|index| {
                let of = &asked[index];
                let variant = &of.variants[of.best];
                let fit = self.in_its_own_wind(of.fault, variant)?;
                Some(self.cause(of.fault, variant.size, &self.designed, &fit))
            })
            .collect();
        rank(&mut causes, self.named_from);
        causes
    }

    /// Two faults that explain the log better than any one does, by more than a
    /// first one has to explain more than none.
    fn pair(&self, asked: &mut [Asked]) -> Option<Pair> {
        let mut pairs = self.likeliest_pairs(asked);
        // What comes to light only beside another has been seen at first sight alone.
        while let Some(second) =
            (pairs.iter().map(|pair| pair.second.0)).find(|n| !asked[*n].closely)
        {
            self.ask_closely(&mut asked[second]);
            pairs = self.likeliest_pairs(asked);
        }
        // How they go together is flown: one may leave the other nothing to do.
        let flown = pairs.into_iter().filter_map(|mut pair| {
            // The size of the first was found as if it were alone.
            if let Some((variant, _)) = self.on_top(asked, pair.second, pair.first.0) {
                pair.first.1 = variant;
            }
            pair.fit = self.flown(asked, &[pair.first, pair.second])?;
            Some(pair)
        });
        let likelihood = |pair: &Pair| pair.fit.log_likelihood;
        let pair = flown.max_by(|a, b| likelihood(a).total_cmp(&likelihood(b)))?;
        // Of two, each has to be worth its name, though neither may be alone.
        let designed = self.designed.log_likelihood;
        let alone = asked.iter().map(|of| of.fit.log_likelihood);
        let best_alone = alone.fold(designed + self.named_from, f64::max);
        let alone = [pair.first, pair.second].map(|place| {
            let flown = self.flown(asked, &[place]);
            flown.map_or(best_alone, |fit| fit.log_likelihood)
        });
        let best_alone = alone.into_iter().fold(best_alone, f64::max);
        (likelihood(&pair) >= best_alone + self.named_from + CHOSEN).then_some(pair)
    }

    /// Of the likeliest faults, each with another that is likely on top of it: the
    /// likeliest pairs.
    fn likeliest_pairs(&self, asked: &[Asked]) -> Vec<Pair> {
        let mut pairs: Vec<Pair> = Vec::new();
        for one in by_likelihood(asked).into_iter().take(TRIED) {
            let first = (one, asked[one].best);
            for other in (0..asked.len()).filter(|other| *other != one) {
                if let Some((variant, fit)) = self.on_top(asked, first, other) {
                    let second = (other, variant);
                    pairs.push(Pair { first, second, fit });
                }
            }
        }
        let likelihood = |pair: &Pair| pair.fit.log_likelihood;
        pairs.sort_by(|a, b| likelihood(b).total_cmp(&likelihood(a)));
        let mut likeliest: Vec<Pair> = Vec::new();
        for pair in pairs {
            if likeliest.len() < FLOWN_PAIRS && !likeliest.iter().any(|known| known.is_of(&pair)) {
                likeliest.push(pair);
            }
        }
        likeliest
    }

    /// The likeliest size of a fault beside another, and how both fit.
    fn on_top(&self, asked: &[Asked], of: Place, fault: usize) -> Option<(usize, Fit)> {
        let of = &asked[of.0].variants[of.1];
        let variants = asked[fault].variants.iter();
        likeliest(variants.map(|variant| self.explained(&self.together(of, variant))))
    }

    /// One on top of the other.
    fn together(&self, one: &Variant, other: &Variant) -> Variant {
        let misses = (one.misses.iter().zip(&other.misses)).zip(&self.misses);
        Variant {
            size: other.size,
            misses: misses
                .map(|((a, b), none)| core::array::from_fn(|k| a[k] + b[k] - none[k]))
                .collect(),
            prior: one.prior + other.prior,
        }
    }

    fn flown(&self, asked: &[Asked], places: &[Place]) -> Option<Fit> {
        let variant = |place: &Place| &asked[place.0].variants[place.1];
        let faults: Vec<_> = (places.iter())
            .map(|place| (asked[place.0].fault, variant(place).size))
            .collect();
        let flown = Variant {
            size: None,
            misses: self.fly(&faults)?,
            prior: places.iter().map(|place| variant(place).prior).sum(),
        };
        Some(self.explained(&flown))
    }

    /// What may stand in either place of a pair.
    fn both(&self, asked: &[Asked], pair: &Pair) -> Answers {
        let alone = |place: Place| self.explained(&asked[place.0].variants[place.1]);
        let [one, other] = [pair.first, pair.second];
        let first = self.in_place_of(asked, one, other, &alone(other), &pair.fit);
        let second = self.in_place_of(asked, other, one, &alone(one), &pair.fit);
        let mut answers = Answers::of(first);
        answers.answers.extend(Answers::of(second).answers);
        // Either may come first by now.
        answers.answers.sort_by(|a, b| gain(b).total_cmp(&gain(a)));
        let named: Vec<&str> = (answers.answers.iter().flatten())
            .map(|cause| cause.fault.name)
            .collect();
        (answers.others).retain(|cause| !named.contains(&cause.fault.name));
        answers
    }

    /// A fault that was flown beside a known one, and those that may stand in its
    /// place; `without` and `with` are the fits of the known one alone and of both.
    fn in_place_of(
        &self,
        asked: &[Asked],
        place: Place,
        known: Place,
        without: &Fit,
        with: &Fit,
    ) -> Vec<Cause> {
        let (fault, size) = (asked[place.0].fault, asked[place.0].variants[place.1].size);
        let flown = self.cause(fault, size, without, with);
        let (reckoned, mut others): (Vec<Cause>, Vec<Cause>) = self
            .ranked(asked, without, Some(known))
            .into_iter()
            .partition(|cause| cause.fault.name == fault.name);
        // The others were only reckoned, as it was, and may have been flown and done
        // worse.
        let more = (reckoned.first()).map_or(0.0, |reckoned| flown.gain - reckoned.gain);
        for cause in &mut others {
            cause.gain = (cause.gain + more).min(flown.gain);
        }
        rank(&mut others, self.named_from);
        others.insert(0, flown);
        others
    }

    /// Every fault that is worth naming on top of what is known, the likeliest first.
    fn ranked(&self, asked: &[Asked], without: &Fit, known: Option<Place>) -> Vec<Cause> {
        let mut causes: Vec<Cause> = (0..asked.len())
            .filter(|fault| known.is_none_or(|known| known.0 != *fault))
            .filter_map(|fault| {
                let of = &asked[fault];
                let (variant, fit) = match known {
                    None => (of.best, of.fit.clone()),
                    Some(known) => self.on_top(asked, known, fault)?,
                };
                Some(self.cause(of.fault, of.variants[variant].size, without, &fit))
            })
            .collect();
        rank(&mut causes, self.named_from);
        causes
    }
}

/// Numbers of what was asked, the likeliest first.
fn by_likelihood(asked: &[Asked]) -> Vec<usize> {
    let likelihood = |index: usize| asked[index].fit.log_likelihood;
    let mut order: Vec<usize> = (0..asked.len()).collect();
    order.sort_by(|a, b| likelihood(*b).total_cmp(&likelihood(*a)));
    order
}

/// Keeps causes for which so much speaks, the likeliest first.
pub(crate) fn rank(causes: &mut Vec<Cause>, named_from: f64) {
    causes.retain(|cause| cause.gain >= named_from);
    causes.sort_by(|a, b| b.gain.total_cmp(&a.gain));
}

impl Answers {
    /// No answer.
    pub fn none() -> Self {
        Self::of(Vec::new())
    }

    /// The first of ranked causes, and those that cannot be told from it.
    fn of(mut ranked: Vec<Cause>) -> Self {
        let best = ranked.first().map_or(0.0, |cause| cause.gain);
        let alike = (ranked.iter())
            .take_while(|cause| cause.gain > best - TOLD_APART)
            .count();
        let others = ranked.split_off(alike);
        let answers = if ranked.is_empty() {
            Vec::new()
        } else {
            vec![ranked]
        };
        Self { answers, others }
    }
}

/// How much speaks for an answer.
pub(crate) fn gain(answer: &[Cause]) -> f64 {
    answer.first().map_or(f64::NEG_INFINITY, |cause| cause.gain)
}
