//! Roots of equations in one unknown, integrals over an interval, small linear programmes and
//! banded systems. Knows no wire.

mod banded;
mod minimax;
mod quadrature;
mod roots;

pub use banded::Banded;
pub use minimax::{Linear, raise_least};
pub use quadrature::Gauss;
pub use roots::{Bracket, root_in};
