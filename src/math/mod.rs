//! Roots of equations in one unknown, integrals over an interval, small linear programmes and
//! banded systems; pseudo-random numbers; sorting; work shared out among processors. Knows no wire.

mod banded;
mod minimax;
mod parallel;
mod quadrature;
mod rng;
mod roots;
pub mod sort;
pub mod units;
mod weights;

pub use banded::Banded;
pub use minimax::{Linear, TrustRegion, maximise_min};
pub use parallel::{both, limit_threads, map_indices};
pub use quadrature::Gauss;
pub use rng::Rng;
pub use roots::{Bracket, falling_root, root_in};
pub use weights::mean_weights;
