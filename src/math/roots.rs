//! A bracketed root: bisection made fast.
//!
//! Method: regula falsi with the Illinois weight, and a bisection step whenever three
//! steps together have not halved the bracket. Never leaves the bracket; converges for
//! any continuous function that changes sign on it.
//! Source: Dowell & Jarratt, *A modified regula falsi method for computing the root of an
//! equation*, BIT 11 (1971) 168–174.

/// An interval on which a root is sought, low end first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bracket {
    /// Where the search starts.
    pub low: f64,
    /// Where it ends.
    pub high: f64,
}

/// Steps before giving up narrowing; plain bisection alone would need about 60 for f64,
/// and the safeguard makes at most three steps of each halving.
const STEPS: usize = 200;

/// The root of `f` on `bracket`, to the last few digits of f64; `None` if `f` has one
/// sign at both ends (or is not a number at one of them).
///
/// A zero at an end is found there.
///
/// # Examples
/// ```
/// use linkfold::math::{Bracket, root_in};
/// let root = root_in(Bracket { low: 0.0, high: 2.0 }, |x| x * x - 2.0);
/// assert!((root.unwrap() - 2f64.sqrt()).abs() < 1e-12);
/// assert_eq!(root_in(Bracket { low: 0.0, high: 1.0 }, |x| x + 1.0), None);
/// ```
pub fn root_in(bracket: Bracket, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut low, mut high) = (bracket.low, bracket.high);
    let (mut at_low, mut at_high) = (f(low), f(high));
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if !(at_low * at_high < 0.0) {
        return None;
    }
    let mut halved_from = high - low;
    for step in 1..=STEPS {
        let width = high - low;
        let mut next = low - at_low * width / (at_high - at_low);
        if step % 3 == 0 {
            if width > 0.5 * halved_from {
                next = low + 0.5 * width;
            }
            halved_from = width;
        }
        if !(next > low && next < high) {
            next = low + 0.5 * width;
        }
        if next <= low || next >= high {
            break;
        }
        let value = f(next);
        if value == 0.0 {
            return Some(next);
        }
        if value * at_high < 0.0 {
            (low, at_low) = (next, value);
            at_high *= 0.5;
        } else {
            (high, at_high) = (next, value);
            at_low *= 0.5;
        }
        if high - low <= 2.0 * f64::EPSILON * low.abs().max(high.abs()) {
            break;
        }
    }
    Some(0.5 * (low + high))
}

/// Steps of [`falling_root`]; 3 to 5 are usual.
const NEWTON_STEPS: usize = 10;

/// Where a function that falls from `start` on is nought to within `tolerance`, and what was found there, by
/// Newton's method; `f` gives value, slope and that. None where it does not lead there within `reach`, which is
/// negative for the way down, or `f` gives none.
///
/// # Examples
/// ```
/// let f = |x: f64| Some((2.0 - x * x, -2.0 * x, "here"));
/// let (root, found) = linkfold::math::falling_root(1.0, 1.0, 1e-12, f).unwrap();
/// assert!((root - 2f64.sqrt()).abs() < 1e-12 && found == "here");
/// assert!(linkfold::math::falling_root(1.0, 0.3, 1e-12, f).is_none());
/// ```
pub fn falling_root<T>(
    start: f64,
    reach: f64,
    tolerance: f64,
    mut f: impl FnMut(f64) -> Option<(f64, f64, T)>,
) -> Option<(f64, T)> {
    let mut at = start;
    for _ in 0..NEWTON_STEPS {
        let (value, slope, found) = f(at)?;
        if value.abs() <= tolerance {
            return Some((at, found));
        }
        at -= value / slope;
        if !(slope * reach < 0.0 && (0.0..=1.0).contains(&((at - start) / reach))) {
            return None;
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_with_closed_forms_are_found_to_the_last_digits() {
        let found = root_in(Bracket { low: 0.0, high: 2.0 }, |x| x * x - 2.0).unwrap();
        assert!((found - 2f64.sqrt()).abs() < 1e-15, "{found}");
        let found = root_in(Bracket { low: 0.0, high: 1.0 }, |x| x.powi(9)).unwrap();
        assert!(found.abs() < 1e-15, "{found}");
        // Triple root: the slope vanishes, only the safeguard brings it home.
        let found = root_in(Bracket { low: 0.0, high: 1.0 }, |x| (x - 0.3).powi(3)).unwrap();
        assert!((found - 0.3).abs() < 1e-5, "{found}");
    }

    #[test]
    fn no_sign_change_is_no_root() {
        assert_eq!(root_in(Bracket { low: 0.0, high: 1.0 }, |x| x + 1.0), None);
        assert_eq!(root_in(Bracket { low: 0.0, high: 1.0 }, |_| f64::NAN), None);
    }
}
