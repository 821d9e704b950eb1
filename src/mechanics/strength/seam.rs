//! Where the solder seam lies, and where it should.

use super::Pull;

/// A seam and what it has to bear: the pull's moment there, and the strain of the forming, each
/// over its greatest anywhere.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seam {
    /// Where, as a share of the way round from the waist's middle.
    pub at: f64,
    /// Moment there over the greatest.
    pub moment_fraction: f64,
    /// Forming strain there over the greatest.
    pub strain_fraction: f64,
    /// The quietest place, in the first quarter: the greater of the two shares is least there.
    pub best_at: f64,
    /// That share.
    pub best_fraction: f64,
    /// Where the moment is greatest, in the first quarter.
    pub greatest_at: f64,
}

/// Places tried along a quarter.
const PLACES: usize = 200;
/// A seam further than this share of the way from the quietest place to the worst should be moved.
const TOO_MUCH: f64 = 0.4;

impl Seam {
    /// The seam at `at` (any share of the way round), or at the quietest place where none is
    /// given. `strain` is the forming's, evenly from the waist's middle to the tip; it may be empty.
    pub fn of(pull: &Pull, strain: &[f64], at: Option<f64>) -> Seam {
        let moments: Vec<f64> = (0..=PLACES).map(|i| pull.moment_at(place(i))).collect();
        let most = (0..=PLACES).max_by(|a, b| moments[*a].total_cmp(&moments[*b])).unwrap_or(0);
        let greatest = moments[most].max(f64::MIN_POSITIVE);
        let worked = strain.iter().copied().fold(f64::MIN_POSITIVE, f64::max);
        let shares = |at: f64| {
            let at = super::contacts::in_quarter(at);
            let along = 4.0 * at * strain.len().saturating_sub(1) as f64;
            let strain = strain.get(along.round() as usize).copied().unwrap_or(0.0);
            ((pull.moment_at(at) / greatest).min(1.0), (strain / worked).min(1.0))
        };
        let load = |at: f64| {
            let (moment, strain) = shares(at);
            moment.max(strain)
        };
        let best = (0..=PLACES).map(place).min_by(|a, b| load(*a).total_cmp(&load(*b)));
        let best_at = best.unwrap_or(0.0);
        let at = at.unwrap_or(best_at);
        let (moment_fraction, strain_fraction) = shares(at);
        Seam {
            at,
            moment_fraction,
            strain_fraction,
            best_at,
            best_fraction: load(best_at),
            greatest_at: place(most),
        }
    }

    /// Whether it lies where pull and forming ask little of it.
    pub fn is_quiet(&self) -> bool {
        let fraction = self.moment_fraction.max(self.strain_fraction);
        fraction <= self.best_fraction + TOO_MUCH * (1.0 - self.best_fraction)
    }
}

fn place(i: usize) -> f64 {
    0.25 * i as f64 / PLACES as f64
}
