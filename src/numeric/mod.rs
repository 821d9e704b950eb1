//! Roots of equations in one unknown, and integrals over an interval. Knows no wire.

mod minimax;
mod quadrature;
mod roots;

pub use minimax::{Linear, raise_least};
pub use quadrature::Gauss;
pub use roots::{Bracket, root_in};
