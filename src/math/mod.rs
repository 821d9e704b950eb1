//! Roots of equations in one unknown, integrals over an interval, small linear programmes and
//! banded systems; numbers without order. Knows no wire.

mod banded;
mod minimax;
mod noise;
mod quadrature;
mod roots;
pub mod units;

pub use banded::Banded;
pub use minimax::{Linear, raise_least};
pub use noise::Rng;
pub use quadrature::Gauss;
pub use roots::{Bracket, root_in};
