//! linkfold: loop-in-loop chain, answered before metal is cut.
//!
//! The map. The number is the floor; a room uses only rooms on lower floors
//! (`tests/floors.rs` holds us to it).
//!
//! | floor | room | what it answers |
//! | --- | --- | --- |
//! | 0 | [`units`] | millimetres, and lengths as a maker types them |
//! | 0 | [`numeric`] | roots of equations, integrals; knows no wire |
//! | 1 | [`curve`] | arcs, straights and the closed centrelines made of them |
//! | 1 | [`metal`] | how heavy, stiff and strong a metal is, and how it hardens |
//! | 2 | [`wire`] | how a round wire bends, and how much of a bend it keeps |
//! | 3 | [`beam`] | how a bent wire gives under small loads, and where it is stressed most |
//! | 3 | [`rod`] | what shape a ring takes between round jaws, and keeps when let go |

pub mod beam;
pub mod curve;
pub mod metal;
pub mod numeric;
pub mod rod;
pub mod units;
pub mod wire;
