//! Roots of equations in one unknown, and integrals over an interval. Knows no wire.

mod quadrature;
mod roots;

pub use quadrature::Gauss;
pub use roots::{Bracket, root_in};
