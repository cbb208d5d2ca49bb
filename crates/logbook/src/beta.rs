//! What some safe attempts out of some say about the rate of safe attempts.
//!
//! Every rate is held equally likely beforehand: the prior is uniform, which is
//! Beta(1, 1). After s safe attempts of n the rate then has the distribution
//! Beta(1 + s, 1 + n - s) (the rule of succession; A. Gelman and others,
//! "Bayesian Data Analysis", 3rd edition, section 2.1). Attempts may count for
//! less than one, so s and n need not be whole.

/// How much of the distribution is between the ends.
const INSIDE: f64 = 0.95;
/// Halvings of the range from 0 to 1: beyond the precision of the numbers.
const HALVINGS: u32 = 60;
/// Terms of the fraction: some tens are enough for thousands of flights.
const TERMS: u32 = 500;

/// What is known of a rate.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Interval {
    /// Below this with 2.5 %.
    pub low: f64,
    /// Mean of the distribution.
    pub mean: f64,
    /// Above this with 2.5 %.
    pub high: f64,
}

/// The rate after `safe` attempts of `all`, either of which may be a fraction.
/// Numbers that are no counts, NaN among them, say nothing: the prior comes
/// back.
#[must_use]
pub fn posterior(safe: f64, all: f64) -> Interval {
    let sound = all.is_finite() && safe >= 0.0 && all >= safe;
    let (safe, all) = if sound { (safe, all) } else { (0.0, 0.0) };
    let (a, b) = (1.0 + safe, 1.0 + all - safe);
    let tail = 0.5 * (1.0 - INSIDE);
    Interval {
        low: quantile(a, b, tail),
        mean: a / (a + b),
        high: quantile(a, b, 1.0 - tail),
    }
}

/// The rate below which the distribution Beta(a, b) has this share.
fn quantile(a: f64, b: f64, share: f64) -> f64 {
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if below(a, b, middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// How much of the distribution Beta(a, b) is below x: the regularised
/// incomplete beta function by its continued fraction (NIST, "Digital Library of
/// Mathematical Functions", 8.17.22), evaluated from its front by the method of
/// Lentz. Crates that offer it build the libraries of the flight with other
/// features, so it is here.
fn below(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    // The fraction converges fast up to here; beyond, its mirror image does.
    if x > (a + 1.0) / (a + b + 2.0) {
        return 1.0 - below(b, a, 1.0 - x);
    }
    let ln_beta = libm::lgamma(a) + libm::lgamma(b) - libm::lgamma(a + b);
    let front = libm::exp(a * libm::log(x) + b * libm::log1p(-x) - ln_beta) / a;
    let (mut c, mut d) = (1.0, 1.0 / away_from_zero(1.0 - (a + b) * x / (a + 1.0)));
    let mut fraction = d;
    for term in 1..=TERMS {
        let m = f64::from(term);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        for part in [even, odd] {
            d = 1.0 / away_from_zero(1.0 + part * d);
            c = away_from_zero(1.0 + part / c);
            fraction *= c * d;
        }
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    front * fraction
}

fn away_from_zero(value: f64) -> f64 {
    if value.abs() < 1e-300 { 1e-300 } else { value }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For whole a and b the distribution is a sum: Beta(a, b) is below x with
    /// the chance that of n = a + b - 1 throws of a coin that shows heads with
    /// x at least a show heads (M. Abramowitz and I. Stegun, "Handbook of
    /// Mathematical Functions", 26.5.24).
    fn sum_below(a: u32, b: u32, x: f64) -> f64 {
        let n = a + b - 1;
        (a..=n)
            .map(|heads| {
                let ways =
                    (0..heads).fold(1.0, |ways, i| ways * f64::from(n - i) / f64::from(i + 1));
                ways * x.powi(heads as i32) * (1.0 - x).powi((n - heads) as i32)
            })
            .sum()
    }

    #[test]
    fn the_ends_leave_out_what_they_should() {
        for all in 0..=40_u32 {
            for safe in 0..=all {
                let rate = posterior(f64::from(safe), f64::from(all));
                let (a, b) = (1 + safe, 1 + all - safe);
                assert!(
                    (sum_below(a, b, rate.low) - 0.025).abs() < 1e-9,
                    "{safe} of {all}"
                );
                assert!(
                    (sum_below(a, b, rate.high) - 0.975).abs() < 1e-9,
                    "{safe} of {all}"
                );
            }
        }
    }

    /// Nothing flown: 2.5 and 97.5 %, as a uniform prior says. All of n safe:
    /// the low end is the (n + 1)-th root of 0.025, by hand from x^(n+1).
    #[test]
    fn closed_forms_are_met() {
        let none = posterior(0.0, 0.0);
        assert!((none.low - 0.025).abs() < 1e-12 && (none.high - 0.975).abs() < 1e-12);
        assert!((none.mean - 0.5).abs() < 1e-12);
        for all in [0.5, 1.0, 7.25, 10.0] {
            let low = posterior(all, all).low;
            assert!(
                (low - 0.025_f64.powf(1.0 / (all + 1.0))).abs() < 1e-9,
                "{all}"
            );
        }
    }

    /// From memory of C. J. Clopper and E. S. Pearson's exact limits for 8 of
    /// 10, 0.4439 and 0.9748: the low one is the 2.5 % point of Beta(8, 3) and
    /// the high one the 97.5 % point of Beta(9, 2).
    #[test]
    fn exact_limits_of_the_binomial_are_met() {
        assert!((quantile(8.0, 3.0, 0.025) - 0.4439).abs() < 5e-5);
        assert!((quantile(9.0, 2.0, 0.975) - 0.9748).abs() < 5e-5);
    }

    #[test]
    fn eight_of_ten_are_between_48_and_94_percent() {
        let rate = posterior(8.0, 10.0);
        assert_eq!((rate.low * 100.0).round(), 48.0);
        assert_eq!((rate.high * 100.0).round(), 94.0);
        assert!((rate.mean - 0.75).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_count_says_nothing() {
        for (safe, all) in [
            (f64::NAN, 1.0),
            (2.0, 1.0),
            (-1.0, 3.0),
            (0.0, f64::INFINITY),
        ] {
            assert_eq!(posterior(safe, all), posterior(0.0, 0.0));
        }
    }
}
