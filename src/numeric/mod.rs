//! Roots of equations in one unknown. Knows no wire.

mod roots;

pub use roots::{Bracket, root_in};
