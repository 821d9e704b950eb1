//! A bent wire as a beam in space: how it deflects under loads, and where it is stressed most.
//!
//! Model: linear statics of a closed or open line of arcs and straights; bending in both
//! planes, torsion, axial strain and shear (Cowper's factor for a round section); for arcs,
//! Winkler's coupling of bending and axial strain in the plane of the arc ([`Theory`]).
//! Limits: small displacements, elastic metal; forces act on the centreline, and a wire bent
//! tighter than its own radius is refused. Against solid models of links with bend radii of
//! 1.5 to 2 diameters the stiffness is right to about 2 % (`tests/beam.rs`); the stress under
//! a point load is not: a real contact spreads.
//! Conventions: mm, N, MPa, radians; places are arc lengths along the curve, mm from its
//! start, a closed curve's taken round and round; a load acts on the wire.
//!
//! Method: no mesh. Forces and motions are reduced to one point, so that between two loads
//! the force is constant and the motion it brings is an integral over the curve: exact
//! flexibility. A closed curve is cut once, and the force in the cut is what closes it again:
//! six unknowns, however many loads. Cost is linear in loads and pieces.
//! Evidence: `tests/beam.rs`; speed: `benches/beam.rs`.

mod balance;
mod element;
mod frame;
mod solution;
mod spatial;

pub use element::{BeamError, BeamWire, Theory};
pub use frame::{BeamFrame, Direction, Load, Support};
pub use solution::{Equilibrium, NodeDisplacement, PeakStress, SectionForces, SectionVectors};
