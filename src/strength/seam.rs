//! Where the solder seam lies, and where it should.

use super::Pull;

/// A seam and what it has to carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seam {
    /// Where, as a share of the way round from the waist's middle.
    pub at: f64,
    /// Moment there over the greatest anywhere.
    pub share_of_greatest: f64,
    /// The quietest place, in the first quarter.
    pub best_at: f64,
    /// Moment there over the greatest anywhere.
    pub best_share: f64,
    /// Where the moment is greatest, in the first quarter.
    pub greatest_at: f64,
}

/// Places tried along a quarter.
const PLACES: usize = 200;
/// A seam further than this share of the way from the least moment to the greatest should be moved.
const TOO_MUCH: f64 = 0.4;

impl Seam {
    /// The seam at `at` (any share of the way round), or at the quietest place where none is
    /// given.
    pub fn of(pull: &Pull, at: Option<f64>) -> Seam {
        let moments: Vec<f64> = (0..=PLACES).map(|i| pull.moment_at(place(i))).collect();
        let order = |a: &usize, b: &usize| moments[*a].total_cmp(&moments[*b]);
        let least = (0..=PLACES).min_by(order).unwrap_or(0);
        let most = (0..=PLACES).max_by(order).unwrap_or(0);
        let greatest = moments[most].max(f64::MIN_POSITIVE);
        let best_share = moments[least] / greatest;
        let at = at.unwrap_or(place(least));
        Seam {
            at,
            share_of_greatest: (pull.moment_at(at) / greatest).min(1.0),
            best_at: place(least),
            best_share,
            greatest_at: place(most),
        }
    }

    /// Whether it lies where the pull asks little of it.
    pub fn is_quiet(&self) -> bool {
        self.share_of_greatest <= self.best_share + TOO_MUCH * (1.0 - self.best_share)
    }
}

fn place(i: usize) -> f64 {
    0.25 * i as f64 / PLACES as f64
}
